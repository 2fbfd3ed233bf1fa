//! Giving keeps everything that the answer rested on.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use bytes::Bytes;
use partpledge_formats::Limits;
use partpledge_records::EstimateKey;
use partpledge_records::stored::{StoredEstimate, StoredProcess, StoredStanding};
use partpledge_records::{StoreError, StoredRequest};
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::Minutes;
use partpledge_workshop::estimating::{Process, lay, timed};
use partpledge_workshop::intake::{IntakeOptions, Orient, Stands, judge_file};
use partpledge_workshop::keeping::Original;
use partpledge_workshop::plate_room::{laid_file, opened_file};
use partpledge_workshop::pledging::{Request, give};
use partpledge_workshop::{Actor, ENGINE, Session, WorkshopError};

#[tokio::test]
async fn a_given_pledge_keeps_its_file_and_its_estimates() {
    let dir = tempfile::tempdir().unwrap();
    let now = parse_rfc3339("2027-03-09T16:52:00+01:00").unwrap();
    let region = partpledge_testbed::ambrel_valley();
    let session = Session::open(&dir.path().join("data"), region, now)
        .await
        .unwrap();
    let file = partpledge_testbed::files().swap_remove(0);
    let process = Process::choose(&session.catalogue, Some(file.material), None, None).unwrap();
    let beds = session.beds();
    let options = IntakeOptions {
        unit: None,
        stands: &Stands::decide(Orient::Best),
        sheet: &process.sheet,
        material: &process.material,
        beds: &beds,
        limits: Limits::server(),
    };
    let judged = judge_file(&file.bytes, file.name, &options).unwrap();
    let parts = vec![lay(&judged.parts[0], &process.sheet).unwrap()];
    let request = Request {
        parts: &parts,
        copies: 2,
        process: &process,
        team: file.team,
        part: "bracket",
        need_by: None,
        seed: 1,
        orient: Orient::Best,
        fetch_at: None,
        no_later: None,
    };
    let original = Original::of(Bytes::from(file.bytes.clone()), file.name, &judged).unwrap();
    let actor = Actor::at_the_machine();
    give(&session, &actor, &request, &original, Some("k"))
        .await
        .unwrap();
    a_key_is_for_one_request(&session, &request, &original).await;
    let (store, region) = session.store().unwrap();
    let pledge = store.pledge_of_key(region, "k").await.unwrap().unwrap();
    let kept = store
        .request(region, pledge.request)
        .await
        .unwrap()
        .unwrap();
    assert_eq!(kept.first_answer_at, Some(now));
    let version = store.version(region, kept.version).await.unwrap().unwrap();
    assert_eq!(
        store.blob(&version.blob).await.unwrap().unwrap(),
        original.bytes
    );
    let class = session.catalogue.class("standard").unwrap();
    let key = EstimateKey {
        version: kept.version,
        orientation: format!("part 1: {}", parts[0].standing.name),
        sheet: process.key(),
        class: class.code.clone(),
        engine: ENGINE.to_owned(),
    };
    let stored = store
        .estimate(region, &key)
        .await
        .unwrap()
        .expect("it is kept");
    let stored = StoredEstimate::from_text(&stored).unwrap();
    let fresh = timed(&parts[0], &process, class).unwrap();
    assert!((stored.print_time_s - fresh.print_time_s).abs() < 1e-9);
    assert!((stored.mass_g - fresh.mass_g).abs() < 1e-12);
    let process = StoredProcess::from_text(kept.process.as_deref().unwrap()).unwrap();
    assert_eq!(process.standing, [judged.parts[0].decided()]);
    stands_as_decided(&session, &kept, process).await;
}

/// Asked again under its key it is the same promise; another request under it is refused.
async fn a_key_is_for_one_request(session: &Session, request: &Request<'_>, original: &Original) {
    let give = async |request: &Request<'_>, original: &Original| {
        let actor = Actor::at_the_machine();
        give(session, &actor, request, original, Some("k")).await
    };
    let again = give(request, original).await.unwrap();
    assert_eq!(again.copies, request.copies);
    let more = Request {
        copies: request.copies + 1,
        ..request.clone()
    };
    let mut other = original.clone();
    other.bytes = Bytes::from_static(b"another file");
    let sooner = Request {
        need_by: Some(session.minute() + Minutes(600)),
        ..request.clone()
    };
    let as_sent = Request {
        orient: Orient::AsSent,
        ..request.clone()
    };
    let elsewhere = Request {
        fetch_at: Some(session.terrain.file.hosts[0].school.clone()),
        ..request.clone()
    };
    let catalogue = &session.catalogue;
    let material = request.process.material.code.as_str();
    let own = &request.process.sheet.code;
    let mut sheets = catalogue.sheets.iter().filter(|sheet| sheet.code != *own);
    let sheet = sheets.find(|sheet| sheet.material == material).unwrap();
    let fine = Process::choose(catalogue, Some(material), Some(&sheet.code), None).unwrap();
    let finer = Request {
        process: &fine,
        ..request.clone()
    };
    let fuller = Some(request.process.sheet.infill_percent + 5.0);
    let full = Process::choose(catalogue, Some(material), Some(own), fuller).unwrap();
    let fuller = Request {
        process: &full,
        ..request.clone()
    };
    let others = [more, sooner, as_sent, elsewhere, finer, fuller];
    let mut answers = vec![give(request, &other).await];
    for request in &others {
        answers.push(give(request, original).await);
    }
    for refused in answers {
        let Err(error @ WorkshopError::Store(StoreError::KeyReused(_))) = refused else {
            panic!("{refused:?}");
        };
        assert!(error.is_bad_input(), "exit code 2");
    }
}

/// A way that nobody would choose today, decided when the request came: it stays, for pages and plates.
async fn stands_as_decided(session: &Session, kept: &StoredRequest, mut process: StoredProcess) {
    let half = std::f64::consts::FRAC_1_SQRT_2;
    let leaning = StoredStanding {
        name: "leaning".to_owned(),
        rotation: [1.0, 0.0, 0.0, 0.0, half, -half, 0.0, half, half],
    };
    process.standing = vec![leaning.clone()];
    let request = StoredRequest {
        process: Some(process.to_text().unwrap()),
        ..kept.clone()
    };
    let opened = opened_file(session, &request).await.unwrap();
    let part = &opened.judged.parts[0];
    assert_eq!(part.decided(), leaning);
    assert!(part.ways.iter().any(|way| way.name == "leaning"));
    assert_ne!(part.ways[0].name, "leaning", "another is recommended today");
    let laid = laid_file(session, &request).await.unwrap();
    assert_eq!(laid.parts[0].standing, leaning);
    let before = opened_file(session, kept).await.unwrap();
    assert_ne!(before.judged.parts[0].decided(), leaning, "kept apart");
}
