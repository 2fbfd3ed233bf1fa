//! The part's shadow on the bed, and which beds take it, turned or not.

use partpledge_mesh::fits_standing;
use partpledge_mesh::flat::convex_hull;

use crate::vector::Vector;

/// Whole turns tried, in degrees apart.
const STEP_DEG: f64 = 1.0;
/// Sides of the shadow laid along the bed, at most, longest first.
const SIDES: usize = 24;

/// How many beds take a part that stands in a given way.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BedFit {
    /// How many beds were asked about.
    pub asked: usize,
    /// As it lies, not turned about the vertical.
    pub as_it_lies: usize,
    /// All turned about the vertical by the same best angle.
    pub turned: usize,
    /// That angle in degrees, counter-clockwise seen from above, 0 to below 180; 0 when turning
    /// helps nowhere.
    pub turn_deg: f64,
    /// Each bed with the angle that suits it best.
    pub any_turn: usize,
}

/// Counter-clockwise outline around the part's shadow.
#[derive(Clone, Debug)]
pub(crate) struct Footprint {
    hull: Vec<[f64; 2]>,
    size_mm: Vector,
    /// What the outline may be too small by, mm.
    slack_mm: f64,
}

impl Footprint {
    /// `size_mm` is the exact box, before turning.
    pub(crate) fn new(
        points: impl Iterator<Item = Vector>,
        size_mm: Vector,
        slack_mm: f64,
    ) -> Self {
        let hull = convex_hull(points.map(|p| [p[0], p[1]]).collect());
        Self {
            hull,
            size_mm,
            slack_mm,
        }
    }

    /// Which of the beds (usable x, y, z in mm) take it.
    ///
    /// Tried are 0, 45, 90 and 135 degrees, the longest sides of the outline laid along the bed,
    /// then every whole degree: the first angle that most beds take is given. Between those
    /// angles a turn common to all may be missed by what half a degree changes; each bed alone
    /// is also asked for the box by the exact rule of [`fits_standing`].
    ///
    /// Source: a least rectangle round a convex outline has a side in common with it (H. Freeman,
    /// R. Shapira, Comm. ACM 18, 1975, from memory); the rest is trying, derived here.
    pub(crate) fn fit(&self, beds: &[[f64; 3]]) -> BedFit {
        let mut best = (0, 0.0);
        let mut suited = vec![false; beds.len()];
        let mut as_it_lies = 0;
        for (n, angle_deg) in self.angles().into_iter().enumerate() {
            let size = if n == 0 {
                self.size_mm
            } else {
                self.turned(angle_deg)
            };
            let mut taken = 0;
            for (bed, suited) in beds.iter().zip(&mut suited) {
                let fits = (0..3).all(|k| size[k] <= bed[k] + 1e-9);
                *suited |= fits || (n == 0 && fits_standing(self.size_mm, *bed));
                taken += usize::from(fits);
            }
            if n == 0 {
                as_it_lies = taken;
            }
            if taken > best.0 {
                best = (taken, angle_deg);
            }
        }
        BedFit {
            asked: beds.len(),
            as_it_lies,
            turned: best.0,
            turn_deg: best.1,
            any_turn: suited.iter().filter(|suited| **suited).count(),
        }
    }

    /// Area within the outline.
    pub(crate) fn area_mm2(&self) -> f64 {
        let twice = pairs(&self.hull).map(|(a, b)| a[0] * b[1] - a[1] * b[0]);
        twice.sum::<f64>() / 2.0
    }

    fn angles(&self) -> Vec<f64> {
        let mut list = vec![0.0, 45.0, 90.0, 135.0];
        let mut sides: Vec<[f64; 2]> = pairs(&self.hull)
            .map(|(a, b)| [b[0] - a[0], b[1] - a[1]])
            .collect();
        let long = |side: &[f64; 2]| side[0].hypot(side[1]);
        sides.sort_by(|a, b| long(b).total_cmp(&long(a)));
        for side in sides.iter().take(SIDES) {
            let along = -side[1].atan2(side[0]).to_degrees();
            list.extend([along.rem_euclid(180.0), (along + 90.0).rem_euclid(180.0)]);
        }
        let whole = (0..180_u8).map(|i| STEP_DEG * f64::from(i));
        list.extend(whole);
        list
    }

    /// Extent along the bed's x and y once turned, and the height.
    fn turned(&self, angle_deg: f64) -> Vector {
        let (sin, cos) = angle_deg.to_radians().sin_cos();
        let along = |x: f64, y: f64| {
            let shifts = self.hull.iter().map(|p| p[0] * x + p[1] * y);
            let (low, high) = shifts.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), s| {
                (low.min(s), high.max(s))
            });
            (high - low).max(0.0) + self.slack_mm
        };
        [along(cos, -sin), along(sin, cos), self.size_mm[2]]
    }
}

fn pairs(hull: &[[f64; 2]]) -> impl Iterator<Item = (&[f64; 2], &[f64; 2])> {
    hull.iter().zip(hull.iter().cycle().skip(1))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn around(corners: [[f64; 2]; 4]) -> Footprint {
        let extent = |k: usize| {
            let along = || corners.iter().map(|p| p[k]);
            along().fold(f64::MIN, f64::max) - along().fold(f64::MAX, f64::min)
        };
        let points = corners.into_iter().map(|[x, y]| [x, y, 0.0]);
        Footprint::new(points, [extent(0), extent(1), 5.0], 0.0)
    }

    fn rectangle(x: f64, y: f64) -> Footprint {
        around([[0.0, 0.0], [x, 0.0], [x, y], [0.0, y]])
    }

    #[test]
    fn a_thin_plate_fits_across_the_diagonal_of_a_square_bed() {
        // At 45 degrees 240 x 40 takes 280/√2 = 197.990 each way (geometry, derived here).
        let beds = [
            [200.0, 200.0, 180.0],
            [197.9, 197.9, 180.0],
            [250.0, 210.0, 180.0],
        ];
        let fit = rectangle(240.0, 40.0).fit(&beds);
        assert_eq!((fit.as_it_lies, fit.turned, fit.any_turn), (1, 2, 2));
        assert!((fit.turn_deg - 45.0).abs() < 1e-12, "{fit:?}");
    }

    #[test]
    fn a_part_that_lies_along_the_bed_is_not_turned_for_nothing() {
        let fit = rectangle(100.0, 50.0).fit(&[[200.0, 200.0, 180.0]]);
        assert_eq!((fit.as_it_lies, fit.turned), (1, 1));
        assert!(fit.turn_deg.abs() < 1e-12);
        let none = rectangle(300.0, 300.0).fit(&[[200.0; 3]]);
        assert_eq!((none.asked, none.turned, none.any_turn), (1, 0, 0));
    }

    #[test]
    fn a_slanted_part_is_turned_until_it_lies_along_the_bed() {
        let (sin, cos) = 27.3_f64.to_radians().sin_cos();
        let corners = [[0.0, 0.0], [199.0, 0.0], [199.0, 99.0], [0.0, 99.0]];
        let slanted = corners.map(|[x, y]| [cos * x - sin * y, sin * x + cos * y]);
        let fit = around(slanted).fit(&[[200.0, 100.0, 10.0]]);
        assert_eq!((fit.as_it_lies, fit.turned), (0, 1));
        assert!((fit.turn_deg - (180.0 - 27.3)).abs() < 1e-9, "{fit:?}");
    }

    #[test]
    fn height_is_never_traded() {
        assert_eq!(
            rectangle(10.0, 10.0).fit(&[[200.0, 200.0, 4.0]]).any_turn,
            0
        );
    }
}
