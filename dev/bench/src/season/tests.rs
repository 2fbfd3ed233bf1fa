//! A few seasons in `check`; the bench plays hundreds.

use partpledge_season::{Quoting, Scenario, Setting};

use super::joining::apart;
use super::measured::Measured;
use super::{A_DAY, played, setting};

/// Played seasons of the demo region.
fn measured(scenario: &Scenario, quoting: Quoting, seasons: u64, a_day: f64) -> Measured {
    let setting = setting::demo(a_day).unwrap();
    let reports = played(&setting, scenario, quoting, seasons);
    Measured::of(scenario, &setting.levels, &reports)
}

#[test]
fn as_believed_what_is_kept_is_what_was_stated() {
    let base = measured(&Scenario::base(), Quoting::Fast, 5, A_DAY);
    assert!(base.levels[0].all.pledges > 5_000 && base.refused < 10);
    let apart = |i: usize| (base.levels[i].all.kept - base.levels[i].all.stated).abs();
    // Seasons' kept shares differ by 1.2 points (standard deviation), so five by 0.6: 3 and four of it.
    assert!(apart(0) < 0.03 + 0.024, "{}", apart(0));
    for level in 1..=3 {
        assert!(apart(level) < 0.03 + 0.036, "{level}: {}", apart(level));
    }
    // The best constant, known afterwards.
    let lead = base.levels[0].lead.unwrap();
    let best = lead.one_a_team_h.min(lead.one_for_all_h);
    assert!(lead.quoted_h < 0.75 * best, "{lead:?}");
    let fair = base.levels[0].fair.unwrap();
    assert!(fair.waited > 0.8 && fair.got > 0.9, "{fair:?}");
}

#[test]
fn printers_worse_than_believed_are_found_out_in_two_weeks() {
    let worse = measured(&Scenario::worse_printers(), Quoting::Fast, 3, A_DAY);
    let (all, later) = (worse.levels[0].all, worse.levels[0].later);
    assert!(later.kept > later.stated - 0.05 - 0.03, "{later:?}");
    // It is harder at all: the first weeks were stated by wrong priors.
    let early = worse.levels[0].weeks[0];
    assert!(
        early.kept < early.stated && all.kept < 0.97,
        "{early:?} {all:?}"
    );
}

#[test]
fn joining_breaks_no_promise_of_those_who_were_there_before() {
    let setting = Setting {
        shared: Some(setting::SHARED),
        ..setting::of_small_parts(2.0 * A_DAY).unwrap()
    };
    // Two seasons have 140 of each: too few for a bound of 3 points (standard error 1.6).
    let reports = played(&setting, &Scenario::base(), Quoting::Fast, 4);
    let all = || reports.iter().flat_map(|report| &report.given);
    let joined = all().filter(|one| one.joined).count();
    let before = all().filter(|one| one.carries).count();
    assert!(joined > 100 && before > 100, "{joined} {before}");
    let (riders, _) = apart(&reports, |one| one.carries).unwrap();
    let (joiners, _) = apart(&reports, |one| one.joined).unwrap();
    assert!(riders > -0.03 && joiners > -0.03, "{riders} {joiners}");
}

#[test]
fn a_season_replays_to_the_minute_and_the_drawings_say_what_was_measured() {
    let setting = setting::demo(6.0).unwrap();
    let scenario = Scenario::lost_hosts();
    let first = played(&setting, &scenario, Quoting::Fast, 2);
    assert_eq!(first, played(&setting, &scenario, Quoting::Fast, 2));
    assert_ne!(first[0], first[1]);
    let all = [Measured::of(&scenario, &setting.levels, &first)];
    for svg in [
        super::plots::reliability(&all),
        super::plots::weeks(&all),
        super::plots::lead_times(&all[0]),
    ] {
        assert!(
            svg.starts_with("<svg") && svg.trim_end().ends_with("</svg>") && !svg.contains("NaN")
        );
    }
    let rows = super::plots::table(&all);
    let all_pledges = format!("| all | {} |", first[0].given.len() + first[1].given.len());
    assert!(rows.contains(&all_pledges), "{rows}");
}
