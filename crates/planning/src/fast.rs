//! The honest pledge in a fiftieth of the time: luck summed instead of thrown.
//!
//! [`quote()`](crate::quote()) plays every slot through hundreds of worlds. Here the same rules are
//! followed for all luck at once: a run's time in a few pieces of its distribution, losses with
//! their chance, visits and departures that are missed, the plates ahead one after another
//! (`lag`), and a reprint in the best slot that a few foreseen futures leave ([`Foresight`]).
//! For seasons played by the hundred and wherever many requests are quoted at once; the chance it
//! states means the same. How far the two are apart is measured: see `docs/calibration.md`.
//!
//! Left out, against the worlds: the plates ahead of a reprint are taken to be on time, and a third
//! reprint never comes.

mod attempt;
mod foresight;
mod lag;
mod lines;

mod reprints;
mod spread;
mod together;

use std::collections::BTreeMap;

use partpledge_planning_model::{Assignment, Plan, Plate, SiteIx};
use partpledge_units::time::{Minute, Minutes};

use crate::candidates::{Candidate, fill, none};
use crate::ground::Ground;
use crate::insert::Occupied;
use crate::quote::{Ask, NoQuote, Quote, Way, chance_by};
use crate::reasons;
use crate::slots::slots;

use attempt::{Absence, Attempt, attempt};
use lag::{Lags, Planned, Present};
use reprints::{Enough, Reprints, Which};
use spread::Spread;
use together::{Whole, together};

pub use foresight::Foresight;

/// Slots looked at on each printer, as the worlds do.
const SLOTS_A_PRINTER: usize = 3;
/// Slots of one way with the same hand-over that are summed, surest first by [`guess`].
const MOST_ALIKE: usize = 10;
/// The same where a way has several plates.
const MOST_ALIKE_OF_SEVERAL: usize = 3;
/// How sure a slot right after another plate is, against one with time before it: a run in ten
/// takes longer than what is kept free for it, mostly by little. Derived here.
const AFTER_ANOTHER: f64 = 0.97;
/// A very sure slot may be handed over so much later than the first to be summed before it.
const SOON: Minutes = Minutes(1_440);
/// The worlds by which the exact quote's rule of succession is imitated.
const AS_WORLDS: f64 = 400.0;

/// The earliest hand-over that holds with the asked chance, as [`quote()`](crate::quote()) but
/// without playing worlds: [`Ask::worlds`] and [`Ask::seed`] are not used, and no alternatives
/// are looked for.
///
/// # Errors
/// [`NoQuote`], with the reason.
pub fn quote_fast(
    ground: &Ground<'_>,
    plates: &[Plate],
    plan: &Plan,
    ask: &Ask,
    foresight: &mut Foresight,
) -> Result<Quote, NoQuote> {
    searched((ground, plates, plan), ask, foresight, true)
}

