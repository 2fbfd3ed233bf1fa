//! The honest pledge: the first slot whose simulated arrival reaches the asked chance.

use partpledge_planning_model::{
    Assignment, Making, PlaceIx, Plan, Plate, PlateSeq, PrinterIx, Promise,
};
use partpledge_units::time::Minute;

use crate::ground::Ground;
use crate::insert::{Occupied, best_slot, slots};
use crate::reasons::{self, Reason};
use crate::world::{handed_over, really_free};

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
    /// How many worlds; 400 gives a standard error of 1.5 points at 90 %.
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
    /// The best of other ways and hosts.
    pub alternatives: Vec<Alternative>,
}

/// Another answer to the same question.
#[derive(Clone, Debug, PartialEq)]
pub struct Alternative {
    /// Position in [`Ask::ways`].
    pub way: usize,
    /// Printer of the last plate to arrive.
    pub printer: PrinterIx,
    /// Pledged hand-over.
    pub arrival: Minute,
    /// Its chance.
    pub probability: f64,
}

/// Why no pledge is possible.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NoQuote {
    /// There is no way to make it at all.
    #[error("nothing was asked for")]
    NothingAsked,
    /// No printer takes this size in this material.
    #[error("no printer takes this size in {material}")]
    NoPrinter {
        /// The material's code.
        material: String,
    },
    /// Printers take it, but none has time for it, or no leg goes, before the calendars end.
    #[error("no slot is free before the calendars end")]
    NoSlot,
    /// Slots exist, but none reaches the asked chance.
    #[error("no slot reaches the asked chance; the best has {best}")]
    TooUncertain {
        /// The best share of worlds that any slot reaches.
        best: f64,
    },
}

/// Most alternatives given.
const MOST_ALTERNATIVES: usize = 3;
/// Slots looked at on each printer.
const SLOTS_A_PRINTER: usize = 3;

/// A candidate: a place in the plan for each plate of a way.
struct Candidate {
    way: usize,
    assignments: Vec<Assignment>,
    nominal: Minute,
}

/// A candidate with what its worlds said.
struct Played {
    candidate: Candidate,
    arrival: Minute,
    probability: f64,
    by_nominal: f64,
}

/// The earliest hand-over that holds with the asked chance, over all ways and slots.
///
/// `plates` are the plates already in `plan` (their makings tell how long what is ahead takes).
///
/// # Errors
/// [`NoQuote`], with the reason.
pub fn quote(
    ground: &Ground<'_>,
    plates: &[Plate],
    plan: &Plan,
    ask: &Ask,
) -> Result<Quote, NoQuote> {
    let occupied = Occupied::by(ground, plan);
    let candidates = candidates(ground, &occupied, ask)?;
    let stage = Stage {
        ground,
        plates,
        plan,
        occupied: &occupied,
        ask,
    };
    let mut played: Vec<Played> = Vec::new();
    let mut best_share = 0.0_f64;
    let mut earliest: Option<Minute> = None;
    for candidate in candidates {
        // In order of nominal arrival: what can't even nominally beat the best is not played,
        // but for a few runners-up that make the alternatives.
        let beaten = earliest.is_some_and(|best| candidate.nominal > best);
        if beaten && played.len() > MOST_ALTERNATIVES {
            break;
        }
        match stage.play(candidate) {
            Ok(done) => {
                earliest = Some(earliest.map_or(done.arrival, |best| best.min(done.arrival)));
                played.push(done);
            }
            Err(share) => best_share = best_share.max(share),
        }
    }
    let Some(best) = (0..played.len()).min_by(|&a, &b| preference(&played[a], &played[b])) else {
        return Err(NoQuote::TooUncertain { best: best_share });
    };
    Ok(stage.quote(&played, best))
}

/// Earlier first, then surer, then simpler.
fn preference(a: &Played, b: &Played) -> std::cmp::Ordering {
    let rank = |p: &Played| (p.arrival, p.candidate.nominal, p.candidate.way);
    let sure = b.probability.total_cmp(&a.probability);
    a.arrival
        .cmp(&b.arrival)
        .then(sure)
        .then(rank(a).cmp(&rank(b)))
}

fn candidates(
    ground: &Ground<'_>,
    occupied: &Occupied,
    ask: &Ask,
) -> Result<Vec<Candidate>, NoQuote> {
    let Some(material) = ask
        .ways
        .iter()
        .find_map(|way| way.plates.first())
        .map(|p| &p.material)
    else {
        return Err(NoQuote::NothingAsked);
    };
    let mut out = Vec::new();
    let mut able = false;
    for (w, way) in ask
        .ways
        .iter()
        .enumerate()
        .filter(|(_, way)| !way.plates.is_empty())
    {
        able |= way.plates.iter().all(|plate| {
            plate
                .makings
                .iter()
                .any(|making| ground.takes(making, &plate.material))
        });
        for first in slots(ground, occupied, &way.plates[0], ask.now, SLOTS_A_PRINTER) {
            let Some(assignments) = fill(ground, occupied, way, first, ask.now) else {
                continue;
            };
            let nominal = assignments
                .iter()
                .map(|a| a.arrives)
                .max()
                .unwrap_or(first.arrives);
            out.push(Candidate {
                way: w,
                assignments,
                nominal,
            });
        }
    }
    if out.is_empty() {
        let no_printer = NoQuote::NoPrinter {
            material: material.clone(),
        };
        return Err(if able { NoQuote::NoSlot } else { no_printer });
    }
    out.sort_by_key(|c| {
        (
            c.nominal,
            c.way,
            c.assignments[0].printer,
            c.assignments[0].start,
        )
    });
    Ok(out)
}

