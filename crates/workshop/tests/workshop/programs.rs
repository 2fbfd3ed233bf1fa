//! A host's own program moves the plan and the forecast, and nothing that was promised.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use bytes::Bytes;
use partpledge_planning::{Ground, forecast};
use partpledge_planning_model::{Assignment, Making, PlateSeq};
use partpledge_records::{PlateProgram, PlateState};
use partpledge_stock::{Deed, Roll};
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::{EventMs, Minutes};
use partpledge_workshop::bench::spools::{SpoolAct, act_on_spools};
use partpledge_workshop::bench::{Act, Done, act};
use partpledge_workshop::plan_room::checked;
use partpledge_workshop::programs::program_for_plate;
use partpledge_workshop::sending::{Received, Sent, send};
use partpledge_workshop::{Actor, Books, Role, Session, WorkshopError};

struct World {
    _dir: tempfile::TempDir,
    session: Session,
    sent: Received,
}

/// So much longer, and the plate can still be in time on its printer.
const LONGER_MIN: i64 = 26;

fn bench() -> Actor {
    Actor::new(Role::Host("brindlemoor".to_owned()))
}

/// The making from our own lines.
fn own(books: &Books, plate: u64, place: &Assignment) -> Making {
    let own = &books.plate(plate).unwrap().own;
    *own.iter().find(|m| m.printer == place.printer).unwrap()
}

/// A program that lays a line and stands still for so many seconds.
fn program(dwell_s: i64) -> Bytes {
    let text = format!(
        "G21 G90\nM83\nG28\nG92 X0 Y0 Z0 E0\nM106 S255\nG0 X10 Y10 Z.2 F6000\nG1 X60 E1.5 F1800\n{}",
        "G4 S60\n".repeat(usize::try_from(dwell_s / 60).unwrap())
    );
    Bytes::from(text)
}

