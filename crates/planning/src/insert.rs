//! Where in the plan a plate could go: the earliest feasible slots, in gaps too.

use partpledge_planning_model::{Assignment, Making, Plan, Plate, PlateSeq, PrinterIx};
use partpledge_units::time::Minute;

use crate::ground::Ground;
use crate::hunt::Hunt;
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

impl Span {
    /// What an assignment takes.
    #[must_use]
    pub fn of(assignment: &Assignment) -> Self {
        Self {
            start: assignment.start,
            cleared: assignment.cleared,
            plate: assignment.plate,
        }
    }
}

/// Where the search asks whether a printer's time is taken.
pub trait Taken {
    /// When the printer is free of something that overlaps `[from, until)`; `None` if nothing does.
    fn conflict(&self, printer: PrinterIx, from: Minute, until: Minute) -> Option<Minute>;
}

/// What is taken on one printer.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Row {
    /// In order of start.
    spans: Vec<Span>,
    /// Latest clearing up to and including each span. Spans of a plan don't overlap, but on the
    /// floor a run may be late and reach into the next, so that clearings alone are out of order.
    reach: Vec<Minute>,
}

impl Row {
    /// Works out `reach` again from position `from` on.
    fn reach_from(&mut self, from: usize) {
        self.reach.truncate(from);
        for span in &self.spans[from..] {
            let before = self.reach.last().copied().unwrap_or(span.cleared);
            self.reach.push(before.max(span.cleared));
        }
    }
}

/// What is taken, by printer, in order of start.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Occupied(Vec<Row>);

impl Occupied {
    /// What a plan takes.
    #[must_use]
    pub fn by(ground: &Ground<'_>, plan: &Plan) -> Self {
        let mut out = Self(vec![Row::default(); ground.region().printers.len()]);
        for assignment in &plan.assignments {
            out.0[assignment.printer.0].spans.push(Span::of(assignment));
        }
        for row in &mut out.0 {
            row.spans.sort_unstable();
            row.reach_from(0);
        }
        out
    }

    /// Takes the time of one more plate.
    pub fn add(&mut self, assignment: &Assignment) {
        let span = Span::of(assignment);
        let row = &mut self.0[assignment.printer.0];
        let at = row.spans.partition_point(|other| *other < span);
        row.spans.insert(at, span);
        row.reach_from(at);
    }

    /// Gives a plate's time back.
    pub fn remove(&mut self, printer: PrinterIx, plate: PlateSeq) {
        let row = &mut self.0[printer.0];
        row.spans.retain(|span| span.plate != plate);
        row.reach_from(0);
    }

    /// What is taken on one printer, in order of start.
    #[must_use]
    pub fn on(&self, printer: PrinterIx) -> &[Span] {
        &self.0[printer.0].spans
    }

    /// Position of the first span on the printer that reaches beyond `at`.
    pub(crate) fn first_beyond(&self, printer: PrinterIx, at: Minute) -> usize {
        self.0[printer.0]
            .reach
            .partition_point(|&reach| reach <= at)
    }
}

impl Taken for Occupied {
    fn conflict(&self, printer: PrinterIx, from: Minute, until: Minute) -> Option<Minute> {
        // The first span that lifts the reach beyond `from` is itself beyond it, and no later
        // span starts before it does.
        let spans = &self.0[printer.0].spans;
        spans
            .get(self.first_beyond(printer, from))
            .filter(|span| span.start < until)
            .map(|span| span.cleared)
    }
}

/// What is taken, with a few plates on top: cheaper than a copy for every trial.
#[derive(Clone, Debug)]
pub struct Overlay<'a> {
    base: &'a Occupied,
    more: Vec<(PrinterIx, Span)>,
}

impl<'a> Overlay<'a> {
    /// Nothing on top yet.
    #[must_use]
    pub fn over(base: &'a Occupied) -> Self {
        Self {
            base,
            more: Vec::new(),
        }
    }

