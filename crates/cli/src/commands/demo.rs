//! `demo`: every demo part through the whole walk, each pledge given once.

use partpledge_records::{PledgeEnd, State};
use partpledge_units::micrometre::Micrometres;
use partpledge_workshop::bench::end_request;
use partpledge_workshop::estimating::{class_for, timed};
use partpledge_workshop::measuring::CriticalDimension;
use partpledge_workshop::plan_room::{Judged, judged};
use partpledge_workshop::sending::{Sent, part_name, send};
use partpledge_workshop::{Actor, Books, Role, Session, WorkshopError};

use crate::args::{Args, PartArgs, Serving, Standing};
use crate::output;

use super::pledge::ticket;
use super::{estimate, judge, open_demo, region_file, serve, walk};

pub(crate) async fn run(args: &Args, port: u16, no_serve: bool) -> anyhow::Result<u8> {
    let session = open_demo(args).await?;
    let region = &session.terrain.file;
    if !serve::is_demo(&session)? {
        let message = format!("{} holds the region {}.", args.data.display(), region.name);
        let what_to_do =
            "The demo's parts go into no real region. Give another folder with --data.";
        let about = ("not-the-demo", message.as_str(), what_to_do);
        return Ok(region_file::refused(false, None, about));
    }
    output::say(&format!(
        "{}: {} schools, {} teams, {} hosts, {} printers. Everything in it is invented.",
        region.name,
        region.schools.len(),
        region.teams.len(),
        region.hosts.len(),
        region.printers.len()
    ));
    super::demo_spools::tell(&session).await?;
    super::demo_crew::sign(&session).await?;
    let session = session.at(session.now).await?;
    for file in partpledge_testbed::files() {
        output::say("");
        match one(&session, &file).await {
            Ok(text) => output::say(&text),
            Err(error) => output::say(&format!(
                "  No pledge yet. {}",
                output::error_text(None, &error)
            )),
        }
    }
    let floor = session.floor().await?;
    let given = Books::open(&session).await?.open_pledges().len();
    let (late, broken) = counts(&judged(&session, &floor, None)?);
    output::say(&format!(
        "\n{given} pledges are open in {}; plan revision {}, {} plates; the checker found {}.",
        args.data.display(),
        floor.revision,
        floor.plates.len(),
        found(late, broken)
    ));
    output::say(CAUTION);
    if broken > 0 {
        return Ok(output::NOT_POSSIBLE);
    }
    if no_serve {
        Ok(output::FINE)
    } else {
        let how = Serving {
            port,
            ..Serving::default()
        };
        serve::run(args, &how).await
    }
}

/// Plates that come later than promised, and broken rules. What people did with plates that run breaks none:
/// somebody who tried the bench may have started one early.
fn counts(judged: &Judged) -> (usize, usize) {
    let all = judged.faults.iter().chain(&judged.known);
    let late = all.filter(|one| one.misses_a_promise()).count();
    let faults = judged.faults.iter();
    (late, faults.filter(|one| !one.misses_a_promise()).count())
}

