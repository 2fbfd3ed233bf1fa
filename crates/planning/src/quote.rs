//! The honest pledge: the first slot whose simulated arrival reaches the asked chance.

use std::ops::Range;

use partpledge_planning_model::{Assignment, PlaceIx, Plan, Plate, Promise};
use partpledge_units::cast::round_i64;
use partpledge_units::time::Minute;
use partpledge_words::{Said, say};
use rayon::prelude::*;

use crate::background::{Crowd, Scene};
use crate::candidates::{Candidate, candidates};
use crate::firsts::{Numbers, Places};
use crate::ground::Ground;
use crate::insert::Occupied;
use crate::reasons::{self, Reason};
use crate::world::{STAGES, Stage, handed_over};

/// One manner of making a request: these plates together carry all its copies.
#[derive(Clone, Debug)]
pub struct Way {
    /// Such as "all on one plate".
    pub label: String,
    /// Plates with fresh sequence numbers, all going to the same place.
    pub plates: Vec<Plate>,
}

/// A question: when can these copies be where they are needed?
#[derive(Clone, Debug)]
pub struct Ask {
    /// Ways to make them, simplest first.
    pub ways: Vec<Way>,
    /// Chance asked for, such as 0.9.
    pub level: f64,
    /// Now; nothing starts before.
    pub now: Minute,
    /// Seed of the worlds.
    pub seed: u64,
    /// How many worlds choose, and how many fresh ones say what is promised; 400 give a standard
    /// error of 1.5 points at 90 %.
    pub worlds: u64,
}

/// A pledge that could be given.
#[derive(Clone, Debug, PartialEq)]
pub struct Quote {
    /// The team holds the last copy by then...
    pub arrival: Minute,
    /// ... with this chance: the share of the worlds by the rule of succession.
    pub probability: f64,
    /// Hand-over if nothing goes wrong.
    pub nominal: Minute,
    /// Position in [`Ask::ways`].
    pub way: usize,
    /// Place in the plan for each plate of the way, in its order.
    pub assignments: Vec<Assignment>,
    /// Why not earlier, most binding first.
    pub reasons: Vec<Reason>,
    /// Each simulated hand-over with the chance of having it by then, in order; the rest of the
    /// worlds have it later than the calendars go, or gave up.
    pub outlook: Vec<(Minute, f64)>,
}

impl Quote {
    /// The chance that the team holds the last copy by `at`.
    #[must_use]
    pub fn chance_by(&self, at: Minute) -> f64 {
        chance_by(&self.outlook, at)
    }
}

pub(crate) fn chance_by(outlook: &[(Minute, f64)], at: Minute) -> f64 {
    let upto = outlook.partition_point(|&(arrival, _)| arrival <= at);
    upto.checked_sub(1).map_or(0.0, |i| outlook[i].1)
}

/// Why no pledge is possible.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NoQuote {
    /// There is no way to make it at all.
    #[error("{}", say!("errors-nothing-asked"))]
    NothingAsked,
    /// No printer takes this size in this material.
    #[error("{}", say!("errors-no-printer", material = material))]
    NoPrinter {
        /// The material's code.
        material: String,
    },
    /// Printers take it, but so many copies need more plates than one promise may have.
    #[error("{}", say!("errors-too-many-plates", plates = plates, most = most))]
    TooManyPlates {
        /// Plates needed at least.
        plates: usize,
        /// Plates of a promise at most.
        most: usize,
    },
    /// Printers take it, but none has time for it, or no leg goes, before the calendars end.
    #[error("{}", say!("errors-no-slot"))]
    NoSlot,
    /// The same in the words of whoever knows the calendar: how far it goes, and what is closed.
    #[error("{0}")]
    NoSlotUntil(Box<Said>),
    /// Slots exist, but none reaches the asked chance.
    #[error("{}", say!("errors-too-uncertain", best = best.to_string()))]
    TooUncertain {
        /// The best share of worlds that any slot reaches.
        best: f64,
    },
}

