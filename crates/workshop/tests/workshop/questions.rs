//! What people ask about the plan: why a part comes then, and what would happen if.
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

use crate::support::busy::{Busy, coordinator};
use partpledge_plan_check::check;
use partpledge_planning::NoQuote;
use partpledge_planning_model::{Plan, PlateSeq, Promise, Wish};
use partpledge_records::stored::{PledgeDocument, PledgedAlternative};
use partpledge_units::local::{parse_date, parse_rfc3339};
use partpledge_units::time::{Minute, Minutes};
use partpledge_workshop::capacity::{Line, capacity};
use partpledge_workshop::estimating::{LaidPart, Process, lay};
use partpledge_workshop::intake::{Orient, Stands};
use partpledge_workshop::plating::{Order, ways};
use partpledge_workshop::pledging::{PREPARE, Request, ask as quote, instead};
use partpledge_workshop::sending::judged;
use partpledge_workshop::shares::shares;
use partpledge_workshop::what_if::{Answer, Question, ask};
use partpledge_workshop::why::{for_request, of_plan, of_plate};
use partpledge_workshop::{Books, Session, WorkshopError};

struct World {
    _busy: Busy,
    session: Session,
    books: Books,
}

impl World {
    /// The demo region with a dozen requests promised.
    async fn busy() -> Self {
        let busy = Busy::after(4).await;
        let session = busy.again().await;
        let books = Books::open(&session).await.unwrap();
        Self {
            _busy: busy,
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

/// The first file of the demo, ready to be asked for.
fn laid(session: &Session, material: &str) -> (Vec<LaidPart>, Process) {
    let process = Process::choose(&session.catalogue, Some(material), None, None).unwrap();
    let file = partpledge_testbed::files().swap_remove(0);
    let stands = Stands::decide(Orient::Best);
    let how = (&process, &stands);
    let judged = judged(session, (&file.bytes, file.name), None, how).unwrap();
    let parts = judged.parts.iter().map(|part| lay(part, &process.sheet));
    (parts.collect::<Result<_, _>>().unwrap(), process)
}

/// One copy of all parts.
fn request<'a>(parts: &'a [LaidPart], process: &'a Process, team: &'a str) -> Request<'a> {
    Request {
        parts,
        copies: 1,
        process,
        team,
        part: "hub",
        need_by: None,
        seed: 1,
        orient: Orient::Best,
        fetch_at: None,
        no_later: None,
    }
}

async fn quoted(session: &Session, team: &str, material: &str, copies: u32) -> PledgeDocument {
    let (parts, process) = laid(session, material);
    let request = Request {
        copies,
        ..request(&parts, &process, team)
    };
    quote(session, &coordinator(), &request).await.unwrap()
}

fn of_kind<'a>(document: &'a PledgeDocument, kind: &str) -> Option<&'a PledgedAlternative> {
    document
        .alternatives
        .iter()
        .find(|other| other.kind == kind)
}

#[tokio::test]
async fn another_plastic_is_offered_as_it_would_really_be_quoted() {
    let world = World::busy().await;
    let mut session = world.session;
    let until = session.minute() + Minutes(6 * 1_440);
    // All that print PLA are out; a warm printer that takes PETG is left.
    let names = session.terrain.region.printers.clone();
    for printer in names
        .iter()
        .filter(|p| p.materials.contains(&"PLA".to_owned()))
    {
        let printer = printer.name.clone();
        let question = Question::PrinterOut { printer, until };
        session = ask(&session, &coordinator(), &world.books, &question)
            .unwrap()
            .session;
    }
    let asked = quoted(&session, "Newt Works", "PLA", 1).await;
    let other = of_kind(&asked, "material").unwrap();
    let really = quoted(&session, "Newt Works", "PETG", 1).await;
    assert_eq!(
        (other.arrival_min, other.probability),
        (really.arrival_min, really.probability)
    );
    assert!(
        other.what.to_string().starts_with("in PETG instead of PLA"),
        "{other:?}"
    );
    assert!(other.arrival_min <= asked.arrival_min - 60);
}

