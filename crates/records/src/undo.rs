//! Deeds that are taken back: the log keeps both, and what they changed is as it was.

use std::collections::BTreeSet;

use partpledge_planning_model::Plan;
use partpledge_units::ids::{CopyId, RegionId};

use crate::db::{Tx, sql, values};
use crate::error::StoreError;
use crate::events::{Event, event_at};
use crate::floor::Names;
use crate::life_cycle::State;
use crate::plates::{PlateState, close, number};
use crate::steps::{StepKind, taken_with};
use crate::store::Store;
use crate::stored::{self, StoredAssignment};

/// A deed that is taken back, with what it had changed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TakenBack {
    /// Entry of the deed in the log. Its steps, runs and outages count no more.
    pub undoes: i64,
    /// Copies: as they stand now, as they stood, and on which plate.
    pub copies: Vec<(CopyId, State, State, u64)>,
    /// Plates that are open again.
    pub reopened: Vec<u64>,
    /// Plates that were made anew by it, and are not needed.
    pub dropped: Vec<u64>,
}

sql! {
    ADD = "INSERT INTO taken_back (region_id, undoes, entry) VALUES ($1, $2, $3)";
    ALL = "SELECT undoes FROM taken_back WHERE region_id = $1 AND entry <= $2";
    COPY = "UPDATE copies SET state = $3, plate_seq = $4
        WHERE region_id = $1 AND copy_id = $2 AND state = $5";
    REOPEN = "UPDATE plates SET state = 'open'
        WHERE region_id = $1 AND seq = $2 AND state IN ('off', 'lost')";
    PLAN = "SELECT document FROM plan_revisions WHERE region_id = $1 AND revision = $2";
}

/// Entries that were taken back up to `last`.
pub(crate) async fn taken_back(
    tx: &mut Tx,
    region: RegionId,
    last: i64,
) -> Result<BTreeSet<i64>, StoreError> {
    let rows = tx.rows(ALL, values![region.to_string(), last]).await?;
    rows.iter().map(|row| row.int(0)).collect()
}

/// Takes a deed back, in the transaction of the entry that says so. A deed is taken back once.
pub(crate) async fn take_back(
    tx: &mut Tx,
    region: RegionId,
    what: &TakenBack,
    entry: i64,
) -> Result<(), StoreError> {
    for &(copy, from, to, plate) in &what.copies {
        let values = values![
            region.to_string(),
            copy.to_string(),
            to.as_str(),
            number(plate)?,
            from.as_str()
        ];
        if tx.run(COPY, values).await? == 0 {
            return Err(StoreError::NoSuchStep { from, to });
        }
    }
    for &plate in &what.reopened {
        let which = values![region.to_string(), number(plate)?];
        if tx.run(REOPEN, which).await? == 0 {
            return Err(StoreError::NoSuch {
                what: "closed plate",
                id: plate.to_string(),
            });
        }
    }
    for &plate in &what.dropped {
        close(tx, region, plate, PlateState::Withdrawn).await?;
    }
    tx.run(ADD, values![region.to_string(), what.undoes, entry])
        .await?;
    Ok(())
}

impl Store {
    /// The deed that a step was taken with, and its entry in the log; `None` when it was not taken,
    /// or was taken back.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn deed_of_step(
        &self,
        region: RegionId,
        step: (u64, StepKind),
    ) -> Result<Option<(i64, Event)>, StoreError> {
        let mut tx = self.db.snapshot().await?;
        match taken_with(&mut tx, region, step).await? {
            Some(entry) => event_at(&mut tx, region, entry).await,
            None => Ok(None),
        }
    }

    /// The plan as it was at a revision, without what was on printers that have left the region since;
    /// `None` when there is none.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn plan_at(
        &self,
        region: RegionId,
        revision: i64,
        names: &Names,
    ) -> Result<Option<Plan>, StoreError> {
        let which = values![region.to_string(), revision];
        let rows = self.db.rows(PLAN, which).await?;
        let Some(row) = rows.first() else {
            return Ok(None);
        };
        let plan: Vec<StoredAssignment> = stored::read("plan", &row.text(0)?)?;
        let printers = plan.iter().map(|place| &place.printer);
        let left = printers.filter(|name| !names.printers.contains(name));
        let names = Names {
            leaving: left.cloned().collect(),
            ..names.clone()
        };
        Ok(Some(stored::to_plan(&plan, &names)?))
    }
}
