//! What two sets of outlines have in common, and what one has beyond the other.

use clipper2_rust::{FillRule, Path64};

use crate::cut::left_of_both;
use crate::meeting::Surround;
use crate::outlines::Outlines;

/// What is in `a` and not in `b`.
#[must_use]
pub fn without(a: &Outlines, b: &Outlines) -> Outlines {
    if a.is_empty() || b.is_empty() {
        return a.clone();
    }
    if a == b {
        return Outlines::new();
    }
    // What is outside `b` lies to the left of its outlines run the other way round.
    let outside: Outlines = b.iter().cloned().map(reversed).collect();
    quick([a, b], &outside, |inside| !inside)
        .unwrap_or_else(|| clipper2_rust::difference_64(a, b, FillRule::NonZero))
}

/// What is in both.
#[must_use]
pub fn common(a: &Outlines, b: &Outlines) -> Outlines {
    if a.is_empty() || b.is_empty() {
        return Outlines::new();
    }
    if a == b {
        return a.clone();
    }
    quick([a, b], b, |inside| inside)
        .unwrap_or_else(|| clipper2_rust::intersect_64(a, b, FillRule::NonZero))
}

/// Paths of `a` that nothing crosses are whole in the answer if `kept` says so of their lying inside `b`,
/// those of `b` if they lie inside `a`; the others are cut. A fifth of the boolean engine's time, less
/// where nothing crosses, as with most layers of most parts.
fn quick(
    [a, b]: [&Outlines; 2],
    second: &Outlines,
    kept: impl Fn(bool) -> bool,
) -> Option<Outlines> {
    let rooms = [Surround::of(a)?, Surround::of(b)?];
    if !rooms.iter().all(Surround::nested) {
        return None;
    }
    left_of_both([a, second], |k, corner| {
        let inside = rooms[1 - k].times(corner, None)? != 0;
        Some(if k == 0 { kept(inside) } else { inside })
    })
}

fn reversed(mut path: Path64) -> Path64 {
    path.reverse();
    path
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outlines::{area_mm2, offset, to_point};
    use clipper2_rust::Point64;
    use proptest::prelude::*;

    /// Some squares, each with a hole or not, united.
    fn squares() -> impl Strategy<Value = Outlines> {
        prop::collection::vec((0_u8..12, 0_u8..12, 1_u8..9, any::<bool>()), 0..5).prop_map(|list| {
            let mut all = Outlines::new();
            for (x, y, side, hollow) in list {
                let (x, y, side) = (f64::from(x), f64::from(y), f64::from(side));
                let square = vec![
                    to_point(x, y),
                    to_point(x + side, y),
                    to_point(x + side, y + side),
                    to_point(x, y + side),
                ];
                let mut one = vec![square];
                if hollow {
                    one.extend(offset(&one, -side / 3.0).into_iter().map(reversed));
                }
                all.extend(one);
            }
            clipper2_rust::union_subjects_64(&all, FillRule::Positive)
        })
    }

    /// Triangles thrown on each other, united.
    fn thrown() -> impl Strategy<Value = Outlines> {
        let corner = (-90_000_i64..90_000, -90_000_i64..90_000);
        prop::collection::vec(prop::array::uniform3(corner), 1..9).prop_map(|triangles| {
            let one = |t: [(i64, i64); 3]| t.map(|(x, y)| Point64::new(x, y)).to_vec();
            let all = triangles.into_iter().map(one).collect();
            clipper2_rust::union_subjects_64(&all, FillRule::NonZero)
        })
    }

    fn differing_mm2(a: &Outlines, b: &Outlines) -> f64 {
        area_mm2(&clipper2_rust::xor_64(a, b, FillRule::NonZero))
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(600))]
        #[test]
        fn they_are_those_of_the_boolean_engine(a in squares(), b in squares(), by_mm in -0.45_f64..0.45) {
            // Off the grid of whole millimetres, so that some touch and most don't.
            let b = offset(&b, by_mm);
            let both = clipper2_rust::intersect_64(&a, &b, FillRule::NonZero);
            let left = clipper2_rust::difference_64(&a, &b, FillRule::NonZero);
            prop_assert!(differing_mm2(&common(&a, &b), &both) < 1e-6);
            prop_assert!(differing_mm2(&without(&a, &b), &left) < 1e-6);
            for (ours, theirs) in [(common(&a, &b), both), (without(&a, &b), left)] {
                prop_assert!((area_mm2(&ours) - area_mm2(&theirs)).abs() < 1e-6);
            }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(1_000))]
        #[test]
        fn what_is_cut_is_as_by_the_boolean_engine(
            a in thrown(), other in thrown(), near in prop::option::of(-0.1_f64..0.1),
        ) {
            // Two parts, or a part and nearly itself, as neighbouring layers are.
            let b = near.map_or(other.clone(), |by_mm| {
                let moved = |p: &Point64| Point64::new(p.x + 37, p.y - 11);
                let a: Outlines = a.iter().map(|path| path.iter().map(moved).collect()).collect();
                offset(&a, by_mm)
            });
            let both = clipper2_rust::intersect_64(&a, &b, FillRule::NonZero);
            let left = clipper2_rust::difference_64(&a, &b, FillRule::NonZero);
            // Crossings are rounded to 1e-4 mm along some 100 mm of edge.
            for (ours, theirs) in [(common(&a, &b), both), (without(&a, &b), left)] {
                let (gap, area) = (differing_mm2(&ours, &theirs), area_mm2(&ours) - area_mm2(&theirs));
                prop_assert!(gap < 0.01 && area.abs() < 0.01, "{} {}", gap, area);
            }
        }
    }

    #[test]
    fn rings_in_rings_are_answered_with_whole_paths() {
        let square = |half: f64| {
            vec![vec![
                to_point(-half, -half),
                to_point(half, -half),
                to_point(half, half),
                to_point(-half, half),
            ]]
        };
        let ring = |outer: f64, inner: f64| {
            let mut ring = square(outer);
            ring.extend(square(inner).into_iter().map(reversed));
            ring
        };
        assert_eq!(common(&ring(9.0, 5.0), &ring(8.0, 3.0)).len(), 2);
        assert!((area_mm2(&common(&ring(9.0, 5.0), &ring(8.0, 3.0))) - 156.0).abs() < 1e-9);
        assert!((area_mm2(&without(&square(5.0), &ring(10.0, 3.0))) - 36.0).abs() < 1e-9);
        assert!((area_mm2(&without(&ring(9.0, 5.0), &ring(8.0, 3.0))) - 68.0).abs() < 1e-9);
    }
}
