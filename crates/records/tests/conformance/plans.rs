//! Plans by compare-and-swap, and how they are read back.
#![expect(clippy::unwrap_used, reason = "every function here is a test case")]

use partpledge_planning_model::{Assignment, Plan, PrinterIx};
use partpledge_records::{Floor, Names, StoreError};
use partpledge_units::ids::IdSource;

use crate::ground::Ground;
use crate::sample::{NOW, give_one, names, pledge, slot, version};

pub(crate) async fn a_plan_is_saved_only_on_the_head(store: &Ground) {
    let (region, _) = give_one(store).await;
    let mut ids = IdSource::seeded(11);
    let plan = Plan {
        assignments: vec![Assignment {
            frozen: true,
            ..slot(1)
        }],
    };
    let by = ("coordinator", NOW, &mut ids);
    let saved = store
        .save_plan(
            region,
            1,
            &plan,
            &names(),
            &partpledge_words::said!("common-as-written", text = "earlier"),
            by,
        )
        .await
        .unwrap();
    assert_eq!((saved.revision, saved.parent), (2, 1));
    for seen in [0, 1, 3] {
        let before = store.rows_of_giving().await;
        let by = ("coordinator", NOW, &mut ids);
        let error = store
            .save_plan(
                region,
                seen,
                &plan,
                &names(),
                &partpledge_words::said!("common-as-written", text = "late"),
                by,
            )
            .await
            .unwrap_err();
        let stale = matches!(error, StoreError::Stale { expected, current: 2 } if expected == seen);
        assert!(stale, "{error}");
        assert_eq!(store.rows_of_giving().await, before);
    }
    assert_eq!(store.floor(region, &names()).await.unwrap().plan, plan);
    assert_eq!(
        store.revisions(region).await.unwrap().len(),
        2,
        "old revisions stay"
    );
    let kinds = store.events_after(region, 1).await.unwrap();
    assert_eq!((kinds.len(), kinds[0].1.kind.as_str()), (1, "plan.saved"));
}

pub(crate) async fn a_plan_outlives_another_order_of_printers(store: &Ground) {
    let (region, _) = give_one(store).await;
    let turned = Names {
        printers: vec!["Teal".to_owned(), "Coot".to_owned(), "Heron".to_owned()],
        ..names()
    };
    let floor = store.floor(region, &turned).await.unwrap();
    assert_eq!(floor.plan.assignments[0].printer, PrinterIx(0));
    assert_eq!(floor.plates[0].makings[0].printer, PrinterIx(0));
    let gone = Names {
        printers: vec!["Heron".to_owned()],
        ..names()
    };
    let error = store.floor(region, &gone).await.unwrap_err();
    assert!(
        error
            .to_string()
            .contains("'Teal' is no longer in the region"),
        "{error}"
    );
    // As if it left by a change that somebody looks at: its plates wait without a place. An older
    // plan may be from before it left.
    let leaving = Names {
        leaving: vec!["Teal".to_owned()],
        ..gone.clone()
    };
    let floor = store.floor(region, &leaving).await.unwrap();
    assert_eq!((floor.plan.assignments.len(), floor.plates.len()), (0, 1));
    let old = store.plan_at(region, 1, &gone).await.unwrap();
    assert_eq!(old.unwrap().assignments, []);
}

pub(crate) async fn two_printers_of_one_name_are_refused(store: &Ground) {
    let (region, _) = give_one(store).await;
    let mut ids = IdSource::seeded(15);
    let twice = Names {
        printers: vec!["Teal".to_owned(), "Teal".to_owned()],
        ..names()
    };
    let error = store.floor(region, &twice).await.unwrap_err();
    assert!(
        error
            .to_string()
            .contains("two in the region are called 'Teal'"),
        "{error}"
    );
    let new = pledge(version(store, region, &mut ids).await, 1, 2, None);
    let error = store
        .give(region, &new, &twice, &mut ids, NOW)
        .await
        .unwrap_err();
    assert_eq!(error.code(), "damaged");
    assert_eq!(store.floor(region, &names()).await.unwrap().revision, 1);
}

/// While somebody gives, whoever looks sees a plan and the very plates that it is of.
pub(crate) async fn a_floor_is_of_one_moment(store: &Ground) {
    let (region, _) = give_one(store).await;
    let mut ids = IdSource::seeded(16);
    let version = version(store, region, &mut ids).await;
    let looking = (*store).clone();
    let look = tokio::spawn(async move {
        let mut seen: Vec<Floor> = Vec::new();
        while seen.last().is_none_or(|floor| floor.revision < 20) {
            seen.push(looking.floor(region, &names()).await.unwrap());
        }
        seen
    });
    let mut plan = Plan {
        assignments: vec![slot(1)],
    };
    for revision in 1..20_i64 {
        let seq = u64::try_from(revision).unwrap() + 1;
        plan.put(slot(seq));
        let mut new = pledge(version, revision, seq, None);
        new.plan = plan.clone();
        store
            .give(region, &new, &names(), &mut ids, NOW)
            .await
            .unwrap();
    }
    for floor in look.await.unwrap() {
        let many = usize::try_from(floor.revision).unwrap();
        let next = usize::try_from(floor.next_seq).unwrap();
        assert_eq!(
            (floor.plates.len(), floor.plan.assignments.len(), next),
            (many, many, many + 1)
        );
    }
}