impl World {
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
            team: "Newt Works",
            part: None,
            copies: 6,
            material: file.material,
            need_by: None,
            unit: None,
            replaces: None,
            statement: Some(&partpledge_workshop::review::Statement::own()),
            again: true,
            dimensions: None,
            over_limit: None,
            key: "send-00001",
        };
        let team = Actor::new(Role::Team("Newt Works".to_owned()));
        let sent = send(&session, &team, &sent).await.unwrap();
        assert!(sent.no_pledge.is_none());
        Self {
            _dir: dir,
            session,
            sent,
        }
    }

    async fn books(&self) -> Books {
        Books::open(&self.session).await.unwrap()
    }

    /// The first plate of the plan, and its place.
    async fn plate(&self) -> (u64, Assignment) {
        let books = self.books().await;
        let places = books.floor.plan.assignments.iter();
        let place = *places
            .min_by_key(|place| (place.start, place.plate))
            .unwrap();
        (place.plate.0, place)
    }

    async fn give(&self, plate: u64, bytes: &Bytes, key: &str) -> Result<Done, WorkshopError> {
        let what = (bytes, "C:\\jobs\\plate.txt");
        program_for_plate(&self.session, &bench(), plate, what, Some(key)).await
    }

    async fn making(&self, plate: u64, place: &Assignment) -> Making {
        let books = self.books().await;
        let makings = &books.plate(plate).unwrap().plate.makings;
        *makings.iter().find(|m| m.printer == place.printer).unwrap()
    }

    /// In how many of a hundred worlds the promise is kept, as things stand.
    async fn chance(&self) -> f64 {
        let books = self.books().await;
        let ground = Ground::new(&self.session.terrain.region);
        let asked = books.outlook(&self.session, &ground, self.sent.request.id, 400);
        let (plates, plan) = (&books.floor.plates, &books.floor.plan);
        let promised = books.pledge_of(self.sent.request.id).unwrap();
        100.0 * forecast(&ground, plates, plan, &asked).chance_by(promised.pledge.arrival)
    }

    /// Nothing that the checker finds but late promises.
    async fn sound(&self) {
        let floor = self.session.floor().await.unwrap();
        let found = checked(&self.session, &floor.plates, &floor.plan, &floor.plan).unwrap();
        let ours = found.iter().filter(|f| !f.code().starts_with("promise"));
        assert_eq!(ours.collect::<Vec<_>>(), Vec::<&_>::new());
    }

    /// All that a refusal must leave as it was.
    async fn state(&self) -> String {
        let (store, region) = self.session.store().unwrap();
        let last = store.last_entry(region).await.unwrap();
        format!("{last} {:?}", self.books().await.floor)
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_longer_program_moves_plan_and_forecast_and_the_promise_stays() {
    let world = World::new().await;
    let (plate, place) = world.plate().await;
    let promised = world
        .books()
        .await
        .pledge_of(world.sent.request.id)
        .unwrap()
        .clone();
    let (was, chance) = (world.making(plate, &place).await, world.chance().await);
    let longer = program((was.worked_out.0 + LONGER_MIN) * 60);
    world.give(plate, &longer, "program-01").await.unwrap();
    world.sound().await;
    let books = world.books().await;
    let told = books.floor.program_of(plate).unwrap().clone();
    let class = &world.session.terrain.classes[place.printer.0];
    assert_eq!((&told.class, told.file_name.as_str()), (class, "plate.txt"));
    assert_eq!(own(&books, plate, &place), was);
    let levelling = world.session.catalogue.class(class).unwrap().levelling_s;
    let least = was.worked_out.0 + LONGER_MIN + Minutes::covering_s(levelling).0;
    assert!(
        (least..=least + 1).contains(&told.worked_out_min),
        "{told:?}"
    );
    assert!(
        told.not_used.iter().any(|word| word.word == "G28"),
        "measuring the bed"
    );
    assert!(told.not_used.iter().any(|word| word.word == "M106"));
    // Its own class takes as much longer; other classes keep our own estimate.
    let kept = books.plate(plate).unwrap();
    for making in &kept.plate.makings {
        let same = &world.session.terrain.classes[making.printer.0] == class;
        let by_program = making.worked_out.0 == told.worked_out_min;
        assert_eq!(by_program, same, "{making:?}");
    }
    let is = world.making(plate, &place).await;
    let ratio = told.worked_out_min as f64 / was.worked_out.0 as f64;
    for (new, old) in [(is.nominal, was.nominal), (is.reserved, was.reserved)] {
        assert!((new.0 as f64 - old.0 as f64 * ratio).abs() <= 1.0, "{is:?}");
    }
    assert!(is.likely > was.likely);
    let now = books.floor.plan.of(PlateSeq(plate)).unwrap();
    assert!(now.end > place.end, "{place:?} {now:?}");
    assert_eq!((now.printer, now.start), (place.printer, place.start));
    assert_eq!(now.end, now.start + is.reserved);
    let less = world.chance().await;
    assert!(less < chance - 1.0, "{less} {chance}");
    let after = books.pledge_of(world.sent.request.id).unwrap();
    assert_eq!(
        (&after.pledge, &after.document),
        (&promised.pledge, &promised.document)
    );
    assert_eq!(
        kept.plate.promise.map(|p| p.arrival),
        Some(promised.pledge.arrival)
    );
    let (store, _) = world.session.store().unwrap();
    assert_eq!(
        store.blob(&told.blob).await.unwrap(),
        Some(longer),
        "as it came"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_program_too_long_for_the_promise_sends_the_plate_where_it_does_not_count() {
    let world = World::new().await;
    let (plate, place) = world.plate().await;
    let was = world.books().await.plate(plate).unwrap().plate.clone();
    let longer = program((world.making(plate, &place).await.worked_out.0 + 300) * 60);
    let done = world.give(plate, &longer, "program-01").await.unwrap();
    assert!(done.moved.contains(&PlateSeq(plate)) && done.late.is_empty());
    world.sound().await;
    let floor = world.books().await.floor;
    let now = floor.plan.of(PlateSeq(plate)).unwrap();
    assert!(now.arrives <= was.promise.unwrap().arrival);
    let classes = &world.session.terrain.classes;
    assert_ne!(classes[now.printer.0], classes[place.printer.0]);
    let own = was.makings.iter().find(|m| m.printer == now.printer);
    assert_eq!(
        Some(&world.making(plate, now).await),
        own,
        "our own estimate"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_shorter_program_ends_earlier_where_it_is_and_a_later_one_takes_its_place() {
    let world = World::new().await;
    let (plate, place) = world.plate().await;
    let was = world.making(plate, &place).await;
    for (minutes, key) in [
        (was.worked_out.0 / 2, "program-01"),
        (was.worked_out.0 * 3 / 4, "program-02"),
    ] {
        world
            .give(plate, &program(minutes * 60), key)
            .await
            .unwrap();
        world.sound().await;
        let books = world.books().await;
        let now = books.floor.plan.of(PlateSeq(plate)).unwrap();
        assert_eq!(
            (now.printer, now.start),
            (place.printer, place.start),
            "it stays"
        );
        assert!(now.end < place.end);
        let told = books.floor.program_of(plate).unwrap();
        assert_eq!(own(&books, plate, &place), was, "as it was worked out");
        assert_eq!(
            world.making(plate, &place).await.worked_out.0,
            told.worked_out_min
        );
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_no_program_for_the_plate_is_refused_and_nothing_changes() {
    let world = World::new().await;
    let (plate, _) = world.plate().await;
    let before = world.state().await;
    let part = partpledge_testbed::files().swap_remove(0).bytes;
    let years = "G4 S86400\n".repeat(2_000);
    let years = format!("G92 X0 Y0 Z0 E0\nG1 X9 E3 F1800\n{years}");
    let cases: [(&[u8], &str); 8] = [
        (&part, "binary-program"),
        (b"a poem\nabout plastic\n", "no-motion"),
        (b"", "no-motion"),
        (b"G93\nG1 X1\n", "feed-mode"),
        (b"G90\nG92 X0 Y0 Z0\nG0 X10 F6000\n", "lays-nothing"),
        (
            b"G90\nM83\nG92 X0 Y0 Z0\nG1 X2000 E9 F6000\n",
            "larger-than-bed",
        ),
        (b"G90\nM83\nG92 X0 Y0 Z0\nG1 X-9 E3 F6000\n", "outside-bed"),
        (
            b"M83\nM109 S600\nG92 X0 Y0 Z0\nG1 X20 E1 F6000\n",
            "nozzle-too-hot",
        ),
    ];
    let years = (years.as_bytes(), "no-slot");
    for (i, (bytes, code)) in cases.into_iter().chain([years]).enumerate() {
        let key = format!("program-{i:02}");
        let refused = world
            .give(plate, &Bytes::copy_from_slice(bytes), &key)
            .await;
        let error = refused.unwrap_err();
        assert_eq!(error.code(), code, "{error}");
        assert!(!error.what_to_do().is_empty() && !error.to_string().ends_with('.'));
        assert_eq!(world.state().await, before, "{code}");
    }
    let none = world
        .give(77, &program(60), "program-77")
        .await
        .unwrap_err();
    assert_eq!(none.code(), "store");
}

#[tokio::test(flavor = "multi_thread")]
async fn the_same_key_twice_and_at_once_is_one_deed() {
    let world = World::new().await;
    let (plate, _) = world.plate().await;
    let bytes = program(60 * 60);
    let (a, b) = tokio::join!(
        world.give(plate, &bytes, "program-01"),
        world.give(plate, &bytes, "program-01")
    );
    assert_eq!(
        [a, b]
            .map(|done| u8::from(done.unwrap().before))
            .iter()
            .sum::<u8>(),
        1
    );
    let before = world.state().await;
    assert!(
        world
            .give(plate, &program(9_000), "program-01")
            .await
            .unwrap()
            .before
    );
    assert_eq!(world.state().await, before);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_run_timed_by_a_program_says_so_and_teaches_only_the_yield() {
    let world = World::new().await;
    let (plate, place) = world.plate().await;
    let was = world.making(plate, &place).await;
    let bytes = program((was.worked_out.0 + LONGER_MIN) * 60);
    world.give(plate, &bytes, "program-01").await.unwrap();
    let books = world.books().await;
    let place = *books.floor.plan.of(PlateSeq(plate)).unwrap();
    let told: PlateProgram = books.floor.program_of(plate).unwrap().clone();
    let class = &world.session.terrain.classes[place.printer.0];
    assert_eq!(&told.class, class, "it is planned where its program counts");
    let starting = world.session.at(place.start.to_ms()).await.unwrap();
    act(&starting, &bench(), plate, &Act::Start, None)
        .await
        .unwrap();
    let late = (&program(60), "late.txt");
    let refused = program_for_plate(&starting, &bench(), plate, late, None).await;
    assert_eq!(refused.unwrap_err().code(), "not-waiting");
    // The very deed from before the start is still one deed.
    let again = (&bytes, "plate.txt");
    let again = program_for_plate(&starting, &bench(), plate, again, Some("program-01")).await;
    assert!(again.unwrap().before);
    let end = place.start + Minutes(told.worked_out_min);
    let ending = world.session.at(end.to_ms()).await.unwrap();
    let good = books.plate(plate).unwrap().plate.copies;
    act(
        &ending,
        &bench(),
        plate,
        &Act::TakeOff { good: good.into() },
        None,
    )
    .await
    .unwrap();
    let (store, region) = world.session.store().unwrap();
    let runs = store.finished_runs(region).await.unwrap();
    assert_eq!(
        (runs[0].worked_out_min, runs[0].by_program),
        (told.worked_out_min, true)
    );
    let after = world.session.at(end.to_ms()).await.unwrap();
    let known = after.terrain.learned.printer(&runs[0].printer).unwrap();
    assert_eq!((known.counted, known.plates), (0, 1));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_plate_made_again_has_our_own_time_until_its_program_comes() {
    let world = World::new().await;
    let (plate, place) = world.plate().await;
    let was = world.making(plate, &place).await;
    let bytes = program((was.worked_out.0 + LONGER_MIN) * 60);
    world.give(plate, &bytes, "program-01").await.unwrap();
    let books = world.books().await;
    let place = *books.floor.plan.of(PlateSeq(plate)).unwrap();
    let starting = world.session.at(place.start.to_ms()).await.unwrap();
    act(&starting, &bench(), plate, &Act::Start, None)
        .await
        .unwrap();
    let fail = Act::Fail {
        reason: "It came loose".to_owned(),
        good: 0_u32.into(),
        out_until: None,
    };
    act(&starting, &bench(), plate, &fail, None).await.unwrap();
    let books = Books::open(&starting).await.unwrap();
    let open = books.plates_of(world.sent.request.id);
    let open = open.filter(|kept| kept.state == PlateState::Open);
    let new = open.max_by_key(|kept| kept.plate.seq).unwrap();
    assert!(new.plate.seq.0 > plate);
    let mut makings = new.plate.makings.iter();
    let own = makings.find(|m| m.printer == place.printer).unwrap();
    assert_eq!(own.worked_out, was.worked_out);
    assert!(own.reserved >= own.nominal);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_run_takes_what_its_hosts_program_says_while_it_runs_and_when_it_ends() {
    let world = World::new().await;
    let (plate, place) = world.plate().await;
    let terrain = &world.session.terrain;
    let printer = &terrain.region.printers[place.printer.0];
    let site = printer.site_at(place.start).0;
    let roll = Roll {
        host: terrain.file.hosts[site].school.clone(),
        material: "PETG".to_owned(),
        colour: String::new(),
        net_g: 1_000,
        tare_g: None,
        donor: String::new(),
        received_at: EventMs(0),
    };
    let receive = SpoolAct::Receive {
        roll,
        spools: 1,
        delivery: None,
    };
    let load = SpoolAct::Do(1, Deed::Loaded(printer.name.clone()));
    for what in [receive, load] {
        act_on_spools(&world.session, &Actor::new(Role::Coordinator), &what, None)
            .await
            .unwrap();
    }
    let longer = world.making(plate, &place).await.worked_out.0 + 1;
    let bytes = program(longer * 60);
    world.give(plate, &bytes, "program-01").await.unwrap();
    let books = world.books().await;
    let (ours_g, theirs_g) = {
        let row = books.plate(plate).unwrap();
        let program = books.floor.program_of(plate).unwrap();
        (row.plate.grams, program.mass_g)
    };
    assert!(
        theirs_g > 0.0 && theirs_g < 1.0 && ours_g > 10,
        "{theirs_g}"
    );
    let at = |minute: partpledge_units::time::Minute| world.session.at(minute.to_ms());
    let starting = at(place.start).await.unwrap();
    let left = |session: &Session| {
        let accounts = session
            .spools
            .accounts(&session.terrain, &session.costs.rates);
        accounts[0].left_mg
    };
    let takes_mg = partpledge_units::cast::round_i64((theirs_g * 1_050.0).round()).unwrap();
    act(&starting, &bench(), plate, &Act::Start, None)
        .await
        .unwrap();
    let running = at(place.start + Minutes(1)).await.unwrap();
    assert_eq!(1_000_000 - left(&running), takes_mg, "as it runs");
    let good = books.plate(plate).unwrap().plate.copies;
    let off = Act::TakeOff { good: good.into() };
    let ending = at(place.end).await.unwrap();
    act(&ending, &bench(), plate, &off, None).await.unwrap();
    let ended = at(place.end).await.unwrap();
    assert_eq!(1_000_000 - left(&ended), takes_mg, "as it ended");
}
