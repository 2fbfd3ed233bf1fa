//! The shadow of a part on the bed: what has to be kept free of other parts.

use std::collections::BTreeMap;

use clipper2_rust::{FillRule, Path64, Paths64};
use partpledge_mesh::Mesh;

use crate::outlines::{Outlines, SIMPLIFY_MM, offset, simplified, to_point};
use crate::slice::{REACH_MM, SliceError};

/// The shadow is grown by this, mm: its own simplification, that of the sections, and the
/// rounding of both, so that it covers every section.
pub const MARGIN_MM: f64 = 3.0 * SIMPLIFY_MM;

/// The outline of everything that the mesh covers seen from above, with holes where light
/// falls through. Covers every section that [`crate::slice()`] gives; at most 0.06 mm too large.
///
/// The boundary of all triangles that face up winds once round a point for each such triangle
/// over it, and edges between two of them cancel: uniting that boundary gives the same shadow
/// as uniting the triangles, at a small part of the cost. Triangles that face down are taken
/// too, turned over, so that an open mesh has its whole shadow.
///
/// # Errors
/// [`SliceError::NoTriangles`] for an empty mesh, [`SliceError::OutOfReach`] for absurd corners.
///
/// ```
/// use partpledge_mesh::Mesh;
/// use partpledge_sections::{area_mm2, silhouette};
/// let mesh = Mesh {
///     vertices: vec![[0.0; 3], [10.0, 0.0, 0.0], [0.0, 10.0, 0.0], [0.0, 0.0, 10.0]],
///     triangles: vec![[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]],
/// };
/// let area = area_mm2(&silhouette(&mesh).unwrap());
/// assert!(area >= 50.0 && area < 52.0);
/// ```
pub fn silhouette(mesh: &Mesh) -> Result<Outlines, SliceError> {
    if mesh.triangles.is_empty() {
        return Err(SliceError::NoTriangles);
    }
    if let Some(&corner) = mesh
        .vertices
        .iter()
        .find(|corner| !corner.iter().all(|v| v.abs() <= REACH_MM))
    {
        return Err(SliceError::OutOfReach(corner));
    }
    let loops = simplified(&boundary_loops(mesh));
    let united = clipper2_rust::union_subjects_64(&loops, FillRule::Positive);
    Ok(offset(&simplified(&united), MARGIN_MM))
}

/// Half-edges of the up-facing triangles, and of the others turned over, that do not cancel.
fn boundary_edges(mesh: &Mesh) -> Vec<(u32, u32)> {
    let mut half_edges: Vec<(u32, u32, bool)> = Vec::with_capacity(3 * mesh.triangles.len());
    for triangle in &mesh.triangles {
        let [a, b, c] = triangle.map(|i| {
            let [x, y, _] = mesh.vertices[i as usize];
            to_point(x, y)
        });
        let turn = i128::from(b.x - a.x) * i128::from(c.y - a.y)
            - i128::from(b.y - a.y) * i128::from(c.x - a.x);
        let [i, j, k] = *triangle;
        let faces_up = match turn.signum() {
            0 => continue,
            sign => sign > 0,
        };
        let ring = if faces_up { [i, j, k] } else { [i, k, j] };
        // The smaller corner first, with the direction beside it: opposites sort side by side.
        half_edges.extend(
            [(ring[0], ring[1]), (ring[1], ring[2]), (ring[2], ring[0])]
                .map(|(from, to)| (from.min(to), from.max(to), from < to)),
        );
    }
    half_edges.sort_unstable();
    let mut boundary = Vec::new();
    for run in half_edges.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1)) {
        let forward = run.iter().filter(|edge| edge.2).count();
        let backward = run.len() - forward;
        let (low, high, _) = run[0];
        boundary.extend((backward..forward).map(|_| (low, high)));
        boundary.extend((forward..backward).map(|_| (high, low)));
    }
    boundary
}

/// Boundary edges as loops. At every corner as many edges end as start, so walking on always
/// comes back to the first corner.
fn boundary_loops(mesh: &Mesh) -> Paths64 {
    let mut next: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
    let edges = boundary_edges(mesh);
    for &(from, to) in edges.iter().rev() {
        next.entry(from).or_default().push(to);
    }
    let point = |i: u32| {
        let [x, y, _] = mesh.vertices[i as usize];
        to_point(x, y)
    };
    let mut loops = Paths64::new();
    for &(first, _) in &edges {
        let mut path = Path64::new();
        let mut at = first;
        while let Some(to) = next.get_mut(&at).and_then(Vec::pop) {
            path.push(point(at));
            at = to;
            if at == first {
                break;
            }
        }
        path.dedup();
        if path.len() >= 3 {
            loops.push(path);
        }
    }
    loops
}
