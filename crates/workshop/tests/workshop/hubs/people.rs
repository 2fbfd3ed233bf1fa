//! Who may lead a crew, what is kept of it, and the jobs of the day.

use std::collections::BTreeSet;

use partpledge_hubs::Task;
use partpledge_records::{Held, NewPerson, PersonKind, RoleKind};
use partpledge_units::ids::IdSource;
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::{EventMs, Minutes};
use partpledge_workshop::hub::{CrewDeed, Hub, lead};
use partpledge_workshop::people::{PeopleError, Problem};
use partpledge_workshop::{Actor, Role};

use super::{World, day, machine, region};

fn add(name: &str) -> CrewDeed {
    CrewDeed::Add {
        name: name.to_owned(),
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn only_adults_of_the_school_lead_its_crew() {
    let world = World::new(&region(|text| text)).await;
    let session = &world.session;
    let code = "otterquay";
    let of = |role: Role| async move {
        lead(session, &Actor::new(role), (code, &add("Newt")), None).await
    };
    let team = |name: &str| name.to_owned();
    for role in [
        Role::Team(team("Bogwheel")),
        Role::Mentor(team("Newt Works")),
        Role::Host("dunmarrow".to_owned()),
        Role::Nobody,
        Role::Clock,
    ] {
        let refused = of(role.clone()).await.unwrap_err();
        let PeopleError::Failed(refused) = refused else {
            panic!("{role:?}: {refused}");
        };
        assert_eq!(refused.code(), "not-allowed", "{role:?}");
    }
    of(Role::Mentor(team("Bogwheel"))).await.unwrap();
    let mentor = Actor::new(Role::Mentor(team("Bogwheel")));
    let hub = Hub::of(session, &mentor, code).await.unwrap();
    assert_eq!(hub.crew().count(), 1);
    let events = session.store().unwrap();
    let events = events
        .0
        .events_of_kind(events.1, "crew.joined")
        .await
        .unwrap();
    assert!(
        !events[0].1.payload.contains("Newt"),
        "the log knows no name"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_nickname_is_no_name_no_address_and_had_once() {
    let world = World::new(&region(|text| text)).await;
    let wrong = |error: PeopleError| match error {
        PeopleError::Typed(problems) => problems[0],
        other => panic!("{other}"),
    };
    let session = &world.session;
    world.lead(session, &add("Newt")).await.unwrap();
    for (name, problem) in [
        ("newt", Problem::NicknameTaken),
        ("newt@example.org", Problem::NamePersonal),
        ("Mentor", Problem::NameOfRole),
        (" ", Problem::NameMissing),
    ] {
        let refused = world.lead(session, &add(name)).await.unwrap_err();
        assert_eq!(wrong(refused), problem, "{name}");
    }
    let member = world.hub(session).await.crew().next().unwrap().id;
    let sign = |tasks: &[Task], class: &str, until: &str| CrewDeed::Sign {
        member,
        tasks: tasks.iter().map(|task| (*task, class.to_owned())).collect(),
        until: day(until),
    };
    for (bad, why) in [
        (sign(&[Task::Load], "standard", "2027-03-08"), "yesterday"),
        (
            sign(&[Task::Load], "standard", "2028-03-12"),
            "more than a year",
        ),
        (sign(&[], "standard", "2027-03-10"), "nothing"),
        (sign(&[Task::Load], "loom", "2027-03-10"), "no such class"),
        (CrewDeed::Here(session.minute()), "over"),
        (CrewDeed::Here(session.minute() + Minutes(800)), "tomorrow"),
        (
            CrewDeed::Here(session.minute() + Minutes(60)),
            "nobody in person",
        ),
    ] {
        assert!(world.lead(session, &bad).await.is_err(), "{why}");
    }
    let fine = sign(&[Task::Pack, Task::Load], "standard", "2027-03-09");
    world.lead(session, &fine).await.unwrap();
    let hub = world.hub(session).await;
    let holds: BTreeSet<_> = hub
        .standing(session.now)
        .iter()
        .map(|one| (one.task, one.class.clone()))
        .collect();
    let pack = (Task::Pack, String::new());
    assert_eq!(
        holds,
        BTreeSet::from([(Task::Load, "standard".to_owned()), pack])
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_student_with_an_account_is_erased_from_the_crew_with_it() {
    let world = World::new(&region(|text| text)).await;
    let session = &world.session;
    let (store, place) = session.store().unwrap();
    let new = NewPerson {
        kind: PersonKind::Student,
        name: "Teal".to_owned(),
        email: None,
        secret: None,
    };
    let held = Held::new(RoleKind::Student, "Bogwheel");
    let deed = partpledge_records::Deed {
        actor: "local".to_owned(),
        occurred_at: session.now,
        received_at: session.now,
        idempotency_key: None,
    };
    let id = store
        .add_person(place, (&new, &held), &deed, &mut IdSource::Os)
        .await
        .unwrap();
    let code = "otterquay";
    let take = CrewDeed::AddStudent(id);
    let own = |team: &str| Actor::new(Role::Mentor(team.to_owned()));
    let bench = Actor::new(Role::Host(code.to_owned()));
    assert!(
        lead(session, &bench, (code, &take), None).await.is_err(),
        "not theirs to see"
    );
    assert!(
        lead(session, &own("Toad Tappets"), (code, &take), None)
            .await
            .is_err()
    );
    lead(session, &own("Bogwheel"), (code, &take), None)
        .await
        .unwrap();
    let people = session.people(session.now).unwrap();
    people
        .remove_student(&own("Bogwheel"), "Bogwheel", id)
        .await
        .unwrap();
    let hub = Hub::of(session, &bench, code).await.unwrap();
    assert_eq!((hub.crew().count(), hub.book.members.len()), (0, 1));
    assert!(hub.book.members[0].name.is_empty());
}

#[tokio::test(flavor = "multi_thread")]
async fn the_crew_is_erased_after_the_season_and_who_was_there_after_a_week() {
    let world = World::new(&region(|text| text)).await;
    let newt = world
        .member("Newt", &[Task::Load], "standard", "2027-06-01")
        .await;
    world.here(&world.session, &[newt]).await;
    let tidy = async |when: &str| {
        let now = parse_rfc3339(when).unwrap();
        world
            .session
            .people(now)
            .unwrap()
            .tidy(&machine())
            .await
            .unwrap();
        world.hub(&world.session).await.book
    };
    assert_eq!(tidy("2027-03-12T10:00:00+01:00").await.present.len(), 1);
    let week = tidy("2027-03-17T10:00:00+01:00").await;
    assert!(week.present.is_empty() && !week.members[0].name.is_empty());
    assert!(
        !tidy("2027-08-11T12:00:00+02:00").await.members[0]
            .name
            .is_empty()
    );
    let after = tidy("2027-08-12T12:00:00+02:00").await;
    assert!(after.members[0].name.is_empty() && after.signs.len() == 1);
}

#[tokio::test(flavor = "multi_thread")]
async fn an_adult_is_there_from_when_they_say_so_until_then() {
    let world = World::new(&region(|text| text)).await;
    let (now, until) = (world.session.now, world.session.minute() + Minutes(60));
    world.adult(&world.session, until).await;
    let hub = world.hub(&world.session).await;
    let there = |ms: i64| hub.adult_until(EventMs(ms));
    let ends = until.to_ms();
    for at in [now.0, ends.0 - 1] {
        assert_eq!(there(at), Some(ends));
    }
    for at in [now.0 - 1, ends.0] {
        assert_eq!(there(at), None);
    }
}
