//! Boxes that are lost or have the wrong parts in them.

use partpledge_planning_model::PlateSeq;
use partpledge_units::time::EventMs;
use partpledge_workshop::bench::{decide_box, doubt_box};
use partpledge_workshop::doubts::{Doubt, OpenDoubt, Ruling, open_doubt, open_doubts};
use partpledge_workshop::error::WorkshopError;
use partpledge_workshop::risks::{Cause, cause};
use partpledge_workshop::shares::shares;

use super::*;

impl World {
    async fn doubt(&self, kept: &KeptPlate) -> Option<OpenDoubt> {
        open_doubt(&self.books().await, kept)
    }

    /// The team says it, at that time.
    async fn says(&self, at: &Session, kept: &KeptPlate, why: Doubt) -> Result<bool, &'static str> {
        let which = (kept.request, kept.plate.seq.0);
        let done = doubt_box(at, &self.team(), which, why, None).await;
        done.map(|done| done.before).map_err(|error| error.code())
    }

    /// The coordinator decides what was said.
    async fn decides(&self, at: &Session, kept: &KeptPlate, ruling: Ruling) {
        let said = self.doubt(kept).await.unwrap().entry;
        let (plate, how) = (kept.plate.seq.0, (said, ruling));
        let done = decide_box(at, &coordinator(), plate, how, None).await;
        assert!(!done.unwrap().before);
    }

    /// The plate that its copies are on now.
    async fn again(&self, kept: &KeptPlate) -> KeptPlate {
        let books = self.books().await;
        let all = books.plates_of(kept.request).last().unwrap().clone();
        assert_ne!(all.plate.seq, kept.plate.seq);
        assert_eq!(books.copies_on(&all).count(), 2);
        assert_eq!(books.copies_on(kept).count(), 0);
        all
    }
}

fn said(error: Result<impl std::fmt::Debug, WorkshopError>) -> &'static str {
    error.unwrap_err().code()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_lost_box_is_made_again_and_its_pledge_ends_when_the_team_has_the_new_one() {
    let world = World::new(REGION).await;
    let (kept, boxed) = world.boxed().await;
    let seq = kept.plate.seq.0;
    let later = world.at(boxed + Minutes(5)).await;
    let before = world.books().await.floor.revision;
    assert_eq!(world.says(&later, &kept, Doubt::Gone).await, Ok(false));
    let books = world.books().await;
    assert_eq!(
        books.floor.revision, before,
        "nothing moves before it is decided"
    );
    assert_eq!(open_doubts(&books).len(), 1);
    // Said twice, by whomever, it counts once.
    assert_eq!(world.says(&later, &kept, Doubt::Gone).await, Ok(true));
    let twice = act(&later, &bench(), seq, &Act::Doubt(Doubt::Gone), None).await;
    assert!(twice.unwrap().before);
    let notes = world.books().await;
    let doubted = |note: &&partpledge_records::Note| note.said.kind == NoteKind::BoxDoubted;
    let notes = notes.notes(kept.request).iter();
    assert_eq!(notes.filter(doubted).count(), 1);
    world.decides(&later, &kept, Ruling::Again).await;
    let new = world.again(&kept).await;
    let books = world.books().await;
    assert!(
        books.floor.plan.of(new.plate.seq).is_some(),
        "it has a place"
    );
    assert_eq!(books.floor.revision, before + 1);
    assert!(new.plate.promise.is_some());
    assert!(books.pledge_of(kept.request).unwrap().end.is_none());
    assert!(open_doubts(&books).is_empty() && open_boxes(&later, &books, None).is_empty());
    let (store, region) = later.store().unwrap();
    let log = store.events_after(region, 0).await.unwrap();
    let (_, told) = log
        .iter()
        .find(|(_, e)| e.kind == "box.made-again")
        .unwrap();
    assert_eq!(told.text("reason").as_deref(), Some("box-gone"));
    // The old box is nobody's any more.
    assert_eq!(refused(&later, &bench(), seq, code("KMTR7")).await, "store");
    let back = take_back(&later, &bench(), (seq, StepKind::Boxed), None).await;
    assert_eq!(said(back), "not-taken-back");
    // The new one goes its way.
    let place = *books.floor.plan.of(new.plate.seq).unwrap();
    let new_seq = new.plate.seq.0;
    let start = world.at(place.start).await;
    act(&start, &coordinator(), new_seq, &Act::Start, None)
        .await
        .unwrap();
    let end = world.at(place.cleared).await;
    let good = new.plate.copies.into();
    let hand = Act::HandOver(Shown::Nothing(NoCode::Forgotten));
    for what in [Act::TakeOff { good }, Act::Box, Act::Leave, hand] {
        act(&end, &coordinator(), new_seq, &what, None)
            .await
            .unwrap();
    }
    let books = world.books().await;
    let promised = books.pledge_of(kept.request).unwrap();
    // Printed again on the same day, it is there before the promise ends.
    assert!(place.cleared <= promised.pledge.arrival);
    assert_eq!(promised.end.as_ref().unwrap().kind, PledgeKind::Kept);
    // The team pays for what it has, once.
    let all = shares(&end, &coordinator(), &books).await.unwrap();
    let own = all
        .teams
        .iter()
        .find(|share| share.team == world.team)
        .unwrap();
    assert_eq!((own.parts, own.printing), (2, place.cleared - place.start));
}

