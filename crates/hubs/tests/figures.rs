//! A hub's figures, held against arithmetic done another way.

use std::collections::BTreeMap;

use partpledge_hubs::figures::time_through_min;
use partpledge_hubs::moved::{OfPace, of_cycle, of_share, of_takt, of_work};
use partpledge_hubs::{Change, Pace, Share, Stay, Work};
use partpledge_units::time::Minute;
use proptest::prelude::*;

fn adds_up<C>(change: &Change<C>) -> bool {
    let sum: f64 = change.parts.iter().map(|part| part.much).sum();
    (sum - (change.to - change.from)).abs() <= 1e-9 * (1.0 + change.to.abs() + change.from.abs())
}

fn share() -> impl Strategy<Value = Share<u8>> {
    (
        0..50_u32,
        prop::collection::btree_map(0..6_u8, 0..20_u32, 0..5),
    )
        .prop_map(|(good, lost)| Share { good, lost })
}

fn pace() -> impl Strategy<Value = Pace<u8>> {
    let closed = prop::collection::btree_map(0..4_u8, 0..500_i64, 0..4);
    (2_000..4_000_i64, closed, 0..40_u32, 0..40_u32).prop_map(
        |(hours_min, closed_min, asked, done)| Pace {
            hours_min,
            closed_min,
            asked,
            done,
        },
    )
}

/// Stays with whole times in order, some of which have not come.
fn stays() -> impl Strategy<Value = Vec<Stay>> {
    let one = (
        1..9_u32,
        0..2_000_i64,
        1..600_i64,
        0..600_i64,
        0..600_i64,
        0..4_u8,
    );
    let stay = one.prop_map(|(copies, start, runs, checks, waits, far)| {
        let at = |minutes: i64, step: u8| (far >= step).then_some(Minute(start + minutes));
        Stay {
            copies,
            start: Minute(start),
            off: at(runs, 1),
            boxed: at(runs + checks, 2),
            gone: at(runs + checks + waits, 3),
        }
    });
    prop::collection::vec(stay, 0..12)
}

proptest! {
    #[test]
    fn the_parts_of_a_change_add_up_to_it(a in share(), b in share(), p in pace(), q in pace(), s in stays(), t in stays()) {
        let of = of_share(&a, &b);
        prop_assert_eq!(of.is_some(), a.of() > 0 && b.of() > 0);
        prop_assert!(of.is_none_or(|change| adds_up(&change)));
        let takt = of_takt(&p, &q);
        prop_assert_eq!(takt.is_some(), p.asked > 0 && q.asked > 0);
        prop_assert!(takt.is_none_or(|change| adds_up(&change)));
        prop_assert!(of_cycle(&p, &q).is_none_or(|change| adds_up(&change)));
        let week = (Minute(500), Minute(1_500));
        prop_assert!(adds_up(&of_work(&Work::over(&s, week), &Work::over(&t, week))));
    }

    #[test]
    fn a_week_against_itself_has_not_moved(a in share(), p in pace()) {
        let still = |parts: Vec<f64>| parts.into_iter().all(|much| much.abs() < 1e-12);
        if let Some(change) = of_share(&a, &a) {
            prop_assert!(still(change.parts.iter().map(|part| part.much).collect()));
        }
        if let Some(change) = of_takt(&p, &p) {
            prop_assert!(still(change.parts.iter().map(|part| part.much).collect()));
        }
    }

    /// Minute by minute, counted with no formula.
    #[test]
    fn work_in_progress_is_what_is_counted_every_minute(stays in stays()) {
        let (from, until) = (Minute(700), Minute(1_900));
        let work = Work::over(&stays, (from, until));
        let mut counted = [0_u64; 3];
        for minute in (from.0..until.0).map(Minute) {
            for stay in &stays {
                let passed = |at: Option<Minute>| at.is_some_and(|at| at <= minute);
                let place = match (passed(stay.off), passed(stay.boxed), passed(stay.gone)) {
                    _ if minute < stay.start => continue,
                    (_, _, true) => continue,
                    (_, true, _) => 2,
                    (true, ..) => 1,
                    _ => 0,
                };
                counted[place] += u64::from(stay.copies);
            }
        }
        let minutes = (until.0 - from.0) as f64;
        let [printing, checking, waiting] = counted.map(|copies| copies as f64 / minutes);
        prop_assert!((work.printing - printing).abs() < 1e-9);
        prop_assert!((work.checking - checking).abs() < 1e-9);
        prop_assert!((work.waiting - waiting).abs() < 1e-9);
    }

    /// Little's law, L = lambda W, where all that came has gone within the time looked at. The three
    /// are worked out apart from each other.
    #[test]
    fn littles_law_holds_where_all_that_came_has_gone(stays in stays()) {
        let done: Vec<Stay> = stays.into_iter().filter(|stay| stay.gone.is_some()).collect();
        let (from, until) = (Minute(0), Minute(5_000));
        let in_progress = Work::over(&done, (from, until)).all();
        let copies: u32 = done.iter().map(|stay| stay.copies).sum();
        let a_minute = f64::from(copies) / (until.0 - from.0) as f64;
        let through = time_through_min(&done, (from, until)).unwrap_or(0.0);
        prop_assert!((in_progress - a_minute * through).abs() < 1e-9);
    }
}

#[test]
fn what_moved_a_share_and_a_pace_by_hand() {
    let week = |good, lost: &[(&'static str, u32)]| Share {
        good,
        lost: lost.iter().copied().collect::<BTreeMap<_, _>>(),
    };
    // 6 of 9, then 8 of 10: nothing came loose any more, a closure cost two.
    let change = of_share(&week(6, &[("came loose", 3)]), &week(8, &[("closed", 2)])).unwrap();
    let parts: Vec<_> = change
        .parts
        .iter()
        .map(|part| (part.by, part.much))
        .collect();
    assert_eq!((parts[0].0, parts[1].0), ("came loose", "closed"));
    assert!((parts[0].1 - 1.0 / 3.0).abs() < 1e-12 && (parts[1].1 + 0.2).abs() < 1e-12);
    let pace = |closed: i64, asked| Pace {
        hours_min: 1_200,
        closed_min: BTreeMap::from([("snow", closed)]),
        asked,
        done: 0,
    };
    // 1200 / 10 = 120 min, then 960 / 12 = 80: (960 - 1200)(1/10 + 1/12)/2 = -22, the rest is plates.
    let change = of_takt(&pace(0, 10), &pace(240, 12)).unwrap();
    let of = |by| change.parts.iter().find(|part| part.by == by).unwrap().much;
    assert!((change.to - 80.0).abs() < 1e-12);
    assert!((of(OfPace::Closed("snow")) + 22.0).abs() < 1e-12);
    assert!((of(OfPace::Plates) + 18.0).abs() < 1e-12);
    assert!(of(OfPace::Hours).abs() < 1e-12);
    assert_eq!(of_cycle(&pace(0, 1), &pace(0, 1)), None, "nothing was done");
}
