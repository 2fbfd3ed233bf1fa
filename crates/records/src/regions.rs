//! Regions: one row each, with the plan's head, the next plate number and the length of the log.

use partpledge_units::ids::RegionId;
use partpledge_units::time::EventMs;

use crate::db::{Row, Tx, sql, values};
use crate::error::StoreError;
use crate::store::Store;

/// A region as stored.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StoredRegion {
    /// Its id.
    pub id: RegionId,
    /// Its name; no two regions in a store share one.
    pub name: String,
    /// The region file, as text.
    pub document: String,
}

sql! {
    ADD = "INSERT INTO regions (region_id, name, document, head, next_seq, entries, created_at)
        VALUES ($1, $2, $3, 0, 1, 0, $4) ON CONFLICT (name) DO NOTHING";
    BY_NAME = "SELECT region_id, name, document FROM regions WHERE name = $1";
    /// Changes nothing; until the transaction ends nobody else writes in this region.
    LOCK = "UPDATE regions SET head = head WHERE region_id = $1";
    REVISION = "SELECT head FROM regions WHERE region_id = $1";
    FIRST = "SELECT region_id, name, document FROM regions ORDER BY created_at, region_id LIMIT 1";
}

fn from_row(row: &Row) -> Result<StoredRegion, StoreError> {
    Ok(StoredRegion {
        id: row.id(0)?,
        name: row.text(1)?,
        document: row.text(2)?,
    })
}

/// Keeps other writers out of the region until the transaction ends. On `SQLite` only one writes
/// anyway; on PostgreSQL this waits for the one before, and what it wrote is seen from here on.
pub(crate) async fn lock(tx: &mut Tx, region: RegionId) -> Result<(), StoreError> {
    match tx.run(LOCK, values![region.to_string()]).await? {
        0 => Err(StoreError::NoSuchRegion(region.to_string())),
        _ => Ok(()),
    }
}

/// Whether the plan is still at that revision.
pub(crate) async fn at_revision(
    tx: &mut Tx,
    region: RegionId,
    expected: i64,
) -> Result<(), StoreError> {
    let rows = tx.rows(REVISION, values![region.to_string()]).await?;
    let row = rows
        .first()
        .ok_or_else(|| StoreError::NoSuchRegion(region.to_string()))?;
    match row.int(0)? {
        current if current == expected => Ok(()),
        current => Err(StoreError::Stale { expected, current }),
    }
}

impl Store {
    /// Writes a region down, with an empty plan at revision 0, unless one of that name is there;
    /// the one that is there then. Of two programs that start with the same region at once, both
    /// get the same one.
    ///
    /// # Errors
    /// [`StoreError::Database`], also when the id is taken by a region of another name.
    pub async fn add_region(
        &self,
        region: &StoredRegion,
        at: EventMs,
    ) -> Result<StoredRegion, StoreError> {
        let mut tx = self.db.begin().await?;
        let (name, document) = (region.name.as_str(), region.document.as_str());
        tx.run(ADD, values![region.id.to_string(), name, document, at.0])
            .await?;
        let rows = tx.rows(BY_NAME, values![name]).await?;
        let kept = rows.first().map(from_row).transpose()?;
        tx.commit().await?;
        kept.ok_or_else(|| StoreError::NoSuchRegion(region.name.clone()))
    }

    /// The region of that name, or the first one made when no name is given.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn region(&self, name: Option<&str>) -> Result<Option<StoredRegion>, StoreError> {
        let rows = match name {
            Some(name) => self.db.rows(BY_NAME, values![name]).await?,
            None => self.db.rows(FIRST, &[]).await?,
        };
        rows.first().map(from_row).transpose()
    }
}
