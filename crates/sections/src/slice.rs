//! A mesh cut at many heights at once.

use partpledge_mesh::Mesh;
use partpledge_words::say;
use rayon::prelude::*;

use crate::chain::chain;
use crate::crossing::{Buckets, segment};
use crate::heights::{HeightsError, heights};
use crate::outlines::{Outlines, clean};

/// Farthest a corner may lie from the origin, mm. Keeps every product of two differences of
/// coordinates inside 64 bits.
pub const REACH_MM: f64 = 100_000.0;

/// A part cut at one height.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// Height of the cut, mm.
    pub z_mm: f64,
    /// Where there is material.
    pub outlines: Outlines,
    /// Chains whose ends did not meet: the mesh is open here and the outline is a guess.
    pub open_chains: u32,
}

/// Why a mesh was not cut; the rejected value is inside.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum SliceError {
    /// A corner is farther than [`REACH_MM`] from the origin, or not a number.
    #[error("{}", out_of_reach(.0))]
    OutOfReach([f64; 3]),
    /// Heights must be numbers and must rise.
    #[error("{}", heights_fall(*.0))]
    HeightsDoNotRise(f64),
    /// The mesh has no triangles.
    #[error("{}", say!("errors-no-triangles"))]
    NoTriangles,
    /// Layers could not be laid out.
    #[error(transparent)]
    Heights(#[from] HeightsError),
}

fn out_of_reach(corner: &[f64; 3]) -> String {
    say!("errors-out-of-reach", corner = format!("{corner:?}"))
}

fn heights_fall(mm: f64) -> String {
    say!("errors-heights-fall", height = mm.to_string())
}

/// Cuts a mesh at rising heights; one section each, in the same order.
///
/// A corner exactly on a plane counts as above it. Overlapping shells are united; an inverted
/// shell counts as solid. An open mesh is cut as well as can be, and says so in
/// [`Section::open_chains`]. The same mesh gives the same sections on any number of threads.
///
/// # Units
/// Heights in mm; outlines in 1e-4 mm.
/// # Errors
/// [`SliceError::OutOfReach`], [`SliceError::HeightsDoNotRise`].
///
/// ```
/// use partpledge_mesh::Mesh;
/// use partpledge_sections::{area_mm2, slice};
/// // A tetrahedron with legs of 10 mm: half way up the section is a quarter of the base.
/// let mesh = Mesh {
///     vertices: vec![[0.0; 3], [10.0, 0.0, 0.0], [0.0, 10.0, 0.0], [0.0, 0.0, 10.0]],
///     triangles: vec![[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]],
/// };
/// let cut = slice(&mesh, &[5.0]).unwrap();
/// assert!((area_mm2(&cut[0].outlines) - 12.5).abs() < 1e-3);
/// ```
pub fn slice(mesh: &Mesh, heights_mm: &[f64]) -> Result<Vec<Section>, SliceError> {
    if let Some(&corner) = mesh
        .vertices
        .iter()
        .find(|corner| !corner.iter().all(|v| v.abs() <= REACH_MM))
    {
        return Err(SliceError::OutOfReach(corner));
    }
    let rises = |pair: &[f64]| pair[0] < pair[1];
    if let Some(pair) = heights_mm.windows(2).find(|pair| !rises(pair)) {
        return Err(SliceError::HeightsDoNotRise(pair[1]));
    }
    if let Some(&bad) = heights_mm.iter().find(|height| !height.is_finite()) {
        return Err(SliceError::HeightsDoNotRise(bad));
    }
    let buckets = Buckets::new(mesh, heights_mm);
    Ok(heights_mm
        .par_iter()
        .enumerate()
        .map(|(layer, &z_mm)| {
            let crossed = buckets.layer(layer).iter();
            let segments: Vec<_> = crossed
                .filter_map(|&triangle| segment(mesh, triangle, z_mm))
                .collect();
            let found = chain(&segments);
            Section {
                z_mm,
                outlines: clean(&found.loops),
                open_chains: found.open_chains,
            }
        })
        .collect())
}

/// Cuts a mesh at the middle of every layer between its lowest and highest corner.
///
/// # Errors
/// As [`slice()`] and [`heights()`]; [`SliceError::NoTriangles`] for an empty mesh.
pub fn cut_layers(
    mesh: &Mesh,
    first_layer_mm: f64,
    layer_mm: f64,
) -> Result<Vec<Section>, SliceError> {
    let (low, high) = mesh.bounds().ok_or(SliceError::NoTriangles)?;
    slice(mesh, &heights(low[2], high[2], first_layer_mm, layer_mm)?)
}
