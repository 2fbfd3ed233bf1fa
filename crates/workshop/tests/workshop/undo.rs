//! Steps that are taken back: the floor is as it was before, and the log has both.
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

use std::collections::BTreeMap;

use bytes::Bytes;
use partpledge_planning_model::{Plan, Plate};
use partpledge_records::{FinishedRun, Outage, PlateState, RunStep, State, StepKind};
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::{Minute, Minutes};
use partpledge_workshop::bench::{Act, Told, act, hold, take_back};
use partpledge_workshop::plate_room::printer_of;
use partpledge_workshop::sending::{Sent, send};
use partpledge_workshop::{Actor, Books, Role, Session};

struct World {
    _dir: tempfile::TempDir,
    session: Session,
}

const TEAM: &str = "Newt Works";

fn machine() -> Actor {
    Actor::at_the_machine()
}

/// Everything on record but the log, numbers and revisions, and plates that nobody needs any more.
#[derive(Debug, PartialEq)]
struct Stands {
    plan: Plan,
    open: Vec<Plate>,
    states: BTreeMap<u64, PlateState>,
    steps: Vec<RunStep>,
    copies: Vec<(u64, State)>,
    outages: Vec<Outage>,
    runs: Vec<FinishedRun>,
    given: BTreeMap<String, u32>,
}

impl World {
    /// The demo region with a request of two brackets and one of four hubs.
    async fn new() -> Self {
        let dir = tempfile::tempdir().unwrap();
        let now = parse_rfc3339("2027-03-09T10:00:00+01:00").unwrap();
        let region = partpledge_testbed::ambrel_valley();
        let session = Session::open(&dir.path().join("data"), region, now).await;
        let session = session.unwrap();
        for (i, key) in [(0, "send-00001"), (1, "send-00002")] {
            let file = partpledge_testbed::files().swap_remove(i);
            let sent = Sent {
                bytes: Bytes::from(file.bytes),
                file_name: file.name,
                team: TEAM,
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
            let actor = Actor::new(Role::Team(TEAM.to_owned()));
            send(&session, &actor, &sent).await.unwrap();
        }
        Self { _dir: dir, session }
    }

    async fn at(&self, minute: Minute) -> Session {
        self.session.at(minute.to_ms()).await.unwrap()
    }

    async fn books(&self) -> Books {
        Books::open(&self.session).await.unwrap()
    }

    async fn stands(&self) -> Stands {
        let books = self.books().await;
        let (store, region) = self.session.store().unwrap();
        let kept = books.floor.kept.iter();
        let states = kept
            .filter(|kept| kept.state != PlateState::Withdrawn)
            .map(|kept| (kept.plate.seq.0, kept.state));
        let copies = books
            .requests
            .iter()
            .flat_map(|r| books.copies(r.request.id));
        Stands {
            states: states.collect(),
            copies: copies.map(|copy| (copy.plate, copy.state)).collect(),
            plan: books.floor.plan.clone(),
            open: books.floor.plates.clone(),
            steps: books.floor.steps.clone(),
            outages: books.floor.outages.clone(),
            runs: store.finished_runs(region).await.unwrap(),
            given: books.floor.given.clone(),
        }
    }

    async fn first(&self) -> (u64, Minute) {
        let books = self.books().await;
        let plan = &books.floor.plan.assignments;
        let place = plan
            .iter()
            .min_by_key(|place| (place.start, place.plate))
            .unwrap();
        (place.plate.0, place.start)
    }
}

/// Dice that are the same every time: xorshift, seeded.
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % n
    }
}

