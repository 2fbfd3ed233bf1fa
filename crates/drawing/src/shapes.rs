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
