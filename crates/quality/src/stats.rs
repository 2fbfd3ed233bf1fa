//! Quantiles of the normal, Student t and beta distributions; counts, means and squares.

use statrs::distribution::{Beta, ContinuousCDF, Normal, StudentsT};

/// Standard normal value that one in ten throws exceeds.
pub const ONE_IN_TEN: f64 = 1.281_551_565_544_600_4;

/// The value that a standard Student t stays below with chance `p`.
///
/// # Panics
/// When `freedom` is not positive or `p` is not between 0 and 1: an error in the program.
///
/// ```
/// use partpledge_quality::stats::student_quantile;
/// // Printed tables have 1.812 for 10 degrees of freedom at 0.95.
/// assert!((student_quantile(10.0, 0.95) - 1.812_461).abs() < 1e-6);
/// ```
#[must_use]
pub fn student_quantile(freedom: f64, p: f64) -> f64 {
    student(freedom).inverse_cdf(p)
}

/// The chance that a standard Student t stays below `t`.
///
/// # Panics
/// When `freedom` is not positive: an error in the program.
#[must_use]
pub fn student_chance(freedom: f64, t: f64) -> f64 {
    student(freedom).cdf(t)
}

fn student(freedom: f64) -> StudentsT {
    StudentsT::new(0.0, 1.0, freedom).expect("degrees of freedom are positive")
}

/// The value that a standard normal throw stays below with chance `p`.
#[must_use]
pub fn normal_quantile(p: f64) -> f64 {
    Normal::standard().inverse_cdf(p)
}

/// The share that a beta throw stays below with chance `p`.
///
/// # Panics
/// When a count is not positive: an error in the program.
#[must_use]
pub fn beta_quantile(a: f64, b: f64, p: f64) -> f64 {
    Beta::new(a, b)
        .expect("both counts are positive")
        .inverse_cdf(p)
}

/// Count, mean and squared deviations of a list that grows.
///
/// # Source
/// Welford 1962 (from memory): no difference of large squares is taken.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Tally {
    /// How many.
    pub n: f64,
    /// Their mean; 0 when there are none.
    pub mean: f64,
    /// Sum of squared deviations from it.
    pub squares: f64,
}

impl Tally {
    /// One more.
    pub fn add(&mut self, value: f64) {
        self.n += 1.0;
        let off = value - self.mean;
        self.mean += off / self.n;
        self.squares += off * (value - self.mean);
    }

    /// A part of one more, from 0 to 1.
    ///
    /// # Source
    /// West 1979, Updating mean and variance estimates (from memory).
    pub fn add_part(&mut self, value: f64, part: f64) {
        if part <= 0.0 {
            return;
        }
        self.n += part;
        let off = value - self.mean;
        self.mean += off * (part / self.n);
        self.squares += part * off * (value - self.mean);
    }

    /// As if a part of one had never been added: the other way round.
    ///
    /// # Source
    /// The rule of [`Tally::add_part`], solved for what was before it (derived here).
    pub fn take_part(&mut self, value: f64, part: f64) {
        if part <= 0.0 {
            return;
        }
        let n = self.n - part;
        // Nothing is left but what rounding left.
        if n <= 1e-9 {
            *self = Self::default();
            return;
        }
        let off = value - self.mean;
        let before = off * (self.n / n);
        *self = Self {
            n,
            mean: value - before,
            squares: (self.squares - part * before * off).max(0.0),
        };
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: f64, printed: f64, within: f64) {
        assert!(
            (found - printed).abs() <= within,
            "{found}, printed {printed}"
        );
    }

    /// Student's t in printed tables, three decimals (from memory).
    #[test]
    fn student_quantiles_are_those_of_printed_tables() {
        for (freedom, p, printed) in [
            (1.0, 0.90, 3.078),
            (1.0, 0.95, 6.314),
            (3.0, 0.95, 2.353),
            (5.0, 0.90, 1.476),
            (6.0, 0.95, 1.943),
            (10.0, 0.975, 2.228),
            (16.0, 0.95, 1.746),
            (30.0, 0.99, 2.457),
            (120.0, 0.95, 1.658),
        ] {
            near(student_quantile(freedom, p), printed, 5.1e-4);
            near(student_quantile(freedom, 1.0 - p), -printed, 5.1e-4);
            near(
                student_chance(freedom, student_quantile(freedom, p)),
                p,
                1e-9,
            );
        }
    }

    #[test]
    fn the_normal_quantile_is_that_of_printed_tables() {
        near(normal_quantile(0.9), ONE_IN_TEN, 1e-9);
        near(normal_quantile(0.975), 1.959_964, 1e-6);
        near(normal_quantile(0.5), 0.0, 1e-12);
    }

    /// Exact binomial intervals are beta quantiles (Clopper and Pearson 1934); the numbers are
    /// of CHECKS.md section 4 (R): 47 of 50 good, and none of 30 failing.
    #[test]
    fn beta_quantiles_give_the_exact_binomial_intervals() {
        near(beta_quantile(47.0, 4.0, 0.025), 0.8345, 5e-5);
        near(beta_quantile(48.0, 3.0, 0.975), 0.9875, 5e-5);
        near(beta_quantile(1.0, 30.0, 0.975), 0.1157, 5e-5);
    }

    #[test]
    fn what_is_taken_out_again_leaves_no_trace() {
        let parts = [(0.1, 1.0), (0.47, 0.5), (0.2, 0.1), (-0.05, 0.9)];
        for (i, &(value, part)) in parts.iter().enumerate() {
            let (mut all, mut others) = (Tally::default(), Tally::default());
            for (j, &(value, part)) in parts.iter().enumerate() {
                all.add_part(value, part);
                if i != j {
                    others.add_part(value, part);
                }
            }
            all.take_part(value, part);
            near(all.n, others.n, 1e-12);
            near(all.mean, others.mean, 1e-12);
            near(all.squares, others.squares, 1e-12);
        }
        let mut one = Tally::default();
        one.add_part(0.3, 0.7);
        one.take_part(0.3, 0.7);
        assert_eq!(one, Tally::default());
    }

    /// NIST `NumAcc4`: one-pass squares lose it (certified mean 10000000.2, sd 0.1).
    #[test]
    fn a_tally_keeps_the_squares_of_large_numbers() {
        let mut tally = Tally::default();
        tally.add(10_000_000.2);
        for _ in 0..500 {
            tally.add(10_000_000.1);
            tally.add(10_000_000.3);
        }
        near(tally.mean, 10_000_000.2, 1e-7);
        near((tally.squares / (tally.n - 1.0)).sqrt(), 0.1, 1e-7);
    }
}
