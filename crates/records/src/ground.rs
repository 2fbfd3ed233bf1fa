//! What the region stands on, as it was changed: schools closed for a while, printers back in use, and
//! newer region files.

use std::collections::BTreeMap;

use partpledge_units::ids::RegionId;
use partpledge_units::time::{EventMs, Minute};
use partpledge_words::Said;

use crate::codes;
use crate::db::{Tx, sql, values};
use crate::error::StoreError;
use crate::events::Deed;
use crate::outages::{self, BackInUse};
use crate::persons::Held;
use crate::store::Store;
use crate::stored;

/// Schools that are closed for a while, all by one deed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SiteClosure {
    /// Codes of the schools.
    pub schools: Vec<String>,
    /// Since when.
    pub from: Minute,
    /// Until when.
    pub until: Minute,
    /// Why.
    pub reason: String,
}

/// A closure on record that was not lifted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptClosure {
    /// Entry of the log that it came with; it is lifted by this.
    pub entry: i64,
    /// When it was told.
    pub at: EventMs,
    /// What is closed; its schools stand in order of code.
    pub closure: SiteClosure,
}

/// A region file in place of the one before.
#[derive(Clone, Debug, PartialEq)]
pub struct NewRegionFile {
    /// Revision that it was made from; 0 is the file that the region began with.
    pub from: i64,
    /// The file, as text.
    pub document: String,
    /// What was changed, in a few words.
    pub reason: Said,
    /// Roles at what is taken out: codes and links that give them work no more.
    pub gone: Vec<Held>,
}

/// A region file on record, without its text.
#[derive(Clone, Debug, PartialEq)]
pub struct RegionFileEntry {
    /// Its revision.
    pub revision: i64,
    /// Who made it, by reference.
    pub actor: String,
    /// When.
    pub at: EventMs,
    /// What was changed.
    pub reason: Said,
}

/// What a happening changes of the ground.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct GroundChange {
    /// Schools that are closed for a while.
    pub closure: Option<SiteClosure>,
    /// The region file from now on.
    pub file: Option<NewRegionFile>,
    /// A printer that can be used again.
    pub back: Option<BackInUse>,
}

sql! {
    CLOSE = "INSERT INTO site_closures (region_id, entry, school, from_min, until_min, reason, at)
        VALUES ($1, $2, $3, $4, $5, $6, $7)";
    CLOSED = "SELECT entry, school, from_min, until_min, reason, at FROM site_closures
        WHERE region_id = $1
            AND entry NOT IN (SELECT undoes FROM taken_back WHERE region_id = $1)
        ORDER BY entry, school";
    ADD_FILE = "INSERT INTO region_files (region_id, revision, entry, actor, at, reason, document)
        VALUES ($1, $2, $3, $4, $5, $6, $7)";
    HEAD_FILE = "SELECT CAST(COALESCE(MAX(revision), 0) AS BIGINT) FROM region_files
        WHERE region_id = $1";
    NEWEST = "SELECT revision, document FROM region_files
        WHERE region_id = $1 AND revision > $2 ORDER BY revision DESC LIMIT 1";
    DOCUMENTS = "SELECT document FROM region_files WHERE region_id = $1 ORDER BY revision DESC";
    FIRST = "SELECT document FROM regions WHERE region_id = $1";
    FILES = "SELECT revision, actor, at, reason FROM region_files
        WHERE region_id = $1 ORDER BY revision DESC LIMIT 50";
}

/// Writes what a happening changes, in its transaction.
pub(crate) async fn change(
    tx: &mut Tx,
    region: RegionId,
    what: &GroundChange,
    (deed, entry): (&Deed, i64),
) -> Result<(), StoreError> {
    if let Some(closure) = &what.closure {
        for school in &closure.schools {
            let values = values![
                region.to_string(),
                entry,
                school.as_str(),
                closure.from.0,
                closure.until.0,
                closure.reason.as_str(),
                deed.received_at.0
            ];
            tx.run(CLOSE, values).await?;
        }
    }
    if let Some(back) = &what.back {
        outages::end(tx, region, back, entry).await?;
    }
    let Some(file) = &what.file else {
        return Ok(());
    };
    let rows = tx.rows(HEAD_FILE, values![region.to_string()]).await?;
    let current = rows.first().map_or(Ok(0), |row| row.int(0))?;
    if current != file.from {
        let expected = file.from;
        return Err(StoreError::RegionMoved { expected, current });
    }
    let values = values![
        region.to_string(),
        current + 1,
        entry,
        deed.actor.as_str(),
        deed.received_at.0,
        stored::write(&file.reason)?,
        file.document.as_str()
    ];
    tx.run(ADD_FILE, values).await?;
    for held in &file.gone {
        codes::stop_giving(tx, region, held, deed.received_at).await?;
    }
    Ok(())
}

impl Store {
    /// Closures that were not lifted, in the order in which they were told.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn closures(&self, region: RegionId) -> Result<Vec<KeptClosure>, StoreError> {
        let rows = self.db.rows(CLOSED, values![region.to_string()]).await?;
        let mut out: BTreeMap<i64, KeptClosure> = BTreeMap::new();
        for row in &rows {
            let entry = row.int(0)?;
            let kept = out.entry(entry).or_insert(KeptClosure {
                entry,
                at: EventMs(row.int(5)?),
                closure: SiteClosure {
                    schools: Vec::new(),
                    from: Minute(row.int(2)?),
                    until: Minute(row.int(3)?),
                    reason: row.text(4)?,
                },
            });
            kept.closure.schools.push(row.text(1)?);
        }
        Ok(out.into_values().collect())
    }

    /// The newest region file and its revision, if there is one after revision `known`.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn region_file_after(
        &self,
        region: RegionId,
        known: i64,
    ) -> Result<Option<(i64, String)>, StoreError> {
        let which = values![region.to_string(), known];
        let rows = self.db.rows(NEWEST, which).await?;
        let newest = rows.first().map(|row| Ok((row.int(0)?, row.text(1)?)));
        newest.transpose()
    }

    /// Every region file that there was, as text, the newest first.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn region_documents(&self, region: RegionId) -> Result<Vec<String>, StoreError> {
        let which = values![region.to_string()];
        let mut rows = self.db.rows(DOCUMENTS, which).await?;
        rows.extend(self.db.rows(FIRST, which).await?);
        rows.iter().map(|row| row.text(0)).collect()
    }

    /// Who changed the region file, when and what, newest first, at most 50.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn region_files(&self, region: RegionId) -> Result<Vec<RegionFileEntry>, StoreError> {
        let rows = self.db.rows(FILES, values![region.to_string()]).await?;
        let one = |row: &crate::db::Row| {
            Ok(RegionFileEntry {
                revision: row.int(0)?,
                actor: row.text(1)?,
                at: EventMs(row.int(2)?),
                reason: stored::said(&row.text(3)?),
            })
        };
        rows.iter().map(one).collect()
    }
}
