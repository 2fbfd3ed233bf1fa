//! Estimates: keyed by what they depend on, never overwritten.

use partpledge_units::ids::{EstimateId, IdSource, RegionId, VersionId};
use partpledge_units::time::EventMs;

use crate::db::{Row, Value, sql, values};
use crate::error::StoreError;
use crate::store::Store;

/// What an estimate depends on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EstimateKey {
    /// Part version.
    pub version: VersionId,
    /// Name of the build orientation.
    pub orientation: String,
    /// Code of the process sheet, with its overrides.
    pub sheet: String,
    /// Code of the printer class.
    pub class: String,
    /// Version of the engine that worked it out.
    pub engine: String,
}

sql! {
    KEEP = "INSERT INTO estimates (region_id, version_id, orientation, sheet, class, engine,
            estimate_id, payload, created_at)
        VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)
        ON CONFLICT (region_id, version_id, orientation, sheet, class, engine) DO NOTHING";
    OF_VERSION = "SELECT version_id, orientation, sheet, class, engine, payload FROM estimates
        WHERE region_id = $1 AND version_id = $2 ORDER BY orientation, sheet, class, engine";
    FIND = "SELECT payload FROM estimates WHERE region_id = $1 AND version_id = $2
        AND orientation = $3 AND sheet = $4 AND class = $5 AND engine = $6";
}

fn key_values(region: RegionId, key: &EstimateKey) -> [Value; 6] {
    [
        region.to_string().into(),
        key.version.to_string().into(),
        key.orientation.as_str().into(),
        key.sheet.as_str().into(),
        key.class.as_str().into(),
        key.engine.as_str().into(),
    ]
}

impl Store {
    /// Keeps an estimate (JSON) if there is none yet; the one that is kept.
    ///
    /// # Errors
    /// [`StoreError::Database`], also for a version that is not in the region.
    pub async fn keep_estimate(
        &self,
        region: RegionId,
        key: &EstimateKey,
        payload: &str,
        ids: &mut IdSource,
        at: EventMs,
    ) -> Result<String, StoreError> {
        let mut tx = self.db.begin().await?;
        let key = key_values(region, key);
        let id = EstimateId::fresh(ids, at).to_string();
        let all = [&key, values![id, payload, at.0].as_slice()].concat();
        tx.run(KEEP, &all).await?;
        let rows = tx.rows(FIND, &key).await?;
        tx.commit().await?;
        rows.first()
            .map_or(Ok(payload.to_owned()), |row| row.text(0))
    }

    /// The estimate with that key.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn estimate(
        &self,
        region: RegionId,
        key: &EstimateKey,
    ) -> Result<Option<String>, StoreError> {
        let rows = self.db.rows(FIND, &key_values(region, key)).await?;
        rows.first().map(|row| row.text(0)).transpose()
    }

    /// Every estimate of a version.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn estimates_of(
        &self,
        region: RegionId,
        version: VersionId,
    ) -> Result<Vec<(EstimateKey, String)>, StoreError> {
        let values = values![region.to_string(), version.to_string()];
        let rows = self.db.rows(OF_VERSION, values).await?;
        let one = |row: &Row| {
            let key = EstimateKey {
                version: row.id(0)?,
                orientation: row.text(1)?,
                sheet: row.text(2)?,
                class: row.text(3)?,
                engine: row.text(4)?,
            };
            Ok((key, row.text(5)?))
        };
        rows.iter().map(one).collect()
    }
}
