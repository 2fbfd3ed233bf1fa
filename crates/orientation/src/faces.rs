//! Flat faces that the part can rest on.

use std::collections::BTreeMap;

use partpledge_mesh::Mesh;
use partpledge_units::cast::round_i64;

use crate::bins::{CELLS_IN_ALL, cell};
use crate::vector::{Vector, cross, dot, minus, unit};

/// A flat face with the whole part on one side of its plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct RestingFace {
    /// Outward unit normal, in the part's own axes.
    pub(crate) normal: [f64; 3],
    /// Its area in mm².
    pub(crate) area_mm2: f64,
}

/// Planes are told apart by steps of this in each part of the normal.
const NORMAL_STEPS: f64 = 500.0;
/// Planes looked at, largest first. Beyond it faces are too small to matter.
const PLANES: usize = 64;

#[derive(Clone, Copy)]
struct Plane {
    moment: [f64; 3],
    area_mm2: f64,
    reach: f64,
}

/// The largest resting faces, at most `count`, largest first.
///
/// Triangles are gathered by normal and distance from the origin on a coarse grid, cells of
/// the same plane are joined, and a plane counts when no vertex lies beyond it by more than
/// `tolerance_mm`. Faces that only the convex hull has (a table standing on round feet) are found
/// by `outline_faces`.
pub(crate) fn resting_faces(
    mesh: &Mesh,
    outer: &[Vector],
    count: usize,
    tolerance_mm: f64,
) -> Vec<RestingFace> {
    let mut found: Vec<RestingFace> = Vec::new();
    for plane in largest_planes(mesh, outer, tolerance_mm) {
        if found.len() == count {
            break;
        }
        let Some(normal) = unit(plane.moment) else {
            continue;
        };
        let reach = plane.reach / plane.area_mm2;
        let supports = mesh
            .vertices
            .iter()
            .all(|&vertex| dot(vertex, normal) <= reach + tolerance_mm);
        if supports {
            found.push(RestingFace {
                normal,
                area_mm2: plane.area_mm2,
            });
        }
    }
    found
}

fn largest_planes(mesh: &Mesh, outer: &[Vector], tolerance_mm: f64) -> Vec<Plane> {
    let mut cells: BTreeMap<[i64; 4], Plane> = BTreeMap::new();
    let mut farthest = Farthest::new(outer);
    for triangle in &mesh.triangles {
        let [a, b, c] = triangle.map(|i| mesh.vertices[i as usize]);
        let double_area = cross(minus(b, a), minus(c, a));
        let Some(normal) = unit(double_area) else {
            continue;
        };
        let area_mm2 = dot(double_area, normal) / 2.0;
        let reach = dot(a, normal);
        // Most of a part's surface has something of the part beyond it: no face to rest on.
        if farthest.along(normal) > reach + 4.0 * tolerance_mm {
            continue;
        }
        let step = |x: f64| round_i64(x).unwrap_or_default();
        let [nx, ny, nz] = normal.map(|x| step(x * NORMAL_STEPS));
        let cell = [nx, ny, nz, step(reach / (4.0 * tolerance_mm))];
        let empty = Plane {
            moment: [0.0; 3],
            area_mm2: 0.0,
            reach: 0.0,
        };
        let plane = cells.entry(cell).or_insert(empty);
        plane.moment = std::array::from_fn(|k| plane.moment[k] + double_area[k] / 2.0);
        plane.area_mm2 += area_mm2;
        plane.reach += reach * area_mm2;
    }
    let by_area = |a: &Plane, b: &Plane| b.area_mm2.total_cmp(&a.area_mm2);
    let mut planes: Vec<Plane> = cells.into_values().collect();
    planes.sort_by(by_area);
    planes.truncate(4 * PLANES);
    let mut joined = join_same(planes, tolerance_mm);
    joined.sort_by(by_area);
    joined.truncate(PLANES);
    joined
}

/// For each cell of directions, an outer point that is the farthest in about that direction.
struct Farthest<'a> {
    outer: &'a [Vector],
    of_cell: Vec<Option<Vector>>,
}

impl<'a> Farthest<'a> {
    fn new(outer: &'a [Vector]) -> Self {
        Self {
            outer,
            of_cell: vec![None; CELLS_IN_ALL],
        }
    }

    /// How far out the part goes in a direction, at least.
    fn along(&mut self, direction: Vector) -> f64 {
        let known = &mut self.of_cell[cell(direction)];
        let point = *known.get_or_insert_with(|| {
            let first = ([0.0; 3], f64::NEG_INFINITY);
            let best = self.outer.iter().fold(first, |best, &point| {
                let reach = dot(point, direction);
                if reach > best.1 { (point, reach) } else { best }
            });
            best.0
        });
        dot(point, direction)
    }
}

/// Joins grid cells that hold parts of one plane: a plane may lie across a cell's border.
fn join_same(planes: Vec<Plane>, tolerance_mm: f64) -> Vec<Plane> {
    let same = |a: &Plane, b: &Plane| {
        let (Some(n), Some(m)) = (unit(a.moment), unit(b.moment)) else {
            return false;
        };
        let gap = a.reach / a.area_mm2 - b.reach / b.area_mm2;
        dot(n, m) > 1.0 - 1e-5 && gap.abs() <= 2.0 * tolerance_mm
    };
    let mut joined: Vec<Plane> = Vec::new();
    for plane in planes {
        if let Some(other) = joined.iter_mut().find(|other| same(other, &plane)) {
            other.moment = std::array::from_fn(|k| other.moment[k] + plane.moment[k]);
            other.area_mm2 += plane.area_mm2;
            other.reach += plane.reach;
        } else {
            joined.push(plane);
        }
    }
    joined
}
