//! Best insertion and improvement by moves that pay.

use std::ops::Add;

use partpledge_planning_model::{Assignment, Plan, Plate, PlateSeq, PrinterIx};
use partpledge_units::time::Minute;

use crate::cost::{Cost, cost};
use crate::ground::Ground;
use crate::insert::Occupied;
use crate::limits::fits_between;
use crate::reorder::reordered;
use crate::slots::best_slot;

/// A plan being made.
#[derive(Debug)]
pub(crate) struct Search<'a> {
    pub(crate) ground: &'a Ground<'a>,
    /// In order of promise, then sequence.
    pub(crate) plates: Vec<&'a Plate>,
    pub(crate) plan: Plan,
    pub(crate) occupied: Occupied,
    pub(crate) now: Minute,
    /// The printer that each plate had before, by plate.
    before: Vec<(PlateSeq, PrinterIx)>,
    /// Kept up with every change; rebuilt and compared in debug builds.
    pub(crate) total: Cost,
}

impl<'a> Search<'a> {
    pub(crate) fn new(
        ground: &'a Ground<'a>,
        plates: &'a [Plate],
        plan: Plan,
        now: Minute,
    ) -> Self {
        let mut plates: Vec<&Plate> = plates.iter().collect();
        let due = |plate: &Plate| plate.due().unwrap_or(Minute(i64::MAX));
        plates.sort_by_key(|plate| (due(plate), plate.seq));
        let mut out = Self {
            ground,
            occupied: Occupied::by(ground, plates.iter().copied(), &plan),
            before: plan
                .assignments
                .iter()
                .map(|place| (place.plate, place.printer))
                .collect(),
            plates,
            plan,
            now,
            total: Cost::default(),
        };
        out.total = out.rebuilt();
        out
    }

    pub(crate) fn into_plan(self) -> Plan {
        self.plan
    }

    /// Gives every plate without a place its best slot, in order.
    pub(crate) fn insert_all(&mut self) {
        for i in 0..self.plates.len() {
            let plate = self.plates[i];
            if self.plan.of(plate.seq).is_none()
                && let Some(slot) = best_slot(self.ground, &self.occupied, plate, self.now)
            {
                self.put(plate, slot);
            }
        }
        debug_assert_eq!(self.total, self.rebuilt());
    }

    /// Tries moves until none pays or the budget is used up.
    pub(crate) fn improve(&mut self, moves: usize) {
        let mut left = moves;
        let mut better = true;
        while better {
            better = false;
            for i in 0..self.plates.len() {
                better |= self.relocate(self.plates[i], &mut left);
            }
            for i in 0..self.plates.len() {
                better |= self.make_room(self.plates[i], &mut left);
            }
        }
        // What is broken still may be mended by ordering everything anew; nothing is moved for less.
        if moves > 0 && self.broken() {
            self.reorder(moves);
        }
        if moves > 0 && self.broken() {
            self.reshuffle(moves);
        }
    }

    fn broken(&self) -> bool {
        self.total.broken > 0 || self.total.unplaced > 0
    }

    /// Takes the plan with all that may be moved in a new order, if that is better.
    fn reorder(&mut self, steps: usize) {
        let plan = reordered(self.ground, &self.plates, &self.plan, self.now, steps);
        let total = self.total_of(&plan);
        if total < self.total {
            let old = std::mem::take(&mut self.plan);
            self.stand_at(plan);
            self.put_back(&old);
        }
    }

    /// Takes a plan whole.
    pub(crate) fn stand_at(&mut self, plan: Plan) {
        self.occupied = Occupied::by(self.ground, self.plates.iter().copied(), &plan);
        self.plan = plan;
        self.total = self.rebuilt();
    }

    /// Takes a plate out and puts it back at its best slot, if that pays.
    fn relocate(&mut self, plate: &Plate, left: &mut usize) -> bool {
        let Some(old) = self.movable(plate).filter(|_| spend(left)) else {
            return false;
        };
        let before = self.total;
        self.take_out(plate, &old);
        let new = best_slot(self.ground, &self.occupied, plate, self.now)
            .filter(|_| self.leaves_whole(&old))
            .filter(|new| self.cost(plate, Some(new)) < self.cost(plate, Some(&old)));
        self.put(plate, new.unwrap_or(old));
        self.checked(before, new.is_some())
    }

