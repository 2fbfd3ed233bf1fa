//! A snow day: several schools closed by one deed, seen before it is done, and lifted again.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use crate::support::busy::{Busy, ask_for, coordinator};
use jiff::ToSpan;
use partpledge_plan_check::check;
use partpledge_planning_model::Assignment;
use partpledge_records::{Said, SiteClosure, told_of};
use partpledge_units::local::parse_date;
use partpledge_units::time::{Minute, Minutes};
use partpledge_workshop::bench::{Act, act, close, lift, printer_out};
use partpledge_workshop::closures::{if_closed, if_lifted, open};
use partpledge_workshop::what_if::{Question, ask};
use partpledge_workshop::{Actor, Books, Role, Session, WorkshopError};

/// All hosts are closed on the day after.
fn snow(session: &Session) -> SiteClosure {
    let zone = &session.terrain.zone;
    let day = parse_date("2027-03-10").unwrap();
    let midnight = jiff::civil::Time::midnight();
    let hosts = session.terrain.file.hosts.iter();
    SiteClosure {
        schools: hosts.map(|host| host.school.clone()).collect(),
        from: zone.minute(day, midnight),
        until: zone.minute(day.checked_add(1.day()).unwrap(), midnight),
        reason: "  Snow ".to_owned(),
    }
}

/// What the checker finds but late promises, with the region as it is now.
fn faults(session: &Session, books: &Books) -> Vec<&'static str> {
    let found = check(
        &session.terrain.region,
        &books.floor.plates,
        &books.floor.plan,
        None,
    );
    let codes = found.iter().map(partpledge_plan_check::Violation::code);
    codes.filter(|code| !code.starts_with("promise")).collect()
}

#[tokio::test]
async fn a_snow_day_is_done_once_as_it_was_shown() {
    let busy = Busy::after(6).await;
    let session = &busy.session;
    let books = Books::open(session).await.unwrap();
    let told = snow(session);
    let shown = if_closed(session, &coordinator(), &books, &told)
        .await
        .unwrap();
    assert!(!shown.moved.is_empty());
    assert!(shown.session.store().is_none(), "nothing can be written");
    let untouched = Books::open(session).await.unwrap();
    assert_eq!(untouched.entry, books.entry);
    let done = close(session, &coordinator(), (&told, None), Some("snow-day-1"))
        .await
        .unwrap();
    assert_eq!((done.before, &done.moved), (false, &shown.moved));
    let after = busy.again().await;
    let now = Books::open(&after).await.unwrap();
    assert_eq!(now.floor.plan, shown.books.floor.plan, "as it was shown");
    assert_eq!(
        (now.entry, now.floor.revision),
        (books.entry + 1, books.floor.revision + 1),
        "one event and one plan, however many schools"
    );
    let (store, region) = after.store().unwrap();
    let (_, event) = store
        .events_after(region, books.entry)
        .await
        .unwrap()
        .remove(0);
    assert_eq!(event.kind, "region.closed");
    let says = told_of(&event);
    let free = says
        .iter()
        .any(|(_, said)| *said == Said::Text("Snow".to_owned()));
    assert!(!free, "free words are not told to programs");
    let reason = store.revisions(region).await.unwrap().pop().unwrap().reason;
    let reason = reason.to_string();
    assert!(reason.contains("schools are closed: snow; "), "{reason}");
    // Nobody starts, clears or hands over on that day, and the checker agrees.
    for place in &now.floor.plan.assignments {
        for at in [place.start, place.cleared, place.arrives] {
            assert!(at < told.from || told.until <= at, "{place:?}");
        }
    }
    assert_eq!(faults(&after, &now), Vec::<&str>::new());
    // Promises stand as they were given.
    let given = |books: &Books| -> Vec<_> {
        let all = books.open_pledges().into_iter();
        all.map(|(_, promised)| promised.pledge.clone()).collect()
    };
    assert_eq!(given(&now), given(&books));
    let again = close(&after, &coordinator(), (&told, None), Some("snow-day-1")).await;
    assert!(again.unwrap().before, "sent twice, it is one deed");
    assert_eq!(busy.again().await.closures.len(), 1);
    // What is asked for now is not promised for that day.
    ask_for(&after, 0, "after-snow-1").await;
    let later = Books::open(&after).await.unwrap();
    for place in &later.floor.plan.assignments {
        assert!(place.start < told.from || told.until <= place.start);
    }
}

