//! What people did with a plate, step by step.

use std::sync::{Mutex, MutexGuard};

use partpledge_units::ids::RegionId;
use partpledge_units::time::EventMs;

use crate::db::{Row, Tx, sql, values};
use crate::error::StoreError;
use crate::plates::number;
use crate::undo;

macro_rules! steps {
    ($($(#[$doc:meta])* $name:ident = $text:literal),+ $(,)?) => {
        /// A step of a plate's life at the bench; each is taken once.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum StepKind { $($(#[$doc])* $name),+ }

        impl StepKind {
            /// All steps, in order.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];

            /// As it is stored.
            #[must_use]
            pub fn as_str(self) -> &'static str {
                match self { $(Self::$name => $text),+ }
            }
        }
    };
}

steps! {
    /// The printer runs.
    Started = "started",
    /// Somebody looked at the first layer.
    Looked = "looked",
    /// Off the bed; so many copies were good.
    Off = "off",
    /// Lost.
    Failed = "failed",
    /// The copies are in their box.
    Boxed = "boxed",
    /// The box has left the host.
    Left = "left",
    /// The team has the box; why it was given without its code, where it was.
    HandedOver = "handed-over",
}

impl StepKind {
    /// Reads what [`StepKind::as_str`] wrote.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|kind| kind.as_str() == text)
    }
}

/// A step that was taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RunStep {
    /// Number of the plate.
    pub plate: u64,
    /// Which step.
    pub kind: StepKind,
    /// On which printer.
    pub printer: String,
    /// When.
    pub at: EventMs,
    /// Who, by reference.
    pub actor: String,
    /// Copies that were good, where that was counted.
    pub good: Option<u32>,
    /// Why it failed, where it did; how a hand-over is known, if not by the code.
    pub reason: Option<String>,
}

#[derive(serde::Serialize, serde::Deserialize)]
struct Detail {
    good: Option<u32>,
    reason: Option<String>,
}

sql! {
    ADD = "INSERT INTO run_steps (region_id, plate_seq, step, printer, at, actor, document, entry)
        VALUES ($1, $2, $3, $4, $5, $6, $7, $8)";
    TAKEN = "SELECT entry FROM run_steps WHERE region_id = $1 AND plate_seq = $2 AND step = $3
        AND entry NOT IN (SELECT undoes FROM taken_back WHERE region_id = $1)";
    ALL = "SELECT plate_seq, step, printer, at, actor, document, entry FROM run_steps
        WHERE region_id = $1 AND entry > $2 ORDER BY entry";
}

/// Writes a step; refused when it was taken before.
pub(crate) async fn add(
    tx: &mut Tx,
    region: RegionId,
    step: &RunStep,
    entry: i64,
) -> Result<(), StoreError> {
    let (seq, kind) = (number(step.plate)?, step.kind.as_str());
    let taken = taken_with(tx, region, (step.plate, step.kind)).await?;
    if taken.is_some() {
        return Err(StoreError::StepTaken {
            plate: step.plate,
            step: step.kind,
        });
    }
    let document = crate::stored::write(&Detail {
        good: step.good,
        reason: step.reason.clone(),
    })?;
    let values = values![
        region.to_string(),
        seq,
        kind,
        step.printer.as_str(),
        step.at.0,
        step.actor.as_str(),
        document,
        entry
    ];
    tx.run(ADD, values).await?;
    Ok(())
}

/// Steps as they were read last. They are only ever added, each under the number of its entry in the
/// log, so that only new ones are read: a season has tens of thousands.
#[derive(Debug, Default)]
pub(crate) struct StepsRead(Mutex<Read>);

#[derive(Debug, Default)]
struct Read {
    region: Option<RegionId>,
    /// All up to this entry are here.
    upto: i64,
    /// By entry, plate and kind.
    steps: Vec<(i64, RunStep)>,
}

impl StepsRead {
    fn lock(&self, region: RegionId) -> MutexGuard<'_, Read> {
        // Whoever broke off while holding it has added nothing by halves.
        let held = self.0.lock();
        let mut held = held.unwrap_or_else(std::sync::PoisonError::into_inner);
        if held.region != Some(region) {
            *held = Read {
                region: Some(region),
                ..Read::default()
            };
        }
        held
    }
}

/// Every step of a region that was not taken back, as they were taken, seen from a moment when the
/// log's last entry was `last`.
pub(crate) async fn all(
    tx: &mut Tx,
    region: RegionId,
    last: i64,
    before: &StepsRead,
) -> Result<Vec<RunStep>, StoreError> {
    // Others may have read further meanwhile; what is later than this moment is not for it.
    let seen = |read: &Read| -> Vec<(i64, RunStep)> {
        let until = read.steps.partition_point(|(entry, _)| *entry <= last);
        read.steps[..until].to_vec()
    };
    let (upto, mut steps) = {
        let read = before.lock(region);
        (read.upto, seen(&read))
    };
    if upto < last {
        let rows = tx.rows(ALL, values![region.to_string(), upto]).await?;
        let new = rows.iter().map(from_row);
        let mut new = new.collect::<Result<Vec<_>, StoreError>>()?;
        new.sort_by_key(|(entry, step)| (*entry, step.plate, step.kind));
        steps.extend(new.iter().cloned());
        let mut read = before.lock(region);
        if read.upto == upto {
            read.steps.extend(new);
            read.upto = last;
        }
    }
    let gone = undo::taken_back(tx, region, last).await?;
    let stands = steps.into_iter().filter(|(entry, _)| !gone.contains(entry));
    Ok(stands.map(|(_, step)| step).collect())
}

/// Entry of the log that a step was taken with, if it was and stands.
pub(crate) async fn taken_with(
    tx: &mut Tx,
    region: RegionId,
    (plate, kind): (u64, StepKind),
) -> Result<Option<i64>, StoreError> {
    let which = values![region.to_string(), number(plate)?, kind.as_str()];
    let rows = tx.rows(TAKEN, which).await?;
    rows.first().map(|row| row.int(0)).transpose()
}

fn from_row(row: &Row) -> Result<(i64, RunStep), StoreError> {
    let text = row.text(1)?;
    let kind = StepKind::parse(&text).ok_or(StoreError::Damaged {
        what: "step",
        why: text,
    })?;
    let detail: Detail = crate::stored::read("step", &row.text(5)?)?;
    let step = RunStep {
        plate: row.count(0)?,
        kind,
        printer: row.text(2)?,
        at: EventMs(row.int(3)?),
        actor: row.text(4)?,
        good: detail.good,
        reason: detail.reason,
    };
    Ok((row.int(6)?, step))
}
