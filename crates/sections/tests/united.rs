//! Volume of bodies that overlap, are inside each other, or are hollow.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use partpledge_mesh::Mesh;
use partpledge_sections::united_volume_mm3;

fn cuboid(low: [f64; 3], high: [f64; 3]) -> Mesh {
    let corner =
        |i: usize| std::array::from_fn(|k| if (i >> k) & 1 == 0 { low[k] } else { high[k] });
    let quads = [
        [0, 2, 3, 1],
        [4, 5, 7, 6],
        [0, 1, 5, 4],
        [2, 6, 7, 3],
        [0, 4, 6, 2],
        [1, 3, 7, 5],
    ];
    let triangles = quads
        .iter()
        .flat_map(|&[a, b, c, d]| [[a, b, c], [a, c, d]]);
    Mesh {
        vertices: (0..8).map(corner).collect(),
        triangles: triangles.collect(),
    }
}

fn together(meshes: &[Mesh]) -> Mesh {
    let mut all = Mesh::default();
    for mesh in meshes {
        let first = u32::try_from(all.vertices.len()).unwrap();
        all.vertices.extend(&mesh.vertices);
        all.triangles
            .extend(mesh.triangles.iter().map(|t| t.map(|i| i + first)));
    }
    all
}

fn volume(meshes: &[Mesh]) -> f64 {
    united_volume_mm3(&together(meshes), 200).unwrap()
}

#[test]
fn what_overlaps_counts_once_what_is_inside_adds_nothing_and_a_hollow_is_left_out() {
    let cube = || cuboid([0.0; 3], [20.0; 3]);
    let near = |found: f64, wanted: f64| assert!((found / wanted - 1.0).abs() < 2e-3, "{found}");
    near(volume(&[cube()]), 8_000.0);
    near(
        volume(&[cube(), cuboid([10.0, 0.0, 0.0], [30.0, 20.0, 20.0])]),
        12_000.0,
    );
    near(volume(&[cube(), cuboid([5.0; 3], [15.0; 3])]), 8_000.0);
    let mut hollow = cuboid([5.0; 3], [15.0; 3]);
    hollow.triangles.iter_mut().for_each(|t| t.swap(1, 2));
    near(volume(&[cube(), hollow]), 7_000.0);
}
