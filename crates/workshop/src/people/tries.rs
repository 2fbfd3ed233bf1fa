//! How often somebody may be wrong: counted for each account and each network address.
//!
//! Windows are fixed, so at worst twice a limit fits into one window's length across its edge.
//! What went well is not counted: a class that joins from one address does not shut itself out.

use partpledge_units::time::EventMs;

use super::codes::{random, sha256};
use super::{People, PeopleError};
use crate::error::WorkshopError;

const HOUR_MS: i64 = 3_600_000;
const DAY_MS: i64 = 24 * HOUR_MS;

/// What is tried.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Door {
    /// E-mail address and password.
    SignIn,
    /// A team's code.
    Join,
    /// A student's own code.
    ComeBack,
    /// A one-time link.
    Link,
    /// A program's token.
    Token,
    /// The code of a box.
    Box,
    /// A passkey that is shown.
    Passkey,
    /// To be asked for a passkey.
    PasskeyAsked,
}

impl Door {
    fn as_str(self) -> &'static str {
        match self {
            Self::SignIn => "sign-in",
            Self::Join => "join",
            Self::ComeBack => "come-back",
            Self::Link => "link",
            Self::Token => "token",
            Self::Box => "box",
            Self::Passkey => "passkey",
            Self::PasskeyAsked => "passkey-asked",
        }
    }
}

/// Wrong tries for one account in an hour, and in a day. NIST SP 800-63B (5.2.2) allows 100 in a
/// row at most; these are our own, well below.
const ACCOUNT: [(i64, i64); 2] = [(10, HOUR_MS), (50, DAY_MS)];

/// Wrong tries from one network address in an hour, for each door; a whole school may stand behind
/// one. There are 22^8 = 5.5e10 join codes; if 60 of them work, guessing 60 an hour finds one after
/// 870 years on average from one address, and after most of a year from a thousand, while a code
/// lasts two weeks (derived here).
const ADDRESS: [(i64, i64); 1] = [(60, HOUR_MS)];

/// What a try was counted in, to take it back when it went well.
#[derive(Clone, Debug)]
pub struct Counted(Vec<(String, i64, EventMs)>);

impl People<'_> {
    /// Counts a try before it is made, so that many at once can't pass the limit together.
    pub(crate) async fn count(
        &self,
        door: Door,
        account: Option<&str>,
        address: &str,
    ) -> Result<Counted, PeopleError> {
        let all = self.buckets(door, account, address).await?;
        match self.store.count_try(self.region, &all, self.now).await? {
            None => Ok(Counted(all)),
            Some(again_at) => Err(PeopleError::TooMany { again_at }),
        }
    }

    async fn buckets(
        &self,
        door: Door,
        account: Option<&str>,
        address: &str,
    ) -> Result<Vec<(String, i64, EventMs)>, WorkshopError> {
        let day = self.now.0.div_euclid(DAY_MS);
        let fresh = u64::from_le_bytes(random::<8>()?);
        let fresh = format!("{fresh:016x}{:016x}", u64::from_le_bytes(random::<8>()?));
        let salt = self.store.daily_salt(self.region, day, &fresh).await?;
        let bucket = |what: &str, of: &str, (limit, window): (i64, i64)| {
            let begun = self.now.0.div_euclid(window);
            let text = format!("{salt} {} {what} {window} {begun} {of}", door.as_str());
            (sha256(&text), limit, EventMs((begun + 1) * window))
        };
        let of_account = account.map(|of| ACCOUNT.map(|limit| bucket("account", of, limit)));
        let of_address = ADDRESS.map(|limit| bucket("address", address, limit));
        let all = of_account.into_iter().flatten().chain(of_address);
        Ok(all.collect())
    }

    /// Who was asked for a passkey from that address has shown one: not counted after all.
    pub(super) async fn forgive_asked(&self, address: &str) -> Result<(), WorkshopError> {
        let all = self.buckets(Door::PasskeyAsked, None, address).await?;
        self.forgive(&Counted(all)).await
    }

    /// It went well: not counted after all.
    pub(crate) async fn forgive(&self, counted: &Counted) -> Result<(), WorkshopError> {
        Ok(self.store.forgive_try(self.region, &counted.0).await?)
    }

    /// Forgets counts and salts of days before.
    pub(super) async fn forget_counts(&self) -> Result<(), WorkshopError> {
        let day = self.now.0.div_euclid(DAY_MS);
        self.store.forget_tries(self.region, self.now, day).await?;
        Ok(())
    }
}