    /// Takes the time of one more plate.
    pub fn add(&mut self, assignment: &Assignment) {
        self.more.push((assignment.printer, Span::of(assignment)));
    }

    /// Gives back the time of a plate put on top, from `at` on: it came off the bed early.
    pub fn end(&mut self, plate: PlateSeq, at: Minute) {
        for (_, span) in &mut self.more {
            if span.plate == plate {
                span.cleared = span.cleared.min(at.max(span.start));
            }
        }
    }

    /// As [`Taken::conflict`], but only with what was put on top.
    pub(crate) fn conflict_on_top(
        &self,
        printer: PrinterIx,
        from: Minute,
        until: Minute,
    ) -> Option<Minute> {
        let here = self.more.iter().filter(|(on, _)| *on == printer);
        here.map(|(_, span)| span)
            .find(|span| span.start < until && from < span.cleared)
            .map(|span| span.cleared)
    }
}

impl Taken for Overlay<'_> {
    fn conflict(&self, printer: PrinterIx, from: Minute, until: Minute) -> Option<Minute> {
        let below = self.base.conflict(printer, from, until);
        below.or_else(|| self.conflict_on_top(printer, from, until))
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
    taken: &impl Taken,
    plate: &Plate,
    not_before: Minute,
    most: usize,
) -> Vec<Assignment> {
    let from = plate.release.max(not_before);
    let mut out: Vec<Assignment> = plate
        .makings
        .iter()
        .filter(|making| ground.takes(making, &plate.material))
        .flat_map(|making| on_printer(ground, taken, plate, making, from, most))
        .collect();
    out.sort_by_key(order);
    out
}

/// The best of [`slots`].
#[must_use]
pub fn best_slot(
    ground: &Ground<'_>,
    taken: &impl Taken,
    plate: &Plate,
    not_before: Minute,
) -> Option<Assignment> {
    let from = plate.release.max(not_before);
    let mut hunt = Hunt::new(ground, plate.to);
    for making in plate
        .makings
        .iter()
        .filter(|making| ground.takes(making, &plate.material))
    {
        let limit = hunt.limit(ground.printer(making.printer).site);
        if from + making.reserved <= limit {
            hunt.found(earliest(ground, taken, plate, making, from, Some(limit)));
        }
    }
    hunt.best()
}

/// The order in which slots are preferred.
pub(crate) fn order(a: &Assignment) -> (Minute, Minute, Minute, PrinterIx, Minute) {
    (a.arrives, a.cleared, a.end, a.printer, a.start)
}

fn on_printer(
    ground: &Ground<'_>,
    taken: &impl Taken,
    plate: &Plate,
    making: &Making,
    from: Minute,
    most: usize,
) -> Vec<Assignment> {
    let staffed = &ground.site_of(making.printer).staffed;
    let mut out = Vec::with_capacity(most);
    let mut from = from;
    while out.len() < most {
        let Some(found) = earliest(ground, taken, plate, making, from, None) else {
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

/// The earliest feasible slot on one printer; `None` if there is none that is off the bed by
/// `latest`.
pub(crate) fn earliest(
    ground: &Ground<'_>,
    taken: &impl Taken,
    plate: &Plate,
    making: &Making,
    from: Minute,
    latest: Option<Minute>,
) -> Option<Assignment> {
    let printer = ground.printer(making.printer);
    let site = ground.site_of(making.printer);
    if !printer.unattended && making.reserved > ground.longest_visit(printer.site) {
        return None;
    }
    let mut at = from;
    loop {
        let window = window_from(&site.staffed, at)?;
        let start = window.from.max(at);
        let end = start + making.reserved;
        if !ground.within(end) || latest.is_some_and(|latest| end > latest) {
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
        if latest.is_some_and(|latest| cleared > latest) {
            return None;
        }
        if let Some(free) = taken.conflict(making.printer, start, cleared) {
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
