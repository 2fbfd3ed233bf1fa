//! A hub's figures where plates are shared, recalled, or the bench is closed: one printer, two teams.

use std::collections::BTreeMap;

use partpledge_hubs::moved::OfPace;
use partpledge_records::{KeptPlate, PlateState, PledgeEnd, SiteClosure};
use partpledge_units::time::{EventMs, Minute, Minutes};
use partpledge_workshop::bench::{
    Act, Changed, Good, Shown, answer_recall, change_region, close, end_request, recall,
};
use partpledge_workshop::boxes::{NoCode, box_of};
use partpledge_workshop::hub::Cause;
use partpledge_workshop::recalls::Target;
use partpledge_workshop::region_data::{Table, Told, propose, table};
use partpledge_workshop::{Actor, Books, Role, Session};

use super::figures::{after, done, week};
use super::{World, day, machine, send_for};

fn team(name: &str) -> Actor {
    Actor::new(Role::Team(name.to_owned()))
}

/// The first row of the request of that number.
fn row(books: &Books, number: i64) -> KeptPlate {
    let request = books.numbered(number).unwrap().request.id;
    books.plates_of(request).next().unwrap().clone()
}

/// With a copy of a second team on the same plate.
async fn shared() -> World {
    let world = World::of_two_teams().await;
    send_for(&world.session, "Eel Drive", 1).await;
    let books = world.books().await;
    assert_eq!(row(&books, 2).joins, Some(row(&books, 1).plate.seq));
    world
}

/// When the plate is planned to start.
fn planned(books: &Books, seq: u64) -> Minute {
    books.place(books.plate(seq).unwrap()).unwrap().start
}

#[tokio::test(flavor = "multi_thread")]
async fn whoever_is_called_back_takes_the_others_out_of_no_figure() {
    let world = shared().await;
    let books = world.books().await;
    let gone = row(&books, 1).request;
    let of = team("Newt Works");
    end_request(&world.session, &of, gone, PledgeEnd::Withdrawn, None)
        .await
        .unwrap();
    let books = world.books().await;
    assert_eq!(
        books.plate(world.plate).unwrap().state,
        PlateState::Withdrawn
    );
    let start = planned(&books, world.plate);
    done(&world.at(start).await, world.plate, &Act::Start).await;
    let off = world.at(start + Minutes(50)).await;
    done(&off, world.plate, &Act::TakeOff { good: 1.into() }).await;
    let seen = after(&world, "2027-03-15T08:00:00+01:00").await;
    let (store, place) = seen.store().unwrap();
    assert_eq!(
        store.finished_runs(place).await.unwrap(),
        [],
        "nothing was learned of it"
    );
    let now = week(&world, &seen, "2027-03-09").await.now;
    assert_eq!((now.first_pass.good, now.first_pass.of()), (1, 1));
    assert_eq!((now.pace.asked, now.pace.done), (1, 1));
    assert!((now.work.printing - 50.0 / 10_080.0).abs() < 1e-9);
}

