//! Printers that say themselves what they do, through a small agent of ours.
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

mod agent;
mod trust;

use agent::Agent;
use bytes::Bytes;
use partpledge_records::{CrewChange, Deed, Event, FinishedRun, PlateState, RunStep, StepKind};
use partpledge_units::ids::IdSource;
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::{EventMs, Minute, Minutes};
use partpledge_workshop::bench::{Act, Done, Told, act, take_back};
use partpledge_workshop::machines::{State, answered, next, standings};
use partpledge_workshop::plate_room::printer_of;
use partpledge_workshop::run_sheet::{ByItself, JobKind, run_sheet};
use partpledge_workshop::sending::{Sent, send};
use partpledge_workshop::{Actor, Books, Role, Session, WorkshopError};

const AGENT: &str = "agent = { address = \"http://127.0.0.1:5000\", device = \"p\" }\n";

struct World {
    dir: tempfile::TempDir,
    session: Session,
    /// Code of the bench that makes the first plate.
    code: String,
    plate: u64,
    copies: u32,
    printer: String,
    /// When it is planned to start.
    start: Minute,
    agent: Agent,
}

fn clock() -> Actor {
    Actor::new(Role::Clock)
}

fn region() -> String {
    let text = partpledge_testbed::ambrel_valley();
    text.replace("start_failure = ", &format!("{AGENT}start_failure = "))
}

async fn send_one(session: &Session, file: usize, key: &str) {
    let file = partpledge_testbed::files().swap_remove(file);
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
        statement: None,
        again: true,
        dimensions: None,
        over_limit: None,
        key,
    };
    let actor = Actor::new(Role::Team("Newt Works".to_owned()));
    send(session, &actor, &sent).await.unwrap();
}

impl World {
    /// With one plate promised, and its printer's agent read once: ready since hours.
    async fn new() -> Self {
        Self::in_region(&region()).await
    }

    async fn in_region(region: &str) -> Self {
        let world = Self::unread_in(region).await;
        world.read(world.min(-20)).await;
        world
    }

    /// The same, and nobody has asked its agent.
    async fn unread() -> Self {
        Self::unread_in(&region()).await
    }

    async fn unread_in(region: &str) -> Self {
        let dir = tempfile::tempdir().unwrap();
        let now = parse_rfc3339("2027-03-09T10:00:00+01:00").unwrap();
        let session = Session::open(&dir.path().join("data"), region, now).await;
        let session = session.unwrap();
        send_one(&session, 7, "send-00001").await;
        let books = Books::open(&session).await.unwrap();
        let place = books.floor.plan.assignments[0];
        let kept = books.plate(place.plate.0).unwrap();
        let printer = printer_of(&session, &books, kept).unwrap();
        let at = session.terrain.printer_of(&printer).unwrap();
        let host = session.terrain.host_at(at, place.start).to_owned();
        let schools = &session.terrain.file.schools;
        let code = schools.iter().find(|school| school.name == host).unwrap();
        let mut agent = Agent::new();
        agent.says(EventMs(now.0 - 7_200_000), "Execution", "READY");
        Self {
            code: code.code.clone(),
            plate: place.plate.0,
            copies: kept.plate.copies,
            printer,
            start: place.start,
            session,
            dir,
            agent,
        }
    }

    async fn at(&self, minute: Minute) -> Session {
        self.session.at(minute.to_ms()).await.unwrap()
    }

    /// A moment after the planned start, ms.
    fn ms(&self, minutes: i64) -> EventMs {
        EventMs((self.start + Minutes(minutes)).to_ms().0 + 12_345)
    }

    fn min(&self, minutes: i64) -> Minute {
        self.start + Minutes(minutes)
    }

    fn says(&mut self, minutes: i64, execution: &str) {
        self.agent.says(self.ms(minutes), "Execution", execution);
    }

    /// Reads the printer's agent until it has no more.
    async fn read(&self, now: Minute) {
        for _ in 0..10 {
            let session = self.at(now).await;
            let asked = next(&session, &clock(), &self.printer).await;
            let asked = asked.unwrap().unwrap();
            let answer = self.agent.answers(&asked.address, session.now);
            let more = answered(&session, &clock(), &asked, Ok(answer)).await;
            if !more.unwrap() {
                return;
            }
        }
        panic!("an agent has an end");
    }

    async fn state(&self, now: Minute) -> State {
        self.standing(now).await.0
    }

