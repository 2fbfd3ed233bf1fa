//! What is stated is what happens: seeded fortnights of an invented region.

#[path = "invented/region.rs"]
mod region;

use partpledge_planning::Ground;
use partpledge_planning_model::PlaceIx;
use partpledge_season::{AFTER_SCHOOL, Demand, FortnightReport, fortnight};
use partpledge_units::time::Minute;

use region::{Frailty, kinds, region};

/// Printers that people look after.
const USUAL: Frailty = Frailty {
    start_failure: 0.04,
    failures_per_hour: 0.01,
    time_sigma: 0.06,
};

/// Printers that lose every fifth plate or so, and whose times spread widely.
const FRAIL: Frailty = Frailty {
    start_failure: 0.12,
    failures_per_hour: 0.04,
    time_sigma: 0.15,
};

fn play(frailty: Frailty, a_day: f64, seeds: std::ops::Range<u64>) -> FortnightReport {
    let region = region(frailty);
    let ground = Ground::new(&region);
    let demand = Demand {
        kinds: kinds(&region),
        places: (0..region.places.len()).map(PlaceIx).collect(),
        a_day,
        by_hour: AFTER_SCHOOL,
        level: 0.9,
        worlds: 200,
    };
    let mut all = FortnightReport::default();
    for seed in seeds {
        all.extend(fortnight(&ground, &demand, Minute(0), 14, seed));
    }
    all
}

/// Kept and stated shares; printed, so that a run of the test is a measurement.
fn shares(name: &str, report: &FortnightReport) -> (f64, f64) {
    let kept = report.kept_share().expect("there are pledges");
    let stated = report.mean_stated().expect("there are pledges");
    println!(
        "{name}: {} pledges, stated {:.1} %, kept {:.1} %",
        report.pledges.len(),
        stated * 100.0,
        kept * 100.0
    );
    (kept, stated)
}

/// The pledges that were least sure of themselves: here a false chance shows first.
fn least_sure(report: &FortnightReport) -> FortnightReport {
    let pledges = report.pledges.iter().filter(|pledge| pledge.stated < 0.95);
    FortnightReport {
        pledges: pledges.copied().collect(),
        refused: 0,
    }
}

#[test]
fn in_thirty_fortnights_the_kept_share_is_near_the_mean_stated_chance() {
    let all = play(USUAL, 8.0, 0..30);
    assert!(all.pledges.len() > 3_000 && all.refused == 0);
    let (kept, stated) = shares("usual", &all);
    // Must show: five points. The standard error of the kept share is 0.2 points here.
    assert!((kept - stated).abs() < 0.02, "kept {kept}, stated {stated}");
    let few = least_sure(&all);
    assert!(few.pledges.len() > 150, "{}", few.pledges.len());
    let (kept, stated) = shares("usual, stated below 95 %", &few);
    assert!((kept - stated).abs() < 0.07, "kept {kept}, stated {stated}");
}

#[test]
fn frail_and_busy_printers_keep_what_was_stated_too() {
    // A quote that took today's gaps for those of the day of the loss stated 98.1 % here and
    // kept 90.2 %.
    let all = play(FRAIL, 30.0, 0..3);
    assert!(all.pledges.len() > 1_000);
    let (kept, stated) = shares("frail and busy", &all);
    assert!((kept - stated).abs() < 0.03, "kept {kept}, stated {stated}");
    let few = least_sure(&all);
    assert!(few.pledges.len() > 150, "{}", few.pledges.len());
    let (kept, stated) = shares("frail and busy, stated below 95 %", &few);
    assert!((kept - stated).abs() < 0.07, "kept {kept}, stated {stated}");
}

#[test]
fn printers_that_never_fail_nor_spread_keep_every_pledge_to_the_minute() {
    let never = Frailty {
        start_failure: 0.0,
        failures_per_hour: 0.0,
        time_sigma: 0.0,
    };
    let all = play(never, 20.0, 0..2);
    assert!(all.pledges.len() > 400);
    for pledge in &all.pledges {
        assert_eq!(pledge.came, Some(pledge.pledged));
    }
}

#[test]
fn a_fortnight_replays_to_the_minute_and_another_seed_differs() {
    let first = play(FRAIL, 4.0, 1..2);
    assert_eq!(first, play(FRAIL, 4.0, 1..2));
    assert_ne!(first, play(FRAIL, 4.0, 2..3));
}

#[test]
fn teams_ask_after_school_as_often_as_they_should() {
    let all = play(USUAL, 20.0, 5..7);
    // 28 days of 20: 560 expected, standard deviation 24.
    let asked = all.pledges.len() + all.refused;
    assert!((465..655).contains(&asked), "{asked}");
    let evening = |at: Minute| (14..21).contains(&(at.0.rem_euclid(1_440) / 60));
    let late = all.pledges.iter().filter(|p| evening(p.asked)).count();
    let weights: f64 = AFTER_SCHOOL.iter().sum();
    let share = AFTER_SCHOOL[14..21].iter().sum::<f64>() / weights;
    let got = late as f64 / all.pledges.len() as f64;
    assert!((got - share).abs() < 0.085, "{got}, {share}");
}
