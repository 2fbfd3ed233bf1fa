//! When a new order of all plates leaves promises broken too: some plates are taken out together and
//! put back one after the other, with all that they share.
//!
//! # Source
//! Ruin and recreate: Schrimpf et al., J. Comput. Phys. 159 (2000), with blinks of Christiaens and
//! Vanden Berghe, Transp. Sci. 54 (2020); both from memory. What is taken out is derived here.

use partpledge_planning_model::{Assignment, Plate};
use partpledge_units::dice::Dice;

use crate::cost::cost;
use crate::improve::Search;
use crate::limits::fits_between;
use crate::slots::{Trial, order};
use partpledge_units::time::Minute;

/// One stream for all: the same plan and plates are shuffled the same way.
const SEED: u64 = 1;
/// Most plates taken out in one step on purpose.
const MOST_OUT: usize = 8;
/// Chance that a printer is passed over.
const BLINK: f64 = 0.12;
/// Powers of ten by which a step may be worse at first; what is allowed falls to nothing.
const WORSE: f64 = 9.0;

impl<'a> Search<'a> {
    /// Takes the best plan found in so many steps, if it is better than the one at hand.
    pub(crate) fn reshuffle(&mut self, steps: usize) {
        let old = self.plan.clone();
        self.shuffled(steps);
        self.put_back(&old);
    }

    /// As [`Search::reshuffle`], for whatever is better.
    pub(crate) fn shuffled(&mut self, steps: usize) {
        let mut dice = Dice::seeded(SEED);
        let (mut best, mut best_total) = (self.plan.clone(), self.total);
        for step in 0..steps {
            let before = self.total;
            let allowed = WORSE * (1.0 - step as f64 / steps as f64) * dice.unit();
            let old = self.ruin(&mut dice);
            let new = self.recreate(&old, &mut dice);
            if self.total < best_total {
                (best, best_total) = (self.plan.clone(), self.total);
            }
            let worse = self.total.scalar() - before.scalar();
            if worse > 10_f64.powf(allowed) - 1.0 {
                for (plate, place) in new {
                    self.take_out(plate, &place);
                }
                for (plate, place) in old {
                    if let Some(place) = place {
                        self.put(plate, place);
                    }
                }
            }
        }
        self.stand_at(best);
    }

    /// Takes some plates out that have to do with one another; those without a place are among what
    /// it gives.
    fn ruin(&mut self, dice: &mut Dice) -> Vec<(&'a Plate, Option<Assignment>)> {
        let mut out: Vec<(&'a Plate, Option<Assignment>)> = self
            .plates
            .iter()
            .filter(|plate| self.plan.of(plate.seq).is_none())
            .map(|plate| (*plate, None))
            .collect();
        let mut movable: Vec<(&'a Plate, Assignment)> = self
            .plates
            .iter()
            .filter_map(|plate| Some((*plate, self.movable(plate)?)))
            .collect();
        if movable.is_empty() {
            return out;
        }
        let middle = movable[dice.below(movable.len())].1;
        if dice.happens(0.5) {
            let near = |place: &Assignment| {
                let elsewhere = i64::from(place.printer != middle.printer) * 1_440;
                (place.start - middle.start).0.abs() + elsewhere
            };
            movable.sort_by_key(|(plate, place)| (near(place), plate.seq));
        } else {
            shuffle(&mut movable, dice);
        }
        let many = 1 + dice.below(MOST_OUT.min(movable.len()));
        for (plate, place) in movable.drain(..many) {
            self.take_out(plate, &place);
            out.push((plate, Some(place)));
        }
        self.what_lost_its_change(&mut out);
        out
    }

    /// Plates whose material can't be put in any more, now that others are gone, go too.
    fn what_lost_its_change(&mut self, out: &mut Vec<(&'a Plate, Option<Assignment>)>) {
        let mut i = 0;
        while i < out.len() {
            let Some(gone) = out[i].1 else {
                i += 1;
                continue;
            };
            if fits_between(
                self.ground,
                &self.occupied,
                gone.printer,
                gone.start,
                self.now,
            ) {
                i += 1;
                continue;
            }
            let next = self.plates.iter().copied().filter_map(|plate| {
                let place = self.movable(plate)?;
                (place.printer == gone.printer && place.start >= gone.start)
                    .then_some((plate, place))
            });
            let Some((plate, place)) = next.min_by_key(|(_, place)| place.start) else {
                i += 1;
                continue;
            };
            self.take_out(plate, &place);
            out.push((plate, Some(place)));
        }
    }

    /// Puts plates back one after the other, each where it costs least, or nearly so.
    fn recreate(
        &mut self,
        out: &[(&'a Plate, Option<Assignment>)],
        dice: &mut Dice,
    ) -> Vec<(&'a Plate, Assignment)> {
        let mut plates: Vec<&'a Plate> = out.iter().map(|(plate, _)| *plate).collect();
        shuffle(&mut plates, dice);
        if dice.happens(0.3) {
            plates.sort_by_key(|plate| (plate.due().is_none(), plate.due()));
        }
        let mut new = Vec::with_capacity(plates.len());
        for plate in plates {
            if let Some(place) = self.cheapest(plate, dice) {
                self.put(plate, place);
                new.push((plate, place));
            }
        }
        new
    }

    fn cheapest(&self, plate: &Plate, dice: &mut Dice) -> Option<Assignment> {
        let (ground, before) = (self.ground, self.printer_before(plate));
        let mut best: Option<(_, Assignment)> = None;
        for making in &plate.makings {
            if !ground.takes(making, &plate.material) || dice.happens(BLINK) {
                continue;
            }
            // What is handed over later costs more, but for a change of printer, and for riders, who may
            // have better legs from elsewhere.
            let dearer = before != Some(making.printer) && plate.riders.is_empty();
            for stand in ground.stands(making.printer) {
                let trial = Trial::new(ground, plate, making, stand, self.now);
                let by = best.filter(|_| dearer).map(|(_, place)| place.arrives);
                let latest = by.map(|by| {
                    let ready = ground.ready_by(stand.site, plate.to, by);
                    ready.unwrap_or(Minute(i64::MIN))
                });
                let Some(place) = trial.earliest(&self.occupied, trial.from, latest) else {
                    continue;
                };
                let key = (cost(ground, plate, Some(&place), before), order(&place));
                if best.is_none_or(|(other, _)| key < other) {
                    best = Some((key, place));
                }
            }
        }
        best.map(|(_, place)| place)
    }
}

fn shuffle<T>(list: &mut [T], dice: &mut Dice) {
    for i in (1..list.len()).rev() {
        list.swap(i, dice.below(i + 1));
    }
}
