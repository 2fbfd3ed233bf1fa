//! Something happened on the floor: everything it changes, in one transaction, or nothing.

use partpledge_planning_model::{Plan, Plate};
use partpledge_units::ids::{CopyId, IdSource, PledgeId, RegionId, RequestId, VersionId};
use partpledge_units::time::EventMs;

use crate::boxes;
use crate::crew::{self, ToLook};
use crate::db::Tx;
use crate::error::StoreError;
use crate::events::{Deed, append_deed, seen};
use crate::floor::Names;
use crate::ground::{self, GroundChange};
use crate::machines::{self, MachineMoment};
use crate::measures::{self, Measured};
use crate::notes::{self, NewNote};
use crate::outages::{self, Outage};
use crate::plans::{SavedPlan, advance, insert};
use crate::plates::{PlateState, add_one, close, number};
use crate::pledges::{PledgeEnd, end_in};
use crate::programs::{self, PlateProgram};
use crate::requests::{move_copy, step_copy_to, step_to};
use crate::runs::{self, FinishedRun};
use crate::spools::{self, StockChange};
use crate::steps::{RunStep, add};
use crate::store::Store;
use crate::undo::{TakenBack, take_back};
use crate::{State, regions};

/// A plate made anew for copies that were lost.
#[derive(Clone, Debug)]
pub struct Reprint {
    /// The plate, numbered on from the floor's `next_seq`.
    pub plate: Plate,
    /// The request whose copies it carries.
    pub request: RequestId,
    /// The part version that it is laid out from.
    pub version: VersionId,
    /// The copies that it carries from now on.
    pub copies: Vec<CopyId>,
}

/// What an event says, by name.
pub type Payload = Vec<(&'static str, Said)>;

/// One thing that an event says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Said {
    /// Numbers of plates, or counts.
    Numbers(Vec<u64>),
    /// Words.
    Text(String),
}

pub(crate) fn to_json(payload: &Payload) -> String {
    let one = |(name, said): &(&'static str, Said)| {
        let value = match said {
            Said::Numbers(numbers) => serde_json::json!(numbers),
            Said::Text(text) => serde_json::json!(text),
        };
        ((*name).to_owned(), value)
    };
    serde_json::Value::Object(payload.iter().map(one).collect()).to_string()
}

/// What happened and all that it changes. Steps of copies and requests go by the table of
/// [`State`]; what is not listed stays as it is.
#[derive(Clone, Debug)]
pub struct Happening {
    /// Kind of the event, such as `run.failed`.
    pub kind: &'static str,
    /// What it says; people only by reference.
    pub payload: Payload,
    /// Who, when, and the sender's key.
    pub deed: Deed,
    /// Plan revision that all of this was worked out on.
    pub revision: i64,
    /// Steps of plates.
    pub steps: Vec<RunStep>,
    /// Steps of copies, in order.
    pub copies: Vec<(CopyId, State)>,
    /// Steps of requests, in order.
    pub requests: Vec<(RequestId, State)>,
    /// Plates that are closed.
    pub closed: Vec<(u64, PlateState)>,
    /// Plates made anew.
    pub reprints: Vec<Reprint>,
    /// Pledges that end with it.
    pub ends: Vec<(PledgeId, PledgeEnd)>,
    /// Printers that can't be used.
    pub outages: Vec<Outage>,
    /// Runs that ended.
    pub runs: Vec<FinishedRun>,
    /// The last notes on requests that it was worked out on, where a note decides; 0 for none yet.
    pub last_notes: Vec<(RequestId, i64)>,
    /// Notes on requests.
    pub notes: Vec<(RequestId, NewNote)>,
    /// What was measured on copies.
    pub measured: Vec<Measured>,
    /// The code of a box that was closed, by the number of what is in it.
    pub box_code: Option<(u64, String)>,
    /// Whether an adult has to look at it, at a bench that students run.
    pub to_look: Option<ToLook>,
    /// A program received for a plate.
    pub program: Option<PlateProgram>,
    /// What a printer said, where the happening is of that.
    pub moment: Option<MachineMoment>,
    /// A deed that is taken back.
    pub takes_back: Option<TakenBack>,
    /// What it changes about spools.
    pub stock: StockChange,
    /// What it changes of the ground that the plan stands on.
    pub ground: GroundChange,
    /// The plan from now on, and why; `None` when it stays.
    pub plan: Option<(Plan, partpledge_words::Said)>,
}

