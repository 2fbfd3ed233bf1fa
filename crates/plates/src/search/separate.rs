//! Pushing copies apart until none overlaps, or nothing gets better.

use partpledge_units::dice::Dice;

use super::field::{Feeler, Field, Spot};
use super::pairs::Pairs;
use super::settle::settle;

/// How long to go on without a gain.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Patience {
    /// Rounds without a new best.
    pub(crate) rounds: usize,
    /// Returns to the best so far that bring no gain.
    pub(crate) strikes: usize,
}

/// A gain smaller than this does not count as one.
const GAIN: f32 = 0.98;

/// How an effort is counted: told of the trials that one search has made, says the share used up, 1
/// and more when it is over.
pub(crate) type Used<'u> = dyn Fn(u64) -> f64 + Sync + 'u;

/// How pushing apart ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Ended {
    /// None overlaps.
    Apart,
    /// Nothing got better; the copies lie where they overlapped least.
    Stuck,
    /// The effort is used up.
    Over,
}

/// All that a search carries along.
pub(crate) struct Search<'a> {
    pub(crate) field: Field<'a>,
    pub(crate) pairs: Pairs,
    pub(crate) feeler: Feeler,
    pub(crate) dice: Dice,
    used: &'a Used<'a>,
    before: u64,
    pause: u64,
}

impl<'a> Search<'a> {
    /// Copies as they lie; `before` trials have been made already.
    pub(crate) fn new(field: Field<'a>, dice: Dice, used: &'a Used<'a>, before: u64) -> Self {
        let mut search = Self {
            pairs: Pairs::apart(field.many()),
            feeler: Feeler::of(field.kinds),
            field,
            dice,
            used,
            before,
            pause: u64::MAX,
        };
        search.note_all();
        search
    }

    /// Trials made, with those before this search.
    pub(crate) fn trials(&self) -> u64 {
        self.before + self.feeler.trials
    }

    /// Share of the effort used up.
    pub(crate) fn used(&self) -> f64 {
        (self.used)(self.trials())
    }

    /// To pause when so many more trials have been made.
    pub(crate) fn pause_after(&mut self, trials: u64) {
        self.pause = self.feeler.trials + trials;
    }

    /// Whether `enough` of the effort is used, or it is time to pause.
    pub(crate) fn over(&self, enough: f64) -> bool {
        self.feeler.trials >= self.pause || self.used() >= enough
    }

    /// Works out all losses from nothing and forgets the weights.
    pub(crate) fn note_all(&mut self) {
        self.pairs.forget();
        for i in 0..self.field.many() {
            self.field.note(&mut self.feeler, &mut self.pairs, i);
        }
    }

    /// Puts a copy elsewhere and notes its losses.
    fn put(&mut self, i: usize, spot: Spot) {
        self.field.put(i, spot);
        self.field.note(&mut self.feeler, &mut self.pairs, i);
    }

    /// Puts all copies where they were.
    pub(crate) fn put_all(&mut self, spots: &[Spot]) {
        self.field.put_all(spots);
        self.note_all();
    }

    /// Pushes all apart, until nothing gets better or `enough` of the effort is used.
    pub(crate) fn separate(&mut self, patience: Patience, enough: f64) -> Ended {
        let mut best = (self.pairs.total(), self.field.spots(), self.pairs.save());
        let mut strikes = 0;
        while best.0 > 0.0 && strikes < patience.strikes {
            let at_start = best.0;
            let mut idle = 0;
            while idle < patience.rounds {
                self.round(enough);
                let loss = self.pairs.total();
                if loss < best.0 {
                    if loss < best.0 * GAIN {
                        idle = 0;
                    }
                    best = (loss, self.field.spots(), self.pairs.save());
                }
                if best.0 <= 0.0 {
                    break;
                }
                if self.used() >= enough {
                    return Ended::Over;
                }
                idle += 1;
                self.pairs.learn();
            }
            strikes = if best.0 < at_start * GAIN {
                0
            } else {
                strikes + 1
            };
            self.field.put_all(&best.1);
            self.pairs.restore(&best.2);
        }
        if best.0 > 0.0 {
            Ended::Stuck
        } else {
            Ended::Apart
        }
    }

    /// Moves every copy that overlaps, once, in any order, until `enough` of the effort is used.
    fn round(&mut self, enough: f64) {
        let mut list: Vec<usize> = (0..self.field.many())
            .filter(|&i| self.pairs.stuck(i))
            .collect();
        self.dice.shuffle(&mut list);
        for i in list {
            if !self.pairs.stuck(i) {
                continue;
            }
            let now = self.pairs.cost(i);
            let mine = (i, self.pairs.weights(i));
            let (spot, cost) = settle(&self.field, &mut self.feeler, &mut self.dice, mine, now);
            if cost < now {
                self.put(i, spot);
            }
            if self.used() >= enough {
                return;
            }
        }
    }
}
