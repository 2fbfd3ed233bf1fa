//! A deed that is taken back.
#![expect(clippy::unwrap_used, reason = "every function here is a test case")]

use partpledge_planning_model::Plan;
use partpledge_records::{Happening, PlateState, State, StepKind, TakenBack};
use partpledge_units::ids::IdSource;

use crate::floor::{deed, failure};
use crate::ground::Ground;
use crate::sample::{give_one, names, plate, slot};

pub(crate) async fn a_deed_that_is_taken_back_counts_no_more_and_can_be_done_again(store: &Ground) {
    let (region, given) = give_one(store).await;
    let mut ids = IdSource::seeded(41);
    let what = failure(store, region, given.request).await;
    // Looked at before, so that what is remembered of the steps has to be right as well.
    let before = store.floor(region, &names()).await.unwrap();
    store
        .happen(region, &what, &names(), &mut ids)
        .await
        .unwrap();
    store.floor(region, &names()).await.unwrap();
    let step = (1, StepKind::Failed);
    let (entry, event) = store.deed_of_step(region, step).await.unwrap().unwrap();
    assert_eq!((entry, event.kind.as_str()), (2, "run.failed"));
    assert_eq!(
        (event.numbers("plate"), event.text("reason")),
        (vec![1], Some("loose".to_owned()))
    );
    assert_eq!(
        (event.numbers("reason"), event.text("none")),
        (Vec::new(), None)
    );
    let (good, lost) = (what.copies[4].0, what.copies[5].0);
    let undo = Happening {
        kind: "step.taken-back",
        payload: Vec::new(),
        deed: deed(Some("undo-1")),
        revision: 2,
        takes_back: Some(TakenBack {
            undoes: entry,
            copies: vec![
                (good, State::Inspected, State::Pledged, 1),
                (lost, State::Pledged, State::Pledged, 1),
            ],
            reopened: vec![1],
            dropped: vec![2],
        }),
        plan: Some((
            Plan {
                assignments: vec![slot(1)],
            },
            "it had not failed".to_owned(),
        )),
        steps: Vec::new(),
        copies: Vec::new(),
        closed: Vec::new(),
        reprints: Vec::new(),
        outages: Vec::new(),
        runs: Vec::new(),
        ..what.clone()
    };
    assert_eq!(
        store
            .happen(region, &undo, &names(), &mut ids)
            .await
            .unwrap(),
        Some(3)
    );
    assert_eq!(
        store
            .happen(region, &undo, &names(), &mut ids)
            .await
            .unwrap(),
        None
    );
    for looked in [&**store, &store.reopened().await] {
        let floor = looked.floor(region, &names()).await.unwrap();
        assert_eq!(
            (floor.steps, floor.outages),
            (before.steps.clone(), Vec::new())
        );
        assert_eq!(
            (floor.plates, floor.plan),
            (vec![plate(1)], before.plan.clone())
        );
        assert_eq!(
            floor.kept[1].state,
            PlateState::Withdrawn,
            "the reprint is not needed"
        );
        assert_eq!(floor.next_seq, 3, "numbers are not used twice");
    }
    assert!(store.finished_runs(region).await.unwrap().is_empty());
    assert!(store.outages(region).await.unwrap().is_empty());
    assert_eq!(store.deed_of_step(region, step).await.unwrap(), None);
    assert_eq!(
        store.plan_at(region, 1, &names()).await.unwrap(),
        Some(before.plan)
    );
    // Nothing has gone from the tables, and a deed is taken back once.
    assert_eq!(store.events_after(region, 0).await.unwrap().len(), 3);
    let again = Happening {
        deed: deed(Some("undo-2")),
        revision: 3,
        ..undo
    };
    assert!(
        store
            .happen(region, &again, &names(), &mut ids)
            .await
            .is_err()
    );
    for change in [
        "UPDATE taken_back SET undoes = 1",
        "DELETE FROM taken_back",
        "DELETE FROM finished_runs",
    ] {
        let refused = store.run(change).await.unwrap_err().to_string();
        assert!(refused.contains("append-only"), "{refused}");
    }
    let next = Happening {
        deed: deed(Some("fail-2")),
        revision: 3,
        reprints: Vec::new(),
        copies: Vec::new(),
        plan: None,
        closed: Vec::new(),
        ..what.clone()
    };
    store
        .happen(region, &next, &names(), &mut ids)
        .await
        .unwrap();
    let floor = store.floor(region, &names()).await.unwrap();
    assert_eq!(floor.steps, what.steps, "the same steps, taken anew");
    assert_eq!(store.finished_runs(region).await.unwrap(), what.runs);
}
