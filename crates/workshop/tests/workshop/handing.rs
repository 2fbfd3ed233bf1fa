//! Boxes: their codes, handing them over, legs that they miss.
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

use bytes::Bytes;
use partpledge_planning_model::LegKind;
use partpledge_records::{KeptPlate, NoteKind, PledgeKind, State, StepKind};
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::{Minute, Minutes};
use partpledge_workshop::bench::{Act, Shown, Told, act, hold, take_back};
use partpledge_workshop::boxes::{BoxLine, Hitch, NoCode, Proof, box_of, open_boxes};
use partpledge_workshop::measuring::CriticalDimension;
use partpledge_workshop::region_data::{Put, propose_put};
use partpledge_workshop::risks::outcome_of;
use partpledge_workshop::run_sheet::{Job, JobKind, JobState, run_sheet};
use partpledge_workshop::sending::{Sent, send};
use partpledge_workshop::{Actor, Books, Role, Session};

mod doubts;
mod measured;
mod recalls;
mod spent;
mod stopping;
mod wrong_unit;

/// One printer, at a school with one courier round a day to each of two teams.
const REGION: &str = include_str!("sharing/region.toml");

struct World {
    _dir: tempfile::TempDir,
    session: Session,
    team: String,
}

fn bench() -> Actor {
    Actor::new(Role::Host("rushford".to_owned()))
}

fn coordinator() -> Actor {
    Actor::new(Role::Coordinator)
}

/// The first team of the region file.
fn first_team(session: &Session) -> String {
    session.terrain.file.teams[0].name.clone()
}

impl World {
    async fn new(region: &str) -> Self {
        Self::with_file(region, 1).await
    }

    /// The same with that file of the demo's.
    async fn with_file(region: &str, which: usize) -> Self {
        Self::sized(region, which, None).await
    }

    /// The same, with critical dimensions or none.
    async fn sized(region: &str, which: usize, dimensions: Option<&[CriticalDimension]>) -> Self {
        let dir = tempfile::tempdir().unwrap();
        let now = parse_rfc3339("2027-03-09T10:00:00+01:00").unwrap();
        let session = Session::open(&dir.path().join("data"), region, now).await;
        let session = session.unwrap();
        let team = first_team(&session);
        let file = partpledge_testbed::files().swap_remove(which);
        let sent = Sent {
            bytes: Bytes::from(file.bytes),
            file_name: file.name,
            team: &team,
            part: None,
            copies: 2,
            material: "PLA",
            need_by: None,
            unit: None,
            replaces: None,
            statement: None,
            again: true,
            dimensions,
            over_limit: None,
            key: "send-00001",
        };
        let actor = Actor::new(Role::Team(team.clone()));
        let sent = send(&session, &actor, &sent).await.unwrap();
        assert!(sent.no_pledge.is_none(), "{:?}", sent.no_pledge);
        Self {
            _dir: dir,
            session,
            team,
        }
    }

    fn team(&self) -> Actor {
        Actor::new(Role::Team(self.team.clone()))
    }

    async fn at(&self, minute: Minute) -> Session {
        self.session.at(minute.to_ms()).await.unwrap()
    }

    async fn books(&self) -> Books {
        Books::open(&self.session).await.unwrap()
    }

    /// The only plate, off the bed and in its box; and when that was.
    async fn boxed(&self) -> (KeptPlate, Minute) {
        let books = self.books().await;
        let kept = books.floor.kept[0].clone();
        let place = *books.place(&kept).unwrap();
        let seq = kept.plate.seq.0;
        let start = self.at(place.start).await;
        act(&start, &bench(), seq, &Act::Start, None).await.unwrap();
        let end = self.at(place.cleared).await;
        let good = kept.plate.copies.into();
        for what in [Act::TakeOff { good }, Act::Box] {
            act(&end, &bench(), seq, &what, None).await.unwrap();
        }
        (kept, place.cleared)
    }

    /// The same, and on its way with the next round: with when the box is there.
    async fn gone(&self) -> (KeptPlate, Minute) {
        let (kept, _) = self.boxed().await;
        let line = self.line(&self.session, &kept).await;
        let (_, departure, arrives) = line.goes.unwrap();
        let leaves = self.at(departure.leaves).await;
        let seq = kept.plate.seq.0;
        act(&leaves, &bench(), seq, &Act::Leave, None)
            .await
            .unwrap();
        (kept, arrives)
    }

    async fn line(&self, session: &Session, kept: &KeptPlate) -> BoxLine {
        box_of(session, &self.books().await, kept).unwrap()
    }

