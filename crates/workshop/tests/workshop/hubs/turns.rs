//! The jobs of the day, taken in turns.

use std::collections::BTreeSet;

use partpledge_hubs::{Job, Task};
use partpledge_units::ids::CrewId;
use partpledge_units::local::parse_rfc3339;
use partpledge_workshop::Session;
use partpledge_workshop::hub::{CrewDeed, Hub, jobs_of};

use super::{CLASSES, World, day, region};

async fn on(world: &World, when: &str) -> (Session, Hub) {
    let session = world
        .session
        .at(parse_rfc3339(when).unwrap())
        .await
        .unwrap();
    let hub = world.hub(&session).await;
    (session, hub)
}

#[tokio::test(flavor = "multi_thread")]
async fn jobs_of_the_day_go_round_among_those_signed_off() {
    let world = World::new(&region(|text| text)).await;
    let mut crew = Vec::new();
    for name in ["Newt", "Teal", "Wren", "Rail"] {
        crew.push(
            world
                .member(name, &Task::ALL, "standard", "2027-06-01")
                .await,
        );
    }
    // Loading and starting alone make no operator, and clearing on another class none either.
    let apart = [Task::Load, Task::Start];
    let coot = world.member("Coot", &apart, "standard", "2027-06-01").await;
    let sign = CrewDeed::Sign {
        member: coot,
        tasks: vec![(Task::Clear, CLASSES[1].to_owned())],
        until: day("2027-06-01"),
    };
    world.lead(&world.session, &sign).await.unwrap();
    let (session, hub) = on(&world, "2027-03-19T09:00:00+01:00").await;
    let mut before = Vec::new();
    for date in [
        "2027-03-15",
        "2027-03-16",
        "2027-03-17",
        "2027-03-18",
        "2027-03-19",
    ] {
        let jobs = jobs_of(&session, &hub, day(date));
        let who: Vec<_> = jobs.turns.iter().map(|turn| turn.member.unwrap()).collect();
        assert_eq!(
            BTreeSet::from_iter(who.clone()).len(),
            4,
            "each has one: {date}"
        );
        assert!(!who.contains(&coot), "{date}");
        let again = who.iter().zip(&before).any(|(now, then)| now == then);
        assert!(!again, "nobody has the same twice running: {date}");
        assert_eq!(
            jobs,
            jobs_of(&session, &hub, day(date)),
            "the same whoever asks"
        );
        before = who;
    }
    assert!(
        jobs_of(&session, &hub, day("2027-03-21")).turns.is_empty(),
        "a Sunday"
    );
    assert!(
        jobs_of(&session, &hub, day("2027-03-29")).turns.is_empty(),
        "a holiday"
    );
    // The operator is not there; who is there, free or not, stands in.
    let jobs = jobs_of(&session, &hub, day("2027-03-19"));
    let operator = jobs.turns[0].member.unwrap();
    let there: Vec<_> = crew.iter().copied().filter(|id| *id != operator).collect();
    world.here(&session, &there).await;
    let hub = world.hub(&session).await;
    let turn = jobs_of(&session, &hub, day("2027-03-19")).turns[0];
    assert_eq!((turn.job, turn.here), (Job::Operator, false));
    assert!(there.contains(&turn.instead.unwrap()));
    // Off the crew, they have no job any more.
    world
        .lead(&session, &CrewDeed::Remove(operator))
        .await
        .unwrap();
    let hub = world.hub(&session).await;
    let now = jobs_of(&session, &hub, day("2027-03-19"));
    assert!(now.turns.iter().all(|turn| turn.member != Some(operator)));
    assert_eq!(hub.name_of(operator), "");
}

fn who(session: &Session, hub: &Hub, date: &str) -> Vec<Option<CrewId>> {
    let jobs = jobs_of(session, hub, day(date));
    jobs.turns.iter().map(|turn| turn.member).collect()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_sign_off_counts_all_its_last_day_whoever_asks_and_when() {
    let world = World::new(&region(|text| text)).await;
    let newt = world
        .member("Newt", &Task::ALL, "standard", "2027-03-18")
        .await;
    let teal = world
        .member("Teal", &Task::ALL, "standard", "2027-06-01")
        .await;
    let (then, hub) = on(&world, "2027-03-18T09:00:00+01:00").await;
    let asked = who(&then, &hub, "2027-03-18");
    assert!(asked.contains(&Some(newt)), "on its last day");
    let friday = who(&then, &hub, "2027-03-19");
    assert_eq!(friday, [Some(teal); 4], "it has ended by then");
    for later in ["2027-03-19T00:00:00+01:00", "2027-03-26T09:00:00+01:00"] {
        let (later, hub) = on(&world, later).await;
        assert_eq!(who(&later, &hub, "2027-03-18"), asked);
        assert_eq!(who(&later, &hub, "2027-03-19"), friday);
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn jobs_go_round_years_after_the_first_sign_off() {
    let world = World::new(&region(|text| text)).await;
    let mut crew = Vec::new();
    for name in ["Newt", "Teal", "Wren", "Rail"] {
        let tasks = &Task::ALL;
        crew.push(world.member(name, tasks, "standard", "2027-06-01").await);
    }
    let (session, _) = on(&world, "2029-06-08T09:00:00+02:00").await;
    for member in crew {
        let sign = CrewDeed::Sign {
            member,
            tasks: Task::ALL.map(|task| (task, "standard".to_owned())).to_vec(),
            until: day("2030-06-01"),
        };
        world.lead(&session, &sign).await.unwrap();
    }
    // 827 days after the first, and in the next year of turns.
    for week in [
        ["2029-06-13", "2029-06-14", "2029-06-15"],
        ["2029-09-05", "2029-09-06", "2029-09-07"],
    ] {
        let (session, hub) = on(&world, &format!("{}T09:00:00+02:00", week[2])).await;
        let mut before = Vec::new();
        for date in week {
            let now = who(&session, &hub, date);
            let all: BTreeSet<_> = now.iter().flatten().collect();
            assert_eq!(all.len(), 4, "each has one: {date}");
            let again = now.iter().zip(&before).any(|(now, then)| now == then);
            assert!(!again, "nobody has the same twice running: {date}");
            before = now;
        }
    }
}
