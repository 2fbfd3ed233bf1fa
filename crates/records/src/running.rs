//! Plates that run at present, with what they take: few, however many the season had.

use std::collections::BTreeMap;

use partpledge_planning_model::Plate;
use partpledge_units::ids::RegionId;
use partpledge_units::time::EventMs;

use crate::db::{sql, values};
use crate::error::StoreError;
use crate::floor::Names;
use crate::programs::{PlateProgram, latest};
use crate::store::Store;
use crate::stored::{self, StoredPlate};

/// A plate that runs.
#[derive(Clone, Debug, PartialEq)]
pub struct RunningPlate {
    /// The plate as it was first made; those who joined it are only in `grams`.
    pub plate: Plate,
    /// Name of its printer.
    pub printer: String,
    /// Started then.
    pub started_at: EventMs,
    /// Filament of all that lies on it by our own working out, g.
    pub grams: i64,
    /// Its host's own program for it, if one came; it counts on printers of its class.
    pub program: Option<PlateProgram>,
}

sql! {
    /// What joined a plate is a row of its own, after it.
    ALL = "SELECT s.plate_seq, s.printer, s.at, p.document, p.seq FROM plates p
        JOIN run_steps s ON s.region_id = p.region_id AND s.step = 'started'
            AND s.plate_seq = COALESCE(p.joins, p.seq)
            AND s.entry NOT IN (SELECT undoes FROM taken_back WHERE region_id = $1)
        WHERE p.region_id = $1 AND p.state = 'open' AND NOT EXISTS (SELECT 1 FROM run_steps e
            WHERE e.region_id = s.region_id AND e.plate_seq = s.plate_seq
                AND e.step IN ('off', 'failed')
                AND e.entry NOT IN (SELECT undoes FROM taken_back WHERE region_id = $1))
        ORDER BY s.plate_seq, p.seq";
}

impl Store {
    /// Plates that were started and are neither off nor lost, in order of number.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn running(
        &self,
        region: RegionId,
        names: &Names,
    ) -> Result<Vec<RunningPlate>, StoreError> {
        let mut tx = self.db.snapshot().await?;
        let rows = tx.rows(ALL, values![region.to_string()]).await?;
        let programs = latest(&mut tx, region).await?;
        let mut out: BTreeMap<u64, RunningPlate> = BTreeMap::new();
        for row in &rows {
            let document: StoredPlate = stored::read("plate", &row.text(3)?)?;
            let plate = document.to_plate(row.count(0)?, names)?;
            let grams = plate.grams;
            if let Some(first) = out.get_mut(&row.count::<u64>(0)?) {
                first.grams += grams;
                continue;
            }
            let running = RunningPlate {
                printer: row.text(1)?,
                started_at: EventMs(row.int(2)?),
                grams,
                program: programs
                    .iter()
                    .find(|one| one.plate == plate.seq.0)
                    .cloned(),
                plate,
            };
            out.insert(row.count(0)?, running);
        }
        Ok(out.into_values().collect())
    }
}
