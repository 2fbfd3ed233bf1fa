//! When a new order of all plates leaves promises broken too: some plates are taken out together and
//! put back one after the other, with all that they share.
//!
//! # Source
//! Ruin and recreate: Schrimpf et al., J. Comput. Phys. 159 (2000), with blinks of Christiaens and
//! Vanden Berghe, Transp. Sci. 54 (2020); both from memory. What is taken out is derived here.

use partpledge_planning_model::{Assignment, Plate};
use partpledge_units::dice::Dice;
use partpledge_units::time::Minute;

use crate::cost::cost;
use crate::improve::Search;
use crate::limits::fits_between;
use crate::slots::{Trial, order};

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

#[cfg(test)]
mod tests {
    use partpledge_planning_model::Plan;
    use proptest::prelude::*;

    use super::*;
    use crate::random::{HORIZON, world};
    use crate::{Ground, best_slot};

    /// The cheapest of the earliest places on every printer, each looked for to the end.
    fn cheapest_of_all(search: &Search<'_>, plate: &Plate, dice: &mut Dice) -> Option<Assignment> {
        let (ground, before) = (search.ground, search.printer_before(plate));
        let mut found = Vec::new();
        for making in &plate.makings {
            if !ground.takes(making, &plate.material) || dice.happens(BLINK) {
                continue;
            }
            for stand in ground.stands(making.printer) {
                let trial = Trial::new(ground, plate, making, stand, search.now);
                found.extend(trial.earliest(&search.occupied, trial.from, None));
            }
        }
        found.into_iter().min_by(|a, b| {
            let key = |place: &Assignment| (cost(ground, plate, Some(place), before), order(place));
            key(a)
                .partial_cmp(&key(b))
                .unwrap_or(std::cmp::Ordering::Equal)
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(1_000))]
        #[test]
        fn what_would_come_too_late_to_be_cheaper_is_left_out_without_a_trace(
            (region, plates) in world(),
            now in 0..HORIZON / 2,
            seed in 0..1_000_u64,
        ) {
            let ground = Ground::new(&region);
            let mut plan = Plan::default();
            let mut taken = crate::Occupied::nothing(&ground);
            for plate in &plates {
                if let Some(place) = best_slot(&ground, &taken, plate, Minute(now)) {
                    taken.add(&place, ground.load(plate, false));
                    plan.put(place);
                }
            }
            let mut search = Search::new(&ground, &plates, plan.clone(), Minute(now));
            for (i, plate) in plates.iter().enumerate() {
                if let Some(place) = plan.of(plate.seq).copied() {
                    search.take_out(plate, &place);
                }
                let seed = seed + i as u64;
                let quick = search.cheapest(plate, &mut Dice::seeded(seed));
                let slow = cheapest_of_all(&search, plate, &mut Dice::seeded(seed));
                prop_assert_eq!(quick, slow);
            }
        }
    }
}
