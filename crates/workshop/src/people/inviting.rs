//! Adults: in by a one-time link that somebody hands over, and back by one when a password is lost.
//!
//! Nothing is mailed: whoever makes a link hands it over.

use partpledge_catalogue::region::{Host, RegionFile};
use partpledge_records::{
    CodeKind, Held, NewCode, NewPerson, Person, PersonKind, Proof, RoleKind, StoredCode, Taker,
};
use partpledge_units::ids::{CodeId, IdSource, PersonId};
use partpledge_units::time::EventMs;

use super::signing_in::{NewToken, address};
use super::tries::Door;
use super::{People, PeopleError, Problem, Signed, as_typed, codes, name, passwords};
use crate::actor::{Actor, Role, kind_for};
use crate::error::WorkshopError;

const HOUR_MS: i64 = 3_600_000;
/// How long an invitation lasts.
pub const INVITE_DAYS: i64 = 7;
/// How long a link to a new password, or the first coordinator's, lasts.
pub const SHORT_HOURS: i64 = 24;

/// What an adult types to take up an invitation.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NewAdult<'a> {
    /// Shown to others.
    pub name: &'a str,
    /// To sign in with.
    pub email: &'a str,
    /// To sign in with.
    pub password: &'a str,
}

/// The region's people, for its coordinator.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RegionPeople {
    /// Adults and what they hold, oldest first.
    pub adults: Vec<(Person, Vec<Held>)>,
    /// How many students each team has, in the region's order.
    pub teams: Vec<(String, usize)>,
    /// Invitations that nobody has taken up.
    pub invitations: Vec<StoredCode>,
    /// How many have left and were erased.
    pub left: usize,
    /// Who stands in for the coordinator, and until when.
    pub standing: Vec<(PersonId, EventMs)>,
}

impl RegionPeople {
    /// Schools with a printer at whose bench nobody is signed up, in the region's order: nobody there would
    /// hear of a plate.
    #[must_use]
    pub fn benches_alone<'a>(&self, file: &'a RegionFile) -> Vec<&'a str> {
        let alone = |host: &&Host| {
            let held = Held::new(RoleKind::Operator, &host.school);
            file.printers.iter().any(|entry| entry.host == host.school)
                && !self.adults.iter().any(|(_, roles)| roles.contains(&held))
        };
        let hosts = file.hosts.iter().filter(alone);
        let schools = hosts.filter_map(|host| file.school(&host.school));
        schools.map(|school| school.name.as_str()).collect()
    }
}

