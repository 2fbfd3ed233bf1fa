//! Browsers in which somebody is signed in. Only a hash of the token is kept.

use partpledge_units::ids::{IdSource, PasskeyId, PersonId, RegionId, SignInId};
use partpledge_units::time::EventMs;

use crate::db::{Row, sql, values};
use crate::error::StoreError;
use crate::passkeys::{self, Backup};
use crate::persons::{Held, PERSON_COLUMNS, Person, person};
use crate::regions;
use crate::store::Store;

/// A browser in which somebody is signed in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SignIn {
    /// For the list of them; no secret.
    pub id: SignInId,
    /// The role that is worn.
    pub held: Held,
    /// Since when.
    pub began_at: EventMs,
    /// When a page was last asked for.
    pub seen_at: EventMs,
    /// It ends then, whatever happens.
    pub ends_at: EventMs,
}

/// What must still hold when a sign-in is written down: whoever is being signed out everywhere at that
/// moment changes it first.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Proof {
    /// The person is there and holds the role.
    Held,
    /// The same, and their password hash is still that one.
    Secret(String),
    /// The same, and the code of that hash still works.
    Code(String),
    /// The same, and the passkey is there, with a counter below this one. It is noted with the sign-in.
    Passkey {
        /// Which.
        id: PasskeyId,
        /// Where its counter stands.
        counter: u32,
        /// Whether it is copied.
        backup: Backup,
    },
}

/// A sign-in to be written down.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewSignIn {
    /// Hash of the token.
    pub token_hash: String,
    /// Who.
    pub person: PersonId,
    /// The role that is worn first.
    pub held: Held,
    /// It ends then.
    pub ends_at: EventMs,
    /// By what they came in.
    pub proof: Proof,
}

sql! {
    /// What was looked at before is looked at again in the very statement that writes.
    ADD = "INSERT INTO sign_ins (region_id, token_hash, sign_in_id, person_id, role, scope,
            began_at, seen_at, ends_at)
        SELECT p.region_id, $2, $3, p.person_id, r.role, r.scope, CAST($7 AS BIGINT),
            CAST($7 AS BIGINT), CAST($8 AS BIGINT)
        FROM persons p JOIN person_roles r
            ON r.region_id = p.region_id AND r.person_id = p.person_id
        WHERE p.region_id = $1 AND p.person_id = $4 AND r.role = $5 AND r.scope = $6
            AND p.left_at IS NULL
            AND (r.until IS NULL OR r.until > CAST($7 AS BIGINT))
            AND ($9 = '' OR p.secret = $9)
            AND ($10 = '' OR EXISTS (SELECT 1 FROM codes c WHERE c.region_id = p.region_id
                AND c.person_id = p.person_id AND c.code_hash = $10 AND c.stopped_at IS NULL))";
    /// A role that was taken away, or is over, is worn no more: the sign-in is not found then.
    BY_TOKEN = "SELECT p.person_id, p.kind, p.name, p.email, p.secret, p.language, p.since,
            p.left_at, s.sign_in_id, s.role, s.scope, s.began_at, s.seen_at, s.ends_at
        FROM sign_ins s
        JOIN persons p ON p.region_id = s.region_id AND p.person_id = s.person_id
        JOIN person_roles r ON r.region_id = s.region_id AND r.person_id = s.person_id
            AND r.role = s.role AND r.scope = s.scope
            AND (r.until IS NULL OR r.until > CAST($3 AS BIGINT))
        WHERE s.region_id = $1 AND s.token_hash = $2 AND p.left_at IS NULL";
    OF_PERSON = "SELECT sign_in_id, role, scope, began_at, seen_at, ends_at FROM sign_ins
        WHERE region_id = $1 AND person_id = $2 ORDER BY seen_at DESC, sign_in_id";
    SEEN = "UPDATE sign_ins SET seen_at = $3 WHERE region_id = $1 AND sign_in_id = $2";
    /// Only a role that is held can be worn.
    WEAR = "UPDATE sign_ins SET role = $3, scope = $4 WHERE region_id = $1 AND sign_in_id = $2
        AND EXISTS (SELECT 1 FROM person_roles r WHERE r.region_id = sign_ins.region_id
            AND r.person_id = sign_ins.person_id AND r.role = $3 AND r.scope = $4
            AND (r.until IS NULL OR r.until > CAST($5 AS BIGINT)))";
    END = "DELETE FROM sign_ins WHERE region_id = $1 AND person_id = $2 AND sign_in_id = $3";
    END_OTHERS = "DELETE FROM sign_ins
        WHERE region_id = $1 AND person_id = $2 AND sign_in_id <> $3";
    STOP_TOKENS = "UPDATE tokens SET stopped_at = COALESCE(stopped_at, $3)
        WHERE region_id = $1 AND person_id = $2";
    OVER = "DELETE FROM sign_ins WHERE region_id = $1 AND ends_at < $2";
}

fn sign_in(row: &Row, i: usize) -> Result<SignIn, StoreError> {
    Ok(SignIn {
        id: row.id(i)?,
        held: Held::read(row, i + 1)?,
        began_at: EventMs(row.int(i + 3)?),
        seen_at: EventMs(row.int(i + 4)?),
        ends_at: EventMs(row.int(i + 5)?),
    })
}

