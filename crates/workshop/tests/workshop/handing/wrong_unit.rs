//! A part that was made in the wrong unit, found when somebody holds it.

use partpledge_catalogue::region::PaidBy;
use partpledge_records::PlateState;
use partpledge_units::length::LengthUnit;
use partpledge_workshop::shares::shares;
use partpledge_workshop::wrong_unit::{choices, found, made_again};

use super::*;

/// A spacer of some 30 mm, as STL: the file says no unit.
const SPACER: usize = 7;

#[tokio::test(flavor = "multi_thread")]
async fn a_file_that_says_its_unit_is_not_offered_in_another() {
    let world = World::new(REGION).await;
    let (kept, there) = world.gone().await;
    let then = world.at(there).await;
    let books = world.books().await;
    let listed = books.request(kept.request).unwrap();
    let name = std::path::Path::new(&listed.file_name);
    assert_eq!(name.extension(), Some(std::ffi::OsStr::new("3mf")));
    assert!(choices(&then, &books, listed).await.unwrap().is_empty());
}

#[tokio::test(flavor = "multi_thread")]
async fn a_part_in_the_wrong_unit_is_asked_for_anew_and_the_region_says_who_pays() {
    for paid_by in [PaidBy::Team, PaidBy::Region] {
        let rule = format!("wrong_unit_is_paid_by = \"{}\"\n{REGION}", paid_by.word());
        let world = World::with_file(&rule, SPACER).await;
        let books = world.books().await;
        let listed = books.requests[0].clone();
        let unit = LengthUnit::Inch;
        let none = choices(&world.session, &books, &listed).await.unwrap();
        assert!(none.is_empty(), "nothing is made yet");
        let team = world.team();
        let early = made_again(&world.session, &team, &listed, unit).await;
        assert_eq!(early.unwrap_err().code(), "not-made-yet");
        let (kept, there) = world.gone().await;
        let then = world.at(there).await;
        let hand = Act::HandOver(Shown::Nothing(NoCode::Forgotten));
        let seq = kept.plate.seq.0;
        act(&then, &bench(), seq, &hand, None).await.unwrap();
        let books = world.books().await;
        let offered = choices(&then, &books, &listed).await.unwrap();
        assert!(!offered.is_empty());
        let unit = offered[0].unit;
        let metre = made_again(&then, &team, &listed, LengthUnit::Metre).await;
        assert_eq!(metre.unwrap_err().code(), "out-of-range");
        let other = Actor::new(Role::Team("Somebody Else".to_owned()));
        let theirs = made_again(&then, &other, &listed, unit).await;
        assert_eq!(theirs.unwrap_err().code(), "not-yours");
        let before = shares(&then, &coordinator(), &books).await.unwrap();
        let mut numbers = Vec::new();
        let mentor = Actor::new(Role::Mentor(listed.request.team.clone()));
        for says in [&team, &mentor] {
            let received = made_again(&then, says, &listed, unit).await;
            numbers.push(received.unwrap().request.number);
        }
        assert_eq!(numbers, [2, 2], "said twice, it is one request");
        let books = world.books().await;
        let new = &books.requests[1];
        assert_eq!(new.part_id, listed.part_id, "the next version of the part");
        assert_eq!(new.blob, listed.blob, "from the same file");
        assert_eq!(new.request.copies, listed.request.copies);
        let noted = found(&books, listed.request.id).unwrap();
        assert_eq!((noted.again, noted.paid_by), (2, paid_by));
        assert_eq!((noted.was.as_str(), noted.promise.as_str()), ("mm", "kept"));
        assert_eq!(noted.unit, unit.symbol());
        let end = books.pledge_of(listed.request.id).unwrap().end.clone();
        assert_eq!(end.unwrap().kind, PledgeKind::Kept, "it stays what it was");
        assert!(choices(&then, &books, &listed).await.unwrap().is_empty());
        let after = shares(&then, &coordinator(), &books).await.unwrap();
        let (was, is) = (&before.teams[0], &after.teams[0]);
        assert_eq!((was.parts, is.parts), (2, 0), "of no use to anybody");
        assert!(was.printing > Minutes(0));
        match paid_by {
            PaidBy::Team => {
                assert_eq!(is.printing, was.printing);
                assert_eq!((is.wrong.copies, is.wrong.printing), (2, was.printing));
                assert_eq!(after.region.copies, 0);
            }
            PaidBy::Region => {
                assert_eq!(is.printing, Minutes(0));
                assert_eq!(is.wrong.copies, 0);
                let region = after.region;
                assert_eq!((region.copies, region.printing), (2, was.printing));
            }
        }
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_still_planned_in_the_wrong_unit_is_not_printed_any_more() {
    let world = World::with_file(REGION, SPACER).await;
    let books = world.books().await;
    let listed = books.requests[0].clone();
    let kept = books.floor.kept[0].clone();
    let place = *books.place(&kept).unwrap();
    let seq = kept.plate.seq.0;
    let start = world.at(place.start).await;
    act(&start, &bench(), seq, &Act::Start, None).await.unwrap();
    let end = world.at(place.cleared).await;
    let off = Act::TakeOff { good: 1.into() };
    act(&end, &bench(), seq, &off, None).await.unwrap();
    let books = world.books().await;
    let again = books.floor.kept.last().unwrap().plate.seq;
    assert!(
        books.floor.plan.of(again).is_some(),
        "the lost one is planned"
    );
    let unit = choices(&end, &books, &listed).await.unwrap()[0].unit;
    made_again(&end, &world.team(), &listed, unit)
        .await
        .unwrap();
    let books = world.books().await;
    assert!(books.floor.plan.of(again).is_none());
    let gone = books.plate(again.0).unwrap();
    assert_eq!(gone.state, PlateState::Withdrawn);
    let mut states = world.states(&kept).await;
    states.sort_unstable();
    assert_eq!(states, [State::Inspected, State::Withdrawn]);
    // The promise goes on with what is there, and ends as it comes.
    let promised = books.pledge_of(listed.request.id).unwrap();
    assert!(promised.end.is_none());
    assert_eq!(found(&books, listed.request.id).unwrap().promise, "open");
    let hand = Act::HandOver(Shown::Nothing(NoCode::Forgotten));
    for what in [Act::Box, Act::Leave, hand] {
        act(&end, &bench(), seq, &what, None).await.unwrap();
    }
    let books = world.books().await;
    let end = books.pledge_of(listed.request.id).unwrap().end.clone();
    assert_eq!(end.unwrap().kind, PledgeKind::Kept);
}

impl World {
    /// One copy of a part off the bed and one lost, made again on a plate that runs; then its team finds
    /// that it is in the wrong unit. With the second plate, and when that is off.
    async fn second_runs(&self) -> (KeptPlate, KeptPlate, Session) {
        let books = self.books().await;
        let kept = books.floor.kept[0].clone();
        let place = *books.place(&kept).unwrap();
        let seq = kept.plate.seq.0;
        let start = self.at(place.start).await;
        act(&start, &bench(), seq, &Act::Start, None).await.unwrap();
        let end = self.at(place.cleared).await;
        let off = Act::TakeOff { good: 1.into() };
        act(&end, &bench(), seq, &off, None).await.unwrap();
        let books = self.books().await;
        let again = books.floor.kept.last().unwrap().clone();
        let place = *books.place(&again).unwrap();
        let start = self.at(place.start).await;
        let second = again.plate.seq.0;
        act(&start, &bench(), second, &Act::Start, None)
            .await
            .unwrap();
        self.resized(&start).await;
        (kept, again, self.at(place.cleared).await)
    }

    /// Its team finds that it is in the wrong unit.
    async fn resized(&self, at: &Session) {
        let books = self.books().await;
        let listed = books.requests[0].clone();
        let unit = choices(at, &books, &listed).await.unwrap()[0].unit;
        made_again(at, &self.team(), &listed, unit).await.unwrap();
    }

    /// Plates of the first request, and how its promise ended.
    async fn stands(&self) -> (usize, Option<PledgeKind>) {
        let books = self.books().await;
        let request = books.requests[0].request.id;
        let end = books.pledge_of(request).unwrap().end.clone();
        let plates = books.plates_of(request).count();
        (plates, end.map(|end| end.kind))
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_lost_in_the_wrong_unit_is_not_made_again_and_can_be_taken_back() {
    let world = World::with_file(REGION, SPACER).await;
    let (kept, again, end) = Box::pin(world.second_runs()).await;
    let (first, second) = (kept.plate.seq.0, again.plate.seq.0);
    let off = Act::TakeOff { good: 0.into() };
    for back in [true, false] {
        act(&end, &bench(), second, &off, None).await.unwrap();
        assert_eq!(world.stands().await, (2, None), "no third plate");
        let mut states = world.states(&kept).await;
        states.sort_unstable();
        assert_eq!(states, [State::Inspected, State::Withdrawn]);
        if back {
            let which = (second, StepKind::Off);
            let which = match take_back(&end, &bench(), which, None).await {
                Ok(_) => which,
                Err(error) => panic!("{error}: {}", error.what_to_do()),
            };
            assert!(world.books().await.step(which.0, which.1).is_none());
            let mut states = world.states(&kept).await;
            states.sort_unstable();
            assert_eq!(states, [State::Running, State::Inspected]);
        }
    }
    let hand = Act::HandOver(Shown::Nothing(NoCode::Forgotten));
    for what in [Act::Box, Act::Leave, hand] {
        act(&end, &bench(), first, &what, None).await.unwrap();
    }
    assert!(world.stands().await.1.is_some(), "nothing is left of it");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_promise_ends_when_the_last_of_it_is_lost_in_the_wrong_unit() {
    let world = World::with_file(REGION, SPACER).await;
    let (kept, again, end) = Box::pin(world.second_runs()).await;
    let (first, second) = (kept.plate.seq.0, again.plate.seq.0);
    let hand = Act::HandOver(Shown::Nothing(NoCode::Forgotten));
    for what in [Act::Box, Act::Leave, hand] {
        act(&end, &bench(), first, &what, None).await.unwrap();
    }
    assert_eq!(world.stands().await, (2, None), "another runs");
    let off = Act::TakeOff { good: 0.into() };
    act(&end, &bench(), second, &off, None).await.unwrap();
    assert_eq!(world.stands().await, (2, Some(PledgeKind::Superseded)));
    let back = take_back(&end, &bench(), (second, StepKind::Off), None).await;
    assert_eq!(back.unwrap_err().code(), "not-taken-back");
}

#[tokio::test(flavor = "multi_thread")]
async fn held_scrap_and_a_lost_box_in_the_wrong_unit_are_not_made_again() {
    use partpledge_workshop::bench::{Each, Found as Copy, decide_box};
    use partpledge_workshop::doubts::{Doubt, Ruling, open_doubt};
    let world = World::with_file(REGION, SPACER).await;
    let books = world.books().await;
    let kept = books.floor.kept[0].clone();
    let place = *books.place(&kept).unwrap();
    let seq = kept.plate.seq.0;
    let start = world.at(place.start).await;
    act(&start, &bench(), seq, &Act::Start, None).await.unwrap();
    let end = world.at(place.cleared).await;
    let why = || "Stringy or rough".to_owned();
    let found = [((seq, 1), Copy::Good), ((seq, 2), Copy::Rework(why()))];
    let each = Each::from(found);
    act(&end, &bench(), seq, &Act::Inspect { each }, None)
        .await
        .unwrap();
    world.resized(&end).await;
    let scrap = Act::Settle {
        copy: 2,
        found: Copy::Scrap(why()),
        about: String::new(),
    };
    act(&end, &bench(), seq, &scrap, None).await.unwrap();
    assert_eq!(world.stands().await, (1, None));
    act(&end, &bench(), seq, &Act::Box, None).await.unwrap();
    let doubt = Act::Doubt(Doubt::Gone);
    act(&end, &bench(), seq, &doubt, None).await.unwrap();
    let said = open_doubt(&world.books().await, &kept).unwrap().entry;
    let ruling = (said, Ruling::Again);
    decide_box(&end, &coordinator(), seq, ruling, None)
        .await
        .unwrap();
    assert_eq!(world.stands().await, (1, Some(PledgeKind::Superseded)));
    assert_eq!(world.states(&kept).await, [State::Withdrawn; 2]);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_promise_ends_when_the_last_recalled_copy_is_bad_and_others_are_not_printed_any_more() {
    use partpledge_workshop::bench::recall;
    use partpledge_workshop::recalls::Target;
    let world = World::with_file(REGION, SPACER).await;
    let books = world.books().await;
    let kept = books.floor.kept[0].clone();
    let place = *books.place(&kept).unwrap();
    let seq = kept.plate.seq.0;
    let start = world.at(place.start).await;
    act(&start, &bench(), seq, &Act::Start, None).await.unwrap();
    let end = world.at(place.cleared).await;
    let off = Act::TakeOff { good: 1.into() };
    act(&end, &bench(), seq, &off, None).await.unwrap();
    world.resized(&end).await;
    let target = Target::Printer {
        name: "Heron".to_owned(),
        from: start.now,
        until: end.now,
    };
    recall(&end, &coordinator(), &target, None).await.unwrap();
    let bad = Act::Check {
        about: "printer-drifted".to_owned(),
        good: false,
    };
    act(&end, &bench(), seq, &bad, None).await.unwrap();
    let mut states = world.states(&kept).await;
    states.sort_unstable();
    assert_eq!(states, [State::Withdrawn, State::Recalled]);
    assert_eq!(world.stands().await.1, Some(PledgeKind::Superseded));
}

#[tokio::test(flavor = "multi_thread")]
async fn what_broke_off_before_it_was_noted_is_noted_by_the_clock_or_when_it_is_said_again() {
    use partpledge_workshop::wrong_unit::catch_up;
    for said_again in [false, true] {
        let world = World::with_file(REGION, SPACER).await;
        let (_, there) = world.gone().await;
        let then = world.at(there).await;
        let clock = Actor::new(Role::Clock);
        assert_eq!(catch_up(&then, &clock).await.unwrap(), 0);
        let books = world.books().await;
        let listed = books.requests[0].clone();
        let offered = choices(&then, &books, &listed).await.unwrap();
        let unit = offered[0].unit;
        // As it is when the server is ended after the request was written, and before the note.
        let file = partpledge_testbed::files().swap_remove(SPACER);
        let key = format!("wrong-unit-{}", listed.request.id);
        let sent = Sent {
            bytes: Bytes::from(file.bytes),
            file_name: &listed.file_name,
            team: &world.team,
            part: Some(&listed.part),
            copies: 2,
            material: "PLA",
            need_by: None,
            unit: Some(unit),
            replaces: Some(&listed),
            statement: None,
            again: true,
            over_limit: None,
            key: &key,
        };
        send(&then, &world.team(), &sent).await.unwrap();
        let id = listed.request.id;
        assert!(found(&world.books().await, id).is_none());
        if said_again {
            let other = offered[1].unit;
            let late = made_again(&then, &world.team(), &listed, other).await;
            assert_eq!(late.unwrap_err().code(), "not-made-yet");
        } else {
            let nobody = catch_up(&then, &world.team()).await;
            assert_eq!(nobody.unwrap_err().code(), "not-allowed");
            assert_eq!(catch_up(&then, &clock).await.unwrap(), 1);
        }
        let noted = found(&world.books().await, id).unwrap();
        assert_eq!((noted.was.as_str(), noted.again), ("mm", 2));
        assert_eq!(
            (noted.unit.as_str(), noted.promise.as_str()),
            (unit.symbol(), "open")
        );
        assert_eq!(catch_up(&then, &clock).await.unwrap(), 0, "once");
    }
}
