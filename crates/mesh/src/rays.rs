//! Straight lines through a mesh: what they meet first.

use crate::Mesh;
use crate::vector::{cross, dot, double_area, minus};

/// Triangles in one lowest box.
const LEAF: usize = 4;
/// A ray this little outside a triangle's side still meets it, as a share of the side: no ray slips
/// through between two neighbours. Derived here.
const SLACK: f64 = 1e-9;

/// A tree of boxes over the triangles of a mesh, to send rays through.
#[derive(Debug)]
pub struct Rays<'a> {
    mesh: &'a Mesh,
    order: Vec<u32>,
    nodes: Vec<Node>,
}

/// Where a ray meets the mesh.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hit {
    /// How far along, in mm.
    pub distance_mm: f64,
    /// Which triangle.
    pub face: usize,
    /// Whether the ray comes out of the solid there: it runs the way that the triangle faces.
    pub leaves: bool,
}

#[derive(Clone, Copy, Debug)]
struct Node {
    low: [f64; 3],
    high: [f64; 3],
    from: u32,
    until: u32,
    /// Position of the first of the two boxes inside; 0 for a lowest box.
    inside: u32,
}

impl<'a> Rays<'a> {
    /// The tree over all triangles: halved by the middle of the longest side until few are left.
    #[must_use]
    pub fn through(mesh: &'a Mesh) -> Self {
        let middles: Vec<[f64; 3]> = mesh
            .triangles
            .iter()
            .map(|t| {
                let [a, b, c] = t.map(|i| mesh.vertices[i as usize]);
                std::array::from_fn(|k| a[k] + b[k] + c[k])
            })
            .collect();
        let mut out = Self {
            mesh,
            order: (0_u32..).take(mesh.triangles.len()).collect(),
            nodes: Vec::with_capacity(mesh.triangles.len()),
        };
        let all = out.around(0, out.order.len());
        out.nodes.push(all);
        let mut next = vec![0_usize];
        while let Some(at) = next.pop() {
            let node = out.nodes[at];
            let (from, until) = (node.from as usize, node.until as usize);
            if until - from <= LEAF {
                continue;
            }
            let side = |k: usize| node.high[k] - node.low[k];
            let axis = (0..3)
                .max_by(|&a, &b| side(a).total_cmp(&side(b)))
                .unwrap_or(0);
            let half = (until - from) / 2;
            out.order[from..until].select_nth_unstable_by(half, |&a, &b| {
                let key = |i: u32| middles[i as usize][axis];
                key(a).total_cmp(&key(b)).then(a.cmp(&b))
            });
            let first = out.nodes.len();
            let halves = [
                out.around(from, from + half),
                out.around(from + half, until),
            ];
            out.nodes.extend(halves);
            out.nodes[at].inside = position(first);
            next.extend([first, first + 1]);
        }
        out
    }

    fn around(&self, from: usize, until: usize) -> Node {
        let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
        for &face in &self.order[from..until] {
            for corner in self.mesh.triangles[face as usize] {
                let p = self.mesh.vertices[corner as usize];
                for k in 0..3 {
                    low[k] = low[k].min(p[k]);
                    high[k] = high[k].max(p[k]);
                }
            }
        }
        Node {
            low,
            high,
            from: position(from),
            until: position(until),
            inside: 0,
        }
    }

