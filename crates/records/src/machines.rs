//! What printers say of themselves: where the reading of each one's agent stands, and the moments at
//! which one began, stopped, went on or ended.

use partpledge_units::ids::RegionId;
use partpledge_units::time::EventMs;
use partpledge_words::Said;
use serde::{Deserialize, Serialize};

use crate::db::{Row, Tx, sql, values};
use crate::error::StoreError;
use crate::plates::number;
use crate::store::Store;

/// Where the reading of a printer's agent stands.
#[derive(Clone, Debug, PartialEq)]
pub struct MachineWatch {
    /// Name of the printer.
    pub printer: String,
    /// How often this row was written: whoever was slower writes nothing.
    pub turn: i64,
    /// The agent's address and the device there: of another agent nothing is known.
    pub source: String,
    /// When the agent last answered, by our clock.
    pub heard_at: Option<EventMs>,
    /// What is wrong, by its code and in words, and since when by our clock.
    pub fault: Option<(String, Said, EventMs)>,
    /// What was read last; `None` until the first answer.
    pub read: Option<MachineRead>,
}

/// What was read last of an agent.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct MachineRead {
    /// The agent's `instanceId`.
    pub instance: i64,
    /// Number to ask from next.
    pub next: i64,
    /// Which of the machine's values says what it does.
    pub item: String,
    /// What it does, as the standard has it.
    pub execution: String,
    /// Since when, ms, by the agent's clock.
    pub since_ms: i64,
    /// Whether it is in the middle of something.
    pub busy: bool,
    /// The program that is loaded.
    pub program: Option<String>,
    /// Up to when, ms, by the agent's clock, all is read that it had heard.
    pub whole_until_ms: Option<i64>,
}

/// Something that a printer said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MachineMoment {
    /// Name of the printer.
    pub printer: String,
    /// The agent's `instanceId`, and its number of it.
    pub instance: i64,
    /// See there.
    pub sequence: i64,
    /// What: `began`, `halted`, `went-on`, `completed`, `ready`, `stopped`, `lost`.
    pub says: String,
    /// When, by the agent's clock.
    pub at: EventMs,
    /// The plate that it is about, as far as that is known.
    pub plate: Option<u64>,
}

#[derive(Serialize, Deserialize)]
struct Document {
    source: String,
    heard_at: Option<i64>,
    fault: Option<(String, Said, i64)>,
    read: Option<MachineRead>,
}

sql! {
    ALL = "SELECT printer, turn, document FROM machine_watches WHERE region_id = $1
        ORDER BY printer";
    ADD = "INSERT INTO machine_watches (region_id, printer, turn, document)
        VALUES ($1, $2, 1, $3) ON CONFLICT DO NOTHING";
    KEEP = "UPDATE machine_watches SET turn = turn + 1, document = $4
        WHERE region_id = $1 AND printer = $2 AND turn = $3";
    ADD_MOMENT = "INSERT INTO machine_moments (region_id, printer, instance, sequence, says, at,
            plate_seq, entry)
        VALUES ($1, $2, $3, $4, $5, $6, $7, $8)";
    SINCE = "SELECT printer, instance, sequence, says, at, plate_seq FROM machine_moments
        WHERE region_id = $1 AND at >= $2
            AND entry NOT IN (SELECT undoes FROM taken_back WHERE region_id = $1)
        ORDER BY entry";
    OF_MACHINE = "SELECT printer, instance, sequence, says, at, plate_seq FROM machine_moments
        WHERE region_id = $1 AND at >= $2 AND printer = $3
            AND entry NOT IN (SELECT undoes FROM taken_back WHERE region_id = $1)
        ORDER BY entry";
    OF_PLATE = "SELECT printer, instance, sequence, says, at, plate_seq FROM machine_moments
        WHERE region_id = $1 AND plate_seq = $2
            AND entry NOT IN (SELECT undoes FROM taken_back WHERE region_id = $1)
        ORDER BY entry";
}

