//! Deeds that were done without a network and arrive late: then, there, once, and in a sane order.
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

use bytes::Bytes;
use partpledge_plan_check::Violation;
use partpledge_records::{KeptPlate, PledgeEnd, StepKind};
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::{EventMs, Minute, Minutes};
use partpledge_workshop::bench::{Act, Told, act, catch_up, end_request};
use partpledge_workshop::plan_room::judged;
use partpledge_workshop::sending::{Sent, send};
use partpledge_workshop::{Actor, Books, Role, Session};

struct World {
    _dir: tempfile::TempDir,
    session: Session,
}

const TEAM: &str = "Newt Works";

impl World {
    /// The demo region with one request of two brackets.
    async fn new() -> Self {
        let dir = tempfile::tempdir().unwrap();
        let now = parse_rfc3339("2027-03-09T10:00:00+01:00").unwrap();
        let region = partpledge_testbed::ambrel_valley();
        let session = Session::open(&dir.path().join("data"), region, now).await;
        let session = session.unwrap();
        let file = partpledge_testbed::files().swap_remove(0);
        let sent = Sent {
            bytes: Bytes::from(file.bytes),
            file_name: file.name,
            team: TEAM,
            part: None,
            copies: file.copies,
            material: file.material,
            need_by: None,
            unit: None,
            replaces: None,
            statement: None,
            again: true,
            dimensions: None,
            over_limit: None,
            key: "send-00001",
        };
        let actor = Actor::new(Role::Team(TEAM.to_owned()));
        send(&session, &actor, &sent).await.unwrap();
        Self { _dir: dir, session }
    }

    async fn at(&self, minute: Minute) -> Session {
        self.session.at(minute.to_ms()).await.unwrap()
    }

    async fn books(&self) -> Books {
        Books::open(&self.session).await.unwrap()
    }

    /// The first plate: row, printer's name, start, and the bench where it stands.
    async fn first(&self) -> (KeptPlate, String, Minute, Actor) {
        let books = self.books().await;
        let place = *books
            .floor
            .plan
            .assignments
            .iter()
            .min_by_key(|p| p.start)
            .unwrap();
        let kept = books.plate(place.plate.0).unwrap().clone();
        let name = self.session.terrain.region.printers[place.printer.0]
            .name
            .clone();
        (
            kept,
            name,
            place.start,
            self.bench_of(place.printer, place.start),
        )
    }

    fn bench_of(&self, printer: partpledge_planning_model::PrinterIx, at: Minute) -> Actor {
        let terrain = &self.session.terrain;
        let host = terrain.host_at(printer, at);
        let hosts = terrain.file.hosts.iter();
        let mut codes = hosts.map(|host| host.school.clone());
        let own = codes.find(|code| terrain.file.school(code).unwrap().name == host);
        Actor::new(Role::Host(own.unwrap()))
    }
}

