//! An arc as short straight steps.

/// Widest turn of one step, degrees: far below what limits the speed of a corner.
const STEP_DEG: f64 = 3.0;
/// How far start and end may differ in their distance from the middle, mm, or as a share.
const OUT_OF_ROUND: f64 = 0.05;

/// A part of an arc: heading of its chord, its length along the arc, and where it ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct ArcStep {
    pub(crate) heading: [f64; 3],
    pub(crate) length_mm: f64,
    pub(crate) end_mm: [f64; 3],
}

/// Steps from one place to another round a middle that lies `to_middle_mm` from the start; a full
/// round if both are the same. None if no such arc exists.
///
/// Each step is as long as its part of the arc, not as its chord, so that no length is lost; the
/// rule that a corner's circle fits into half of both steps keeps the head to `v² / r <= a`.
///
/// # Source
/// G02 clockwise, G03 counter-clockwise, I and J from the start to the middle: ISO 6983-1 (from
/// memory). Steps: derived here.
pub(crate) fn steps(
    from: [f64; 3],
    to: [f64; 3],
    to_middle_mm: [f64; 2],
    clockwise: bool,
) -> Option<impl Iterator<Item = ArcStep>> {
    let middle = [from[0] + to_middle_mm[0], from[1] + to_middle_mm[1]];
    let (start, end) = (polar(from, middle), polar(to, middle));
    let radius_mm = start.0;
    let off_mm = (end.0 - radius_mm).abs();
    if radius_mm < 1e-6 || off_mm > OUT_OF_ROUND.max(OUT_OF_ROUND * radius_mm) {
        return None;
    }
    let full = std::f64::consts::TAU;
    let ccw = (end.1 - start.1).rem_euclid(full);
    let same = (to[0] - from[0]).hypot(to[1] - from[1]) < 1e-6;
    let turn = match (same, clockwise) {
        (true, false) => full,
        (true, true) => -full,
        (false, false) => ccw,
        (false, true) => ccw - full,
    };
    let count = (1..120)
        .find(|&n| turn.abs() <= f64::from(n) * STEP_DEG.to_radians())
        .unwrap_or(120);
    let place = move |k: i32| {
        let t = f64::from(k) / f64::from(count);
        let (sin, cos) = (start.1 + t * turn).sin_cos();
        let radius = radius_mm + t * (end.0 - radius_mm);
        [
            middle[0] + radius * cos,
            middle[1] + radius * sin,
            from[2] + t * (to[2] - from[2]),
        ]
    };
    let round_mm = (radius_mm * turn.abs()).hypot(to[2] - from[2]);
    let length_mm = round_mm / f64::from(count);
    Some((0..count).map(move |k| {
        let (a, b) = (place(k), place(k + 1));
        let by: [f64; 3] = std::array::from_fn(|i| b[i] - a[i]);
        let chord_mm = by.iter().map(|c| c * c).sum::<f64>().sqrt().max(1e-12);
        ArcStep {
            heading: by.map(|c| c / chord_mm),
            length_mm,
            end_mm: b,
        }
    }))
}

/// Distance and angle seen from the middle.
fn polar(place: [f64; 3], middle: [f64; 2]) -> (f64, f64) {
    let [x, y] = [place[0] - middle[0], place[1] - middle[1]];
    (x.hypot(y), y.atan2(x))
}

#[cfg(test)]
mod tests {
    use partpledge_units::tolerance::close;

    use super::*;

    fn length(to: [f64; 3], middle: [f64; 2], clockwise: bool) -> f64 {
        steps([0.0; 3], to, middle, clockwise)
            .unwrap()
            .map(|s| s.length_mm)
            .sum()
    }

    #[test]
    fn quarters_halves_rounds_and_helices_have_their_length() {
        let pi = std::f64::consts::PI;
        let near = |a, b| assert!(close(a, b, 1e-12, 0.0), "{a} {b}");
        near(length([10.0, 10.0, 0.0], [10.0, 0.0], true), 5.0 * pi);
        near(length([10.0, 10.0, 0.0], [10.0, 0.0], false), 15.0 * pi);
        near(length([0.0; 3], [10.0, 0.0], false), 20.0 * pi);
        near(
            length([20.0, 0.0, 7.0], [10.0, 0.0], true),
            (10.0 * pi).hypot(7.0),
        );
    }

    #[test]
    fn it_ends_where_it_should_and_what_is_no_arc_is_none() {
        let last = steps([0.0; 3], [10.0, 10.0, 1.0], [10.0, 0.0], true)
            .unwrap()
            .last();
        let end = last.unwrap().end_mm;
        assert!(close(end[0], 10.0, 0.0, 1e-9) && close(end[1], 10.0, 0.0, 1e-9));
        assert!(steps([0.0; 3], [3.0, 0.0, 0.0], [10.0, 0.0], true).is_none());
        assert!(steps([0.0; 3], [3.0, 0.0, 0.0], [0.0, 0.0], true).is_none());
    }
}
