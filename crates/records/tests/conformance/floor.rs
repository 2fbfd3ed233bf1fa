//! Requests received before anything is promised, and what happens on the floor.
#![expect(clippy::unwrap_used, reason = "every function here is a test case")]

use std::collections::BTreeMap;

use partpledge_planning_model::Plan;
use partpledge_records::{
    Deed, FinishedRun, GroundChange, Happening, NewPledge, NewRequest, Outage, Payload, PlateState,
    Reprint, RunStep, Said, State, StepKind, StockChange, StoreError,
};
use partpledge_units::ids::{IdSource, RegionId, RequestId, VersionId};
use partpledge_units::time::{EventMs, Minute};

use crate::ground::Ground;
use crate::sample::{NOW, give_one, names, plate, pledge, region, slot, version};

pub(crate) fn deed(key: Option<&str>) -> Deed {
    Deed {
        actor: "host:brindlemoor".to_owned(),
        occurred_at: EventMs(NOW.0 + 1),
        received_at: EventMs(NOW.0 + 60_000),
        idempotency_key: key.map(str::to_owned),
    }
}

fn request(version: VersionId, printable: bool) -> NewRequest {
    NewRequest {
        team: "Newt Works".to_owned(),
        version,
        material: "PETG".to_owned(),
        copies: 2,
        need_by: None,
        process: "{}".to_owned(),
        printable,
        held: false,
        notes: Vec::new(),
        dimensions: Vec::new(),
        replaces: None,
        counted_to: None,
    }
}

pub(crate) async fn a_request_counted_before_another_came_is_not_received(store: &Ground) {
    let mut ids = IdSource::seeded(38);
    let region = region(store, &mut ids).await;
    let version = version(store, region, &mut ids).await;
    let counted = |counted_to| NewRequest {
        counted_to: Some(counted_to),
        ..request(version, true)
    };
    let (first, second) = (deed(Some("send-1")), deed(Some("send-2")));
    let (one, _) = store
        .receive(region, &counted(0), &first, &mut ids)
        .await
        .unwrap();
    let moved = store.receive(region, &counted(0), &second, &mut ids).await;
    assert_eq!(
        moved.unwrap_err().code(),
        "requests-moved",
        "one came since"
    );
    assert_eq!(store.requests(region).await.unwrap().len(), 1);
    let again = store.receive(region, &counted(0), &first, &mut ids).await;
    assert_eq!(again.unwrap(), (one, true), "the same again is no news");
    let next = store.receive(region, &counted(1), &second, &mut ids).await;
    assert_eq!(next.unwrap().0.number, 2);
}

pub(crate) async fn a_request_is_received_once_and_pledged_later(store: &Ground) {
    let mut ids = IdSource::seeded(30);
    let region = region(store, &mut ids).await;
    let version = version(store, region, &mut ids).await;
    let new = |printable| request(version, printable);
    let (bad, key) = (new(false), deed(Some("send-1")));
    let (first, before) = store.receive(region, &bad, &key, &mut ids).await.unwrap();
    assert!(!before);
    assert_eq!((first.number, first.state), (1, State::NeedsChange));
    let answered = Some(EventMs(NOW.0 + 60_000));
    assert_eq!(
        first.first_answer_at, answered,
        "what to change is an answer"
    );
    let again = store.receive(region, &bad, &key, &mut ids).await.unwrap();
    assert_eq!(
        again,
        (first.clone(), true),
        "sent twice, it is one request"
    );
    let other = NewRequest {
        copies: 3,
        ..new(false)
    };
    let reused = store.receive(region, &other, &key, &mut ids).await;
    assert_eq!(reused.unwrap_err().code(), "key-reused");
    let second = deed(Some("send-2"));
    let (ready, _) = store
        .receive(region, &new(true), &second, &mut ids)
        .await
        .unwrap();
    assert_eq!((ready.number, ready.state), (2, State::Ready));
    assert_eq!(ready.first_answer_at, None);
    let new = NewPledge {
        request: Some(ready.id),
        ..pledge(version, 0, 1, None)
    };
    for replayed in [false, true] {
        let given = store
            .give(region, &new, &names(), &mut ids, NOW)
            .await
            .unwrap();
        assert_eq!((given.replayed, given.pledge.request), (replayed, ready.id));
    }
    let kept = store.request_of_number(region, 2).await.unwrap().unwrap();
    assert_eq!(
        (kept.request.state, kept.request.first_answer_at),
        (State::Pledged, Some(NOW))
    );
    assert_eq!(kept.part, "bracket");
    let all = store.requests(region).await.unwrap();
    assert_eq!(
        all.iter().map(|r| r.request.number).collect::<Vec<_>>(),
        [1, 2]
    );
    // What needs a change can't be pledged, and nothing of the attempt stays.
    let rows = store.rows_of_giving().await;
    let wrong = NewPledge {
        request: Some(first.id),
        ..pledge(version, 1, 2, None)
    };
    let refused = store.give(region, &wrong, &names(), &mut ids, NOW).await;
    assert_eq!(refused.unwrap_err().code(), "no-such-step");
    assert_eq!(store.rows_of_giving().await, rows);
}