fn told<'a>(key: &'a str, at: Minute, printer: &'a str) -> Told<'a> {
    Told {
        key: Some(key),
        done_at: Some(at.to_ms()),
        printer: Some(printer),
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_late_deed_stands_at_its_own_time_and_the_log_has_both() {
    let world = World::new().await;
    let (kept, printer, start, bench) = world.first().await;
    let seq = kept.plate.seq.0;
    let evening = world.at(start + Minutes(500)).await;
    let deeds = [
        (Act::Start, start + Minutes(2)),
        (Act::Look, start + Minutes(17)),
        (
            Act::TakeOff {
                good: kept.plate.copies.into(),
            },
            start + Minutes(300),
        ),
    ];
    for (i, (what, at)) in deeds.iter().enumerate() {
        let key = format!("late-000{i}");
        act(&evening, &bench, seq, what, told(&key, *at, &printer))
            .await
            .unwrap();
        let again = act(&evening, &bench, seq, what, told(&key, *at, &printer)).await;
        assert!(again.unwrap().before, "sent twice, it is done once");
    }
    let books = world.books().await;
    let step = |kind| Minute::at_or_after(books.step(seq, kind).unwrap().at);
    assert_eq!(step(StepKind::Started), start + Minutes(2));
    assert_eq!(step(StepKind::Looked), start + Minutes(17));
    assert_eq!(step(StepKind::Off), start + Minutes(300));
    let (store, region) = world.session.store().unwrap();
    let runs = store.finished_runs(region).await.unwrap();
    assert_eq!(runs[0].ended_at, (start + Minutes(300)).to_ms());
    let events = store.events_after(region, 0).await.unwrap();
    let late: Vec<_> = events
        .iter()
        .filter(|(_, e)| e.kind.starts_with("run."))
        .collect();
    assert_eq!(late.len(), 3);
    for (_, event) in late {
        assert_eq!(event.received_at, (start + Minutes(500)).to_ms());
        assert!(event.occurred_at < event.received_at);
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_start_within_the_planned_minute_is_in_time() {
    let world = World::new().await;
    let (kept, printer, start, bench) = world.first().await;
    let seq = kept.plate.seq;
    let before = *world.books().await.floor.plan.of(seq).unwrap();
    let at = EventMs(start.to_ms().0 + 9_000);
    let then = world.session.at(at).await.unwrap();
    let now = Told {
        key: Some("start-0001"),
        printer: Some(&printer),
        ..Told::default()
    };
    act(&then, &bench, seq.0, &Act::Start, now).await.unwrap();
    let books = world.books().await;
    let place = *books.floor.plan.of(seq).unwrap();
    assert_eq!((place.start, place.end), (before.start, before.end));
    let requests: Vec<_> = books.requests.iter().map(|r| r.request.id).collect();
    for id in requests {
        let later = world.at(start + Minutes(1)).await;
        let outcome = partpledge_workshop::risks::outcome_of(&later, &books, id).unwrap();
        assert!(!outcome.at_risk(), "chance {}", outcome.chance);
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_stored_plan_that_is_late_is_at_fault_unless_people_made_it_so() {
    let world = World::new().await;
    let (kept, printer, start, bench) = world.first().await;
    let seq = kept.plate.seq;
    let missed = |all: &[Violation]| all.iter().filter(|one| one.misses_a_promise()).count();
    // A week too late, and nobody knows why.
    let mut floor = world.books().await.floor;
    let week = Minutes(7 * 1_440);
    for place in &mut floor.plan.assignments {
        for at in [&mut place.start, &mut place.end, &mut place.cleared] {
            *at = *at + week;
        }
        place.ready = place.ready + week;
        place.arrives = place.arrives + week;
    }
    let found = judged(&world.session, &floor, None).unwrap();
    assert!(missed(&found.faults) > 0, "{found:?}");
    assert!(found.known.is_empty(), "{found:?}");
    // Started when it should have been handed over, it is late whatever is planned.
    let books = world.books().await;
    let due = books.floor.plan.of(seq).unwrap().arrives;
    let late = world.at(due).await;
    act(
        &late,
        &bench,
        seq.0,
        &Act::Start,
        told("late-0001", due, &printer),
    )
    .await
    .unwrap();
    assert!(due > start);
    let found = judged(&late, &world.books().await.floor, None).unwrap();
    assert!(found.faults.is_empty(), "{found:?}");
    assert!(missed(&found.known) > 0, "{found:?}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_start_told_late_is_the_truth_though_the_plate_was_moved_meanwhile() {
    let world = World::new().await;
    let (kept, printer, start, bench) = world.first().await;
    let seq = kept.plate.seq.0;
    let later = world.at(start + Minutes(90)).await;
    catch_up(&later, &Actor::new(Role::Clock))
        .await
        .unwrap()
        .expect("nobody told us of the start");
    let moved = *world.books().await.floor.plan.of(kept.plate.seq).unwrap();
    assert!(moved.start > start, "it has another place");
    act(
        &later,
        &bench,
        seq,
        &Act::Start,
        told("late-0001", start, &printer),
    )
    .await
    .unwrap();
    let books = world.books().await;
    let step = books.step(seq, StepKind::Started).unwrap();
    assert_eq!(
        (step.printer.as_str(), step.at),
        (printer.as_str(), start.to_ms())
    );
    let place = books.place(&kept).unwrap();
    assert_eq!(place.start, start, "the plan follows what people did");
    let name = &world.session.terrain.region.printers[place.printer.0].name;
    assert_eq!(*name, printer);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_plate_is_started_only_where_some_plan_had_it() {
    let world = World::new().await;
    let (kept, printer, start, bench) = world.first().await;
    let session = world.at(start).await;
    let others = session
        .terrain
        .region
        .printers
        .iter()
        .map(|p| p.name.clone());
    let other = others.into_iter().find(|name| *name != printer).unwrap();
    for name in [other.as_str(), "no such printer"] {
        let wrong = told("wrong-0001", start, name);
        let refused = act(&session, &bench, kept.plate.seq.0, &Act::Start, wrong).await;
        assert_eq!(refused.unwrap_err().code(), "out-of-range", "{name}");
    }
    let stranger = Actor::new(Role::Team(TEAM.to_owned()));
    let named = told("wrong-0002", start, &printer);
    let refused = act(&session, &stranger, kept.plate.seq.0, &Act::Start, named).await;
    assert_eq!(refused.unwrap_err().code(), "not-allowed");
    assert!(world.books().await.floor.steps.is_empty());
}

#[tokio::test(flavor = "multi_thread")]
async fn what_comes_first_is_waited_for_and_never_stands_after_what_follows_it() {
    let world = World::new().await;
    let (kept, printer, start, bench) = world.first().await;
    let seq = kept.plate.seq.0;
    let session = world.at(start + Minutes(300)).await;
    let off = Act::TakeOff {
        good: kept.plate.copies.into(),
    };
    // The tablet that took it off has its network back before the one that started it.
    let early = told("tablet-b-1", start + Minutes(10), &printer);
    let refused = act(&session, &bench, seq, &off, early).await;
    assert_eq!(refused.unwrap_err().code(), "too-early");
    let first = told("tablet-a-1", start + Minutes(20), &printer);
    act(&session, &bench, seq, &Act::Start, first)
        .await
        .unwrap();
    act(&session, &bench, seq, &off, early).await.unwrap();
    let books = world.books().await;
    let at = |kind| books.step(seq, kind).unwrap().at;
    assert_eq!(
        at(StepKind::Off),
        at(StepKind::Started),
        "its clock was behind"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn wrong_times_and_plates_called_back_are_refused_with_what_to_do() {
    let world = World::new().await;
    let (kept, printer, start, bench) = world.first().await;
    let seq = kept.plate.seq.0;
    let session = world.at(start).await;
    for minutes in [6, -2 * 1_440 - 1] {
        let wrong = told("wrong-0001", start + Minutes(minutes), &printer);
        let refused = act(&session, &bench, seq, &Act::Start, wrong)
            .await
            .unwrap_err();
        assert_eq!(refused.code(), "wrong-time", "{minutes}");
    }
    let team = Actor::new(Role::Team(TEAM.to_owned()));
    let end = PledgeEnd::Withdrawn;
    end_request(&session, &team, kept.request, end, None)
        .await
        .unwrap();
    let started = told("late-0001", start, &printer);
    let refused = act(&session, &bench, seq, &Act::Start, started)
        .await
        .unwrap_err();
    assert_eq!(refused.code(), "called-back");
    assert!(refused.what_to_do().contains("stop the printer"));
    let fine = Told {
        key: Some("k"),
        done_at: Some(EventMs(0)),
        printer: None,
    };
    assert!(act(&session, &bench, seq, &Act::Start, fine).await.is_err());
}
