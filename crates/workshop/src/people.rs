//! People: who signs in, by what, for how long; who may bring whom in; how they leave.
//!
//! Nearly all of them are minors. Of a student we keep a nickname and a code's hash, nothing else.
//! Everything personal is in the store's tables of people; the rest of the house knows an id.

pub mod codes;
pub mod inviting;
pub mod joining;
pub mod leaving;
pub mod passkeys;
pub mod passwords;
pub mod signing_in;
pub mod speaking;
pub mod standing;
pub mod tokens;
pub mod tries;

use partpledge_catalogue::RegionFile;
use partpledge_records::{Deed, Held, Person, RoleKind, SignIn, Store, StoreError};
use partpledge_units::ids::{PersonId, RegionId};
use partpledge_units::time::EventMs;
use partpledge_words::say;

use crate::actor::{Actor, Role};
use crate::error::WorkshopError;
use crate::session::Session;
use crate::terrain::Terrain;

/// The people of a region, at one moment.
#[derive(Clone, Copy, Debug)]
pub struct People<'a> {
    store: &'a Store,
    region: RegionId,
    terrain: &'a Terrain,
    now: EventMs,
}

/// Somebody who is signed in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Signed {
    /// Who.
    pub person: Person,
    /// Where, and which role is worn there.
    pub sign_in: SignIn,
}

impl Signed {
    /// Who acts.
    #[must_use]
    pub fn actor(&self) -> Actor {
        Actor::person_as(self.person.id, Role::of(&self.sign_in.held))
    }
}

/// Who asks for a page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asked {
    /// Somebody who sits there: they stay signed in.
    BySomebody,
    /// A page that lies open and keeps itself up to date: nobody may sit there any more.
    ByThePage,
}

/// What is wrong with what somebody typed. Words and fields are the page's.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Problem {
    /// No name, or nickname.
    NameMissing,
    /// Longer than [`MOST_NAME`].
    NameLong,
    /// It looks like an e-mail address or a telephone number.
    NamePersonal,
    /// It says a role, as if the student held it, or is the name of who tries the demo.
    NameOfRole,
    /// Another student of the team has that nickname.
    NicknameTaken,
    /// Not an e-mail address.
    EmailBad,
    /// Somebody signs in with that address already.
    EmailTaken,
    /// Shorter than [`passwords::LEAST`].
    PasswordShort,
    /// Longer than [`passwords::MOST`].
    PasswordLong,
    /// Among those that are tried first.
    PasswordCommon,
    /// The present password is another one.
    PasswordWrong,
    /// No such address, or another password: which of the two is not said.
    NoMatch,
    /// There is no such code, or it does not work any more: which of the two is not said.
    NoCode,
    /// They hold no role any more.
    NoRole,
    /// A role that can't be given that way, or at a team or host that is not there.
    RoleBad,
    /// The region would have no coordinator left.
    LastCoordinator,
    /// No day, a day that is over, or one further away than [`standing::MOST_DAYS`].
    StandInDay,
    /// Somebody who can't stand in: a student, or a coordinator.
    StandInWho,
    /// Days that a token lasts, out of range.
    TokenDays,
    /// More tokens than [`tokens::MOST_TOKENS`].
    TokensMany,
    /// More passkeys than [`passkeys::MOST_PASSKEYS`].
    PasskeysMany,
    /// A passkey that was made was not what was asked for, or came too late.
    PasskeyNotKept,
    /// A passkey that is not known, or did not prove what it had to: which is not said.
    NoPasskey,
    /// The server is asked for by an address at which there are no passkeys.
    NoPasskeysHere,
}

/// Longest name, in letters.
pub const MOST_NAME: usize = 40;

/// Why something about people could not be done.
#[derive(Debug, thiserror::Error)]
pub enum PeopleError {
    /// What was typed is not in order.
    #[error("{}", say!("people-not-in-order", problems = format!("{:?}", .0)))]
    Typed(Vec<Problem>),
    /// Too many tries; from then on it can be tried again.
    #[error("{}", say!("people-too-many-tries"))]
    TooMany {
        /// When the count begins anew.
        again_at: EventMs,
    },
    /// Not allowed, or the store failed.
    #[error(transparent)]
    Failed(#[from] WorkshopError),
}

impl From<StoreError> for PeopleError {
    fn from(error: StoreError) -> Self {
        match error {
            StoreError::LastCoordinator => Problem::LastCoordinator.into(),
            other => Self::Failed(other.into()),
        }
    }
}

impl From<Problem> for PeopleError {
    fn from(problem: Problem) -> Self {
        Self::Typed(vec![problem])
    }
}

/// A store's refusal that is somebody's typing, as that.
fn as_typed(error: StoreError) -> PeopleError {
    match error {
        StoreError::Taken { what: "email" } => Problem::EmailTaken.into(),
        StoreError::Taken { .. } => Problem::NicknameTaken.into(),
        StoreError::NoSuch { what: "code", .. } => Problem::NoCode.into(),
        other => other.into(),
    }
}

impl Session {
    /// The people of the region, at another moment than the session's perhaps.
    ///
    /// # Errors
    /// [`WorkshopError::OutOfRange`] for a session without a store.
    pub fn people(&self, now: EventMs) -> Result<People<'_>, WorkshopError> {
        let (store, region) = self.writable()?;
        let terrain = &self.terrain;
        Ok(People {
            store,
            region,
            terrain,
            now,
        })
    }
}

