//! The data directory: made in one go, ours or left alone.
#![expect(clippy::unwrap_used, reason = "helpers of tests")]

#[path = "support/sample.rs"]
mod sample;

use std::path::Path;

use partpledge_records::{Deed, Held, NewPerson, PersonKind, RoleKind, Store, StoreError};
use partpledge_units::ids::IdSource;
use sample::{LATER, deed};

fn not_ours(error: &StoreError) -> bool {
    matches!(error, StoreError::NotOurs { .. })
}

fn entries(dir: &Path) -> Vec<String> {
    let names = std::fs::read_dir(dir).unwrap();
    let mut names: Vec<String> = names
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort_unstable();
    names
}

#[tokio::test]
async fn what_was_given_is_there_after_reopening() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("some/where");
    let store = Store::open_dir(&path).await.unwrap();
    let (region, given) = sample::give_one(&store).await;
    store.close().await;
    assert_eq!(entries(&path), ["blobs", "partpledge.sqlite"]);
    let again = Store::open_dir(&path).await.unwrap();
    assert_eq!(again.pledges(region).await.unwrap(), [given]);
}

#[tokio::test]
async fn of_somebody_erased_the_files_hold_nothing_while_the_server_runs() {
    let dir = tempfile::tempdir().unwrap();
    let store = Store::open_dir(dir.path()).await.unwrap();
    let mut ids = IdSource::seeded(5);
    let region = sample::region(&store, &mut ids).await;
    let joins = deed();
    let erases = Deed {
        occurred_at: LATER,
        received_at: LATER,
        ..deed()
    };
    let held = Held::new(RoleKind::Student, "Newt Works");
    let mut people = Vec::new();
    let name = |i: usize| format!("Otter {i} of the long weir");
    for i in 0..40 {
        let new = NewPerson {
            kind: PersonKind::Student,
            name: name(i),
            email: None,
            secret: None,
        };
        let who = (&new, &held);
        let added = store.add_person(region, who, &joins, &mut ids).await;
        people.push(added.unwrap());
    }
    let holds = |name: String| {
        let files = entries(dir.path());
        let files = files
            .iter()
            .filter(|file| file.starts_with("partpledge.sqlite"));
        let mut all = files.map(|file| std::fs::read(dir.path().join(file)).unwrap());
        all.any(|bytes| {
            let mut parts = bytes.windows(name.len());
            parts.any(|part| part == name.as_bytes())
        })
    };
    assert!((0..40).all(|i| holds(name(i))));
    for id in people.iter().step_by(2) {
        let erased = store.erase_person(region, *id, &erases, &mut ids).await;
        erased.unwrap();
    }
    for i in 0..40 {
        assert_eq!(holds(name(i)), i % 2 == 1, "{i}");
    }
}

#[tokio::test]
async fn a_folder_of_something_else_is_refused_and_left_alone() {
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(dir.path().join("homework.txt"), "mine").unwrap();
    let error = Store::open_dir(dir.path()).await.unwrap_err();
    assert!(not_ours(&error), "{error}");
    assert_eq!(entries(dir.path()), ["homework.txt"]);
    let error = Store::open_dir(&dir.path().join("homework.txt"))
        .await
        .unwrap_err();
    assert!(not_ours(&error), "{error}");
}

#[tokio::test]
async fn a_database_of_something_else_is_refused_and_left_alone() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("partpledge.sqlite");
    std::fs::write(
        &file,
        "a letter that happens to have this name, and more than 100 bytes of it, ".repeat(3),
    )
    .unwrap();
    let before = std::fs::read(&file).unwrap();
    let error = Store::open_dir(dir.path()).await.unwrap_err();
    assert!(not_ours(&error), "{error}");
    assert_eq!(std::fs::read(&file).unwrap(), before);
    std::fs::write(&file, "").unwrap(); // for SQLite a database without tables
    let error = Store::open_dir(dir.path()).await.unwrap_err();
    assert!(not_ours(&error), "{error}");
}

#[tokio::test]
async fn what_a_killed_maker_left_behind_is_no_obstacle() {
    let dir = tempfile::tempdir().unwrap();
    std::fs::create_dir_all(dir.path().join(".making-1-0")).unwrap();
    std::fs::write(dir.path().join(".making-1-0/partpledge.sqlite"), "half").unwrap();
    std::fs::create_dir(dir.path().join("blobs")).unwrap();
    Store::open_dir(dir.path())
        .await
        .unwrap()
        .prepare_all()
        .await
        .unwrap();
}

#[tokio::test]
async fn eight_that_open_one_new_directory_at_once_share_one_database() {
    for _ in 0..10 {
        let dir = tempfile::tempdir().unwrap();
        let open = |_| {
            let path = dir.path().join("data");
            tokio::spawn(async move {
                let store = Store::open_dir(&path).await?;
                let region = sample::region(&store, &mut partpledge_units::ids::IdSource::Os).await;
                Ok::<_, StoreError>(region)
            })
        };
        let tasks: Vec<_> = (0..8).map(open).collect();
        let mut regions = Vec::new();
        for task in tasks {
            regions.push(task.await.unwrap().unwrap());
        }
        regions.dedup();
        assert_eq!(regions.len(), 1);
        let left = entries(&dir.path().join("data"));
        assert!(
            !left.iter().any(|name| name.starts_with(".making")),
            "{left:?}"
        );
    }
}
