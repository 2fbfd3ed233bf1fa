//! An invented region, part and pledge to test with.
#![expect(clippy::unwrap_used, reason = "every function here is part of a test")]

use bytes::Bytes;
use partpledge_planning_model::{
    Assignment, Footprint, Making, PlaceIx, Plan, Plate, PlateSeq, PrinterIx, Promise, Wish,
};
use partpledge_records::{
    BlobHash, Deed, Names, NewPledge, NewVersion, Pledge, Store, StoredRegion,
};
use partpledge_units::ids::{IdSource, RegionId, VersionId};
use partpledge_units::time::{EventMs, Minute, Minutes};

pub(crate) const NOW: EventMs = EventMs(1_800_000_000_000);
/// A second after [`NOW`].
pub(crate) const LATER: EventMs = EventMs(NOW.0 + 1_000);

/// Something that the house does by itself, at [`NOW`].
pub(crate) fn deed() -> Deed {
    Deed {
        actor: "local".to_owned(),
        occurred_at: NOW,
        received_at: NOW,
        idempotency_key: None,
    }
}

pub(crate) fn names() -> Names {
    Names {
        printers: vec!["Heron".to_owned(), "Teal".to_owned()],
        places: vec!["Brindlemoor School, front desk".to_owned()],
        leaving: Vec::new(),
    }
}

pub(crate) fn stored_region(ids: &mut IdSource, name: &str) -> StoredRegion {
    StoredRegion {
        id: RegionId::fresh(ids, NOW),
        name: name.to_owned(),
        document: "x = 1".to_owned(),
    }
}

pub(crate) async fn region(store: &Store, ids: &mut IdSource) -> RegionId {
    let region = stored_region(ids, "Ambrel Valley");
    store.add_region(&region, NOW).await.unwrap().id
}

pub(crate) async fn version(store: &Store, region: RegionId, ids: &mut IdSource) -> VersionId {
    let blob = store.put_blob(Bytes::from_static(b"solid")).await.unwrap();
    store
        .add_version(region, &new_version(blob, "Newt Works"), ids, NOW)
        .await
        .unwrap()
}

pub(crate) fn new_version(blob: BlobHash, team: &str) -> NewVersion {
    NewVersion {
        team: team.to_owned(),
        part: "bracket".to_owned(),
        blob,
        file_name: "bracket.stl".to_owned(),
        unit: "mm".to_owned(),
        unit_source: "option".to_owned(),
        facts: r#"{"triangles":12}"#.to_owned(),
        findings: "[]".to_owned(),
        repairs: "null".to_owned(),
        engine: "1".to_owned(),
    }
}

pub(crate) fn plate(seq: u64) -> Plate {
    Plate {
        seq: PlateSeq(seq),
        label: "bracket".to_owned(),
        material: "PETG".to_owned(),
        makings: vec![Making::new(
            PrinterIx(1),
            Footprint([40.0, 30.0, 0.1 + 0.2]),
            Minutes(90),
            Minutes(98),
        )],
        release: Minute(30_000_000),
        to: PlaceIx(0),
        copies: 2,
        promise: Some(Promise {
            arrival: Minute(30_001_000),
            probability: 0.925,
        }),
        grams: 37,
        wish: Wish {
            need_by: Some(Minute(30_002_000)),
            turn: 2,
            ..Wish::default()
        },
        riders: Vec::new(),
    }
}

pub(crate) fn slot(seq: u64) -> Assignment {
    Assignment {
        plate: PlateSeq(seq),
        printer: PrinterIx(1),
        start: Minute(30_000_010),
        end: Minute(30_000_108),
        cleared: Minute(30_000_108),
        ready: Minute(30_000_120),
        arrives: Minute(30_000_900),
        frozen: false,
    }
}

/// A pledge on `revision` with one plate numbered `seq`, two copies on it.
pub(crate) fn pledge(version: VersionId, revision: i64, seq: u64, key: Option<&str>) -> NewPledge {
    NewPledge {
        request: None,
        process: None,
        team: "Newt Works".to_owned(),
        version,
        material: "PETG".to_owned(),
        copies: 2,
        need_by: Some(Minute(30_002_000)),
        asked_at: NOW,
        actor: "local".to_owned(),
        idempotency_key: key.map(str::to_owned),
        revision,
        plates: vec![plate(seq)],
        joins: None,
        plan: Plan {
            assignments: vec![slot(seq)],
        },
        arrival: Minute(30_001_000),
        place: "Brindlemoor School, front desk".to_owned(),
        probability: 0.925,
        document: r#"{"schema":1}"#.to_owned(),
        at_once: None,
    }
}

/// A region with one pledge given in it, under the key `k1`.
pub(crate) async fn give_one(store: &Store) -> (RegionId, Pledge) {
    let mut ids = IdSource::seeded(1);
    let region = region(store, &mut ids).await;
    let version = version(store, region, &mut ids).await;
    let new = pledge(version, 0, 1, Some("k1"));
    let given = store
        .give(region, &new, &names(), &mut ids, NOW)
        .await
        .unwrap();
    assert!(!given.replayed);
    (region, given.pledge)
}
