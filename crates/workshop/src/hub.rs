//! Benches that students run as a small factory, with adults responsible: who is signed off for what,
//! who is there, what an adult is asked for, the jobs of the day, and the hub's own figures.
//!
//! The rules stand in `docs/hubs.md`. A bench that no students run has no hub, and nothing here
//! touches it.

mod asking;
mod causes;
mod crew;
mod figures;
mod judging;
mod turns;

use partpledge_hubs::{Present, Said, Task, standing};
use partpledge_records::{CrewBook, CrewMember};
use partpledge_units::ids::CrewId;
use partpledge_units::time::EventMs;

use crate::actor::{Actor, Role};
use crate::error::WorkshopError;
use crate::session::Session;

pub use partpledge_catalogue::region::AdultFor;

pub use asking::{Ask, Doing, Subject};
pub use causes::Cause;
pub use crew::{CrewDeed, LONGEST_DAYS, lead, say_present};
pub use figures::{HubFigures, HubWeek, figures};
pub(crate) use judging::{
    adult_is_to_look, looked_at_later, may_load, may_put_back, starts_by_itself,
};
pub use turns::{DayJobs, Turn, jobs_of};

/// A bench that students run, with its crew.
#[derive(Clone, Debug)]
pub struct Hub {
    /// Code of the host's school.
    pub code: String,
    /// Name of the school.
    pub name: String,
    /// What an adult is asked for.
    pub adult_for: Vec<AdultFor>,
    /// Everything on record of its crew.
    pub book: CrewBook,
    /// Sign-offs in the order in which they were said; who left has them withdrawn then.
    said: Vec<Said>,
}

impl Hub {
    /// The hub at that school; `None` where no students run a bench.
    ///
    /// # Errors
    /// [`WorkshopError::Store`].
    pub async fn open(session: &Session, code: &str) -> Result<Option<Self>, WorkshopError> {
        let file = &session.terrain.file;
        let Some(host) = file.hub(code) else {
            return Ok(None);
        };
        let (store, region) = session.writable()?;
        let book = store.crew(region, code).await?;
        let name = file.school(code).map(|school| school.name.clone());
        Ok(Some(Self {
            code: code.to_owned(),
            name: name.unwrap_or_default(),
            adult_for: host.asks_adult_for().to_vec(),
            said: said(&book),
            book,
        }))
    }

    /// The same, for somebody who may see it: an adult of the school.
    ///
    /// # Errors
    /// [`WorkshopError::NotAllowed`]; [`WorkshopError::NotYours`] where no students run a bench, as if
    /// it were not there.
    pub async fn of(session: &Session, actor: &Actor, code: &str) -> Result<Self, WorkshopError> {
        actor.must_lead_crew(session, code)?;
        Self::open(session, code)
            .await?
            .ok_or(WorkshopError::NotYours)
    }

    /// Those who are on the crew now, in order of coming.
    pub fn crew(&self) -> impl Iterator<Item = &CrewMember> {
        self.book.members.iter().filter(|one| one.left_at.is_none())
    }

    /// Somebody's nickname; nothing for who has left.
    #[must_use]
    pub fn name_of(&self, id: CrewId) -> &str {
        let mut all = self.book.members.iter();
        all.find(|one| one.id == id).map_or("", |one| &one.name)
    }

    /// Who was there at a moment.
    #[must_use]
    pub fn present(&self, at: EventMs) -> Present {
        let last = self.book.present.iter().rfind(|said| said.at <= at);
        let last = last.filter(|said| at < said.until);
        let still = |id: &CrewId| {
            let mut all = self.book.members.iter();
            all.any(|one| one.id == *id && one.left_at.is_none_or(|left| at < left))
        };
        let crew = last.into_iter().flat_map(|said| said.crew.iter().copied());
        Present {
            adult: self.adult_until(at).is_some(),
            told: last.is_some(),
            crew: crew.filter(still).collect(),
        }
    }

    /// Until when an adult said they would be there, of those who were at a moment.
    #[must_use]
    pub fn adult_until(&self, at: EventMs) -> Option<EventMs> {
        let said = || self.book.adults.iter().filter(|one| one.at <= at);
        // Of each adult, what they said last counts.
        let last = said().filter(|one| {
            let later = |other: &&partpledge_records::AdultPresent| other.person == one.person;
            said().rfind(later) == Some(one)
        });
        last.map(|one| one.until).filter(|until| at < *until).max()
    }

    /// Whether that adult is among those.
    #[must_use]
    pub fn is_there(&self, adult: partpledge_units::ids::PersonId, at: EventMs) -> bool {
        let mut said = self.book.adults.iter();
        let last = said.rfind(|one| one.person == adult && one.at <= at);
        last.is_some_and(|one| at < one.until)
    }

    /// The sign-offs that hold at a moment.
    #[must_use]
    pub fn standing(&self, at: EventMs) -> Vec<&Said> {
        standing(&self.said, at)
    }
}

fn said(book: &CrewBook) -> Vec<Said> {
    let signs = book.signs.iter().filter_map(|kept| {
        Some(Said {
            member: kept.said.member,
            task: Task::parse(&kept.said.task)?,
            class: kept.said.class.clone(),
            at: kept.at,
            until: kept.said.until,
        })
    });
    let mut all: Vec<Said> = signs.collect();
    let left = all.iter().filter_map(|one| {
        let mut members = book.members.iter();
        let at = members.find(|member| member.id == one.member)?.left_at?;
        let until = None;
        Some(Said {
            at,
            until,
            ..one.clone()
        })
    });
    let left: Vec<Said> = left.collect();
    all.extend(left);
    all.sort_by_key(|one| one.at);
    all
}

impl Actor {
    /// For what a crew says of itself, from its own bench's tablet.
    ///
    /// # Errors
    /// [`WorkshopError::NotAllowed`].
    pub fn must_be_at_bench(&self, host: &str) -> Result<(), WorkshopError> {
        match self.role() {
            Role::Machine | Role::Coordinator => Ok(()),
            Role::Host(code) if code == host => Ok(()),
            _ => Err(WorkshopError::NotAllowed { who: "that bench" }),
        }
    }

    /// For what adults do about the crew of a bench that students run: those who work there, mentors
    /// of teams of that school, and the coordinator.
    ///
    /// # Errors
    /// [`WorkshopError::NotAllowed`].
    pub fn must_lead_crew(&self, session: &Session, host: &str) -> Result<(), WorkshopError> {
        let mut teams = session.terrain.file.teams.iter();
        let there = match self.role() {
            Role::Machine | Role::Coordinator => true,
            Role::Host(code) => code == host,
            Role::Mentor(own) => teams.any(|team| team.name == *own && team.school == host),
            _ => false,
        };
        let who = "adults of the school whose bench it is";
        there.then_some(()).ok_or(WorkshopError::NotAllowed { who })
    }
}
