//! Boxes that cross, touch and overlap; random triangles against an exact oracle.

mod oracle;

use super::*;
use crate::sample;
use oracle::{Point, insides_meet, passes_along};
use partpledge_units::dice::Dice;

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
    let search = Search::new(&all);
    let mut slow = 0;
    for a in 0..many {
        slow += (a + 1..many)
            .filter(|&b| search.cross(a, b).is_some())
            .count();
    }
    assert!(slow > 10, "the case has something to find");
    assert_eq!(crossings(&all, usize::MAX).pairs, slow);
}

/// Corners on a small grid, so that planes, sides and corners often fall together.
struct Corners(Dice);

impl Corners {
    fn below(&mut self, most: i64) -> i64 {
        self.0.between(0, most)
    }

    fn any(&mut self) -> Point {
        std::array::from_fn(|_| self.below(6))
    }

    /// In a plane with the others, most of the time.
    fn flat(&mut self) -> Point {
        let [x, y, z] = self.any();
        [x, y, if self.below(4) == 0 { z } else { 2 }]
    }

    /// Two triangles with so many corners of the first in the second; flat ones often.
    fn pair(&mut self, shared: usize) -> [[Point; 3]; 2] {
        let flat = self.below(3) == 0;
        let mut corner = || if flat { self.flat() } else { self.any() };
        let first = [corner(), corner(), corner()];
        let mut second = [corner(), corner(), corner()];
        second[..shared].copy_from_slice(&first[..shared]);
        second.rotate_left(usize::try_from(self.below(3)).unwrap());
        [first, second]
    }
}

/// The triangles as a mesh, equal corners welded; stretched and moved by whole numbers so that
/// products no longer fit into 53 bits.
fn stretched(triangles: &[[Point; 3]]) -> Mesh {
    let mut corners: Vec<Point> = triangles.iter().flatten().copied().collect();
    corners.sort_unstable();
    corners.dedup();
    let number = |p: &Point| u32::try_from(corners.binary_search(p).unwrap()).unwrap();
    Mesh {
        triangles: triangles.iter().map(|t| t.each_ref().map(number)).collect(),
        vertices: corners
            .iter()
            .map(|p| p.map(|x| (x * 1_000_000_007 + 123_456_789_123) as f64))
            .collect(),
    }
}

fn has_three_corners(t: &[Point; 3]) -> bool {
    t[0] != t[1] && t[1] != t[2] && t[0] != t[2]
}

#[test]
fn pairs_of_triangles_cross_just_when_fractions_say_so() {
    let mut corners = Corners(Dice::seeded(7));
    let (mut looked_at, mut crossed) = ([0; 3], [0; 3]);
    while looked_at.iter().sum::<usize>() < 150_000 {
        for shared in 0..3 {
            let pair = corners.pair(shared);
            let mut sorted = pair;
            for triangle in &mut sorted {
                triangle.sort_unstable();
            }
            // Welding leaves no triangle with two equal corners, and none twice.
            if sorted[0] == sorted[1] || !pair.iter().all(has_three_corners) {
                continue;
            }
            let truth = insides_meet(pair[0], pair[1]);
            let found = crossings(&stretched(&pair), 10).pairs;
            assert_eq!(found, usize::from(truth), "{pair:?}");
            looked_at[shared] += 1;
            crossed[shared] += usize::from(truth);
        }
    }
    assert!(crossed[0] > 5_000 && crossed[1] > 2_000, "{crossed:?}");
    assert_eq!(crossed[2], 0, "triangles with a common side never cross");
}

#[test]
fn a_side_that_lies_in_a_face_counts_when_its_wings_are_on_both_sides() {
    let mut corners = Corners(Dice::seeded(8));
    let (mut looked_at, mut along) = (0, 0);
    while looked_at < 60_000 {
        let face = [corners.flat(), corners.flat(), corners.flat()];
        let side = [corners.flat(), corners.flat()];
        let wings = [corners.any(), corners.any()];
        let mut all = vec![
            face[0], face[1], face[2], side[0], side[1], wings[0], wings[1],
        ];
        all.sort_unstable();
        all.dedup();
        if all.len() < 7 {
            continue;
        }
        let left = [side[0], side[1], wings[0]];
        let right = [side[1], side[0], wings[1]];
        let passes = passes_along(face, side, wings);
        let truth = [left, right].map(|wing| insides_meet(face, wing) || passes);
        let truth = truth.into_iter().filter(|&crosses| crosses).count();
        let found = crossings(&stretched(&[face, left, right]), 10).pairs;
        assert_eq!(found, truth, "{face:?} {side:?} {wings:?}");
        looked_at += 1;
        along += usize::from(passes);
    }
    assert!(along > 500, "{along} sides ran along a face");
}

#[test]
fn bodies_that_cross_only_along_their_seams_are_found() {
    // Two long bars, each with a seam round its middle that lies in the other's face.
    let bar = boxed([0.0, 0.0, 0.0], [10.0, 10.0, 10.0]);
    let mut seamed = boxed([2.0, 2.0, 10.0], [8.0, 8.0, 20.0]);
    // Below the seam the walls go on: five more corners make a tip under the face at z = 10.
    let tip = u32::try_from(seamed.vertices.len()).unwrap();
    seamed.vertices.push([5.0, 5.0, 4.0]);
    let at = |p: [f64; 3]| {
        let near = |q: &[f64; 3]| (0..3).all(|k| (p[k] - q[k]).abs() < 1e-9);
        u32::try_from(seamed.vertices.iter().position(near).unwrap()).unwrap()
    };
    let ring = [[2.0, 2.0], [8.0, 2.0], [8.0, 8.0], [2.0, 8.0]].map(|[x, y]| at([x, y, 10.0]));
    let below = |t: &[u32; 3]| t.iter().all(|i| ring.contains(i));
    seamed.triangles.retain(|t| !below(t));
    for k in 0..4 {
        seamed.triangles.push([ring[(k + 1) % 4], ring[k], tip]);
    }
    assert!(pairs(&bar, &seamed) > 0);
}

#[test]
fn the_answer_does_not_depend_on_how_many_threads_look() {
    // Two rings, one through the other, of 7,200 triangles each.
    let mut linked = sample::ring(60);
    let mut other = sample::ring(60);
    for p in &mut other.vertices {
        *p = [p[0] + 9.0, p[2], p[1]];
    }
    linked = both(&linked, &other);
    let alone = by_threads(&linked, usize::MAX, 1);
    assert!(alone.pairs > 100, "{alone:?}");
    for threads in [2, 3, 8] {
        assert_eq!(by_threads(&linked, usize::MAX, threads), alone);
        let few = by_threads(&linked, 10, threads);
        assert_eq!((few.pairs, few.place_mm), (10, alone.place_mm));
    }
}
