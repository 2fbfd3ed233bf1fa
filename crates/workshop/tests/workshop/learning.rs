//! What printers really did moves what is expected of them next, and nothing that was promised.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use bytes::Bytes;
use partpledge_planning::{Ground, forecast};
use partpledge_planning_model::{Making, Plate};
use partpledge_records::{FinishedRun, PlateState};
use partpledge_units::cast::round_i64;
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::{EventMs, Minute, Minutes};
use partpledge_workshop::bench::{Act, act};
use partpledge_workshop::learning::Takes;
use partpledge_workshop::plan_room::checked;
use partpledge_workshop::run_sheet::line;
use partpledge_workshop::sending::{Received, Sent, send};
use partpledge_workshop::{Actor, Books, Role, Session};

/// When a run's end is noted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Noted {
    /// When it comes.
    AtOnce,
    /// When people come back the next time.
    NextVisit,
    /// So many minutes after it came, while people are there.
    Late(i64),
}

struct World {
    _dir: tempfile::TempDir,
    session: Session,
    now: Minute,
    sent: usize,
}

fn team() -> Actor {
    Actor::new(Role::Team("Newt Works".to_owned()))
}

/// Works at every bench.
fn coordinator() -> Actor {
    Actor::new(Role::Coordinator)
}

impl World {
    async fn new() -> Self {
        let dir = tempfile::tempdir().unwrap();
        let now = parse_rfc3339("2027-03-08T08:00:00+01:00").unwrap();
        let region = partpledge_testbed::ambrel_valley();
        let session = Session::open(&dir.path().join("data"), region, now).await;
        Self {
            _dir: dir,
            session: session.unwrap(),
            now: Minute::at_or_after(now),
            sent: 0,
        }
    }

    async fn at(&self, minute: Minute) -> Session {
        self.session.at(minute.to_ms()).await.unwrap()
    }

    async fn at_ms(&self, ms: i64) -> Session {
        self.session.at(EventMs(ms)).await.unwrap()
    }

    async fn books(&self) -> Books {
        Books::open(&self.at(self.now).await).await.unwrap()
    }

    async fn send(&mut self) -> Received {
        let session = self.at(self.now).await;
        self.send_in(&session, 1).await
    }

    async fn send_in(&mut self, session: &Session, copies: u32) -> Received {
        self.sent += 1;
        let file = partpledge_testbed::files().swap_remove(0);
        let key = format!("send-{:05}", self.sent);
        let sent = Sent {
            bytes: Bytes::from(file.bytes),
            file_name: file.name,
            team: "Newt Works",
            part: None,
            copies,
            material: file.material,
            need_by: None,
            unit: None,
            replaces: None,
            statement: Some(&partpledge_workshop::review::Statement::own()),
            again: true,
            dimensions: None,
            over_limit: None,
            key: &key,
        };
        send(session, &team(), &sent).await.unwrap()
    }

    /// Sends a part and runs it on the printer that the plan has for it: it takes `factor` times
    /// what was worked out.
    async fn run_one(&mut self, factor: f64, noted: Noted) {
        let sent = self.send().await;
        let books = self.books().await;
        let kept = books.plates_of(sent.request.id).next().unwrap().clone();
        let place = *books.place(&kept).unwrap();
        let making = way(&kept.plate, place.printer.0);
        let took_ms = round_i64(making.worked_out.0 as f64 * factor * 60_000.0).unwrap();
        let mut ended_ms = place.start.to_ms().0 + took_ms;
        let terrain = &self.session.terrain;
        if noted == Noted::NextVisit {
            let site = terrain.region.printers[place.printer.0].site;
            let windows = terrain.region.sites[site.0].staffed.as_slice();
            let ended = Minute::at_or_after(EventMs(ended_ms));
            let next = windows.iter().find(|there| there.from > ended).unwrap();
            ended_ms = (next.from + Minutes(20)).to_ms().0;
        }
        if let Noted::Late(minutes) = noted {
            ended_ms += minutes * 60_000;
        }
        let seq = kept.plate.seq.0;
        let starting = self.at(place.start).await;
        act(&starting, &coordinator(), seq, &Act::Start, None)
            .await
            .unwrap();
        let ending = self.at_ms(ended_ms).await;
        let off = Act::TakeOff {
            good: (kept.plate.copies).into(),
        };
        act(&ending, &coordinator(), seq, &off, None).await.unwrap();
        self.now = Minute::at_or_after(EventMs(ended_ms)) + Minutes(1);
    }

    async fn runs(&self) -> Vec<FinishedRun> {
        let (store, region) = self.session.store().unwrap();
        store.finished_runs(region).await.unwrap()
    }
}

fn way(plate: &Plate, printer: usize) -> Making {
    *plate
        .makings
        .iter()
        .find(|m| m.printer.0 == printer)
        .unwrap()
}

/// The same moment, as if no run had ever been noted.
async fn blind(world: &World) -> Session {
    let mut session = world.at(world.now).await;
    session.terrain.learn_from(&[]);
    session
}