/// `stops` when a slot can't be the best any more; the answer is the same either way.
fn searched(
    (ground, plates, plan): (&Ground<'_>, &[Plate], &Plan),
    ask: &Ask,
    foresight: &mut Foresight,
    stops: bool,
) -> Result<Quote, NoQuote> {
    let in_plan: Vec<&Plate> = (plates.iter())
        .filter(|plate| plan.of(plate.seq).is_some())
        .collect();
    let occupied = Occupied::by(ground, in_plan.iter().copied(), plan);
    let planned = Planned::of(in_plan.into_iter(), plan);
    let mut summing = Summing {
        present: Present {
            ground,
            occupied: &occupied,
            planned: &planned,
            now: ask.now,
        },
        lags: Lags::new(ground.region().printers.len()),
        reprints: Reprints::new(ground, foresight.onto(ground, &occupied, ask.now), ask.now),
        able: BTreeMap::new(),
        stops,
    };
    let first = first_slots(ground, &occupied, ask);
    if first.is_empty() {
        return Err(none(ground, ask));
    }
    let mut best: Option<Found> = None;
    let mut most = 0.0_f64;
    for rank in in_turn(&first, stops) {
        let (_, way, slot) = first[rank];
        // Nothing is pledged earlier than it is planned.
        let too_late = |best: &Found| slot.arrives > best.arrival;
        if stops && best.as_ref().is_some_and(too_late) {
            break;
        }
        let in_words = (way, &ask.ways[way]);
        let Some(candidate) = fill(ground, &occupied, in_words, slot, ask.now) else {
            continue;
        };
        match summing.sum(ask, (rank, candidate), best.as_ref()) {
            Summed::Found(found) => best = Some(found),
            Summed::Beaten => (),
            Summed::TooUncertain(share) => most = most.max(share),
        }
    }
    let best = best.ok_or(NoQuote::TooUncertain { best: most })?;
    Ok(answer(ground, ask, best))
}

/// A first slot of a way: how sure it is by [`guess`], which way, and where.
type First = (f64, usize, Assignment);

/// Every able printer's first slots for the first plate of each way, in order of hand-over, surest
/// first by a guess; of slots alike only the surest.
fn first_slots(ground: &Ground<'_>, occupied: &Occupied, ask: &Ask) -> Vec<First> {
    let mut out: Vec<First> = Vec::new();
    for (w, way) in ask.ways.iter().enumerate() {
        if let Some(plate) = way.plates.first() {
            let found = slots(ground, occupied, plate, ask.now, SLOTS_A_PRINTER);
            let guessed = found.into_iter();
            out.extend(guessed.map(|slot| (guess(ground, occupied, plate, &slot), w, slot)));
        }
    }
    out.sort_by(|(a_sure, a_way, a), (b_sure, b_way, b)| {
        let rank = |way: &usize, slot: &Assignment| (*way, slot.printer, slot.start);
        let sure = b_sure.total_cmp(a_sure);
        let when = a.arrives.cmp(&b.arrives).then(sure);
        when.then(rank(a_way, a).cmp(&rank(b_way, b)))
    });
    let mut alike: BTreeMap<(usize, Minute), usize> = BTreeMap::new();
    out.retain(|(_, way, slot)| {
        let many = alike.entry((*way, slot.arrives)).or_default();
        *many += 1;
        *many <= most_alike(&ask.ways[*way])
    });
    out
}

/// In which order slots are summed: by hand-over, but a very sure one first, for a good first find
/// rules most others out. The answer does not depend on it.
fn in_turn(first: &[First], stops: bool) -> impl Iterator<Item = usize> {
    let soon = first.first().map(|(_, _, slot)| slot.arrives + SOON);
    let early = first
        .iter()
        .take_while(|(_, _, slot)| Some(slot.arrives) <= soon);
    let surest = early.enumerate().filter(|_| stops);
    let surest = surest.max_by(|(i, a), (j, b)| a.0.total_cmp(&b.0).then(j.cmp(i)));
    let surest = surest.map(|(rank, _)| rank);
    let others = (0..first.len()).filter(move |rank| Some(*rank) != surest);
    surest.into_iter().chain(others)
}

/// How many slots alike are summed. A way of several plates comes to much the same plates' places
/// whichever is placed first.
fn most_alike(way: &Way) -> usize {
    if way.plates.len() > 1 {
        MOST_ALIKE_OF_SEVERAL
    } else {
        MOST_ALIKE
    }
}

/// A first guess at how sure a slot is: that nothing is lost, a little less right after another
/// plate, which may be late.
fn guess(ground: &Ground<'_>, occupied: &Occupied, plate: &Plate, slot: &Assignment) -> f64 {
    let printer = ground.printer(slot.printer);
    let making = plate.makings.iter().find(|m| m.printer == slot.printer);
    let hours = making.map_or(0.0, |making| making.likely.0 as f64 / 60.0);
    let whole = (1.0 - printer.start_failure) * (-printer.failures_per_hour * hours).exp();
    let mut before = occupied.on(slot.printer).iter();
    let after_another = before.any(|span| span.cleared == slot.start);
    whole * if after_another { AFTER_ANOTHER } else { 1.0 }
}

/// A candidate with its pledge.
struct Found {
    candidate: Candidate,
    /// Its place in the order of first slots: the lower one is taken of two equally good.
    rank: usize,
    arrival: Minute,
    probability: f64,
    outlook: Vec<(Minute, f64)>,
}

enum Summed {
    /// Better than the best before.
    Found(Found),
    Beaten,
    TooUncertain(f64),
}

/// What is summed once for all candidates of a request.
struct Summing<'a> {
    present: Present<'a>,
    lags: Lags,
    reprints: Reprints<'a>,
    /// Plates with the makings that a printer takes.
    able: BTreeMap<Which, Plate>,
    /// Whether what can't be the best any more is left.
    stops: bool,
}

