//! Runs that would go on where nobody is, on printers that nobody has permitted to run alone.

use partpledge_planning_model::{Assignment, Making, Plate, PrinterIx, Window};
use partpledge_units::time::{Minute, Minutes};

use crate::forecast::started_at;
use crate::ground::Ground;
use crate::timeline::{staffed_from, window_from};

/// Whoever starts a run so shortly before the hours stays until they begin. Common practice, no source.
const EARLY: Minutes = Minutes(60);

/// The hours in which somebody is beside a run that was started at `start`: those that hold it, else the next
/// ones. `None` for a printer that may run alone, and after the last hours.
fn attended(ground: &Ground<'_>, printer: PrinterIx, start: Minute) -> Option<Window> {
    if ground.printer(printer).unattended {
        return None;
    }
    window_from(&ground.stand_at(printer, start).staffed, start)
}

/// When people leave who are beside a run that was started at `start`. `None` for a printer that may run alone,
/// and after the last hours.
#[must_use]
pub fn watched_until(ground: &Ground<'_>, printer: PrinterIx, start: Minute) -> Option<Minute> {
    attended(ground, printer, start).map(|hours| hours.until)
}

/// When people leave, if all the time that is kept for a run is over only then.
fn cut_at(ground: &Ground<'_>, making: &Making, start: Minute) -> Option<Minute> {
    let hours = attended(ground, making.printer, start)?;
    (start + making.reserved > hours.until).then_some(hours.until)
}

/// When people leave while a run may still go on that may not run alone: it must be stopped by then. `None`
/// for one that should be off by then, also if it takes all the time that is kept for it.
///
/// A run of which nobody has told what became of it, and whose time is over, may still go on. One that was
/// started long before anybody should be there must be stopped when whoever started it leaves: until the hours
/// begin, its start is given.
#[must_use]
pub fn must_stop(
    ground: &Ground<'_>,
    making: &Making,
    start: Minute,
    now: Minute,
) -> Option<Minute> {
    let printer = making.printer;
    let Some(hours) = attended(ground, printer, start) else {
        return (!ground.printer(printer).unattended).then_some(start);
    };
    if now < hours.from && start + EARLY < hours.from {
        return Some(start);
    }
    let overdue = start + making.reserved <= now;
    (overdue || cut_at(ground, making, start).is_some()).then_some(hours.until)
}

/// When people leave, if a run will be stopped then and its copies lost: it should not be done by then.
#[must_use]
pub fn lost_when_left(ground: &Ground<'_>, making: &Making, start: Minute) -> Option<Minute> {
    let until = cut_at(ground, making, start)?;
    (start + making.likely > until).then_some(until)
}

/// Whether a run that may not run alone ends before it should be done, because people leave or nobody comes:
/// its copies are lost.
#[must_use]
pub fn will_be_stopped(ground: &Ground<'_>, making: &Making, start: Minute, now: Minute) -> bool {
    let goes_on = start + making.likely > now;
    let nobody = || must_stop(ground, making, start, now) == Some(start);
    goes_on && (lost_when_left(ground, making, start).is_some() || nobody())
}

/// The place of a plate that was really started at `start`, as [`started_at`], but stopped when people
/// leave if it may not run alone and has not all its time until then. It stays on the bed until somebody
/// comes, and while nobody has told what became of it.
#[must_use]
pub fn runs_on(
    ground: &Ground<'_>,
    plate: &Plate,
    printer: PrinterIx,
    start: Minute,
    now: Minute,
) -> Option<Assignment> {
    let place = started_at(ground, plate, printer, start, now)?;
    let making = plate.makings.iter().find(|m| m.printer == printer)?;
    let Some(end) = cut_at(ground, making, start) else {
        return Some(place);
    };
    let stand = ground.stand_at(printer, start);
    let hours = &ground.region().sites.get(stand.site.0)?.staffed;
    let cleared = staffed_from(hours, end.max(now))?;
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
