//! Runs that have ended: what was worked out, what they really took, what came of them.

use partpledge_units::ids::RegionId;
use partpledge_units::time::EventMs;

use crate::db::{Row, Tx, sql, values};
use crate::error::StoreError;
use crate::plates::number;
use crate::store::Store;

/// A run that has ended. Never changed afterwards.
#[derive(Clone, Debug, PartialEq, Eq)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is something that is known of its end, or not"
)]
pub struct FinishedRun {
    /// Number of the plate.
    pub plate: u64,
    /// Name of the printer.
    pub printer: String,
    /// Code of the process sheet.
    pub sheet: String,
    /// Worked out from the lines, warming up included, never corrected, min.
    pub worked_out_min: i64,
    /// Started then.
    pub started_at: EventMs,
    /// Ended then, as noted.
    pub ended_at: EventMs,
    /// Copies on the plate.
    pub copies: u32,
    /// Copies that came out good.
    pub good: u32,
    /// Whether it ran to its end; otherwise it failed or was stopped.
    pub whole: bool,
    /// Whether somebody was there, or a machine saw it, when it ended.
    pub witnessed: bool,
    /// Whether the printer itself told when it began and ended; otherwise somebody ticked it.
    pub by_itself: bool,
    /// Whether the time worked out is that of the host's own program, not of our lines.
    pub by_program: bool,
}

sql! {
    ADD = "INSERT INTO finished_runs (region_id, plate_seq, entry, printer, sheet, worked_out_min,
            started_at, ended_at, copies, good, outcome, end_seen, timed_by)
        VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13)";
    ALL = "SELECT plate_seq, printer, sheet, worked_out_min, started_at, ended_at, copies, good,
            outcome, end_seen, timed_by
        FROM finished_runs WHERE region_id = $1
            AND entry NOT IN (SELECT undoes FROM taken_back WHERE region_id = $1)
        ORDER BY entry, plate_seq";
}

const WHOLE: &str = "whole";
const STOPPED: &str = "stopped";
const WITNESSED: &str = "witnessed";
const ITSELF: &str = "itself";
const ITSELF_UNSEEN: &str = "itself-unseen";
const UNSEEN: &str = "unseen";
const LINES: &str = "lines";
const PROGRAM: &str = "program";

/// Writes a run.
pub(crate) async fn add(
    tx: &mut Tx,
    region: RegionId,
    run: &FinishedRun,
    entry: i64,
) -> Result<(), StoreError> {
    let values = values![
        region.to_string(),
        number(run.plate)?,
        entry,
        run.printer.as_str(),
        run.sheet.as_str(),
        run.worked_out_min,
        run.started_at.0,
        run.ended_at.0,
        i64::from(run.copies),
        i64::from(run.good),
        if run.whole { WHOLE } else { STOPPED },
        match (run.by_itself, run.witnessed) {
            (true, true) => ITSELF,
            (true, false) => ITSELF_UNSEEN,
            (false, true) => WITNESSED,
            (false, false) => UNSEEN,
        },
        if run.by_program { PROGRAM } else { LINES }
    ];
    tx.run(ADD, values).await?;
    Ok(())
}

/// Which of two words a column holds.
fn first_of(row: &Row, i: usize, (first, second): (&str, &str)) -> Result<bool, StoreError> {
    let found = row.text(i)?;
    if found == first || found == second {
        return Ok(found == first);
    }
    Err(StoreError::Damaged {
        what: "finished run",
        why: found,
    })
}

/// Whether the printer itself told of the end, and whether it was seen.
fn end_seen(row: &Row, i: usize) -> Result<(bool, bool), StoreError> {
    let found = row.text(i)?;
    match found.as_str() {
        ITSELF => Ok((true, true)),
        ITSELF_UNSEEN => Ok((true, false)),
        WITNESSED => Ok((false, true)),
        UNSEEN => Ok((false, false)),
        _ => Err(StoreError::Damaged {
            what: "finished run",
            why: found,
        }),
    }
}

impl Store {
    /// The finished runs of a region, in the order in which they were noted.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn finished_runs(&self, region: RegionId) -> Result<Vec<FinishedRun>, StoreError> {
        let rows = self.db.rows(ALL, values![region.to_string()]).await?;
        let one = |row: &Row| {
            let (by_itself, witnessed) = end_seen(row, 9)?;
            Ok(FinishedRun {
                plate: row.count(0)?,
                printer: row.text(1)?,
                sheet: row.text(2)?,
                worked_out_min: row.int(3)?,
                started_at: EventMs(row.int(4)?),
                ended_at: EventMs(row.int(5)?),
                copies: row.count(6)?,
                good: row.count(7)?,
                whole: first_of(row, 8, (WHOLE, STOPPED))?,
                witnessed,
                by_itself,
                by_program: first_of(row, 10, (PROGRAM, LINES))?,
            })
        };
        rows.iter().map(one).collect()
    }
}
