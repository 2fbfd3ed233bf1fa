//! Deeds at the bench: offered to those who may, refused as they are done, taken when told later.

use partpledge_hubs::Task;
use partpledge_records::StepKind;
use partpledge_stock::{Deed, Roll};
use partpledge_units::time::{EventMs, Minutes};
use partpledge_workshop::bench::spools::{SpoolAct, act_on_spools, act_on_spools_at};
use partpledge_workshop::bench::{
    Act, Told, act, printer_back, printer_out, printer_undone, take_back,
};
use partpledge_workshop::hub::{CrewDeed, Doing, Subject, say_present};
use partpledge_workshop::{Actor, Books, Role, WorkshopError};

use super::{World, machine, region};

fn why(error: &WorkshopError) -> String {
    assert_eq!(error.code(), "nobody-may", "{error}");
    error.what_to_do()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_plate_is_started_by_those_who_are_there_and_signed_off() {
    let world = World::new(&region(|text| text)).await;
    let tasks = [Task::Load, Task::Start];
    let newt = world
        .member("Newt", &tasks[..1], &world.class, "2027-06-01")
        .await;
    let teal = world
        .member("Teal", &tasks[1..], &world.class, "2027-06-01")
        .await;
    let other = if world.class == "standard" {
        "swift"
    } else {
        "standard"
    };
    let wren = world.member("Wren", &tasks, other, "2027-06-01").await;
    let now = world.at(world.start).await;
    let refused = why(&world.does(&now, &Act::Start).await.unwrap_err());
    assert!(
        refused.starts_with("Say who is at the bench. Newt may load"),
        "{refused}"
    );
    world.here(&now, &[newt, wren]).await;
    let refused = why(&world.does(&now, &Act::Start).await.unwrap_err());
    assert!(
        refused.starts_with("Teal may start"),
        "on another class: {refused}"
    );
    assert!(
        Books::open(&now).await.unwrap().floor.steps.is_empty(),
        "nothing was done"
    );
    world.here(&now, &[newt, teal]).await;
    world.does(&now, &Act::Start).await.unwrap();
    // Nobody is signed off to clear and inspect.
    let refused = why(&world
        .does(
            &now,
            &Act::TakeOff {
                good: world.copies.into(),
            },
        )
        .await
        .unwrap_err());
    assert!(
        refused.starts_with("Ask an adult: nobody is signed off to clear"),
        "{refused}"
    );
    world.adult(&now, world.start + Minutes(30)).await;
    world
        .does(
            &now,
            &Act::TakeOff {
                good: world.copies.into(),
            },
        )
        .await
        .unwrap();
    let late = world.at(world.start + Minutes(30)).await;
    let refused = why(&world.does(&late, &Act::Box).await.unwrap_err());
    assert!(
        refused.contains("pack and hand over"),
        "the adult has left: {refused}"
    );
    assert!(world.hub(&late).await.book.to_look.is_empty());
}

#[tokio::test(flavor = "multi_thread")]
async fn a_sign_off_ends_with_its_day_and_when_it_is_withdrawn() {
    let world = World::new(&region(|text| text)).await;
    let tasks = [Task::Load, Task::Start];
    // The plate is planned for the day of the request or one soon after.
    let newt = world
        .member("Newt", &tasks, &world.class, "2027-03-09")
        .await;
    let teal = world
        .member("Teal", &tasks, &world.class, "2027-06-01")
        .await;
    let hub = world.hub(&world.session).await;
    let subject = Subject {
        printer: &world.printer,
        material: "PETG",
        place: None,
        ahead: false,
    };
    let may = |hub: &partpledge_workshop::hub::Hub, hours: i64| {
        let at = world.session.minute() + Minutes(60 * hours);
        let what = (Doing::Start, &subject);
        hub.asks(&world.session, what, at.to_ms()).is_none()
    };
    assert!(!may(&hub, 1), "nobody has said that they are there");
    world.here(&world.session, &[newt]).await;
    let hub = world.hub(&world.session).await;
    assert!(may(&hub, 0) && may(&hub, 1));
    assert!(!may(&hub, 5), "they have gone home");
    let tomorrow = world.at(world.session.minute() + Minutes(24 * 60)).await;
    world.here(&tomorrow, &[newt]).await;
    assert!(
        !may(&world.hub(&tomorrow).await, 24),
        "it held until last night"
    );
    world.here(&tomorrow, &[teal]).await;
    assert!(may(&world.hub(&tomorrow).await, 24));
    let away = CrewDeed::Withdraw {
        member: teal,
        tasks: vec![(Task::Start, world.class.clone())],
    };
    world.lead(&tomorrow, &away).await.unwrap();
    let hub = world.hub(&tomorrow).await;
    assert!(!may(&hub, 24), "it was withdrawn");
    assert!(
        world.lead(&tomorrow, &away).await.is_err(),
        "there is nothing to withdraw"
    );
    assert_eq!(hub.standing(tomorrow.now).len(), 1, "loading stands");
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_told_later_is_never_refused_and_an_adult_looks_at_it() {
    let world = World::new(&region(|text| text)).await;
    let tasks = [Task::Load, Task::Start];
    let newt = world
        .member("Newt", &tasks, &world.class, "2027-06-01")
        .await;
    let now = world.at(world.start + Minutes(60)).await;
    world.did(&now, &Act::Start, world.start).await.unwrap();
    let books = Books::open(&now).await.unwrap();
    assert!(
        books.step(world.plate, StepKind::Started).is_some(),
        "it stands as it was told"
    );
    let looks = world.hub(&now).await.book.to_look;
    assert_eq!((looks.len(), looks[0].plate), (1, world.plate));
    assert_eq!(
        (looks[0].deed.as_str(), looks[0].why.as_str()),
        ("start", "not-told")
    );
    assert_eq!(looks[0].at, world.start.to_ms());
    // Who was there then is told after it, and counts for what is told after that.
    let bench = world.bench();
    let then = Some((world.start + Minutes(10)).to_ms());
    let crew = [newt];
    say_present(&now, &bench, (&world.code, &crew), (None, then))
        .await
        .unwrap();
    world
        .did(&now, &Act::Look, world.start + Minutes(15))
        .await
        .unwrap();
    world
        .did(
            &now,
            &Act::TakeOff {
                good: world.copies.into(),
            },
            world.start + Minutes(40),
        )
        .await
        .unwrap();
    let looks = world.hub(&now).await.book.to_look;
    let said: Vec<_> = looks
        .iter()
        .map(|one| (one.deed.as_str(), one.why.as_str()))
        .collect();
    assert_eq!(said, [("start", "not-told"), ("clear", "not-signed-off")]);
    world
        .lead(&now, &CrewDeed::Looked(looks[0].entry))
        .await
        .unwrap();
    let left = world.hub(&now).await.book.to_look;
    assert_eq!(left.len(), 1);
    // What is taken back is nothing to look at.
    let soon = world.at(world.start + Minutes(45)).await;
    take_back(&soon, &machine(), (world.plate, StepKind::Off), None)
        .await
        .unwrap();
    assert!(world.hub(&soon).await.book.to_look.is_empty());
}

#[tokio::test(flavor = "multi_thread")]
async fn told_within_a_minute_it_is_told_as_it_is_done() {
    let world = World::new(&region(|text| text)).await;
    let now = world.at(world.start + Minutes(1)).await;
    why(&world.did(&now, &Act::Start, world.start).await.unwrap_err());
    let later = world.at(world.start + Minutes(2)).await;
    let told = Told {
        done_at: Some(world.start.to_ms()),
        key: Some("start-0001"),
        ..Told::default()
    };
    for before in [false, true] {
        let done = act(&later, &world.bench(), world.plate, &Act::Start, told)
            .await
            .unwrap();
        assert_eq!(done.before, before, "sent twice, it is done once");
    }
    assert_eq!(world.hub(&later).await.book.to_look.len(), 1);
}

#[tokio::test(flavor = "multi_thread")]
async fn trouble_is_told_by_anybody_and_adults_at_their_own_machine_may_all() {
    let world = World::new(&region(|text| text)).await;
    let now = world.at(world.start).await;
    let coordinator = Actor::new(Role::Coordinator);
    act(&now, &coordinator, world.plate, &Act::Start, None)
        .await
        .unwrap();
    let fail = Act::Fail {
        reason: "Layers are shifted".to_owned(),
        good: 0.into(),
        out_until: None,
    };
    world.does(&now, &fail).await.unwrap();
    assert!(world.hub(&now).await.book.to_look.is_empty());
}

#[tokio::test]
async fn copies_saved_from_a_failed_run_are_looked_at_by_an_adult_when_nobody_there_may_judge_them()
{
    let world = World::new(&region(|text| text)).await;
    let now = world.at(world.start).await;
    let coordinator = Actor::new(Role::Coordinator);
    act(&now, &coordinator, world.plate, &Act::Start, None)
        .await
        .unwrap();
    let fail = Act::Fail {
        reason: "Layers are shifted".to_owned(),
        good: 1.into(),
        out_until: None,
    };
    world.does(&now, &fail).await.unwrap();
    let waits = world.hub(&now).await.book.to_look;
    assert_eq!(waits.len(), 1, "{waits:?}");
}

#[tokio::test]
async fn a_plate_planned_for_a_whole_day_with_people_is_left_alone_when_it_is_started_in_the_midst_of_one()
 {
    let asked = |text: String| text.replace("adult_for = []", "adult_for = [\"unattended\"]");
    let world = World::new(&region(asked)).await;
    let mut crew = Vec::new();
    for class in super::CLASSES {
        let name = format!("Newt {}", crew.len());
        crew.push(world.member(&name, &Task::ALL, class, "2027-06-01").await);
    }
    let now = world.at(world.start).await;
    world.here(&now, &crew).await;
    let hub = world.hub(&now).await;
    let books = Books::open(&now).await.unwrap();
    let mut place = *books.place(books.plate(world.plate).unwrap()).unwrap();
    let region = &now.terrain.region;
    let site = region.printers[place.printer.0].site_at(place.start);
    let hours = region.sites[site.0].staffed.as_slice();
    let later = now.minute() + Minutes(60);
    let left = hours.iter().find(|w| w.until > later).unwrap().until - later;
    let longer = |w: &&partpledge_planning_model::Window| w.from > later && w.until - w.from > left;
    let next = hours.iter().find(longer).unwrap();
    (place.start, place.end) = (next.from, next.until);
    let an_hour_later = later.to_ms();
    let asks = |ahead| {
        let subject = Subject {
            printer: &world.printer,
            material: "PETG",
            place: Some(&place),
            ahead,
        };
        let ask = hub.asks(&now, (Doing::Start, &subject), an_hour_later);
        ask.map(|ask| ask.code())
    };
    assert_eq!(
        asks(false),
        Some("adult"),
        "it would run on when all have left"
    );
    assert_eq!(asks(true), None, "shown for when it is planned");
}

/// The words for what is asked of whoever starts the plate, with everybody there signed off.
async fn asked_with(change: impl Fn(String) -> String, material: &str, doing: Doing) -> String {
    let world = World::new(&region(change)).await;
    let mut crew = Vec::new();
    for (name, class) in ["Newt", "Teal", "Wren", "Rail", "Coot"]
        .into_iter()
        .zip(super::CLASSES)
    {
        crew.push(world.member(name, &Task::ALL, class, "2027-06-01").await);
    }
    let now = world.at(world.start).await;
    world.here(&now, &crew).await;
    let hub = world.hub(&now).await;
    let books = Books::open(&now).await.unwrap();
    let subject = Subject {
        printer: &world.printer,
        material,
        place: books.place(books.plate(world.plate).unwrap()),
        ahead: false,
    };
    let ask = hub.asks(&now, (doing, &subject), now.now);
    ask.map(|ask| ask.words()).unwrap_or_default()
}

#[tokio::test(flavor = "multi_thread")]
async fn an_adult_is_asked_where_the_site_says_so_and_nowhere_else() {
    let asks = |what: &'static str| {
        move |text: String| text.replace("adult_for = []", &format!("adult_for = [\"{what}\"]"))
    };
    for doing in [Doing::Start, Doing::Clear] {
        let hot = asked_with(asks("hot-material"), "ASA", doing).await;
        assert_eq!(hot, "Ask an adult: this plastic is printed very hot.");
    }
    assert_eq!(
        asked_with(asks("hot-material"), "PETG", Doing::Start).await,
        ""
    );
    assert_eq!(
        asked_with(asks("hot-material"), "ASA", Doing::Pack).await,
        ""
    );
    assert_eq!(asked_with(|text| text, "ASA", Doing::Start).await, "");
    let batteries = |text: String| {
        let text = asks("battery-area")(text);
        text.replace("start_failure = ", "battery_area = true\nstart_failure = ")
    };
    let asked = asked_with(batteries, "PETG", Doing::Start).await;
    assert_eq!(
        asked,
        "Ask an adult: the printer stands where batteries are."
    );
    assert_eq!(asked_with(batteries, "PETG", Doing::Look).await, "");
    // Where people are there for ten minutes at a time, nothing is printed while they stay.
    let alone = |text: String| {
        let text = asks("unattended")(text);
        let hours =
            ["08:15-08:25", "11:00-11:10", "14:00-14:10"].map(|at| format!("\"mon-fri {at}\""));
        let mut out = String::new();
        for line in text
            .lines()
            .filter(|line| !line.starts_with("unattended_permission"))
        {
            if line.starts_with("hours = ") {
                out.push_str(&format!("hours = [{}]\n", hours.join(", ")));
            } else {
                out.push_str(&format!("{line}\n"));
            }
        }
        out.replace(
            "start_failure = ",
            "unattended_permission = \"paper 9\"\nstart_failure = ",
        )
    };
    let asked = asked_with(alone, "PETG", Doing::Start).await;
    assert_eq!(
        asked,
        "Ask an adult: it runs for some time with nobody there."
    );
    assert_eq!(asked_with(alone, "PETG", Doing::Clear).await, "");
    assert_eq!(
        asked_with(asks("unattended"), "PETG", Doing::Start).await,
        "",
        "somebody stays"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_bench_that_no_students_run_is_as_before() {
    let plain = region(|text| text.replace("student_run = true\nadult_for = []\n", ""));
    let world = World::new(&plain).await;
    let now = world.at(world.start).await;
    for what in [
        Act::Start,
        Act::Look,
        Act::TakeOff {
            good: world.copies.into(),
        },
        Act::Box,
    ] {
        world.does(&now, &what).await.unwrap();
    }
    let (store, region) = now.store().unwrap();
    let crew = store.crew(region, &world.code).await.unwrap();
    assert_eq!(
        crew,
        partpledge_records::CrewBook::default(),
        "nothing is kept"
    );
    let bench = world.bench();
    let none = say_present(&now, &bench, (&world.code, &[]), (None, None)).await;
    assert_eq!(
        none.unwrap_err().code(),
        "not-yours",
        "as if it were not there"
    );
    let add = CrewDeed::Add {
        name: "Newt".to_owned(),
    };
    assert!(world.lead(&now, &add).await.is_err());
}

#[tokio::test(flavor = "multi_thread")]
async fn a_spool_that_was_put_on_is_refused_as_it_is_done_and_looked_at_when_told_later() {
    let world = World::new(&region(|text| text)).await;
    let roll = Roll {
        host: world.code.clone(),
        material: "PETG".to_owned(),
        colour: "orange".to_owned(),
        net_g: 800,
        tare_g: None,
        donor: String::new(),
        received_at: EventMs(0),
    };
    let came = SpoolAct::Receive {
        roll,
        spools: 1,
        delivery: None,
    };
    act_on_spools(&world.session, &machine(), &came, None)
        .await
        .unwrap();
    let load = SpoolAct::Do(1, Deed::Loaded(world.printer.clone()));
    let later = world.at(world.session.minute() + Minutes(60)).await;
    let refused = act_on_spools(&later, &world.bench(), &load, None).await;
    why(&refused.unwrap_err());
    let then = (world.session.minute() + Minutes(20)).to_ms();
    act_on_spools_at(&later, &world.bench(), &load, None, Some(then))
        .await
        .unwrap();
    let looks = world.hub(&later).await.book.to_look;
    let said = looks
        .iter()
        .map(|one| (one.deed.as_str(), one.plate, one.at));
    assert_eq!(said.collect::<Vec<_>>(), [("load", 1, then)]);
    assert_eq!(looks[0].why, "not-told");
}

/// The card of the planner: nobody of the crew says alone that a printer can be used again that an adult has
/// put out of use.
#[tokio::test(flavor = "multi_thread")]
async fn what_an_adult_has_put_out_of_use_only_an_adult_puts_back() {
    let world = World::new(&region(|text| text)).await;
    let newt = world
        .member("Newt", &[Task::Plan], &world.class, "2027-06-01")
        .await;
    let teal = world
        .member("Teal", &[Task::Load], &world.class, "2027-06-01")
        .await;
    let (bench, printer) = (world.bench(), world.printer.as_str());
    let reason = ("The power went", world.start + Minutes(5_000));
    let now = world.at(world.start).await;
    printer_out(&now, &machine(), printer, reason, None)
        .await
        .unwrap();
    world.here(&now, &[newt, teal]).await;
    let at = async |minutes: i64| world.at(world.start + Minutes(minutes)).await;
    let refused = printer_back(&at(1).await, &bench, printer, None).await;
    assert_eq!(
        why(&refused.unwrap_err()),
        "Ask an adult: an adult has put it out of use."
    );
    // Taking it back would put it back just the same.
    let one = at(1).await;
    let (store, region) = one.store().unwrap();
    let told = store.told_of_use(region, printer, one.minute()).await;
    let seen = (printer, told.unwrap().last.unwrap().0);
    let refused = printer_undone(&one, &bench, seen, None).await;
    why(&refused.unwrap_err());
    let two = at(2).await;
    world.adult(&two, world.start + Minutes(3)).await;
    printer_back(&two, &bench, printer, None).await.unwrap();
    // What the crew has put out by itself, whoever plans the day may put back.
    let five = at(5).await;
    printer_out(&five, &bench, printer, reason, None)
        .await
        .unwrap();
    world.here(&five, &[teal]).await;
    let six = at(6).await;
    let refused = printer_back(&six, &bench, printer, None).await;
    assert!(why(&refused.unwrap_err()).starts_with("Newt may"));
    world.here(&six, &[newt]).await;
    printer_back(&at(7).await, &bench, printer, None)
        .await
        .unwrap();
    // The coordinator is an adult.
    printer_out(&at(8).await, &machine(), printer, reason, None)
        .await
        .unwrap();
    printer_back(&at(9).await, &machine(), printer, None)
        .await
        .unwrap();
}

/// The same of a printer that is put out of use with the run that failed on it: taken back, it would be used
/// again.
#[tokio::test(flavor = "multi_thread")]
async fn a_failed_run_by_which_an_adult_put_the_printer_out_of_use_only_an_adult_takes_back() {
    let world = World::new(&region(|text| text)).await;
    let newt = world
        .member("Newt", &[Task::Plan], &world.class, "2027-06-01")
        .await;
    let at = async |minutes: i64| world.at(world.start + Minutes(minutes)).await;
    let now = at(0).await;
    world.here(&now, &[newt]).await;
    world.adult(&now, world.start + Minutes(3)).await;
    world.does(&now, &Act::Start).await.unwrap();
    let fail = |out_until| Act::Fail {
        reason: "Layers are shifted".to_owned(),
        good: 0_u32.into(),
        out_until,
    };
    let out = fail(Some(world.start + Minutes(5_000)));
    world.does(&at(1).await, &out).await.unwrap();
    let (bench, step) = (world.bench(), (world.plate, StepKind::Failed));
    let refused = take_back(&at(5).await, &bench, step, None).await;
    assert_eq!(
        why(&refused.unwrap_err()),
        "Ask an adult: an adult has put it out of use."
    );
    let six = at(6).await;
    world.adult(&six, world.start + Minutes(7)).await;
    take_back(&six, &bench, step, None).await.unwrap();
    assert!(at(6).await.outages.is_empty());
    // What the crew told of itself, whoever plans the day takes back; so it is without an outage.
    let both = [fail(Some(world.start + Minutes(5_000))), fail(None)];
    for (minute, out) in [8, 10].into_iter().zip(both) {
        world.does(&at(minute).await, &out).await.unwrap();
        let next = at(minute + 1).await;
        take_back(&next, &bench, step, None).await.unwrap();
    }
}
