//! Held, passed, refused, appealed.

use super::*;

#[tokio::test(flavor = "multi_thread")]
async fn a_guess_holds_a_request_and_passing_it_gives_the_pledge_at_once() {
    let world = World::with("").await;
    let plain = world.send(&WANT, "send-00001").await;
    let knife = Want {
        name: "knife.stl",
        size_mm: 31.0,
        ..WANT
    };
    let held = world.send(&knife, "send-00002").await;
    let books = world.books().await;
    let listed = books.numbered(plain).unwrap();
    assert_eq!(listed.request.state, State::Pledged, "nothing was guessed");
    let notes = books.notes(listed.request.id);
    assert_eq!(Statement::read(&notes[0]).unwrap().words, "CC BY 4.0");
    let listed = books.numbered(held).unwrap().clone();
    let request = &listed.request;
    assert_eq!(
        (request.state, request.first_answer_at),
        (State::HeldForReview, None)
    );
    assert_eq!(kinds(&books, held), [NoteKind::Stated, NoteKind::Held]);
    assert_eq!(books.notes(request.id)[1].said.hints, ["word: knife"]);
    for who in [
        student(),
        mentor(),
        Actor::new(Role::Host("brindlemoor".to_owned())),
    ] {
        let own = pass(&world.session, &who, &listed, ("", "pass-1")).await;
        assert!(matches!(own.unwrap_err(), WorkshopError::NotAllowed { .. }));
    }
    let offer = take_offer(&world.session, &student(), &listed).await;
    assert_eq!(offer.unwrap_err().code(), "store", "held is held");
    assert_eq!(world.state(held).await, State::HeldForReview);
    let later = world.later(60).await;
    for _ in 0..2 {
        let passed = pass(&later, &coordinator(), &listed, ("", "pass-2"))
            .await
            .unwrap();
        assert!(passed.no_pledge.is_none(), "{:?}", passed.no_pledge);
    }
    let books = world.books().await;
    let found = &books.numbered(held).unwrap().request;
    assert_eq!(
        (found.state, found.first_answer_at),
        (State::Pledged, Some(later.now))
    );
    assert!(books.pledge_of(found.id).is_some());
}

#[tokio::test(flavor = "multi_thread")]
async fn a_changed_file_that_is_looked_at_first_keeps_the_promise_until_it_passes() {
    let world = World::with("").await;
    let old = world.send(&WANT, "send-00001").await;
    let knife = |size_mm, replaces| Want {
        name: "knife.stl",
        size_mm,
        replaces: Some(replaces),
        ..WANT
    };
    let first = world.send(&knife(31.0, old), "send-00002").await;
    let second = world.send(&knife(32.0, first), "send-00003").await;
    let state = |books: &Books, number| books.numbered(number).unwrap().request.state;
    let books = world.books().await;
    assert_eq!(state(&books, old), State::Pledged, "still promised");
    assert_eq!(state(&books, first), State::Withdrawn, "one of them waits");
    assert_eq!(state(&books, second), State::HeldForReview);
    let listed = books.numbered(second).unwrap().clone();
    let passed = pass(&world.session, &coordinator(), &listed, ("", "pass-1")).await;
    assert!(passed.unwrap().no_pledge.is_none());
    let books = world.books().await;
    assert_eq!(state(&books, second), State::Pledged);
    // What it replaced had replaced it: one promise is left, not two.
    assert_eq!(state(&books, old), State::Withdrawn);
    let end = books.pledge_of(books.numbered(old).unwrap().request.id);
    let end = end.unwrap().end.as_ref().map(|end| end.kind);
    assert_eq!(end, Some(PledgeKind::Superseded));
    assert_eq!(books.open_pledges().len(), 1);
}

