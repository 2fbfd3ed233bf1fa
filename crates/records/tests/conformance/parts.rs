//! Regions, files, versions, estimates.
#![expect(clippy::unwrap_used, reason = "every function here is a test case")]

use bytes::Bytes;
use partpledge_records::{BlobHash, EstimateKey, StoreError};
use partpledge_units::ids::{IdSource, RegionId, VersionId};

use crate::ground::Ground;
use crate::sample::{NOW, names, new_version, region, stored_region, version};

pub(crate) async fn a_region_is_found_by_name_or_as_the_first(store: &Ground) {
    assert_eq!(store.region(None).await.unwrap(), None);
    let mut ids = IdSource::seeded(3);
    let id = region(store, &mut ids).await;
    for name in [None, Some("Ambrel Valley")] {
        assert_eq!(store.region(name).await.unwrap().unwrap().id, id);
    }
    assert_eq!(store.region(Some("Elsewhere")).await.unwrap(), None);
    let floor = store.floor(id, &names()).await.unwrap();
    assert_eq!(
        (floor.revision, floor.next_seq, floor.plates.len()),
        (0, 1, 0)
    );
    let unknown = RegionId::fresh(&mut ids, NOW);
    let error = store.floor(unknown, &names()).await.unwrap_err();
    assert!(matches!(error, StoreError::NoSuchRegion(_)), "{error}");
}

pub(crate) async fn of_two_that_start_with_one_region_both_get_the_same(store: &Ground) {
    let begin = |seed| {
        let store = (*store).clone();
        tokio::spawn(async move { region(&store, &mut IdSource::seeded(seed)).await })
    };
    let (one, two) = (begin(1), begin(2));
    assert_eq!(one.await.unwrap(), two.await.unwrap());
    let other = stored_region(&mut IdSource::seeded(3), "Farther Valley");
    assert_eq!(store.add_region(&other, NOW).await.unwrap(), other);
}

pub(crate) async fn a_blob_is_kept_once_and_absence_is_none(store: &Ground) {
    let bytes = Bytes::from(vec![7_u8; 100_000]);
    let hash = store.put_blob(bytes.clone()).await.unwrap();
    assert_eq!(store.put_blob(bytes.clone()).await.unwrap(), hash);
    assert_eq!(store.blob(&hash).await.unwrap(), Some(bytes));
    assert_eq!(store.blob(&BlobHash::of(b"never")).await.unwrap(), None);
    let folder = store.blobs().join(&hash.as_str()[..2]);
    assert_eq!(
        std::fs::read_dir(folder).unwrap().count(),
        1,
        "no half-written file is left"
    );
}

pub(crate) async fn a_damaged_blob_is_noticed_and_put_right(store: &Ground) {
    let bytes = Bytes::from_static(b"solid cube");
    let hash = store.put_blob(bytes.clone()).await.unwrap();
    let file = store.blobs().join(&hash.as_str()[..2]).join(hash.as_str());
    std::fs::write(file, "solid cu").unwrap();
    let error = store.blob(&hash).await.unwrap_err();
    assert!(
        matches!(error, StoreError::Damaged { what: "file", .. }),
        "{error}"
    );
    store.put_blob(bytes.clone()).await.unwrap();
    assert_eq!(store.blob(&hash).await.unwrap(), Some(bytes));
}

pub(crate) async fn the_same_file_of_the_same_part_is_one_version(store: &Ground) {
    let mut ids = IdSource::seeded(4);
    let region = region(store, &mut ids).await;
    let first = version(store, region, &mut ids).await;
    assert_eq!(version(store, region, &mut ids).await, first);
    let other = store
        .put_blob(Bytes::from_static(b"solid 2"))
        .await
        .unwrap();
    let newer = new_version(other, "Newt Works");
    let second = store
        .add_version(region, &newer, &mut ids, NOW)
        .await
        .unwrap();
    assert_ne!(second, first);
    let one = store.version(region, first).await.unwrap().unwrap();
    let two = store.version(region, second).await.unwrap().unwrap();
    assert_eq!(one.part, two.part);
    assert_eq!(
        (one.file_name.as_str(), one.unit.as_str()),
        ("bracket.stl", "mm")
    );
    assert_eq!(
        (one.facts.as_str(), one.created_at),
        (r#"{"triangles":12}"#, NOW)
    );
    let same = new_version(BlobHash::of(b"solid"), "Eel Drive");
    let theirs = store
        .add_version(region, &same, &mut ids, NOW)
        .await
        .unwrap();
    assert_ne!(
        theirs, first,
        "another team's part is another part, even if the bytes agree"
    );
    let elsewhere = RegionId::fresh(&mut ids, NOW);
    assert_eq!(store.version(elsewhere, first).await.unwrap(), None);
    assert!(
        store
            .add_version(elsewhere, &same, &mut ids, NOW)
            .await
            .is_err()
    );
}

pub(crate) async fn one_version_sent_eight_times_at_once_is_one_version(store: &Ground) {
    let region = region(store, &mut IdSource::seeded(4)).await;
    let send = |seed| {
        let store = (*store).clone();
        tokio::spawn(async move { version(&store, region, &mut IdSource::seeded(seed)).await })
    };
    let tasks: Vec<_> = (10..18).map(send).collect();
    let mut versions: Vec<VersionId> = Vec::new();
    for task in tasks {
        versions.push(task.await.unwrap());
    }
    versions.dedup();
    assert_eq!(versions.len(), 1);
}

pub(crate) async fn a_version_is_found_by_file_unit_and_engine(store: &Ground) {
    let mut ids = IdSource::seeded(8);
    let region = region(store, &mut ids).await;
    let first = version(store, region, &mut ids).await;
    let blob = BlobHash::of(b"solid");
    let found = store
        .version_of_blob(region, &blob, "mm", "1")
        .await
        .unwrap()
        .unwrap();
    assert_eq!((found.id, found.blob.clone()), (first, blob.clone()));
    for (unit, engine) in [("in", "1"), ("mm", "2")] {
        assert_eq!(
            store
                .version_of_blob(region, &blob, unit, engine)
                .await
                .unwrap(),
            None
        );
    }
    assert!("../secret".parse::<BlobHash>().is_err());
    assert_eq!(blob.as_str().parse(), Ok(blob));
}

pub(crate) async fn an_estimate_is_never_overwritten(store: &Ground) {
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
    for payload in ["first", "second"] {
        let kept = store
            .keep_estimate(region, &key, payload, &mut ids, NOW)
            .await
            .unwrap();
        assert_eq!(kept, "first");
    }
    assert_eq!(
        store.estimate(region, &key).await.unwrap().unwrap(),
        "first"
    );
    assert!(
        store
            .run("UPDATE estimates SET payload = 'third'")
            .await
            .is_err()
    );
    let newer = EstimateKey {
        engine: "2".to_owned(),
        ..key
    };
    assert_eq!(store.estimate(region, &newer).await.unwrap(), None);
    let version = VersionId::fresh(&mut ids, NOW);
    let unknown = EstimateKey { version, ..newer };
    assert!(
        store
            .keep_estimate(region, &unknown, "{}", &mut ids, NOW)
            .await
            .is_err()
    );
}
