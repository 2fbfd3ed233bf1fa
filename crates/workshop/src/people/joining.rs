//! Students: in by the team's code and a nickname, back by a code of their own.

use partpledge_records::{
    CodeKind, Held, NewCode, NewPerson, Person, PersonKind, Proof, RoleKind, StoredCode, Taker,
};
use partpledge_units::ids::{CodeId, IdSource, PersonId};
use partpledge_units::time::EventMs;

use super::signing_in::NewToken;
use super::tries::Door;
use super::{People, PeopleError, Problem, as_typed, codes, name};
use crate::actor::Actor;
use crate::error::WorkshopError;

const DAY_MS: i64 = 24 * 3_600_000;
/// How long a team's code lasts: two weeks, so that one on a wall is soon of no use.
pub const JOIN_DAYS: i64 = 14;
/// How many students may use it: a large team.
pub const JOIN_USES: i64 = 20;

/// A student who has just joined.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Joined {
    /// For the cookie.
    pub token: NewToken,
    /// Shown once.
    pub return_code: String,
}

/// A team's people, for its mentors.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TeamPeople {
    /// Students, oldest first.
    pub students: Vec<Person>,
    /// Mentors, oldest first.
    pub mentors: Vec<Person>,
    /// Join codes that work.
    pub codes: Vec<StoredCode>,
    /// Invitations of mentors that nobody has taken up.
    pub invitations: Vec<StoredCode>,
}

