//! When moving plates one by one leaves promises broken: all that may be moved is ordered anew.
//!
//! Each printer's line is timed by itself. What plates share (hands, filament, time to change the
//! material) is asked for when the lines are laid out, in order of start.

use std::cell::RefCell;

use partpledge_planning_model::{Assignment, Making, Plan, Plate};
use partpledge_units::dice::Dice;
use partpledge_units::time::Minute;

use crate::cost::{NEVER_MIN, OTHER_PRINTER_MIN, late};
use crate::ground::Ground;
use crate::insert::Occupied;
use crate::sequence::{Sequences, Shop, Step, Steps, search};
use crate::slots::{best_slot, earliest_on, earliest_once_free};

/// A minute late counts as much as this many minutes of waiting. Derived here: a day late outweighs
/// any wait that a season has.
const LATE: i64 = 10_000;
/// A broken promise counts as this many minutes late, whatever else it is. Derived here: a week.
const BROKEN_MIN: i64 = 10_080;

/// The plates that may be moved, as jobs; printers as machines, less what is frozen.
struct Floor<'a> {
    ground: &'a Ground<'a>,
    plates: Vec<&'a Plate>,
    /// By plate, then printer.
    makings: Vec<Vec<Option<Making>>>,
    able: Vec<Vec<usize>>,
    before: Vec<Option<usize>>,
    frozen: Occupied,
    now: Minute,
    /// By plate, then printer, in one row: the search asks the same again and again.
    known: RefCell<Vec<Known>>,
}

/// What is known of one plate on one printer.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Known {
    /// In order of time.
    steps: Vec<Stretch>,
    /// A printer free from then on or later can't make it any more.
    none: Option<i64>,
}

/// A step that is the best one for a printer free from `from` on, and for one free later, until the plate
/// would be started.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Stretch {
    from: i64,
    until: i64,
    step: Step,
}

/// What is known for a printer that is free from some minute on.
enum Told {
    Makes(Step),
    MakesItNever,
    NotAskedYet,
}

impl Known {
    fn at(&self, free: i64) -> Told {
        if self.none.is_some_and(|none| none <= free) {
            return Told::MakesItNever;
        }
        let later = self.steps.partition_point(|known| known.from <= free);
        let known = later.checked_sub(1).map(|i| self.steps[i]);
        match known.filter(|known| free <= known.until) {
            Some(known) => Told::Makes(known.step),
            None => Told::NotAskedYet,
        }
    }

    fn keep(&mut self, free: i64, found: Option<(i64, Step)>) {
        let Some((until, step)) = found else {
            self.none = Some(self.none.map_or(free, |none| none.min(free)));
            return;
        };
        let later = self.steps.partition_point(|known| known.from <= free);
        match self.steps.get_mut(later) {
            Some(known) if known.until == until => known.from = free,
            _ => self.steps.insert(
                later,
                Stretch {
                    from: free,
                    until,
                    step,
                },
            ),
        }
    }
}

impl<'a> Floor<'a> {
    fn of(ground: &'a Ground<'a>, plates: &[&'a Plate], plan: &Plan, now: Minute) -> Self {
        let frozen = Plan {
            assignments: plan
                .assignments
                .iter()
                .filter(|a| a.frozen)
                .copied()
                .collect(),
        };
        let taken = Occupied::by(ground, plates.iter().copied(), &frozen);
        let plates: Vec<&Plate> = plates
            .iter()
            .copied()
            .filter(|plate| frozen.of(plate.seq).is_none())
            .collect();
        let makings: Vec<Vec<Option<Making>>> = plates
            .iter()
            .map(|plate| {
                let mut row = vec![None; ground.region().printers.len()];
                for making in &plate.makings {
                    if ground.takes(making, &plate.material) {
                        row[making.printer.0] = Some(*making);
                    }
                }
                row
            })
            .collect();
        let able = makings
            .iter()
            .map(|row| (0..row.len()).filter(|&m| row[m].is_some()).collect())
            .collect();
        let before = plates
            .iter()
            .map(|plate| plan.of(plate.seq).map(|place| place.printer.0))
            .collect();
        let pairs = plates.len() * ground.region().printers.len();
        Self {
            ground,
            frozen: taken,
            plates,
            makings,
            able,
            before,
            now,
            known: RefCell::new(vec![Known::default(); pairs]),
        }
    }

    /// Jobs with their machines as they would be started if plates shared nothing; those left out last.
    fn by_start(&self, found: &Sequences) -> Vec<(Option<usize>, usize)> {
        let mut timed = Vec::with_capacity(self.plates.len());
        for (machine, line) in found.on.iter().enumerate() {
            let mut free = self.open(machine);
            for &job in line {
                let place = self.place(machine, job, free);
                let place = place.expect("the search only plans what can be done");
                free = place.cleared.0;
                timed.push((place.start, machine, job));
            }
        }
        timed.sort_unstable();
        let placed = timed.into_iter();
        let placed = placed.map(|(_, machine, job)| (Some(machine), job));
        let left_out = found.left_out.iter().map(|&job| (None, job));
        placed.chain(left_out).collect()
    }

    fn place(&self, machine: usize, job: usize, free: i64) -> Option<Assignment> {
        let (plate, making) = (self.plates[job], self.makings[job][machine]?);
        let free = self.now.max(Minute(free));
        earliest_once_free(
            self.ground,
            &self.frozen,
            (plate, &making),
            (self.now, free),
        )
    }

    fn costing(&self, machine: usize, job: usize, place: &Assignment) -> Step {
        let plate = self.plates[job];
        let (broken, late) = late(self.ground, plate, place);
        let moved = match self.before[job] {
            Some(before) if before != machine => OTHER_PRINTER_MIN,
            _ => 0,
        };
        let wait = (place.arrives - plate.release).0;
        Step {
            free: place.cleared.0,
            cost: LATE * (BROKEN_MIN * broken + late) + wait + moved,
        }
    }
}

impl Shop for Floor<'_> {
    fn jobs(&self) -> usize {
        self.plates.len()
    }