    /// How the printer stands, and from when on it would run with nobody there.
    async fn standing(&self, now: Minute) -> (State, Option<Minute>) {
        let session = self.at(now).await;
        let books = Books::open(&session).await.unwrap();
        let all = standings(&session, &books).await.unwrap();
        let mut all = all.into_iter();
        let one = all.find(|one| one.printer == self.printer).unwrap();
        (one.state, one.alone_from)
    }

    async fn step(&self, kind: StepKind) -> Option<RunStep> {
        let books = Books::open(&self.session).await.unwrap();
        books.step(self.plate, kind).cloned()
    }

    async fn log(&self) -> Vec<Event> {
        let (store, region) = self.session.store().unwrap();
        let all = store.events_after(region, 0).await.unwrap();
        all.into_iter().map(|(_, event)| event).collect()
    }

    async fn kinds(&self, kind: &str) -> usize {
        self.log()
            .await
            .iter()
            .filter(|one| one.kind == kind)
            .count()
    }

    fn bench(&self) -> Actor {
        Actor::new(Role::Host(self.code.clone()))
    }

    async fn does(&self, now: Minute, what: &Act) -> Result<Done, WorkshopError> {
        let told = Told {
            printer: Some(&self.printer),
            ..Told::default()
        };
        act(&self.at(now).await, &self.bench(), self.plate, what, told).await
    }

    /// What the bench's sheet has to clear says of the printer.
    async fn sheet_says(&self, now: Minute) -> Option<State> {
        let session = self.at(now).await;
        let books = Books::open(&session).await.unwrap();
        let date = session.terrain.zone.date(self.start);
        let sheet = run_sheet(&session, &books, &self.code, date).await;
        let mut jobs = sheet.unwrap().jobs.into_iter();
        let clear = jobs.find(|job| job.kind == JobKind::Clear && job.plate.seq == self.plate);
        clear.unwrap().plate.says
    }

    async fn take_back_start(&self, now: Minute) -> Result<Done, WorkshopError> {
        let step = (self.plate, StepKind::Started);
        take_back(&self.at(now).await, &self.bench(), step, None).await
    }

    async fn off(&self, now: Minute) -> FinishedRun {
        let good = self.copies.into();
        self.does(now, &Act::TakeOff { good }).await.unwrap();
        let (store, region) = self.session.store().unwrap();
        store.finished_runs(region).await.unwrap().remove(0)
    }
}

#[tokio::test]
async fn start_and_end_of_a_print_fill_in_by_themselves() {
    let mut world = World::new().await;
    world.read(world.min(-10)).await;
    assert_eq!(world.state(world.min(-10)).await, State::Rests);
    world.says(-3, "ACTIVE");
    world.read(world.min(-2)).await;
    let started = world.step(StepKind::Started).await.unwrap();
    assert_eq!(started.at, world.ms(-3), "at its own time");
    assert_eq!(started.actor, format!("printer:{}", world.printer));
    let log = world.log().await;
    let event = log.iter().find(|one| one.kind == "run.started").unwrap();
    assert_eq!(
        (&event.actor, event.occurred_at),
        (&started.actor, world.ms(-3))
    );
    let (plate, since) = (Some(world.plate), world.ms(-3));
    let (state, alone) = world.standing(world.min(-2)).await;
    assert_eq!(state, State::Runs { plate, since });
    assert_eq!(alone, None, "somebody is there by the bench's hours");

    world.says(40, "PROGRAM_COMPLETED");
    world.says(41, "READY");
    world.read(world.min(42)).await;
    let State::Ended { plate, ended } = world.state(world.min(42)).await else {
        panic!("{:?}", world.state(world.min(42)).await);
    };
    assert_eq!((plate, ended.at), (world.plate, world.ms(40)));
    // Nobody has said what came of it.
    assert_eq!(world.step(StepKind::Off).await, None);
    assert_eq!(world.step(StepKind::Failed).await, None);
    let session = world.at(world.min(42)).await;
    let books = Books::open(&session).await.unwrap();
    assert_eq!(books.plate(world.plate).unwrap().state, PlateState::Open);
    let date = session.terrain.zone.date(world.start);
    let sheet = run_sheet(&session, &books, &world.code, date).await;
    let sheet = sheet.unwrap();
    let clear = sheet.jobs.iter().find(|job| job.kind == JobKind::Clear);
    let says = clear.unwrap().plate.says.clone();
    assert_eq!(says, Some(State::Ended { plate, ended }));
    assert_eq!(clear.unwrap().plate.starts_itself, Some(ByItself::Free));
    assert!(
        sheet
            .machines
            .iter()
            .any(|one| one.printer == world.printer)
    );

    let run = world.off(world.min(150)).await;
    assert_eq!(run.started_at, world.ms(-3));
    assert_eq!(run.ended_at, world.ms(40), "not when somebody came");
    assert!(run.witnessed && run.whole);
    assert_eq!(
        world.kinds("machine.said").await,
        1,
        "its start is the step"
    );
}

