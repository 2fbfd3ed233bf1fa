//! Leaving: what somebody is told is kept of them, how they are erased, and when that happens
//! unasked.

use partpledge_records::{
    CrewMember, Held, KeptSign, MailChoice, Message, Notice, Passkey, Person, PledgeKind, RoleKind,
    SignIn, StoreError, StoredToken,
};
use partpledge_units::ids::{IdSource, PersonId};
use partpledge_units::local::parse_date;
use partpledge_units::time::{EventMs, Minute};

use super::{People, PeopleError, Signed};
use crate::actor::{Actor, Role};
use crate::books::Books;
use crate::error::WorkshopError;
use crate::notices;

const DAY_MS: i64 = 24 * 3_600_000;
/// How long it is kept who was at a bench that students run: deeds may be told two days late.
pub const PRESENT_DAYS: i64 = 7;
/// How many days after the season's end people of teams are erased, unless the region's file says
/// otherwise: time to ask for an export.
pub const KEEP_DAYS: u16 = 60;

/// All that is kept of a person.
#[derive(Clone, Debug, PartialEq)]
pub struct PersonData {
    /// As kept; its secret is a hash that is of no use to anybody.
    pub person: Person,
    /// What they hold.
    pub roles: Vec<Held>,
    /// Where they are signed in.
    pub sign_ins: Vec<SignIn>,
    /// Their programs' tokens.
    pub tokens: Vec<StoredToken>,
    /// Their passkeys; what is kept of one is of no use to anybody else.
    pub passkeys: Vec<Passkey>,
    /// What the log has under their id: kind and time.
    pub deeds: Vec<(String, EventMs)>,
    /// What they were told, the last first.
    pub notices: Vec<Notice>,
    /// What they want by e-mail.
    pub mail: MailChoice,
    /// Messages to them.
    pub messages: Vec<Message>,
    /// Crews of benches that they are on.
    pub crews: Vec<OnCrew>,
}

/// Somebody with an account on the crew of a bench.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OnCrew {
    /// As kept.
    pub member: CrewMember,
    /// What was said of their sign-offs.
    pub signs: Vec<KeptSign>,
}

/// A team's request, without anybody's name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TeamRequest {
    /// Number.
    pub number: i64,
    /// What the team calls the part.
    pub part: String,
    /// Name of the file.
    pub file_name: String,
    /// Material code.
    pub material: String,
    /// Copies.
    pub copies: i64,
    /// State, in its stored word.
    pub state: &'static str,
    /// When it was asked for.
    pub asked_at: EventMs,
    /// When it was promised for, if it was.
    pub promised: Option<Minute>,
    /// How the promise ended, if it has.
    pub ended: Option<PledgeKind>,
}

/// All that is kept of a team.
#[derive(Clone, Debug, PartialEq)]
pub struct TeamData {
    /// People of it.
    pub people: Vec<PersonData>,
    /// What it asked for.
    pub requests: Vec<TeamRequest>,
}

/// What erasing a team's people comes to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Erasing {
    /// Students who are erased.
    pub students: usize,
    /// Mentors who are erased, having no other role.
    pub mentors: usize,
    /// Mentors who stay, since they have another role.
    pub stay: usize,
}

/// What clearing up came to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tidied {
    /// People of teams who were erased, the season being long over.
    pub erased: usize,
    /// Sign-ins that were over.
    pub sign_ins: u64,
    /// Codes that had ended.
    pub codes: u64,
}

