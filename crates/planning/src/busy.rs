//! What is taken from a moment on, as people see it then, and the best slot in it.

use partpledge_planning_model::{Assignment, Making, Plate, PrinterIx, SiteIx, Window};
use partpledge_units::time::Minute;

use crate::ground::Ground;
use crate::hunt::Hunt;
use crate::insert::{Span, Taken};
use crate::slots::Trial;
use crate::timeline::blocked_until;

/// A stretch that a printer is kept for a plate.
#[derive(Clone, Copy, Debug)]
struct Stretch {
    start: Minute,
    cleared: Minute,
    /// Really off the bed, or given up: from then on it takes no more time.
    over: Minute,
}

/// Stretches by printer, in order of start. Time only goes on: what is over is forgotten.
#[derive(Debug)]
pub(crate) struct Busy {
    now: Minute,
    lines: Vec<Vec<Stretch>>,
    /// By site: its first window that is not over.
    windows: Vec<usize>,
}

impl Busy {
    pub(crate) fn new(ground: &Ground<'_>, now: Minute) -> Self {
        let region = ground.region();
        Self {
            now,
            lines: vec![Vec::new(); region.printers.len()],
            windows: vec![0; region.sites.len()],
        }
    }

    /// Keeps a printer for a plate that is really off the bed at `off`.
    pub(crate) fn add(
        &mut self,
        printer: PrinterIx,
        (start, cleared): (Minute, Minute),
        off: Minute,
    ) {
        let (line, now) = (&mut self.lines[printer.0], self.now);
        line.retain(|stretch| stretch.over > now);
        let over = off.min(cleared);
        let at = line.partition_point(|other| other.start <= start);
        let stretch = Stretch {
            start,
            cleared,
            over,
        };
        line.insert(at, stretch);
    }

    /// The best slot from `now` on, as [`best_slot`](crate::slots::best_slot) would find it if
    /// hands, filament and changes of material did not matter: others' plates are there to make the
    /// printers as full as they will be, not to be planned to the minute.
    /// `makings` are those that a printer takes; `now` is never earlier than the last time.
    pub(crate) fn best_slot(
        &mut self,
        ground: &Ground<'_>,
        plate: &Plate,
        makings: &[Making],
        now: Minute,
    ) -> Option<Assignment> {
        self.go_on(ground, now);
        if ground.travels() {
            let mut hunt = Hunt::new(ground, plate);
            for making in makings {
                hunt.on(&*self, plate, making, now);
            }
            return hunt.best();
        }
        let from = plate.release.max(now);
        // A good first find rules most others out at once.
        let ends = makings.iter().map(|making| self.end(ground, making, from));
        let first = ends.enumerate().min_by_key(|&(_, end)| end)?.0;
        let mut hunt = Hunt::new(ground, plate);
        let (before, rest) = makings.split_at(first);
        for making in rest.iter().chain(before) {
            let limit = hunt.limit(ground.printer(making.printer).site);
            if let Some(start) = self.start(ground, making, from, limit) {
                let stand = ground.stand_at(making.printer, start);
                let trial = Trial::new(ground, plate, making, stand, now);
                hunt.found(trial.earliest(&*self, start, Some(limit)));
            }
        }
        hunt.best()
    }

    fn go_on(&mut self, ground: &Ground<'_>, now: Minute) {
        self.now = now;
        for (site, first) in ground.region().sites.iter().zip(&mut self.windows) {
            let over = |window: &&Window| window.until <= now;
            let windows = &site.staffed.as_slice()[*first..];
            *first += windows.iter().take_while(over).count();
        }
    }

    /// The windows of a site that are not over.
    fn windows<'g>(&self, ground: &Ground<'g>, site: SiteIx) -> &'g [Window] {
        let all = ground.region().sites[site.0].staffed.as_slice();
        all.get(self.windows[site.0]..).unwrap_or_default()
    }

    /// No slot on the printer ends before that.
    fn end(&self, ground: &Ground<'_>, making: &Making, from: Minute) -> Minute {
        let mut at = from;
        for stretch in &self.lines[making.printer.0] {
            if at + making.reserved <= stretch.start {
                break;
            }
            if stretch.over > self.now {
                at = at.max(stretch.cleared);
            }
        }
        let site = ground.printer(making.printer).site;
        let next = self.windows(ground, site).first();
        at.max(next.map_or(at, |window| window.from)) + making.reserved
    }

    /// The earliest start on the printer, asked rule by rule as [`earliest`] does it, but in step
    /// with the windows; `None` if it would be off the bed after `limit`, or never.
    fn start(
        &self,
        ground: &Ground<'_>,
        making: &Making,
        from: Minute,
        limit: Minute,
    ) -> Option<Minute> {
        let printer = ground.printer(making.printer);
        if !printer.unattended && making.reserved > ground.longest_visit(making.printer) {
            return None;
        }
        let mut windows = self.windows(ground, printer.site).iter().peekable();
        let mut at = from;
        loop {
            while windows.peek()?.until <= at {
                windows.next();
            }
            let window = *windows.peek()?;
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
            let visit = windows.clone().find(|window| end < window.until)?;
            let cleared = visit.from.max(end);
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

impl Taken for Busy {
    fn counts(&self) -> bool {
        false
    }

    fn each(&self, _: PrinterIx, _: Minute, _: Minute, _: &mut dyn FnMut(&Span)) {}

    fn conflict(&self, printer: PrinterIx, from: Minute, until: Minute) -> Option<Minute> {
        let line = self.lines[printer.0].iter();
        let line = line.take_while(|stretch| stretch.start < until);
        line.filter(|stretch| from < stretch.cleared && self.now < stretch.over)
            .map(|stretch| stretch.cleared)
            .max()
    }
}
