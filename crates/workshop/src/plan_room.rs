//! Proposing, saving and checking plans.

use partpledge_plan_check::{Violation, check};
use partpledge_planning::{Ground, Proposal, anew};
use partpledge_planning_model::{Assignment, Plan, Plate};
use partpledge_records::{Floor, SavedPlan};
use partpledge_units::ids::IdSource;
use partpledge_units::time::Minute;
use partpledge_words::say;

use crate::actor::Actor;
use crate::error::WorkshopError;
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
}

/// A better plan for what has not started yet; what has started stays where it is.
///
/// # Errors
/// [`WorkshopError::PlanRefused`] when the checker objects to it.
pub async fn propose_plan(session: &Session) -> Result<Proposed, WorkshopError> {
    let floor = session.floor().await?;
    let now = session.minute();
    let ground = Ground::new(&session.terrain.region);
    let mut before = floor.plan.clone();
    before
        .assignments
        .iter_mut()
        .for_each(|place| place.frozen |= place.start < now);
    let proposal = anew(&ground, &floor.plates, &before, now, STEPS);
    match checked(session, &floor.plates, &proposal.plan, &floor.plan)?.first() {
        Some(&violation) => Err(WorkshopError::PlanRefused(violation)),
        None => Ok(Proposed { floor, proposal }),
    }
}

/// Saves a proposal, if nobody has changed the plan since.
///
/// # Errors
/// [`WorkshopError::NotAllowed`]; [`WorkshopError::Store`] with the stale revision otherwise.
pub async fn save(
    session: &Session,
    actor: &Actor,
    proposed: &Proposed,
) -> Result<SavedPlan, WorkshopError> {
    actor.must_coordinate()?;
    let reason = &say("promises-plan-anew");
    let (store, region) = session.writable()?;
    let names = session.terrain.names();
    let plan = &proposed.proposal.plan;
    let mut ids = IdSource::Os;
    let reference = actor.reference();
    let by = (reference.as_str(), session.now, &mut ids);
    Ok(store
        .save_plan(region, proposed.floor.revision, plan, &names, reason, by)
        .await?)
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
