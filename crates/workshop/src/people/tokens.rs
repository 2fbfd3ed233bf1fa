//! Tokens: a program asks in somebody's name, in one of their roles, until a day that they chose.

use partpledge_records::{Held, NewToken, Person, PersonKind, StoreError, StoredToken, TokenKind};
use partpledge_units::ids::{IdSource, TokenId};
use partpledge_units::time::EventMs;

use super::tries::Door;
use super::{MOST_NAME, People, PeopleError, Problem, Signed, codes};
use crate::actor::{Actor, Role};
use crate::error::WorkshopError;

const MINUTE_MS: i64 = 60_000;
const DAY_MS: i64 = 24 * 60 * MINUTE_MS;

/// Days that a token may last at most: a season. Common practice, no source.
pub const MOST_DAYS: i64 = 366;
/// The same for a student's, which outlives the school's shared laptop. Common practice, no source.
pub const MOST_STUDENT_DAYS: i64 = 30;
/// Tokens that one person may have at a time.
pub const MOST_TOKENS: usize = 20;

/// What every token begins with, so that people and scanners of files know one when they see it.
const MARK: &str = "pp_";

/// A program that asks in somebody's name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bearer {
    /// Whose name.
    pub person: Person,
    /// By which token.
    pub token: StoredToken,
}

impl Bearer {
    /// Who acts: the person in the token's role, whatever they wear in a browser.
    #[must_use]
    pub fn actor(&self) -> Actor {
        Actor::person_as(self.person.id, Role::of(&self.token.held))
    }
}

impl People<'_> {
    /// Makes a token for one of one's own roles; its text is shown this once.
    ///
    /// # Errors
    /// [`Problem::NameMissing`], [`Problem::NameLong`]; [`Problem::RoleBad`] for a role that is not
    /// held; [`Problem::TokenDays`], [`Problem::TokensMany`]; [`WorkshopError::NotAllowed`] when the
    /// sign-in has ended meanwhile.
    pub async fn make_token(
        &self,
        signed: &Signed,
        (kind, held): (TokenKind, &Held),
        (name, days): (&str, i64),
    ) -> Result<String, PeopleError> {
        let name = super::name(name, false)?;
        debug_assert!(name.chars().count() <= MOST_NAME);
        let most = match signed.person.kind {
            PersonKind::Adult => MOST_DAYS,
            PersonKind::Student => MOST_STUDENT_DAYS,
        };
        if !(1..=most).contains(&days) {
            return Err(Problem::TokenDays.into());
        }
        if !self.roles_of(&signed.person).await?.contains(held) {
            return Err(Problem::RoleBad.into());
        }
        if self.tokens(signed).await?.len() >= MOST_TOKENS {
            return Err(Problem::TokensMany.into());
        }
        let text = format!("{MARK}{}", codes::token()?);
        let new = NewToken {
            kind,
            hash: codes::hash("token", self.region, &text),
            person: signed.person.id,
            held: held.clone(),
            name,
            ends_at: EventMs(self.now.0 + days * DAY_MS),
            made_in: signed.sign_in.id,
        };
        let ids = &mut IdSource::Os;
        let deed = self.deed(&signed.actor());
        let written = self.store.add_token(self.region, &new, &deed, ids);
        match written.await {
            // Signed out everywhere since the page was asked for.
            Err(StoreError::NoSuch { .. }) => {
                let who = "people who are signed in";
                Err(WorkshopError::NotAllowed { who }.into())
            }
            other => {
                other?;
                Ok(text)
            }
        }
    }

    /// One's own tokens that work, the youngest first.
    ///
    /// # Errors
    /// [`WorkshopError::Store`].
    pub async fn tokens(&self, signed: &Signed) -> Result<Vec<StoredToken>, WorkshopError> {
        let all = self.store.tokens_of(self.region, signed.person.id).await?;
        let works = |token: &StoredToken| token.works(self.now);
        Ok(all.into_iter().filter(works).collect())
    }

    /// Stops one of one's own tokens.
    ///
    /// # Errors
    /// [`WorkshopError::NotYours`] for one that is not.
    pub async fn stop_token(&self, signed: &Signed, id: TokenId) -> Result<(), WorkshopError> {
        let which = (signed.person.id, id);
        match self.store.stop_token(self.region, which, self.now).await {
            Err(StoreError::NoSuch { .. }) => Err(WorkshopError::NotYours),
            other => Ok(other?),
        }
    }

    /// Who asks by a token of that kind, if it works. Noted as used, once a minute at most. Tokens
    /// that are none are counted for the address that they come from; those that work never are.
    ///
    /// # Errors
    /// [`Problem::NoCode`] for a token that does not work; [`PeopleError::TooMany`] after many.
    pub async fn bearer(
        &self,
        (kind, text): (TokenKind, &str),
        from: &str,
    ) -> Result<Bearer, PeopleError> {
        let found = match text.strip_prefix(MARK) {
            Some(rest) if rest.len() == 64 => {
                let hash = codes::hash("token", self.region, text);
                self.store.token(self.region, &hash, self.now).await?
            }
            _ => None,
        };
        let works = |(_, token): &(Person, StoredToken)| {
            token.kind == kind && token.works(self.now) && self.exists(&token.held)
        };
        let Some((person, token)) = found.filter(works) else {
            self.count(Door::Token, None, from).await?;
            return Err(Problem::NoCode.into());
        };
        let seen = token.seen_at.map_or(i64::MIN, |at| at.0);
        if self.now.0.saturating_sub(seen) >= MINUTE_MS {
            self.store
                .token_seen(self.region, token.id, self.now)
                .await?;
        }
        Ok(Bearer { person, token })
    }
}
