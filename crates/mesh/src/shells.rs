//! Which triangles hang together.

use crate::Mesh;
use crate::edges::{Edge, Edges};

/// Sets that can be joined, each known by its smallest member in the end.
pub(crate) struct Groups(Vec<u32>);

impl Groups {
    pub(crate) fn new(count: usize) -> Self {
        Self((0_u32..).take(count).collect())
    }

    pub(crate) fn root(&mut self, mut i: u32) -> u32 {
        while self.0[i as usize] != i {
            let above = self.0[self.0[i as usize] as usize];
            self.0[i as usize] = above;
            i = above;
        }
        i
    }

    /// The smaller root wins, so that labels never depend on the order of joining.
    pub(crate) fn join(&mut self, a: u32, b: u32) {
        let (a, b) = (self.root(a), self.root(b));
        self.0[a.max(b) as usize] = a.min(b);
    }

    /// The same for positions in a list.
    pub(crate) fn join_at(&mut self, a: usize, b: usize) {
        self.join(label(a), label(b));
    }

    /// A label for each member, 0 upwards in order of the first member; and how many labels.
    pub(crate) fn labels(mut self) -> (Vec<u32>, usize) {
        let mut count = 0_u32;
        let mut labels = vec![0_u32; self.0.len()];
        for i in (0_u32..).take(labels.len()) {
            let root = self.root(i);
            labels[i as usize] = if root == i {
                count += 1;
                count - 1
            } else {
                labels[root as usize]
            };
        }
        (labels, count as usize)
    }
}

/// A shell number for each triangle, and how many shells: triangles that share an edge,
/// however many do, are in one shell.
pub(crate) fn shells(mesh: &Mesh, edges: &Edges) -> (Vec<u32>, usize) {
    shells_seeing(mesh, edges, |_| {})
}

/// The same; every edge is shown on the way.
pub(crate) fn shells_seeing(
    mesh: &Mesh,
    edges: &Edges,
    mut see: impl FnMut(&Edge<'_>),
) -> (Vec<u32>, usize) {
    let mut groups = Groups::new(mesh.triangles.len());
    for edge in edges.iter() {
        let mut sides = edge.sides().map(|side| label(side.triangle()));
        if let Some(first) = sides.next() {
            sides.for_each(|other| groups.join(first, other));
        }
        see(&edge);
    }
    groups.labels()
}

fn label(i: usize) -> u32 {
    u32::try_from(i).expect("triangles and corners are numbered in u32")
}