/// The other plates of a way, each at its best slot once the first is placed.
fn fill(
    ground: &Ground<'_>,
    occupied: &Occupied,
    way: &Way,
    first: Assignment,
    now: Minute,
) -> Option<Vec<Assignment>> {
    let mut out = vec![first];
    if way.plates.len() > 1 {
        let mut taken = occupied.clone();
        taken.add(&first);
        for plate in &way.plates[1..] {
            let next = best_slot(ground, &taken, plate, now)?;
            taken.add(&next);
            out.push(next);
        }
    }
    Some(out)
}

/// What every candidate is played on.
struct Stage<'a> {
    ground: &'a Ground<'a>,
    plates: &'a [Plate],
    plan: &'a Plan,
    occupied: &'a Occupied,
    ask: &'a Ask,
}

impl Stage<'_> {
    /// Plays a candidate through all worlds; the best share reached when it never gets to the level.
    fn play(&self, candidate: Candidate) -> Result<Played, f64> {
        let way = &self.ask.ways[candidate.way];
        let mut taken = self.occupied.clone();
        candidate
            .assignments
            .iter()
            .for_each(|assignment| taken.add(assignment));
        let mut arrivals: Vec<Minute> = (0..self.ask.worlds)
            .filter_map(|world| self.arrival(way, &candidate.assignments, &taken, world))
            .collect();
        arrivals.sort_unstable();
        // Rule of succession (Laplace): what happened in all worlds played is still not certain.
        let worlds = self.ask.worlds as f64 + 2.0;
        let share = |by: Minute| (arrivals.partition_point(|&at| at <= by) as f64 + 1.0) / worlds;
        let pledged = arrivals
            .iter()
            .copied()
            .find(|&at| share(at) >= self.ask.level);
        match pledged {
            Some(arrival) => Ok(Played {
                arrival,
                probability: share(arrival),
                by_nominal: share(candidate.nominal),
                candidate,
            }),
            None => Err(arrivals.len() as f64 / worlds),
        }
    }

    /// The last hand-over of the way's plates in one world.
    fn arrival(
        &self,
        way: &Way,
        slots: &[Assignment],
        taken: &Occupied,
        world: u64,
    ) -> Option<Minute> {
        let luck = (self.ask.seed, world);
        let making = |seq: PlateSeq| self.making(way, slots, seq);
        let mut last = Minute(i64::MIN);
        for (plate, slot) in way.plates.iter().zip(slots) {
            let start = really_free(self.ground, taken, slot, &making, self.ask.now, luck)?;
            last = last.max(handed_over(self.ground, taken, plate, slot, start, luck)?);
        }
        Some(last)
    }

    /// How the plate with that number is made where it is planned.
    fn making(&self, way: &Way, slots: &[Assignment], seq: PlateSeq) -> Option<Making> {
        let own = way
            .plates
            .iter()
            .zip(slots)
            .find(|(plate, _)| plate.seq == seq);
        let (plate, printer) = match own {
            Some((plate, slot)) => (plate, slot.printer),
            None => {
                let i = self
                    .plates
                    .binary_search_by_key(&seq, |plate| plate.seq)
                    .ok()?;
                (&self.plates[i], self.plan.of(seq)?.printer)
            }
        };
        plate
            .makings
            .iter()
            .find(|making| making.printer == printer)
            .copied()
    }

    fn quote(&self, played: &[Played], best: usize) -> Quote {
        let chosen = &played[best];
        let slots = &chosen.candidate.assignments;
        let last = slots
            .iter()
            .max_by_key(|slot| (slot.arrives, slot.plate))
            .unwrap_or(&slots[0]);
        let mut reasons: Vec<Reason> = reasons::of_slot(self.ground, last, self.ask.now)
            .into_iter()
            .map(|(_, reason)| reason)
            .collect();
        if chosen.arrival > chosen.candidate.nominal {
            let nominal = chosen.candidate.nominal;
            reasons.insert(
                0,
                Reason::RoomForReprint {
                    nominal,
                    by_then: chosen.by_nominal,
                },
            );
        }
        let plate = &self.ask.ways[chosen.candidate.way].plates[0];
        let able = plate
            .makings
            .iter()
            .filter(|m| self.ground.takes(m, &plate.material))
            .count();
        let of = self.ground.region().printers.len();
        if able * 2 < of {
            reasons.push(Reason::FewPrinters { able, of });
        }
        Quote {
            arrival: chosen.arrival,
            probability: chosen.probability,
            nominal: chosen.candidate.nominal,
            way: chosen.candidate.way,
            assignments: slots.clone(),
            reasons,
            alternatives: self.alternatives(played, best),
        }
    }

    /// The best played candidate of each other way and host.
    fn alternatives(&self, played: &[Played], best: usize) -> Vec<Alternative> {
        let key = |p: &Played| {
            let last = p
                .candidate
                .assignments
                .iter()
                .max_by_key(|slot| (slot.arrives, slot.plate));
            let printer = last.map_or(PrinterIx(0), |slot| slot.printer);
            (p.candidate.way, printer, self.ground.printer(printer).site)
        };
        let mut order: Vec<usize> = (0..played.len()).filter(|&i| i != best).collect();
        order.sort_by(|&a, &b| preference(&played[a], &played[b]));
        let (way, _, site) = key(&played[best]);
        let mut seen = vec![(way, site)];
        let mut out = Vec::new();
        for i in order {
            let (way, printer, site) = key(&played[i]);
            if seen.contains(&(way, site)) || out.len() == MOST_ALTERNATIVES {
                continue;
            }
            seen.push((way, site));
            let Played {
                arrival,
                probability,
                ..
            } = played[i];
            out.push(Alternative {
                way,
                printer,
                arrival,
                probability,
            });
        }
        out
    }
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
