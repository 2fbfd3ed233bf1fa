//! Parts of any number of triangles, made by a rule.

use partpledge_formats::RawMesh;

/// A smooth ring of `2 n²` triangles, 60 mm across.
pub(crate) fn torus(n: u32) -> RawMesh {
    ring(n, 0.0)
}

/// The same ring with a knurl for fingers, so that no two triangles are alike.
pub(crate) fn knurled_ring(n: u32) -> RawMesh {
    ring(n, 0.6)
}

fn ring(n: u32, knurl_mm: f64) -> RawMesh {
    let point = |i: u32, j: u32| {
        let angle = |k: u32| (360.0 * f64::from(k % n) / f64::from(n)).to_radians();
        let (round, tube) = (angle(i), angle(j));
        let thick = 8.0 + knurl_mm * (36.0 * round).sin() * (12.0 * tube).sin();
        let flat = 22.0 + thick * tube.cos();
        [flat * round.cos(), flat * round.sin(), thick * tube.sin()]
    };
    let vertices = (0..n * n).map(|k| point(k / n, k % n)).collect();
    let at = |i: u32, j: u32| (i % n) * n + j % n;
    let triangles = (0..n * n)
        .flat_map(|k| {
            let (i, j) = (k / n, k % n);
            let (a, b) = (at(i, j), at(i + 1, j));
            let (c, d) = (at(i + 1, j + 1), at(i, j + 1));
            [[a, b, c], [a, c, d]]
        })
        .collect();
    RawMesh {
        vertices,
        triangles,
    }
}
