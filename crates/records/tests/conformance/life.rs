//! Steps of life, ends of pledges, and the log of both.
#![expect(clippy::unwrap_used, reason = "every function here is a test case")]

use partpledge_records::{Deed, PledgeEnd, PledgeKind, State, StoreError};
use partpledge_units::ids::{CopyId, IdSource, PledgeId};
use partpledge_units::time::EventMs;

use crate::ground::Ground;
use crate::sample::{NOW, give_one};

fn deed(key: Option<&str>) -> Deed {
    Deed {
        actor: "local".to_owned(),
        occurred_at: EventMs(NOW.0 + 1),
        received_at: EventMs(NOW.0 + 60_000),
        idempotency_key: key.map(str::to_owned),
    }
}

pub(crate) async fn a_copy_and_a_request_step_as_the_table_says(store: &Ground) {
    let (region, given) = give_one(store).await;
    let mut ids = IdSource::seeded(20);
    let copy = store.copies(region, given.request).await.unwrap()[0].id;
    for to in [State::OnAPlate, State::Running] {
        assert!(
            store
                .step_copy(region, copy, to, &deed(None), &mut ids)
                .await
                .unwrap()
        );
    }
    let copies = store.copies(region, given.request).await.unwrap();
    assert_eq!(
        (copies[0].state, copies[1].state),
        (State::Running, State::Pledged)
    );
    let before = store.rows_of_giving().await;
    let skip = store
        .step_copy(region, copy, State::Boxed, &deed(None), &mut ids)
        .await;
    let skipped = matches!(
        skip.unwrap_err(),
        StoreError::NoSuchStep {
            from: State::Running,
            to: State::Boxed
        }
    );
    assert!(skipped);
    let unknown = CopyId::fresh(&mut ids, NOW);
    let error = store
        .step_copy(region, unknown, State::Running, &deed(None), &mut ids)
        .await;
    assert_eq!(error.unwrap_err().code(), "no-such");
    assert_eq!(
        store.rows_of_giving().await,
        before,
        "no event of what did not happen"
    );
    let to = State::Withdrawn;
    assert!(
        store
            .step_request(region, given.request, to, &deed(None), &mut ids)
            .await
            .unwrap()
    );
    assert_eq!(
        store
            .request(region, given.request)
            .await
            .unwrap()
            .unwrap()
            .state,
        to
    );
    let events = store.events_after(region, 1).await.unwrap();
    let kinds: Vec<&str> = events
        .iter()
        .map(|(_, event)| event.kind.as_str())
        .collect();
    assert_eq!(kinds, ["copy.stepped", "copy.stepped", "request.stepped"]);
    assert!(
        events[1].1.payload.contains(r#""from":"on a plate""#),
        "{}",
        events[1].1.payload
    );
    assert_eq!(events[1].1.received_at, deed(None).received_at);
}

pub(crate) async fn a_deed_sent_twice_is_done_once(store: &Ground) {
    let (region, given) = give_one(store).await;
    let mut ids = IdSource::seeded(21);
    let copy = store.copies(region, given.request).await.unwrap()[0].id;
    let noted = deed(Some("tablet-7"));
    assert!(
        store
            .step_copy(region, copy, State::OnAPlate, &noted, &mut ids)
            .await
            .unwrap()
    );
    assert!(
        store
            .step_copy(region, copy, State::Running, &deed(None), &mut ids)
            .await
            .unwrap()
    );
    let before = store.rows_of_giving().await;
    // The tablet is online again and sends what it has not heard of; the copy has moved on.
    assert!(
        !store
            .step_copy(region, copy, State::OnAPlate, &noted, &mut ids)
            .await
            .unwrap()
    );
    assert_eq!(store.rows_of_giving().await, before);
    let (_, event) = store.events_after(region, 1).await.unwrap().remove(0);
    assert_eq!(event.idempotency_key.as_deref(), Some("tablet-7"));
}

pub(crate) async fn a_pledge_ends_once_and_what_was_given_stays(store: &Ground) {
    let (region, given) = give_one(store).await;
    let mut ids = IdSource::seeded(22);
    let noted = deed(Some("handed"));
    let kept = PledgeEnd::Kept;
    assert!(
        store
            .end_pledge(region, given.id, kept, &noted, &mut ids)
            .await
            .unwrap()
    );
    assert!(
        !store
            .end_pledge(region, given.id, kept, &noted, &mut ids)
            .await
            .unwrap()
    );
    for end in [PledgeEnd::Kept, PledgeEnd::Broken] {
        let error = store
            .end_pledge(region, given.id, end, &deed(None), &mut ids)
            .await;
        assert!(
            matches!(error.unwrap_err(), StoreError::PledgeEnded { ended, .. } if ended == "kept")
        );
    }
    let history = store.pledge_history(region, given.id).await.unwrap();
    let kinds: Vec<PledgeKind> = history.iter().map(|entry| entry.kind).collect();
    assert_eq!(kinds, [PledgeKind::Given, PledgeKind::Kept]);
    assert_eq!(
        (history[0].recorded_at, history[1].recorded_at),
        (NOW, noted.received_at)
    );
    assert_eq!(store.pledges(region).await.unwrap(), [given]);
    let unknown = PledgeId::fresh(&mut ids, NOW);
    let error = store
        .end_pledge(region, unknown, kept, &deed(None), &mut ids)
        .await;
    assert_eq!(error.unwrap_err().code(), "no-such");
}

pub(crate) async fn entries_are_numbered_without_gaps_however_many_write(store: &Ground) {
    let (region, given) = give_one(store).await;
    let copies = store.copies(region, given.request).await.unwrap();
    let step = |i: usize| {
        let (store, copy) = ((*store).clone(), copies[i % 2].id);
        tokio::spawn(async move {
            let mut ids = IdSource::seeded(u64::try_from(i).unwrap() + 50);
            store
                .step_copy(region, copy, State::OnAPlate, &deed(None), &mut ids)
                .await
        })
    };
    let tasks: Vec<_> = (0..8).map(step).collect();
    let mut done = 0;
    for task in tasks {
        match task.await.unwrap() {
            Ok(stepped) => done += i32::from(stepped),
            Err(StoreError::NoSuchStep { .. }) => {}
            Err(other) => panic!("{other}"),
        }
    }
    assert_eq!(done, 2, "each copy steps once");
    let events = store.events_after(region, 0).await.unwrap();
    let entries: Vec<i64> = events.iter().map(|(entry, _)| *entry).collect();
    assert_eq!(entries, [1, 2, 3]);
}