#[tokio::test]
async fn some_copies_first_and_fetching_them_are_only_offered_when_earlier() {
    let world = World::busy().await;
    let file = &world.session.terrain.file;
    let host = |school: &String| file.hosts.iter().any(|host| host.school == *school);
    let away = file.teams.iter().find(|team| !host(&team.school)).unwrap();
    let (mut first, mut fetched) = (0, 0);
    let own = &file.teams[0].name;
    let asks = [
        (&away.name, 1),
        (&away.name, 6),
        (own, 6),
        (&away.name, 16),
        (own, 16),
        (&away.name, 40),
        (own, 60),
    ];
    for (team, copies) in asks {
        let asked = quoted(&world.session, team, "PLA", copies).await;
        if let Some(other) = of_kind(&asked, "fetch") {
            assert!(other.arrival_min <= asked.arrival_min - 60 && other.probability >= 0.9);
            fetched += 1;
        }
        if let Some(other) = of_kind(&asked, "fewer-first") {
            assert!(
                other
                    .what
                    .to_string()
                    .starts_with(&format!("{} of the {copies}", copies / 2))
            );
            assert!(other.probability >= 0.9, "{other:?}");
            let (k, rest) = (copies / 2, copies - copies / 2);
            let first_alone = quoted(&world.session, team, "PLA", k).await.arrival_min;
            let by = world.session.terrain.zone.short(Minute(first_alone));
            assert!(
                other.what.to_string().contains(&by),
                "a quote of its own: {by}, {other:?}"
            );
            assert!(first_alone <= asked.arrival_min - 60 && rest > 0);
            first += 1;
        }
    }
    assert!(first > 0 && fetched > 0, "{first} {fetched}");
}

/// The valley with nothing on record, at a time of the season.
async fn quiet(at: &str) -> (tempfile::TempDir, Session) {
    let dir = tempfile::tempdir().unwrap();
    let now = parse_rfc3339(at).unwrap();
    let region = partpledge_testbed::ambrel_valley();
    let session = Session::open(&dir.path().join("data"), region, now).await;
    (dir, session.unwrap())
}

#[tokio::test]
async fn what_comes_to_a_meeting_is_handed_over_there() {
    let (_dir, session) = quiet("2027-03-12T13:00:00+01:00").await;
    let asked = quoted(&session, "Silt Sisters", "PLA", 1).await;
    let meeting = "Valley qualifier, league meeting";
    assert_eq!(asked.place, meeting);
    let to: Vec<&str> = asked.legs.iter().map(|leg| leg.to.as_str()).collect();
    assert_eq!(to, [meeting]);
    // A day before, it comes to the school.
    let (_dir, session) = quiet("2027-03-10T10:00:00+01:00").await;
    let asked = quoted(&session, "Silt Sisters", "PLA", 1).await;
    assert!(asked.place.ends_with(", front desk"), "{asked:?}");
    assert_eq!(asked.legs[0].to, asked.place);
    // It stands as long as its plate can be prepared in time.
    assert_eq!(asked.expires_min, asked.plates[0].start_min - PREPARE.0);
    assert!(of_kind(&asked, "way").is_none(), "nobody can choose those");
}

#[tokio::test]
async fn the_menu_has_many_plates_and_says_when_they_are_too_many() {
    let (_dir, session) = quiet("2027-03-09T10:00:00+01:00").await;
    let (parts, process) = laid(&session, "PLA");
    let few: Vec<&LaidPart> = parts.iter().collect();
    let order = Order {
        parts: &few,
        copies: 4,
        process: &process,
        to: session.terrain.place_of("Newt Works").unwrap(),
        release: session.minute(),
        next_seq: 1,
        wish: Wish::default(),
    };
    let plates = |copies: u32| {
        let order = Order {
            copies,
            ..order.clone()
        };
        let ways = ways(&session, &order).unwrap();
        ways.iter().map(|way| way.plates.len()).collect::<Vec<_>>()
    };
    let most = plates(300).into_iter().max().unwrap();
    assert!(most > 12, "{most}");
    let request = Request {
        copies: 20_000,
        ..request(&parts, &process, "Newt Works")
    };
    let none = quote(&session, &coordinator(), &request).await;
    let Err(WorkshopError::NoQuote(NoQuote::TooManyPlates { plates, most })) = none else {
        panic!("{none:?}");
    };
    assert!(plates > most);
}

