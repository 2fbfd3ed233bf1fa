//! Surfaces that run through each other.
//!
//! Whether two triangles cross is decided by exact signs (adaptive predicates), so the answer does
//! not depend on rounding. Surfaces that only touch don't cross, nor do surfaces that lie in one
//! plane: bodies that share a wall are common in part files and print well.

mod boxes;

use std::cell::OnceCell;

use robust::{Coord3D, orient3d};

use crate::Mesh;
use boxes::Boxes;

/// What crosses what.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Crossings {
    /// Pairs of triangles that cross, counted up to the limit given.
    pub pairs: usize,
    /// Where the first pair crosses, in mm; `None` without one.
    pub place_mm: Option<[f64; 3]>,
}

/// Pairs of triangles that run through each other, at most `most` of them.
///
/// Triangles that share an edge are neighbours and are not looked at; of those that share one
/// corner, the side opposite to it must cross the other triangle.
///
/// # Units
/// mm.
/// # Source
/// An edge crosses a triangle when its ends lie on either side of the plane and the three
/// tetrahedra over the sides turn the same way; signs by Shewchuk, Adaptive Precision Floating-Point
/// Arithmetic (1997), as the `robust` crate has them.
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
    let search = Search {
        mesh,
        sides: OnceCell::new(),
    };
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
    /// Every side of every triangle, lower corner first, in order; made when first asked for.
    sides: OnceCell<Vec<(u32, u32, usize)>>,
}

/// How an edge meets a triangle whose plane it passes through.
enum Meets {
    Inside([f64; 3]),
    /// Exactly on that side, between its ends.
    OnSide(usize, [f64; 3]),
}

/// The sides of a triangle, from each corner to the next.
fn sides(t: [u32; 3]) -> [(u32, u32); 3] {
    [(t[0], t[1]), (t[1], t[2]), (t[2], t[0])]
}

impl Search<'_> {
    fn at(&self, corner: u32) -> [f64; 3] {
        self.mesh.vertices[corner as usize]
    }

    /// Where two triangles cross, if they do.
    fn cross(&self, a: usize, b: usize) -> Option<[f64; 3]> {
        let (first, second) = (self.mesh.triangles[a], self.mesh.triangles[b]);
        let shared = |corner: &u32| first.contains(corner) && second.contains(corner);
        // A side that ends in a shared corner can't pass through the other triangle.
        let free = |t: [u32; 3]| {
            let all = sides(t).into_iter();
            all.filter(|(p, q)| !shared(p) && !shared(q))
        };
        let one = free(first).find_map(|side| self.through(side, b));
        one.or_else(|| free(second).find_map(|side| self.through(side, a)))
    }

    fn through(&self, (p, q): (u32, u32), triangle: usize) -> Option<[f64; 3]> {
        let t = self.mesh.triangles[triangle];
        match pierces([self.at(p), self.at(q)], t.map(|i| self.at(i)))? {
            Meets::Inside(place) => Some(place),
            // Between two halves of one flat face is inside the face.
            Meets::OnSide(k, place) => self.flat_across(triangle, k).then_some(place),
        }
    }

    /// Whether the face goes on flat beyond a side of a triangle.
    fn flat_across(&self, triangle: usize, side: usize) -> bool {
        let t = self.mesh.triangles[triangle];
        let (p, q) = sides(t)[side];
        let key = (p.min(q), p.max(q));
        let all = self.sides.get_or_init(|| {
            let triangles = self.mesh.triangles.iter().enumerate();
            let mut all: Vec<(u32, u32, usize)> = triangles
                .flat_map(|(i, t)| sides(*t).map(|(p, q)| (p.min(q), p.max(q), i)))
                .collect();
            all.sort_unstable();
            all
        });
        let from = all.partition_point(|&(a, b, _)| (a, b) < key);
        let here = all[from..].iter().take_while(|(a, b, _)| (*a, *b) == key);
        let mut beyond = here.filter(|(_, _, other)| *other != triangle);
        beyond.any(|&(_, _, other)| {
            let corners = self.mesh.triangles[other].into_iter();
            let mut third = corners.filter(|i| *i != p && *i != q);
            let [a, b, c] = t.map(|i| self.at(i));
            third.any(|i| sign(a, b, c, self.at(i)).abs() <= 0.0)
        })
    }
}

fn sign(a: [f64; 3], b: [f64; 3], c: [f64; 3], d: [f64; 3]) -> f64 {
    let point = |[x, y, z]: [f64; 3]| Coord3D { x, y, z };
    orient3d(point(a), point(b), point(c), point(d))
}