/// Worlds played before it is asked whether a candidate is beaten: few enough to stop soon, many
/// enough to share between threads. What comes out is the same for any number.
const WORLDS_AT_ONCE: usize = 20;
/// A candidate with what its worlds said.
struct Played {
    candidate: Candidate,
    arrival: Minute,
    probability: f64,
    outlook: Vec<(Minute, f64)>,
}

/// The earliest hand-over that holds with the asked chance, over all ways and slots.
///
/// `plates` are the plates already in `plan` (their makings tell how long what is ahead takes).
/// No pledge is earlier than the plan has it, even if most worlds are: the plan would break it.
///
/// # Errors
/// [`NoQuote`], with the reason.
pub fn quote(
    ground: &Ground<'_>,
    plates: &[Plate],
    plan: &Plan,
    ask: &Ask,
) -> Result<Quote, NoQuote> {
    searched((ground, plates, plan), ask, None)
}

/// As [`quote()`], but only of slots that are handed over before `before` if
/// all goes well: what else could be asked is only worth playing when it could be earlier.
///
/// # Errors
/// [`NoQuote`], also when no slot is that early.
pub fn quote_before(
    ground: &Ground<'_>,
    plates: &[Plate],
    plan: &Plan,
    (ask, before): (&Ask, Minute),
) -> Result<Quote, NoQuote> {
    searched((ground, plates, plan), ask, Some(before))
}

