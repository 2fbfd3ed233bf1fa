//! What people ask about the plan: why a part comes then, and what would happen if.
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

use bytes::Bytes;
use partpledge_plan_check::check;
use partpledge_planning_model::{Plan, PlateSeq, Promise};
use partpledge_units::local::{parse_date, parse_rfc3339};
use partpledge_units::time::{Minute, Minutes};
use partpledge_workshop::sending::{Sent, send};
use partpledge_workshop::what_if::{Answer, Question, ask};
use partpledge_workshop::why::{for_request, of_plan, of_plate};
use partpledge_workshop::{Actor, Books, Role, Session, WorkshopError};

struct World {
    _dir: tempfile::TempDir,
    session: Session,
    books: Books,
}

fn coordinator() -> Actor {
    Actor::new(Role::Coordinator)
}

impl World {
    /// The demo region with a dozen requests promised.
    async fn busy() -> Self {
        let dir = tempfile::tempdir().unwrap();
        let now = parse_rfc3339("2027-03-09T10:00:00+01:00").unwrap();
        let region = partpledge_testbed::ambrel_valley();
        let session = Session::open(&dir.path().join("data"), region, now).await;
        let session = session.unwrap();
        for round in 0..4 {
            for (i, file) in partpledge_testbed::files().into_iter().take(3).enumerate() {
                let key = format!("request-{round}-{i}");
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
                    key: &key,
                };
                let actor = Actor::new(Role::Team("Newt Works".to_owned()));
                send(&session, &actor, &sent).await.unwrap();
            }
        }
        let books = Books::open(&session).await.unwrap();
        Self {
            _dir: dir,
            session,
            books,
        }
    }

    fn ask(&self, question: &Question) -> Answer {
        ask(&self.session, &coordinator(), &self.books, question).unwrap()
    }

    /// The printer with most plates, and its host's code.
    fn busiest(&self) -> (usize, String, String) {
        let terrain = &self.session.terrain;
        let many = |p: &usize| {
            let all = self.books.floor.plan.assignments.iter();
            all.filter(|a| a.printer.0 == *p).count()
        };
        let p = (0..terrain.region.printers.len()).max_by_key(many).unwrap();
        assert!(many(&p) > 0, "somebody is busy");
        let entry = &terrain.file.printers[p];
        (p, entry.name.clone(), entry.host.clone())
    }

    fn until(&self, days: i64) -> Minute {
        self.session.minute() + Minutes(days * 1_440)
    }
}

/// What the checker finds on the changed ground, but late promises.
fn faults(answer: &Answer) -> Vec<&'static str> {
    let floor = &answer.books.floor;
    let region = &answer.session.terrain.region;
    let found = check(region, &floor.plates, &floor.plan, None);
    let promise = |code: &str| code.starts_with("promise");
    let codes = found.iter().map(partpledge_plan_check::Violation::code);
    codes.filter(|code| !promise(code)).collect()
}

#[tokio::test]
async fn a_question_is_answered_and_nothing_is_stored() {
    let world = World::busy().await;
    let (p, printer, _) = world.busiest();
    let until = world.until(4);
    let answer = world.ask(&Question::PrinterOut { printer, until });
    let plan = &answer.books.floor.plan;
    let there = plan.assignments.iter().filter(|a| a.printer.0 == p);
    assert!(there.clone().all(|a| a.start >= until), "{plan:?}");
    assert!(!answer.moved.is_empty());
    assert_eq!(faults(&answer), Vec::<&str>::new());
    assert!(answer.session.store().is_none(), "it can't be written");
    assert_eq!(answer.outcomes.len(), world.books.open_pledges().len());
    let after = Books::open(&world.session).await.unwrap();
    assert_eq!(
        (after.entry, after.floor.revision, &after.floor.plan),
        (
            world.books.entry,
            world.books.floor.revision,
            &world.books.floor.plan
        )
    );
}

