//! What is stated is what happens: seeded fortnights of the demo region, with the demo's real parts.
#![expect(
    clippy::unwrap_used,
    reason = "every function here is a test case or part of one"
)]

use std::path::Path;

use partpledge_formats::Limits;
use partpledge_planning::{Ground, Way};
use partpledge_planning_model::PlaceIx;
use partpledge_season::{AFTER_SCHOOL, Demand, FortnightReport, fortnight};
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::Minute;
use partpledge_workshop::Session;
use partpledge_workshop::estimating::{LaidPart, Process, lay};
use partpledge_workshop::intake::{IntakeOptions, Orient, Stands, judge_file};
use partpledge_workshop::plating::{Order, ways};

/// The ways of every demo file that can be printed.
fn kinds(session: &Session) -> Vec<Vec<Way>> {
    let beds = session.beds();
    let mut out = Vec::new();
    for file in partpledge_testbed::files() {
        let process = Process::choose(&session.catalogue, Some(file.material), None, None).unwrap();
        let options = IntakeOptions {
            unit: None,
            stands: &Stands::decide(Orient::Best),
            sheet: &process.sheet,
            material: &process.material,
            beds: &beds,
            limits: Limits::server(),
        };
        let judged = judge_file(&file.bytes, file.name, &options).unwrap();
        if judged.parts.iter().any(|part| part.printable().is_err()) {
            continue;
        }
        let parts: Vec<LaidPart> = judged
            .parts
            .iter()
            .map(|part| lay(part, &process.sheet).unwrap())
            .collect();
        let order = Order {
            parts: &parts.iter().collect::<Vec<_>>(),
            copies: file.copies,
            process: &process,
            to: PlaceIx(0),
            release: session.minute(),
            next_seq: 0,
            wish: partpledge_planning_model::Wish::default(),
        };
        out.push(ways(session, &order).unwrap());
    }
    out
}

#[tokio::test]
async fn in_thirty_fortnights_the_kept_share_is_near_the_mean_stated_chance() {
    let now = parse_rfc3339("2027-01-11T06:00:00+01:00").unwrap();
    let nowhere = Path::new("there is no such folder");
    let session = Session::look(nowhere, partpledge_testbed::ambrel_valley(), now)
        .await
        .unwrap();
    let kinds = kinds(&session);
    assert!(kinds.len() >= 12);
    let ground = Ground::new(&session.terrain.region);
    let places = (0..session.terrain.region.places.len())
        .map(PlaceIx)
        .collect();
    let demand = Demand {
        kinds,
        places,
        a_day: 15.0,
        by_hour: AFTER_SCHOOL,
        level: 0.9,
        worlds: 150,
    };
    let from = Minute::at_or_after(now);
    let mut all = FortnightReport::default();
    for seed in 0..30 {
        all.extend(fortnight(&ground, &demand, from, 14, seed));
    }
    let (kept, stated) = (all.kept_share().unwrap(), all.mean_stated().unwrap());
    println!(
        "{} pledges, {} refused: kept {:.1} %, stated {:.1} % on average",
        all.pledges.len(),
        all.refused,
        kept * 100.0,
        stated * 100.0
    );
    assert!(all.pledges.len() > 4_000, "{} pledges", all.pledges.len());
    assert!((kept - stated).abs() < 0.05, "kept {kept}, stated {stated}");
}

#[tokio::test]
async fn a_fortnight_replays_to_the_minute() {
    let now = parse_rfc3339("2027-02-01T06:00:00+01:00").unwrap();
    let nowhere = Path::new("there is no such folder");
    let session = Session::look(nowhere, partpledge_testbed::ambrel_valley(), now)
        .await
        .unwrap();
    let ground = Ground::new(&session.terrain.region);
    let demand = Demand {
        kinds: kinds(&session),
        places: vec![PlaceIx(0), PlaceIx(9)],
        a_day: 6.0,
        by_hour: AFTER_SCHOOL,
        level: 0.9,
        worlds: 40,
    };
    let play = || fortnight(&ground, &demand, Minute::at_or_after(now), 5, 3);
    assert_eq!(play(), play());
}
