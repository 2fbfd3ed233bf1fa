//! The search over orders against brute force, and against orders that are known to be best.

use partpledge_planning::sequence::{Sequences, Shop, Step, Steps, search};
use partpledge_units::dice::Dice;

/// A few printers with staffed windows and jobs of other length on each.
#[derive(Clone, Debug)]
struct Small {
    takes: Vec<Vec<i64>>,
    able: Vec<Vec<usize>>,
    release: Vec<i64>,
    due: Vec<i64>,
    weight: Vec<i64>,
    /// A day of this many ticks is staffed in its first `staffed` ones, from an offset on.
    day: i64,
    staffed: Vec<(i64, i64)>,
    /// Last tick at which a job may come off.
    horizon: i64,
}

impl Small {
    fn attended(&self, machine: usize, tick: i64) -> i64 {
        let (offset, long) = self.staffed[machine];
        let into = (tick - offset).rem_euclid(self.day);
        if into < long {
            tick
        } else {
            tick + self.day - into
        }
    }

    fn thrown(dice: &mut Dice) -> Self {
        let jobs = 2 + dice.below(6);
        let machines = 1 + dice.below(3);
        let takes: Vec<Vec<i64>> = (0..jobs)
            .map(|_| (0..machines).map(|_| dice.between(1, 14)).collect())
            .collect();
        let able = (0..jobs)
            .map(|_| {
                let mut able: Vec<usize> = (0..machines).filter(|_| dice.happens(0.7)).collect();
                if able.is_empty() {
                    able.push(dice.below(machines));
                }
                able
            })
            .collect();
        let mut list = |low, high| (0..jobs).map(|_| dice.between(low, high)).collect();
        let (release, due, weight) = (list(0, 10), list(5, 40), list(1, 6));
        Self {
            takes,
            able,
            release,
            due,
            weight,
            day: 12,
            staffed: (0..machines)
                .map(|_| (dice.between(0, 6), dice.between(2, 13)))
                .collect(),
            horizon: 60,
        }
    }
}

impl Shop for Small {
    fn jobs(&self) -> usize {
        self.takes.len()
    }

    fn machines(&self) -> usize {
        self.staffed.len()
    }

    fn able(&self, job: usize) -> &[usize] {
        &self.able[job]
    }

    fn step(&self, machine: usize, job: usize, free: i64) -> Option<Step> {
        let start = self.attended(machine, free.max(self.release[job]));
        let free = start + self.takes[job][machine];
        let off = self.attended(machine, free);
        let cost = self.weight[job] * (off - self.due[job]).max(0);
        (off <= self.horizon).then_some(Step { free, cost })
    }

    fn open(&self, machine: usize) -> i64 {
        i64::try_from(machine).unwrap_or(0)
    }

    fn absent(&self, job: usize) -> i64 {
        self.weight[job] * 1_000
    }

    fn urgency(&self, job: usize) -> i64 {
        self.due[job]
    }
}

/// Every order on every machine, jobs left out included: job by job appended to some machine.
fn brute(shop: &Small, free: &mut Vec<i64>, done: &mut Vec<bool>, cost: i64, best: &mut i64) {
    let left: i64 = (0..shop.jobs())
        .filter(|&job| !done[job])
        .map(|job| shop.absent(job))
        .sum();
    *best = (*best).min(cost + left);
    for job in 0..shop.jobs() {
        if done[job] {
            continue;
        }
        for &machine in shop.able(job) {
            let Some(step) = shop.step(machine, job, free[machine]) else {
                continue;
            };
            if cost + step.cost >= *best {
                continue;
            }
            let before = std::mem::replace(&mut free[machine], step.free);
            done[job] = true;
            brute(shop, free, done, cost + step.cost, best);
            done[job] = false;
            free[machine] = before;
        }
    }
}

/// What sequences cost, worked out here and not by the search.
fn priced(shop: &Small, found: &Sequences) -> i64 {
    let mut cost: i64 = found.left_out.iter().map(|&job| shop.absent(job)).sum();
    let mut seen = found.left_out.clone();
    for (machine, line) in found.on.iter().enumerate() {
        let mut free = shop.open(machine);
        for &job in line {
            assert!(shop.able(job).contains(&machine), "job {job} on {machine}");
            let step = shop
                .step(machine, job, free)
                .expect("a planned job can be done");
            (free, cost) = (step.free, cost + step.cost);
            seen.push(job);
        }
    }
    seen.sort_unstable();
    assert_eq!(seen, (0..shop.jobs()).collect::<Vec<_>>(), "each job once");
    cost
}

