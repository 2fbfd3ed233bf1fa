//! The cases, each on a fresh store.
#![expect(
    clippy::unwrap_used,
    reason = "every function here is a test case or part of one"
)]

use bytes::Bytes;
use partpledge_planning_model::{
    Assignment, Footprint, Making, PlaceIx, Plan, Plate, PlateSeq, PrinterIx, Promise,
};
use partpledge_records::{
    BlobHash, EstimateKey, Names, NewPledge, NewVersion, Pledge, Store, StoreError, StoredRegion,
};
use partpledge_units::ids::{IdSource, RegionId, VersionId};
use partpledge_units::time::{EventMs, Minute, Minutes};

const NOW: EventMs = EventMs(1_800_000_000_000);

fn names() -> Names {
    Names {
        printers: vec!["Heron".to_owned(), "Teal".to_owned()],
        places: vec!["Brindlemoor School, front desk".to_owned()],
    }
}

async fn region(store: &Store, ids: &mut IdSource) -> RegionId {
    let id = RegionId::fresh(ids, NOW);
    let region = StoredRegion {
        id,
        name: "Ambrel Valley".to_owned(),
        document: "x = 1".to_owned(),
    };
    store.add_region(&region, NOW).await.unwrap();
    id
}

async fn version(store: &Store, region: RegionId, ids: &mut IdSource) -> VersionId {
    let blob = store.put_blob(Bytes::from_static(b"solid")).await.unwrap();
    store
        .add_version(region, &new_version(blob, "Newt Works"), ids, NOW)
        .await
        .unwrap()
}

fn new_version(blob: BlobHash, team: &str) -> NewVersion {
    NewVersion {
        team: team.to_owned(),
        part: "bracket".to_owned(),
        blob,
        file_name: "bracket.stl".to_owned(),
        unit: "mm".to_owned(),
        unit_source: "option".to_owned(),
        facts: "{}".to_owned(),
        findings: "[]".to_owned(),
        repairs: "null".to_owned(),
        engine: "1".to_owned(),
    }
}

fn plate(seq: u64) -> Plate {
    Plate {
        seq: PlateSeq(seq),
        label: "bracket".to_owned(),
        material: "PETG".to_owned(),
        makings: vec![Making {
            printer: PrinterIx(1),
            footprint: Footprint([40.0, 30.0, 20.0]),
            nominal: Minutes(90),
            reserved: Minutes(98),
        }],
        release: Minute(30_000_000),
        to: PlaceIx(0),
        copies: 2,
        promise: Some(Promise {
            arrival: Minute(30_001_000),
            probability: 0.925,
        }),
    }
}

