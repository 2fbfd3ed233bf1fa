//! Regions: one row each, with the plan's head and the next plate number.

use partpledge_units::ids::RegionId;
use partpledge_units::time::EventMs;

use crate::db::values;
use crate::error::StoreError;
use crate::store::Store;

/// A region as stored.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StoredRegion {
    /// Its id.
    pub id: RegionId,
    /// Its name.
    pub name: String,
    /// The region file, as text.
    pub document: String,
}

impl Store {
    /// Writes a region down, with an empty plan at revision 0.
    ///
    /// # Errors
    /// [`StoreError::Database`], also when the id is taken.
    pub async fn add_region(&self, region: &StoredRegion, at: EventMs) -> Result<(), StoreError> {
        let mut tx = self.db.begin().await?;
        tx.run(
            "INSERT INTO regions (region_id, name, document, head, next_seq, created_at)
             VALUES ($1, $2, $3, 0, 1, $4)",
            values![
                region.id.to_string(),
                region.name.as_str(),
                region.document.as_str(),
                at.0
            ],
        )
        .await?;
        tx.commit().await
    }

    /// The region of that name, or the first one made when no name is given.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn region(&self, name: Option<&str>) -> Result<Option<StoredRegion>, StoreError> {
        let rows = self
            .db
            .rows(
                "SELECT region_id, name, document FROM regions
                 WHERE $1 = '' OR name = $1 ORDER BY created_at, region_id LIMIT 1",
                values![name.unwrap_or_default()],
            )
            .await?;
        let Some(row) = rows.first() else {
            return Ok(None);
        };
        Ok(Some(StoredRegion {
            id: row.id(0)?,
            name: row.text(1)?,
            document: row.text(2)?,
        }))
    }
}