#[test]
fn five_hundred_small_shops_are_planned_as_well_as_by_trying_everything() {
    let mut dice = Dice::seeded(11);
    let (mut late, mut left_out) = (0, 0);
    for instance in 0..500_u64 {
        let shop = Small::thrown(&mut dice);
        let found = search(&shop, &mut Dice::seeded(instance), &mut Steps(3_000));
        let mut best = i64::MAX;
        let mut free: Vec<i64> = (0..shop.machines()).map(|m| shop.open(m)).collect();
        brute(
            &shop,
            &mut free,
            &mut vec![false; shop.jobs()],
            0,
            &mut best,
        );
        assert_eq!(priced(&shop, &found), found.cost, "{instance}: {shop:?}");
        assert_eq!(found.cost, best, "{instance}: {shop:?} {found:?}");
        late += u32::from(best > 0);
        left_out += u32::from(!found.left_out.is_empty());
    }
    // The instances must be worth something.
    assert!(
        late > 300 && left_out > 10,
        "{late} late, {left_out} with jobs left out"
    );
}

/// One machine, always staffed.
struct Single {
    jobs: Vec<(i64, i64, i64)>,
    cost: fn(i64, (i64, i64, i64)) -> i64,
}

impl Shop for Single {
    fn jobs(&self) -> usize {
        self.jobs.len()
    }

    fn machines(&self) -> usize {
        1
    }

    fn able(&self, _: usize) -> &[usize] {
        &[0]
    }

    fn step(&self, _: usize, job: usize, free: i64) -> Option<Step> {
        let free = free + self.jobs[job].0;
        let cost = (self.cost)(free, self.jobs[job]);
        Some(Step { free, cost })
    }

    fn open(&self, _: usize) -> i64 {
        0
    }

    fn absent(&self, _: usize) -> i64 {
        1_000_000
    }

    fn urgency(&self, job: usize) -> i64 {
        self.jobs[job].2
    }
}

#[test]
fn weighted_completion_is_best_by_time_over_weight() {
    // Smith 1956 (from memory): the order of time over weight is best.
    let mut dice = Dice::seeded(5);
    for round in 0..20 {
        let jobs: Vec<(i64, i64, i64)> = (0..12)
            .map(|_| (dice.between(1, 30), dice.between(1, 9), 0))
            .collect();
        let mut order = jobs.clone();
        order.sort_by(|a, b| (a.0 * b.1).cmp(&(b.0 * a.1)));
        let mut at = 0;
        let best: i64 = order
            .iter()
            .map(|job| {
                at += job.0;
                job.1 * at
            })
            .sum();
        let shop = Single {
            jobs,
            cost: |free, job| job.1 * free,
        };
        let found = search(&shop, &mut Dice::seeded(round), &mut Steps(6_000));
        assert_eq!(found.cost, best);
    }
}

#[test]
fn the_fewest_late_jobs_of_the_textbook_are_found() {
    // Pinedo, Scheduling; CHECKS.md, section 7 (recomputed): two are late at least (Moore-Hodgson).
    let jobs = vec![(7, 1, 9), (8, 1, 17), (4, 1, 18), (6, 1, 19), (6, 1, 21)];
    let shop = Single {
        jobs,
        cost: |free, job| i64::from(free > job.2),
    };
    assert_eq!(
        search(&shop, &mut Dice::seeded(1), &mut Steps(2_000)).cost,
        2
    );
}

#[test]
fn more_steps_never_end_dearer_and_a_seed_replays() {
    let mut dice = Dice::seeded(3);
    let jobs: Vec<(i64, i64, i64)> = (0..25)
        .map(|_| {
            (
                dice.between(1, 30),
                dice.between(1, 9),
                dice.between(10, 250),
            )
        })
        .collect();
    let shop = Single {
        jobs,
        cost: |free, job| job.1 * (free - job.2).max(0),
    };
    let run = |seed, steps| search(&shop, &mut Dice::seeded(seed), &mut Steps(steps));
    assert_eq!(run(9, 500), run(9, 500));
    // From best insertion on it only gets better.
    assert!(run(9, 5_000).cost <= run(9, 0).cost);
}
