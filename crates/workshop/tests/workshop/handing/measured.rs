//! Copies with critical dimensions that are recalled, or made in the wrong unit.

use partpledge_units::length::LengthUnit;
use partpledge_units::micrometre::Micrometres;
use partpledge_units::time::EventMs;
use partpledge_workshop::bench::{Each, Found, Settled, recall};
use partpledge_workshop::measuring::{EachMeasured, Reading, Readings};
use partpledge_workshop::recalls::{Target, of_old_file};
use partpledge_workshop::wrong_unit::{choices, made_again};

use super::*;

fn bore() -> CriticalDimension {
    CriticalDimension {
        what: "bore for the bearing".to_owned(),
        nominal: Micrometres(8_000),
        lower: Micrometres(-50),
        upper: Micrometres(100),
    }
}

fn read(um: i64) -> Readings {
    Readings::from([(1, Reading::Value(Micrometres(um)))])
}

fn excused() -> Readings {
    Readings::from([(1, Reading::NotMeasured("no-tool".to_owned()))])
}

fn good(copy: i64, about: &str, measured: Readings) -> Act {
    Act::Settle(Settled {
        copy,
        found: Found::Good,
        about: about.to_owned(),
        measured,
    })
}

/// What Heron made around that time.
fn drifted(around: EventMs) -> Target {
    let half = 48 * 3_600_000;
    Target::Printer {
        name: "Heron".to_owned(),
        from: EventMs(around.0 - half),
        until: EventMs(around.0 + half),
    }
}

impl World {
    /// The only plate, measured and in its box, and when that was.
    async fn measured(&self) -> (KeptPlate, Session) {
        let books = self.books().await;
        let kept = books.floor.kept[0].clone();
        let place = *books.place(&kept).unwrap();
        let seq = kept.plate.seq.0;
        let start = self.at(place.start).await;
        act(&start, &bench(), seq, &Act::Start, None).await.unwrap();
        let end = self.at(place.cleared).await;
        let which = || books.copies_on(&kept).map(|copy| (seq, copy.number));
        let each: Each = which().map(|which| (which, Found::Good)).collect();
        let measured: EachMeasured = which().map(|which| (which, read(8_000))).collect();
        assert_eq!(each.len(), 2);
        for what in [Act::Inspect { each, measured }, Act::Box] {
            act(&end, &bench(), seq, &what, None).await.unwrap();
        }
        (kept, self.at(place.cleared + Minutes(5)).await)
    }