/// What can be done next with a plate, by what was done with it, and the step that it takes.
fn next(books: &Books, plate: u64, dice: &mut Dice) -> Option<(Act, StepKind)> {
    let has = |kind| books.step(plate, kind).is_some();
    let kept = books.plate(plate).unwrap();
    let copies = u32::try_from(books.copies_on(kept).count()).unwrap();
    let good = u32::try_from(dice.below(u64::from(copies) + 1)).unwrap();
    if !has(StepKind::Started) {
        return Some((Act::Start, StepKind::Started));
    }
    if !has(StepKind::Off) && !has(StepKind::Failed) {
        return Some(match dice.below(3) {
            0 if !has(StepKind::Looked) => (Act::Look, StepKind::Looked),
            1 => {
                let started = books.step(plate, StepKind::Started).unwrap().at;
                let out_until =
                    (dice.below(2) == 0).then(|| Minute::at_or_after(started) + Minutes(3_000));
                let reason = "Layers are shifted".to_owned();
                (
                    Act::Fail {
                        reason,
                        good: good.into(),
                        out_until,
                    },
                    StepKind::Failed,
                )
            }
            _ => (Act::TakeOff { good: good.into() }, StepKind::Off),
        });
    }
    if kept.state != PlateState::Off {
        return None;
    }
    if !has(StepKind::Boxed) {
        return Some((Act::Box, StepKind::Boxed));
    }
    (!has(StepKind::Left)).then_some((Act::Leave, StepKind::Left))
}

