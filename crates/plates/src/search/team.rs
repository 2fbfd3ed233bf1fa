//! Two searches side by side, each with its own dice, that take over the better result now and then.
//!
//! They meet after a fixed number of trials, so the answer is the same on any number of threads.

use partpledge_units::dice::Dice;

use super::field::Field;
use super::separate::{Search, Used};
use super::shrink::{Found, Shrink};

/// Searches side by side.
const WORKERS: u64 = 2;
/// Trials of each between two meetings, and what it takes to end an attempt.
const EPOCH: u64 = 150_000;

/// Whose dice, how much, and how much of it is already used.
#[derive(Clone, Copy)]
pub(crate) struct Effort<'u> {
    pub(crate) seed: u64,
    pub(crate) used: &'u Used<'u>,
    /// Trials made before this search.
    pub(crate) before: u64,
}

/// The searches.
pub(crate) struct Team<'a> {
    workers: Vec<Shrink<'a>>,
}

impl<'a> Team<'a> {
    /// Sets up each search with `make`, which is given dice and a way to make a [`Search`] of a field.
    pub(crate) fn gather(
        effort: Effort<'a>,
        make: impl Fn(Dice, &dyn Fn(Field<'a>, Dice) -> Search<'a>) -> Option<Shrink<'a>>,
    ) -> Option<Self> {
        let search =
            |field: Field<'a>, dice: Dice| Search::new(field, dice, effort.used, effort.before);
        let workers = (0..WORKERS)
            .map(|stream| make(Dice::stream(effort.seed, stream), &search))
            .collect::<Option<_>>()?;
        Some(Self { workers })
    }

    /// Has all work, with meetings, until one is done or `enough` of the effort is used.
    pub(crate) fn work(&mut self, enough: f64, task: impl Fn(&mut Shrink<'a>) + Sync) {
        loop {
            std::thread::scope(|scope| {
                for worker in &mut self.workers {
                    worker.search.pause_after(EPOCH);
                    let task = &task;
                    scope.spawn(move || task(worker));
                }
            });
            if let Some(best) = self.best() {
                for worker in &mut self.workers {
                    worker.adopt(&best);
                }
            }
            let used = |worker: &Shrink<'_>| worker.search.used() >= enough;
            if self
                .workers
                .iter()
                .any(|worker| used(worker) || worker.done())
            {
                return;
            }
        }
    }

    /// The best result; of equal ones, the first found.
    pub(crate) fn best(&self) -> Option<Found> {
        let found = self
            .workers
            .iter()
            .filter_map(|worker| worker.best.as_ref());
        found
            .min_by(|a, b| {
                let lengths = a.length().total_cmp(&b.length());
                lengths.then(a.trials.cmp(&b.trials))
            })
            .cloned()
    }
}