impl People<'_> {
    /// A student joins a team by its code.
    ///
    /// # Errors
    /// [`PeopleError::TooMany`]; [`Problem::NoCode`] and what is wrong with the nickname.
    pub async fn join(
        &self,
        (code, nickname): (&str, &str),
        from: &str,
    ) -> Result<Joined, PeopleError> {
        let code = codes::plain(code);
        let nickname = name(nickname, true).map_err(|problem| {
            let no_code = code.is_empty().then_some(Problem::NoCode);
            PeopleError::Typed(no_code.into_iter().chain([problem]).collect())
        })?;
        if code.is_empty() {
            return Err(Problem::NoCode.into());
        }
        let counted = self.count(Door::Join, None, from).await?;
        let hash = codes::hash("join", self.region, &code);
        let new = NewPerson {
            kind: PersonKind::Student,
            name: nickname,
            email: None,
            secret: None,
        };
        let which = (CodeKind::Join, hash.as_str());
        let ids = &mut IdSource::Os;
        let taken = self
            .store
            .take_code(self.region, which, &Taker::New(new), ids, self.now)
            .await;
        let (id, held) = match taken.map_err(as_typed) {
            Err(PeopleError::Typed(wrong)) if wrong == [Problem::NicknameTaken] => {
                self.forgive(&counted).await?;
                return Err(PeopleError::Typed(wrong));
            }
            other => other?,
        };
        self.forgive(&counted).await?;
        let return_code = self.return_code((id, &held), None).await?;
        let token = self
            .open((id, PersonKind::Student), held, Proof::Held)
            .await?;
        Ok(Joined { token, return_code })
    }

    /// A student comes back, on another device perhaps, by their own code.
    ///
    /// # Errors
    /// [`PeopleError::TooMany`], [`Problem::NoCode`].
    pub async fn come_back(&self, code: &str, from: &str) -> Result<NewToken, PeopleError> {
        let code = codes::plain(code);
        let counted = self.count(Door::ComeBack, None, from).await?;
        let hash = codes::hash("return", self.region, &code);
        let found = self
            .store
            .code(self.region, CodeKind::Return, &hash)
            .await?;
        let found = found.filter(|code| code.works(self.now));
        let id = found.and_then(|code| code.person).ok_or(Problem::NoCode)?;
        let person = self.store.person(self.region, id).await?;
        let person = person.filter(|person| person.left_at.is_none());
        let person = person.ok_or(Problem::NoCode)?;
        self.forgive(&counted).await?;
        self.open_any(&person, Proof::Code(hash)).await
    }

    /// A fresh code of a student's own; the one before works no more.
    async fn return_code(
        &self,
        (person, held): (PersonId, &Held),
        made_by: Option<PersonId>,
    ) -> Result<String, WorkshopError> {
        let code = codes::code(&codes::RETURN)?;
        let new = NewCode {
            kind: CodeKind::Return,
            hash: codes::hash("return", self.region, &codes::plain(&code)),
            held: held.clone(),
            person: Some(person),
            made_by,
            expires_at: None,
            uses: None,
        };
        let ids = &mut IdSource::Os;
        self.store
            .add_code(self.region, &new, ids, self.now)
            .await?;
        Ok(code)
    }

    /// A code for the team's students, shown once.
    ///
    /// # Errors
    /// [`WorkshopError::NotYours`], [`WorkshopError::NotAllowed`], [`WorkshopError::Store`].
    pub async fn join_code(&self, actor: &Actor, team: &str) -> Result<String, WorkshopError> {
        let held = self.led(actor, team, RoleKind::Student)?;
        let code = codes::code(&codes::JOIN)?;
        let new = NewCode {
            kind: CodeKind::Join,
            hash: codes::hash("join", self.region, &codes::plain(&code)),
            held,
            person: None,
            made_by: actor.person(),
            expires_at: Some(EventMs(self.now.0 + JOIN_DAYS * DAY_MS)),
            uses: Some(JOIN_USES),
        };
        let ids = &mut IdSource::Os;
        self.store
            .add_code(self.region, &new, ids, self.now)
            .await?;
        Ok(code)
    }

    /// A role at a team that the actor leads.
    pub(super) fn led(
        &self,
        actor: &Actor,
        team: &str,
        kind: RoleKind,
    ) -> Result<Held, WorkshopError> {
        actor.must_lead(team)?;
        let held = Held::new(kind, team);
        self.exists(&held)
            .then_some(held)
            .ok_or(WorkshopError::NotYours)
    }

    /// Stops a code or invitation of a team.
    ///
    /// # Errors
    /// [`WorkshopError::NotYours`] also for a code that is not there.
    pub async fn stop_team_code(
        &self,
        actor: &Actor,
        team: &str,
        id: CodeId,
    ) -> Result<(), WorkshopError> {
        actor.must_lead(team)?;
        let code = self.store.code_by_id(self.region, id).await?;
        let of_team = |code: &StoredCode| {
            let kinds = [CodeKind::Join, CodeKind::Invite];
            let roles = [RoleKind::Student, RoleKind::Mentor];
            let held = &code.held;
            kinds.contains(&code.kind) && roles.contains(&held.kind) && held.scope == team
        };
        if !code.is_some_and(|code| of_team(&code)) {
            return Err(WorkshopError::NotYours);
        }
        Ok(self.store.stop_code(self.region, id, self.now).await?)
    }

    /// Who is of a team, and the codes that work.
    ///
    /// # Errors
    /// [`WorkshopError::NotYours`], [`WorkshopError::NotAllowed`], [`WorkshopError::Store`].
    pub async fn team(&self, actor: &Actor, team: &str) -> Result<TeamPeople, WorkshopError> {
        let student = self.led(actor, team, RoleKind::Student)?;
        let mentor = Held::new(RoleKind::Mentor, team);
        let people = self.store.people(self.region).await?;
        let with = |held: &Held| {
            let holds = people.iter().filter(|(_, roles)| roles.contains(held));
            holds.map(|(person, _)| person.clone()).collect()
        };
        let (students, mentors) = (with(&student), with(&mentor));
        Ok(TeamPeople {
            students,
            mentors,
            codes: self.working(CodeKind::Join, &student).await?,
            invitations: self.working(CodeKind::Invite, &mentor).await?,
        })
    }

    async fn working(&self, kind: CodeKind, held: &Held) -> Result<Vec<StoredCode>, WorkshopError> {
        let mut all = self.store.codes(self.region, kind).await?;
        all.retain(|code| code.held == *held && code.works(self.now));
        Ok(all)
    }

    /// A student of the team, for its mentors.
    ///
    /// # Errors
    /// [`WorkshopError::NotYours`] for anybody who is not.
    pub async fn student_of(
        &self,
        actor: &Actor,
        team: &str,
        id: PersonId,
    ) -> Result<Person, WorkshopError> {
        let people = self.team(actor, team).await?.students;
        let mut found = people.into_iter().filter(|person| person.id == id);
        found.next().ok_or(WorkshopError::NotYours)
    }

    /// A fresh code for a student who has lost theirs, shown once. They are signed out everywhere:
    /// whoever found the lost one is out too.
    ///
    /// # Errors
    /// As [`People::student_of`].
    pub async fn new_return_code(
        &self,
        actor: &Actor,
        team: &str,
        id: PersonId,
    ) -> Result<(Person, String), WorkshopError> {
        let student = self.student_of(actor, team, id).await?;
        let held = Held::new(RoleKind::Student, team);
        let code = self.return_code((id, &held), actor.person()).await?;
        self.store
            .end_sign_ins(self.region, id, None, self.now)
            .await?;
        Ok((student, code))
    }
}
