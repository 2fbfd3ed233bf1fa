//! The honest pledge in less than half of the time: luck summed instead of thrown.
//!
//! [`quote()`](crate::quote()) plays every slot through hundreds of worlds. Here the same rules are
//! followed for all luck at once: a run's time in a few pieces of its distribution, losses with
//! their chance, visits and departures that are missed, the plates ahead one after another
//! (`lag`), and a reprint in the best slot that a few foreseen futures leave ([`Foresight`]).
//! For seasons played by the hundred and wherever many requests are quoted at once; the chance it
//! states means the same. How far the two are apart is measured: see `docs/calibration.md`.
//!
//! Left out, against the worlds: the plates ahead of a reprint are taken to be on time.

mod attempt;
mod foresight;
mod lag;
mod normal;
mod spread;
mod together;

use std::collections::BTreeMap;

use partpledge_planning_model::{Assignment, Plan, Plate, SiteIx};
use partpledge_units::time::Minute;

use crate::background::Crowd;
use crate::candidates::{Candidate, fill, none};
use crate::ground::Ground;
use crate::insert::Occupied;
use crate::quote::{Ask, NoQuote, Quote, Way, chance_by};
use crate::reasons;
use crate::slots::{best_slot, slots};

use attempt::{Absence, Attempt, attempt, visits};
use foresight::FUTURES;
use lag::{Lags, Present};
use spread::{NEGLIGIBLE, Spread};
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
/// Losses seen within so many minutes look for another slot at the end of them.
const SEEN_STEP_MIN: i64 = 5;
/// Reprints that are followed; further ones never come.
const MOST_REPRINTS: u64 = 3;
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
    let occupied = Occupied::by(ground, plates, plan);
    let crowd = Crowd::of(ground, plates, plan, ask.now);
    let mut summing = Summing {
        present: Present {
            ground,
            occupied: &occupied,
            crowd: &crowd,
            now: ask.now,
        },
        lags: Lags::new(ground.region().printers.len()),
        foresight,
        reprints: BTreeMap::new(),
    };
    let first = first_slots(ground, &occupied, ask);
    if first.is_empty() {
        return Err(none(ground, ask));
    }
    let mut best: Option<Found> = None;
    let mut most = 0.0_f64;
    let mut summed: Vec<(usize, Minute, usize)> = Vec::new();
    for (way, slot) in first {
        if best
            .as_ref()
            .is_some_and(|best| slot.arrives > best.arrival)
        {
            break;
        }
        // Of slots alike only the surest are summed.
        let mut alike = summed.iter_mut();
        match alike.find(|(w, at, _)| (*w, *at) == (way, slot.arrives)) {
            Some((_, _, many)) if *many >= most_alike(&ask.ways[way]) => continue,
            Some((_, _, many)) => *many += 1,
            None => summed.push((way, slot.arrives, 1)),
        }
        let in_words = (way, &ask.ways[way]);
        let Some(candidate) = fill(ground, &occupied, in_words, slot, ask.now) else {
            continue;
        };
        match summing.sum(ask, candidate, best.as_ref()) {
            Summed::Found(found) => best = Some(found),
            Summed::Beaten => (),
            Summed::TooUncertain(share) => most = most.max(share),
        }
    }
    let best = best.ok_or(NoQuote::TooUncertain { best: most })?;
    Ok(answer(ground, ask, best))
}

