//! Signing in and out: sessions of adults and students.

use partpledge_records::{
    Held, NewSignIn, Person, PersonKind, Proof, RoleKind, SignIn, StoreError,
};
use partpledge_units::ids::{IdSource, PersonId, SignInId};
use partpledge_units::time::EventMs;

use super::tries::Door;
use super::{Asked, People, PeopleError, Problem, Signed, codes, passwords};
use crate::actor::Role;
use crate::error::WorkshopError;

const MINUTE_MS: i64 = 60_000;
const HOUR_MS: i64 = 60 * MINUTE_MS;

/// How long a sign-in lasts without a page being asked for, and at most, ms. Common practice, no
/// source; NIST SP 800-63B (4.1.3) allows 30 days at its lowest level.
fn lasts(kind: PersonKind) -> (i64, i64) {
    match kind {
        PersonKind::Adult => (12 * HOUR_MS, 7 * 24 * HOUR_MS),
        // Laptops at school are shared: a lesson, and a school day.
        PersonKind::Student => (45 * MINUTE_MS, 8 * HOUR_MS),
    }
}

/// What a cookie holds, and for whom.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewToken {
    /// The secret; kept nowhere but in the browser.
    pub token: String,
    /// The role that is worn first.
    pub held: Held,
    /// Grown up or student.
    pub kind: PersonKind,
    /// Seconds until it ends, whatever happens.
    pub lasts_s: i64,
}

/// An e-mail address as it is kept and looked for.
pub(super) fn address(typed: &str) -> String {
    typed.trim().to_lowercase()
}

