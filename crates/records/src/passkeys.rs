//! Passkeys of adults: the public half of a key that never leaves their device. And the challenges that
//! browsers are given to sign: each is taken once, by whichever server.

use partpledge_units::ids::{IdSource, PasskeyId, PersonId, RegionId, SignInId};
use partpledge_units::time::EventMs;

use crate::db::{Row, Tx, sql, values};
use crate::error::StoreError;
use crate::events::{Deed, append_deed};
use crate::persons::{PERSON_COLUMNS, Person, parsed, person, said, words};
use crate::regions;
use crate::store::Store;

/// Whether a passkey may be copied to other devices of its owner, and is. What its device says of
/// the first can't change later (Web Authentication Level 3, 6.1.3).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Backup {
    /// It stays on one device.
    Never,
    /// It may be.
    Possible,
    /// It is.
    Done,
}

words!(Backup: Never = "never", Possible = "possible", Done = "done");

/// A passkey as kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Passkey {
    /// For the list of them.
    pub id: PasskeyId,
    /// What the device calls it.
    pub credential: String,
    /// Its public key, as whoever verifies writes it.
    pub public_key: String,
    /// How often its device says that it has signed; 0 where devices don't count.
    pub counter: u32,
    /// Whether it is copied.
    pub backup: Backup,
    /// What its owner calls it.
    pub name: String,
    /// Since when.
    pub added_at: EventMs,
    /// When somebody last signed in by it.
    pub used_at: Option<EventMs>,
}

/// A passkey to be written down.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewPasskey {
    /// Whose.
    pub person: PersonId,
    /// In which sign-in it was added.
    pub made_in: SignInId,
    /// What the device calls it.
    pub credential: String,
    /// Its public key.
    pub public_key: String,
    /// How often it has signed.
    pub counter: u32,
    /// Whether it is copied.
    pub backup: Backup,
    /// What its owner calls it.
    pub name: String,
}

/// A challenge that a browser is given.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewChallenge {
    /// What is to be signed.
    pub challenge: String,
    /// The sign-in in which a passkey is added; none to sign in.
    pub sign_in: Option<SignInId>,
    /// What whoever verifies needs to know of it.
    pub state: String,
    /// It is of no use from then on.
    pub expires_at: EventMs,
}

sql! {
    ADD_CHALLENGE = "INSERT INTO passkey_challenges (region_id, challenge, sign_in_id, state,
            expires_at)
        VALUES ($1, $2, $3, $4, $5)";
    /// Gone with the question whether it is there: nobody else can take it.
    TAKE = "DELETE FROM passkey_challenges WHERE region_id = $1 AND challenge = $2
        RETURNING sign_in_id, state, expires_at";
    OF_BEFORE = "DELETE FROM passkey_challenges WHERE region_id = $1 AND sign_in_id = $2";
    OVER = "DELETE FROM passkey_challenges WHERE region_id = $1 AND expires_at <= $2";
    /// What was looked at before is looked at again in the very statement that writes.
    ADD = "INSERT INTO passkeys (region_id, passkey_id, person_id, credential, public_key, counter,
            backup, name, added_at)
        SELECT p.region_id, $2, p.person_id, $5, $6, CAST($7 AS BIGINT), $8, $9, CAST($10 AS BIGINT)
        FROM persons p JOIN sign_ins s
            ON s.region_id = p.region_id AND s.person_id = p.person_id
        WHERE p.region_id = $1 AND p.person_id = $3 AND s.sign_in_id = $4 AND p.kind = 'adult'
            AND p.left_at IS NULL";
    KNOWN = "SELECT COUNT(*) FROM passkeys WHERE region_id = $1 AND credential = $2";
    BY_CREDENTIAL = "SELECT p.person_id, p.kind, p.name, p.email, p.secret, p.language, p.since,
            p.left_at, k.passkey_id, k.credential, k.public_key, k.counter, k.backup, k.name,
            k.added_at, k.used_at
        FROM passkeys k
        JOIN persons p ON p.region_id = k.region_id AND p.person_id = k.person_id
        WHERE k.region_id = $1 AND k.credential = $2 AND p.left_at IS NULL";
    OF_PERSON = "SELECT passkey_id, credential, public_key, counter, backup, name, added_at, used_at
        FROM passkeys WHERE region_id = $1 AND person_id = $2 ORDER BY added_at, passkey_id";
    /// A counter that does not go up is a copy of the key, or an answer that was overtaken.
    USE = "UPDATE passkeys SET counter = CAST($4 AS BIGINT), backup = $5, used_at = CAST($6 AS BIGINT)
        WHERE region_id = $1 AND person_id = $2 AND passkey_id = $3
            AND (counter = 0 OR counter < CAST($4 AS BIGINT))";
    REMOVE = "DELETE FROM passkeys WHERE region_id = $1 AND person_id = $2 AND passkey_id = $3";
    DROP_ALL = "DELETE FROM passkeys WHERE region_id = $1 AND person_id = $2";
    DROP_CHALLENGES = "DELETE FROM passkey_challenges WHERE region_id = $1 AND sign_in_id IN
        (SELECT s.sign_in_id FROM sign_ins s WHERE s.region_id = $1 AND s.person_id = $2)";
}

