//! How a mesh stands for a given way up: overhang, height, contact with the bed, tipping over.

use crate::Mesh;
use crate::flat::{convex_hull, distance_inside, turn};
use crate::sum::Sum;
use crate::vector::{cross, dot, double_area, length, minus};

/// Surfaces that hang in the air.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Overhang {
    /// Area of the down-facing triangles beyond the limit and off the bed, in mm².
    pub area_mm2: f64,
    /// Volume of straight columns from them down to the bed, in mm³. Too much where a part of
    /// the mesh itself stands in the way, never too little.
    pub column_mm3: f64,
    /// Middle of the largest such triangle, in the mesh's own mm; `None` without any.
    pub place_mm: Option<[f64; 3]>,
}

/// How a mesh stands on the bed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Resting {
    /// Height above the bed in mm.
    pub height_mm: f64,
    /// Area of the triangles that lie on the bed, in mm².
    pub contact_area_mm2: f64,
    /// How far it can lean before it falls over, in degrees; 0 when it does not stand at all.
    pub tip_over_deg: f64,
}

/// Surfaces that hang over more than `limit_deg` from the vertical, seen with `up` upwards.
///
/// A wall is 0 degrees, a ceiling 90. Triangles with all corners within `on_bed_mm` of the
/// lowest point lie on the bed and need no support. A surface at exactly the limit passes
/// (0.01 degrees of grace for rounding).
///
/// # Units
/// mm and degrees; `up` is a unit vector in the mesh's own axes.
///
/// ```
/// use partpledge_mesh::{Mesh, overhang};
/// let shelf = Mesh {
///     vertices: vec![[0.0; 3], [0.0, 0.0, 5.0], [2.0, 0.0, 5.0], [0.0, 2.0, 5.0]],
///     triangles: vec![[1, 3, 2], [0, 1, 2]],
/// };
/// let hangs = overhang(&shelf, [0.0, 0.0, 1.0], 45.0, 0.05);
/// assert!((hangs.area_mm2 - 2.0).abs() < 1e-9 && (hangs.column_mm3 - 10.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn overhang(mesh: &Mesh, up: [f64; 3], limit_deg: f64, on_bed_mm: f64) -> Overhang {
    let heights: Vec<f64> = mesh
        .vertices
        .iter()
        .map(|&vertex| dot(vertex, up))
        .collect();
    let lowest = heights.iter().copied().fold(f64::INFINITY, f64::min);
    let steepest = (limit_deg + 0.01).to_radians().sin();
    let (mut area, mut column) = (Sum::default(), Sum::default());
    let (mut largest, mut place_mm) = (0.0, None);
    for triangle in &mesh.triangles {
        let corners = triangle.map(|i| mesh.vertices[i as usize]);
        let normal = double_area(corners);
        let (size, down) = (length(normal), -dot(normal, up));
        let above = triangle.map(|i| heights[i as usize] - lowest);
        if down <= steepest * size || above.iter().all(|&height| height <= on_bed_mm) {
            continue;
        }
        area.add(size / 2.0);
        column.add(down / 2.0 * above.iter().sum::<f64>() / 3.0);
        if size > largest {
            largest = size;
            place_mm = Some(std::array::from_fn(|k| {
                corners.iter().map(|p| p[k]).sum::<f64>() / 3.0
            }));
        }
    }
    Overhang {
        area_mm2: area.value(),
        column_mm3: column.value(),
        place_mm,
    }
}

/// How the mesh stands with `up` upwards on its lowest points.
///
/// The lean is measured from the centre of mass (of the volume when `solid`, of the surface
/// otherwise) to the nearest side of the hull of all corners within `on_bed_mm` of the bed:
/// `atan(distance / height of the centre)`. It says nothing about how well the first layer
/// sticks.
///
/// # Units
/// mm and degrees; `up` is a unit vector in the mesh's own axes.
/// # Source
/// Static balance; a 10 mm wide tower 100 mm high tips at 5.7106 degrees.
///
/// ```
/// use partpledge_mesh::{Mesh, resting};
/// let corner = Mesh {
///     vertices: vec![[0.0; 3], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
///     triangles: vec![[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]],
/// };
/// let stands = resting(&corner, [0.0, 0.0, 1.0], 0.05, true);
/// assert!((stands.contact_area_mm2 - 0.5).abs() < 1e-9);
/// assert!((stands.tip_over_deg - 45.0).abs() < 1e-6);
/// ```
#[must_use]
pub fn resting(mesh: &Mesh, up: [f64; 3], on_bed_mm: f64, solid: bool) -> Resting {
    let heights: Vec<f64> = mesh
        .vertices
        .iter()
        .map(|&vertex| dot(vertex, up))
        .collect();
    let lowest = heights.iter().copied().fold(f64::INFINITY, f64::min);
    let highest = heights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if mesh.triangles.is_empty() {
        return Resting {
            height_mm: 0.0,
            contact_area_mm2: 0.0,
            tip_over_deg: 0.0,
        };
    }
    let mut contact = Sum::default();
    for triangle in &mesh.triangles {
        if triangle
            .iter()
            .all(|&i| heights[i as usize] - lowest <= on_bed_mm)
        {
            let normal = double_area(triangle.map(|i| mesh.vertices[i as usize]));
            contact.add((-dot(normal, up)).max(0.0) / 2.0);
        }
    }
    let (right, ahead) = across(up);
    let flat = |p: [f64; 3]| [dot(p, right), dot(p, ahead)];
    let feet = mesh
        .vertices
        .iter()
        .zip(&heights)
        .filter(|&(_, h)| h - lowest <= on_bed_mm);
    let hull = convex_hull(feet.map(|(&vertex, _)| flat(vertex)).collect());
    let centre = centre_of_mass(mesh, solid);
    let reach = distance_inside(&hull, flat(centre));
    let above_bed = (dot(centre, up) - lowest).max(f64::MIN_POSITIVE);
    Resting {
        height_mm: highest - lowest,
        contact_area_mm2: contact.value(),
        tip_over_deg: (reach / above_bed).atan().to_degrees(),
    }
}

