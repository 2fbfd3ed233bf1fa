//! Parts and their immutable versions.

use partpledge_units::ids::{IdSource, PartId, RegionId, VersionId};
use partpledge_units::time::EventMs;

use crate::blobs::BlobHash;
use crate::db::{Row, Tx, sql, values};
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
    /// The file's name.
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
    /// When it was written down.
    pub created_at: EventMs,
}

sql! {
    ADD_PART = "INSERT INTO parts (region_id, team, name, part_id, created_at)
        VALUES ($1, $2, $3, $4, $5) ON CONFLICT (region_id, team, name) DO NOTHING";
    FIND_PART = "SELECT part_id FROM parts WHERE region_id = $1 AND team = $2 AND name = $3";
    ADD_VERSION = "INSERT INTO part_versions (region_id, part_id, blob, unit, engine, version_id,
            file_name, unit_source, facts, findings, repairs, created_at)
        VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)
        ON CONFLICT (region_id, part_id, blob, unit, engine) DO NOTHING";
    FIND_VERSION = "SELECT version_id FROM part_versions WHERE region_id = $1 AND part_id = $2
        AND blob = $3 AND unit = $4 AND engine = $5";
    BY_ID = "SELECT version_id, part_id, blob, file_name, unit, unit_source, facts, findings,
            repairs, engine, created_at
        FROM part_versions WHERE region_id = $1 AND version_id = $2";
    BY_BLOB = "SELECT version_id, part_id, blob, file_name, unit, unit_source, facts, findings,
            repairs, engine, created_at
        FROM part_versions WHERE region_id = $1 AND blob = $2 AND unit = $3 AND engine = $4
        ORDER BY created_at, version_id LIMIT 1";
}

fn from_row(row: &Row) -> Result<Version, StoreError> {
    Ok(Version {
        id: row.id(0)?,
        part: row.id(1)?,
        blob: row.parsed(2, "file hash")?,
        file_name: row.text(3)?,
        unit: row.text(4)?,
        unit_source: row.text(5)?,
        facts: row.text(6)?,
        findings: row.text(7)?,
        repairs: row.text(8)?,
        engine: row.text(9)?,
        created_at: EventMs(row.int(10)?),
    })
}

/// The id in the only row; there is one, since it was written or found a moment ago.
fn only<T: std::str::FromStr>(rows: &[Row], what: &'static str) -> Result<T, StoreError> {
    let gone = || StoreError::NoSuch {
        what,
        id: "just written".to_owned(),
    };
    rows.first().ok_or_else(gone)?.id(0)
}

/// The part of that team and name, made if it is not there.
async fn part_of(
    tx: &mut Tx,
    region: RegionId,
    new: &NewVersion,
    ids: &mut IdSource,
    at: EventMs,
) -> Result<PartId, StoreError> {
    let (region, team, name) = (region.to_string(), new.team.as_str(), new.part.as_str());
    let fresh = PartId::fresh(ids, at).to_string();
    tx.run(ADD_PART, values![region.as_str(), team, name, fresh, at.0])
        .await?;
    only(
        &tx.rows(FIND_PART, values![region, team, name]).await?,
        "part",
    )
}

impl Store {
    /// Writes a version down; the same file in the same unit, judged by the same engine, for the
    /// same part is the version that is there already.
    ///
    /// # Errors
    /// [`StoreError::Database`], also for a region that is not there.
    pub async fn add_version(
        &self,
        region: RegionId,
        new: &NewVersion,
        ids: &mut IdSource,
        at: EventMs,
    ) -> Result<VersionId, StoreError> {
        let mut tx = self.db.begin().await?;
        let part = part_of(&mut tx, region, new, ids, at).await?;
        let key = values![
            region.to_string(),
            part.to_string(),
            new.blob.as_str(),
            new.unit.as_str(),
            new.engine.as_str()
        ];
        let rest = values![
            VersionId::fresh(ids, at).to_string(),
            new.file_name.as_str(),
            new.unit_source.as_str(),
            new.facts.as_str(),
            new.findings.as_str(),
            new.repairs.as_str(),
            at.0
        ];
        tx.run(ADD_VERSION, &[key.as_slice(), rest.as_slice()].concat())
            .await?;
        let version = only(&tx.rows(FIND_VERSION, key).await?, "version")?;
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
        let values = values![region.to_string(), version.to_string()];
        self.db
            .rows(BY_ID, values)
            .await?
            .first()
            .map(from_row)
            .transpose()
    }

    /// The oldest version made of this very file, read in this unit and judged by this engine,
    /// whoever sent it: its facts and findings need not be worked out again.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn version_of_blob(
        &self,
        region: RegionId,
        blob: &BlobHash,
        unit: &str,
        engine: &str,
    ) -> Result<Option<Version>, StoreError> {
        let values = values![region.to_string(), blob.as_str(), unit, engine];
        self.db
            .rows(BY_BLOB, values)
            .await?
            .first()
            .map(from_row)
            .transpose()
    }
}