impl Store {
    /// Somebody signs in, if that by which they came in still holds. The region is locked, so that nobody
    /// is signed out everywhere at the same moment and in nevertheless.
    ///
    /// # Errors
    /// [`StoreError::NoSuch`] when it does not hold any more; [`StoreError::Database`].
    pub async fn add_sign_in(
        &self,
        region: RegionId,
        new: &NewSignIn,
        ids: &mut IdSource,
        at: EventMs,
    ) -> Result<SignInId, StoreError> {
        let id = SignInId::fresh(ids, at);
        let mut tx = self.db.begin().await?;
        regions::lock(&mut tx, region).await?;
        let (secret, code) = match &new.proof {
            Proof::Held | Proof::Passkey { .. } => ("", ""),
            Proof::Secret(secret) => (secret.as_str(), ""),
            Proof::Code(hash) => ("", hash.as_str()),
        };
        if let Proof::Passkey {
            id: passkey,
            counter,
            backup,
        } = new.proof
        {
            let now = (passkey, counter, backup);
            if !passkeys::used(&mut tx, (region, new.person), now, at).await? {
                return Err(no_sign_in(id));
            }
        }
        let row = values![
            region.to_string(),
            new.token_hash.as_str(),
            id.to_string(),
            new.person.to_string(),
            new.held.kind.as_str(),
            new.held.scope.as_str(),
            at.0,
            new.ends_at.0,
            secret,
            code
        ];
        if tx.run(ADD, row).await? == 0 {
            return Err(no_sign_in(id));
        }
        tx.commit().await?;
        Ok(id)
    }

    /// Who is signed in by that token; nobody who has left or lost the role that is worn. Whether
    /// the sign-in is over is for the caller to say.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn sign_in(
        &self,
        region: RegionId,
        token_hash: &str,
        now: EventMs,
    ) -> Result<Option<(Person, SignIn)>, StoreError> {
        let which = values![region.to_string(), token_hash, now.0];
        let rows = self.db.rows(BY_TOKEN, which).await?;
        let both = |row: &Row| Ok((person(row, 0)?, sign_in(row, PERSON_COLUMNS)?));
        rows.first().map(both).transpose()
    }

    /// Where somebody is signed in, the last used first.
    ///
    /// # Errors
    /// As [`Store::sign_in`].
    pub async fn sign_ins_of(
        &self,
        region: RegionId,
        person: PersonId,
    ) -> Result<Vec<SignIn>, StoreError> {
        let whose = values![region.to_string(), person.to_string()];
        let rows = self.db.rows(OF_PERSON, whose).await?;
        rows.iter().map(|row| sign_in(row, 0)).collect()
    }

    /// A page was asked for.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn seen(
        &self,
        region: RegionId,
        id: SignInId,
        at: EventMs,
    ) -> Result<(), StoreError> {
        let mut tx = self.db.begin().await?;
        tx.run(SEEN, values![region.to_string(), id.to_string(), at.0])
            .await?;
        tx.commit().await
    }

    /// Another of one's roles is worn from now on.
    ///
    /// # Errors
    /// [`StoreError::NoSuch`] for a role that is not held.
    pub async fn wear(
        &self,
        region: RegionId,
        (id, now): (SignInId, EventMs),
        held: &Held,
    ) -> Result<(), StoreError> {
        let mut tx = self.db.begin().await?;
        let (kind, scope) = (held.kind.as_str(), held.scope.as_str());
        let which = values![region.to_string(), id.to_string(), kind, scope, now.0];
        if tx.run(WEAR, which).await? == 0 {
            return Err(no_sign_in(id));
        }
        tx.commit().await
    }

    /// Signs out one browser of somebody.
    ///
    /// # Errors
    /// [`StoreError::NoSuch`] when it is not theirs or over already.
    pub async fn end_sign_in(
        &self,
        region: RegionId,
        (person, id): (PersonId, SignInId),
    ) -> Result<(), StoreError> {
        let mut tx = self.db.begin().await?;
        let which = values![region.to_string(), person.to_string(), id.to_string()];
        if tx.run(END, which).await? == 0 {
            return Err(no_sign_in(id));
        }
        tx.commit().await
    }

    /// Signs somebody out everywhere, but for the browser named: their tokens stop and their passkeys go
    /// too, since whoever had got into the account may have made one. How many browsers it was.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn end_sign_ins(
        &self,
        region: RegionId,
        person: PersonId,
        but: Option<SignInId>,
        at: EventMs,
    ) -> Result<u64, StoreError> {
        let mut tx = self.db.begin().await?;
        regions::lock(&mut tx, region).await?;
        let (place, who) = (region.to_string(), person.to_string());
        let but = but.map(|id| id.to_string()).unwrap_or_default();
        passkeys::forget(&mut tx, (place.as_str(), who.as_str())).await?;
        let which = values![place.as_str(), who.as_str(), but];
        let ended = tx.run(END_OTHERS, which).await?;
        tx.run(STOP_TOKENS, values![place, who, at.0]).await?;
        tx.commit().await?;
        Ok(ended)
    }

    /// Forgets sign-ins that are over; how many.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn forget_sign_ins(&self, region: RegionId, now: EventMs) -> Result<u64, StoreError> {
        self.db
            .alone(OVER, values![region.to_string(), now.0])
            .await
    }
}

fn no_sign_in(id: SignInId) -> StoreError {
    StoreError::NoSuch {
        what: "sign-in",
        id: id.to_string(),
    }
}