fn searched(
    (ground, plates, plan): (&Ground<'_>, &[Plate], &Plan),
    ask: &Ask,
    before: Option<Minute>,
) -> Result<Quote, NoQuote> {
    let occupied = Occupied::by(ground, plates, plan);
    let mut waiting = candidates(ground, &occupied, ask)?;
    if let Some(before) = before {
        waiting.retain(|candidate| candidate.nominal < before);
        if waiting.is_empty() {
            return Err(NoQuote::NoSlot);
        }
    }
    first_that_holds((ground, plates, plan), &occupied, ask, waiting)
}

/// The best of the candidates, in the order of nominal hand-over that they stand in.
pub(crate) fn first_that_holds(
    (ground, plates, plan): (&Ground<'_>, &[Plate], &Plan),
    occupied: &Occupied,
    ask: &Ask,
    waiting: Vec<Candidate>,
) -> Result<Quote, NoQuote> {
    let crowd = Crowd::of(ground, plates.iter(), plan, ask.now);
    let scene = Scene {
        ground,
        occupied,
        crowd: &crowd,
        now: ask.now,
        seed: ask.seed,
    };
    let mut search = Search {
        scene,
        stages: (0..STAGES).map(|_| Stage::new(scene)).collect(),
        numbers: Numbers::default(),
        ask,
        waiting,
        held: Vec::new(),
        best_share: 0.0,
    };
    let Some(best) = search.best() else {
        return Err(NoQuote::TooUncertain {
            best: search.best_share,
        });
    };
    Ok(answer(ground, ask, best))
}

/// Candidates on their way to an answer.
struct Search<'s, 'a, 'b> {
    scene: Scene<'a, 'b>,
    stages: Vec<Stage<'a, 'b>>,
    numbers: Numbers,
    ask: &'s Ask,
    /// Not played, or not to the end, in order of nominal hand-over.
    waiting: Vec<Candidate>,
    /// Reach the level in the worlds in which they were compared.
    held: Vec<Played>,
    /// The best share that one has reached which does not.
    best_share: f64,
}

impl Search<'_, '_, '_> {
    /// The first hand-over that holds.
    ///
    /// Of many candidates the one that looks best has mostly been lucky too (Smith and Winkler,
    /// "The optimizer's curse", Management Science 52, 2006, from memory): its chance in the worlds that chose it
    /// flatters it. So it is played again in as many fresh worlds, and what it does in those is what
    /// is promised. If that is later, others get their turn.
    fn best(&mut self) -> Option<Played> {
        let mut best: Option<Played> = None;
        loop {
            let bar = best.as_ref().map(|best| Bar::of(best, self.ask));
            self.compare(bar);
            let first = self.held.first();
            let better = |first: &Played| {
                let known = best.as_ref();
                known.is_none_or(|best| preference(first, best).is_lt())
            };
            if !first.is_some_and(better) {
                return best;
            }
            let chosen = self.held.remove(0);
            let seemed = chosen.arrival;
            let fresh = self.ask.worlds..2 * self.ask.worlds;
            match self.play(fresh, chosen.candidate, None) {
                Outcome::Held(mut again) => {
                    // Never earlier than it seemed: else one that came second might win by luck.
                    if again.arrival < seemed {
                        again.arrival = seemed;
                        again.probability = chance_by(&again.outlook, seemed);
                    }
                    let as_it_seemed = again.arrival == seemed;
                    match &mut best {
                        Some(known) if preference(known, &again).is_le() => self.held.push(again),
                        Some(known) => self.held.push(std::mem::replace(known, again)),
                        None => best = Some(again),
                    }
                    if as_it_seemed {
                        return best;
                    }
                }
                Outcome::Beaten(_) => {}
                Outcome::TooUncertain(share) => self.best_share = self.best_share.max(share),
            }
        }
    }

    /// Plays the candidates that might beat the bar, in the same worlds.
    fn compare(&mut self, mut bar: Option<Bar>) {
        for held in &self.held {
            let other = Bar::of(held, self.ask);
            bar = Some(bar.map_or(other, |bar| bar.min(other)));
        }
        for candidate in std::mem::take(&mut self.waiting) {
            if bar.is_some_and(|bar| candidate.nominal > bar.arrival) {
                self.waiting.push(candidate);
                continue;
            }
            let worlds = 0..self.ask.worlds;
            match self.play(worlds, candidate, bar) {
                Outcome::Held(done) => {
                    let new = Bar::of(&done, self.ask);
                    bar = Some(bar.map_or(new, |bar| bar.min(new)));
                    self.held.push(done);
                }
                Outcome::Beaten(candidate) => self.waiting.push(candidate),
                Outcome::TooUncertain(share) => self.best_share = self.best_share.max(share),
            }
        }
        self.held.sort_by(preference);
    }

    /// Plays a candidate through as many worlds as are asked for, or until it is beaten.
    fn play(&mut self, range: Range<u64>, candidate: Candidate, bar: Option<Bar>) -> Outcome {
        let ask = self.ask;
        let way = (candidate.way, ask.ways[candidate.way].plates.as_slice());
        let slots = &candidate.assignments;
        let Some(places) = Places::of(self.scene, &mut self.numbers, way, slots) else {
            return Outcome::TooUncertain(0.0);
        };
        // Rule of succession (Laplace): what happened in all worlds played is still not certain.
        let of = ask.worlds as f64 + 2.0;
        let may_miss = of * (1.0 - ask.level) - 1.0;
        let mut arrivals: Vec<Minute> = Vec::new();
        let (mut later, mut not_earlier) = (0_u64, 0_u64);
        for first in range.clone().step_by(WORLDS_AT_ONCE) {
            let until = range.end.min(first + WORLDS_AT_ONCE as u64);
            for arrival in worlds(&mut self.stages, &places, first..until) {
                arrivals.extend(arrival);
                if let Some(bar) = bar {
                    later += u64::from(arrival.is_none_or(|at| at > bar.arrival));
                    not_earlier += u64::from(arrival.is_none_or(|at| at >= bar.arrival));
                }
            }
            if bar.is_some_and(|bar| later > bar.missed && not_earlier as f64 > may_miss + 1e-9) {
                return Outcome::Beaten(candidate);
            }
        }
        arrivals.sort_unstable();
        let outlook = outlook(&arrivals, ask.worlds);
        let held = outlook.iter().find(|(_, share)| *share >= ask.level);
        let Some(arrival) = held.map(|held| held.0.max(candidate.nominal)) else {
            return Outcome::TooUncertain(outlook.last().map_or(0.0, |last| last.1));
        };
        Outcome::Held(Played {
            probability: chance_by(&outlook, arrival),
            candidate,
            arrival,
            outlook,
        })
    }
}

