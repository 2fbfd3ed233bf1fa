//! Schools closed for a while, such as for snow: what that would do, before anybody is told.
//!
//! It is done by [`crate::bench::close`], and lifted by [`crate::bench::lift`].

use std::collections::BTreeSet;

pub use partpledge_catalogue::region::School;
use partpledge_planning::Ground;
use partpledge_records::{KeptClosure, SiteClosure};
use partpledge_units::time::Minutes;

use crate::actor::Actor;
use crate::books::Books;
use crate::error::WorkshopError;
use crate::replanning::late_in;
use crate::session::Session;
use crate::what_if::{Answer, Before, answered, stopped_then};

/// Longest reason, characters.
pub const LONGEST_REASON: usize = 200;
/// Minutes in a day of 24 hours.
const DAY_MIN: i64 = 1_440;
/// Longest closure, days, and how far ahead one may begin. Common practice, no source.
const LONGEST_DAYS: i64 = 60;
const AHEAD_DAYS: i64 = 366;

/// The closure with each school once and its reason without white space around it.
///
/// # Errors
/// [`WorkshopError::Unknown`] for a school that is not there; [`WorkshopError::OutOfRange`] for no
/// school, a time that is over, too long or too far away, no reason or too long a one.
pub fn in_order(session: &Session, told: &SiteClosure) -> Result<SiteClosure, WorkshopError> {
    let out_of = |what, range| Err(WorkshopError::OutOfRange { what, range });
    let schools: BTreeSet<String> = told.schools.iter().cloned().collect();
    let file = &session.terrain.file;
    if let Some(name) = schools.iter().find(|code| file.school(code).is_none()) {
        let known = file.schools.iter().map(|school| school.code.as_str());
        return Err(WorkshopError::Unknown {
            what: "school",
            name: name.clone(),
            known: known.collect::<Vec<_>>().join(", "),
        });
    }
    let reason = told.reason.trim();
    let now = session.minute();
    let days = |days: i64| Minutes(days * DAY_MIN);
    if schools.is_empty() {
        return out_of("what is closed", "one school at least");
    }
    if reason.is_empty() || reason.chars().count() > LONGEST_REASON {
        return out_of("the reason", "a few words");
    }
    if told.until <= told.from {
        return out_of("the end", "after the beginning");
    }
    if told.until <= now || told.from + days(2) < now {
        return out_of("the time", "still to come");
    }
    if told.from > now + days(AHEAD_DAYS) || told.until > told.from + days(LONGEST_DAYS) {
        return out_of("the time", "within a year, and 60 days long at most");
    }
    Ok(SiteClosure {
        schools: schools.into_iter().collect(),
        reason: reason.to_owned(),
        ..*told
    })
}

/// Closures that are not over, by their beginning.
#[must_use]
pub fn open(session: &Session) -> Vec<&KeptClosure> {
    let now = session.minute();
    let all = session.closures.iter();
    let mut open: Vec<&KeptClosure> = all.filter(|kept| kept.closure.until > now).collect();
    open.sort_by_key(|kept| (kept.closure.from, kept.entry));
    open
}

/// What closing would do. Reads and plans; writes nothing.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for anybody but the coordinator; as [`in_order`];
/// [`WorkshopError::Store`].
pub async fn if_closed(
    session: &Session,
    actor: &Actor,
    books: &Books,
    told: &SiteClosure,
) -> Result<Answer, WorkshopError> {
    actor.must_coordinate()?;
    let closure = in_order(session, told)?;
    let mut all = session.closures.to_vec();
    all.push(KeptClosure {
        // Not in the log yet.
        entry: 0,
        at: session.now,
        closure,
    });
    with_closures(session, books, all).await
}

/// What lifting the closure of that entry would do. Reads and plans; writes nothing.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for anybody but the coordinator; [`WorkshopError::NotYours`] when
/// there is none or it was lifted; [`WorkshopError::Store`].
pub async fn if_lifted(
    session: &Session,
    actor: &Actor,
    books: &Books,
    entry: i64,
) -> Result<Answer, WorkshopError> {
    actor.must_coordinate()?;
    of_entry(session, entry)?;
    let mut all = session.closures.to_vec();
    all.retain(|kept| kept.entry != entry);
    with_closures(session, books, all).await
}

/// The closure of that entry of the log.
///
/// # Errors
/// [`WorkshopError::NotYours`] when there is none, it was lifted or is over.
pub fn of_entry(session: &Session, entry: i64) -> Result<&KeptClosure, WorkshopError> {
    let found = open(session).into_iter().find(|kept| kept.entry == entry);
    found.ok_or(WorkshopError::NotYours)
}

async fn with_closures(
    session: &Session,
    books: &Books,
    closures: Vec<KeptClosure>,
) -> Result<Answer, WorkshopError> {
    let grows = closures.len() < session.closures.len();
    let file = session.terrain.file.clone();
    let then = session.supposing(file, closures).await?;
    let before = Ground::new(&session.terrain.region);
    let late = late_in(&before, &books.floor.plates, &books.floor.plan);
    let from = Before {
        ground: Some(&before),
        late: &late,
    };
    let then = then.only_asking();
    let lost = stopped_then(session, books, &then);
    Ok(answered(from, then, books.clone(), (lost, grows)))
}
