//! The floor as it stands: plan, plates, next number.

use std::collections::BTreeMap;

use partpledge_planning_model::{Plan, Plate};
use partpledge_units::ids::RegionId;

use crate::company::printed_together;
use crate::db::{sql, values};
use crate::error::StoreError;
use crate::outages::{self, Outage};
use crate::plates::{self, KeptPlate};
use crate::programs::{self, PlateProgram};
use crate::steps::{self, RunStep};
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
    /// Printers that would leave the region by a change that is looked at: what a plan has on them is
    /// passed over.
    pub leaving: Vec<String>,
}

/// Everything planned, at one revision.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Floor {
    /// Revision of the plan.
    pub revision: i64,
    /// The plan.
    pub plan: Plan,
    /// Plates to be printed or being printed, in order of number, each with all that lies on it.
    pub plates: Vec<Plate>,
    /// All other plates: what was asked for and is done, lost or withdrawn.
    pub past: Vec<Plate>,
    /// Every plate with what it was made for, in order of number, and so is every share of a plate
    /// that another request joined. All that lie on one plate have its makings.
    pub kept: Vec<KeptPlate>,
    /// What has been done with each plate, as it was done.
    pub steps: Vec<RunStep>,
    /// Printers that can't be used for a while.
    pub outages: Vec<Outage>,
    /// The latest program of every plate that has one, in order of plate.
    pub programs: Vec<PlateProgram>,
    /// Requests of each team that were given plates, by name; what was called back doesn't count.
    pub given: BTreeMap<String, u32>,
    /// Number of the next plate.
    pub next_seq: u64,
}

sql! {
    HEAD = "SELECT r.head, r.next_seq, COALESCE(v.document, '[]'), r.entries FROM regions r
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
        let mut plan = stored::to_plan(&plan, names)?;
        let mut kept = plates::all(&mut tx, region, names, &self.plates_read).await?;
        let (open, past) = printed_together(&mut kept);
        let is_past = |seq| past.binary_search_by_key(&seq, |plate| plate.seq).is_ok();
        plan.assignments.retain(|place| !is_past(place.plate));
        Ok(Floor {
            revision: row.int(0)?,
            next_seq: row.count(1)?,
            plan,
            plates: open,
            past,
            steps: steps::all(&mut tx, region, row.int(3)?, &self.steps_read).await?,
            outages: outages::all(&mut tx, region).await?,
            programs: programs::latest(&mut tx, region).await?,
            given: plates::given(&mut tx, region).await?,
            kept,
        })
    }
}
