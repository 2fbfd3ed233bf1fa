//! A lighter copy of a large mesh, for a screen that turns it, and how far it strays.

use partpledge_mesh::Mesh;
use partpledge_mesh::vector::{dot, minus};
use partpledge_units::cast::to_f32;
use rayon::prelude::*;
use rstar::{AABB, PointDistance, RTree, RTreeObject};

/// A mesh for the eye.
#[derive(Clone, Debug, PartialEq)]
pub struct Lighter {
    /// What is to be shown. Its corners are corners of the original, at their places.
    pub mesh: Mesh,
    /// The farthest that any corner of the original lies from what is shown, mm; `None` when
    /// nothing was left out.
    pub within_mm: Option<f64>,
}

/// The mesh with at most `most` triangles, as near as its joints allow: a mesh whose surfaces hang
/// together in odd ways may keep more. One that has no more to begin with is given back as it is.
///
/// Corners that stay do not move, so that distances between them are those of the original. The
/// deviation is measured, not estimated: from every corner that was left out to the nearest point
/// of what stays.
///
/// # Source
/// Edge collapse by quadric error as in the crate `meshopt`; the deviation is derived here.
///
/// ```
/// use partpledge_drawing::lighter;
/// use partpledge_mesh::Mesh;
/// let tile = Mesh {
///     vertices: vec![[0.0; 3], [20.0, 0.0, 0.0], [20.0, 20.0, 0.0], [0.0, 20.0, 0.0]],
///     triangles: vec![[0, 1, 2], [0, 2, 3]],
/// };
/// assert_eq!(lighter(&tile, 2).within_mm, None);
/// ```
#[must_use]
pub fn lighter(mesh: &Mesh, most: usize) -> Lighter {
    if mesh.triangles.len() <= most {
        return Lighter {
            mesh: mesh.clone(),
            within_mm: None,
        };
    }
    // Single precision about the middle: far from the origin it would lose its digits.
    let (low, high) = mesh.bounds().unwrap_or_default();
    let middle: [f64; 3] = std::array::from_fn(|k| f64::midpoint(low[k], high[k]));
    let about = |p: &[f64; 3]| -> [f32; 3] { std::array::from_fn(|k| to_f32(p[k] - middle[k])) };
    let positions: Vec<[f32; 3]> = mesh.vertices.iter().map(about).collect();
    let options = meshopt::SimplifyOptions::None;
    let indices = mesh.triangles.as_flattened();
    let kept = meshopt::simplify_decoder(indices, &positions, 3 * most, 1.0, options, None);
    let shown = compact(mesh, kept.as_chunks::<3>().0);
    Lighter {
        within_mm: Some(farthest_mm(mesh, &kept, &shown)),
        mesh: shown,
    }
}

/// The triangles with only the corners that they use, in order of first use.
fn compact(mesh: &Mesh, triangles: &[[u32; 3]]) -> Mesh {
    let mut place = vec![u32::MAX; mesh.vertices.len()];
    let mut shown = Mesh::default();
    for triangle in triangles {
        shown.triangles.push(triangle.map(|i| {
            let at = &mut place[i as usize];
            if *at == u32::MAX {
                *at = u32::try_from(shown.vertices.len()).unwrap_or(u32::MAX);
                shown.vertices.push(mesh.vertices[i as usize]);
            }
            *at
        }));
    }
    shown
}

/// A triangle to measure to.
struct Face([[f64; 3]; 3]);

impl RTreeObject for Face {
    type Envelope = AABB<[f64; 3]>;
    fn envelope(&self) -> Self::Envelope {
        AABB::from_points(&self.0)
    }
}

impl PointDistance for Face {
    fn distance_2(&self, point: &[f64; 3]) -> f64 {
        let to = minus(*point, nearest(&self.0, *point));
        dot(to, to)
    }
}

fn farthest_mm(mesh: &Mesh, kept: &[u32], shown: &Mesh) -> f64 {
    let mut left_out = vec![true; mesh.vertices.len()];
    for &i in kept {
        left_out[i as usize] = false;
    }
    let corners = |t: &[u32; 3]| Face(t.map(|i| shown.vertices[i as usize]));
    let faces = shown.triangles.iter().map(corners);
    let tree = RTree::bulk_load(faces.collect());
    let away = |point: &[f64; 3]| {
        let face = tree.nearest_neighbor(point);
        face.map_or(0.0, |face| face.distance_2(point))
    };
    let points = mesh.vertices.par_iter().zip(&left_out);
    let far = points.filter(|(_, out)| **out).map(|(p, _)| away(p));
    far.reduce(|| 0.0, f64::max).sqrt()
}

