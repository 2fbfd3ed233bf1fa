//! Printers out of use and back: by the bench where they stand, taken back, ended early, with a recall.
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

use partpledge_plan_check::check;
use partpledge_planning_model::PrinterIx;
use partpledge_records::Outage;
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::{EventMs, Minute, Minutes};
use partpledge_workshop::bench::{
    Act, Told, act, printer_back, printer_out, printer_undone, recall_and_stop,
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

/// The entry of what was said last of a printer.
async fn said_last(session: &Session, name: &str) -> i64 {
    let (store, region) = session.store().unwrap();
    let told = store.told_of_use(region, name, session.minute()).await;
    told.unwrap().last.unwrap().0
}

/// Outages that are not over.
fn open(session: &Session) -> Vec<&Outage> {
    let all = session.outages.iter();
    all.filter(|one| session.minute() < one.until).collect()
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
    // It works again sooner than was said.
    let key = Some("back-000001");
    printer_back(&out, &bench, &name, key).await.unwrap();
    let back = later(&busy, 60).await;
    assert_eq!((open(&out).len(), open(&back).len()), (1, 0));
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
    // Put out once more under the first key, when that time is over: it was done.
    let over = later(&busy, 2_500).await;
    let again = printer_out(&over, &bench, &name, reason, Some("out-0000001")).await;
    assert!(again.unwrap().before);
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
    let seen = (name.as_str(), said_last(&soon, &name).await);
    printer_undone(&soon, &bench, seen, key).await.unwrap();
    let undone = later(&busy, 0).await;
    let after = Books::open(&undone).await.unwrap();
    assert_eq!(after.floor.plan, before.floor.plan);
    assert_eq!(undone.outages, []);
    // Nothing is left to take back.
    let twice = printer_undone(&undone, &bench, seen, None).await;
    assert_eq!(twice.unwrap_err().code(), "not-taken-back");
    // "Works again" is taken back as well: it is out as long as was said.
    printer_out(&undone, &bench, &name, reason, None)
        .await
        .unwrap();
    printer_back(&later(&busy, 30).await, &bench, &name, None)
        .await
        .unwrap();
    let back = later(&busy, 31).await;
    let seen = (name.as_str(), said_last(&back, &name).await);
    printer_undone(&back, &bench, seen, None).await.unwrap();
    let out = later(&busy, 31).await;
    assert_eq!(open(&out).len(), 1);
    assert_eq!(open(&out)[0].until, until);
    let books = Books::open(&out).await.unwrap();
    assert_eq!(faults(&out, &books), Vec::<&str>::new());
    // Ten minutes after it was said it is too late.
    let late = later(&busy, 60).await;
    let last = (name.as_str(), said_last(&late, &name).await);
    let refused = printer_undone(&late, &bench, last, None).await;
    assert_eq!(refused.unwrap_err().code(), "not-taken-back");
}

/// Two pages offer the same: the second press, under a key of its own, must not take back what was said
/// before that.
#[tokio::test(flavor = "multi_thread")]
async fn a_page_that_is_old_takes_back_nothing_else() {
    let busy = Busy::after(1).await;
    let (_, name, bench) = busiest(&busy.session).await;
    let until = busy.session.minute() + Minutes(2_000);
    let reason = ("The power went", until);
    printer_out(&busy.session, &bench, &name, reason, None)
        .await
        .unwrap();
    let three = later(&busy, 3).await;
    printer_back(&three, &bench, &name, None).await.unwrap();
    let four = later(&busy, 4).await;
    let seen = (name.as_str(), said_last(&four, &name).await);
    let first = printer_undone(&four, &bench, seen, Some("undo-000001")).await;
    first.unwrap();
    let four = later(&busy, 4).await;
    let stale = printer_undone(&four, &bench, seen, Some("undo-000002")).await;
    let stale = stale.unwrap_err();
    assert_eq!(stale.code(), "not-taken-back");
    assert!(stale.what_to_do().contains("taken back already"));
    let after = later(&busy, 4).await;
    assert_eq!(open(&after).len(), 1, "it is still out of use");
    assert!(said_last(&after, &name).await < seen.1);
}

/// Something else has changed the plan since: it is not the one from before, but one that fits.
#[tokio::test(flavor = "multi_thread")]
async fn what_is_taken_back_after_another_deed_leaves_what_that_did() {
    let busy = Busy::after(4).await;
    let (_, name, bench) = busiest(&busy.session).await;
    let until = busy.session.minute() + Minutes(2_000);
    let reason = ("The power went", until);
    printer_out(&busy.session, &bench, &name, reason, None)
        .await
        .unwrap();
    let one = later(&busy, 1).await;
    let (ix, other, _) = busiest(&one).await;
    assert_ne!(other, name);
    printer_out(&one, &coordinator(), &other, reason, None)
        .await
        .unwrap();
    let two = later(&busy, 2).await;
    let seen = (name.as_str(), said_last(&two, &name).await);
    printer_undone(&two, &bench, seen, None).await.unwrap();
    let after = later(&busy, 2).await;
    let still: Vec<&str> = open(&after).iter().map(|one| &*one.printer).collect();
    assert_eq!(still, [other.as_str()]);
    let books = Books::open(&after).await.unwrap();
    let mut places = books.floor.plan.assignments.iter();
    assert!(places.all(|place| place.printer != ix || until <= place.start));
    assert_eq!(faults(&after, &books), Vec::<&str>::new());
}

/// Heron goes to the meeting on Saturday, and is called something else there.
#[tokio::test(flavor = "multi_thread")]
async fn a_machine_is_out_of_use_under_both_its_names() {
    let dir = tempfile::tempdir().unwrap();
    let region = partpledge_testbed::with_a_meeting();
    let now = parse_rfc3339("2027-03-13T09:00:00+01:00").unwrap();
    let data = dir.path().join("data");
    let day = Session::open(&data, &region, now).await.unwrap();
    let (home, there) = ("Heron", "Heron at the hall");
    let out_now = |session: &Session, name: &str| {
        let ix = session.terrain.printer_of(name).unwrap();
        let windows = &session.terrain.region.printers[ix.0].out_of_use;
        let mut windows = windows.as_slice().iter();
        windows.any(|w| w.from <= session.minute() && session.minute() < w.until)
    };
    assert!(!out_now(&day, there), "it is there");
    let until = day.minute() + Minutes(5_000);
    let reason = ("The power went", until);
    printer_out(&day, &coordinator(), home, reason, None)
        .await
        .unwrap();
    let out = day.at(now).await.unwrap();
    assert!(out_now(&out, there) && out_now(&out, home));
    let hall = Actor::new(Role::Host("sluice-hall".to_owned()));
    let today = out.terrain.zone.date(out.minute());
    let uses = async |session: &Session| {
        let books = Books::open(session).await.unwrap();
        let sheet = run_sheet(session, &books, "sluice-hall", today);
        let mut uses = sheet.await.unwrap().uses.into_iter();
        uses.find(|one| one.printer == there).unwrap()
    };
    let there_now = uses(&out).await;
    assert!(there_now.is_out_at(out.minute()) && there_now.undo.is_some());
    assert_eq!(there_now.deeds.len(), 1);
    // Whoever has it there says that it works again.
    let done = printer_back(&out, &hall, there, None).await.unwrap();
    assert!(!done.before);
    let back = day.at(now).await.unwrap();
    assert!(!out_now(&back, there) && open(&back).is_empty());
    // Out of use there, it is at home as well when it comes back.
    printer_out(&back, &hall, there, reason, None)
        .await
        .unwrap();
    let later = EventMs((until + Minutes(-10)).to_ms().0);
    let monday = day.at(later).await.unwrap();
    assert!(out_now(&monday, home), "{:?}", monday.outages);
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
    assert_eq!(now.deeds.len(), 1);
    assert_eq!(now.undo, Some((now.deeds[0].0, "out")));
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

/// A tablet without a network tells later what was done: it counts from then, once, and what somebody has said
/// since stands.
#[tokio::test(flavor = "multi_thread")]
async fn what_is_told_later_of_a_printer_counts_from_when_it_was_done() {
    let busy = Busy::after(4).await;
    let (ix, name, bench) = busiest(&busy.session).await;
    let now = busy.session.now;
    let until = busy.session.minute() + Minutes(2_000);
    let reason = ("The power went", until);
    let told = |key: &'static str, minutes: i64| Told {
        key: Some(key),
        done_at: Some(EventMs(now.0 + minutes * 60_000)),
        printer: None,
    };
    let old = told("out-0000000", -3 * 1_440);
    let refused = printer_out(&busy.session, &bench, &name, reason, old).await;
    assert_eq!(refused.unwrap_err().code(), "wrong-time");
    let at = async |minutes| later(&busy, minutes).await;
    for before in [false, true] {
        let done = printer_out(&at(60).await, &bench, &name, reason, told("out-0000001", 5)).await;
        assert_eq!(done.unwrap().before, before, "sent twice, it was done once");
    }
    let lasted = async |minutes| -> Vec<(i64, i64)> {
        let session = at(minutes).await;
        let start = busy.session.minute();
        let all = session.outages.iter();
        all.map(|one| ((one.from - start).0, (one.until - start).0))
            .collect()
    };
    assert_eq!(lasted(60).await, [(5, 2_000)]);
    let books = Books::open(&at(60).await).await.unwrap();
    let mut places = books.floor.plan.assignments.iter();
    assert!(places.all(|place| place.printer != ix || until <= place.start));
    let back = told("back-000001", 90);
    printer_back(&at(120).await, &bench, &name, back)
        .await
        .unwrap();
    assert_eq!(lasted(120).await, [(5, 90)], "as long as it was in truth");
    // Another tablet comes later still: it was out before somebody said that it works again.
    let late = told("out-0000002", 80);
    printer_out(&at(150).await, &bench, &name, reason, late)
        .await
        .unwrap();
    assert_eq!(lasted(150).await, [(5, 90), (80, 90)]);
    assert!(open(&at(150).await).is_empty(), "it works");
    // That it works, told late, does not put back what is out since.
    printer_out(&at(160).await, &bench, &name, reason, None)
        .await
        .unwrap();
    let late = printer_back(&at(170).await, &bench, &name, told("back-000002", 155)).await;
    assert!(late.unwrap().before);
    assert_eq!(open(&at(170).await).len(), 1);
    // What was only until a time that has passed is noted, and nothing is out for it now.
    printer_back(&at(180).await, &bench, &name, None)
        .await
        .unwrap();
    let short = ("The power went", busy.session.minute() + Minutes(195));
    let short = printer_out(
        &at(200).await,
        &bench,
        &name,
        short,
        told("out-0000003", 190),
    )
    .await;
    assert!(!short.unwrap().before);
    assert_eq!(lasted(200).await.last(), Some(&(190, 195)));
    assert!(open(&at(200).await).is_empty());
}
