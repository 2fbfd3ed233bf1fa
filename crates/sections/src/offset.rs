//! Outlines moved outward or inward with sharp corners.

use clipper2_rust::{FillRule, Path64, Point64};
use partpledge_units::cast::round_i64;

use crate::front::advanced;
use crate::meeting::keeps_to_itself;
use crate::outlines::{Outlines, UNITS_PER_MM};
use crate::pieces::pieces;

/// Corners stay sharp up to this many offsets from the corner, then are squared off.
const MITER_LIMIT: f64 = 2.0;

/// Turns with a smaller cosine are sharp: drawn out to a corner or cut off, their sides would cross
/// farther away than [`MITER_LIMIT`], in the end past all coordinates.
pub(crate) const SHARP_COS: f64 = 2.0 / (MITER_LIMIT * MITER_LIMIT) - 1.0;

pub(crate) type Xy = [f64; 2];

/// The outlines moved outward by `by_mm` (inward when negative), corners kept sharp, as whatever
/// would overlap united.
///
/// Every side is moved by itself. Where it turns away from its neighbour, both are drawn out to a
/// corner. Where they run into each other they are cut off where they cross, if both are long enough
/// for that; if one is not, both are left whole and joined through the old corner, and the union
/// removes what runs backwards. Leaving them whole at every corner gives the same answer, but three
/// points and a crossing where one point does: the sweep of the union then takes twice as long.
///
/// # Source
/// Offset curves by positive winding: X. Chen, Polygon offsetting by computing winding
/// numbers, ASME DETC2005-85513 (2005), from memory. Cutting off early is derived here.
///
/// ```
/// use partpledge_sections::outlines::{area_mm2, offset, to_point};
/// let square = vec![vec![to_point(0.0, 0.0), to_point(9.0, 0.0), to_point(9.0, 9.0), to_point(0.0, 9.0)]];
/// assert!((area_mm2(&offset(&square, 0.5)) - 100.0).abs() < 1e-9);
/// assert!(offset(&square, -5.0).is_empty());
/// ```
#[must_use]
pub fn offset(outlines: &Outlines, by_mm: f64) -> Outlines {
    let by = by_mm * UNITS_PER_MM;
    quick(outlines, by).unwrap_or_else(|| by_pieces(outlines, by))
}

/// The offset without a union, where every path keeps to itself: a tenth of the time.
///
/// A path that never crossed another on its way still lies in what it lay in, so that is looked at
/// instead of the way. Derived here.
fn quick(outlines: &Outlines, by: f64) -> Option<Outlines> {
    let mut out = Outlines::with_capacity(outlines.len());
    for path in outlines.iter().filter_map(without_doubles) {
        let front = advanced(&path, by)?;
        if !front.is_empty() {
            out.push(front);
        }
    }
    keeps_to_itself(&out).then_some(out)
}

/// The offset of each piece by itself, and those united that grow into each other.
fn by_pieces(outlines: &Outlines, by: f64) -> Outlines {
    let apart = pieces(outlines);
    if apart.len() < 2 {
        return united(outlines, by);
    }
    let mut moved: Outlines = Vec::with_capacity(outlines.len());
    for piece in &apart {
        moved.extend(quick(piece, by).unwrap_or_else(|| united(piece, by)));
    }
    // Pieces that shrink stay apart.
    if by <= 0.0 || keeps_to_itself(&moved) {
        return moved;
    }
    clipper2_rust::union_subjects_64(&moved, FillRule::Positive)
}

/// The offset of one piece, whatever overlaps united.
fn united(outlines: &Outlines, by: f64) -> Outlines {
    let raw: Outlines = outlines.iter().filter_map(|path| moved(path, by)).collect();
    if raw.is_empty() {
        return raw;
    }
    clipper2_rust::union_subjects_64(&raw, FillRule::Positive)
}

/// A closed path without points that repeat the one before; `None` when less than a triangle is left.
fn without_doubles(path: &Path64) -> Option<Path64> {
    let mut path = path.clone();
    path.dedup();
    while path.len() > 1 && path.first() == path.last() {
        path.pop();
    }
    (path.len() > 2).then_some(path)
}

