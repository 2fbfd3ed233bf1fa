//! What is taken on printers: by a plan, and by a few plates on top of it.

use std::collections::BTreeMap;

use partpledge_planning_model::{Assignment, Plan, Plate, PlateSeq, PrinterIx};
use partpledge_units::time::Minute;

use crate::ground::{Ground, Load};

/// A printer's time that is taken: from the start of a plate until it is off the bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Span {
    /// Somebody starts the plate.
    pub start: Minute,
    /// Somebody has taken it off.
    pub cleared: Minute,
    /// Which plate.
    pub plate: PlateSeq,
    /// What it puts on the printer.
    pub load: Load,
}

impl Span {
    /// What an assignment takes.
    #[must_use]
    pub fn of(assignment: &Assignment, load: Load) -> Self {
        Self {
            start: assignment.start,
            cleared: assignment.cleared,
            plate: assignment.plate,
            load,
        }
    }
}

/// Where the search asks whether a printer's time is taken.
pub trait Taken {
    /// When the printer is free of something that overlaps `[from, until)`; `None` if nothing does.
    fn conflict(&self, printer: PrinterIx, from: Minute, until: Minute) -> Option<Minute>;

    /// Whether hands, filament and changes of material are asked for too; nothing is shown by
    /// [`Taken::each`] otherwise.
    fn counts(&self) -> bool {
        true
    }

    /// Shows each plate that is started on the printer in `[from, until)`, in any order.
    fn each(&self, printer: PrinterIx, from: Minute, until: Minute, see: &mut dyn FnMut(&Span));

    /// The last plate started before `at` on the printer, and the first at or after it.
    fn beside(&self, printer: PrinterIx, at: Minute) -> [Option<Span>; 2] {
        let mut found: [Option<Span>; 2] = [None, None];
        self.each(printer, Minute(i64::MIN), Minute(i64::MAX), &mut |span| {
            if span.start < at {
                found[0] = found[0].max(Some(*span));
            } else if found[1].is_none_or(|other| *span < other) {
                found[1] = Some(*span);
            }
        });
        found
    }
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
    /// Nothing.
    #[must_use]
    pub fn nothing(ground: &Ground<'_>) -> Self {
        Self(vec![Row::default(); ground.region().printers.len()])
    }

    /// What a plan takes; `plates` say of what. A plate that is not among them takes its time only.
    #[must_use]
    pub fn by<'p>(
        ground: &Ground<'_>,
        plates: impl IntoIterator<Item = &'p Plate>,
        plan: &Plan,
    ) -> Self {
        let mut out = Self::nothing(ground);
        let mut loads = BTreeMap::new();
        if ground.limited() {
            loads.extend(plates.into_iter().map(|plate| (plate.seq, plate)));
        }
        for assignment in &plan.assignments {
            let plate = loads.get(&assignment.plate);
            let load = plate.map(|plate| ground.load(plate, assignment.frozen));
            let span = Span::of(assignment, load.unwrap_or_default());
            out.0[assignment.printer.0].spans.push(span);
        }
        for row in &mut out.0 {
            row.spans.sort_unstable();
            row.reach_from(0);
        }
        out
    }

    /// Takes the time of one more plate.
    pub fn add(&mut self, assignment: &Assignment, load: Load) {
        let span = Span::of(assignment, load);
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

    fn each(&self, printer: PrinterIx, from: Minute, until: Minute, see: &mut dyn FnMut(&Span)) {
        let spans = &self.0[printer.0].spans;
        let first = spans.partition_point(|span| span.start < from);
        spans[first..]
            .iter()
            .take_while(|span| span.start < until)
            .for_each(see);
    }

    fn beside(&self, printer: PrinterIx, at: Minute) -> [Option<Span>; 2] {
        let spans = &self.0[printer.0].spans;
        let next = spans.partition_point(|span| span.start < at);
        let before = next.checked_sub(1).map(|i| spans[i]);
        [before, spans.get(next).copied()]
    }
}

/// What is taken, with a few plates on top: cheaper than a copy for every trial.
#[derive(Clone, Debug)]
pub struct Overlay<'a> {
    base: &'a Occupied,
    /// By printer, and as they were put there.
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
    pub fn add(&mut self, assignment: &Assignment, load: Load) {
        let printer = assignment.printer;
        let at = self.more.partition_point(|(on, _)| *on <= printer);
        self.more.insert(at, (printer, Span::of(assignment, load)));
    }

    /// What was put on top of one printer.
    fn on_top(&self, printer: PrinterIx) -> impl Iterator<Item = &Span> {
        let first = self.more.partition_point(|(on, _)| *on < printer);
        let here = self.more[first..].iter();
        here.take_while(move |(on, _)| *on == printer)
            .map(|(_, span)| span)
    }

    /// Shows what was put on top, as [`Taken::each`].
    pub(crate) fn each_on_top(
        &self,
        printer: PrinterIx,
        from: Minute,
        until: Minute,
        see: &mut dyn FnMut(&Span),
    ) {
        for span in self.on_top(printer) {
            if from <= span.start && span.start < until {
                see(span);
            }
        }
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
        self.on_top(printer)
            .find(|span| span.start < until && from < span.cleared)
            .map(|span| span.cleared)
    }
}

impl Taken for Overlay<'_> {
    fn conflict(&self, printer: PrinterIx, from: Minute, until: Minute) -> Option<Minute> {
        let below = self.base.conflict(printer, from, until);
        below.or_else(|| self.conflict_on_top(printer, from, until))
    }

    fn each(&self, printer: PrinterIx, from: Minute, until: Minute, see: &mut dyn FnMut(&Span)) {
        self.base.each(printer, from, until, see);
        self.each_on_top(printer, from, until, see);
    }
}
