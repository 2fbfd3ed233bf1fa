//! Surfaces that run through each other.
//!
//! What counts, and what does not:
//!
//! - Two triangles **cross** when their insides have a point in common and they don't lie in one
//!   plane. Where the two surfaces cross along a side between two triangles of the one, these two
//!   count as one face: the side must run through the inside of the other surface's triangle, and
//!   the two must go off on either side of it.
//! - Triangles that only **touch** don't cross: a corner on a face, a side on a face or on a side,
//!   two that share a corner or a side.
//! - Triangles that **lie in one plane** don't cross, even if they cover each other: bodies that share
//!   a wall are common in part files and print well.
//! - A triangle without area has no inside and crosses nothing.
//!
//! All of it is decided by exact signs (adaptive predicates), so the answer does not depend on
//! rounding. It is about the welded corners, not the file's own numbers.

mod boxes;
mod pair;

use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, OnceLock, PoisonError};
use std::thread;

use crate::Mesh;
use crate::edges::Edges;
use boxes::{Boxes, Branch};
use pair::{Along, Meeting, meeting, sign};

/// What crosses what.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Crossings {
    /// Pairs of triangles that cross, counted up to the limit given.
    pub pairs: usize,
    /// Where one pair crosses, in mm; `None` without one.
    pub place_mm: Option<[f64; 3]>,
}

/// Pairs of triangles that run through each other, at most `most` of them.
///
/// # Units
/// mm.
/// # Source
/// Signs of volumes by Shewchuk, Adaptive Precision Floating-Point Arithmetic (1997), as the
/// `robust` crate has them; what follows from the signs is derived here.
///
/// ```
/// use partpledge_mesh::{Mesh, crossings};
/// // Two triangles like the two halves of a paper model, one stuck through the other.
/// let mesh = Mesh {
///     vertices: vec![
///         [0.0, 0.0, 0.0], [10.0, 0.0, 0.0], [0.0, 10.0, 0.0],
///         [2.0, 2.0, -1.0], [2.0, 2.0, 5.0], [9.0, 9.0, 2.0],
///     ],
///     triangles: vec![[0, 1, 2], [3, 4, 5]],
/// };
/// let found = crossings(&mesh, 10);
/// assert_eq!(found.pairs, 1);
/// assert!((found.place_mm.unwrap()[2]).abs() < 1e-12, "on the first one");
/// ```
#[must_use]
pub fn crossings(mesh: &Mesh, most: usize) -> Crossings {
    let threads = if mesh.triangles.len() < WORTH_THREADS {
        1
    } else {
        thread::available_parallelism().map_or(1, |many| many.get().min(MOST_THREADS))
    };
    by_threads(mesh, most, threads)
}

/// The same answer for any number of threads: pieces are begun in order and those begun are
/// finished, so the first that finds something is the same one each time.
fn by_threads(mesh: &Mesh, most: usize, threads: usize) -> Crossings {
    if most == 0 || mesh.triangles.len() < 2 {
        return Crossings::default();
    }
    let search = Search::new(mesh);
    let boxes = Boxes::of(mesh);
    let pieces = boxes.pieces(PIECES);
    let (next, pairs) = (AtomicUsize::new(0), AtomicUsize::new(0));
    let place = Mutex::new(None::<(usize, [f64; 3])>);
    let work = || {
        while pairs.load(Ordering::Relaxed) < most {
            let at = next.fetch_add(1, Ordering::Relaxed);
            let Some(&piece) = pieces.get(at) else { break };
            let found = search.in_piece(&boxes, piece, most);
            pairs.fetch_add(found.pairs, Ordering::Relaxed);
            if let Some(here) = found.place_mm {
                let mut place = place.lock().unwrap_or_else(PoisonError::into_inner);
                if place.is_none_or(|(first, _)| at < first) {
                    *place = Some((at, here));
                }
            }
        }
    };
    thread::scope(|scope| {
        for _ in 1..threads {
            scope.spawn(work);
        }
        work();
    });
    let place = place.into_inner().unwrap_or_else(PoisonError::into_inner);
    Crossings {
        pairs: pairs.into_inner().min(most),
        place_mm: place.map(|(_, place)| place),
    }
}

/// Pieces that the search is cut into, at least, if the mesh has so many.
const PIECES: usize = 400;
/// With fewer triangles one thread is as quick.
const WORTH_THREADS: usize = 5_000;
/// A judgement is one of several at a time: it does not take the whole machine.
const MOST_THREADS: usize = 4;

struct Search<'a> {
    mesh: &'a Mesh,
    /// Made when first asked for: few meshes have a side that lies in another face.
    edges: OnceLock<Edges>,
}

impl<'a> Search<'a> {
    fn new(mesh: &'a Mesh) -> Self {
        Self {
            mesh,
            edges: OnceLock::new(),
        }
    }

    /// What crosses in one piece of the tree.
    fn in_piece(&self, boxes: &Boxes, piece: [Branch; 2], most: usize) -> Crossings {
        let mut found = Crossings::default();
        boxes.close_pairs(piece, |a, b| {
            if let Some(place) = self.cross(a, b) {
                found.place_mm.get_or_insert(place);
                found.pairs += 1;
            }
            found.pairs < most
        });
        found
    }

    /// Where two triangles cross, if they do.
    fn cross(&self, a: usize, b: usize) -> Option<[f64; 3]> {
        let (first, second) = (self.mesh.triangles[a], self.mesh.triangles[b]);
        let mut shared = None;
        for (i, corner) in first.iter().enumerate() {
            if let Some(j) = second.iter().position(|other| other == corner) {
                // With two corners in both, one corner is left: it can't be on both sides.
                if shared.is_some() {
                    return None;
                }
                shared = Some([i, j]);
            }
        }
        match meeting(self.corners(a), self.corners(b), shared) {
            Meeting::None => None,
            Meeting::Cross(place) => Some(place),
            Meeting::Along(along) if along.side_of_second => self.goes_on(b, a, along),
            Meeting::Along(along) => self.goes_on(a, b, along),
        }
    }

    fn corners(&self, triangle: usize) -> [[f64; 3]; 3] {
        self.mesh.triangles[triangle].map(|i| self.mesh.vertices[i as usize])
    }

    /// Whether the surface of `triangle` goes on beyond the other face at the side that lies in it;
    /// if so, the middle of that side.
    fn goes_on(&self, triangle: usize, face: usize, along: Along) -> Option<[f64; 3]> {
        let t = self.mesh.triangles[triangle];
        let (p, q) = (t[(along.opposite + 1) % 3], t[(along.opposite + 2) % 3]);
        let [a, b, c] = self.corners(face);
        let beyond = if along.above { -1 } else { 1 };
        let edges = self.edges.get_or_init(|| Edges::of(self.mesh));
        let crosses = edges.sides_between(p, q).any(|side| {
            let other = self.mesh.triangles[side.triangle()].into_iter();
            let mut third = other.filter(|&i| i != p && i != q);
            third.any(|i| sign(a, b, c, self.mesh.vertices[i as usize]) == beyond)
        });
        let at = |i: u32| self.mesh.vertices[i as usize];
        crosses.then(|| crate::vector::middle(at(p), at(q)))
    }
}

#[cfg(test)]
mod tests;
