//! Trial spots over the bed in the order in which they are liked.

use partpledge_units::cast::ceil_i64;

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

/// Spots evenly over a range, best first.
#[derive(Debug)]
pub(crate) struct Spots {
    range: Range,
    length_mm: [f64; 2],
    steps: [u16; 2],
    /// Steps along both sides: a quarter of the room that lengths would take, and there are many.
    order: Vec<[u16; 2]>,
    /// Between two neighbours.
    pub(crate) spacing_mm: f64,
}

impl Spots {
    /// About `count` spots over `range`, its ends included.
    ///
    /// The ends must be in: a part that just fits the bed has only them.
    pub(crate) fn over(range: Range, size_mm: [f64; 2], count: usize, liking: Liking) -> Self {
        let length_mm = [0, 1].map(|k| (range.high_mm[k] - range.low_mm[k]).max(0.0));
        let spacing_mm = (length_mm[0] * length_mm[1] / count.max(1) as f64)
            .sqrt()
            .max(length_mm[0].max(length_mm[1]) / count.max(1) as f64)
            .max(0.25);
        // Beds are less than 10 m long: 40 000 steps at most.
        let steps = length_mm.map(|l| ceil_i64(l / spacing_mm).unwrap_or(0));
        let steps = steps.map(|n| u16::try_from(n).unwrap_or(u16::MAX));
        let mut out = Self {
            range,
            length_mm,
            steps,
            order: Vec::new(),
            spacing_mm,
        };
        let keyed = |spot: [u16; 2]| {
            let [x, y] = out.spot(spot);
            (liking.keys([x + size_mm[0], y + size_mm[1]]), spot)
        };
        let mut keyed: Vec<([f64; 2], [u16; 2])> = (0..=steps[1])
            .flat_map(|j| (0..=steps[0]).map(move |i| [i, j]))
            .map(keyed)
            .collect();
        keyed.sort_by(|(a, _), (b, _)| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
        out.order = keyed.into_iter().map(|(_, spot)| spot).collect();
        out
    }

    /// The spot in that place of the order; `None` beyond the last.
    pub(crate) fn at(&self, place: usize) -> Option<[f64; 2]> {
        self.order.get(place).map(|&spot| self.spot(spot))
    }

    fn spot(&self, spot: [u16; 2]) -> [f64; 2] {
        [0, 1].map(|k| {
            let along = if self.steps[k] == 0 {
                0.0
            } else {
                self.length_mm[k] * f64::from(spot[k]) / f64::from(self.steps[k])
            };
            self.range.low_mm[k] + along
        })
    }
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
        let spread = Spots::over(range, [10.0, 10.0], 400, Liking::Front);
        let spots: Vec<[f64; 2]> = (0..).map_while(|place| spread.at(place)).collect();
        let spacing = spread.spacing_mm;
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
        let spots = Spots::over(range, [10.0, 10.0], 400, Liking::Left);
        assert_eq!([spots.at(0), spots.at(1)], [Some([1.0, 1.0]), None]);
    }
}
