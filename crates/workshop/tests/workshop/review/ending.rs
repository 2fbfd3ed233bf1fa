//! Files taken down, plates declined.

use super::*;

#[tokio::test(flavor = "multi_thread")]
async fn taking_down_takes_the_same_file_of_the_team_and_leaves_that_of_another() {
    const SILT: &str = "Silt Sisters";
    let world = World::with("").await;
    let first = world.send(&WANT, "send-00001").await;
    let renamed = Want {
        name: "strut.stl",
        again: true,
        ..WANT
    };
    let second = world.send(&renamed, "send-00002").await;
    let theirs = Want { team: SILT, ..WANT };
    let silt = Actor::new(Role::Team(SILT.to_owned()));
    let third = world.try_send(&silt, &theirs, "send-00003").await.unwrap();
    let third = third.request.number;
    let listed = world.books().await.numbered(first).unwrap().clone();
    let why = (Reason::NotTheirs, "", "down-1");
    take_down(&world.session, &coordinator(), &listed, why)
        .await
        .unwrap();
    let books = world.books().await;
    for number in [first, second] {
        let request = &books.numbered(number).unwrap().request;
        assert_eq!(request.state, State::Recalled, "{number}");
        assert!(books.taken_down(request));
        assert!(books.pledge_of(request.id).unwrap().end.is_some());
        assert_eq!(kinds(&books, number).last(), Some(&NoteKind::TakenDown));
        let plates: Vec<_> = books.plates_of(request.id).map(|kept| kept.state).collect();
        assert_eq!(plates, [PlateState::Withdrawn]);
    }
    let stays = &books.numbered(third).unwrap().request;
    assert_eq!(stays.state, State::Pledged);
    assert!(!books.taken_down(stays));
    let same: Vec<i64> = books
        .same_file(&listed)
        .map(|one| one.request.number)
        .collect();
    assert_eq!(same, [second, third], "those to look at");
    let spoon = Want {
        name: "spoon.stl",
        ..renamed
    };
    let again = world.try_send(&student(), &spoon, "send-00004").await;
    assert_eq!(again.unwrap_err().code(), "taken-down");
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_taken_down_leaves_the_plan_and_the_pledge_ends_on_record() {
    let world = World::with("").await;
    let number = world.send(&WANT, "send-00001").await;
    let other = world
        .send(
            &Want {
                size_mm: 40.0,
                ..WANT
            },
            "send-00002",
        )
        .await;
    let silt = Actor::new(Role::Team("Silt Sisters".to_owned()));
    for unknown in [number, 999] {
        report(&world.session, &silt, unknown, (true, "I drew it", "rep-1"))
            .await
            .unwrap();
    }
    let nobody = Actor::new(Role::Nobody);
    assert!(
        report(&world.session, &nobody, number, (true, "", "rep-2"))
            .await
            .is_err()
    );
    let books = world.books().await;
    let listed = books.numbered(number).unwrap().clone();
    assert_eq!(books.open_reports(listed.request.id).len(), 1);
    let why = |key| (Reason::NotTheirs, "", key);
    let own = take_down(&world.session, &mentor(), &listed, why("down-0")).await;
    assert!(own.is_err(), "for the coordinator only");
    for _ in 0..2 {
        take_down(&world.session, &coordinator(), &listed, why("down-1"))
            .await
            .unwrap();
    }
    let books = world.books().await;
    let id = listed.request.id;
    assert!(books.taken_down(&listed.request) && books.open_reports(id).is_empty());
    assert_eq!(
        books.numbered(number).unwrap().request.state,
        State::Recalled
    );
    let plates: Vec<_> = books.plates_of(id).map(|kept| kept.state).collect();
    assert_eq!(plates, [PlateState::Withdrawn]);
    let end = books.pledge_of(id).unwrap().end.as_ref().unwrap();
    assert_eq!(end.kind, PledgeKind::Withdrawn);
    let copies: Vec<_> = books.copies(id).iter().map(|copy| copy.state).collect();
    assert_eq!(copies, [State::Withdrawn]);
    let kept = books.numbered(other).unwrap().request.id;
    assert!(
        books.pledge_of(kept).unwrap().end.is_none(),
        "others keep theirs"
    );
    let places: Vec<_> = books
        .plates_of(kept)
        .map(|kept| books.place(kept))
        .collect();
    assert!(places.len() == 1 && places[0].is_some(), "{places:?}");
    let taken = take_offer(&world.session, &student(), &listed).await;
    assert_eq!(taken.unwrap_err().code(), "taken-down");
    let (store, region) = world.session.store().unwrap();
    let log = store.events_after(region, 0).await.unwrap();
    assert!(
        log.iter()
            .any(|(_, event)| event.kind == "request.reported")
    );
    for (_, event) in log {
        assert!(!event.payload.contains("drew"), "{}", event.payload);
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_declined_plate_goes_to_another_host_and_its_promise_is_planned_for() {
    let world = World::with("").await;
    let number = world.send(&WANT, "send-00001").await;
    let books = world.books().await;
    let id = books.numbered(number).unwrap().request.id;
    let kept = books.plates_of(id).next().unwrap().clone();
    let place = *books.place(&kept).unwrap();
    let terrain = &world.session.terrain;
    let at = terrain.host_at(place.printer, place.start).to_owned();
    let code = |name: &str| {
        let schools = terrain.file.schools.iter();
        schools
            .clone()
            .find(|s| s.name == name)
            .unwrap()
            .code
            .clone()
    };
    let host = Actor::new(Role::Host(code(&at)));
    let what = Act::Decline {
        why: Decline::Hands,
        words: String::new(),
    };
    let elsewhere = terrain
        .file
        .hosts
        .iter()
        .find(|h| h.school != code(&at))
        .unwrap();
    let stranger = Actor::new(Role::Host(elsewhere.school.clone()));
    let seq = kept.plate.seq.0;
    assert!(
        act(&world.session, &stranger, seq, &what, None)
            .await
            .is_err()
    );
    let done = act(&world.session, &host, seq, &what, Some("dec-1"))
        .await
        .unwrap();
    let twice = act(&world.session, &host, seq, &what, Some("dec-1")).await;
    assert!(twice.is_ok_and(|done| done.before), "a double click is one");
    let books = world.books().await;
    let open = books
        .plates_of(id)
        .filter(|kept| kept.state == PlateState::Open);
    let open: Vec<_> = open.collect();
    assert_eq!(open.len(), 1);
    let new = books.place(open[0]).unwrap();
    assert_ne!(
        terrain.host_at(new.printer, new.start),
        at,
        "left out for it"
    );
    assert_eq!(
        open[0].plate.promise, kept.plate.promise,
        "the promise goes with it"
    );
    let place = books.place(open[0]).unwrap();
    let late = place.arrives > open[0].plate.promise.unwrap().arrival;
    assert_eq!(done.late.contains(&open[0].plate.seq), late);
    assert_eq!(books.copies_on(open[0]).count(), 1);
    assert_eq!(books.declined_by(id), [code(&at)]);
    // One after the other declines, until nobody is left who could.
    let mut plate = open[0].plate.seq.0;
    let last = loop {
        let books = world.books().await;
        let machine = Actor::at_the_machine();
        match act(&world.session, &machine, plate, &what, None).await {
            Ok(_) => {
                plate = world
                    .books()
                    .await
                    .plates_of(id)
                    .last()
                    .unwrap()
                    .plate
                    .seq
                    .0;
            }
            Err(error) => break (error, books),
        }
    };
    assert!(
        matches!(last.0, WorkshopError::NobodyElse { .. }),
        "{}",
        last.0
    );
    assert!(
        last.1
            .plate(plate)
            .is_some_and(|kept| kept.state == PlateState::Open)
    );
}
