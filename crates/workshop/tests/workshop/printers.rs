//! Printers out of use and back: by the bench where they stand, taken back, ended early, with a recall.
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

use partpledge_plan_check::check;
use partpledge_planning_model::PrinterIx;
use partpledge_records::Outage;
use partpledge_units::time::{EventMs, Minute, Minutes};
use partpledge_workshop::bench::{
    Act, act, printer_back, printer_out, printer_undone, recall_and_stop,
};
use partpledge_workshop::recalls::Target;
use partpledge_workshop::risks::{Cause, outcomes, quiet, risks};
use partpledge_workshop::run_sheet::run_sheet;
use partpledge_workshop::{Actor, Books, Role, Session, WorkshopError};

use crate::support::busy::{Busy, coordinator};

/// The printer that most is planned on, its name and its bench.
async fn busiest(session: &Session) -> (PrinterIx, String, Actor) {
    let books = Books::open(session).await.unwrap();
    let places = &books.floor.plan.assignments;
    let on = |ix: &usize| places.iter().filter(|p| p.printer.0 == *ix).count();
    let terrain = &session.terrain;
    let ix = (0..terrain.region.printers.len()).max_by_key(on).unwrap();
    assert!(on(&ix) > 0);
    let host = terrain.host_at(PrinterIx(ix), session.minute());
    let mut schools = terrain.file.schools.iter();
    let school = schools.find(|school| school.name == host).unwrap();
    let bench = Actor::new(Role::Host(school.code.clone()));
    (
        PrinterIx(ix),
        terrain.region.printers[ix].name.clone(),
        bench,
    )
}

fn faults(session: &Session, books: &Books) -> Vec<&'static str> {
    let floor = &books.floor;
    let found = check(&session.terrain.region, &floor.plates, &floor.plan, None);
    let codes = found.iter().map(partpledge_plan_check::Violation::code);
    codes.filter(|code| !code.starts_with("promise")).collect()
}

