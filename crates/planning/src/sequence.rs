//! Which job on which machine, in which order: a large-neighbourhood search over sequences.
//!
//! The shop says what one job does to one machine; the search knows neither calendars nor due
//! dates. A job on a machine that is free later must never end earlier nor cost less, so that for
//! every order the best plan starts each job as soon as it can: orders are all there is to search.
//!
//! A step takes some neighbouring jobs out and puts each back where it costs least. Steps that make
//! the plan a little worse are taken too, less and less of them as the budget is used up.
//!
//! # Source
//! Ruin and recreate: Schrimpf et al., J. Comput. Phys. 159 (2000); removal of strings and insertion
//! with blinks: Christiaens and Vanden Berghe, Transp. Sci. 54 (2020); annealing: Kirkpatrick et al.,
//! Science 220 (1983). All from memory; what is done with machines and calendars is derived here.

mod line;
mod ruin;
mod state;

use partpledge_units::dice::Dice;

use line::Line;
use ruin::Ruin;
use state::State;

/// What a job does to a machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Step {
    /// When the machine is free again.
    pub free: i64,
    /// What it costs that the job is done then.
    pub cost: i64,
}

/// Jobs, machines, and what one does to the other.
pub trait Shop {
    /// How many jobs there are.
    fn jobs(&self) -> usize;
    /// How many machines.
    fn machines(&self) -> usize;
    /// The machines that can do a job.
    fn able(&self, job: usize) -> &[usize];
    /// What `job` does to `machine`, which is free from `free` on; `None` when it can't be done any
    /// more. Must not get earlier or cheaper when `free` gets later.
    fn step(&self, machine: usize, job: usize, free: i64) -> Option<Step>;
    /// When a machine is free at first.
    fn open(&self, machine: usize) -> i64;
    /// What it costs to leave a job out. More than doing it ever does.
    fn absent(&self, job: usize) -> i64;
    /// How pressing a job is: smaller comes first where all jobs are put in one after the other.
    fn urgency(&self, job: usize) -> i64;
}

/// The order of jobs on each machine, and what it costs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sequences {
    /// For each machine its jobs.
    pub on: Vec<Vec<usize>>,
    /// Jobs that found no machine.
    pub left_out: Vec<usize>,
    /// Sum of the costs.
    pub cost: i64,
}

/// How far the search has come: called with the number of steps taken, it gives the share of the
/// budget that is used up, 1 or more to stop. A count makes it replayable; a clock makes it timely.
pub trait Budget {
    /// Share used up, from 0 to 1.
    fn used(&mut self, steps: u64) -> f64;
}

/// A number of steps.
#[derive(Clone, Copy, Debug)]
pub struct Steps(pub u64);

impl Budget for Steps {
    fn used(&mut self, steps: u64) -> f64 {
        steps as f64 / self.0.max(1) as f64
    }
}

/// The best sequences found from best insertion on, within the budget.
///
/// Stops early at cost 0; looks at the budget every 64 steps. The same shop, seed and number of steps give the same sequences.
///
/// ```
/// use partpledge_planning::sequence::{Shop, Step, Steps, search};
/// use partpledge_units::dice::Dice;
/// /// Weighted completion time on one machine: the best order is by time over weight (Smith 1956).
/// struct Bench([(i64, i64); 4]);
/// impl Shop for Bench {
///     fn jobs(&self) -> usize { 4 }
///     fn machines(&self) -> usize { 1 }
///     fn able(&self, _: usize) -> &[usize] { &[0] }
///     fn step(&self, _: usize, job: usize, free: i64) -> Option<Step> {
///         let (time, weight) = self.0[job];
///         Some(Step { free: free + time, cost: weight * (free + time) })
///     }
///     fn open(&self, _: usize) -> i64 { 0 }
///     fn absent(&self, _: usize) -> i64 { 1_000_000 }
///     fn urgency(&self, job: usize) -> i64 { job as i64 }
/// }
/// let found = search(&Bench([(3, 1), (1, 2), (2, 2), (4, 1)]), &mut Dice::seeded(1), &mut Steps(200));
/// assert_eq!(found.on[0], [1, 2, 0, 3]);
/// ```
pub fn search<S: Shop>(shop: &S, dice: &mut Dice, budget: &mut impl Budget) -> Sequences {
    let mut state = State::inserted(shop);
    let mut best = state.sequences();
    let mut ruin = Ruin::default();
    let mut cooling = Cooling::of(&state);
    let mut steps = 0_u64;
    while best.cost > 0 {
        // Asking a clock costs as much as a step.
        if steps.is_multiple_of(CLOCK_EVERY) {
            let used = budget.used(steps);
            if used >= 1.0 {
                break;
            }
            cooling.at(used);
        }
        steps += 1;
        let before = state.cost;
        ruin.take_out(&mut state, dice);
        state.put_back(dice);
        if cooling.accepts(state.cost - before, dice) {
            state.keep();
            if state.cost < best.cost {
                best = state.sequences();
            }
        } else {
            state.undo();
        }
        debug_assert_eq!(state.cost, state.rebuilt());
    }
    best
}

/// Steps between two looks at the budget.
const CLOCK_EVERY: u64 = 64;

/// How much worse a step may make the plan.
#[derive(Clone, Copy, Debug)]
struct Cooling {
    hot: f64,
    cold: f64,
    now: f64,
}

impl Cooling {
    /// Warm enough at first that a job's mean cost is often accepted, cold at the end.
    fn of<S: Shop>(state: &State<'_, S>) -> Self {
        let jobs = state.shop.jobs().max(1) as f64;
        let hot = (HOT_SHARE * state.cost as f64 / jobs).max(1.0);
        Self {
            hot,
            cold: hot * COLD_SHARE,
            now: hot,
        }
    }

    fn at(&mut self, used: f64) {
        self.now = self.hot * (self.cold / self.hot).powf(used);
    }

    fn accepts(self, worse: i64, dice: &mut Dice) -> bool {
        worse <= 0 || (worse as f64) < -self.now * dice.unit().max(f64::MIN_POSITIVE).ln()
    }
}

/// Temperature at the start, in mean costs of a job, and at the end in temperatures at the start.
/// Set by hand on the reference regions (`partpledge-bench region`).
const HOT_SHARE: f64 = 1.0;
const COLD_SHARE: f64 = 0.005;
