//! The region's tables out as CSV and in again, or a newer region file in its place: shown line by line
//! first, with what it would do to the plan; done by [`crate::bench::change_region`] and
//! [`crate::bench::replace_region`].

mod needs;

use partpledge_catalogue::RegionFileError;
use partpledge_catalogue::region::review_whole;
use partpledge_planning::Ground;
use partpledge_planning_model::{Plan, PlateSeq};
use partpledge_records::{RegionFileEntry, StepKind};
use partpledge_words::say;
use sha2::{Digest, Sha256};

pub use partpledge_catalogue::region::{
    CellChange, Change, Fault, Line, Review, Table, TableError, to_csv,
};

use crate::actor::Actor;
use crate::books::Books;
use crate::boxes::{goes, went_with};
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

/// What somebody would put in the place of what the region has.
#[derive(Clone, Copy, Debug)]
pub enum Put<'a> {
    /// A table.
    Table(&'a Told),
    /// The whole region file.
    File(&'a str),
}

/// What a table or file would do.
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
    /// Says what was shown: of these bytes, for that table, against those revisions.
    pub digest: String,
}

impl Proposal {
    /// Whether it can be done.
    #[must_use]
    pub fn can_be_done(&self) -> bool {
        self.answer.is_some() && self.refused.is_empty()
    }
}

impl Put<'_> {
    /// Says what was shown, as [`digest`].
    fn digest(self, revisions: (i64, i64)) -> String {
        match self {
            Self::Table(told) => digest(told, revisions),
            Self::File(text) => hashed(("file", true), revisions, text.as_bytes()),
        }
    }

    fn review(self, session: &Session) -> Result<Review, WorkshopError> {
        let (old, catalogue) = (&session.terrain.file, &session.catalogue);
        match self {
            Self::Table(told) => {
                let what = (told.bytes.as_slice(), told.removes);
                Ok(partpledge_catalogue::region::review(
                    old, told.table, what, catalogue,
                )?)
            }
            Self::File(text) => review_whole(old, text, catalogue).map_err(|wrong| {
                let says = wrong.iter().map(|one| {
                    let (line, field) = (one.line, &one.field);
                    say!(
                        "data-line-wrong",
                        line = line,
                        field = field,
                        what = &one.what_to_do
                    )
                });
                let says = says.collect::<Vec<_>>().join(" ");
                RegionFileError::BadFile(says).into()
            }),
        }
    }
}

/// Says what was shown: the table, its bytes and the revisions of the region file and of the plan, as
/// SHA-256 in hexadecimal figures.
#[must_use]
pub fn digest(told: &Told, revisions: (i64, i64)) -> String {
    hashed((told.table.name(), told.removes), revisions, &told.bytes)
}

fn hashed((what, removes): (&str, bool), (file, plan): (i64, i64), bytes: &[u8]) -> String {
    let mut hash = Sha256::new();
    hash.update(format!("{what} {removes} {file} {plan}\n"));
    hash.update(bytes);
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
    Box::pin(propose_put(session, actor, books, Put::Table(told))).await
}

/// What a table, or a newer region file, would do. Reads and plans; writes nothing.
///
/// # Errors
/// As [`propose`]; [`WorkshopError::RegionFile`] for a file that is not in order.
pub async fn propose_put(
    session: &Session,
    actor: &Actor,
    books: &Books,
    put: Put<'_>,
) -> Result<Proposal, WorkshopError> {
    actor.must_coordinate()?;
    let review = put.review(session)?;
    let revision = session.file_revision;
    let mut proposal = Proposal {
        refused: Vec::new(),
        answer: None,
        digest: put.digest((revision, books.floor.revision)),
        revision,
        review,
    };
    if proposal.review.changes_nothing() {
        return Ok(proposal);
    }
    let Some(next) = proposal.review.file.clone() else {
        return Ok(proposal);
    };
    let tables = match put {
        Put::Table(told) => vec![told.table],
        Put::File(_) => Table::ALL.to_vec(),
    };
    for table in tables {
        let refused = needs::refused(session, books, (table, &next)).await?;
        proposal.refused.extend(refused);
    }
    let zone = needs::zone(session, books, &next);
    proposal.refused.extend(zone);
    if !proposal.refused.is_empty() {
        return Ok(proposal);
    }
    let then = session.supposing(next, session.closures.to_vec()).await?;
    proposal.refused.extend(needs::people(session, &then)?);
    if !proposal.refused.is_empty() {
        return Ok(proposal);
    }
    // Read anew: printers and schools may stand in another order.
    let changed = Books::open(&then).await?;
    proposal.refused = needs::named_again(session, (&then, &changed)).await?;
    if !proposal.refused.is_empty() {
        return Ok(proposal);
    }
    proposal.refused = on_rounds((session, books), (&then, &changed));
    if !proposal.refused.is_empty() {
        return Ok(proposal);
    }
    let answer = on_ground_of((session, books), (then, changed))?;
    proposal.refused = not_made(books, &answer);
    proposal.answer = Some(answer);
    Ok(proposal)
}

/// Boxes on a round or relay that would not be there any more, or come later: whoever has them on board would
/// take them nowhere, and nobody would be told.
fn on_rounds(
    (session, books): (&Session, &Books),
    (then, changed): (&Session, &Books),
) -> Vec<(String, String)> {
    let zone = &session.terrain.zone;
    let left = books.floor.kept.iter().filter_map(|kept| {
        let seq = kept.plate.seq;
        let went = went_with(session, books, kept)?;
        let there = books.step(seq.0, StepKind::HandedOver).is_none();
        let (_, leaves, arrives) = goes(session, books, kept, went).filter(|_| there)?;
        let same = changed.plate(seq.0).and_then(|kept| {
            let (_, as_well, then) = goes(then, changed, kept, went)?;
            (as_well.leaves == leaves.leaves && then <= arrives).then_some(())
        });
        let at = zone.short(leaves.leaves);
        let why = say!("data-box-on-board", at = at, by = zone.short(arrives));
        same.is_none().then(|| (of_plate(books, seq), why))
    });
    left.collect()
}

/// Promises that would come later than they are planned now, and what would be made nowhere.
fn not_made(books: &Books, answer: &Answer) -> Vec<(String, String)> {
    let is_made = |seq: PlateSeq| answer.books.floor.plan.of(seq).is_some();
    let late = answer.newly_late.iter().copied();
    let late = late
        .filter(|seq| is_made(*seq))
        .map(|seq| (of_plate(&answer.books, seq), say!("data-would-be-late")));
    let planned = books.floor.plan.assignments.iter().map(|place| place.plate);
    let nowhere = planned
        .filter(|seq| !is_made(*seq))
        .map(|seq| (of_plate(&answer.books, seq), say!("data-made-nowhere")));
    late.chain(nowhere).collect()
}

/// The plan on the ground of another region file, as `then` has it and the books read with that.
fn on_ground_of(
    (session, books): (&Session, &Books),
    (then, mut changed): (Session, Books),
) -> Result<Answer, WorkshopError> {
    let now = Ground::new(&session.terrain.region);
    let late = late_in(&now, &books.floor.plates, &books.floor.plan);
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

fn of_plate(books: &Books, seq: PlateSeq) -> String {
    let kept = books.plate(seq.0);
    let listed = kept.and_then(|kept| books.request(kept.request));
    match listed {
        Some(listed) => say!(
            "data-plate-for",
            plate = seq.0,
            part = &listed.part,
            team = &listed.request.team,
            request = listed.request.number
        ),
        None => say!("data-plate", plate = seq.0),
    }
}