fn passkey(row: &Row, i: usize) -> Result<Passkey, StoreError> {
    Ok(Passkey {
        id: row.id(i)?,
        credential: row.text(i + 1)?,
        public_key: row.text(i + 2)?,
        counter: row.count(i + 3)?,
        backup: parsed(row, i + 4)?,
        name: row.text(i + 5)?,
        added_at: EventMs(row.int(i + 6)?),
        used_at: row.opt_int(i + 7)?.map(EventMs),
    })
}

/// Forgets somebody's passkeys, and what they were about to add. To be called while their sign-ins are
/// still there.
pub(crate) async fn forget(tx: &mut Tx, (region, who): (&str, &str)) -> Result<(), StoreError> {
    for sql in [DROP_CHALLENGES, DROP_ALL] {
        tx.run(sql, values![region, who]).await?;
    }
    Ok(())
}

/// Notes that somebody signs in by a passkey, and where its counter stands now; whether it is still there
/// and its counter has gone up.
pub(crate) async fn used(
    tx: &mut Tx,
    (region, person): (RegionId, PersonId),
    (id, counter, backup): (PasskeyId, u32, Backup),
    at: EventMs,
) -> Result<bool, StoreError> {
    let row = values![
        region.to_string(),
        person.to_string(),
        id.to_string(),
        i64::from(counter),
        backup.as_str(),
        at.0
    ];
    Ok(tx.run(USE, row).await? == 1)
}

