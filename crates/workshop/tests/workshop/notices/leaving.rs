//! A run that would go on where nobody is and may not: stopped in the plan and on the sheet, told to its bench,
//! told truly as the cause of a risk, and made again elsewhere if the coordinator wants that.

use partpledge_planning_model::{Assignment, PlateSeq};
use partpledge_records::{SiteClosure, StepKind};
use partpledge_workshop::bench::close;
use partpledge_workshop::plan_room::{judged, propose_plan};
use partpledge_workshop::risks::{Cause, cause, risks, take};
use partpledge_workshop::run_sheet::{JobKind, JobState, run_sheet};

use super::*;

/// A plate runs on a printer that may not run alone, and its school closes half an hour after its start.
struct Snow {
    world: World,
    /// Where the plate was planned, and runs.
    place: Assignment,
    leave: Minute,
    host: String,
    printer: String,
    operator: Actor,
    /// A minute after the closure.
    soon: Session,
}

impl Snow {
    async fn new() -> Self {
        Self::of(TEAM).await
    }

    async fn of(team: &str) -> Self {
        let world = World::new().await;
        let team = Actor::new(Role::Team(team.to_owned()));
        for i in 0..3 {
            world.send(&team, i, &format!("send-0000{i}")).await;
        }
        let (terrain, books) = (&world.session.terrain, world.books().await);
        let watched = |place: &&Assignment| {
            let printer = &terrain.region.printers[place.printer.0];
            !printer.unattended && place.end - place.start > Minutes(45)
        };
        let places = &books.floor.plan.assignments;
        let first = places.iter().map(|place| place.start).min();
        let places = places.iter().filter(watched);
        let places = places.filter(|place| Some(place.start) == first);
        // What waits longest for its ride can be made once more before that goes.
        let place = *places
            .max_by_key(|place| place.arrives - place.ready)
            .expect("one that is watched");
        let leave = place.start + Minutes(30);
        let printer = &terrain.region.printers[place.printer.0];
        let (printer, site) = (printer.name.clone(), printer.site_at(place.start));
        let host = terrain.file.hosts[site.0].school.clone();
        let operator = world.person("Robin", RoleKind::Operator, &host).await;
        let starting = world.at(place.start).await;
        let (seq, start) = (place.plate.0, Act::Start);
        act(&starting, &operator, seq, &start, None).await.unwrap();
        world.look(&starting).await;
        let fine = judged(&starting, &world.books().await.floor, None).unwrap();
        assert!(fine.faults.is_empty() && fine.known.is_empty(), "{fine:?}");
        let told = SiteClosure {
            schools: vec![host.clone()],
            from: leave,
            until: leave + Minutes(3 * 1_440),
            reason: "Snow".to_owned(),
        };
        let before = world.at(place.start + Minutes(2)).await;
        let coordinator = Actor::new(Role::Coordinator);
        close(&before, &coordinator, (&told, None), Some("snow-day-1"))
            .await
            .unwrap();
        let soon = world.at(place.start + Minutes(3)).await;
        world.look(&soon).await;
        Self {
            world,
            place,
            leave,
            host,
            printer,
            operator,
            soon,
        }
    }

