//! Critical dimensions of requests, and what was measured of them.
#![expect(clippy::unwrap_used, reason = "every function here is a test case")]

use partpledge_quality::{CriticalDimension, Reading};
use partpledge_records::{AtOnce, Happening, Measured, NewPledge, NewRequest, TakenBack};
use partpledge_units::ids::IdSource;
use partpledge_units::micrometre::Micrometres;

use crate::floor::{deed, failure};
use crate::ground::Ground;
use crate::sample::{NOW, give_one, names, pledge, region, version};

fn dimension(what: &str, nominal: i64) -> CriticalDimension {
    CriticalDimension {
        what: what.to_owned(),
        nominal: Micrometres(nominal),
        lower: Micrometres(-50),
        upper: Micrometres(100),
    }
}

pub(crate) async fn the_dimensions_of_a_request_are_kept_in_their_order_and_go_on_with_it(
    store: &Ground,
) {
    let mut ids = IdSource::seeded(70);
    let region = region(store, &mut ids).await;
    let version = version(store, region, &mut ids).await;
    let named = vec![
        dimension("width over “flats”", 12_000),
        dimension("bore", 8_000),
    ];
    let new = NewRequest {
        team: "Newt Works".to_owned(),
        version,
        material: "PETG".to_owned(),
        copies: 3,
        need_by: None,
        process: "{}".to_owned(),
        printable: true,
        held: false,
        notes: Vec::new(),
        dimensions: named.clone(),
        replaces: None,
        counted_to: None,
    };
    for _ in 0..2 {
        let key = deed(Some("send-1"));
        store.receive(region, &new, &key, &mut ids).await.unwrap();
    }
    let kept = store.critical_dimensions(region).await.unwrap();
    let sizes = |kept: Vec<(_, CriticalDimension)>| kept.into_iter().map(|(_, one)| one);
    assert_eq!(sizes(kept.clone()).collect::<Vec<_>>(), named);
    // In its place another is promised, with the rest as a request of its own.
    let old = kept[0].0;
    let given = NewPledge {
        at_once: Some(AtOnce {
            replaces: Some(old),
            entry: store.last_entry(region).await.unwrap(),
            notes: Vec::new(),
            dimensions: named.clone(),
            rest: Some(1),
        }),
        ..pledge(version, 0, 1, Some("k1"))
    };
    let given = store.give(region, &given, &names(), &mut ids, NOW).await;
    let given = given.unwrap().pledge.request;
    let again = store.reopened().await;
    let all = again.critical_dimensions(region).await.unwrap();
    let of = |id| all.iter().filter(move |(request, _)| *request == id);
    assert_eq!(all.len(), 6, "of the old one, the new one and the rest");
    let new: Vec<_> = of(given).map(|(_, one)| one.clone()).collect();
    assert_eq!(new, named);
}

pub(crate) async fn what_was_measured_is_kept_with_its_deed_until_that_is_taken_back(
    store: &Ground,
) {
    let (region, given) = give_one(store).await;
    let mut ids = IdSource::seeded(71);
    let what = failure(store, region, given.request).await;
    let (good, lost) = (what.copies[4].0, what.copies[5].0);
    let read = |copy, n, reading| Measured {
        copy,
        plate: 1,
        n,
        reading,
    };
    let not = Reading::NotMeasured("no-tool".to_owned());
    let measured = vec![
        read(good, 1, Reading::Value(Micrometres(8_020))),
        read(good, 2, not),
        read(lost, 1, Reading::Value(Micrometres(8_220))),
    ];
    let what = Happening {
        measured: measured.clone(),
        ..what
    };
    for entry in [Some(2), None] {
        let done = store.happen(region, &what, &names(), &mut ids).await;
        assert_eq!(done.unwrap(), entry, "once");
    }
    let by_copy = |mut all: Vec<Measured>| {
        all.sort_by_key(|one| (one.copy, one.n));
        all
    };
    let again = store.reopened().await;
    let kept = again.measured(region).await.unwrap();
    assert_eq!(by_copy(kept), by_copy(measured));
    for change in ["UPDATE measured SET value_um = 1", "DELETE FROM measured"] {
        let error = store.run(change).await.unwrap_err();
        assert!(error.to_string().contains("append-only"), "{error}");
    }
    let both = "INSERT INTO measured (region_id, entry, copy_id, n, plate_seq)
        SELECT region_id, 9, copy_id, 1, plate_seq FROM copies";
    assert!(
        store.run(both).await.is_err(),
        "neither a size nor a reason"
    );
    let undo = Happening {
        kind: "step.taken-back",
        deed: deed(Some("undo-1")),
        revision: 2,
        takes_back: Some(TakenBack {
            undoes: 2,
            ..TakenBack::default()
        }),
        measured: Vec::new(),
        steps: Vec::new(),
        copies: Vec::new(),
        closed: Vec::new(),
        reprints: Vec::new(),
        outages: Vec::new(),
        runs: Vec::new(),
        plan: None,
        ..what
    };
    store
        .happen(region, &undo, &names(), &mut ids)
        .await
        .unwrap();
    assert!(store.measured(region).await.unwrap().is_empty());
}
