//! The time factor: `ln(real / estimated)` is normal, and neither its mean nor its variance is known.

use crate::stats::{ONE_IN_TEN, Tally, student_quantile};

/// What is believed of the mean and variance: normal-inverse-gamma.
///
/// The variance is inverse-gamma (`shape`, `scale`); given it, the mean is normal about `centre`
/// with the variance over `weight`.
///
/// # Source
/// Gelman et al., Bayesian Data Analysis, chapter 3, and Murphy 2007, Conjugate Bayesian analysis
/// of the Gaussian distribution (both from memory).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Factor {
    /// Most likely mean, of the logarithm.
    pub centre: f64,
    /// How many runs the centre is worth.
    pub weight: f64,
    /// Half as many runs as the variance is worth.
    pub shape: f64,
    /// Half of their squared deviations.
    pub scale: f64,
}

/// The next run's time over the estimate: the logarithm is Student t.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Next {
    /// Middle, of the logarithm.
    pub centre: f64,
    /// Scale of the t, of the logarithm.
    pub scale: f64,
    /// Degrees of freedom.
    pub freedom: f64,
}

impl Factor {
    /// Before any run: a centre that is unsure by `between` (standard deviation), and runs that
    /// differ by about `noise`, which is worth `runs` runs.
    #[must_use]
    pub fn before(centre: f64, between: f64, noise: f64, runs: f64) -> Self {
        let shape = runs / 2.0;
        Self {
            centre,
            weight: (noise / between).powi(2),
            shape,
            scale: shape * noise * noise,
        }
    }

    /// After these runs: the conjugate update.
    ///
    /// ```
    /// use partpledge_quality::{factor::Factor, stats::Tally};
    /// let before = Factor { centre: 0.0, weight: 1.0, shape: 1.0, scale: 0.01 };
    /// let mut runs = Tally::default();
    /// runs.add(0.1);
    /// runs.add(0.3);
    /// let after = before.after(&runs);
    /// // By hand: (1 x 0 + 2 x 0.2) / 3; 0.01 + 0.02 / 2 + 1 x 2 x 0.2² / (2 x 3).
    /// assert!((after.centre - 0.4 / 3.0).abs() < 1e-12);
    /// assert!((after.scale - (0.01 + 0.01 + 0.08 / 6.0)).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn after(&self, runs: &Tally) -> Self {
        let weight = self.weight + runs.n;
        let off = runs.mean - self.centre;
        Self {
            centre: (self.weight * self.centre + runs.n * runs.mean) / weight,
            weight,
            shape: self.shape + runs.n / 2.0,
            scale: self.scale
                + runs.squares / 2.0
                + self.weight * runs.n * off * off / (2.0 * weight),
        }
    }

    /// The same for something that differs from this by `weight` worth of variance: a sheet that
    /// this printer has not run. What is known of the variance is kept.
    #[must_use]
    pub fn of_another(&self, weight: f64) -> Self {
        Self {
            weight: 1.0 / (1.0 / self.weight + 1.0 / weight),
            ..*self
        }
    }

    /// The next run: Student t with `2 shape` degrees of freedom.
    #[must_use]
    pub fn next(&self) -> Next {
        Next {
            centre: self.centre,
            scale: (self.scale / self.shape * (1.0 + 1.0 / self.weight)).sqrt(),
            freedom: 2.0 * self.shape,
        }
    }
}

impl Next {
    /// Real over estimated time that the next run stays below with chance `p`.
    #[must_use]
    pub fn quantile(&self, p: f64) -> f64 {
        (self.centre + self.scale * student_quantile(self.freedom, p)).exp()
    }

    /// The middle: half of the runs take longer.
    #[must_use]
    pub fn median(&self) -> f64 {
        self.centre.exp()
    }

    /// Standard deviation of the logarithm of a lognormal time with the same middle and the same
    /// nine-in-ten point: planning's spread.
    #[must_use]
    pub fn sigma(&self) -> f64 {
        self.scale * student_quantile(self.freedom, 0.9) / ONE_IN_TEN
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Runs taken one by one or all at once lead to the same belief.
    #[test]
    fn the_order_of_updates_does_not_matter() {
        let before = Factor::before(0.05, 0.1, 0.06, 6.0);
        let runs = [0.1, 0.21, 0.14, 0.09];
        let mut all = Tally::default();
        let mut step = before;
        for y in runs {
            all.add(y);
            let mut one = Tally::default();
            one.add(y);
            step = step.after(&one);
        }
        let once = before.after(&all);
        for (a, b) in [
            (once.centre, step.centre),
            (once.weight, step.weight),
            (once.shape, step.shape),
            (once.scale, step.scale),
        ] {
            assert!((a - b).abs() < 1e-12, "{a} {b}");
        }
    }

    /// With hardly any prior and many runs the t is the textbook's: mean and sample deviation.
    #[test]
    fn with_many_runs_the_prior_is_forgotten() {
        let mut runs = Tally::default();
        for i in 0..1_000 {
            runs.add(if i % 2 == 0 { 0.05 } else { 0.15 });
        }
        let next = Factor::before(-0.3, 0.1, 0.06, 6.0).after(&runs).next();
        assert!((next.median() - 0.1_f64.exp()).abs() < 1e-3);
        assert!((next.sigma() - 0.05).abs() < 1e-3, "{}", next.sigma());
        assert!(next.quantile(0.1) < next.median() && next.median() < next.quantile(0.9));
    }
}