/// Where the weight of a standing mesh is, and over which side it falls first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Balance {
    /// Centre of mass, mm.
    pub centre_mm: [f64; 3],
    /// From the centre to the side that it falls over, along the bed, mm; 0 when it does not stand.
    pub reach_mm: f64,
    /// That way, as a unit vector along the bed.
    pub towards: [f64; 2],
}

/// The balance of a mesh that stands with z up, by the same rule as [`resting`].
///
/// # Units
/// mm.
///
/// ```
/// use partpledge_mesh::{Mesh, upright::balance};
/// let corner = Mesh {
///     vertices: vec![[0.0; 3], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
///     triangles: vec![[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]],
/// };
/// let found = balance(&corner, 0.05, true);
/// assert!((found.centre_mm[2] - 0.25).abs() < 1e-9 && (found.reach_mm - 0.25).abs() < 1e-9);
/// ```
#[must_use]
pub fn balance(mesh: &Mesh, on_bed_mm: f64, solid: bool) -> Balance {
    let lowest = mesh.bounds().map_or(0.0, |(low, _)| low[2]);
    let feet = mesh.vertices.iter().filter(|p| p[2] - lowest <= on_bed_mm);
    let hull = convex_hull(feet.map(|p| [p[0], p[1]]).collect());
    let centre_mm = centre_of_mass(mesh, solid);
    let flat = [centre_mm[0], centre_mm[1]];
    let sides = hull.iter().zip(hull.iter().cycle().skip(1));
    let nearest = sides
        .map(|(a, b)| {
            let along = [b[0] - a[0], b[1] - a[1]];
            let long = along[0].hypot(along[1]).max(f64::MIN_POSITIVE);
            // Counter-clockwise: outwards is to the right.
            (
                turn(*a, *b, flat) / long,
                [along[1] / long, -along[0] / long],
            )
        })
        .min_by(|a, b| a.0.total_cmp(&b.0));
    let (reach_mm, towards) = nearest.unwrap_or((0.0, [1.0, 0.0]));
    Balance {
        centre_mm,
        reach_mm: reach_mm.max(0.0),
        towards,
    }
}

/// Centre of the enclosed volume, or of the surface when the mesh is no solid.
fn centre_of_mass(mesh: &Mesh, solid: bool) -> [f64; 3] {
    let Some((low, high)) = mesh.bounds() else {
        return [0.0; 3];
    };
    let middle = crate::vector::middle(low, high);
    let mut weight = Sum::default();
    let mut moment = [Sum::default(); 3];
    for triangle in &mesh.triangles {
        let corners = triangle.map(|i| minus(mesh.vertices[i as usize], middle));
        let normal = double_area(corners);
        let (share, parts) = if solid {
            (dot(corners[0], normal) / 6.0, 4.0)
        } else {
            (length(normal) / 2.0, 3.0)
        };
        weight.add(share);
        for (k, sum) in moment.iter_mut().enumerate() {
            sum.add(share * (corners[0][k] + corners[1][k] + corners[2][k]) / parts);
        }
    }
    if weight.value().abs() < f64::MIN_POSITIVE {
        return middle;
    }
    std::array::from_fn(|k| middle[k] + moment[k].value() / weight.value())
}

/// Two directions at right angles to `up` and to each other.
fn across(up: [f64; 3]) -> ([f64; 3], [f64; 3]) {
    let help = if up[0].abs() < 0.9 {
        [1.0, 0.0, 0.0]
    } else {
        [0.0, 1.0, 0.0]
    };
    let ahead = cross(up, help);
    let size = length(ahead);
    let ahead = ahead.map(|x| x / size);
    (cross(ahead, up), ahead)
}

#[cfg(test)]
mod tests;