async fn after_runs(factor: f64, noted: &[Noted]) -> World {
    let mut world = World::new().await;
    for noted in noted {
        world.run_one(factor, *noted).await;
    }
    world
}

fn the_plate(books: &Books, sent: &Received) -> Plate {
    let kept = books.plates_of(sent.request.id).next().unwrap();
    assert_eq!(kept.state, PlateState::Open);
    kept.plate.clone()
}

/// Hand-over that half of the worlds have by then.
fn middle(session: &Session, books: &Books, sent: &Received) -> Minute {
    let ground = Ground::new(&session.terrain.region);
    let asked = books.outlook(session, &ground, sent.request.id, 400);
    let (plates, plan) = (&books.floor.plates, &books.floor.plan);
    let found = forecast(&ground, plates, plan, &asked);
    found.middle.unwrap()
}

#[tokio::test(flavor = "multi_thread")]
async fn ten_runs_that_took_a_quarter_longer_make_the_next_one_expected_so() {
    let mut world = after_runs(1.25, &[Noted::AtOnce; 10]).await;
    let runs = world.runs().await;
    assert_eq!(runs.len(), 10);
    let seen = |name: &str| {
        let own = |r: &&FinishedRun| r.witnessed && r.printer == name;
        runs.iter().filter(own).count()
    };
    let session = world.at(world.now).await;
    let printers = &session.terrain.region.printers;
    let most = (0..printers.len()).max_by_key(|&p| seen(&printers[p].name));
    let most = most.unwrap();
    assert!(seen(&printers[most].name) >= 7, "{runs:?}");
    let known = session
        .terrain
        .learned
        .printer(&printers[most].name)
        .unwrap();
    let factor = known.factor().unwrap().median();
    assert!((1.2..1.27).contains(&factor), "{factor}");
    let was = blind(&world).await.terrain.region.printers[most].clone();
    assert!(
        printers[most].start_failure < was.start_failure,
        "all of its plates came out good"
    );
    let sent = world.send().await;
    let books = world.books().await;
    let making = way(&the_plate(&books, &sent), most);
    let (nominal, worked_out) = (making.nominal.0 as f64, making.worked_out.0 as f64);
    assert!((nominal / worked_out - factor).abs() < 0.05, "{making:?}");
    assert!(making.reserved > making.nominal);
}

/// Given as if nothing had been learned; then looked at with what was.
#[tokio::test(flavor = "multi_thread")]
async fn a_promise_stays_and_its_forecast_moves() {
    let mut world = after_runs(1.25, &[Noted::AtOnce; 10]).await;
    let unlearned = blind(&world).await;
    let sent = world.send_in(&unlearned, 6).await;
    let (before, after) = (Books::open(&unlearned).await.unwrap(), world.books().await);
    let promised = |books: &Books| books.pledge_of(sent.request.id).unwrap().clone();
    let (was, is) = (promised(&before), promised(&after));
    assert_eq!((was.pledge, was.document), (is.pledge, is.document));
    assert_eq!(before.floor.plan, after.floor.plan);
    let place = after.floor.plan.of(the_plate(&after, &sent).seq).unwrap();
    let [old, new] = [&before, &after].map(|books| way(&the_plate(books, &sent), place.printer.0));
    assert_eq!((old.nominal, old.reserved), (new.nominal, new.reserved));
    assert!(new.likely > old.likely, "{old:?} {new:?}");
    let learned = world.at(world.now).await;
    let found = checked(
        &learned,
        &after.floor.plates,
        &after.floor.plan,
        &after.floor.plan,
    );
    assert_eq!(found.unwrap(), Vec::new());
    // Boxes leave with rounds, so a quarter of an hour's delay may wait for the next one.
    let (then, now) = (
        middle(&unlearned, &before, &sent),
        middle(&learned, &after, &sent),
    );
    assert!(now > then, "{then:?} {now:?}");
}

#[tokio::test(flavor = "multi_thread")]
async fn ends_noted_when_people_came_back_teach_nothing_of_times() {
    let both = [Noted::AtOnce, Noted::NextVisit].repeat(4);
    let mut world = after_runs(1.0, &both).await;
    let runs = world.runs().await;
    let late: Vec<&FinishedRun> = runs.iter().filter(|run| !run.witnessed).collect();
    assert!(late.len() >= 4, "{runs:?}");
    let took = |run: &&FinishedRun| (run.ended_at.0 - run.started_at.0) / 60_000;
    assert!(late.iter().any(|run| took(run) > 2 * run.worked_out_min));
    let sent = world.send().await;
    let books = world.books().await;
    for making in the_plate(&books, &sent).makings {
        let off = making.nominal.0 - making.worked_out.0;
        assert!(off.abs() <= 1, "{making:?}");
    }
}

