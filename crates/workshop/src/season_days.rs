//! The season's days for the coordinator: what is closed, where the league meets, which rounds go.

use jiff::ToSpan;
use jiff::civil::{Date, Time};
use partpledge_planning_model::Departure;
use partpledge_units::local::{parse_clock, parse_date};
use partpledge_units::time::{Minute, Minutes};

use crate::actor::Actor;
use crate::error::WorkshopError;
use crate::session::Session;

/// Weeks that are shown where the region file names no end of the season, and most of all.
const USUAL_WEEKS: i64 = 12;
const MOST_WEEKS: i64 = 44;

/// What is on a day or several.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Schools are closed.
    Closed,
    /// The league meets, and boxes are handed over.
    Meeting,
    /// A courier collects at the beginning and delivers at the end.
    Round,
    /// Somebody takes boxes from desk to desk.
    Relay,
    /// The season's last day.
    SeasonEnds,
}

/// Something in the season.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Item {
    /// What it is.
    pub kind: Kind,
    /// What it is called, or why it is closed.
    pub what: String,
    /// Codes of the schools; none for all.
    pub schools: Vec<String>,
    /// It begins then.
    pub from: Minute,
    /// It is over then.
    pub until: Minute,
}

/// The Monday of the present week, and the one after the last week that is shown: that of the
/// season's end, or some weeks ahead.
///
/// # Errors
/// [`WorkshopError::Time`] for a day of the region file that can't be read.
pub fn weeks(session: &Session) -> Result<Vec<Date>, WorkshopError> {
    let terrain = &session.terrain;
    let today = terrain.zone.date(session.minute());
    let monday = |date: Date| {
        let back = i64::from(date.weekday().to_monday_zero_offset());
        date.checked_sub(back.days()).unwrap_or(date)
    };
    let ends = terrain.file.season_ends.as_deref().map(parse_date);
    let ends = ends.transpose()?.filter(|ends| *ends >= today);
    let mut out = vec![monday(today)];
    for week in 1..MOST_WEEKS {
        let next = out[0].checked_add((week * 7).days());
        let Ok(next) = next else { break };
        if ends.map_or(week >= USUAL_WEEKS, |ends| next > ends) {
            break;
        }
        out.push(next);
    }
    Ok(out)
}

/// Everything between two times, by its beginning.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for anybody but the coordinator; [`WorkshopError::Time`].
pub fn items(
    session: &Session,
    actor: &Actor,
    (from, until): (Minute, Minute),
) -> Result<Vec<Item>, WorkshopError> {
    actor.must_coordinate()?;
    let mut out = closed(session)?;
    out.extend(meetings(session)?);
    let terrain = &session.terrain;
    // A day before: what was collected then may come within.
    let begin = from - Minutes(4 * 1_440);
    for (kind, departures) in [
        (Kind::Round, terrain.rounds(begin, until)?),
        (Kind::Relay, terrain.relayed(begin, until)?),
    ] {
        let goes = |(what, departure): &(String, Departure)| {
            let stops = match kind {
                Kind::Relay => relay_stops(session, what, departure),
                _ => round_stops(session, what, departure),
            };
            !stops
        };
        let departures = departures.into_iter().filter(goes);
        out.extend(departures.map(|(what, departure)| Item {
            kind,
            what,
            schools: Vec::new(),
            from: departure.leaves,
            until: departure.arrives,
        }));
    }
    if let Some(ends) = &terrain.file.season_ends {
        let (from, until) = days(session, (ends, ends))?;
        out.push(Item {
            kind: Kind::SeasonEnds,
            what: "the season ends".to_owned(),
            schools: Vec::new(),
            from,
            until,
        });
    }
    out.retain(|item| item.from < until && from <= item.until);
    out.sort_by(|a, b| (a.from, a.kind, &a.what).cmp(&(b.from, b.kind, &b.what)));
    Ok(out)
}

/// Whether a school is closed at that time by what was told since the region file.
fn is_shut(session: &Session, code: &str, at: Minute) -> bool {
    let mut told = session.closures.iter().map(|kept| &kept.closure);
    told.any(|closure| {
        let there = closure.schools.iter().any(|school| school == code);
        there && closure.from <= at && at < closure.until
    })
}

/// Whether a round collects nothing: every bench that it calls at is closed then.
fn round_stops(session: &Session, name: &str, departure: &Departure) -> bool {
    let file = &session.terrain.file;
    let courier = file.couriers.iter().find(|courier| courier.name == name);
    let calls = |code: &String| {
        courier.is_none_or(|courier| courier.hosts.is_empty() || courier.hosts.contains(code))
    };
    let codes = file.hosts.iter().map(|host| &host.school);
    let mut codes = codes.filter(|code| calls(code)).peekable();
    codes.peek().is_some() && codes.all(|code| is_shut(session, code, departure.leaves))
}

/// Whether nobody gives boxes on or takes them in: one of the two desks is closed then.
fn relay_stops(session: &Session, name: &str, departure: &Departure) -> bool {
    let mut relays = session.terrain.file.relays.iter();
    relays
        .find(|relay| relay.name == name)
        .is_some_and(|relay| {
            is_shut(session, &relay.from, departure.leaves)
                || is_shut(session, &relay.to, departure.arrives)
        })
}

/// From the midnight before a day to the one after another.
fn days(session: &Session, (first, last): (&str, &str)) -> Result<(Minute, Minute), WorkshopError> {
    let zone = &session.terrain.zone;
    let (first, last) = (parse_date(first)?, parse_date(last)?);
    let after = last.tomorrow().unwrap_or(last);
    let midnight = |date| zone.minute(date, Time::midnight());
    Ok((midnight(first), midnight(after)))
}

/// Closed by the region file, for all or for one host, and by what was told since.
fn closed(session: &Session) -> Result<Vec<Item>, WorkshopError> {
    let file = &session.terrain.file;
    let mut out = Vec::new();
    let all = file.closures.iter().map(|closure| (closure, Vec::new()));
    let own = file.hosts.iter().flat_map(|host| {
        let of = |closure| (closure, vec![host.school.clone()]);
        host.closures.iter().map(of)
    });
    for (closure, schools) in all.chain(own) {
        let (from, until) = days(session, (&closure.from, &closure.to))?;
        out.push(Item {
            kind: Kind::Closed,
            what: closure.reason.clone(),
            schools,
            from,
            until,
        });
    }
    let told = session.closures.iter().map(|kept| &kept.closure);
    out.extend(told.map(|closure| Item {
        kind: Kind::Closed,
        what: closure.reason.clone(),
        schools: closure.schools.clone(),
        from: closure.from,
        until: closure.until,
    }));
    Ok(out)
}

fn meetings(session: &Session) -> Result<Vec<Item>, WorkshopError> {
    let (file, zone) = (&session.terrain.file, &session.terrain.zone);
    let one = |event: &partpledge_catalogue::region::LeagueEvent| {
        let at = zone.minute(parse_date(&event.date)?, parse_clock(&event.hands_over)?);
        Ok(Item {
            kind: Kind::Meeting,
            what: event.name.clone(),
            schools: Vec::new(),
            from: at,
            until: at,
        })
    };
    file.events.iter().map(one).collect()
}
