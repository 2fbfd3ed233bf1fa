//! Passkeys of adults: another way in beside the password, with nothing to type and nothing that could be
//! given away on a false page.

mod ceremony;

use partpledge_records::{NewChallenge, NewPasskey, Passkey, PersonKind, Proof, StoreError};
use partpledge_units::ids::{IdSource, PasskeyId, SignInId};
use partpledge_units::time::EventMs;

use super::signing_in::NewToken;
use super::tries::Door;
use super::{People, PeopleError, Problem, Signed};
use crate::error::WorkshopError;
use ceremony::{Begun, Brought, Refused, Shown};

pub use ceremony::Here;

/// How long a browser has to answer, ms: as long as devices are told to wait (Web Authentication Level 3,
/// 15.1, recommends 5 minutes).
const ANSWER_MS: i64 = 5 * 60_000;
/// Passkeys that one person may have at a time.
pub const MOST_PASSKEYS: usize = 10;

/// What can't be asked is our mistake.
fn broke_off(_: Refused) -> PeopleError {
    WorkshopError::BrokeOff.into()
}

/// One and the same is said of all that is not in order with a passkey that is shown.
fn no_passkey(_: Refused) -> PeopleError {
    Problem::NoPasskey.into()
}

impl People<'_> {
    /// One's own passkeys, the oldest first.
    ///
    /// # Errors
    /// [`WorkshopError::Store`].
    pub async fn passkeys(&self, signed: &Signed) -> Result<Vec<Passkey>, WorkshopError> {
        let whose = signed.person.id;
        Ok(self.store.passkeys_of(self.region, whose).await?)
    }

    /// What a browser is to be asked so that a passkey is made, as JSON: for an adult who gives their
    /// password once more. Takes tens of milliseconds of a core.
    ///
    /// # Errors
    /// [`Problem::NameMissing`], [`Problem::NameLong`], [`Problem::PasskeysMany`]; those of
    /// [`People::confirm`]; [`Problem::PasswordWrong`] also for somebody invented, who has none.
    pub async fn ask_for_passkey(
        &self,
        signed: &Signed,
        (here, name, password): (&Here, &str, &str),
        from: &str,
    ) -> Result<String, PeopleError> {
        super::name(name, false)?;
        let person = &signed.person;
        self.confirm(signed, password, from).await?;
        if person.email.is_none() {
            return Err(Problem::PasswordWrong.into());
        }
        let known = self.passkeys(signed).await?;
        if known.len() >= MOST_PASSKEYS {
            return Err(Problem::PasskeysMany.into());
        }
        let begun = ceremony::ask_to_add(here, person, &known).map_err(broke_off)?;
        self.keep(begun, Some(signed.sign_in.id)).await
    }

    async fn keep(&self, begun: Begun, sign_in: Option<SignInId>) -> Result<String, PeopleError> {
        let new = NewChallenge {
            challenge: begun.challenge,
            sign_in,
            state: begun.state,
            expires_at: EventMs(self.now.0 + ANSWER_MS),
        };
        self.store
            .add_challenge(self.region, &new, self.now)
            .await?;
        Ok(begun.options)
    }

    /// Keeps the passkey that a browser has made, if it was asked for in this sign-in.
    ///
    /// # Errors
    /// [`Problem::NameMissing`], [`Problem::NameLong`], [`Problem::PasskeysMany`];
    /// [`Problem::PasskeyNotKept`] for all that is wrong with it; [`WorkshopError::NotAllowed`] for a
    /// student.
    pub async fn add_passkey(
        &self,
        signed: &Signed,
        (here, name, answer): (&Here, &str, &str),
    ) -> Result<(), PeopleError> {
        if signed.person.kind != PersonKind::Adult {
            let who = "people with a password";
            return Err(WorkshopError::NotAllowed { who }.into());
        }
        let name = super::name(name, false)?;
        let not_kept = |_: Refused| PeopleError::from(Problem::PasskeyNotKept);
        let brought = Brought::read(answer).map_err(not_kept)?;
        let challenge = brought.challenge().map_err(not_kept)?;
        let which = (challenge.as_str(), Some(signed.sign_in.id));
        let state = self.store.take_challenge(self.region, which, self.now);
        let state = state.await?.ok_or(Problem::PasskeyNotKept)?;
        let made = brought.made(here, &state).map_err(not_kept)?;
        if self.passkeys(signed).await?.len() >= MOST_PASSKEYS {
            return Err(Problem::PasskeysMany.into());
        }
        let new = NewPasskey {
            person: signed.person.id,
            made_in: signed.sign_in.id,
            credential: made.credential,
            public_key: made.public_key,
            counter: made.counter,
            backup: made.backup,
            name,
        };
        let ids = &mut IdSource::Os;
        let deed = self.deed(&signed.actor());
        let written = self.store.add_passkey(self.region, &new, &deed, ids);
        match written.await {
            // Known already, or signed out everywhere since the page was asked for.
            Err(StoreError::Taken { .. } | StoreError::NoSuch { .. }) => {
                Err(Problem::PasskeyNotKept.into())
            }
            other => Ok(other.map(|_| ())?),
        }
    }

    /// Removes one of one's own passkeys.
    ///
    /// # Errors
    /// [`WorkshopError::NotYours`] for one that is not.
    pub async fn remove_passkey(
        &self,
        signed: &Signed,
        id: PasskeyId,
    ) -> Result<(), WorkshopError> {
        let which = (signed.person.id, id);
        let (deed, ids) = (self.deed(&signed.actor()), &mut IdSource::Os);
        let removed = self.store.remove_passkey(self.region, which, &deed, ids);
        match removed.await {
            Err(StoreError::NoSuch { .. }) => Err(WorkshopError::NotYours),
            other => Ok(other?),
        }
    }

    /// What a browser is to be asked so that somebody signs in by a passkey, as JSON. Counted until they
    /// have, so that nobody has us keep challenges without end.
    ///
    /// # Errors
    /// [`PeopleError::TooMany`].
    pub async fn ask_to_sign_in(&self, here: &Here, from: &str) -> Result<String, PeopleError> {
        self.count(Door::PasskeyAsked, None, from).await?;
        let begun = ceremony::ask_to_sign_in(here).map_err(broke_off)?;
        self.keep(begun, None).await
    }

    /// An adult signs in by a passkey.
    ///
    /// # Errors
    /// [`PeopleError::TooMany`]; [`Problem::NoPasskey`] for all that is wrong with it, as for one that is not
    /// known; [`Problem::NoRole`].
    pub async fn sign_in_by_passkey(
        &self,
        (here, answer): (&Here, &str),
        from: &str,
    ) -> Result<NewToken, PeopleError> {
        let shown = Shown::read(answer);
        let known = match &shown {
            Ok(shown) => {
                let credential = shown.credential();
                self.store.passkey(self.region, &credential).await?
            }
            Err(_) => None,
        };
        let whose = known.as_ref().map(|(person, _)| person.id.to_string());
        let counted = self.count(Door::Passkey, whose.as_deref(), from).await?;
        let shown = shown.map_err(no_passkey)?;
        let challenge = shown.challenge().map_err(no_passkey)?;
        let which = (challenge.as_str(), None);
        let state = self.store.take_challenge(self.region, which, self.now);
        let state = state.await?.ok_or(Problem::NoPasskey)?;
        let (person, passkey) = known.ok_or(Problem::NoPasskey)?;
        let verified = shown.is(here, &state, (&person, &passkey));
        let (counter, backup) = verified.map_err(no_passkey)?;
        let proof = Proof::Passkey {
            id: passkey.id,
            counter,
            backup,
        };
        let token = self.open_any(&person, proof).await?;
        self.forgive(&counted).await?;
        self.forgive_asked(from).await?;
        Ok(token)
    }
}
