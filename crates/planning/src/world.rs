//! One possible future: how a run really goes, and what happens after it fails.
//!
//! Each world has its own luck, fixed by (seed, world, plate, attempt) and by nothing else, so
//! that every candidate slot is judged under the same luck (common random numbers).

use partpledge_planning_model::{Assignment, Making, Plate, PlateSeq};
use partpledge_units::cast::ceil_i64;
use partpledge_units::dice::Dice;
use partpledge_units::time::{Minute, Minutes};

use crate::ground::Ground;
use crate::insert::{Occupied, best_slot};
use crate::timeline::{after_staffed, staffed_from, window_from};

/// Attempts at one plate before a world gives up on it.
pub const MOST_ATTEMPTS: u64 = 5;

/// A plate lost in its first layers is lost after this share of its time. Common practice, no source.
const FIRST_LAYERS_SHARE: f64 = 0.05;

/// The luck of one attempt at one plate.
#[derive(Clone, Copy, Debug)]
pub struct Luck {
    /// Standard normal: how slow the printer is this time.
    pub slow: f64,
    /// Evenly in [0, 1): compared with the chance of losing the first layers.
    pub start: f64,
    /// Standard exponential: hazard used up until the next loss.
    pub hazard: f64,
}

impl Luck {
    /// The luck of that attempt in that world.
    #[must_use]
    pub fn of(seed: u64, world: u64, plate: PlateSeq, attempt: u64) -> Self {
        let key = seed ^ plate.0.wrapping_mul(0x9E37_79B9_7F4A_7C15);
        let mut dice = Dice::stream(key, world * MOST_ATTEMPTS + attempt);
        let slow = dice.normal();
        let start = dice.unit();
        Self {
            slow,
            start,
            hazard: -(1.0 - dice.unit()).ln(),
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
/// The time is the estimate times `exp(sigma x slow)`, rounded up. A loss in the first layers
/// comes with the printer's `start_failure`, later ones at a constant rate an hour. A run on a
/// printer that may not run unattended is stopped, and lost, when people leave.
///
/// # Source
/// Lognormal time and constant hazard: common practice, no source; the rates are the printer's own.
#[must_use]
pub fn run(ground: &Ground<'_>, making: &Making, start: Minute, luck: Luck) -> Option<RunEnd> {
    let printer = ground.printer(making.printer);
    let staffed = &ground.site_of(making.printer).staffed;
    let nominal_min = making.nominal.0 as f64;
    let full_min = nominal_min * (printer.time_sigma * luck.slow).exp();
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
    if !printer.unattended {
        let until = window_from(staffed, start).map_or(start, |window| window.until);
        if stopped > until {
            stopped = until;
            good = false;
        }
    }
    let cleared = staffed_from(staffed, stopped)?;
    Some(RunEnd {
        stopped,
        cleared,
        good,
    })
}

/// When the printer is really free for a slot, in one world: the plates ahead of it on that
/// printer are played through, each starting when planned or as soon as it can.
#[must_use]
pub fn really_free(
    ground: &Ground<'_>,
    occupied: &Occupied,
    slot: &Assignment,
    ahead: &dyn Fn(PlateSeq) -> Option<Making>,
    now: Minute,
    (seed, world): (u64, u64),
) -> Option<Minute> {
    let staffed = &ground.site_of(slot.printer).staffed;
    let mut free = slot.start;
    let spans = occupied.on(slot.printer);
    let first = spans.partition_point(|span| span.cleared <= now);
    let mut late: Option<Minute> = None;
    for span in spans[first..]
        .iter()
        .take_while(|span| span.start < slot.start)
    {
        let Some(making) = ahead(span.plate) else {
            continue;
        };
        let start = staffed_from(staffed, late.map_or(span.start, |l| l.max(span.start)))?;
        late = Some(run(ground, &making, start, Luck::of(seed, world, span.plate, 0))?.cleared);
    }
    if let Some(late) = late {
        free = free.max(late);
    }
    staffed_from(staffed, free)
}

/// When the copies of one plate are handed over in one world, reprints and all; `None` when
/// the world gives up on it.
///
/// After a loss the reprint takes the best slot that the present plan leaves, from the moment
/// somebody sees the loss.
#[must_use]
pub fn handed_over(
    ground: &Ground<'_>,
    occupied: &Occupied,
    plate: &Plate,
    slot: &Assignment,
    start: Minute,
    (seed, world): (u64, u64),
) -> Option<Minute> {
    let mut slot = *slot;
    let mut start = start;
    for attempt in 0..MOST_ATTEMPTS {
        let making = plate
            .makings
            .iter()
            .find(|making| making.printer == slot.printer)?;
        let end = run(
            ground,
            making,
            start,
            Luck::of(seed, world, plate.seq, attempt),
        )?;
        if end.good {
            let printer = ground.printer(slot.printer);
            let site = ground.site_of(slot.printer);
            let ready = after_staffed(&site.staffed, end.cleared, site.boxing)?;
            return ground.arrival(printer.site, plate.to, ready);
        }
        slot = best_slot(ground, occupied, plate, end.cleared)?;
        start = slot.start;
    }
    None
}
