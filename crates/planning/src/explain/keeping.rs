//! What would keep a promise that the plan misses: each change is tried by really planning with it.

use partpledge_planning_model::{
    Assignment, LegKind, PlaceIx, Plan, Plate, PlateSeq, PrinterIx, Region, SiteIx, Window, Windows,
};
use partpledge_units::time::{Minute, Minutes};

use crate::cost::{each_late, in_time};
use crate::ground::Ground;
use crate::insert::Occupied;
use crate::propose::propose;
use crate::slots::{best_slot, slots};

/// An hour more is what is asked of people first.
const HOUR: Minutes = Minutes(60);
/// Longest that a round is asked to wait. Common practice, no source.
const LONGEST_WAIT: Minutes = Minutes(120);
/// Waits are asked for in such steps.
const WAIT_STEP: i64 = 5;
/// Places looked at on each printer when a round is to wait.
const PLACES: usize = 2;

/// One thing that would be different.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Change {
    /// Only the plate itself goes elsewhere.
    OtherPlace,
    /// Another plate goes there; its own promise, if it has one, still holds.
    MovePlate(Assignment),
    /// A round waits.
    LegLater {
        /// From here.
        from: SiteIx,
        /// What kind.
        kind: LegKind,
        /// Which departure, as it leaves now.
        leaves: Minute,
        /// How much later it would leave and arrive.
        by: Minutes,
    },
    /// Somebody is there an hour more.
    HourMore {
        /// Where.
        site: SiteIx,
        /// The hour.
        hour: Window,
    },
    /// A printer that is out of use could be used from now on.
    PrinterBack(PrinterIx),
    /// A printer might run alone. Only its owner can allow that.
    RunAlone(PrinterIx),
    /// Several plates change places; no promise that holds is missed for it.
    MoveSeveral(Vec<PlateSeq>),
}

/// A change with the place that the plate would have then.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Keeping {
    /// What would be different.
    pub change: Change,
    /// Where the plate would be; its promise is kept.
    pub slot: Assignment,
}

/// Changes that would each keep the promise of a plate which the plan has too late or nowhere: the
/// smallest first, at most one of a kind. Empty when it has no promise, or nothing single helps.
///
/// All other plates keep their places, except the one that a change names; several plates move
/// only when nothing else helps. `moves` bounds the search for that.
#[must_use]
pub fn would_keep(
    ground: &Ground<'_>,
    plates: &[Plate],
    plan: &Plan,
    plate: &Plate,
    (now, moves): (Minute, usize),
) -> Vec<Keeping> {
    let Some(due) = plate.due() else {
        return Vec::new();
    };
    let mut rest = Occupied::by(ground, plates, plan);
    if let Some(place) = plan.of(plate.seq) {
        if place.frozen {
            return Vec::new();
        }
        rest.remove(place.printer, plate.seq);
    }
    let trial = Trial {
        ground,
        plates,
        plan,
        plate,
        rest,
        now,
        due,
    };
    let small = [
        trial.other_place(),
        trial.one_moved(),
        trial.leg_later(),
        trial.hour_more(),
        trial.printer_back(),
        trial.run_alone(),
    ];
    let found: Vec<Keeping> = small.into_iter().flatten().collect();
    if found.is_empty() {
        return trial.several_moved(moves).into_iter().collect();
    }
    found
}

struct Trial<'a> {
    ground: &'a Ground<'a>,
    plates: &'a [Plate],
    plan: &'a Plan,
    plate: &'a Plate,
    /// The plan without the plate.
    rest: Occupied,
    now: Minute,
    due: Minute,
}

