//! The floor as it stands: plan, plates, next number.

use partpledge_planning_model::{Plan, Plate};
use partpledge_units::ids::RegionId;

use crate::db::{sql, values};
use crate::error::StoreError;
use crate::plates;
use crate::store::Store;
use crate::stored::{self, StoredAssignment};

/// Names of printers and places in the order of the region file; stored documents use names, so
/// that the file may list them in another order later. No name may stand twice.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Names {
    /// Printers.
    pub printers: Vec<String>,
    /// Hand-over places.
    pub places: Vec<String>,
}

/// Everything planned, at one revision.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Floor {
    /// Revision of the plan.
    pub revision: i64,
    /// The plan.
    pub plan: Plan,
    /// All plates, in order of number.
    pub plates: Vec<Plate>,
    /// Number of the next plate.
    pub next_seq: u64,
}

sql! {
    HEAD = "SELECT r.head, r.next_seq, COALESCE(v.document, '[]') FROM regions r
        LEFT JOIN plan_revisions v ON v.region_id = r.region_id AND v.revision = r.head
        WHERE r.region_id = $1";
}

impl Store {
    /// The floor of a region: head, plan and plates of one and the same moment.
    ///
    /// # Errors
    /// [`StoreError::NoSuchRegion`], [`StoreError::Database`]; [`StoreError::Damaged`] when the
    /// region no longer has a printer or place that is planned with, or has two of one name.
    pub async fn floor(&self, region: RegionId, names: &Names) -> Result<Floor, StoreError> {
        let mut tx = self.db.snapshot().await?;
        let rows = tx.rows(HEAD, values![region.to_string()]).await?;
        let row = rows
            .first()
            .ok_or_else(|| StoreError::NoSuchRegion(region.to_string()))?;
        let plan: Vec<StoredAssignment> = stored::read("plan", &row.text(2)?)?;
        Ok(Floor {
            revision: row.int(0)?,
            next_seq: row.count(1)?,
            plan: stored::to_plan(&plan, names)?,
            plates: plates::all(&mut tx, region, names).await?,
        })
    }
}