#[tokio::test(flavor = "multi_thread")]
async fn only_what_fits_a_box_can_be_said_and_only_by_its_team_and_benches() {
    let world = World::new(REGION).await;
    let kept = world.books().await.floor.kept[0].clone();
    let early = world.says(&world.session, &kept, Doubt::Gone).await;
    assert_eq!(early, Err("not-that-box"), "it is not closed");
    let (kept, boxed) = world.boxed().await;
    let later = world.at(boxed + Minutes(5)).await;
    for why in [Doubt::NeverCame, Doubt::WrongParts] {
        assert_eq!(world.says(&later, &kept, why).await, Err("not-that-box"));
    }
    let other = Actor::new(Role::Team("Somebody Else".to_owned()));
    let which = (kept.request, kept.plate.seq.0);
    let theirs = doubt_box(&later, &other, which, Doubt::Gone, None).await;
    assert_eq!(said(theirs), "not-yours");
    let no_such = (kept.request, 999);
    let none = doubt_box(&later, &world.team(), no_such, Doubt::Gone, None).await;
    assert_eq!(said(none), "not-yours");
    let stranger = Actor::new(Role::Host("somewhere".to_owned()));
    let gone = Act::Doubt(Doubt::Gone);
    assert_eq!(
        refused(&later, &stranger, which.1, gone.clone()).await,
        "not-allowed"
    );
    act(&later, &bench(), which.1, &gone, None).await.unwrap();
    let how = (world.doubt(&kept).await.unwrap().entry, Ruling::Again);
    for nosy in [bench(), world.team()] {
        let decided = decide_box(&later, &nosy, which.1, how, None).await;
        assert_eq!(said(decided), "not-allowed");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_box_that_was_found_goes_on_and_what_is_decided_is_decided_once() {
    let world = World::new(REGION).await;
    let (kept, boxed) = world.boxed().await;
    let seq = kept.plate.seq.0;
    let later = world.at(boxed + Minutes(5)).await;
    world.says(&later, &kept, Doubt::Gone).await.unwrap();
    let entry = world.doubt(&kept).await.unwrap().entry;
    // Two coordinators at the same moment.
    let who = coordinator();
    let (one, other) = tokio::join!(
        decide_box(
            &later,
            &who,
            seq,
            (entry, Ruling::Right),
            Some("right-0001")
        ),
        decide_box(
            &later,
            &who,
            seq,
            (entry, Ruling::Right),
            Some("right-0002")
        ),
    );
    let (done, told): (Vec<_>, Vec<_>) = [one, other].into_iter().partition(Result::is_ok);
    assert_eq!((done.len(), told.len()), (1, 1));
    assert_eq!(said(told.into_iter().next().unwrap()), "box-decided");
    let late = decide_box(&later, &who, seq, (entry, Ruling::Again), None).await;
    assert_eq!(said(late), "box-decided");
    assert!(world.states(&kept).await.iter().all(|s| *s == State::Boxed));
    assert_eq!(open_boxes(&later, &world.books().await, None).len(), 1);
    // It can be lost once more; a hand-over settles that by itself.
    world.says(&later, &kept, Doubt::Gone).await.unwrap();
    let entry = world.doubt(&kept).await.unwrap().entry;
    let hand = Act::HandOver(Shown::Nothing(NoCode::Forgotten));
    act(&later, &bench(), seq, &Act::Leave, None).await.unwrap();
    act(&later, &bench(), seq, &hand, None).await.unwrap();
    assert_eq!(world.doubt(&kept).await, None);
    let late = decide_box(&later, &who, seq, (entry, Ruling::Again), None).await;
    assert_eq!(said(late), "box-decided");
}

#[tokio::test(flavor = "multi_thread")]
async fn wrong_parts_are_made_again_without_a_promise_when_theirs_has_ended() {
    let world = World::new(REGION).await;
    let (kept, boxed) = world.boxed().await;
    let seq = kept.plate.seq.0;
    let later = world.at(boxed + Minutes(5)).await;
    let hand = Act::HandOver(Shown::Nothing(NoCode::Forgotten));
    act(&later, &bench(), seq, &Act::Leave, None).await.unwrap();
    act(&later, &bench(), seq, &hand, None).await.unwrap();
    let gone = world.says(&later, &kept, Doubt::Gone).await;
    assert_eq!(gone, Err("not-that-box"), "they have it");
    let week = later.now.0 + 7 * 24 * 3_600_000;
    let after = world.session.at(EventMs(week + 60_000)).await.unwrap();
    let too_late = world.says(&after, &kept, Doubt::WrongParts).await;
    assert_eq!(too_late, Err("not-that-box"));
    let in_time = world.session.at(EventMs(week)).await.unwrap();
    world
        .says(&in_time, &kept, Doubt::WrongParts)
        .await
        .unwrap();
    // Decided after the week, it is as it was said.
    world.decides(&after, &kept, Ruling::Again).await;
    let new = world.again(&kept).await;
    assert_eq!(new.plate.promise, None);
    let books = world.books().await;
    let end = books.pledge_of(kept.request).unwrap().end.clone();
    assert_eq!(end.unwrap().kind, PledgeKind::Kept, "it stays ended");
    let fate = books.notes(kept.request).last().unwrap();
    assert_eq!(fate.said.kind, NoteKind::BoxAgain);
    assert_eq!(fate.said.reason, "wrong-parts");
    assert!(books.floor.plan.of(PlateSeq(new.plate.seq.0)).is_some());
    assert_eq!(world.states(&kept).await, [State::Pledged; 2]);
}

/// How the promise stands, and why.
async fn stands(world: &World, at: &Session, kept: &KeptPlate) -> (f64, bool, Option<Cause>) {
    let books = world.books().await;
    let listed = books.request(kept.request).unwrap();
    let outcome = outcome_of(at, &books, kept.request).unwrap();
    let why = cause(at, &books, listed);
    (outcome.chance, outcome.likely.is_some(), why)
}

#[tokio::test(flavor = "multi_thread")]
async fn a_box_of_which_nobody_says_that_it_came_does_not_count_as_there_for_ever() {
    let world = World::new(REGION).await;
    let (kept, arrives) = world.gone().await;
    let soon = world.at(arrives + Minutes(29)).await;
    let (chance, known, _) = stands(&world, &soon, &kept).await;
    assert!(chance > 0.99 && known, "people tick a little later");
    let past = world.at(arrives + Minutes(30)).await;
    let (chance, known, why) = stands(&world, &past, &kept).await;
    assert_eq!((chance, known, why), (0.0, false, Some(Cause::NoWord)));
    // Its team says that it has not come.
    world.says(&past, &kept, Doubt::NeverCame).await.unwrap();
    let (share, why) = (kept.plate.seq.0, Doubt::NeverCame);
    let (chance, known, cause) = stands(&world, &past, &kept).await;
    assert_eq!(
        (chance, known, cause),
        (0.0, false, Some(Cause::BoxInDoubt { share, why }))
    );
    // It is found: it may be there again, and nobody has said so.
    world.decides(&past, &kept, Ruling::Right).await;
    let (_, _, why) = stands(&world, &past, &kept).await;
    assert_eq!(why, Some(Cause::NoWord));
    let hand = Act::HandOver(Shown::Nothing(NoCode::Forgotten));
    act(&past, &bench(), share, &hand, None).await.unwrap();
    assert!(outcome_of(&past, &world.books().await, kept.request).is_none());
}

#[tokio::test(flavor = "multi_thread")]
async fn a_box_that_somebody_misses_is_at_risk_before_its_time() {
    let world = World::new(REGION).await;
    let (kept, boxed) = world.boxed().await;
    let later = world.at(boxed + Minutes(5)).await;
    let (chance, ..) = stands(&world, &later, &kept).await;
    assert!(chance > 0.5, "{chance}");
    world.says(&later, &kept, Doubt::Gone).await.unwrap();
    let (chance, known, _) = stands(&world, &later, &kept).await;
    assert_eq!((chance, known), (0.0, false));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_box_that_waits_for_its_round_is_not_said_to_be_with_the_team() {
    let world = World::new(REGION).await;
    let (kept, _) = world.boxed().await;
    let books = world.books().await;
    let promised = books.pledge_of(kept.request).unwrap().pledge.arrival;
    // Nobody ticked that it left, and its time is over.
    let past = world.at(promised + Minutes(60)).await;
    let (chance, known, why) = stands(&world, &past, &kept).await;
    assert_eq!((chance, known), (0.0, true), "the next round takes it");
    assert_ne!(why, Some(Cause::NoWord));
    let line = world.line(&past, &kept).await;
    let ((_, was, _), (_, next, _)) = (line.goes.unwrap(), line.next.unwrap());
    assert!(was.leaves < past.minute() && past.minute() <= next.leaves);
    let before = world.at(was.leaves).await;
    assert!(world.line(&before, &kept).await.next.is_none());
}

#[tokio::test(flavor = "multi_thread")]
async fn what_nobody_has_taken_off_is_said_to_be_so_since_it_should_be_done() {
    let world = World::new(REGION).await;
    let books = world.books().await;
    let kept = books.floor.kept[0].clone();
    let place = *books.place(&kept).unwrap();
    let start = world.at(place.start).await;
    let seq = kept.plate.seq.0;
    act(&start, &bench(), seq, &Act::Start, None).await.unwrap();
    let since = place.start + kept.plate.makings[0].reserved;
    for late in [1, 20] {
        let past = world.at(since + Minutes(late)).await;
        let (_, _, why) = stands(&world, &past, &kept).await;
        let Some(Cause::NotOff { since: told, .. }) = why else {
            panic!("{why:?}");
        };
        assert_eq!(told, since, "it does not roll on");
    }
}