impl Trial<'_> {
    /// The plate's best place if it is in time for all that is promised about it.
    fn in_time(&self, ground: &Ground<'_>, taken: &Occupied) -> Option<Assignment> {
        best_slot(ground, taken, self.plate, self.now)
            .filter(|slot| in_time(ground, self.plate, slot))
    }

    fn other_place(&self) -> Option<Keeping> {
        let slot = self.in_time(self.ground, &self.rest)?;
        Some(Keeping {
            change: Change::OtherPlace,
            slot,
        })
    }

    /// One other plate makes room and is not harmed; the one that is delayed least.
    fn one_moved(&self) -> Option<Keeping> {
        let may_move = |place: &&Assignment| {
            let makings = self.plate.makings.iter();
            let own = place.plate == self.plate.seq;
            !own && !place.frozen
                && place.start >= self.now
                && place.start <= self.due
                && makings.clone().any(|m| m.printer == place.printer)
        };
        let others = self.plan.assignments.iter().filter(may_move);
        let tried = others.filter_map(|place| self.without(place));
        tried
            .min_by_key(|(later, keeping)| (*later, keeping.slot.arrives))
            .map(|t| t.1)
    }

    fn without(&self, place: &Assignment) -> Option<(Minutes, Keeping)> {
        let other = self.plates.iter().find(|p| p.seq == place.plate)?;
        let mut taken = self.rest.clone();
        taken.remove(place.printer, place.plate);
        let slot = self.in_time(self.ground, &taken)?;
        taken.add(&slot, self.ground.load(self.plate, false));
        let to = best_slot(self.ground, &taken, other, self.now)?;
        // Each promise about it by itself: none pays for another.
        let now_late = each_late(self.ground, other, place);
        let would_be = each_late(self.ground, other, &to);
        let unharmed = would_be.zip(now_late).all(|(then, now)| then <= now);
        let moved = (to.printer, to.start) != (place.printer, place.start);
        let change = Change::MovePlate(to);
        (unharmed && moved).then_some((to.arrives - place.arrives, Keeping { change, slot }))
    }

    /// The round that would have to wait least.
    fn leg_later(&self) -> Option<Keeping> {
        let mut best: Option<(Minutes, Keeping)> = None;
        for place in slots(self.ground, &self.rest, self.plate, self.now, PLACES) {
            let site = self.ground.stand_at(place.printer, place.start).site;
            for (l, leg) in self.ground.region().legs.iter().enumerate() {
                let due = self.due_by(leg.to).filter(|_| leg.from == site);
                let Some(due) = due.filter(|_| leg.kind != LegKind::Counter) else {
                    continue;
                };
                for (d, departure) in leg.departures.iter().enumerate() {
                    let by = up_to_step(place.ready - departure.leaves);
                    let helps = by > Minutes(0) && by <= LONGEST_WAIT;
                    let better = best.as_ref().is_none_or(|(least, _)| by < *least);
                    if helps && better && departure.arrives + by <= due {
                        best = self.with_wait((l, d), by).map(|k| (by, k)).or(best);
                    }
                }
            }
        }
        best.map(|(_, keeping)| keeping)
    }

    /// By when something on the plate is promised there, the earliest.
    fn due_by(&self, place: PlaceIx) -> Option<Minute> {
        let there = self.plate.promises().filter(|(to, _)| *to == place);
        there.map(|(_, promise)| promise.arrival).min()
    }

    fn with_wait(&self, (l, d): (usize, usize), by: Minutes) -> Option<Keeping> {
        let mut region = self.ground.region().clone();
        let leg = &mut region.legs[l];
        let (from, kind) = (leg.from, leg.kind);
        let departure = &mut leg.departures[d];
        let leaves = departure.leaves;
        departure.leaves = departure.leaves + by;
        departure.arrives = departure.arrives + by;
        let change = Change::LegLater {
            from,
            kind,
            leaves,
            by,
        };
        self.on(&region, change)
    }

    /// The first hour before or after people are there that helps.
    fn hour_more(&self) -> Option<Keeping> {
        let mut hours: Vec<(Minute, SiteIx, Window)> = Vec::new();
        for (i, site) in self.ground.region().sites.iter().enumerate() {
            let here = |printer: PrinterIx| {
                let stands = self.ground.stands(printer).iter();
                stands.map(|stand| stand.site).any(|site| site == SiteIx(i))
            };
            if !self.plate.makings.iter().any(|m| here(m.printer)) {
                continue;
            }
            for window in site.staffed.as_slice() {
                let after = (window.until, window.until + HOUR);
                for (from, until) in [(window.from - HOUR, window.from), after] {
                    if from >= self.now && until <= self.due {
                        hours.push((from, SiteIx(i), Window { from, until }));
                    }
                }
            }
        }
        // After hours and before hours of one night cost the same; the earliest is asked for.
        hours.sort_unstable();
        hours
            .into_iter()
            .find_map(|(_, site, hour)| self.with_hour(site, hour))
    }

    fn with_hour(&self, site: SiteIx, hour: Window) -> Option<Keeping> {
        let mut region = self.ground.region().clone();
        let staffed = &mut region.sites[site.0].staffed;
        let mut windows = staffed.as_slice().to_vec();
        windows.push(hour);
        *staffed = Windows::joined(windows);
        // Whoever is there can also hand a box over the counter.
        let counters = region.legs.iter_mut();
        for leg in counters.filter(|leg| leg.from == site && leg.kind == LegKind::Counter) {
            for at in [hour.from, hour.until] {
                let (leaves, arrives) = (at, at);
                leg.departures
                    .push(partpledge_planning_model::Departure { leaves, arrives });
            }
            leg.departures.sort_unstable();
        }
        self.on(&region, Change::HourMore { site, hour })
    }

    fn printer_back(&self) -> Option<Keeping> {
        self.first_printer(Change::PrinterBack, |region, printer, now| {
            let out = &mut region.printers[printer.0].out_of_use;
            let was = out.clone();
            let for_ever = Window {
                from: now,
                until: Minute(i64::MAX),
            };
            *out = was.without(&Windows::joined(vec![for_ever]));
            *out != was
        })
    }

    fn run_alone(&self) -> Option<Keeping> {
        self.first_printer(Change::RunAlone, |region, printer, _| {
            !std::mem::replace(&mut region.printers[printer.0].unattended, true)
        })
    }

    /// The first printer with which a change of it helps; `change` says whether it is one.
    fn first_printer(
        &self,
        named: impl Fn(PrinterIx) -> Change,
        change: impl Fn(&mut Region, PrinterIx, Minute) -> bool,
    ) -> Option<Keeping> {
        self.plate.makings.iter().find_map(|making| {
            let mut region = self.ground.region().clone();
            change(&mut region, making.printer, self.now)
                .then(|| self.on(&region, named(making.printer)))
                .flatten()
        })
    }

    fn on(&self, region: &Region, change: Change) -> Option<Keeping> {
        let slot = self.in_time(&Ground::new(region), &self.rest)?;
        Some(Keeping { change, slot })
    }

    fn several_moved(&self, moves: usize) -> Option<Keeping> {
        let found = propose(self.ground, self.plates, self.plan, self.now, moves);
        let slot = *found.plan.of(self.plate.seq)?;
        let late = |plan: &Plan, plate: &Plate| match plan.of(plate.seq) {
            Some(place) => !in_time(self.ground, plate, place),
            None => plate.due().is_some(),
        };
        let harmless = self
            .plates
            .iter()
            .all(|p| !late(&found.plan, p) || late(self.plan, p));
        let moved = found.moved.into_iter().filter(|seq| *seq != self.plate.seq);
        let change = Change::MoveSeveral(moved.collect());
        (harmless && in_time(self.ground, self.plate, &slot)).then_some(Keeping { change, slot })
    }
}

fn up_to_step(wait: Minutes) -> Minutes {
    Minutes((wait.0 + WAIT_STEP - 1).div_euclid(WAIT_STEP) * WAIT_STEP)
}
