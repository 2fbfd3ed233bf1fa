//! Proposing, saving and checking plans.

use std::collections::BTreeMap;

use partpledge_plan_check::{Violation, check};
use partpledge_planning::{Ground, Proposal, anew};
use partpledge_planning_model::{Assignment, Plan, Plate, PlateSeq, PrinterIx};
use partpledge_records::{Floor, SavedPlan, StepKind};
use partpledge_units::ids::IdSource;
use partpledge_units::time::Minute;
use partpledge_words::say;

use crate::actor::Actor;
use crate::books::began;
use crate::error::WorkshopError;
use crate::replanning::{GRACE, Replanned, Situation, late_in, refuse, replan};
use crate::session::Session;
use crate::terrain::Terrain;

/// Steps of the search for a better plan.
const STEPS: usize = 1_000;

/// A proposed plan on a revision.
#[derive(Clone, Debug)]
pub struct Proposed {
    /// The floor it was made on.
    pub floor: Floor,
    /// What planning came to.
    pub proposal: Proposal,
    /// Plates that would come later than promised all the same.
    pub late: Vec<PlateSeq>,
    /// Plates that were to be started by now, and that nobody has started.
    pub not_started: Vec<PlateSeq>,
}

/// A better plan for what has not started yet; what has started stays where it is. First it is made what
/// it is: what nobody has started, or runs otherwise than planned, has its place as the server would give
/// it. Promises that can't be kept any more are no reason to refuse it.
///
/// # Errors
/// [`WorkshopError::PlanRefused`] when the checker finds a fault of ours in it.
pub async fn propose_plan(session: &Session) -> Result<Proposed, WorkshopError> {
    let floor = session.floor().await?;
    let now = session.minute();
    let ground = Ground::new(&session.terrain.region);
    let running = running(&floor);
    let situation = situation(&floor, &running);
    let as_it_is = replan(session, &situation)?.plan;
    // Within a while somebody may be at the printer with the spool in hand.
    let waits = |place: &&Assignment| !place.frozen && place.start < now;
    let mut before = as_it_is.clone();
    for place in &mut before.assignments {
        place.frozen |= place.start < now;
    }
    let mut proposal = anew(&ground, &floor.plates, &before, now, STEPS);
    for place in as_it_is.assignments.iter().filter(waits) {
        proposal.plan.put(*place);
    }
    refuse(session, &situation, &as_it_is, &proposal.plan)?;
    let runs = |seq: PlateSeq| running.iter().any(|(other, ..)| *other == seq);
    let moved = |place: &&Assignment| {
        let old = floor.plan.of(place.plate).filter(|_| !runs(place.plate));
        old.is_some_and(|old| (old.printer, old.start) != (place.printer, place.start))
    };
    let places = proposal.plan.assignments.iter();
    proposal.moved = places.filter(moved).map(|place| place.plate).collect();
    Ok(Proposed {
        late: late_in(&ground, &floor.plates, &proposal.plan),
        not_started: not_started(&floor, &running, now),
        floor,
        proposal,
    })
}

impl Proposed {
    /// Whether it has every plate that waits where the stored plan has it, and no other: there is nothing to keep
    /// then. Runs are where they are, whatever a plan says.
    #[must_use]
    pub fn is_as_stored(&self) -> bool {
        let running = running(&self.floor);
        let places = |plan: &Plan| -> BTreeMap<PlateSeq, (PrinterIx, Minute)> {
            let waits = plan.assignments.iter();
            let waits = waits.filter(|a| running.iter().all(|(seq, ..)| *seq != a.plate));
            waits.map(|a| (a.plate, (a.printer, a.start))).collect()
        };
        places(&self.floor.plan) == places(&self.proposal.plan)
    }
}

/// Plates that run: since when, on which printer.
fn running(floor: &Floor) -> Vec<(PlateSeq, Minute, String)> {
    let runs = floor.plates.iter().filter_map(|plate| {
        let mut steps = floor.steps.iter();
        let step = steps.find(|s| s.plate == plate.seq.0 && s.kind == StepKind::Started)?;
        Some((plate.seq, began(plate, step.at), step.printer.clone()))
    });
    runs.collect()
}

fn situation<'a>(floor: &'a Floor, running: &'a [(PlateSeq, Minute, String)]) -> Situation<'a> {
    Situation {
        plates: &floor.plates,
        plan: &floor.plan,
        running,
        retimed: &[],
    }
}

/// Plates of the stored plan whose start has passed by more than [`GRACE`], and that don't run.
fn not_started(
    floor: &Floor,
    running: &[(PlateSeq, Minute, String)],
    now: Minute,
) -> Vec<PlateSeq> {
    let waits = |place: &&Assignment| {
        place.start + GRACE < now
            && floor.plates.iter().any(|plate| plate.seq == place.plate)
            && running.iter().all(|(other, ..)| *other != place.plate)
    };
    let places = floor.plan.assignments.iter().filter(waits);
    places.map(|place| place.plate).collect()
}