async fn later(busy: &Busy, minutes: i64) -> Session {
    let at = EventMs(busy.session.now.0 + minutes * 60_000);
    busy.session.at(at).await.unwrap()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_bench_puts_its_printer_out_and_back_and_plans_follow() {
    let busy = Busy::after(4).await;
    let (ix, name, bench) = busiest(&busy.session).await;
    let until = busy.session.minute() + Minutes(2_000);
    let reason = ("The power went", until);
    let others = Actor::new(Role::Host("nowhere".to_owned()));
    for stranger in [others, Actor::new(Role::Team("Newt Works".to_owned()))] {
        let refused = printer_out(&busy.session, &stranger, &name, reason, None).await;
        assert_eq!(refused.unwrap_err().code(), "not-allowed");
    }
    let key = Some("out-0000001");
    let done = printer_out(&busy.session, &bench, &name, reason, key).await;
    assert!(!done.unwrap().moved.is_empty());
    let out = later(&busy, 60).await;
    let books = Books::open(&out).await.unwrap();
    let mut places = books.floor.plan.assignments.iter();
    assert!(places.all(|place| place.printer != ix || until <= place.start));
    assert_eq!(faults(&out, &books), Vec::<&str>::new());
    // What is asked for meanwhile is not promised on it; after it is back, it is.
    let key = Some("back-000001");
    printer_back(&out, &bench, &name, key).await.unwrap();
    let back = later(&busy, 60).await;
    let open = |session: &Session| {
        let now = session.minute();
        session.outages.iter().filter(|one| now < one.until).count()
    };
    assert_eq!((open(&out), open(&back)), (1, 0));
    assert!(
        back.terrain.region.printers[ix.0]
            .out_of_use
            .as_slice()
            .iter()
            .all(|window| window.until <= back.minute())
    );
    let lasted: Vec<Minutes> = (back.outages.iter())
        .map(|one| one.until - one.from)
        .collect();
    assert_eq!(lasted, [Minutes(60)], "as long as it was in truth");
    let books = Books::open(&back).await.unwrap();
    assert_eq!(faults(&back, &books), Vec::<&str>::new());
    // Sent again, or said of one that can be used: nothing happens.
    for key in ["back-000001", "back-000002"] {
        let again = printer_back(&back, &bench, &name, Some(key)).await;
        assert!(again.unwrap().before, "{key}");
    }
    assert_eq!(Books::open(&back).await.unwrap().entry, books.entry);
    let (store, region) = back.store().unwrap();
    let (_, event) = store
        .events_of_kind(region, "printer.back-in-use")
        .await
        .unwrap()
        .remove(0);
    assert_eq!(event.text("printer"), Some(name));
}

#[tokio::test(flavor = "multi_thread")]
async fn what_was_said_of_a_printer_is_taken_back_and_the_plan_is_as_it_was() {
    let busy = Busy::after(4).await;
    let (_, name, bench) = busiest(&busy.session).await;
    let before = Books::open(&busy.session).await.unwrap();
    let until = busy.session.minute() + Minutes(2_000);
    let reason = ("Something else", until);
    printer_out(&busy.session, &bench, &name, reason, None)
        .await
        .unwrap();
    let soon = later(&busy, 0).await;
    let told = Books::open(&soon).await.unwrap();
    assert_ne!(told.floor.plan, before.floor.plan);
    let key = Some("undo-000001");
    printer_undone(&soon, &bench, &name, key).await.unwrap();
    let undone = later(&busy, 0).await;
    let after = Books::open(&undone).await.unwrap();
    assert_eq!(after.floor.plan, before.floor.plan);
    assert_eq!(undone.outages, []);
    // Nothing is left to take back.
    let twice = printer_undone(&undone, &bench, &name, None).await;
    assert_eq!(twice.unwrap_err().code(), "not-taken-back");
    // "Works again" is taken back as well: it is out as long as was said.
    printer_out(&undone, &bench, &name, reason, None)
        .await
        .unwrap();
    printer_back(&later(&busy, 30).await, &bench, &name, None)
        .await
        .unwrap();
    let back = later(&busy, 31).await;
    printer_undone(&back, &bench, &name, None).await.unwrap();
    let out = later(&busy, 31).await;
    let open: Vec<&Outage> = out
        .outages
        .iter()
        .filter(|one| out.minute() < one.until)
        .collect();
    assert_eq!((open.len(), open[0].until), (1, until));
    let books = Books::open(&out).await.unwrap();
    assert_eq!(faults(&out, &books), Vec::<&str>::new());
    // Ten minutes after it was said it is too late.
    let late = later(&busy, 60).await;
    let refused = printer_undone(&late, &bench, &name, None).await;
    assert_eq!(refused.unwrap_err().code(), "not-taken-back");
}

#[tokio::test(flavor = "multi_thread")]
async fn the_sheet_says_which_printer_is_out_and_what_can_be_taken_back() {
    let busy = Busy::after(1).await;
    let (_, name, bench) = busiest(&busy.session).await;
    let Role::Host(code) = bench.role().clone() else {
        panic!("a bench");
    };
    let today = busy.session.terrain.zone.date(busy.session.minute());
    let until = busy.session.minute() + Minutes(3_000);
    let reason = ("The power went", until);
    printer_out(&busy.session, &coordinator(), &name, reason, None)
        .await
        .unwrap();
    let uses = async |minutes: i64, day: jiff::civil::Date| {
        let session = later(&busy, minutes).await;
        let books = Books::open(&session).await.unwrap();
        let sheet = run_sheet(&session, &books, &code, day).await.unwrap();
        let mut uses = sheet.uses.into_iter();
        uses.find(|one| one.printer == name).unwrap()
    };
    let now = uses(1, today).await;
    assert_eq!((now.undo, now.deeds.len()), (Some("out"), 1));
    assert!(now.is_out_at(until + Minutes(-1)) && !now.is_out_at(until));
    assert_eq!(uses(30, today).await.undo, None, "too late to take back");
    let tomorrow = today.tomorrow().unwrap();
    assert!(uses(1, tomorrow).await.out.is_some());
    let next_week = today.checked_add(jiff::Span::new().days(7)).unwrap();
    assert!(uses(1, next_week).await.out.is_none());
}

/// A good copy on its printer, and when it came off the bed.
async fn made(busy: &Busy) -> (String, Minute) {
    let books = Books::open(&busy.session).await.unwrap();
    let mut places = books.floor.plan.assignments.clone();
    places.sort_by_key(|place| place.start);
    let place = places[0];
    let printer = busy.session.terrain.region.printers[place.printer.0]
        .name
        .clone();
    let copies = books.plate(place.plate.0).unwrap().plate.copies;
    let off = Act::TakeOff {
        good: copies.into(),
    };
    for (at, what) in [(place.start, Act::Start), (place.cleared, off)] {
        let session = busy.session.at(at.to_ms()).await.unwrap();
        act(&session, &coordinator(), place.plate.0, &what, None)
            .await
            .unwrap();
    }
    (printer, place.cleared)
}

#[tokio::test(flavor = "multi_thread")]
async fn a_recall_takes_its_printer_out_of_use_with_the_same_deed() {
    let busy = Busy::after(4).await;
    let (printer, off) = made(&busy).await;
    let session = busy.session.at((off + Minutes(5)).to_ms()).await.unwrap();
    let target = Target::Printer {
        name: printer.clone(),
        from: EventMs(off.to_ms().0 - 3_600_000),
        until: off.to_ms(),
    };
    let over = recall_and_stop(&session, &coordinator(), (&target, Some(off)), None).await;
    assert!(matches!(over, Err(WorkshopError::OutOfRange { .. })));
    let until = off + Minutes(1_500);
    let key = Some("recall-0001");
    recall_and_stop(&session, &coordinator(), (&target, Some(until)), key)
        .await
        .unwrap();
    let after = busy.session.at(session.now).await.unwrap();
    let [only] = after.outages.as_slice() else {
        panic!("{:?}", after.outages);
    };
    assert_eq!((&only.printer, only.until), (&printer, until));
    let books = Books::open(&after).await.unwrap();
    let ix = after.terrain.printer_of(&printer).unwrap();
    let mut places = books.floor.plan.assignments.iter();
    assert!(places.all(|place| place.printer != ix || until <= place.start));
    let (store, region) = after.store().unwrap();
    let opened = store.events_of_kind(region, "recall.opened").await.unwrap();
    assert_eq!(opened.len(), 1, "one entry of the log");
    let again = recall_and_stop(&session, &coordinator(), (&target, Some(until)), key).await;
    assert!(again.unwrap().before);
}

/// Nobody ticks anywhere for a day: the hosts that promises wait for are told, each with its plates.
#[tokio::test(flavor = "multi_thread")]
async fn hosts_that_do_not_tick_are_told_once_with_the_promises_that_wait_for_them() {
    let busy = Busy::after(5).await;
    let books = Books::open(&busy.session).await.unwrap();
    let none = quiet(
        &busy.session,
        &books,
        &risks(&busy.session, &books, &outcomes(&busy.session, &books)),
    );
    assert_eq!(none, [], "nothing was due yet");
    let session = later(&busy, 1_440).await;
    let seen = outcomes(&session, &books);
    let risks = risks(&session, &books, &seen);
    let found = quiet(&session, &books, &risks);
    assert!(!found.is_empty(), "{}", risks.len());
    let mut told: Vec<usize> = found.iter().flat_map(|at| at.risks.clone()).collect();
    let many = told.len();
    told.sort_unstable();
    told.dedup();
    assert_eq!(told.len(), many, "each promise once");
    for at in &found {
        assert!(at.risks.len() >= 2 && at.since < session.minute());
        for risk in at.risks.iter().map(|i| &risks[*i]) {
            let Some(Cause::NotStarted { plate, since }) = &risk.cause else {
                panic!("{:?}", risk.cause);
            };
            assert!(at.plates.contains(plate) && at.since <= *since);
            let place = books.place(books.plate(*plate).unwrap()).unwrap();
            assert_eq!(session.terrain.host_at(place.printer, place.start), at.name);
        }
    }
    let sizes: Vec<usize> = found.iter().map(|at| at.risks.len()).collect();
    assert!(sizes.is_sorted_by(|a, b| a >= b), "{sizes:?}");
}
