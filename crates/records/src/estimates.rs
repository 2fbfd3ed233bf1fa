//! Estimates: keyed by what they depend on, never overwritten.

use partpledge_units::ids::{EstimateId, IdSource, RegionId, VersionId};
use partpledge_units::time::EventMs;

use crate::db::values;
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

impl Store {
    /// Keeps an estimate if there is none yet; the one that is kept.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn keep_estimate(
        &self,
        region: RegionId,
        key: &EstimateKey,
        payload: &str,
        ids: &mut IdSource,
        at: EventMs,
    ) -> Result<String, StoreError> {
        let mut tx = self.db.begin().await?;
        tx.run(
            "INSERT INTO estimates (region_id, estimate_id, version_id, orientation, sheet, class,
                engine, payload, created_at)
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)
             ON CONFLICT (region_id, version_id, orientation, sheet, class, engine) DO NOTHING",
            values![
                region.to_string(),
                EstimateId::fresh(ids, at).to_string(),
                key.version.to_string(),
                key.orientation.as_str(),
                key.sheet.as_str(),
                key.class.as_str(),
                key.engine.as_str(),
                payload,
                at.0
            ],
        )
        .await?;
        tx.commit().await?;
        Ok(self
            .estimate(region, key)
            .await?
            .unwrap_or_else(|| payload.to_owned()))
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
        let rows = self
            .db
            .rows(
                "SELECT payload FROM estimates WHERE region_id = $1 AND version_id = $2
                 AND orientation = $3 AND sheet = $4 AND class = $5 AND engine = $6",
                values![
                    region.to_string(),
                    key.version.to_string(),
                    key.orientation.as_str(),
                    key.sheet.as_str(),
                    key.class.as_str(),
                    key.engine.as_str()
                ],
            )
            .await?;
        rows.first().map(|row| row.text(0)).transpose()
    }
}
