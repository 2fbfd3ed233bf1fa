//! The region as a question would have it.

use jiff::ToSpan;
use jiff::civil::{Date, Time};
use partpledge_planning_model::{LegKind, Making, Plate, PrinterIx, SiteIx, Window, Windows};
use partpledge_records::{Outage, SiteClosure};
use partpledge_units::time::Minute;
use partpledge_words::say;

use super::Question;
use crate::books::Books;
use crate::error::WorkshopError;
use crate::run_sheet::host as site_of;
use crate::session::Session;
use crate::terrain::Terrain;

/// Session and books with the question's change made; the plan is the old one.
pub(super) fn changed(
    session: &Session,
    books: &Books,
    question: &Question,
) -> Result<(Session, Books), WorkshopError> {
    let mut terrain = session.terrain.clone();
    let mut books = books.clone();
    let mut outages = session.outages.clone();
    let now = session.minute();
    match question {
        Question::PrinterOut { printer, until } => {
            terrain.must_know(printer)?;
            ahead(session, *until)?;
            outages.push(Outage {
                printer: printer.clone(),
                from: now,
                until: *until,
                reason: "only a question".to_owned(),
            });
            terrain.take_out(&outages);
        }
        Question::SiteClosed { host, day } => {
            site_of(session, host)?;
            let shut = day_of(session, *day)?;
            terrain.shut(&[SiteClosure {
                schools: vec![host.clone()],
                from: shut.from,
                until: shut.until,
                reason: "only a question".to_owned(),
            }]);
        }
        Question::NobodyAt { host, until } => {
            let site = site_of(session, host)?;
            let away = ahead(session, *until)?;
            // A box that is ready waits at the school's desk; a round takes it along as ever.
            terrain.empty(site, away, |kind| kind == LegKind::Counter);
        }
        Question::OneMore { like, host } => {
            let site = site_of(session, host)?;
            let model = terrain.must_know(like)?;
            let new = one_more(&mut terrain, model, site);
            books
                .each_plate()
                .for_each(|plate| makes_too(plate, model, new));
        }
    }
    Ok((session.on(terrain, outages), books))
}

/// From now until then, if that is still to come and the calendars cover it.
fn ahead(session: &Session, until: Minute) -> Result<Window, WorkshopError> {
    let from = session.minute();
    let last = session.terrain.region.horizon.unwrap_or(until);
    if until <= from || until > last {
        return Err(too_far());
    }
    Ok(Window { from, until })
}

fn too_far() -> WorkshopError {
    WorkshopError::OutOfRange {
        what: "the time",
        range: "still to come, and within the next six weeks",
    }
}

fn day_of(session: &Session, day: Date) -> Result<Window, WorkshopError> {
    let zone = &session.terrain.zone;
    let next = day.checked_add(1.day()).map_err(|_| too_far())?;
    let from = zone.minute(day, Time::midnight());
    let until = zone.minute(next, Time::midnight());
    ahead(session, until)?;
    Ok(Window { from, until })
}

/// Adds a printer of the same class; it may not run alone.
fn one_more(terrain: &mut Terrain, model: PrinterIx, site: SiteIx) -> PrinterIx {
    let old = &terrain.region.printers[model.0];
    let new = partpledge_planning_model::Printer {
        name: say!("region-new-printer", printer = old.name),
        site,
        unattended: false,
        out_of_use: Windows::default(),
        ..old.clone()
    };
    terrain.region.printers.push(new);
    terrain.classes.push(terrain.classes[model.0].clone());
    PrinterIx(terrain.region.printers.len() - 1)
}

/// What the model can make, the new one can.
fn makes_too(plate: &mut Plate, model: PrinterIx, new: PrinterIx) {
    let making = plate.makings.iter().find(|m| m.printer == model);
    let making = making.map(|making| Making {
        printer: new,
        ..*making
    });
    plate.makings.extend(making);
}
