//! Persons, sign-ins, codes and counted tries.
#![expect(clippy::unwrap_used, reason = "every function here is a test case")]

use partpledge_records::{
    CodeKind, Held, NewCode, NewPerson, NewSignIn, NewToken, PersonKind, Proof, RoleKind, Store,
    StoreError, Taker, TokenKind,
};
use partpledge_units::ids::{IdSource, PersonId, RegionId, SignInId, TokenId};
use partpledge_units::time::EventMs;

use crate::ground::Ground;
use crate::sample::{self, LATER, NOW, deed};

const AFTER: EventMs = EventMs(LATER.0 + 1_000);

fn student(name: &str) -> NewPerson {
    NewPerson {
        kind: PersonKind::Student,
        name: name.to_owned(),
        email: None,
        secret: None,
    }
}

fn adult(email: &str) -> NewPerson {
    NewPerson {
        kind: PersonKind::Adult,
        name: "Wren".to_owned(),
        email: Some(email.to_owned()),
        secret: Some("$secret".to_owned()),
    }
}

fn of_newts() -> Held {
    Held::new(RoleKind::Student, "Newt Works")
}

async fn region(store: &Store) -> (RegionId, IdSource) {
    let mut ids = IdSource::seeded(5);
    let region = sample::region(store, &mut ids).await;
    (region, ids)
}

async fn signed_in(
    store: &Store,
    region: RegionId,
    person: PersonId,
    held: &Held,
    token: &str,
) -> SignInId {
    let new = sign_in(person, held, (token, Proof::Held));
    let ids = &mut IdSource::Os;
    let made = store.add_sign_in(region, &new, ids, NOW);
    made.await.unwrap()
}

fn sign_in(person: PersonId, held: &Held, (token, proof): (&str, Proof)) -> NewSignIn {
    NewSignIn {
        token_hash: token.to_owned(),
        person,
        held: held.clone(),
        ends_at: LATER,
        proof,
    }
}

fn code(kind: CodeKind, hash: &str, held: &Held) -> NewCode {
    NewCode {
        kind,
        hash: hash.to_owned(),
        held: held.clone(),
        person: None,
        made_by: None,
        expires_at: Some(LATER),
        uses: Some(2),
    }
}

fn no_such(error: &StoreError) -> bool {
    matches!(error, StoreError::NoSuch { .. })
}

pub(crate) async fn an_erased_person_leaves_an_id_and_nothing_else(ground: &Ground) {
    let (region, mut ids) = region(ground).await;
    let held = Held::new(RoleKind::Mentor, "Newt Works");
    let who = (&adult("wren@example.org"), &held);
    let id = ground
        .add_person(region, who, &deed(), &mut ids)
        .await
        .unwrap();
    signed_in(ground, region, id, &held, "t1").await;
    let own = NewCode {
        person: Some(id),
        ..code(CodeKind::Reset, "r1", &held)
    };
    ground.add_code(region, &own, &mut ids, NOW).await.unwrap();
    let people = ground.people(region).await.unwrap();
    assert_eq!(people[0].1, std::slice::from_ref(&held));
    ground
        .erase_person(region, id, &deed(), &mut ids)
        .await
        .unwrap();
    let left = ground.person(region, id).await.unwrap().unwrap();
    assert_eq!(
        (left.name.as_str(), left.email, left.secret, left.left_at),
        ("", None, None, Some(NOW))
    );
    assert!(ground.sign_in(region, "t1", NOW).await.unwrap().is_none());
    assert!(ground.roles_of(region, id).await.unwrap().is_empty());
    assert!(
        ground
            .codes(region, CodeKind::Reset)
            .await
            .unwrap()
            .is_empty()
    );
    assert!(ground.people(region).await.unwrap().is_empty());
    assert_eq!(ground.people_left(region).await.unwrap(), 1);
    let again = ground.erase_person(region, id, &deed(), &mut ids).await;
    assert!(no_such(&again.unwrap_err()));
    let log = ground.events_after(region, 0).await.unwrap();
    let kinds: Vec<&str> = log.iter().map(|(_, event)| event.kind.as_str()).collect();
    assert_eq!(kinds, ["person.joined", "person.left"]);
    for (_, event) in &log {
        let all = format!("{}{}", event.payload, event.actor);
        assert!(!all.contains("Wren") && !all.contains("wren@"), "{all}");
    }
    // The address is free again.
    ground
        .add_person(region, who, &deed(), &mut ids)
        .await
        .unwrap();
}

