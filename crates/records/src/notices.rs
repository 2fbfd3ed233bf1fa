//! Notices: what happened that matters to a person in one of their roles, and how far they have
//! seen them.
//!
//! The log is gone through once for all: how far, and what was told last of things that no event
//! says by itself, stands in one row, which is written with the notices made from it. Whoever
//! finds that row changed writes nothing, so that nothing is told never or twice.

use std::collections::{BTreeMap, BTreeSet};

use partpledge_units::ids::{PersonId, RegionId};
use partpledge_units::time::EventMs;
use partpledge_words::Said;
use serde::{Deserialize, Serialize};

use crate::db::{Row, Tx, sql, values};
use crate::error::StoreError;
use crate::persons::Held;
use crate::store::Store;
use crate::stored;

/// Where a plate stands in the plan, as a bench was told last.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Spot {
    /// Code of the host's school.
    pub host: String,
    /// The day, in the region's own time.
    pub day: String,
}

/// A request that has waited for a decision for long, as was told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Waited {
    /// Since when, ms of UTC: a second look is another wait.
    pub since: i64,
    /// When it is refused if nobody decides, ms of UTC.
    pub until: i64,
}

/// What was told last of things that no event says by itself.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Before {
    /// Plates that waited to be started.
    pub spots: BTreeMap<u64, Spot>,
    /// Plates whose program was asked for.
    pub asked: BTreeSet<u64>,
    /// Plates for which no spool suffices.
    pub short: BTreeSet<u64>,
    /// Runs that are to be stopped when people leave.
    #[serde(default)]
    pub stops: BTreeSet<u64>,
    /// Requests whose promise was told to be at risk, with the arrival told, in minutes of UTC.
    pub late: BTreeMap<i64, Option<i64>>,
    /// Requests of which was told that nobody has decided.
    #[serde(default)]
    pub undecided: BTreeMap<i64, Waited>,
}

/// How far the log has been gone through for notices.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Told {
    /// Up to this entry.
    pub entry: i64,
    /// How often the row was written; 0 when it never was.
    pub turn: i64,
    /// The highest number that a notice of the region has.
    pub last: i64,
    /// What was told last.
    pub before: Before,
}

/// A notice to be written.
#[derive(Clone, Debug, PartialEq)]
pub struct NewNotice {
    /// To whom.
    pub person: PersonId,
    /// In which of their roles.
    pub held: Held,
    /// What it is about, such as `pledge.given`.
    pub kind: String,
    /// The entry of the log that it was made after.
    pub entry: i64,
    /// When it happened, or was noticed.
    pub at: EventMs,
    /// Whether somebody should know today.
    pub urgent: bool,
    /// Path of the page that it leads to.
    pub link: String,
    /// What it says, in any tongue.
    pub says: Said,
}

/// A notice as kept.
#[derive(Clone, Debug, PartialEq)]
pub struct Notice {
    /// Its number in the region: it grows.
    pub n: i64,
    /// What it says, to whom.
    pub said: NewNotice,
    /// Whether its person has seen it.
    pub seen: bool,
    /// Whether it stands in a message of the outbox.
    pub in_message: bool,
}

/// Notices in a role that were not seen yet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unseen {
    /// The role.
    pub held: Held,
    /// How many.
    pub many: usize,
}

sql! {
    TOLD = "SELECT entry, turn, last, told FROM notices_upto WHERE region_id = $1";
    FIRST = "INSERT INTO notices_upto (region_id, entry, turn, last, told)
        VALUES ($1, $2, 1, $3, $4) ON CONFLICT DO NOTHING";
    NEXT = "UPDATE notices_upto SET entry = $2, turn = turn + 1, last = $3, told = $4
        WHERE region_id = $1 AND turn = $5";
    ADD = "INSERT INTO notices (region_id, person_id, n, role, scope, kind, entry, at, urgent, link,
            says)
        SELECT $1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11 FROM person_roles
        WHERE region_id = $1 AND person_id = $2 AND role = $4 AND scope = $5";
    OF_PERSON = "SELECT n.person_id, n.n, n.role, n.scope, n.kind, n.entry, n.at, n.urgent, n.link,
            n.says, n.message_id, COALESCE(s.upto, 0)
        FROM notices n LEFT JOIN notices_seen s ON s.region_id = n.region_id
            AND s.person_id = n.person_id AND s.role = n.role AND s.scope = n.scope
        WHERE n.region_id = $1 AND n.person_id = $2 ORDER BY n.n DESC";
    UNSEEN = "SELECT n.role, n.scope, COUNT(*) FROM notices n
        LEFT JOIN notices_seen s ON s.region_id = n.region_id
            AND s.person_id = n.person_id AND s.role = n.role AND s.scope = n.scope
        WHERE n.region_id = $1 AND n.person_id = $2 AND n.n > COALESCE(s.upto, 0)
        GROUP BY n.role, n.scope ORDER BY n.role, n.scope";
    /// Marks grow: a page that lay open for long takes none back. What is yet to come is not seen.
    SEEN = "INSERT INTO notices_seen (region_id, person_id, role, scope, upto)
        SELECT $1, $2, $3, $4, COALESCE(MAX(n), 0) FROM notices
            WHERE region_id = $1 AND person_id = $2 AND role = $3 AND scope = $4 AND n <= $5
        ON CONFLICT (region_id, person_id, role, scope) DO UPDATE SET upto = excluded.upto
            WHERE notices_seen.upto < excluded.upto";
    FORGET = "DELETE FROM notices WHERE region_id = $1 AND person_id = $2";
    FORGET_SEEN = "DELETE FROM notices_seen WHERE region_id = $1 AND person_id = $2";
    FORGET_ROLE = "DELETE FROM notices
        WHERE region_id = $1 AND person_id = $2 AND role = $3 AND scope = $4";
    OLD = "DELETE FROM notices WHERE region_id = $1 AND at < $2";
}

