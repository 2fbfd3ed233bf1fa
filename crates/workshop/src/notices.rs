//! Notices: what happened that matters to each person, in the role in which it does.
//!
//! The server goes through the log once for all, and holds plan and forecasts against what was
//! told last; what comes of it is written down for each person. Nobody is told of their own deeds, but of what
//! changes who gets in by their account.

mod account;
mod benches;
mod hubs;
mod late;
mod log;
mod says;
mod undecided;

use std::collections::BTreeMap;

use partpledge_catalogue::region::RegionFile;
use partpledge_records::{Event, Held, NewNotice, Notice, Person, RoleKind, Unseen};
use partpledge_units::ids::{PersonId, RequestId};
use partpledge_units::time::EventMs;

use crate::actor::Actor;
use crate::books::Books;
use crate::error::WorkshopError;
use crate::risks::Outcome;
use crate::session::Session;

pub use account::AccountChange;
pub use says::Says;

const DAY_MS: i64 = 24 * 3_600_000;
/// What is older when the server comes to read it is no news: a server may be off for a holiday.
/// Common practice, no source.
const NEWS_MS: i64 = 30 * DAY_MS;
/// How long notices are kept, seen or not.
pub const KEPT_DAYS: i64 = 60;

/// Whom something is for.
#[derive(Clone, Debug, PartialEq, Eq)]
enum To {
    /// Students and mentors of a team.
    Team(String),
    /// Whoever works at the bench of a host, by its school's code.
    Bench(String),
    /// Adults of a bench that students run, by its school's code: whoever works there, and mentors of
    /// teams of that school.
    Adults(String),
    /// Coordinators.
    Coordinators,
    /// Coordinators but for one, of whom it is told.
    OtherCoordinators(PersonId),
    /// Somebody who coordinates.
    Coordinator(PersonId),
    /// Somebody, in whichever role.
    Person(PersonId),
}

impl To {
    fn reaches(&self, file: &RegionFile, (person, held): (PersonId, &Held)) -> bool {
        let mut teams = file.teams.iter();
        match (self, held.kind) {
            (Self::Team(team), RoleKind::Student | RoleKind::Mentor) => held.scope == *team,
            (Self::Bench(code) | Self::Adults(code), RoleKind::Operator) => held.scope == *code,
            (Self::Adults(code), RoleKind::Mentor) => {
                teams.any(|team| team.name == held.scope && team.school == *code)
            }
            (Self::Coordinators, RoleKind::Coordinator) => true,
            (Self::OtherCoordinators(id), RoleKind::Coordinator) => *id != person,
            (Self::Coordinator(id), RoleKind::Coordinator) | (Self::Person(id), _) => *id == person,
            _ => false,
        }
    }
}

/// Something to be told.
#[derive(Clone, Debug)]
struct News {
    to: To,
    at: EventMs,
    link: String,
    says: Says,
    /// Whose deed it was, by reference.
    by: Option<String>,
}

/// Goes through what is new in the log, and looks at plan and forecasts; how many notices were
/// written. At the very first time nothing is told: what was before is known. Nothing is told from
/// books that are older than what was told last; the next look is made with newer ones.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for anybody but the server; [`WorkshopError::Store`].
pub async fn look(
    session: &Session,
    actor: &Actor,
    books: &Books,
    outcomes: &BTreeMap<RequestId, Outcome>,
) -> Result<usize, WorkshopError> {
    actor.must_be_the_clock()?;
    let (store, region) = session.writable()?;
    let upto = store.told(region).await?;
    if books.entry < upto.entry {
        return Ok(0);
    }
    let (events, entry) = if upto.turn == 0 {
        (Vec::new(), books.entry)
    } else {
        since(session, books, upto.entry).await?
    };
    let (mut news, mut told) = benches::news(session, books, &upto.before, &events);
    let (of_promises, at_risk) = late::news(session, books, outcomes, &upto.before);
    told.late = at_risk;
    news.extend(of_promises);
    let (of_waiting, waiting) = undecided::news(session, books, &upto.before);
    told.undecided = waiting;
    news.extend(of_waiting);
    if upto.turn == 0 {
        // Nobody hears of it now, so that it was told must not be written down.
        told.undecided.clear();
        store.tell(region, &upto, (entry, &told), &[]).await?;
        return Ok(0);
    }
    let fresh = |event: &&Event| session.now.0 - event.received_at.0 < NEWS_MS;
    let of_log = events.iter().filter(fresh);
    let mut all: Vec<News> = of_log
        .flat_map(|event| log::news(session, books, event))
        .collect();
    all.extend(news);
    all.extend(hubs::news(session, (upto.entry, entry)).await?);
    let people = store.people(region).await?;
    let new = for_each(session, &people, &each_once(all), entry);
    if new.is_empty() && entry == upto.entry && told == upto.before {
        return Ok(0);
    }
    let written = store.tell(region, &upto, (entry, &told), &new).await?;
    Ok(if written { new.len() } else { 0 })
}

