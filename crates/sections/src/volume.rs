//! Volume with what overlaps counted once.

use partpledge_mesh::Mesh;

use crate::outlines::area_mm2;
use crate::slice::{SliceError, slice};

/// The volume that a printer would fill, in mm³: where bodies overlap, once; a body inside another
/// adds nothing; a hollow is left out.
///
/// Areas of `cuts` sections at even distances, each in the middle of its stretch (midpoint rule):
/// the error falls with the square of `cuts`.
///
/// # Units
/// Mesh in mm, result in mm³.
/// # Errors
/// As [`slice()`]; [`SliceError::NoTriangles`] for an empty mesh.
/// # Source
/// 3MF core specification 1.4.0 (ISO/IEC 25422), read: overlapping volumes are united.
///
/// ```
/// use partpledge_mesh::Mesh;
/// use partpledge_sections::united_volume_mm3;
/// let mesh = Mesh {
///     vertices: vec![[0.0; 3], [10.0, 0.0, 0.0], [0.0, 10.0, 0.0], [0.0, 0.0, 10.0]],
///     triangles: vec![[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]],
/// };
/// let volume = united_volume_mm3(&mesh, 100).unwrap();
/// assert!((volume - 1000.0 / 6.0).abs() < 0.02);
/// ```
pub fn united_volume_mm3(mesh: &Mesh, cuts: usize) -> Result<f64, SliceError> {
    let (low, high) = mesh.bounds().ok_or(SliceError::NoTriangles)?;
    let rise = (high[2] - low[2]) / cuts.max(1) as f64;
    if rise <= 0.0 {
        return Ok(0.0);
    }
    let heights: Vec<f64> = (0..cuts.max(1))
        .map(|i| low[2] + (i as f64 + 0.5) * rise)
        .collect();
    let sections = slice(mesh, &heights)?;
    Ok(sections
        .iter()
        .map(|section| area_mm2(&section.outlines) * rise)
        .sum())
}
