//! The database itself: statements, tables, what may not be done to them.
#![expect(clippy::unwrap_used, reason = "every function here is a test case")]

use partpledge_records::{Store, StoreError};

use crate::ground::Ground;
use crate::postgres;
use crate::sample::give_one;

/// What takes the tables of spools away again, for databases from before they were kept.
pub(crate) const WITHOUT_SPOOLS: [&str; 6] = [
    "DROP TABLE spool_delivery_ends",
    "DROP TABLE spool_deliveries",
    "DROP TABLE spool_uses",
    "DROP TABLE spool_readings",
    "DROP TABLE spool_steps",
    "DROP TABLE spools",
];

pub(crate) async fn every_statement_is_taken(ground: &Ground) {
    let statements = ground.prepare_all().await.unwrap();
    assert!(statements > 40, "{statements}");
}

pub(crate) async fn what_is_on_record_can_not_be_edited(ground: &Ground) {
    let (_, given) = give_one(ground).await;
    let version = ground.run("UPDATE part_versions SET facts = '{}'").await;
    assert!(version.unwrap_err().to_string().contains("part"));
    for table in ["pledges", "events", "plan_revisions"] {
        for change in ["UPDATE {} SET region_id = 'x'", "DELETE FROM {}"] {
            let error = ground.run(&change.replace("{}", table)).await.unwrap_err();
            assert!(
                error.to_string().contains("append-only"),
                "{table}: {error}"
            );
        }
    }
    assert_eq!(
        ground
            .reopened()
            .await
            .pledges(ground_region(ground).await)
            .await
            .unwrap(),
        [given]
    );
}

async fn ground_region(ground: &Ground) -> partpledge_units::ids::RegionId {
    ground.region(None).await.unwrap().unwrap().id
}

pub(crate) async fn a_newer_schema_is_refused(ground: &Ground) {
    ground
        .run("INSERT INTO schema_steps (step) VALUES (999)")
        .await
        .unwrap();
    let error = ground.try_reopened().await.unwrap_err();
    assert!(
        matches!(error, StoreError::NewerSchema { found: 999, .. }),
        "{error}"
    );
}

pub(crate) async fn tables_from_before_runs_were_kept_are_brought_up_to_date(ground: &Ground) {
    let (region, given) = give_one(ground).await;
    for sql in WITHOUT_SPOOLS {
        ground.run(sql).await.unwrap();
    }
    for sql in [
        "ALTER TABLE plates DROP COLUMN joins",
        "DROP TABLE taken_back",
        "DROP TABLE plate_programs",
        "DROP TABLE finished_runs",
        "ALTER TABLE person_roles DROP COLUMN until",
        "DELETE FROM schema_steps WHERE step >= 3",
    ] {
        ground.run(sql).await.unwrap();
    }
    let again = ground.reopened().await;
    assert!(again.finished_runs(region).await.unwrap().is_empty());
    assert_eq!(again.pledges(region).await.unwrap(), [given]);
}

pub(crate) async fn a_row_without_what_it_belongs_to_is_refused(ground: &Ground) {
    give_one(ground).await;
    let orphan = "UPDATE copies SET plate_seq = 77";
    assert!(ground.run(orphan).await.is_err());
    let orphan = "UPDATE requests SET version_id = 'nothing'";
    assert!(ground.run(orphan).await.is_err());
}

pub(crate) async fn opening_again_finds_everything_and_changes_nothing(ground: &Ground) {
    let (region, given) = give_one(ground).await;
    let before = ground.rows_of_giving().await;
    // Another program, while the first one has it open; neither is closed in order.
    let again = ground.reopened().await;
    assert_eq!(again.pledges(region).await.unwrap(), [given]);
    drop(again);
    assert_eq!(ground.rows_of_giving().await, before);
}

#[tokio::test]
async fn eight_that_open_one_empty_postgres_at_once_make_the_tables_once() {
    let Some(server) = postgres::server().await else {
        return;
    };
    let url = server.empty_database().await;
    let dir = tempfile::tempdir().unwrap();
    let open = |_| {
        let (url, blobs) = (url.clone(), dir.path().to_owned());
        tokio::spawn(async move { Store::connect_pg(&url, &blobs).await })
    };
    let tasks: Vec<_> = (0..8).map(open).collect();
    for task in tasks {
        task.await.unwrap().unwrap().prepare_all().await.unwrap();
    }
}
