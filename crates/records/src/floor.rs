//! The floor as it stands: plan, plates, next number.

use partpledge_planning_model::{Plan, Plate};
use partpledge_units::ids::RegionId;

use crate::db::values;
use crate::error::StoreError;
use crate::store::Store;
use crate::stored::{self, StoredAssignment, StoredPlate};

/// Names of printers and places in the order of the region file; stored documents use names.
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

impl Store {
    /// The floor of a region.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn floor(&self, region: RegionId, names: &Names) -> Result<Floor, StoreError> {
        let key = region.to_string();
        // One statement, so that head, plan and plates belong together.
        let rows = self
            .db
            .rows(
                "SELECT r.head, r.next_seq, COALESCE(v.document, '[]'), COALESCE(p.seq, 0),
                    COALESCE(p.document, '')
                 FROM regions r
                 LEFT JOIN plan_revisions v ON v.region_id = r.region_id AND v.revision = r.head
                 LEFT JOIN plates p ON p.region_id = r.region_id
                 WHERE r.region_id = $1 ORDER BY p.seq",
                values![key],
            )
            .await?;
        let Some(first) = rows.first() else {
            return Ok(Floor::default());
        };
        let plan: Vec<StoredAssignment> = stored::read("plan", &first.text(2)?)?;
        let mut plates = Vec::with_capacity(rows.len());
        for row in &rows {
            let seq = u64::try_from(row.int(3)?).unwrap_or(0);
            if seq > 0 {
                let plate: StoredPlate = stored::read("plate", &row.text(4)?)?;
                plates.push(plate.to_plate(seq, names)?);
            }
        }
        Ok(Floor {
            revision: first.int(0)?,
            plan: stored::to_plan(&plan, names)?,
            plates,
            next_seq: u64::try_from(first.int(1)?).unwrap_or(1),
        })
    }
}
