//! The runs of one printer, one after another, as they were known at the time.

use std::collections::BTreeMap;

use super::{Known, Sheet, expected};
use crate::counting::{NotCounted, Run, time_counts};
use crate::drift::{Chart, Drift};
use crate::factor::{Factor, Next};
use crate::stats::{Tally, normal_quantile, student_chance};
use crate::ticks::{LEAST_WORTH, Told, told};
use crate::yields::Yield;

/// A run further off than so many spreads is taken as that far off. Common practice, no source.
const MOST_SPREADS: f64 = 4.0;
/// A drift is told for so many counted runs after it was found. Common practice, no source.
const TOLD_FOR: usize = 10;

/// What a printer's own runs came to.
#[derive(Debug)]
pub(super) struct Folded {
    noise: f64,
    prior: Factor,
    /// Times that count, since the last drift.
    times: Vec<Time>,
    chart: Chart,
    before_drift: usize,
    drift: Option<Drift>,
    not_counted: [usize; 5],
    pulled_in: usize,
    plates: BTreeMap<String, (usize, f64)>,
}

/// A time that counts.
#[derive(Debug)]
struct Time {
    sheet: String,
    /// Its logarithm, and how much of a run it is.
    told: Told,
    /// Worked out and ticked, min, for one that was noted by hand.
    tick: Option<(f64, f64)>,
}

pub(super) fn fold(noise: f64, prior: Factor, runs: &[&Run]) -> Folded {
    let mut out = Folded {
        noise,
        prior,
        times: Vec::new(),
        chart: Chart::default(),
        before_drift: 0,
        drift: None,
        not_counted: [0; 5],
        pulled_in: 0,
        plates: BTreeMap::new(),
    };
    for run in runs {
        let (plates, good) = out.plates.entry(run.sheet.clone()).or_default();
        *plates += 1;
        *good += f64::from(run.good.min(run.copies)) / f64::from(run.copies.max(1));
        match time_counts(run) {
            Ok(y) => out.hear(run, y),
            Err(why) => out.not_counted[why as usize] += 1,
        }
    }
    out.reconsider();
    out
}

impl Folded {
    /// One more time that counts, as much as it tells.
    fn hear(&mut self, run: &Run, y: f64) {
        let next = self.next_of(&run.sheet);
        let tick = run.ticked.then_some((run.worked_out_min, run.took_min));
        let told = tick.map_or(Told { y, worth: 1.0 }, |(worked_out, took)| {
            told(&next, worked_out, took)
        });
        if told.worth < LEAST_WORTH {
            self.not_counted[NotCounted::NotedLate as usize] += 1;
            return;
        }
        let (held, far) = pulled_in(&next, told);
        self.pulled_in += usize::from(far);
        let sheet = run.sheet.clone();
        self.times.push(Time {
            sheet,
            told: held,
            tick,
        });
        if let Some(drift) = &mut self.drift {
            drift.since += 1;
        }
        let spreads = ((told.y - next.centre) / next.scale).clamp(-MOST_SPREADS, MOST_SPREADS);
        if let Some((side, runs)) = self.chart.add(residual(&next, spreads)) {
            self.drift = Some(Drift {
                side,
                runs,
                since: 0,
            });
            let old = self.times.len().saturating_sub(runs);
            self.times.drain(..old);
            self.before_drift += old;
            self.chart = Chart::default();
        }
    }

    /// What each tick says once all others are known: ticks that agree bear each other out, and the first of
    /// them could not know.
    fn reconsider(&mut self) {
        let again = (0..self.times.len()).map(|i| {
            let Time {
                sheet,
                told: was,
                tick,
            } = &self.times[i];
            let Some((worked_out, took)) = *tick else {
                return *was;
            };
            let next = self.next_without(Some(i), sheet);
            pulled_in(&next, told(&next, worked_out, took)).0
        });
        let again: Vec<Told> = again.collect();
        for (time, told) in self.times.iter_mut().zip(again) {
            time.told = told;
        }
    }

