//! Copies looked at one by one when they come off the bed.
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

use bytes::Bytes;
use partpledge_records::{PlateState, State, StepKind};
use partpledge_units::local::parse_rfc3339;
use partpledge_workshop::bench::{Act, Each, Found, act, take_back};
use partpledge_workshop::run_sheet::{JobKind, JobState, run_sheet};
use partpledge_workshop::sending::{Sent, send};
use partpledge_workshop::{Actor, Books, Role, Session};

/// The demo region with a request of four hubs, at the start of its fullest plate, which runs.
async fn running() -> (tempfile::TempDir, Session, u64) {
    let dir = tempfile::tempdir().unwrap();
    let now = parse_rfc3339("2027-03-09T10:00:00+01:00").unwrap();
    let region = partpledge_testbed::ambrel_valley();
    let session = Session::open(&dir.path().join("data"), region, now).await;
    let session = session.unwrap();
    let file = partpledge_testbed::files().swap_remove(1);
    let sent = Sent {
        bytes: Bytes::from(file.bytes),
        file_name: file.name,
        team: "Newt Works",
        part: None,
        copies: file.copies,
        material: file.material,
        need_by: None,
        unit: None,
        replaces: None,
        statement: Some(&partpledge_workshop::review::Statement::own()),
        again: true,
        over_limit: None,
        key: "send-00001",
    };
    let actor = Actor::new(Role::Team("Newt Works".to_owned()));
    send(&session, &actor, &sent).await.unwrap();
    let books = Books::open(&session).await.unwrap();
    let fullest = books.floor.kept.iter().max_by_key(|kept| kept.plate.copies);
    let fullest = fullest.unwrap();
    let (seq, start) = (fullest.plate.seq.0, books.place(fullest).unwrap().start);
    let session = session.at(start.to_ms()).await.unwrap();
    let machine = Actor::at_the_machine();
    act(&session, &machine, seq, &Act::Start, None)
        .await
        .unwrap();
    (dir, session, seq)
}

#[tokio::test(flavor = "multi_thread")]
#[expect(clippy::too_many_lines, reason = "one walk, told in its order")]
async fn scrap_is_made_again_and_what_is_reworked_holds_its_box() {
    let (_dir, session, seq) = running().await;
    let machine = Actor::at_the_machine();
    let books = Books::open(&session).await.unwrap();
    let kept = books.plate(seq).unwrap().clone();
    let numbers: Vec<i64> = books.copies_on(&kept).map(|copy| copy.number).collect();
    assert!(numbers.len() >= 2, "several on one plate");
    let mut each = Each::new();
    for &number in &numbers {
        each.insert((seq, number), Found::Good);
    }
    each.insert(
        (seq, numbers[0]),
        Found::Rework("Stringy or rough".to_owned()),
    );
    let missing = Each::from([((seq, numbers[0]), Found::Good)]);
    let refused = act(
        &session,
        &machine,
        seq,
        &Act::Inspect { each: missing },
        None,
    )
    .await;
    assert_eq!(
        refused.unwrap_err().code(),
        "out-of-range",
        "every copy is told"
    );
    act(&session, &machine, seq, &Act::Inspect { each }, None)
        .await
        .unwrap();
    let books = Books::open(&session).await.unwrap();
    assert_eq!(books.held(&kept).count(), 1);
    let refused = act(&session, &machine, seq, &Act::Box, None).await;
    assert_eq!(refused.unwrap_err().code(), "held");
    let zone = &session.terrain.zone;
    let hosts = session.terrain.file.hosts.iter();
    for host in hosts {
        let sheet = run_sheet(&session, &books, &host.school, zone.date(session.minute())).await;
        let sheet = sheet.unwrap();
        let own = sheet
            .jobs
            .iter()
            .find(|job| job.kind == JobKind::Box && job.plate.seq == seq);
        assert!(own.is_none_or(|job| job.state == JobState::Waits && job.plate.held == 1));
    }
    // It is scrap after all: a plate of its own for that one copy, with the promise that it had.
    let settle = Act::Settle {
        copy: numbers[0],
        found: Found::Scrap("Stringy or rough".to_owned()),
        about: String::new(),
    };
    act(&session, &machine, seq, &settle, None).await.unwrap();
    assert!(
        act(&session, &machine, seq, &settle, None).await.is_err(),
        "it is held no more"
    );
    let books = Books::open(&session).await.unwrap();
    let again = books.floor.kept.last().unwrap();
    assert_eq!((again.state, again.plate.copies), (PlateState::Open, 1));
    assert_eq!(again.plate.promise, kept.plate.promise);
    assert_eq!(books.copies_on(again).next().unwrap().number, numbers[0]);
    assert!(books.place(again).is_some(), "it has a place in the plan");
    let refused = take_back(&session, &machine, (seq, StepKind::Off), None).await;
    assert!(
        refused
            .unwrap_err()
            .what_to_do()
            .contains("scrap since then")
    );
    act(&session, &machine, seq, &Act::Box, None).await.unwrap();
    let books = Books::open(&session).await.unwrap();
    let boxed = books
        .copies_on(&kept)
        .filter(|copy| copy.state == State::Boxed);
    assert_eq!(boxed.count(), numbers.len() - 1);
}

#[tokio::test(flavor = "multi_thread")]
async fn an_inspection_can_be_taken_back_while_nothing_is_settled() {
    let (_dir, session, seq) = running().await;
    let machine = Actor::at_the_machine();
    let before = Books::open(&session).await.unwrap();
    let kept = before.plate(seq).unwrap().clone();
    let found = |i: usize| match i {
        0 => Found::Rework("Stringy or rough".to_owned()),
        1 => Found::Scrap("Layers came apart".to_owned()),
        _ => Found::Good,
    };
    let copies = before.copies_on(&kept).enumerate();
    let each: Each = copies
        .map(|(i, copy)| ((seq, copy.number), found(i)))
        .collect();
    act(&session, &machine, seq, &Act::Inspect { each }, None)
        .await
        .unwrap();
    let session = session.at(session.now).await.unwrap();
    take_back(&session, &machine, (seq, StepKind::Off), None)
        .await
        .unwrap();
    let after = Books::open(&session).await.unwrap();
    assert_eq!(after.floor.plates, before.floor.plates);
    assert_eq!(after.floor.plan, before.floor.plan);
    let states = |books: &Books| {
        let copies = books.copies(kept.request).iter();
        copies
            .map(|copy| (copy.plate, copy.state))
            .collect::<Vec<_>>()
    };
    assert_eq!(states(&after), states(&before));
}
