//! What a part really took, failed prints of it included; and the season so far, which is made of that.

use partpledge_workshop::calendar::{When, calendar};
use partpledge_workshop::shares::shares;
use partpledge_workshop::so_far::{SoFar, so_far, table};
use partpledge_workshop::spent::{Runs, Spent};

use super::*;

/// A quarter of an hour after a start.
const QUARTER: Minutes = Minutes(15);

impl World {
    async fn spent(&self, session: &Session, kept: &KeptPlate) -> Option<Spent> {
        let books = self.books().await;
        let runs = Runs::of_request(session, &books, kept.request).await;
        runs.unwrap().of(kept.request)
    }

    async fn season(&self, session: &Session) -> SoFar {
        so_far(session, &bench(), &self.books().await)
            .await
            .unwrap()
    }

    /// The first plate fails after a quarter of an hour; the one that is made instead is handed over.
    async fn at_the_second_go(&self) -> (KeptPlate, Session) {
        let books = self.books().await;
        let kept = books.floor.kept[0].clone();
        let place = *books.place(&kept).unwrap();
        let start = self.at(place.start).await;
        let seq = kept.plate.seq.0;
        act(&start, &bench(), seq, &Act::Start, None).await.unwrap();
        let fail = Act::Fail {
            reason: "loose".to_owned(),
            good: 0.into(),
            out_until: None,
        };
        let later = self.at(place.start + QUARTER).await;
        act(&later, &bench(), seq, &fail, None).await.unwrap();
        let books = self.books().await;
        let again = books.floor.kept.last().unwrap().clone();
        let place = *books.place(&again).unwrap();
        let start = self.at(place.start).await;
        let seq = again.plate.seq.0;
        act(&start, &bench(), seq, &Act::Start, None).await.unwrap();
        let end = self.at(place.end).await;
        let good = again.plate.copies.into();
        let hand = Act::HandOver(Shown::Nothing(NoCode::Forgotten));
        for what in [Act::TakeOff { good }, Act::Box, Act::Leave, hand] {
            act(&end, &bench(), seq, &what, None).await.unwrap();
        }
        (again, end)
    }
}

