//! The region's tables out as CSV and in again: shown line by line first, with what it would do to
//! the plan; done by [`crate::bench::change_region`].

mod needs;

use partpledge_catalogue::RegionFile;
use partpledge_planning::Ground;
use partpledge_planning_model::{Plan, PlateSeq};
use partpledge_records::RegionFileEntry;
use sha2::{Digest, Sha256};

pub use partpledge_catalogue::region::{
    CellChange, Change, Fault, Line, Review, Table, TableError, to_csv,
};

use crate::actor::Actor;
use crate::books::Books;
use crate::error::WorkshopError;
use crate::people::codes;
use crate::plan_room::checked;
use crate::replanning::late_in;
use crate::session::Session;
use crate::what_if::{Answer, Before, answered};

/// A table that somebody would put in the place of the region's.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    /// Which.
    pub table: Table,
    /// The file.
    pub bytes: Vec<u8>,
    /// Whether what it leaves out is taken out of the region.
    pub removes: bool,
}

/// What a table would do.
#[derive(Debug)]
pub struct Proposal {
    /// Line by line.
    pub review: Review,
    /// What running plates, open promises, or people need and would not have: of which row, and why.
    pub refused: Vec<(String, String)>,
    /// What would become of the plan; `None` when nothing would be changed, or not like this.
    pub answer: Option<Answer>,
    /// Revision of the region file that it was held against.
    pub revision: i64,
    /// Says what was shown: of these bytes, for that table, against that revision.
    pub digest: String,
}

impl Proposal {
    /// Whether it can be done.
    #[must_use]
    pub fn can_be_done(&self) -> bool {
        self.answer.is_some() && self.refused.is_empty()
    }
}

/// Says what was shown: the table, its bytes and the revision of the region file, as SHA-256 in
/// hexadecimal figures.
#[must_use]
pub fn digest(told: &Told, revision: i64) -> String {
    let mut hash = Sha256::new();
    let what = (told.table.name(), told.removes, revision);
    hash.update(format!("{} {} {}\n", what.0, what.1, what.2));
    hash.update(&told.bytes);
    codes::hex(&hash.finalize())
}

/// A table of the region as it is.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for anybody but the coordinator.
pub fn table(session: &Session, actor: &Actor, table: Table) -> Result<Vec<u8>, WorkshopError> {
    actor.must_coordinate()?;
    Ok(to_csv(&session.terrain.file, table))
}

/// Who changed the region, newest first.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for anybody but the coordinator; [`WorkshopError::Store`].
pub async fn changes(
    session: &Session,
    actor: &Actor,
) -> Result<Vec<RegionFileEntry>, WorkshopError> {
    actor.must_coordinate()?;
    let (store, region) = session.writable()?;
    Ok(store.region_files(region).await?)
}

/// What a table would do. Reads and plans; writes nothing.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for anybody but the coordinator; [`WorkshopError::Table`] for a
/// file that is no such table; [`WorkshopError::Store`].
pub async fn propose(
    session: &Session,
    actor: &Actor,
    books: &Books,
    told: &Told,
) -> Result<Proposal, WorkshopError> {
    actor.must_coordinate()?;
    let (old, catalogue) = (&session.terrain.file, &session.catalogue);
    let what = (told.bytes.as_slice(), told.removes);
    let review = partpledge_catalogue::region::review(old, told.table, what, catalogue)?;
    let revision = session.file_revision;
    let mut proposal = Proposal {
        refused: Vec::new(),
        answer: None,
        digest: digest(told, revision),
        revision,
        review,
    };
    if proposal.review.changes_nothing() {
        return Ok(proposal);
    }
    let Some(next) = proposal.review.file.clone() else {
        return Ok(proposal);
    };
    proposal.refused = needs::refused(session, books, (told.table, &next)).await?;
    if !proposal.refused.is_empty() {
        return Ok(proposal);
    }
    let answer = on_ground_of(session, books, next).await?;
    for seq in &answer.newly_late {
        proposal.refused.push(promise(&answer.books, *seq));
    }
    proposal.answer = Some(answer);
    Ok(proposal)
}

/// The plan on the ground of another region file.
async fn on_ground_of(
    session: &Session,
    books: &Books,
    next: RegionFile,
) -> Result<Answer, WorkshopError> {
    let now = Ground::new(&session.terrain.region);
    let late = late_in(&now, &books.floor.plates, &books.floor.plan);
    let then = session.supposing(next, session.closures.to_vec()).await?;
    // Read anew: printers and schools may stand in another order.
    let mut changed = Books::open(&then).await?;
    let before = changed.floor.plan.clone();
    without_what_can_not_stay(&then, &mut changed)?;
    let from = Before {
        ground: None,
        late: &late,
    };
    let mut answer = answered(from, then.only_asking(), changed, (Vec::new(), false));
    let plan = &answer.books.floor.plan;
    answer.moved.retain(|seq| is_elsewhere(&before, plan, *seq));
    Ok(answer)
}

fn is_elsewhere(before: &Plan, after: &Plan, seq: PlateSeq) -> bool {
    let place = |plan: &Plan| plan.of(seq).map(|place| (place.printer, place.start));
    place(before) != place(after)
}

/// Takes plates out of the plan in whose places the checker finds a fault on that ground.
fn without_what_can_not_stay(then: &Session, books: &mut Books) -> Result<(), WorkshopError> {
    let floor = &books.floor;
    let found = checked(then, &floor.plates, &floor.plan, &Plan::default())?;
    let faults = found.iter().filter(|fault| !fault.misses_a_promise());
    let gone: Vec<PlateSeq> = faults
        .map(partpledge_plan_check::Violation::plate)
        .collect();
    let running: Vec<PlateSeq> = books.running().into_iter().map(|(seq, ..)| seq).collect();
    let plan = &mut books.floor.plan.assignments;
    plan.retain(|place| running.contains(&place.plate) || !gone.contains(&place.plate));
    Ok(())
}

fn promise(books: &Books, seq: PlateSeq) -> (String, String) {
    let kept = books.plate(seq.0);
    let listed = kept.and_then(|kept| books.request(kept.request));
    let whose = listed.map_or_else(String::new, |listed| {
        format!(
            " ({} for {}, request {})",
            listed.part, listed.request.team, listed.request.number
        )
    });
    let what = format!("Plate {}{whose}", seq.0);
    let why = "would come later than promised. Keep what it needs until it is made.";
    (what, why.to_owned())
}
