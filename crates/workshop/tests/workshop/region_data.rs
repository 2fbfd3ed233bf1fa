//! The region's tables out and in: shown first, done as shown, refused where somebody needs it.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

mod needed;

use crate::support::busy::{Busy, ask_for, coordinator};
use partpledge_plan_check::check;
use partpledge_records::StepKind;
use partpledge_workshop::bench::{Act, Changed, act, change_region};
use partpledge_workshop::region_data::{
    Change, Proposal, Table, Told, changes, digest, propose, table,
};
use partpledge_workshop::{Actor, Books, Role, Session, WorkshopError};

fn csv(session: &Session, which: Table) -> String {
    String::from_utf8(table(session, &coordinator(), which).unwrap()).unwrap()
}

fn told(which: Table, text: &str, removes: bool) -> Told {
    Told {
        table: which,
        bytes: text.as_bytes().to_vec(),
        removes,
    }
}

async fn proposed(session: &Session, told: &Told) -> Proposal {
    let books = Books::open(session).await.unwrap();
    propose(session, &coordinator(), &books, told)
        .await
        .unwrap()
}

async fn done(session: &Session, told: &Told, key: &str) -> Changed {
    let shown = proposed(session, told).await;
    let what = (told, shown.digest.as_str());
    change_region(session, &coordinator(), what, Some(key))
        .await
        .unwrap()
}

/// Without the row that begins so.
fn without(text: &str, row: &str) -> String {
    let lines = text.split_inclusive("\r\n");
    let kept = lines.filter(|line| !line.starts_with(&format!("{row},")));
    kept.collect()
}

#[tokio::test]
async fn what_comes_out_goes_in_again_and_changes_nothing() {
    let busy = Busy::after(2).await;
    let session = &busy.session;
    for which in Table::ALL {
        for removes in [false, true] {
            let told = told(which, &csv(session, which), removes);
            let shown = proposed(session, &told).await;
            assert!(shown.review.changes_nothing() && shown.answer.is_none());
        }
    }
}

#[tokio::test]
async fn a_new_team_and_printer_are_there_at_once_and_promises_stand() {
    let busy = Busy::after(2).await;
    let session = &busy.session;
    let books = Books::open(session).await.unwrap();
    let teams = csv(session, Table::Teams) + "Reed Rovers,brindlemoor\r\n";
    let teams = told(Table::Teams, &teams, false);
    let shown = proposed(session, &teams).await;
    assert!(shown.can_be_done(), "{:?}", shown.refused);
    assert_eq!(Books::open(session).await.unwrap().entry, books.entry);
    let first = done(session, &teams, "teams-0001").await;
    assert!(matches!(first, Changed::Done(ref done) if !done.before && done.moved.is_empty()));
    let again = done(session, &teams, "teams-0001").await;
    assert!(matches!(again, Changed::Done(ref done) if done.before));
    let after = busy.again().await;
    assert_eq!(after.file_revision, 1);
    assert!(after.terrain.place_of("Reed Rovers").is_ok());
    // A printer more: plates keep their places.
    let printers = csv(&after, Table::Printers);
    let like = printers.lines().nth(1).unwrap();
    let (name, rest) = like.split_once(',').unwrap();
    let more = format!("{printers}Testbird,{rest}\r\n");
    let more = told(Table::Printers, &more, true);
    assert!(
        matches!(done(&after, &more, "printer-01").await, Changed::Done(_)),
        "like {name}"
    );
    let now = busy.again().await;
    let books_now = Books::open(&now).await.unwrap();
    assert_eq!(books_now.floor.plan, books.floor.plan, "nothing moved");
    assert_eq!(books_now.floor.revision, books.floor.revision + 2);
    let testbird = now.terrain.printer_of("Testbird").unwrap();
    ask_for(&now, 0, "after-0001").await;
    let asked = Books::open(&now).await.unwrap();
    let newest = asked.floor.plates.last().unwrap();
    assert!(
        newest
            .makings
            .iter()
            .any(|making| making.printer == testbird),
        "the next request may go on it"
    );
    // Who and when are kept, and a start from the same folder reads the newest.
    let listed = changes(&now, &coordinator()).await.unwrap();
    let reasons: Vec<String> = listed.iter().map(|one| one.reason.to_string()).collect();
    assert_eq!(
        reasons,
        [
            "the region was changed: printers (1 new)",
            "the region was changed: teams (1 new)"
        ]
    );
    assert!(
        listed
            .iter()
            .all(|one| one.actor == "coordinator" && one.at == now.now)
    );
}

