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

use std::sync::OnceLock;

use crate::Mesh;
use crate::edges::Edges;
use boxes::Boxes;
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
    let mut found = Crossings::default();
    if most == 0 || mesh.triangles.len() < 2 {
        return found;
    }
    let search = Search::new(mesh);
    Boxes::of(mesh).close_pairs(|a, b| {
        if let Some(place) = search.cross(a, b) {
            found.place_mm.get_or_insert(place);
            found.pairs += 1;
        }
        found.pairs < most
    });
    found
}

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

    /// Where two triangles cross, if they do.
    fn cross(&self, a: usize, b: usize) -> Option<[f64; 3]> {
        let (first, second) = (self.mesh.triangles[a], self.mesh.triangles[b]);
        let shared = first.iter().filter(|&corner| second.contains(corner));
        // With two corners in both, one corner is left: it can't be on both sides.
        if shared.count() > 1 {
            return None;
        }
        match meeting(self.corners(a), self.corners(b)) {
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
