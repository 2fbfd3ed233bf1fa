//! Tokens by which programs ask in somebody's name. Only a hash of each is kept.

use partpledge_units::ids::{IdSource, PersonId, RegionId, SignInId, TokenId};
use partpledge_units::time::EventMs;

use crate::db::{Row, sql, values};
use crate::error::StoreError;
use crate::events::{Deed, append_deed};
use crate::persons::{Held, PERSON_COLUMNS, Person, parsed, person, said, words};
use crate::regions;
use crate::store::Store;

/// What a token is good for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TokenKind {
    /// Everything that its role may do, over the programme interface.
    Api,
    /// Reading one calendar, by an address that has the token in it.
    Feed,
}

words!(TokenKind: Api = "api", Feed = "feed");

/// A token to be written down.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewToken {
    /// What for.
    pub kind: TokenKind,
    /// Hash of it.
    pub hash: String,
    /// In whose name.
    pub person: PersonId,
    /// In which of their roles.
    pub held: Held,
    /// What its owner calls it.
    pub name: String,
    /// It ends then.
    pub ends_at: EventMs,
    /// The sign-in in which it is made: one that has ended makes none.
    pub made_in: SignInId,
}

/// A token as kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StoredToken {
    /// For the list of them; no secret.
    pub id: TokenId,
    /// What for.
    pub kind: TokenKind,
    /// In which role.
    pub held: Held,
    /// What its owner calls it.
    pub name: String,
    /// When it was made.
    pub made_at: EventMs,
    /// When it was last used, to the minute.
    pub seen_at: Option<EventMs>,
    /// It ends then.
    pub ends_at: EventMs,
    /// When it was stopped.
    pub stopped_at: Option<EventMs>,
}

impl StoredToken {
    /// Whether it can be used now.
    #[must_use]
    pub fn works(&self, now: EventMs) -> bool {
        self.stopped_at.is_none() && now < self.ends_at
    }
}

sql! {
    ADD = "INSERT INTO tokens (region_id, token_id, token_hash, kind, person_id, role, scope, name,
            made_at, ends_at)
        SELECT s.region_id, $2, $3, $4, s.person_id, r.role, r.scope, $8, CAST($9 AS BIGINT),
            CAST($10 AS BIGINT)
        FROM sign_ins s JOIN person_roles r
            ON r.region_id = s.region_id AND r.person_id = s.person_id
        WHERE s.region_id = $1 AND s.person_id = $5 AND r.role = $6 AND r.scope = $7
            AND s.sign_in_id = $11";
    /// A role that was taken away is of no use to a token either.
    BY_HASH = "SELECT p.person_id, p.kind, p.name, p.email, p.secret, p.language, p.since,
            p.left_at, t.token_id, t.kind, t.role, t.scope, t.name, t.made_at, t.seen_at,
            t.ends_at, t.stopped_at
        FROM tokens t
        JOIN persons p ON p.region_id = t.region_id AND p.person_id = t.person_id
        JOIN person_roles r ON r.region_id = t.region_id AND r.person_id = t.person_id
            AND r.role = t.role AND r.scope = t.scope
            AND (r.until IS NULL OR r.until > CAST($3 AS BIGINT))
        WHERE t.region_id = $1 AND t.token_hash = $2 AND p.left_at IS NULL";
    OF_PERSON = "SELECT token_id, kind, role, scope, name, made_at, seen_at, ends_at, stopped_at
        FROM tokens WHERE region_id = $1 AND person_id = $2 ORDER BY made_at DESC, token_id";
    SEEN = "UPDATE tokens SET seen_at = $3 WHERE region_id = $1 AND token_id = $2";
    STOP = "UPDATE tokens SET stopped_at = COALESCE(stopped_at, $4)
        WHERE region_id = $1 AND person_id = $2 AND token_id = $3";
    OVER = "DELETE FROM tokens WHERE region_id = $1 AND (ends_at < $2 OR stopped_at < $2)";
}

