//! Codes and one-time links that were handed out. Only a hash is kept: they are shown once.

use partpledge_units::ids::{CodeId, IdSource, PersonId, RegionId};
use partpledge_units::time::EventMs;

use crate::db::{Row, Tx, sql, values};
use crate::error::StoreError;
use crate::events::{Deed, append_deed};
use crate::persons::{self, Held, NewPerson, parsed, words};
use crate::regions;
use crate::store::Store;

/// What a code is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CodeKind {
    /// A link for one adult, who gets the role that stands with it.
    Invite,
    /// A team's code for its students.
    Join,
    /// A student's own code, to come back.
    Return,
    /// A link for one adult to choose another password.
    Reset,
}

words!(CodeKind: Invite = "invite", Join = "join", Return = "return", Reset = "reset");

/// A code to be written down.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewCode {
    /// What for.
    pub kind: CodeKind,
    /// Hash of what is handed out.
    pub hash: String,
    /// The role that it gives; for one's own codes, the role that is worn after it.
    pub held: Held,
    /// Whose it is, for one's own codes.
    pub person: Option<PersonId>,
    /// Who made it.
    pub made_by: Option<PersonId>,
    /// It can't be used after that.
    pub expires_at: Option<EventMs>,
    /// How often it can be used.
    pub uses: Option<i64>,
}

/// A code as kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StoredCode {
    /// For lists; no secret.
    pub id: CodeId,
    /// What for.
    pub kind: CodeKind,
    /// The role that it gives.
    pub held: Held,
    /// Whose it is.
    pub person: Option<PersonId>,
    /// When it was made.
    pub made_at: EventMs,
    /// It can't be used after that.
    pub expires_at: Option<EventMs>,
    /// How often it can still be used.
    pub uses_left: Option<i64>,
    /// When it was stopped.
    pub stopped_at: Option<EventMs>,
}

impl StoredCode {
    /// Whether it can be used now.
    #[must_use]
    pub fn works(&self, now: EventMs) -> bool {
        self.stopped_at.is_none()
            && self.expires_at.is_none_or(|end| now < end)
            && self.uses_left.is_none_or(|uses| uses > 0)
    }
}

/// Who takes up a code that gives a role.
#[derive(Clone, Debug)]
pub enum Taker {
    /// Somebody new.
    New(NewPerson),
    /// Somebody who is there, and gets one more role.
    Known(PersonId),
}

sql! {
    ADD = "INSERT INTO codes (region_id, code_id, code_hash, kind, role, scope, person_id, made_by,
            made_at, expires_at, uses_left)
        VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)";
    BY_HASH = "SELECT code_id, kind, role, scope, person_id, made_at, expires_at, uses_left,
            stopped_at FROM codes WHERE region_id = $1 AND kind = $2 AND code_hash = $3";
    BY_ID = "SELECT code_id, kind, role, scope, person_id, made_at, expires_at, uses_left,
            stopped_at FROM codes WHERE region_id = $1 AND code_id = $2";
    ALL = "SELECT code_id, kind, role, scope, person_id, made_at, expires_at, uses_left,
            stopped_at FROM codes WHERE region_id = $1 AND kind = $2 ORDER BY made_at, code_id";
    USE = "UPDATE codes SET uses_left = uses_left - 1
        WHERE region_id = $1 AND code_id = $2 AND (uses_left IS NULL OR uses_left > 0)";
    STOP = "UPDATE codes SET stopped_at = COALESCE(stopped_at, $3)
        WHERE region_id = $1 AND code_id = $2";
    STOP_GIVING = "UPDATE codes SET stopped_at = $4 WHERE region_id = $1 AND role = $2 AND scope = $3
        AND kind IN ('invite', 'join') AND stopped_at IS NULL";
    DROP_OWN = "DELETE FROM codes WHERE region_id = $1 AND kind = $2 AND person_id = $3";
    DROP_SET_UP = "DELETE FROM codes WHERE region_id = $1 AND kind = 'invite'
        AND role = 'coordinator' AND made_by IS NULL";
    OVER = "DELETE FROM codes WHERE region_id = $1 AND (expires_at < $2 OR stopped_at < $2)";
}

fn code(row: &Row) -> Result<StoredCode, StoreError> {
    Ok(StoredCode {
        id: row.id(0)?,
        kind: parsed(row, 1)?,
        held: Held::read(row, 2)?,
        person: match row.opt_text(4)? {
            Some(_) => Some(row.id(4)?),
            None => None,
        },
        made_at: EventMs(row.int(5)?),
        expires_at: row.opt_int(6)?.map(EventMs),
        uses_left: row.opt_int(7)?,
        stopped_at: row.opt_int(8)?.map(EventMs),
    })
}

fn no_code() -> StoreError {
    StoreError::NoSuch {
        what: "code",
        id: "of that text".to_owned(),
    }
}

/// The code, if it works, used once more.
async fn used(
    tx: &mut Tx,
    region: RegionId,
    (kind, hash): (CodeKind, &str),
    now: EventMs,
) -> Result<StoredCode, StoreError> {
    let which = values![region.to_string(), kind.as_str(), hash];
    let rows = tx.rows(BY_HASH, which).await?;
    let found = rows.first().map(code).transpose()?;
    let found = found.filter(|code| code.works(now)).ok_or_else(no_code)?;
    let which = values![region.to_string(), found.id.to_string()];
    match tx.run(USE, which).await? {
        0 => Err(no_code()),
        _ => Ok(found),
    }
}

