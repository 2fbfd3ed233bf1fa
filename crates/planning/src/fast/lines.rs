//! What one future has taken of the printers, laid out once for a quote, and the best slot in it.

use partpledge_planning_model::{Assignment, Making, Plate, PrinterIx, Window};
use partpledge_units::time::Minute;

use crate::ground::Ground;
use crate::hunt::Hunt;
use crate::insert::{Occupied, Span, Taken};
use crate::slots::Trial;
use crate::timeline::blocked_until;

/// A stretch that a printer is kept for a plate.
#[derive(Clone, Copy, Debug)]
struct Stretch {
    start: Minute,
    cleared: Minute,
    /// Since when people know of it.
    known: Minute,
    /// Latest clearing up to and including this one.
    reach: Minute,
}

impl Stretch {
    fn taken(&self, at: Minute, from: Minute, until: Minute) -> bool {
        self.known <= at && self.start < until && from < self.cleared
    }
}

/// Stretches by printer, in order of start: the present plan and what one future adds to it.
#[derive(Debug, Default)]
pub(crate) struct Lines(Vec<Vec<Stretch>>);

impl Lines {
    /// What the present plan takes from `now` on.
    pub(crate) fn of(ground: &Ground<'_>, occupied: &Occupied, now: Minute) -> Self {
        let line = |printer: usize| {
            let printer = PrinterIx(printer);
            let spans = occupied.on(printer);
            let spans = spans[occupied.first_beyond(printer, now)..].iter();
            let mut reach = Minute(i64::MIN);
            let stretch = |span: &Span| {
                reach = reach.max(span.cleared);
                Stretch {
                    start: span.start,
                    cleared: span.cleared,
                    known: Minute(i64::MIN),
                    reach,
                }
            };
            spans.map(stretch).collect()
        };
        Self((0..ground.region().printers.len()).map(line).collect())
    }

    /// Keeps a printer for a plate that nobody knows of before `known`.
    pub(crate) fn add(
        &mut self,
        printer: PrinterIx,
        known: Minute,
        (start, cleared): (Minute, Minute),
    ) {
        let line = &mut self.0[printer.0];
        let at = line.partition_point(|other| other.start <= start);
        let stretch = Stretch {
            start,
            cleared,
            known,
            reach: cleared,
        };
        line.insert(at, stretch);
        let mut reach = at
            .checked_sub(1)
            .map_or(cleared, |before| line[before].reach);
        for stretch in &mut line[at..] {
            reach = reach.max(stretch.cleared);
            stretch.reach = reach;
        }
    }

    /// What may be taken on the printer after `from`.
    fn beyond(&self, printer: PrinterIx, from: Minute) -> &[Stretch] {
        let line = &self.0[printer.0];
        &line[line.partition_point(|stretch| stretch.reach <= from)..]
    }

    /// As people know it at `at`.
    pub(crate) fn at(&self, at: Minute) -> Known<'_> {
        Known { lines: self, at }
    }

    /// Whether nothing that people hear of after `since` and until `at` takes that slot.
    pub(crate) fn still_free(&self, slot: &Assignment, (since, at): (Minute, Minute)) -> bool {
        let mut line = self.beyond(slot.printer, slot.start).iter();
        !line.any(|stretch| stretch.known > since && stretch.taken(at, slot.start, slot.cleared))
    }
}

/// The lines as people know them at one moment.
#[derive(Clone, Copy)]
pub(crate) struct Known<'l> {
    lines: &'l Lines,
    at: Minute,
}

impl Taken for Known<'_> {
    fn conflict(&self, printer: PrinterIx, from: Minute, until: Minute) -> Option<Minute> {
        let line = self.lines.beyond(printer, from).iter();
        let line = line.take_while(|stretch| stretch.start < until);
        let taken = line.filter(|stretch| stretch.taken(self.at, from, until));
        taken.map(|stretch| stretch.cleared).max()
    }

    // What is foreseen makes printers as full as they will be; it is not planned to the minute.
    fn counts(&self) -> bool {
        false
    }

    fn each(&self, _: PrinterIx, _: Minute, _: Minute, _: &mut dyn FnMut(&Span)) {}
}

impl Known<'_> {
    /// The best slot from then on, as [`best_slot`](crate::slots::best_slot) finds it: printers that
    /// can't beat the best so far by a bound are not searched. `plate.makings` are those that a
    /// printer takes.
    pub(crate) fn best_slot(self, ground: &Ground<'_>, plate: &Plate) -> Option<Assignment> {
        let mut hunt = Hunt::new(ground, plate);
        if ground.travels() {
            for making in &plate.makings {
                hunt.on(&self, plate, making, self.at);
            }
            return hunt.best();
        }
        let from = plate.release.max(self.at);
        let windows: Vec<&[Window]> = (ground.region().sites.iter())
            .map(|site| {
                let all = site.staffed.as_slice();
                &all[all.partition_point(|window| window.until <= from)..]
            })
            .collect();
        let of = |making: &Making| windows[ground.printer(making.printer).site.0];
        let bound = |making: &Making| self.end(of(making), making, from);
        let bounds: Vec<Minute> = plate.makings.iter().map(bound).collect();
        // A good first find rules most others out at once.
        let first = (0..bounds.len()).min_by_key(|&i| bounds[i])?;
        let rest = (0..bounds.len()).filter(|&i| i != first);
        for i in std::iter::once(first).chain(rest) {
            let making = &plate.makings[i];
            let limit = hunt.limit(ground.printer(making.printer).site);
            if bounds[i] > limit {
                continue;
            }
            if let Some(start) = self.start(ground, of(making), making, (from, limit)) {
                let stand = ground.stand_at(making.printer, start);
                let trial = Trial::new(ground, plate, making, stand, self.at);
                hunt.found(trial.earliest(&self, start, Some(limit)));
            }
        }
        hunt.best()
    }

    /// No slot on the printer ends before that.
    fn end(self, windows: &[Window], making: &Making, from: Minute) -> Minute {
        let mut at = windows.first().map_or(from, |window| window.from.max(from));
        for stretch in self.lines.beyond(making.printer, at) {
            if at + making.reserved <= stretch.start {
                break;
            }
            if stretch.known <= self.at {
                at = at.max(stretch.cleared);
            }
        }
        at + making.reserved
    }

    /// The earliest start on the printer, asked rule by rule as `Trial::earliest` does it but in step
    /// with the windows; `None` if it would be off the bed after `limit`, or never.
    fn start(
        self,
        ground: &Ground<'_>,
        windows: &[Window],
        making: &Making,
        (from, limit): (Minute, Minute),
    ) -> Option<Minute> {
        let printer = ground.printer(making.printer);
        if !printer.unattended && making.reserved > ground.longest_visit(making.printer) {
            return None;
        }
        let mut windows = windows.iter();
        let mut window = windows.next()?;
        let mut at = from;
        loop {
            while window.until <= at {
                window = windows.next()?;
            }
            let start = window.from.max(at);
            let end = start + making.reserved;
            if end > limit {
                return None;
            }
            if !printer.unattended && end > window.until {
                at = window.until;
                continue;
            }
            if let Some(free) = blocked_until(&printer.out_of_use, start, end) {
                at = free;
                continue;
            }
            let mut visits = std::iter::once(window).chain(windows.clone());
            let cleared = visits.find(|visit| end < visit.until)?.from.max(end);
            if cleared > limit {
                return None;
            }
            match self.conflict(making.printer, start, cleared) {
                Some(free) => at = free,
                None => return Some(start),
            }
        }
    }
}
