//! Passkeys, and the challenges before them.
#![expect(clippy::unwrap_used, reason = "every function here is a test case")]

use partpledge_records::{
    Backup, Held, NewChallenge, NewPasskey, NewPerson, NewSignIn, PersonKind, Proof, RoleKind,
    Store, StoreError,
};
use partpledge_units::ids::{IdSource, PasskeyId, PersonId, RegionId, SignInId};
use partpledge_units::time::EventMs;

use crate::ground::Ground;
use crate::sample::{self, LATER, NOW, deed};

struct Somebody {
    region: RegionId,
    id: PersonId,
    held: Held,
    sign_in: SignInId,
}

async fn somebody(ground: &Ground, kind: PersonKind) -> Somebody {
    let mut ids = IdSource::Os;
    let region = sample::region(ground, &mut IdSource::seeded(5)).await;
    let role = match kind {
        PersonKind::Adult => RoleKind::Mentor,
        PersonKind::Student => RoleKind::Student,
    };
    let held = Held::new(role, "Newt Works");
    let new = NewPerson {
        kind,
        name: "Wren".to_owned(),
        email: (kind == PersonKind::Adult).then(|| "wren@example.org".to_owned()),
        secret: None,
    };
    let deed = deed();
    let id = ground.add_person(region, (&new, &held), &deed, &mut ids);
    let id = id.await.unwrap();
    let mut somebody = Somebody {
        region,
        id,
        held,
        sign_in: SignInId::fresh(&mut ids, NOW),
    };
    somebody.sign_in = somebody.signs_in(ground, "s0", Proof::Held).await.unwrap();
    somebody
}

impl Somebody {
    async fn signs_in(
        &self,
        store: &Store,
        token: &str,
        proof: Proof,
    ) -> Result<SignInId, StoreError> {
        let new = NewSignIn {
            token_hash: token.to_owned(),
            person: self.id,
            held: self.held.clone(),
            ends_at: LATER,
            proof,
        };
        let ids = &mut IdSource::Os;
        store.add_sign_in(self.region, &new, ids, LATER).await
    }

    async fn adds(&self, store: &Store, credential: &str) -> Result<PasskeyId, StoreError> {
        let new = NewPasskey {
            person: self.id,
            made_in: self.sign_in,
            credential: credential.to_owned(),
            public_key: "key".to_owned(),
            counter: 0,
            backup: Backup::Possible,
            name: "School laptop".to_owned(),
        };
        let ids = &mut IdSource::Os;
        store.add_passkey(self.region, &new, &deed(), ids).await
    }
}

fn by(id: PasskeyId, counter: u32) -> Proof {
    Proof::Passkey {
        id,
        counter,
        backup: Backup::Done,
    }
}

fn no_such(error: &StoreError) -> bool {
    matches!(error, StoreError::NoSuch { .. })
}

pub(crate) async fn a_challenge_is_taken_once_by_whichever_server(ground: &Ground) {
    let Somebody {
        region, sign_in, ..
    } = somebody(ground, PersonKind::Adult).await;
    let other = ground.reopened().await;
    let given = async |challenge: &str, sign_in: Option<SignInId>| {
        let new = NewChallenge {
            challenge: challenge.to_owned(),
            sign_in,
            state: format!("of {challenge}"),
            expires_at: LATER,
        };
        ground.add_challenge(region, &new, NOW).await.unwrap();
    };
    given("c1", None).await;
    let take = |i: usize| {
        let store: Store = if i.is_multiple_of(2) {
            (**ground).clone()
        } else {
            other.clone()
        };
        tokio::spawn(async move { store.take_challenge(region, ("c1", None), NOW).await })
    };
    let tasks: Vec<_> = (0..8).map(take).collect();
    let mut taken = Vec::new();
    for task in tasks {
        taken.extend(task.await.unwrap().unwrap());
    }
    assert_eq!(taken, ["of c1"]);
    let take = async |challenge: &str, sign_in: Option<SignInId>, now: EventMs| {
        other
            .take_challenge(region, (challenge, sign_in), now)
            .await
            .unwrap()
    };
    given("c2", None).await;
    assert_eq!(take("c2", None, LATER).await, None, "over");
    assert_eq!(take("c2", None, NOW).await, None, "and gone with that");
    given("c3", Some(sign_in)).await;
    assert_eq!(
        take("c3", None, NOW).await,
        None,
        "given for something else"
    );
    given("c4", Some(sign_in)).await;
    given("c5", Some(sign_in)).await;
    assert_eq!(take("c4", Some(sign_in), NOW).await, None, "asked anew");
    assert_eq!(
        take("c5", Some(sign_in), NOW).await.as_deref(),
        Some("of c5")
    );
    given("c6", None).await;
    assert_eq!(ground.forget_challenges(region, NOW).await.unwrap(), 0);
    assert_eq!(ground.forget_challenges(region, LATER).await.unwrap(), 1);
}

