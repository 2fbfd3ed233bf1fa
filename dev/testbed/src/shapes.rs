//! Plain shapes for tests: their numbers can be worked out by hand.

use partpledge_formats::RawMesh;

/// Corners of a box, four to a side, facing outwards.
const SIDES: [[u32; 4]; 6] = [
    [0, 2, 3, 1],
    [4, 5, 7, 6],
    [0, 1, 5, 4],
    [2, 6, 7, 3],
    [0, 4, 6, 2],
    [1, 3, 7, 5],
];

/// Boxes, each from its least to its greatest corner: 8 corners and 12 triangles each, the first two
/// triangles its floor. What touches or overlaps stays apart.
///
/// ```
/// let two = partpledge_testbed::shapes::boxes(&[([0.0; 3], [1.0; 3]), ([2.0; 3], [3.0; 3])]);
/// assert_eq!((two.vertices.len(), two.triangles.len()), (16, 24));
/// ```
#[must_use]
pub fn boxes(list: &[([f64; 3], [f64; 3])]) -> RawMesh {
    let mut mesh = RawMesh::default();
    for ((low, high), n) in list.iter().zip(0_u32..) {
        let corner =
            |i: usize| std::array::from_fn(|k| if (i >> k) & 1 == 0 { low[k] } else { high[k] });
        mesh.vertices.extend((0..8).map(corner));
        let halves = SIDES
            .iter()
            .flat_map(|&[a, b, c, d]| [[a, b, c], [a, c, d]]);
        mesh.triangles.extend(halves.map(|t| t.map(|i| 8 * n + i)));
    }
    mesh
}
