//! Small flat holes in the skin, closed: the one gap whose filling is not a guess.

use crate::Mesh;
use crate::edges::{EdgeKind, Edges};
use crate::shells::shells;
use crate::vector::{cross, dot, double_area, length, minus};

/// A hole wider than this is for the designer to close, mm. Common practice, no source.
pub(crate) const SMALL_MM: f64 = 5.0;
/// Nor may it be wider than this share of the part. Common practice, no source.
const SMALL_SHARE: f64 = 0.1;
/// Nor larger than this share of the surface round it: what is mostly gap is not a skin with a
/// hole. Derived here.
const SMALL_AREA_SHARE: f64 = 0.05;
/// Corners of a flat rim lie this close to one plane: mm, and as a share of the hole's width.
const FLAT_MM: f64 = 0.01;
const FLAT_SHARE: f64 = 0.01;
/// Rims of more corners are left alone.
const MOST_CORNERS: usize = 256;

/// What was filled.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Filled {
    pub(crate) mesh: Mesh,
    pub(crate) holes: usize,
    pub(crate) triangles: usize,
    /// Width of the widest of the holes in mm, and its middle.
    pub(crate) widest_mm: f64,
    pub(crate) place_mm: [f64; 3],
}

/// The mesh with its small flat holes closed; `None` when there are none.
///
/// A hole is a rim of open edges that meet two and two, at most 5 mm and a tenth of the part wide,
/// flat, and small beside the piece of skin that it is in. New triangles face as those around.
pub(crate) fn fill_small_holes(mesh: &Mesh) -> Option<Filled> {
    let edges = Edges::of(mesh);
    let rims = rims(&edges);
    let (low, high) = mesh.bounds()?;
    let widest_mm = SMALL_MM.min(SMALL_SHARE * length(minus(high, low)));
    let areas = if rims.is_empty() {
        Vec::new()
    } else {
        skin_areas(mesh, &edges)
    };
    let mut out: Option<Filled> = None;
    for rim in rims {
        let Some(cover) = Cover::over(mesh, &rim.corners, widest_mm) else {
            continue;
        };
        if cover.area_mm2 > SMALL_AREA_SHARE * areas[rim.triangle] {
            continue;
        }
        let filled = out.get_or_insert_with(|| Filled {
            mesh: mesh.clone(),
            holes: 0,
            triangles: 0,
            widest_mm: 0.0,
            place_mm: cover.middle,
        });
        filled.holes += 1;
        filled.triangles += cover.triangles.len();
        filled.mesh.triangles.extend(cover.triangles);
        if cover.width_mm > filled.widest_mm {
            (filled.widest_mm, filled.place_mm) = (cover.width_mm, cover.middle);
        }
    }
    out
}

/// A closed run of open edges.
struct Rim {
    /// In the order in which the triangles to be added run it.
    corners: Vec<u32>,
    /// A triangle beside it.
    triangle: usize,
}

/// Runs of open edges that close, each corner with one edge in and one out.
fn rims(edges: &Edges) -> Vec<Rim> {
    let open = edges.iter().filter(|edge| edge.kind() == EdgeKind::Open);
    let mut ahead: Vec<(u32, u32, usize)> = open
        .filter_map(|edge| {
            let side = edge.sides().next()?;
            let (from, to) = edge.run(side);
            // The new triangle runs the edge the other way.
            Some((to, from, side.triangle()))
        })
        .collect();
    ahead.sort_unstable();
    let next = |corner: u32| {
        let at = ahead.partition_point(|edge| edge.0 < corner);
        let only = ahead.get(at + 1).is_none_or(|edge| edge.0 != corner);
        ahead.get(at).filter(|edge| edge.0 == corner && only)
    };
    let mut seen = vec![false; ahead.len()];
    let mut out = Vec::new();
    for start in 0..ahead.len() {
        if seen[start] {
            continue;
        }
        let mut corners = Vec::new();
        let (first, mut at, triangle) = ahead[start];
        corners.push(first);
        while at != first && corners.len() <= MOST_CORNERS {
            let Some(edge) = next(at) else { break };
            corners.push(at);
            at = edge.1;
        }
        for &corner in &corners {
            let place = ahead.partition_point(|edge| edge.0 < corner);
            seen[place] = true;
        }
        if at == first && next(first).is_some() && corners.len() >= 3 {
            out.push(Rim { corners, triangle });
        }
    }
    out
}

