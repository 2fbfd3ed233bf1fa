//! Background work.
#![expect(clippy::unwrap_used, reason = "every function here is a test case")]

use partpledge_units::ids::{IdSource, JobId};
use partpledge_units::time::EventMs;

use crate::ground::Ground;
use crate::sample::{NOW, region};

fn after(ms: i64) -> EventMs {
    EventMs(NOW.0 + ms)
}

async fn one_job(store: &Ground) -> JobId {
    let mut ids = IdSource::seeded(13);
    let region = region(store, &mut ids).await;
    store
        .add_job(region, "estimate", "{}", &mut ids, NOW)
        .await
        .unwrap()
}

pub(crate) async fn a_job_is_claimed_once_and_comes_back_after_a_failure(store: &Ground) {
    let id = one_job(store).await;
    assert_eq!(
        store
            .claim_job("estimate", after(-1), after(99))
            .await
            .unwrap(),
        None,
        "not due yet"
    );
    let job = store
        .claim_job("estimate", NOW, after(99))
        .await
        .unwrap()
        .unwrap();
    assert_eq!(
        (job.id, job.attempts, job.kind.as_str()),
        (id, 1, "estimate")
    );
    assert_eq!(
        store.claim_job("estimate", NOW, after(99)).await.unwrap(),
        None,
        "it is taken"
    );
    assert!(
        store
            .fail_job(&job, "the disk is full", Some(after(5)))
            .await
            .unwrap()
    );
    assert_eq!(
        store
            .claim_job("estimate", after(4), after(99))
            .await
            .unwrap(),
        None,
        "not yet again"
    );
    let again = store
        .claim_job("estimate", after(5), after(99))
        .await
        .unwrap()
        .unwrap();
    assert_eq!((again.id, again.attempts), (id, 2));
    assert!(store.finish_job(&again).await.unwrap());
    assert_eq!(
        store
            .claim_job("estimate", after(500), after(999))
            .await
            .unwrap(),
        None
    );
}

pub(crate) async fn a_lease_that_is_over_gives_the_work_to_the_next(store: &Ground) {
    let id = one_job(store).await;
    let lost = store
        .claim_job("estimate", NOW, after(10))
        .await
        .unwrap()
        .unwrap();
    assert_eq!(
        store
            .claim_job("estimate", after(9), after(99))
            .await
            .unwrap(),
        None
    );
    let taken = store
        .claim_job("estimate", after(10), after(99))
        .await
        .unwrap()
        .unwrap();
    assert_eq!((taken.id, taken.attempts), (id, 2));
    // The first worker wakes up: the work is not its own any more.
    assert!(!store.finish_job(&lost).await.unwrap());
    assert!(!store.fail_job(&lost, "late", None).await.unwrap());
    assert!(store.fail_job(&taken, "no such part", None).await.unwrap());
    assert_eq!(
        store
            .claim_job("estimate", after(500), after(999))
            .await
            .unwrap(),
        None,
        "given up"
    );
}

pub(crate) async fn eight_workers_share_the_work(store: &Ground) {
    let mut ids = IdSource::seeded(17);
    let region = region(store, &mut ids).await;
    let mut added = Vec::new();
    for _ in 0..20 {
        added.push(
            store
                .add_job(region, "estimate", "{}", &mut ids, NOW)
                .await
                .unwrap(),
        );
    }
    let work = |_| {
        let store = (*store).clone();
        tokio::spawn(async move {
            let mut done = Vec::new();
            while let Some(job) = store.claim_job("estimate", NOW, after(99)).await.unwrap() {
                assert!(store.finish_job(&job).await.unwrap());
                done.push(job.id);
            }
            done
        })
    };
    let tasks: Vec<_> = (0..8).map(work).collect();
    let mut done = Vec::new();
    for task in tasks {
        done.extend(task.await.unwrap());
    }
    done.sort_unstable();
    added.sort_unstable();
    assert_eq!(done, added, "each once");
}
