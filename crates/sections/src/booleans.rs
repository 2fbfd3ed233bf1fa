//! What two sets of outlines have in common, and what one has beyond the other.

use clipper2_rust::{FillRule, Path64};

use crate::meeting::{Surround, apart};
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
    let whole = whole_paths(a, b, |inside| !inside);
    whole.map_or_else(
        || clipper2_rust::difference_64(a, b, FillRule::NonZero),
        |[mut of_a, of_b]| {
            of_a.extend(of_b.into_iter().map(reversed));
            of_a
        },
    )
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
    let whole = whole_paths(a, b, |inside| inside);
    whole.map_or_else(
        || clipper2_rust::intersect_64(a, b, FillRule::NonZero),
        |[mut of_a, of_b]| {
            of_a.extend(of_b);
            of_a
        },
    )
}

/// The paths of `a` for which `kept` says so of their lying inside `b`, and the paths of `b` that lie
/// inside `a`; `None` when outlines cross or touch, so that paths must be cut.
///
/// Where no edge of one crosses an edge of the other, each path lies wholly inside or outside the other
/// set, and the boundary of any boolean is made of whole paths. Derived here.
fn whole_paths(a: &Outlines, b: &Outlines, kept: impl Fn(bool) -> bool) -> Option<[Outlines; 2]> {
    let (in_a, in_b) = (Surround::of(a)?, Surround::of(b)?);
    if !apart(a, b) {
        return None;
    }
    let pick = |paths: &Outlines, room: &Surround<'_>, kept: &dyn Fn(bool) -> bool| {
        let mut out = Outlines::new();
        for path in paths {
            if kept(room.times(*path.first()?, None)? != 0) {
                out.push(path.clone());
            }
        }
        Some(out)
    };
    Some([pick(a, &in_b, &kept)?, pick(b, &in_a, &|inside| inside)?])
}

fn reversed(mut path: Path64) -> Path64 {
    path.reverse();
    path
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outlines::{area_mm2, offset, to_point};
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
        assert!(whole_paths(&ring(9.0, 5.0), &ring(8.0, 3.0), |inside| inside).is_some());
        assert_eq!(common(&ring(9.0, 5.0), &ring(8.0, 3.0)).len(), 2);
        assert!((area_mm2(&common(&ring(9.0, 5.0), &ring(8.0, 3.0))) - 156.0).abs() < 1e-9);
        assert!((area_mm2(&without(&square(5.0), &ring(10.0, 3.0))) - 36.0).abs() < 1e-9);
        assert!((area_mm2(&without(&ring(9.0, 5.0), &ring(8.0, 3.0))) - 68.0).abs() < 1e-9);
    }
}