fn notice(row: &Row) -> Result<Notice, StoreError> {
    let n = row.int(1)?;
    Ok(Notice {
        n,
        said: NewNotice {
            person: row.id(0)?,
            held: Held::read(row, 2)?,
            kind: row.text(4)?,
            entry: row.int(5)?,
            at: EventMs(row.int(6)?),
            urgent: row.int(7)? != 0,
            link: row.text(8)?,
            says: stored::said(&row.text(9)?),
        },
        in_message: row.opt_text(10)?.is_some(),
        seen: n <= row.int(11)?,
    })
}

/// Everything about notices of somebody goes.
pub(crate) async fn forget(tx: &mut Tx, (region, who): (&str, &str)) -> Result<(), StoreError> {
    for sql in [FORGET, FORGET_SEEN] {
        tx.run(sql, values![region, who]).await?;
    }
    Ok(())
}

/// Notices in a role that somebody has lost go. The mark stays: numbers only grow.
pub(crate) async fn forget_role(
    tx: &mut Tx,
    (region, who): (&str, &str),
    held: &Held,
) -> Result<(), StoreError> {
    let (kind, scope) = (held.kind.as_str(), held.scope.as_str());
    let whose = values![region, who, kind, scope];
    tx.run(FORGET_ROLE, whose).await?;
    Ok(())
}

impl Store {
    /// How far the log has been gone through.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn told(&self, region: RegionId) -> Result<Told, StoreError> {
        let rows = self.db.rows(TOLD, values![region.to_string()]).await?;
        let read = |row: &Row| {
            Ok(Told {
                entry: row.int(0)?,
                turn: row.int(1)?,
                last: row.int(2)?,
                before: stored::read("notices", &row.text(3)?)?,
            })
        };
        rows.first().map_or_else(|| Ok(Told::default()), read)
    }

    /// Writes notices, and that the log has been gone through up to `entry`, with `told` for what
    /// was told last. `false` when another server was faster than whoever read `upto`; nothing is
    /// written then. Who has lost the role or left meanwhile gets none.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn tell(
        &self,
        region: RegionId,
        upto: &Told,
        (entry, told): (i64, &Before),
        new: &[NewNotice],
    ) -> Result<bool, StoreError> {
        let mut tx = self.db.begin().await?;
        let place = region.to_string();
        let many = i64::try_from(new.len()).unwrap_or(i64::MAX);
        let last = upto.last.saturating_add(many);
        let document = stored::write(told)?;
        let written = if upto.turn == 0 {
            let row = values![place.as_str(), entry, last, document];
            tx.run(FIRST, row).await?
        } else {
            let row = values![place.as_str(), entry, last, document, upto.turn];
            tx.run(NEXT, row).await?
        };
        if written == 0 {
            return Ok(false);
        }
        for (n, one) in (upto.last + 1..).zip(new) {
            let row = values![
                place.as_str(),
                one.person.to_string(),
                n,
                one.held.kind.as_str(),
                one.held.scope.as_str(),
                one.kind.as_str(),
                one.entry,
                one.at.0,
                i64::from(one.urgent),
                one.link.as_str(),
                stored::write(&one.says)?
            ];
            tx.run(ADD, row).await?;
        }
        tx.commit().await?;
        Ok(true)
    }

    /// Somebody's notices in all their roles, the last first.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn notices_of(
        &self,
        region: RegionId,
        id: PersonId,
    ) -> Result<Vec<Notice>, StoreError> {
        let whose = values![region.to_string(), id.to_string()];
        let rows = self.db.rows(OF_PERSON, whose).await?;
        rows.iter().map(notice).collect()
    }

    /// How many notices somebody has not seen, by role; roles without any are left out.
    ///
    /// # Errors
    /// As [`Store::notices_of`].
    pub async fn unseen(&self, region: RegionId, id: PersonId) -> Result<Vec<Unseen>, StoreError> {
        let whose = values![region.to_string(), id.to_string()];
        let rows = self.db.rows(UNSEEN, whose).await?;
        let one = |row: &Row| {
            Ok(Unseen {
                held: Held::read(row, 0)?,
                many: row.count(2)?,
            })
        };
        rows.iter().map(one).collect()
    }

    /// Somebody has seen their notices in a role up to that number.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn saw_notices(
        &self,
        region: RegionId,
        (id, held): (PersonId, &Held),
        upto: i64,
    ) -> Result<(), StoreError> {
        let mut tx = self.db.begin().await?;
        let row = values![
            region.to_string(),
            id.to_string(),
            held.kind.as_str(),
            held.scope.as_str(),
            upto
        ];
        tx.run(SEEN, row).await?;
        tx.commit().await
    }

    /// Forgets notices from before, seen or not; how many.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn forget_notices(
        &self,
        region: RegionId,
        before: EventMs,
    ) -> Result<u64, StoreError> {
        self.db
            .alone(OLD, values![region.to_string(), before.0])
            .await
    }
}
