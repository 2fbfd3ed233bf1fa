//! Seasons of the demo region, by the hundred: does "9 in 10" mean 9 in 10?

mod agreement;
mod setting;

use std::sync::atomic::{AtomicUsize, Ordering};

use partpledge_season::reliability::{by_decile, fairness, lead_times, shares};
use partpledge_season::{Given, Quoting, Scenario, SeasonReport, Setting, season};

/// `season ...`
pub(crate) fn run(options: &[&str]) -> Result<(), String> {
    if options.first() == Some(&"agreement") {
        return agreement::run();
    }
    let number = |i: usize, default: f64| {
        options
            .get(i)
            .and_then(|w| w.parse().ok())
            .unwrap_or(default)
    };
    let seeds = number(0, 10.0) as u64;
    let which = options.get(1).copied().unwrap_or("base");
    let a_day = number(2, 30.0);
    let worlds = number(3, 0.0) as u64;
    let setting = setting::demo(a_day)?;
    let scenario = match which {
        "base" => Scenario::base(),
        "worse" => Scenario::worse_printers(),
        "flu" => Scenario::flu(),
        "burst" => Scenario::burst(),
        _ => Scenario::lost_hosts(),
    };
    let quoting = if worlds > 0 {
        Quoting::Worlds(worlds)
    } else {
        Quoting::Fast
    };
    let (reports, seconds) = crate::timed(|| played(&setting, &scenario, quoting, 0..seeds));
    let all: Vec<&Given> = reports.iter().flat_map(|r| &r.given).collect();
    let refused: usize = reports.iter().map(|r| r.refused).sum();
    println!(
        "{which}: {} seasons, {} pledges, {refused} refused, {seconds:.1} s wall",
        reports.len(),
        all.len()
    );
    for level in [0.0, 0.70, 0.90, 0.97] {
        let of: Vec<&Given> = all
            .iter()
            .copied()
            .filter(|g| level == 0.0 || (g.level - level).abs() < 1e-6)
            .collect();
        let Some(s) = shares(of.iter().copied()) else {
            continue;
        };
        println!(
            "level {level}: n {} stated {:.3} kept {:.3} diff {:+.3}",
            s.pledges,
            s.stated,
            s.kept,
            s.kept - s.stated
        );
        let line: Vec<String> = by_decile(&of)
            .iter()
            .map(|d| format!("{:.2}{:+.3}", d.stated, d.kept - d.stated))
            .collect();
        println!("   {}", line.join("  "));
        let weeks: Vec<String> = (0..6)
            .filter_map(|w| shares(of.iter().copied().filter(|g| g.day / 7 == w)))
            .map(|s| format!("{:+.3}({})", s.kept - s.stated, s.pledges))
            .collect();
        println!("   weeks {}", weeks.join("  "));
        let late: Vec<&Given> = of.iter().copied().filter(|g| g.day >= 14).collect();
        if let Some(s) = shares(late.iter().copied()) {
            println!(
                "   after two weeks stated {:.3} kept {:.3} diff {:+.3}",
                s.stated,
                s.kept,
                s.kept - s.stated
            );
        }
        if let Some(l) = lead_times(&of) {
            println!(
                "   lead quoted {:.1} h waited {:.1} one for all {:.1} ({:.0} % shorter) one a team {:.1} ({:.0} %)",
                l.quoted_h,
                l.waited_h,
                l.one_for_all_h,
                100.0 * (1.0 - l.quoted_h / l.one_for_all_h),
                l.one_a_team_h,
                100.0 * (1.0 - l.quoted_h / l.one_a_team_h)
            );
        }
        if let Some(f) = fairness(&of) {
            println!("   fairness {f:?}");
        }
    }
    Ok(())
}

/// Plays seeds on two threads.
fn played(
    setting: &Setting,
    scenario: &Scenario,
    quoting: Quoting,
    seeds: std::ops::Range<u64>,
) -> Vec<SeasonReport> {
    let next = AtomicUsize::new(0);
    let seeds: Vec<u64> = seeds.collect();
    let work = || {
        let mut out = Vec::new();
        while let Some(&seed) = seeds.get(next.fetch_add(1, Ordering::Relaxed)) {
            out.push((seed, season(setting, scenario, quoting, seed)));
        }
        out
    };
    let mut all: Vec<(u64, SeasonReport)> = std::thread::scope(|scope| {
        let threads: Vec<_> = (0..2).map(|_| scope.spawn(work)).collect();
        threads
            .into_iter()
            .flat_map(|t| t.join().unwrap_or_default())
            .collect()
    });
    all.sort_by_key(|(seed, _)| *seed);
    all.into_iter().map(|(_, report)| report).collect()
}
