//! A coarse map of what is taken: most trial spots on a crowded bed are refused by it at a glance.
//!
//! A square of the map is taken when all four of its corners lie inside a part's coat. It only
//! ever refuses; what it lets through goes to the engine.

use partpledge_units::cast::round_usize;

/// Side of a square of the map in mm.
const SQUARE_MM: f64 = 1.0;
/// Distance of feelers across a part: this many along its longer side.
const FEELERS: f64 = 7.0;

/// The map, from the bed's corner.
pub(crate) struct Crowd {
    wide: usize,
    deep: usize,
    taken: Vec<bool>,
}

impl Crowd {
    /// A map of an empty bed.
    pub(crate) fn empty(bed_mm: [f64; 2]) -> Self {
        let [wide, deep] = bed_mm.map(|side| round_usize((side / SQUARE_MM).ceil()).unwrap_or(0));
        Self {
            wide,
            deep,
            taken: vec![false; wide * deep],
        }
    }

    /// Whether a feeler lies in a taken square when the part's origin is at `spot`.
    pub(crate) fn touches(&self, feelers: &[[f64; 2]], spot: [f64; 2]) -> bool {
        feelers.iter().any(|feeler| {
            let [x, y] = [0, 1].map(|k| round_usize(((feeler[k] + spot[k]) / SQUARE_MM).floor()));
            match (x, y) {
                (Some(x), Some(y)) if x < self.wide && y < self.deep => {
                    self.taken[y * self.wide + x]
                }
                _ => false,
            }
        })
    }

    /// Marks the squares inside `coat` with its origin at `spot`.
    pub(crate) fn fill(&mut self, coat: &[[f64; 2]], spot: [f64; 2]) {
        let placed: Vec<[f64; 2]> = coat
            .iter()
            .map(|p| [p[0] + spot[0], p[1] + spot[1]])
            .collect();
        let rows =
            |pick: fn(f64, f64) -> f64, start: f64| placed.iter().map(|p| p[1]).fold(start, pick);
        let first = round_usize((rows(f64::min, f64::INFINITY) / SQUARE_MM).floor()).unwrap_or(0);
        let last = round_usize((rows(f64::max, 0.0) / SQUARE_MM).ceil())
            .unwrap_or(0)
            .min(self.deep);
        let mut below = inside_spans(&placed, first as f64 * SQUARE_MM);
        for row in first..last {
            let above = inside_spans(&placed, (row + 1) as f64 * SQUARE_MM);
            for (low, high) in shared(&below, &above) {
                let from = round_usize((low / SQUARE_MM).ceil()).unwrap_or(0);
                let until = round_usize((high / SQUARE_MM).floor())
                    .unwrap_or(0)
                    .min(self.wide);
                for x in from..until {
                    self.taken[row * self.wide + x] = true;
                }
            }
            below = above;
        }
    }
}

/// Points inside a part that soon feel a neighbour: an even grid over it.
pub(crate) fn feelers(coat: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let bound = |k: usize, pick: fn(f64, f64) -> f64, start: f64| {
        coat.iter().map(|p| p[k]).fold(start, pick)
    };
    let low = [0, 1].map(|k| bound(k, f64::min, f64::INFINITY));
    let high = [0, 1].map(|k| bound(k, f64::max, f64::NEG_INFINITY));
    let spacing = ((high[0] - low[0]).max(high[1] - low[1]) / FEELERS).max(SQUARE_MM / 2.0);
    let mut points = Vec::new();
    let mut y = low[1] + spacing / 2.0;
    while y < high[1] {
        for (from, until) in inside_spans(coat, y) {
            // The ends too: a thin arm lies between the points of a grid.
            let count = ((until - from) / spacing).ceil().max(1.0);
            let steps = round_usize(count).unwrap_or(1);
            points
                .extend((0..steps).map(|i| [from + (until - from) * (i as f64 + 0.5) / count, y]));
        }
        y += spacing;
    }
    points
}

/// Stretches of the line at height `y` inside a closed path, left to right (even-odd).
fn inside_spans(path: &[[f64; 2]], y: f64) -> Vec<(f64, f64)> {
    let mut crossings: Vec<f64> = Vec::new();
    for (i, a) in path.iter().enumerate() {
        let b = path[(i + 1) % path.len()];
        if (a[1] <= y) != (b[1] <= y) {
            crossings.push(a[0] + (b[0] - a[0]) * (y - a[1]) / (b[1] - a[1]));
        }
    }
    crossings.sort_by(f64::total_cmp);
    crossings
        .chunks_exact(2)
        .map(|pair| (pair[0], pair[1]))
        .collect()
}

/// Stretches that lie in both lists.
fn shared(a: &[(f64, f64)], b: &[(f64, f64)]) -> Vec<(f64, f64)> {
    a.iter()
        .flat_map(|&(a0, a1)| b.iter().map(move |&(b0, b1)| (a0.max(b0), a1.min(b1))))
        .filter(|(low, high)| low < high)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_squares_wholly_inside_are_taken() {
        let mut crowd = Crowd::empty([10.0, 10.0]);
        crowd.fill(
            &[[0.0, 0.0], [3.5, 0.0], [3.5, 3.5], [0.0, 3.5]],
            [2.0, 2.0],
        );
        let taken = |x: f64, y: f64| crowd.touches(&[[x, y]], [0.0, 0.0]);
        assert!(taken(2.5, 2.5) && taken(4.5, 4.5));
        assert!(!taken(5.2, 3.0) && !taken(1.5, 3.0) && !taken(99.0, 3.0));
    }

    #[test]
    fn feelers_lie_inside_both_arms_of_an_angle() {
        let points = feelers(&[
            [0.0, 0.0],
            [9.0, 0.0],
            [9.0, 1.0],
            [1.0, 1.0],
            [1.0, 9.0],
            [0.0, 9.0],
        ]);
        assert!(
            points.iter().all(|p| p[0] < 1.0 || p[1] < 1.0),
            "{points:?}"
        );
        assert!(points.iter().any(|p| p[0] > 5.0) && points.iter().any(|p| p[1] > 5.0));
    }
}