impl People<'_> {
    /// Opens a sign-in for somebody in a role, if that by which they came in still holds when it is
    /// written down.
    ///
    /// # Errors
    /// [`Problem::NoMatch`], [`Problem::NoCode`] and [`Problem::NoPasskey`] when it was changed meanwhile.
    pub(super) async fn open(
        &self,
        (person, kind): (PersonId, PersonKind),
        held: Held,
        proof: Proof,
    ) -> Result<NewToken, PeopleError> {
        let token = codes::token()?;
        let (_, most) = lasts(kind);
        let new = NewSignIn {
            token_hash: codes::hash("sign-in", self.region, &token),
            person,
            held: held.clone(),
            ends_at: EventMs(self.now.0 + most),
            proof,
        };
        let ids = &mut IdSource::Os;
        let written = self.store.add_sign_in(self.region, &new, ids, self.now);
        match written.await {
            Err(StoreError::NoSuch { .. }) => {
                let changed = match new.proof {
                    Proof::Code(_) => Problem::NoCode,
                    Proof::Passkey { .. } => Problem::NoPasskey,
                    Proof::Held | Proof::Secret(_) => Problem::NoMatch,
                };
                return Err(changed.into());
            }
            other => other?,
        };
        Ok(NewToken {
            token,
            held,
            kind,
            lasts_s: most / 1_000,
        })
    }

    /// Opens a sign-in with the highest role that somebody holds.
    pub(super) async fn open_any(
        &self,
        person: &Person,
        proof: Proof,
    ) -> Result<NewToken, PeopleError> {
        let roles = self.roles_of(person).await?;
        let first = roles.into_iter().max_by_key(|held| held.kind);
        let held = first.ok_or(Problem::NoRole)?;
        self.open((person.id, person.kind), held, proof).await
    }

    /// An adult signs in. For an address that nobody has, the same work is done and the same said.
    /// Takes tens of milliseconds of a core.
    ///
    /// # Errors
    /// [`PeopleError::TooMany`], [`Problem::NoMatch`], [`Problem::NoRole`].
    pub async fn sign_in(
        &self,
        (email, password): (&str, &str),
        from: &str,
    ) -> Result<NewToken, PeopleError> {
        let email = address(email);
        let counted = self.count(Door::SignIn, Some(&email), from).await?;
        let person = self.store.person_by_email(self.region, &email).await?;
        let secret = person.as_ref().and_then(|person| person.secret.as_deref());
        let right = passwords::is(password, secret)?;
        let person = person.filter(|_| right).ok_or(Problem::NoMatch)?;
        self.forgive(&counted).await?;
        // The password may be changed between here and there, and all signed out.
        let proof = person.secret.clone().map_or(Proof::Held, Proof::Secret);
        self.open_any(&person, proof).await
    }

    /// Who a cookie's token stands for, if it is not over. Noted as seen, once a minute at most,
    /// when somebody asked and not the page by itself.
    ///
    /// # Errors
    /// [`WorkshopError::Store`].
    pub async fn signed_in(
        &self,
        token: &str,
        asked: Asked,
    ) -> Result<Option<Signed>, WorkshopError> {
        if token.len() != 64 {
            return Ok(None);
        }
        let hash = codes::hash("sign-in", self.region, token);
        let found = self.store.sign_in(self.region, &hash, self.now).await?;
        let Some((person, sign_in)) = found else {
            return Ok(None);
        };
        let (idle, _) = lasts(person.kind);
        let idle_ends = sign_in.seen_at.0 + idle;
        if self.now.0 >= sign_in.ends_at.0.min(idle_ends) {
            let which = (person.id, sign_in.id);
            // Somebody else may have cleared it away meanwhile, which is as well.
            let _ = self.store.end_sign_in(self.region, which).await;
            return Ok(None);
        }
        let is_news = self.now.0 - sign_in.seen_at.0 >= MINUTE_MS;
        if is_news && asked == Asked::BySomebody {
            self.store.seen(self.region, sign_in.id, self.now).await?;
        }
        // A team or host that is no longer in the region's file gives no rights.
        let there = self.exists(&sign_in.held);
        Ok(there.then_some(Signed { person, sign_in }))
    }

    /// Where somebody is signed in, the last used first.
    ///
    /// # Errors
    /// [`WorkshopError::Store`].
    pub async fn sign_ins(&self, signed: &Signed) -> Result<Vec<SignIn>, WorkshopError> {
        let all = self
            .store
            .sign_ins_of(self.region, signed.person.id)
            .await?;
        let (idle, _) = lasts(signed.person.kind);
        let over = |one: &SignIn| self.now.0 >= one.ends_at.0.min(one.seen_at.0 + idle);
        Ok(all.into_iter().filter(|one| !over(one)).collect())
    }

    /// Signs out one of somebody's own browsers.
    ///
    /// # Errors
    /// [`WorkshopError::NotYours`] for one that is not theirs.
    pub async fn sign_out(&self, signed: &Signed, id: SignInId) -> Result<(), WorkshopError> {
        let which = (signed.person.id, id);
        match self.store.end_sign_in(self.region, which).await {
            Err(StoreError::NoSuch { .. }) => Err(WorkshopError::NotYours),
            other => Ok(other?),
        }
    }

    /// Wears another of one's roles in this browser from now on.
    ///
    /// # Errors
    /// [`WorkshopError::NotYours`] for a role that is not held.
    pub async fn wear(&self, signed: &Signed, held: &Held) -> Result<(), WorkshopError> {
        match self
            .store
            .wear(self.region, (signed.sign_in.id, self.now), held)
            .await
        {
            Err(StoreError::NoSuch { .. }) => Err(WorkshopError::NotYours),
            other => Ok(other?),
        }
    }

    /// Whether it is the adult themselves who asks, and not somebody at a tablet that they have signed
    /// in. Takes tens of milliseconds of a core. Whoever tries the demo has no password, and is
    /// believed.
    ///
    /// # Errors
    /// [`PeopleError::TooMany`]; [`Problem::PasswordWrong`]; [`WorkshopError::NotAllowed`] for a student.
    pub async fn confirm(
        &self,
        signed: &Signed,
        password: &str,
        from: &str,
    ) -> Result<(), PeopleError> {
        let person = &signed.person;
        if person.kind != PersonKind::Adult {
            let who = "people with a password";
            return Err(WorkshopError::NotAllowed { who }.into());
        }
        let Some(email) = person.email.as_deref() else {
            return Ok(());
        };
        let counted = self.count(Door::SignIn, Some(email), from).await?;
        if !passwords::is(password, person.secret.as_deref())? {
            return Err(Problem::PasswordWrong.into());
        }
        Ok(self.forgive(&counted).await?)
    }

    /// An adult chooses another password, and is signed out everywhere else.
    ///
    /// # Errors
    /// [`PeopleError::TooMany`]; [`Problem::PasswordWrong`] and those of [`passwords::fit`];
    /// [`WorkshopError::NotAllowed`] for a student, who has none.
    pub async fn change_password(
        &self,
        signed: &Signed,
        (old, new): (&str, &str),
        from: &str,
    ) -> Result<(), PeopleError> {
        let person = &signed.person;
        if person.kind != PersonKind::Adult {
            let who = "people with a password";
            return Err(WorkshopError::NotAllowed { who }.into());
        }
        // Only somebody invented has none, and no password that could be right.
        let email = person.email.as_deref().unwrap_or_default();
        let counted = self.count(Door::SignIn, Some(email), from).await?;
        if !passwords::is(old, person.secret.as_deref())? {
            return Err(Problem::PasswordWrong.into());
        }
        self.forgive(&counted).await?;
        passwords::fit(new, email)?;
        let hash = passwords::hashed(new)?;
        let (id, here) = (person.id, signed.sign_in.id);
        let (deed, ids) = (self.deed(&signed.actor()), &mut IdSource::Os);
        self.store
            .set_secret(self.region, (id, &hash), &deed, ids)
            .await?;
        self.store
            .end_sign_ins(self.region, id, Some(here), self.now)
            .await?;
        Ok(())
    }

    /// Opens a sign-in of an invented person in a role, made at first need. For the demo region
    /// alone; whoever serves it must see to that.
    ///
    /// # Errors
    /// [`Problem::RoleBad`] for a role that is not there.
    pub async fn try_as(&self, role: &Role) -> Result<NewToken, PeopleError> {
        let held = role.held().filter(|held| self.exists(held));
        let held = held.ok_or(Problem::RoleBad)?;
        let kind = crate::actor::kind_for(held.kind);
        let people = self.store.people(self.region).await?;
        let standing = self.store.standing_in(self.region).await?;
        let stands_in = |id| {
            let coordinates = held.kind == RoleKind::Coordinator;
            coordinates && standing.iter().any(|(one, _)| *one == id)
        };
        let known = people.iter().find(|(person, roles)| {
            let invented = person.name == INVENTED && person.email.is_none();
            invented && roles.contains(&held) && !stands_in(person.id)
        });
        if let Some((person, _)) = known {
            return self.open((person.id, kind), held, Proof::Held).await;
        }
        let new = partpledge_records::NewPerson {
            kind,
            name: INVENTED.to_owned(),
            email: None,
            secret: None,
        };
        let deed = self.deed(&crate::Actor::new(Role::Nobody));
        let made = self
            .store
            .add_person(self.region, (&new, &held), &deed, &mut IdSource::Os)
            .await;
        match made {
            Ok(id) => self.open((id, kind), held, Proof::Held).await,
            // Another browser was faster by a moment.
            Err(StoreError::Taken { .. }) => Box::pin(self.try_as(role)).await,
            Err(error) => Err(error.into()),
        }
    }
}

/// The name of whoever tries the demo.
pub const INVENTED: &str = "Try-out";
