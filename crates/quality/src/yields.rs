//! First-pass yield: the share of plates that come out good at the first try.

use crate::stats::beta_quantile;

/// Mean of the yield before anything is known.
///
/// 41.1 % of prints failed in an open university studio (Song and Telenko 2019, V); 20 % were
/// assumed by Wittbrodt et al. 2013 (M); managed shops report 5-10 % (C): CHECKS.md section 6.
pub const USUAL_YIELD: f64 = 0.85;
/// How many plates the prior is worth. Common practice, no source.
pub const PRIOR_PLATES: f64 = 10.0;

/// How many losses a printer's prior is worth once the others of its region have been heard, however
/// seldom it loses: chances of loss of printers looked after alike then lie about half apart (a chance
/// worth four events is as sure as a gamma of shape 4). Common practice, no source.
pub const PRINTER_LOSSES: f64 = 4.0;
/// How many losses the file's numbers are worth against those of all its printers. Common
/// practice, no source.
pub const FILE_LOSSES: f64 = 4.0;

/// What is believed of a yield: beta with these counts.
///
/// A plate is one trial however many copies it carries, since they fail together; where some came
/// out good it counts as that share of a success.
///
/// # Source
/// Beta-binomial conjugate update (Gelman et al., Bayesian Data Analysis, chapter 2, from memory).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Yield {
    /// Plates good, prior included.
    pub good: f64,
    /// Plates lost, prior included.
    pub lost: f64,
}

impl Yield {
    /// Before any run: a mean worth [`PRIOR_PLATES`] plates. A mean of 0 or 1 is taken a little
    /// off it, since no number of runs could move it.
    #[must_use]
    pub fn before(mean: f64) -> Self {
        let mean = mean.clamp(0.01, 0.99);
        Self {
            good: PRIOR_PLATES * mean,
            lost: PRIOR_PLATES * (1.0 - mean),
        }
    }

    /// Before a printer's own runs, when the others of its region lost so many plates where the
    /// region file expected so many: its own loss is taken as many times as theirs, and is worth
    /// [`PRINTER_LOSSES`].
    ///
    /// ```
    /// use partpledge_quality::Yield;
    /// // Others lost 16 where 4 were expected: (16 + 4) / (4 + 4) times the file's 0.08.
    /// let before = Yield::among_others(0.92, (16.0, 4.0));
    /// assert!((before.mean() - 0.8).abs() < 1e-12);
    /// ```
    ///
    /// # Source
    /// Gamma-Poisson ratio of observed to expected, as in small-area rates (Clayton and Kaldor 1987,
    /// from memory).
    #[must_use]
    pub fn among_others(mean: f64, (lost, expected): (f64, f64)) -> Self {
        let times = (lost + FILE_LOSSES) / (expected + FILE_LOSSES);
        let mean = (1.0 - times * (1.0 - mean)).clamp(0.01, 0.99);
        Self {
            good: PRINTER_LOSSES * mean / (1.0 - mean),
            lost: PRINTER_LOSSES,
        }
    }

    /// After so many plates of which that share (in plates) came out good.
    ///
    /// ```
    /// use partpledge_quality::Yield;
    /// let after = Yield::before(0.85).after(10.0, 10.0);
    /// assert!((after.mean() - 0.925).abs() < 1e-12); // 18.5 of 20
    /// let (low, high) = after.interval(0.9);
    /// assert!(low < 0.925 && 0.925 < high && high < 1.0);
    /// ```
    #[must_use]
    pub fn after(&self, plates: f64, good: f64) -> Self {
        Self {
            good: self.good + good,
            lost: self.lost + plates - good,
        }
    }

    /// The expected share of good plates.
    #[must_use]
    pub fn mean(&self) -> f64 {
        self.good / (self.good + self.lost)
    }

    /// The yield lies between these with that chance, with equal chances to either side.
    #[must_use]
    pub fn interval(&self, chance: f64) -> (f64, f64) {
        let tail = (1.0 - chance) / 2.0;
        let at = |p| beta_quantile(self.good, self.lost, p);
        (at(tail), at(1.0 - tail))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plates_move_the_yield_and_narrow_it() {
        let before = Yield::before(USUAL_YIELD);
        let bad = before.after(20.0, 12.0);
        assert!((bad.mean() - (8.5 + 12.0) / 30.0).abs() < 1e-12);
        let wide = |y: &Yield| {
            let (low, high) = y.interval(0.9);
            high - low
        };
        assert!(wide(&bad) < wide(&before));
    }

    /// A printer that seldom loses is as far from others like it, taken by its own, as one that often does.
    #[test]
    fn chances_of_loss_lie_half_apart_however_often_a_printer_loses() {
        for mean in [0.98, 0.95, 0.92, 0.85] {
            let Yield { good, lost } = Yield::among_others(mean, (0.0, 0.0));
            let plates = good + lost;
            assert!((lost / plates - (1.0 - mean)).abs() < 1e-12);
            // Of a beta.
            let apart = (good * lost / (plates + 1.0)).sqrt() / lost;
            assert!((0.44..0.52).contains(&apart), "{mean}: {apart}");
        }
    }

    /// A uniform beta's interval is known by hand.
    #[test]
    fn the_interval_of_a_uniform_share_is_its_own_tails() {
        let even = Yield {
            good: 1.0,
            lost: 1.0,
        };
        let (low, high) = even.interval(0.9);
        assert!((low - 0.05).abs() < 1e-9 && (high - 0.95).abs() < 1e-9);
    }
}
