//! How a spool stands: where it is, what is left on it, since when it takes up water.

use std::collections::BTreeMap;

use partpledge_units::cast::int_f64;
use partpledge_units::time::EventMs;

use crate::words::{Deed, Ledger, Reading, Spool, Step, Use};

/// Milligrams in a gram.
const MG: i64 = 1_000;
/// Rounding of milligrams must not cost a plate its gram, g.
const ROUNDING_G: f64 = 0.01;

/// Where a spool is in its life.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum State {
    /// In its bag.
    Sealed,
    /// Opened, on the shelf.
    Open,
    /// On the printer of that name.
    Loaded(String),
    /// Used up.
    Empty,
    /// No longer of the region.
    GivenAway,
}

impl State {
    /// Whether its filament can still be printed.
    #[must_use]
    pub fn counts(&self) -> bool {
        matches!(self, Self::Sealed | Self::Open | Self::Loaded(_))
    }
}

/// A reading with what had been reckoned just before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Correction {
    /// When it was weighed.
    pub at: EventMs,
    /// Filament on it by the scale, g.
    pub net_g: i64,
    /// What the scale says beyond what was reckoned, mg; negative when there was less.
    pub difference_mg: i64,
}

/// How a spool stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Account {
    /// The spool.
    pub spool: Spool,
    /// Code of the school of the host that has it.
    pub host: String,
    /// Where it is in its life.
    pub state: State,
    /// When it was opened.
    pub opened_at: Option<EventMs>,
    /// When it was dried last.
    pub dried_at: Option<EventMs>,
    /// What the empty reel weighs, g, if somebody knows.
    pub tare_g: Option<i64>,
    /// Left by the last reading and the uses since, mg; below zero when more was used than was
    /// there. Nothing on a spool that is empty or given away.
    pub left_mg: i64,
    /// Readings in order of time.
    pub corrections: Vec<Correction>,
}

impl Account {
    /// What is left, g, never less than nothing.
    #[must_use]
    pub fn left_g(&self) -> f64 {
        int_f64(self.left_mg.max(0)) / int_f64(MG)
    }

    /// Since when it takes up water: opened, or dried after that. `None` in its bag.
    #[must_use]
    pub fn wet_since(&self) -> Option<EventMs> {
        self.opened_at.map(|at| at.max(self.dried_at.unwrap_or(at)))
    }

    /// Whether it has been open, without drying, for more than so many days; never when the
    /// material does not mind (`None`).
    #[must_use]
    pub fn is_damp(&self, after_days: Option<f64>, now: EventMs) -> bool {
        const DAY_MS: f64 = 86_400_000.0;
        let open_days = |since: EventMs| int_f64(now.0 - since.0) / DAY_MS;
        let both = self.wet_since().zip(after_days);
        self.state.counts() && both.is_some_and(|(since, most)| open_days(since) > most)
    }
}

/// Filament for parts on a spool with `left_mg` on it, g: less what is kept back on every spool
/// (`margin_g`), less what purging takes of it (`purge_share` of what ends in parts).
///
/// # Source
/// Derived here: the inverse of what a plate needs of a spool in `costing`.
///
/// ```
/// // 20 g kept back, 5 % purge: 1000 g are 933 g of parts.
/// let usable = partpledge_stock::usable_g(1_000_000, 20.0, 0.05);
/// assert!((usable - 980.0 / 1.05).abs() < 0.02);
/// assert!(partpledge_stock::usable_g(15_000, 20.0, 0.05) < 0.02);
/// ```
#[must_use]
pub fn usable_g(left_mg: i64, margin_g: f64, purge_share: f64) -> f64 {
    let left_g = int_f64(left_mg) / int_f64(MG);
    (left_g - margin_g).max(0.0) / (1.0 + purge_share) + ROUNDING_G
}

/// All that was told of one spool.
#[derive(Default)]
struct Told<'l> {
    steps: Vec<&'l Step>,
    readings: Vec<&'l Reading>,
    uses: Vec<Use>,
}