/// Writes what a printer said, with the entry of the log that says so.
pub(crate) async fn add_moment(
    tx: &mut Tx,
    region: RegionId,
    moment: &MachineMoment,
    entry: i64,
) -> Result<(), StoreError> {
    let plate = moment.plate.map(number).transpose()?;
    let row = values![
        region.to_string(),
        moment.printer.as_str(),
        moment.instance,
        moment.sequence,
        moment.says.as_str(),
        moment.at.0,
        plate,
        entry
    ];
    tx.run(ADD_MOMENT, row).await?;
    Ok(())
}

fn moment(row: &Row) -> Result<MachineMoment, StoreError> {
    Ok(MachineMoment {
        printer: row.text(0)?,
        instance: row.int(1)?,
        sequence: row.int(2)?,
        says: row.text(3)?,
        at: EventMs(row.int(4)?),
        plate: row
            .opt_int(5)?
            .map(|seq| {
                u64::try_from(seq).map_err(|_| StoreError::Damaged {
                    what: "number",
                    why: seq.to_string(),
                })
            })
            .transpose()?,
    })
}

impl Store {
    /// Where the reading of every printer's agent stands, by name of the printer.
    ///
    /// # Errors
    /// [`StoreError::Database`], [`StoreError::Damaged`].
    pub async fn machine_watches(&self, region: RegionId) -> Result<Vec<MachineWatch>, StoreError> {
        let rows = self.db.rows(ALL, values![region.to_string()]).await?;
        let one = |row: &Row| {
            let document: Document = crate::stored::read("machine watch", &row.text(2)?)?;
            Ok(MachineWatch {
                printer: row.text(0)?,
                turn: row.int(1)?,
                source: document.source,
                heard_at: document.heard_at.map(EventMs),
                fault: document
                    .fault
                    .map(|(code, words, since)| (code, words, EventMs(since))),
                read: document.read,
            })
        };
        rows.iter().map(one).collect()
    }

    /// Writes where the reading of a printer's agent stands; `turn` is that of the row it was made
    /// from, 0 for none. `false` when another server was faster; nothing is written then.
    ///
    /// # Errors
    /// [`StoreError::Database`].
    pub async fn keep_machine_watch(
        &self,
        region: RegionId,
        watch: &MachineWatch,
    ) -> Result<bool, StoreError> {
        let fault = watch.fault.clone();
        let document = crate::stored::write(&Document {
            source: watch.source.clone(),
            heard_at: watch.heard_at.map(|at| at.0),
            fault: fault.map(|(code, words, since)| (code, words, since.0)),
            read: watch.read.clone(),
        })?;
        let (region, printer) = (region.to_string(), watch.printer.as_str());
        let mut tx = self.db.begin().await?;
        let written = if watch.turn == 0 {
            tx.run(ADD, values![region, printer, document]).await?
        } else {
            let row = values![region, printer, watch.turn, document];
            tx.run(KEEP, row).await?
        };
        tx.commit().await?;
        Ok(written > 0)
    }

    /// What printers said from a moment on, in the order in which it was read.
    ///
    /// # Errors
    /// As [`Store::machine_watches`].
    pub async fn machine_moments_since(
        &self,
        region: RegionId,
        since: EventMs,
    ) -> Result<Vec<MachineMoment>, StoreError> {
        let which = values![region.to_string(), since.0];
        let rows = self.db.rows(SINCE, which).await?;
        rows.iter().map(moment).collect()
    }

    /// The same of one printer.
    ///
    /// # Errors
    /// As [`Store::machine_watches`].
    pub async fn moments_of_machine(
        &self,
        region: RegionId,
        printer: &str,
        since: EventMs,
    ) -> Result<Vec<MachineMoment>, StoreError> {
        let which = values![region.to_string(), since.0, printer];
        let rows = self.db.rows(OF_MACHINE, which).await?;
        rows.iter().map(moment).collect()
    }

    /// What printers said of a plate, in the order in which it was read.
    ///
    /// # Errors
    /// As [`Store::machine_watches`].
    pub async fn machine_moments_of(
        &self,
        region: RegionId,
        plate: u64,
    ) -> Result<Vec<MachineMoment>, StoreError> {
        let which = values![region.to_string(), number(plate)?];
        let rows = self.db.rows(OF_PLATE, which).await?;
        rows.iter().map(moment).collect()
    }
}
