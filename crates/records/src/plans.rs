//! Plan revisions: immutable, each with its parent and reason, saved by compare-and-swap.

use partpledge_planning_model::{Plan, PlateSeq};
use partpledge_units::ids::{IdSource, RegionId};
use partpledge_units::time::EventMs;
use partpledge_words::{Said, Tongue};

use crate::db::{Row, Tx, sql, values};
use crate::error::StoreError;
use crate::events::{Event, append};
use crate::floor::Names;
use crate::store::Store;
use crate::stored::{self, StoredAssignment};

/// A saved revision.
#[derive(Clone, Debug, PartialEq)]
pub struct SavedPlan {
    /// Its number.
    pub revision: i64,
    /// The one before.
    pub parent: i64,
    /// Why it was made.
    pub reason: Said,
    /// When.
    pub made_at: EventMs,
}

sql! {
    /// The compare-and-swap: of two that start from one revision, the second changes no row.
    ADVANCE = "UPDATE regions SET head = head + 1, next_seq = next_seq + $3
        WHERE region_id = $1 AND head = $2 RETURNING next_seq";
    HEAD = "SELECT head FROM regions WHERE region_id = $1";
    ADD = "INSERT INTO plan_revisions (region_id, revision, parent, reason, made_at, document)
        VALUES ($1, $2, $3, $4, $5, $6)";
    ALL = "SELECT revision, parent, reason, made_at FROM plan_revisions
        WHERE region_id = $1 ORDER BY revision";
    /// What was made since then, and the one that held at that moment.
    SINCE = "SELECT document FROM plan_revisions WHERE region_id = $1 AND revision >=
        (SELECT COALESCE(MAX(revision), 0) FROM plan_revisions
            WHERE region_id = $1 AND made_at <= $2)";
}

/// Moves the head on from `parent` and takes `numbers` plate numbers; the first of them.
pub(crate) async fn advance(
    tx: &mut Tx,
    region: RegionId,
    parent: i64,
    numbers: i64,
) -> Result<i64, StoreError> {
    let rows = tx
        .rows(ADVANCE, values![region.to_string(), parent, numbers])
        .await?;
    if let Some(row) = rows.first() {
        return Ok(row.int(0)? - numbers);
    }
    let rows = tx.rows(HEAD, values![region.to_string()]).await?;
    let row = rows
        .first()
        .ok_or_else(|| StoreError::NoSuchRegion(region.to_string()))?;
    Err(StoreError::Stale {
        expected: parent,
        current: row.int(0)?,
    })
}

pub(crate) async fn insert(
    tx: &mut Tx,
    region: RegionId,
    saved: &SavedPlan,
    plan: &Plan,
    names: &Names,
) -> Result<(), StoreError> {
    let document = stored::write(&stored::from_plan(plan, names)?)?;
    let reason = stored::write(&saved.reason)?;
    let values = values![
        region.to_string(),
        saved.revision,
        saved.parent,
        reason,
        saved.made_at.0,
        document
    ];
    tx.run(ADD, values).await?;
    Ok(())
}

impl Store {
    /// Saves a plan that the checker has passed, if the head is still `parent`.
    ///
    /// # Errors
    /// [`StoreError::Stale`] when the head has moved; nothing is written then.
    pub async fn save_plan(
        &self,
        region: RegionId,
        parent: i64,
        plan: &Plan,
        names: &Names,
        reason: &Said,
        (actor, at, ids): (&str, EventMs, &mut IdSource),
    ) -> Result<SavedPlan, StoreError> {
        let mut tx = self.db.begin().await?;
        advance(&mut tx, region, parent, 0).await?;
        let revision = parent + 1;
        let saved = SavedPlan {
            revision,
            parent,
            reason: reason.clone(),
            made_at: at,
        };
        insert(&mut tx, region, &saved, plan, names).await?;
        let event = Event {
            kind: "plan.saved".to_owned(),
            version: 1,
            payload: serde_json::json!({
                "revision": revision,
                "reason": reason.in_tongue(Tongue::English),
            })
            .to_string(),
            actor: actor.to_owned(),
            occurred_at: at,
            received_at: at,
            idempotency_key: None,
        };
        append(&mut tx, region, &event, ids).await?;
        tx.commit().await?;
        Ok(saved)
    }

    /// Whether some plan that has held since then had the plate on that printer.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn was_planned(
        &self,
        region: RegionId,
        (plate, printer): (PlateSeq, &str),
        since: EventMs,
    ) -> Result<bool, StoreError> {
        let which = values![region.to_string(), since.0];
        for row in self.db.rows(SINCE, which).await? {
            let plan: Vec<StoredAssignment> = stored::read("plan", &row.text(0)?)?;
            let here =
                |place: &StoredAssignment| place.plate == plate.0 && place.printer == printer;
            if plan.iter().any(here) {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// The revision that holds, 0 before the first.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::NoSuchRegion`].
    pub async fn plan_revision(&self, region: RegionId) -> Result<i64, StoreError> {
        let rows = self.db.rows(HEAD, values![region.to_string()]).await?;
        let row = rows.first();
        row.ok_or_else(|| StoreError::NoSuchRegion(region.to_string()))?
            .int(0)
    }

    /// The revisions, oldest first.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn revisions(&self, region: RegionId) -> Result<Vec<SavedPlan>, StoreError> {
        let rows = self.db.rows(ALL, values![region.to_string()]).await?;
        let one = |row: &Row| {
            Ok(SavedPlan {
                revision: row.int(0)?,
                parent: row.int(1)?,
                reason: stored::said(&row.text(2)?),
                made_at: EventMs(row.int(3)?),
            })
        };
        rows.iter().map(one).collect()
    }
}
