//! The plan after something happened: as little moved as can be, and no promise broken for another.

use partpledge_planning::{
    Ground, Occupied, best_slot, fallen, in_time, lost_when_left, propose, runs_on,
};
use partpledge_planning_model::{Assignment, Making, Plan, Plate, PlateSeq, Window};
use partpledge_units::time::{Minute, Minutes};

use crate::error::WorkshopError;
use crate::plan_room::checked;
use crate::session::Session;

/// A plate may be started this late before its place is given up. Common practice, no source.
pub const GRACE: Minutes = Minutes(15);
/// Moves tried when a promise would be missed.
const MOVES: usize = 2_000;

/// A new plan with what it changes.
#[derive(Clone, Debug)]
pub struct Replanned {
    /// The plan.
    pub plan: Plan,
    /// Plates not started that have another place than before.
    pub moved: Vec<PlateSeq>,
    /// Plates that the plan has later than promised, or nowhere.
    pub late: Vec<PlateSeq>,
}

/// What is known when a plan is made anew.
#[derive(Clone, Debug)]
pub struct Situation<'a> {
    /// Plates to be printed or being printed.
    pub plates: &'a [Plate],
    /// The plan so far.
    pub plan: &'a Plan,
    /// Plates that run: since when, on which printer.
    pub running: &'a [(PlateSeq, Minute, String)],
    /// Plates whose time is another than it was when they were given their places.
    pub retimed: &'a [PlateSeq],
}

/// The plan from now on. What runs keeps its printer until it should be off; what can't stay
/// where it is (its start has passed, its printer is taken, out of use or elsewhere, hands or filament
/// don't suffice) gets its best slot; all else stays. Only when a promise would be missed are others moved too, and then only so that
/// every promise that held still holds.
///
/// # Errors
/// [`WorkshopError::PlanRefused`] when the checker finds more than late promises and what people
/// did themselves.
pub fn replan(session: &Session, at: &Situation<'_>) -> Result<Replanned, WorkshopError> {
    let now = session.minute();
    let ground = Ground::new(&session.terrain.region);
    let fixed = fixed(session, &ground, at, now);
    let mut plan = Plan::default();
    for place in &fixed {
        plan.put(*place);
    }
    let mut displaced: Vec<&Plate> = Vec::new();
    let runs = |plate: &&Plate| fixed.iter().any(|place| place.plate == plate.seq);
    for plate in at.plates.iter().filter(|plate| !runs(plate)) {
        match at.plan.of(plate.seq) {
            Some(place)
                if !at.retimed.contains(&plate.seq) && stays(&ground, place, &fixed, now) =>
            {
                let free = Assignment {
                    frozen: false,
                    ..*place
                };
                plan.put(free);
            }
            _ => displaced.push(plate),
        }
    }
    displaced.extend(drop_fallen(&ground, at.plates, &mut plan));
    let stayed = plan.clone();
    let near =
        |occupied: &Occupied, plate: &Plate| near_its_place(&ground, at, occupied, plate, now);
    let plan = placed((&ground, at.plates), plan, displaced, now, near);
    let plan = better((&ground, at.plates), plan, now, false);
    let late = late_in(&ground, at.plates, &plan);
    refuse(session, at, &stayed, &plan)?;
    let was = |place: &&Assignment| at.plan.of(place.plate).is_some_and(|old| !same(old, place));
    let moved = plan.assignments.iter().filter(was).map(|p| p.plate);
    let moved = moved
        .filter(|seq| fixed.iter().all(|place| place.plate != *seq))
        .collect();
    Ok(Replanned { plan, moved, late })
}

/// Takes plates out of the plan that can't keep their places beside the others; gives them back.
pub(crate) fn drop_fallen<'p>(
    ground: &Ground<'_>,
    plates: &'p [Plate],
    plan: &mut Plan,
) -> Vec<&'p Plate> {
    let gone = fallen(ground, plates, plan);
    plan.assignments
        .retain(|place| !gone.contains(&place.plate));
    plates.iter().filter(|p| gone.contains(&p.seq)).collect()
}

