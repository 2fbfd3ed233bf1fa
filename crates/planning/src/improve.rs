//! Best insertion and improvement by moves that pay.

use std::ops::{Add, Sub};

use partpledge_planning_model::{Assignment, Plan, Plate};
use partpledge_units::time::Minute;

use crate::ground::Ground;
use crate::insert::{Occupied, best_slot};
use crate::reorder::reordered;

/// A plate without a place counts as this late against its promise: a year, more than any plan.
const NEVER_MIN: i64 = 525_600;

/// What a plan costs; smaller is better, compared in this order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
struct Cost {
    /// Promised plates that would nominally come too late or not at all.
    broken: i64,
    /// Minutes by which they come too late.
    late_min: i64,
    /// Plates without a place.
    unplaced: i64,
    /// Sum of hand-over times, as minutes after the release.
    wait_min: i64,
}

impl Add for Cost {
    type Output = Self;
    fn add(self, rhs: Self) -> Self {
        Self {
            broken: self.broken + rhs.broken,
            late_min: self.late_min + rhs.late_min,
            unplaced: self.unplaced + rhs.unplaced,
            wait_min: self.wait_min + rhs.wait_min,
        }
    }
}

impl Sub for Cost {
    type Output = Self;
    fn sub(self, rhs: Self) -> Self {
        Self {
            broken: self.broken - rhs.broken,
            late_min: self.late_min - rhs.late_min,
            unplaced: self.unplaced - rhs.unplaced,
            wait_min: self.wait_min - rhs.wait_min,
        }
    }
}

/// A plan being made.
#[derive(Debug)]
pub(crate) struct Search<'a> {
    ground: &'a Ground<'a>,
    /// In order of promise, then sequence.
    plates: Vec<&'a Plate>,
    plan: Plan,
    occupied: Occupied,
    now: Minute,
    /// Kept up with every change; rebuilt and compared in debug builds.
    total: Cost,
}

impl<'a> Search<'a> {
    pub(crate) fn new(
        ground: &'a Ground<'a>,
        plates: &'a [Plate],
        plan: Plan,
        now: Minute,
    ) -> Self {
        let mut plates: Vec<&Plate> = plates.iter().collect();
        let due = |plate: &Plate| plate.promise.map_or(Minute(i64::MAX), |p| p.arrival);
        plates.sort_by_key(|plate| (due(plate), plate.seq));
        let mut out = Self {
            ground,
            plates,
            occupied: Occupied::by(ground, &plan),
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
        if moves > 0 && (self.total.broken > 0 || self.total.unplaced > 0) {
            self.reorder(moves);
        }
    }

    /// Takes the plan with all that may be moved in a new order, if that is better.
    fn reorder(&mut self, steps: usize) {
        let plan = reordered(self.ground, &self.plates, &self.plan, self.now, steps);
        let costs = self.plates.iter().map(|p| cost(p, plan.of(p.seq)));
        let total = costs.fold(Cost::default(), Add::add);
        if total < self.total {
            self.occupied = Occupied::by(self.ground, &plan);
            (self.plan, self.total) = (plan, total);
        }
    }

    /// Takes a plate out and puts it back at its best slot, if that pays.
    fn relocate(&mut self, plate: &Plate, left: &mut usize) -> bool {
        let Some(old) = self.movable(plate).filter(|_| spend(left)) else {
            return false;
        };
        let before = self.total;
        self.take_out(plate, &old);
        let new = best_slot(self.ground, &self.occupied, plate, self.now);
        let pays = |new: &Assignment| cost(plate, Some(new)) < cost(plate, Some(&old));
        let new = new.filter(pays);
        self.put(plate, new.unwrap_or(old));
        self.checked(before, new.is_some())
    }

    /// For a plate that is late or has no place: another plate is taken out, this one gets its
    /// best slot, the other gets what is left.
    fn make_room(&mut self, plate: &'a Plate, left: &mut usize) -> bool {
        let place = self.plan.of(plate.seq).copied();
        let now = cost(plate, place.as_ref());
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
        let first = best_slot(self.ground, &self.occupied, plate, self.now);
        if let Some(first) = first {
            self.put(plate, first);
        }
        let second = best_slot(self.ground, &self.occupied, other, self.now);
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
    fn movable(&self, plate: &Plate) -> Option<Assignment> {
        self.plan.of(plate.seq).filter(|a| !a.frozen).copied()
    }

    fn put(&mut self, plate: &Plate, place: Assignment) {
        self.total = self.total - cost(plate, None) + cost(plate, Some(&place));
        self.occupied.add(&place);
        self.plan.put(place);
    }

    fn take_out(&mut self, plate: &Plate, place: &Assignment) {
        self.total = self.total - cost(plate, Some(place)) + cost(plate, None);
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
        let costs = self.plates.iter().map(|p| cost(p, self.plan.of(p.seq)));
        costs.fold(Cost::default(), Add::add)
    }
}

fn spend(left: &mut usize) -> bool {
    let may = *left > 0;
    *left = left.saturating_sub(1);
    may
}

fn cost(plate: &Plate, place: Option<&Assignment>) -> Cost {
    let Some(place) = place else {
        let promised = i64::from(plate.promise.is_some());
        return Cost {
            broken: promised,
            late_min: promised * NEVER_MIN,
            unplaced: 1,
            wait_min: 0,
        };
    };
    let late = |promised: Minute| (place.arrives - promised).0.max(0);
    let late_min = plate.promise.map_or(0, |promise| late(promise.arrival));
    Cost {
        broken: i64::from(late_min > 0),
        late_min,
        unplaced: 0,
        wait_min: (place.arrives - plate.release).0,
    }
}