#[tokio::test]
async fn a_run_that_would_be_left_alone_is_told_as_lost() {
    let busy = Busy::after(3).await;
    let books = Books::open(&busy.session).await.unwrap();
    let terrain = &busy.session.terrain;
    let watched = |place: &&Assignment| {
        let printer = &terrain.region.printers[place.printer.0];
        !printer.unattended && place.end - place.start > Minutes(30)
    };
    let places = books.floor.plan.assignments.iter().filter(watched);
    let place = *places.min_by_key(|place| place.start).unwrap();
    let at = async |minute: Minute| busy.session.at(minute.to_ms()).await.unwrap();
    let start = at(place.start).await;
    let machine = Actor::at_the_machine();
    act(&start, &machine, place.plate.0, &Act::Start, None)
        .await
        .unwrap();
    let now = at(place.start + Minutes(5)).await;
    let books = Books::open(&now).await.unwrap();
    let site = terrain.region.printers[place.printer.0].site;
    let hosts = &terrain.file.hosts;
    let host = hosts[site.0].school.clone();
    let other = hosts.iter().find(|one| one.school != host).unwrap();
    for (school, from, lost) in [
        (&host, now.minute() + Minutes(5), vec![place.plate]),
        // All day: nobody comes who could take it off.
        (&host, now.minute() - Minutes(600), vec![place.plate]),
        (&host, place.end + Minutes(60), vec![]),
        (&other.school, now.minute() + Minutes(5), vec![]),
    ] {
        let told = SiteClosure {
            schools: vec![school.clone()],
            from,
            until: from + Minutes(2_000),
            reason: "Flood".to_owned(),
        };
        let shown = if_closed(&now, &coordinator(), &books, &told).await;
        assert_eq!(shown.unwrap().lost, lost, "{school} from {from:?}");
    }
    let until = now.minute() + Minutes(600);
    let away = Question::NobodyAt { host, until };
    let away = ask(&now, &coordinator(), &books, &away).unwrap();
    assert_eq!(away.lost, [place.plate]);
}

#[tokio::test]
async fn whoever_had_looked_before_a_closure_promises_and_plans_nothing_on_that_day() {
    let busy = Busy::after(2).await;
    // A page that was opened before, or a file that was judged meanwhile.
    let looked_before = &busy.session;
    let told = snow(looked_before);
    let chief = busy.again().await;
    close(&chief, &coordinator(), (&told, None), Some("snow-day-1"))
        .await
        .unwrap();
    let closed = |minute| told.from <= minute && minute < told.until;
    for (round, key) in [(0, "old-page-1"), (1, "old-page-2")] {
        ask_for(looked_before, round, key).await;
    }
    let printer = looked_before.terrain.region.printers[0].name.clone();
    let until = told.from;
    printer_out(
        looked_before,
        &coordinator(),
        &printer,
        ("broken", until),
        None,
    )
    .await
    .unwrap();
    let after = busy.again().await;
    let books = Books::open(&after).await.unwrap();
    assert!(!books.floor.plan.assignments.is_empty());
    for place in &books.floor.plan.assignments {
        for at in [place.start, place.cleared, place.arrives] {
            assert!(!closed(at), "{place:?}");
        }
    }
    for (listed, promised) in books.open_pledges().iter().rev().take(2) {
        let arrival = promised.pledge.arrival;
        assert!(!closed(arrival), "{} {arrival:?}", listed.request.number);
    }
    assert_eq!(faults(&after, &books), Vec::<&str>::new());
}

#[tokio::test]
async fn a_closure_is_lifted_for_all_its_schools_at_once() {
    let busy = Busy::after(3).await;
    let session = &busy.session;
    let told = snow(session);
    close(session, &coordinator(), (&told, None), Some("snow-day-1"))
        .await
        .unwrap();
    let shut = busy.again().await;
    let [kept] = open(&shut)[..] else {
        panic!("one is open");
    };
    assert_eq!(kept.closure.reason, "Snow", "without white space around it");
    let books = Books::open(&shut).await.unwrap();
    let shown = if_lifted(&shut, &coordinator(), &books, kept.entry)
        .await
        .unwrap();
    lift(
        &shut,
        &coordinator(),
        (kept.entry, None),
        Some("thaw-00001"),
    )
    .await
    .unwrap();
    let after = busy.again().await;
    assert!(open(&after).is_empty());
    let hours = |session: &Session| -> Vec<_> {
        let sites = session.terrain.region.sites.iter();
        sites.map(|site| site.staffed.clone()).collect()
    };
    assert_eq!(hours(&after), hours(session), "as before it snowed");
    let now = Books::open(&after).await.unwrap();
    assert_eq!(now.floor.plan, shown.books.floor.plan);
    assert_eq!(faults(&after, &now), Vec::<&str>::new());
    let (who, which) = (coordinator(), (kept.entry, None));
    let twice = lift(&after, &who, which, Some("thaw-00002")).await;
    assert!(matches!(twice, Err(WorkshopError::NotYours)), "{twice:?}");
    let same = lift(
        &after,
        &coordinator(),
        (kept.entry, None),
        Some("thaw-00001"),
    )
    .await;
    assert!(same.unwrap().before);
}

