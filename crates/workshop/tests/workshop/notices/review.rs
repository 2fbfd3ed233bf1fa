//! Looked at, passed, refused, appealed, taken down.

use partpledge_workshop::review::deciding::{appeal, pass, refuse};

use super::*;

#[tokio::test(flavor = "multi_thread")]
async fn a_part_that_is_looked_at_first_is_told_to_its_team_and_the_coordinator_step_by_step() {
    let world = World::with("review = \"all\"").await;
    let sender = world.person("Otter", RoleKind::Student, TEAM).await;
    let mate = world.person("Heron", RoleKind::Student, TEAM).await;
    let coordinator = world.person("Rail", RoleKind::Coordinator, "").await;
    let other = world.person("Ruff", RoleKind::Coordinator, "").await;
    let first = world.send(&sender, 0, "send-00001").await;
    world.look(&world.session).await;
    assert_eq!(world.kinds(&mate).await, ["part.waits"]);
    assert_eq!(world.kinds(&coordinator).await, ["review.decide"]);
    let decide = &world.notices(&coordinator).await[0].said;
    assert_eq!(decide.link, format!("/review/{}", first.request.number));
    let number = format!("Part {}, ", first.request.number);
    let says = decide.says.to_string();
    assert!(says.starts_with(&number), "{says}");

    let listed = |books: &Books, sent: &Received| books.request(sent.request.id).unwrap().clone();
    let held = listed(&world.books().await, &first);
    let no = (Reason::Unclear, "", "refuse-001");
    refuse(&world.session, &coordinator, &held, no)
        .await
        .unwrap();
    world.look(&world.session).await;
    assert_eq!(world.last(&mate).await, world.last(&sender).await);
    assert_eq!(
        world.kinds(&mate).await,
        ["part.waits", "part.refused"],
        "and why is on its page"
    );
    let refused = listed(&world.books().await, &first);
    let words = ("It holds a sensor.", "appeal-001");
    appeal(&world.session, &mate, &refused, words)
        .await
        .unwrap();
    world.look(&world.session).await;
    for who in [&coordinator, &other] {
        let told = world.kinds(who).await;
        assert_eq!(told, ["review.decide", "review.appealed"]);
    }
    let held = listed(&world.books().await, &first);
    let passed = pass(&world.session, &other, &held, ("", "pass-00001")).await;
    assert!(passed.unwrap().no_pledge.is_none());
    world.look(&world.session).await;
    // Promised at once, it is told as promised.
    assert_eq!(
        world.kinds(&sender).await,
        ["part.refused", "part.promised"]
    );
    assert_eq!(world.kinds(&coordinator).await.len(), 2, "nothing waits");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_part_that_passes_and_can_not_be_promised_yet_is_told_as_passed() {
    let world = World::with("review = \"all\"").await;
    let sender = world.person("Otter", RoleKind::Student, TEAM).await;
    let coordinator = world.person("Rail", RoleKind::Coordinator, "").await;
    let sent = world.send(&sender, 0, "send-00001").await;
    // Every printer is out of use for longer than calendars go.
    let machine = Actor::at_the_machine();
    let until = world.session.minute() + Minutes(60 * 1_440);
    for (i, printer) in world.session.terrain.region.printers.iter().enumerate() {
        let session = world.session.at(world.session.now).await.unwrap();
        let what = ("The belt broke", until);
        let key = format!("out-{i:05}");
        printer_out(&session, &machine, &printer.name, what, Some(key.as_str()))
            .await
            .unwrap();
    }
    let session = world.session.at(world.session.now).await.unwrap();
    let held = world
        .books()
        .await
        .request(sent.request.id)
        .unwrap()
        .clone();
    let passed = pass(&session, &coordinator, &held, ("", "pass-00001")).await;
    assert!(passed.unwrap().no_pledge.is_some());
    world.look(&session).await;
    assert_eq!(world.kinds(&sender).await, ["part.passed"]);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_team_is_told_of_every_part_that_is_taken_down_with_one() {
    let world = World::new().await;
    let mate = world.person("Heron", RoleKind::Student, TEAM).await;
    let coordinator = world.person("Rail", RoleKind::Coordinator, "").await;
    let team = Actor::new(Role::Team(TEAM.to_owned()));
    let first = world.send(&team, 0, "send-00001").await;
    let same = world.send(&team, 0, "send-00002").await;
    let other = world.send(&team, 1, "send-00003").await;
    world.look(&world.session).await;
    let books = world.books().await;
    let listed = books.request(first.request.id).unwrap();
    let what = (Reason::ALL[0], "", "down-00001");
    take_down(&world.session, &coordinator, listed, what)
        .await
        .unwrap();
    world.look(&world.session).await;
    let told = world.notices(&mate).await;
    let down = told.iter().filter(|one| one.said.kind == "part.taken-down");
    let mut links: Vec<&str> = down.map(|one| one.said.link.as_str()).collect();
    links.sort_unstable();
    let both = [&first, &same].map(|sent| format!("/parts/{}", sent.request.number));
    assert_eq!(links, both);
    let other = books.request(other.request.id).unwrap();
    assert!(
        !world.books().await.taken_down(&other.request),
        "another file stays"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn what_waits_for_long_is_told_once_and_those_who_stand_in_are_told_too() {
    let world = World::with("review = \"all\"").await;
    let mate = world.person("Heron", RoleKind::Student, TEAM).await;
    let coordinator = world.person("Rail", RoleKind::Coordinator, "").await;
    let second = world.person("Crake", RoleKind::Coordinator, "").await;
    let tern = world.person("Tern", RoleKind::Mentor, "Silt Sisters").await;
    let team = Actor::new(Role::Team(TEAM.to_owned()));
    world.look(&world.session).await;
    world.send(&team, 0, "send-00001").await;
    let people = world.session.people(world.session.now).unwrap();
    let deputy = tern.person().unwrap();
    people
        .stand_in(&coordinator, deputy, "2027-03-12")
        .await
        .unwrap();
    world.look(&world.session).await;
    let deputy = Actor::person_as(deputy, Role::Coordinator);
    assert_eq!(
        world.kinds(&deputy).await,
        ["review.decide", "region.stands-in"],
        "told of it, and of what waits"
    );
    let told = world.last(&deputy).await;
    assert!(told.starts_with("You stand in"), "{told}");
    assert_eq!(
        world.kinds(&coordinator).await,
        ["review.decide"],
        "their own deed"
    );
    let told = world.last(&second).await;
    assert!(told.starts_with("Someone stands in"), "{told}");
    let after = async |hours: i64| {
        let at = EventMs(world.session.now.0 + hours * 3_600_000);
        world.look(&world.session.at(at).await.unwrap()).await;
    };
    after(23).await;
    assert_eq!(world.kinds(&mate).await, ["part.waits"]);
    for hours in [24, 25] {
        after(hours).await;
        let told = world.kinds(&mate).await;
        assert_eq!(told, ["part.waits", "part.waits-long"], "{hours}");
        for who in [&coordinator, &deputy] {
            assert_eq!(world.kinds(who).await.last().unwrap(), "review.undecided");
        }
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn after_a_holiday_without_the_server_those_who_decide_are_told_before_it_ends() {
    let world = World::with("review = \"all\"").await;
    let mate = world.person("Heron", RoleKind::Student, TEAM).await;
    let coordinator = world.person("Rail", RoleKind::Coordinator, "").await;
    let team = Actor::new(Role::Team(TEAM.to_owned()));
    world.look(&world.session).await;
    world.send(&team, 0, "send-00001").await;
    world.look(&world.session).await;
    let after = async |hours: i64| {
        let at = EventMs(world.session.now.0 + hours * 3_600_000);
        world.session.at(at).await.unwrap()
    };
    let clock = Actor::new(Role::Clock);
    // Whichever of the two the server does first when it is back.
    let back = after(8 * 24).await;
    assert_eq!(undecided::close(&back, &clock).await.unwrap(), 0);
    world.look(&back).await;
    assert_eq!(undecided::close(&back, &clock).await.unwrap(), 0);
    let last = world.last(&coordinator).await;
    assert!(last.contains("Thursday 18 March at 10:00"), "{last}");
    let early = after(9 * 24 - 1).await;
    assert_eq!(undecided::close(&early, &clock).await.unwrap(), 0);
    let over = after(9 * 24).await;
    assert_eq!(undecided::close(&over, &clock).await.unwrap(), 1);
    world.look(&over).await;
    assert_eq!(
        world.kinds(&mate).await,
        ["part.waits", "part.waits-long", "part.not-decided"]
    );
}