#[tokio::test]
async fn on_a_snow_day_nobody_starts_clears_or_hands_over() {
    let world = World::busy().await;
    let (_, _, host) = world.busiest();
    let zone = &world.session.terrain.zone;
    let day = parse_date("2027-03-10").unwrap();
    let answer = world.ask(&Question::SiteClosed {
        host: host.clone(),
        day,
    });
    let site = partpledge_workshop::run_sheet::host(&world.session, &host).unwrap();
    let region = &answer.session.terrain.region;
    for place in &answer.books.floor.plan.assignments {
        if region.printers[place.printer.0].site == site {
            let touched = [place.start, place.cleared].map(|at| zone.date(at));
            assert!(!touched.contains(&day), "{place:?}");
        }
    }
    assert_eq!(faults(&answer), Vec::<&str>::new());
    let until = world.until(1);
    let away = world.ask(&Question::NobodyAt { host, until });
    let starts = away.books.floor.plan.assignments.iter();
    let mut here = starts.filter(|a| region.printers[a.printer.0].site == site);
    assert!(here.all(|a| a.start >= until));
    assert_eq!(faults(&away), Vec::<&str>::new());
}

#[tokio::test]
async fn one_more_printer_harms_no_promise() {
    let world = World::busy().await;
    let (_, like, host) = world.busiest();
    let answer = world.ask(&Question::OneMore { like, host });
    let (then, now) = (
        &answer.session.terrain.region,
        &world.session.terrain.region,
    );
    assert_eq!(then.printers.len(), now.printers.len() + 1);
    assert!(
        !then.printers.last().unwrap().unattended,
        "nobody has allowed that"
    );
    assert_eq!(answer.newly_late, Vec::<PlateSeq>::new());
    assert_eq!(faults(&answer), Vec::<&str>::new());
    let total = |plan: &Plan| plan.assignments.iter().map(|a| a.arrives.0).sum::<i64>();
    assert!(total(&answer.books.floor.plan) <= total(&world.books.floor.plan));
}

#[tokio::test]
async fn what_cannot_be_asked_says_why() {
    let world = World::busy().await;
    let asked = |question| ask(&world.session, &coordinator(), &world.books, &question);
    let (printer, until) = ("Nobody".to_owned(), world.until(1));
    let unknown = asked(Question::PrinterOut { printer, until });
    assert!(matches!(unknown, Err(WorkshopError::Unknown { .. })));
    let (_, printer, _) = world.busiest();
    let over = asked(Question::PrinterOut {
        printer,
        until: world.session.minute(),
    });
    assert!(matches!(over, Err(WorkshopError::OutOfRange { .. })));
}

#[tokio::test]
async fn every_plate_says_why_it_is_there_and_names_every_other_printer_once() {
    let world = World::busy().await;
    let (session, books) = (&world.session, &world.books);
    let printers = &session.terrain.region.printers;
    for place in &books.floor.plan.assignments {
        let why = of_plate(session, &coordinator(), books, place.plate).unwrap();
        assert!(!why.here.is_empty() && why.late.is_none(), "{why:?}");
        for (p, printer) in printers.iter().enumerate() {
            let names = why.others.iter().filter_map(|line| line.split(": ").next());
            let named = names.filter(|names| {
                let mut list = names.split(", ").flat_map(|more| more.split(" and "));
                list.any(|name| name == printer.name)
            });
            let expected = usize::from(p != place.printer.0);
            assert_eq!(named.count(), expected, "{}: {why:?}", printer.name);
        }
    }
    let (listed, _) = books.open_pledges().swap_remove(0);
    let student = for_request(session, &coordinator(), books, listed.request.id);
    assert!(student.len() >= 2, "{student:?}");
    assert!(
        !student.join(" ").contains("plate "),
        "no numbers of others: {student:?}"
    );
}

#[tokio::test]
async fn a_late_plate_says_what_would_have_to_change() {
    let world = World::busy().await;
    let mut floor = world.books.floor.clone();
    // The last to arrive was promised half a day earlier than it is planned.
    let last = floor
        .plan
        .assignments
        .iter()
        .max_by_key(|a| a.arrives)
        .copied();
    let last = last.unwrap();
    for plate in &mut floor.plates {
        if plate.seq == last.plate {
            plate.promise = Some(Promise {
                arrival: last.arrives - Minutes(720),
                probability: 0.9,
            });
        }
    }
    let plan = (&floor.plates[..], &floor.plan);
    let why = of_plan(&world.session, &coordinator(), plan);
    let late = &why[&last.plate.0];
    assert!(late.late.as_ref().unwrap().contains("late"), "{late:?}");
    assert!(!late.would_keep.is_empty());
    let others = why.iter().filter(|(seq, _)| **seq != last.plate.0);
    assert!(others.clone().count() > 3 && others.clone().all(|(_, why)| why.late.is_none()));
}
