//! The walk after the pledge: the bench, trouble, replanning, hand-over, withdrawal.
#![expect(clippy::unwrap_used, reason = "a test's helpers")]

use crate::support::plates::open_plates;
use crate::support::valley::{send_part, valley};
use partpledge_planning_model::{Assignment, PlateSeq};
use partpledge_records::{ListedRequest, PlateState, PledgeEnd, PledgeKind, State, StepKind};
use partpledge_units::time::{EventMs, Minute, Minutes};
use partpledge_workshop::bench::{Act, act, catch_up, end_request, hold};
use partpledge_workshop::plan_room::{checked, judged, propose_plan};
use partpledge_workshop::plate_room::{laid_plate, opened_file};
use partpledge_workshop::risks::{Cause, outcome_of, outcomes, risks, take};
use partpledge_workshop::run_sheet::{JobKind, JobState, run_sheet};
use partpledge_workshop::sending::Received;
use partpledge_workshop::{Actor, Books, Role, Session, WorkshopError};

struct World {
    _dir: tempfile::TempDir,
    session: Session,
}

fn bench() -> Actor {
    Actor::new(Role::Host("brindlemoor".to_owned()))
}

impl World {
    async fn new() -> Self {
        let (dir, session) = valley("").await;
        Self { _dir: dir, session }
    }

    /// The same region at a minute.
    async fn at(&self, minute: Minute) -> Session {
        self.session.at(minute.to_ms()).await.unwrap()
    }

    async fn send(&self, i: usize, key: &str, replaces: Option<&ListedRequest>) -> Received {
        let team = Actor::new(Role::Team("Newt Works".to_owned()));
        send_part(&self.session, &team, (i, replaces), key).await
    }

    async fn books(&self) -> Books {
        Books::open(&self.session).await.unwrap()
    }

    /// Nothing that the checker finds, but what people did and late promises.
    async fn sound(&self, session: &Session) {
        let floor = session.floor().await.unwrap();
        let found = checked(session, &floor.plates, &floor.plan, &floor.plan).unwrap();
        let books = Books::open(session).await.unwrap();
        let ours = found.iter().filter(|fault| {
            let kept = books.plate(fault.plate().0).unwrap();
            !books.runs(kept) && !fault.code().starts_with("promise")
        });
        assert_eq!(ours.collect::<Vec<_>>(), Vec::<&_>::new());
    }
}

