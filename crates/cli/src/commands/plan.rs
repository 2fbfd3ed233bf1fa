//! `plan`: a better plan for what has not started, and why each plate is where it is.

use std::collections::BTreeMap;

use partpledge_planning_model::{Assignment, Plan, PlateSeq};
use partpledge_units::time::Minute;
use partpledge_workshop::plan_room::{propose_plan, save};
use partpledge_workshop::why::{self, PlateWhy};
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
        save(&session, &Actor::at_the_machine(), &proposed).await?
    } else {
        None
    };
    let proposal = &proposed.proposal;
    let plan = (&proposed.floor.plates[..], &proposal.plan);
    let why = why::of_plan(&session, &Actor::at_the_machine(), plan);
    let revision = saved
        .as_ref()
        .map_or(proposed.floor.revision, |saved| saved.revision);
    if json {
        output::say_json(vec![json!({
            "schema": 1,
            "region": session.terrain.file.name,
            "made_at": session.terrain.zone.rfc3339(session.minute()),
            "revision": revision,
            "parent": proposed.floor.revision,
            "saved": saved.is_some(),
            "nothing_to_save": proposed.is_as_stored(),
            "moved": seqs(&proposal.moved),
            "unplaced": seqs(&proposal.unplaced),
            "late": seqs(&proposed.late),
            "not_started": seqs(&proposed.not_started),
            "assignments": wire(&session, &proposal.plan, &why),
        })]);
    } else {
        output::say(&format!(
            "{}: {} plates planned, {} would move, {} without a place, {} later than promised{}",
            session.terrain.file.name,
            proposal.plan.assignments.len(),
            proposal.moved.len(),
            proposal.unplaced.len(),
            proposed.late.len(),
            match (saved, keep) {
                (Some(saved), _) => format!("; saved as revision {}", saved.revision),
                (None, true) => format!("; nothing to save, it stays revision {revision}"),
                (None, false) => String::new(),
            },
        ));
        for seq in &proposed.not_started {
            output::say(&format!(
                "  plate {} should run by now, and nobody has started it: it is planned anew",
                seq.0
            ));
        }
        say_places(&session, &proposal.plan, &why);
    }
    Ok(output::FINE)
}

fn seqs(plates: &[PlateSeq]) -> Vec<u64> {
    plates.iter().map(|seq| seq.0).collect()
}

/// What is still to come, line by line, each with its reasons.
fn say_places(session: &Session, plan: &Plan, why: &BTreeMap<u64, PlateWhy>) {
    let coming = plan.assignments.iter();
    for place in coming.filter(|a| a.arrives >= session.minute()) {
        output::say(&format!("  {}", text(session, place)));
        if let Some(why) = why.get(&place.plate.0) {
            say_why(why);
        }
    }
}

fn say_why(why: &PlateWhy) {
    for says in &why.here {
        output::say(&format!("    why: {says}"));
    }
    if let Some(late) = &why.late {
        output::say(&format!("    late: {late}"));
        for says in &why.would_keep {
            output::say(&format!("    would keep it: {says}"));
        }
    }
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
fn wire(session: &Session, plan: &Plan, why: &BTreeMap<u64, PlateWhy>) -> Vec<Value> {
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
            "why": why.get(&a.plate.0).map(|why| json!({
                "here": why.here,
                "other_printers": why.others,
                "late": why.late,
                "would_keep": why.would_keep,
            })),
        })
    };
    plan.assignments.iter().map(one).collect()
}