/// What the checker says of a plan, sorted.
#[derive(Clone, Debug)]
pub struct Judged {
    /// What is wrong with it.
    pub faults: Vec<Violation>,
    /// What is so whatever is planned, so that a plan made anew would say it too: promises that can't be kept
    /// any more, and what people did with plates that run.
    pub known: Vec<Violation>,
    /// Plates that were to be started by now, and that nobody has started.
    pub not_started: Vec<PlateSeq>,
}

/// What the checker says of the stored plan, or of another that would take its place.
///
/// # Errors
/// As [`checked`] and [`propose_plan`].
pub fn judged(
    session: &Session,
    floor: &Floor,
    other: Option<&Plan>,
) -> Result<Judged, WorkshopError> {
    let now = session.minute();
    let running = running(floor);
    let not_started = not_started(floor, &running, now);
    let plates = &floor.plates;
    let runs = |seq: PlateSeq| running.iter().any(|(other, ..)| *other == seq);
    // The plan as people would have it now. If it can't be made for a fault of ours, nothing is excused.
    let is = match replan(session, &situation(floor, &running)) {
        Ok(Replanned { plan, .. }) => Some(plan),
        Err(WorkshopError::PlanRefused(_)) => None,
        Err(error) => return Err(error),
    };
    let mut stored = floor.plan.clone();
    for place in &mut stored.assignments {
        place.frozen &= runs(place.plate);
    }
    let found = match other {
        Some(plan) => checked(session, plates, plan, is.as_ref().unwrap_or(&stored))?,
        None => checked(session, plates, &floor.plan, &stored)?,
    };
    let so = match &is {
        Some(is) => checked(session, plates, is, is)?,
        None => Vec::new(),
    };
    let is_so = |one: &Violation| {
        let missed = |old: &Violation| old.misses_a_promise() && old.plate() == one.plate();
        (one.misses_a_promise() && so.iter().any(missed)) || (runs(one.plate()) && so.contains(one))
    };
    let (known, faults) = found.into_iter().partition(is_so);
    Ok(Judged {
        faults,
        known,
        not_started,
    })
}

/// Saves a proposal, if nobody has changed the plan since. `None` when nothing is elsewhere than in the stored
/// plan: that is no new revision.
///
/// # Errors
/// [`WorkshopError::NotAllowed`]; [`WorkshopError::Store`] with the stale revision otherwise.
pub async fn save(
    session: &Session,
    actor: &Actor,
    proposed: &Proposed,
) -> Result<Option<SavedPlan>, WorkshopError> {
    actor.must_coordinate()?;
    if proposed.is_as_stored() {
        return Ok(None);
    }
    let reason = &say("promises-plan-anew");
    let (store, region) = session.writable()?;
    let names = session.terrain.names();
    let plan = &proposed.proposal.plan;
    let mut ids = IdSource::Os;
    let reference = actor.reference();
    let by = (reference.as_str(), session.now, &mut ids);
    let saved = store
        .save_plan(region, proposed.floor.revision, plan, &names, reason, by)
        .await?;
    Ok(Some(saved))
}

/// What the independent checker says of the work in a plan that is not yet handed over.
///
/// `previous` is the plan it would replace: what has started there must not have moved.
///
/// Calendars are made anew to cover all of it, whenever it was planned. What has been handed over
/// was checked when it was planned, and its calendars may be gone.
///
/// # Errors
/// [`WorkshopError::RegionFile`] or [`WorkshopError::Time`] when the calendars can't be made.
pub fn checked(
    session: &Session,
    plates: &[Plate],
    plan: &Plan,
    previous: &Plan,
) -> Result<Vec<Violation>, WorkshopError> {
    let now = session.minute();
    let still_open = |plan: &Plan| {
        let places = plan.assignments.iter().filter(|place| place.arrives >= now);
        let started = |place: &Assignment| Assignment {
            frozen: place.frozen || place.start < now,
            ..*place
        };
        Plan {
            assignments: places.map(started).collect(),
        }
    };
    let plan_now = still_open(plan);
    let over = |plate: &&Plate| plan.of(plate.seq).is_none_or(|place| place.arrives >= now);
    let plates: Vec<Plate> = plates.iter().filter(over).cloned().collect();
    let from = plan_now
        .assignments
        .iter()
        .map(|place| place.start)
        .min()
        .unwrap_or(now)
        .min(now);
    let horizon = session.terrain.region.horizon.unwrap_or(now);
    let until = plan_now
        .assignments
        .iter()
        .map(|place| place.arrives)
        .fold(horizon, Minute::max);
    let file = session.terrain.file.clone();
    let mut terrain = Terrain::covering(file, &session.catalogue, from, until)?;
    terrain.shut(&session.terrain.closures);
    terrain.take_out(&session.outages);
    terrain.stocked_like(&session.terrain);
    Ok(check(
        &terrain.region,
        &plates,
        &plan_now,
        Some(&still_open(previous)),
    ))
}