/// The plan with these plates in it too, promises first: each where `near` puts it, else at its best
/// slot.
pub(crate) fn placed(
    (ground, plates): (&Ground<'_>, &[Plate]),
    mut plan: Plan,
    mut displaced: Vec<&Plate>,
    now: Minute,
    near: impl Fn(&Occupied, &Plate) -> Option<Assignment>,
) -> Plan {
    displaced.sort_by_key(|plate| (plate.due().unwrap_or(Minute(i64::MAX)), plate.seq));
    let mut occupied = Occupied::by(ground, plates, &plan);
    for plate in displaced {
        let slot = near(&occupied, plate);
        if let Some(slot) = slot.or_else(|| best_slot(ground, &occupied, plate, now)) {
            occupied.add(&slot, ground.load(plate, false));
            plan.put(slot);
        }
    }
    plan
}

/// Another plan if promises are missed in this one and fewer are in that, none of them one that
/// held; `grows` takes any better plan that misses no more.
pub(crate) fn better(
    (ground, plates): (&Ground<'_>, &[Plate]),
    plan: Plan,
    now: Minute,
    grows: bool,
) -> Plan {
    let late = late_in(ground, plates, &plan);
    if late.is_empty() && !grows {
        return plan;
    }
    let other = proposed(ground, plates, &plan, now);
    let others_late = late_in(ground, plates, &other);
    let breaks_none = others_late.iter().all(|seq| late.contains(seq));
    if breaks_none && (grows || others_late.len() < late.len()) {
        other
    } else {
        plan
    }
}

/// A better plan with nothing moved whose start has come: within [`GRACE`] somebody may be at the
/// printer with the spool in hand.
fn proposed(ground: &Ground<'_>, plates: &[Plate], plan: &Plan, now: Minute) -> Plan {
    let waits = |place: &Assignment| !place.frozen && place.start < now;
    let mut held = plan.clone();
    for place in &mut held.assignments {
        place.frozen |= waits(place);
    }
    let mut out = propose(ground, plates, &held, now, MOVES).plan;
    for place in plan.assignments.iter().filter(|place| waits(place)) {
        out.put(*place);
    }
    out
}

/// A plate whose time has changed stays on its printer, from its own start on, if it is not late
/// there: its host has made a program for that printer.
fn near_its_place(
    ground: &Ground<'_>,
    at: &Situation<'_>,
    occupied: &Occupied,
    plate: &Plate,
    now: Minute,
) -> Option<Assignment> {
    let place = at.plan.of(plate.seq)?;
    let own = |making: &&Making| making.printer == place.printer;
    let there = Plate {
        makings: plate.makings.iter().filter(own).copied().collect(),
        ..plate.clone()
    };
    let from = if place.start + GRACE >= now {
        place.start
    } else {
        now
    };
    let slot = best_slot(ground, occupied, &there, from)?;
    (at.retimed.contains(&plate.seq) && in_time(ground, plate, &slot)).then_some(slot)
}

fn same(a: &Assignment, b: &Assignment) -> bool {
    (a.printer, a.start) == (b.printer, b.start)
}

/// The places of plates that run, as they really are. One that may not run alone is planned as stopped
/// when people leave.
fn fixed(
    session: &Session,
    ground: &Ground<'_>,
    at: &Situation<'_>,
    now: Minute,
) -> Vec<Assignment> {
    let place = |(seq, start, printer): &(PlateSeq, Minute, String)| {
        let plate = at.plates.iter().find(|p| p.seq == *seq)?;
        let printer = session.terrain.printer_of(printer)?;
        runs_on(ground, plate, printer, *start, now)
    };
    at.running.iter().filter_map(place).collect()
}

/// Whether a plate that was not started can keep its place.
fn stays(ground: &Ground<'_>, place: &Assignment, fixed: &[Assignment], now: Minute) -> bool {
    let printer = ground.printer(place.printer);
    let usable = |window: &Window| window.until <= place.start || place.end <= window.from;
    let clear = |other: &Assignment| {
        other.printer != place.printer
            || other.cleared <= place.start
            || place.cleared <= other.start
    };
    place.start + GRACE >= now
        && printer.out_of_use.as_slice().iter().all(usable)
        && fixed.iter().all(clear)
}

/// Plates that are promised and planned too late or not at all, or run and are lost when people leave.
pub(crate) fn late_in(ground: &Ground<'_>, plates: &[Plate], plan: &Plan) -> Vec<PlateSeq> {
    let late = |plate: &&Plate| match plan.of(plate.seq) {
        Some(place) if place.frozen && lost(ground, plate, place) => plate.due().is_some(),
        Some(place) => !in_time(ground, plate, place),
        None => plate.due().is_some(),
    };
    plates.iter().filter(late).map(|p| p.seq).collect()
}

/// Whether a run is stopped, and its copies lost, when people leave.
fn lost(ground: &Ground<'_>, plate: &Plate, place: &Assignment) -> bool {
    let mut on_it = plate.makings.iter().filter(|m| m.printer == place.printer);
    on_it.any(|making| lost_when_left(ground, making, place.start).is_some())
}

/// Refuses a plan in which the checker finds a fault of ours. Late promises are the truth, not a
/// fault; and what people did with plates that run breaks whatever rule it breaks.
pub(crate) fn refuse(
    session: &Session,
    at: &Situation<'_>,
    stayed: &Plan,
    plan: &Plan,
) -> Result<(), WorkshopError> {
    let now = session.minute();
    let runs = |seq: PlateSeq| at.running.iter().any(|(other, _, _)| *other == seq);
    // Places whose start has just passed are not started: they have a while yet.
    let waiting = |seq: PlateSeq| plan.of(seq).is_some_and(|place| place.start < now);
    let found = checked(session, at.plates, plan, stayed)?;
    let ours = found.into_iter().find(|violation| {
        let seq = violation.plate();
        let truth = violation.misses_a_promise() || violation.code() == "unplaced";
        !truth && !runs(seq) && !waiting(seq)
    });
    ours.map_or(Ok(()), |violation| {
        Err(WorkshopError::PlanRefused(violation))
    })
}
