//! Critical dimensions: named when a part is sent, measured when its copies come off the bed.
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

use std::collections::BTreeMap;

use bytes::Bytes;
use partpledge_records::{KeptPlate, ListedRequest, State, StepKind};
use partpledge_units::local::parse_rfc3339;
use partpledge_units::micrometre::Micrometres;
use partpledge_units::time::EventMs;
use partpledge_workshop::bench::{Act, Each, Found, Good, Settled, act, take_back};
use partpledge_workshop::measuring::{CriticalDimension, EachMeasured, Reading, Readings, Stands};
use partpledge_workshop::review::Reason;
use partpledge_workshop::review::deciding::take_down;
use partpledge_workshop::sending::{Received, Sent, choices, choose, send, send_again};
use partpledge_workshop::{Actor, Books, Role, Session, WorkshopError};

fn bore() -> CriticalDimension {
    CriticalDimension {
        what: "bore for the bearing".to_owned(),
        nominal: Micrometres(8_000),
        lower: Micrometres(-50),
        upper: Micrometres(100),
    }
}

fn team() -> Actor {
    Actor::new(Role::Team("Newt Works".to_owned()))
}

async fn opened() -> (tempfile::TempDir, Session) {
    let dir = tempfile::tempdir().unwrap();
    let now = parse_rfc3339("2027-03-09T10:00:00+01:00").unwrap();
    let region = partpledge_testbed::ambrel_valley();
    let session = Session::open(&dir.path().join("data"), region, now).await;
    (dir, session.unwrap())
}

async fn sent(
    session: &Session,
    dimensions: Option<&[CriticalDimension]>,
    (replaces, key): (Option<&ListedRequest>, &str),
) -> Result<Received, WorkshopError> {
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
        replaces,
        statement: Some(&partpledge_workshop::review::Statement::own()),
        dimensions,
        again: true,
        over_limit: None,
        key,
    };
    send(session, &team(), &sent).await
}

/// A request of several copies with a critical bore, at the start of its fullest plate, which runs.
async fn running() -> (tempfile::TempDir, Session, KeptPlate) {
    let (dir, session) = opened().await;
    sent(&session, Some(&[bore()]), (None, "send-00001"))
        .await
        .unwrap();
    let books = Books::open(&session).await.unwrap();
    let fullest = books.floor.kept.iter().max_by_key(|kept| kept.plate.copies);
    let kept = fullest.unwrap().clone();
    let start = books.place(&kept).unwrap().start;
    let session = session.at(start.to_ms()).await.unwrap();
    let (machine, seq) = (Actor::at_the_machine(), kept.plate.seq.0);
    act(&session, &machine, seq, &Act::Start, None)
        .await
        .unwrap();
    (dir, session, kept)
}

fn read(um: i64) -> Readings {
    Readings::from([(1, Reading::Value(Micrometres(um)))])
}

/// All copies of a plate, found and measured alike.
fn all(
    books: &Books,
    kept: &KeptPlate,
    found: &Found,
    readings: &Readings,
) -> (Each, EachMeasured) {
    let which = |number| (kept.plate.seq.0, number);
    let copies = || books.copies_on(kept).map(|copy| which(copy.number));
    let each = copies().map(|which| (which, found.clone())).collect();
    (
        each,
        copies().map(|which| (which, readings.clone())).collect(),
    )
}

async fn did(session: &Session, seq: u64, what: &Act) -> Result<(), WorkshopError> {
    act(session, &Actor::at_the_machine(), seq, what, None)
        .await
        .map(drop)
}

#[tokio::test(flavor = "multi_thread")]
async fn what_can_be_no_critical_dimension_is_refused_and_nothing_is_kept() {
    let (_dir, session) = opened().await;
    let long = CriticalDimension {
        nominal: Micrometres(500_000),
        ..bore()
    };
    for bad in [vec![bore(), long], vec![bore(); 6]] {
        let refused = sent(&session, Some(&bad), (None, "send-00001")).await;
        assert_eq!(refused.unwrap_err().code(), "bad-dimension");
    }
    assert!(Books::open(&session).await.unwrap().requests.is_empty());
}