/// What became of a school's promises would be what became of its one team's.
fn no_promises_by_school(season: &SoFar, csv: &str) {
    assert!(!season.schools.is_empty());
    for (school, tally) in &season.schools {
        assert_eq!((tally.kept, tally.broken), (0, 0), "{school}");
    }
    let cells = csv.lines().map(|line| line.split(',').collect::<Vec<_>>());
    for cells in cells.filter(|cells| cells[0] == "school") {
        assert_eq!(cells[4..7], ["", "", ""], "{cells:?}");
        assert_ne!(cells[2], "", "{cells:?}");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn the_season_says_since_which_day_it_counts() {
    let world = World::new(REGION).await;
    let season = world.season(&world.session).await;
    let now = world.session.now;
    let since = season.since.unwrap();
    assert!(
        since <= Minute::at_or_before(now),
        "it was asked for by then"
    );
    let csv = String::from_utf8(table(&world.session, &season)).unwrap();
    let first = csv.lines().nth(1).unwrap();
    assert!(first.ends_with(",2027-03-09"), "{first}");
}

#[tokio::test(flavor = "multi_thread")]
async fn what_a_part_took_has_its_failed_print_in_it_and_the_season_is_the_sum() {
    let world = World::new(REGION).await;
    let first = world.books().await.floor.kept[0].clone();
    assert_eq!(world.spent(&world.session, &first).await, None);
    let nothing = world.season(&world.session).await;
    assert_eq!((nothing.all.runs, nothing.half_within), (0, None));
    let (again, end) = world.at_the_second_go().await;
    let books = world.books().await;
    let step = |plate: &KeptPlate, kind| books.step(plate.plate.seq.0, kind).unwrap().at;
    let whole = step(&again, StepKind::Off).0 - step(&again, StepKind::Started).0;
    let spent = world.spent(&end, &again).await.unwrap();
    assert_eq!((spent.runs, spent.failed), (2, 1));
    assert_eq!(spent.length, Minutes(whole / 60_000) + QUARTER);
    assert!(!spent.shared);
    // A quarter of an hour of the first plate, and all of the second.
    let plate_g = again.plate.grams as f64;
    assert!(spent.grams > plate_g && spent.grams < 2.0 * plate_g);
    let [low, high] = spent.cost.unwrap();
    assert!(low.minor > 0 && low.minor <= high.minor);
    let season = world.season(&end).await;
    assert_eq!((season.all.parts, season.all.copies), (1, 2));
    assert_eq!((season.all.runs, season.all.failed), (2, 1));
    assert_eq!(season.all.printing, spent.length);
    assert!((season.all.grams - spent.grams).abs() < 1e-9);
    let currency = end.costs.currency;
    for (sum, own) in season.all.cost(currency).iter().zip([low, high]) {
        // Each run is rounded by itself in the season's sum.
        assert!((sum.minor - own.minor).abs() <= 1, "{sum:?} {own:?}");
        assert!(sum.minor > 0);
    }
    assert_eq!(season.all.kept + season.all.broken, 1);
    // As the shares have it: the failed print stands in nobody's, and waits are one and the same.
    let all = shares(&end, &coordinator(), &books).await.unwrap();
    assert_eq!(all.teams[0].printing + QUARTER, season.all.printing);
    assert_eq!(all.teams[0].wait, season.half_within);
    assert_eq!(all.teams[0].parts, season.all.copies);
    assert_eq!(season.half_within, season.nine_in_ten_within);
    let only = season.half_within.unwrap();
    assert_eq!((season.waits, season.all_within), (1, Some((only, only))));
    assert_eq!(season.teams, [(world.team.clone(), 2)]);
    // Every way of cutting the season comes to the same.
    for parts in [&season.materials, &season.schools] {
        let runs: usize = parts.iter().map(|(_, tally)| tally.runs).sum();
        let copies: usize = parts.iter().map(|(_, tally)| tally.copies).sum();
        assert_eq!((runs, copies), (2, 2), "{parts:?}");
    }
    let [(month, tally)] = season.months.as_slice() else {
        panic!("one month: {:?}", season.months);
    };
    assert_eq!(
        (month.to_string().as_str(), tally),
        ("2027-03-01", &season.all)
    );
    let csv = String::from_utf8(table(&end, &season)).unwrap();
    assert!(csv.starts_with("by,name,parts,copies,promises_kept,"));
    assert!(csv.contains("\r\nseason,,1,2,"), "{csv}");
    assert!(csv.contains("\r\nmonth,2027-03,1,2,"), "{csv}");
    no_promises_by_school(&season, &csv);
    assert!(csv.contains(",example,"), "{csv}");
    assert!(
        csv.contains(&format!("\r\nteam,{},,2,", world.team)),
        "{csv}"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_promise_whose_time_is_over_counts_as_not_kept_before_anybody_ends_it() {
    let world = World::new(REGION).await;
    let books = world.books().await;
    let request = books.requests[0].request.id;
    let arrival = books.pledge_of(request).unwrap().pledge.arrival;
    let due = world.season(&world.at(arrival).await).await;
    assert_eq!((due.all.over, due.all.due()), (0, 0));
    let late = world.at(arrival + Minutes(1)).await;
    let season = world.season(&late).await;
    assert_eq!((season.all.over, season.all.due()), (1, 1));
    assert_eq!((season.all.kept, season.all.broken), (0, 0));
    assert_eq!(season.months[0].1.over, 1);
    assert!(season.schools.iter().all(|(_, tally)| tally.over == 0));
    let csv = String::from_utf8(table(&late, &season)).unwrap();
    assert!(csv.contains("\r\nseason,,0,0,0,0,1,0,"), "{csv}");
    // Once it is handed over it has ended, and is counted once.
    let (_, end) = world.at_the_second_go().await;
    let all = world.season(&end).await.all;
    assert_eq!((all.over, all.due()), (0, 1));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_tick_far_too_late_costs_nobody_hours_that_were_not_printed() {
    let world = World::new(REGION).await;
    let books = world.books().await;
    let kept = books.floor.kept[0].clone();
    let place = *books.place(&kept).unwrap();
    let seq = kept.plate.seq.0;
    let start = world.at(place.start).await;
    act(&start, &bench(), seq, &Act::Start, None).await.unwrap();
    let mut making = kept.plate.makings.iter();
    let making = making
        .find(|making| making.printer == place.printer)
        .unwrap();
    // People are there all the time, and its end is noted in the afternoon.
    let ticked = world.at(place.start + Minutes(300)).await;
    let off = Act::TakeOff {
        good: kept.plate.copies.into(),
    };
    act(&ticked, &bench(), seq, &off, None).await.unwrap();
    let begun = (place.start, making.worked_out);
    let (terrain, noted) = (&ticked.terrain, ticked.minute());
    assert!(terrain.end_seen(place.printer, begun, noted), "{begun:?}");
    assert!(
        making.worked_out.0 * 2 < 300,
        "learning doesn't believe it: {begun:?}"
    );
    let spent = world.spent(&ticked, &kept).await.unwrap();
    assert_eq!(spent.length, making.nominal);
    assert!(spent.misnoted && !spent.seen);
    let books = world.books().await;
    let all = shares(&ticked, &coordinator(), &books).await.unwrap();
    assert_eq!(all.teams[0].printing, making.nominal);
    assert_eq!(
        world.season(&ticked).await.all.printing,
        making.nominal,
        "what it cost follows"
    );
}

#[tokio::test(flavor = "multi_thread")]
async fn a_teams_calendar_moves_with_a_promise_that_is_at_risk() {
    let world = World::new(REGION).await;
    let books = world.books().await;
    let request = books.requests[0].request.id;
    let arrival = books.pledge_of(request).unwrap().pledge.arrival;
    let read = async |at: Minute| {
        let session = world.at(at).await;
        let books = world.books().await;
        let all = calendar(&session, &world.team(), &books).await.unwrap();
        let outcome = outcome_of(&session, &books, request).unwrap();
        (all[0].clone(), outcome)
    };
    let (before, outcome) = read(world.session.minute()).await;
    assert!(!outcome.at_risk());
    assert_eq!(before.when, When::Between(arrival, arrival + QUARTER));
    assert!(!before.what.contains("Late"), "{}", before.what);
    // Its time is over, and nothing was printed.
    let (after, outcome) = read(arrival + Minutes(5)).await;
    assert!(outcome.at_risk());
    assert_eq!(after.name, before.name);
    assert!(after.sequence > before.sequence, "{before:?} {after:?}");
    assert!(after.what.starts_with("Late"), "{}", after.what);
    let at = outcome.likely.unwrap_or(arrival);
    assert_eq!(after.when, When::Between(at, at + QUARTER));
    let (later, _) = read(arrival + Minutes(65)).await;
    assert!(later.sequence > after.sequence);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_bed_that_is_cleared_the_next_day_was_not_printed_on_all_night() {
    let world = World::new(REGION).await;
    let books = world.books().await;
    let kept = books.floor.kept[0].clone();
    let place = *books.place(&kept).unwrap();
    let start = world.at(place.start).await;
    let seq = kept.plate.seq.0;
    act(&start, &bench(), seq, &Act::Start, None).await.unwrap();
    let next_day = world.at(place.end + Minutes(1_440)).await;
    let good = kept.plate.copies.into();
    let off = Act::TakeOff { good };
    act(&next_day, &bench(), seq, &off, None).await.unwrap();
    let spent = world.spent(&next_day, &kept).await.unwrap();
    let making = kept.plate.makings.iter();
    let mut making = making.filter(|making| making.printer == place.printer);
    assert_eq!(spent.length, making.next().unwrap().nominal);
    assert!(!spent.seen);
    // The printer leaves the region: what was expected of the run is on record with it.
    let gone = without_printers(next_day);
    let after = world.spent(&gone, &kept).await.unwrap();
    let mut making = kept.plate.makings.iter();
    let making = making.find(|making| making.printer == place.printer);
    assert_eq!(after.length, making.unwrap().worked_out);
    assert!(!after.seen);
}

/// The same moment, when none of the printers is in the region any more.
fn without_printers(mut session: Session) -> Session {
    for printer in &mut session.terrain.region.printers {
        printer.name.push_str(" was here");
    }
    session
}

#[tokio::test(flavor = "multi_thread")]
async fn a_failed_run_took_no_more_once_its_printer_has_left() {
    let world = World::new(REGION).await;
    let (again, end) = world.at_the_second_go().await;
    let before = world.spent(&end, &again).await.unwrap();
    let after = world.spent(&without_printers(end), &again).await.unwrap();
    let plate_g = again.plate.grams as f64;
    assert!(after.grams > plate_g && after.grams < 2.0 * plate_g);
    assert_eq!((after.runs, after.failed), (2, 1));
    assert_eq!((after.length, after.cost), (before.length, None));
}
