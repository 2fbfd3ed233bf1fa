//! Planning benches on published and invented instances of one form.
//!
//! A region file holds plates, machines, staffed hours and transit times; a plate starts at a
//! staffed tick, and comes off at the first staffed tick after its end. Cost is weighted lateness.

use std::time::Instant;

use partpledge_planning::sequence::{Budget, Sequences, Shop, Step, search};
use partpledge_units::dice::Dice;
use serde_json::Value;

/// An instance, ready to be searched.
struct Region {
    able: Vec<Vec<usize>>,
    /// By job, then machine: ticks, 0 where it can't run.
    takes: Vec<Vec<i64>>,
    release: Vec<i64>,
    due: Vec<i64>,
    weight: Vec<i64>,
    host: Vec<usize>,
    /// By host, then job.
    transit: Vec<Vec<i64>>,
    /// By host: the first staffed tick at or after each.
    staffed_from: Vec<Vec<Option<i64>>>,
    horizon: i64,
}

impl Region {
    fn staffed(&self, host: usize, tick: i64) -> Option<i64> {
        let tick = usize::try_from(tick).ok()?;
        self.staffed_from[host].get(tick).copied().flatten()
    }
}

impl Shop for Region {
    fn jobs(&self) -> usize {
        self.able.len()
    }

    fn machines(&self) -> usize {
        self.host.len()
    }

    fn able(&self, job: usize) -> &[usize] {
        &self.able[job]
    }

    fn step(&self, machine: usize, job: usize, free: i64) -> Option<Step> {
        let host = self.host[machine];
        let start = self.staffed(host, free.max(self.release[job]))?;
        let end = start + self.takes[job][machine];
        let off = self.staffed(host, end)?;
        let late = (off + self.transit[host][job] - self.due[job]).max(0);
        Some(Step {
            free: end,
            cost: self.weight[job] * late,
        })
    }

    fn open(&self, _: usize) -> i64 {
        0
    }

    fn absent(&self, job: usize) -> i64 {
        self.weight[job] * 100 * self.horizon
    }

    fn urgency(&self, job: usize) -> i64 {
        self.due[job]
    }
}

/// A budget of seconds.
pub(crate) struct Seconds {
    start: Instant,
    seconds: f64,
}

impl Seconds {
    #[expect(clippy::disallowed_methods, reason = "a bench is about the clock")]
    pub(crate) fn of(seconds: f64) -> Self {
        Self {
            start: Instant::now(),
            seconds,
        }
    }
}

impl Seconds {
    /// Share of the seconds that is over.
    pub(crate) fn share(&self) -> f64 {
        self.start.elapsed().as_secs_f64() / self.seconds
    }
}

impl Budget for Seconds {
    fn used(&mut self, _: u64) -> f64 {
        self.share()
    }
}

/// `region FILE --seconds S --seed N --out FILE`.
pub(crate) fn run(file: &str, options: &[&str]) -> Result<(), String> {
    let option = |name: &str| {
        let at = options.iter().position(|word| *word == name)?;
        options.get(at + 1).copied()
    };
    let number = |name: &str, default: &str| {
        let word = option(name).unwrap_or(default);
        word.parse::<f64>()
            .map_err(|_| format!("{name} {word} is not a number"))
    };
    let (seconds, seed) = (number("--seconds", "1")?, number("--seed", "1")?);
    let seed = partpledge_units::cast::round_usize(seed).unwrap_or(1) as u64;
    let text = std::fs::read_to_string(file).map_err(|error| format!("{file}: {error}"))?;
    let region = read(&text).ok_or_else(|| format!("{file} is not a region instance"))?;
    // Reading the file is not part of the search.
    let mut budget = Seconds::of(seconds);
    let found = search(&region, &mut Dice::seeded(seed), &mut budget);
    let took = budget.used(0) * seconds;
    println!(
        "{file}: {} jobs on {} machines, {} left out, {} weighted ticks late, {took:.2} s",
        region.jobs(),
        region.machines(),
        found.left_out.len(),
        found.cost
    );
    if let Some(out) = option("--out") {
        let plan = serde_json::to_string(&places(&region, &found)).map_err(|e| e.to_string())?;
        std::fs::write(out, plan).map_err(|error| format!("{out}: {error}"))?;
    }
    Ok(())
}

/// Machine and start of every plate, in order of plates; `null` where it was left out.
fn places(region: &Region, found: &Sequences) -> Vec<Option<(usize, i64)>> {
    let mut out = vec![None; region.jobs()];
    for (machine, line) in found.on.iter().enumerate() {
        let mut free = region.open(machine);
        for &job in line {
            let host = region.host[machine];
            let start = region.staffed(host, free.max(region.release[job]));
            out[job] = start.map(|start| (machine, start));
            free = region
                .step(machine, job, free)
                .map_or(free, |step| step.free);
        }
    }
    out
}

fn read(text: &str) -> Option<Region> {
    let value: Value = serde_json::from_str(text).ok()?;
    let list = |value: &Value| value.as_array().cloned();
    let index = |value: &Value| usize::try_from(value.as_i64()?).ok();
    let horizon = value["horizon"].as_i64()?;
    let machines = list(&value["machines"])?;
    let plates = list(&value["plates"])?;
    let hosts = list(&value["staffed"])?;
    let staffed_from = hosts
        .iter()
        .map(|windows| staffed_table(windows, horizon))
        .collect::<Option<_>>()?;
    let takes = plates
        .iter()
        .map(|plate| {
            let times = plate["p"].as_object()?;
            let mut row = vec![0; machines.len()];
            for (machine, ticks) in times {
                *row.get_mut(machine.parse::<usize>().ok()?)? = ticks.as_i64()?;
            }
            Some(row)
        })
        .collect::<Option<Vec<Vec<i64>>>>()?;
    let able = takes
        .iter()
        .map(|row| (0..row.len()).filter(|&m| row[m] > 0).collect())
        .collect();
    let number = |name: &str| {
        let numbers = plates.iter().map(|plate| plate[name].as_i64());
        numbers.collect::<Option<Vec<i64>>>()
    };
    let transit = list(&value["transit"])?
        .iter()
        .map(|row| {
            let to = plates
                .iter()
                .map(|plate| row[index(&plate["team"])?].as_i64());
            to.collect::<Option<Vec<i64>>>()
        })
        .collect::<Option<_>>()?;
    Some(Region {
        able,
        takes,
        release: number("r")?,
        due: number("d")?,
        weight: number("w")?,
        host: machines
            .iter()
            .map(|m| index(&m["host"]))
            .collect::<Option<_>>()?,
        transit,
        staffed_from,
        horizon,
    })
}

/// By tick the first staffed one at or after it.
fn staffed_table(windows: &Value, horizon: i64) -> Option<Vec<Option<i64>>> {
    let windows: Vec<(i64, i64)> = windows
        .as_array()?
        .iter()
        .map(|window| Some((window[0].as_i64()?, window[1].as_i64()?)))
        .collect::<Option<_>>()?;
    let inside = |tick: i64| windows.iter().any(|&(from, to)| from <= tick && tick < to);
    let mut next = None;
    let mut table: Vec<Option<i64>> = (0..=horizon)
        .rev()
        .map(|tick| {
            if inside(tick) {
                next = Some(tick);
            }
            next
        })
        .collect();
    table.reverse();
    Some(table)
}
