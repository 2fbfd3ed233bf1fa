//! Spools: written once, counted once, read as they were written.
#![expect(clippy::unwrap_used, reason = "every function here is a test case")]

use partpledge_records::{
    Deed as Entry, GroundChange, Happening, PlateState, RunStep, StepKind, StockChange, Store,
    StoreError,
};
use partpledge_stock::{Deed, Delivery, DeliveryEnd, Ledger, Reading, Roll, State, Step, Use};
use partpledge_units::ids::{IdSource, RegionId};
use partpledge_units::time::{EventMs, Minute};

use crate::floor::deed;
use crate::ground::Ground;
use crate::sample::{NOW, give_one, names};

fn at(min: i64) -> EventMs {
    EventMs(NOW.0 + min * 60_000)
}

fn roll(colour: &str) -> Roll {
    Roll {
        host: "brindlemoor".to_owned(),
        material: "PETG".to_owned(),
        colour: colour.to_owned(),
        net_g: 1_000,
        tare_g: None,
        donor: "a shop by the bridge".to_owned(),
        received_at: NOW,
    }
}

fn step(spool: i64, min: i64, deed: Deed) -> Step {
    Step {
        spool,
        at: at(min),
        deed,
    }
}

fn reading(spool: i64, min: i64, net_g: i64) -> Reading {
    Reading {
        spool,
        at: at(min),
        net_g,
        gross_g: Some(net_g + 212),
    }
}

fn taken(spool: i64, used_mg: i64) -> Use {
    Use {
        spool,
        plate: 1,
        used_mg,
        from: at(10),
        until: at(70),
    }
}

fn delivery() -> Delivery {
    Delivery {
        number: 1,
        host: "brindlemoor".to_owned(),
        material: "PLA".to_owned(),
        spools: 3,
        net_g: 750,
        due: Minute(30_000_000),
        donor: String::new(),
        end: None,
    }
}

/// A happening that changes spools and nothing else.
fn told(stock: StockChange, key: Option<&str>) -> Happening {
    Happening {
        kind: "spools.told",
        payload: Vec::new(),
        deed: Entry {
            actor: "host:brindlemoor".to_owned(),
            ..deed(key)
        },
        revision: 1,
        steps: Vec::new(),
        copies: Vec::new(),
        requests: Vec::new(),
        closed: Vec::new(),
        reprints: Vec::new(),
        ends: Vec::new(),
        outages: Vec::new(),
        runs: Vec::new(),
        program: None,
        box_code: None,
        to_look: None,
        moment: None,
        last_notes: Vec::new(),
        measured: Vec::new(),
        takes_back: None,
        notes: Vec::new(),
        stock,
        ground: GroundChange::default(),
        plan: None,
    }
}

async fn tell(
    store: &Store,
    region: RegionId,
    stock: StockChange,
    key: Option<&str>,
) -> Result<Option<i64>, StoreError> {
    let what = told(stock, key);
    store
        .happen(region, &what, &names(), &mut IdSource::Os)
        .await
}

/// Two spools on record, the first on a printer, and the ledger with them.
async fn begun(ground: &Ground) -> (RegionId, Ledger) {
    let (region, _) = give_one(ground).await;
    let received = StockChange {
        received: vec![roll("orange"), roll("black")],
        ..StockChange::default()
    };
    tell(ground, region, received, None).await.unwrap();
    let seen = ground.ledger(region).await.unwrap().entry;
    let loaded = StockChange {
        seen,
        steps: vec![step(1, 5, Deed::Loaded("Teal".to_owned()))],
        ..StockChange::default()
    };
    tell(ground, region, loaded, None).await.unwrap();
    (region, ground.ledger(region).await.unwrap())
}