#[tokio::test(flavor = "multi_thread")]
async fn they_are_kept_when_it_is_sent_again_changed_and_chosen_otherwise() {
    let (_dir, session) = opened().await;
    let first = sent(&session, Some(&[bore()]), (None, "send-00001")).await;
    let first = first.unwrap().request.id;
    let books = Books::open(&session).await.unwrap();
    let listed = books.request(first).unwrap().clone();
    assert_eq!(books.dimensions(first), [bore()]);
    let again = send_again(&session, &team(), &listed, "again-00001").await;
    let again = again.unwrap().request.id;
    let changed = sent(&session, None, (Some(&listed), "send-00002")).await;
    let changed = changed.unwrap().request.id;
    let books = Books::open(&session).await.unwrap();
    assert_eq!(books.dimensions(again), [bore()]);
    assert_eq!(books.dimensions(changed), [bore()]);
    // Another way, with the rest as a request of its own.
    let listed = books.request(changed).unwrap().clone();
    let others = choices(&session, &team(), &listed).await.unwrap().others;
    let other = others.first().expect("the demo has another way");
    let change = other.change.clone().unwrap();
    let by = match &change {
        partpledge_records::stored::Change::FewerFirst { by_min, .. } => *by_min,
        _ => other.arrival_min,
    };
    let by = partpledge_units::time::Minute(by);
    let chosen = choose(&session, &team(), &listed, (&change, by)).await;
    let chosen = chosen.unwrap();
    let books = Books::open(&session).await.unwrap();
    let made = books.numbered(chosen.number).unwrap();
    assert_eq!(books.dimensions(made.request.id), [bore()]);
    if let Some(rest) = chosen.rest {
        assert_eq!(books.dimensions(rest.request.id), [bore()]);
    }
    // A changed file may name others, or none.
    let books = Books::open(&session).await.unwrap();
    let listed = books.request(again).unwrap().clone();
    let none = sent(&session, Some(&[]), (Some(&listed), "send-00003")).await;
    let none = none.unwrap().request.id;
    let books = Books::open(&session).await.unwrap();
    assert!(books.dimensions(none).is_empty());
}

