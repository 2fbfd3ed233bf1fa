//! What follows a loss: another slot, from the moment it is seen, and another attempt.
//!
//! Losses seen at different minutes mostly lead to the same few slots, such as the first of the next
//! morning: each slot is searched for and summed once.

use std::collections::BTreeMap;

use partpledge_planning_model::{Assignment, Plate, PrinterIx};
use partpledge_units::time::Minute;

use super::attempt::{Absence, Attempt, attempt, visits};
use super::foresight::{FUTURES, Foreseen};
use super::spread::{NEGLIGIBLE, Spread};
use crate::ground::Ground;

/// Losses seen within so many minutes look for another slot at the end of them.
const SEEN_STEP_MIN: i64 = 5;
/// Reprints that are followed; further ones never come: a third loss happens to one plate in ten
/// thousand, a fortieth of what the rule of succession leaves open.
const MOST_REPRINTS: u64 = 2;

/// Sums of chances in another order differ by less.
const ROUNDING: f64 = 1e-9;

/// A plate of the request, the same for all that are made alike: position of its way, position in it.
pub(crate) type Which = (usize, usize);

/// Slots of reprints and what becomes of them, as far as asked.
pub(crate) struct Reprints<'f> {
    ground: &'f Ground<'f>,
    foreseen: Foreseen<'f>,
    now: Minute,
    /// Slots by plate and future, from the minute from which they were searched.
    slots: BTreeMap<(Which, usize), BTreeMap<Minute, Option<Assignment>>>,
    /// Hand-overs by plate, reprint and slot, further reprints and all.
    again: BTreeMap<(Which, u64, PrinterIx, Minute), Spread>,
}

impl<'f> Reprints<'f> {
    pub(crate) fn new(ground: &'f Ground<'f>, foreseen: Foreseen<'f>, now: Minute) -> Self {
        Self {
            ground,
            foreseen,
            now,
            slots: BTreeMap::new(),
            again: BTreeMap::new(),
        }
    }

    /// An attempt with what follows its losses; `None` as soon as `enough` is out of reach.
    /// `plate.makings` are those that a printer takes.
    pub(crate) fn with_reprints(
        &mut self,
        (which, plate): (Which, &Plate),
        tried: &Attempt,
        enough: Option<&Enough>,
    ) -> Option<Spread> {
        let mut out = tried.handed_over.clone();
        let seen = tried.lost.on_steps(self.now, SEEN_STEP_MIN);
        let share = 1.0 / FUTURES as f64;
        let mut left = seen.mass();
        for (seen, mass) in seen.iter().filter(|(_, mass)| *mass > NEGLIGIBLE) {
            if enough.is_some_and(|enough| !enough.reached(&out, left)) {
                return None;
            }
            for future in 0..FUTURES {
                if let Some(slot) = self.slot((which, plate), seen, future) {
                    let slot = (slot.printer, slot.start);
                    out.add_all(self.again((which, plate), slot, 1), mass * share);
                }
            }
            left -= mass;
        }
        Some(out)
    }

    /// The best slot for a plate whose loss is seen at `seen`, in one future.
    ///
    /// The slot found from an earlier minute on is still the best one if it starts late enough and
    /// nobody has taken it since: what is free only becomes less.
    fn slot(
        &mut self,
        (which, plate): (Which, &Plate),
        seen: Minute,
        future: usize,
    ) -> Option<Assignment> {
        let lines = self.foreseen.until(seen, future);
        let found = self.slots.entry((which, future)).or_default();
        if let Some((&since, known)) = found.range(..=seen).next_back() {
            let slot = (*known)?;
            if since == seen || (slot.start >= seen && lines.still_free(&slot, (since, seen))) {
                return Some(slot);
            }
        }
        let slot = lines.at(seen).best_slot(self.ground, plate);
        found.insert(seen, slot);
        slot
    }

    /// What becomes of a reprint in a slot.
    fn again(
        &mut self,
        (which, plate): (Which, &Plate),
        (printer, start): (PrinterIx, Minute),
        reprint: u64,
    ) -> &Spread {
        let key = (which, reprint, printer, start);
        if !self.again.contains_key(&key) {
            let sum = self.summed((which, plate), (printer, start), reprint);
            self.again.insert(key, sum);
        }
        &self.again[&key]
    }

    fn summed(
        &mut self,
        (which, plate): (Which, &Plate),
        (printer, start): (PrinterIx, Minute),
        reprint: u64,
    ) -> Spread {
        let Some(making) = plate.makings.iter().find(|m| m.printer == printer) else {
            return Spread::default();
        };
        let mut starts = Spread::default();
        let site = self.ground.site_at(printer, start);
        for (there, comes) in visits(site, start, Absence::Feared) {
            starts.add(there, comes);
        }
        let tried = attempt(self.ground, making, plate.to, &starts, Absence::Feared);
        let mut out = tried.handed_over;
        let lost = tried.lost.mass();
        if reprint < MOST_REPRINTS && lost > NEGLIGIBLE {
            let seen = middle(&tried.lost, self.now);
            // Further ones are unlikely: one future will do.
            if let Some(slot) = self.slot((which, plate), seen, 0) {
                let slot = (slot.printer, slot.start);
                out.add_all(self.again((which, plate), slot, reprint + 1), lost);
            }
        }
        out
    }
}

/// What a plate must reach, with whatever is still open taken for the best: to be handed over by
/// one minute with a chance, or by another with another.
pub(crate) struct Enough(pub(crate) [(Minute, f64); 2]);

impl Enough {
    /// Whether it may still, with that much open.
    fn reached(&self, so_far: &Spread, open: f64) -> bool {
        let may = |&(by, chance): &(Minute, f64)| so_far.by(by) + open > chance - ROUNDING;
        self.0.iter().any(may)
    }
}

/// The mean minute of a spread, on the steps at which losses are seen.
fn middle(spread: &Spread, now: Minute) -> Minute {
    let weighed = |(at, mass): (Minute, f64)| mass * (at - now).0 as f64;
    let mean_min = spread.iter().map(weighed).sum::<f64>() / spread.mass();
    let steps = partpledge_units::cast::ceil_i64(mean_min / SEEN_STEP_MIN as f64);
    Minute(now.0 + steps.unwrap_or(0) * SEEN_STEP_MIN)
}
