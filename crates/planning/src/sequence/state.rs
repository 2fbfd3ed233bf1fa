//! A plan under search: lines, what is out of them, and how to go back.

use partpledge_units::dice::Dice;

use super::{Line, Sequences, Shop};

/// One place in a hundred is overlooked when a job is put back, so that the same ruin does not
/// always give the same plan. From the source of [`super`], from memory.
const BLINK: f64 = 0.01;

/// Lines of all machines.
#[derive(Debug)]
pub(super) struct State<'a, S> {
    pub(super) shop: &'a S,
    pub(super) lines: Vec<Line>,
    /// Machine of each job.
    pub(super) at: Vec<Option<usize>>,
    pub(super) cost: i64,
    /// Jobs taken out.
    out: Vec<usize>,
    /// Lines as they were before the step, the first of each machine counts.
    before: Vec<(usize, Line)>,
    changed: Vec<bool>,
    cost_before: i64,
    /// Jobs that were taken out or left out before, with their machine.
    moved: Vec<(usize, Option<usize>)>,
}

impl<'a, S: Shop> State<'a, S> {
    /// Every job put in where it costs least, the most pressing first.
    pub(super) fn inserted(shop: &'a S) -> Self {
        let absent: i64 = (0..shop.jobs()).map(|job| shop.absent(job)).sum();
        let mut out = Self {
            shop,
            lines: vec![Line::default(); shop.machines()],
            at: vec![None; shop.jobs()],
            cost: absent,
            out: Vec::new(),
            before: Vec::new(),
            changed: vec![false; shop.machines()],
            cost_before: absent,
            moved: Vec::new(),
        };
        let mut jobs: Vec<usize> = (0..shop.jobs()).collect();
        jobs.sort_by_key(|&job| (shop.urgency(job), job));
        for job in jobs {
            out.place(job, || false);
        }
        out.keep();
        out
    }

    pub(super) fn sequences(&self) -> Sequences {
        let jobs = |line: &Line| line.placed.iter().map(|placed| placed.job).collect();
        let left_out = (0..self.at.len()).filter(|&job| self.at[job].is_none());
        Sequences {
            on: self.lines.iter().map(jobs).collect(),
            left_out: left_out.collect(),
            cost: self.cost,
        }
    }

    /// Takes jobs of one machine out.
    pub(super) fn take_out(&mut self, machine: usize, jobs: &[usize]) {
        self.remember(machine);
        for &job in jobs {
            self.moved.push((job, self.at[job]));
            self.at[job] = None;
            self.cost += self.shop.absent(job);
            self.out.push(job);
        }
        let line = &mut self.lines[machine];
        self.cost -= line.cost();
        line.retain(self.shop, machine, |job| !jobs.contains(&job));
        self.cost += line.cost();
    }

    /// Jobs that have no machine are tried again with those just taken out.
    pub(super) fn take_left_out(&mut self) {
        let waiting = (0..self.at.len()).filter(|&job| self.at[job].is_none());
        let waiting: Vec<usize> = waiting.filter(|job| !self.out.contains(job)).collect();
        for job in waiting {
            self.moved.push((job, None));
            self.out.push(job);
        }
    }

    /// Puts all jobs that are out back in, one by one where each costs least, in one of several
    /// orders.
    pub(super) fn put_back(&mut self, dice: &mut Dice) {
        let mut out = std::mem::take(&mut self.out);
        let shop = self.shop;
        dice.shuffle(&mut out);
        match dice.below(4) {
            0 => out.sort_by_key(|&job| shop.urgency(job)),
            1 => out.sort_by_key(|&job| shop.able(job).len()),
            2 => out.sort_by_key(|&job| std::cmp::Reverse(self.shortest(job))),
            _ => {}
        }
        for &job in &out {
            self.place(job, || dice.unit() < BLINK);
        }
        out.clear();
        self.out = out;
    }

    /// Free time after the job on its first machine when that is idle: how long it takes, about.
    fn shortest(&self, job: usize) -> i64 {
        let first = self.shop.able(job).first().copied();
        let step = first.and_then(|machine| {
            let open = self.shop.open(machine);
            self.shop.step(machine, job, open)
        });
        step.map_or(0, |step| step.free)
    }

    fn place(&mut self, job: usize, mut blink: impl FnMut() -> bool) {
        let mut best = (None, self.shop.absent(job));
        for &machine in self.shop.able(job) {
            let line = &self.lines[machine];
            let found = line.cheapest(self.shop, (machine, job), best.1, &mut blink);
            if let Some((at, cost)) = found {
                best = (Some((machine, at)), cost);
            }
        }
        if let Some((machine, at)) = best.0 {
            self.remember(machine);
            self.lines[machine].insert(self.shop, (machine, job), at);
            self.at[job] = Some(machine);
            self.cost += best.1 - self.shop.absent(job);
        }
    }

    fn remember(&mut self, machine: usize) {
        if !self.changed[machine] {
            self.changed[machine] = true;
            self.before.push((machine, self.lines[machine].clone()));
        }
    }

    /// The step stays.
    pub(super) fn keep(&mut self) {
        for (machine, _) in self.before.drain(..) {
            self.changed[machine] = false;
        }
        self.moved.clear();
        self.cost_before = self.cost;
    }

    /// Back to before the step.
    pub(super) fn undo(&mut self) {
        for (machine, line) in self.before.drain(..) {
            self.lines[machine] = line;
            self.changed[machine] = false;
        }
        for (job, machine) in self.moved.drain(..) {
            self.at[job] = machine;
        }
        self.cost = self.cost_before;
    }

    /// The cost worked out from nothing.
    pub(super) fn rebuilt(&self) -> i64 {
        let absent = (0..self.at.len()).filter(|&job| self.at[job].is_none());
        let absent: i64 = absent.map(|job| self.shop.absent(job)).sum();
        let line = |(machine, line): (usize, &Line)| {
            let mut free = self.shop.open(machine);
            let cost = line.placed.iter().map(|placed| {
                let step = self.shop.step(machine, placed.job, free);
                free = step.map_or(i64::MAX, |step| step.free);
                step.map_or(i64::MAX, |step| step.cost)
            });
            cost.sum::<i64>()
        };
        absent + self.lines.iter().enumerate().map(line).sum::<i64>()
    }
}