impl Store {
    /// Writes all of it down; it is on disk when this returns. `None` when the same deed was done
    /// before, by its key; nothing is written then. Otherwise the number of its entry.
    ///
    /// # Errors
    /// [`StoreError::Stale`] when the plan has moved since, [`StoreError::RegionMoved`] when the region
    /// file has, [`StoreError::NotesMoved`] when somebody has said something about the request: look
    /// again and work it out again.
    /// [`StoreError::StepTaken`], [`StoreError::NoSuchStep`], [`StoreError::PledgeEnded`],
    /// [`StoreError::NoSuch`] for what can't be done any more. On any error nothing is written.
    pub async fn happen(
        &self,
        region: RegionId,
        what: &Happening,
        names: &Names,
        ids: &mut IdSource,
    ) -> Result<Option<i64>, StoreError> {
        let mut tx = self.db.begin().await?;
        regions::lock(&mut tx, region).await?;
        if seen(&mut tx, region, &what.deed).await? {
            return Ok(None);
        }
        let at = what.deed.received_at;
        let event = (what.kind, to_json(&what.payload));
        let entry = append_deed(&mut tx, region, event, &what.deed, ids).await?;
        for &last in &what.last_notes {
            notes::at_note(&mut tx, region, last).await?;
        }
        new_plan(&mut tx, region, what, names).await?;
        if let Some(undone) = &what.takes_back {
            take_back(&mut tx, region, undone, entry).await?;
        }
        for &(seq, state) in &what.closed {
            close(&mut tx, region, seq, state).await?;
        }
        for step in &what.steps {
            add(&mut tx, region, step, entry).await?;
        }
        for &(copy, to) in &what.copies {
            step_copy_to(&mut tx, region, copy, to).await?;
        }
        made_anew(&mut tx, region, &what.reprints, names, (&mut *ids, at)).await?;
        for &(request, to) in &what.requests {
            step_to(&mut tx, region, request, to).await?;
        }
        // The key stands in the log already, with the happening itself.
        let keyless = Deed {
            idempotency_key: None,
            ..what.deed.clone()
        };
        for &(pledge, end) in &what.ends {
            end_in(&mut tx, region, (pledge, end), &keyless, ids).await?;
        }
        for outage in &what.outages {
            outages::add(&mut tx, region, outage, entry).await?;
        }
        for run in &what.runs {
            runs::add(&mut tx, region, run, entry).await?;
        }
        notes::add_each(&mut tx, region, &what.notes, (&what.deed, entry)).await?;
        measures::add(&mut tx, region, &what.measured, entry).await?;
        if let Some((plate, code)) = &what.box_code {
            boxes::add(&mut tx, region, (*plate, code), entry).await?;
        }
        if let Some(look) = &what.to_look {
            crew::add_look(&mut tx, region, look, (entry, what.deed.occurred_at)).await?;
        }
        if let Some(program) = &what.program {
            programs::add(&mut tx, region, program, entry).await?;
        }
        if let Some(moment) = &what.moment {
            machines::add_moment(&mut tx, region, moment, entry).await?;
        }
        spools::change(&mut tx, region, &what.stock, (entry, &mut *ids)).await?;
        ground::change(&mut tx, region, &what.ground, (&what.deed, entry)).await?;
        tx.commit().await?;
        Ok(Some(entry))
    }
}

/// Writes the plan from now on, if there is another; looks that nobody was faster.
async fn new_plan(
    tx: &mut Tx,
    region: RegionId,
    what: &Happening,
    names: &Names,
) -> Result<(), StoreError> {
    let Some((plan, reason)) = &what.plan else {
        return regions::at_revision(tx, region, what.revision).await;
    };
    let numbers = i64::try_from(what.reprints.len()).unwrap_or(i64::MAX);
    let first = advance(tx, region, what.revision, numbers).await?;
    numbered(&what.reprints, first)?;
    let saved = SavedPlan {
        revision: what.revision + 1,
        parent: what.revision,
        reason: reason.clone(),
        made_at: what.deed.received_at,
    };
    insert(tx, region, &saved, plan, names).await
}

/// Writes plates made anew, and moves their copies to them.
async fn made_anew(
    tx: &mut Tx,
    region: RegionId,
    reprints: &[Reprint],
    names: &Names,
    (ids, at): (&mut IdSource, EventMs),
) -> Result<(), StoreError> {
    for reprint in reprints {
        let whose = (region, reprint.request, reprint.version);
        add_one(tx, whose, (&reprint.plate, None), names, (&mut *ids, at)).await?;
        for &copy in &reprint.copies {
            move_copy(tx, region, copy, number(reprint.plate.seq.0)?).await?;
        }
    }
    Ok(())
}

/// Whether reprints are numbered on from `first`.
fn numbered(reprints: &[Reprint], first: i64) -> Result<(), StoreError> {
    let numbers = u64::try_from(first).unwrap_or(0)..;
    for (expected, reprint) in numbers.zip(reprints) {
        let found = reprint.plate.seq.0;
        if found != expected {
            return Err(StoreError::PlateNumber { expected, found });
        }
    }
    Ok(())
}
