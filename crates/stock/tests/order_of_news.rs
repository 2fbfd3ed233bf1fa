//! What is left on a spool never depends on the order in which late news comes.

use partpledge_stock::{Deed, Ledger, Reading, Roll, Spool, Step, Use};
use partpledge_units::ids::{IdSource, SpoolId};
use partpledge_units::time::EventMs;
use proptest::prelude::*;

/// A piece of news about the one spool.
#[derive(Clone, Debug)]
enum News {
    Did(i64, Deed),
    Weighed(i64, i64, Option<i64>),
    Ran(u64, i64, i64, i64),
}

fn news() -> impl Strategy<Value = News> {
    let deed = prop_oneof![
        Just(Deed::Opened),
        Just(Deed::Dried),
        Just(Deed::TakenOff),
        "[AB]".prop_map(Deed::Loaded),
        "[xy]".prop_map(Deed::Moved),
    ];
    // Few moments, so that many things happen at the same.
    prop_oneof![
        (0_i64..12, deed).prop_map(|(at, deed)| News::Did(at, deed)),
        (
            0_i64..12,
            0_i64..1_000,
            proptest::option::of(1_000_i64..1_300)
        )
            .prop_map(|(at, net, gross)| News::Weighed(at, net, gross)),
        (1_u64..9, 0_i64..12, 0_i64..6, 0_i64..300_000)
            .prop_map(|(plate, from, long, mg)| News::Ran(plate, from, from + long, mg)),
    ]
}

fn told(all: &[News]) -> Ledger {
    let roll = Roll {
        host: "x".to_owned(),
        material: "PLA".to_owned(),
        colour: "black".to_owned(),
        net_g: 1_000,
        tare_g: None,
        donor: String::new(),
        received_at: EventMs(0),
    };
    let id = SpoolId::fresh(&mut IdSource::seeded(3), EventMs(0));
    let mut ledger = Ledger {
        spools: vec![Spool {
            id,
            number: 1,
            roll,
        }],
        ..Ledger::default()
    };
    for one in all {
        match one.clone() {
            News::Did(at, deed) => ledger.steps.push(Step {
                spool: 1,
                at: EventMs(at),
                deed,
            }),
            News::Weighed(at, net_g, gross_g) => ledger.readings.push(Reading {
                spool: 1,
                at: EventMs(at),
                net_g,
                gross_g,
            }),
            News::Ran(plate, from, until, used_mg) => ledger.uses.push(Use {
                spool: 1,
                plate,
                used_mg,
                from: EventMs(from),
                until: EventMs(until),
            }),
        }
    }
    ledger
}

proptest! {
    #[test]
    fn the_same_news_in_any_order_make_the_same_account(
        (as_told, as_came) in proptest::collection::vec(news(), 0..14)
            .prop_flat_map(|all| (Just(all.clone()), Just(all).prop_shuffle()))
    ) {
        prop_assert_eq!(told(&as_told).accounts(&[]), told(&as_came).accounts(&[]));
    }

    #[test]
    fn without_a_reading_every_milligram_used_is_taken_once(
        runs in proptest::collection::vec((0_i64..12, 0_i64..6, 0_i64..90_000), 0..10)
    ) {
        let all: Vec<News> = runs.iter().zip(1..)
            .map(|((from, long, mg), plate)| News::Ran(plate, *from, from + long, *mg))
            .collect();
        let used: i64 = runs.iter().map(|(_, _, mg)| mg).sum();
        prop_assert_eq!(told(&all).accounts(&[])[0].left_mg, 1_000_000 - used);
    }

    #[test]
    fn the_differences_of_readings_explain_what_is_left(
        all in proptest::collection::vec(news(), 0..14)
    ) {
        let ledger = told(&all);
        let account = &ledger.accounts(&[])[0];
        let used: i64 = ledger.uses.iter().map(|one| one.used_mg).sum();
        let corrected: i64 = account.corrections.iter().map(|one| one.difference_mg).sum();
        prop_assert_eq!(account.left_mg, 1_000_000 - used + corrected);
    }
}
