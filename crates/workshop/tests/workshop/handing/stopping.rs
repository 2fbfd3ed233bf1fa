//! What keeps a box where it is, rounds told late, hand-overs taken back.

use partpledge_records::{Event, PledgeEnd};
use partpledge_workshop::bench::end_request;
use partpledge_workshop::boxes::{Stop, missed_rounds};
use partpledge_workshop::notices::look;
use partpledge_workshop::review::{Reason, deciding};
use partpledge_workshop::risks::outcomes;
use partpledge_workshop::shares::shares;

use super::*;

fn without() -> Act {
    Act::HandOver(Shown::Nothing(NoCode::NotYet))
}

impl World {
    /// Another team's part, in its box at the same bench: with when it was closed.
    async fn another(&self) -> (KeptPlate, Minute) {
        let (_, start) = self.at_the_end().await;
        let file = partpledge_testbed::files().swap_remove(1);
        let team = &self.session.terrain.file.teams[1].name;
        let sent = Sent {
            bytes: Bytes::from(file.bytes),
            file_name: file.name,
            team,
            part: None,
            copies: 1,
            material: "PLA",
            need_by: None,
            unit: None,
            replaces: None,
            statement: None,
            again: true,
            dimensions: None,
            over_limit: None,
            key: "send-00009",
        };
        let session = self.at(start).await;
        let actor = Actor::new(Role::Team(team.clone()));
        send(&session, &actor, &sent).await.unwrap();
        let books = self.books().await;
        let kept = books.floor.kept.last().unwrap().clone();
        let place = *books.place(&kept).unwrap();
        let seq = kept.plate.seq.0;
        let begin = self.at(place.start).await;
        act(&begin, &bench(), seq, &Act::Start, None).await.unwrap();
        let end = self.at(place.cleared).await;
        for what in [Act::TakeOff { good: 1.into() }, Act::Box] {
            act(&end, &bench(), seq, &what, None).await.unwrap();
        }
        (kept, place.cleared)
    }

    /// The last step of anybody, and when it was.
    async fn at_the_end(&self) -> (u64, Minute) {
        let books = self.books().await;
        let step = books.floor.steps.last().unwrap();
        (step.plate, Minute::at_or_after(step.at))
    }

    /// Kinds of the notices that a student of the team has, once the log was looked at.
    async fn told(&self, session: &Session) -> Vec<String> {
        let people = self.session.people(self.session.now).unwrap();
        people.try_as(&Role::Team(self.team.clone())).await.unwrap();
        let books = self.books().await;
        let outcomes = outcomes(session, &books);
        let clock = Actor::new(Role::Clock);
        look(session, &clock, &books, &outcomes).await.unwrap();
        let (store, region) = session.store().unwrap();
        let people = store.people(region).await.unwrap();
        let all = store.notices_of(region, people[0].0.id).await.unwrap();
        all.into_iter().map(|one| one.said.kind).collect()
    }