    async fn states(&self, kept: &KeptPlate) -> Vec<State> {
        let books = self.books().await;
        let copies = books.copies(kept.request).iter();
        copies.map(|copy| copy.state).collect()
    }

    async fn hand_over_job(&self, session: &Session) -> Job {
        let books = self.books().await;
        let date = session.terrain.zone.date(session.minute());
        let sheet = run_sheet(session, &books, "rushford", date).await.unwrap();
        let mut jobs = sheet.jobs.into_iter();
        jobs.find(|job| job.kind == JobKind::HandOver).unwrap()
    }
}

fn code(text: &str) -> Act {
    Act::HandOver(Shown::Code(text.to_owned()))
}

/// Does something with the box; the code of what stood in the way.
async fn refused(session: &Session, actor: &Actor, seq: u64, what: Act) -> &'static str {
    let done = act(session, actor, seq, &what, None).await;
    done.unwrap_err().code()
}

/// Another code than that.
fn wrong(code: &str) -> String {
    let other = if code.starts_with('C') { "D" } else { "C" };
    other.to_owned() + &code[1..]
}

#[tokio::test(flavor = "multi_thread")]
async fn a_round_with_a_box_on_board_stays_until_the_box_is_there() {
    let world = World::new(REGION).await;
    let (kept, there) = world.gone().await;
    let (rest, round) = REGION.split_once("[[couriers]]").unwrap();
    let with = |old: &str, new: &str| REGION.replacen(old, new, 1);
    let refused = async |session: &Session, text: &str| {
        let books = Books::open(session).await.unwrap();
        let put = Put::File(text);
        let shown = propose_put(session, &coordinator(), &books, put).await;
        shown.unwrap().refused
    };
    let on_board = world.at(there - Minutes(60)).await;
    let slower = with("delivers = \"08:30\"", "delivers = \"09:30\"");
    let other = with("collects = \"17:45\"", "collects = \"17:00\"");
    for text in [slower.as_str(), &other, rest] {
        let why = refused(&on_board, text).await;
        let [(row, why)] = why.as_slice() else {
            panic!("{why:?}");
        };
        let seq = kept.plate.seq.0;
        assert!(
            row.to_lowercase().contains(&format!("plate {seq}")),
            "{row}"
        );
        assert!(why.contains("Keep the round"), "{why}");
    }
    assert!(round.contains("evening round"));
    let renamed = with("evening round", "night round");
    assert_eq!(refused(&on_board, &renamed).await, []);
    let books = world.books().await;
    let its = books.box_code(&world.team(), &kept).unwrap().to_owned();
    let later = world.at(there).await;
    act(&later, &bench(), kept.plate.seq.0, &code(&its), None)
        .await
        .unwrap();
    assert_eq!(refused(&later, &slower).await, []);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_box_is_handed_over_by_its_code_which_only_its_team_can_see() {
    let world = World::new(REGION).await;
    let books = world.books().await;
    let kept = &books.floor.kept[0];
    assert_eq!(books.box_code(&world.team(), kept), None, "not closed yet");
    let (kept, there) = world.gone().await;
    let books = world.books().await;
    let its = books.box_code(&world.team(), &kept).unwrap().to_owned();
    assert_eq!(its.len(), 5);
    let mentor = Actor::new(Role::Mentor(world.team.clone()));
    assert_eq!(books.box_code(&mentor, &kept), Some(its.as_str()));
    let other = Actor::new(Role::Team("Somebody Else".to_owned()));
    for nosy in [bench(), coordinator(), other] {
        assert_eq!(books.box_code(&nosy, &kept), None, "{nosy:?}");
    }
    let seq = kept.plate.seq.0;
    let later = world.at(there).await;
    let error = refused(&later, &bench(), seq, code(&wrong(&its))).await;
    assert_eq!(error, "wrong-box-code");
    assert!(world.states(&kept).await.iter().all(|s| *s == State::Boxed));
    assert!(world.line(&later, &kept).await.handed.is_none());
    // As it is typed by people.
    let typed = format!(" {} {} ", its[..2].to_lowercase(), &its[2..]);
    for before in [false, true] {
        let done = act(&later, &bench(), seq, &code(&typed), Some("hand-0002")).await;
        assert_eq!(done.unwrap().before, before);
    }
    let line = world.line(&later, &kept).await;
    assert_eq!(line.handed, Some((there, Proof::Code)));
    let handed = world.states(&kept).await;
    assert_eq!(handed, vec![State::HandedOver; handed.len()]);
    let end = world
        .books()
        .await
        .pledge_of(kept.request)
        .unwrap()
        .end
        .clone();
    assert_eq!(end.unwrap().kind, PledgeKind::Kept);
    assert_eq!(refused(&later, &bench(), seq, code(&its)).await, "store");
    let back = take_back(&later, &bench(), (seq, StepKind::Left), None).await;
    assert_eq!(back.unwrap_err().code(), "not-taken-back");
    let day = world.at(line.left.unwrap()).await;
    let job = world.hand_over_job(&day).await;
    assert!(matches!(job.state, JobState::Done(_)) && job.plate.handed);
    let (store, region) = later.store().unwrap();
    for (_, event) in store.events_after(region, 0).await.unwrap() {
        assert!(!event.payload.contains(&its), "{}", event.kind);
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn wrong_codes_run_out_and_a_hand_over_without_one_says_so() {
    let world = World::new(REGION).await;
    let (kept, there) = world.gone().await;
    let seq = kept.plate.seq.0;
    let its = world.books().await;
    let its = its.box_code(&world.team(), &kept).unwrap().to_owned();
    let later = world.at(there).await;
    for n in 0..10 {
        let refused = act(&later, &bench(), seq, &code(&wrong(&its)), None).await;
        assert_eq!(refused.unwrap_err().code(), "wrong-box-code", "try {n}");
    }
    let refused = act(&later, &bench(), seq, &code(&its), None).await;
    assert_eq!(refused.unwrap_err().code(), "too-many-codes");
    let without = Act::HandOver(Shown::Nothing(NoCode::Forgotten));
    act(&later, &bench(), seq, &without, None).await.unwrap();
    let line = world.line(&later, &kept).await;
    let proof = Proof::Without(NoCode::Forgotten);
    assert_eq!(line.handed.unwrap().1, proof);
    assert!(open_boxes(&later, &world.books().await, None).is_empty());
}

#[tokio::test(flavor = "multi_thread")]
async fn a_hand_over_without_a_network_is_looked_at_when_it_comes() {
    let world = World::new(REGION).await;
    let books = world.books().await;
    let kept = books.floor.kept[0].clone();
    let seq = kept.plate.seq.0;
    let early = refused(&world.session, &bench(), seq, code("KMTR7")).await;
    assert_eq!(early, "too-early", "it waits");
    let (kept, there) = world.gone().await;
    let its = world.books().await;
    let its = its.box_code(&world.team(), &kept).unwrap().to_owned();
    let left = world.line(&world.session, &kept).await.left.unwrap();
    // Said before the box had left by that tablet's clock: a step never stands before the other.
    let done_at = left + Minutes(-20);
    let told = Told {
        key: Some("t-000002"),
        done_at: Some(done_at.to_ms()),
        printer: None,
    };
    let then = world.at(there).await;
    act(&then, &bench(), seq, &code(&its), told).await.unwrap();
    assert_eq!(world.line(&then, &kept).await.handed.unwrap().0, left);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_team_that_says_it_has_its_box_closes_the_hand_over() {
    let world = World::new(REGION).await;
    let (kept, boxed) = world.boxed().await;
    let later = world.at(boxed + Minutes(5)).await;
    hold(&later, &world.team(), kept.request, Some("held-0001"))
        .await
        .unwrap();
    let line = world.line(&later, &kept).await;
    assert_eq!(line.handed.unwrap().1, Proof::Team);
    let without = Act::HandOver(Shown::Nothing(NoCode::Forgotten));
    let refused = act(&later, &bench(), kept.plate.seq.0, &without, None).await;
    assert_eq!(refused.unwrap_err().code(), "store");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_box_that_missed_its_round_goes_with_the_next_and_its_forecast_moves() {
    let world = World::new(REGION).await;
    let (kept, _) = world.boxed().await;
    let seq = kept.plate.seq.0;
    let line = world.line(&world.session, &kept).await;
    let (kind, first, arrives) = line.goes.unwrap();
    assert_eq!(kind, LegKind::Courier);
    assert!(arrives <= line.promised.unwrap());
    let gone = world.at(first.leaves).await;
    act(&gone, &bench(), seq, &Act::Leave, None).await.unwrap();
    let books = world.books().await;
    let before = outcome_of(&gone, &books, kept.request).unwrap();
    assert_eq!(before.likely, Some(first.arrives));
    let evening = world.at(first.leaves + Minutes(120)).await;
    let miss = |leaves| Act::MissLeg {
        leaves,
        why: Hitch::NoCourier,
    };
    let stranger = Actor::new(Role::Host("somewhere".to_owned()));
    let refused = act(&evening, &stranger, seq, &miss(first.leaves), None).await;
    assert_eq!(refused.unwrap_err().code(), "not-allowed");
    act(
        &evening,
        &bench(),
        seq,
        &miss(first.leaves),
        Some("miss-0001"),
    )
    .await
    .unwrap();
    // Somebody else says the same of the same leg.
    let refused = act(&evening, &coordinator(), seq, &miss(first.leaves), None).await;
    assert_eq!(refused.unwrap_err().code(), "not-that-leg");
    let line = world.line(&evening, &kept).await;
    let (_, next, arrives) = line.goes.unwrap();
    assert!(next.leaves > first.leaves);
    let missed = line.missed.unwrap();
    assert_eq!(
        (missed.leaves, missed.why),
        (first.leaves, Hitch::NoCourier)
    );
    assert_eq!(missed.arrives, Some(arrives));
    // Promised for the morning after the first round; the next comes a day later.
    assert_eq!(
        (arrives - line.promised.unwrap(), missed.late),
        (Minutes(24 * 60), true)
    );
    assert!(line.left.is_none(), "it has not left after all");
    let books = world.books().await;
    let after = outcome_of(&evening, &books, kept.request).unwrap();
    assert_eq!(after.likely, Some(arrives), "the forecast moves");
    let notes = books.notes(kept.request);
    assert_eq!(notes.last().unwrap().said.kind, NoteKind::LegMissed);
    assert!(books.pledge_of(kept.request).unwrap().end.is_none());
    let job = world.hand_over_job(&world.at(next.leaves).await).await;
    assert_eq!((job.at, job.state), (next.leaves, JobState::Ready));
}

#[tokio::test(flavor = "multi_thread")]
async fn what_a_missed_leg_did_to_the_promise_is_told_at_once_and_shown_at_the_end() {
    let world = World::new(REGION).await;
    let (kept, _) = world.boxed().await;
    let seq = kept.plate.seq.0;
    let line = world.line(&world.session, &kept).await;
    let (_, first, _) = line.goes.unwrap();
    let evening = world.at(first.leaves + Minutes(120)).await;
    let miss = Act::MissLeg {
        leaves: first.leaves,
        why: Hitch::LeftBehind,
    };
    act(&evening, &bench(), seq, &miss, None).await.unwrap();
    let line = world.line(&evening, &kept).await;
    let (_, next, arrives) = line.goes.unwrap();
    assert!(arrives > line.promised.unwrap());
    assert!(line.missed.unwrap().late, "told at once");
    let going = world.at(next.leaves).await;
    act(&going, &bench(), seq, &Act::Leave, None).await.unwrap();
    let there = world.at(next.arrives).await;
    let books = world.books().await;
    let its = books.box_code(&world.team(), &kept).unwrap();
    let hand = code(its);
    act(&there, &coordinator(), seq, &hand, None).await.unwrap();
    let books = world.books().await;
    let end = books.pledge_of(kept.request).unwrap().end.clone();
    assert_eq!(end.unwrap().kind, PledgeKind::Broken, "shown at the end");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_box_that_nobody_picks_up_waits_until_the_bench_opens_again() {
    // The first team is of the school that prints.
    let mut file: Vec<&str> = REGION.lines().collect();
    let team = file
        .iter()
        .position(|line| line.contains("[[teams]]"))
        .unwrap();
    let school = (team..file.len())
        .find(|i| file[*i].starts_with("school"))
        .unwrap();
    file[school] = "school = \"rushford\"";
    let world = World::new(&file.join("\n")).await;
    let (kept, boxed) = world.boxed().await;
    let line = world.line(&world.session, &kept).await;
    let (kind, counter, _) = line.goes.unwrap();
    assert_eq!(kind, LegKind::Counter);
    let evening = world.at(boxed + Minutes(30)).await;
    let miss = Act::MissLeg {
        leaves: counter.leaves,
        why: Hitch::NobodyCame,
    };
    let seq = kept.plate.seq.0;
    act(&evening, &bench(), seq, &miss, None).await.unwrap();
    let (_, next, _) = world.line(&evening, &kept).await.goes.unwrap();
    let zone = &evening.terrain.zone;
    assert!(zone.date(next.leaves) > zone.date(boxed), "another day");
    let job = world.hand_over_job(&world.at(next.leaves).await).await;
    assert_eq!(job.state, JobState::Ready);
    // "Gone" is not enough over the counter: the team must have it.
    let then = world.at(next.leaves).await;
    act(&then, &bench(), seq, &Act::Leave, None).await.unwrap();
    assert_eq!(world.hand_over_job(&then).await.state, JobState::Ready);
}