fn came_loose() -> Payload {
    vec![
        ("plate", Said::Numbers(vec![1])),
        ("reason", Said::Text("loose".to_owned())),
    ]
}

/// Plate 1 of the pledge failed: one copy is good, the other goes on plate 2.
pub(crate) async fn failure(store: &Ground, region: RegionId, request: RequestId) -> Happening {
    let copies = store.copies(region, request).await.unwrap();
    let kept = store.request(region, request).await.unwrap().unwrap();
    let step = |kind| RunStep {
        plate: 1,
        kind,
        printer: "Teal".to_owned(),
        at: EventMs(NOW.0 + 1),
        actor: "host:brindlemoor".to_owned(),
        good: Some(1),
        reason: Some("came loose".to_owned()),
    };
    let (good, lost) = (copies[0].id, copies[1].id);
    let run = |copy| [(copy, State::OnAPlate), (copy, State::Running)];
    let ended = [(good, State::Inspected), (lost, State::Pledged)];
    Happening {
        kind: "run.failed",
        payload: came_loose(),
        deed: deed(Some("fail-1")),
        revision: 1,
        steps: vec![step(StepKind::Started), step(StepKind::Failed)],
        copies: [run(good), run(lost), ended].concat(),
        requests: Vec::new(),
        closed: vec![(1, PlateState::Off)],
        reprints: vec![Reprint {
            plate: plate(2),
            request,
            version: kept.version,
            copies: vec![lost],
        }],
        ends: Vec::new(),
        notes: Vec::new(),
        outages: vec![Outage {
            printer: "Teal".to_owned(),
            from: Minute(30_000_000),
            until: Minute(30_000_500),
            reason: "came loose".to_owned(),
        }],
        program: None,
        box_code: None,
        to_look: None,
        moment: None,
        last_notes: Vec::new(),
        measured: Vec::new(),
        takes_back: None,
        stock: StockChange::default(),
        ground: GroundChange::default(),
        runs: vec![FinishedRun {
            plate: 1,
            printer: "Teal".to_owned(),
            sheet: "petg-plain".to_owned(),
            worked_out_min: 90,
            started_at: NOW,
            ended_at: EventMs(NOW.0 + 1),
            copies: 2,
            good: 1,
            whole: false,
            witnessed: true,
            by_itself: true,
            by_program: false,
        }],
        plan: Some((
            Plan {
                assignments: vec![slot(2)],
            },
            partpledge_words::said!("common-as-written", text = "plate 1 failed"),
        )),
    }
}

