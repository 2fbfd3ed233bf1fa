//! Giving pledges: all of it, once, or nothing.
#![expect(clippy::unwrap_used, reason = "every function here is a test case")]

use partpledge_planning_model::{Assignment, PlateSeq, PrinterIx};
use partpledge_records::{Given, NewPledge, State, StoreError};
use partpledge_units::ids::{IdSource, VersionId};
use partpledge_units::time::Minute;
use tokio::task::JoinHandle;

use crate::ground::Ground;
use crate::sample::{NOW, give_one, names, plate, pledge, region, slot, stored_region, version};

pub(crate) async fn giving_writes_all_of_it(store: &Ground) {
    let (region, given) = give_one(store).await;
    assert_eq!(
        store.pledges(region).await.unwrap(),
        std::slice::from_ref(&given)
    );
    let floor = store.floor(region, &names()).await.unwrap();
    assert_eq!((floor.revision, floor.next_seq), (1, 2));
    assert_eq!(floor.plates, [plate(1)], "to the last bit of every number");
    assert_eq!(floor.plan.assignments, [slot(1)]);
    let request = store.request(region, given.request).await.unwrap().unwrap();
    assert_eq!((request.state, request.copies), (State::Pledged, 2));
    assert_eq!(
        (request.asked_at, request.first_answer_at),
        (NOW, Some(NOW))
    );
    let copies = store.copies(region, given.request).await.unwrap();
    let seen: Vec<_> = copies
        .iter()
        .map(|c| (c.number, c.plate, c.state))
        .collect();
    assert_eq!(seen, [(1, 1, State::Pledged), (2, 1, State::Pledged)]);
    let events = store.events_after(region, 0).await.unwrap();
    assert_eq!((events.len(), events[0].0), (1, 1));
    assert_eq!(events[0].1.kind, "pledge.given");
    assert!(events[0].1.payload.contains(&given.id.to_string()));
    let revisions = store.revisions(region).await.unwrap();
    assert_eq!(
        (revisions.len(), revisions[0].revision, revisions[0].parent),
        (1, 1, 0)
    );
    for kept_for_ever in [&events[0].1.payload, &format!("{:?}", revisions[0].reason)] {
        assert!(
            !kept_for_ever.contains("Newt"),
            "people only by reference: {kept_for_ever}"
        );
    }
}

pub(crate) async fn a_key_used_twice_is_one_pledge(store: &Ground) {
    let (region, given) = give_one(store).await;
    let mut ids = IdSource::seeded(2);
    let version = version(store, region, &mut ids).await;
    let before = store.rows_of_giving().await;
    // Sent again later, by somebody who has seen the newer head.
    for revision in [0, 1] {
        let again = pledge(version, revision, 2, Some("k1"));
        let answer = store
            .give(region, &again, &names(), &mut ids, NOW)
            .await
            .unwrap();
        assert_eq!(
            answer,
            Given {
                pledge: given.clone(),
                replayed: true
            }
        );
    }
    assert_eq!(
        store.pledge_of_key(region, "k1").await.unwrap(),
        Some(given)
    );
    assert_eq!(store.pledge_of_key(region, "k2").await.unwrap(), None);
    assert_eq!(store.rows_of_giving().await, before);
}

pub(crate) async fn a_pledge_on_a_plate_that_is_there_rides_with_it(store: &Ground) {
    let (region, first) = give_one(store).await;
    let mut ids = IdSource::seeded(2);
    let version = version(store, region, &mut ids).await;
    // The plan has the plate that it joins, and no place of its own.
    let joining = NewPledge {
        joins: Some(PlateSeq(1)),
        plan: partpledge_planning_model::Plan {
            assignments: vec![slot(1)],
        },
        ..pledge(version, 1, 2, None)
    };
    let given = store
        .give(region, &joining, &names(), &mut ids, NOW)
        .await
        .unwrap();
    let floor = store.floor(region, &names()).await.unwrap();
    assert_eq!(floor.kept.len(), 2);
    assert_eq!(floor.kept[1].joins, Some(PlateSeq(1)));
    assert_eq!(floor.kept[1].request, given.pledge.request);
    let whole = &floor.plates[..];
    assert_eq!((whole.len(), whole[0].seq), (1, PlateSeq(1)));
    assert_eq!(whole[0].riders.len(), 1);
    assert_eq!(whole[0].riders[0].promise, plate(2).promise);
    assert_eq!(floor.plan.assignments, [slot(1)]);
    let copies = store.copies(region, given.pledge.request).await.unwrap();
    assert!(copies.iter().all(|copy| copy.plate == 2));
    assert_ne!(given.pledge.request, first.request);
    let nowhere = NewPledge {
        joins: Some(PlateSeq(7)),
        ..pledge(version, 2, 3, None)
    };
    let error = store.give(region, &nowhere, &names(), &mut ids, NOW).await;
    assert!(matches!(error.unwrap_err(), StoreError::NoPlace(3)));
}