    /// For a plate that is late or has no place: another plate is taken out, this one gets its
    /// best slot, the other gets what is left.
    fn make_room(&mut self, plate: &'a Plate, left: &mut usize) -> bool {
        let place = self.plan.of(plate.seq).copied();
        let now = self.cost(plate, place.as_ref());
        let stuck = place.is_some_and(|place| place.frozen);
        if stuck || (now.broken == 0 && now.unplaced == 0) {
            return false;
        }
        for i in (0..self.plates.len()).rev() {
            let other = self.plates[i];
            let Some(away) = self.movable(other).filter(|_| other.seq != plate.seq) else {
                continue;
            };
            let shares = plate.makings.iter().any(|m| m.printer == away.printer);
            let in_time = place.is_none_or(|place| away.start < place.arrives);
            if shares && in_time && spend(left) && self.trade(plate, place, other, away) {
                return true;
            }
        }
        false
    }

    /// Puts `plate` first and `other` after it, if that pays; otherwise all stays as it was.
    fn trade(
        &mut self,
        plate: &Plate,
        place: Option<Assignment>,
        other: &Plate,
        away: Assignment,
    ) -> bool {
        let before = self.total;
        if let Some(place) = &place {
            self.take_out(plate, place);
        }
        self.take_out(other, &away);
        let whole = self.leaves_whole(&away) && place.is_none_or(|place| self.leaves_whole(&place));
        let first = best_slot(self.ground, &self.occupied, plate, self.now).filter(|_| whole);
        if let Some(first) = first {
            self.put(plate, first);
        }
        let second = best_slot(self.ground, &self.occupied, other, self.now).filter(|_| whole);
        if let Some(second) = second {
            self.put(other, second);
        }
        let pays = self.total < before;
        if !pays {
            if let Some(first) = first {
                self.take_out(plate, &first);
            }
            if let Some(second) = second {
                self.take_out(other, &second);
            }
            if let Some(place) = place {
                self.put(plate, place);
            }
            self.put(other, away);
        }
        self.checked(before, pays)
    }

    /// The place of a plate that may be moved.
    pub(crate) fn movable(&self, plate: &Plate) -> Option<Assignment> {
        self.plan.of(plate.seq).filter(|a| !a.frozen).copied()
    }

    /// Whether what follows on the printer can stay when `gone` has been taken out.
    pub(crate) fn leaves_whole(&self, gone: &Assignment) -> bool {
        fits_between(
            self.ground,
            &self.occupied,
            gone.printer,
            gone.start,
            self.now,
        )
    }

    pub(crate) fn put(&mut self, plate: &Plate, place: Assignment) {
        self.total = self.total - self.cost(plate, None) + self.cost(plate, Some(&place));
        self.occupied
            .add(&place, self.ground.load(plate, place.frozen));
        self.plan.put(place);
    }

    pub(crate) fn take_out(&mut self, plate: &Plate, place: &Assignment) {
        self.total = self.total - self.cost(plate, Some(place)) + self.cost(plate, None);
        self.occupied.remove(place.printer, place.plate);
        self.plan.assignments.retain(|a| a.plate != place.plate);
    }

    /// Hands `pays` on, once the running total has been compared with the truth.
    fn checked(&self, before: Cost, pays: bool) -> bool {
        debug_assert_eq!(self.total, self.rebuilt());
        debug_assert!(if pays {
            self.total < before
        } else {
            self.total == before
        });
        pays
    }

    fn rebuilt(&self) -> Cost {
        self.total_of(&self.plan)
    }

    fn total_of(&self, plan: &Plan) -> Cost {
        let costs = self.plates.iter().map(|p| self.cost(p, plan.of(p.seq)));
        costs.fold(Cost::default(), Add::add)
    }

    fn cost(&self, plate: &Plate, place: Option<&Assignment>) -> Cost {
        cost(self.ground, plate, place, self.printer_before(plate))
    }

    /// The printer that a plate had before.
    pub(crate) fn printer_before(&self, plate: &Plate) -> Option<PrinterIx> {
        let found = self.before.binary_search_by_key(&plate.seq, |b| b.0);
        found.ok().map(|i| self.before[i].1)
    }
}

fn spend(left: &mut usize) -> bool {
    let may = *left > 0;
    *left = left.saturating_sub(1);
    may
}
