//! How late the plates ahead on a printer make the next one.

use partpledge_planning_model::{Making, Plan, Plate, PlateSeq, PrinterIx};
use partpledge_units::time::Minute;

use super::attempt::{Absence, cleared, visits};
use super::spread::{NEGLIGIBLE, Spread};
use crate::ground::Ground;
use crate::insert::{Occupied, Span};
use crate::luck::late_start;
use crate::timeline::window_from;

/// The plates of a plan as they are made where they are planned, in order of number.
#[derive(Debug)]
pub(crate) struct Planned<'a>(Vec<(PlateSeq, &'a Making)>);

impl<'a> Planned<'a> {
    pub(crate) fn of(plates: impl Iterator<Item = &'a Plate>, plan: &Plan) -> Self {
        let made = plates.filter_map(|plate| {
            let place = plan.of(plate.seq)?;
            let making = plate.makings.iter().find(|m| m.printer == place.printer)?;
            Some((plate.seq, making))
        });
        let mut made: Vec<(PlateSeq, &Making)> = made.collect();
        made.sort_by_key(|(seq, _)| *seq);
        Self(made)
    }

    fn making(&self, seq: PlateSeq) -> Option<&'a Making> {
        let found = self.0.binary_search_by_key(&seq, |(seq, _)| *seq);
        found.ok().map(|i| self.0[i].1)
    }
}

/// What is asked of the present plan.
#[derive(Clone, Copy)]
pub(crate) struct Present<'a> {
    pub(crate) ground: &'a Ground<'a>,
    pub(crate) occupied: &'a Occupied,
    pub(crate) planned: &'a Planned<'a>,
    pub(crate) now: Minute,
}

/// When each printer is free after each plate planned on it, as far as asked.
#[derive(Debug)]
pub(crate) struct Lags(Vec<Vec<Spread>>);

impl Lags {
    pub(crate) fn new(printers: usize) -> Self {
        Self(vec![Vec::new(); printers])
    }

    /// When somebody really starts a plate that is planned at `start`; what comes too late for its
    /// slot is added to `moved`, at the minute from which it looks for another.
    pub(crate) fn starts(
        &mut self,
        present: Present<'_>,
        making: &Making,
        (start, absence): (Minute, Absence),
        moved: &mut Spread,
    ) -> Spread {
        let free = self.free(present, making.printer, start);
        let mut out = Spread::default();
        let when = (present.now, start, absence);
        really(
            present.ground,
            making,
            when,
            &free,
            |at, from, mass| match at {
                Some(at) => out.add(at, mass),
                None => moved.add(from, mass),
            },
        );
        out
    }

    /// When the printer is free of everything planned to start before `start`.
    fn free(&mut self, present: Present<'_>, printer: PrinterIx, start: Minute) -> Spread {
        let spans = present.occupied.on(printer);
        let spans = &spans[present.occupied.first_beyond(printer, present.now)..];
        let many = spans.partition_point(|span| span.start < start);
        let known = &mut self.0[printer.0];
        while known.len() < many {
            let span = spans[known.len()];
            let free = known.last().cloned();
            let free = free.unwrap_or_else(|| Spread::certain(present.now));
            known.push(after(present, span, &free).late_by(span.cleared));
        }
        match many.checked_sub(1) {
            Some(last) => known[last].clone(),
            None => Spread::certain(present.now),
        }
    }
}

/// When a plate planned at `start` is really started if its printer is free at one of these
/// minutes: in the first visit that somebody makes. `None` where it would be too late.
fn really(
    ground: &Ground<'_>,
    making: &Making,
    (now, start, absence): (Minute, Minute, Absence),
    free: &Spread,
    mut each: impl FnMut(Option<Minute>, Minute, f64),
) {
    let site = ground.site_at(making.printer, start);
    let mut each_from = |there: Minute, mass: f64| {
        let at = if there == start {
            Some(start)
        } else {
            late_start(ground, making, there)
        };
        each(at, there, mass);
    };
    for (free, mass) in free.iter().filter(|(_, mass)| *mass > NEGLIGIBLE) {
        let from = free.max(start);
        // Whoever clears the bed in a visit is there to start the next.
        let visit = window_from(&site.staffed, from);
        if free > now && visit.is_some_and(|visit| visit.from <= free) {
            each_from(from, mass);
        } else {
            let coming = visits(site, from, absence);
            coming.for_each(|(there, comes)| each_from(there, mass * comes));
        }
    }
}

/// When the printer is free after one more plate.
fn after(present: Present<'_>, span: Span, free: &Spread) -> Spread {
    let Present { ground, now, .. } = present;
    if span.cleared <= now {
        return free.clone();
    }
    let Some(making) = present.planned.making(span.plate) else {
        let mut out = Spread::default();
        for (at, mass) in free.iter() {
            out.add(at.max(span.cleared), mass);
        }
        return out;
    };
    if span.start <= now {
        return still_running(ground, making, span, now);
    }
    let mut starts = Spread::default();
    let mut out = Spread::default();
    let when = (now, span.start, Absence::Feared);
    really(ground, making, when, free, |at, from, mass| {
        match at {
            Some(at) => starts.add(at, mass),
            // It goes elsewhere and leaves the printer as it was.
            None => out.add(from, mass),
        }
    });
    cleared(
        ground,
        making,
        &starts,
        (now, Absence::Feared),
        |at, _, mass| out.add(at, mass),
    );
    out
}

/// When a run under way is off the bed: the runs that would be off by now are out of question.
fn still_running(ground: &Ground<'_>, making: &Making, span: Span, now: Minute) -> Spread {
    let mut out = Spread::default();
    let start = Spread::certain(span.start);
    cleared(
        ground,
        making,
        &start,
        (now, Absence::Feared),
        |at, _, mass| {
            if at > now {
                out.add(at, mass);
            }
        },
    );
    let mass = out.mass();
    if mass < NEGLIGIBLE {
        let site = ground.site_at(making.printer, now);
        visits(site, Minute(now.0 + 1), Absence::Feared).for_each(|(at, comes)| out.add(at, comes));
        return out;
    }
    let mut sure = Spread::default();
    sure.add_all(&out, 1.0 / mass);
    sure
}