fn place(seq: u64) -> Assignment {
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

fn pledge(version: VersionId, revision: i64, seq: u64, key: Option<&str>) -> NewPledge {
    NewPledge {
        team: "Newt Works".to_owned(),
        version,
        material: "PETG".to_owned(),
        copies: 2,
        need_by: Some(Minute(30_002_000)),
        asked_at: NOW,
        actor: "team:newt-works".to_owned(),
        idempotency_key: key.map(str::to_owned),
        revision,
        plates: vec![plate(seq)],
        plan: Plan {
            assignments: vec![place(seq)],
        },
        arrival: Minute(30_001_000),
        place: "Brindlemoor School, front desk".to_owned(),
        probability: 0.925,
        document: r#"{"schema":1}"#.to_owned(),
    }
}

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

pub(crate) async fn a_region_is_found_by_name_or_as_the_first(store: &Store) {
    assert_eq!(store.region(None).await.unwrap(), None);
    let id = region(store, &mut IdSource::seeded(3)).await;
    for name in [None, Some("Ambrel Valley")] {
        assert_eq!(store.region(name).await.unwrap().unwrap().id, id);
    }
    assert_eq!(store.region(Some("Elsewhere")).await.unwrap(), None);
    let floor = store.floor(id, &names()).await.unwrap();
    assert_eq!(
        (floor.revision, floor.next_seq, floor.plates.len()),
        (0, 1, 0)
    );
}

pub(crate) async fn a_blob_is_kept_once_and_absence_is_none(store: &Store) {
    let bytes = Bytes::from(vec![7_u8; 100_000]);
    let hash = store.put_blob(bytes.clone()).await.unwrap();
    assert_eq!(store.put_blob(bytes.clone()).await.unwrap(), hash);
    assert_eq!(store.blob(&hash).await.unwrap(), Some(bytes));
    assert_eq!(store.blob(&BlobHash::of(b"never")).await.unwrap(), None);
}

pub(crate) async fn the_same_file_of_the_same_part_is_one_version(store: &Store) {
    let mut ids = IdSource::seeded(4);
    let region = region(store, &mut ids).await;
    let first = version(store, region, &mut ids).await;
    assert_eq!(version(store, region, &mut ids).await, first);
    let other = store
        .put_blob(Bytes::from_static(b"solid 2"))
        .await
        .unwrap();
    let second = store
        .add_version(region, &new_version(other, "Newt Works"), &mut ids, NOW)
        .await
        .unwrap();
    assert_ne!(second, first);
    let (a, b) = (
        store.version(region, first).await.unwrap(),
        store.version(region, second).await.unwrap(),
    );
    assert_eq!(a.unwrap().part, b.unwrap().part);
    let blob = BlobHash::of(b"solid");
    let theirs = store
        .add_version(region, &new_version(blob, "Eel Drive"), &mut ids, NOW)
        .await
        .unwrap();
    assert_ne!(
        theirs, first,
        "another team's part is another part, even if the bytes agree"
    );
    assert_eq!(
        store
            .version(RegionId::fresh(&mut ids, NOW), first)
            .await
            .unwrap(),
        None
    );
}

pub(crate) async fn an_estimate_is_never_overwritten(store: &Store) {
    let mut ids = IdSource::seeded(5);
    let region = region(store, &mut ids).await;
    let key = EstimateKey {
        version: version(store, region, &mut ids).await,
        orientation: "as sent".to_owned(),
        sheet: "pla-plain".to_owned(),
        class: "swift".to_owned(),
        engine: "1".to_owned(),
    };
    assert_eq!(store.estimate(region, &key).await.unwrap(), None);
    assert_eq!(
        store
            .keep_estimate(region, &key, "first", &mut ids, NOW)
            .await
            .unwrap(),
        "first"
    );
    assert_eq!(
        store
            .keep_estimate(region, &key, "second", &mut ids, NOW)
            .await
            .unwrap(),
        "first"
    );
    let newer = EstimateKey {
        engine: "2".to_owned(),
        ..key
    };
    assert_eq!(store.estimate(region, &newer).await.unwrap(), None);
}

pub(crate) async fn giving_writes_all_of_it(store: &Store) {
    let (region, given) = give_one(store).await;
    assert_eq!(store.pledges(region).await.unwrap(), vec![given.clone()]);
    let floor = store.floor(region, &names()).await.unwrap();
    assert_eq!((floor.revision, floor.next_seq), (1, 2));
    assert_eq!(floor.plates, vec![plate(1)]);
    assert_eq!(floor.plan.assignments, vec![place(1)]);
    let events = store.events_after(region, 0).await.unwrap();
    assert_eq!(events.len(), 1);
    assert_eq!(events[0].1.kind, "pledge.given");
    assert!(events[0].1.payload.contains(&given.id.to_string()));
    assert!(
        !events[0].1.payload.contains("Newt"),
        "people only by reference"
    );
    let revisions = store.revisions(region).await.unwrap();
    assert_eq!(
        (revisions.len(), revisions[0].revision, revisions[0].parent),
        (1, 1, 0)
    );
}

pub(crate) async fn a_key_used_twice_is_one_pledge(store: &Store) {
    let (region, given) = give_one(store).await;
    let mut ids = IdSource::seeded(2);
    let version = version(store, region, &mut ids).await;
    // Sent again later, by somebody who has seen the newer head.
    for revision in [0, 1] {
        let again = pledge(version, revision, 2, Some("k1"));
        let answer = store
            .give(region, &again, &names(), &mut ids, NOW)
            .await
            .unwrap();
        assert!(answer.replayed);
        assert_eq!(answer.pledge, given);
    }
    assert_eq!(
        store.pledge_of_key(region, "k1").await.unwrap(),
        Some(given)
    );
    assert_eq!(store.pledge_of_key(region, "k2").await.unwrap(), None);
    assert_eq!(store.pledges(region).await.unwrap().len(), 1);
}

pub(crate) async fn of_two_pledges_on_one_revision_one_is_stale_and_leaves_nothing(store: &Store) {
    let (region, _) = give_one(store).await;
    let mut ids = IdSource::seeded(9);
    let version = version(store, region, &mut ids).await;
    let late = pledge(version, 0, 1, Some("k2"));
    let error = store
        .give(region, &late, &names(), &mut ids, NOW)
        .await
        .unwrap_err();
    assert!(
        matches!(
            error,
            StoreError::Stale {
                expected: 0,
                current: 1
            }
        ),
        "{error}"
    );
    assert_eq!(store.pledges(region).await.unwrap().len(), 1);
    assert_eq!(store.events_after(region, 0).await.unwrap().len(), 1);
    assert_eq!(store.floor(region, &names()).await.unwrap().next_seq, 2);
}

pub(crate) async fn eight_at_once_leave_one_winner(store: &Store) {
    let mut ids = IdSource::seeded(6);
    let region = region(store, &mut ids).await;
    let version = version(store, region, &mut ids).await;
    let tasks: Vec<_> = (0..8_u64)
        .map(|i| {
            let store = store.clone();
            tokio::spawn(async move {
                let key = format!("key-{i}");
                let new = pledge(version, 0, 1, Some(&key));
                let mut ids = IdSource::seeded(100 + i);
                store.give(region, &new, &names(), &mut ids, NOW).await
            })
        })
        .collect();
    let (mut won, mut stale) = (0, 0);
    for task in tasks {
        match task.await.unwrap() {
            Ok(_) => won += 1,
            Err(StoreError::Stale { .. }) => stale += 1,
            Err(other) => panic!("{other}"),
        }
    }
    assert_eq!((won, stale), (1, 7));
    assert_eq!(store.floor(region, &names()).await.unwrap().plates.len(), 1);
}

pub(crate) async fn a_plan_is_saved_only_on_the_head(store: &Store) {
    let (region, _) = give_one(store).await;
    let mut ids = IdSource::seeded(11);
    let plan = Plan {
        assignments: vec![Assignment {
            frozen: true,
            ..place(1)
        }],
    };
    let saved = store
        .save_plan(
            region,
            1,
            &plan,
            &names(),
            "earlier",
            ("coordinator", NOW, &mut ids),
        )
        .await
        .unwrap();
    assert_eq!((saved.revision, saved.parent), (2, 1));
    let error = store
        .save_plan(
            region,
            1,
            &plan,
            &names(),
            "late",
            ("coordinator", NOW, &mut ids),
        )
        .await
        .unwrap_err();
    assert!(
        matches!(
            error,
            StoreError::Stale {
                expected: 1,
                current: 2
            }
        ),
        "{error}"
    );
    assert_eq!(store.floor(region, &names()).await.unwrap().plan, plan);
    assert_eq!(
        store.revisions(region).await.unwrap().len(),
        2,
        "old revisions stay"
    );
}

pub(crate) async fn a_plan_that_names_no_printer_leaves_nothing(store: &Store) {
    let mut ids = IdSource::seeded(12);
    let region = region(store, &mut ids).await;
    let version = version(store, region, &mut ids).await;
    let mut new = pledge(version, 0, 1, None);
    new.plates[0].makings[0].printer = PrinterIx(99); // found only after the plan row is written
    let error = store
        .give(region, &new, &names(), &mut ids, NOW)
        .await
        .unwrap_err();
    assert!(matches!(error, StoreError::Damaged { .. }), "{error}");
    let floor = store.floor(region, &names()).await.unwrap();
    assert_eq!((floor.revision, floor.plates.len()), (0, 0));
    assert_eq!(store.pledges(region).await.unwrap(), vec![]);
}

pub(crate) async fn a_job_is_claimed_once_and_comes_back_after_a_failure(store: &Store) {
    let mut ids = IdSource::seeded(13);
    let region = region(store, &mut ids).await;
    let id = store
        .add_job(region, "estimate", "{}", &mut ids, NOW)
        .await
        .unwrap();
    assert_eq!(
        store.claim_job(EventMs(NOW.0 - 1)).await.unwrap(),
        None,
        "not due yet"
    );
    let job = store.claim_job(NOW).await.unwrap().unwrap();
    assert_eq!((job.id, job.attempts), (id, 1));
    assert_eq!(store.claim_job(NOW).await.unwrap(), None, "it is taken");
    store
        .finish_job(&job, Some(EventMs(NOW.0 + 5)))
        .await
        .unwrap();
    assert_eq!(store.claim_job(NOW).await.unwrap(), None, "not yet again");
    let again = store.claim_job(EventMs(NOW.0 + 5)).await.unwrap().unwrap();
    assert_eq!(again.attempts, 2);
    store.finish_job(&again, None).await.unwrap();
    assert_eq!(store.claim_job(EventMs(NOW.0 + 99)).await.unwrap(), None);
}
