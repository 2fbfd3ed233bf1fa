//! Runs that would go on where nobody is, on printers that nobody has permitted to run alone.

use partpledge_planning_model::{Assignment, Making, Plate, PrinterIx};
use partpledge_units::time::Minute;

use crate::forecast::started_at;
use crate::ground::Ground;
use crate::timeline::{staffed_from, window_from};

/// Until when somebody is beside a run that was started at `start`: `start` itself when the calendars have
/// nobody there. `None` for a printer that may run alone.
fn attended_until(ground: &Ground<'_>, printer: PrinterIx, start: Minute) -> Option<Minute> {
    if ground.printer(printer).unattended {
        return None;
    }
    let window = window_from(&ground.stand_at(printer, start).staffed, start);
    let there = window.filter(|window| window.from <= start);
    Some(there.map_or(start, |window| window.until))
}

/// When people leave while a run may still go on that may not run alone: it must be stopped by then. `None`
/// for one that should be off by then, also if it takes all the time that is kept for it.
#[must_use]
pub fn must_stop(ground: &Ground<'_>, making: &Making, start: Minute) -> Option<Minute> {
    let until = attended_until(ground, making.printer, start)?;
    (start + making.reserved > until).then_some(until)
}

/// Whether a run will be stopped, and its copies lost, when people leave: it should not be done by then.
/// One that was started when the calendars have nobody there is watched by whoever started it.
#[must_use]
pub fn lost_when_left(ground: &Ground<'_>, making: &Making, start: Minute) -> bool {
    let until = must_stop(ground, making, start);
    until.is_some_and(|until| start < until && start + making.likely > until)
}

/// The place of a plate that was really started at `start`, as [`started_at`], but stopped when people
/// leave if it may not run alone. It stays on the bed until somebody comes.
#[must_use]
pub fn runs_on(
    ground: &Ground<'_>,
    plate: &Plate,
    printer: PrinterIx,
    start: Minute,
    now: Minute,
) -> Option<Assignment> {
    let place = started_at(ground, plate, printer, start, now)?;
    let until = attended_until(ground, printer, start).filter(|until| start < *until);
    let Some(end) = until.filter(|until| *until < place.end) else {
        return Some(place);
    };
    let stand = ground.stand_at(printer, start);
    let hours = &ground.region().sites.get(stand.site.0)?.staffed;
    let cleared = staffed_from(hours, end)?;
    let ready = ground.boxed(printer, start, cleared)?;
    let arrives = ground.arrival(stand.site, plate.to, ready)?;
    Some(Assignment {
        end,
        cleared,
        ready,
        arrives,
        ..place
    })
}
