//! How long an exact quote takes in a large region, and what it says.

mod fast;
mod path;
mod record;
mod replan;
mod scene;

use std::fmt::Write;

use partpledge_planning::{Ask, Ground, quote};
use partpledge_units::dice::Dice;
use partpledge_units::time::Minutes;

use crate::timed;
use scene::Scene;

/// Moments asked at: a school morning, after school, in the evening, before the weekend.
const MOMENTS: [&str; 4] = [
    "2027-03-09T10:12:00+01:00",
    "2027-03-10T15:41:00+01:00",
    "2027-03-11T20:05:00+01:00",
    "2027-03-12T16:30:00+01:00",
];
/// Time to see a new plate, as the workshop has it.
const PREPARE: Minutes = Minutes(30);

/// `quote exact ASKS`: middle and slowest of so many asks at four moments; a digest of all answers.
/// `quote fast ASKS`: the same of fast quotes. `quote replan`: full replans after an event. `quote path`: the whole path with the season on record
/// in SQLite. `quote guard`: exact and fast quotes against a reference. `quote` alone: all but the last.
pub(crate) fn run(words: &[&str]) -> Result<(), String> {
    match words {
        [] => exact(200)
            .and_then(|_| replan::run())
            .and_then(|()| path::run()),
        ["exact", asks] => exact(number(asks)?).map(|_| ()),
        ["fast", asks] => fast::run(number(asks)?).map(|_| ()),
        ["replan"] => replan::run(),
        ["path"] => path::run(),
        ["guard"] => guard(),
        _ => Err(
            "quote, quote exact ASKS, quote fast ASKS, quote replan, quote path, or quote guard"
                .to_owned(),
        ),
    }
}

/// Most processor time of an exact quote, in that of a million normal throws: three times what it was
/// when this was written (8 in the dev profile).
const MOST_RATIO: f64 = 24.0;

/// The same of a fast quote, of a hundred with one foresight: three times what it was when this was
/// written (0.14 in the dev profile).
const MOST_RATIO_FAST: f64 = 0.4;

/// Fails when quotes have become far slower than they were.
fn guard() -> Result<(), String> {
    let mut dice = Dice::seeded(1);
    let before_s = processor_time_s();
    let sum: f64 = (0..10_000_000).map(|_| dice.normal()).sum();
    let reference_s = (processor_time_s() - before_s) / 10.0;
    if reference_s <= 0.0 {
        println!("SKIPPED: this system does not tell processor time (sum {sum:.1})");
        return Ok(());
    }
    let ratio = exact(20)? / reference_s;
    println!("an exact quote takes {ratio:.1} times a million throws; at most {MOST_RATIO:.0}");
    if ratio > MOST_RATIO {
        return Err("exact quotes have become far slower".to_owned());
    }
    let ratio = fast::run(400)? / reference_s;
    println!("a fast quote takes {ratio:.2} times a million throws; at most {MOST_RATIO_FAST:.2}");
    if ratio > MOST_RATIO_FAST {
        return Err("fast quotes have become far slower".to_owned());
    }
    Ok(())
}

fn number(text: &str) -> Result<usize, String> {
    text.parse().map_err(|_| format!("{text} is not a number"))
}

/// Mean processor time of an exact quote, s.
fn exact(asks: usize) -> Result<f64, String> {
    let mut took = Vec::new();
    let (mut processor_s, mut refused) = (0.0, 0);
    let mut digest = Digest::default();
    for (m, moment) in MOMENTS.into_iter().enumerate() {
        let scene = Scene::at(moment, m as u64)?;
        println!("{moment}: {}", scene.told());
        let ground = Ground::new(&scene.region);
        let mut dice = Dice::stream(7, m as u64);
        for seed in 0..asks.div_ceil(MOMENTS.len()) as u64 {
            let ask = Ask {
                ways: scene.ways(scene.now + PREPARE, &mut dice),
                level: 0.9,
                now: scene.now,
                seed,
                worlds: 400,
            };
            let before_s = processor_time_s();
            let (answer, s) = timed(|| quote(&ground, &scene.plates, &scene.plan, &ask));
            processor_s += processor_time_s() - before_s;
            refused += usize::from(answer.is_err());
            write!(digest, "{answer:?}").map_err(|error| error.to_string())?;
            took.push(s);
        }
    }
    if took.is_empty() || 10 * refused > took.len() {
        return Err(format!(
            "{refused} of {} exact quotes were refused: too few to time",
            took.len()
        ));
    }
    took.sort_by(f64::total_cmp);
    let ms = |share: f64| 1_000.0 * percentile(&took, share);
    println!(
        "{} exact quotes: p50 {:.0} ms, p90 {:.0} ms, p99 {:.0} ms, longest {:.0} ms; \
         {:.0} ms of a processor each; digest {:016x}",
        took.len(),
        ms(0.5),
        ms(0.9),
        ms(0.99),
        ms(1.0),
        1_000.0 * processor_s / took.len() as f64,
        digest.0
    );
    Ok(processor_s / took.len() as f64)
}

/// Processor time of all threads so far, as Linux tells it (`proc(5)`); 0 where it tells nothing.
/// On a machine shared with others it says more than the clock.
pub(crate) fn processor_time_s() -> f64 {
    let Ok(tasks) = std::fs::read_dir("/proc/self/task") else {
        return 0.0;
    };
    let of_task = |task: std::fs::DirEntry| -> Option<f64> {
        let text = std::fs::read_to_string(task.path().join("schedstat")).ok()?;
        let nanoseconds: f64 = text.split_whitespace().next()?.parse().ok()?;
        Some(nanoseconds * 1e-9)
    };
    tasks.flatten().filter_map(of_task).sum()
}

/// The smallest value that so large a share does not exceed; of a sorted list.
pub(crate) fn percentile(sorted: &[f64], share: f64) -> f64 {
    let rank = partpledge_units::cast::ceil_i64(share * sorted.len() as f64).unwrap_or(1);
    let i = usize::try_from(rank - 1).unwrap_or(0);
    sorted.get(i).copied().unwrap_or(0.0)
}

/// FNV-1a over text (Fowler, Noll, Vo; constants from memory): equal answers, equal digest.
struct Digest(u64);

impl Default for Digest {
    fn default() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }
}

impl Write for Digest {
    fn write_str(&mut self, text: &str) -> std::fmt::Result {
        for byte in text.bytes() {
            self.0 = (self.0 ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
        }
        Ok(())
    }
}