pub(crate) async fn a_key_used_for_something_else_is_refused(store: &Ground) {
    let (region, _) = give_one(store).await;
    let mut ids = IdSource::seeded(2);
    let version = version(store, region, &mut ids).await;
    let before = store.rows_of_giving().await;
    let base = pledge(version, 1, 2, Some("k1"));
    let others = [
        NewPledge {
            team: "Eel Drive".to_owned(),
            ..base.clone()
        },
        NewPledge {
            material: "PLA".to_owned(),
            ..base.clone()
        },
        NewPledge {
            need_by: Some(Minute(1)),
            ..base.clone()
        },
        NewPledge { copies: 3, ..base },
    ];
    for other in others {
        let error = store
            .give(region, &other, &names(), &mut ids, NOW)
            .await
            .unwrap_err();
        assert!(matches!(error, StoreError::KeyReused(_)), "{error}");
    }
    assert_eq!(store.rows_of_giving().await, before);
}

pub(crate) async fn of_two_pledges_on_one_revision_one_is_stale_and_leaves_nothing(store: &Ground) {
    let (region, _) = give_one(store).await;
    let mut ids = IdSource::seeded(9);
    let version = version(store, region, &mut ids).await;
    let before = store.rows_of_giving().await;
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
    assert_eq!(store.rows_of_giving().await, before);
}

type Giving = JoinHandle<Result<Given, StoreError>>;

/// Eight that give at once on revision 0, each with its key; every other one in another program.
async fn eight(store: &Ground, key: impl Fn(u64) -> String) -> Vec<Giving> {
    let mut ids = IdSource::seeded(6);
    let region = region(store, &mut ids).await;
    let version = version(store, region, &mut ids).await;
    let there = store.reopened().await;
    let give = |i: u64| {
        let store = if i.is_multiple_of(2) {
            there.clone()
        } else {
            (*store).clone()
        };
        let key = key(i);
        tokio::spawn(async move {
            let new = pledge(version, 0, 1, Some(&key));
            store
                .give(region, &new, &names(), &mut IdSource::seeded(100 + i), NOW)
                .await
        })
    };
    (0..8).map(give).collect()
}

pub(crate) async fn eight_at_once_leave_one_winner(store: &Ground) {
    let (mut won, mut stale) = (0, 0);
    for giving in eight(store, |i| format!("key-{i}")).await {
        match giving.await.unwrap() {
            Ok(given) => won += i32::from(!given.replayed),
            Err(StoreError::Stale { .. }) => stale += 1,
            Err(other) => panic!("{other}"),
        }
    }
    assert_eq!((won, stale), (1, 7));
    assert_eq!(store.rows_of_giving().await, [1, 2, 1, 1, 1, 1, 1, 2, 1]);
}

pub(crate) async fn one_key_eight_times_at_once_is_one_pledge(store: &Ground) {
    let (mut pledges, mut fresh) = (Vec::new(), 0);
    for giving in eight(store, |_| "the same".to_owned()).await {
        let given = giving.await.unwrap().unwrap();
        fresh += i32::from(!given.replayed);
        pledges.push(given.pledge.id);
    }
    pledges.dedup();
    assert_eq!((pledges.len(), fresh), (1, 1));
    assert_eq!(store.rows_of_giving().await, [1, 2, 1, 1, 1, 1, 1, 2, 1]);
}

/// Quotes on what is there and gives, until it gets through.
async fn until_given(store: partpledge_records::Store, version: VersionId, seed: u64) -> Given {
    let region = store.region(None).await.unwrap().unwrap().id;
    let mut ids = IdSource::seeded(seed);
    loop {
        let floor = store.floor(region, &names()).await.unwrap();
        let mut new = pledge(version, floor.revision, floor.next_seq, None);
        new.plan = floor.plan;
        new.plan.put(slot(floor.next_seq));
        match store.give(region, &new, &names(), &mut ids, NOW).await {
            Ok(given) => return given,
            Err(StoreError::Stale { .. }) => {}
            Err(other) => panic!("{other}"),
        }
    }
}

