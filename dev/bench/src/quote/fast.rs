//! How long fast quotes take in a large region.

use partpledge_planning::{Ask, Foresight, Ground, quote_fast};
use partpledge_units::dice::Dice;

use super::scene::Scene;
use super::{MOMENTS, PREPARE, percentile, processor_time_s};
use crate::timed;

/// Asked for in turn.
const LEVELS: [f64; 3] = [0.7, 0.9, 0.97];

/// Mean processor time of a fast quote, s: each moment has one foresight, and its share is in it.
pub(super) fn run(asks: usize) -> Result<f64, String> {
    let (mut took, mut processor_s, mut refused) = (Vec::new(), 0.0, 0);
    for (m, moment) in MOMENTS.into_iter().enumerate() {
        let scene = Scene::at(moment, m as u64)?;
        let ground = Ground::new(&scene.region);
        let mut dice = Dice::stream(7, m as u64);
        let asks: Vec<Ask> = (0..asks.div_ceil(MOMENTS.len()))
            .map(|i| Ask {
                ways: scene.ways(scene.now + PREPARE, &mut dice),
                level: LEVELS[i % LEVELS.len()],
                now: scene.now,
                seed: 0,
                worlds: 0,
            })
            .collect();
        let before_s = processor_time_s();
        let mut foresight = Foresight::new(&ground, &scene.plates, &scene.plan, scene.now, 7);
        for ask in &asks {
            let quote = || quote_fast(&ground, &scene.plates, &scene.plan, ask, &mut foresight);
            let (answer, s) = timed(quote);
            refused += usize::from(answer.is_err());
            took.push(s);
        }
        processor_s += processor_time_s() - before_s;
    }
    took.sort_by(f64::total_cmp);
    let ms = |share: f64| 1_000.0 * percentile(&took, share);
    let mean_s = processor_s / took.len() as f64;
    if took.is_empty() || 10 * refused > took.len() {
        return Err(format!(
            "{refused} of {} fast quotes were refused: too few to time",
            took.len()
        ));
    }
    println!(
        "{} fast quotes ({refused} refused) by the clock: p50 {:.2} ms, p90 {:.2} ms, p99 {:.2} ms, longest {:.2} ms; \
         {:.2} ms of a processor each, their share of the foresight included",
        took.len(),
        ms(0.5),
        ms(0.9),
        ms(0.99),
        ms(1.0),
        1_000.0 * mean_s
    );
    Ok(mean_s)
}
