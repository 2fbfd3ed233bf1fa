//! Where in the plan a plate could go: the earliest feasible slots, in gaps too.

use partpledge_planning_model::{Assignment, Making, Plan, Plate, PlateSeq, PrinterIx};
use partpledge_units::time::Minute;

use crate::ground::Ground;
use crate::timeline::{after_staffed, blocked_until, staffed_from, window_from};

/// A printer's time that is taken: from the start of a plate until it is off the bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Span {
    /// Somebody starts the plate.
    pub start: Minute,
    /// Somebody has taken it off.
    pub cleared: Minute,
    /// Which plate.
    pub plate: PlateSeq,
}

/// What is taken, by printer, in order of start.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Occupied(Vec<Vec<Span>>);

impl Occupied {
    /// What a plan takes.
    #[must_use]
    pub fn by(ground: &Ground<'_>, plan: &Plan) -> Self {
        let mut out = Self(vec![Vec::new(); ground.region().printers.len()]);
        for assignment in &plan.assignments {
            out.add(assignment);
        }
        out
    }

    /// Takes the time of one more plate.
    pub fn add(&mut self, a: &Assignment) {
        let span = Span {
            start: a.start,
            cleared: a.cleared,
            plate: a.plate,
        };
        let list = &mut self.0[a.printer.0];
        list.insert(list.partition_point(|other| *other < span), span);
    }

    /// Gives a plate's time back.
    pub fn remove(&mut self, printer: PrinterIx, plate: PlateSeq) {
        self.0[printer.0].retain(|span| span.plate != plate);
    }

    /// What is taken on one printer, in order of start.
    #[must_use]
    pub fn on(&self, printer: PrinterIx) -> &[Span] {
        &self.0[printer.0]
    }

    /// When the printer is free of what overlaps `[from, until)`, if anything does.
    fn conflict(&self, printer: PrinterIx, from: Minute, until: Minute) -> Option<Minute> {
        let list = &self.0[printer.0];
        // Spans don't overlap, so they are in order of clearing too.
        let first = list.partition_point(|span| span.cleared <= from);
        list.get(first)
            .filter(|span| span.start < until)
            .map(|span| span.cleared)
    }
}

/// The earliest feasible slots for `plate`, at most `most` on each printer, best first: by
/// hand-over, clearing, end, printer, start.
///
/// A slot starts at a staffed minute not before the plate's release and `not_before`; it lies
/// inside one staffed window unless the printer may run unattended; it does not touch what is
/// occupied or out of use. The second and later slots on a printer start in later windows.
#[must_use]
pub fn slots(
    ground: &Ground<'_>,
    occupied: &Occupied,
    plate: &Plate,
    not_before: Minute,
    most: usize,
) -> Vec<Assignment> {
    let from = plate.release.max(not_before);
    let mut out: Vec<Assignment> = plate
        .makings
        .iter()
        .filter(|making| ground.takes(making, &plate.material))
        .flat_map(|making| on_printer(ground, occupied, plate, making, from, most))
        .collect();
    out.sort_by_key(order);
    out
}

/// The best of [`slots`].
#[must_use]
pub fn best_slot(
    ground: &Ground<'_>,
    occupied: &Occupied,
    plate: &Plate,
    not_before: Minute,
) -> Option<Assignment> {
    let from = plate.release.max(not_before);
    plate
        .makings
        .iter()
        .filter(|making| ground.takes(making, &plate.material))
        .filter_map(|making| earliest(ground, occupied, plate, making, from))
        .min_by_key(order)
}

/// The order in which slots are preferred.
fn order(a: &Assignment) -> (Minute, Minute, Minute, PrinterIx, Minute) {
    (a.arrives, a.cleared, a.end, a.printer, a.start)
}

fn on_printer(
    ground: &Ground<'_>,
    occupied: &Occupied,
    plate: &Plate,
    making: &Making,
    from: Minute,
    most: usize,
) -> Vec<Assignment> {
    let staffed = &ground.site_of(making.printer).staffed;
    let mut out = Vec::with_capacity(most);
    let mut from = from;
    while out.len() < most {
        let Some(found) = earliest(ground, occupied, plate, making, from) else {
            break;
        };
        out.push(found);
        let Some(window) = window_from(staffed, found.start) else {
            break;
        };
        from = window.until;
    }
    out
}

/// The earliest feasible slot on one printer.
fn earliest(
    ground: &Ground<'_>,
    occupied: &Occupied,
    plate: &Plate,
    making: &Making,
    from: Minute,
) -> Option<Assignment> {
    let printer = ground.printer(making.printer);
    let site = ground.site_of(making.printer);
    let mut at = from;
    loop {
        let window = window_from(&site.staffed, at)?;
        let start = window.from.max(at);
        let end = start + making.reserved;
        if !ground.within(end) {
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
        let cleared = staffed_from(&site.staffed, end)?;
        if let Some(free) = occupied.conflict(making.printer, start, cleared) {
            at = free;
            continue;
        }
        let ready = after_staffed(&site.staffed, cleared, site.boxing)?;
        let arrives = ground.arrival(printer.site, plate.to, ready)?;
        return ground.within(arrives).then_some(Assignment {
            plate: plate.seq,
            printer: making.printer,
            start,
            end,
            cleared,
            ready,
            arrives,
            frozen: false,
        });
    }
}
