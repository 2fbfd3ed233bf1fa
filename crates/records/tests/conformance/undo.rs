//! A deed that is taken back.
#![expect(clippy::unwrap_used, reason = "every function here is a test case")]

use partpledge_planning_model::Plan;
use partpledge_records::{Happening, PlateState, State, StepKind, TakenBack};
use partpledge_units::ids::IdSource;

use crate::floor::{deed, failure};
use crate::ground::Ground;
use crate::sample::{give_one, names, plate, slot};

/// The failure of plate 1, taken back: one of its copies was good, the other was lost.
fn undoing(what: &Happening, entry: i64) -> Happening {
    let (good, lost) = (what.copies[4].0, what.copies[5].0);
    Happening {
        kind: "step.taken-back",
        payload: Vec::new(),
        deed: deed(Some("undo-1")),
        revision: 2,
        last_notes: Vec::new(),
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
            partpledge_words::said!("common-as-written", text = "it had not failed"),
        )),
        steps: Vec::new(),
        copies: Vec::new(),
        closed: Vec::new(),
        reprints: Vec::new(),
        outages: Vec::new(),
        runs: Vec::new(),
        ..what.clone()
    }
}

pub(crate) async fn a_deed_that_is_taken_back_counts_no_more(store: &Ground) {
    let (region, given) = give_one(store).await;
    let mut ids = IdSource::seeded(41);
    let what = failure(store, region, given.request).await;
    // Looked at before, so that what is remembered of the steps has to be right as well.
    let before = store.floor(region, &names()).await.unwrap();
    let happened = store.happen(region, &what, &names(), &mut ids).await;
    assert_eq!(happened.unwrap(), Some(2));
    store.floor(region, &names()).await.unwrap();
    let step = (1, StepKind::Failed);
    let (entry, event) = store.deed_of_step(region, step).await.unwrap().unwrap();
    assert_eq!((entry, event.kind.as_str()), (2, "run.failed"));
    let reason = Some("loose".to_owned());
    assert_eq!(
        (event.numbers("plate"), event.text("reason")),
        (vec![1], reason)
    );
    assert_eq!(
        (event.numbers("reason"), event.text("none")),
        (Vec::new(), None)
    );
    let undo = undoing(&what, entry);
    for written in [Some(3), None] {
        let undone = store.happen(region, &undo, &names(), &mut ids).await;
        assert_eq!(undone.unwrap(), written, "once");
    }
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
    let plan = store.plan_at(region, 1, &names()).await.unwrap();
    assert_eq!(plan, Some(before.plan));
}

pub(crate) async fn what_was_taken_back_stays_on_record_and_can_be_done_again(store: &Ground) {
    let (region, given) = give_one(store).await;
    let mut ids = IdSource::seeded(42);
    let what = failure(store, region, given.request).await;
    store
        .happen(region, &what, &names(), &mut ids)
        .await
        .unwrap();
    let undo = undoing(&what, 2);
    store
        .happen(region, &undo, &names(), &mut ids)
        .await
        .unwrap();
    assert_eq!(store.events_after(region, 0).await.unwrap().len(), 3);
    let twice = Happening {
        deed: deed(Some("undo-2")),
        revision: 3,
        ..undo
    };
    let refused = store.happen(region, &twice, &names(), &mut ids).await;
    assert!(refused.is_err(), "a deed is taken back once");
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