#[tokio::test(flavor = "multi_thread")]
#[expect(clippy::too_many_lines, reason = "one walk, told in its order")]
async fn a_copy_is_good_only_within_its_limits_or_with_a_reason() {
    let (_dir, session, kept) = running().await;
    let seq = kept.plate.seq.0;
    let books = Books::open(&session).await.unwrap();
    let many = u32::try_from(books.copies_on(&kept).count()).unwrap();
    // Counting them would let them through unmeasured; that none is good can be counted.
    let good = Good::from(many);
    let refused = did(&session, seq, &Act::TakeOff { good }).await;
    assert_eq!(refused.unwrap_err().code(), "must-measure");
    let (each, _) = all(&books, &kept, &Found::Good, &Readings::new());
    let measured = EachMeasured::new();
    let refused = did(&session, seq, &Act::Inspect { each, measured })
        .await
        .unwrap_err();
    assert_eq!(refused.code(), "not-good");
    assert!(refused.to_string().contains("is not measured"), "{refused}");
    let (each, mut measured) = all(&books, &kept, &Found::Good, &read(8_100));
    let first = *each.keys().next().unwrap();
    measured.insert(first, read(8_220));
    let what = Act::Inspect { each, measured };
    let refused = did(&session, seq, &what).await.unwrap_err();
    let says = format!(
        "copy {}: bore for the bearing is 0.12 mm too large",
        first.1
    );
    assert_eq!(refused.to_string(), says);
    assert!(books.step(seq, StepKind::Off).is_none());
    // A reason that is on no list, a dimension that it does not have, and a size that is none: also of
    // what is scrap, which nobody holds against its limits.
    for (n, reading) in [
        (1, Reading::NotMeasured("because".to_owned())),
        (2, Reading::Value(Micrometres(8_000))),
        (1, Reading::Value(Micrometres(0))),
    ] {
        for found in [Found::Good, Found::Scrap("The wrong size".to_owned())] {
            let (mut each, mut measured) = all(&books, &kept, &Found::Good, &read(8_000));
            measured
                .entry(first)
                .or_default()
                .insert(n, reading.clone());
            each.insert(first, found);
            let refused = did(&session, seq, &Act::Inspect { each, measured }).await;
            assert_eq!(refused.unwrap_err().code(), "out-of-range", "{reading:?}");
        }
    }
    let Act::Inspect {
        mut each,
        mut measured,
    } = what
    else {
        unreachable!("made so above");
    };
    each.insert(first, Found::Scrap("The wrong size".to_owned()));
    let last = *each.keys().next_back().unwrap();
    let each_good = each.len() - 1;
    let not = Reading::NotMeasured("no-tool".to_owned());
    measured.insert(last, Readings::from([(1, not.clone())]));
    did(&session, seq, &Act::Inspect { each, measured })
        .await
        .unwrap();
    let books = Books::open(&session).await.unwrap();
    let copy = |number| {
        let mut copies = books.copies(kept.request).iter();
        copies.find(|copy| copy.number == number).unwrap()
    };
    // What is made again has nothing measured yet; the piece that was not used is on record.
    assert!(books.readings(copy(first.1)).is_empty());
    let pieces = books.pieces(kept.request);
    let piece = pieces.iter().find(|piece| piece.copy == first.1).unwrap();
    assert_eq!((piece.plate, piece.stands), (seq, Stands::MadeAgain));
    assert_eq!(piece.readings, read(8_220));
    let used = pieces.iter().filter(|piece| piece.stands == Stands::Good);
    assert_eq!(used.count(), each_good);
    assert_ne!(copy(first.1).plate, seq);
    assert_eq!(copy(last.1).state, State::Inspected);
    assert_eq!(books.readings(copy(last.1)).get(&1), Some(&not));
    // It counts as a run with one copy less at the first try.
    let (store, region) = session.store().unwrap();
    let runs = store.finished_runs(region).await.unwrap();
    assert_eq!((runs[0].copies, runs[0].good), (many, many - 1));
    // The log has neither the words nor the sizes.
    let log = store.events_after(region, 0).await.unwrap();
    for (_, event) in log {
        assert!(!event.payload.contains("bearing") && !event.payload.contains("8220"));
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn what_was_reworked_is_measured_again_and_what_is_taken_back_is_not_on_record() {
    let (_dir, session, kept) = running().await;
    let seq = kept.plate.seq.0;
    let books = Books::open(&session).await.unwrap();
    let rework = Found::Rework("The wrong size".to_owned());
    let (each, measured) = all(&books, &kept, &rework, &read(7_900));
    let what = Act::Inspect { each, measured };
    did(&session, seq, &what).await.unwrap();
    let machine = Actor::at_the_machine();
    take_back(&session, &machine, (seq, StepKind::Off), None)
        .await
        .unwrap();
    let books = Books::open(&session).await.unwrap();
    let copy = books.copies_on(&kept).next().unwrap().clone();
    assert!(books.readings(&copy).is_empty());
    did(&session, seq, &what).await.unwrap();
    let settle = |measured: Readings| {
        Act::Settle(Settled {
            copy: copy.number,
            found: Found::Good,
            about: String::new(),
            measured,
        })
    };
    for not in [Readings::new(), read(7_949)] {
        let refused = did(&session, seq, &settle(not)).await;
        assert_eq!(refused.unwrap_err().code(), "not-good");
    }
    did(&session, seq, &settle(read(7_950))).await.unwrap();
    let books = Books::open(&session).await.unwrap();
    let copy = books.copies_on(&kept).find(|one| one.number == copy.number);
    let copy = copy.unwrap();
    assert_eq!(copy.state, State::Inspected);
    assert_eq!(books.readings(copy), read(7_950));
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_good_of_a_failed_plate_is_held_until_it_was_measured() {
    let (_dir, session, kept) = running().await;
    let seq = kept.plate.seq.0;
    let fail = Act::Fail {
        reason: "The power went".to_owned(),
        good: Good::from(1),
        out_until: None,
    };
    did(&session, seq, &fail).await.unwrap();
    let books = Books::open(&session).await.unwrap();
    let held: Vec<i64> = books.held(&kept).map(|copy| copy.number).collect();
    assert_eq!(held.len(), 1);
    let refused = did(&session, seq, &Act::Box).await;
    assert_eq!(refused.unwrap_err().code(), "held");
    let good = Act::Settle(Settled {
        copy: held[0],
        found: Found::Good,
        about: String::new(),
        measured: read(8_000),
    });
    did(&session, seq, &good).await.unwrap();
    did(&session, seq, &Act::Box).await.unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn a_plate_of_which_nothing_is_good_can_still_be_counted() {
    let (_dir, session, kept) = running().await;
    let none = Act::TakeOff {
        good: Good::from(0),
    };
    did(&session, kept.plate.seq.0, &none).await.unwrap();
    let books = Books::open(&session).await.unwrap();
    assert_eq!(books.held(&kept).count(), 0);
    assert_eq!(books.copies_on(&kept).count(), 0, "all are made again");
}

/// A plate of which every copy is held with that size; one of them, and what is said of it.
async fn held(um: i64) -> (tempfile::TempDir, Session, KeptPlate, i64) {
    let (dir, session, kept) = running().await;
    let books = Books::open(&session).await.unwrap();
    let rework = Found::Rework("The wrong size".to_owned());
    let (each, measured) = all(&books, &kept, &rework, &read(um));
    let copy = books.copies_on(&kept).next().unwrap().number;
    let what = Act::Inspect { each, measured };
    did(&session, kept.plate.seq.0, &what).await.unwrap();
    (dir, session, kept, copy)
}

fn settle(copy: i64, found: Found, measured: Readings) -> Act {
    let about = String::new();
    Act::Settle(Settled {
        copy,
        found,
        about,
        measured,
    })
}

#[tokio::test(flavor = "multi_thread")]
async fn a_reason_does_not_make_good_what_was_outside_its_limits() {
    let (_dir, session, kept, copy) = held(7_900).await;
    let seq = kept.plate.seq.0;
    let excuse = Readings::from([(1, Reading::NotMeasured("no-tool".to_owned()))]);
    for nothing_read in [excuse.clone(), Readings::new()] {
        let what = settle(copy, Found::Good, nothing_read);
        let refused = did(&session, seq, &what).await.unwrap_err();
        assert_eq!(refused.code(), "not-good");
        let says = "was 0.05 mm too small: it has to be measured again";
        assert!(refused.to_string().contains(says), "{refused}");
    }
    let what = settle(copy, Found::Good, read(7_960));
    did(&session, seq, &what).await.unwrap();
    // Of scrap the size that was read is told, not that nobody could read it after.
    let books = Books::open(&session).await.unwrap();
    let other = books.held(&kept).next().unwrap().number;
    let what = settle(other, Found::Scrap("The wrong size".to_owned()), excuse);
    did(&session, seq, &what).await.unwrap();
    let books = Books::open(&session).await.unwrap();
    let pieces = books.pieces(kept.request);
    let piece = pieces.iter().find(|piece| piece.copy == other).unwrap();
    assert_eq!(piece.readings, read(7_900));
    assert_eq!(piece.stands, Stands::MadeAgain);
    let why = BTreeMap::from([(1, "no-tool".to_owned())]);
    assert_eq!(
        piece.not_again, why,
        "that nobody could read it is told too"
    );
    let piece = pieces.iter().find(|piece| piece.copy == copy).unwrap();
    assert_eq!(
        (piece.stands, &piece.readings),
        (Stands::Good, &read(7_960))
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_piece_that_is_held_or_not_made_again_is_told_so() {
    let (_dir, session, kept, copy) = held(7_900).await;
    let books = Books::open(&session).await.unwrap();
    let pieces = books.pieces(kept.request);
    assert!(!pieces.is_empty());
    assert!(pieces.iter().all(|piece| piece.stands == Stands::Held));
    // What was taken down is not made again: its scrap stays on its plate.
    let coordinator = Actor::new(Role::Coordinator);
    let listed = books.request(kept.request).unwrap();
    // Not in the moment in which it came off the bed: its promise ends with this.
    let moment = EventMs(session.now.0 + 60_000);
    let later = session.at(moment).await.unwrap();
    take_down(
        &later,
        &coordinator,
        listed,
        (Reason::Hurts, "", "down-00001"),
    )
    .await
    .unwrap();
    let what = settle(copy, Found::Scrap("The wrong size".to_owned()), read(7_900));
    did(&later, kept.plate.seq.0, &what).await.unwrap();
    let books = Books::open(&later).await.unwrap();
    let pieces = books.pieces(kept.request);
    let piece = pieces.iter().find(|piece| piece.copy == copy).unwrap();
    assert_eq!(
        (piece.plate, piece.stands),
        (kept.plate.seq.0, Stands::Scrap)
    );
    // Nothing is missing from the plate; its end stays none the less, and what was measured since.
    let machine = Actor::at_the_machine();
    let off = (kept.plate.seq.0, StepKind::Off);
    let back = take_back(&later, &machine, off, None).await.unwrap_err();
    assert_eq!(back.code(), "not-taken-back");
    assert!(back.what_to_do().contains("looked at again since then"));
}

#[tokio::test(flavor = "multi_thread")]
async fn off_the_bed_stays_once_a_copy_of_it_was_settled() {
    let (_dir, session, kept, copy) = held(7_900).await;
    let seq = kept.plate.seq.0;
    let what = settle(copy, Found::Good, read(8_000));
    did(&session, seq, &what).await.unwrap();
    let machine = Actor::at_the_machine();
    let back = take_back(&session, &machine, (seq, StepKind::Off), None).await;
    let back = back.unwrap_err();
    assert_eq!(back.code(), "not-taken-back");
    assert!(back.what_to_do().contains("looked at again since then"));
    let books = Books::open(&session).await.unwrap();
    assert!(books.step(seq, StepKind::Off).is_some());
    let settled = books.copies_on(&kept).find(|one| one.number == copy);
    let settled = settled.unwrap();
    assert_eq!(settled.state, State::Inspected);
    assert_eq!(books.readings(settled), read(8_000));
}
