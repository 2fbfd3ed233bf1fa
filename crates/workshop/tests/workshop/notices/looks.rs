//! What one look of the server at the log tells, and what it leaves for the next.

use partpledge_records::StepKind;
use partpledge_workshop::bench::take_back;

use super::*;

const DAY_MS: i64 = 24 * 3_600_000;

#[tokio::test(flavor = "multi_thread")]
async fn books_older_than_what_was_told_last_tell_nothing_and_take_nothing_back() {
    let world = World::new().await;
    let mate = world.person("Heron", RoleKind::Student, TEAM).await;
    let old = world.books().await;
    world
        .send(&Actor::new(Role::Team(TEAM.to_owned())), 0, "send-00001")
        .await;
    world.look(&world.session).await;
    let (store, region) = world.session.store().unwrap();
    let told = store.told(region).await.unwrap();
    let clock = Actor::new(Role::Clock);
    let outcomes = outcomes(&world.session, &old);
    let written = look(&world.session, &clock, &old, &outcomes).await;
    assert_eq!(written.unwrap(), 0);
    let after = store.told(region).await.unwrap();
    assert_eq!((&after.before, after.turn), (&told.before, told.turn));
    assert_eq!(world.kinds(&mate).await, ["part.promised"]);
}

#[tokio::test(flavor = "multi_thread")]
async fn what_happened_while_the_server_was_off_is_told_for_thirty_days() {
    for (days, told) in [(29, true), (31, false)] {
        let world = World::new().await;
        let mate = world.person("Heron", RoleKind::Student, TEAM).await;
        let team = Actor::new(Role::Team(TEAM.to_owned()));
        world.send(&team, 0, "send-00001").await;
        let later = EventMs(world.session.now.0 + days * DAY_MS);
        world.look(&world.session.at(later).await.unwrap()).await;
        let kinds = world.kinds(&mate).await;
        let promised = kinds.contains(&"part.promised".to_owned());
        assert_eq!(promised, told, "{days} days: {kinds:?}");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn whoever_starts_a_plate_or_takes_that_back_is_not_told_of_it_but_others_are() {
    let world = World::new().await;
    let host = "brindlemoor";
    let doer = world.person("Crake", RoleKind::Operator, host).await;
    let other = world.person("Dunlin", RoleKind::Operator, host).await;
    let team = Actor::new(Role::Team(TEAM.to_owned()));
    let sent = world.send(&team, 0, "send-00001").await;
    world.look(&world.session).await;
    for who in [&doer, &other] {
        assert_eq!(world.kinds(who).await, ["bench.changed"]);
    }
    let (seq, start, _) = world.plates(&sent).await[0];
    let session = world.at(start).await;
    act(&session, &doer, seq, &Act::Start, None).await.unwrap();
    world.look(&session).await;
    let before = world.kinds(&other).await.len();
    take_back(&session, &doer, (seq, StepKind::Started), None)
        .await
        .unwrap();
    world.look(&session).await;
    let says = world.last(&other).await;
    let again = format!("New on your bench today: plate {seq} at ");
    assert!(says.starts_with(&again), "{says}");
    assert_eq!(world.kinds(&other).await.len(), before + 1);
    assert_eq!(world.kinds(&doer).await, ["bench.changed"], "its own deeds");
}

#[tokio::test(flavor = "multi_thread")]
async fn what_comes_to_the_same_in_one_look_is_told_once() {
    let world = World::new().await;
    let mate = world.person("Heron", RoleKind::Student, TEAM).await;
    let sent = world
        .send(&Actor::new(Role::Team(TEAM.to_owned())), 0, "send-00001")
        .await;
    let first = world.plates(&sent).await[0];
    let packed = world.boxed(first).await;
    let step = (first.0, StepKind::Boxed);
    take_back(&packed, &bench(), step, None).await.unwrap();
    act(&packed, &bench(), first.0, &Act::Box, None)
        .await
        .unwrap();
    world.look(&packed).await;
    let told = world.kinds(&mate).await;
    let ready = told.iter().filter(|kind| *kind == "part.ready").count();
    assert_eq!(ready, 1, "{told:?}");
}
