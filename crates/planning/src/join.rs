//! Copies that go on a plate which is planned already, and which nobody has started: it grows
//! where it is.

use std::collections::VecDeque;

use partpledge_planning_model::{Assignment, Plan, Plate, Promise, Rider};
use partpledge_units::time::Minute;

use crate::candidates::Candidate;
use crate::cost::in_time;
use crate::forecast::{Outlook, Standing, forecast};
use crate::ground::Ground;
use crate::insert::Occupied;
use crate::quote::{Ask, Quote, Way, first_that_holds};
use crate::slots::earliest_on;

/// A promise on the plate may lose so much of its chance when the plate grows, and fall so far below
/// what was stated: about the standard error of a chance of 0.9 played through 400 worlds (binomial,
/// derived here).
const MAY_LOSE: f64 = 0.015;

/// Plates tried: each is laid out and timed anew. Common practice, no source.
const MOST_TRIED: usize = 3;

/// The search for the plate on which copies are handed over first: which ones are worth laying out
/// anew, and which is taken.
#[derive(Debug)]
pub struct Joinable<'p, T> {
    /// Hand-over if the copies took no time there, in that order.
    waiting: VecDeque<(Minute, &'p Plate)>,
    by: Minute,
    best: Option<(Minute, T)>,
}

impl<'p, T> Joinable<'p, T> {
    /// Plates of the same plastic as `alone`, the request on a plate of its own, that nobody has
    /// started, that start no sooner than `from`, and with which it would be there by `by` if it took
    /// no time. `open` are those that may be changed at all.
    #[must_use]
    pub fn among(
        ground: &Ground<'_>,
        plan: &Plan,
        open: impl Iterator<Item = &'p Plate>,
        alone: &Plate,
        (from, by): (Minute, Minute),
    ) -> Self {
        let arrives = |plate: &Plate| {
            let place = plan.of(plate.seq)?;
            let able = alone.makings.iter().any(|m| m.printer == place.printer);
            let free = able && !place.frozen && place.start >= from;
            let site = ground.stand_at(place.printer, place.start).site;
            let arrives = ground.arrival(site, alone.to, place.ready)?;
            (free && arrives <= by).then_some(arrives)
        };
        let same = open.filter(|plate| plate.material == alone.material);
        let mut waiting: Vec<(Minute, &Plate)> = same
            .filter_map(|plate| Some((arrives(plate)?, plate)))
            .collect();
        waiting.sort_by_key(|(arrives, plate)| (*arrives, plate.seq));
        waiting.truncate(MOST_TRIED);
        Self {
            waiting: waiting.into(),
            by,
            best: None,
        }
    }

    /// The next plate to lay out anew; `None` once no other can be better.
    pub fn next_plate(&mut self) -> Option<&'p Plate> {
        let (arrives, plate) = self.waiting.pop_front()?;
        let beaten = self.best.as_ref().is_some_and(|best| best.0 <= arrives);
        (!beaten).then_some(plate)
    }

    /// What could be pledged with the plate looked at, and when: it is taken when it is no later than
    /// the best so far, nor than a plate of the request's own. A start is saved even when nothing is
    /// won.
    pub fn offer(&mut self, arrival: Minute, found: T) {
        let limit = self.best.as_ref().map_or(self.by, |best| best.0);
        if arrival <= limit {
            self.best = Some((arrival, found));
        }
    }

    /// The best that was offered.
    #[must_use]
    pub fn best(self) -> Option<T> {
        self.best.map(|(_, found)| found)
    }
}

/// A plate with one more request on it, its last rider: made as `share` says, which is the request's
/// own plate with the makings of both together.
#[must_use]
pub fn grown(whole: &Plate, share: &Plate) -> Plate {
    let mut grown = whole.clone();
    grown.makings.clone_from(&share.makings);
    grown.label = format!("{} and {}", whole.label, share.label);
    grown.release = whole.release.max(share.release);
    grown.grams += share.grams;
    grown.riders.push(Rider {
        to: share.to,
        copies: share.copies,
        promise: None,
        wish: share.wish,
    });
    grown
}

/// A question: when are these copies where they are needed if they go on that plate?
#[derive(Clone, Debug)]
pub struct Join {
    /// The plate as it would be, the copies that ask its last rider: larger, and longer under way.
    pub plate: Plate,
    /// Whether this plate alone carries what is promised, for the plate's own promise and then for
    /// each rider that is on it already; others wait for further plates, too. One that is missing
    /// is taken not to.
    pub alone: Vec<bool>,
    /// Chance asked for, such as 0.9.
    pub level: f64,
    /// Now.
    pub now: Minute,
    /// Seed of the worlds.
    pub seed: u64,
    /// How many worlds.
    pub worlds: u64,
}

