//! A hub's figures, read off what was done.

use partpledge_hubs::Change;
use partpledge_records::StepKind;
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::Minutes;
use partpledge_workshop::bench::{Act, Shown, act, catch_up};
use partpledge_workshop::boxes::NoCode;
use partpledge_workshop::hub::{Cause, HubFigures, figures};
use partpledge_workshop::{Actor, Books, Role, Session};

use super::{World, day, machine, region, send_one};

pub(super) async fn week(world: &World, session: &Session, date: &str) -> HubFigures {
    let books = Books::open(session).await.unwrap();
    let about = (world.code.as_str(), day(date));
    figures(session, &machine(), &books, about).await.unwrap()
}

pub(super) async fn done(session: &Session, plate: u64, what: &Act) {
    act(session, &machine(), plate, what, None).await.unwrap();
}

/// The parts of a change that can be told add up to it.
fn adds_up<C: std::fmt::Debug>(change: Option<&Change<C>>) {
    let change = change.unwrap();
    let sum: f64 = change.parts.iter().map(|part| part.much).sum();
    assert!((sum - (change.to - change.from)).abs() < 1e-9, "{change:?}");
}

/// The last day of a week, for a session that sees it whole.
pub(super) async fn after(world: &World, when: &str) -> Session {
    world
        .session
        .at(parse_rfc3339(when).unwrap())
        .await
        .unwrap()
}

