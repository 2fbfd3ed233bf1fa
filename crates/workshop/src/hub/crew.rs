//! What adults do about a crew, and what a crew says of itself: who is there.

use jiff::Span;
use jiff::civil::{Date, Time};
use partpledge_hubs::{Said, Task};
use partpledge_records::{
    AdultPresent, CrewChange, CrewPresent, CrewSign, Deed, PersonKind, StoreError,
};
use partpledge_units::ids::{CrewId, IdSource, PersonId};
use partpledge_units::time::{EventMs, Minute};

use super::Hub;
use crate::actor::{Actor, Role};
use crate::bench::done_at;
use crate::error::WorkshopError;
use crate::people::{PeopleError, Problem, crew_name};
use crate::session::Session;

const HOUR_MS: i64 = 3_600_000;
/// A sign-off holds a year at most, and is looked at again then. Common practice, no source.
pub const LONGEST_DAYS: i64 = 366;
/// Whoever says that they are there is taken to be until people leave, or so long. Common practice,
/// no source.
const CREW_MS: i64 = 4 * HOUR_MS;
/// An adult says so for a day at most: they say it again.
const ADULT_MS: i64 = 12 * HOUR_MS;

/// What an adult does about a crew.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CrewDeed {
    /// Names somebody.
    Add {
        /// Nickname.
        name: String,
    },
    /// Takes in a student of the mentor's own team, under the nickname of their account.
    AddStudent(PersonId),
    /// Signs somebody off, or extends it.
    Sign {
        /// Whom.
        member: CrewId,
        /// For what, on which classes of printers.
        tasks: Vec<(Task, String)>,
        /// The last day on which it holds.
        until: Date,
    },
    /// Withdraws sign-offs.
    Withdraw {
        /// Whose.
        member: CrewId,
        /// Which.
        tasks: Vec<(Task, String)>,
    },
    /// Takes somebody off the crew, which erases their nickname.
    Remove(CrewId),
    /// Is at the bench until then.
    Here(Minute),
    /// Is there no more.
    Gone,
    /// Has looked at a deed, by its entry in the log.
    Looked(i64),
}

/// An adult does something about the crew of a bench that students run.
///
/// # Errors
/// [`WorkshopError::NotAllowed`], [`WorkshopError::NotYours`] as [`Hub::of`];
/// [`WorkshopError::OutOfRange`] for a day or time; [`WorkshopError::Unknown`] for a class; what is
/// wrong with a nickname as [`PeopleError::Typed`]; [`WorkshopError::Store`] for somebody who is not
/// on the crew any more.
pub async fn lead(
    session: &Session,
    actor: &Actor,
    (code, what): (&str, &CrewDeed),
    key: Option<&str>,
) -> Result<(), PeopleError> {
    let hub = Hub::of(session, actor, code).await?;
    let change = change(session, actor, (&hub, what)).await?;
    let deed = Deed {
        actor: actor.reference(),
        occurred_at: session.now,
        received_at: session.now,
        idempotency_key: key.map(str::to_owned),
    };
    let (store, region) = session.writable()?;
    let what = (code, &change);
    match store
        .change_crew(region, what, &deed, &mut IdSource::Os)
        .await
    {
        Err(StoreError::Taken { .. }) => Err(Problem::NicknameTaken.into()),
        other => other
            .map(|_| ())
            .map_err(|error| WorkshopError::from(error).into()),
    }
}

async fn change(
    session: &Session,
    actor: &Actor,
    (hub, what): (&Hub, &CrewDeed),
) -> Result<CrewChange, PeopleError> {
    Ok(match what {
        CrewDeed::Add { name } => CrewChange::Join {
            name: crew_name(name)?,
            person: None,
        },
        CrewDeed::AddStudent(id) => student(session, actor, *id).await?,
        CrewDeed::Sign {
            member,
            tasks,
            until,
        } => {
            let until = last_day(session, *until)?;
            signs(session, (*member, tasks), Some(until))?
        }
        CrewDeed::Withdraw { member, tasks } => {
            // What does not hold is not withdrawn: the log would say what never was.
            let holds = hub.standing(session.now);
            let held = |(task, class): &&(Task, String)| {
                let is = |one: &&&Said| {
                    (one.member, one.task) == (*member, *task) && one.class == on(*task, class)
                };
                holds.iter().any(|one| is(&one))
            };
            let held: Vec<_> = tasks.iter().filter(held).cloned().collect();
            signs(session, (*member, &held), None)?
        }
        CrewDeed::Remove(member) => CrewChange::Leave(*member),
        CrewDeed::Here(until) => {
            let latest = session.now.0 + ADULT_MS;
            let ms = until.to_ms();
            if ms <= session.now || ms.0 > latest {
                let (what, range) = ("until", "still to come, within 12 hours");
                return Err(WorkshopError::OutOfRange { what, range }.into());
            }
            here(session, actor, ms)?
        }
        CrewDeed::Gone => here(session, actor, session.now)?,
        CrewDeed::Looked(entry) => CrewChange::Looked(*entry),
    })
}

