//! Parts and their immutable versions.

use partpledge_units::ids::{IdSource, PartId, RegionId, VersionId};
use partpledge_units::time::EventMs;

use crate::blobs::BlobHash;
use crate::db::values;
use crate::error::StoreError;
use crate::store::Store;

/// A version to be written down.
#[derive(Clone, Debug)]
pub struct NewVersion {
    /// The team that sent it.
    pub team: String,
    /// What the team calls the part; the same name is the same part.
    pub part: String,
    /// The file, kept before.
    pub blob: BlobHash,
    /// Its name, without folders.
    pub file_name: String,
    /// Symbol of the unit used.
    pub unit: String,
    /// `file`, `option` or `guess`.
    pub unit_source: String,
    /// JSON.
    pub facts: String,
    /// JSON.
    pub findings: String,
    /// JSON.
    pub repairs: String,
    /// Version of the engine that judged it.
    pub engine: String,
}

/// A version as stored.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Version {
    /// Its id.
    pub id: VersionId,
    /// The part it is of.
    pub part: PartId,
    /// The file.
    pub blob: BlobHash,
    /// JSON.
    pub facts: String,
    /// JSON.
    pub findings: String,
}

impl Store {
    /// Writes a version down; the same file in the same unit, judged by the same engine, for the
    /// same part is the version that is there already.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn add_version(
        &self,
        region: RegionId,
        new: &NewVersion,
        ids: &mut IdSource,
        at: EventMs,
    ) -> Result<VersionId, StoreError> {
        let region = region.to_string();
        let mut tx = self.db.begin().await?;
        let found = tx
            .rows(
                "SELECT part_id FROM parts WHERE region_id = $1 AND team = $2 AND name = $3
                 ORDER BY created_at, part_id LIMIT 1",
                values![region.as_str(), new.team.as_str(), new.part.as_str()],
            )
            .await?;
        let part: PartId = match found.first() {
            Some(row) => row.id(0)?,
            None => {
                let part = PartId::fresh(ids, at);
                tx.run(
                    "INSERT INTO parts (region_id, part_id, team, name, created_at)
                     VALUES ($1, $2, $3, $4, $5)",
                    values![
                        region.as_str(),
                        part.to_string(),
                        new.team.as_str(),
                        new.part.as_str(),
                        at.0
                    ],
                )
                .await?;
                part
            }
        };
        let known = tx
            .rows(
                "SELECT version_id FROM part_versions WHERE region_id = $1 AND part_id = $2
                 AND blob = $3 AND unit = $4 AND engine = $5",
                values![
                    region.as_str(),
                    part.to_string(),
                    new.blob.as_str(),
                    new.unit.as_str(),
                    new.engine.as_str()
                ],
            )
            .await?;
        if let Some(row) = known.first() {
            return row.id(0);
        }
        let version = VersionId::fresh(ids, at);
        tx.run(
            "INSERT INTO part_versions (region_id, version_id, part_id, blob, file_name, unit,
                unit_source, facts, findings, repairs, engine, created_at)
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)",
            values![
                region,
                version.to_string(),
                part.to_string(),
                new.blob.as_str(),
                new.file_name.as_str(),
                new.unit.as_str(),
                new.unit_source.as_str(),
                new.facts.as_str(),
                new.findings.as_str(),
                new.repairs.as_str(),
                new.engine.as_str(),
                at.0
            ],
        )
        .await?;
        tx.commit().await?;
        Ok(version)
    }

    /// A version.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn version(
        &self,
        region: RegionId,
        version: VersionId,
    ) -> Result<Option<Version>, StoreError> {
        let rows = self
            .db
            .rows(
                "SELECT part_id, blob, facts, findings FROM part_versions
                 WHERE region_id = $1 AND version_id = $2",
                values![region.to_string(), version.to_string()],
            )
            .await?;
        let Some(row) = rows.first() else {
            return Ok(None);
        };
        Ok(Some(Version {
            id: version,
            part: row.id(0)?,
            blob: BlobHash::stored(row.text(1)?),
            facts: row.text(2)?,
            findings: row.text(3)?,
        }))
    }
}