pub(crate) async fn what_is_told_of_spools_is_read_as_it_was_written(ground: &Ground) {
    let (region, before) = begun(ground).await;
    let deeds = [
        Deed::Moved("otterquay".to_owned()),
        Deed::Opened,
        Deed::Dried,
        Deed::TakenOff,
        Deed::Loaded("Heron".to_owned()),
        Deed::Emptied,
        Deed::GivenAway("a youth club".to_owned()),
    ];
    let change = StockChange {
        seen: before.entry,
        received: vec![Roll {
            tare_g: Some(190),
            ..roll("white")
        }],
        steps: deeds
            .into_iter()
            .zip(6..)
            .map(|(deed, min)| step(2, min, deed))
            .collect(),
        readings: vec![reading(1, 80, 700)],
        uses: vec![taken(1, 123_456)],
        promised: vec![
            delivery(),
            Delivery {
                number: 2,
                ..delivery()
            },
        ],
        ended: Vec::new(),
    };
    tell(ground, region, change.clone(), None).await.unwrap();
    let now = ground.ledger(region).await.unwrap();
    let mut reckoned = change.made_in(before, &mut IdSource::seeded(1));
    reckoned.entry = now.entry;
    for (ours, stored) in reckoned.spools.iter_mut().zip(&now.spools) {
        ours.id = stored.id;
    }
    let mut sorted = now.clone();
    for ledger in [&mut reckoned, &mut sorted] {
        ledger.steps.sort_by_key(|step| (step.spool, step.at));
    }
    assert_eq!(
        sorted, reckoned,
        "worked out beforehand as it is then stored"
    );
    assert_eq!(
        now.spools.iter().map(|s| s.number).collect::<Vec<_>>(),
        [1, 2, 3]
    );
}

pub(crate) async fn a_delivery_ends_once(ground: &Ground) {
    let (region, before) = begun(ground).await;
    let change = StockChange {
        seen: before.entry,
        promised: vec![delivery(), delivery()],
        ..StockChange::default()
    };
    tell(ground, region, change, None).await.unwrap();
    let now = ground.ledger(region).await.unwrap();
    let came = StockChange {
        seen: now.entry,
        ended: vec![(1, DeliveryEnd::Arrived), (2, DeliveryEnd::CalledOff)],
        ..StockChange::default()
    };
    tell(ground, region, came.clone(), None).await.unwrap();
    let then = ground.ledger(region).await.unwrap();
    let ends: Vec<_> = then.deliveries.iter().map(|one| one.end.unwrap()).collect();
    assert_eq!(ends, [DeliveryEnd::Arrived, DeliveryEnd::CalledOff]);
    let again = StockChange {
        seen: then.entry,
        ..came
    };
    assert!(
        tell(ground, region, again, None).await.is_err(),
        "it ends once"
    );
    assert_eq!(ground.ledger(region).await.unwrap(), then);
}

pub(crate) async fn a_deed_on_spools_sent_twice_is_done_once(ground: &Ground) {
    let (region, before) = begun(ground).await;
    let weighed = StockChange {
        seen: before.entry,
        readings: vec![reading(1, 20, 640)],
        ..StockChange::default()
    };
    let first = tell(ground, region, weighed.clone(), Some("weigh-0001"))
        .await
        .unwrap();
    assert!(first.is_some());
    let after = ground.ledger(region).await.unwrap();
    let again = tell(ground, region, weighed, Some("weigh-0001"))
        .await
        .unwrap();
    assert_eq!(again, None);
    assert_eq!(ground.ledger(region).await.unwrap(), after);
}

pub(crate) async fn of_two_that_changed_spools_at_once_the_second_looks_again(ground: &Ground) {
    let (region, before) = begun(ground).await;
    let on = |printer: &str| StockChange {
        seen: before.entry,
        steps: vec![step(2, 8, Deed::Loaded(printer.to_owned()))],
        ..StockChange::default()
    };
    tell(ground, region, on("Teal"), None).await.unwrap();
    let after = ground.ledger(region).await.unwrap();
    let entries = ground.last_entry(region).await.unwrap();
    let second = tell(ground, region, on("Heron"), None).await;
    assert_eq!(second.unwrap_err().code(), "stock-moved");
    assert_eq!(ground.ledger(region).await.unwrap(), after);
    assert_eq!(
        ground.last_entry(region).await.unwrap(),
        entries,
        "nothing of it stays"
    );
}

/// Plate 1 has run on Teal and comes off.
fn off(stock: StockChange, kinds: &[StepKind]) -> Happening {
    let step = |&kind| RunStep {
        plate: 1,
        kind,
        printer: "Teal".to_owned(),
        at: at(70),
        actor: "host:brindlemoor".to_owned(),
        good: None,
        reason: None,
    };
    Happening {
        steps: kinds.iter().map(step).collect(),
        ..told(stock, None)
    }
}