/// What came to the log after an entry and is in the books for sure, and the entry up to which that
/// goes. What came after the books were read is not in them: that waits.
async fn since(
    session: &Session,
    books: &Books,
    mut entry: i64,
) -> Result<(Vec<Event>, i64), WorkshopError> {
    let (store, region) = session.writable()?;
    let mut out = Vec::new();
    while entry < books.entry {
        let events = store.events_after(region, entry).await?;
        let Some((last, _)) = events.last() else {
            break;
        };
        entry = (*last).min(books.entry);
        let known = events.into_iter().filter(|(n, _)| *n <= books.entry);
        out.extend(known.map(|(_, event)| event));
    }
    Ok((out, entry))
}

/// Without what was told already in the same words: several events of one look may come to the
/// same. What two people did is told to both.
fn each_once(news: Vec<News>) -> Vec<News> {
    let mut out: Vec<News> = Vec::new();
    for one in news {
        let same =
            |old: &&mut News| (&old.to, &old.link, &old.says) == (&one.to, &one.link, &one.says);
        match out.iter_mut().find(same) {
            Some(old) if old.by == one.by => {}
            Some(old) => old.by = None,
            None => out.push(one),
        }
    }
    out
}

/// A notice for each person and role that something reaches.
fn for_each(
    session: &Session,
    people: &[(Person, Vec<Held>)],
    news: &[News],
    entry: i64,
) -> Vec<NewNotice> {
    let (zone, file) = (&session.terrain.zone, &session.terrain.file);
    let mut out = Vec::new();
    for one in news {
        let by = |person: PersonId| {
            let whose = format!("/{person}");
            one.by.as_ref().is_some_and(|by| by.ends_with(&whose))
        };
        let said = one.says.said(zone);
        for (person, roles) in people.iter().filter(|(person, _)| !by(person.id)) {
            let reached = roles
                .iter()
                .filter(|held| one.to.reaches(file, (person.id, held)));
            out.extend(reached.map(|held| NewNotice {
                person: person.id,
                held: held.clone(),
                kind: one.says.kind().to_owned(),
                entry,
                at: one.at,
                urgent: one.says.urgent(),
                link: one.link.clone(),
                says: said.clone(),
            }));
        }
    }
    out
}

/// Who asks, and the role that they wear.
fn worn(actor: &Actor) -> Result<(PersonId, Held), WorkshopError> {
    let nobody = WorkshopError::NotAllowed {
        who: "people who are signed in",
    };
    actor.person().zip(actor.role().held()).ok_or(nobody)
}

/// One's own notices in the role that one wears, the last first.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for nobody; [`WorkshopError::Store`].
pub async fn own(session: &Session, actor: &Actor) -> Result<Vec<Notice>, WorkshopError> {
    let (person, held) = worn(actor)?;
    let (store, region) = session.writable()?;
    let mut all = store.notices_of(region, person).await?;
    all.retain(|one| one.said.held == held);
    Ok(all)
}

/// How many of one's own notices were not seen, by role.
///
/// # Errors
/// As [`own`].
pub async fn unseen(session: &Session, actor: &Actor) -> Result<Vec<Unseen>, WorkshopError> {
    let (person, _) = worn(actor)?;
    let (store, region) = session.writable()?;
    Ok(store.unseen(region, person).await?)
}

/// One has seen one's notices in the role that one wears, up to that number.
///
/// # Errors
/// As [`own`].
pub async fn saw(session: &Session, actor: &Actor, upto: i64) -> Result<(), WorkshopError> {
    let (person, held) = worn(actor)?;
    let (store, region) = session.writable()?;
    Ok(store.saw_notices(region, (person, &held), upto).await?)
}
