//! What stands in somebody's calendar: a bench's work, a team's hand-overs, the region's days.

use jiff::civil::Date;
use partpledge_planning_model::LegKind;
use partpledge_records::{ListedRequest, PlateState, StepKind};
use partpledge_units::local::parse_date;
use partpledge_units::time::{Minute, Minutes};
use partpledge_words::say;

use crate::actor::{Actor, Role};
use crate::books::Books;
use crate::error::WorkshopError;
use crate::risks::{Outcome, outcome_of};
use crate::run_sheet::line;
use crate::session::Session;
use crate::terrain::place_says;

/// How long a moment is drawn in a calendar. Common practice, no source.
const SHOWN: Minutes = Minutes(15);
/// How far ahead the rounds of couriers are shown, days.
const AHEAD_DAYS: i64 = 28;

/// When something is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum When {
    /// From then until then.
    Between(Minute, Minute),
    /// On whole days, the last included.
    Days(Date, Date),
}

/// Something in a calendar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// Its name within the region, the same for as long as it is the same thing.
    pub name: String,
    /// When.
    pub when: When,
    /// What, in a few words.
    pub what: String,
    /// Where, if that is said.
    pub place: Option<String>,
    /// Grows whenever it may have been given another time.
    pub sequence: i64,
}

fn moment(at: Minute) -> When {
    When::Between(at, at + SHOWN)
}

/// The calendar of whoever asks: of their bench, of their team, or of the region.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for nobody; [`WorkshopError::Store`], [`WorkshopError::Time`].
pub async fn calendar(
    session: &Session,
    actor: &Actor,
    books: &Books,
) -> Result<Vec<Entry>, WorkshopError> {
    actor.must_be_known()?;
    match actor.role() {
        Role::Host(code) => bench(session, books, code).await,
        Role::Team(team) | Role::Mentor(team) => Ok(hand_overs(session, books, team)),
        _ => region(session),
    }
}

/// Plates to start and to take off, boxes that leave.
async fn bench(session: &Session, books: &Books, code: &str) -> Result<Vec<Entry>, WorkshopError> {
    let school = session.terrain.file.school(code);
    let here = school.map(|school| school.name.clone()).unwrap_or_default();
    let mut out = Vec::new();
    for kept in &books.floor.kept {
        if matches!(kept.state, PlateState::Withdrawn | PlateState::Lost) {
            continue;
        }
        let Some(line) = line(session, books, kept).await? else {
            continue;
        };
        // Made again elsewhere, its copies have left it.
        let empty = kept.state == PlateState::Off && books.copies_on(kept).next().is_none();
        if empty || line.host != here || books.step(line.share, StepKind::Left).is_some() {
            continue;
        }
        let sequence = books.floor.revision;
        let mut add = |name: String, at: Minute, what: String| {
            let (when, place) = (moment(at), Some(format!("{here}, {}", line.printer)));
            out.push(Entry {
                name,
                when,
                what,
                place,
                sequence,
            });
        };
        let seq = line.seq;
        let first = books.company(kept).first().map(|row| row.plate.seq.0) == Some(line.share);
        if let Some(place) = line.place.filter(|_| first) {
            if books.step(seq, StepKind::Started).is_none() {
                let what = say!(
                    "region-calendar-start",
                    plate = seq,
                    label = line.label,
                    material = line.material
                );
                add(format!("plate-{seq}-start"), place.start, what);
            }
            let what = say!("region-calendar-off", plate = seq, label = line.label);
            add(format!("plate-{seq}-off"), place.cleared, what);
        }
        if let Some((kind, departure)) = line.leg {
            let (share, to) = (line.share, place_says(&line.to));
            let what = match kind {
                LegKind::Counter => say!("region-calendar-counter", share = share, to = to),
                LegKind::Courier => say!("region-calendar-courier", share = share, to = to),
                LegKind::Meeting => say!("region-calendar-meeting", share = share, to = to),
            };
            add(format!("box-{}", line.share), departure.leaves, what);
        }
    }
    Ok(out)
}

