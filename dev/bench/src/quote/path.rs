//! The whole path from a judged part to a pledge on disk, with a season on record.

use bytes::Bytes;
use partpledge_formats::Limits;
use partpledge_units::time::Minute;
use partpledge_workshop::bench::{Act, act, catch_up};
use partpledge_workshop::estimating::{LaidPart, Process, lay};
use partpledge_workshop::intake::{IntakeOptions, Orient, Stands, judge_file};
use partpledge_workshop::keeping::Original;
use partpledge_workshop::pledging::{Request, ask, give};
use partpledge_workshop::risks::{outcome_of, outcomes};
use partpledge_workshop::run_sheet::run_sheet;
use partpledge_workshop::{Actor, Books, Session, WorkshopError};

use super::record::Writer;
use super::scene::Scene;
use super::{percentile, processor_time_s};
use crate::timed;

/// Runs of each.
const RUNS: usize = 5;

/// `quote path`: what the pages and deeds of a large season cost.
pub(crate) fn run() -> Result<(), String> {
    let runtime = tokio::runtime::Runtime::new().map_err(|error| error.to_string())?;
    let dir = tempfile::tempdir().map_err(|error| error.to_string())?;
    let scene = Scene::at(super::MOMENTS[1], 1)?;
    println!("{}", scene.told());
    let now = scene.now.to_ms();
    let region = partpledge_testbed::wide_fens();
    let data = dir.path().join("data");
    let opened = runtime.block_on(Session::open(&data, &region, now));
    let session = opened.map_err(|error| error.to_string())?;
    let process = Process::choose(&session.catalogue, Some("PLA"), None, None);
    let process = process.map_err(|error| error.to_string())?;
    let mut writer = Writer::new(&session, &scene);
    let (written, s) = timed(|| runtime.block_on(writer.write_all()));
    written?;
    let bytes: u64 = std::fs::read_dir(&data)
        .map_err(|error| error.to_string())?
        .flatten()
        .filter_map(|entry| Some(entry.metadata().ok()?.len()))
        .sum();
    println!("written in {s:.1} s, {:.1} MB", bytes as f64 / 1e6);
    let measured = runtime.block_on(measured(&session, &process, scene.now));
    measured.map_err(|error| error.to_string())
}

/// Says the middle and the longest of some runs.
async fn told<T, F>(what: &str, runs: usize, run: impl Fn(usize) -> F) -> Result<T, WorkshopError>
where
    F: Future<Output = Result<T, WorkshopError>>,
{
    let mut took = Vec::new();
    let mut last = None;
    let before_s = processor_time_s();
    for i in 0..runs {
        let clock = crate::Clock::start();
        last = Some(run(i).await?);
        took.push(clock.seconds());
    }
    let processor_s = (processor_time_s() - before_s) / runs as f64;
    took.sort_by(f64::total_cmp);
    println!(
        "{what:<28} p50 {:>6.0} ms, longest {:>6.0} ms, {:>6.0} ms of a processor",
        1_000.0 * percentile(&took, 0.5),
        1_000.0 * percentile(&took, 1.0),
        1_000.0 * processor_s,
    );
    last.ok_or(WorkshopError::BrokeOff)
}

async fn measured(base: &Session, process: &Process, now: Minute) -> Result<(), WorkshopError> {
    let session = told("session at a moment", RUNS, |_| base.at(now.to_ms())).await?;
    told("the floor", RUNS, |_| session.floor()).await?;
    let books = told("the books", RUNS, |_| Books::open(&session)).await?;
    let (session, books) = (&session, &books);
    let date = session.terrain.zone.date(now);
    told("a run sheet, books read", RUNS, |_| {
        run_sheet(session, books, "fen1", date)
    })
    .await?;
    let open = books.open_pledges();
    told("forecast of one pledge", RUNS, |i| {
        let id = open[i * open.len() / RUNS].0.request.id;
        async move { Ok(outcome_of(session, books, id)) }
    })
    .await?;
    if open.len() < 1_000 {
        told("forecasts of all", 1, |_| async {
            Ok(outcomes(session, books).len())
        })
        .await?;
    }
    Box::pin(asking(session, process)).await?;
    deeds(session, books, now).await
}

async fn asking(session: &Session, process: &Process) -> Result<(), WorkshopError> {
    let file = partpledge_testbed::files().swap_remove(2);
    let beds = session.beds();
    let options = IntakeOptions {
        unit: None,
        stands: &Stands::decide(Orient::Best),
        sheet: &process.sheet,
        material: &process.material,
        beds: &beds,
        limits: Limits::server(),
    };
    let judged = judge_file(&file.bytes, file.name, &options)?;
    let parts: Vec<LaidPart> = vec![lay(&judged.parts[0], &process.sheet)?];
    let original = Original::of(Bytes::from(file.bytes), file.name, &judged)?;
    let (actor, team) = (Actor::at_the_machine(), partpledge_testbed::fen_team(3));
    let request = |seed: usize| Request {
        parts: &parts,
        copies: 2,
        process,
        team: &team,
        part: "gear",
        need_by: None,
        seed: seed as u64,
        orient: Orient::Best,
        fetch_at: None,
        no_later: None,
    };
    let (request, actor, original) = (&request, &actor, &original);
    told("ask: part to quote", RUNS, |i| async move {
        ask(session, actor, &request(i)).await
    })
    .await?;
    told("give: part to pledge on disk", RUNS, |i| async move {
        give(
            session,
            actor,
            &request(i),
            original,
            Some(&format!("given-{i}")),
        )
        .await
    })
    .await?;
    Ok(())
}

async fn deeds(session: &Session, books: &Books, now: Minute) -> Result<(), WorkshopError> {
    let actor = &Actor::at_the_machine();
    let running = books.running();
    let runs = RUNS.min(running.len());
    let running = &running;
    told("act: a plate failed", runs, |i| async move {
        let fail = Act::Fail {
            reason: "came loose".to_owned(),
            good: 0_u32.into(),
            out_until: None,
        };
        act(session, actor, running[i].0.0, &fail, None).await
    })
    .await?;
    told("every minute: catch up", RUNS, |_| async move {
        let later = session
            .at((now + partpledge_units::time::Minutes(16)).to_ms())
            .await?;
        catch_up(&later, actor).await
    })
    .await?;
    Ok(())
}
