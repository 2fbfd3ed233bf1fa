//! Spools at the bench: what runs take, what scales correct, what plans wait for, what to order.
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

use bytes::Bytes;
use partpledge_planning_model::Assignment;
use partpledge_records::{PlateState, StepKind};
use partpledge_stock::{Account, Deed, Delivery, DeliveryEnd, Roll, State};
use partpledge_units::local::{parse_date, parse_rfc3339};
use partpledge_units::time::{EventMs, Minute, Minutes};
use partpledge_workshop::bench::spools::{SpoolAct, act_on_spools, act_on_spools_at, counted_from};

use partpledge_workshop::bench::{Act, act, take_back};
use partpledge_workshop::plan_room::checked;
use partpledge_workshop::sending::{Received, Sent, send};
use partpledge_workshop::spools::advice::{Wanted, advise};
use partpledge_workshop::spools::clashes::clashes;
use partpledge_workshop::spools::ordering::{lines, shelves};
use partpledge_workshop::{Actor, Books, Role, Session, WorkshopError};

struct World {
    _dir: tempfile::TempDir,
    session: Session,
}

const HOST: &str = "brindlemoor";

fn bench() -> Actor {
    Actor::new(Role::Host(HOST.to_owned()))
}

fn roll(host: &str, net_g: i64) -> Roll {
    Roll {
        host: host.to_owned(),
        material: "PETG".to_owned(),
        colour: "orange".to_owned(),
        net_g,
        tare_g: None,
        donor: String::new(),
        received_at: EventMs(0),
    }
}

impl World {
    async fn new() -> Self {
        let dir = tempfile::tempdir().unwrap();
        let now = parse_rfc3339("2027-03-09T10:00:00+01:00").unwrap();
        let region = partpledge_testbed::ambrel_valley();
        let session = Session::open(&dir.path().join("data"), region, now).await;
        Self {
            _dir: dir,
            session: session.unwrap(),
        }
    }

    async fn at(&self, minute: Minute) -> Session {
        self.session.at(minute.to_ms()).await.unwrap()
    }

    async fn now(&self) -> Session {
        self.session.at(self.session.now).await.unwrap()
    }

    async fn tell(&self, what: SpoolAct) -> Result<(), WorkshopError> {
        let actor = Actor::new(Role::Coordinator);
        act_on_spools(&self.session, &actor, &what, None)
            .await
            .map(|_| ())
    }

    async fn receive(&self, host: &str, net_g: i64, spools: i64) {
        let (roll, delivery) = (roll(host, net_g), None);
        let what = SpoolAct::Receive {
            roll,
            spools,
            delivery,
        };
        self.tell(what).await.unwrap();
    }

    /// A bracket in PETG: two copies, some 20 g.
    async fn send(&self, key: &str) -> Received {
        let file = partpledge_testbed::files().swap_remove(0);
        assert_eq!(file.material, "PETG");
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
        send(&self.now().await, &actor, &sent).await.unwrap()
    }

    async fn account(&self, number: i64) -> Account {
        let session = self.now().await;
        let all = session
            .spools
            .accounts(&session.terrain, &session.costs.rates);
        all.into_iter().find(|a| a.spool.number == number).unwrap()
    }

    /// No rule is broken by what is planned.
    async fn sound(&self) {
        let session = self.now().await;
        let floor = session.floor().await.unwrap();
        let found = checked(&session, &floor.plates, &floor.plan, &floor.plan).unwrap();
        // Late promises are the truth.
        let ours = found.iter().filter(|fault| !fault.misses_a_promise());
        assert_eq!(ours.collect::<Vec<_>>(), Vec::<&_>::new());
    }
}

