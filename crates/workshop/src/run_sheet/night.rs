//! What is on the printers when people leave.

use partpledge_planning::{Ground, must_stop, watched_until};
use partpledge_planning_model::PlateSeq;
use partpledge_records::KeptPlate;
use partpledge_units::time::Minute;

use crate::books::{Books, Run};
use crate::session::Session;

/// What is on a printer when the last people leave.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OverNight {
    /// Number of the plate.
    pub plate: u64,
    /// Its expected end, if it is let run; `None` for one that is longer on the bed than it should.
    pub end: Option<Minute>,
    /// Whether the printer may run with nobody there; otherwise it is stopped first.
    pub alone: bool,
}

/// What would be on a printer when people leave. Of what runs the plan may say that it is stopped by then; and
/// as long as nobody has told what became of a run, it goes on.
pub(super) fn over(
    session: &Session,
    books: &Books,
    printer: &str,
    leave: Minute,
) -> Option<OverNight> {
    let (terrain, now) = (&session.terrain, session.minute());
    let ix = terrain.printer_of(printer)?;
    let alone = terrain.region.printers[ix.0].unattended;
    let day = |at: Minute| terrain.zone.date(at);
    // Somebody may have started it after the others left. Of the days after this one nobody can tell.
    let at = if day(leave) == day(now) {
        leave.max(now)
    } else {
        leave
    };
    let goes_on = |run: &Run<'_>| {
        let overdue = run.end() <= now;
        let then = at < run.end() || (overdue && day(at) <= day(now));
        run.printer == ix && run.start < at && then
    };
    let on = |plate: PlateSeq, end| OverNight {
        plate: plate.0,
        end,
        alone,
    };
    if let Some(run) = books.runs_now(terrain).find(goes_on) {
        return Some(on(run.plate.seq, Some(run.end()).filter(|end| now < *end)));
    }
    let places = books.floor.plan.assignments.iter();
    let mut planned = places.filter(|place| place.printer == ix && !place.frozen);
    let place = planned.find(|place| place.start < at && at < place.end)?;
    Some(on(place.plate, Some(place.end)))
}

/// When a run must be stopped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StopBy {
    /// When people leave; its start for one that was started when nobody should be there.
    pub at: Minute,
    /// Whether they have left: then somebody is still to say what became of it.
    pub left: bool,
}

/// When people leave, for a run that may go on then and may not run alone.
pub(super) fn stop_by(session: &Session, books: &Books, kept: &KeptPlate) -> Option<StopBy> {
    let run = books.run_of(&session.terrain, kept)?;
    let (ground, now) = (Ground::new(&session.terrain.region), session.minute());
    let at = must_stop(&ground, run.making, run.start, now)?;
    let until = watched_until(&ground, run.printer, run.start);
    let left = until.is_some_and(|until| until <= now);
    Some(StopBy { at, left })
}