#[tokio::test]
async fn what_was_read_before_a_kill_is_read_again_and_done_once() {
    let mut world = World::new().await;
    world.says(-3, "ACTIVE");
    world.says(20, "INTERRUPTED");
    let session = world.at(world.min(21)).await;
    let asked = next(&session, &clock(), &world.printer).await;
    let asked = asked.unwrap().unwrap();
    let answer = world.agent.answers(&asked.address, session.now);
    for _ in 0..2 {
        // The second time with the same question: as if how far it was read had been lost.
        let done = answered(&session, &clock(), &asked, Ok(answer.clone())).await;
        assert!(!done.unwrap());
    }
    assert_eq!(world.kinds("run.started").await, 1);
    assert_eq!(world.kinds("machine.said").await, 1);
    // Another process on the same data goes on where this one was.
    let again = Session::open(&world.dir.path().join("data"), &region(), session.now).await;
    let again = again.unwrap();
    let asked = next(&again, &clock(), &world.printer).await;
    let asked = asked.unwrap().unwrap();
    assert!(
        asked.address.contains("/sample?from=4&"),
        "{}",
        asked.address
    );
    let refused = next(&again, &world.bench(), &world.printer).await;
    assert_eq!(refused.unwrap_err().code(), "not-allowed");
}

#[tokio::test]
async fn an_agent_that_begins_anew_or_has_forgotten_makes_up_no_time() {
    for overrun in [false, true] {
        let mut world = World::new().await;
        if overrun {
            world.says(-3, "ACTIVE");
            world.agent.forgets_all_but_one();
        } else {
            world.agent.restarts();
            world.says(-3, "ACTIVE");
        }
        world.read(world.min(-1)).await;
        assert_eq!(world.step(StepKind::Started).await, None);
        let (plate, since) = (None, world.ms(-3));
        let state = world.state(world.min(-1)).await;
        assert_eq!(state, State::Runs { plate, since }, "shown, not taken");
        // From here on it is heard again: its end is that of the plate which somebody has ticked.
        world.does(world.min(0), &Act::Start).await.unwrap();
        world.says(45, "PROGRAM_COMPLETED");
        world.read(world.min(46)).await;
        let state = world.state(world.min(46)).await;
        assert!(matches!(state, State::Ended { .. }), "{state:?}");
        // And an end that fell into a gap is none.
        assert_eq!(world.off(world.min(60)).await.ended_at, world.ms(45));
    }
    let mut world = World::new().await;
    world.says(-3, "ACTIVE");
    world.read(world.min(-2)).await;
    world.says(45, "PROGRAM_COMPLETED");
    world.agent.restarts();
    world.says(46, "READY");
    world.read(world.min(47)).await;
    let plate = world.plate;
    assert_eq!(
        world.state(world.min(47)).await,
        State::EndedUnseen { plate }
    );
    let off = world.min(60).to_ms();
    assert_eq!(world.off(world.min(60)).await.ended_at, off);
}

#[tokio::test]
async fn a_tick_that_was_there_before_wins_and_a_later_one_is_no_error() {
    let mut world = World::new().await;
    world.does(world.min(-5), &Act::Start).await.unwrap();
    world.says(-3, "ACTIVE");
    world.read(world.min(-2)).await;
    let started = world.step(StepKind::Started).await.unwrap();
    assert_eq!(started.at, world.min(-5).to_ms());
    assert!(started.actor.starts_with("host:"), "{started:?}");
    assert_eq!(world.kinds("run.started").await, 1);
    let (plate, since) = (Some(world.plate), world.ms(-3));
    assert_eq!(
        world.state(world.min(-2)).await,
        State::Runs { plate, since }
    );
    world.says(45, "READY");
    world.read(world.min(46)).await;
    let run = world.off(world.min(50)).await;
    // What is learned is the machine's own time.
    assert_eq!((run.started_at, run.ended_at), (world.ms(-3), world.ms(45)));

    let mut world = World::new().await;
    world.says(-3, "ACTIVE");
    world.read(world.min(-2)).await;
    let done = world.does(world.min(-1), &Act::Start).await.unwrap();
    assert!(done.before);
    assert_eq!(world.kinds("run.started").await, 1);
    let started = world.step(StepKind::Started).await.unwrap();
    assert_eq!(started.at, world.ms(-3));
    // Not for anybody: another bench's is refused as ever.
    let other = Actor::new(Role::Host("nowhere".to_owned()));
    let now = world.at(world.min(-1)).await;
    let refused = act(&now, &other, world.plate, &Act::Start, None).await;
    assert_eq!(refused.unwrap_err().code(), "not-allowed");
    // Once it has ended, a start is another one.
    world.says(2, "READY");
    world.read(world.min(3)).await;
    let refused = world.does(world.min(5), &Act::Start).await;
    let taken = |error| matches!(error, WorkshopError::Store(e) if e.code() == "step-taken");
    assert!(taken(refused.unwrap_err()));
}

