//! Which jobs are taken out together: strings of neighbours on machines that could trade them.

use partpledge_units::dice::Dice;

use super::line::Placed;
use super::{Shop, State};

/// Jobs taken out in one step, on average and at most. Set by hand on the reference regions.
const MEAN_OUT: usize = 6;
/// Longest string on one machine.
const LONGEST: usize = 6;

/// Lists that every step fills anew, kept so that none asks for memory.
#[derive(Debug, Default)]
pub(super) struct Ruin {
    machines: Vec<usize>,
    out: Vec<usize>,
}

impl Ruin {
    /// Takes out a string round one job, and strings round the same time on other machines that
    /// could do the job.
    pub(super) fn take_out<S: Shop>(&mut self, state: &mut State<'_, S>, dice: &mut Dice) {
        let jobs = state.at.len();
        if jobs == 0 {
            return;
        }
        let seed = seed(state, dice);
        let mut left = 1 + dice.below(2 * MEAN_OUT);
        state.take_left_out();
        let Some(home) = state.at[seed] else {
            let Some(&machine) = pick(state.shop.able(seed), dice) else {
                return;
            };
            let middle = dice.below(state.lines[machine].placed.len());
            self.string(state, machine, middle, left, dice);
            return;
        };
        let line = &state.lines[home].placed;
        let middle = line
            .iter()
            .position(|placed| placed.job == seed)
            .unwrap_or(0);
        let when = line[middle].step.free;
        left -= self.string(state, home, middle, left, dice).min(left);
        self.machines.clear();
        self.machines.extend_from_slice(state.shop.able(seed));
        dice.shuffle(&mut self.machines);
        for i in 0..self.machines.len() {
            if left == 0 {
                break;
            }
            let machine = self.machines[i];
            if machine == home || state.lines[machine].placed.is_empty() {
                continue;
            }
            let near = |placed: &Placed| placed.step.free < when;
            let middle = state.lines[machine].placed.partition_point(near);
            left -= self.string(state, machine, middle, left, dice).min(left);
        }
        // Few machines could trade jobs: the rest comes from anywhere.
        for _ in 0..2 * MEAN_OUT {
            let job = dice.below(jobs);
            let Some(machine) = state.at[job].filter(|_| left > 0) else {
                continue;
            };
            let line = &state.lines[machine].placed;
            let middle = line.iter().position(|placed| placed.job == job);
            left -= self
                .string(state, machine, middle.unwrap_or(0), left, dice)
                .min(left);
        }
    }

    /// Takes out neighbours round a position; how many.
    fn string<S: Shop>(
        &mut self,
        state: &mut State<'_, S>,
        machine: usize,
        middle: usize,
        most: usize,
        dice: &mut Dice,
    ) -> usize {
        let line = &state.lines[machine].placed;
        let many = line.len();
        let wanted = (1 + dice.below(LONGEST)).min(most).min(many);
        if wanted == 0 {
            return 0;
        }
        let middle = middle.min(many - 1);
        let lowest = (middle + 1).saturating_sub(wanted);
        let highest = middle.min(many - wanted);
        let first = lowest + dice.below(highest + 1 - lowest);
        let range = first..first + wanted;
        self.out.clear();
        self.out.extend(line[range].iter().map(|placed| placed.job));
        state.take_out(machine, &self.out);
        wanted
    }
}

/// Any job, or in every other step the dearest of three.
fn seed<S: Shop>(state: &State<'_, S>, dice: &mut Dice) -> usize {
    let three: [usize; 3] = std::array::from_fn(|_| dice.below(state.at.len()));
    if dice.below(2) == 0 {
        return three[0];
    }
    let cost = |job: usize| {
        let machine = state.at[job]?;
        let line = &state.lines[machine].placed;
        let placed = line.iter().find(|placed| placed.job == job)?;
        Some(placed.step.cost)
    };
    three
        .into_iter()
        .max_by_key(|&job| cost(job).unwrap_or(i64::MAX))
        .unwrap_or(three[0])
}

fn pick<'a>(list: &'a [usize], dice: &mut Dice) -> Option<&'a usize> {
    list.get(dice.below(list.len()))
}