#[tokio::test(flavor = "multi_thread")]
async fn whatever_is_done_and_taken_back_leaves_the_floor_as_it_was() {
    for seed in [3, 77, 2_027] {
        let world = World::new().await;
        let mut dice = Dice(seed);
        let mut now = world.first().await.1;
        let mut tried = std::collections::BTreeSet::new();
        let mut compared = 0;
        for i in 0..24 {
            let books = world.books().await;
            let plates: Vec<u64> = books
                .floor
                .kept
                .iter()
                .filter(|kept| kept.state != PlateState::Withdrawn)
                .map(|kept| kept.plate.seq.0)
                .collect();
            let plate = plates[usize::try_from(dice.below(plates.len() as u64)).unwrap()];
            let Some((what, step)) = next(&books, plate, &mut dice) else {
                continue;
            };
            now = now + Minutes(i64::try_from(dice.below(20)).unwrap());
            let session = world.at(now).await;
            // A plate without a place waits for another day, and one printer prints one plate.
            let printer = printer_of(&session, &books, books.plate(plate).unwrap());
            let busy = |name: &String| books.running().iter().any(|(_, _, other)| other == name);
            if step == StepKind::Started && printer.as_ref().is_none_or(busy) {
                continue;
            }
            let before = world.stands().await;
            act(&session, &machine(), plate, &what, None).await.unwrap();
            let session = world.at(now).await;
            take_back(&session, &machine(), (plate, step), None)
                .await
                .unwrap();
            let after = world.stands().await;
            assert_eq!(after.steps, before.steps, "seed {seed}, deed {i}: {what:?}");
            assert_eq!(
                after.copies, before.copies,
                "seed {seed}, deed {i}: {what:?}"
            );
            // Where a start or an expected end had passed, any new plan says something else.
            let places = before.plan.assignments.iter();
            let mut over = places.map(|p| {
                if p.frozen {
                    p.end
                } else {
                    p.start + Minutes(15)
                }
            });
            let passed = over.any(|at| at < now);
            compared += usize::from(!passed);
            if passed {
                assert_eq!(after.states, before.states);
                assert_eq!(
                    (after.outages, after.runs, after.given),
                    (before.outages, before.runs, before.given)
                );
            } else {
                assert_eq!(after, before, "seed {seed}, deed {i}: {what:?}");
            }
            tried.insert(step);
            // Done for good, so that there is something to go on from.
            let session = world.at(now).await;
            act(&session, &machine(), plate, &what, None).await.unwrap();
        }
        assert!(
            tried.len() >= 4 && compared >= 6,
            "seed {seed}: {compared} {tried:?}"
        );
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn the_log_keeps_both_and_the_step_can_be_taken_again() {
    let world = World::new().await;
    let (plate, start) = world.first().await;
    let session = world.at(start).await;
    act(&session, &machine(), plate, &Act::Start, Some("start-0001"))
        .await
        .unwrap();
    let step = (plate, StepKind::Started);
    for again in [false, true] {
        let done = take_back(&session, &machine(), step, Some("undo-00001"))
            .await
            .unwrap();
        assert_eq!(done.before, again, "sent twice, it is done once");
    }
    let gone = take_back(&session, &machine(), step, Some("undo-00002")).await;
    assert_eq!(gone.unwrap_err().code(), "not-taken-back");
    act(&session, &machine(), plate, &Act::Start, Some("start-0002"))
        .await
        .unwrap();
    let (store, region) = world.session.store().unwrap();
    let events = store.events_after(region, 0).await.unwrap();
    let kinds: Vec<&str> = events
        .iter()
        .map(|(_, event)| event.kind.as_str())
        .collect();
    assert_eq!(
        kinds[kinds.len() - 3..],
        ["run.started", "step.taken-back", "run.started"]
    );
    let undone = &events[events.len() - 2].1;
    let first = u64::try_from(events[events.len() - 3].0).unwrap();
    assert_eq!(undone.numbers("entry"), [first]);
    assert_eq!(world.books().await.floor.steps.len(), 1);
}

#[tokio::test(flavor = "multi_thread")]
async fn what_was_built_on_is_not_taken_back_and_the_reason_is_said() {
    let world = World::new().await;
    let (plate, start) = world.first().await;
    let session = world.at(start).await;
    let why = |error: partpledge_workshop::WorkshopError| {
        assert_eq!(error.code(), "not-taken-back");
        error.what_to_do()
    };
    act(&session, &machine(), plate, &Act::Start, None)
        .await
        .unwrap();
    act(&session, &machine(), plate, &Act::Look, None)
        .await
        .unwrap();
    let refused = take_back(&session, &machine(), (plate, StepKind::Started), None).await;
    assert!(why(refused.unwrap_err()).contains("looked at"));
    let late = world.at(start + Minutes(11)).await;
    let refused = take_back(&late, &machine(), (plate, StepKind::Looked), None).await;
    assert!(why(refused.unwrap_err()).contains("10 minutes"));
    let fail = Act::Fail {
        reason: "Layers are shifted".to_owned(),
        good: 0_u32.into(),
        out_until: None,
    };
    act(&late, &machine(), plate, &fail, None).await.unwrap();
    let again = world.books().await.floor.next_seq - 1;
    // The reprint is begun: nothing of the failure can be taken back.
    let books = world.books().await;
    let place = *books
        .floor
        .plan
        .of(books.plate(again).unwrap().plate.seq)
        .unwrap();
    act(&late, &machine(), again, &Act::Start, None)
        .await
        .unwrap();
    let refused = take_back(&late, &machine(), (plate, StepKind::Failed), None).await;
    assert!(
        why(refused.unwrap_err()).contains(&format!("Plate {again}")),
        "{place:?}"
    );
    let stranger = Actor::new(Role::Host("nowhere".to_owned()));
    let refused = take_back(&late, &stranger, (again, StepKind::Started), None).await;
    assert_eq!(refused.unwrap_err().code(), "not-allowed");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_box_that_the_team_holds_is_not_taken_back() {
    let world = World::new().await;
    let books = world.books().await;
    let request = books.requests[0].request.id;
    let (_, start) = world.first().await;
    let session = world.at(start).await;
    let plates: Vec<u64> = books
        .plates_of(request)
        .map(|kept| kept.plate.seq.0)
        .collect();
    for &plate in &plates {
        let good = books.copies_on(books.plate(plate).unwrap()).count();
        let good = u32::try_from(good).unwrap().into();
        for what in [Act::Start, Act::TakeOff { good }, Act::Box, Act::Leave] {
            act(&session, &machine(), plate, &what, Told::default())
                .await
                .unwrap();
        }
    }
    take_back(&session, &machine(), (plates[0], StepKind::Left), None)
        .await
        .unwrap();
    act(&session, &machine(), plates[0], &Act::Leave, None)
        .await
        .unwrap();
    let team = Actor::new(Role::Team(TEAM.to_owned()));
    hold(&session, &team, request, None).await.unwrap();
    let refused = take_back(&session, &machine(), (plates[0], StepKind::Left), None).await;
    assert!(refused.unwrap_err().what_to_do().contains("has its copies"));
}