#[tokio::test(flavor = "multi_thread")]
async fn of_two_reviewers_at_once_the_second_is_told_and_changes_nothing() {
    let world = World::with("review = \"all\"").await;
    let number = world.send(&WANT, "send-00001").await;
    let seen = world.books().await.numbered(number).unwrap().clone();
    let first = pass(&world.session, &coordinator(), &seen, ("", "pass-1")).await;
    assert!(first.unwrap().no_pledge.is_none());
    // The second still sees it held. A promised request can go back to ready, but not by this.
    let second = pass(&world.session, &coordinator(), &seen, ("", "pass-2")).await;
    assert_eq!(second.unwrap_err().code(), "store");
    assert_eq!(world.state(number).await, State::Pledged);
    let passed = kinds(&world.books().await, number);
    let passed = passed.iter().filter(|kind| **kind == NoteKind::Passed);
    assert_eq!(passed.count(), 1);
    let other = Want {
        size_mm: 33.0,
        ..WANT
    };
    let number = world.send(&other, "send-00002").await;
    let seen = world.books().await.numbered(number).unwrap().clone();
    let no = (Reason::Unclear, "", "no-1");
    refuse(&world.session, &coordinator(), &seen, no)
        .await
        .unwrap();
    // Only an appeal brings a refused one back.
    let held = hold(&world.session, &coordinator(), &seen, ("", "hold-1")).await;
    assert!(held.is_err());
    assert_eq!(world.state(number).await, State::Refused);
}

