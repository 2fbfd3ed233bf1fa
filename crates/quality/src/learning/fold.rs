//! The runs of one printer, one after another, as they were known at the time.

use std::collections::BTreeMap;
use std::ops::Range;

use super::{Known, Sheet, expected};
use crate::counting::{NotCounted, Run, time_counts};
use crate::drift::{Chart, Drift};
use crate::factor::{Factor, Next};
use crate::stats::{Tally, normal_quantile, student_chance};
use crate::ticks::{LEAST_WORTH, Told, told};
use crate::yields::Yield;

/// A run further off than so many spreads is taken as that far off. Common practice, no source.
const MOST_SPREADS: f64 = 4.0;
/// So many ticks that came too late to say anything bear each other out when they agree. Common practice, no
/// source.
const BORNE_OUT: usize = 5;
/// They agree when their logarithms lie no further apart than so many times the noise between runs. Common
/// practice, no source.
const AGREE_NOISES: f64 = 2.0;
/// How much of a run each of them counts. Common practice, no source.
const BORNE_OUT_WORTH: f64 = 0.5;
/// A drift is told for so many counted runs after it was found. Common practice, no source.
const TOLD_FOR: usize = 10;

/// What a printer's own runs came to.
#[derive(Debug)]
pub(super) struct Folded {
    noise: f64,
    prior: Factor,
    /// Times that count, since the last drift.
    times: Vec<Time>,
    /// The same by sheet, summed up.
    sums: Sums,
    /// Ticks that came too late to say anything, since the last drift.
    late: Vec<Late>,
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

/// A tick that came too late to say anything by itself.
#[derive(Debug)]
struct Late {
    sheet: String,
    /// The logarithm of ticked over worked out.
    y: f64,
    /// Times that counted before it, those from before a drift too.
    after: usize,
}

/// Times by sheet, summed up.
#[derive(Debug, Default)]
struct Sums(BTreeMap<String, Tally>);

impl Sums {
    fn of(times: &[Time]) -> Self {
        let mut out = Self::default();
        for time in times {
            out.add(time);
        }
        out
    }

    fn add(&mut self, time: &Time) {
        match self.0.get_mut(&time.sheet) {
            Some(tally) => time.told.add_to(tally),
            None => time
                .told
                .add_to(self.0.entry(time.sheet.clone()).or_default()),
        }
    }

    fn of_sheet(&self, sheet: &str) -> Tally {
        self.0.get(sheet).copied().unwrap_or_default()
    }

