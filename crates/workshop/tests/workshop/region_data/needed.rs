//! Each row of the table in docs/region-changes.md: what may not be changed, while what stands in the
//! way, and what may.

use std::collections::BTreeSet;

use partpledge_catalogue::region::PrinterEntry;
use partpledge_planning_model::{Assignment, PlateSeq};
use partpledge_records::{CodeKind, Deed, Held, NewPerson, PersonKind, PledgeEnd, RoleKind};
use partpledge_stock::{Deed as SpoolDeed, Roll};
use partpledge_units::ids::{IdSource, RequestId};
use partpledge_units::time::{EventMs, Minute, Minutes};
use partpledge_workshop::bench::spools::{SpoolAct, act_on_spools};
use partpledge_workshop::bench::{adopt, end_request};
use partpledge_workshop::people::PeopleError;

use super::*;

/// The reasons for a row, of those that are refused.
fn why(shown: &Proposal, row: &str) -> Vec<String> {
    assert!(!shown.can_be_done(), "{row}: {:?}", shown.review);
    let of_row = shown.refused.iter().filter(|(what, _)| what == row);
    of_row.map(|(_, why)| why.clone()).collect()
}

/// The printers with one row begun otherwise: name, host, class.
fn printers_with(session: &Session, old: [&str; 3], new: [&str; 3]) -> Told {
    let csv = csv(session, Table::Printers);
    let (old, new) = (old.join(","), new.join(","));
    assert_eq!(csv.matches(&format!("\r\n{old},")).count(), 1, "{old}");
    let changed = csv.replace(&format!("\r\n{old},"), &format!("\r\n{new},"));
    told(Table::Printers, &changed, true)
}

/// The table without these rows, to be taken out.
fn taking_out(session: &Session, which: Table, rows: &[&str]) -> Told {
    let mut text = csv(session, which);
    for row in rows {
        let fewer = without(&text, row);
        assert_ne!(fewer, text, "{row}");
        text = fewer;
    }
    told(which, &text, true)
}

/// Another class of printers that take the same plastics.
fn other_than(class: &str) -> &'static str {
    match class {
        "standard" => "swift",
        _ => "standard",
    }
}

async fn somebody(session: &Session, kind: PersonKind, held: &Held) {
    let (store, region) = session.store().unwrap();
    let new = NewPerson {
        kind,
        name: "Heron".to_owned(),
        email: None,
        secret: None,
    };
    let deed = Deed {
        actor: "local".to_owned(),
        occurred_at: session.now,
        received_at: session.now,
        idempotency_key: None,
    };
    let who = (&new, held);
    store
        .add_person(region, who, &deed, &mut IdSource::Os)
        .await
        .unwrap();
}

/// A spool at a host, and on a printer of it.
async fn spool(session: &Session, host: &str, printer: Option<&str>) {
    let roll = Roll {
        host: host.to_owned(),
        material: "PLA".to_owned(),
        colour: "orange".to_owned(),
        net_g: 800,
        tare_g: None,
        donor: String::new(),
        received_at: EventMs(0),
    };
    let came = SpoolAct::Receive {
        roll,
        spools: 1,
        delivery: None,
    };
    let loaded = printer.map(|name| SpoolAct::Do(1, SpoolDeed::Loaded(name.to_owned())));
    for what in std::iter::once(came).chain(loaded) {
        act_on_spools(session, &Actor::at_the_machine(), &what, None)
            .await
            .unwrap();
    }
}

/// The plate that is planned first on a printer that could as well be of another class, and that
/// printer.
fn first(session: &Session, books: &Books) -> (Assignment, PrinterEntry) {
    let plan = &books.floor.plan.assignments;
    let on = |place: &Assignment| session.terrain.file.printers[place.printer.0].clone();
    let both = plan.iter().map(|place| (*place, on(place)));
    let plain = both.filter(|(_, printer)| printer.materials == ["PLA", "PETG"]);
    plain.min_by_key(|(place, _)| place.start).unwrap()
}

/// Promises with time to spare: what was before them was called back.
async fn roomy() -> Busy {
    let busy = Busy::after(4).await;
    let books = Books::open(&busy.session).await.unwrap();
    let (before, _) = books.requests.split_at(9);
    for (i, listed) in before.iter().enumerate() {
        call_back(&busy.session, listed.request.id, i).await;
    }
    busy
}

async fn call_back(session: &Session, request: RequestId, i: usize) {
    let team = Actor::new(Role::Team("Newt Works".to_owned()));
    let key = format!("back-{i:05}");
    end_request(session, &team, request, PledgeEnd::Withdrawn, Some(&key))
        .await
        .unwrap();
}

