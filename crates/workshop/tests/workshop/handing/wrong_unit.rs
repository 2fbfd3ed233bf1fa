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