/// Every able printer's first slots for the first plate of each way, in order of hand-over, surest
/// first by a guess.
fn first_slots(ground: &Ground<'_>, occupied: &Occupied, ask: &Ask) -> Vec<(usize, Assignment)> {
    let mut out: Vec<(f64, usize, Assignment)> = Vec::new();
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
    out.into_iter().map(|(_, w, slot)| (w, slot)).collect()
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
struct Summing<'a, 'f> {
    present: Present<'a>,
    lags: Lags,
    foresight: &'f mut Foresight,
    /// Hand-overs of a plate by way, position, reprint and when the loss is seen.
    reprints: BTreeMap<(usize, usize, u64, Minute), Spread>,
}

impl Summing<'_, '_> {
    fn sum(&mut self, ask: &Ask, candidate: Candidate, best: Option<&Found>) -> Summed {
        let plates = &ask.ways[candidate.way].plates;
        let site = |slot: &Assignment| self.present.ground.stand_at(slot.printer, slot.start).site;
        let sites: Vec<SiteIx> = candidate.assignments.iter().map(site).collect();
        let mut tried = Vec::with_capacity(plates.len());
        for (i, (plate, slot)) in plates.iter().zip(&candidate.assignments).enumerate() {
            let shared = (0..sites.len()).any(|j| j != i && sites[j] == sites[i]);
            tried.push(self.first_attempt(plate, slot, shared));
        }
        if best.is_some_and(|best| !may_beat(&tried, ask, best)) {
            return Summed::Beaten;
        }
        let mut whole = Vec::with_capacity(plates.len());
        for (i, tried) in tried.iter().enumerate() {
            // Plates of a way are mostly alike: what is found for one is found for all.
            let mut before = plates[..i].iter();
            let like = before.position(|plate| plate.makings == plates[i].makings);
            let which = (candidate.way, like.unwrap_or(i), &plates[i]);
            whole.push(Whole {
                site: sites[i],
                feared: self.with_reprints(which, &tried.feared),
                calm: (tried.calm.as_ref()).map(|calm| self.with_reprints(which, calm)),
            });
        }
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
            arrival < best.arrival || (arrival == best.arrival && probability > best.probability)
        });
        if !better {
            return Summed::Beaten;
        }
        Summed::Found(Found {
            candidate,
            arrival,
            probability,
            outlook,
        })
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

    /// An attempt with what follows its losses.
    fn with_reprints(&mut self, which: (usize, usize, &Plate), tried: &Attempt) -> Spread {
        let mut out = tried.handed_over.clone();
        let seen = tried.lost.on_steps(self.present.now, SEEN_STEP_MIN);
        for (seen, mass) in seen.iter().filter(|(_, mass)| *mass > NEGLIGIBLE) {
            let again = self.reprinted(which, seen, 1);
            out.add_all(&again, mass);
        }
        out
    }

    /// Hand-overs of a plate whose loss is seen at `seen`.
    fn reprinted(
        &mut self,
        (way, i, plate): (usize, usize, &Plate),
        seen: Minute,
        reprint: u64,
    ) -> Spread {
        let key = (way, i, reprint, seen);
        if let Some(known) = self.reprints.get(&key) {
            return known.clone();
        }
        let futures = if reprint == 1 { FUTURES } else { 1 };
        let mut out = Spread::default();
        for future in 0..futures {
            let Present {
                ground,
                occupied,
                now,
                ..
            } = self.present;
            let taken = self.foresight.at(ground, occupied, (now, seen), future);
            let Some(slot) = best_slot(ground, &taken, plate, seen) else {
                continue;
            };
            let making = plate.makings.iter().find(|m| m.printer == slot.printer);
            let Some(making) = making else { continue };
            let mut starts = Spread::default();
            for (there, comes) in visits(
                ground.site_at(slot.printer, slot.start),
                slot.start,
                Absence::Feared,
            ) {
                starts.add(there, comes);
            }
            let tried = attempt(ground, making, plate.to, &starts, Absence::Feared);
            let share = 1.0 / futures as f64;
            out.add_all(&tried.handed_over, share);
            let lost = tried.lost.mass();
            if reprint < MOST_REPRINTS && lost > NEGLIGIBLE {
                let seen = middle(&tried.lost, now);
                let again = self.reprinted((way, i, plate), seen, reprint + 1);
                out.add_all(&again, share * lost);
            }
        }
        self.reprints.insert(key, out.clone());
        out
    }
}

/// A plate tried in its slot.
#[derive(Default)]
struct Tried {
    feared: Attempt,
    /// The same if nobody stays away, when others of the request are made at the same site.
    calm: Option<Attempt>,
}

/// Whether these plates may be there earlier than the best, or as early and surer: at best all that
/// is lost is made again in time, and nobody stays away from plates that share a site.
fn may_beat(tried: &[Tried], ask: &Ask, best: &Found) -> bool {
    let at_best = |at: Minute| {
        let each = tried.iter().map(|tried| {
            let surest = tried.calm.as_ref().unwrap_or(&tried.feared);
            surest.handed_over.by(at) + surest.lost.mass()
        });
        succession(each.product())
    };
    let earlier = at_best(Minute(best.arrival.0 - 1)) >= ask.level;
    earlier || at_best(best.arrival) > best.probability
}

/// The mean minute of a spread, on the steps at which losses are seen.
fn middle(spread: &Spread, now: Minute) -> Minute {
    let weighed = |(at, mass): (Minute, f64)| mass * (at - now).0 as f64;
    let mean_min = spread.iter().map(weighed).sum::<f64>() / spread.mass();
    let steps = partpledge_units::cast::ceil_i64(mean_min / SEEN_STEP_MIN as f64);
    Minute(now.0 + steps.unwrap_or(0) * SEEN_STEP_MIN)
}

/// A chance as the exact quote would state it: what happens in all worlds is still not certain.
fn succession(chance: f64) -> f64 {
    (AS_WORLDS * chance + 1.0) / (AS_WORLDS + 2.0)
}

fn answer(ground: &Ground<'_>, ask: &Ask, best: Found) -> Quote {
    let mut out = Quote {
        arrival: best.arrival,
        probability: best.probability,
        nominal: best.candidate.nominal,
        way: best.candidate.way,
        assignments: best.candidate.assignments.clone(),
        reasons: Vec::new(),
        alternatives: Vec::new(),
        outlook: best.outlook,
    };
    out.reasons = reasons::of_quote(ground, ask, &out, &best.candidate.last());
    out
}
