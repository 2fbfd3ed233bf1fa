//! What printers say of themselves, and where its reading stands.
#![expect(clippy::unwrap_used, reason = "every function here is a test case")]

use partpledge_records::{
    Happening, MachineMoment, MachineRead, MachineWatch, PlateState, TakenBack,
};
use partpledge_units::ids::{IdSource, RegionId};
use partpledge_units::time::EventMs;
use partpledge_words::say;

use crate::floor::{deed, failure};
use crate::ground::Ground;
use crate::sample::{NOW, give_one, names, region};

fn watch(turn: i64, next: i64) -> MachineWatch {
    let slow = say("machines-agent-slow").with("minutes", 120);
    MachineWatch {
        printer: "Heron".to_owned(),
        turn,
        source: "http://10.0.0.5:5000 heron-1".to_owned(),
        heard_at: Some(NOW),
        fault: Some(("clock".to_owned(), slow, NOW)),
        read: Some(MachineRead {
            instance: 9,
            next,
            item: "x".to_owned(),
            execution: "ACTIVE".to_owned(),
            since_ms: NOW.0,
            busy: true,
            program: Some("plate-1".to_owned()),
            whole_until_ms: Some(NOW.0),
        }),
    }
}

fn moment(sequence: i64, at: i64, plate: Option<u64>) -> MachineMoment {
    MachineMoment {
        printer: "Teal".to_owned(),
        instance: 9,
        sequence,
        says: "began".to_owned(),
        at: EventMs(NOW.0 + at),
        plate,
    }
}

pub(crate) async fn where_a_reading_stands_is_kept_once_a_turn(store: &Ground) {
    let mut ids = IdSource::seeded(71);
    let region = region(store, &mut ids).await;
    assert!(store.machine_watches(region).await.unwrap().is_empty());
    let keep = |turn, next| {
        let watch = watch(turn, next);
        async move { store.keep_machine_watch(region, &watch).await.unwrap() }
    };
    assert!(keep(0, 10).await);
    assert!(!keep(0, 11).await, "there is one already");
    assert!(keep(1, 12).await);
    assert!(!keep(1, 13).await, "another was faster");
    let kept = store.machine_watches(region).await.unwrap();
    assert_eq!(kept, [watch(2, 12)]);
    let bare = MachineWatch {
        fault: None,
        heard_at: None,
        read: None,
        ..watch(2, 0)
    };
    assert!(store.keep_machine_watch(region, &bare).await.unwrap());
    let kept = store.machine_watches(region).await.unwrap();
    assert_eq!((kept[0].turn, &kept[0].read), (3, &None));
}

/// What a printer said after the first moment.
async fn of_machine(store: &Ground, region: RegionId, printer: &str) -> Vec<MachineMoment> {
    let later = EventMs(NOW.0 + 1);
    let all = store.moments_of_machine(region, printer, later).await;
    all.unwrap()
}

pub(crate) async fn what_a_printer_said_is_kept_once_and_passed_over_when_taken_back(
    store: &Ground,
) {
    let (region, given) = give_one(store).await;
    let mut ids = IdSource::seeded(72);
    let failed = failure(store, region, given.request).await;
    let said = |key: &str, moment: MachineMoment| Happening {
        kind: "machine.said",
        deed: deed(Some(key)),
        moment: Some(moment),
        steps: Vec::new(),
        copies: Vec::new(),
        closed: Vec::new(),
        reprints: Vec::new(),
        outages: Vec::new(),
        runs: Vec::new(),
        ends: Vec::new(),
        plan: None,
        revision: 1,
        ..failed.clone()
    };
    let first = said("m-1", moment(5, 0, Some(1)));
    for written in [Some(2), None] {
        let happened = store.happen(region, &first, &names(), &mut ids).await;
        assert_eq!(happened.unwrap(), written, "once a key");
    }
    // Under another key it is refused all the same: its number is had once at a time.
    let again = said("m-2", moment(5, 0, None));
    let twice = store.happen(region, &again, &names(), &mut ids).await;
    assert!(twice.is_err());
    let second = said("m-3", moment(6, 60_000, None));
    let happened = store.happen(region, &second, &names(), &mut ids).await;
    assert_eq!(happened.unwrap(), Some(3), "of the other is nothing left");
    let all = store.machine_moments_since(region, NOW).await.unwrap();
    assert_eq!(all, [moment(5, 0, Some(1)), moment(6, 60_000, None)]);
    let later = EventMs(NOW.0 + 1);
    let late = store.machine_moments_since(region, later).await;
    assert_eq!(late.unwrap(), [moment(6, 60_000, None)]);
    let of = store.machine_moments_of(region, 1).await.unwrap();
    assert_eq!(of, [moment(5, 0, Some(1))]);
    // An agent may use its numbers again.
    let anew = said("m-4", moment(5, 90_000, None));
    let happened = store.happen(region, &anew, &names(), &mut ids).await;
    assert_eq!(happened.unwrap(), Some(4));
    let both = [moment(6, 60_000, None), moment(5, 90_000, None)];
    for (printer, its) in [("Teal", &both[..]), ("Heron", &[])] {
        assert_eq!(of_machine(store, region, printer).await, its);
    }
    is_never_edited(store).await;
    let undo = Happening {
        kind: "step.taken-back",
        takes_back: Some(TakenBack {
            undoes: 2,
            ..TakenBack::default()
        }),
        moment: None,
        ..said("u-1", moment(0, 0, None))
    };
    store
        .happen(region, &undo, &names(), &mut ids)
        .await
        .unwrap();
    assert!(
        store
            .machine_moments_of(region, 1)
            .await
            .unwrap()
            .is_empty()
    );
    let floor = store.floor(region, &names()).await.unwrap();
    assert_eq!(floor.kept[0].state, PlateState::Open);
}

async fn is_never_edited(store: &Ground) {
    for edit in [
        "UPDATE machine_moments SET at = 0",
        "DELETE FROM machine_moments",
    ] {
        let refused = store.run(edit).await.unwrap_err().to_string();
        assert!(refused.contains("append-only"), "{refused}");
    }
}
