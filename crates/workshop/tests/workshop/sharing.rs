//! Two teams on one plate: the pledge, the bench, the loss, the calling back.
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

use std::collections::BTreeMap;

use bytes::Bytes;
use partpledge_planning_model::PlateSeq;
use partpledge_records::{KeptPlate, PlateState, PledgeEnd, State};
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::{Minute, Minutes};
use partpledge_workshop::bench::{Act, Good, act, end_request};
use partpledge_workshop::plan_room::checked;
use partpledge_workshop::plate_room::laid_plate;
use partpledge_workshop::risks::outcomes;
use partpledge_workshop::run_sheet::{JobKind, run_sheet};
use partpledge_workshop::sending::{Received, Sent, send};
use partpledge_workshop::{Actor, Books, Role, Session};

/// One printer, at a school with one courier round a day to each of two teams.
const REGION: &str = include_str!("sharing/region.toml");

struct World {
    _dir: tempfile::TempDir,
    session: Session,
}

fn bench() -> Actor {
    Actor::new(Role::Host("rushford".to_owned()))
}

impl World {
    async fn new() -> Self {
        let dir = tempfile::tempdir().unwrap();
        let now = parse_rfc3339("2027-03-09T10:00:00+01:00").unwrap();
        let session = Session::open(&dir.path().join("data"), REGION, now).await;
        Self {
            _dir: dir,
            session: session.unwrap(),
        }
    }

    async fn at(&self, minute: Minute) -> Session {
        self.session.at(minute.to_ms()).await.unwrap()
    }

    async fn send(&self, team: &str, copies: u32, key: &str) -> Received {
        let file = partpledge_testbed::files().swap_remove(1);
        let sent = Sent {
            bytes: Bytes::from(file.bytes),
            file_name: file.name,
            team,
            part: None,
            copies,
            material: "PLA",
            need_by: None,
            unit: None,
            replaces: None,
            statement: Some(&partpledge_workshop::review::Statement::own()),
            again: true,
            dimensions: None,
            over_limit: None,
            key,
        };
        let actor = Actor::new(Role::Team(team.to_owned()));
        let sent = send(&self.session, &actor, &sent).await.unwrap();
        assert!(sent.no_pledge.is_none(), "{:?}", sent.no_pledge);
        sent
    }

    async fn books(&self) -> Books {
        Books::open(&self.session).await.unwrap()
    }

    fn sound(&self, books: &Books) {
        let floor = &books.floor;
        let found = checked(&self.session, &floor.plates, &floor.plan, &floor.plan).unwrap();
        assert_eq!(found, []);
    }

    /// Two teams whose parts lie on one plate, with the shares of both.
    async fn two(&self) -> (Received, Received, KeptPlate, KeptPlate) {
        let first = self.send("Newt Works", 2, "send-00001").await;
        let second = self.send("Eel Drive", 1, "send-00002").await;
        let books = self.books().await;
        let of = |sent: &Received| {
            let rows: Vec<&KeptPlate> = books.plates_of(sent.request.id).collect();
            assert_eq!(rows.len(), 1);
            rows[0].clone()
        };
        let (a, b) = (of(&first), of(&second));
        (first, second, a, b)
    }
}