#[tokio::test]
async fn a_holiday_is_the_reason_when_it_is() {
    let (_dir, session) = quiet("2027-06-11T17:45:00+02:00").await;
    let (parts, process) = laid(&session, "PLA");
    let request = request(&parts, &process, "Bogwheel");
    let none = quote(&session, &coordinator(), &request).await.unwrap_err();
    let says = none.to_string();
    assert!(says.starts_with("schools are closed from"), "{says}");
    let (_dir, session) = quiet("2027-03-25T21:30:00+01:00").await;
    let asked = quoted(&session, "Newt Works", "PLA", 1).await;
    let says: Vec<String> = asked.reasons.iter().map(ToString::to_string).collect();
    let closed = "Schools are closed from Friday 26 March to Monday 29 March (spring holiday).";
    assert!(says.iter().any(|says| says == closed), "{says:?}");
}

#[tokio::test]
async fn what_cannot_be_promised_comes_with_what_can() {
    let world = World::busy().await;
    let mut session = world.session;
    // Nothing that takes PLA can be used as far as calendars go.
    let until = session.terrain.region.horizon.unwrap();
    let names = session.terrain.region.printers.clone();
    for printer in names
        .iter()
        .filter(|p| p.materials.contains(&"PLA".to_owned()))
    {
        let printer = printer.name.clone();
        let question = Question::PrinterOut { printer, until };
        session = ask(&session, &coordinator(), &world.books, &question)
            .unwrap()
            .session;
    }
    let (parts, process) = laid(&session, "PLA");
    let request = request(&parts, &process, "Newt Works");
    let none = quote(&session, &coordinator(), &request).await;
    assert!(matches!(none, Err(WorkshopError::NoQuote(_))));
    let others = instead(&session, &coordinator(), &request, None)
        .await
        .unwrap();
    let kinds: Vec<&str> = others.iter().map(|other| other.kind.as_str()).collect();
    assert_eq!(kinds, ["material"]);
}

#[tokio::test]
async fn printer_hours_add_up() {
    let world = World::busy().await;
    let counted = capacity(&world.session, &world.books, 7);
    let region = &world.session.terrain.region;
    let printers: usize = counted.beds.iter().map(|line| line.printers).sum();
    assert_eq!(printers, region.printers.len(), "each has one bed");
    let pla = counted
        .materials
        .iter()
        .find(|line| line.name == "PLA")
        .unwrap();
    let takes = |p: &&partpledge_planning_model::Printer| p.materials.contains(&"PLA".to_owned());
    assert_eq!(pla.printers, region.printers.iter().filter(takes).count());
    for line in counted.materials.iter().chain(&counted.beds) {
        assert!(
            line.taken <= line.staffed && line.free() >= Minutes(0),
            "{line:?}"
        );
    }
    let asked = |lines: &[Line]| lines.iter().map(|line| line.asked.0).sum::<i64>();
    let plates = world.books.floor.plates.iter();
    let planned = plates.map(|plate| {
        let place = world.books.floor.plan.of(plate.seq).unwrap();
        let making = plate.makings.iter().find(|m| m.printer == place.printer);
        making.unwrap().likely.0
    });
    let planned: i64 = planned.sum();
    assert!(planned > 0);
    assert_eq!(
        (asked(&counted.materials), asked(&counted.beds)),
        (planned, planned)
    );
}

#[tokio::test]
async fn shares_are_of_what_was_handed_over() {
    let world = World::busy().await;
    let made = shares(&world.session, &coordinator(), &world.books)
        .await
        .unwrap();
    let [only] = made.teams.as_slice() else {
        panic!("one team asked: {made:?}");
    };
    assert_eq!(
        (only.asked, only.parts, made.parts, made.waits),
        (12, 0, None, None)
    );
}