/// Earlier first, then surer, then nominally earlier, then simpler, then in sequence.
fn preference(a: &Played, b: &Played) -> std::cmp::Ordering {
    let rank = |p: &Played| {
        let slot = p.candidate.last();
        (
            p.candidate.nominal,
            p.candidate.way,
            slot.printer,
            slot.start,
        )
    };
    let sure = b.probability.total_cmp(&a.probability);
    a.arrival
        .cmp(&b.arrival)
        .then(sure)
        .then(rank(a).cmp(&rank(b)))
}

/// What a further candidate must beat: an earlier hand-over, or the same one in more worlds.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Bar {
    arrival: Minute,
    /// Worlds in which it came later.
    missed: u64,
}

impl Bar {
    fn of(played: &Played, ask: &Ask) -> Self {
        let held = played.probability * (ask.worlds as f64 + 2.0) - 1.0;
        let held = round_i64(held).and_then(|held| u64::try_from(held).ok());
        Self {
            arrival: played.arrival,
            missed: ask.worlds.saturating_sub(held.unwrap_or(0)),
        }
    }
}

enum Outcome {
    Held(Played),
    /// Cannot beat the bar any more, however the rest of the worlds go.
    Beaten(Candidate),
    /// The best share reached; it never gets to the level.
    TooUncertain(f64),
}

/// When some of the worlds hand a candidate over, in no order of worlds.
fn worlds<'b>(
    stages: &mut [Stage<'_, 'b>],
    places: &Places<'_, 'b>,
    range: Range<u64>,
) -> Vec<Option<Minute>> {
    let many = stages.len() as u64;
    let of_stage = |(k, stage): (usize, &mut Stage<'_, 'b>)| -> Vec<Option<Minute>> {
        let own = range.clone().filter(|world| world % many == k as u64);
        own.map(|world| handed_over(stage, places, world)).collect()
    };
    let parts: Vec<Vec<Option<Minute>>> = stages.par_iter_mut().enumerate().map(of_stage).collect();
    parts.into_iter().flatten().collect()
}

/// Each arrival with the share of worlds that have it by then, by the rule of succession.
pub(crate) fn outlook(sorted: &[Minute], worlds: u64) -> Vec<(Minute, f64)> {
    let of = worlds as f64 + 2.0;
    let mut outlook: Vec<(Minute, f64)> = Vec::new();
    for (i, &at) in sorted.iter().enumerate() {
        let share = (i as f64 + 2.0) / of;
        match outlook.last_mut() {
            Some(last) if last.0 == at => last.1 = share,
            _ => outlook.push((at, share)),
        }
    }
    outlook
}

fn answer(ground: &Ground<'_>, ask: &Ask, best: Played) -> Quote {
    let Candidate {
        way,
        assignments,
        nominal,
        ..
    } = &best.candidate;
    let mut out = Quote {
        arrival: best.arrival,
        probability: best.probability,
        nominal: *nominal,
        way: *way,
        assignments: assignments.clone(),
        reasons: Vec::new(),
        outlook: best.outlook,
    };
    out.reasons = reasons::of_quote(ground, ask, &out, &best.candidate.last());
    out
}

/// The promise that a quote makes about its plates.
#[must_use]
pub fn promise(quote: &Quote) -> Promise {
    Promise {
        arrival: quote.arrival,
        probability: quote.probability,
    }
}

/// The place that all plates of a way go to.
#[must_use]
pub fn place(way: &Way) -> Option<PlaceIx> {
    way.plates.first().map(|plate| plate.to)
}