impl Summing<'_> {
    fn sum(
        &mut self,
        ask: &Ask,
        (rank, candidate): (usize, Candidate),
        best: Option<&Found>,
    ) -> Summed {
        let plates = &ask.ways[candidate.way].plates;
        let site = |slot: &Assignment| self.present.ground.stand_at(slot.printer, slot.start).site;
        let sites: Vec<SiteIx> = candidate.assignments.iter().map(site).collect();
        let mut tried = Vec::with_capacity(plates.len());
        for (i, (plate, slot)) in plates.iter().zip(&candidate.assignments).enumerate() {
            let shared = (0..sites.len()).any(|j| j != i && sites[j] == sites[i]);
            tried.push(self.first_attempt(plate, slot, shared));
        }
        let Some(whole) = self.followed(ask, &candidate, (&sites, &tried), best) else {
            return Summed::Beaten;
        };
        let mut outlook = together(whole);
        for (_, chance) in &mut outlook {
            *chance = succession(*chance);
        }
        let held = outlook.iter().find(|(_, chance)| *chance >= ask.level);
        let Some(arrival) = held.map(|held| held.0.max(candidate.nominal)) else {
            return Summed::TooUncertain(outlook.last().map_or(0.0, |last| last.1));
        };
        let probability = chance_by(&outlook, arrival);
        let better = best.is_none_or(|best| {
            let sure = best.probability.total_cmp(&probability);
            let order = arrival.cmp(&best.arrival).then(sure);
            order.then(rank.cmp(&best.rank)).is_lt()
        });
        if !better {
            return Summed::Beaten;
        }
        Summed::Found(Found {
            candidate,
            rank,
            arrival,
            probability,
            outlook,
        })
    }

    /// All plates with what follows their losses; `None` as soon as the best can't be beaten.
    fn followed(
        &mut self,
        ask: &Ask,
        candidate: &Candidate,
        (sites, tried): (&[SiteIx], &[Tried]),
        best: Option<&Found>,
    ) -> Option<Vec<Whole>> {
        let plates = &ask.ways[candidate.way].plates;
        let best = best.filter(|_| self.stops);
        let mut surest: Vec<Surest> = match best {
            Some(best) => tried.iter().map(|tried| Surest::of(tried, best)).collect(),
            None => Vec::new(),
        };
        let mut whole = Vec::with_capacity(plates.len());
        for (i, tried) in tried.iter().enumerate() {
            // Plates of a way are mostly alike: what is found for one is found for all.
            let mut before = plates[..i].iter();
            let like = before.position(|plate| plate.makings == plates[i].makings);
            let which = (candidate.way, like.unwrap_or(i));
            let able = self.able.entry(which);
            let able = &*able.or_insert_with(|| foresight::able(self.present.ground, &plates[i]));
            let enough = best.map(|best| enough(ask, best, &surest, i));
            let mut follow = |tried, enough: Option<&Enough>| {
                self.reprints.with_reprints((which, able), tried, enough)
            };
            // Nothing is surer than if nobody stays away: that alone must be enough.
            let calm = match &tried.calm {
                Some(calm) => Some(follow(calm, enough.as_ref())?),
                None => None,
            };
            let alone = enough.as_ref().filter(|_| calm.is_none());
            let feared = follow(&tried.feared, alone)?;
            if let Some(best) = best {
                surest[i] = Surest::known(calm.as_ref().unwrap_or(&feared), best);
            }
            whole.push(Whole {
                site: sites[i],
                feared,
                calm,
            });
        }
        Some(whole)
    }

    /// A plate in its own slot, the plates ahead of it late or not; `shared` when another plate of
    /// the request is made at the same site.
    fn first_attempt(&mut self, plate: &Plate, slot: &Assignment, shared: bool) -> Tried {
        let Some(making) = plate.makings.iter().find(|m| m.printer == slot.printer) else {
            return Tried::default();
        };
        let ground = self.present.ground;
        let tries = |starts: &Spread, moved: &Spread, absence| {
            let mut tried = attempt(ground, making, plate.to, starts, absence);
            // It looks for another slot from then on, like a plate that was lost.
            tried.lost.add_all(moved, 1.0);
            tried
        };
        let mut start = |absence| {
            let mut moved = Spread::default();
            let present = self.present;
            let starts = (self.lags).starts(present, making, (slot.start, absence), &mut moved);
            tries(&starts, &moved, absence)
        };
        Tried {
            feared: start(Absence::Feared),
            calm: shared.then(|| start(Absence::LeftOut)),
        }
    }
}

