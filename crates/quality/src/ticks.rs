//! What a tick by hand says of the time of a run.
//!
//! Whoever ticks *off the bed* says when they came to it. Either they stood there when the printer
//! stopped, or it had stopped before: then the tick is only an upper bound. Which of the two it was
//! nobody knows; what was expected of the run says how likely each is.

use crate::factor::Next;

/// How likely it is, before the tick, that somebody stood there when the printer stopped. Common
/// practice, no source.
pub const STOOD_THERE: f64 = 0.5;
/// Half of those who did not stand there come within so long, min; of the others some much later.
/// Common practice, no source.
pub const LATE_MIN: f64 = 30.0;
/// A tick that is worth less than so much of a run counts for nothing. Common practice, no source.
pub const LEAST_WORTH: f64 = 0.1;

/// Steps of the sum over the times at which a run may have ended.
const STEPS: usize = 64;
/// How far from what was expected these go, standard deviations.
const REACH: f64 = 5.0;

/// What a tick says of `ln(real / estimated)`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Told {
    /// The logarithm that is to be expected given the tick.
    pub y: f64,
    /// How much of a run whose end was seen it is worth, 0 to 1.
    pub worth: f64,
}

/// What a tick says, `took_min` after the start, of a run that was worked out at `worked_out_min`
/// and expected as `next` has it.
///
/// The time at which the run really ended is normal (of the logarithm) as expected. With
/// [`STOOD_THERE`] the tick is that time; otherwise it comes later by a delay that is longer than `d`
/// with chance `1 / (1 + d / LATE_MIN)`. `y` is the mean of what follows. Its worth is the chance that
/// the tick was the end, and of the rest as much as it makes the time surer: one less the variance after
/// over the variance before. So a tick half an hour late says next to nothing of a plate of 40 minutes,
/// and nearly all of one of 12 hours.
///
/// # Units
/// Both times in min; the result is of natural logarithms.
/// # Source
/// Bayes's rule for a mixture of a point and a delay with a heavy tail (Lomax 1954, from memory);
/// derived here.
///
/// ```
/// use partpledge_quality::factor::Factor;
/// use partpledge_quality::ticks::told;
/// let next = Factor::before(0.0, 0.122, 0.06, 6.0).next();
/// assert!(told(&next, 41.0, 75.0).worth < 0.05);
/// assert!(told(&next, 41.0, 42.0).worth > 0.7);
/// assert!(told(&next, 720.0, 754.0).worth > 0.7);
/// ```
#[must_use]
pub fn told(next: &Next, worked_out_min: f64, took_min: f64) -> Told {
    let tick = (took_min / worked_out_min).ln();
    let spread = next.sigma();
    let density = |y: f64| {
        let off = (y - next.centre) / spread;
        (-0.5 * off * off).exp() / (spread * std::f64::consts::TAU.sqrt())
    };
    let there = STOOD_THERE * density(tick);
    let late = Late::of(next.centre, spread, tick, |y| {
        let delay = 1.0 + (took_min - worked_out_min * y.exp()) / LATE_MIN;
        density(y) * took_min / LATE_MIN / (delay * delay)
    });
    let passed = (1.0 - STOOD_THERE) * late.mass;
    let sure = there / (there + passed);
    if !sure.is_finite() {
        return Told {
            y: tick,
            worth: 0.0,
        };
    }
    let surer = (1.0 - late.variance / (spread * spread)).clamp(0.0, 1.0);
    let rest = (1.0 - sure) * surer;
    Told {
        y: sure * tick + (1.0 - sure) * late.mean,
        worth: sure + rest,
    }
}

/// The time of a run whose end nobody saw before the tick.
struct Late {
    mass: f64,
    mean: f64,
    variance: f64,
}

impl Late {
    /// By the rule of midpoints, from far below what was expected up to the tick.
    fn of(centre: f64, spread: f64, tick: f64, density: impl Fn(f64) -> f64) -> Self {
        let (low, high) = (
            (centre - REACH * spread).min(tick - spread),
            tick.min(centre + REACH * spread),
        );
        let step = (high - low) / STEPS as f64;
        let (mut mass, mut first, mut second) = (0.0, 0.0, 0.0);
        for i in 0..STEPS {
            let y = low + (i as f64 + 0.5) * step;
            let off = y - centre;
            let here = density(y) * step;
            mass += here;
            first += here * off;
            second += here * off * off;
        }
        if mass <= 0.0 {
            return Self {
                mass: 0.0,
                mean: tick,
                variance: 0.0,
            };
        }
        let off = first / mass;
        Self {
            mass,
            mean: centre + off,
            variance: second / mass - off * off,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::factor::Factor;

    fn before() -> Next {
        Factor::before(0.0, 0.122, 0.06, 6.0).next()
    }

    #[test]
    fn the_later_a_tick_the_less_it_is_worth_and_never_more_than_a_run() {
        for worked_out in [20.0, 41.0, 123.0, 240.0] {
            let mut last = 2.0;
            for late in [0.0, 5.0, 15.0, 34.0, 60.0, 120.0] {
                let told = told(&before(), worked_out, worked_out + late);
                assert!((0.0..=1.0).contains(&told.worth), "{told:?}");
                assert!(told.worth <= last + 0.02, "{worked_out} {late} {told:?}");
                last = told.worth;
            }
        }
    }

    #[test]
    fn what_it_speaks_for_is_no_later_than_the_tick() {
        for (worked_out, took) in [
            (41.0_f64, 75.0_f64),
            (41.0, 38.0),
            (240.0, 300.0),
            (900.0, 960.0),
        ] {
            let told = told(&before(), worked_out, took);
            let tick = (took / worked_out).ln();
            assert!(told.y <= tick + 1e-9, "{told:?} {tick}");
        }
    }

    /// Of a long run half an hour is little: whichever it was, the end was near the tick.
    #[test]
    fn a_long_run_is_told_by_a_late_tick_too() {
        let long = told(&before(), 1_200.0, 1_200.0 * 1.15);
        assert!(long.worth > 0.8 && long.y > 0.7 * 1.15_f64.ln(), "{long:?}");
    }
}
