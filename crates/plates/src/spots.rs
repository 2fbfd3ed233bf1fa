//! Trial spots over the bed in the order in which they are liked.

use partpledge_units::cast::{ceil_i64, int_f64};

/// What makes a spot better.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Liking {
    /// Nearest to the front, then to the left: rows.
    Front,
    /// Nearest to the left, then to the front: columns.
    Left,
    /// Nearest to the front left corner.
    Corner,
}

impl Liking {
    /// All of them; a run is made under each.
    pub(crate) const ALL: [Self; 3] = [Self::Front, Self::Left, Self::Corner];

    /// Less is better: two keys for the far corner `[x, y]` in mm of a part on a bed. The first
    /// key is in steps of 0.05 mm, so that what a slide leaves over does not decide.
    pub(crate) fn keys(self, [x, y]: [f64; 2]) -> [f64; 2] {
        let step = |v: f64| (v / 0.05).round();
        match self {
            Self::Front => [step(y), x],
            Self::Left => [step(x), y],
            Self::Corner => [step(x + y), y],
        }
    }
}

/// Where the low corner of a part's box may lie, both ends included, in mm.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Range {
    /// Least x and y.
    pub(crate) low_mm: [f64; 2],
    /// Greatest x and y.
    pub(crate) high_mm: [f64; 2],
}

/// About `count` spots evenly over `range`, its ends included, best first; and their spacing in mm.
///
/// The ends must be in: a part that just fits the bed has only them.
pub(crate) fn spread(
    range: &Range,
    size_mm: [f64; 2],
    count: usize,
    liking: Liking,
) -> (Vec<[f64; 2]>, f64) {
    let length = [0, 1].map(|k| (range.high_mm[k] - range.low_mm[k]).max(0.0));
    let spacing = (length[0] * length[1] / count.max(1) as f64)
        .sqrt()
        .max(length[0].max(length[1]) / count.max(1) as f64)
        .max(0.25);
    let steps = length.map(|l| ceil_i64(l / spacing).unwrap_or(0));
    let at = |k: usize, i: i64| {
        range.low_mm[k]
            + if steps[k] == 0 {
                0.0
            } else {
                length[k] * int_f64(i) / int_f64(steps[k])
            }
    };
    let mut spots: Vec<[f64; 2]> = (0..=steps[1])
        .flat_map(|j| (0..=steps[0]).map(move |i| [at(0, i), at(1, j)]))
        .collect();
    let keys = |spot: &[f64; 2]| liking.keys([spot[0] + size_mm[0], spot[1] + size_mm[1]]);
    spots.sort_by(|a, b| {
        let (a, b) = (keys(a), keys(b));
        a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1]))
    });
    (spots, spacing)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ends_of_the_range_are_among_the_spots() {
        let range = Range {
            low_mm: [1.0, 1.0],
            high_mm: [101.0, 51.0],
        };
        let (spots, spacing) = spread(&range, [10.0, 10.0], 400, Liking::Front);
        let has = |x: f64, y: f64| {
            spots
                .iter()
                .any(|s| (s[0] - x).abs() < 1e-9 && (s[1] - y).abs() < 1e-9)
        };
        assert!(has(1.0, 1.0) && has(101.0, 1.0) && has(1.0, 51.0) && has(101.0, 51.0));
        assert!(
            spots.len() < 600 && spacing < 4.0,
            "{} {spacing}",
            spots.len()
        );
    }

    #[test]
    fn a_part_that_just_fits_has_one_spot() {
        let range = Range {
            low_mm: [1.0, 1.0],
            high_mm: [1.0, 1.0],
        };
        assert_eq!(spread(&range, [10.0, 10.0], 400, Liking::Left).0.len(), 1);
    }
}
