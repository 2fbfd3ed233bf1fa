//! Pledges: append-only. A new forecast never edits a given date.

use partpledge_units::ids::{PledgeId, RegionId, RequestId};
use partpledge_units::time::{EventMs, Minute};

use crate::db::{Row, values};
use crate::error::StoreError;
use crate::store::Store;

/// What an entry says about a pledge.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PledgeKind {
    /// Given to a team.
    Given,
    /// The team had it in time.
    Kept,
    /// It did not; stays on record.
    Broken,
    /// The team called it back.
    Withdrawn,
    /// Another pledge took its place, with the team's word.
    Superseded,
}

impl PledgeKind {
    /// As stored.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Given => "given",
            Self::Kept => "kept",
            Self::Broken => "broken",
            Self::Withdrawn => "withdrawn",
            Self::Superseded => "superseded",
        }
    }
}

/// A given pledge.
#[derive(Clone, Debug, PartialEq)]
pub struct Pledge {
    /// Its id.
    pub id: PledgeId,
    /// For which request.
    pub request: RequestId,
    /// The team holds the part by then.
    pub arrival: Minute,
    /// Where.
    pub place: String,
    /// Chance stated, of this very arrival.
    pub probability: f64,
    /// Plan revision that it made.
    pub plan_revision: i64,
    /// When it was given.
    pub recorded_at: EventMs,
    /// The whole answer, as JSON, to be shown again.
    pub document: String,
}

pub(crate) const COLUMNS: &str = "SELECT pledge_id, request_id, arrival, place, probability, plan_revision, recorded_at, document
     FROM pledges WHERE region_id = $1 AND kind = 'given' ORDER BY entry";

pub(crate) fn from_row(row: &Row) -> Result<Pledge, StoreError> {
    Ok(Pledge {
        id: row.id(0)?,
        request: row.id(1)?,
        arrival: Minute(row.int(2)?),
        place: row.text(3)?,
        probability: row.real(4)?,
        plan_revision: row.int(5)?,
        recorded_at: EventMs(row.int(6)?),
        document: row.text(7)?,
    })
}

impl Store {
    /// All pledges given in a region, oldest first.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn pledges(&self, region: RegionId) -> Result<Vec<Pledge>, StoreError> {
        let rows = self.db.rows(COLUMNS, values![region.to_string()]).await?;
        rows.iter().map(from_row).collect()
    }
}
