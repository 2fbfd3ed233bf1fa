//! Every edge with the triangles that run along it.

use crate::Mesh;

/// One triangle's side: position of its triangle times three, plus which side.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Side(u32);

impl Side {
    pub(crate) fn triangle(self) -> usize {
        (self.0 / 3) as usize
    }

    /// Start and end of the side as its triangle runs it.
    pub(crate) fn run(self, mesh: &Mesh) -> (u32, u32) {
        let triangle = mesh.triangles[self.triangle()];
        let k = (self.0 % 3) as usize;
        (triangle[k], triangle[(k + 1) % 3])
    }
}

/// An edge between two corners, with the sides that lie on it in order of triangle.
pub(crate) struct Edge<'a> {
    /// The corner with the smaller number.
    pub(crate) low: u32,
    /// The other corner.
    pub(crate) high: u32,
    sides: &'a [(u32, Side)],
}

impl Edge<'_> {
    pub(crate) fn sides(&self) -> impl Iterator<Item = Side> + '_ {
        self.sides.iter().map(|&(_, side)| side)
    }

    pub(crate) fn kind(&self, mesh: &Mesh) -> EdgeKind {
        match self.sides {
            [_] => EdgeKind::Open,
            [(_, a), (_, b)] if a.run(mesh) == b.run(mesh) => EdgeKind::Misoriented,
            [_, _] => EdgeKind::Sound,
            _ => EdgeKind::Crowded,
        }
    }
}

/// How the triangles meet at an edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum EdgeKind {
    /// Two triangles, run in opposite directions.
    Sound,
    /// One triangle only.
    Open,
    /// Two triangles that run it the same way.
    Misoriented,
    /// More than two triangles.
    Crowded,
}

/// All edges of a mesh, grouped by their smaller corner.
///
/// A counting sort by the smaller corner and small sorts within: linear in practice, eight
/// bytes a side, where a hash map of edges would take several times that.
pub(crate) struct Edges {
    starts: Vec<usize>,
    sides: Vec<(u32, Side)>,
}

impl Edges {
    pub(crate) fn of(mesh: &Mesh) -> Self {
        let mut starts = vec![0_usize; mesh.vertices.len() + 1];
        let ends = |triangle: &[u32; 3], k: usize| {
            let (a, b) = (triangle[k], triangle[(k + 1) % 3]);
            (a.min(b), a.max(b))
        };
        for triangle in &mesh.triangles {
            for k in 0..3 {
                starts[ends(triangle, k).0 as usize + 1] += 1;
            }
        }
        for i in 1..starts.len() {
            starts[i] += starts[i - 1];
        }
        let mut next = starts.clone();
        let mut sides = vec![(0_u32, Side(0)); 3 * mesh.triangles.len()];
        let mut side = 0_u32;
        for triangle in &mesh.triangles {
            for k in 0..3 {
                let (low, high) = ends(triangle, k);
                let slot = &mut next[low as usize];
                sides[*slot] = (high, Side(side));
                *slot += 1;
                side += 1;
            }
        }
        for pair in starts.windows(2) {
            sides[pair[0]..pair[1]].sort_unstable();
        }
        Self { starts, sides }
    }

    /// The sides that lie between two corners, in either direction.
    pub(crate) fn sides_between(&self, a: u32, b: u32) -> impl Iterator<Item = Side> + '_ {
        let (low, high) = (a.min(b) as usize, a.max(b));
        let here = &self.sides[self.starts[low]..self.starts[low + 1]];
        let from = here.partition_point(|&(end, _)| end < high);
        let same = here[from..]
            .iter()
            .take_while(move |&&(end, _)| end == high);
        same.map(|&(_, side)| side)
    }

    /// The edges in order of their corners.
    pub(crate) fn iter(&self) -> impl Iterator<Item = Edge<'_>> + '_ {
        (0_u32..)
            .zip(self.starts.windows(2))
            .flat_map(|(low, pair)| {
                self.sides[pair[0]..pair[1]]
                    .chunk_by(|a, b| a.0 == b.0)
                    .map(move |sides| Edge {
                        low,
                        high: sides[0].0,
                        sides,
                    })
            })
    }
}