/// A printer with waiting plates that all find another place in time.
async fn that_may_go(session: &Session) -> (PlateSeq, PrinterEntry) {
    let books = Books::open(session).await.unwrap();
    let mut refused = BTreeSet::new();
    for place in &books.floor.plan.assignments {
        let printer = &session.terrain.file.printers[place.printer.0];
        if printer.materials != ["PLA", "PETG"] || refused.contains(&printer.name) {
            continue;
        }
        let table = taking_out(session, Table::Printers, &[&printer.name]);
        if proposed(session, &table).await.can_be_done() {
            return (place.plate, printer.clone());
        }
        refused.insert(printer.name.clone());
    }
    panic!("each is needed for a promise: {refused:?}");
}

#[tokio::test]
async fn a_school_stays_while_something_is_on_record_for_its_desk() {
    let busy = Busy::after(1).await;
    let session = &busy.session;
    let schools = csv(session, Table::Schools);
    let renamed = schools.replace("brindlemoor,Brindlemoor School", "brindlemoor,Elsewhere");
    let shown = proposed(session, &told(Table::Schools, &renamed, true)).await;
    let said = why(&shown, "brindlemoor");
    assert!(said[0].contains("is on record for its front desk"));
    let shown = proposed(
        session,
        &taking_out(session, Table::Schools, &["brindlemoor"]),
    )
    .await;
    assert!(!shown.can_be_done());
    assert!(shown.review.whole[0].contains("“brindlemoor”"));
    // A school that nothing goes to may be called otherwise.
    let renamed = schools.replace("Wexmere Academy", "Wexmere Old Academy");
    let shown = proposed(session, &told(Table::Schools, &renamed, true)).await;
    assert!(shown.can_be_done(), "{:?}", shown.refused);
}

#[tokio::test]
async fn a_team_stays_where_it_is_while_a_request_is_open_and_at_all_while_people_are_in_it() {
    let busy = Busy::after(1).await;
    let session = &busy.session;
    let teams = csv(session, Table::Teams);
    let moved = teams.replace("Newt Works,brindlemoor", "Newt Works,wexmere");
    let moved = told(Table::Teams, &moved, true);
    let out = taking_out(session, Table::Teams, &["Newt Works"]);
    for table in [&moved, &out] {
        let said = why(&proposed(session, table).await, "Newt Works");
        assert!(said[0].starts_with("Request 1 of the team is open"));
    }
    let held = Held::new(RoleKind::Student, "Silt Sisters");
    somebody(session, PersonKind::Student, &held).await;
    let sisters = taking_out(session, Table::Teams, &["Silt Sisters"]);
    let said = why(&proposed(session, &sisters).await, "Silt Sisters");
    assert!(said[0].starts_with("People are signed up for it."));
    let books = Books::open(session).await.unwrap();
    for (i, listed) in books.requests.iter().enumerate() {
        call_back(session, listed.request.id, i).await;
    }
    for table in [&moved, &out] {
        let shown = proposed(session, table).await;
        assert!(shown.can_be_done(), "{:?}", shown.refused);
    }
}

#[tokio::test]
async fn a_host_stays_while_it_has_printers_spools_or_people() {
    let busy = Busy::after(1).await;
    let session = &busy.session;
    let out = |session: &Session| taking_out(session, Table::Hours, &["otterquay"]);
    let shown = proposed(session, &out(session)).await;
    assert!(!shown.can_be_done());
    assert!(shown.review.whole[0].contains("“otterquay”"));
    let there = session.terrain.file.printers.iter();
    let there: Vec<&str> = there
        .filter(|printer| printer.host == "otterquay")
        .map(|printer| printer.name.as_str())
        .collect();
    let printers = taking_out(session, Table::Printers, &there);
    done(session, &printers, "printers-1").await;
    let session = &busy.again().await;
    assert!(proposed(session, &out(session)).await.can_be_done());
    spool(session, "otterquay", None).await;
    let session = &busy.again().await;
    let said = why(&proposed(session, &out(session)).await, "otterquay");
    assert!(said[0].starts_with("Spools lie on its shelf."), "{said:?}");
    let given = SpoolAct::Do(1, SpoolDeed::GivenAway("a museum".to_owned()));
    act_on_spools(session, &Actor::at_the_machine(), &given, None)
        .await
        .unwrap();
    let held = Held::new(RoleKind::Operator, "otterquay");
    somebody(session, PersonKind::Adult, &held).await;
    let session = &busy.again().await;
    let said = why(&proposed(session, &out(session)).await, "otterquay");
    assert!(said[0].starts_with("People work at its bench."), "{said:?}");
}

/// Another host.
fn elsewhere(host: &str) -> &'static str {
    match host {
        "dunmarrow" => "loomgate",
        _ => "dunmarrow",
    }
}