    /// The nearest triangle that a ray meets farther along than `beyond_mm`; of two at the same
    /// distance the one that comes first in the mesh.
    ///
    /// # Units
    /// `from` and `beyond_mm` in mm; `along` is a unit vector.
    /// # Source
    /// Ray against triangle: Möller and Trumbore, Journal of Graphics Tools 2 (1997), p21-28 (from
    /// memory).
    ///
    /// ```
    /// use partpledge_mesh::Mesh;
    /// use partpledge_mesh::rays::Rays;
    /// let sheet = Mesh {
    ///     vertices: vec![[0.0; 3], [4.0, 0.0, 0.0], [0.0, 4.0, 0.0]],
    ///     triangles: vec![[0, 1, 2]],
    /// };
    /// let hit = Rays::through(&sheet).first_hit([1.0, 1.0, -3.0], [0.0, 0.0, 1.0], 0.0).unwrap();
    /// assert!((hit.distance_mm - 3.0).abs() < 1e-12 && hit.leaves);
    /// ```
    #[must_use]
    pub fn first_hit(&self, from: [f64; 3], along: [f64; 3], beyond_mm: f64) -> Option<Hit> {
        let mut best: Option<Hit> = None;
        let mut open = vec![0_usize];
        while let Some(at) = open.pop() {
            let node = &self.nodes[at];
            let reach = best.map_or(f64::INFINITY, |hit| hit.distance_mm);
            if self.order.is_empty() || !node.meets(from, along, beyond_mm, reach) {
                continue;
            }
            if node.inside > 0 {
                open.extend([node.inside as usize, node.inside as usize + 1]);
                continue;
            }
            for &face in &self.order[node.from as usize..node.until as usize] {
                if let Some(hit) = self.meet(face as usize, from, along)
                    && hit.distance_mm > beyond_mm
                    && best.is_none_or(|best| {
                        (hit.distance_mm, hit.face) < (best.distance_mm, best.face)
                    })
                {
                    best = Some(hit);
                }
            }
        }
        best
    }

    fn meet(&self, face: usize, from: [f64; 3], along: [f64; 3]) -> Option<Hit> {
        let [a, b, c] = self.mesh.triangles[face].map(|i| self.mesh.vertices[i as usize]);
        let (ab, ac) = (minus(b, a), minus(c, a));
        let across = cross(along, ac);
        let slope = dot(ab, across);
        if slope == 0.0 {
            return None;
        }
        let to = minus(from, a);
        let u = dot(to, across) / slope;
        let up = cross(to, ab);
        let v = dot(along, up) / slope;
        let outside = u < -SLACK || v < -SLACK || u + v > 1.0 + SLACK;
        (!outside).then(|| Hit {
            distance_mm: dot(ac, up) / slope,
            face,
            leaves: dot(along, double_area([a, b, c])) > 0.0,
        })
    }

    /// How much solid lies under a point of the surface: the way along `-normal` until the ray is
    /// out of the solid again, and the triangle where it comes out. `None` when it never does.
    ///
    /// Where bodies overlap, the ray goes on until it has left all of them.
    ///
    /// # Units
    /// mm; `normal` is the outward unit normal at the point.
    #[must_use]
    pub fn depth_mm(&self, point: [f64; 3], normal: [f64; 3]) -> Option<Hit> {
        let along = normal.map(|x| -x);
        let mut within = 1_i32;
        let mut beyond_mm = NEAR_MM;
        for _ in 0..MOST_CROSSED {
            let hit = self.first_hit(point, along, beyond_mm)?;
            within += if hit.leaves { -1 } else { 1 };
            if within <= 0 {
                return Some(hit);
            }
            beyond_mm = hit.distance_mm + NEAR_MM;
        }
        None
    }
}

/// Nearer than this is the surface itself, mm.
const NEAR_MM: f64 = 1e-6;
/// Most surfaces that one ray is followed through.
const MOST_CROSSED: usize = 64;

impl Node {
    /// Whether the ray passes the box between two distances.
    fn meets(&self, from: [f64; 3], along: [f64; 3], beyond: f64, reach: f64) -> bool {
        let (mut enter, mut leave) = (beyond, reach);
        for k in 0..3 {
            // A ray along a face of the box is in it: a hair of room on each side.
            let hair = 1e-9 * (1.0 + self.low[k].abs().max(self.high[k].abs()));
            let (low, high) = (self.low[k] - hair, self.high[k] + hair);
            if along[k] == 0.0 {
                if from[k] < low || from[k] > high {
                    return false;
                }
                continue;
            }
            let (near, far) = ((low - from[k]) / along[k], (high - from[k]) / along[k]);
            enter = enter.max(near.min(far));
            leave = leave.min(near.max(far));
        }
        enter <= leave
    }
}

fn position(i: usize) -> u32 {
    u32::try_from(i).expect("triangles are numbered in u32")
}