    fn machines(&self) -> usize {
        self.ground.region().printers.len()
    }

    fn able(&self, job: usize) -> &[usize] {
        &self.able[job]
    }

    fn step(&self, machine: usize, job: usize, free: i64) -> Option<Step> {
        let free = free.max(self.now.0);
        let mut known = self.known.borrow_mut();
        let known = &mut known[job * self.ground.region().printers.len() + machine];
        match known.at(free) {
            Told::Makes(step) => Some(step),
            Told::MakesItNever => None,
            Told::NotAskedYet => {
                let place = self.place(machine, job, free);
                let found = place.map(|at| (at.start.0, self.costing(machine, job, &at)));
                known.keep(free, found);
                found.map(|(_, step)| step)
            }
        }
    }

    fn open(&self, _: usize) -> i64 {
        self.now.0
    }

    fn absent(&self, job: usize) -> i64 {
        let promised = i64::try_from(self.plates[job].promises().count()).unwrap_or(i64::MAX);
        LATE * (1 + promised) * NEVER_MIN
    }

    fn urgency(&self, job: usize) -> i64 {
        self.plates[job].due().map_or(i64::MAX, |due| due.0)
    }
}

/// The movable plates in the best order found within `steps`; frozen places stay. Whether that is
/// better than the plan at hand is for the caller to say.
pub(crate) fn reordered<'a>(
    ground: &'a Ground<'a>,
    plates: &[&'a Plate],
    plan: &Plan,
    now: Minute,
    steps: usize,
) -> Plan {
    let floor = Floor::of(ground, plates, plan, now);
    let found = search(&floor, &mut Dice::seeded(SEED), &mut Steps(steps as u64));
    let mut out = Plan {
        assignments: plan
            .assignments
            .iter()
            .filter(|a| a.frozen)
            .copied()
            .collect(),
    };
    let mut occupied = floor.frozen.clone();
    for (machine, job) in floor.by_start(&found) {
        let plate = floor.plates[job];
        let there = machine.and_then(|machine| floor.makings[job][machine]);
        let there = there.and_then(|m| earliest_on(ground, &occupied, plate, &m, now));
        if let Some(place) = there.or_else(|| best_slot(ground, &occupied, plate, now)) {
            occupied.add(&place, ground.load(plate, false));
            out.put(place);
        }
    }
    out
}

/// One stream for all: the same plan and plates are ordered the same way.
const SEED: u64 = 1;

#[cfg(test)]
mod tests {
    use partpledge_planning_model::Plate;
    use proptest::prelude::*;

    use super::*;
    use crate::random::{HORIZON, world};

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(500))]
        #[test]
        fn what_is_known_of_a_printer_is_what_would_be_found_anew(
            (region, plates) in world(),
            now in 0..HORIZON / 2,
            asked in prop::collection::vec((0_usize..64, 0_usize..64, 0..HORIZON), 40..80),
        ) {
            let ground = Ground::new(&region);
            // The first half is there to stay, as far as it finds a place.
            let (stays, moves) = plates.split_at(plates.len() / 2);
            let (mut plan, mut taken) = (Plan::default(), Occupied::nothing(&ground));
            for plate in stays {
                let Some(place) = best_slot(&ground, &taken, plate, Minute(0)) else {
                    continue;
                };
                taken.add(&place, ground.load(plate, false));
                plan.put(Assignment { frozen: true, ..place });
            }
            let all: Vec<&Plate> = stays.iter().chain(moves).collect();
            let floor = Floor::of(&ground, &all, &plan, Minute(now));
            prop_assume!(floor.jobs() > 0);
            for (job, machine, free) in asked {
                let (job, machine) = (job % floor.jobs(), machine % floor.machines());
                let anew = floor.place(machine, job, free.max(now));
                let anew = anew.map(|at| floor.costing(machine, job, &at));
                prop_assert_eq!(floor.step(machine, job, free), anew);
            }
        }
    }
}