    async fn copy(&self, kept: &KeptPlate, number: i64) -> Readings {
        let books = self.books().await;
        let mut copies = books.copies(kept.request).iter();
        books.readings(copies.find(|copy| copy.number == number).unwrap())
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn copies_of_a_printer_that_drifted_are_measured_again_one_by_one() {
    let world = World::sized(REGION, 1, Some(&[bore()])).await;
    let (kept, later) = world.measured().await;
    let seq = kept.plate.seq.0;
    let target = drifted(later.now);
    recall(&later, &coordinator(), &target, None).await.unwrap();
    let whole = |about: &str, good| Act::Check {
        about: about.to_owned(),
        good,
    };
    // Not the whole box at once, by whoever could measure its copies.
    for who in [bench(), coordinator()] {
        for about in ["", "printer-drifted"] {
            let says = refused(&later, &who, seq, whole(about, true)).await;
            assert_eq!(says, "must-measure", "{about}");
        }
    }
    let other = whole("file-replaced", true);
    assert_eq!(refused(&later, &bench(), seq, other).await, "recall-over");
    for not in [Readings::new(), read(8_101)] {
        let not = good(1, "printer-drifted", not);
        assert_eq!(refused(&later, &bench(), seq, not).await, "not-good");
    }
    assert_eq!(world.copy(&kept, 1).await, read(8_000));
    let again = good(1, "printer-drifted", read(8_100));
    act(&later, &bench(), seq, &again, None).await.unwrap();
    assert_eq!(world.copy(&kept, 1).await, read(8_100));
    // A reason will do where it was within its limits; the size that was read is still what is told.
    let again = good(2, "printer-drifted", excused());
    act(&later, &bench(), seq, &again, None).await.unwrap();
    assert_eq!(world.copy(&kept, 2).await, read(8_000));
    act(&later, &bench(), seq, &Act::Leave, None).await.unwrap();
    // That none is good can be said at once.
    let target = drifted(later.now);
    recall(&later, &coordinator(), &target, None).await.unwrap();
    let none = whole("", false);
    act(&later, &bench(), seq, &none, None).await.unwrap();
    assert_eq!(world.states(&kept).await, [State::Pledged; 2]);
}

#[tokio::test(flavor = "multi_thread")]
async fn where_a_box_goes_it_can_be_checked_whole_since_nobody_there_can_settle_copies() {
    let world = World::sized(REGION, 1, Some(&[bore()])).await;
    let (kept, later) = world.measured().await;
    let seq = kept.plate.seq.0;
    act(&later, &bench(), seq, &Act::Leave, None).await.unwrap();
    let target = drifted(later.now);
    recall(&later, &coordinator(), &target, None).await.unwrap();
    let to = &later.terrain.file.schools[kept.plate.to.0].code;
    let there = Actor::new(Role::Host(to.clone()));
    let one = good(1, "printer-drifted", read(8_000));
    assert_eq!(refused(&later, &there, seq, one).await, "not-allowed");
    let whole = Act::Check {
        about: "printer-drifted".to_owned(),
        good: true,
    };
    let here = refused(&later, &bench(), seq, whole.clone()).await;
    assert_eq!(here, "must-measure");
    act(&later, &there, seq, &whole, None).await.unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn copies_of_a_file_that_was_replaced_need_no_sizes_but_none_may_be_outside() {
    let world = World::sized(REGION, 1, Some(&[bore()])).await;
    let (kept, later) = world.measured().await;
    let seq = kept.plate.seq.0;
    world.newer(&later, &kept).await;
    let books = world.books().await;
    let number = books.request(kept.request).unwrap().request.number;
    let target = of_old_file(&books, number).unwrap();
    recall(&later, &coordinator(), &target, None).await.unwrap();
    let wide = good(1, "file-replaced", read(8_220));
    assert_eq!(refused(&later, &bench(), seq, wide).await, "not-good");
    let plain = good(1, "file-replaced", Readings::new());
    act(&later, &bench(), seq, &plain, None).await.unwrap();
    assert_eq!(world.copy(&kept, 1).await, read(8_000));
    // Nobody has to measure for this: the whole box at once will do.
    let whole = Act::Check {
        about: String::new(),
        good: true,
    };
    act(&later, &bench(), seq, &whole, None).await.unwrap();
    act(&later, &bench(), seq, &Act::Leave, None).await.unwrap();
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_made_again_in_another_unit_has_the_same_critical_dimensions() {
    // A spacer, as STL: the file says no unit.
    let world = World::sized(REGION, 7, Some(&[bore()])).await;
    let (kept, later) = world.measured().await;
    let seq = kept.plate.seq.0;
    let hand = Act::HandOver(Shown::Nothing(NoCode::Forgotten));
    for what in [Act::Leave, hand] {
        act(&later, &bench(), seq, &what, None).await.unwrap();
    }
    let books = world.books().await;
    let listed = books.requests[0].clone();
    let offered = choices(&later, &books, &listed).await.unwrap();
    let larger = offered.iter().find(|one| one.unit == LengthUnit::Inch);
    let unit = larger.unwrap().unit;
    let made = made_again(&later, &world.team(), &listed, unit).await;
    let made = made.unwrap().request.id;
    let books = world.books().await;
    assert_ne!(made, listed.request.id);
    assert_eq!(books.dimensions(made), [bore()]);
    // What was measured stays with the old ones.
    assert_eq!(books.pieces(listed.request.id).len(), 2);
    assert!(books.pieces(made).is_empty());
}
