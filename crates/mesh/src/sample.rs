//! Small meshes made in code, for the tests of this crate.

use partpledge_formats::RawMesh;

use crate::{Mesh, weld};

/// An axis-parallel box, facing outwards.
pub(crate) fn cuboid(low: [f64; 3], high: [f64; 3]) -> Mesh {
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
        .flat_map(|&[a, b, c, d]| [[a, b, c], [a, c, d]])
        .collect();
    Mesh {
        vertices: (0..8).map(corner).collect(),
        triangles,
    }
}

/// An upright regular prism with its corners on a circle; caps fanned from their middles.
pub(crate) fn prism(sides: usize, radius_mm: f64, height_mm: f64) -> Mesh {
    let n = u32::try_from(sides).unwrap();
    let ring = |z: f64| {
        (0..n).map(move |i| {
            let angle = std::f64::consts::TAU * f64::from(i) / f64::from(n);
            [radius_mm * angle.cos(), radius_mm * angle.sin(), z]
        })
    };
    let mut vertices: Vec<[f64; 3]> = ring(0.0).chain(ring(height_mm)).collect();
    vertices.extend([[0.0; 3], [0.0, 0.0, height_mm]]);
    let triangles = (0..n).flat_map(|i| {
        let j = (i + 1) % n;
        [
            [i, j, n + j],
            [i, n + j, n + i],
            [2 * n, j, i],
            [2 * n + 1, n + i, n + j],
        ]
    });
    Mesh {
        vertices,
        triangles: triangles.collect(),
    }
}

/// Several meshes in one, welded where they touch.
pub(crate) fn joined(meshes: &[Mesh]) -> Mesh {
    let mut raw = RawMesh::default();
    for mesh in meshes {
        let first = u32::try_from(raw.vertices.len()).unwrap();
        raw.vertices.extend(&mesh.vertices);
        raw.triangles
            .extend(mesh.triangles.iter().map(|t| t.map(|i| i + first)));
    }
    weld(&raw, 1.0).mesh
}

/// The same mesh somewhere else.
pub(crate) fn moved(mesh: &Mesh, by: [f64; 3]) -> Mesh {
    let vertices = mesh
        .vertices
        .iter()
        .map(|p| std::array::from_fn(|k| p[k] + by[k]))
        .collect();
    Mesh {
        vertices,
        triangles: mesh.triangles.clone(),
    }
}

/// The same mesh with one triangle turned over.
pub(crate) fn turned_over(mesh: &Mesh, triangle: usize) -> Mesh {
    let mut mesh = mesh.clone();
    mesh.triangles[triangle].swap(1, 2);
    mesh
}

/// A cube whose faces are divided into `n` by `n` squares of two triangles each.
pub(crate) fn fine_cube(side_mm: f64, n: u32) -> Mesh {
    let mut raw = RawMesh::default();
    let at = |i: u32| side_mm * f64::from(i) / f64::from(n);
    for axis in 0..3 {
        for far in [false, true] {
            for (i, j) in (0..n).flat_map(|i| (0..n).map(move |j| (i, j))) {
                let corner = |i: u32, j: u32| {
                    let mut p = [0.0; 3];
                    p[axis] = if far { side_mm } else { 0.0 };
                    (p[(axis + 1) % 3], p[(axis + 2) % 3]) = (at(i), at(j));
                    p
                };
                let quad = [
                    corner(i, j),
                    corner(i + 1, j),
                    corner(i + 1, j + 1),
                    corner(i, j + 1),
                ];
                let first = u32::try_from(raw.vertices.len()).unwrap();
                raw.vertices.extend(quad);
                let halves = [[0, 1, 2], [0, 2, 3]].map(|t: [u32; 3]| t.map(|k| k + first));
                let out = halves.map(|[a, b, c]| if far { [a, b, c] } else { [a, c, b] });
                raw.triangles.extend(out);
            }
        }
    }
    weld(&raw, 1.0).mesh
}

/// The same mesh without some of its triangles.
pub(crate) fn lacking(mesh: &Mesh, gone: impl Fn([f64; 3]) -> bool) -> Mesh {
    let mut mesh = mesh.clone();
    let vertices = &mesh.vertices;
    mesh.triangles.retain(|t| {
        let sum = |k: usize| t.iter().map(|&i| vertices[i as usize][k]).sum::<f64>() / 3.0;
        !gone([sum(0), sum(1), sum(2)])
    });
    mesh
}

/// A ring of `2 n²` triangles, 22 mm to the middle of a tube of 8 mm radius.
pub(crate) fn ring(n: u32) -> Mesh {
    let angle = |k: u32| std::f64::consts::TAU * f64::from(k) / f64::from(n);
    let point = |k: u32| {
        let (round, tube) = (angle(k / n), angle(k % n));
        let flat = 22.0 + 8.0 * tube.cos();
        [flat * round.cos(), flat * round.sin(), 8.0 * tube.sin()]
    };
    let at = |i: u32, j: u32| (i % n) * n + j % n;
    let squares = (0..n * n).flat_map(|k| {
        let (i, j) = (k / n, k % n);
        let (a, b, c, d) = (at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1));
        [[a, b, c], [a, c, d]]
    });
    Mesh {
        vertices: (0..n * n).map(point).collect(),
        triangles: squares.collect(),
    }
}