pub(crate) async fn an_address_is_had_once_and_a_nickname_once_a_team(ground: &Ground) {
    let (region, mut ids) = region(ground).await;
    let mut add = async |new: &NewPerson, held: &Held| {
        ground
            .add_person(region, (new, held), &deed(), &mut ids)
            .await
    };
    let operator = Held::new(RoleKind::Operator, "brindlemoor");
    add(&adult("a@example.org"), &operator).await.unwrap();
    let twice = add(&adult("a@example.org"), &operator).await.unwrap_err();
    assert!(matches!(twice, StoreError::Taken { what: "email" }));
    add(&student("Otter"), &of_newts()).await.unwrap();
    let twice = add(&student("oTTer"), &of_newts()).await.unwrap_err();
    assert!(matches!(twice, StoreError::Taken { what: "nickname" }));
    let others = Held::new(RoleKind::Student, "Bogwheel");
    add(&student("Otter"), &others).await.unwrap();
    assert_eq!(ground.holders(region, RoleKind::Student).await.unwrap(), 2);
}

pub(crate) async fn a_code_works_as_often_as_it_says_and_not_after_its_end(ground: &Ground) {
    let (region, mut ids) = region(ground).await;
    let join = code(CodeKind::Join, "j1", &of_newts());
    let id = ground.add_code(region, &join, &mut ids, NOW).await.unwrap();
    let mut take = async |name: &str, kind: CodeKind, hash: &str, now: EventMs| {
        let taker = Taker::New(student(name));
        ground
            .take_code(region, (kind, hash), &taker, &mut ids, now)
            .await
    };
    assert!(no_such(
        &take("A", CodeKind::Invite, "j1", NOW).await.unwrap_err()
    ));
    assert!(no_such(
        &take("A", CodeKind::Join, "j2", NOW).await.unwrap_err()
    ));
    assert!(no_such(
        &take("A", CodeKind::Join, "j1", LATER).await.unwrap_err()
    ));
    let (_, held) = take("A", CodeKind::Join, "j1", NOW).await.unwrap();
    assert_eq!(held, of_newts());
    let twice = take("a", CodeKind::Join, "j1", NOW).await.unwrap_err();
    assert!(
        matches!(twice, StoreError::Taken { .. }),
        "and is not used up by that"
    );
    take("B", CodeKind::Join, "j1", NOW).await.unwrap();
    assert!(no_such(
        &take("C", CodeKind::Join, "j1", NOW).await.unwrap_err()
    ));
    ground.stop_code(region, id, NOW).await.unwrap();
    let kept = ground.code_by_id(region, id).await.unwrap().unwrap();
    assert_eq!((kept.stopped_at, kept.uses_left), (Some(NOW), Some(0)));
    assert_eq!(ground.forget_codes(region, LATER).await.unwrap(), 1);
}

pub(crate) async fn of_eight_that_take_the_last_use_at_once_one_gets_it(ground: &Ground) {
    let (region, mut ids) = region(ground).await;
    let once = NewCode {
        uses: Some(1),
        ..code(CodeKind::Join, "j1", &of_newts())
    };
    ground.add_code(region, &once, &mut ids, NOW).await.unwrap();
    let take = |i: u64| {
        let store: Store = (**ground).clone();
        tokio::spawn(async move {
            let taker = Taker::New(student(&format!("S{i}")));
            let mut ids = IdSource::seeded(i);
            let which = (CodeKind::Join, "j1");
            store.take_code(region, which, &taker, &mut ids, NOW).await
        })
    };
    let tasks: Vec<_> = (10..18).map(take).collect();
    let mut taken = 0;
    for task in tasks {
        taken += usize::from(task.await.unwrap().is_ok());
    }
    assert_eq!(taken, 1);
    assert_eq!(ground.people(region).await.unwrap().len(), 1);
}

