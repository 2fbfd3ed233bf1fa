//! Closed outlines in whole numbers of 1e-4 mm, and how raw loops become clean ones.

use clipper2_rust::{FillRule, Path64, Paths64, Point64};
use partpledge_units::cast::round_i64;

pub use crate::booleans::{common, without};
use crate::meeting::keeps_to_itself;
pub use crate::offset::offset;
use crate::simplify::simplify;

/// Closed paths in units of 1e-4 mm, the last point joined to the first: outer ones
/// counter-clockwise, holes clockwise, none crossing itself or another.
///
/// The type is the one that the boolean engine works on, so that nothing is copied between
/// the stages that cut, offset and intersect.
pub type Outlines = Paths64;

/// Units in a millimetre.
pub const UNITS_PER_MM: f64 = 10_000.0;

/// How far an outline may stray for having fewer points, mm. Booleans get 10 to 100 times faster
/// (measured, see the reference README); areas stay, see [`simplified`].
pub const SIMPLIFY_MM: f64 = 0.0125;

/// Slits narrower than twice this are closed, mm: shells that only just miss each other.
const CLOSE_MM: f64 = 0.005;

/// A length in mm as units.
#[must_use]
pub fn to_units(mm: f64) -> i64 {
    round_i64(mm * UNITS_PER_MM).unwrap_or(0)
}

/// A position in mm as a point.
#[must_use]
pub fn to_point(x_mm: f64, y_mm: f64) -> Point64 {
    Point64::new(to_units(x_mm), to_units(y_mm))
}

/// A point as a position in mm.
#[must_use]
pub fn to_mm(point: Point64) -> [f64; 2] {
    [point.x as f64 / UNITS_PER_MM, point.y as f64 / UNITS_PER_MM]
}

/// Area inside the outlines in mm²: outer ones count up, holes down.
///
/// ```
/// use partpledge_sections::outlines::{area_mm2, to_point};
/// let square = vec![to_point(0.0, 0.0), to_point(2.0, 0.0), to_point(2.0, 3.0), to_point(0.0, 3.0)];
/// let hole: Vec<_> = square.iter().rev().map(|p| clipper2_rust::Point64::new(p.x / 2, p.y / 2)).collect();
/// assert!((area_mm2(&vec![square, hole]) - 4.5).abs() < 1e-12);
/// ```
#[must_use]
pub fn area_mm2(outlines: &Outlines) -> f64 {
    clipper2_rust::area_paths(outlines) / (UNITS_PER_MM * UNITS_PER_MM)
}

/// Total length of the outlines in mm, holes included.
#[must_use]
pub fn perimeter_mm(outlines: &Outlines) -> f64 {
    let closed = |path: &Path64| {
        let ends = path.iter().zip(path.iter().cycle().skip(1));
        ends.map(|(a, b)| ((b.x - a.x) as f64).hypot((b.y - a.y) as f64))
            .sum::<f64>()
    };
    outlines.iter().map(closed).sum::<f64>() / UNITS_PER_MM
}

/// Least and greatest corner in mm; `None` without a point.
#[must_use]
pub fn bounds_mm(outlines: &Outlines) -> Option<([f64; 2], [f64; 2])> {
    let mut points = outlines.iter().flatten().map(|&point| to_mm(point));
    let first = points.next()?;
    Some(points.fold((first, first), |(low, high), p| {
        (
            std::array::from_fn(|k| low[k].min(p[k])),
            std::array::from_fn(|k| high[k].max(p[k])),
        )
    }))
}

/// Raw loops, which may cross and overlap, as clean outlines: simplified, united by non-zero
/// winding (so an inverted shell still counts as solid), slits closed.
#[must_use]
pub fn clean(loops: &Paths64) -> Outlines {
    let simple: Paths64 = simplified(loops);
    if simple.is_empty() {
        return Outlines::new();
    }
    let united = if keeps_to_itself(&simple) {
        simple
    } else {
        clipper2_rust::union_subjects_64(&simple, FillRule::NonZero)
    };
    offset(&offset(&united, CLOSE_MM), -CLOSE_MM)
}

/// Loops with fewer points, at most [`SIMPLIFY_MM`] away and with the same areas; loops of fewer
/// than three points are gone.
#[must_use]
pub fn simplified(loops: &Paths64) -> Paths64 {
    loops
        .iter()
        .filter(|path| path.len() >= 3)
        .map(|path| simplify(path, SIMPLIFY_MM * UNITS_PER_MM))
        .filter(|path| path.len() >= 3)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(x: f64, y: f64, side: f64) -> Path64 {
        vec![
            to_point(x, y),
            to_point(x + side, y),
            to_point(x + side, y + side),
            to_point(x, y + side),
        ]
    }

    #[test]
    fn overlapping_loops_count_once_and_an_inverted_one_counts_as_solid() {
        let mut inverted = square(20.0, 0.0, 10.0);
        inverted.reverse();
        let outlines = clean(&vec![
            square(0.0, 0.0, 10.0),
            square(5.0, 5.0, 10.0),
            inverted,
        ]);
        assert!(
            (area_mm2(&outlines) - 275.0).abs() < 0.01,
            "{}",
            area_mm2(&outlines)
        );
    }

    #[test]
    fn a_hole_runs_clockwise() {
        let mut hole = square(2.0, 2.0, 4.0);
        hole.reverse();
        let outlines = clean(&vec![square(0.0, 0.0, 10.0), hole]);
        let mut areas: Vec<f64> = outlines
            .iter()
            .map(|path| area_mm2(&vec![path.clone()]))
            .collect();
        areas.sort_by(f64::total_cmp);
        assert!(
            (areas[0] + 16.0).abs() < 0.01 && (areas[1] - 100.0).abs() < 0.01,
            "{areas:?}"
        );
        assert!((perimeter_mm(&outlines) - 56.0).abs() < 0.01);
    }

    #[test]
    fn a_slit_of_eight_micrometres_closes_and_a_tenth_of_a_millimetre_stays() {
        let pair =
            |gap: f64| clean(&vec![square(0.0, 0.0, 10.0), square(10.0 + gap, 0.0, 10.0)]).len();
        assert_eq!((pair(0.008), pair(0.1)), (1, 2));
    }
}
