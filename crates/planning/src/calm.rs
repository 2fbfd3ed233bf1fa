//! After everything was thought over: what need not have moved goes back where it was.

use partpledge_planning_model::{Assignment, Plan, Plate, PrinterIx};

use crate::cost::Cost;
use crate::improve::Search;
use crate::insert::Taken;
use crate::limits::stands;
use crate::slots::best_slot;

/// Rounds over all printers and plates; each puts some back and makes room for more.
const ROUNDS: usize = 4;

/// Promises broken, minutes late against them, plates without a place: what a move may be made for.
fn hard(cost: Cost) -> (i64, i64, i64) {
    (cost.broken, cost.late_min, cost.unplaced)
}

impl<'a> Search<'a> {
    /// Puts plates back to their places in `old`, whole printers first, then one by one, as long as
    /// no promise is worse off for it. People have laid out spools for what was planned.
    pub(crate) fn put_back(&mut self, old: &Plan) {
        for _ in 0..ROUNDS {
            let printers = 0..self.ground.region().printers.len();
            let lines = printers.filter(|&p| self.line_back(PrinterIx(p), old));
            let mut any = lines.count() > 0;
            for i in 0..self.plates.len() {
                any |= self.one_back(self.plates[i], old);
            }
            if !any {
                return;
            }
        }
    }

    /// Where a plate was, if it is elsewhere now and may still go back.
    fn left(&self, plate: &Plate, old: &Plan) -> Option<(Assignment, Assignment)> {
        let now = self.movable(plate)?;
        let was = old.of(plate.seq).filter(|was| !was.frozen).copied()?;
        let moved = (was.printer, was.start) != (now.printer, now.start);
        (moved && was.start >= self.now).then_some((was, now))
    }

    fn one_back(&mut self, plate: &'a Plate, old: &Plan) -> bool {
        let Some((was, now)) = self.left(plate, old) else {
            return false;
        };
        let before = hard(self.total);
        self.take_out(plate, &now);
        let fits = self.leaves_whole(&now) && self.fits_at(plate, &was);
        if fits {
            self.put(plate, was);
            if hard(self.total) <= before {
                return true;
            }
            self.take_out(plate, &was);
        }
        self.put(plate, now);
        false
    }

    /// A whole printer as it was; who has come to it since goes elsewhere.
    fn line_back(&mut self, printer: PrinterIx, old: &Plan) -> bool {
        let here = |(_, was, now): &(&Plate, Assignment, Assignment)| {
            was.printer == printer || now.printer == printer
        };
        let moved = self.plates.iter();
        let moved = moved.filter_map(|&plate| {
            let (was, now) = self.left(plate, old)?;
            Some((plate, was, now))
        });
        let mut moved: Vec<(&'a Plate, Assignment, Assignment)> = moved.filter(here).collect();
        if moved.len() < 2 {
            return false;
        }
        let before = hard(self.total);
        moved.sort_by_key(|(plate, was, _)| (was.printer != printer, was.start, plate.seq));
        for (plate, _, now) in &moved {
            self.take_out(plate, now);
        }
        let mut put = Vec::with_capacity(moved.len());
        let mut back = 0;
        for &(plate, was, _) in &moved {
            let fits = self.fits_at(plate, &was);
            let place = if fits {
                Some(was)
            } else {
                best_slot(self.ground, &self.occupied, plate, self.now)
            };
            if let Some(place) = place {
                self.put(plate, place);
                put.push((plate, place));
                back += usize::from(fits);
            }
        }
        let whole = moved.iter().all(|(_, _, now)| self.leaves_whole(now));
        if whole && back > 0 && hard(self.total) <= before {
            return true;
        }
        for (plate, place) in put {
            self.take_out(plate, &place);
        }
        for (plate, _, now) in moved {
            self.put(plate, now);
        }
        false
    }

    fn fits_at(&self, plate: &Plate, place: &Assignment) -> bool {
        let taken = self
            .occupied
            .conflict(place.printer, place.start, place.cleared);
        let load = self.ground.load(plate, false);
        taken.is_none() && stands(self.ground, &self.occupied, place, load)
    }
}