impl People<'_> {
    fn file(&self) -> &RegionFile {
        &self.terrain.file
    }

    fn deed(&self, actor: &Actor) -> Deed {
        Deed {
            actor: actor.reference(),
            occurred_at: self.now,
            received_at: self.now,
            idempotency_key: None,
        }
    }

    /// Whether there is a team or host for a role.
    #[must_use]
    pub fn exists(&self, held: &Held) -> bool {
        let file = self.file();
        match held.kind {
            RoleKind::Student | RoleKind::Mentor => {
                file.teams.iter().any(|team| team.name == held.scope)
            }
            RoleKind::Operator => file.hosts.iter().any(|host| host.school == held.scope),
            RoleKind::Coordinator => held.scope.is_empty(),
        }
    }

    /// Whether somebody keeps the region running.
    ///
    /// # Errors
    /// [`WorkshopError::Store`].
    pub async fn has_coordinator(&self) -> Result<bool, WorkshopError> {
        let kind = RoleKind::Coordinator;
        Ok(self.store.holders(self.region, kind).await? > 0)
    }

    /// What somebody holds by now.
    ///
    /// # Errors
    /// [`WorkshopError::Store`].
    pub async fn roles_of(&self, person: &Person) -> Result<Vec<Held>, WorkshopError> {
        let mut roles = self.store.roles_of(self.region, person.id).await?;
        let standing = self.store.standing_in(self.region).await?;
        let over = |(id, until): &(PersonId, EventMs)| *id == person.id && *until <= self.now;
        if standing.iter().any(over) {
            roles.retain(|held| held.kind != RoleKind::Coordinator);
        }
        Ok(roles)
    }
}

/// A name as typed, trimmed, or what is wrong with it. Nicknames are looked at for what must not
/// be in them as far as a program can: `@`, and six figures in a row.
fn name(typed: &str, nickname: bool) -> Result<String, Problem> {
    let words: Vec<&str> = typed.split_whitespace().collect();
    let name = words.join(" ");
    let shown = |c: char| !c.is_control();
    if name.is_empty() || !name.chars().all(shown) {
        return Err(Problem::NameMissing);
    }
    if name.chars().count() > MOST_NAME {
        return Err(Problem::NameLong);
    }
    if nickname && says_a_role(&name) {
        return Err(Problem::NameOfRole);
    }
    let figures = name.chars().filter(char::is_ascii_digit).count();
    if nickname && (name.contains('@') || figures >= 6) {
        return Err(Problem::NamePersonal);
    }
    Ok(name)
}

/// A nickname for somebody of a bench's crew, as typed.
pub(crate) fn crew_name(typed: &str) -> Result<String, PeopleError> {
    Ok(name(typed, true)?)
}

/// Whether a nickname is a word for somebody with more say, or that of whoever tries the demo:
/// [`People::try_as`] finds its invented people by that name. Of names of real people a program
/// knows nothing; the mentor sees those.
fn says_a_role(name: &str) -> bool {
    const ROLES: [&str; 9] = [
        "coordinator",
        "mentor",
        "operator",
        "koordination",
        "teambegleitung",
        "druckdienst",
        "admin",
        "partpledge",
        "tryout",
    ];
    let letters = name.chars().filter(|c| c.is_alphabetic());
    let letters: String = letters.flat_map(char::to_lowercase).collect();
    let bare = ["the", "die", "der"].iter();
    let mut bare = bare.filter_map(|article| letters.strip_prefix(article));
    ROLES.contains(&letters.as_str()) || bare.any(|rest| ROLES.contains(&rest))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_nickname_is_not_a_role_and_not_who_tries_the_demo() {
        for bad in [
            "Coordinator",
            "the  mentor",
            "Koordination",
            "die Team-Begleitung",
            "Druckdienst 2",
            "der Druckdienst",
            "Try-out",
            "try out",
            "Admin 2",
            signing_in::INVENTED,
        ] {
            assert_eq!(name(bad, true), Err(Problem::NameOfRole), "{bad}");
        }
        assert!(name("Mentorship", true).is_ok());
        assert!(
            name("Try-out", false).is_ok(),
            "an adult has an address beside it"
        );
    }

    #[test]
    fn a_name_is_trimmed_and_a_nickname_holds_no_address_and_no_number() {
        assert_eq!(
            name("  Little   Grebe ", true),
            Ok("Little Grebe".to_owned())
        );
        assert_eq!(name(" \t", true), Err(Problem::NameMissing));
        assert_eq!(name("a\u{0}b", true), Err(Problem::NameMissing));
        assert_eq!(name(&"x".repeat(41), false), Err(Problem::NameLong));
        assert_eq!(name("otter@example.org", true), Err(Problem::NamePersonal));
        assert_eq!(name("call 0701 23 45", true), Err(Problem::NamePersonal));
        assert_eq!(name("Otter 12345", true), Ok("Otter 12345".to_owned()));
    }
}
