//! Motion programs of hosts: what a plate's own program takes in place of the estimate.

use partpledge_units::ids::RegionId;
use partpledge_units::time::EventMs;
use serde::{Deserialize, Serialize};

use crate::blobs::{BlobHash, BlobHashError};
use crate::db::{Row, Tx, sql, values};
use crate::error::StoreError;
use crate::floor::Floor;
use crate::plates::number;
use crate::stored;

/// A program received for a plate. Never changed afterwards; the latest of a plate counts.
#[derive(Clone, Debug, PartialEq)]
pub struct PlateProgram {
    /// Number of the plate.
    pub plate: u64,
    /// Code of the class whose limits it was timed with; it counts on no other.
    pub class: String,
    /// The program as it came, in the blob store before this is written.
    pub blob: BlobHash,
    /// Its file's name.
    pub file_name: String,
    /// What it takes, warming up and `levelling_min` included, min.
    pub worked_out_min: i64,
    /// What of it the class takes for measuring the bed, which no program says, min.
    pub levelling_min: i64,
    /// Filament it feeds, g.
    pub mass_g: f64,
    /// Heights at which it lays something.
    pub layers: u64,
    /// What was counted and not used, the most frequent first.
    pub not_used: Vec<NotUsed>,
    /// When it was received.
    pub received_at: EventMs,
}

/// A word of a program that was counted and not used.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct NotUsed {
    /// The word.
    pub word: String,
    /// How often it stood there.
    pub count: u64,
}

sql! {
    ADD = "INSERT INTO plate_programs (region_id, entry, plate_seq, class, blob, file_name,
            worked_out_min, levelling_min, mass_g, layers, not_used, received_at)
        VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)";
    LATEST = "SELECT plate_seq, class, blob, file_name, worked_out_min, levelling_min,
            mass_g, layers, not_used, received_at
        FROM plate_programs p WHERE region_id = $1 AND entry = (SELECT MAX(entry)
            FROM plate_programs l WHERE l.region_id = p.region_id AND l.plate_seq = p.plate_seq)
        ORDER BY plate_seq";
}

/// Writes a program.
pub(crate) async fn add(
    tx: &mut Tx,
    region: RegionId,
    program: &PlateProgram,
    entry: i64,
) -> Result<(), StoreError> {
    let values = values![
        region.to_string(),
        entry,
        number(program.plate)?,
        program.class.as_str(),
        program.blob.as_str(),
        program.file_name.as_str(),
        program.worked_out_min,
        program.levelling_min,
        program.mass_g,
        number(program.layers)?,
        stored::write(&program.not_used)?,
        program.received_at.0
    ];
    tx.run(ADD, values).await?;
    Ok(())
}

/// The latest program of every plate that has one, in order of plate.
pub(crate) async fn latest(tx: &mut Tx, region: RegionId) -> Result<Vec<PlateProgram>, StoreError> {
    let rows = tx.rows(LATEST, values![region.to_string()]).await?;
    let one = |row: &Row| {
        let damaged = |BlobHashError(why)| StoreError::Damaged {
            what: "program",
            why,
        };
        Ok(PlateProgram {
            plate: row.count(0)?,
            class: row.text(1)?,
            blob: row.text(2)?.parse().map_err(damaged)?,
            file_name: row.text(3)?,
            worked_out_min: row.int(4)?,
            levelling_min: row.int(5)?,
            mass_g: row.real(6)?,
            layers: row.count(7)?,
            not_used: stored::read("program", &row.text(8)?)?,
            received_at: EventMs(row.int(9)?),
        })
    };
    rows.iter().map(one).collect()
}

impl Floor {
    /// The latest program of a plate, if it has one.
    #[must_use]
    pub fn program_of(&self, plate: u64) -> Option<&PlateProgram> {
        let at = (self.programs).binary_search_by_key(&plate, |program| program.plate);
        at.ok().map(|at| &self.programs[at])
    }
}
