//! A hub's own figures over a stretch of time: shares, pace, work in progress.
//!
//! # Sources
//! On time in full: the handbook term of supply-chain reference models (SCOR's perfect order, from
//! memory). First-pass yield: handbook term (from memory). Takt: time available over what is asked
//! (lean handbooks, from memory). Work in progress and time in it: Little, Operations Research 9,
//! 1961, 383-387 (from memory).

use std::collections::BTreeMap;

use partpledge_units::cast::int_f64;
use partpledge_units::time::Minute;

/// So many good of so many, and why the others were not: on time in full, or first-pass yield. Causes
/// are any words that can be told apart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Share<C> {
    /// Good ones.
    pub good: u32,
    /// The others, by the one cause that each is put down to.
    pub lost: BTreeMap<C, u32>,
}

impl<C> Default for Share<C> {
    fn default() -> Self {
        Self {
            good: 0,
            lost: BTreeMap::new(),
        }
    }
}

impl<C: Ord> Share<C> {
    /// All of them.
    #[must_use]
    pub fn of(&self) -> u32 {
        self.good + self.lost.values().sum::<u32>()
    }

    /// The share of good ones; `None` of none.
    ///
    /// ```
    /// use partpledge_hubs::Share;
    /// let mut week: Share<&str> = Share::default();
    /// assert_eq!(week.rate(), None);
    /// week.good = 3;
    /// week.lose("came loose", 1);
    /// assert_eq!((week.of(), week.rate()), (4, Some(0.75)));
    /// ```
    #[must_use]
    pub fn rate(&self) -> Option<f64> {
        let of = self.of();
        (of > 0).then(|| f64::from(self.good) / f64::from(of))
    }

    /// Adds so many that were not good, for that cause.
    pub fn lose(&mut self, cause: C, many: u32) {
        if many > 0 {
            *self.lost.entry(cause).or_default() += many;
        }
    }
}

/// Minutes in which somebody was to be there, and what was asked and done in them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pace<C> {
    /// Minutes by the weekly hours alone.
    pub hours_min: i64,
    /// Of these, minutes that closures took, each minute counted once.
    pub closed_min: BTreeMap<C, i64>,
    /// Plates asked of the bench.
    pub asked: u32,
    /// Plates that came off a bed.
    pub done: u32,
}

impl<C> Default for Pace<C> {
    fn default() -> Self {
        Self {
            hours_min: 0,
            closed_min: BTreeMap::new(),
            asked: 0,
            done: 0,
        }
    }
}

impl<C: Ord> Pace<C> {
    /// Staffed minutes that were there to be used.
    #[must_use]
    pub fn staffed_min(&self) -> i64 {
        self.hours_min - self.closed_min.values().sum::<i64>()
    }

    /// Staffed minutes for each plate asked: as fast as the bench must be. `None` when none was.
    #[must_use]
    pub fn takt_min(&self) -> Option<f64> {
        (self.asked > 0).then(|| int_f64(self.staffed_min()) / f64::from(self.asked))
    }

    /// Staffed minutes for each plate done: as fast as it was. `None` when none was.
    #[must_use]
    pub fn cycle_min(&self) -> Option<f64> {
        (self.done > 0).then(|| int_f64(self.staffed_min()) / f64::from(self.done))
    }
}

/// Copies that went through a bench together: when, as far as it has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stay {
    /// How many.
    pub copies: u32,
    /// Started.
    pub start: Minute,
    /// Off the bed, good or not.
    pub off: Option<Minute>,
    /// In their box.
    pub boxed: Option<Minute>,
    /// Handed over, or lost.
    pub gone: Option<Minute>,
}

/// Copies in progress, on average over a stretch of time, by where they were.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Work {
    /// On a printer.
    pub printing: f64,
    /// Off the bed, not in a box.
    pub checking: f64,
    /// In a box that nobody has yet.
    pub waiting: f64,
}

impl Work {
    /// All of it.
    #[must_use]
    pub fn all(&self) -> f64 {
        self.printing + self.checking + self.waiting
    }

    /// The average from `from` until `until`; nothing for an empty stretch.
    #[must_use]
    pub fn over(stays: &[Stay], (from, until): (Minute, Minute)) -> Self {
        let mut sums = [0_i64; 3];
        for stay in stays {
            let times = stay.times(until);
            for (sum, pair) in sums.iter_mut().zip(times.windows(2)) {
                let begins = pair[0].max(from);
                let ends = pair[1].min(until);
                *sum += (ends.0 - begins.0).max(0) * i64::from(stay.copies);
            }
        }
        let minutes = until.0 - from.0;
        if minutes <= 0 {
            return Self::default();
        }
        let [printing, checking, waiting] = sums.map(|sum| int_f64(sum) / int_f64(minutes));
        Self {
            printing,
            checking,
            waiting,
        }
    }
}

impl Stay {
    /// Start, off, boxed, gone; what has not come yet is put at `until`, and none before another.
    fn times(&self, until: Minute) -> [Minute; 4] {
        let gone = self.gone.unwrap_or(until).max(self.start);
        let boxed = self.boxed.unwrap_or(gone).clamp(self.start, gone);
        let off = self.off.unwrap_or(boxed).clamp(self.start, boxed);
        [self.start, off, boxed, gone]
    }
}

/// Minutes from start to hand-over of a copy, on average, over those gone between two times; `None`
/// when none was.
#[must_use]
pub fn time_through_min(stays: &[Stay], (from, until): (Minute, Minute)) -> Option<f64> {
    let gone = stays.iter().filter_map(|stay| {
        let gone = stay.gone.filter(|gone| (from..until).contains(gone))?;
        Some((i64::from(stay.copies), (gone.0 - stay.start.0).max(0)))
    });
    let (copies, minutes) = gone.fold((0, 0), |(all, sum), (copies, took)| {
        (all + copies, sum + copies * took)
    });
    (copies > 0).then(|| int_f64(minutes) / int_f64(copies))
}