    /// What all sheets but one say of a printer.
    fn but(&self, sheet: &str, prior: Factor) -> Factor {
        let others = self.0.iter().filter(|(code, _)| *code != sheet);
        others.fold(prior, |factor, (_, times)| factor.after(times))
    }
}

pub(super) fn fold(noise: f64, prior: Factor, runs: &[&Run]) -> Folded {
    let mut out = Folded {
        noise,
        prior,
        times: Vec::new(),
        sums: Sums::default(),
        late: Vec::new(),
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
    out.bear_out();
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
            self.late.push(Late {
                sheet: run.sheet.clone(),
                y,
                after: self.before_drift + self.times.len(),
            });
            return;
        }
        let (held, far) = pulled_in(&next, told);
        self.pulled_in += usize::from(far);
        let sheet = run.sheet.clone();
        let time = Time {
            sheet,
            told: held,
            tick,
        };
        self.sums.add(&time);
        self.times.push(time);
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
            self.sums = Sums::of(&self.times);
            self.late.retain(|late| late.after >= self.before_drift);
            self.chart = Chart::default();
        }
    }

    /// Ticks that came too late to say anything, and agree: nobody is late by the same share again and again, so
    /// the printer takes that long. A tick never comes before the end, so they count only where they are half of all
    /// runs whose time is believed: a printer that people also saw end sooner is not that slow.
    fn bear_out(&mut self) {
        self.late.sort_by(|a, b| a.y.total_cmp(&b.y));
        let agreeing = densest(&self.late, AGREE_NOISES * self.noise);
        let all = self.times.len() + self.late.len();
        if agreeing.len() < BORNE_OUT || 2 * agreeing.len() < all {
            return;
        }
        self.not_counted[NotCounted::NotedLate as usize] -= agreeing.len();
        for late in self.late.drain(agreeing) {
            let (y, worth) = (late.y, BORNE_OUT_WORTH);
            let time = Time {
                sheet: late.sheet,
                told: Told { y, worth },
                tick: None,
            };
            self.sums.add(&time);
            self.times.push(time);
        }
    }

    /// What each tick says once all others are known: ticks that agree bear each other out, and the first of
    /// them could not know.
    fn reconsider(&mut self) {
        let again = self.times.iter().map(|time| {
            let Some((worked_out, took)) = time.tick else {
                return time.told;
            };
            let next = self.next_without(time);
            pulled_in(&next, told(&next, worked_out, took)).0
        });
        let again: Vec<Told> = again.collect();
        for (time, told) in self.times.iter_mut().zip(again) {
            time.told = told;
        }
        self.sums = Sums::of(&self.times);
    }

    /// The next run of a sheet.
    fn next_of(&self, sheet: &str) -> Next {
        let others = self.sums.but(sheet, self.prior);
        expected(others, self.noise, self.sums.of_sheet(sheet))
    }

    /// The next run of its sheet, as it is expected without one of those that are known.
    fn next_without(&self, one: &Time) -> Next {
        let mut own = self.sums.of_sheet(&one.sheet);
        own.take_part(one.told.y, one.told.worth);
        let others = self.sums.but(&one.sheet, self.prior);
        expected(others, self.noise, own)
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
        let sheet = |(code, &(plates, good)): (&String, &(usize, f64))| {
            let sheet = Sheet {
                times: self.sums.of_sheet(code),
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

/// The most of a sorted list that lie within `width` of one another; the lowest of several.
fn densest(sorted: &[Late], width: f64) -> Range<usize> {
    let (mut best, mut from) = (0..0, 0);
    for (i, late) in sorted.iter().enumerate() {
        while late.y - sorted[from].y > width {
            from += 1;
        }
        if i + 1 - from > best.len() {
            best = from..i + 1;
        }
    }
    best
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Sums with one taken out are what they would be if it had never been there.
    #[test]
    fn what_is_expected_without_a_run_is_what_was_expected_before_it() {
        let time = |i: u32| Time {
            sheet: ["plain", "fine", "once"][if i == 7 { 2 } else { (i % 2) as usize }].to_owned(),
            told: Told {
                y: 0.1 + 0.013 * f64::from(i % 5),
                worth: [1.0, 0.4, 0.1][(i % 3) as usize],
            },
            tick: None,
        };
        let with = |times: Vec<Time>| Folded {
            sums: Sums::of(&times),
            times,
            ..fold(0.06, Factor::before(0.0, 0.122, 0.06, 6.0), &[])
        };
        let all = with((0..40).map(time).collect());
        for left_out in 0..40 {
            let others = with((0..40).filter(|i| *i != left_out).map(time).collect());
            let one = time(left_out);
            let (found, anew) = (all.next_without(&one), others.next_of(&one.sheet));
            for (found, anew) in [
                (found.centre, anew.centre),
                (found.scale, anew.scale),
                (found.freedom, anew.freedom),
            ] {
                assert!((found - anew).abs() < 1e-12, "{left_out}: {found} {anew}");
            }
        }
    }

    #[test]
    fn the_densest_of_a_list_is_found_and_the_lowest_of_two_alike() {
        let late = |y: &f64| Late {
            sheet: String::new(),
            y: *y,
            after: 0,
        };
        let of = |ys: &[f64]| densest(&ys.iter().map(late).collect::<Vec<_>>(), 0.12);
        assert_eq!(of(&[]), 0..0);
        assert_eq!(of(&[0.3, 0.4, 0.53, 0.55, 0.61, 0.7]), 2..5);
        assert_eq!(of(&[0.3, 0.35, 0.6, 0.65]), 0..2);
    }
}