/// The hours of one bench so that it opens then.
fn opening(session: &Session, host: usize, opens: &str) -> Told {
    let host = &session.terrain.file.hosts[host];
    let hours = csv(session, Table::Hours);
    let begins = format!("{},", host.school);
    let old = hours
        .lines()
        .find(|line| line.starts_with(&begins))
        .unwrap();
    let (days, times) = host.hours[0].split_once(' ').unwrap();
    let (_, closes) = times.split_once('-').unwrap();
    let new = old.replace(&host.hours[0], &format!("{days} {opens}-{closes}"));
    told(Table::Hours, &hours.replace(old, &new), false)
}

#[tokio::test]
async fn other_hours_move_plates_or_are_refused_for_a_promise() {
    let busy = Busy::after(4).await;
    let session = &busy.session;
    let (mut can, mut refused) = (None, 0);
    for host in 0..session.terrain.file.hosts.len() {
        for opens in ["11:00", "13:30"] {
            let hours = opening(session, host, opens);
            let shown = proposed(session, &hours).await;
            let Change::Changed(cells) = &shown.review.lines[host].change else {
                panic!("{:?}", shown.review.lines);
            };
            assert_eq!(cells[0].column, "hours");
            let named = |(what, _): &(String, String)| what.contains("for Newt Works");
            assert!(shown.refused.iter().all(named), "{:?}", shown.refused);
            refused += usize::from(!shown.can_be_done());
            let moved = shown.answer.as_ref().map_or(0, |answer| answer.moved.len());
            if shown.can_be_done() && moved > 0 {
                can = Some(hours);
            } else if !shown.can_be_done() {
                let asked = done(session, &hours, "hours-0001").await;
                assert!(matches!(asked, Changed::Ask(_)));
            }
        }
    }
    assert_eq!(
        busy.again().await.file_revision,
        0,
        "{refused} were refused"
    );
    assert!(refused > 0);
    let hours = can.unwrap();
    let Changed::Done(did) = done(session, &hours, "hours-0002").await else {
        panic!("it was shown as possible");
    };
    assert!(!did.moved.is_empty() && did.late.is_empty());
    let now = busy.again().await;
    let books = Books::open(&now).await.unwrap();
    let region = &now.terrain.region;
    let found = check(region, &books.floor.plates, &books.floor.plan, None);
    assert_eq!(found, [], "the checker is content on the new ground");
}

