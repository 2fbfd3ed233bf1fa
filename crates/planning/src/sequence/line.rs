//! The jobs of one machine in order, with what is known after each.

use super::{Shop, Step};

/// A job in its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Placed {
    pub(super) job: usize,
    /// What it did to the machine.
    pub(super) step: Step,
}

/// One machine's jobs.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Line {
    pub(super) placed: Vec<Placed>,
}

impl Line {
    /// When the machine is free for position `at`.
    pub(super) fn free<S: Shop>(&self, shop: &S, machine: usize, at: usize) -> i64 {
        match at {
            0 => shop.open(machine),
            _ => self.placed[at - 1].step.free,
        }
    }

    pub(super) fn cost(&self) -> i64 {
        self.placed.iter().map(|placed| placed.step.cost).sum()
    }

    /// The cheapest position for a job, and what it costs in all, if that is less than `below`;
    /// `blink` says which positions are overlooked.
    pub(super) fn cheapest<S: Shop>(
        &self,
        shop: &S,
        (machine, job): (usize, usize),
        below: i64,
        mut blink: impl FnMut() -> bool,
    ) -> Option<(usize, i64)> {
        let mut best = (None, below);
        for at in 0..=self.placed.len() {
            let Some(own) = shop.step(machine, job, self.free(shop, machine, at)) else {
                break;
            };
            // Later positions cost the job no less, and the others never gain.
            if own.cost >= best.1 {
                break;
            }
            if blink() {
                continue;
            }
            if let Some(extra) = self.pushed(shop, machine, at, own.free, best.1 - own.cost) {
                best = (Some(at), own.cost + extra);
            }
        }
        best.0.map(|at| (at, best.1))
    }

    /// What it costs that the jobs from position `at` on find the machine free at `free` only, if
    /// that is less than `below`.
    fn pushed<S: Shop>(
        &self,
        shop: &S,
        machine: usize,
        at: usize,
        free: i64,
        below: i64,
    ) -> Option<i64> {
        let (mut free, mut extra) = (free, 0);
        for placed in &self.placed[at..] {
            let step = shop.step(machine, placed.job, free)?;
            extra += step.cost - placed.step.cost;
            if extra >= below {
                return None;
            }
            // From here on all is as before.
            if step == placed.step {
                break;
            }
            free = step.free;
        }
        Some(extra)
    }

    /// Puts a job in where it and all after it can be done.
    pub(super) fn insert<S: Shop>(&mut self, shop: &S, (machine, job): (usize, usize), at: usize) {
        let step = Step { free: 0, cost: 0 };
        self.placed.insert(at, Placed { job, step });
        self.follow(shop, machine, at);
    }

    /// Keeps the jobs for which `stays` holds.
    pub(super) fn retain<S: Shop>(
        &mut self,
        shop: &S,
        machine: usize,
        stays: impl Fn(usize) -> bool,
    ) {
        let Some(first) = self.placed.iter().position(|placed| !stays(placed.job)) else {
            return;
        };
        self.placed.retain(|placed| stays(placed.job));
        self.follow(shop, machine, first);
    }

    /// Works out the steps again from position `from` on.
    fn follow<S: Shop>(&mut self, shop: &S, machine: usize, from: usize) {
        let mut free = self.free(shop, machine, from);
        for at in from..self.placed.len() {
            let placed = &mut self.placed[at];
            let step = shop.step(machine, placed.job, free);
            let step = step.expect("a job is only put in where it and all after it can be done");
            if at > from && step == placed.step {
                break;
            }
            placed.step = step;
            free = step.free;
        }
    }
}
