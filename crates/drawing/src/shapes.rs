//! Shapes for the tests of this crate.

use partpledge_mesh::Mesh;

/// A block between two corners, outward.
pub(crate) fn block(low: [f64; 3], high: [f64; 3]) -> Mesh {
    let raw = partpledge_testbed::shapes::boxes(&[(low, high)]);
    Mesh {
        vertices: raw.vertices,
        triangles: raw.triangles,
    }
}

/// The same with three corners of its own for each triangle.
pub(crate) fn soup(mesh: &Mesh) -> Mesh {
    let corners = mesh.triangles.iter().flatten();
    let vertices: Vec<[f64; 3]> = corners
        .filter_map(|&i| mesh.vertices.get(usize::try_from(i).ok()?).copied())
        .collect();
    let triangles = (0_u32..)
        .step_by(3)
        .take(mesh.triangles.len())
        .map(|i| [i, i + 1, i + 2])
        .collect();
    Mesh {
        vertices,
        triangles,
    }
}