#[tokio::test(flavor = "multi_thread")]
async fn what_others_lost_on_a_plate_is_no_cause() {
    let world = shared().await;
    let books = world.books().await;
    let start = planned(&books, world.plate);
    done(&world.at(start).await, world.plate, &Act::Start).await;
    // All of Newt Works' copies are good, and Eel Drive's is not.
    let good = Good {
        first: 2,
        others: BTreeMap::from([(row(&books, 2).plate.seq.0, 0)]),
    };
    let off = world.at(start + Minutes(50)).await;
    done(&off, world.plate, &Act::TakeOff { good }).await;
    let seen = after(&world, "2027-03-15T08:00:00+01:00").await;
    let now = week(&world, &seen, "2027-03-09").await.now;
    assert_eq!((now.first_pass.good, now.first_pass.of()), (2, 3));
    let causes: Vec<_> = now.on_time.lost.into_iter().collect();
    assert_eq!(causes, [(Cause::NotGood, 1), (Cause::Slow, 1)]);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_closure_that_was_known_before_the_promise_is_no_cause() {
    let world = World::of_two_teams().await;
    let now = world.session.minute();
    let closure = SiteClosure {
        schools: vec![world.code.clone()],
        from: now + Minutes(2),
        until: now + Minutes(180),
        reason: "burst pipe".to_owned(),
    };
    let told = world.at(now + Minutes(1)).await;
    close(&told, &machine(), (&closure, None), None)
        .await
        .unwrap();
    let later = world.at(now + Minutes(5)).await;
    send_for(&later, "Eel Drive", 1).await;
    let seen = after(&world, "2027-03-15T08:00:00+01:00").await;
    let late = week(&world, &seen, "2027-03-09").await.now.on_time;
    let causes: Vec<_> = late.lost.into_iter().collect();
    let pipe = Cause::Closed("burst pipe".to_owned());
    assert_eq!(causes, [(pipe, 1), (Cause::NotKnown, 1)]);
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_made_again_after_a_recall_is_no_first_printing_and_is_in_progress() {
    let world = World::of_two_teams().await;
    let books = world.books().await;
    let kept = row(&books, 1);
    let start = planned(&books, world.plate);
    done(&world.at(start).await, world.plate, &Act::Start).await;
    let off = world.at(start + Minutes(60)).await;
    done(&off, world.plate, &Act::TakeOff { good: 2.into() }).await;
    done(&off, world.plate, &Act::Box).await;
    let line = box_of(&off, &Books::open(&off).await.unwrap(), &kept).unwrap();
    let (_, departure, arrives) = line.goes.unwrap();
    done(&world.at(departure.leaves).await, world.plate, &Act::Leave).await;
    let handed = Act::HandOver(Shown::Nothing(NoCode::Forgotten));
    done(&world.at(arrives).await, world.plate, &handed).await;
    // Its promise is kept. Then the printer is found to have drifted.
    let later = world.at(arrives + Minutes(60)).await;
    let target = Target::Printer {
        name: world.printer.clone(),
        from: EventMs(world.start.to_ms().0 - 3_600_000),
        until: later.now,
    };
    recall(&later, &machine(), &target, None).await.unwrap();
    let bad = (kept.request, "", false);
    answer_recall(&later, &team("Newt Works"), bad, None)
        .await
        .unwrap();
    let books = Books::open(&later).await.unwrap();
    let again = books.floor.next_seq - 1;
    assert_ne!(again, world.plate, "a reprint");
    let start = planned(&books, again);
    done(&world.at(start).await, again, &Act::Start).await;
    let off = world.at(start + Minutes(40)).await;
    done(&off, again, &Act::TakeOff { good: 2.into() }).await;
    let seen = after(&world, "2027-03-15T08:00:00+01:00").await;
    let now = week(&world, &seen, "2027-03-09").await.now;
    assert_eq!((now.first_pass.good, now.first_pass.of()), (2, 2));
    assert_eq!(now.pace.done, 2);
    let printing = f64::from(2 * (60 + 40)) / 10_080.0;
    assert!(
        (now.work.printing - printing).abs() < 1e-9,
        "{:?}",
        now.work
    );
}

/// A plate made in one week, and another asked for on the Monday of the next.
async fn two_weeks() -> (World, Session) {
    let world = World::of_two_teams().await;
    let start = planned(&world.books().await, world.plate);
    done(&world.at(start).await, world.plate, &Act::Start).await;
    let off = world.at(start + Minutes(60)).await;
    done(&off, world.plate, &Act::TakeOff { good: 2.into() }).await;
    let monday = after(&world, "2027-03-15T08:00:00+01:00").await;
    send_for(&monday, "Eel Drive", 1).await;
    let monday = after(&world, "2027-03-15T08:05:00+01:00").await;
    (world, monday)
}

#[tokio::test(flavor = "multi_thread")]
async fn closures_take_staffed_minutes_each_counted_once() {
    let (world, monday) = two_weeks().await;
    let zone = &world.session.terrain.zone;
    let at = |date: &str, hour: i8| zone.minute(day(date), jiff::civil::time(hour, 0, 0, 0));
    let shut = |from: Minute, until: Minute, reason: &str| SiteClosure {
        schools: vec![world.code.clone()],
        from,
        until,
        reason: reason.to_owned(),
    };
    let snow = shut(at("2027-03-17", 0), at("2027-03-18", 0), "snow");
    let pipe = shut(at("2027-03-17", 12), at("2027-03-18", 13), "burst pipe");
    for closure in [&snow, &pipe] {
        close(&monday, &machine(), (closure, None), None)
            .await
            .unwrap();
    }
    let seen = after(&world, "2027-03-29T08:00:00+02:00").await;
    let found = week(&world, &seen, "2027-03-17").await;
    // Five days of ten hours. Wednesday goes with the snow; of the pipe, Thursday until one is left.
    let pace = &found.now.pace;
    let closed = [("burst pipe", 300), ("snow", 600)].map(|(why, min)| (why.to_owned(), min));
    assert_eq!(pace.closed_min, BTreeMap::from(closed));
    assert_eq!((pace.hours_min, pace.staffed_min()), (3_000, 2_100));
    let before = &found.before.pace;
    assert_eq!((before.hours_min, before.staffed_min()), (3_000, 3_000));
    assert_eq!((pace.asked, before.asked), (1, 1));
    let takt = found.takt.unwrap();
    let parts: Vec<_> = takt
        .parts
        .into_iter()
        .map(|part| (part.by, part.much))
        .collect();
    let of = |why: &str| OfPace::Closed(why.to_owned());
    assert_eq!(
        parts[..2],
        [(of("snow"), -600.0), (of("burst pipe"), -300.0)]
    );
    assert!(
        parts[2..].iter().all(|(_, much)| much.abs() < 1e-9),
        "{parts:?}"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn changed_weekly_hours_move_the_takt_from_their_week_on() {
    let (world, monday) = two_weeks().await;
    let hours = table(&monday, &machine(), Table::Hours).unwrap();
    let hours = String::from_utf8(hours).unwrap();
    let told = Told {
        table: Table::Hours,
        bytes: hours.replace("08:00-18:00", "08:00-16:00").into_bytes(),
        removes: false,
    };
    let books = Books::open(&monday).await.unwrap();
    let shown = propose(&monday, &machine(), &books, &told).await.unwrap();
    let what = (&told, shown.digest.as_str());
    let changed = change_region(&monday, &machine(), what, None)
        .await
        .unwrap();
    assert!(matches!(changed, Changed::Done(_)));
    let seen = after(&world, "2027-03-22T08:00:00+01:00").await;
    let found = week(&world, &seen, "2027-03-17").await;
    assert_eq!(found.before.pace.hours_min, 3_000);
    assert_eq!(found.now.pace.hours_min, 2_400);
    let takt = found.takt.unwrap();
    assert_eq!(
        (&takt.parts[0].by, takt.parts[0].much),
        (&OfPace::Hours, -600.0)
    );
}