impl People<'_> {
    /// All that is kept of oneself.
    ///
    /// # Errors
    /// [`WorkshopError::Store`].
    pub async fn own_data(&self, signed: &Signed) -> Result<PersonData, WorkshopError> {
        self.data_of(signed.person.clone()).await
    }

    /// All that is kept of somebody, for the coordinator.
    ///
    /// # Errors
    /// As [`People::somebody`].
    pub async fn data_of_other(
        &self,
        actor: &Actor,
        id: PersonId,
    ) -> Result<PersonData, WorkshopError> {
        let (person, _) = self.somebody(actor, id).await?;
        self.data_of(person).await
    }

    async fn data_of(&self, person: Person) -> Result<PersonData, WorkshopError> {
        let (store, region, id) = (self.store, self.region, person.id);
        Ok(PersonData {
            roles: store.roles_of(region, id).await?,
            sign_ins: store.sign_ins_of(region, id).await?,
            tokens: store.tokens_of(region, id).await?,
            passkeys: store.passkeys_of(region, id).await?,
            deeds: store.deeds_of(region, id).await?,
            notices: store.notices_of(region, id).await?,
            mail: store.mail_choice(region, id).await?,
            messages: store.messages_to(region, id).await?,
            crews: self.crews_of(id).await?,
            person,
        })
    }

    async fn crews_of(&self, id: PersonId) -> Result<Vec<OnCrew>, WorkshopError> {
        let mut out = Vec::new();
        for member in self.store.crews_of(self.region, id).await? {
            let mut signs = self.store.crew(self.region, &member.host).await?.signs;
            signs.retain(|sign| sign.said.member == member.id);
            out.push(OnCrew { member, signs });
        }
        Ok(out)
    }

    /// All that is kept of a team and its students, for its mentors.
    ///
    /// # Errors
    /// [`WorkshopError::NotYours`], [`WorkshopError::NotAllowed`], [`WorkshopError::Store`].
    pub async fn team_data(
        &self,
        actor: &Actor,
        team: &str,
        books: &Books,
    ) -> Result<TeamData, WorkshopError> {
        let mut people = Vec::new();
        for student in self.team(actor, team).await?.students {
            people.push(self.data_of(student).await?);
        }
        let own = books.requests.iter();
        let own = own.filter(|listed| listed.request.team == team);
        let requests = own.map(|listed| {
            let request = &listed.request;
            let promised = books.pledge_of(request.id);
            TeamRequest {
                number: request.number,
                part: listed.part.clone(),
                file_name: listed.file_name.clone(),
                material: request.material.clone(),
                copies: request.copies,
                state: request.state.as_str(),
                asked_at: request.asked_at,
                promised: promised.map(|promised| promised.pledge.arrival),
                ended: promised.and_then(|promised| Some(promised.end.as_ref()?.kind)),
            }
        });
        let requests = requests.collect();
        Ok(TeamData { people, requests })
    }

    /// Somebody leaves of their own accord and is erased.
    ///
    /// # Errors
    /// [`super::Problem::LastCoordinator`]; [`WorkshopError::Store`].
    pub async fn leave(&self, signed: &Signed) -> Result<(), PeopleError> {
        Ok(self.erase_one(&signed.actor(), signed.person.id).await?)
    }

    /// The coordinator erases somebody.
    ///
    /// # Errors
    /// [`super::Problem::LastCoordinator`]; as [`People::somebody`].
    pub async fn erase(&self, actor: &Actor, id: PersonId) -> Result<(), PeopleError> {
        let (_, roles) = self.somebody(actor, id).await?;
        self.may_change(actor, id, &roles).await?;
        Ok(self.erase_one(actor, id).await?)
    }

    /// A mentor erases a student of the team.
    ///
    /// # Errors
    /// As [`People::student_of`].
    pub async fn remove_student(
        &self,
        actor: &Actor,
        team: &str,
        id: PersonId,
    ) -> Result<(), WorkshopError> {
        self.student_of(actor, team, id).await?;
        Ok(self.erase_one(actor, id).await?)
    }

    async fn erase_one(&self, actor: &Actor, id: PersonId) -> Result<(), StoreError> {
        let deed = self.deed(actor);
        let ids = &mut IdSource::Os;
        match self.store.erase_person(self.region, id, &deed, ids).await {
            // Somebody else did it a moment ago.
            Err(StoreError::NoSuch { .. }) => Ok(()),
            other => other,
        }
    }

    /// What [`People::erase_team`] would come to.
    ///
    /// # Errors
    /// [`WorkshopError::NotYours`], [`WorkshopError::NotAllowed`], [`WorkshopError::Store`].
    pub async fn erasing(&self, actor: &Actor, team: &str) -> Result<Erasing, WorkshopError> {
        let people = self.team(actor, team).await?;
        let mut erasing = Erasing {
            students: people.students.len(),
            ..Erasing::default()
        };
        for mentor in &people.mentors {
            let only = self.roles_of(mentor).await?.len() == 1;
            erasing.mentors += usize::from(only);
            erasing.stay += usize::from(!only);
        }
        Ok(erasing)
    }

    /// Erases a team's students and mentors and stops its codes. A mentor who has another role
    /// keeps that, and loses this one.
    ///
    /// # Errors
    /// As [`People::erasing`].
    pub async fn erase_team(&self, actor: &Actor, team: &str) -> Result<Erasing, WorkshopError> {
        let people = self.team(actor, team).await?;
        let mut erased = Erasing::default();
        for code in people.codes.iter().chain(&people.invitations) {
            self.store.stop_code(self.region, code.id, self.now).await?;
        }
        for student in &people.students {
            self.erase_one(actor, student.id).await?;
            erased.students += 1;
        }
        let held = Held::new(RoleKind::Mentor, team);
        let deed = self.deed(actor);
        for mentor in &people.mentors {
            if self.roles_of(mentor).await?.len() > 1 {
                let which = (mentor.id, &held);
                let ids = &mut IdSource::Os;
                self.store.end_role(self.region, which, &deed, ids).await?;
                erased.stay += 1;
            } else {
                self.erase_one(actor, mentor.id).await?;
                erased.mentors += 1;
            }
        }
        Ok(erased)
    }

    /// From when on people of teams are erased unasked; `None` when the region's file names no end
    /// of its season.
    ///
    /// # Errors
    /// [`WorkshopError::Time`] for a day that can't be read.
    pub fn erased_from(&self) -> Result<Option<EventMs>, WorkshopError> {
        let file = self.file();
        let Some(day) = file.season_ends.as_deref() else {
            return Ok(None);
        };
        let ends = parse_date(day)?;
        let zone = &self.terrain.zone;
        let days = i64::from(file.keep_people_days.unwrap_or(KEEP_DAYS)) + 1;
        // By the calendar, not by hours: the clocks may change meanwhile.
        let from = ends.saturating_add(jiff::Span::new().days(days));
        let night = zone.minute(from, jiff::civil::Time::midnight());
        Ok(Some(night.to_ms()))
    }

    /// Clears up: sign-ins and codes that are over, counts of days before, and, once the season is
    /// long over, people of teams who were there by then and hold no role elsewhere.
    ///
    /// # Errors
    /// [`WorkshopError::NotAllowed`] for anybody but the server, the coordinator and whoever works
    /// at this machine; [`WorkshopError::Time`], [`WorkshopError::Store`].
    pub async fn tidy(&self, actor: &Actor) -> Result<Tidied, WorkshopError> {
        actor.must_be_the_clock()?;
        let (store, region) = (self.store, self.region);
        let month_ago = EventMs(self.now.0 - 30 * DAY_MS);
        let mut tidied = Tidied {
            erased: 0,
            sign_ins: store.forget_sign_ins(region, self.now).await?,
            codes: store.forget_codes(region, month_ago).await?,
        };
        store.forget_tokens(region, month_ago).await?;
        store.forget_challenges(region, self.now).await?;
        store.forget_hook_tries(region, month_ago).await?;
        store.forget_messages(region, month_ago).await?;
        let long_ago = EventMs(self.now.0 - notices::KEPT_DAYS * DAY_MS);
        store.forget_notices(region, long_ago).await?;
        let week_ago = EventMs(self.now.0 - PRESENT_DAYS * DAY_MS);
        store.forget_present(region, week_ago).await?;
        self.forget_counts().await?;
        self.end_over(actor).await?;
        let from = self.erased_from()?;
        let Some(from) = from.filter(|from| self.now >= *from) else {
            return Ok(tidied);
        };
        tidied.erased +=
            usize::try_from(store.erase_crews(region, (from, self.now)).await?).unwrap_or(0);
        for (person, roles) in store.people(region).await? {
            let of_team = |held: &Held| Role::of(held).team().is_some();
            if person.since < from && roles.iter().all(of_team) {
                self.erase_one(actor, person.id).await?;
                tidied.erased += 1;
            }
        }
        Ok(tidied)
    }
}