/// The hand-over of the last rider that holds with the asked chance, the plate starting when it is
/// planned to start, on its printer; and the place of the grown plate in the plan. The place in the
/// quote is the same with the hand-over of the rider.
///
/// `None` when the plate is not planned or must not change, when it would reach into what comes
/// after it or lack hands or filament, or when a promise on it would suffer: be planned late, or
/// lose more than 1.5 points of a chance that is then below what was stated.
#[must_use]
pub fn quote_joined(
    ground: &Ground<'_>,
    plates: &[Plate],
    plan: &Plan,
    join: &Join,
) -> Option<(Quote, Assignment)> {
    let rider = join.plate.riders.last()?;
    let old = plan.of(join.plate.seq).filter(|place| !place.frozen)?;
    let mut rest = plan.clone();
    rest.assignments.retain(|place| place.plate != old.plate);
    let occupied = Occupied::by(ground, plates, &rest);
    let making = join.plate.makings.iter();
    let making = *making.clone().find(|m| m.printer == old.printer)?;
    let slot = earliest_on(ground, &occupied, &join.plate, &making, old.start)?;
    if slot.start != old.start || !in_time(ground, &join.plate, &slot) {
        return None;
    }
    if !others_hold((ground, plates, plan), join, (old, &slot)) {
        return None;
    }
    let site = ground.stand_at(slot.printer, slot.start).site;
    let own = Assignment {
        arrives: ground.arrival(site, rider.to, slot.ready)?,
        ..slot
    };
    let ask = Ask {
        ways: vec![Way {
            label: format!("with plate {}", old.plate.0),
            plates: vec![join.plate.seen_by(rider)],
        }],
        level: join.level,
        now: join.now,
        seed: join.seed,
        worlds: join.worlds,
    };
    let candidate = Candidate {
        way: 0,
        assignments: vec![own],
        nominal: own.arrives,
    };
    let found = vec![candidate];
    let quote = first_that_holds((ground, plates, &rest), &occupied, &ask, found).ok()?;
    Some((quote, slot))
}

/// Whether the promises that are on the plate already are as good as before, or as stated.
fn others_hold(
    (ground, plates, plan): (&Ground<'_>, &[Plate], &Plan),
    join: &Join,
    (old, new): (&Assignment, &Assignment),
) -> bool {
    let Some(before) = plates.iter().find(|plate| plate.seq == join.plate.seq) else {
        return false;
    };
    let known = before.riders.len();
    let chance = |plate: &Plate, slot: &Assignment, promise: Promise| {
        let asked = Outlook {
            plates: vec![(plate, Standing::Planned(Some(*slot)))],
            now: join.now,
            seed: join.seed,
            worlds: join.worlds,
        };
        forecast(ground, plates, plan, &asked).chance_by(promise.arrival)
    };
    // Each as its team sees it, before and after.
    let own = (before.clone(), join.plate.clone());
    let riders = before.riders.iter().zip(&join.plate.riders[..known]);
    let riders = riders.map(|(was, is)| (before.seen_by(was), join.plate.seen_by(is)));
    let alone = join.alone.iter().copied().chain(std::iter::repeat(false));
    let mut all = std::iter::once(own).chain(riders).zip(alone);
    all.all(|((was, is), alone)| {
        let Some(promise) = was.promise else {
            return true;
        };
        let after = chance(&is, &there(ground, new, &is), promise);
        let stated = promise.probability;
        if alone && after >= stated {
            return true;
        }
        let before = chance(&was, &there(ground, old, &was), promise);
        // Not one join after another: below what was stated there is no more to lose.
        after >= before || (after + MAY_LOSE >= before && after + MAY_LOSE >= stated)
    })
}

/// The plate's place with the hand-over at the place that this view of it goes to.
fn there(ground: &Ground<'_>, slot: &Assignment, seen: &Plate) -> Assignment {
    let site = ground.stand_at(slot.printer, slot.start).site;
    let arrives = ground.arrival(site, seen.to, slot.ready);
    Assignment {
        arrives: arrives.unwrap_or(slot.arrives),
        ..*slot
    }
}
