//! Notes on requests: held, refused, appealed, taken down.
#![expect(clippy::unwrap_used, reason = "every function here is a test case")]

use partpledge_records::{
    Deed, Happening, NewNote, NewPledge, NewRequest, NoteKind, PledgeEnd, State, StoreError,
    StoredRequest,
};
use partpledge_units::ids::{IdSource, RegionId, RequestId};
use partpledge_units::time::EventMs;

use crate::ground::Ground;
use crate::sample::{NOW, names, pledge, region, version};

const PERSON: &str = "coordinator/0190a0c4-0000-7000-8000-000000000001";

fn deed(key: &str, after_ms: i64) -> Deed {
    Deed {
        actor: PERSON.to_owned(),
        occurred_at: EventMs(NOW.0 + after_ms),
        received_at: EventMs(NOW.0 + after_ms),
        idempotency_key: Some(key.to_owned()),
    }
}

/// A request that is held because of a guess.
async fn held(store: &Ground, ids: &mut IdSource) -> (RegionId, StoredRequest) {
    let region = region(store, ids).await;
    let guessed = NewNote {
        hints: vec!["copies: 90".to_owned()],
        ..NewNote::new(NoteKind::Held, "guessed", "")
    };
    let new = NewRequest {
        team: "Newt Works".to_owned(),
        version: version(store, region, ids).await,
        material: "PETG".to_owned(),
        copies: 2,
        need_by: None,
        process: "{}".to_owned(),
        printable: true,
        held: true,
        notes: vec![NewNote::new(NoteKind::Stated, "own", ""), guessed],
        dimensions: Vec::new(),
        replaces: None,
        counted_to: None,
    };
    let key = deed("send-1", 0);
    let (request, _) = store.receive(region, &new, &key, ids).await.unwrap();
    let again = store.receive(region, &new, &key, ids).await.unwrap();
    assert!(again.1, "sent twice, it is one request");
    (region, request)
}

async fn noted(
    store: &Ground,
    region: RegionId,
    step: (RequestId, Option<(State, State)>),
    note: &NewNote,
    deed: Deed,
) -> Result<bool, StoreError> {
    let mut ids = IdSource::seeded(64 + u64::try_from(deed.received_at.0 - NOW.0).unwrap());
    store.note(region, step, note, &deed, &mut ids).await
}

async fn kinds(store: &Ground, region: RegionId) -> Vec<NoteKind> {
    let notes = store.notes(region).await.unwrap();
    notes.iter().map(|note| note.said.kind).collect()
}

pub(crate) async fn a_held_request_has_no_answer_until_it_is_refused_or_pledged(store: &Ground) {
    let mut ids = IdSource::seeded(60);
    let (region, request) = held(store, &mut ids).await;
    assert_eq!(
        (request.state, request.first_answer_at),
        (State::HeldForReview, None)
    );
    let notes = store.notes(region).await.unwrap();
    assert_eq!(notes[0].said.reason, "own");
    assert_eq!(notes[1].said.hints, ["copies: 90"]);
    assert_eq!((notes[1].role.as_str(), notes[1].at), ("coordinator", NOW));
    let early = NewPledge {
        request: Some(request.id),
        ..pledge(request.version, 0, 1, None)
    };
    let early = store.give(region, &early, &names(), &mut ids, NOW).await;
    assert_eq!(early.unwrap_err().code(), "no-such-step", "held is held");
    let refusal = NewNote::new(NoteKind::Refused, "hurts", "The spikes.");
    let step = (request.id, Some((State::HeldForReview, State::Refused)));
    let done = noted(store, region, step, &refusal, deed("no-1", 5_000));
    assert!(done.await.unwrap());
    let appeal = NewNote::new(NoteKind::Appealed, "", "They are rubber.");
    let step = (request.id, Some((State::Refused, State::HeldForReview)));
    let done = noted(store, region, step, &appeal, deed("appeal-1", 9_000));
    assert!(done.await.unwrap());
    let found = store.request(region, request.id).await.unwrap().unwrap();
    assert_eq!(found.state, State::HeldForReview);
    assert_eq!(
        found.first_answer_at,
        Some(EventMs(NOW.0 + 5_000)),
        "the refusal was the answer, and an appeal does not undo it"
    );
    let log = store.events_after(region, 0).await.unwrap();
    let said: Vec<&str> = log.iter().map(|(_, event)| event.kind.as_str()).collect();
    assert_eq!(
        said,
        ["request.received", "request.refused", "request.appealed"]
    );
    for (_, event) in &log {
        assert!(!event.payload.contains("spikes") && !event.payload.contains("rubber"));
    }
}

