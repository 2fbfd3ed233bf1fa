//! Every edge with the triangles that run along it.

use std::thread;

use crate::Mesh;

/// One triangle's side on an edge: position of its triangle times two, plus one if the triangle
/// runs it from the smaller corner to the greater.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Side(u32);

impl Side {
    pub(crate) fn triangle(self) -> usize {
        (self.0 / 2) as usize
    }

    fn runs_up(self) -> bool {
        self.0 % 2 == 1
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

    /// Start and end of the edge as the triangle of one of its sides runs it.
    pub(crate) fn run(&self, side: Side) -> (u32, u32) {
        if side.runs_up() {
            (self.low, self.high)
        } else {
            (self.high, self.low)
        }
    }

    pub(crate) fn kind(&self) -> EdgeKind {
        match self.sides {
            [_] => EdgeKind::Open,
            [(_, a), (_, b)] if a.runs_up() == b.runs_up() => EdgeKind::Misoriented,
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
    starts: Vec<u32>,
    sides: Vec<(u32, Side)>,
}

/// With fewer triangles one thread is as quick.
const WORTH_A_THREAD: usize = 50_000;

impl Edges {
    pub(crate) fn of(mesh: &Mesh) -> Self {
        let mut starts = vec![0_u32; mesh.vertices.len() + 1];
        for &[a, b, c] in &mesh.triangles {
            for low in [a.min(b), b.min(c), c.min(a)] {
                starts[low as usize + 1] += 1;
            }
        }
        for i in 1..starts.len() {
            starts[i] += starts[i - 1];
        }
        let mut next = starts.clone();
        let mut sides = vec![(0_u32, Side(0)); 3 * mesh.triangles.len()];
        if mesh.triangles.len() < WORTH_A_THREAD {
            fill(mesh, 0, &mut next, &mut sides);
        } else {
            // Each half of the corners has its own stretch of sides: the result is the same.
            let half = starts.partition_point(|&start| (start as usize) < sides.len() / 2);
            let half = half.min(mesh.vertices.len());
            let (low_sides, high_sides) = sides.split_at_mut(starts[half] as usize);
            let (low_next, high_next) = next.split_at_mut(half);
            thread::scope(|scope| {
                scope.spawn(|| fill(mesh, 0, low_next, low_sides));
                fill(mesh, half, high_next, high_sides);
            });
        }
        Self { starts, sides }
    }

    fn from(&self, corner: usize) -> &[(u32, Side)] {
        &self.sides[self.starts[corner] as usize..self.starts[corner + 1] as usize]
    }

    /// The sides that lie between two corners, in either direction.
    pub(crate) fn sides_between(&self, a: u32, b: u32) -> impl Iterator<Item = Side> + '_ {
        let (low, high) = (a.min(b) as usize, a.max(b));
        let here = self.from(low);
        let from = here.partition_point(|&(end, _)| end < high);
        let same = here[from..]
            .iter()
            .take_while(move |&&(end, _)| end == high);
        same.map(|&(_, side)| side)
    }

    /// The edges in order of their corners.
    pub(crate) fn iter(&self) -> impl Iterator<Item = Edge<'_>> + '_ {
        (0_u32..).take(self.starts.len() - 1).flat_map(move |low| {
            self.from(low as usize)
                .chunk_by(|a, b| a.0 == b.0)
                .map(move |sides| Edge {
                    low,
                    high: sides[0].0,
                    sides,
                })
        })
    }
}

/// Puts the sides whose smaller corner is `first` or one of the `next.len() - 1` after it (all after
/// it, if `next` ends with the mesh) into their places, and each corner's in order. `next` says where
/// each corner's sides begin, counted over the whole mesh.
fn fill(mesh: &Mesh, first: usize, next: &mut [u32], sides: &mut [(u32, Side)]) {
    let Some(&before) = next.first() else { return };
    for (&[a, b, c], triangle) in mesh.triangles.iter().zip(0_u32..) {
        for (from, to) in [(a, b), (b, c), (c, a)] {
            let low = from.min(to) as usize;
            let Some(slot) = low.checked_sub(first).and_then(|i| next.get_mut(i)) else {
                continue;
            };
            let side = Side(2 * triangle + u32::from(from < to));
            sides[(*slot - before) as usize] = (from.max(to), side);
            *slot += 1;
        }
    }
    // Now `next` says where each corner's sides end.
    let mut start = before;
    for &end in next.iter() {
        sides[(start - before) as usize..(end - before) as usize].sort_unstable();
        start = end;
    }
}
