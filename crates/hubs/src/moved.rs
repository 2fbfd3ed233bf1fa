//! What moved a figure from one week to the next, in parts that add up to the change.

use std::collections::BTreeSet;

use partpledge_units::cast::int_f64;

use crate::figures::{Pace, Share, Work};

/// A change of a figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Change<C> {
    /// Before.
    pub from: f64,
    /// Now.
    pub to: f64,
    /// What moved it, the strongest first. The parts add up to `to - from`.
    pub parts: Vec<Part<C>>,
}

/// Part of a change.
#[derive(Clone, Debug, PartialEq)]
pub struct Part<C> {
    /// What moved it.
    pub by: C,
    /// By how much, in the figure's own unit.
    pub much: f64,
}

/// What moves a pace.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum OfPace<C> {
    /// The weekly hours.
    Hours,
    /// A closure.
    Closed(C),
    /// How many plates there were.
    Plates,
}

/// Where work in progress is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum OfWork {
    /// On a printer.
    Printing,
    /// Off the bed, not in a box.
    Checking,
    /// In a box that nobody has yet.
    Waiting,
}

impl<C> Change<C> {
    fn new((from, to): (f64, f64), parts: impl Iterator<Item = (C, f64)>) -> Self {
        let parts = parts.map(|(by, much)| Part { by, much });
        let mut parts: Vec<Part<C>> = parts.collect();
        // A sort that keeps the order of what is as strong.
        parts.sort_by(|a, b| b.much.abs().total_cmp(&a.much.abs()));
        Self { from, to, parts }
    }
}

/// What moved a share: each cause by how much less, or more, of all it took. `None` when either week
/// has none.
///
/// # Source
/// One less the sum of the causes' shares is the share of good ones, so their changes add up to its
/// (derived here).
#[must_use]
pub fn of_share<C: Ord + Clone>(before: &Share<C>, now: &Share<C>) -> Option<Change<C>> {
    let ends = before.rate().zip(now.rate())?;
    let causes: BTreeSet<&C> = before.lost.keys().chain(now.lost.keys()).collect();
    let taken = |share: &Share<C>, cause: &C| {
        let many = share.lost.get(cause).copied().unwrap_or(0);
        f64::from(many) / f64::from(share.of())
    };
    let part = |cause: &C| (cause.clone(), taken(before, cause) - taken(now, cause));
    Some(Change::new(ends, causes.into_iter().map(part)))
}

/// What moved the takt. `None` when in either week no plate was asked.
#[must_use]
pub fn of_takt<C: Ord + Clone>(before: &Pace<C>, now: &Pace<C>) -> Option<Change<OfPace<C>>> {
    let ends = before.takt_min().zip(now.takt_min())?;
    Some(of_pace((before, before.asked), (now, now.asked), ends))
}

/// What moved the cycle. `None` when in either week no plate was done.
#[must_use]
pub fn of_cycle<C: Ord + Clone>(before: &Pace<C>, now: &Pace<C>) -> Option<Change<OfPace<C>>> {
    let ends = before.cycle_min().zip(now.cycle_min())?;
    Some(of_pace((before, before.done), (now, now.done), ends))
}

/// Minutes over plates: each factor's part is its own change at the mean of the other.
///
/// # Source
/// `S1/D1 - S0/D0 = (S1 - S0) (1/D1 + 1/D0)/2 + (1/D1 - 1/D0) (S1 + S0)/2` (derived here; the value of
/// Shapley, 1953, for two factors, from memory).
fn of_pace<C: Ord + Clone>(
    (before, few): (&Pace<C>, u32),
    (now, many): (&Pace<C>, u32),
    ends: (f64, f64),
) -> Change<OfPace<C>> {
    let (rare, often) = (1.0 / f64::from(few), 1.0 / f64::from(many));
    let each_minute = f64::midpoint(rare, often);
    let minutes = int_f64(before.staffed_min() + now.staffed_min()) / 2.0;
    let hours = int_f64(now.hours_min - before.hours_min) * each_minute;
    let names: BTreeSet<&C> = before
        .closed_min
        .keys()
        .chain(now.closed_min.keys())
        .collect();
    let shut = |pace: &Pace<C>, name: &C| pace.closed_min.get(name).copied().unwrap_or(0);
    let closed = names.into_iter().map(|name| {
        let more = shut(now, name) - shut(before, name);
        (OfPace::Closed(name.clone()), -int_f64(more) * each_minute)
    });
    let own = [
        (OfPace::Hours, hours),
        (OfPace::Plates, (often - rare) * minutes),
    ];
    Change::new(ends, own.into_iter().chain(closed))
}

/// What moved the work in progress: where there is more or less of it.
#[must_use]
pub fn of_work(before: &Work, now: &Work) -> Change<OfWork> {
    let parts = [
        (OfWork::Printing, now.printing - before.printing),
        (OfWork::Checking, now.checking - before.checking),
        (OfWork::Waiting, now.waiting - before.waiting),
    ];
    Change::new((before.all(), now.all()), parts.into_iter())
}
