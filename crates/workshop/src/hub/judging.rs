//! Deeds at a bench that students run, held against who was there when they were done.
//!
//! What is told as it is done is refused when nobody there may do it: it can still be left. What is
//! told later has happened: it is taken, and an adult looks at it.

use partpledge_records::{Event, KeptPlate, RunStep, ToLook};
use partpledge_units::time::{EventMs, Minute};

use super::Hub;
use super::asking::{Ask, Doing, Subject};
use crate::actor::{Actor, Role};
use crate::bench::Act;
use crate::books::Books;
use crate::error::WorkshopError;
use crate::session::Session;

/// What is told within so long is told as it is done: a tablet sends everything with its time, and a
/// slow network may take some of it. Common practice, no source.
const AS_IT_IS_DONE_MS: i64 = 60_000;

/// Whoever works from a bench's own sheet, at a bench that students run: the crew uses a tablet that
/// an adult has signed in. Coordinators and this machine are adults by themselves.
async fn hub_of(session: &Session, actor: &Actor) -> Result<Option<Hub>, WorkshopError> {
    match actor.role() {
        Role::Host(code) => Hub::open(session, code).await,
        _ => Ok(None),
    }
}

fn judged(
    session: &Session,
    (asks, at): (Option<Ask>, EventMs),
) -> Result<Option<Ask>, WorkshopError> {
    let now = session.now.0 - at.0 <= AS_IT_IS_DONE_MS;
    match asks {
        Some(ask) if now => Err(WorkshopError::NobodyMay { why: ask.words() }),
        other => Ok(other),
    }
}

/// Whether an adult has to look at a deed that was done at a bench that students run.
///
/// # Errors
/// [`WorkshopError::NobodyMay`] for what is told as it is done, and nobody there may do;
/// [`WorkshopError::Store`].
pub(crate) async fn looked_at_later(
    session: &Session,
    actor: &Actor,
    (books, kept, act): (&Books, &KeptPlate, &Act),
    (printer, at): (Option<&str>, EventMs),
) -> Result<Option<ToLook>, WorkshopError> {
    // Anybody says that something went wrong. But copies that are good all the same were taken off the
    // bed and judged, and an adult looks at that if nobody there may do it.
    let saves = matches!(act, Act::Fail { good, .. } if good.any());
    let doing = if saves { Doing::Clear } else { Doing::of(act) };
    if doing == Doing::Anybody {
        return Ok(None);
    }
    let Some(hub) = hub_of(session, actor).await? else {
        return Ok(None);
    };
    let planned = crate::plate_room::printer_of(session, books, kept).unwrap_or_default();
    let subject = Subject {
        printer: printer.unwrap_or(&planned),
        material: &kept.plate.material,
        place: books.place(kept),
        ahead: false,
    };
    let asks = hub.asks(session, (doing, &subject), at);
    let asks = if saves {
        asks
    } else {
        judged(session, (asks, at))?
    };
    Ok(asks.map(|ask| ToLook {
        host: hub.code.clone(),
        plate: kept.plate.seq.0,
        deed: doing.as_str(),
        why: ask.code(),
    }))
}

/// The same for the spool of that number that is put on a printer.
///
/// # Errors
/// As [`looked_at_later`].
pub(crate) async fn may_load(
    session: &Session,
    actor: &Actor,
    (spool, material): (i64, &str),
    (printer, at): (&str, EventMs),
) -> Result<Option<ToLook>, WorkshopError> {
    let Some(hub) = hub_of(session, actor).await? else {
        return Ok(None);
    };
    let subject = Subject {
        printer,
        material,
        place: None,
        ahead: false,
    };
    let asks = hub.asks(session, (Doing::Load, &subject), at);
    let asks = judged(session, (asks, at))?;
    Ok(asks.map(|ask| ToLook {
        host: hub.code.clone(),
        plate: u64::try_from(spool).unwrap_or(0),
        deed: Doing::Load.as_str(),
        why: ask.code(),
    }))
}

/// Whether whoever works from a bench's sheet may say that a printer can be used again, at a bench that
/// students run: `out` are the deeds by which it can't.
///
/// # Errors
/// [`WorkshopError::NobodyMay`]; [`WorkshopError::Store`].
pub(crate) async fn may_put_back(
    session: &Session,
    actor: &Actor,
    (printer, out): (&str, &[(i64, Event)]),
) -> Result<(), WorkshopError> {
    let Some(hub) = hub_of(session, actor).await? else {
        return Ok(());
    };
    let asks = hub.asks_to_put_back(session, (printer, out), session.now);
    judged(session, (asks, session.now)).map(drop)
}

/// Whether an adult has to look at a start that a printer told of, at a bench that students run: it has
/// happened, whoever was there. A printer's word is nobody's leave.
///
/// # Errors
/// [`WorkshopError::Store`].
pub(crate) async fn starts_by_itself(
    session: &Session,
    (books, kept): (&Books, &KeptPlate),
    printer: &str,
    at: EventMs,
) -> Result<Option<ToLook>, WorkshopError> {
    let Some(hub) = hub_at(session, printer, at).await? else {
        return Ok(None);
    };
    let subject = Subject {
        printer,
        material: &kept.plate.material,
        place: books.place(kept),
        ahead: false,
    };
    let ask = hub.asks(session, (Doing::Start, &subject), at);
    Ok(ask.map(|ask| ToLook {
        host: hub.code.clone(),
        plate: kept.plate.seq.0,
        deed: Doing::Start.as_str(),
        why: ask.code(),
    }))
}

/// The bench that students run at which a printer stood then.
async fn hub_at(
    session: &Session,
    printer: &str,
    at: EventMs,
) -> Result<Option<Hub>, WorkshopError> {
    let terrain = &session.terrain;
    let Some(ix) = terrain.printer_of(printer) else {
        return Ok(None);
    };
    match terrain.host_code_at(ix, Minute::at_or_after(at)) {
        Some(code) => Hub::open(session, code).await,
        None => Ok(None),
    }
}

/// Whether an adult has still to look at a start, by its entry in the log.
///
/// # Errors
/// [`WorkshopError::Store`].
pub(crate) async fn adult_is_to_look(
    session: &Session,
    started: &RunStep,
    entry: i64,
) -> Result<bool, WorkshopError> {
    let hub = hub_at(session, &started.printer, started.at).await?;
    let looks = hub.map_or_else(Vec::new, |hub| hub.book.to_look);
    Ok(looks.iter().any(|look| look.entry == entry))
}