    /// What the bench was told of runs to be stopped, the last first.
    async fn stops(&self) -> Vec<String> {
        let all = self.world.notices(&self.operator).await.into_iter();
        let stops = all.filter(|one| one.said.kind == "bench.stop");
        stops.map(|one| one.said.says.to_string()).collect()
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn a_run_that_nobody_may_leave_alone_is_to_be_stopped_when_people_leave() {
    let snow = Snow::new().await;
    let (soon, seq) = (&snow.soon, snow.place.plate);
    let books = Books::open(soon).await.unwrap();
    let cut = *books.floor.plan.of(seq).unwrap();
    let planned = (cut.start, cut.end, cut.frozen);
    assert_eq!(planned, (snow.place.start, snow.leave, true));
    let reopens = snow.leave + Minutes(3 * 1_440);
    assert!(cut.cleared >= reopens, "it lies there until somebody comes");
    // The checker sees no fault in that, but a promise that no plan keeps.
    let seen = judged(soon, &books.floor, None).unwrap();
    assert_eq!(seen.faults, []);
    let of_it = seen.known.iter().filter(|one| one.plate() == seq);
    let codes: Vec<&str> = of_it.map(partpledge_plan_check::Violation::code).collect();
    assert_eq!(codes, ["promised-unplanned"]);
    let proposed = propose_plan(soon).await.expect("late is no fault");
    assert!(proposed.late.contains(&seq));
    let request = books.plate(seq.0).unwrap().request;
    let school = soon.terrain.file.school(&snow.host).unwrap().name.clone();
    let reason = "Snow".to_owned();
    let why = cause(soon, &books, books.request(request).unwrap());
    assert_eq!(why, Some(Cause::Closed { school, reason }));
    // On the sheet it is to be stopped; nothing of the night says that it runs on, or is cool.
    let day = soon.terrain.zone.date(snow.place.start);
    let sheet = run_sheet(soon, &books, &snow.host, day).await.unwrap();
    let mut jobs = sheet.jobs.iter();
    let stop = jobs.find(|job| job.kind == JobKind::Stop).unwrap();
    assert_eq!((stop.plate.seq, stop.at), (seq.0, snow.leave));
    assert_eq!(stop.state, JobState::Ready);
    let mut night = sheet.night.iter();
    let night = night.find(|(name, _)| *name == snow.printer).unwrap();
    let night = night.1.expect("not empty and cool");
    assert_eq!((night.plate, night.alone), (seq.0, false));
    let says = snow.stops().await;
    assert_eq!(says.len(), 1, "{says:?}");
    let words = ["nobody has permitted", "Stop it by then"];
    assert!(words.iter().all(|word| says[0].contains(word)), "{says:?}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_run_that_will_be_stopped_can_be_made_again_elsewhere_at_once() {
    // Their boxes come by a round, in the afternoon.
    let snow = Snow::of("Peat Pistons").await;
    let (soon, seq) = (&snow.soon, snow.place.plate.0);
    let coordinator = Actor::new(Role::Coordinator);
    let books = Books::open(soon).await.unwrap();
    let request = books.plate(seq).unwrap().request;
    let found = risks(soon, &books, &outcomes(soon, &books));
    let mut found = found.iter();
    let risk = found
        .find(|risk| risk.listed.request.id == request)
        .unwrap();
    let choice = risk.choice.as_ref().expect("another printer is free");
    assert_eq!(choice.stops, Some(PlateSeq(seq)));
    assert!(choice.chance > risk.outcome.chance + 0.05);
    let offer = (risk.listed.request.number, books.floor.revision);
    take(soon, &coordinator, offer, None).await.unwrap();
    let after = Books::open(soon).await.unwrap();
    assert!(after.step(seq, StepKind::Failed).is_some());
    let again = after.floor.plan.of(choice.place.plate);
    assert_eq!(again, Some(&choice.place), "as it was shown");
    let (store, region) = soon.store().unwrap();
    let runs = store.finished_runs(region).await.unwrap();
    assert!(runs.is_empty(), "its printer is not to blame");
    snow.world.look(soon).await;
    let says = snow.stops().await;
    assert_eq!(says.len(), 2, "{says:?}");
    let begins = format!("Stop plate {seq} on {} now", snow.printer);
    assert!(says[0].starts_with(&begins), "{says:?}");
    let day = soon.terrain.zone.date(snow.place.start);
    let sheet = run_sheet(soon, &after, &snow.host, day).await.unwrap();
    let stops = sheet.jobs.iter().any(|job| job.kind == JobKind::Stop);
    assert!(!stops, "it was stopped");
}

#[tokio::test(flavor = "multi_thread")]
async fn when_people_have_left_the_bench_is_asked_and_nothing_is_stopped() {
    let snow = Snow::new().await;
    let seq = snow.place.plate.0;
    let evening = snow.world.at(snow.leave + Minutes(60)).await;
    snow.world.look(&evening).await;
    let books = Books::open(&evening).await.unwrap();
    let request = books.plate(seq).unwrap().request;
    let found = risks(&evening, &books, &outcomes(&evening, &books));
    let mut found = found.iter();
    let risk = found
        .find(|risk| risk.listed.request.id == request)
        .unwrap();
    let stopped = risk.choice.as_ref().and_then(|choice| choice.stops);
    assert_eq!(stopped, None, "nobody is there to do it");
    assert_eq!(snow.stops().await.len(), 1, "told while people were there");
    // As long as nobody tells what became of it, it is on the bed.
    let day = evening.terrain.zone.date(snow.place.start);
    let sheet = run_sheet(&evening, &books, &snow.host, day).await.unwrap();
    let mut night = sheet.night.iter();
    let night = night.find(|(name, _)| *name == snow.printer).unwrap();
    assert_eq!(night.1.expect("not empty and cool").plate, seq);
    let place = books.floor.plan.of(PlateSeq(seq)).unwrap();
    assert!(place.cleared >= evening.minute(), "{place:?}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_bench_hears_once_that_its_school_is_closed() {
    let snow = Snow::new().await;
    snow.world.look(&snow.soon).await;
    let all = snow.world.notices(&snow.operator).await.into_iter();
    let told: Vec<_> = all.filter(|one| one.said.kind == "bench.closed").collect();
    assert_eq!(told.len(), 1);
    let says = told[0].said.says.to_string();
    assert!(
        says.contains("is closed from") && says.contains(": Snow."),
        "{says}"
    );
    assert_eq!(told[0].said.link, format!("/run-sheets/{}", snow.host));
}
