//! A run that would go on where nobody is and may not: stopped in the plan and on the sheet, told to its bench,
//! and made again elsewhere if the coordinator wants that.

use partpledge_records::{SiteClosure, StepKind};
use partpledge_workshop::bench::close;
use partpledge_workshop::plan_room::{judged, propose_plan};
use partpledge_workshop::risks::{Cause, risks};
use partpledge_workshop::run_sheet::{JobKind, JobState, run_sheet};

use super::*;

#[tokio::test(flavor = "multi_thread")]
async fn a_run_that_nobody_may_leave_alone_is_stopped_when_people_leave_and_made_again() {
    let world = World::new().await;
    let team = Actor::new(Role::Team(TEAM.to_owned()));
    for i in 0..3 {
        world.send(&team, i, &format!("send-0000{i}")).await;
    }
    let (terrain, books) = (&world.session.terrain, world.books().await);
    let watched = |place: &&partpledge_planning_model::Assignment| {
        let printer = &terrain.region.printers[place.printer.0];
        !printer.unattended && place.end - place.start > Minutes(45)
    };
    let place = *(books.floor.plan.assignments.iter().find(watched)).expect("one that is watched");
    let (seq, leave) = (place.plate.0, place.start + Minutes(30));
    let printer = &terrain.region.printers[place.printer.0];
    let host = &terrain.file.hosts[printer.site_at(place.start).0].school;
    let operator = world.person("Robin", RoleKind::Operator, host).await;
    let starting = world.at(place.start).await;
    act(&starting, &operator, seq, &Act::Start, None)
        .await
        .unwrap();
    world.look(&starting).await;
    let fine = judged(&starting, &world.books().await.floor, None).unwrap();
    assert!(fine.faults.is_empty() && fine.known.is_empty(), "{fine:?}");

    let soon = world.at(place.start + Minutes(2)).await;
    let coordinator = Actor::new(Role::Coordinator);
    let told = SiteClosure {
        schools: vec![host.clone()],
        from: leave,
        until: leave + Minutes(3 * 1_440),
        reason: "Snow".to_owned(),
    };
    close(&soon, &coordinator, (&told, None), Some("snow-day-1"))
        .await
        .unwrap();
    let soon = world.at(place.start + Minutes(3)).await;
    let books = Books::open(&soon).await.unwrap();
    let cut = *books.floor.plan.of(place.plate).unwrap();
    assert_eq!((cut.start, cut.end, cut.frozen), (place.start, leave, true));
    assert!(
        cut.cleared >= told.until,
        "it lies there until somebody comes"
    );
    // The checker sees no fault in that, and a promise that nobody's plan keeps.
    let seen = judged(&soon, &books.floor, None).unwrap();
    assert_eq!(seen.faults, []);
    let known: Vec<_> = seen
        .known
        .iter()
        .map(|one| (one.plate().0, one.code()))
        .collect();
    assert_eq!(known, [(seq, "promised-unplanned")]);
    let proposed = propose_plan(&soon).await.expect("late is no fault");
    assert_eq!(proposed.late, [place.plate]);

    // On the sheet it is to be stopped; nothing of the night says that it runs on.
    let day = soon.terrain.zone.date(place.start);
    let sheet = run_sheet(&soon, &books, host, day).await.unwrap();
    let stop = sheet
        .jobs
        .iter()
        .find(|job| job.kind == JobKind::Stop)
        .unwrap();
    assert_eq!(
        (stop.plate.seq, stop.at, &stop.state),
        (seq, leave, &JobState::Ready)
    );
    let night = sheet
        .night
        .iter()
        .find(|(name, _)| *name == printer.name)
        .unwrap();
    let night = night.1.expect("not empty and cool");
    assert_eq!((night.plate, night.alone), (seq, false));
    world.look(&soon).await;
    let says = world.last(&operator).await;
    assert!(
        says.contains("nobody has permitted") && says.contains("Stop it by then"),
        "{says}"
    );

    // The coordinator sees why, and may have it made again while there is time.
    let found = risks(&soon, &books, &outcomes(&soon, &books));
    let risk = found
        .iter()
        .find(|risk| risk.cause != Cause::Crowded)
        .unwrap();
    let snow = Cause::Closed {
        school: terrain.file.school(host).unwrap().name.clone(),
        reason: "Snow".to_owned(),
    };
    assert_eq!(risk.cause, snow);
    let choice = risk.choice.as_ref().expect("another printer is free");
    assert_eq!(choice.stops, Some(place.plate));
    assert!(choice.chance > risk.outcome.chance + 0.05);
    let offer = (risk.listed.request.number, books.floor.revision);
    take(&soon, &coordinator, offer, None).await.unwrap();
    let after = Books::open(&soon).await.unwrap();
    assert!(after.step(seq, StepKind::Failed).is_some());
    assert_eq!(
        after.floor.plan.of(choice.place.plate),
        Some(&choice.place),
        "as it was shown"
    );
    world.look(&soon).await;
    let all = world.notices(&operator).await.into_iter();
    let stops = all.filter(|one| one.said.kind == "bench.stop");
    let says: Vec<String> = stops.map(|one| one.said.says.to_string()).collect();
    assert_eq!(says.len(), 2, "{says:?}");
    assert!(
        says[0].starts_with(&format!("Stop plate {seq} on ")),
        "{says:?}"
    );
    let sheet = run_sheet(&soon, &after, host, day).await.unwrap();
    assert!(
        sheet.jobs.iter().all(|job| job.kind != JobKind::Stop),
        "it was stopped"
    );
}
