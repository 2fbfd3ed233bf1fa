//! What is taken from a moment on, as people see it then, and the best slot in it.

use partpledge_planning_model::{Assignment, Making, Plate, PrinterIx};
use partpledge_units::time::{Minute, Minutes};

use crate::ground::Ground;
use crate::hunt::Hunt;
use crate::insert::{Taken, earliest};

/// A stretch that a printer is kept for a plate.
#[derive(Clone, Copy, Debug)]
struct Stretch {
    start: Minute,
    cleared: Minute,
    /// Really off the bed.
    off: Minute,
}

/// Stretches by printer, in order of start. Time only goes on: what is over is forgotten.
#[derive(Debug)]
pub(crate) struct Busy(Vec<Vec<Stretch>>);

impl Busy {
    pub(crate) fn new(printers: usize) -> Self {
        Self(vec![Vec::new(); printers])
    }

    pub(crate) fn add(&mut self, printer: PrinterIx, (start, cleared): (Minute, Minute), off: Minute) {
        let line = &mut self.0[printer.0];
        let at = line.partition_point(|other| other.start <= start);
        line.insert(at, Stretch { start, cleared, off });
    }

    /// Where the first gap begins, from `from` on, that such a length could fit in; people may be
    /// away, and the visit to clear it may not fit. No earlier start is free.
    fn first_gap(&mut self, printer: PrinterIx, from: Minute, length: Minutes) -> Minute {
        let mut at = from;
        for stretch in &self.0[printer.0] {
            if at + length <= stretch.start {
                break;
            }
            at = at.max(stretch.cleared);
        }
        at
    }

    /// The best slot from `now` on, as [`best_slot`](crate::insert::best_slot) would find it.
    /// `makings` are those that a printer takes.
    pub(crate) fn best_slot<'m>(
        &mut self,
        ground: &Ground<'_>,
        plate: &Plate,
        makings: impl Iterator<Item = &'m Making>,
        now: Minute,
    ) -> Option<Assignment> {
        let from = plate.release.max(now);
        let gap = |making: &'m Making| {
            // What is off the bed by now takes no more time, and never will again.
            self.0[making.printer.0].retain(|stretch| stretch.off.min(stretch.cleared) > now);
            let gap = self.first_gap(making.printer, from, making.reserved);
            (gap + making.reserved, making)
        };
        let mut gaps: Vec<(Minute, &Making)> = makings.map(gap).collect();
        // A good first find rules most others out at once.
        let first = (0..gaps.len()).min_by_key(|&i| gaps[i].0)?;
        gaps.swap(0, first);
        let mut hunt = Hunt::new(ground, plate.to);
        for (end, making) in gaps {
            let limit = hunt.limit(ground.printer(making.printer).site);
            if end <= limit {
                let from = end - making.reserved;
                hunt.found(earliest(ground, &*self, plate, making, from, Some(limit)));
            }
        }
        hunt.best()
    }
}

impl Taken for Busy {
    fn conflict(&self, printer: PrinterIx, from: Minute, until: Minute) -> Option<Minute> {
        let line = self.0[printer.0].iter();
        let line = line.take_while(|stretch| stretch.start < until);
        line.map(|stretch| stretch.cleared)
            .filter(|&cleared| from < cleared)
            .max()
    }
}
