//! Chances of losing a run, made to fit what was learned.

/// Chance of losing a run below which it is as good as said that none ever is.
const HARDLY_EVER: f64 = 1e-3;

/// How a printer loses runs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rates {
    /// Chance that a plate is lost in its first layers.
    pub start: f64,
    /// Further losses for each hour of printing.
    pub an_hour: f64,
}

/// The chance of losing a run of so many hours.
///
/// ```
/// use partpledge_quality::losses::{Rates, lost};
/// let chance = lost(Rates { start: 0.1, an_hour: 0.0 }, 5.0);
/// assert!((chance - 0.1).abs() < 1e-12);
/// ```
///
/// # Source
/// Constant hazard: common practice, no source.
#[must_use]
pub fn lost(rates: Rates, hours: f64) -> f64 {
    1.0 - (1.0 - rates.start) * (-rates.an_hour * hours).exp()
}

/// Both rates taken as many times as loses a run of so many hours with chance `is` (chances of
/// staying whole multiply; derived here).
///
/// ```
/// use partpledge_quality::losses::{Rates, lost, scaled};
/// let file = Rates { start: 0.04, an_hour: 0.01 };
/// let (start, an_hour) = scaled(file, 4.0, 0.2);
/// assert!((lost(Rates { start, an_hour }, 4.0) - 0.2).abs() < 1e-12);
/// ```
#[must_use]
pub fn scaled(rates: Rates, hours: f64, is: f64) -> (f64, f64) {
    let was = lost(rates, hours);
    if was < HARDLY_EVER {
        return (is, rates.an_hour);
    }
    let times: f64 = (1.0 - is).ln() / (1.0 - was).ln();
    (1.0 - (1.0 - rates.start).powf(times), rates.an_hour * times)
}