pub(crate) async fn one_reset_link_counts_and_it_counts_once(ground: &Ground) {
    let (region, mut ids) = region(ground).await;
    let held = Held::new(RoleKind::Coordinator, "");
    let who = (&adult("c@example.org"), &held);
    let id = ground
        .add_person(region, who, &deed(), &mut ids)
        .await
        .unwrap();
    for hash in ["r1", "r2"] {
        let reset = NewCode {
            person: Some(id),
            uses: Some(1),
            ..code(CodeKind::Reset, hash, &held)
        };
        ground
            .add_code(region, &reset, &mut ids, NOW)
            .await
            .unwrap();
    }
    let old = ground
        .take_reset(region, ("r1", "$new"), &mut ids, NOW)
        .await;
    assert!(no_such(&old.unwrap_err()), "the second took its place");
    assert_eq!(
        ground
            .take_reset(region, ("r2", "$new"), &mut ids, NOW)
            .await
            .unwrap(),
        id
    );
    let twice = ground.take_reset(region, ("r2", "$x"), &mut ids, NOW).await;
    assert!(twice.is_err());
    // Whose password it is now is told in the log, without a word of theirs; a link that is over is not.
    let told = ground
        .events_of_kind(region, "account.password-changed")
        .await;
    let told = told.unwrap();
    let [(_, event)] = told.as_slice() else {
        panic!("once: {told:?}");
    };
    assert_eq!(event.text("person"), Some(id.to_string()));
    assert_eq!(event.actor, format!("code/{id}"));
    let kept = ground
        .person_by_email(region, "c@example.org")
        .await
        .unwrap();
    assert_eq!(kept.unwrap().secret.as_deref(), Some("$new"));
}

pub(crate) async fn a_sign_in_ends_with_the_role_that_is_worn(ground: &Ground) {
    let (region, mut ids) = region(ground).await;
    let mentor = Held::new(RoleKind::Mentor, "Newt Works");
    let who = (&adult("m@example.org"), &mentor);
    let id = ground
        .add_person(region, who, &deed(), &mut ids)
        .await
        .unwrap();
    signed_in(ground, region, id, &mentor, "t1").await;
    signed_in(ground, region, id, &mentor, "t2").await;
    let (person, first) = ground.sign_in(region, "t1", NOW).await.unwrap().unwrap();
    assert_eq!(
        (person.id, &first.held, first.ends_at),
        (id, &mentor, LATER)
    );
    let operator = Held::new(RoleKind::Operator, "brindlemoor");
    let not_held = ground
        .wear(region, (first.id, NOW), &operator)
        .await
        .unwrap_err();
    assert!(no_such(&not_held));
    let invite = code(CodeKind::Invite, "i1", &operator);
    ground
        .add_code(region, &invite, &mut ids, NOW)
        .await
        .unwrap();
    let which = (CodeKind::Invite, "i1");
    let taker = Taker::Known(id);
    let taken = ground.take_code(region, which, &taker, &mut ids, NOW).await;
    assert_eq!(taken.unwrap(), (id, operator.clone()));
    ground
        .wear(region, (first.id, NOW), &operator)
        .await
        .unwrap();
    ground
        .end_role(region, (id, &operator), &deed(), &mut ids)
        .await
        .unwrap();
    assert!(ground.sign_in(region, "t1", NOW).await.unwrap().is_none());
    let (_, second) = ground.sign_in(region, "t2", NOW).await.unwrap().unwrap();
    ground.seen(region, second.id, LATER).await.unwrap();
    assert_eq!(
        ground.sign_ins_of(region, id).await.unwrap()[0].seen_at,
        LATER
    );
    signed_in(ground, region, id, &mentor, "t3").await;
    ground.end_sign_in(region, (id, second.id)).await.unwrap();
    assert!(ground.end_sign_in(region, (id, second.id)).await.is_err());
    assert_eq!(ground.end_sign_ins(region, id, None, NOW).await.unwrap(), 1);
    assert_eq!(ground.forget_sign_ins(region, LATER).await.unwrap(), 0);
}