/// Stops every code and link that gives a role.
pub(crate) async fn stop_giving(
    tx: &mut Tx,
    region: RegionId,
    held: &Held,
    at: EventMs,
) -> Result<(), StoreError> {
    let (role, scope) = (held.kind.as_str(), held.scope.as_str());
    let which = values![region.to_string(), role, scope, at.0];
    tx.run(STOP_GIVING, which).await?;
    Ok(())
}

impl Store {
    /// Hands out a code. One's own code takes the place of the one before, and so does a set-up
    /// link, which nobody made.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn add_code(
        &self,
        region: RegionId,
        new: &NewCode,
        ids: &mut IdSource,
        at: EventMs,
    ) -> Result<CodeId, StoreError> {
        let id = CodeId::fresh(ids, at);
        let mut tx = self.db.begin().await?;
        let place = region.to_string();
        if let Some(person) = new.person {
            let which = values![place.as_str(), new.kind.as_str(), person.to_string()];
            tx.run(DROP_OWN, which).await?;
        } else if new.made_by.is_none() && new.kind == CodeKind::Invite {
            tx.run(DROP_SET_UP, values![place.as_str()]).await?;
        }
        tx.run(
            ADD,
            values![
                place,
                id.to_string(),
                new.hash.as_str(),
                new.kind.as_str(),
                new.held.kind.as_str(),
                new.held.scope.as_str(),
                new.person.map(|id| id.to_string()),
                new.made_by.map(|id| id.to_string()),
                at.0,
                new.expires_at.map(|end| end.0),
                new.uses
            ],
        )
        .await?;
        tx.commit().await?;
        Ok(id)
    }

    /// The code of that hash, whether it works or not.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn code(
        &self,
        region: RegionId,
        kind: CodeKind,
        hash: &str,
    ) -> Result<Option<StoredCode>, StoreError> {
        let which = values![region.to_string(), kind.as_str(), hash];
        let rows = self.db.rows(BY_HASH, which).await?;
        rows.first().map(code).transpose()
    }

    /// The code of that id.
    ///
    /// # Errors
    /// As [`Store::code`].
    pub async fn code_by_id(
        &self,
        region: RegionId,
        id: CodeId,
    ) -> Result<Option<StoredCode>, StoreError> {
        let which = values![region.to_string(), id.to_string()];
        let rows = self.db.rows(BY_ID, which).await?;
        rows.first().map(code).transpose()
    }

    /// Codes of that kind, oldest first.
    ///
    /// # Errors
    /// As [`Store::code`].
    pub async fn codes(
        &self,
        region: RegionId,
        kind: CodeKind,
    ) -> Result<Vec<StoredCode>, StoreError> {
        let which = values![region.to_string(), kind.as_str()];
        let rows = self.db.rows(ALL, which).await?;
        rows.iter().map(code).collect()
    }

    /// Takes up a code that gives a role: uses it once more, writes the person down if new, gives
    /// the role, all or nothing. Who, and the role.
    ///
    /// # Errors
    /// [`StoreError::NoSuch`] when it does not work any more; [`StoreError::Taken`].
    pub async fn take_code(
        &self,
        region: RegionId,
        which: (CodeKind, &str),
        taker: &Taker,
        ids: &mut IdSource,
        now: EventMs,
    ) -> Result<(PersonId, Held), StoreError> {
        let mut tx = self.db.begin().await?;
        regions::lock(&mut tx, region).await?;
        let found = used(&mut tx, region, which, now).await?;
        let mut deed = Deed {
            actor: "code".to_owned(),
            occurred_at: now,
            received_at: now,
            idempotency_key: None,
        };
        let id = match taker {
            Taker::New(new) => {
                persons::add(&mut tx, region, (new, &found.held), &deed, ids).await?
            }
            Taker::Known(id) => {
                deed.actor = format!("code/{id}");
                persons::give_role(&mut tx, region, (*id, &found.held), now).await?;
                let given = ("role.given", persons::said(*id, Some(&found.held)));
                append_deed(&mut tx, region, given, &deed, ids).await?;
                *id
            }
        };
        tx.commit().await?;
        Ok((id, found.held))
    }

    /// Takes up a link to choose another password; whose it was. The log has it.
    ///
    /// # Errors
    /// [`StoreError::NoSuch`] when it does not work any more.
    pub async fn take_reset(
        &self,
        region: RegionId,
        (hash, secret): (&str, &str),
        ids: &mut IdSource,
        now: EventMs,
    ) -> Result<PersonId, StoreError> {
        let mut tx = self.db.begin().await?;
        regions::lock(&mut tx, region).await?;
        let found = used(&mut tx, region, (CodeKind::Reset, hash), now).await?;
        let person = found.person.ok_or_else(no_code)?;
        let deed = Deed {
            actor: format!("code/{person}"),
            occurred_at: now,
            received_at: now,
            idempotency_key: None,
        };
        persons::set_secret(&mut tx, region, (person, secret), &deed, ids).await?;
        tx.commit().await?;
        Ok(person)
    }

    /// Stops a code; one that was stopped before stays stopped.
    ///
    /// # Errors
    /// [`StoreError::NoSuch`].
    pub async fn stop_code(
        &self,
        region: RegionId,
        id: CodeId,
        at: EventMs,
    ) -> Result<(), StoreError> {
        let mut tx = self.db.begin().await?;
        let which = values![region.to_string(), id.to_string(), at.0];
        if tx.run(STOP, which).await? == 0 {
            return Err(no_code());
        }
        tx.commit().await
    }

    /// Forgets codes that ended before; how many.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn forget_codes(&self, region: RegionId, before: EventMs) -> Result<u64, StoreError> {
        self.db
            .alone(OVER, values![region.to_string(), before.0])
            .await
    }
}
