//! Seasons of the demo region, by the hundred: does "9 in 10" mean 9 in 10?

mod agreement;
mod joining;
mod measured;
mod plots;
mod setting;
#[cfg(test)]
mod tests;

use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};

use partpledge_season::{Quoting, Scenario, SeasonReport, Setting, season};

use measured::Measured;

/// Requests a day of the demo region's 40 teams, 1,260 in a season.
const A_DAY: f64 = 30.0;
/// Seasons as believed, and of each harder scenario.
const SEASONS: (u64, u64) = (200, 40);
/// Seasons played with the exact quote, and its worlds.
const SPOT_CHECK: (u64, u64) = (5, 400);
/// Wanted: at most so far apart as believed, overall and by decile.
const APART: f64 = 0.03;
/// Wanted: at most so far below in the harder scenarios, after two weeks.
const BELOW: f64 = 0.05;
/// Wanted: quoted lead times so much shorter than the best constant.
const SHORTER: f64 = 0.25;

/// `season [--seasons N] [--harder N] [--exact N] [--out DIR] | season joining [--seasons N]
/// [--worlds N] [--a-day N] [--small] [--out DIR] | season agreement [--requests N] [--seed N] [--worlds N]
/// [--differences]`.
pub(crate) fn run(options: &[&str]) -> Result<(), String> {
    let option = |name: &str| {
        let at = options.iter().position(|word| *word == name)?;
        options.get(at + 1).copied()
    };
    let number = |name: &str, default: u64| match option(name) {
        None => Ok(default),
        Some(word) => (word.parse()).map_err(|_| format!("{name} {word} is not a number")),
    };
    if options.first() == Some(&"agreement") {
        return agreement::run(agreement::Options {
            requests: number("--requests", 500)?,
            seed: number("--seed", 5)?,
            worlds: number("--worlds", agreement::WORLDS)?,
            tell: options.contains(&"--differences"),
        });
    }
    if options.first() == Some(&"joining") {
        let small = options.contains(&"--small");
        let asked = joining::Options {
            small,
            seasons: number("--seasons", joining::SEASONS)?,
            worlds: number("--worlds", 0)?,
            out: option("--out"),
        };
        let a_day = number("--a-day", 30)? as f64;
        let setting = if small {
            setting::of_small_parts(a_day)?
        } else {
            setting::demo(a_day)?
        };
        return joining::run(&setting, &asked);
    }
    let (seasons, harder) = (
        number("--seasons", SEASONS.0)?,
        number("--harder", SEASONS.1)?,
    );
    let exact = number("--exact", SPOT_CHECK.0)?;
    let setting = setting::demo(A_DAY)?;
    let mut all = Vec::new();
    for scenario in scenarios() {
        let many = if all.is_empty() { seasons } else { harder };
        all.push(measure(&setting, &scenario, Quoting::Fast, many));
    }
    print!("{}{}", plots::table(&all), plots::more_tables(&all));
    if exact > 0 {
        let worlds = Quoting::Worlds(SPOT_CHECK.1);
        let spot = [measure(&setting, &Scenario::base(), worlds, exact)];
        println!(
            "\nThe same seasons with the exact quote\n\n{}",
            plots::table(&spot)
        );
    }
    if let Some(dir) = option("--out") {
        write(Path::new(dir), &all)?;
    }
    judge(&all)
}

fn scenarios() -> [Scenario; 5] {
    [
        Scenario::base(),
        Scenario::worse_printers(),
        Scenario::flu(),
        Scenario::burst(),
        Scenario::lost_hosts(),
    ]
}

/// Plays a scenario and says on stderr how long it took.
fn measure(setting: &Setting, scenario: &Scenario, quoting: Quoting, seasons: u64) -> Measured {
    let (reports, wall_s) = crate::timed(|| played(setting, scenario, quoting, seasons));
    eprintln!("{}: {seasons} seasons, {wall_s:.0} s", scenario.name);
    Measured::of(scenario, &setting.levels, &reports)
}

/// Plays seeds 0 and up, two at a time; the answer does not depend on that.
fn played(
    setting: &Setting,
    scenario: &Scenario,
    quoting: Quoting,
    many: u64,
) -> Vec<SeasonReport> {
    let seeds: Vec<u64> = (0..many).collect();
    let next = AtomicUsize::new(0);
    let work = || {
        let mut out = Vec::new();
        while let Some(&seed) = seeds.get(next.fetch_add(1, Ordering::Relaxed)) {
            out.push((seed, season(setting, scenario, quoting, seed)));
        }
        out
    };
    let mut all: Vec<(u64, SeasonReport)> = std::thread::scope(|scope| {
        let threads: Vec<_> = (0..2).map(|_| scope.spawn(work)).collect();
        let each = threads.into_iter();
        each.flat_map(|thread| thread.join().unwrap_or_default())
            .collect()
    });
    all.sort_by_key(|(seed, _)| *seed);
    all.into_iter().map(|(_, report)| report).collect()
}

fn write(dir: &Path, all: &[Measured]) -> Result<(), String> {
    let save = |name: &str, text: String| {
        let path = dir.join(name);
        std::fs::write(&path, text).map_err(|error| format!("{}: {error}", path.display()))
    };
    std::fs::create_dir_all(dir).map_err(|error| format!("{}: {error}", dir.display()))?;
    save("reliability.svg", plots::reliability(all))?;
    save("weeks.svg", plots::weeks(all))?;
    let tables = plots::table(all) + &plots::more_tables(all);
    save(
        "tables.md",
        format!("# Seasons played: all numbers\n\n{tables}"),
    )?;
    match all.first() {
        Some(base) => save("lead-times.svg", plots::lead_times(base)),
        None => Ok(()),
    }
}

/// Says where what is wanted is not met.
fn judge(all: &[Measured]) -> Result<(), String> {
    let mut short = Vec::new();
    for (i, measured) in all.iter().enumerate() {
        let name = measured.name;
        let (overall, decile) = measured.farthest();
        println!(
            "{name}: {} seasons, {} refused, at most {:.1} points apart, {:.1} in a decile; after two weeks {:+.1} at worst",
            measured.seasons,
            measured.refused,
            100.0 * overall,
            100.0 * decile,
            100.0 * measured.worst_later()
        );
        if i == 0 && (overall > APART || decile > APART) {
            short.push(format!(
                "{name}: {:.1} points apart, {:.1} in a decile",
                100.0 * overall,
                100.0 * decile
            ));
        }
        if measured.worst_later() < -BELOW {
            short.push(format!(
                "{name}: {:+.1} points after two weeks",
                100.0 * measured.worst_later()
            ));
        }
        let leads = measured.levels.iter().filter_map(|level| level.lead);
        let least = leads.map(|l| 1.0 - l.quoted_h / l.one_a_team_h.min(l.one_for_all_h));
        let least = least.fold(f64::INFINITY, f64::min);
        if i == 0 && least < SHORTER {
            short.push(format!(
                "{name}: lead times only {:.0} % shorter",
                100.0 * least
            ));
        }
    }
    if short.is_empty() {
        return Ok(());
    }
    Err(format!("not as wanted: {}", short.join("; ")))
}