#[tokio::test]
async fn people_correct_what_a_printer_said() {
    let mut world = World::new().await;
    world.says(-3, "ACTIVE");
    world.read(world.min(-2)).await;
    let now = world.at(world.min(30)).await;
    let step = (world.plate, StepKind::Started);
    take_back(&now, &world.bench(), step, None).await.unwrap();
    assert_eq!(world.step(StepKind::Started).await, None);
    world.read(world.min(30)).await;
    let (plate, since) = (None, world.ms(-3));
    assert_eq!(
        world.state(world.min(30)).await,
        State::Runs { plate, since }
    );
    // What it was told again is not done again, and its end is nobody's.
    world.says(40, "READY");
    world.read(world.min(41)).await;
    assert_eq!(world.kinds("run.started").await, 1);
    assert_eq!(world.kinds("machine.said").await, 0);
    // A person's own tick has ten minutes, as ever.
    let mut world = World::new().await;
    world.does(world.min(-5), &Act::Start).await.unwrap();
    world.says(-3, "ACTIVE");
    world.read(world.min(-2)).await;
    let now = world.at(world.min(30)).await;
    let late = take_back(&now, &world.bench(), (world.plate, StepKind::Started), None).await;
    assert_eq!(late.unwrap_err().code(), "not-taken-back");
}

#[tokio::test]
async fn a_printer_that_stands_still_is_looked_at_and_never_a_failure_by_itself() {
    let mut world = World::new().await;
    world.says(-3, "ACTIVE");
    world.says(10, "STOPPED");
    world.read(world.min(12)).await;
    let (plate, since) = (Some(world.plate), world.ms(10));
    let halted = State::Halted { plate, since };
    assert_eq!(world.state(world.min(12)).await, halted);
    assert_eq!(world.step(StepKind::Failed).await, None);
    world.says(20, "ACTIVE");
    world.says(50, "PROGRAM_COMPLETED");
    world.read(world.min(51)).await;
    let run = world.off(world.min(60)).await;
    assert_eq!(run.ended_at, world.ms(50));
    assert!(!run.witnessed, "its time has a stop in it");
    assert!(run.whole, "as people said");
}

#[tokio::test]
async fn times_of_a_wrong_clock_are_not_taken_and_silence_is_said() {
    let mut world = World::new().await;
    world.agent.clock_off_ms = -2 * 3_600_000;
    world.says(-3, "ACTIVE");
    world.read(world.min(-2)).await;
    assert_eq!(world.step(StepKind::Started).await, None);
    let State::Faulty { code, words, .. } = world.state(world.min(-2)).await else {
        panic!("{:?}", world.state(world.min(-2)).await);
    };
    assert_eq!(
        (code.as_str(), words.as_str()),
        ("clock", "its agent’s clock is 120 minutes slow")
    );
    world.agent.clock_off_ms = 60_000;
    world.read(world.min(-1)).await;
    let (plate, since) = (None, world.ms(-3));
    assert_eq!(
        world.state(world.min(-1)).await,
        State::Runs { plate, since }
    );

    for (minutes, silent) in [(5, false), (12, true)] {
        let session = world.at(world.min(minutes)).await;
        let asked = next(&session, &clock(), &world.printer).await;
        let asked = asked.unwrap().unwrap();
        let nothing = Err(partpledge_words::say("machines-why-late"));
        let more = answered(&session, &clock(), &asked, nothing).await;
        assert!(!more.unwrap());
        let state = world.state(world.min(minutes)).await;
        let is = matches!(&state, State::Faulty { code, since, .. }
            if code == "silent" && *since == world.min(-1).to_ms());
        assert_eq!(is, silent, "{state:?}");
    }
    // What it said meanwhile is not lost.
    world.says(13, "READY");
    world.says(14, "ACTIVE");
    world.read(world.min(14)).await;
    let started = world.step(StepKind::Started).await;
    assert_eq!(
        started.unwrap().at,
        world.min(14).to_ms(),
        "never later than now"
    );
}

