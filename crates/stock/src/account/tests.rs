//! An account, step by step.

use partpledge_units::ids::{IdSource, SpoolId};

use super::*;
use crate::words::Roll;

const HOUR: i64 = 3_600_000;

fn ledger() -> Ledger {
    let roll = Roll {
        host: "brindlemoor".to_owned(),
        material: "PETG".to_owned(),
        colour: "orange".to_owned(),
        net_g: 1_000,
        tare_g: Some(212),
        donor: String::new(),
        received_at: EventMs(0),
    };
    let spool = Spool {
        id: SpoolId::fresh(&mut IdSource::seeded(1), EventMs(0)),
        number: 1,
        roll,
    };
    Ledger {
        spools: vec![spool],
        ..Ledger::default()
    }
}

fn step(hour: i64, deed: Deed) -> Step {
    Step {
        spool: 1,
        at: EventMs(hour * HOUR),
        deed,
    }
}

fn reading(hour: i64, net_g: i64) -> Reading {
    Reading {
        spool: 1,
        at: EventMs(hour * HOUR),
        net_g,
        gross_g: None,
    }
}

fn run(plate: u64, hours: [i64; 2], grams: i64) -> Use {
    Use {
        spool: 1,
        plate,
        used_mg: grams * MG,
        from: EventMs(hours[0] * HOUR),
        until: EventMs(hours[1] * HOUR),
    }
}

fn only(ledger: &Ledger) -> Account {
    ledger.accounts(&[]).remove(0)
}

#[test]
fn what_is_left_is_the_last_reading_less_the_uses_since() {
    let mut all = ledger();
    all.uses = vec![run(1, [1, 3], 200), run(2, [10, 12], 50)];
    assert_eq!(only(&all).left_mg, 750 * MG);
    all.readings = vec![reading(5, 762)];
    let account = only(&all);
    assert_eq!(account.left_mg, 712 * MG);
    assert_eq!(account.corrections[0].difference_mg, -38 * MG);
}

#[test]
fn a_reading_in_the_middle_of_a_run_leaves_only_the_rest_of_it() {
    let mut all = ledger();
    all.uses = vec![run(1, [0, 4], 400)];
    all.readings = vec![reading(1, 880)];
    let account = only(&all);
    assert_eq!(account.corrections[0].difference_mg, -20 * MG);
    assert_eq!(account.left_mg, 580 * MG);
}

#[test]
fn a_plate_that_runs_has_its_filament_already() {
    let account = ledger().accounts(&[run(7, [0, 4], 400)]).remove(0);
    assert_eq!(account.left_mg, 600 * MG);
}

#[test]
fn a_spool_goes_from_its_bag_to_the_printer_and_is_used_up() {
    let mut all = ledger();
    assert_eq!(only(&all).state, State::Sealed);
    all.steps.push(step(5, Deed::Loaded("Teal".to_owned())));
    let account = only(&all);
    assert_eq!(account.state, State::Loaded("Teal".to_owned()));
    assert_eq!(account.opened_at, Some(EventMs(5 * HOUR)));
    all.steps.push(step(6, Deed::TakenOff));
    assert_eq!(only(&all).state, State::Open);
    all.steps.push(step(7, Deed::Moved("otterquay".to_owned())));
    assert_eq!(only(&all).host, "otterquay");
    all.steps.push(step(8, Deed::Emptied));
    let account = only(&all);
    assert_eq!((account.state, account.left_mg), (State::Empty, 0));
}

#[test]
fn a_spool_is_damp_when_it_was_open_too_long_without_drying() {
    let mut all = ledger();
    let at = |days: i64| EventMs(days * 24 * HOUR);
    assert!(
        !only(&all).is_damp(Some(14.0), at(900)),
        "in its bag it stays dry"
    );
    all.steps.push(step(0, Deed::Opened));
    assert!(!only(&all).is_damp(Some(14.0), at(14)));
    assert!(only(&all).is_damp(Some(14.0), at(15)));
    assert!(!only(&all).is_damp(None, at(900)), "it does not mind");
    all.steps.push(step(10 * 24, Deed::Dried));
    assert!(!only(&all).is_damp(Some(14.0), at(20)));
}

#[test]
fn the_reel_is_known_from_the_last_weighing_with_it() {
    let mut all = ledger();
    assert_eq!(only(&all).tare_g, Some(212));
    let gross_g = Some(700);
    all.readings = vec![
        Reading {
            gross_g,
            ..reading(1, 480)
        },
        reading(2, 470),
    ];
    assert_eq!(only(&all).tare_g, Some(220));
}
