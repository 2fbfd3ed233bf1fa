//! Whether recent runs no longer fit: a two-sided tabular CUSUM on standardised residuals.

/// Slack of the chart in standard deviations: half of the shift it is tuned for.
pub const SLACK: f64 = 0.5;
/// Height of the chart at which it signals.
///
/// # Source
/// Average run lengths of k 0.5, h 5 (two-sided): 465.44 in control, 10.376 at a shift of one
/// standard deviation, 5.747 at 1.5 (Lucas and Crosier 1982 and recomputed, CHECKS.md section 4,
/// R): one false signal in 465 runs. h 4 would give one in 168.
pub const HEIGHT: f64 = 5.0;

/// Which way a printer drifts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Runs take longer than they did.
    Slower,
    /// Runs take less time than they did.
    Faster,
}

/// A drift that was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Drift {
    /// Which way.
    pub side: Side,
    /// Runs between its likely start and its being found, the last one included.
    pub runs: usize,
    /// Runs counted since it was found.
    pub since: usize,
}

/// The chart: how far the sums of both sides have come.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Chart {
    up: f64,
    down: f64,
    up_runs: usize,
    down_runs: usize,
}

impl Chart {
    /// One more residual, standard normal when all is well. A signal tells the side and for how
    /// many runs its sum has been above zero: the likely start of the shift.
    ///
    /// # Source
    /// Page 1954; the count of runs is Montgomery, Introduction to Statistical Quality Control
    /// (both from memory).
    ///
    /// ```
    /// use partpledge_quality::{Chart, Side};
    /// let mut chart = Chart::default();
    /// assert_eq!(chart.add(-0.4), None);
    /// assert_eq!(chart.add(3.0), None);
    /// assert_eq!(chart.add(3.1), Some((Side::Slower, 2)));
    /// ```
    pub fn add(&mut self, residual: f64) -> Option<(Side, usize)> {
        step(&mut self.up, &mut self.up_runs, residual);
        step(&mut self.down, &mut self.down_runs, -residual);
        match (self.up > HEIGHT, self.down > HEIGHT) {
            (true, _) => Some((Side::Slower, self.up_runs)),
            (_, true) => Some((Side::Faster, self.down_runs)),
            _ => None,
        }
    }
}

fn step(sum: &mut f64, runs: &mut usize, residual: f64) {
    *sum = (*sum + residual - SLACK).max(0.0);
    *runs = if *sum > 0.0 { *runs + 1 } else { 0 };
}