#[tokio::test]
async fn hostile_answers_change_nothing() {
    let mut world = World::new().await;
    world.says(-3, "ACTIVE");
    let before = world.log().await.len();
    for bytes in [
        b"".to_vec(),
        b"<html>no</html>".to_vec(),
        b"<!DOCTYPE a [<!ENTITY b \"c\">]><MTConnectStreams/>".to_vec(),
        vec![b'<'; 3_000_000],
        vec![0xff; 10],
        "<MTConnectStreams>".repeat(50).into_bytes(),
    ] {
        let session = world.at(world.min(-2)).await;
        let asked = next(&session, &clock(), &world.printer).await;
        let asked = asked.unwrap().unwrap();
        let more = answered(&session, &clock(), &asked, Ok(bytes)).await;
        assert!(!more.unwrap());
        let state = world.state(world.min(-2)).await;
        let unread = matches!(&state, State::Faulty { code, .. } if code == "unread");
        assert!(unread, "{state:?}");
    }
    assert_eq!(world.log().await.len(), before);
    world.read(world.min(-2)).await;
    assert!(
        world.step(StepKind::Started).await.is_some(),
        "and lose nothing"
    );
}

#[tokio::test]
async fn a_plate_is_taken_for_started_only_if_it_could_be_the_one() {
    // Hours before its time.
    let mut world = World::unread().await;
    world.read(world.min(-90)).await;
    world.says(-80, "ACTIVE");
    world.read(world.min(-79)).await;
    assert_eq!(world.step(StepKind::Started).await, None);
    assert_eq!(
        world.kinds("machine.said").await,
        1,
        "it is on record that it began"
    );
    // Unless its program says so.
    let mut world = World::unread().await;
    world.read(world.min(-90)).await;
    let name = format!("plate-{}.3mf", world.plate);
    world.agent.says(world.ms(-81), "Program", &name);
    world.says(-80, "ACTIVE");
    world.read(world.min(-79)).await;
    assert!(world.step(StepKind::Started).await.is_some());
    // The program of another plate.
    let mut world = World::new().await;
    world.agent.says(world.ms(-4), "Program", "plate-999");
    world.says(-3, "ACTIVE");
    world.read(world.min(-2)).await;
    assert_eq!(world.step(StepKind::Started).await, None);
    // While another plate is on it on record, which nobody took off: the second start is not known.
    let mut world = World::new().await;
    world.says(-3, "ACTIVE");
    world.says(40, "READY");
    world.says(60, "ACTIVE");
    world.says(90, "READY");
    world.read(world.min(91)).await;
    let run = world.off(world.min(95)).await;
    assert_eq!(
        run.ended_at,
        world.ms(40),
        "the later end is of something else"
    );
    assert_eq!(world.kinds("run.started").await, 1);
}

#[tokio::test]
async fn a_start_that_nobody_there_may_do_is_marked_for_an_adult() {
    let text = region().replace(
        "student_run = true\nadult_for = [\"unattended\", \"hot-material\", \"battery-area\"]\n",
        "",
    );
    let hubs = text.replace(
        "no_show = 0.02\n",
        "no_show = 0.02\nstudent_run = true\nadult_for = []\n",
    );
    let mut world = World::in_region(&hubs).await;
    world.says(-3, "ACTIVE");
    world.read(world.min(-2)).await;
    assert!(world.step(StepKind::Started).await.is_some());
    let (store, region) = world.session.store().unwrap();
    let book = store.crew(region, &world.code).await.unwrap();
    let marked: Vec<_> = book.to_look.iter().map(|one| one.plate).collect();
    assert_eq!(marked, [world.plate]);
    // Taken back it would be nothing to look at: that has the ten minutes of every deed.
    let refused = world.take_back_start(world.min(8)).await.unwrap_err();
    assert_eq!(refused.code(), "not-taken-back");
    let look = CrewChange::Looked(book.to_look[0].entry);
    let deed = Deed {
        actor: "coordinator".to_owned(),
        occurred_at: world.ms(9),
        received_at: world.ms(9),
        idempotency_key: None,
    };
    let mut ids = IdSource::seeded(3);
    let looked = store.change_crew(region, (&world.code, &look), &deed, &mut ids);
    looked.await.unwrap();
    world.take_back_start(world.min(30)).await.unwrap();
    assert_eq!(world.step(StepKind::Started).await, None);
    let mut world = World::in_region(&hubs).await;
    world.says(-3, "ACTIVE");
    world.read(world.min(-2)).await;
    world.take_back_start(world.min(6)).await.unwrap();
}
