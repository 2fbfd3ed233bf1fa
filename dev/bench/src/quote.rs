//! How long an exact quote takes in a large region, and what it says.

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
pub(crate) fn run(words: &[&str]) -> Result<(), String> {
    match words {
        ["exact", asks] => exact(number(asks)?),
        _ => Err("quote exact ASKS".to_owned()),
    }
}

fn number(text: &str) -> Result<usize, String> {
    text.parse().map_err(|_| format!("{text} is not a number"))
}

fn exact(asks: usize) -> Result<(), String> {
    let mut took = Vec::new();
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
            let (answer, s) = timed(|| quote(&ground, &scene.plates, &scene.plan, &ask));
            write!(digest, "{answer:?}").map_err(|error| error.to_string())?;
            took.push(s);
        }
    }
    took.sort_by(f64::total_cmp);
    let ms = |share: f64| 1_000.0 * percentile(&took, share);
    println!(
        "{} exact quotes: p50 {:.0} ms, p90 {:.0} ms, p99 {:.0} ms, longest {:.0} ms; digest {:016x}",
        took.len(),
        ms(0.5),
        ms(0.9),
        ms(0.99),
        ms(1.0),
        digest.0
    );
    Ok(())
}

/// The smallest value that so large a share does not exceed; of a sorted list.
fn percentile(sorted: &[f64], share: f64) -> f64 {
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