impl People<'_> {
    /// A one-time link's token for an adult who is to have a role. The coordinator invites anybody,
    /// a mentor other mentors of the same team.
    ///
    /// # Errors
    /// [`Problem::RoleBad`]; [`WorkshopError::NotYours`], [`WorkshopError::NotAllowed`].
    pub async fn invite(&self, actor: &Actor, held: &Held) -> Result<String, PeopleError> {
        match held.kind {
            RoleKind::Mentor => actor.must_lead(&held.scope)?,
            _ => actor.must_coordinate()?,
        }
        if kind_for(held.kind) != PersonKind::Adult || !self.exists(held) {
            return Err(Problem::RoleBad.into());
        }
        if held.kind == RoleKind::Coordinator {
            self.must_stay(actor).await?;
        }
        let ends = EventMs(self.now.0 + INVITE_DAYS * 24 * HOUR_MS);
        let new = (CodeKind::Invite, held.clone(), None);
        Ok(self.link(new, actor.person(), ends).await?)
    }

    async fn link(
        &self,
        (kind, held, person): (CodeKind, Held, Option<PersonId>),
        made_by: Option<PersonId>,
        expires_at: EventMs,
    ) -> Result<String, WorkshopError> {
        let token = codes::token()?;
        let new = NewCode {
            kind,
            hash: codes::hash(kind.as_str(), self.region, &token),
            held,
            person,
            made_by,
            expires_at: Some(expires_at),
            uses: Some(1),
        };
        let ids = &mut IdSource::Os;
        self.store
            .add_code(self.region, &new, ids, self.now)
            .await?;
        Ok(token)
    }

    /// The link's token for the first coordinator, when there is none; the one before works no more.
    ///
    /// # Errors
    /// [`WorkshopError::Store`].
    pub async fn set_up(&self) -> Result<Option<String>, WorkshopError> {
        if self.has_coordinator().await? {
            return Ok(None);
        }
        let held = Held::new(RoleKind::Coordinator, "");
        let ends = EventMs(self.now.0 + SHORT_HOURS * HOUR_MS);
        let token = self
            .link((CodeKind::Invite, held, None), None, ends)
            .await?;
        Ok(Some(token))
    }

    /// What a link is for, if it works. Wrong ones are counted.
    ///
    /// # Errors
    /// [`PeopleError::TooMany`], [`Problem::NoCode`].
    pub async fn link_for(
        &self,
        kind: CodeKind,
        token: &str,
        from: &str,
    ) -> Result<StoredCode, PeopleError> {
        let counted = self.count(Door::Link, None, from).await?;
        let hash = codes::hash(kind.as_str(), self.region, token);
        let found = self.store.code(self.region, kind, &hash).await?;
        let found = found.filter(|code| code.works(self.now));
        let found = found.ok_or(Problem::NoCode)?;
        self.forgive(&counted).await?;
        Ok(found)
    }

    /// Somebody new takes up an invitation. Takes tens of milliseconds of a core.
    ///
    /// # Errors
    /// [`PeopleError::TooMany`], [`Problem::NoCode`], and all that is wrong with what was typed.
    pub async fn accept(
        &self,
        token: &str,
        typed: &NewAdult<'_>,
        from: &str,
    ) -> Result<NewToken, PeopleError> {
        self.link_for(CodeKind::Invite, token, from).await?;
        let (shown, email) = (name(typed.name, false), address(typed.email));
        let wrong: Vec<Problem> = [
            shown.as_ref().err().copied(),
            (!is_address(&email)).then_some(Problem::EmailBad),
            passwords::fit(typed.password, &email).err(),
        ]
        .into_iter()
        .flatten()
        .collect();
        let Ok(shown) = shown else {
            return Err(PeopleError::Typed(wrong));
        };
        if !wrong.is_empty() {
            return Err(PeopleError::Typed(wrong));
        }
        let new = NewPerson {
            kind: PersonKind::Adult,
            name: shown,
            email: Some(email),
            secret: Some(passwords::hashed(typed.password)?),
        };
        let (id, held) = self.taken(token, Taker::New(new)).await?;
        self.open((id, PersonKind::Adult), held, Proof::Held).await
    }

    /// Somebody who is signed in takes up an invitation: one more role, worn at once.
    ///
    /// # Errors
    /// As [`People::accept`]; [`WorkshopError::NotAllowed`] for a student.
    pub async fn accept_as(
        &self,
        token: &str,
        signed: &Signed,
        from: &str,
    ) -> Result<Held, PeopleError> {
        if signed.person.kind != PersonKind::Adult {
            return Err(WorkshopError::NotAllowed { who: "adults" }.into());
        }
        self.link_for(CodeKind::Invite, token, from).await?;
        let (_, held) = self.taken(token, Taker::Known(signed.person.id)).await?;
        self.wear(signed, &held).await?;
        Ok(held)
    }

    async fn taken(&self, token: &str, taker: Taker) -> Result<(PersonId, Held), PeopleError> {
        let hash = codes::hash("invite", self.region, token);
        let which = (CodeKind::Invite, hash.as_str());
        let ids = &mut IdSource::Os;
        let taken = self
            .store
            .take_code(self.region, which, &taker, ids, self.now);
        taken.await.map_err(as_typed)
    }

    /// A one-time link's token by which an adult chooses another password.
    ///
    /// # Errors
    /// [`WorkshopError::NotAllowed`]; [`WorkshopError::NotYours`] for anybody without a password.
    pub async fn reset_link(
        &self,
        actor: &Actor,
        id: PersonId,
    ) -> Result<(Person, String), WorkshopError> {
        let (person, roles) = self.somebody(actor, id).await?;
        self.may_change(actor, id, &roles).await?;
        let held = roles.into_iter().next_back();
        let (Some(held), true) = (held, person.email.is_some()) else {
            return Err(WorkshopError::NotYours);
        };
        let ends = EventMs(self.now.0 + SHORT_HOURS * HOUR_MS);
        let new = (CodeKind::Reset, held, Some(id));
        let token = self.link(new, actor.person(), ends).await?;
        Ok((person, token))
    }

    /// Somebody chooses another password by a link, and is signed out everywhere.
    ///
    /// # Errors
    /// [`PeopleError::TooMany`], [`Problem::NoCode`], those of [`passwords::fit`].
    pub async fn reset(&self, token: &str, password: &str, from: &str) -> Result<(), PeopleError> {
        let link = self.link_for(CodeKind::Reset, token, from).await?;
        let person = match link.person {
            Some(id) => self.store.person(self.region, id).await?,
            None => None,
        };
        let email = person.and_then(|person| person.email);
        passwords::fit(password, &email.unwrap_or_default())?;
        let secret = passwords::hashed(password)?;
        let hash = codes::hash("reset", self.region, token);
        let taken = self
            .store
            .take_reset(self.region, (&hash, &secret), &mut IdSource::Os, self.now)
            .await;
        let id = taken.map_err(as_typed)?;
        self.store
            .end_sign_ins(self.region, id, None, self.now)
            .await?;
        Ok(())
    }

    /// Everybody in the region, for its coordinator: adults by name, students by number only.
    ///
    /// # Errors
    /// [`WorkshopError::NotAllowed`], [`WorkshopError::Store`].
    pub async fn everybody(&self, actor: &Actor) -> Result<RegionPeople, WorkshopError> {
        actor.must_coordinate()?;
        let people = self.store.people(self.region).await?;
        let teams = self.file().teams.iter().map(|team| {
            let held = Held::new(RoleKind::Student, &team.name);
            let students = people.iter().filter(|(_, roles)| roles.contains(&held));
            (team.name.clone(), students.count())
        });
        let teams = teams.collect();
        let adults = people.into_iter();
        let adults = adults.filter(|(person, _)| person.kind == PersonKind::Adult);
        let mut invitations = self.store.codes(self.region, CodeKind::Invite).await?;
        invitations.retain(|code| code.works(self.now));
        Ok(RegionPeople {
            adults: adults.collect(),
            teams,
            invitations,
            left: self.store.people_left(self.region).await?,
            standing: self.store.standing_in(self.region).await?,
        })
    }

    /// Somebody with what they hold, for the coordinator.
    ///
    /// # Errors
    /// [`WorkshopError::NotAllowed`]; [`WorkshopError::NotYours`] for nobody who is there.
    pub async fn somebody(
        &self,
        actor: &Actor,
        id: PersonId,
    ) -> Result<(Person, Vec<Held>), WorkshopError> {
        actor.must_coordinate()?;
        let person = self.store.person(self.region, id).await?;
        let person = person.filter(|person| person.left_at.is_none());
        let person = person.ok_or(WorkshopError::NotYours)?;
        let roles = self.roles_of(&person).await?;
        Ok((person, roles))
    }

    /// Stops an invitation.
    ///
    /// # Errors
    /// [`WorkshopError::NotAllowed`]; [`WorkshopError::NotYours`] for one that is not there.
    pub async fn stop_invitation(&self, actor: &Actor, id: CodeId) -> Result<(), WorkshopError> {
        actor.must_coordinate()?;
        let code = self.store.code_by_id(self.region, id).await?;
        let code = code.filter(|code| code.kind == CodeKind::Invite);
        let code = code.ok_or(WorkshopError::NotYours)?;
        if code.held.kind == RoleKind::Coordinator {
            self.must_stay(actor).await?;
        }
        Ok(self.store.stop_code(self.region, id, self.now).await?)
    }

    /// Takes a role away from somebody.
    ///
    /// # Errors
    /// [`Problem::LastCoordinator`]; [`WorkshopError::NotAllowed`]; [`WorkshopError::NotYours`] for
    /// a role that is not held.
    pub async fn end_role(
        &self,
        actor: &Actor,
        id: PersonId,
        held: &Held,
    ) -> Result<(), PeopleError> {
        let (_, roles) = self.somebody(actor, id).await?;
        if !roles.contains(held) {
            return Err(WorkshopError::NotYours.into());
        }
        self.may_change(actor, id, std::slice::from_ref(held))
            .await?;
        let deed = self.deed(actor);
        let ids = &mut IdSource::Os;
        self.store
            .end_role(self.region, (id, held), &deed, ids)
            .await?;
        Ok(())
    }

    /// A role as a form has it: `mentor:Newt Works`, `coordinator`.
    #[must_use]
    pub fn role_of(&self, text: &str) -> Option<Role> {
        let (kind, scope) = text.split_once(':').unwrap_or((text, ""));
        let held = Held::new(kind.parse().ok()?, scope);
        self.exists(&held).then(|| Role::of(&held))
    }
}

/// Whether it can be an e-mail address: something, `@`, something with a dot; RFC 5321 allows 254
/// characters (4.5.3.1, less its brackets). Only a letter sent there would tell more.
fn is_address(text: &str) -> bool {
    let plain = text.len() <= 254 && !text.contains(|c: char| c.is_whitespace() || c.is_control());
    let parts = text.split_once('@');
    plain
        && parts.is_some_and(|(who, at)| {
            !who.is_empty()
                && !at.contains('@')
                && at.split('.').count() > 1
                && at.split('.').all(|label| !label.is_empty())
        })
}

#[cfg(test)]
mod tests {
    use super::is_address;

    #[test]
    fn an_address_has_somebody_at_some_host() {
        for good in ["wren@example.org", "a.b+c@x.y.example"] {
            assert!(is_address(good), "{good}");
        }
        for bad in [
            "wren",
            "@example.org",
            "a@b",
            "a@b.",
            "a@@b.c",
            "a b@c.d",
            "a@b..c",
            "",
        ] {
            assert!(!is_address(bad), "{bad}");
        }
        assert!(!is_address(&format!("{}@example.org", "x".repeat(250))));
    }
}