/// A corner and the sides that meet in it.
struct Corner {
    at: Xy,
    /// Outward across the side before and the side after.
    normals: [Xy; 2],
    /// Cosine of the turn.
    cos: f64,
    /// Whether the moved sides run into each other.
    inside: bool,
    /// How much of each side is cut off then.
    cut: f64,
}

impl Corner {
    fn new(at: Point64, normals: [Xy; 2], by: f64) -> Self {
        let [a, b] = normals;
        let (sin, cos) = (a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1]);
        let inside = sin * by < 0.0;
        let cut = if !inside {
            0.0
        } else if cos > SHARP_COS {
            by.abs() * sin.abs() / (1.0 + cos)
        } else {
            f64::INFINITY
        };
        Self {
            at: [at.x as f64, at.y as f64],
            normals,
            cos,
            inside,
            cut,
        }
    }

    /// The corner moved, into one to three points; `roomy` says that both sides can be cut off.
    fn place(&self, by: f64, roomy: bool, into: &mut Path64) {
        let [a, b] = self.normals;
        let mut put = |x: Xy, times: f64| {
            let at = [self.at[0] + x[0] * times, self.at[1] + x[1] * times];
            into.extend(point(at));
        };
        if self.inside && !roomy {
            put(a, by);
            put(a, 0.0);
            put(b, by);
        } else if self.inside || self.cos > SHARP_COS {
            put([a[0] + b[0], a[1] + b[1]], by / (1.0 + self.cos));
        } else {
            let [first, second] = squared([a, b], by.signum());
            put(first, by);
            put(second, by);
        }
    }
}

/// Both ends of the line that squares off a sharp corner, one offset away from it.
pub(crate) fn squared([a, b]: [Xy; 2], sign: f64) -> [Xy; 2] {
    let sum = [a[0] + b[0], a[1] + b[1]];
    let length = sum[0].hypot(sum[1]);
    // A side that runs straight back: away is along the side that comes in.
    let away = if length > 1e-9 {
        [sum[0] / length, sum[1] / length]
    } else {
        [-a[1] * sign, a[0] * sign]
    };
    let across = [-away[1], away[0]];
    let end = |n: Xy| {
        let (up, side) = (
            n[0] * away[0] + n[1] * away[1],
            n[0] * across[0] + n[1] * across[1],
        );
        let along = (1.0 - up) / side;
        [away[0] + along * across[0], away[1] + along * across[1]]
    };
    [end(a), end(b)]
}

pub(crate) fn point([x, y]: Xy) -> Option<Point64> {
    Some(Point64::new(round_i64(x)?, round_i64(y)?))
}

