//! A plan: which plate on which printer when.

use partpledge_units::time::Minute;

use crate::region::PrinterIx;
use crate::work::PlateSeq;

/// One plate's place in the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Assignment {
    /// Which plate.
    pub plate: PlateSeq,
    /// On which printer.
    pub printer: PrinterIx,
    /// Somebody starts it, at a staffed minute.
    pub start: Minute,
    /// The printer is kept for it until then: start plus the reserved time.
    pub end: Minute,
    /// Somebody takes it off the bed: the first staffed minute at or after `end`. The next
    /// plate on this printer may start in the same visit.
    pub cleared: Minute,
    /// Its box is ready to leave: `boxing` staffed minutes after `cleared`.
    pub ready: Minute,
    /// The team holds it if all goes to plan: the earliest hand-over of the first departures
    /// at or after `ready`.
    pub arrives: Minute,
    /// Running or done: must not be moved.
    pub frozen: bool,
}

/// Assignments in order of plate.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Plan {
    /// One for each planned plate, ordered by [`Assignment::plate`].
    pub assignments: Vec<Assignment>,
}

impl Plan {
    /// The place of a plate, if it has one.
    #[must_use]
    pub fn of(&self, plate: PlateSeq) -> Option<&Assignment> {
        self.assignments
            .binary_search_by_key(&plate, |assignment| assignment.plate)
            .ok()
            .map(|i| &self.assignments[i])
    }

    /// Puts a plate's place in, or replaces it.
    pub fn put(&mut self, assignment: Assignment) {
        match self
            .assignments
            .binary_search_by_key(&assignment.plate, |a| a.plate)
        {
            Ok(i) => self.assignments[i] = assignment,
            Err(i) => self.assignments.insert(i, assignment),
        }
    }

    /// The places on one printer, in order of start.
    #[must_use]
    pub fn on(&self, printer: PrinterIx) -> Vec<Assignment> {
        let mut list: Vec<Assignment> = self
            .assignments
            .iter()
            .filter(|a| a.printer == printer)
            .copied()
            .collect();
        list.sort_by_key(|a| (a.start, a.plate));
        list
    }
}