fn token(row: &Row, i: usize) -> Result<StoredToken, StoreError> {
    Ok(StoredToken {
        id: row.id(i)?,
        kind: parsed(row, i + 1)?,
        held: Held::read(row, i + 2)?,
        name: row.text(i + 4)?,
        made_at: EventMs(row.int(i + 5)?),
        seen_at: row.opt_int(i + 6)?.map(EventMs),
        ends_at: EventMs(row.int(i + 7)?),
        stopped_at: row.opt_int(i + 8)?.map(EventMs),
    })
}

impl Store {
    /// Writes a token down, if the sign-in in which it is made is still there and its role is held. The
    /// region is locked, so that nobody is signed out everywhere at the same moment and keeps a token. The log
    /// has it.
    ///
    /// # Errors
    /// [`StoreError::NoSuch`] when it is not; [`StoreError::Database`].
    pub async fn add_token(
        &self,
        region: RegionId,
        new: &NewToken,
        deed: &Deed,
        ids: &mut IdSource,
    ) -> Result<TokenId, StoreError> {
        let at = deed.received_at;
        let id = TokenId::fresh(ids, at);
        let mut tx = self.db.begin().await?;
        regions::lock(&mut tx, region).await?;
        let row = values![
            region.to_string(),
            id.to_string(),
            new.hash.as_str(),
            new.kind.as_str(),
            new.person.to_string(),
            new.held.kind.as_str(),
            new.held.scope.as_str(),
            new.name.as_str(),
            at.0,
            new.ends_at.0,
            new.made_in.to_string()
        ];
        if tx.run(ADD, row).await? == 0 {
            let (what, id) = ("sign-in", new.made_in.to_string());
            return Err(StoreError::NoSuch { what, id });
        }
        let kind = match new.kind {
            TokenKind::Api => "account.token-made",
            TokenKind::Feed => "account.calendar-made",
        };
        let made = (kind, said(new.person, Some(&new.held)));
        append_deed(&mut tx, region, made, deed, ids).await?;
        tx.commit().await?;
        Ok(id)
    }

    /// The token of that hash with whoever made it, unless they have left or lost its role.
    /// Whether it still works is for the caller to say.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn token(
        &self,
        region: RegionId,
        hash: &str,
        now: EventMs,
    ) -> Result<Option<(Person, StoredToken)>, StoreError> {
        let which = values![region.to_string(), hash, now.0];
        let rows = self.db.rows(BY_HASH, which).await?;
        let both = |row: &Row| Ok((person(row, 0)?, token(row, PERSON_COLUMNS)?));
        rows.first().map(both).transpose()
    }

    /// The tokens of somebody, the youngest first.
    ///
    /// # Errors
    /// As [`Store::token`].
    pub async fn tokens_of(
        &self,
        region: RegionId,
        person: PersonId,
    ) -> Result<Vec<StoredToken>, StoreError> {
        let whose = values![region.to_string(), person.to_string()];
        let rows = self.db.rows(OF_PERSON, whose).await?;
        rows.iter().map(|row| token(row, 0)).collect()
    }

    /// A token was used.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn token_seen(
        &self,
        region: RegionId,
        id: TokenId,
        at: EventMs,
    ) -> Result<(), StoreError> {
        let mut tx = self.db.begin().await?;
        let which = values![region.to_string(), id.to_string(), at.0];
        tx.run(SEEN, which).await?;
        tx.commit().await
    }

    /// Stops a token of somebody; one that was stopped before stays stopped.
    ///
    /// # Errors
    /// [`StoreError::NoSuch`] when it is not theirs.
    pub async fn stop_token(
        &self,
        region: RegionId,
        (person, id): (PersonId, TokenId),
        at: EventMs,
    ) -> Result<(), StoreError> {
        let mut tx = self.db.begin().await?;
        let which = values![region.to_string(), person.to_string(), id.to_string(), at.0];
        if tx.run(STOP, which).await? == 0 {
            let (what, id) = ("token", id.to_string());
            return Err(StoreError::NoSuch { what, id });
        }
        tx.commit().await
    }

    /// Forgets tokens that ended before; how many.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn forget_tokens(
        &self,
        region: RegionId,
        before: EventMs,
    ) -> Result<u64, StoreError> {
        self.db
            .alone(OVER, values![region.to_string(), before.0])
            .await
    }
}