/// For each triangle the area of the shell that it is in, mm².
fn skin_areas(mesh: &Mesh, edges: &Edges) -> Vec<f64> {
    let (labels, count) = shells(mesh, edges);
    let mut areas = vec![0.0; count];
    for (triangle, &label) in mesh.triangles.iter().zip(&labels) {
        areas[label as usize] += length(double_area(triangle.map(|i| mesh.vertices[i as usize])));
    }
    labels
        .iter()
        .map(|&label| areas[label as usize] / 2.0)
        .collect()
}

/// Triangles over a rim.
struct Cover {
    triangles: Vec<[u32; 3]>,
    width_mm: f64,
    area_mm2: f64,
    middle: [f64; 3],
}

impl Cover {
    fn over(mesh: &Mesh, rim: &[u32], widest_mm: f64) -> Option<Self> {
        let points: Vec<[f64; 3]> = rim.iter().map(|&i| mesh.vertices[i as usize]).collect();
        let (low, high) = points.iter().fold(
            ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]),
            |(low, high), p| {
                (
                    std::array::from_fn(|k| low[k].min(p[k])),
                    std::array::from_fn(|k| high[k].max(p[k])),
                )
            },
        );
        let width_mm = length(minus(high, low));
        if width_mm > widest_mm {
            return None;
        }
        let many = points.len() as f64;
        let middle: [f64; 3] =
            std::array::from_fn(|k| points.iter().map(|p| p[k]).sum::<f64>() / many);
        let around = points.iter().zip(points.iter().cycle().skip(1));
        // Newell: the area vector of the rim, whatever its shape.
        let doubled = around.fold([0.0; 3], |sum, (a, b)| {
            let part = cross(minus(*a, middle), minus(*b, middle));
            std::array::from_fn(|k| sum[k] + part[k])
        });
        let size = length(doubled);
        if size <= 0.0 {
            return None;
        }
        let normal = doubled.map(|x| x / size);
        let flat_mm = FLAT_MM.max(FLAT_SHARE * width_mm);
        let flat = points
            .iter()
            .all(|&p| dot(minus(p, middle), normal).abs() <= flat_mm);
        let triangles = flat.then(|| cut_up(&points, normal))??;
        Some(Self {
            triangles: triangles.into_iter().map(|t| t.map(|i| rim[i])).collect(),
            width_mm,
            area_mm2: size / 2.0,
            middle,
        })
    }
}

/// A flat ring of corners as triangles that run with it; `None` when it can't be divided without
/// losing a corner, as when the ring crosses itself.
fn cut_up(points: &[[f64; 3]], normal: [f64; 3]) -> Option<Vec<[usize; 3]>> {
    // The two axes that the normal leans on least, in the order that keeps the ring's sense.
    let axis = (0..3)
        .max_by(|&a, &b| normal[a].abs().total_cmp(&normal[b].abs()))
        .unwrap_or(2);
    let (u, v) = ((axis + 1) % 3, (axis + 2) % 3);
    let sense = normal[axis].signum();
    let flat: Vec<[f64; 2]> = points.iter().map(|p| [sense * p[u], p[v]]).collect();
    let mut found: Vec<u32> = Vec::new();
    earcut::Earcut::new().earcut(flat.iter().copied(), &[], &mut found);
    let turn = |[a, b, c]: [usize; 3]| {
        let (p, q, r) = (flat[a], flat[b], flat[c]);
        (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])
    };
    let triangles: Vec<[usize; 3]> = found
        .chunks_exact(3)
        .map(|t| [t[0] as usize, t[1] as usize, t[2] as usize])
        .map(|t| if turn(t) < 0.0 { [t[0], t[2], t[1]] } else { t })
        .collect();
    (triangles.len() == points.len() - 2).then_some(triangles)
}
