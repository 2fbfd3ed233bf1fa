//! The same again, and how much a team may have open.

use super::*;

#[tokio::test(flavor = "multi_thread")]
async fn an_offer_taken_looks_at_the_limits_again_and_ends_what_it_replaces() {
    let world = World::with("limits = { open_requests = 2 }").await;
    let old = world.send(&WANT, "send-00001").await;
    let knife = Want {
        name: "knife.stl",
        size_mm: 31.0,
        replaces: Some(old),
        ..WANT
    };
    let changed = world.send(&knife, "send-00002").await;
    let listed = world.waits(changed).await;
    for (n, size_mm) in [(3, 33.0), (4, 34.0)] {
        let more = Want {
            size_mm,
            over: Some("for the fair"),
            ..WANT
        };
        let key = format!("send-0000{n}");
        world.try_send(&mentor(), &more, &key).await.unwrap();
    }
    let over = take_offer(&world.session, &student(), &listed).await;
    assert_eq!(over.unwrap_err().code(), "over-limit");
    assert_eq!(world.state(changed).await, State::Ready);
    let books = world.books().await;
    let last = books.numbered(4).unwrap().request.id;
    let end = (last, PledgeEnd::Withdrawn);
    end_request(&world.session, &student(), end.0, end.1, None)
        .await
        .unwrap();
    for _ in 0..2 {
        take_offer(&world.session, &student(), &listed)
            .await
            .unwrap();
    }
    assert_eq!(world.state(changed).await, State::Pledged);
    assert_eq!(world.state(old).await, State::Withdrawn);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_part_with_its_changed_files_is_one_open_request() {
    let world = World::with("limits = { open_requests = 1 }").await;
    let first = world.send(&WANT, "send-00001").await;
    let changed = |size_mm, replaces| Want {
        size_mm,
        replaces: Some(replaces),
        ..WANT
    };
    let second = world.send(&changed(31.0, first), "send-00002").await;
    let knife = Want {
        name: "knife.stl",
        ..changed(32.0, second)
    };
    let held = world.send(&knife, "send-00003").await;
    assert_eq!(world.state(held).await, State::HeldForReview);
    assert_eq!(world.state(second).await, State::Pledged);
    assert_eq!(open(&world.books().await, TEAM).requests, 1);
    let another = Want {
        size_mm: 35.0,
        ..WANT
    };
    let another = world.try_send(&student(), &another, "send-00004").await;
    assert_eq!(another.unwrap_err().code(), "over-limit");
}

#[tokio::test(flavor = "multi_thread")]
async fn two_files_at_the_same_moment_are_not_both_the_last_one_allowed() {
    let world = World::with("limits = { open_requests = 1 }").await;
    let other = Want {
        size_mm: 35.0,
        ..WANT
    };
    let who = student();
    let both = tokio::join!(
        world.try_send(&who, &WANT, "send-00001"),
        world.try_send(&who, &other, "send-00002"),
    );
    let codes = [both.0, both.1].map(|sent| sent.map_or_else(|error| error.code(), |_| "sent"));
    assert!(codes.contains(&"sent"), "{codes:?}");
    assert!(codes.contains(&"over-limit"), "{codes:?}");
    assert_eq!(world.books().await.requests.len(), 1);
}

#[tokio::test(flavor = "multi_thread")]
async fn the_same_again_within_a_week_is_asked_about_and_one_tap_sends_it() {
    let world = World::with("").await;
    let number = world.send(&WANT, "send-00001").await;
    let again = world.try_send(&student(), &WANT, "send-00002").await;
    assert!(matches!(again.unwrap_err(), WorkshopError::SentBefore { number: n } if n == number));
    let click = world
        .try_send(&student(), &WANT, "send-00001")
        .await
        .unwrap();
    assert_eq!(
        click.request.number, number,
        "a double click is the same request"
    );
    let other = world
        .try_send(&student(), &Want { copies: 2, ..WANT }, "send-00003")
        .await;
    assert!(other.is_ok(), "other copies are another wish");
    let listed = world.books().await.numbered(number).unwrap().clone();
    let tap = send_again(&world.session, &student(), &listed, "send-00004")
        .await
        .unwrap();
    let books = world.books().await;
    assert_eq!(books.requests.len(), 3);
    let stated = &books.notes(tap.request.id)[0];
    assert_eq!(
        Statement::read(stated).unwrap().claim,
        Claim::Licence,
        "as it was stated then"
    );
    let week = Minutes(8 * 24 * 60);
    let later = World {
        session: world.later(week.0).await,
        dir: world.dir,
    };
    assert!(
        later
            .try_send(&student(), &WANT, "send-00005")
            .await
            .is_ok()
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_team_has_limits_and_its_mentor_may_go_beyond_with_a_reason() {
    let world = World::with("limits = { copies = 3, open_requests = 2 }").await;
    let many = Want { copies: 4, ..WANT };
    let over = |error: WorkshopError| {
        matches!(
            error,
            WorkshopError::OverLimit {
                mentor_may: true,
                ..
            }
        )
    };
    assert!(over(
        world
            .try_send(&student(), &many, "send-00001")
            .await
            .unwrap_err()
    ));
    let reason = Want {
        over: Some("for the whole school"),
        copies: 4,
        ..WANT
    };
    assert!(over(
        world
            .try_send(&student(), &reason, "send-00002")
            .await
            .unwrap_err()
    ));
    assert!(over(
        world
            .try_send(&mentor(), &many, "send-00003")
            .await
            .unwrap_err()
    ));
    let sent = world
        .try_send(&mentor(), &reason, "send-00004")
        .await
        .unwrap();
    let books = world.books().await;
    let note = &books.notes(sent.request.id)[1];
    assert_eq!(
        (note.said.kind, note.said.words.as_str()),
        (NoteKind::OverLimit, "for the whole school")
    );
    world
        .send(
            &Want {
                size_mm: 33.0,
                ..WANT
            },
            "send-00005",
        )
        .await;
    let third = Want {
        size_mm: 34.0,
        ..WANT
    };
    let third = world
        .try_send(&student(), &third, "send-00006")
        .await
        .unwrap_err();
    assert!(third.to_string().contains("2 open at a time"), "{third}");
    let strict = World::with("limits = { copies = 3, mentors_may_exceed = false }").await;
    let no = strict
        .try_send(&mentor(), &reason, "send-00001")
        .await
        .unwrap_err();
    assert!(matches!(
        no,
        WorkshopError::OverLimit {
            mentor_may: false,
            ..
        }
    ));
}
