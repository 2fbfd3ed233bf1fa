//! Which closed shells lie inside which: a ray from each through all the others.

use crate::Mesh;
use crate::facts::Shell;
use crate::vector::{cross, dot, minus};

/// For each shell the closed shells that wholly enclose it, in order; empty for shells that
/// are not closed.
///
/// Three points on the shell must all be inside, and so must its box: shells that merely
/// overlap enclose nothing.
pub(crate) fn enclosing_shells(mesh: &Mesh, labels: &[u32], list: &[Shell]) -> Vec<Vec<usize>> {
    let mut around = vec![Vec::new(); list.len()];
    let closed = |i: usize| list[i].volume_mm3.is_some();
    if (0..list.len()).filter(|&i| closed(i)).count() < 2 {
        return around;
    }
    let faces = (0_u32..)
        .zip(labels)
        .filter(|&(_, &label)| closed(label as usize));
    let tree = Tree::of(mesh, faces.map(|(face, _)| face).collect());
    for (i, samples) in sample_faces(labels, list).into_iter().enumerate() {
        if !closed(i) {
            continue;
        }
        let mut inside = tree.shells_around(point_on(mesh, samples[0]), labels);
        inside.retain(|&j| j != i && boxed(&list[i], &list[j]));
        for &face in &samples[1..] {
            if !inside.is_empty() {
                let also = tree.shells_around(point_on(mesh, face), labels);
                inside.retain(|j| also.binary_search(j).is_ok());
            }
        }
        around[i] = inside;
    }
    around
}

fn boxed(inner: &Shell, outer: &Shell) -> bool {
    (0..3).all(|k| inner.low_mm[k] >= outer.low_mm[k] && inner.high_mm[k] <= outer.high_mm[k])
}

/// The first, a middle and the last triangle of each shell.
fn sample_faces(labels: &[u32], list: &[Shell]) -> Vec<[usize; 3]> {
    let mut seen = vec![0_usize; list.len()];
    let mut samples = vec![[0_usize; 3]; list.len()];
    for (face, &label) in labels.iter().enumerate() {
        let i = label as usize;
        let sample = &mut samples[i];
        if seen[i] == 0 {
            sample[0] = face;
        }
        if seen[i] == list[i].faces / 2 {
            sample[1] = face;
        }
        sample[2] = face;
        seen[i] += 1;
    }
    samples
}

/// A point on a triangle, off its middle lines so that a ray seldom meets another's edge.
fn point_on(mesh: &Mesh, face: usize) -> [f64; 3] {
    let [a, b, c] = mesh.triangles[face].map(|i| mesh.vertices[i as usize]);
    std::array::from_fn(|k| 0.412_37 * a[k] + 0.351_91 * b[k] + 0.235_72 * c[k])
}

/// A tree of boxes over triangles, for rays along +x.
struct Tree<'a> {
    mesh: &'a Mesh,
    faces: Vec<u32>,
    nodes: Vec<Node>,
}

struct Node {
    low: [f64; 3],
    high: [f64; 3],
    /// Faces of a leaf; for an inner node where its second child stands.
    content: Content,
}

enum Content {
    Leaf { from: usize, until: usize },
    Inner { second: usize },
}

const LEAF_FACES: usize = 8;

impl<'a> Tree<'a> {
    fn of(mesh: &'a Mesh, faces: Vec<u32>) -> Self {
        let mut tree = Self {
            mesh,
            nodes: Vec::new(),
            faces,
        };
        let until = tree.faces.len();
        tree.build(0, until);
        tree
    }

    /// Halves the faces by their middle along the wider of y and z: depth stays log2(faces).
    fn build(&mut self, from: usize, until: usize) {
        let (mesh, faces) = (self.mesh, &mut self.faces[from..until]);
        let corners = |face: u32| mesh.triangles[face as usize].map(|i| mesh.vertices[i as usize]);
        let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
        for point in faces.iter().flat_map(|&face| corners(face)) {
            low = std::array::from_fn(|k| low[k].min(point[k]));
            high = std::array::from_fn(|k| high[k].max(point[k]));
        }
        let here = self.nodes.len();
        if faces.len() <= LEAF_FACES {
            self.nodes.push(Node {
                low,
                high,
                content: Content::Leaf { from, until },
            });
            return;
        }
        let axis = if high[1] - low[1] >= high[2] - low[2] {
            1
        } else {
            2
        };
        let middle = |face: u32| corners(face).iter().map(|point| point[axis]).sum::<f64>();
        let half = faces.len() / 2;
        faces.select_nth_unstable_by(half, |&a, &b| {
            middle(a).total_cmp(&middle(b)).then(a.cmp(&b))
        });
        self.nodes.push(Node {
            low,
            high,
            content: Content::Inner { second: 0 },
        });
        self.build(from, from + half);
        let second = self.nodes.len();
        self.build(from + half, until);
        self.nodes[here].content = Content::Inner { second };
    }

    /// Shells whose surface a ray from `point` along +x crosses an odd number of times.
    fn shells_around(&self, point: [f64; 3], labels: &[u32]) -> Vec<usize> {
        let mut hits: Vec<usize> = Vec::new();
        let mut open = vec![0_usize];
        while let Some(i) = open.pop() {
            let node = &self.nodes[i];
            let missed = point[0] > node.high[0]
                || (1..3).any(|k| point[k] < node.low[k] || point[k] > node.high[k]);
            if missed {
                continue;
            }
            match node.content {
                Content::Inner { second } => open.extend([second, i + 1]),
                Content::Leaf { from, until } => hits.extend(
                    self.faces[from..until]
                        .iter()
                        .map(|&face| face as usize)
                        .filter(|&face| ray_meets(self.mesh, self.mesh.triangles[face], point))
                        .map(|face| labels[face] as usize),
                ),
            }
        }
        hits.sort_unstable();
        hits.chunk_by(|a, b| a == b)
            .filter(|run| run.len() % 2 == 1)
            .map(|run| run[0])
            .collect()
    }
}

/// Whether the ray from `point` along +x passes through the triangle. A side shared by two
/// triangles is judged with the same rounding by both, so that a ray along it hits just one.
fn ray_meets(mesh: &Mesh, triangle: [u32; 3], point: [f64; 3]) -> bool {
    let left_of = |a: u32, b: u32| {
        let (p, q) = (
            mesh.vertices[a.min(b) as usize],
            mesh.vertices[a.max(b) as usize],
        );
        let side = (q[1] - p[1]) * (point[2] - p[2]) - (q[2] - p[2]) * (point[1] - p[1]);
        (side >= 0.0) == (a < b)
    };
    let [a, b, c] = triangle;
    let first = left_of(a, b);
    if left_of(b, c) != first || left_of(c, a) != first {
        return false;
    }
    let [p, q, r] = triangle.map(|i| mesh.vertices[i as usize]);
    let normal = cross(minus(q, p), minus(r, p));
    // The plane is met at x = point.x + t with t * normal.x = (p - point) . normal.
    dot(minus(p, point), normal) * normal[0] > 0.0
}
