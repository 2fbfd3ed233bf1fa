//! `demo`: every demo part through the whole walk, each pledge given once.

use std::path::Path;

use partpledge_workshop::estimating::{class_for, timed};
use partpledge_workshop::{Session, WorkshopError};

use crate::args::{Args, PartArgs, Standing};
use crate::output;

use super::pledge::{PledgeArgs, pledge, ticket};
use super::{estimate, judge, open, serve, walk};

pub(crate) async fn run(args: &Args, port: u16, no_serve: bool) -> anyhow::Result<u8> {
    let session = open(args).await?;
    let region = &session.terrain.file;
    output::say(&format!(
        "{}: {} schools, {} teams, {} hosts, {} printers. Everything in it is invented.",
        region.name,
        region.schools.len(),
        region.teams.len(),
        region.hosts.len(),
        region.printers.len()
    ));
    let mut given = 0;
    for file in partpledge_testbed::files() {
        output::say("");
        match one(&session, &file).await {
            Ok(text) => {
                given += 1;
                output::say(&text);
            }
            Err(error) => output::say(&format!(
                "  No pledge yet. {}",
                output::error_text(None, &error)
            )),
        }
    }
    let floor = session.floor().await?;
    let wrong =
        partpledge_workshop::plan_room::checked(&session, &floor.plates, &floor.plan, &floor.plan)?;
    output::say(&format!(
        "\n{given} pledges on record in {}; plan revision {}, {} plates; the checker found {}.",
        args.data.display(),
        floor.revision,
        floor.plates.len(),
        if wrong.is_empty() {
            "nothing wrong".to_owned()
        } else {
            format!("{} violations", wrong.len())
        }
    ));
    output::say(CAUTION);
    if !wrong.is_empty() {
        return Ok(output::NOT_POSSIBLE);
    }
    if no_serve {
        Ok(output::FINE)
    } else {
        serve::run(args, port).await
    }
}

const CAUTION: &str = "This is planning information. Your school's rules, the local fire authority and the makers' \
instructions come first; parts are untested: test them behind a guard.";

async fn one(
    session: &Session,
    file: &partpledge_testbed::DemoFile,
) -> Result<String, WorkshopError> {
    let part = PartArgs {
        unit: None,
        material: Some(file.material.to_owned()),
        sheet: None,
        infill: None,
        copies: file.copies,
        orient: Standing::Best,
        json: false,
        seed: 1,
    };
    let walked = walk::judge_bytes(session, file.bytes.clone(), file.name, &part)?;
    output::say(&judge::text(file.name, &walked.judged));
    walked
        .judged
        .parts
        .iter()
        .try_for_each(partpledge_workshop::intake::JudgedPart::printable)?;
    let laid = walk::lay_all(&walked)?;
    for (judged, laid) in walked.judged.parts.iter().zip(&laid) {
        let class = class_for(&session.catalogue, None, &walked.process, laid.size_mm)?;
        let took = timed(laid, &walked.process, class)?;
        output::say(&format!(
            "  stands {}; one copy on {}: {} layers, {}, {:.1} g",
            judged.standing.name,
            class.name,
            took.layer_s.len(),
            estimate::clock(took.print_time_s + took.warmup_s),
            took.mass_g,
        ));
    }
    let key = format!("demo:{}", file.name);
    let asked = PledgeArgs {
        file: Path::new(file.name),
        team: Some(file.team),
        give: true,
        need_by: None,
        idempotency_key: Some(&key),
        part: &part,
    };
    let document = pledge(session, &walked, &laid, &asked, None).await?;
    Ok(format!("  {}", ticket(&document, session, true)))
}
