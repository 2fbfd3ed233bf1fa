//! How thick the solid is under its surface, everywhere.

use crate::Mesh;
use crate::rays::Rays;
use crate::vector::{dot, double_area, length};

/// The solid under one point of the surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thickness {
    /// The point, in mm.
    pub place_mm: [f64; 3],
    /// Outward unit normal there.
    pub normal: [f64; 3],
    /// Way through the solid along the inward normal, in mm.
    pub thickness_mm: f64,
    /// How squarely the far side faces away, as a cosine: 1 for two parallel sides, less where they
    /// run to an edge.
    pub facing: f64,
}

/// Measures the solid under `count` points spread evenly over the surface of a closed mesh.
///
/// The points are chosen by area and always the same for the same mesh. Points whose ray never
/// comes out, as on an open mesh, are left out.
///
/// # Units
/// mm. Each point stands for `area / count` of the surface.
/// # Source
/// Even points on a stretch and in a triangle: additive sequences of the plastic number
/// (Roberts 2018, from memory), folded into the triangle.
///
/// ```
/// use partpledge_mesh::Mesh;
/// use partpledge_mesh::rays::Rays;
/// use partpledge_mesh::thickness::thicknesses;
/// let corner = Mesh {
///     vertices: vec![[0.0; 3], [9.0, 0.0, 0.0], [0.0, 9.0, 0.0], [0.0, 0.0, 9.0]],
///     triangles: vec![[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]],
/// };
/// let found = thicknesses(&corner, &Rays::through(&corner), 100);
/// assert!(found.len() == 100 && found.iter().all(|t| t.thickness_mm < 9.0));
/// ```
#[must_use]
pub fn thicknesses(mesh: &Mesh, rays: &Rays<'_>, count: usize) -> Vec<Thickness> {
    points(mesh, count)
        .into_iter()
        .filter_map(|(place_mm, normal)| {
            let hit = rays.depth_mm(place_mm, normal)?;
            let far = mesh.triangles[hit.face].map(|i| mesh.vertices[i as usize]);
            let out = double_area(far);
            Some(Thickness {
                place_mm,
                normal,
                thickness_mm: hit.distance_mm,
                facing: -dot(out, normal) / length(out).max(f64::MIN_POSITIVE),
            })
        })
        .collect()
}

/// Powers of the reciprocal plastic number: the two-dimensional cousin of the golden ratio.
const STEP: [f64; 2] = [0.754_877_666_246_692_8, 0.569_840_290_998_053_3];

/// Points spread over the surface by area, each with the outward unit normal.
fn points(mesh: &Mesh, count: usize) -> Vec<([f64; 3], [f64; 3])> {
    let corners = |t: &[u32; 3]| t.map(|i| mesh.vertices[i as usize]);
    let mut sum = 0.0;
    let ends: Vec<f64> = mesh
        .triangles
        .iter()
        .map(|t| {
            sum += length(double_area(corners(t)));
            sum
        })
        .collect();
    if sum <= 0.0 {
        return Vec::new();
    }
    (0..count)
        .filter_map(|i| {
            let along = sum * (i as f64 + 0.5) / count as f64;
            let face = ends.partition_point(|&end| end < along);
            let [a, b, c] = corners(mesh.triangles.get(face)?);
            let normal = double_area([a, b, c]);
            let size = length(normal);
            let [mut u, mut v] = STEP.map(|step| (0.3 + step * i as f64).fract());
            if u + v > 1.0 {
                (u, v) = (1.0 - u, 1.0 - v);
            }
            let place = std::array::from_fn(|k| a[k] + u * (b[k] - a[k]) + v * (c[k] - a[k]));
            (size > 0.0).then(|| (place, normal.map(|x| x / size)))
        })
        .collect()
}

#[cfg(test)]
mod tests;
