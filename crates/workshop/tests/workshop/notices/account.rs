//! What people are told of their own account: another way in, or one less, whoever did it.

use partpledge_records::{Backup, CodeKind, NewCode, NewPasskey, NewSignIn, Proof, TokenKind};
use partpledge_workshop::people::Asked;

use super::*;

/// A deed of somebody with their own account.
fn own_deed(world: &World, who: &Actor) -> Deed {
    Deed {
        actor: who.reference(),
        occurred_at: world.session.now,
        received_at: world.session.now,
        idempotency_key: None,
    }
}

/// Another role of somebody.
async fn another_role(world: &World, who: &Actor, held: &Held) -> Actor {
    let (store, region) = world.session.store().unwrap();
    let code = NewCode {
        kind: CodeKind::Invite,
        hash: "h-role".to_owned(),
        held: held.clone(),
        person: None,
        made_by: None,
        expires_at: None,
        uses: Some(1),
    };
    let (ids, now) = (&mut IdSource::Os, world.session.now);
    store.add_code(region, &code, ids, now).await.unwrap();
    let taker = partpledge_records::Taker::Known(who.person().unwrap());
    let which = (CodeKind::Invite, "h-role");
    store
        .take_code(region, which, &taker, ids, now)
        .await
        .unwrap();
    Actor::person_as(who.person().unwrap(), Role::of(held))
}

#[tokio::test(flavor = "multi_thread")]
async fn who_gets_a_passkey_or_another_password_is_told_so_in_each_role_and_nobody_else_is() {
    let world = World::new().await;
    let (store, region) = world.session.store().unwrap();
    let wren = world.person("Wren", RoleKind::Mentor, TEAM).await;
    let bench = Held::new(RoleKind::Operator, "brindlemoor");
    let at_bench = another_role(&world, &wren, &bench).await;
    let others = [
        world.person("Teal", RoleKind::Mentor, TEAM).await,
        world.person("Rail", RoleKind::Coordinator, "").await,
        world.person("Otter", RoleKind::Student, TEAM).await,
    ];
    let (id, deed) = (wren.person().unwrap(), own_deed(&world, &wren));
    let (ids, now) = (&mut IdSource::Os, world.session.now);
    let browser = NewSignIn {
        token_hash: "s1".to_owned(),
        person: id,
        held: Held::new(RoleKind::Mentor, TEAM),
        ends_at: EventMs(now.0 + 3_600_000),
        proof: Proof::Held,
    };
    let made_in = store.add_sign_in(region, &browser, ids, now).await.unwrap();
    let passkey = NewPasskey {
        person: id,
        made_in,
        credential: "k1".to_owned(),
        public_key: "key".to_owned(),
        counter: 0,
        backup: Backup::Never,
        name: "Laptop of Wren".to_owned(),
    };
    let added = store.add_passkey(region, &passkey, &deed, ids).await;
    assert_eq!(world.look(&world.session).await, 2, "once a role");
    let told = world.last(&wren).await;
    assert!(
        told.contains("A passkey was added to your account on Tuesday 9 March")
            && told.contains("choose a new password"),
        "when, and what to do: {told}"
    );
    assert!(!told.contains("Laptop"), "{told}");
    let shown = &world.notices(&wren).await[0].said;
    assert_eq!((shown.link.as_str(), shown.urgent), ("/account", true));
    let which = (id, added.unwrap());
    let removed = store.remove_passkey(region, which, &deed, ids).await;
    removed.unwrap();
    let other = (id, "$other");
    store.set_secret(region, other, &deed, ids).await.unwrap();
    assert_eq!(world.look(&world.session).await, 4);
    for who in [&wren, &at_bench] {
        assert_eq!(
            world.kinds(who).await,
            [
                "account.passkey-added",
                "account.passkey-removed",
                "account.password-changed",
            ]
        );
    }
    let told = world.last(&at_bench).await;
    assert!(told.contains("ask a coordinator now for a link"), "{told}");
    for other in &others {
        assert_eq!(world.kinds(other).await, [""; 0]);
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_new_token_is_told_to_its_owner_with_what_an_adult_or_a_student_does() {
    let world = World::new().await;
    let people = world.session.people(world.session.now).unwrap();
    for (kind, what_to_do) in [
        (RoleKind::Mentor, "choose a new password"),
        (RoleKind::Student, "ask your mentor for a new return code"),
    ] {
        let held = Held::new(kind, TEAM);
        let in_by = people.try_as(&Role::of(&held)).await.unwrap();
        let signed = people.signed_in(&in_by.token, Asked::BySomebody).await;
        let signed = signed.unwrap().unwrap();
        for what in [TokenKind::Api, TokenKind::Feed] {
            let made = people.make_token(&signed, (what, &held), ("board", 10));
            made.await.unwrap();
        }
        world.look(&world.session).await;
        let who = signed.actor();
        assert_eq!(
            world.kinds(&who).await,
            ["account.token-made", "account.calendar-made"]
        );
        for one in world.notices(&who).await {
            let told = one.said.says.to_string();
            assert!(told.contains(what_to_do), "{told}");
            assert!(told.contains("on Tuesday 9 March at 10:00"), "{told}");
        }
    }
}