pub(crate) async fn givers_that_quote_again_all_get_through_in_a_row(store: &Ground) {
    let mut ids = IdSource::seeded(6);
    let region = region(store, &mut ids).await;
    let version = version(store, region, &mut ids).await;
    let give = |seed| tokio::spawn(until_given((*store).clone(), version, seed));
    let tasks: Vec<_> = (0..6).map(give).collect();
    let mut revisions = Vec::new();
    for task in tasks {
        revisions.push(task.await.unwrap().pledge.plan_revision);
    }
    revisions.sort_unstable();
    assert_eq!(revisions, [1, 2, 3, 4, 5, 6]);
    let floor = store.floor(region, &names()).await.unwrap();
    let numbers: Vec<u64> = floor.plates.iter().map(|plate| plate.seq.0).collect();
    assert_eq!((numbers, floor.next_seq), (vec![1, 2, 3, 4, 5, 6], 7));
    assert_eq!(floor.plan.assignments.len(), 6);
}

pub(crate) async fn whatever_fails_on_the_way_leaves_nothing(store: &Ground) {
    let mut ids = IdSource::seeded(12);
    let region = region(store, &mut ids).await;
    let good = pledge(version(store, region, &mut ids).await, 0, 1, None);
    let mut unknown_printer = good.clone();
    unknown_printer.plates[0].makings[0].printer = PrinterIx(99); // after plan and request rows
    let mut wrong_number = good.clone();
    wrong_number.plates[0].seq = PlateSeq(5); // after the head has moved
    let mut unplaced = good.clone();
    unplaced.plan.assignments = vec![Assignment {
        plate: PlateSeq(2),
        ..slot(1)
    }];
    let unknown_version = NewPledge {
        version: VersionId::fresh(&mut ids, NOW),
        ..good.clone()
    };
    let not_a_number = NewPledge {
        probability: f64::NAN,
        ..good.clone()
    }; // the last row
    for (bad, code) in [
        (unknown_printer, "damaged"),
        (wrong_number, "plate-number"),
        (unplaced, "no-place"),
        (unknown_version, "database"),
        (not_a_number, "no-chance"),
    ] {
        let error = store
            .give(region, &bad, &names(), &mut ids, NOW)
            .await
            .unwrap_err();
        assert_eq!(error.code(), code, "{error}");
        assert_eq!(
            store.rows_of_giving().await,
            [0, 0, 0, 0, 0, 0, 0, 1, 0],
            "{code}"
        );
    }
    // The very last statement fails: a trigger as a full disk.
    store.fail_on_pledges().await;
    let error = store
        .give(region, &good, &names(), &mut ids, NOW)
        .await
        .unwrap_err();
    assert_eq!(error.code(), "database", "{error}");
    assert_eq!(store.rows_of_giving().await, [0, 0, 0, 0, 0, 0, 0, 1, 0]);
}

pub(crate) async fn nothing_is_seen_from_another_region(store: &Ground) {
    let (here, given) = give_one(store).await;
    let mut ids = IdSource::seeded(14);
    let there = store
        .add_region(&stored_region(&mut ids, "Farther Valley"), NOW)
        .await
        .unwrap()
        .id;
    assert_eq!(store.pledges(there).await.unwrap(), []);
    assert_eq!(store.pledge_of_key(there, "k1").await.unwrap(), None);
    assert_eq!(store.request(there, given.request).await.unwrap(), None);
    assert_eq!(store.copies(there, given.request).await.unwrap(), []);
    assert_eq!(store.pledge_history(there, given.id).await.unwrap(), []);
    assert_eq!(store.events_after(there, 0).await.unwrap(), []);
    assert_eq!(store.revisions(there).await.unwrap(), []);
    // The same key and the same plate number are free there; the part is not there.
    let theirs = version(store, there, &mut ids).await;
    let new = pledge(theirs, 0, 1, Some("k1"));
    assert!(
        !store
            .give(there, &new, &names(), &mut ids, NOW)
            .await
            .unwrap()
            .replayed
    );
    let ours = store.floor(here, &names()).await.unwrap();
    assert_eq!((ours.revision, ours.plates.len()), (1, 1));
    let borrowed = pledge(version(store, here, &mut ids).await, 1, 2, None);
    assert!(
        store
            .give(there, &borrowed, &names(), &mut ids, NOW)
            .await
            .is_err()
    );
}