/// Things that are done with a plate at that time, and the region after that.
async fn does(session: &Session, at: Minute, plate: PlateSeq, what: &[Act]) -> Session {
    let session = session.at(at.to_ms()).await.unwrap();
    for what in what {
        let machine = Actor::at_the_machine();
        act(&session, &machine, plate.0, what, None).await.unwrap();
    }
    session.at(session.now).await.unwrap()
}

#[tokio::test]
async fn a_printer_stays_as_it_is_while_it_runs() {
    let busy = Busy::after(2).await;
    let session = &busy.session;
    let (place, old) = first(session, &Books::open(session).await.unwrap());
    let (name, host, class) = (old.name.as_str(), old.host.as_str(), old.class.as_str());
    let runs = does(session, place.start, place.plate, &[Act::Start]).await;
    let was = [name, host, class];
    let material = {
        let books = Books::open(&runs).await.unwrap();
        let plate = books.floor.plates.iter().find(|p| p.seq == place.plate);
        plate.unwrap().material.clone()
    };
    let rest: Vec<&str> = (old.materials.iter())
        .map(String::as_str)
        .filter(|code| *code != material)
        .collect();
    let all = old.materials.join("; ");
    let fewer = csv(&runs, Table::Printers).replace(
        &format!("\r\n{name},{host},{class},{all},"),
        &format!("\r\n{name},{host},{class},{},", rest.join("; ")),
    );
    let says = format!("Plate {} runs on it. Wait until it is off.", place.plate.0);
    for table in [
        taking_out(&runs, Table::Printers, &[name]),
        printers_with(&runs, was, ["Testbird", host, class]),
        printers_with(&runs, was, [name, elsewhere(host), class]),
        printers_with(&runs, was, [name, host, other_than(class)]),
        told(Table::Printers, &fewer, true),
    ] {
        let shown = proposed(&runs, &table).await;
        assert!(shown.review.file.is_some(), "{:?}", shown.review.lines);
        assert_eq!(why(&shown, name), [says.as_str()]);
    }
}

#[tokio::test]
async fn a_printer_stays_where_it_is_until_what_it_made_has_left_and_its_spool_is_off() {
    let busy = Busy::after(2).await;
    let session = &busy.session;
    let books = Books::open(session).await.unwrap();
    let (place, old) = first(session, &books);
    let (name, host, class) = (old.name.as_str(), old.host.as_str(), old.class.as_str());
    let was = [name, host, class];
    does(session, place.start, place.plate, &[Act::Start]).await;
    let good = books.plate(place.plate.0).unwrap().plate.copies;
    let off = Act::TakeOff { good: good.into() };
    let off = does(session, place.cleared, place.plate, &[off]).await;
    for table in [
        taking_out(&off, Table::Printers, &[name]),
        printers_with(&off, was, [name, elsewhere(host), class]),
    ] {
        let said = why(&proposed(&off, &table).await, name);
        assert!(said[0].contains("has not left its bench yet"), "{said:?}");
    }
    let goes = [Act::Box, Act::Leave];
    let left = does(session, place.cleared, place.plate, &goes).await;
    spool(&left, host, Some(name)).await;
    let left = left.at(left.now).await.unwrap();
    for table in [
        taking_out(&left, Table::Printers, &[name]),
        printers_with(&left, was, [name, elsewhere(host), class]),
    ] {
        let said = why(&proposed(&left, &table).await, name);
        assert_eq!(said, ["A spool is on it. Take it off first."]);
    }
}

#[tokio::test]
async fn plates_that_wait_for_a_printer_that_goes_or_is_renamed_get_another_place() {
    for renamed in [false, true] {
        let busy = roomy().await;
        let session = &busy.session;
        let books = Books::open(session).await.unwrap();
        let (plate, old) = that_may_go(session).await;
        let (host, class) = (old.host.as_str(), old.class.as_str());
        let table = if renamed {
            let was = [old.name.as_str(), host, class];
            printers_with(session, was, ["Testbird", host, class])
        } else {
            taking_out(session, Table::Printers, &[&old.name])
        };
        let shown = proposed(session, &table).await;
        assert!(shown.can_be_done(), "{:?}", shown.refused);
        assert!(shown.answer.unwrap().moved.contains(&plate));
        let Changed::Done(did) = done(session, &table, "printer-01").await else {
            panic!("it was shown as possible");
        };
        assert!(did.moved.contains(&plate) && did.late.is_empty());
        let now = busy.again().await;
        let after = Books::open(&now).await.unwrap();
        let placed = after.floor.plan.assignments.len();
        assert_eq!(placed, books.floor.plan.assignments.len(), "none is lost");
        let region = &now.terrain.region;
        let found = check(region, &after.floor.plates, &after.floor.plan, None);
        assert_eq!(found, [], "the checker is content on the new ground");
    }
}

