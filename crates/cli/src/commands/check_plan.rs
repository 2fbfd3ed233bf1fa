//! `check-plan`: the independent checker looks at a plan.

use std::path::Path;

use anyhow::{Context, bail};
use partpledge_plan_check::Violation;
use partpledge_planning_model::{Assignment, Plan, PlateSeq, PrinterIx};
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::Minute;
use partpledge_workshop::Session;
use partpledge_workshop::plan_room::judged;
use serde::Deserialize;
use serde_json::json;

use crate::args::Args;
use crate::output;

use super::look;

pub(crate) async fn run(args: &Args, file: Option<&Path>, json: bool) -> anyhow::Result<u8> {
    let session = look(args).await?;
    let floor = session.floor().await?;
    let other = file.map(|path| read_plan(&session, path)).transpose()?;
    let judged = judged(&session, &floor, other.as_ref())?;
    let many = other.as_ref().unwrap_or(&floor.plan).assignments.len();
    let not_started: Vec<u64> = judged.not_started.iter().map(|seq| seq.0).collect();
    if json {
        let list = |all: &[Violation]| -> Vec<_> {
            let one = |v: &Violation| json!({ "code": v.code(), "plate": v.plate().0, "message": v.words() });
            all.iter().map(one).collect()
        };
        output::say_json(vec![json!({
            "schema": 1, "clean": judged.faults.is_empty(), "plates": many,
            "revision": floor.revision, "violations": list(&judged.faults),
            "known": list(&judged.known), "not_started": not_started,
        })]);
    } else {
        let line = |v: &Violation| format!("plate {}: {} [{}]", v.plate().0, v.words(), v.code());
        if judged.faults.is_empty() {
            output::say(&format!("{many} plates, nothing wrong with the plan."));
        }
        for fault in &judged.faults {
            output::say(&line(fault));
        }
        for known in &judged.known {
            output::say(&format!("  so it is, whatever is planned: {}", line(known)));
        }
        for seq in not_started {
            output::say(&format!(
                "  plate {seq} should run by now, and nobody has started it"
            ));
        }
    }
    Ok(if judged.faults.is_empty() {
        output::FINE
    } else {
        output::NOT_POSSIBLE
    })
}

/// A plan as `plan --json` writes it; other fields are not looked at.
#[derive(Deserialize)]
struct PlanFile {
    assignments: Vec<Entry>,
}

#[derive(Deserialize)]
struct Entry {
    plate: u64,
    printer: String,
    start: String,
    end: String,
    cleared: String,
    ready: String,
    arrives: String,
    #[serde(default)]
    frozen: bool,
}

fn read_plan(session: &Session, path: &Path) -> anyhow::Result<Plan> {
    let text = std::fs::read_to_string(path)
        .with_context(|| format!("{} can't be read", path.display()))?;
    let file: PlanFile = serde_json::from_str(&text)
        .with_context(|| format!("{} is not a plan that `plan --json` wrote", path.display()))?;
    let mut assignments = Vec::with_capacity(file.assignments.len());
    for entry in file.assignments {
        let printers = &session.terrain.region.printers;
        let Some(printer) = printers
            .iter()
            .position(|printer| printer.name == entry.printer)
        else {
            bail!(
                "plate {}: there is no printer '{}' in this region",
                entry.plate,
                entry.printer
            );
        };
        let at = |text: &str| parse_rfc3339(text).map(Minute::at_or_after);
        assignments.push(Assignment {
            plate: PlateSeq(entry.plate),
            printer: PrinterIx(printer),
            start: at(&entry.start)?,
            end: at(&entry.end)?,
            cleared: at(&entry.cleared)?,
            ready: at(&entry.ready)?,
            arrives: at(&entry.arrives)?,
            frozen: entry.frozen,
        });
    }
    Ok(Plan { assignments })
}