/// What its place was made for is what is said, and that another time is known by now; what has ended says
/// what it took.
#[tokio::test(flavor = "multi_thread")]
async fn a_plate_has_one_time_and_says_when_another_is_known_by_now() {
    let mut world = after_runs(1.25, &[Noted::AtOnce; 10]).await;
    let unlearned = blind(&world).await;
    let sent = world.send_in(&unlearned, 6).await;
    let takes = async |session: &Session| {
        let books = Books::open(session).await.unwrap();
        let kept = books.plates_of(sent.request.id).next().unwrap();
        let line = line(session, &books, kept).await.unwrap().unwrap();
        let place = line.place.unwrap();
        let Some(Takes::Kept { middle, kept, now }) = line.takes else {
            panic!("{:?}", line.takes);
        };
        assert_eq!(place.end - place.start, kept);
        assert!(middle <= kept);
        (middle, now)
    };
    assert_eq!(takes(&unlearned).await.1, None, "nothing else is known");
    let learned = world.at(world.now).await;
    let (middle, now) = takes(&learned).await;
    let now = now.expect("longer by more than a twentieth");
    assert!(
        now.middle.0 as f64 > 1.05 * middle.0 as f64,
        "{now:?} {middle:?}"
    );
    let books = world.books().await;
    let runs = world.runs().await;
    for run in &runs {
        let kept = books.plate(run.plate).unwrap();
        let line = line(&learned, &books, kept).await.unwrap().unwrap();
        let took = (run.ended_at.0 - run.started_at.0) / 60_000;
        let Some(Takes::Took(length)) = line.takes else {
            panic!("{:?}", line.takes);
        };
        assert!((length.0 - took).abs() <= 1, "{length:?} {took}");
    }
}

/// Somebody came to one plate half an hour late: that is not how long it ran, and no other takes longer for it.
#[tokio::test(flavor = "multi_thread")]
async fn one_tick_half_an_hour_late_stretches_no_plate() {
    let mut world = World::new().await;
    world.run_one(1.0, Noted::Late(34)).await;
    let runs = world.runs().await;
    let [run] = runs.as_slice() else {
        panic!("{runs:?}");
    };
    assert!(
        run.witnessed && !run.by_itself,
        "people were there: {run:?}"
    );
    let took = (run.ended_at.0 - run.started_at.0) / 60_000;
    assert!(took >= run.worked_out_min + 33);
    let session = world.at(world.now).await;
    let known = session.terrain.learned.printer(&run.printer).unwrap();
    assert_eq!((known.counted, known.noted_late), (0, 1), "{run:?}");
    let (unlearned, sent) = (blind(&world).await, world.send().await);
    let (after, before) = (world.books().await, Books::open(&unlearned).await.unwrap());
    let [now, then] = [&after, &before].map(|books| the_plate(books, &sent));
    assert_eq!(now.makings, then.makings, "on no printer");
    assert!(now.makings.len() > 3);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_printer_that_loses_plates_is_expected_to_lose_more() {
    let mut world = World::new().await;
    let sent = world.send().await;
    let mut lost_on = Vec::new();
    for _ in 0..4 {
        let books = world.books().await;
        let open = books.plates_of(sent.request.id);
        let mut open = open.filter(|kept| kept.state == PlateState::Open);
        let plate = &open.next().unwrap().plate;
        let place = *books.floor.plan.of(plate.seq).unwrap();
        let starting = world.at(place.start).await;
        act(&starting, &coordinator(), plate.seq.0, &Act::Start, None)
            .await
            .unwrap();
        let fail = Act::Fail {
            reason: "It came loose from the bed".to_owned(),
            good: 0_u32.into(),
            out_until: None,
        };
        world.now = place.start + Minutes(12);
        let failing = world.at(world.now).await;
        act(&failing, &coordinator(), plate.seq.0, &fail, None)
            .await
            .unwrap();
        lost_on.push(place.printer.0);
    }
    let runs = world.runs().await;
    assert!(runs.iter().all(|run| !run.whole && run.good == 0));
    let (session, before) = (world.at(world.now).await, blind(&world).await);
    for p in lost_on {
        let [now, then] = [&session, &before].map(|s| s.terrain.region.printers[p].clone());
        assert!(now.start_failure > then.start_failure);
        assert!(now.failures_per_hour > then.failures_per_hour);
        let known = session.terrain.learned.printer(&now.name).unwrap();
        assert_eq!(known.factor(), None, "a stopped run has no time");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn the_same_runs_give_the_same_answer_to_the_byte() {
    let mut answers = Vec::new();
    for _ in 0..2 {
        let mut world = after_runs(1.15, &[Noted::AtOnce; 3]).await;
        let sent = world.send().await;
        let books = world.books().await;
        let pledge = &books.pledge_of(sent.request.id).unwrap().pledge;
        let learned = &world.at(world.now).await.terrain.learned;
        answers.push(format!("{} {learned:?}", pledge.document));
    }
    assert_eq!(answers[0], answers[1]);
}