pub(crate) async fn a_role_given_again_lets_in_no_program_and_no_browser_of_before(
    ground: &Ground,
) {
    let (region, mut ids) = region(ground).await;
    let held = Held::new(RoleKind::Operator, "brindlemoor");
    let mentor = Held::new(RoleKind::Mentor, "Newt Works");
    let who = (&adult("o@example.org"), &held);
    let id = ground
        .add_person(region, who, &deed(), &mut ids)
        .await
        .unwrap();
    let mut given = async |held: &Held, hash: &str| {
        let invite = code(CodeKind::Invite, hash, held);
        ground
            .add_code(region, &invite, &mut IdSource::Os, NOW)
            .await
            .unwrap();
        let (which, taker) = ((CodeKind::Invite, hash), Taker::Known(id));
        let taken = ground.take_code(region, which, &taker, &mut ids, NOW).await;
        taken.unwrap();
    };
    given(&mentor, "i1").await;
    for (held, hash) in [(&held, "old"), (&mentor, "other")] {
        let made_in = signed_in(ground, region, id, held, hash).await;
        let token = NewToken {
            kind: TokenKind::Api,
            hash: hash.to_owned(),
            person: id,
            held: held.clone(),
            name: "board".to_owned(),
            ends_at: LATER,
            made_in,
        };
        ground
            .add_token(region, &token, &deed(), &mut IdSource::Os)
            .await
            .unwrap();
    }
    ground
        .end_role(region, (id, &held), &deed(), &mut IdSource::Os)
        .await
        .unwrap();
    given(&held, "i2").await;
    let works = async |hash: &str| {
        let token = ground.token(region, hash, NOW).await.unwrap();
        let token = token.is_some_and(|(_, token)| token.works(NOW));
        (
            token,
            ground.sign_in(region, hash, NOW).await.unwrap().is_some(),
        )
    };
    assert_eq!(works("old").await, (false, false));
    assert_eq!(works("other").await, (true, true), "another role stays");
}

async fn another_secret(ground: &Ground, region: RegionId, id: PersonId) -> Result<(), StoreError> {
    let (deed, ids) = (deed(), &mut IdSource::Os);
    ground.set_secret(region, (id, "$other"), &deed, ids).await
}

async fn made(ground: &Ground, region: RegionId, token: &NewToken) -> Result<TokenId, StoreError> {
    let ids = &mut IdSource::Os;
    ground.add_token(region, token, &deed(), ids).await
}

/// Password, code and sign-in were looked at, then somebody is signed out everywhere, then what was
/// begun goes on: nothing of it lets anybody in.
pub(crate) async fn who_is_signed_out_everywhere_gets_in_by_nothing_looked_at_before(
    ground: &Ground,
) {
    let (region, mut ids) = region(ground).await;
    let held = Held::new(RoleKind::Mentor, "Newt Works");
    let who = (&adult("p@example.org"), &held);
    let id = ground.add_person(region, who, &deed(), &mut ids).await;
    let id = id.unwrap();
    let added = async |hash: &str, proof: Proof| {
        let new = sign_in(id, &held, (hash, proof));
        let ids = &mut IdSource::Os;
        ground.add_sign_in(region, &new, ids, NOW).await
    };
    let no = |error: &StoreError| {
        matches!(
            error,
            StoreError::NoSuch {
                what: "sign-in",
                ..
            }
        )
    };
    let made_in = added("s1", Proof::Secret("$secret".to_owned()))
        .await
        .unwrap();
    let own = NewCode {
        person: Some(id),
        ..code(CodeKind::Return, "r1", &held)
    };
    ground.add_code(region, &own, &mut ids, NOW).await.unwrap();
    added("s2", Proof::Code("r1".to_owned())).await.unwrap();
    let token = |hash: &str| NewToken {
        kind: TokenKind::Api,
        hash: hash.to_owned(),
        person: id,
        held: held.clone(),
        name: "board".to_owned(),
        ends_at: LATER,
        made_in,
    };
    let (one, two) = (token("t1"), token("t2"));
    made(ground, region, &one).await.unwrap();
    // Another password, another code of one's own, out everywhere.
    another_secret(ground, region, id).await.unwrap();
    let fresh = NewCode {
        hash: "r2".to_owned(),
        ..own
    };
    ground
        .add_code(region, &fresh, &mut ids, NOW)
        .await
        .unwrap();
    ground.end_sign_ins(region, id, None, NOW).await.unwrap();
    let by_secret = added("s3", Proof::Secret("$secret".to_owned())).await;
    assert!(no(&by_secret.unwrap_err()), "the password of before");
    let by_code = added("s4", Proof::Code("r1".to_owned())).await;
    assert!(no(&by_code.unwrap_err()), "the code of before");
    let late = made(ground, region, &two).await;
    assert!(no(&late.unwrap_err()), "made in a sign-in that is over");
    let (_, stopped) = ground.token(region, "t1", NOW).await.unwrap().unwrap();
    assert!(!stopped.works(NOW) && ground.token(region, "t2", NOW).await.unwrap().is_none());
    assert!(ground.sign_ins_of(region, id).await.unwrap().is_empty());
    added("s5", Proof::Secret("$other".to_owned()))
        .await
        .unwrap();
    added("s6", Proof::Code("r2".to_owned())).await.unwrap();
    ground
        .erase_person(region, id, &deed(), &mut ids)
        .await
        .unwrap();
    assert!(no(&added("s7", Proof::Held).await.unwrap_err()), "erased");
}