impl Store {
    /// Keeps a challenge. Those that are over go, and what was asked before in the same sign-in.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn add_challenge(
        &self,
        region: RegionId,
        new: &NewChallenge,
        now: EventMs,
    ) -> Result<(), StoreError> {
        let mut tx = self.db.begin().await?;
        let (place, sign_in) = (region.to_string(), new.sign_in.map(|id| id.to_string()));
        tx.run(OVER, values![place.as_str(), now.0]).await?;
        if let Some(sign_in) = &sign_in {
            let before = values![place.as_str(), sign_in.as_str()];
            tx.run(OF_BEFORE, before).await?;
        }
        let (challenge, state) = (new.challenge.as_str(), new.state.as_str());
        let row = values![place, challenge, sign_in, state, new.expires_at.0];
        tx.run(ADD_CHALLENGE, row).await?;
        tx.commit().await
    }

    /// Takes a challenge away: what was kept with it, if it was given for that and is not over. It is gone
    /// in any case, before anybody looks at the answer to it.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn take_challenge(
        &self,
        region: RegionId,
        (challenge, sign_in): (&str, Option<SignInId>),
        now: EventMs,
    ) -> Result<Option<String>, StoreError> {
        let mut tx = self.db.begin().await?;
        let rows = tx
            .rows(TAKE, values![region.to_string(), challenge])
            .await?;
        tx.commit().await?;
        let Some(row) = rows.first() else {
            return Ok(None);
        };
        let given_for = row.opt_text(0)? == sign_in.map(|id| id.to_string());
        let still = now.0 < row.int(2)?;
        (given_for && still).then(|| row.text(1)).transpose()
    }

    /// Forgets challenges that are over; how many.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn forget_challenges(
        &self,
        region: RegionId,
        now: EventMs,
    ) -> Result<u64, StoreError> {
        self.db
            .alone(OVER, values![region.to_string(), now.0])
            .await
    }

    /// Writes a passkey down, if the sign-in in which it is added is still there and an adult's. The region
    /// is locked, so that nobody is signed out everywhere at the same moment and keeps one. The log has it.
    ///
    /// # Errors
    /// [`StoreError::NoSuch`] when it is not; [`StoreError::Taken`] for one that is known already.
    pub async fn add_passkey(
        &self,
        region: RegionId,
        new: &NewPasskey,
        deed: &Deed,
        ids: &mut IdSource,
    ) -> Result<PasskeyId, StoreError> {
        let at = deed.received_at;
        let id = PasskeyId::fresh(ids, at);
        let mut tx = self.db.begin().await?;
        regions::lock(&mut tx, region).await?;
        let known = values![region.to_string(), new.credential.as_str()];
        let known = tx.rows(KNOWN, known).await?;
        if known.first().map_or(Ok(0), |row| row.count(0))? > 0 {
            return Err(StoreError::Taken { what: "passkey" });
        }
        let row = values![
            region.to_string(),
            id.to_string(),
            new.person.to_string(),
            new.made_in.to_string(),
            new.credential.as_str(),
            new.public_key.as_str(),
            i64::from(new.counter),
            new.backup.as_str(),
            new.name.as_str(),
            at.0
        ];
        if tx.run(ADD, row).await? == 0 {
            let (what, id) = ("sign-in", new.made_in.to_string());
            return Err(StoreError::NoSuch { what, id });
        }
        let added = ("account.passkey-added", said(new.person, None));
        append_deed(&mut tx, region, added, deed, ids).await?;
        tx.commit().await?;
        Ok(id)
    }

    /// The passkey that a device calls so, with whose it is, unless they have left.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn passkey(
        &self,
        region: RegionId,
        credential: &str,
    ) -> Result<Option<(Person, Passkey)>, StoreError> {
        let which = values![region.to_string(), credential];
        let rows = self.db.rows(BY_CREDENTIAL, which).await?;
        let both = |row: &Row| Ok((person(row, 0)?, passkey(row, PERSON_COLUMNS)?));
        rows.first().map(both).transpose()
    }

    /// The passkeys of somebody, the oldest first.
    ///
    /// # Errors
    /// As [`Store::passkey`].
    pub async fn passkeys_of(
        &self,
        region: RegionId,
        person: PersonId,
    ) -> Result<Vec<Passkey>, StoreError> {
        let whose = values![region.to_string(), person.to_string()];
        let rows = self.db.rows(OF_PERSON, whose).await?;
        rows.iter().map(|row| passkey(row, 0)).collect()
    }

    /// Removes a passkey of somebody. The region is locked, so that nobody signs in by it at that moment.
    /// The log has it.
    ///
    /// # Errors
    /// [`StoreError::NoSuch`] when it is not theirs.
    pub async fn remove_passkey(
        &self,
        region: RegionId,
        (person, id): (PersonId, PasskeyId),
        deed: &Deed,
        ids: &mut IdSource,
    ) -> Result<(), StoreError> {
        let mut tx = self.db.begin().await?;
        regions::lock(&mut tx, region).await?;
        let which = values![region.to_string(), person.to_string(), id.to_string()];
        if tx.run(REMOVE, which).await? == 0 {
            let (what, id) = ("passkey", id.to_string());
            return Err(StoreError::NoSuch { what, id });
        }
        let removed = ("account.passkey-removed", said(person, None));
        append_deed(&mut tx, region, removed, deed, ids).await?;
        tx.commit().await
    }
}