/// What a team was promised and does not hold yet: on the day that was promised, or, at risk, when it comes
/// as things stand. Nobody should go there for nothing.
fn hand_overs(session: &Session, books: &Books, team: &str) -> Vec<Entry> {
    let open = books.open_pledges().into_iter();
    let own = open.filter(|(listed, _)| listed.request.team == team);
    own.map(|(listed, promised)| {
        let outcome = outcome_of(session, books, listed.request.id);
        let arrival = promised.pledge.arrival;
        let (at, what) = match outcome.filter(Outcome::at_risk) {
            None => (arrival, on_time(listed)),
            Some(outcome) => (outcome.likely.unwrap_or(arrival), {
                let by = session.terrain.zone.short(arrival);
                late(listed, &by, outcome.likely.is_some())
            }),
        };
        Entry {
            name: format!("request-{}", listed.request.number),
            when: moment(at),
            what,
            place: Some(place_says(&promised.document.place)),
            sequence: told_anew(session, books, arrival),
        }
    })
    .collect()
}

fn on_time(listed: &ListedRequest) -> String {
    say!(
        "region-calendar-promised",
        part = listed.part,
        n = listed.request.copies
    )
}

/// `Late: axle washer, 20, promised Tue 15:40`; with a question mark when nobody can say when it comes.
fn late(listed: &ListedRequest, promised: &str, known: bool) -> String {
    let (part, n) = (&listed.part, listed.request.copies);
    if known {
        say!(
            "region-calendar-late",
            part = part,
            n = n,
            promised = promised
        )
    } else {
        say!(
            "region-calendar-late-unknown",
            part = part,
            n = n,
            promised = promised
        )
    }
}

/// Grows with every entry of the log, as the plan and all that was told of a part have one; once the time
/// of a promise is over also by the hour, for then its forecast moves by itself.
fn told_anew(session: &Session, books: &Books, arrival: Minute) -> i64 {
    let past = (session.minute() - arrival).0.max(0);
    books.entry + (past + 59) / 60
}

/// Closed days, meetings, rounds of the next weeks.
fn region(session: &Session) -> Result<Vec<Entry>, WorkshopError> {
    let terrain = &session.terrain;
    let mut out = Vec::new();
    for closure in &terrain.file.closures {
        out.push(Entry {
            name: format!("closed-{}", closure.from),
            when: When::Days(parse_date(&closure.from)?, parse_date(&closure.to)?),
            what: say!("region-calendar-all-closed", reason = closure.reason),
            place: None,
            sequence: 0,
        });
    }
    for kept in session.closures.iter() {
        let closure = &kept.closure;
        let name = |code: &String| {
            terrain
                .file
                .school(code)
                .map_or(code.clone(), |s| s.name.clone())
        };
        let names: Vec<String> = closure.schools.iter().map(name).collect();
        out.push(Entry {
            name: format!("closure-{}", kept.entry),
            when: When::Between(closure.from, closure.until),
            what: say!(
                "region-calendar-closed",
                reason = closure.reason,
                schools = names.join(", ")
            ),
            place: None,
            sequence: 0,
        });
    }
    for (name, at) in terrain.meets()? {
        out.push(Entry {
            name: format!("meeting-{}", terrain.zone.date(at)),
            when: moment(at),
            what: say!("region-calendar-hand-over", name = name),
            place: None,
            sequence: 0,
        });
    }
    let now = session.minute();
    let rounds = terrain.rounds(now, now + Minutes(AHEAD_DAYS * 1_440))?;
    for (i, (name, departure)) in rounds.into_iter().enumerate() {
        let day = terrain.zone.date(departure.leaves);
        let courier = terrain.file.couriers.iter().position(|c| c.name == name);
        out.push(Entry {
            name: format!("round-{}-{day}", courier.unwrap_or(i)),
            when: moment(departure.leaves),
            what: say!(
                "region-calendar-round",
                name = name,
                arrives = terrain.zone.short(departure.arrives)
            ),
            place: None,
            sequence: 0,
        });
    }
    Ok(out)
}