/// The point of a triangle nearest to another.
///
/// # Source
/// C. Ericson, Real-Time Collision Detection (2005), 5.1.5, from memory: the region of the plane
/// that the point's foot falls in.
fn nearest(&[a, b, c]: &[[f64; 3]; 3], p: [f64; 3]) -> [f64; 3] {
    let along =
        |from: [f64; 3], way: [f64; 3], t: f64| std::array::from_fn(|k| from[k] + t * way[k]);
    let (ab, ac, ap) = (minus(b, a), minus(c, a), minus(p, a));
    let (d1, d2) = (dot(ab, ap), dot(ac, ap));
    if d1 <= 0.0 && d2 <= 0.0 {
        return a;
    }
    let bp = minus(p, b);
    let (d3, d4) = (dot(ab, bp), dot(ac, bp));
    if d3 >= 0.0 && d4 <= d3 {
        return b;
    }
    let vc = d1 * d4 - d3 * d2;
    if vc <= 0.0 && d1 >= 0.0 && d3 <= 0.0 {
        return along(a, ab, d1 / (d1 - d3));
    }
    let cp = minus(p, c);
    let (d5, d6) = (dot(ab, cp), dot(ac, cp));
    if d6 >= 0.0 && d5 <= d6 {
        return c;
    }
    let vb = d5 * d2 - d1 * d6;
    if vb <= 0.0 && d2 >= 0.0 && d6 <= 0.0 {
        return along(a, ac, d2 / (d2 - d6));
    }
    let va = d3 * d6 - d5 * d4;
    if va <= 0.0 && d4 >= d3 && d5 >= d6 {
        return along(b, minus(c, b), (d4 - d3) / ((d4 - d3) + (d5 - d6)));
    }
    let (v, w) = (vb / (va + vb + vc), vc / (va + vb + vc));
    std::array::from_fn(|k| a[k] + v * ab[k] + w * ac[k])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A ball of 20 mm radius, its rings and sectors as fine as said.
    fn ball(rings: u32, sectors: u32) -> Mesh {
        let mut mesh = Mesh::default();
        for i in 0..=rings {
            let (z, r) = (std::f64::consts::PI * f64::from(i) / f64::from(rings)).sin_cos();
            for j in 0..sectors {
                let (s, c) = (std::f64::consts::TAU * f64::from(j) / f64::from(sectors)).sin_cos();
                mesh.vertices
                    .push([20.0 * z * c, 20.0 * z * s, 20.0 * r + 500.0]);
            }
        }
        for i in 0..rings {
            for j in 0..sectors {
                let at = |i: u32, j: u32| i * sectors + j % sectors;
                let (a, b, c, d) = (at(i, j), at(i, j + 1), at(i + 1, j), at(i + 1, j + 1));
                mesh.triangles.extend([[a, c, b], [b, c, d]]);
            }
        }
        mesh
    }

    #[test]
    fn a_ball_gets_lighter_and_strays_no_more_than_the_rise_of_its_facets() {
        let ball = ball(150, 300);
        let light = lighter(&ball, 20_000);
        assert!(light.mesh.triangles.len() <= 20_000 && light.mesh.triangles.len() > 10_000);
        // A facet of length l strays by its sagitta l²/8r: 20,000 even ones on 5027 mm² are 0.76 mm
        // long, and none should be four times as long. Derived here.
        let within = light.within_mm.unwrap();
        let longest = 4.0 * 0.76;
        assert!(
            within > 1e-5 && within < longest * longest / 160.0,
            "{within}"
        );
        let corner = |p: &[f64; 3]| ball.vertices.contains(p);
        assert!(
            light.mesh.vertices.iter().step_by(97).all(corner),
            "no corner has moved"
        );
    }

    #[test]
    fn flat_faces_lose_triangles_and_nothing_else() {
        // A tile of 40,000 triangles in one plane, its corners at 0 and 100 mm.
        let mut tile = Mesh::default();
        for i in 0..=100_u32 {
            for j in 0..=200_u32 {
                tile.vertices.push([f64::from(i), f64::from(j) / 2.0, 3.0]);
            }
        }
        for i in 0..100_u32 {
            for j in 0..200_u32 {
                let a = i * 201 + j;
                tile.triangles
                    .extend([[a, a + 201, a + 1], [a + 1, a + 201, a + 202]]);
            }
        }
        let light = lighter(&tile, 1_000);
        assert!(light.mesh.triangles.len() <= 1_000);
        assert!(light.within_mm.unwrap() < 1e-9);
        assert_eq!(light.mesh.bounds(), tile.bounds());
    }

    #[test]
    fn the_nearest_point_is_found_in_every_region_of_the_plane() {
        let t = [[0.0; 3], [4.0, 0.0, 0.0], [0.0, 3.0, 0.0]];
        for (point, expected) in [
            ([-1.0, -1.0, 2.0], [0.0, 0.0, 0.0]),
            ([9.0, -1.0, 0.0], [4.0, 0.0, 0.0]),
            ([-1.0, 9.0, 0.0], [0.0, 3.0, 0.0]),
            ([1.0, -2.0, 1.0], [1.0, 0.0, 0.0]),
            ([-2.0, 1.0, 1.0], [0.0, 1.0, 0.0]),
            ([1.0, 1.0, 7.0], [1.0, 1.0, 0.0]),
            // 3-4-5: the foot on the long side of a point 5 from it.
            ([2.0 + 3.0, 1.5 + 4.0, 0.0], [2.0, 1.5, 0.0]),
        ] {
            let off = minus(nearest(&t, point), expected);
            assert!(dot(off, off) < 1e-18, "{point:?}");
        }
    }
}