pub(crate) async fn a_failed_run_writes_all_of_it_once(store: &Ground) {
    let (region, given) = give_one(store).await;
    let mut ids = IdSource::seeded(31);
    let what = failure(store, region, given.request).await;
    let entry = store
        .happen(region, &what, &names(), &mut ids)
        .await
        .unwrap();
    assert_eq!(entry, Some(2), "after the pledge");
    let rows = store.rows_of_giving().await;
    let again = store
        .happen(region, &what, &names(), &mut ids)
        .await
        .unwrap();
    assert_eq!(
        (again, store.rows_of_giving().await),
        (None, rows),
        "the same deed, once"
    );
    assert!(store.has_key(region, "fail-1").await.unwrap());
    let floor = store.floor(region, &names()).await.unwrap();
    assert_eq!((floor.revision, floor.next_seq), (2, 3));
    let to_teams = BTreeMap::from([("Newt Works".to_owned(), 1)]);
    assert_eq!(floor.given, to_teams, "a reprint is no second request");
    assert_eq!((floor.plates, floor.past), (vec![plate(2)], vec![plate(1)]));
    assert_eq!(floor.plan.assignments, [slot(2)]);
    assert_eq!(
        (floor.steps, &floor.outages),
        (what.steps.clone(), &what.outages)
    );
    assert_eq!(store.outages(region).await.unwrap(), what.outages);
    for change in [
        "UPDATE finished_runs SET good = 2",
        "DELETE FROM finished_runs",
    ] {
        let refused = store.run(change).await.unwrap_err().to_string();
        assert!(refused.contains("append-only"), "{refused}");
    }
    assert_eq!(store.finished_runs(region).await.unwrap(), what.runs);
    let copies = store.copies(region, given.request).await.unwrap();
    let seen: Vec<_> = copies.iter().map(|c| (c.plate, c.state)).collect();
    assert_eq!(seen, [(1, State::Inspected), (2, State::Pledged)]);
    let events = store.events_after(region, 1).await.unwrap();
    assert_eq!((events.len(), events[0].1.kind.as_str()), (1, "run.failed"));
    assert_eq!(events[0].1.payload, r#"{"plate":[1],"reason":"loose"}"#);
    assert_eq!(store.last_entry(region).await.unwrap(), 2);
}

/// What was read before is remembered; what others have written since is seen all the same, and so
/// is a region file that lists its printers in another order.
pub(crate) async fn a_store_that_looked_before_sees_what_others_wrote_since(store: &Ground) {
    let (region, given) = give_one(store).await;
    let mut ids = IdSource::seeded(35);
    let other = store.reopened().await;
    let early = other.floor(region, &names()).await.unwrap();
    assert_eq!((early.kept.len(), early.steps.len()), (1, 0));
    let what = failure(store, region, given.request).await;
    store
        .happen(region, &what, &names(), &mut ids)
        .await
        .unwrap();
    for looked in [&other, &**store] {
        // Read twice: from the rows, then from what was remembered of them.
        for _ in 0..2 {
            let floor = looked.floor(region, &names()).await.unwrap();
            let fresh = store.reopened().await;
            assert_eq!(floor, fresh.floor(region, &names()).await.unwrap());
            assert_eq!(floor.steps, what.steps);
            assert_eq!(floor.past, [plate(1)]);
        }
    }
    let mut turned = names();
    turned.printers.reverse();
    let (ours, fresh) = (
        other.floor(region, &turned).await.unwrap(),
        store.reopened().await.floor(region, &turned).await.unwrap(),
    );
    assert_eq!(ours, fresh);
    assert_ne!(ours.kept, other.floor(region, &names()).await.unwrap().kept);
}

pub(crate) async fn what_happens_on_an_old_plan_is_stale_and_leaves_nothing(store: &Ground) {
    let (region, given) = give_one(store).await;
    let mut ids = IdSource::seeded(32);
    let what = failure(store, region, given.request).await;
    let rows = store.rows_of_giving().await;
    let old = Happening {
        revision: 0,
        ..what.clone()
    };
    let refused = store.happen(region, &old, &names(), &mut ids).await;
    assert!(matches!(
        refused.unwrap_err(),
        StoreError::Stale {
            expected: 0,
            current: 1
        }
    ));
    let still = Happening {
        revision: 0,
        plan: None,
        reprints: Vec::new(),
        ..what.clone()
    };
    let refused = store.happen(region, &still, &names(), &mut ids).await;
    assert_eq!(refused.unwrap_err().code(), "stale");
    // A step that the table does not have, at the very end of the list.
    let mut wrong = what;
    wrong.copies.push((wrong.copies[0].0, State::HandedOver));
    let refused = store.happen(region, &wrong, &names(), &mut ids).await;
    assert_eq!(refused.unwrap_err().code(), "no-such-step");
    assert_eq!(store.rows_of_giving().await, rows);
    let floor = store.floor(region, &names()).await.unwrap();
    assert!(floor.steps.is_empty() && floor.outages.is_empty());
    assert!(store.finished_runs(region).await.unwrap().is_empty());
}

pub(crate) async fn a_step_is_taken_once(store: &Ground) {
    let (region, given) = give_one(store).await;
    let mut ids = IdSource::seeded(33);
    let mut what = failure(store, region, given.request).await;
    what.copies.clear();
    what.closed.clear();
    what.reprints.clear();
    what.plan = None;
    what.runs.clear();
    what.steps.truncate(1);
    store
        .happen(region, &what, &names(), &mut ids)
        .await
        .unwrap();
    what.deed = deed(Some("another tablet"));
    let refused = store.happen(region, &what, &names(), &mut ids).await;
    assert_eq!(refused.unwrap_err().code(), "step-taken");
}

/// Plates written down before there was learning were worked out and expected alike.
pub(crate) async fn a_plate_from_before_learning_was_worked_out_as_expected(store: &Ground) {
    let (region, _) = give_one(store).await;
    let old = r#"UPDATE plates SET document = REPLACE(document, ',"worked_out":90', '')"#;
    assert_eq!(store.run(old).await.unwrap(), 1);
    let floor = store.floor(region, &names()).await.unwrap();
    assert_eq!(floor.plates, [plate(1)]);
    assert_eq!(floor.plates[0].makings[0].worked_out.0, 90);
}

pub(crate) async fn a_box_keeps_the_code_that_it_was_first_closed_with(store: &Ground) {
    let (region, given) = give_one(store).await;
    let mut ids = IdSource::seeded(43);
    let failed = failure(store, region, given.request).await;
    let closed = |key, code: &str, revision| Happening {
        kind: "box.packed",
        deed: deed(Some(key)),
        revision,
        steps: Vec::new(),
        copies: Vec::new(),
        closed: Vec::new(),
        reprints: Vec::new(),
        outages: Vec::new(),
        runs: Vec::new(),
        box_code: Some((1, code.to_owned())),
        plan: None,
        ..failed.clone()
    };
    for (key, code) in [("box-1", "KMTR7"), ("box-2", "CDFGH")] {
        let what = closed(key, code, 1);
        let written = store.happen(region, &what, &names(), &mut ids).await;
        assert!(written.unwrap().is_some());
    }
    let codes = store.box_codes(region).await.unwrap();
    assert_eq!(codes, vec![(1, "KMTR7".to_owned())]);
    let mut nothing_there = closed("box-3", "CDFGH", 1);
    nothing_there.box_code = Some((99, "CDFGH".to_owned()));
    let refused = store
        .happen(region, &nothing_there, &names(), &mut ids)
        .await;
    assert!(refused.is_err(), "no such plate");
    assert_eq!(store.box_codes(region).await.unwrap().len(), 1);
}
