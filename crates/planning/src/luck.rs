//! Luck, and how one run goes under it.
//!
//! Each world has its own luck, fixed by (seed, world, plate, attempt) and by nothing else, so
//! that every candidate slot is judged under the same luck (common random numbers). Every throw is shared
//! out evenly between the worlds (`strata.rs`).

use partpledge_planning_model::{Making, PlateSeq};
use partpledge_units::cast::ceil_i64;
use partpledge_units::time::{Minute, Minutes};

use crate::ground::Ground;
use crate::mixed::mixed;
use crate::normal::exceeded;
use crate::presence::Presence;
use crate::strata::throw;
use crate::timeline::{blocked_until, window_from};

/// Attempts at one plate before a world gives up on it.
pub const MOST_ATTEMPTS: u64 = 5;

/// Throws kept apart for one plate in one world: attempts first, then tries at a run under way.
const THROWS_A_PLATE: u64 = 16;

/// A plate lost in its first layers is lost after this share of its time. Common practice, no source.
pub(crate) const FIRST_LAYERS_SHARE: f64 = 0.05;

/// The luck of one attempt at one plate.
#[derive(Clone, Copy, Debug)]
pub struct Luck {
    /// Standard normal: how slow the printer is this time.
    pub slow: f64,
    /// Evenly in [0, 1): compared with the chance of losing the first layers.
    pub start: f64,
    /// Standard exponential: hazard used up until the next loss.
    pub hazard: f64,
    /// Who comes to clear the bed.
    pub presence: Presence,
}

impl Luck {
    /// The luck of that attempt in that world.
    #[must_use]
    pub fn of(seed: u64, world: u64, plate: PlateSeq, attempt: u64) -> Self {
        // The multiplier is 2^64 over the golden ratio: neighbouring numbers give distant keys.
        let plate = seed ^ plate.0.wrapping_mul(0x9E37_79B9_7F4A_7C15);
        let key = mixed(plate ^ mixed(attempt));
        let throw = |what: u64| throw(mixed(key ^ what), world);
        Self {
            slow: exceeded(throw(1)),
            start: throw(2),
            hazard: -(1.0 - throw(3)).ln(),
            presence: Presence::of(seed, world),
        }
    }
}

/// How a run ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RunEnd {
    /// The printer stopped.
    pub stopped: Minute,
    /// Somebody took it off the bed.
    pub cleared: Minute,
    /// Whether the copies are good.
    pub good: bool,
}

/// One run from a real start to clearing; `None` when nobody comes before the calendar ends.
///
/// The time is the likely one times `exp(sigma x slow)`, rounded up. A loss in the first layers
/// comes with the printer's `start_failure`, later ones at a constant rate an hour. A run on a
/// printer that may not run unattended is stopped, and lost, when people leave; one that is not off
/// when its printer travels on is lost too. It stays on the bed until somebody really comes.
///
/// # Source
/// Lognormal time and constant hazard: common practice, no source; the rates are the printer's own.
#[must_use]
pub fn run(ground: &Ground<'_>, making: &Making, start: Minute, luck: Luck) -> Option<RunEnd> {
    let printer = ground.printer(making.printer);
    let stand = ground.stand_at(making.printer, start);
    let staffed = &*stand.staffed;
    let likely_min = making.likely.0 as f64;
    let full_min = likely_min * (printer.time_sigma * luck.slow).exp();
    let lost_after_min = if luck.start < printer.start_failure {
        Some(full_min * FIRST_LAYERS_SHARE)
    } else {
        let survives_h = luck.hazard / printer.failures_per_hour.max(1e-12);
        Some(survives_h * 60.0).filter(|&min| min < full_min)
    };
    let length = Minutes(
        ceil_i64(lost_after_min.unwrap_or(full_min))
            .unwrap_or(0)
            .max(1),
    );
    let mut stopped = start + length;
    let mut good = lost_after_min.is_none();
    let until = window_from(staffed, start).map_or(start, |window| window.until);
    if !printer.unattended && stopped > until {
        stopped = until;
        good = false;
    }
    // Whoever started it is there until the end of the visit.
    let cleared = if stopped < until {
        Some(stopped)
    } else {
        luck.presence.there_from(ground, stand.site, stopped)
    };
    if let Some(last) = stand.packed_up()
        && cleared.is_none_or(|at| at > last)
    {
        // It travels on, done or not.
        return Some(RunEnd {
            stopped: stopped.min(last),
            cleared: last,
            good: false,
        });
    }
    Some(RunEnd {
        stopped,
        cleared: cleared?,
        good,
    })
}

/// A run that was started before `now` and that nobody has taken off the bed yet: how it
/// ends, in one world. Luck that would have had it off by now is thrown again, which is exactly
/// what knowing "it is still there" means.
#[must_use]
pub fn still_running(
    ground: &Ground<'_>,
    making: &Making,
    start: Minute,
    now: Minute,
    plate: PlateSeq,
    (seed, world): (u64, u64),
) -> Option<RunEnd> {
    for attempt in MOST_ATTEMPTS..THROWS_A_PLATE {
        let end = run(ground, making, start, Luck::of(seed, world, plate, attempt))?;
        if end.cleared > now {
            return Some(end);
        }
    }
    // Later than all but a few runs would be: it must be done any minute.
    let stopped = now + Minutes(1);
    let site = ground.stand_at(making.printer, start).site;
    let cleared = Presence::of(seed, world).there_from(ground, site, stopped)?;
    Some(RunEnd {
        stopped,
        cleared,
        good: true,
    })
}

/// When a plate is started whose printer is free only at `free`, later than planned: in the first
/// visit from then on, if it can still be done. `None` when it would not be done before people
/// leave or the printer goes out of use: then it needs another slot.
///
/// The floor and the quote follow this rule alike.
#[must_use]
pub fn late_start(ground: &Ground<'_>, making: &Making, free: Minute) -> Option<Minute> {
    let printer = ground.printer(making.printer);
    let window = window_from(&ground.stand_at(making.printer, free).staffed, free)?;
    let start = window.from.max(free);
    let end = start + making.reserved;
    let watched = printer.unattended || end <= window.until;
    let usable = blocked_until(&printer.out_of_use, start, end).is_none();
    (watched && usable && ground.within(end)).then_some(start)
}