#[tokio::test]
async fn hours_of_one_day_close_those_hours_and_no_others() {
    let busy = Busy::after(1).await;
    let session = &busy.session;
    let noon = jiff::civil::time(12, 0, 0, 0);
    let day = parse_date("2027-03-10").unwrap();
    let told = SiteClosure {
        schools: vec![session.terrain.file.hosts[0].school.clone()],
        from: session.terrain.zone.minute(day, noon),
        ..snow(session)
    };
    close(session, &coordinator(), (&told, None), None)
        .await
        .unwrap();
    let after = busy.again().await;
    let (was, is) = (&session.terrain.region.sites, &after.terrain.region.sites);
    let staffed = |at: usize, minutes: i64| {
        let mut windows = is[at].staffed.as_slice().iter();
        let then = told.from + partpledge_units::time::Minutes(minutes);
        windows.any(|window| window.from <= then && then < window.until)
    };
    assert!(staffed(0, -1) && !staffed(0, 0), "open in the morning");
    assert!(staffed(1, 0), "another school is open");
    assert_eq!(is[1].staffed, was[1].staffed);
}

#[tokio::test]
async fn what_can_not_be_closed_says_why_and_writes_nothing() {
    let busy = Busy::after(1).await;
    let session = &busy.session;
    let books = Books::open(session).await.unwrap();
    let snow = || snow(session);
    let wrong = [
        SiteClosure {
            schools: vec!["nowhere".to_owned()],
            ..snow()
        },
        SiteClosure {
            schools: Vec::new(),
            ..snow()
        },
        SiteClosure {
            reason: " ".to_owned(),
            ..snow()
        },
        SiteClosure {
            until: session.minute(),
            ..snow()
        },
        SiteClosure {
            from: snow().until,
            until: snow().from,
            ..snow()
        },
    ];
    for told in wrong {
        let error = close(session, &coordinator(), (&told, None), None)
            .await
            .unwrap_err();
        let known = matches!(
            error,
            WorkshopError::Unknown { .. } | WorkshopError::OutOfRange { .. }
        );
        assert!(known, "{error:?}");
    }
    let bench = Actor::new(Role::Host("brindlemoor".to_owned()));
    let refused = close(session, &bench, (&snow(), None), None).await;
    assert!(matches!(refused, Err(WorkshopError::NotAllowed { .. })));
    let after = Books::open(session).await.unwrap();
    assert_eq!(after.entry, books.entry);
}

#[tokio::test]
async fn what_was_shown_on_another_plan_is_not_done() {
    let busy = Busy::after(1).await;
    let session = &busy.session;
    let told = snow(session);
    let seen = Books::open(session).await.unwrap().floor.revision;
    ask_for(session, 0, "meanwhile-1").await;
    let moved = |error: WorkshopError| match error {
        WorkshopError::Store(store) => assert_eq!(store.code(), "stale"),
        other => panic!("{other:?}"),
    };
    let key = Some("snow-day-1");
    let refused = close(session, &coordinator(), (&told, Some(seen)), key).await;
    moved(refused.unwrap_err());
    let now = busy.again().await;
    assert!(now.closures.is_empty());
    let seen = Books::open(&now).await.unwrap().floor.revision;
    for before in [false, true] {
        let what = (&told, Some(seen));
        let done = close(&now, &coordinator(), what, key).await.unwrap();
        assert_eq!(done.before, before, "sent twice, it is one deed");
    }
    let shut = busy.again().await;
    let entry = open(&shut)[0].entry;
    let refused = lift(&shut, &coordinator(), (entry, Some(seen)), None).await;
    moved(refused.unwrap_err());
    let seen = Books::open(&shut).await.unwrap().floor.revision;
    lift(&shut, &coordinator(), (entry, Some(seen)), None)
        .await
        .unwrap();
}