pub(crate) async fn a_passkey_lets_in_while_it_is_there_and_its_counter_goes_up(ground: &Ground) {
    let wren = somebody(ground, PersonKind::Adult).await;
    let (region, person) = (wren.region, wren.id);
    let id = wren.adds(ground, "k1").await.unwrap();
    let twice = wren.adds(ground, "k1").await.unwrap_err();
    assert!(matches!(twice, StoreError::Taken { what: "passkey" }));
    let (whose, kept) = ground.passkey(region, "k1").await.unwrap().unwrap();
    assert_eq!((whose.id, kept.used_at), (person, None));
    assert_eq!((kept.counter, kept.backup), (0, Backup::Possible));
    wren.signs_in(ground, "s1", by(id, 0)).await.unwrap();
    wren.signs_in(ground, "s2", by(id, 0)).await.unwrap();
    wren.signs_in(ground, "s3", by(id, 7)).await.unwrap();
    for low in [0, 6, 7] {
        let late = wren.signs_in(ground, "s4", by(id, low)).await;
        assert!(no_such(&late.unwrap_err()), "{low} after 7");
    }
    let (_, kept) = ground.passkey(region, "k1").await.unwrap().unwrap();
    assert_eq!((kept.counter, kept.backup), (7, Backup::Done));
    assert_eq!(kept.used_at, Some(LATER));
    assert!(ground.sign_in(region, "s4", NOW).await.unwrap().is_none());
    let other = PersonId::fresh(&mut IdSource::Os, NOW);
    let ids = &mut IdSource::Os;
    let removed = async |who, ids: &mut IdSource| {
        let done = ground.remove_passkey(region, (who, id), &deed(), ids).await;
        let told = ground
            .events_of_kind(region, "account.passkey-removed")
            .await;
        (done, told.unwrap().len())
    };
    let (not_theirs, told) = removed(other, ids).await;
    assert!(no_such(&not_theirs.unwrap_err()) && told == 0);
    let (theirs, told) = removed(person, ids).await;
    theirs.unwrap();
    assert_eq!(told, 1);
    let gone = wren.signs_in(ground, "s5", by(id, 8)).await;
    assert!(no_such(&gone.unwrap_err()));
}

pub(crate) async fn a_student_has_no_passkey(ground: &Ground) {
    let otter = somebody(ground, PersonKind::Student).await;
    assert!(no_such(&otter.adds(ground, "k1").await.unwrap_err()));
}

pub(crate) async fn passkeys_go_with_signing_out_everywhere_and_with_their_person(ground: &Ground) {
    let wren = somebody(ground, PersonKind::Adult).await;
    let (region, person) = (wren.region, wren.id);
    let given = async |challenge: &str| {
        let new = NewChallenge {
            challenge: challenge.to_owned(),
            sign_in: Some(wren.sign_in),
            state: String::new(),
            expires_at: LATER,
        };
        ground.add_challenge(region, &new, NOW).await.unwrap();
    };
    let taken = async |challenge: &str| {
        let which = (challenge, Some(wren.sign_in));
        ground.take_challenge(region, which, NOW).await.unwrap()
    };
    let id = wren.adds(ground, "k1").await.unwrap();
    given("c1").await;
    ground
        .end_sign_ins(region, person, Some(wren.sign_in), NOW)
        .await
        .unwrap();
    assert!(ground.passkeys_of(region, person).await.unwrap().is_empty());
    let by_old = wren.signs_in(ground, "s1", by(id, 1)).await;
    assert!(no_such(&by_old.unwrap_err()), "looked at before");
    assert_eq!(taken("c1").await, None, "about to be added before");
    wren.adds(ground, "k2").await.unwrap();
    given("c2").await;
    let ids = &mut IdSource::Os;
    ground
        .erase_person(region, person, &deed(), ids)
        .await
        .unwrap();
    assert!(ground.passkey(region, "k2").await.unwrap().is_none());
    assert!(ground.passkeys_of(region, person).await.unwrap().is_empty());
    assert_eq!(taken("c2").await, None);
    let late = wren.adds(ground, "k3").await;
    assert!(no_such(&late.unwrap_err()), "the sign-in is over");
}
