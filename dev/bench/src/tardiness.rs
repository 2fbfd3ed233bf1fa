//! Published instances of one machine and weighted lateness, which stands in for a printer that is
//! always staffed.
//!
//! Source: OR-Library, weighted tardiness (J. E. Beasley), see `planning/SOURCES.md` of the reference.

use partpledge_planning::sequence::{Shop, Step, search};
use partpledge_units::dice::Dice;

use crate::region::Seconds;

/// One instance.
struct Single {
    takes: Vec<i64>,
    weight: Vec<i64>,
    due: Vec<i64>,
}

impl Shop for Single {
    fn jobs(&self) -> usize {
        self.takes.len()
    }

    fn machines(&self) -> usize {
        1
    }

    fn able(&self, _: usize) -> &[usize] {
        &[0]
    }

    fn step(&self, _: usize, job: usize, free: i64) -> Option<Step> {
        let free = free + self.takes[job];
        let cost = self.weight[job] * (free - self.due[job]).max(0);
        Some(Step { free, cost })
    }

    fn open(&self, _: usize) -> i64 {
        0
    }

    fn absent(&self, job: usize) -> i64 {
        self.weight[job] * 1_000_000
    }

    fn urgency(&self, job: usize) -> i64 {
        self.due[job]
    }
}

/// `tardiness FILE JOBS BEST SECONDS`: how many instances of a file reach the published best.
pub(crate) fn run([file, jobs, best, seconds]: [&str; 4]) -> Result<(), String> {
    let jobs: usize = jobs
        .parse()
        .map_err(|_| format!("{jobs} is not a number"))?;
    let seconds: f64 = seconds
        .parse()
        .map_err(|_| format!("{seconds} is not a number"))?;
    let (numbers, best) = (numbers(file)?, numbers(best)?);
    let (mut hit, mut beaten, mut all) = (0, 0, 0);
    let mut worst = 0.0_f64;
    for (instance, &best) in numbers.chunks_exact(3 * jobs).zip(&best) {
        let third = |k: usize| instance[k * jobs..(k + 1) * jobs].to_vec();
        let [takes, weight, due] = [0, 1, 2].map(third);
        let single = Single { takes, weight, due };
        let found = search(&single, &mut Dice::seeded(1), &mut Seconds::of(seconds));
        all += 1;
        hit += i32::from(found.cost == best);
        beaten += i32::from(found.cost < best);
        worst = worst.max((found.cost - best) as f64 / (best as f64).max(1.0));
    }
    println!(
        "{file}: {hit} of {all} best known values reached, {beaten} beaten, worst {:.2} % above, \
         {seconds} s each",
        100.0 * worst
    );
    Ok(())
}

fn numbers(file: &str) -> Result<Vec<i64>, String> {
    let text = std::fs::read_to_string(file).map_err(|error| format!("{file}: {error}"))?;
    let words = text.split_whitespace();
    words
        .map(|word| {
            word.parse()
                .map_err(|_| format!("{file}: {word} is not a number"))
        })
        .collect()
}