fn here(session: &Session, actor: &Actor, until: EventMs) -> Result<CrewChange, WorkshopError> {
    let who = "adults who are signed in";
    let person = actor.person().ok_or(WorkshopError::NotAllowed { who })?;
    let at = session.now;
    Ok(CrewChange::Adult(AdultPresent { at, until, person }))
}

async fn student(
    session: &Session,
    actor: &Actor,
    id: PersonId,
) -> Result<CrewChange, PeopleError> {
    let who = "mentors, for students of their team";
    let Role::Mentor(team) = actor.role() else {
        return Err(WorkshopError::NotAllowed { who }.into());
    };
    let people = session.people(session.now)?;
    let student = people.student_of(actor, team, id).await?;
    debug_assert_eq!(student.kind, PersonKind::Student);
    Ok(CrewChange::Join {
        name: student.name,
        person: Some(id),
    })
}

fn on(task: Task, class: &str) -> &str {
    if task.is_on_a_class() { class } else { "" }
}

fn signs(
    session: &Session,
    (member, tasks): (CrewId, &[(Task, String)]),
    until: Option<EventMs>,
) -> Result<CrewChange, WorkshopError> {
    if tasks.is_empty() {
        let (what, range) = ("tasks", "at least one that can be signed off or withdrawn");
        return Err(WorkshopError::OutOfRange { what, range });
    }
    let classes = &session.catalogue.classes;
    let mut signs: Vec<CrewSign> = Vec::new();
    for (task, class) in tasks {
        let class = on(*task, class);
        if task.is_on_a_class() && session.catalogue.class(class).is_none() {
            let known: Vec<&str> = classes.iter().map(|class| class.code.as_str()).collect();
            return Err(WorkshopError::Unknown {
                what: "class of printers",
                name: class.to_owned(),
                known: known.join(", "),
            });
        }
        let sign = CrewSign {
            member,
            task: task.as_str().to_owned(),
            class: class.to_owned(),
            until,
        };
        if !signs.contains(&sign) {
            signs.push(sign);
        }
    }
    Ok(CrewChange::Sign(signs))
}

/// The end of the last day.
fn last_day(session: &Session, last: Date) -> Result<EventMs, WorkshopError> {
    let zone = &session.terrain.zone;
    let today = zone.date(session.minute());
    let latest = today.saturating_add(Span::new().days(LONGEST_DAYS));
    if last < today || last > latest {
        let (what, range) = ("the last day", "from today on, within a year");
        return Err(WorkshopError::OutOfRange { what, range });
    }
    let after = last.saturating_add(Span::new().days(1));
    Ok(zone.minute(after, Time::midnight()).to_ms())
}

/// The crew says who of it is at the bench, from `told` on if it is told later; whether that was said
/// before, under the same key.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for another bench's, [`WorkshopError::NotYours`] where no students
/// run a bench, [`WorkshopError::WrongTime`], [`WorkshopError::Store`].
pub async fn say_present(
    session: &Session,
    actor: &Actor,
    (code, crew): (&str, &[CrewId]),
    (key, told): (Option<&str>, Option<EventMs>),
) -> Result<bool, WorkshopError> {
    actor.must_be_at_bench(code)?;
    let hub = Hub::open(session, code).await?;
    let hub = hub.ok_or(WorkshopError::NotYours)?;
    let at = done_at(told, session.now)?;
    let known = hub.crew().map(|one| one.id);
    let crew: Vec<CrewId> = known.filter(|id| crew.contains(id)).collect();
    let until = leaving(session, code, at);
    let change = CrewChange::Present(CrewPresent { at, until, crew });
    let deed = Deed {
        actor: actor.reference(),
        occurred_at: at,
        received_at: session.now,
        idempotency_key: key.map(str::to_owned),
    };
    let (store, region) = session.writable()?;
    let what = (code, &change);
    let entry = store
        .change_crew(region, what, &deed, &mut IdSource::Os)
        .await?;
    Ok(entry.is_none())
}

/// Until when whoever is there at a moment is taken to be.
fn leaving(session: &Session, code: &str, at: EventMs) -> EventMs {
    let terrain = &session.terrain;
    let site = terrain
        .file
        .hosts
        .iter()
        .position(|host| host.school == code);
    let staffed = site.map(|site| terrain.region.sites[site].staffed.as_slice());
    let minute = Minute::at_or_after(at);
    let mut windows = staffed.unwrap_or_default().iter();
    let open = windows.find(|window| window.from <= minute && minute < window.until);
    let longest = EventMs(at.0 + CREW_MS);
    open.map_or(longest, |window| window.until.to_ms().min(longest))
}
