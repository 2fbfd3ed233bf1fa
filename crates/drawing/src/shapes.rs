//! Shapes for the tests of this crate.

use partpledge_mesh::Mesh;

/// A block between two corners, outward.
pub(crate) fn block([x0, y0, z0]: [f64; 3], [x1, y1, z1]: [f64; 3]) -> Mesh {
    let vertices = (0..8)
        .map(|i| {
            [
                if i & 1 == 0 { x0 } else { x1 },
                if i & 2 == 0 { y0 } else { y1 },
                if i & 4 == 0 { z0 } else { z1 },
            ]
        })
        .collect();
    let quads: [[u32; 4]; 6] = [
        [0, 2, 3, 1],
        [4, 5, 7, 6],
        [0, 1, 5, 4],
        [2, 6, 7, 3],
        [0, 4, 6, 2],
        [1, 3, 7, 5],
    ];
    let triangles = quads
        .iter()
        .flat_map(|&[a, b, c, d]| [[a, b, c], [a, c, d]])
        .collect();
    Mesh {
        vertices,
        triangles,
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
