//! What a tablet at the bench sends: later than it was done, more than once, and taken back.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use partpledge_records::StepKind;
use partpledge_workshop::bench::OLDEST_MS;

use super::{COORDINATOR, Served, leads_to, served, status};

/// A plate that waits, its printer, and the path of its bench's sheet.
async fn waiting(site: &Served) -> (u64, String, String) {
    site.send_bracket("send-0000001").await;
    let books = site.books().await;
    let terrain = &site.session.terrain;
    let place = books.floor.plan.assignments[0];
    let printer = terrain.region.printers[place.printer.0].name.clone();
    let sheet = format!("/run-sheets/{}", site.code_at(&place));
    (place.plate.0, printer, sheet)
}

/// Sends a form as the queue of a tablet does: the JSON of the answer.
async fn queued(site: &Served, path: &str, form: &str) -> (String, String) {
    let cookie = site.cookie(COORDINATOR).await;
    let head = format!(
        "POST {path} HTTP/1.1\r\nHost: localhost\r\nCookie: {cookie}\r\nAccept: application/json\r\n\
         Content-Type: application/x-www-form-urlencoded"
    );
    let answer = site.ask(&head, form.as_bytes()).await;
    let answer = String::from_utf8_lossy(&answer).into_owned();
    let body = answer.split_once("\r\n\r\n").unwrap().1.to_owned();
    (status(&answer).to_owned(), body)
}

#[tokio::test(flavor = "multi_thread")]
async fn a_deed_that_was_kept_is_taken_once_at_its_own_time() {
    let site = served().await;
    let (plate, printer, sheet) = waiting(&site).await;
    let path = format!("{sheet}/do");
    let now = site.session.now.0;
    let form = |act: &str, key: &str, at: i64| {
        format!(
            "plate={plate}&act={act}&key={key}&occurred_at={at}&good-{plate}=1&printer={printer}"
        )
    };
    let hour = 3_600_000;
    let next = async |says: &str| {
        let page = site.get(&sheet, COORDINATOR).await;
        let tag = format!("<span class=\"here\">{says}");
        assert!(page.contains(&tag), "{says}: {page}");
    };
    next("Next, at ").await;
    let (code, early) = queued(&site, &path, &form("look", "tablet-look", now - hour)).await;
    assert_eq!(code, "409");
    assert!(
        early.starts_with(r#"{"answer":"later","title":"#),
        "{early}"
    );
    for _ in 0..2 {
        let done = queued(&site, &path, &form("start", "tablet-start", now - hour)).await;
        assert_eq!(done, ("200".to_owned(), r#"{"answer":"done"}"#.to_owned()));
    }
    // The first layer lies since long.
    next("Do this now<").await;
    let done = queued(&site, &path, &form("look", "tablet-look", now - hour / 2)).await;
    assert_eq!(done.1, r#"{"answer":"done"}"#);
    let (code, twice) = queued(&site, &path, &form("start", "other-tablet", now)).await;
    assert_eq!(code, "409");
    assert!(
        twice.contains(r#""answer":"refused""#) && twice.contains("Somebody has done that"),
        "{twice}"
    );
    for at in [
        "tomorrow".to_owned(),
        (now - OLDEST_MS - 1).to_string(),
        i64::MAX.to_string(),
    ] {
        let form = format!("plate={plate}&act=off&key=tablet-off&occurred_at={at}&good-{plate}=1");
        let (code, refused) = queued(&site, &path, &form).await;
        assert_eq!(code, "422", "{at}");
        assert!(
            refused.contains("Set the clock of this tablet"),
            "{refused}"
        );
    }
    let books = site.books().await;
    let at = |kind| books.step(plate, kind).map(|step| step.at.0);
    assert_eq!(at(StepKind::Started), Some(now - hour));
    assert_eq!(at(StepKind::Looked), Some(now - hour / 2));
    assert_eq!(at(StepKind::Off), None);
}

#[tokio::test(flavor = "multi_thread")]
async fn trouble_told_before_its_start_has_come_waits_for_it() {
    let site = served().await;
    let (plate, printer, sheet) = waiting(&site).await;
    let page = site
        .get(
            &format!("{sheet}/trouble?plate={plate}&running=1"),
            COORDINATOR,
        )
        .await;
    assert!(page.contains("Stop the printer first") && page.contains("name=\"good-1\""));
    let path = format!("{sheet}/trouble");
    let form = format!(
        "plate={plate}&key=tablet-fail&running=1&good-{plate}=0&reason=Layers+are+shifted&out=no"
    );
    let (_, heard) = queued(&site, &path, &form).await;
    assert!(heard.contains(r#""answer":"later""#), "{heard}");
    let start = format!("plate={plate}&act=start&key=tablet-start&printer={printer}");
    queued(&site, &format!("{sheet}/do"), &start).await;
    assert_eq!(queued(&site, &path, &form).await.1, r#"{"answer":"done"}"#);
    assert!(site.books().await.step(plate, StepKind::Failed).is_some());
}

#[tokio::test(flavor = "multi_thread")]
async fn a_queue_that_nobody_is_signed_in_for_is_led_to_the_start_and_changes_nothing() {
    let site = served().await;
    let (plate, _, sheet) = waiting(&site).await;
    let form = format!("plate={plate}&act=start&key=tablet-start");
    let answer = site.post(&format!("{sheet}/do"), "", &form).await;
    assert_eq!(
        (status(&answer), leads_to(&answer)),
        ("303", Some("/start"))
    );
    assert!(site.books().await.floor.steps.is_empty());
}

#[tokio::test(flavor = "multi_thread")]
async fn a_tick_is_taken_back_by_the_form_and_what_is_built_on_is_not() {
    let site = served().await;
    let (plate, _, sheet) = waiting(&site).await;
    let tick = |act: &str| format!("plate={plate}&act={act}&key=tick-{act}-1&good-{plate}=1");
    let back = |step: &str, n: u32| format!("plate={plate}&step={step}&key=undo-{step}-{n}");
    let (to_do, undo) = (format!("{sheet}/do"), format!("{sheet}/undo"));
    site.post(&to_do, COORDINATOR, &tick("start")).await;
    site.post(&to_do, COORDINATOR, &tick("look")).await;
    let refused = site.post(&undo, COORDINATOR, &back("started", 1)).await;
    assert_eq!(status(&refused), "409");
    assert!(refused.contains("Since then it was looked at. Take that back first."));
    for step in ["looked", "started"] {
        let done = site.post(&undo, COORDINATOR, &back(step, 2)).await;
        assert_eq!(
            (status(&done), leads_to(&done)),
            ("303", Some(sheet.as_str()))
        );
    }
    assert!(site.books().await.floor.steps.is_empty());
}

#[tokio::test(flavor = "multi_thread")]
async fn the_worker_is_asked_for_anew_each_time() {
    let site = served().await;
    let answer = site.get("/worker.js", "").await;
    if status(&answer) == "204" {
        assert!(
            std::env::var("CI").as_deref() != Ok("true"),
            "CI builds the client first"
        );
        eprintln!("SKIPPED: the client is not built");
        return;
    }
    assert!(
        answer.contains("cache-control: no-cache")
            && answer.contains("content-type: text/javascript")
    );
}