    fn next_of(&self, sheet: &str) -> Next {
        self.next_without(None, sheet)
    }

    /// The next run of a sheet, as it is expected without one of those that are known.
    fn next_without(&self, but: Option<usize>, sheet: &str) -> Next {
        let mut sheets = self.by_sheet(but);
        let own = sheets.remove(sheet).unwrap_or_default();
        let others = sheets.values();
        let others = others.fold(self.prior, |factor, times| factor.after(times));
        expected(others, self.noise, own)
    }

    fn by_sheet(&self, but: Option<usize>) -> BTreeMap<&str, Tally> {
        let mut out: BTreeMap<&str, Tally> = BTreeMap::new();
        let times = self.times.iter().enumerate();
        for (_, time) in times.filter(|(i, _)| Some(*i) != but) {
            time.told.add_to(out.entry(&time.sheet).or_default());
        }
        out
    }

    /// Plates that have ended, and how many of them were lost.
    pub(super) fn ended(&self) -> (f64, f64) {
        let each = self.plates.values();
        each.fold((0.0, 0.0), |(plates, lost), &(n, good)| {
            (plates + n as f64, lost + n as f64 - good)
        })
    }

    /// All counted times, whatever the sheet.
    pub(super) fn whole(&self) -> Tally {
        let mut out = Tally::default();
        self.times
            .iter()
            .for_each(|time| time.told.add_to(&mut out));
        out
    }

    pub(super) fn known(self, before: Yield, prior: Factor, informed: bool) -> Known {
        let times = self.by_sheet(None);
        let sheet = |(code, &(plates, good)): (&String, &(usize, f64))| {
            let sheet = Sheet {
                times: times.get(code.as_str()).copied().unwrap_or_default(),
                plates: plates as f64,
                good,
            };
            (code.clone(), sheet)
        };
        let sheets: BTreeMap<String, Sheet> = self.plates.iter().map(sheet).collect();
        let first_pass = sheets
            .values()
            .fold(before, |y, sheet| y.after(sheet.plates, sheet.good));
        let of = |why: NotCounted| self.not_counted[why as usize];
        Known {
            counted: self.times.len(),
            before_drift: self.before_drift,
            stopped: of(NotCounted::Stopped),
            unwitnessed: of(NotCounted::Unwitnessed),
            by_program: of(NotCounted::ByProgram),
            unbelieved: of(NotCounted::Unbelieved),
            noted_late: of(NotCounted::NotedLate),
            pulled_in: self.pulled_in,
            drift: self.drift.filter(|drift| drift.since < TOLD_FOR),
            plates: self.plates.values().map(|(plates, _)| plates).sum(),
            first_pass,
            informed,
            prior,
            noise: self.noise,
            sheets,
        }
    }
}

impl Told {
    /// A whole run is added as ever, to the last digit.
    fn add_to(self, tally: &mut Tally) {
        if self.worth < 1.0 {
            tally.add_part(self.y, self.worth);
        } else {
            tally.add(self.y);
        }
    }
}

/// A time that is further off than [`MOST_SPREADS`] taken as that far off, and whether it is.
fn pulled_in(next: &Next, told: Told) -> (Told, bool) {
    let spreads = (told.y - next.centre) / next.scale;
    let held = spreads.clamp(-MOST_SPREADS, MOST_SPREADS);
    let y = next.centre + held * next.scale;
    (Told { y, ..told }, spreads.abs() > MOST_SPREADS)
}

/// A residual on the scale of a standard normal, however few runs the expectation rests on: a
/// self-starting chart needs no runs set apart to begin with.
///
/// # Source
/// Hawkins 1987, Self-starting CUSUM charts; Quesenberry 1991 (both from memory).
fn residual(next: &Next, spreads: f64) -> f64 {
    // From the near tail: close to 1 a chance has no digits left.
    let tail = student_chance(next.freedom, -spreads.abs()).max(f64::MIN_POSITIVE);
    -normal_quantile(tail) * spreads.signum()
}