#[tokio::test(flavor = "multi_thread")]
async fn what_was_done_in_a_week_stands_in_its_figures() {
    let world = World::new(&region(|text| text)).await;
    let start = world.at(world.start).await;
    done(&start, world.plate, &Act::Start).await;
    // All but two are good; those are made again and are good.
    let (all, lost) = (world.copies, 2);
    assert!(all > lost, "{all}");
    let off = world.at(world.start + Minutes(200)).await;
    done(
        &off,
        world.plate,
        &Act::TakeOff {
            good: (all - lost).into(),
        },
    )
    .await;
    let books = Books::open(&off).await.unwrap();
    let again = books.floor.next_seq - 1;
    assert_ne!(again, world.plate, "a reprint");
    let handed = Act::HandOver(Shown::Nothing(NoCode::Forgotten));
    done(&off, world.plate, &Act::Box).await;
    let later = world.at(world.start + Minutes(300)).await;
    done(&later, world.plate, &handed).await;
    let seen = after(&world, "2027-03-15T08:00:00+01:00").await;
    let found = week(&world, &seen, "2027-03-11").await;
    assert!(!found.so_far);
    assert_eq!(found.monday, day("2027-03-08"));
    let now = &found.now;
    assert_eq!(
        (now.first_pass.good, now.first_pass.of()),
        (all - lost, all)
    );
    assert_eq!(now.first_pass.lost.get(&Cause::NotGood), Some(&lost));
    assert_eq!(now.pace.done, 1);
    assert!(now.pace.asked >= 1);
    // The good for 300 minutes, what was lost for 200, in a week of 10,080.
    let minutes = 300 * (all - lost) + 200 * lost;
    let average = f64::from(minutes) / 10_080.0;
    assert!((now.work.all() - average).abs() < 1e-9, "{:?}", now.work);
    let printing = f64::from(200 * all) / 10_080.0;
    assert!((now.work.printing - printing).abs() < 1e-9);
    let through = now.through_min.unwrap();
    assert!(
        (through - f64::from(minutes) / f64::from(all)).abs() < 1e-9,
        "{through}"
    );
    assert_eq!(
        found.first_pass, None,
        "nothing was printed the week before"
    );
    assert_eq!(
        (found.before.pace.done, found.before.work.all().to_bits()),
        (0, 0)
    );
    adds_up(Some(&found.work));
    assert!(found.work.to > 0.0, "{:?}", found.work);
    // The reprint's copies are no first printing, wherever it was made.
    let books = Books::open(&later).await.unwrap();
    if books.step(again, StepKind::Started).is_none() {
        let place = *books.place(books.plate(again).unwrap()).unwrap();
        let then = world.at(place.start).await;
        done(&then, again, &Act::Start).await;
        let end = world.at(place.start + Minutes(100)).await;
        done(&end, again, &Act::TakeOff { good: lost.into() }).await;
    }
    let found = week(
        &world,
        &after(&world, "2027-03-22T08:00:00+01:00").await,
        "2027-03-11",
    )
    .await;
    assert_eq!(found.now.first_pass.of(), all);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_late_request_is_put_down_to_the_first_thing_that_went_wrong() {
    let world = World::new(&region(|text| text)).await;
    // Nobody starts it: the server plans it anew, and the promise passes.
    let late = world.at(world.start + Minutes(40)).await;
    catch_up(&late, &Actor::new(Role::Clock))
        .await
        .unwrap()
        .unwrap();
    let books = Books::open(&late).await.unwrap();
    let arrival = books.open_pledges()[0].1.pledge.arrival;
    let date = world.session.terrain.zone.date(arrival).to_string();
    let seen = world.at(arrival + Minutes(8 * 24 * 60)).await;
    let place = *books.place(books.plate(world.plate).unwrap()).unwrap();
    // What goes wrong with it later is not the first thing.
    done(&world.at(place.start).await, world.plate, &Act::Start).await;
    let fail = Act::Fail {
        reason: "Layers are shifted".to_owned(),
        good: 0.into(),
        out_until: None,
    };
    let failing = world.at(place.start + Minutes(30)).await;
    done(&failing, world.plate, &fail).await;
    let host = seen.terrain.host_at(place.printer, place.start).to_owned();
    let code = seen
        .terrain
        .file
        .schools
        .iter()
        .find(|school| school.name == host);
    let world = World {
        code: code.unwrap().code.clone(),
        ..world
    };
    let found = week(&world, &seen, &date).await;
    assert_eq!(
        found.now.on_time.rate().map(f64::to_bits),
        Some(0),
        "{:?}",
        found.now.on_time
    );
    let causes: Vec<_> = found.now.on_time.lost.into_iter().collect();
    assert_eq!(causes, [(Cause::NotStarted, 1)]);
    assert_eq!(found.on_time, None, "nothing was due the week before");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_failure_is_named_by_its_reason_and_moves_the_share() {
    let world = World::new(&region(|text| text)).await;
    let start = world.at(world.start).await;
    done(&start, world.plate, &Act::Start).await;
    let reason = "Layers are shifted".to_owned();
    let fail = Act::Fail {
        reason: reason.clone(),
        good: 0.into(),
        out_until: None,
    };
    done(
        &world.at(world.start + Minutes(30)).await,
        world.plate,
        &fail,
    )
    .await;
    // The week after, the same comes out good.
    let next = world.at(world.start + Minutes(7 * 24 * 60)).await;
    send_one(&next, super::SPACERS, "send-00002").await;
    let books = Books::open(&next).await.unwrap();
    let second = books.numbered(2).unwrap().request.id;
    let kept = books.plates_of(second).next().unwrap();
    let place = *books.place(kept).unwrap();
    let seq = kept.plate.seq.0;
    done(&world.at(place.start).await, seq, &Act::Start).await;
    done(
        &world.at(place.start + Minutes(90)).await,
        seq,
        &Act::TakeOff {
            good: kept.plate.copies.into(),
        },
    )
    .await;
    let seen = world.at(place.start + Minutes(14 * 24 * 60)).await;
    let date = seen.terrain.zone.date(place.start).to_string();
    let found = week(&world, &seen, &date).await;
    adds_up(found.first_pass.as_ref());
    adds_up(found.takt.as_ref());
    adds_up(found.cycle.as_ref());
    let host = seen.terrain.host_at(place.printer, place.start);
    assert_eq!(
        seen.terrain.file.school(&world.code).unwrap().name,
        host,
        "the same bench"
    );
    let change = found.first_pass.unwrap();
    let ends = (change.from.to_bits(), change.to.to_bits());
    assert_eq!(ends, (0.0_f64.to_bits(), 1.0_f64.to_bits()));
    assert_eq!(change.parts.len(), 1);
    assert_eq!(change.parts[0].by, Cause::Failed(reason));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_week_that_is_still_to_come_has_no_figures() {
    let world = World::new(&region(|text| text)).await;
    let (session, machine) = (&world.session, machine());
    let books = world.books().await;
    let ahead = figures(session, &machine, &books, (&world.code, day("2027-03-20"))).await;
    assert_eq!(ahead.unwrap_err().code(), "out-of-range");
}
