//! Tokens of other programs, and addresses that are told.
#![expect(clippy::unwrap_used, reason = "every function here is a test case")]

use partpledge_records::{
    DELIVERY, Event, Held, HookTry, NewPerson, NewSignIn, NewToken, PersonKind, Proof, RoleKind,
    Said, StoreError, TokenKind, delivery_of, told_of,
};
use partpledge_units::ids::{IdSource, PersonId, RegionId};

use crate::ground::Ground;
use crate::sample::{self, LATER, NOW, deed};

async fn mentor(ground: &Ground, ids: &mut IdSource) -> (RegionId, PersonId, Held) {
    let region = sample::region(ground, ids).await;
    let held = Held::new(RoleKind::Mentor, "Newt Works");
    let new = NewPerson {
        kind: PersonKind::Adult,
        name: "Wren".to_owned(),
        email: Some("wren@example.org".to_owned()),
        secret: None,
    };
    let who = (&new, &held);
    let id = ground.add_person(region, who, &deed(), ids).await.unwrap();
    (region, id, held)
}

pub(crate) async fn a_token_ends_with_its_role_and_goes_with_its_person(ground: &Ground) {
    let mut ids = IdSource::seeded(5);
    let (region, person, held) = mentor(ground, &mut ids).await;
    let browser = NewSignIn {
        token_hash: "s1".to_owned(),
        person,
        held: held.clone(),
        ends_at: LATER,
        proof: Proof::Held,
    };
    let made_in = ground.add_sign_in(region, &browser, &mut ids, NOW).await;
    let made_in = made_in.unwrap();
    let new = |hash: &str| NewToken {
        kind: TokenKind::Api,
        hash: hash.to_owned(),
        person,
        held: held.clone(),
        name: "Club board".to_owned(),
        ends_at: LATER,
        made_in,
    };
    let id = ground
        .add_token(region, &new("h1"), &deed(), &mut ids)
        .await;
    let id = id.unwrap();
    ground
        .add_token(region, &new("h2"), &deed(), &mut ids)
        .await
        .unwrap();
    let twice = ground
        .add_token(region, &new("h2"), &deed(), &mut ids)
        .await;
    assert!(twice.is_err(), "a hash is there once");
    let (who, token) = ground.token(region, "h1", NOW).await.unwrap().unwrap();
    assert_eq!(
        (who.id, token.seen_at, token.works(NOW)),
        (person, None, true)
    );
    assert!(!token.works(LATER), "over");
    ground.token_seen(region, id, LATER).await.unwrap();
    let (_, token) = ground.token(region, "h1", NOW).await.unwrap().unwrap();
    assert_eq!(token.seen_at, Some(LATER));
    let other = PersonId::fresh(&mut ids, NOW);
    let theirs = ground.stop_token(region, (other, id), NOW).await;
    assert!(matches!(theirs, Err(StoreError::NoSuch { .. })));
    ground.stop_token(region, (person, id), NOW).await.unwrap();
    let (_, token) = ground.token(region, "h1", NOW).await.unwrap().unwrap();
    assert!(!token.works(NOW), "stopped");
    assert_eq!(ground.tokens_of(region, person).await.unwrap().len(), 2);
    assert_eq!(ground.forget_tokens(region, LATER).await.unwrap(), 1);

    let which = (person, &held);
    ground
        .end_role(region, which, &deed(), &mut ids)
        .await
        .unwrap();
    assert_eq!(ground.token(region, "h2", NOW).await.unwrap(), None);
    ground
        .erase_person(region, person, &deed(), &mut ids)
        .await
        .unwrap();
    assert!(ground.tokens_of(region, person).await.unwrap().is_empty());
}

pub(crate) async fn an_entry_is_queued_once_for_each_address(ground: &Ground) {
    let mut ids = IdSource::seeded(5);
    let (region, ..) = mentor(ground, &mut ids).await;
    let kinds = ["person.left", "run.off"];
    let what = ("https://board.example/", &kinds[..], "secret");
    let id = ground.add_hook(region, what, &mut ids, NOW).await.unwrap();
    let hook = ground.hooks(region).await.unwrap().swap_remove(0);
    assert_eq!((hook.id, hook.after_entry), (id, 1), "from now on");
    assert_eq!(hook.kinds, kinds);
    let told: Vec<i64> = (2..22).collect();
    let step = (&hook, &told[..], 21);
    let queued = ground.queue_for_hook(region, step, &mut ids, NOW).await;
    assert!(queued.unwrap());
    let again = ground.queue_for_hook(region, step, &mut ids, NOW).await;
    assert!(!again.unwrap(), "another server was faster");
    let mut entries = Vec::new();
    while let Some(job) = ground.claim_job(DELIVERY, NOW, LATER).await.unwrap() {
        let (hook, entry) = delivery_of(&job.payload).unwrap();
        assert_eq!(hook, id);
        entries.push(entry);
        assert!(ground.finish_job(&job).await.unwrap());
    }
    assert_eq!(entries, told, "in the order of the log");
    let tried = HookTry {
        hook: id,
        entry: 2,
        attempt: 1,
        at: NOW,
        answer: "answered 200".to_owned(),
    };
    ground.add_hook_try(region, &tried).await.unwrap();
    assert_eq!(ground.hook_tries(region, id).await.unwrap(), [tried]);
    assert_eq!(ground.forget_hook_tries(region, LATER).await.unwrap(), 1);
    ground.stop_hook(region, id, NOW).await.unwrap();
    let hook = ground.hooks(region).await.unwrap().swap_remove(0);
    assert_eq!(hook.stopped_at, Some(NOW));
}

pub(crate) async fn free_words_of_people_are_not_told(_: &Ground) {
    let event = Event {
        kind: "run.failed".to_owned(),
        version: 1,
        payload: r#"{"plate": [7], "good": [1], "reason": "Wren forgot it", "person": "x"}"#
            .to_owned(),
        actor: "host:a/1".to_owned(),
        occurred_at: NOW,
        received_at: NOW,
        idempotency_key: None,
    };
    let told = [
        ("plate", Said::Numbers(vec![7])),
        ("good", Said::Numbers(vec![1])),
    ];
    assert_eq!(told_of(&event), told);
}