pub(crate) async fn a_note_is_written_once_with_its_step_or_not_at_all(store: &Ground) {
    let mut ids = IdSource::seeded(61);
    let (region, request) = held(store, &mut ids).await;
    let passed = NewNote::new(NoteKind::Passed, "", "");
    let step = (request.id, Some((State::HeldForReview, State::Ready)));
    for first in [true, false] {
        let done = noted(store, region, step, &passed, deed("yes-1", 1));
        assert_eq!(done.await.unwrap(), first);
    }
    let late = NewNote::new(NoteKind::Refused, "unclear", "");
    let step = (request.id, Some((State::HeldForReview, State::Refused)));
    let done = noted(store, region, step, &late, deed("no-1", 2));
    assert!(matches!(
        done.await.unwrap_err(),
        StoreError::NoSuchStep {
            from: State::Ready,
            to: State::Refused
        }
    ));
    let all = [NoteKind::Stated, NoteKind::Held, NoteKind::Passed];
    assert_eq!(kinds(store, region).await, all);
    let found = store.request(region, request.id).await.unwrap().unwrap();
    assert_eq!((found.state, found.first_answer_at), (State::Ready, None));
}

pub(crate) async fn a_request_taken_down_is_never_pledged_again(store: &Ground) {
    let mut ids = IdSource::seeded(62);
    let (region, request) = held(store, &mut ids).await;
    let passed = NewNote::new(NoteKind::Passed, "", "");
    let step = (request.id, Some((State::HeldForReview, State::Ready)));
    let done = noted(store, region, step, &passed, deed("yes-1", 1));
    done.await.unwrap();
    let new = NewPledge {
        request: Some(request.id),
        ..pledge(request.version, 0, 1, None)
    };
    let given = store.give(region, &new, &names(), &mut ids, NOW).await;
    let given = given.unwrap().pledge;
    // Whoever still sees it held lets it through: the table has the step, but it was not seen so.
    let late = noted(store, region, step, &passed, deed("yes-2", 2)).await;
    assert_eq!(late.unwrap_err().code(), "no-such-step");
    let found = store.request(region, request.id).await.unwrap().unwrap();
    assert_eq!(found.state, State::Pledged, "nothing was written");
    let why = NewNote::new(NoteKind::TakenDown, "not-theirs", "x");
    let down = Happening {
        kind: "request.taken-down",
        payload: Vec::new(),
        deed: deed("down-1", 60_000),
        revision: 1,
        steps: Vec::new(),
        copies: Vec::new(),
        requests: vec![(request.id, State::Recalled)],
        closed: Vec::new(),
        reprints: Vec::new(),
        ends: vec![(given.id, PledgeEnd::Withdrawn)],
        notes: vec![(request.id, why)],
        outages: Vec::new(),
        runs: Vec::new(),
        box_code: None,
        to_look: None,
        moment: None,
        program: None,
        last_notes: Vec::new(),
        measured: Vec::new(),
        takes_back: None,
        stock: partpledge_records::StockChange::default(),
        ground: partpledge_records::GroundChange::default(),
        plan: None,
    };
    store
        .happen(region, &down, &names(), &mut ids)
        .await
        .unwrap();
    assert_eq!(
        kinds(store, region).await.last(),
        Some(&NoteKind::TakenDown)
    );
    let ends = store.pledge_ends(region).await.unwrap();
    assert_eq!(ends.len(), 1, "what became of the pledge is on record");
    let found = store.request(region, request.id).await.unwrap().unwrap();
    assert_eq!(
        (found.state, found.first_answer_at),
        (State::Recalled, Some(NOW))
    );
    let again = store.give(region, &new, &names(), &mut ids, NOW).await;
    assert!(again.unwrap().replayed, "the old pledge, which has ended");
    let back = noted(
        store,
        region,
        (request.id, Some((State::Recalled, State::Ready))),
        &passed,
        deed("b", 1),
    );
    assert_eq!(back.await.unwrap_err().code(), "no-such-step");
}

pub(crate) async fn tables_from_before_notes_are_brought_up_to_date(store: &Ground) {
    let mut ids = IdSource::seeded(63);
    let (region, request) = held(store, &mut ids).await;
    for sql in [
        "DROP TABLE request_notes",
        "ALTER TABLE person_roles DROP COLUMN until",
        "DELETE FROM schema_steps WHERE step >= 11",
    ] {
        store.run(sql).await.unwrap();
    }
    let again = store.reopened().await;
    assert!(again.notes(region).await.unwrap().is_empty(), "not asked");
    let found = again.request(region, request.id).await.unwrap().unwrap();
    assert_eq!(found.number, request.number);
}