    async fn log(&self) -> Vec<Event> {
        let (store, region) = self.session.store().unwrap();
        let log = store.events_after(region, 0).await.unwrap();
        log.into_iter().map(|(_, event)| event).collect()
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_box_that_travels_is_not_handed_over_before_it_has_left() {
    let world = World::new(REGION).await;
    let (kept, boxed) = world.boxed().await;
    let seq = kept.plate.seq.0;
    let its = world.books().await;
    let its = its.box_code(&world.team(), &kept).unwrap().to_owned();
    let later = world.at(boxed + Minutes(5)).await;
    let there = Actor::new(Role::Host("sallowby".to_owned()));
    for (who, what) in [
        (&bench(), code(&its)),
        (&coordinator(), without()),
        (&there, code(&its)),
    ] {
        let error = act(&later, who, seq, &what, None).await.unwrap_err();
        assert_eq!(error.code(), "not-left");
        assert!(error.to_string().contains("has not left its host yet"));
        assert!(error.what_to_do().contains("says first that it is gone"));
    }
    assert!(!world.line(&later, &kept).await.may_be_handed);
    assert_eq!(world.states(&kept).await, [State::Boxed; 2]);
    act(&later, &bench(), seq, &Act::Leave, None).await.unwrap();
    assert!(world.line(&later, &kept).await.may_be_handed);
    act(&later, &there, seq, &code(&its), None).await.unwrap();
    assert_eq!(world.states(&kept).await, [State::HandedOver; 2]);
}

#[tokio::test(flavor = "multi_thread")]
async fn what_was_taken_down_stays_in_its_box_and_the_box_where_it_is() {
    for left in [false, true] {
        let world = World::new(REGION).await;
        let (kept, boxed) = world.boxed().await;
        let seq = kept.plate.seq.0;
        let later = world.at(boxed + Minutes(5)).await;
        if left {
            act(&later, &bench(), seq, &Act::Leave, None).await.unwrap();
        }
        let books = world.books().await;
        let listed = books.request(kept.request).unwrap();
        let why = (Reason::Hurts, "", "down-0001");
        deciding::take_down(&later, &coordinator(), listed, why)
            .await
            .unwrap();
        let mut deeds = vec![without()];
        if !left {
            let (_, departure, _) = world.line(&later, &kept).await.goes.unwrap();
            let miss = Act::MissLeg {
                leaves: departure.leaves,
                why: Hitch::LeftBehind,
            };
            deeds.extend([Act::Leave, miss]);
        }
        for what in deeds {
            assert_eq!(refused(&later, &bench(), seq, what).await, "box-down");
        }
        let held = hold(&later, &world.team(), kept.request, None).await;
        assert_eq!(held.unwrap_err().code(), "taken-down");
        let line = world.line(&later, &kept).await;
        assert_eq!(line.stopped, Some(Stop::Down));
        let books = world.books().await;
        assert_eq!(books.box_code(&world.team(), &kept), None, "of no use");
        assert_eq!(world.states(&kept).await, [State::Boxed; 2]);
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn good_copies_of_what_was_taken_down_go_in_no_box() {
    let world = World::new(REGION).await;
    let (kept, boxed) = world.boxed().await;
    let seq = kept.plate.seq.0;
    let later = world.at(boxed + Minutes(1)).await;
    take_back(&later, &bench(), (seq, StepKind::Boxed), None)
        .await
        .unwrap();
    let books = world.books().await;
    let listed = books.request(kept.request).unwrap();
    let why = (Reason::Hurts, "", "down-0001");
    deciding::take_down(&later, &coordinator(), listed, why)
        .await
        .unwrap();
    assert_eq!(refused(&later, &bench(), seq, Act::Box).await, "box-down");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_missed_round_that_is_told_after_the_next_one_sends_the_box_with_the_one_to_come() {
    let world = World::new(REGION).await;
    let (kept, _) = world.boxed().await;
    let seq = kept.plate.seq.0;
    let (_, first, _) = world.line(&world.session, &kept).await.goes.unwrap();
    // The next round left a day later; it is told an hour after that.
    let late = world.at(first.leaves + Minutes(25 * 60)).await;
    let miss = Act::MissLeg {
        leaves: first.leaves,
        why: Hitch::NoCourier,
    };
    act(&late, &bench(), seq, &miss, None).await.unwrap();
    let line = world.line(&late, &kept).await;
    let (_, next, arrives) = line.goes.unwrap();
    assert_eq!(
        next.leaves - first.leaves,
        Minutes(48 * 60),
        "still to come"
    );
    let missed = line.missed.unwrap();
    assert_eq!((missed.arrives, missed.late), (Some(arrives), true));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_box_that_went_with_the_next_round_stays_gone_when_the_first_is_told_as_missed() {
    let world = World::new(REGION).await;
    let (kept, _) = world.boxed().await;
    let seq = kept.plate.seq.0;
    let (_, first, _) = world.line(&world.session, &kept).await.goes.unwrap();
    let second = first.leaves + Minutes(24 * 60);
    // Ticked a quarter of an hour after the round had left with it.
    let gone = world.at(second + Minutes(15)).await;
    act(&gone, &bench(), seq, &Act::Leave, None).await.unwrap();
    let line = world.line(&gone, &kept).await;
    let (_, went, arrives) = line.goes.unwrap();
    assert_eq!(went.leaves, second, "by what it went");
    let late = world.at(second + Minutes(60)).await;
    let books = world.books().await;
    let likely = outcome_of(&late, &books, kept.request).unwrap().likely;
    assert_eq!(likely, Some(arrives), "the forecast knows as well");
    let miss = Act::MissLeg {
        leaves: first.leaves,
        why: Hitch::NoCourier,
    };
    act(&late, &coordinator(), seq, &miss, None).await.unwrap();
    let line = world.line(&late, &kept).await;
    assert_eq!(line.left, Some(second + Minutes(15)), "it stays gone");
    assert_eq!(line.goes.unwrap().1.leaves, second);
    let missed = line.missed.unwrap();
    assert_eq!(
        (missed.leaves, missed.arrives),
        (first.leaves, Some(arrives))
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_round_that_did_not_come_counts_once_for_all_boxes_and_tellers() {
    let world = World::new(REGION).await;
    let (one, _) = world.boxed().await;
    let (other, _) = world.another().await;
    let (_, first, _) = world.line(&world.session, &one).await.goes.unwrap();
    let same = world.line(&world.session, &other).await.goes.unwrap();
    assert_eq!(same.1.leaves, first.leaves, "the same round");
    let evening = world.at(first.leaves + Minutes(60)).await;
    let miss = Act::MissLeg {
        leaves: first.leaves,
        why: Hitch::NoCourier,
    };
    // Two say it of the first box at the same moment.
    let seq = one.plate.seq.0;
    let (a, b) = (bench(), coordinator());
    let (a, b) = tokio::join!(
        act(&evening, &a, seq, &miss, Some("miss-0001")),
        act(&evening, &b, seq, &miss, Some("miss-0002")),
    );
    let (done, told): (Vec<_>, Vec<_>) = [a, b].into_iter().partition(Result::is_ok);
    assert_eq!((done.len(), told.len()), (1, 1));
    let told = told.into_iter().next().unwrap();
    assert_eq!(told.unwrap_err().code(), "not-that-leg");
    let books = world.books().await;
    let missed = |note: &&partpledge_records::Note| note.said.kind == NoteKind::LegMissed;
    let notes = books.notes(one.request).iter();
    assert_eq!(notes.filter(missed).count(), 1);
    act(&evening, &bench(), other.plate.seq.0, &miss, None)
        .await
        .unwrap();
    let week = 7 * 24 * 3_600_000;
    let rounds = missed_rounds(&evening, &world.books().await, None, week);
    assert_eq!(rounds.len(), 1, "{rounds:?}");
    assert_eq!(rounds[0].leaves, first.leaves);
    assert_eq!(rounds[0].boxes.len(), 2);
    let elsewhere = missed_rounds(&evening, &world.books().await, Some("sallowby"), week);
    assert!(elsewhere.is_empty());
}

#[tokio::test(flavor = "multi_thread")]
async fn a_promise_that_has_ended_is_not_shown_as_open_with_its_box() {
    let world = World::new(REGION).await;
    let (kept, boxed) = world.boxed().await;
    let later = world.at(boxed + Minutes(5)).await;
    let line = world.line(&later, &kept).await;
    assert_eq!((line.promised.is_some(), line.ended), (true, None));
    // Called back it can't be; what is taken down ends it.
    let end = PledgeEnd::Withdrawn;
    let back = end_request(&later, &world.team(), kept.request, end, None).await;
    assert_eq!(back.unwrap_err().code(), "store");
    let books = world.books().await;
    let listed = books.request(kept.request).unwrap();
    let why = (Reason::Hurts, "", "down-0001");
    deciding::take_down(&later, &coordinator(), listed, why)
        .await
        .unwrap();
    let line = world.line(&later, &kept).await;
    assert_eq!(line.ended, Some(PledgeKind::Withdrawn));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_hand_over_is_taken_back_while_its_promise_is_open_and_counts_nowhere_then() {
    let world = World::new(REGION).await;
    let books = world.books().await;
    let kept = books.floor.kept[0].clone();
    let seq = kept.plate.seq.0;
    let place = *books.place(&kept).unwrap();
    let start = world.at(place.start).await;
    act(&start, &bench(), seq, &Act::Start, None).await.unwrap();
    let end = world.at(place.cleared).await;
    // One of two is lost and made again: the first box does not end the promise.
    let good = 1.into();
    for what in [Act::TakeOff { good }, Act::Box, Act::Leave, without()] {
        act(&end, &bench(), seq, &what, None).await.unwrap();
    }
    let parts = async || {
        let books = world.books().await;
        let all = shares(&end, &coordinator(), &books).await.unwrap();
        all.teams[0].parts
    };
    assert_eq!(parts().await, 1);
    let left = take_back(&end, &bench(), (seq, StepKind::Left), None).await;
    let why = left.unwrap_err().what_to_do();
    assert!(why.contains("has its copies already"), "{why}");
    let there = Actor::new(Role::Host("sallowby".to_owned()));
    let stranger = Actor::new(Role::Host("somewhere".to_owned()));
    let step = (seq, StepKind::HandedOver);
    let refused = take_back(&end, &stranger, step, None).await;
    assert_eq!(refused.unwrap_err().code(), "not-allowed");
    world.told(&end).await;
    take_back(&end, &there, step, None).await.unwrap();
    let news = world.told(&end).await;
    assert_eq!(news, ["part.not-handed-over"], "the team hears of it");
    assert_eq!(parts().await, 0, "in no share");
    let line = world.line(&end, &kept).await;
    assert_eq!((line.handed, line.left.is_some()), (None, true));
    assert_eq!(open_boxes(&end, &world.books().await, None).len(), 1);
    let log = world.log().await;
    let undone = log.last().unwrap();
    assert_eq!(undone.kind, "step.taken-back");
    assert_eq!(undone.numbers("plate"), [seq]);
    // And once more, for good.
    act(&end, &there, seq, &without(), None).await.unwrap();
    assert_eq!(parts().await, 1);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_hand_over_with_which_the_promise_ended_is_not_taken_back() {
    let world = World::new(REGION).await;
    let (kept, there) = world.gone().await;
    let seq = kept.plate.seq.0;
    let then = world.at(there).await;
    act(&then, &bench(), seq, &without(), None).await.unwrap();
    let back = take_back(&then, &bench(), (seq, StepKind::HandedOver), None).await;
    let why = back.unwrap_err().what_to_do();
    assert!(why.contains("The promise ended with it."), "{why}");
}