#[tokio::test]
async fn what_is_needed_is_refused_by_name() {
    let busy = Busy::after(2).await;
    let session = &busy.session;
    // A team with open promises, its school, and the printers that waiting plates were timed for.
    let teams = told(
        Table::Teams,
        &without(&csv(session, Table::Teams), "Newt Works"),
        true,
    );
    let shown = proposed(session, &teams).await;
    let [(who, why)] = &shown.refused[..] else {
        panic!("{:?}", shown.refused);
    };
    assert_eq!(
        (who.as_str(), why.contains("Request 1")),
        ("Newt Works", true)
    );
    let schools = csv(session, Table::Schools);
    let desk = session.terrain.place_of("Newt Works").unwrap();
    let school = &session.terrain.file.schools[desk.0];
    let renamed = told(
        Table::Schools,
        &schools.replace(&school.name, "Elsewhere"),
        false,
    );
    let shown = proposed(session, &renamed).await;
    assert_eq!(shown.refused[0].0, school.code);
    // What runs keeps its printer.
    let books = Books::open(session).await.unwrap();
    let plan = &books.floor.plan.assignments;
    let first = plan.iter().min_by_key(|place| place.start).unwrap();
    let bench = Actor::at_the_machine();
    act(
        session,
        &bench,
        first.plate.0,
        &Act::Start,
        Some("start-0001"),
    )
    .await
    .unwrap();
    let runs = busy.again().await;
    let books = Books::open(&runs).await.unwrap();
    assert!(books.step(first.plate.0, StepKind::Started).is_some());
    let name = &runs.terrain.file.printers[first.printer.0].name;
    let printers = told(
        Table::Printers,
        &without(&csv(&runs, Table::Printers), name),
        true,
    );
    let shown = proposed(&runs, &printers).await;
    let why = format!("Plate {} runs on it. Wait until it is off.", first.plate.0);
    assert_eq!(shown.refused, [(name.clone(), why)]);
    let asked = done(&runs, &printers, "printer-01").await;
    assert!(matches!(asked, Changed::Ask(_)), "{asked:?}");
    let after = busy.again().await;
    assert_eq!(
        (
            after.file_revision,
            Books::open(&after).await.unwrap().entry
        ),
        (0, books.entry)
    );
}

#[tokio::test]
async fn a_region_that_changed_since_is_asked_about_again() {
    let busy = Busy::after(1).await;
    let session = &busy.session;
    let mine = told(
        Table::Teams,
        &(csv(session, Table::Teams) + "Reed Rovers,brindlemoor\r\n"),
        false,
    );
    let shown = proposed(session, &mine).await;
    let plan = Books::open(session).await.unwrap().floor.revision;
    assert_eq!(shown.digest, digest(&mine, (0, plan)));
    let theirs = csv(session, Table::Teams) + "Heath Hares,dunmarrow\r\n";
    done(session, &told(Table::Teams, &theirs, false), "teams-0001").await;
    let now = busy.again().await;
    let what = (&mine, shown.digest.as_str());
    let asked = change_region(&now, &coordinator(), what, Some("teams-0002"))
        .await
        .unwrap();
    let Changed::Ask(again) = asked else {
        panic!("{asked:?}");
    };
    assert_eq!((again.revision, again.digest == shown.digest), (1, false));
    // And so is one on the same region with another plan under it.
    let again = proposed(&now, &mine).await;
    ask_for(&now, 0, "meanwhile-1").await;
    let now = busy.again().await;
    let what = (&mine, again.digest.as_str());
    let asked = change_region(&now, &coordinator(), what, Some("teams-0005"))
        .await
        .unwrap();
    let Changed::Ask(again) = asked else {
        panic!("{asked:?}");
    };
    // Other bytes under the same digest are not done either.
    let other = told(
        Table::Teams,
        &(csv(&now, Table::Teams) + "Moor Mice,dunmarrow\r\n"),
        false,
    );
    let what = (&other, again.digest.as_str());
    let asked = change_region(&now, &coordinator(), what, Some("teams-0003")).await;
    assert!(matches!(asked.unwrap(), Changed::Ask(_)));
    // A browser that still looks at the old region is brought up to date, and asked.
    let what = (&mine, shown.digest.as_str());
    let stale = change_region(session, &coordinator(), what, Some("teams-0004")).await;
    assert!(matches!(stale.unwrap(), Changed::Ask(_)));
    let bench = Actor::new(Role::Host("brindlemoor".to_owned()));
    let refused = change_region(&now, &bench, what, None).await;
    assert!(matches!(refused, Err(WorkshopError::NotAllowed { .. })));
    let (store, region) = now.store().unwrap();
    assert_eq!(store.region_files(region).await.unwrap().len(), 1);
}
