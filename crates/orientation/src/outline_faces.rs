//! Faces of the hull that the part can rest on: its outer points as feet.

use crate::hull::Face;
use crate::vector::{Vector, cross, dot, double_area, length, minus, plus, unit};

/// A plane that touches the part from outside in at least three places.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct OutlineFace {
    /// Outward unit normal, in the part's own axes.
    pub(crate) normal: Vector,
    /// Area between the places in mm².
    pub(crate) area_mm2: f64,
}

/// Hull triangles looked at, largest first.
const FACES: usize = 1500;
/// Hull triangles within this (cosine of 0.5 degrees) are one face.
const SAME: f64 = 0.999_962;

/// Faces of the hull over which the centre of mass lies, so that the part stands on them without
/// falling over; the widest first, at most `count`.
pub(crate) fn outline_faces(
    points: &[Vector],
    hull: &[Face],
    centre: Vector,
    count: usize,
) -> Vec<OutlineFace> {
    let mut faces: Vec<(f64, Vector, Face)> = hull
        .iter()
        .filter_map(|&face| {
            let double = double_area(face.map(|i| points[i]));
            Some((length(double) / 2.0, unit(double)?, face))
        })
        .collect();
    faces.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.2.cmp(&b.2)));
    faces.truncate(FACES);
    let mut joined: Vec<(Vector, bool, Vector)> = Vec::new();
    for (area, normal, face) in faces {
        let under = below(centre, normal, face.map(|i| points[i]));
        let share = normal.map(|x| x * area);
        match joined.iter_mut().find(|other| dot(other.2, normal) > SAME) {
            Some(other) => {
                other.0 = plus(other.0, share);
                other.1 |= under;
            }
            None => joined.push((share, under, normal)),
        }
    }
    let stands = joined.into_iter().filter(|(_, under, _)| *under);
    let mut list: Vec<OutlineFace> = stands
        .filter_map(|(sum, _, _)| {
            Some(OutlineFace {
                normal: unit(sum)?,
                area_mm2: length(sum),
            })
        })
        .collect();
    list.sort_by(|a, b| b.area_mm2.total_cmp(&a.area_mm2));
    list.truncate(count);
    list
}

/// Whether a point inside, seen along the normal, lies over the triangle.
fn below(centre: Vector, normal: Vector, corners: [Vector; 3]) -> bool {
    (0..3).all(|k| {
        let (from, to) = (corners[k], corners[(k + 1) % 3]);
        dot(cross(minus(to, from), minus(centre, from)), normal) >= 0.0
    })
}
