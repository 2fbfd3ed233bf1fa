//! One suite, two engines: what holds on SQLite holds on PostgreSQL.

#[path = "conformance/postgres.rs"]
mod postgres;
#[path = "conformance/suite.rs"]
mod suite;

use partpledge_records::Store;

/// Runs every case of the suite on a fresh store each.
macro_rules! on_both {
    ($($case:ident),+ $(,)?) => {
        mod sqlite {
            $(#[tokio::test]
            async fn $case() {
                let dir = tempfile::tempdir().unwrap();
                let store = super::Store::open_dir(&dir.path().join("data")).await.unwrap();
                super::suite::$case(&store).await;
                store.close().await;
            })+
        }
        mod on_postgres {
            $(#[tokio::test]
            async fn $case() {
                let Some(server) = super::postgres::server() else { return };
                let dir = tempfile::tempdir().unwrap();
                let url = server.fresh_database(stringify!($case)).await;
                let store = super::Store::connect_pg(&url, dir.path()).await.unwrap();
                super::suite::$case(&store).await;
                store.close().await;
            })+
        }
    };
}

on_both![
    a_region_is_found_by_name_or_as_the_first,
    a_blob_is_kept_once_and_absence_is_none,
    the_same_file_of_the_same_part_is_one_version,
    an_estimate_is_never_overwritten,
    giving_writes_all_of_it,
    a_key_used_twice_is_one_pledge,
    of_two_pledges_on_one_revision_one_is_stale_and_leaves_nothing,
    eight_at_once_leave_one_winner,
    a_plan_is_saved_only_on_the_head,
    a_plan_that_names_no_printer_leaves_nothing,
    a_job_is_claimed_once_and_comes_back_after_a_failure,
];

#[tokio::test]
async fn what_was_given_is_there_after_reopening() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("data");
    let store = Store::open_dir(&path).await.unwrap();
    let (region, given) = suite::give_one(&store).await;
    store.close().await;
    let again = Store::open_dir(&path).await.unwrap();
    assert_eq!(again.pledges(region).await.unwrap(), vec![given]);
}

#[tokio::test]
async fn a_folder_of_something_else_is_refused_and_left_alone() {
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(dir.path().join("homework.txt"), "mine").unwrap();
    let error = Store::open_dir(dir.path()).await.unwrap_err();
    assert!(
        matches!(error, partpledge_records::StoreError::NotOurs { .. }),
        "{error}"
    );
    assert_eq!(std::fs::read_dir(dir.path()).unwrap().count(), 1);
    let file = dir.path().join("homework.txt");
    let error = Store::open_dir(&file).await.unwrap_err();
    assert!(
        matches!(error, partpledge_records::StoreError::NotOurs { .. }),
        "{error}"
    );
}