/// Where an edge passes through a triangle, from one side of its plane to the other. An end on the
/// plane, or a way through a corner, does not count.
fn pierces([p, q]: [[f64; 3]; 2], [a, b, c]: [[f64; 3]; 3]) -> Option<Meets> {
    let (from, to) = (sign(a, b, c, p), sign(a, b, c, q));
    if !((from > 0.0 && to < 0.0) || (from < 0.0 && to > 0.0)) {
        return None;
    }
    let turns = [sign(p, q, a, b), sign(p, q, b, c), sign(p, q, c, a)];
    let (left, right) = (
        turns.iter().filter(|&&t| t > 0.0).count(),
        turns.iter().filter(|&&t| t < 0.0).count(),
    );
    let share = from / (from - to);
    let place = std::array::from_fn(|k| p[k] + share * (q[k] - p[k]));
    match (left, right) {
        (3, 0) | (0, 3) => Some(Meets::Inside(place)),
        (2, 0) | (0, 2) => {
            let side = turns.iter().position(|t| t.abs() <= 0.0)?;
            Some(Meets::OnSide(side, place))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    fn boxed(low: [f64; 3], high: [f64; 3]) -> Mesh {
        sample::cuboid(low, high)
    }

    fn both(a: &Mesh, b: &Mesh) -> Mesh {
        let shift = u32::try_from(a.vertices.len()).unwrap();
        let mut out = a.clone();
        out.vertices.extend(&b.vertices);
        out.triangles
            .extend(b.triangles.iter().map(|t| t.map(|i| i + shift)));
        out
    }

    fn pairs(a: &Mesh, b: &Mesh) -> usize {
        crossings(&both(a, b), 1_000).pairs
    }

    #[test]
    fn a_box_alone_crosses_nothing() {
        assert_eq!(
            crossings(&boxed([0.0; 3], [10.0; 3]), 10),
            Crossings::default()
        );
    }

    #[test]
    fn boxes_that_overlap_cross() {
        let big = boxed([0.0; 3], [10.0; 3]);
        assert!(pairs(&big, &boxed([5.0; 3], [15.0; 3])) > 0);
        assert!(pairs(&big, &boxed([5.0, 0.1, -0.1], [15.0, 10.1, 9.9])) > 0);
        // A bar through the middle.
        assert!(pairs(&big, &boxed([4.0, 4.0, -5.0], [6.0, 6.0, 15.0])) > 0);
    }

    #[test]
    fn boxes_that_touch_or_lie_inside_or_apart_do_not_cross() {
        let big = boxed([0.0; 3], [10.0; 3]);
        for other in [
            boxed([0.0, 0.0, 10.0], [10.0, 10.0, 20.0]),
            boxed([2.0, 2.0, 10.0], [8.0, 8.0, 20.0]),
            boxed([2.0, 3.0, 10.0], [8.0, 8.0, 20.0]),
            boxed([10.0, 10.0, 10.0], [20.0, 20.0, 20.0]),
            // Pushed along one axis: all that meets lies in one plane or along a side.
            boxed([5.0, 0.0, 0.0], [15.0, 10.0, 10.0]),
            boxed([3.0; 3], [7.0; 3]),
            boxed([30.0; 3], [40.0; 3]),
        ] {
            assert_eq!(pairs(&big, &other), 0, "{:?}", other.vertices[0]);
        }
    }

    #[test]
    fn the_last_bit_decides() {
        let big = boxed([0.0; 3], [10.0; 3]);
        let above = |z: f64| boxed([2.0, 2.0, z], [8.0, 8.0, 20.0]);
        let just_below = f64::from_bits(10.0_f64.to_bits() - 1);
        assert_eq!(pairs(&big, &above(10.0)), 0);
        assert!(pairs(&big, &above(just_below)) > 0);
    }

    #[test]
    fn counting_stops_at_the_limit_and_the_place_is_on_both() {
        let big = boxed([0.0; 3], [10.0; 3]);
        let found = crossings(&both(&big, &boxed([4.0, 4.0, -5.0], [6.0, 6.0, 15.0])), 2);
        assert_eq!(found.pairs, 2);
        let [x, y, z] = found.place_mm.unwrap();
        assert!(
            (4.0..=6.0).contains(&x) && (4.0..=6.0).contains(&y),
            "{x} {y}"
        );
        assert!(z.abs() < 1e-12 || (z - 10.0).abs() < 1e-12, "{z}");
    }

    #[test]
    fn boxes_find_what_trying_every_pair_finds() {
        // Twelve boxes strewn by a fixed rule, some through each other.
        let at = |i: u32, k: u32| f64::from((i * 37 + k * 17 + i * i * k) % 29);
        let mut all = boxed(
            [at(0, 0), at(0, 1), at(0, 2)],
            [at(0, 0) + 6.0, at(0, 1) + 6.0, at(0, 2) + 6.0],
        );
        for i in 1..12 {
            let low = [at(i, 0), at(i, 1), at(i, 2)];
            all = both(&all, &boxed(low, low.map(|x| x + 6.5)));
        }
        let many = all.triangles.len();
        let search = Search {
            mesh: &all,
            sides: OnceCell::new(),
        };
        let mut slow = 0;
        for a in 0..many {
            slow += (a + 1..many)
                .filter(|&b| search.cross(a, b).is_some())
                .count();
        }
        assert!(slow > 10, "the case has something to find");
        assert_eq!(crossings(&all, usize::MAX).pairs, slow);
    }
}