pub(crate) async fn of_two_coordinators_who_end_each_other_at_once_one_stays(ground: &Ground) {
    let (region, mut ids) = region(ground).await;
    let held = Held::new(RoleKind::Coordinator, "");
    let mut there = Vec::new();
    for round in 0..8 {
        while there.len() < 2 {
            let new = adult(&format!("{round}{}@example.org", there.len()));
            let who = (&new, &held);
            let added = ground.add_person(region, who, &deed(), &mut ids).await;
            there.push(added.unwrap());
        }
        let end = |id: PersonId, erase: bool| {
            let (store, held): (Store, Held) = ((**ground).clone(), held.clone());
            tokio::spawn(async move {
                let ids = &mut IdSource::Os;
                if erase {
                    store.erase_person(region, id, &deed(), ids).await
                } else {
                    store.end_role(region, (id, &held), &deed(), ids).await
                }
            })
        };
        let tasks = [end(there[0], round % 2 == 0), end(there[1], false)];
        let mut stay = Vec::new();
        for (task, id) in tasks.into_iter().zip(there) {
            if let Err(error) = task.await.unwrap() {
                assert!(matches!(error, StoreError::LastCoordinator), "{error}");
                stay.push(id);
            }
        }
        assert_eq!(stay.len(), 1, "in round {round}");
        assert_eq!(
            ground.holders(region, RoleKind::Coordinator).await.unwrap(),
            1
        );
        let roles = ground.roles_of(region, stay[0]).await.unwrap();
        assert_eq!(
            roles,
            std::slice::from_ref(&held),
            "who was refused keeps all"
        );
        there = stay;
    }
}

pub(crate) async fn tries_are_counted_by_all_servers_and_forgotten(ground: &Ground) {
    let (region, _) = region(ground).await;
    let buckets = [("b1".to_owned(), 2, LATER), ("b2".to_owned(), 9, AFTER)];
    let other = ground.reopened().await;
    let full = async |store: &Store| store.count_try(region, &buckets, NOW).await.unwrap();
    assert_eq!(full(ground).await, None);
    assert_eq!(full(&other).await, None);
    assert_eq!(
        full(ground).await,
        Some(LATER),
        "the end of the one that is full"
    );
    ground.forgive_try(region, &buckets).await.unwrap();
    ground.forgive_try(region, &buckets).await.unwrap();
    assert_eq!(full(&other).await, None);
    for _ in 0..9 {
        full(ground).await;
    }
    assert_eq!(
        full(ground).await,
        Some(AFTER),
        "the end of the last that is full"
    );
    assert_eq!(ground.daily_salt(region, 5, "s5").await.unwrap(), "s5");
    assert_eq!(other.daily_salt(region, 5, "x").await.unwrap(), "s5");
    assert_eq!(other.daily_salt(region, 6, "s6").await.unwrap(), "s6");
    let over = EventMs(AFTER.0 + 1);
    assert_eq!(ground.forget_tries(region, over, 7).await.unwrap(), 0);
}