impl Ledger {
    /// How every spool stands with all of its uses taken, those of `running` too: plates that still
    /// run, with the time in which they should. In order of number.
    #[must_use]
    pub fn accounts(&self, running: &[Use]) -> Vec<Account> {
        let mut told: BTreeMap<i64, Told<'_>> = BTreeMap::new();
        for step in &self.steps {
            told.entry(step.spool).or_default().steps.push(step);
        }
        for reading in &self.readings {
            told.entry(reading.spool)
                .or_default()
                .readings
                .push(reading);
        }
        for one in self.uses.iter().chain(running) {
            told.entry(one.spool).or_default().uses.push(*one);
        }
        let of = |spool: &Spool| account(spool, told.remove(&spool.number).unwrap_or_default());
        self.spools.iter().map(of).collect()
    }
}

fn account(spool: &Spool, mut told: Told<'_>) -> Account {
    // By what happened alone, never by when we heard of it.
    told.steps
        .sort_by(|a, b| (a.at, &a.deed).cmp(&(b.at, &b.deed)));
    // Of two readings at one moment the smaller comes last and counts.
    told.readings.sort_by_key(|r| (r.at, -r.net_g, r.gross_g));
    let mut out = Account {
        host: spool.roll.host.clone(),
        state: State::Sealed,
        opened_at: None,
        dried_at: None,
        tare_g: spool.roll.tare_g,
        left_mg: 0,
        corrections: Vec::new(),
        spool: spool.clone(),
    };
    for step in &told.steps {
        take(&mut out, step);
    }
    let mut base = (EventMs(i64::MIN), spool.roll.net_g * MG);
    for reading in &told.readings {
        let reckoned = base.1 - used(&told.uses, base.0, reading.at);
        out.corrections.push(Correction {
            at: reading.at,
            net_g: reading.net_g,
            difference_mg: reading.net_g * MG - reckoned,
        });
        out.tare_g = reading
            .gross_g
            .map(|gross| gross - reading.net_g)
            .or(out.tare_g);
        base = (reading.at, reading.net_g * MG);
    }
    if out.state.counts() {
        out.left_mg = base.1 - used(&told.uses, base.0, EventMs(i64::MAX));
    }
    out
}

fn take(account: &mut Account, step: &Step) {
    let opened = account.opened_at.unwrap_or(step.at);
    match &step.deed {
        Deed::Moved(host) => account.host.clone_from(host),
        Deed::Opened => {
            account.opened_at = Some(opened);
            if account.state == State::Sealed {
                account.state = State::Open;
            }
        }
        Deed::Dried => account.dried_at = Some(step.at),
        Deed::TakenOff => account.state = State::Open,
        Deed::Loaded(printer) => {
            account.opened_at = Some(opened);
            account.state = State::Loaded(printer.clone());
        }
        Deed::Emptied => account.state = State::Empty,
        Deed::GivenAway(_) => account.state = State::GivenAway,
    }
}

/// What uses took after `from` and no later than `until`, mg.
fn used(uses: &[Use], from: EventMs, until: EventMs) -> i64 {
    uses.iter().map(|one| part(one, from, until)).sum()
}

/// The part of a use that falls into a stretch of time: it takes as much every minute.
fn part(one: &Use, from: EventMs, until: EventMs) -> i64 {
    let whole = i128::from(one.until.0) - i128::from(one.from.0);
    if whole <= 0 {
        let within = from < one.until && one.until <= until;
        return if within { one.used_mg } else { 0 };
    }
    // What was taken by a moment, so that the parts of a use add up to it.
    let by = |at: EventMs| {
        let since = (i128::from(at.0) - i128::from(one.from.0)).clamp(0, whole);
        i64::try_from(i128::from(one.used_mg) * since / whole).unwrap_or(one.used_mg)
    };
    by(until) - by(from)
}

#[cfg(test)]
mod tests;