/// All sides of a closed path moved; loops that run backwards are left for the union to remove.
fn moved(path: &Path64, by: f64) -> Option<Path64> {
    let path = without_doubles(path)?;
    let n = path.len();
    let sides: Vec<(Xy, f64)> = (0..n)
        .map(|i| {
            let (a, b) = (path[i], path[(i + 1) % n]);
            let (x, y) = ((b.x - a.x) as f64, (b.y - a.y) as f64);
            let length = (x * x + y * y).sqrt();
            ([y / length, -x / length], length)
        })
        .collect();
    let corners: Vec<Corner> = (0..n)
        .map(|i| Corner::new(path[i], [sides[(i + n - 1) % n].0, sides[i].0], by))
        .collect();
    let room = |i: usize| corners[i].cut + corners[(i + 1) % n].cut < sides[i].1;
    let mut out = Path64::with_capacity(n + n / 8);
    let mut before = room(n - 1);
    for (i, corner) in corners.iter().enumerate() {
        let after = room(i);
        corner.place(by, before && after, &mut out);
        before = after;
    }
    Some(out)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outlines::{area_mm2, to_point};
    use clipper2_rust::{EndType, JoinType};
    use proptest::prelude::*;

    /// The slow truth: the boolean engine's own offset.
    fn plain(outlines: &Outlines, by_mm: f64) -> Outlines {
        clipper2_rust::inflate_paths_64(
            outlines,
            by_mm * UNITS_PER_MM,
            JoinType::Miter,
            EndType::Polygon,
            MITER_LIMIT,
            0.0,
        )
    }

    fn star(radii: &[f64]) -> Path64 {
        let n = radii.len() as f64;
        radii
            .iter()
            .enumerate()
            .map(|(i, radius)| {
                let angle = std::f64::consts::TAU * i as f64 / n;
                to_point(radius * angle.cos(), radius * angle.sin())
            })
            .collect()
    }

    fn differing_mm2(a: &Outlines, b: &Outlines) -> f64 {
        area_mm2(&clipper2_rust::xor_64(a, b, FillRule::NonZero))
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(400))]
        #[test]
        fn offsets_are_those_of_the_boolean_engine(
            outer in prop::collection::vec(6.0_f64..12.0, 3..60),
            inner in prop::collection::vec(1.0_f64..5.0, 3..30),
            by_mm in prop_oneof![-3.0_f64..3.0, Just(0.005), Just(-0.005), Just(-0.2)],
        ) {
            let mut hole = star(&inner);
            hole.reverse();
            let ring = vec![star(&outer), hole];
            let ring = clipper2_rust::union_subjects_64(&ring, FillRule::Positive);
            let (ours, theirs) = (offset(&ring, by_mm), plain(&ring, by_mm));
            // A grid unit of 1e-4 mm along some 300 mm of edge.
            prop_assert!(differing_mm2(&ours, &theirs) < 0.06, "{} mm: {}", by_mm, differing_mm2(&ours, &theirs));
        }
    }

    /// Triangles thrown on each other: slots, tips, islands and holes of every kind.
    fn thrown() -> impl Strategy<Value = Outlines> {
        let corner = (-90_000_i64..90_000, -90_000_i64..90_000);
        prop::collection::vec(prop::array::uniform3(corner), 1..9).prop_map(|triangles| {
            let one = |t: [(i64, i64); 3]| t.map(|(x, y)| Point64::new(x, y)).to_vec();
            let all = triangles.into_iter().map(one).collect();
            let united = clipper2_rust::union_subjects_64(&all, FillRule::NonZero);
            // What a union leaves touching or without width is no clean outline to begin with.
            plain(&plain(&united, 0.01), -0.005)
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(1_000))]
        #[test]
        fn what_splits_closes_or_vanishes_is_offset_as_by_the_boolean_engine(
            outlines in thrown(), by_mm in prop_oneof![-4.0_f64..4.0, -0.3_f64..0.3],
        ) {
            let (ours, theirs) = (offset(&outlines, by_mm), plain(&outlines, by_mm));
            prop_assert!(differing_mm2(&ours, &theirs) < 0.06, "{} mm: {}", by_mm, differing_mm2(&ours, &theirs));
        }
    }

    #[test]
    fn a_needle_of_a_notch_is_offset_as_by_the_boolean_engine() {
        // The sides of the notch run back nearly or wholly along each other; drawn out to where they
        // cross they would reach past all coordinates.
        for (wide, deep) in [
            (0_i64, 90_000_i64),
            (1, 90_000),
            (1, 99_999),
            (2, 50_001),
            (40, 700),
        ] {
            let notched = vec![vec![
                Point64::new(0, 0),
                Point64::new(100_000, 0),
                Point64::new(100_000, 100_000),
                Point64::new(50_000 + wide, 100_000),
                Point64::new(50_000, 100_000 - deep),
                Point64::new(50_000 - wide, 100_000),
                Point64::new(0, 100_000),
            ]];
            for by_mm in [-2.0, -0.2, -0.005, 0.005, 0.2, 2.0] {
                let (ours, theirs) = (offset(&notched, by_mm), plain(&notched, by_mm));
                let gap = differing_mm2(&ours, &theirs);
                assert!(gap < 0.01, "{wide} x {deep} by {by_mm}: {gap}");
            }
        }
    }

    #[test]
    fn a_slit_without_width_keeps_its_offset_in_reach() {
        // There and back the same way, so far that the sine of the turn is the rounding of the
        // normals: 0 or 1e-17, of either sign. Found on a real part.
        for (dx, dy) in (1..40_i64).flat_map(|dx| (1..40_i64).map(move |dy| (dx, dy))) {
            let tip = Point64::new(50_000 - 997 * dx, 100_000 - 997 * dy);
            let back = Point64::new(tip.x + 503 * dx, tip.y + 503 * dy);
            let slit = vec![
                Point64::new(0, 0),
                Point64::new(100_000, 0),
                Point64::new(100_000, 100_000),
                Point64::new(50_000, 100_000),
                tip,
                back,
                Point64::new(0, 100_000),
            ];
            for by in [-2_000.0, -50.0, 50.0, 2_000.0] {
                for point in moved(&slit, by).iter().flatten() {
                    let reach = point.x.abs().max(point.y.abs());
                    assert!(reach < 200_000, "{dx} {dy} {by}: {point:?}");
                }
            }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(500))]
        #[test]
        fn any_crossed_path_is_offset_without_points_out_of_reach(
            corners in prop::collection::vec((-60_i64..60, -60_i64..60), 3..14),
            scale in prop_oneof![Just(1_i64), Just(7), Just(1_000), Just(16_000_000)],
            by_mm in prop_oneof![-3.0_f64..3.0, Just(0.005), Just(-0.005)],
        ) {
            let path = corners.iter().map(|&(x, y)| Point64::new(x * scale, y * scale)).collect();
            let reach = 60 * scale + 60_000;
            for point in moved(&path, by_mm * UNITS_PER_MM).iter().flatten() {
                prop_assert!(point.x.abs() <= reach && point.y.abs() <= reach, "{point:?}");
            }
            let _ = offset(&vec![path], by_mm);
        }
    }

    #[test]
    fn nothing_stays_nothing_and_a_line_has_no_inside() {
        assert!(offset(&Outlines::new(), 1.0).is_empty());
        assert!(offset(&vec![vec![to_point(0.0, 0.0), to_point(1.0, 0.0)]], 1.0).is_empty());
    }

    #[test]
    fn a_wavy_outline_keeps_its_corners_and_gets_no_teeth() {
        // A tooth of 0.1 µm at each inner corner, as unions leave them, made the walls of a knurled ring
        // 4 % slower: the head brakes for every turn.
        let wavy: Vec<f64> = (0..360_i32)
            .map(|i| 20.0 + 0.3 * (12.0 * f64::from(i).to_radians()).cos())
            .collect();
        let wavy = crate::outlines::simplified(&vec![star(&wavy)]);
        for by_mm in [-0.6, -0.2177, -0.005, 0.005, 0.0073, 0.2177] {
            let moved = offset(&wavy, by_mm);
            assert_eq!((moved.len(), moved[0].len()), (1, wavy[0].len()), "{by_mm}");
            let sides = moved[0].iter().zip(moved[0].iter().cycle().skip(1));
            let shortest = sides.map(|(a, b)| ((b.x - a.x) as f64).hypot((b.y - a.y) as f64));
            assert!(shortest.fold(f64::INFINITY, f64::min) > 4_000.0, "{by_mm}");
        }
    }

    #[test]
    fn the_edge_of_a_moved_regular_polygon_is_as_computed() {
        // 2 n (R cos(π/n) + d) tan(π/n): sides touch a circle that is d larger.
        let half = std::f64::consts::PI / 60.0;
        for by_mm in [-3.0, -0.2177, -0.005, 0.2177, 3.0] {
            let want = 120.0 * (20.0 * half.cos() + by_mm) * half.tan();
            let got = crate::outlines::perimeter_mm(&offset(&vec![star(&[20.0; 60])], by_mm));
            assert!((got - want).abs() < 3e-4, "{by_mm}: {got} for {want}");
        }
    }
}