pub(crate) async fn a_run_takes_its_filament_with_the_end_of_it_or_not_at_all(ground: &Ground) {
    let (region, before) = begun(ground).await;
    let mut ids = IdSource::seeded(72);
    let started = off(StockChange::default(), &[StepKind::Started]);
    ground
        .happen(region, &started, &names(), &mut ids)
        .await
        .unwrap();
    let running = ground.running(region, &names()).await.unwrap();
    assert_eq!(running.len(), 1);
    assert_eq!(
        (running[0].printer.as_str(), running[0].plate.seq.0),
        ("Teal", 1)
    );
    let uses = StockChange {
        seen: before.entry,
        uses: vec![taken(1, 250_000)],
        ..StockChange::default()
    };
    let mut what = off(uses.clone(), &[StepKind::Off]);
    // Something else of it can't be done: the filament stays too.
    what.closed = vec![(99, PlateState::Off)];
    assert!(
        ground
            .happen(region, &what, &names(), &mut ids)
            .await
            .is_err()
    );
    assert_eq!(ground.ledger(region).await.unwrap(), before);
    what.closed = vec![(1, PlateState::Off)];
    ground
        .happen(region, &what, &names(), &mut ids)
        .await
        .unwrap();
    let after = ground.ledger(region).await.unwrap();
    assert_eq!(after.accounts(&[])[0].left_mg, 750_000);
    assert!(ground.running(region, &names()).await.unwrap().is_empty());
    // Whatever asks for it again, a plate takes its filament from a spool once.
    let seen = after.entry;
    let twice = tell(ground, region, StockChange { seen, ..uses }, None).await;
    assert!(twice.is_err());
    assert_eq!(ground.ledger(region).await.unwrap(), after);
}

pub(crate) async fn killed_between_reading_and_use_nothing_acknowledged_is_lost(ground: &Ground) {
    let (region, before) = begun(ground).await;
    let weighed = StockChange {
        seen: before.entry,
        readings: vec![reading(1, 5, 640)],
        ..StockChange::default()
    };
    tell(ground, region, weighed, Some("weigh-0002"))
        .await
        .unwrap();
    // Another program finds the reading; the first is never closed in order, as if it was killed.
    let again = ground.reopened().await;
    let seen = again.ledger(region).await.unwrap().entry;
    let uses = StockChange {
        seen,
        uses: vec![taken(1, 140_000)],
        ..StockChange::default()
    };
    tell(&again, region, uses.clone(), Some("off-0001"))
        .await
        .unwrap();
    drop(again);
    let last = ground.reopened().await;
    let account = &last.ledger(region).await.unwrap().accounts(&[])[0];
    assert_eq!(account.left_mg, 500_000);
    assert_eq!(account.corrections[0].difference_mg, -360_000);
    assert_eq!(account.state, State::Loaded("Teal".to_owned()));
    // The sender never heard that it was done, and sends it again.
    let resent = tell(&last, region, uses, Some("off-0001")).await.unwrap();
    assert_eq!(resent, None);
    assert_eq!(
        last.ledger(region).await.unwrap().accounts(&[])[0].left_mg,
        500_000
    );
}

pub(crate) async fn nothing_of_spools_can_be_edited(ground: &Ground) {
    let (region, before) = begun(ground).await;
    let more = StockChange {
        seen: before.entry,
        readings: vec![reading(1, 5, 640)],
        uses: vec![taken(1, 1)],
        promised: vec![delivery()],
        ended: vec![(1, DeliveryEnd::Arrived)],
        ..StockChange::default()
    };
    tell(ground, region, more, None).await.unwrap();
    for table in [
        "spools",
        "spool_steps",
        "spool_readings",
        "spool_uses",
        "spool_deliveries",
        "spool_delivery_ends",
    ] {
        for change in ["UPDATE {} SET entry = 0", "DELETE FROM {}"] {
            let error = ground.run(&change.replace("{}", table)).await.unwrap_err();
            assert!(
                error.to_string().contains("append-only"),
                "{table}: {error}"
            );
        }
    }
}