/// A plate tried in its slot.
#[derive(Default)]
struct Tried {
    feared: Attempt,
    /// The same if nobody stays away, when others of the request are made at the same site.
    calm: Option<Attempt>,
}

/// The most that a plate's chances can be: before the minute that the best pledges, and by it.
struct Surest([f64; 2]);

impl Surest {
    fn minutes(best: &Found) -> [Minute; 2] {
        [Minute(best.arrival.0 - 1), best.arrival]
    }

    /// If all that is lost is made again in time, and nobody stays away from plates that share a site.
    fn of(tried: &Tried, best: &Found) -> Self {
        let surest = tried.calm.as_ref().unwrap_or(&tried.feared);
        let lost = surest.lost.mass();
        Self(Self::minutes(best).map(|at| surest.handed_over.by(at) + lost))
    }

    /// Once it is known what follows.
    fn known(whole: &Spread, best: &Found) -> Self {
        Self(Self::minutes(best).map(|at| whole.by(at)))
    }
}

/// What plate `i` must reach for all plates to be there earlier than the best, or as early and surer,
/// if the others are as sure as they can be.
fn enough(ask: &Ask, best: &Found, surest: &[Surest], i: usize) -> Enough {
    let wanted = [
        before_succession(ask.level),
        before_succession(best.probability),
    ];
    let minutes = Surest::minutes(best);
    Enough([0, 1].map(|k| {
        let others = (surest.iter().enumerate()).filter(|(j, _)| *j != i);
        let others: f64 = others.map(|(_, surest)| surest.0[k]).product();
        (minutes[k], wanted[k] / others.max(f64::MIN_POSITIVE))
    }))
}

/// A chance as the exact quote would state it: what happens in all worlds is still not certain.
fn succession(chance: f64) -> f64 {
    (AS_WORLDS * chance + 1.0) / (AS_WORLDS + 2.0)
}

/// The chance that is stated as that.
fn before_succession(stated: f64) -> f64 {
    (stated * (AS_WORLDS + 2.0) - 1.0) / AS_WORLDS
}

fn answer(ground: &Ground<'_>, ask: &Ask, best: Found) -> Quote {
    let mut out = Quote {
        arrival: best.arrival,
        probability: best.probability,
        nominal: best.candidate.nominal,
        way: best.candidate.way,
        assignments: best.candidate.assignments.clone(),
        reasons: Vec::new(),
        outlook: best.outlook,
    };
    out.reasons = reasons::of_quote(ground, ask, &out, &best.candidate.last());
    out
}

#[cfg(test)]
mod tests;