#[tokio::test]
async fn a_printer_keeps_its_class_while_plates_wait_also_by_going_and_coming_back() {
    let busy = roomy().await;
    let session = &busy.session;
    let (_, old) = that_may_go(session).await;
    let (name, host, class) = (old.name.as_str(), old.host.as_str(), old.class.as_str());
    let other = other_than(class);
    let was = [name, host, class];
    let another = printers_with(session, was, [name, host, other]);
    let said = why(&proposed(session, &another).await, name);
    assert!(said[0].contains("timed for its class."), "{said:?}");
    // It goes, and comes back as something else, or as it was.
    let row = csv(session, Table::Printers);
    let row = row
        .lines()
        .find(|line| line.starts_with(&format!("{name},")));
    let row = row.unwrap().to_owned();
    let out = taking_out(session, Table::Printers, &[name]);
    done(session, &out, "printer-01").await;
    let session = &busy.again().await;
    assert_eq!(session.terrain.printer_of(name), None);
    let back = |row: &str| {
        let csv = csv(session, Table::Printers) + row + "\r\n";
        told(Table::Printers, &csv, false)
    };
    let (begins, as_other) = (was.join(","), [name, host, other].join(","));
    let shown = proposed(session, &back(&row.replace(&begins, &as_other))).await;
    let said = why(&shown, name);
    assert!(said[0].contains("timed for another printer"), "{said:?}");
    let shown = proposed(session, &back(&row)).await;
    assert!(shown.can_be_done(), "{:?}", shown.refused);
}

#[tokio::test]
async fn what_could_be_made_nowhere_is_refused_even_if_it_is_late_already() {
    let busy = Busy::after(1).await;
    let session = &busy.session;
    let books = Books::open(session).await.unwrap();
    let mut plan = books.floor.plan.clone();
    let week = Minutes(7 * 1_440);
    for place in &mut plan.assignments {
        place.start = place.start + week;
        place.end = place.end + week;
        place.cleared = place.cleared + week;
        place.ready = place.ready + week;
        place.arrives = place.arrives + week;
    }
    let why = (
        plan,
        partpledge_words::said!("common-as-written", text = "set up for the test"),
    );
    adopt(session, &coordinator(), &books, why, None)
        .await
        .unwrap();
    let late = busy.again().await;
    // Nobody prints PETG any more.
    let mut printers = csv(&late, Table::Printers);
    for (with, without) in [("; PETG", ""), ("PETG; ", ""), (",PETG,", ",PLA,")] {
        printers = printers.replace(with, without);
    }
    assert!(!printers.contains("PETG"));
    let shown = proposed(&late, &told(Table::Printers, &printers, true)).await;
    assert!(!shown.can_be_done());
    let nowhere = |(what, why): &(String, String)| {
        what.contains("for Newt Works") && why.starts_with("could not be made anywhere.")
    };
    assert!(shown.refused.iter().any(nowhere), "{:?}", shown.refused);
}

#[tokio::test]
async fn codes_and_links_for_what_is_taken_out_work_no_more() {
    let busy = Busy::after(0).await;
    let session = &busy.session;
    let people = session.people(session.now).unwrap();
    let machine = Actor::at_the_machine();
    let code = |team: &'static str| people.join_code(&machine, team);
    let (gone, stays) = (
        code("Silt Sisters").await.unwrap(),
        code("Eel Drive").await.unwrap(),
    );
    let held = Held::new(RoleKind::Operator, "otterquay");
    let link = people.invite(&machine, &held).await.unwrap();
    let mentor = Held::new(RoleKind::Mentor, "Silt Sisters");
    let mentors = people.invite(&machine, &mentor).await.unwrap();
    let there = session.terrain.file.printers.iter();
    let there: Vec<&str> = there
        .filter(|printer| printer.host == "otterquay")
        .map(|printer| printer.name.as_str())
        .collect();
    let printers = taking_out(session, Table::Printers, &there);
    done(session, &printers, "printers-1").await;
    let session = &busy.again().await;
    let hours = taking_out(session, Table::Hours, &["otterquay"]);
    done(session, &hours, "hours-0001").await;
    let session = &busy.again().await;
    let teams = taking_out(session, Table::Teams, &["Silt Sisters"]);
    done(session, &teams, "teams-0001").await;
    let session = &busy.again().await;
    let people = session.people(session.now).unwrap();
    let here = "192.0.2.7";
    let came = people.join((&gone, "Heron"), here).await;
    assert!(matches!(came, Err(PeopleError::Typed(_))), "{came:?}");
    for token in [&link, &mentors] {
        let led = people.link_for(CodeKind::Invite, token, here).await;
        assert!(led.is_err(), "{led:?}");
    }
    people.join((&stays, "Heron"), here).await.unwrap();
}