fn states(books: &Books, request: &Received) -> Vec<State> {
    let copies = books.copies(request.request.id).iter();
    copies.map(|copy| copy.state).collect()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_part_goes_from_file_to_hand() {
    let world = World::new().await;
    let sent = world.send(0, "send-00001", None).await;
    assert!(sent.no_pledge.is_none());
    let books = world.books().await;
    let promised = books.pledge_of(sent.request.id).unwrap().clone();
    assert!(promised.pledge.probability >= 0.9);
    let mut last = Minute(0);
    for (seq, start, end) in open_plates(&books, &sent) {
        let (starting, ending) = (world.at(start).await, world.at(end).await);
        act(&starting, &bench(), seq, &Act::Start, None)
            .await
            .unwrap();
        world.sound(&starting).await;
        act(&starting, &bench(), seq, &Act::Look, None)
            .await
            .unwrap();
        let of = books.plate(seq).unwrap().plate.copies;
        act(
            &ending,
            &bench(),
            seq,
            &Act::TakeOff { good: of.into() },
            None,
        )
        .await
        .unwrap();
        act(&ending, &bench(), seq, &Act::Box, None).await.unwrap();
        act(&ending, &bench(), seq, &Act::Leave, None)
            .await
            .unwrap();
        last = last.max(end);
    }
    let books = world.books().await;
    assert!(states(&books, &sent).iter().all(|s| *s == State::Boxed));
    assert!(
        books.floor.plan.assignments.is_empty(),
        "what is off the bed is planned no more"
    );
    assert!(!books.may_withdraw(sent.request.id));
    let came = world.at(last + Minutes(5)).await;
    let team = Actor::new(Role::Team("Newt Works".to_owned()));
    for _ in 0..2 {
        hold(&came, &team, sent.request.id, Some("held-0001"))
            .await
            .unwrap();
    }
    let books = world.books().await;
    assert!(
        states(&books, &sent)
            .iter()
            .all(|s| *s == State::HandedOver)
    );
    let end = books
        .pledge_of(sent.request.id)
        .unwrap()
        .end
        .clone()
        .unwrap();
    assert_eq!(end.kind, PledgeKind::Kept, "it came before it was promised");
    assert_eq!(
        books.came(sent.request.id),
        Some((last + Minutes(5)).to_ms())
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn what_comes_after_its_time_is_on_record_as_broken() {
    let world = World::new().await;
    let sent = world.send(0, "send-00001", None).await;
    let books = world.books().await;
    let arrival = books.pledge_of(sent.request.id).unwrap().pledge.arrival;
    for (seq, start, end) in open_plates(&books, &sent) {
        let (starting, ending) = (world.at(start).await, world.at(end).await);
        act(&starting, &bench(), seq, &Act::Start, None)
            .await
            .unwrap();
        let of = books.plate(seq).unwrap().plate.copies;
        act(
            &ending,
            &bench(),
            seq,
            &Act::TakeOff { good: of.into() },
            None,
        )
        .await
        .unwrap();
        act(&ending, &bench(), seq, &Act::Box, None).await.unwrap();
    }
    let late = world.at(arrival + Minutes(61)).await;
    assert!(
        outcome_of(&late, &world.books().await, sent.request.id)
            .unwrap()
            .at_risk()
    );
    let team = Actor::new(Role::Team("Newt Works".to_owned()));
    hold(&late, &team, sent.request.id, None).await.unwrap();
    let books = world.books().await;
    let end = books
        .pledge_of(sent.request.id)
        .unwrap()
        .end
        .clone()
        .unwrap();
    assert_eq!(end.kind, PledgeKind::Broken);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_failed_plate_is_made_again_and_nobody_else_is_broken() {
    let world = World::new().await;
    let sent = world.send(1, "send-00001", None).await; // four hubs
    let other = world.send(0, "send-00002", None).await;
    let before = world.books().await;
    let (seq, start, _) = open_plates(&before, &sent)[0];
    let copies = before.plate(seq).unwrap().plate.copies;
    assert!(copies >= 2, "several on one plate");
    let starting = world.at(start).await;
    act(&starting, &bench(), seq, &Act::Start, None)
        .await
        .unwrap();
    let failing = world.at(start + Minutes(10)).await;
    let printer = before
        .step(seq, StepKind::Started)
        .map(|s| s.printer.clone());
    assert_eq!(printer, None, "the books were read before it started");
    let fail = Act::Fail {
        reason: "It came loose from the bed".to_owned(),
        good: 1_u32.into(),
        out_until: Some(start + Minutes(3 * 1_440)),
    };
    let done = act(&failing, &bench(), seq, &fail, Some("fail-0001"))
        .await
        .unwrap();
    assert!(!done.before);
    let again = act(&failing, &bench(), seq, &fail, Some("fail-0001"))
        .await
        .unwrap();
    assert!(again.before, "sent twice, it is one failure");
    let books = world.books().await;
    let lost = books.plate(seq).unwrap();
    assert_eq!(lost.state, PlateState::Off, "one copy of it is good");
    let (reprint, again_at, _) = *open_plates(&books, &sent).last().unwrap();
    assert_ne!(reprint, seq);
    let kept = books.plate(reprint).unwrap();
    assert_eq!(kept.plate.copies, copies - 1);
    assert_eq!(
        books.copies_on(kept).count(),
        usize::try_from(copies - 1).unwrap()
    );
    assert_eq!(
        kept.plate.promise, lost.plate.promise,
        "the promise stays what it was"
    );
    assert!(again_at >= start + Minutes(10));
    let place = books.place(kept).unwrap();
    let name = &world.session.terrain.region.printers[place.printer.0].name;
    let out = books.step(seq, StepKind::Started).unwrap();
    assert_ne!(*name, out.printer, "a printer out of use gets nothing");
    let smaller = kept.plate.makings.iter().zip(&lost.plate.makings);
    assert!(smaller.clone().count() > 0);
    let now = world.at(start + Minutes(10)).await;
    world.sound(&now).await;
    let (was, is) = (outcomes(&starting, &before), outcomes(&now, &books));
    let theirs = |late: &PlateSeq| books.plate(late.0).unwrap().request == other.request.id;
    assert!(
        !done.late.iter().any(theirs),
        "the other team's plates are planned in time"
    );
    assert!(is[&other.request.id].chance > 0.5);
    assert!(is[&sent.request.id].chance <= was[&sent.request.id].chance);
    // The smaller plate lies on its bed, and says so.
    let laid = laid_plate(&now, &books, kept).await.unwrap().unwrap();
    assert_eq!(
        laid.layout.placements.len(),
        usize::try_from(copies - 1).unwrap()
    );
    assert!(laid.three_mf().starts_with(b"PK"));
}

#[tokio::test(flavor = "multi_thread")]
async fn two_tablets_start_a_plate_once() {
    let world = World::new().await;
    let sent = world.send(0, "send-00001", None).await;
    let (seq, start, _) = open_plates(&world.books().await, &sent)[0];
    let session = world.at(start).await;
    act(&session, &bench(), seq, &Act::Start, Some("tablet-01"))
        .await
        .unwrap();
    let second = act(&session, &bench(), seq, &Act::Start, Some("tablet-02")).await;
    assert!(matches!(second.unwrap_err(), WorkshopError::Store(e) if e.code() == "step-taken"));
    // What is ticked out of order leaves no step behind that would stand in the way later.
    for early in [Act::Box, Act::Leave] {
        let refused = act(&session, &bench(), seq, &early, None).await;
        assert_eq!(refused.unwrap_err().code(), "too-early", "{early:?}");
    }
    let books = world.books().await;
    assert!(states(&books, &sent).contains(&State::Running));
    let other = open_plates(&books, &sent);
    let waiting = other.iter().find(|(plate, ..)| *plate != seq).unwrap().0;
    for early in [Act::Look, Act::TakeOff { good: 1_u32.into() }] {
        let refused = act(&session, &bench(), waiting, &early, None).await;
        assert_eq!(refused.unwrap_err().code(), "too-early", "{early:?}");
    }
    assert_eq!(world.books().await.floor.steps.len(), 1, "only the start");
    let none = act(&session, &bench(), 999, &Act::Start, None)
        .await
        .unwrap_err();
    assert_eq!(none.code(), "store");
}

#[tokio::test(flavor = "multi_thread")]
async fn what_nobody_started_gets_another_place() {
    let world = World::new().await;
    let sent = world.send(0, "send-00001", None).await;
    let (seq, start, _) = open_plates(&world.books().await, &sent)[0];
    let clock = Actor::new(Role::Clock);
    let soon = world.at(start + Minutes(10)).await;
    assert!(
        catch_up(&soon, &clock).await.unwrap().is_none(),
        "there is a while yet"
    );
    let late = world.at(start + Minutes(16)).await;
    // A plan that is asked for by hand takes it as it is, too: nobody has started it.
    let proposed = propose_plan(&late).await.unwrap();
    assert!(proposed.not_started.iter().any(|plate| plate.0 == seq));
    assert!(proposed.proposal.moved.iter().any(|plate| plate.0 == seq));
    let anew = proposed.proposal.plan.of(PlateSeq(seq)).unwrap();
    assert!(anew.start >= late.minute());
    let books = world.books().await;
    let judged = judged(&late, &books.floor, None).unwrap();
    assert_eq!(
        (judged.faults, judged.not_started),
        (vec![], proposed.not_started)
    );
    let done = catch_up(&late, &clock)
        .await
        .unwrap()
        .expect("it is overdue");
    assert!(done.moved.iter().any(|moved| moved.0 == seq));
    let books = world.books().await;
    let place = books
        .floor
        .plan
        .of(books.plate(seq).unwrap().plate.seq)
        .unwrap();
    assert!(place.start >= start + Minutes(16));
    world.sound(&late).await;
    assert!(
        catch_up(&late, &clock).await.unwrap().is_none(),
        "once is enough"
    );
    // Never begun and overdue, it is not at risk for want of a word that it came.
    let arrival = books.pledge_of(sent.request.id).unwrap().pledge.arrival;
    let over = world.at(arrival + Minutes(10)).await;
    catch_up(&over, &clock).await.unwrap();
    let books = world.books().await;
    let found = risks(&over, &books, &outcomes(&over, &books));
    let cause = &found[0].cause;
    assert!(matches!(cause, Some(Cause::NotStarted { .. })), "{cause:?}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_part_that_is_called_back_makes_room() {
    let world = World::new().await;
    let sent = world.send(0, "send-00001", None).await;
    let team = Actor::new(Role::Team("Newt Works".to_owned()));
    let (session, id) = (&world.session, sent.request.id);
    for _ in 0..2 {
        let (end, key) = (PledgeEnd::Withdrawn, Some("withdraw-1"));
        end_request(session, &team, id, end, key).await.unwrap();
    }
    let books = world.books().await;
    assert!(books.floor.plan.assignments.is_empty() && books.floor.plates.is_empty());
    assert!(states(&books, &sent).iter().all(|s| *s == State::Withdrawn));
    let end = books.pledge_of(id).unwrap().end.clone().unwrap();
    assert_eq!(end.kind, PledgeKind::Withdrawn);
    // What runs is not called back.
    let next = world.send(1, "send-00002", None).await;
    let (seq, start, _) = open_plates(&world.books().await, &next)[0];
    let session = world.at(start).await;
    act(&session, &bench(), seq, &Act::Start, None)
        .await
        .unwrap();
    let refused = end_request(&session, &team, next.request.id, PledgeEnd::Withdrawn, None).await;
    assert!(refused.is_err());
}

#[tokio::test(flavor = "multi_thread")]
async fn a_changed_file_takes_the_place_of_the_old_one() {
    let world = World::new().await;
    let torn = world.send(11, "send-00001", None).await; // torn tray
    assert_eq!(torn.request.state, State::NeedsChange);
    assert!(torn.no_pledge.is_none());
    let books = world.books().await;
    assert!(books.pledge_of(torn.request.id).is_none());
    let old = books.request(torn.request.id).unwrap().clone();
    let mended = world.send(0, "send-00002", Some(&old)).await;
    let books = world.books().await;
    let new = books.request(mended.request.id).unwrap();
    assert_eq!(
        (new.part_id, new.part.as_str()),
        (old.part_id, "torn tray"),
        "the same part"
    );
    assert_eq!(
        books.request(old.request.id).unwrap().request.state,
        State::Withdrawn
    );
    assert!(books.pledge_of(mended.request.id).is_some());
    // Changed once more: the pledge that was given ends as superseded.
    let third = world.send(5, "send-00003", Some(&new.clone())).await;
    let books = world.books().await;
    let end = books
        .pledge_of(mended.request.id)
        .unwrap()
        .end
        .clone()
        .unwrap();
    assert_eq!(end.kind, PledgeKind::Superseded);
    let open = books.open_pledges();
    assert_eq!(open.len(), 1);
    assert_eq!(open[0].0.request.id, third.request.id);
    // A change for the worse costs nobody the promise that they have.
    let third = books.request(third.request.id).unwrap().clone();
    world.send(11, "send-00004", Some(&third)).await;
    assert_eq!(world.books().await.open_pledges().len(), 1);
}

#[tokio::test(flavor = "multi_thread")]
async fn sent_twice_it_is_one_request_and_one_pledge() {
    let world = World::new().await;
    let (first, second) = tokio::join!(
        world.send(0, "send-00001", None),
        world.send(0, "send-00001", None)
    );
    assert_eq!(first.request.id, second.request.id);
    let books = world.books().await;
    assert_eq!((books.requests.len(), books.open_pledges().len()), (1, 1));
}

#[tokio::test(flavor = "multi_thread")]
async fn the_unit_settled_on_at_first_is_the_unit_for_good() {
    let world = World::new().await;
    let sent = world.send(12, "send-00001", None).await; // pulley in inches
    let books = world.books().await;
    let listed = books.request(sent.request.id).unwrap();
    let opened = opened_file(&world.session, &listed.request).await.unwrap();
    let size = opened.judged.parts[0].facts.size_mm;
    assert!((size[0] - 38.1).abs() < 0.1, "1.5 inches: {size:?}");
}

#[tokio::test(flavor = "multi_thread")]
async fn the_run_sheet_has_one_thing_to_do_now() {
    let world = World::new().await;
    let sent = world.send(0, "send-00001", None).await;
    let books = world.books().await;
    let (seq, start, end) = open_plates(&books, &sent)[0];
    let zone = &world.session.terrain.zone;
    let sheet = run_sheet(&world.session, &books, "brindlemoor", zone.date(start))
        .await
        .unwrap();
    assert_eq!(sheet.host, "Brindlemoor School");
    let kinds = |sheet: &partpledge_workshop::run_sheet::RunSheet| {
        let own = sheet.jobs.iter().filter(|job| job.plate.seq == seq);
        own.map(|job| (job.kind, job.state == JobState::Ready))
            .collect::<Vec<_>>()
    };
    let all = [
        JobKind::Load,
        JobKind::Look,
        JobKind::Clear,
        JobKind::Box,
        JobKind::HandOver,
    ];
    assert_eq!(kinds(&sheet), all.map(|kind| (kind, kind == JobKind::Load)));
    let grams: f64 = sheet.plastic_g()["PETG"].unwrap();
    assert!(grams > 5.0 && grams < 60.0, "two brackets: {grams} g");
    let session = world.at(start).await;
    act(&session, &bench(), seq, &Act::Start, None)
        .await
        .unwrap();
    let books = world.books().await;
    let sheet = run_sheet(&session, &books, "brindlemoor", zone.date(start))
        .await
        .unwrap();
    assert_eq!(
        kinds(&sheet)[..3],
        [
            (JobKind::Load, false),
            (JobKind::Look, true),
            (JobKind::Clear, true)
        ]
    );
    let ending = world.at(end).await;
    let fail = Act::Fail {
        reason: "Layers are shifted".to_owned(),
        good: 0_u32.into(),
        out_until: None,
    };
    act(&ending, &bench(), seq, &fail, None).await.unwrap();
    let books = world.books().await;
    let sheet = run_sheet(&ending, &books, "brindlemoor", zone.date(start))
        .await
        .unwrap();
    let failed = sheet
        .jobs
        .iter()
        .find(|job| matches!(job.state, JobState::Failed(..)));
    assert_eq!(failed.unwrap().plate.seq, seq);
    assert!(sheet.now().is_some(), "the reprint, or the other plate");
    assert!(
        run_sheet(&ending, &books, "nowhere", zone.date(start))
            .await
            .is_err()
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_promise_at_risk_comes_with_a_choice_that_helps() {
    let world = World::new().await;
    let sent = world.send(0, "send-00001", None).await;
    let books = world.books().await;
    let arrival = books.pledge_of(sent.request.id).unwrap().pledge.arrival;
    let (seq, start, _) = open_plates(&books, &sent)[0];
    // Put where it can't be in time: the last possible moment of the next day on its own printer.
    let mut plan = books.floor.plan.clone();
    let place = *plan.of(books.plate(seq).unwrap().plate.seq).unwrap();
    let day = Minutes(1_440);
    plan.put(Assignment {
        start: place.start + day,
        end: place.end + day,
        cleared: place.cleared + day,
        ready: place.ready + day,
        arrives: place.arrives + day,
        ..place
    });
    assert!(place.arrives + day > arrival);
    let coordinator = Actor::new(Role::Coordinator);
    let why = (
        partpledge_words::said!("common-as-written", text = "set up for the test"),
        None,
    );
    partpledge_workshop::bench::adopt(&world.session, &coordinator, &books, (plan, why.0), why.1)
        .await
        .unwrap();
    let books = world.books().await;
    let seen = outcomes(&world.session, &books);
    let found = risks(&world.session, &books, &seen);
    assert_eq!(found.len(), 1);
    let choice = found[0].choice.as_ref().expect("its old place is free");
    assert!(choice.chance > found[0].outcome.chance + 0.05);
    assert!(choice.place.arrives <= arrival);
    let (number, revision) = (sent.request.number, books.floor.revision);
    let old = take(&world.session, &coordinator, (number, revision - 1), None).await;
    assert!(old.is_err(), "offered on another plan");
    let done = take(&world.session, &coordinator, (number, revision), None)
        .await
        .unwrap();
    assert_eq!(done.moved, choice.moved);
    assert_eq!(done.moved.first().map(|plate| plate.0), Some(seq));
    assert_eq!((done.late, done.before), (Vec::new(), false));
    let books = world.books().await;
    assert!(
        !outcome_of(&world.session, &books, sent.request.id)
            .unwrap()
            .at_risk()
    );
    world.sound(&world.at(start).await).await;
}

#[tokio::test(flavor = "multi_thread")]
async fn what_the_log_keeps_names_nobody() {
    let world = World::new().await;
    world.send(0, "send-00001", None).await;
    let (store, region) = world.session.store().unwrap();
    let events = store.events_after(region, 0).await.unwrap();
    assert_eq!(events.len(), 2, "received, pledged");
    for (_, event) in events {
        let text = format!("{} {} {}", event.kind, event.payload, event.actor);
        assert!(!text.contains("Newt"), "{text}");
        assert!(event.received_at >= EventMs(0));
    }
}