#[tokio::test(flavor = "multi_thread")]
async fn where_all_is_looked_at_trusted_teams_pass_and_others_wait() {
    let world = World::with("review = \"all\"").await;
    let held = world.send(&WANT, "send-00001").await;
    let books = world.books().await;
    assert_eq!(
        books.numbered(held).unwrap().request.state,
        State::HeldForReview
    );
    let trusted = World::with("review = \"all\"\ntrusted_teams = [\"Newt Works\"]").await;
    let passed = trusted.send(&WANT, "send-00001").await;
    let books = trusted.books().await;
    assert_eq!(
        books.numbered(passed).unwrap().request.state,
        State::Pledged
    );
    let none = World::with("review = \"none\"").await;
    let knife = none
        .send(
            &Want {
                name: "knife.stl",
                ..WANT
            },
            "send-00001",
        )
        .await;
    let books = none.books().await;
    assert_eq!(books.numbered(knife).unwrap().request.state, State::Pledged);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_refusal_answers_and_may_be_appealed_once() {
    let world = World::with("review = \"all\"").await;
    let number = world.send(&WANT, "send-00001").await;
    let listed = world.books().await.numbered(number).unwrap().clone();
    let later = world.later(90).await;
    let no = |key| (Reason::Hurts, "  the\nspikes ", key);
    let early = appeal(&later, &student(), &listed, ("please", "app-0")).await;
    assert!(early.is_err(), "nothing was refused yet");
    refuse(&later, &coordinator(), &listed, no("no-1"))
        .await
        .unwrap();
    let books = world.books().await;
    let found = &books.numbered(number).unwrap().request;
    assert_eq!(
        (found.state, found.first_answer_at),
        (State::Refused, Some(later.now))
    );
    assert!(books.may_appeal(found.id));
    let last = books.notes(found.id).last().unwrap();
    assert_eq!(
        (last.said.words.as_str(), last.role.as_str()),
        ("the spikes", "coordinator")
    );
    let stranger = Actor::new(Role::Team("Silt Sisters".to_owned()));
    assert!(
        appeal(&later, &stranger, &listed, ("x", "app-1"))
            .await
            .is_err()
    );
    for _ in 0..2 {
        appeal(&later, &student(), &listed, ("rubber", "app-2"))
            .await
            .unwrap();
    }
    let state = |books: &Books| books.numbered(number).unwrap().request.state;
    assert_eq!(state(&world.books().await), State::HeldForReview);
    refuse(&later, &coordinator(), &listed, no("no-2"))
        .await
        .unwrap();
    let books = world.books().await;
    assert!(
        !books.may_appeal(listed.request.id),
        "the second decision is final"
    );
    assert!(
        appeal(&later, &student(), &listed, ("again", "app-3"))
            .await
            .is_err()
    );
    assert_eq!(state(&world.books().await), State::Refused);
    // Where only guesses hold, the same file again is one.
    let guessed = World::with("").await;
    let first = guessed
        .send(
            &Want {
                name: "knife.stl",
                ..WANT
            },
            "send-00001",
        )
        .await;
    let listed = guessed.books().await.numbered(first).unwrap().clone();
    refuse(&guessed.session, &coordinator(), &listed, no("no-1"))
        .await
        .unwrap();
    let second = guessed
        .send(
            &Want {
                name: "spoon.stl",
                ..WANT
            },
            "send-00002",
        )
        .await;
    let books = guessed.books().await;
    let id = books.numbered(second).unwrap().request.id;
    assert_eq!(books.notes(id)[1].said.hints, [format!("before: {first}")]);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_person_can_hold_what_waits_without_a_promise_and_not_what_is_promised() {
    let world = World::with("").await;
    let number = world.send(&WANT, "send-00001").await;
    let listed = world.books().await.numbered(number).unwrap().clone();
    let held = hold(&world.session, &coordinator(), &listed, ("", "hold-1")).await;
    assert!(held.is_err(), "a promise is given");
}

#[tokio::test(flavor = "multi_thread")]
async fn what_nobody_decides_on_is_refused_by_the_clock_and_may_be_sent_again() {
    let lines = "undecided = { tell_after_hours = 5, close_after_days = 2 }";
    let world = World::with(lines).await;
    let knife = Want {
        name: "knife.stl",
        ..WANT
    };
    let number = world.send(&knife, "send-00001").await;
    let clock = Actor::new(Role::Clock);
    let look = async |session: &Session| {
        let books = Books::open(session).await.unwrap();
        look(session, &clock, &books, &BTreeMap::new())
            .await
            .unwrap();
    };
    let days = |days: i64| days * 24 * 60;
    // The very first look tells nothing, and so nothing is written down as told.
    look(&world.later(5 * 60).await).await;
    let late = world.later(days(3)).await;
    assert_eq!(
        undecided::close(&late, &clock).await.unwrap(),
        0,
        "nobody was told"
    );
    look(&world.later(6 * 60).await).await;
    let early = world.later(days(2) - 1).await;
    assert_eq!(undecided::close(&early, &clock).await.unwrap(), 0);
    let refused = undecided::close(&early, &student()).await;
    assert_eq!(refused.unwrap_err().code(), "not-allowed");
    let late = world.later(days(2)).await;
    assert_eq!(undecided::close(&late, &clock).await.unwrap(), 1);
    assert_eq!(undecided::close(&late, &clock).await.unwrap(), 0);
    let books = world.books().await;
    let listed = books.numbered(number).unwrap().clone();
    assert_eq!(listed.request.state, State::Refused);
    let note = books.notes(listed.request.id).last().unwrap();
    assert_eq!(note.said.reason, Reason::Undecided.code());
    assert_eq!(note.role, "clock");
    // A second look waits for as long again.
    let words = ("For cutting rope", "appeal-1");
    appeal(&late, &student(), &listed, words).await.unwrap();
    assert_eq!(undecided::close(&late, &clock).await.unwrap(), 0);
    look(&world.later(days(3)).await).await;
    let later = world.later(days(4)).await;
    assert_eq!(undecided::close(&later, &clock).await.unwrap(), 1);
    // Sent once more under another name it is still for people to look at: nobody has.
    let renamed = Want {
        name: "rope-guide.stl",
        again: true,
        ..WANT
    };
    let again = world.send(&renamed, "send-00002").await;
    assert_eq!(world.state(again).await, State::HeldForReview);
}

#[test]
fn people_have_every_reason_but_that_nobody_decided() {
    let choices: Vec<Reason> = Reason::choices().collect();
    assert!(!choices.contains(&Reason::Undecided));
    assert_eq!(choices.len() + 1, Reason::ALL.len());
}