fn states(books: &Books, sent: &Received) -> Vec<State> {
    let copies = books.copies(sent.request.id).iter();
    copies.map(|copy| copy.state).collect()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_second_team_goes_on_the_plate_that_is_planned() {
    let world = World::new().await;
    let (first, second, a, b) = world.two().await;
    assert_eq!((a.joins, b.joins), (None, Some(a.plate.seq)));
    let books = world.books().await;
    world.sound(&books);
    assert_eq!(books.floor.plates.len(), 1);
    let whole = &books.floor.plates[0];
    assert_eq!(whole.riders.len(), 1);
    let place = *books.place(&b).unwrap();
    assert_eq!(Some(&place), books.place(&a));
    // It takes longer than the first alone did, and less than two plates would.
    let (before, after) = (&a.own[0], &whole.makings[0]);
    assert!(after.nominal > before.nominal);
    assert!(after.nominal < before.nominal + before.nominal);
    assert_eq!(place.end - place.start, after.reserved);
    // Each is promised at its own place, and the document says which plate.
    let promised = [&first, &second].map(|sent| books.pledge_of(sent.request.id).unwrap());
    assert_ne!(promised[0].pledge.place, promised[1].pledge.place);
    let document = &promised[1].document;
    assert_eq!(document.plates[0].plate, a.plate.seq.0);
    assert!(
        document.reasons[0].to_string().contains("planned already"),
        "{:?}",
        document.reasons
    );
    assert_eq!(document.legs[0].to, promised[1].pledge.place);
    for outcome in outcomes(&world.session, &books).values() {
        assert!(outcome.chance >= 0.85, "{outcome:?}");
    }
    // All three copies lie on its bed.
    let laid = laid_plate(&world.session, &books, &b)
        .await
        .unwrap()
        .unwrap();
    assert_eq!(laid.layout.placements.len(), 3);
    assert_eq!(laid.items.len(), 2);
    assert!(laid.three_mf().starts_with(b"PK"));
}

#[tokio::test(flavor = "multi_thread")]
async fn at_the_bench_it_is_one_plate_and_two_boxes() {
    let world = World::new().await;
    let (first, second, a, b) = world.two().await;
    let books = world.books().await;
    let place = *books.place(&a).unwrap();
    let day = world.session.terrain.zone.date(place.start);
    let sheet = run_sheet(&world.session, &books, "rushford", day)
        .await
        .unwrap();
    let many = |kind| sheet.jobs.iter().filter(|job| job.kind == kind).count();
    assert_eq!(
        [JobKind::Load, JobKind::Look, JobKind::Clear].map(many),
        [1; 3]
    );
    assert_eq!(many(JobKind::Box), 2);
    let load = sheet
        .jobs
        .iter()
        .find(|job| job.kind == JobKind::Load)
        .unwrap();
    assert_eq!(load.plate.others[0].team, "Eel Drive");
    assert!(load.plate.whole_g().unwrap() > load.plate.mass_g.unwrap());
    // Started by the number of either, it is started for both.
    let (starting, ending) = (world.at(place.start).await, world.at(place.end).await);
    let seq = b.plate.seq.0;
    act(&starting, &bench(), seq, &Act::Start, None)
        .await
        .unwrap();
    let books = world.books().await;
    for sent in [&first, &second] {
        assert!(
            states(&books, sent)
                .iter()
                .all(|state| *state == State::Running)
        );
        assert!(!books.may_withdraw(sent.request.id));
    }
    let again = act(&starting, &bench(), a.plate.seq.0, &Act::Start, None).await;
    assert_eq!(again.unwrap_err().code(), "store", "it was started");
    // What is good is said for each.
    let short = Act::TakeOff { good: 2.into() };
    let refused = act(&ending, &bench(), a.plate.seq.0, &short, None).await;
    assert_eq!(refused.unwrap_err().code(), "out-of-range");
    let good = Good {
        first: 2,
        others: BTreeMap::from([(b.plate.seq.0, 1)]),
    };
    act(
        &ending,
        &bench(),
        a.plate.seq.0,
        &Act::TakeOff { good },
        None,
    )
    .await
    .unwrap();
    act(&ending, &bench(), b.plate.seq.0, &Act::Box, None)
        .await
        .unwrap();
    let books = world.books().await;
    assert_eq!(states(&books, &second), [State::Boxed]);
    assert_eq!(states(&books, &first), [State::Inspected, State::Inspected]);
    assert!(books.floor.plates.is_empty());
    assert_eq!(books.plate(a.plate.seq.0).unwrap().state, PlateState::Off);
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_lost_of_each_is_made_again_by_itself() {
    let world = World::new().await;
    let (first, second, a, b) = world.two().await;
    let place = *world.books().await.place(&a).unwrap();
    let starting = world.at(place.start).await;
    act(&starting, &bench(), a.plate.seq.0, &Act::Start, None)
        .await
        .unwrap();
    let failing = world.at(place.start + Minutes(30)).await;
    let fail = Act::Fail {
        reason: "Layers are shifted".to_owned(),
        good: Good {
            first: 1,
            others: BTreeMap::from([(b.plate.seq.0, 0)]),
        },
        out_until: None,
    };
    act(&failing, &bench(), a.plate.seq.0, &fail, None)
        .await
        .unwrap();
    let books = Books::open(&failing).await.unwrap();
    assert_eq!(books.plate(a.plate.seq.0).unwrap().state, PlateState::Off);
    assert_eq!(books.plate(b.plate.seq.0).unwrap().state, PlateState::Lost);
    for (sent, old) in [(&first, &a), (&second, &b)] {
        let new = books.plates_of(sent.request.id).last().unwrap();
        assert_eq!((new.joins, new.plate.copies), (None, 1));
        assert_eq!(new.plate.promise, old.plate.promise);
        assert!(books.place(new).is_some());
        assert!(
            new.plate.makings[0].nominal
                < books.plate(old.plate.seq.0).unwrap().plate.makings[0].nominal
        );
    }
    let runs = &books.floor.steps;
    assert!(
        runs.iter().all(|step| step.plate == a.plate.seq.0),
        "one run, of one plate"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_large_order_is_cut_into_plates_that_are_done_while_somebody_stays() {
    let world = World::new().await;
    let sent = world.send("Newt Works", 90, "send-00001").await;
    let books = world.books().await;
    world.sound(&books);
    let plates: Vec<&KeptPlate> = books.plates_of(sent.request.id).collect();
    let on_bed = &world.session.terrain.region.printers[0];
    assert!(!on_bed.unattended);
    let visit = Minutes(10 * 60);
    let whole: i64 = plates.iter().map(|kept| kept.own[0].reserved.0).sum();
    assert!(
        whole > 4 * visit.0,
        "four plates would each be longer than anybody stays: {whole}"
    );
    assert!(plates.len() > 4);
    assert!(plates.iter().all(|kept| kept.own[0].reserved <= visit));
}

#[tokio::test(flavor = "multi_thread")]
async fn when_one_of_them_is_called_back_the_other_is_printed_all_the_same() {
    for gone in [0, 1] {
        let world = World::new().await;
        let (first, second, a, b) = world.two().await;
        let whole = world.books().await.floor.plates[0].clone();
        let (gone, stays) = if gone == 0 {
            (&first, &second)
        } else {
            (&second, &first)
        };
        let team = Actor::new(Role::Team(gone.request.team.clone()));
        end_request(
            &world.session,
            &team,
            gone.request.id,
            PledgeEnd::Withdrawn,
            None,
        )
        .await
        .unwrap();
        let books = world.books().await;
        world.sound(&books);
        assert_eq!(books.floor.plates.len(), 1);
        let left = &books.floor.plates[0];
        assert_eq!(
            left.seq,
            PlateSeq(a.plate.seq.0),
            "under the number that it had"
        );
        assert!(left.riders.is_empty());
        assert!(left.makings[0].nominal <= whole.makings[0].nominal);
        let row = if gone.request.id == first.request.id {
            &b
        } else {
            &a
        };
        assert_eq!(left.to, row.plate.to);
        let place = *books.place(row).unwrap();
        let starting = world.at(place.start).await;
        act(&starting, &bench(), left.seq.0, &Act::Start, None)
            .await
            .unwrap();
        let books = Books::open(&starting).await.unwrap();
        assert!(
            states(&books, stays)
                .iter()
                .all(|state| *state == State::Running)
        );
        assert!(
            states(&books, gone)
                .iter()
                .all(|state| *state == State::Withdrawn)
        );
        let laid = laid_plate(&starting, &books, row).await.unwrap().unwrap();
        assert_eq!(laid.layout.placements.len(), row.plate.copies as usize);
        let ending = world.at(place.end).await;
        let off = Act::TakeOff {
            good: row.plate.copies.into(),
        };
        act(&ending, &bench(), left.seq.0, &off, None)
            .await
            .unwrap();
        let books = Books::open(&ending).await.unwrap();
        assert!(
            states(&books, stays)
                .iter()
                .all(|state| *state == State::Inspected)
        );
        assert!(books.floor.plates.is_empty() && books.floor.plan.assignments.is_empty());
    }
}
