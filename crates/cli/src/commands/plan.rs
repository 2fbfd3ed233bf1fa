//! `plan`: a better plan for what has not started.

use partpledge_planning_model::{Assignment, Plan};
use partpledge_units::time::Minute;
use partpledge_workshop::plan_room::{propose_plan, save};
use partpledge_workshop::{Actor, Session, WorkshopError};
use serde_json::{Value, json};

use crate::args::Args;
use crate::output;

use super::{look, open};

pub(crate) async fn run(args: &Args, keep: bool, json: bool) -> anyhow::Result<u8> {
    let session = if keep {
        open(args).await?
    } else {
        look(args).await?
    };
    let proposed = match propose_plan(&session).await {
        Ok(proposed) => proposed,
        Err(error @ WorkshopError::PlanRefused(_)) => {
            output::failure(&error.into(), json);
            return Ok(output::NOT_POSSIBLE);
        }
        Err(error) => return Err(error.into()),
    };
    let saved = if keep {
        Some(
            save(
                &session,
                &Actor::at_the_machine(),
                &proposed,
                "planned anew",
            )
            .await?,
        )
    } else {
        None
    };
    let proposal = &proposed.proposal;
    let revision = saved
        .as_ref()
        .map_or(proposed.floor.revision, |saved| saved.revision);
    if json {
        let unplaced: Vec<u64> = proposal.unplaced.iter().map(|seq| seq.0).collect();
        let moved: Vec<u64> = proposal.moved.iter().map(|seq| seq.0).collect();
        output::say_json(vec![json!({
            "schema": 1,
            "region": session.terrain.file.name,
            "made_at": session.terrain.zone.rfc3339(session.minute()),
            "revision": revision,
            "parent": proposed.floor.revision,
            "saved": saved.is_some(),
            "moved": moved,
            "unplaced": unplaced,
            "assignments": wire(&session, &proposal.plan),
        })]);
    } else {
        output::say(&format!(
            "{}: {} plates planned, {} would move, {} without a place{}",
            session.terrain.file.name,
            proposal.plan.assignments.len(),
            proposal.moved.len(),
            proposal.unplaced.len(),
            saved.map_or(String::new(), |saved| format!(
                "; saved as revision {}",
                saved.revision
            )),
        ));
        for place in proposal
            .plan
            .assignments
            .iter()
            .filter(|a| a.arrives >= session.minute())
        {
            output::say(&format!("  {}", text(&session, place)));
        }
    }
    Ok(output::FINE)
}

fn text(session: &Session, place: &Assignment) -> String {
    let at = |minute: Minute| session.terrain.zone.short(minute);
    format!(
        "plate {}: {} at {}, {} to {}, off the bed {}, there {}",
        place.plate.0,
        session.terrain.region.printers[place.printer.0].name,
        session.terrain.host_at(place.printer, place.start),
        at(place.start),
        at(place.end),
        at(place.cleared),
        at(place.arrives),
    )
}

/// A plan as `check-plan` reads it back.
fn wire(session: &Session, plan: &Plan) -> Vec<Value> {
    let at = |minute: Minute| session.terrain.zone.rfc3339(minute);
    let one = |a: &Assignment| {
        json!({
            "plate": a.plate.0,
            "printer": session.terrain.region.printers[a.printer.0].name,
            "host": session.terrain.host_at(a.printer, a.start),
            "start": at(a.start),
            "end": at(a.end),
            "cleared": at(a.cleared),
            "ready": at(a.ready),
            "arrives": at(a.arrives),
            "frozen": a.frozen,
        })
    };
    plan.assignments.iter().map(one).collect()
}