/// What the checker found, in words.
fn found(late: usize, broken: usize) -> String {
    let many = |n: usize, word: &str| format!("{n} {word}{}", if n == 1 { "" } else { "s" });
    let late = (late > 0).then(|| {
        let plates = many(late, "plate");
        format!("{plates} later than promised, which the coordinator's page shows")
    });
    let broken = (broken > 0).then(|| many(broken, "broken rule"));
    let all: Vec<String> = [broken, late].into_iter().flatten().collect();
    if all.is_empty() {
        "nothing wrong".to_owned()
    } else {
        all.join(", and ")
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
        load: None,
        json: false,
        seed: 1,
    };
    let walked = walk::judge_bytes(session, file.bytes.clone(), file.name, &part)?;
    output::say(&judge::text(file.name, &walked.judged));
    let parts = &walked.judged.parts;
    if parts.iter().any(|part| part.printable().is_err()) {
        return receive(session, file).await;
    }
    let laid = walk::lay_all(&walked)?;
    for (judged, laid) in walked.judged.parts.iter().zip(&laid) {
        let class = class_for(&session.catalogue, None, &walked.process, &[laid.size_mm])?;
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
    receive(session, file).await
}

/// The promise that a demo file has, if its day is still to come. When that is over, nobody having
/// made the part, the old request is called back, so that the part can be asked for anew.
async fn promised(
    session: &Session,
    actor: &Actor,
    file: &partpledge_testbed::DemoFile,
) -> Result<Option<String>, WorkshopError> {
    let books = Books::open(session).await?;
    let name = part_name(file.name);
    let same = books
        .requests
        .iter()
        .filter(|listed| listed.request.team == file.team && listed.part == name);
    for listed in same {
        let id = listed.request.id;
        match books.pledge_of(id) {
            Some(old)
                if old.end.is_none()
                    && old.pledge.arrival < session.minute()
                    && books.may_withdraw(id) =>
            {
                end_request(session, actor, id, PledgeEnd::Withdrawn, None).await?;
            }
            Some(open) if open.end.is_none() => {
                return Ok(Some(format!("  {}", ticket(&open.document, session, true))));
            }
            None if listed.request.state == State::NeedsChange => {
                return Ok(Some(waits(listed.request.number)));
            }
            _ => {}
        }
    }
    Ok(None)
}

/// Sends the file as its team would from the page, unless that has been done; the same key all day.
async fn receive(
    session: &Session,
    file: &partpledge_testbed::DemoFile,
) -> Result<String, WorkshopError> {
    let actor = Actor::new(Role::Team(file.team.to_owned()));
    if let Some(known) = promised(session, &actor, file).await? {
        return Ok(known);
    }
    let today = session.terrain.zone.date(session.minute());
    let key = format!("demo:{today}:{}", file.name);
    let critical = critical(file.name);
    let sent = Sent {
        bytes: file.bytes.clone().into(),
        file_name: file.name,
        team: file.team,
        part: None,
        copies: file.copies,
        material: file.material,
        need_by: None,
        unit: None,
        replaces: None,
        statement: Some(&partpledge_workshop::review::Statement::own()),
        again: true,
        dimensions: critical.as_deref(),
        over_limit: None,
        key: &key,
    };
    let received = send(session, &actor, &sent).await?;
    if let Some(error) = received.no_pledge {
        return Err(error);
    }
    let books = Books::open(session).await?;
    match books.pledge_of(received.request.id) {
        Some(promised) => Ok(format!("  {}", ticket(&promised.document, session, true))),
        None => Ok(waits(received.request.number)),
    }
}

/// The size of a demo part that must be right: so that a bench has one to measure.
fn critical(file_name: &str) -> Option<Vec<CriticalDimension>> {
    let bore = || CriticalDimension {
        what: "hex bore".to_owned(),
        nominal: Micrometres(8_000),
        lower: Micrometres(0),
        upper: Micrometres(100),
    };
    (file_name == "gear-plate-24.stl").then(|| vec![bore()])
}

fn waits(number: i64) -> String {
    format!("  No pledge: request {number} waits for a change by the team.")
}

#[cfg(test)]
mod tests {
    use partpledge_plan_check::Violation;
    use partpledge_planning_model::PlateSeq;
    use partpledge_units::time::Minute;

    use super::*;

    #[test]
    fn a_late_promise_is_told_and_does_not_stop_the_demo_and_a_broken_rule_does() {
        let plate = PlateSeq(1);
        assert!(Violation::PromisedUnplanned { plate }.misses_a_promise());
        assert!(!Violation::FrozenMoved { plate }.misses_a_promise());
        let early = Violation::BeforeRelease {
            plate,
            start: Minute(1),
            release: Minute(2),
        };
        let of = |faults: Vec<Violation>, known: Vec<Violation>| {
            counts(&Judged {
                faults,
                known,
                not_started: Vec::new(),
            })
        };
        let late = || Violation::PromisedUnplanned { plate };
        // Somebody ticked a start a minute early, and another's part is late for it.
        assert_eq!(of(Vec::new(), vec![early, late()]), (1, 0));
        assert_eq!(of(vec![early, late()], Vec::new()), (1, 1));
        assert_eq!(found(0, 0), "nothing wrong");
        assert_eq!(found(0, 1), "1 broken rule");
        assert!(found(15, 2).starts_with("2 broken rules, and 15 plates later than promised"));
    }
}