fn places(books: &Books, sent: &Received) -> Vec<Assignment> {
    let open = books.plates_of(sent.request.id);
    let open = open.filter(|kept| kept.state == PlateState::Open);
    open.filter_map(|kept| books.place(kept).copied()).collect()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_plan_waits_for_the_delivery_where_shelves_are_bare() {
    let world = World::new().await;
    let free = world.send("send-00001").await;
    let books = Books::open(&world.session).await.unwrap();
    let unasked = places(&books, &free)[0].start;
    // 50 g, of which 20 g stay on the reel: too little for another.
    let hosts: Vec<String> = world
        .session
        .terrain
        .file
        .hosts
        .iter()
        .map(|h| h.school.clone())
        .collect();
    for host in &hosts {
        world.receive(host, 50, 1).await;
        let session = world.now().await;
        let spool = session.spools.ledger.spools.last().unwrap().number;
        world
            .tell(SpoolAct::Do(spool, Deed::Emptied))
            .await
            .unwrap();
    }
    let day = parse_date("2027-03-11").unwrap();
    let due = counted_from(&world.session, day);
    let delivery = Delivery {
        number: 0,
        host: HOST.to_owned(),
        material: "PETG".to_owned(),
        spools: 1,
        net_g: 1_000,
        due,
        donor: String::new(),
        end: None,
    };
    world.tell(SpoolAct::Promise(delivery)).await.unwrap();
    let sent = world.send("send-00002").await;
    assert!(sent.no_pledge.is_none(), "{:?}", sent.no_pledge);
    let session = world.now().await;
    let books = Books::open(&session).await.unwrap();
    // The plate from before had its place in a plan for which there was plastic; now it waits too.
    for request in [&free, &sent] {
        for place in places(&books, request) {
            assert!(place.start >= due && place.start > unasked);
            let site = session.terrain.region.printers[place.printer.0].site_at(place.start);
            assert_eq!(session.terrain.file.hosts[site.0].school, HOST);
        }
    }
    assert!(!places(&books, &sent).is_empty());
    // Some 20 g each of the kilogram that comes: it is enough for all, if not for two at one time.
    for clash in clashes(&session, &books) {
        let held = clash.held.as_ref();
        assert_eq!(held.map(|held| held.spool), Some(None), "{clash:?}");
    }
    world.sound().await;
    // It comes; what waited for it can be made as soon as the spools are on the shelf.
    let came = SpoolAct::Receive {
        roll: roll(HOST, 1_000),
        spools: 1,
        delivery: Some(1),
    };
    world.tell(came).await.unwrap();
    world.sound().await;
    let ledger = &world.now().await.spools.ledger;
    assert_eq!(ledger.deliveries[0].end, Some(DeliveryEnd::Arrived));
}

/// A world with one plate planned, a spool of PETG on its printer, and where it was planned.
async fn loaded(net_g: i64) -> (World, u64, Assignment, String) {
    let world = World::new().await;
    let sent = world.send("send-00001").await;
    let books = Books::open(&world.session).await.unwrap();
    let place = places(&books, &sent)[0];
    let terrain = &world.session.terrain;
    let printer = terrain.region.printers[place.printer.0].name.clone();
    let site = terrain.region.printers[place.printer.0].site_at(place.start);
    let host = terrain.file.hosts[site.0].school.clone();
    world.receive(&host, net_g, 1).await;
    world
        .tell(SpoolAct::Do(1, Deed::Loaded(printer.clone())))
        .await
        .unwrap();
    (world, place.plate.0, place, printer)
}

#[tokio::test(flavor = "multi_thread")]
async fn a_run_takes_its_filament_from_the_spool_on_its_printer() {
    let (world, seq, place, printer) = loaded(1_000).await;
    let session = world.now().await;
    assert_eq!(
        session.terrain.region.printers[place.printer.0]
            .loaded
            .as_deref(),
        Some("PETG")
    );
    let grams = session
        .floor()
        .await
        .unwrap()
        .plates
        .iter()
        .find(|p| p.seq.0 == seq)
        .unwrap()
        .grams;
    let starting = world.at(place.start).await;
    act(&starting, &bench(), seq, &Act::Start, None)
        .await
        .unwrap();
    let running = world.at(place.start + Minutes(1)).await;
    let accounts = running
        .spools
        .accounts(&running.terrain, &running.costs.rates);
    let takes_mg = grams * 1_050;
    assert_eq!(
        accounts[0].left_mg,
        1_000_000 - takes_mg,
        "gone from the shelf at the start"
    );
    let of = Books::open(&running)
        .await
        .unwrap()
        .plate(seq)
        .unwrap()
        .plate
        .copies;
    let ending = world.at(place.end).await;
    let off = Act::TakeOff { good: of.into() };
    for _ in 0..2 {
        act(&ending, &bench(), seq, &off, Some("off-00001"))
            .await
            .unwrap();
    }
    let account = world.account(1).await;
    assert_eq!(
        account.left_mg,
        1_000_000 - takes_mg,
        "once, however often it is sent"
    );
    assert_eq!(account.state, State::Loaded(printer));
    world.sound().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn a_run_that_is_taken_back_gives_its_filament_back_and_takes_it_once_again() {
    let (world, seq, place, _) = loaded(1_000).await;
    let starting = world.at(place.start).await;
    act(&starting, &bench(), seq, &Act::Start, None)
        .await
        .unwrap();
    let of = Books::open(&starting)
        .await
        .unwrap()
        .plate(seq)
        .unwrap()
        .plate
        .copies;
    let ending = world.at(place.end).await;
    let off = Act::TakeOff { good: of.into() };
    act(&ending, &bench(), seq, &off, None).await.unwrap();
    let used = world.now().await.spools.ledger.uses.clone();
    assert_eq!(used.len(), 1);
    take_back(&ending, &bench(), (seq, StepKind::Off), None)
        .await
        .unwrap();
    let back = world.now().await;
    assert!(back.spools.ledger.uses.is_empty(), "it runs again");
    assert_eq!(back.spools.running.len(), 1);
    world.sound().await;
    act(&world.at(place.end).await, &bench(), seq, &off, None)
        .await
        .unwrap();
    assert_eq!(world.now().await.spools.ledger.uses, used);
    take_back(
        &world.at(place.end).await,
        &bench(),
        (seq, StepKind::Off),
        None,
    )
    .await
    .unwrap();
    let ended = world.at(place.end).await;
    take_back(&ended, &bench(), (seq, StepKind::Started), None)
        .await
        .unwrap_err();
    assert_eq!(
        world.now().await.spools.running.len(),
        1,
        "that was hours ago"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn another_bench_can_not_touch_the_spools_of_this_one() {
    let world = World::new().await;
    world.receive(HOST, 1_000, 1).await;
    let other = Actor::new(Role::Host("otterquay".to_owned()));
    let what = SpoolAct::Do(1, Deed::Emptied);
    let refused = act_on_spools(&world.session, &other, &what, None).await;
    assert_eq!(refused.unwrap_err().code(), "not-allowed");
    assert_eq!(world.account(1).await.state, State::Sealed);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_failed_run_takes_the_share_of_its_time() {
    let (world, seq, place, _) = loaded(1_000).await;
    act(
        &world.at(place.start).await,
        &bench(),
        seq,
        &Act::Start,
        None,
    )
    .await
    .unwrap();
    let books = Books::open(&world.now().await).await.unwrap();
    let plate = books.floor.plates.iter().find(|p| p.seq.0 == seq).unwrap();
    let making = plate
        .makings
        .iter()
        .find(|m| m.printer == place.printer)
        .unwrap();
    let half = Minutes(making.likely.0 / 2);
    let of_its_time = half.0 as f64 / making.likely.0 as f64;
    let failed = Act::Fail {
        reason: "It came loose from the bed".to_owned(),
        good: 0.into(),
        out_until: None,
    };
    act(
        &world.at(place.start + half).await,
        &bench(),
        seq,
        &failed,
        None,
    )
    .await
    .unwrap();
    let used = 1_000_000 - world.account(1).await.left_mg;
    let share = used as f64 / (plate.grams * 1_050) as f64;
    assert!((share - of_its_time).abs() < 0.005, "{share} {of_its_time}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_reading_corrects_and_says_by_how_much() {
    let (world, seq, place, _) = loaded(1_000).await;
    let weigh = |grams, with_reel, tare_g| SpoolAct::Weigh {
        spool: 1,
        grams,
        with_reel,
        tare_g,
        sure: false,
    };
    let nobody_knows = world.tell(weigh(1_174, true, None)).await.unwrap_err();
    assert_eq!(nobody_knows.code(), "spool");
    let less = world.tell(weigh(50, true, Some(212))).await.unwrap_err();
    assert_eq!(
        less.to_string(),
        "50 g is less than the empty reel of S-1 (212 g)"
    );
    // Three times what was on it: asked back, and taken when it is said again.
    let more = world.tell(weigh(3_212, true, Some(212))).await.unwrap_err();
    assert_eq!(
        more.to_string(),
        "3000 g of filament would be more than S-1 had when new (1000 g)"
    );
    world.tell(weigh(1_174, true, Some(212))).await.unwrap();
    let account = world.account(1).await;
    assert_eq!(account.left_mg, 962_000);
    assert_eq!(account.corrections[0].difference_mg, -38_000);
    let (store, region) = world.session.store().unwrap();
    let events = store.events_after(region, 0).await.unwrap();
    let said = events
        .iter()
        .find(|(_, event)| event.kind == "spool.weighed")
        .unwrap();
    assert!(said.1.payload.contains("-38.0"), "{}", said.1.payload);
    // The reel is known from now on. There is next to nothing on it: the plate goes elsewhere.
    world.tell(weigh(230, true, None)).await.unwrap();
    assert_eq!(world.account(1).await.left_mg, 18_000);
    let books = Books::open(&world.now().await).await.unwrap();
    let then = books
        .floor
        .plan
        .of(partpledge_planning_model::PlateSeq(seq));
    assert_ne!(then.map(|then| then.printer), Some(place.printer));
    // A little more than new is usual; three times as much is taken when it is said again.
    world.tell(weigh(1_312, true, None)).await.unwrap();
    assert_eq!(world.account(1).await.left_mg, 1_100_000);
    let sure = SpoolAct::Weigh {
        spool: 1,
        grams: 3_212,
        with_reel: true,
        tare_g: None,
        sure: true,
    };
    world.tell(sure).await.unwrap();
    assert_eq!(world.account(1).await.left_mg, 3_000_000);
    world.sound().await;
}

#[tokio::test(flavor = "multi_thread")]
async fn one_spool_is_on_one_printer_and_what_is_gone_is_not_loaded() {
    let (world, _, place, printer) = loaded(1_000).await;
    let host = world.account(1).await.host;
    world.receive(&host, 1_000, 2).await;
    world
        .tell(SpoolAct::Do(2, Deed::Loaded(printer.clone())))
        .await
        .unwrap();
    assert_eq!(
        world.account(1).await.state,
        State::Open,
        "the other came off"
    );
    assert_eq!(world.account(2).await.state, State::Loaded(printer.clone()));
    world.tell(SpoolAct::Do(2, Deed::Emptied)).await.unwrap();
    let again = world
        .tell(SpoolAct::Do(2, Deed::Loaded(printer.clone())))
        .await;
    assert_eq!(again.unwrap_err().code(), "spool");
    let session = world.now().await;
    let elsewhere = session
        .terrain
        .region
        .printers
        .iter()
        .find(|p| p.site != session.terrain.region.printers[place.printer.0].site);
    let far = Deed::Loaded(elsewhere.unwrap().name.clone());
    assert!(
        world.tell(SpoolAct::Do(3, far)).await.is_err(),
        "it stands at another host"
    );
    let other = session
        .terrain
        .file
        .hosts
        .iter()
        .find(|h| h.school != host)
        .unwrap();
    world
        .tell(SpoolAct::Do(3, Deed::Moved(other.school.clone())))
        .await
        .unwrap();
    assert_eq!(world.account(3).await.host, other.school);
}

#[tokio::test(flavor = "multi_thread")]
async fn the_spool_to_load_suffices_is_dry_and_is_the_emptiest() {
    let world = World::new().await;
    world.receive(HOST, 1_000, 3).await;
    let weigh = |spool, grams| SpoolAct::Weigh {
        spool,
        grams,
        with_reel: false,
        tare_g: None,
        sure: false,
    };
    world.tell(SpoolAct::Do(2, Deed::Opened)).await.unwrap();
    world.tell(weigh(2, 300)).await.unwrap();
    world.tell(SpoolAct::Do(3, Deed::Opened)).await.unwrap();
    world.tell(weigh(3, 90)).await.unwrap();
    let want = |plate, plate_g| Wanted {
        plate,
        material: "PETG",
        printer: "Teal",
        plate_g,
    };
    let session = world.now().await;
    let first = |session: &Session, wanted: &[Wanted<'_>]| -> Vec<i64> {
        let advice = advise(session, HOST, wanted);
        advice.values().map(|a| a.choices[0].number).collect()
    };
    assert_eq!(first(&session, &[want(1, 200.0), want(2, 200.0)]), [2, 1]);
    assert_eq!(first(&session, &[want(1, 60.0)]), [3], "ends are used up");
    let none = advise(&session, "otterquay", &[want(1, 60.0)]);
    assert!(none.is_empty(), "nobody has told anything there");
    let damp = world.at(session.minute() + Minutes(15 * 1_440)).await;
    assert_eq!(
        first(&damp, &[want(1, 200.0)]),
        [1],
        "S-2 has been open too long"
    );
    let short = advise(&session, HOST, &[want(1, 2_000.0)]);
    assert!(!short[&1].choices[0].suffices);
    assert_eq!(short[&1].choices[0].number, 1, "the fullest");
}

#[tokio::test(flavor = "multi_thread")]
async fn the_shortest_shelf_comes_first_with_what_to_order() {
    let (world, _, place, _) = loaded(1_000).await;
    let session = world.now().await;
    let books = Books::open(&session).await.unwrap();
    let shelf = shelves(&session, &books).remove(0);
    assert!(shelf.planned_g > 0.0);
    assert_eq!(shelf.advice.unwrap().spools, 0, "a kilogram is plenty");
    let site = session.terrain.region.printers[place.printer.0].site_at(place.start);
    let host = &session.terrain.file.hosts[site.0].school;
    world.tell(SpoolAct::Do(1, Deed::Emptied)).await.unwrap();
    let session = world.now().await;
    assert_eq!(lines(&session, host)[0].account.state, State::Empty);
    // The plate went elsewhere; what runs took decides alone, and nothing has run.
    let books = Books::open(&session).await.unwrap();
    let bare = shelves(&session, &books).remove(0);
    assert!(bare.here_g.abs() < 1e-9);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_spool_changed_on_the_way_pays_its_share_while_the_plate_runs_and_no_more_after() {
    let (world, seq, place, printer) = loaded(1_000).await;
    let host = world.account(1).await.host;
    world.receive(&host, 1_000, 1).await;
    act(
        &world.at(place.start).await,
        &bench(),
        seq,
        &Act::Start,
        None,
    )
    .await
    .unwrap();
    let books = Books::open(&world.now().await).await.unwrap();
    let plate = books.floor.plates.iter().find(|p| p.seq.0 == seq).unwrap();
    let (takes_mg, copies) = (plate.grams * 1_050, plate.copies);
    let making = plate.makings.iter();
    let making = making.clone().find(|m| m.printer == place.printer).unwrap();
    let half = place.start + Minutes(making.likely.0 / 2);
    let change = SpoolAct::Do(2, Deed::Loaded(printer));
    let coordinator = Actor::new(Role::Coordinator);
    act_on_spools(&world.at(half).await, &coordinator, &change, None)
        .await
        .unwrap();
    let used = async |at: Minute| {
        let session = world.at(at).await;
        let accounts = session
            .spools
            .accounts(&session.terrain, &session.costs.rates);
        [0, 1].map(|k| 1_000_000 - accounts[k].left_mg)
    };
    let running = used(half).await;
    let share = running[0] as f64 / takes_mg as f64;
    assert!((share - 0.5).abs() < 0.02, "{running:?} of {takes_mg}");
    assert!((running[0] + running[1] - takes_mg).abs() <= 2);
    let off = Act::TakeOff {
        good: copies.into(),
    };
    let ending = world.at(place.end).await;
    act(&ending, &bench(), seq, &off, None).await.unwrap();
    let ended = used(place.end).await;
    for (ended, running) in ended.iter().zip(running) {
        let apart = (ended - running).abs() as f64;
        assert!(apart < 0.02 * takes_mg as f64, "{ended} after {running}");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_spool_that_a_tablet_names_late_was_on_the_printer_before_it_was_weighed() {
    let (world, _, place, printer) = loaded(1_000).await;
    let host = world.account(1).await.host;
    world.receive(&host, 1_000, 1).await;
    let weighing = world.at(place.start + Minutes(60)).await;
    let weigh = SpoolAct::Weigh {
        spool: 2,
        grams: 900,
        with_reel: false,
        tare_g: None,
        sure: false,
    };
    let coordinator = Actor::new(Role::Coordinator);
    act_on_spools(&weighing, &coordinator, &weigh, None)
        .await
        .unwrap();
    let sending = world.at(place.start + Minutes(90)).await;
    let load = SpoolAct::Do(2, Deed::Loaded(printer));
    let told = Some(place.start.to_ms());
    act_on_spools_at(&sending, &coordinator, &load, None, told)
        .await
        .unwrap();
    let ledger = &world.now().await.spools.ledger;
    let step = ledger.steps.iter().find(|step| step.spool == 2).unwrap();
    assert_eq!(step.at, place.start.to_ms(), "as it was told");
}
