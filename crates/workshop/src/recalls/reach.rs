//! What a recall reaches: what was made on a printer in a stretch of time, or of an old file, when it is
//! opened and afterwards.

use std::collections::{BTreeMap, BTreeSet};

use partpledge_records::{
    KeptPlate, ListedRequest, NewNote, PlateState, RunStep, State, StepKind, StoredCopy,
};
use partpledge_units::time::EventMs;

use super::{Fate, Recall, Target, Which, caught, of_request, place, recalls};
use crate::books::Books;
use crate::error::WorkshopError;
use crate::session::Session;

/// Copies that a recall would be about, by request in order of number.
pub type Affected<'b> = Vec<AffectedPart<'b>>;

/// A request with those of its copies that a recall would be about.
pub type AffectedPart<'b> = (&'b ListedRequest, Vec<(Which, Fate)>);

/// The copies that were made on a printer, or of a file, good or still being made, and that are not
/// recalled for that already: what a recall would be about. Parts that were taken down are left out:
/// nobody gets those.
///
/// # Errors
/// [`WorkshopError::Unknown`] for a printer that is not there; [`WorkshopError::OutOfRange`] for a
/// stretch of time that ends before it begins or lies ahead; [`WorkshopError::NotReplaced`] for a file
/// after which no newer one came; [`WorkshopError::NothingToRecall`].
pub fn affected<'b>(
    session: &Session,
    books: &'b Books,
    target: &Target,
) -> Result<Affected<'b>, WorkshopError> {
    let plates = match target {
        Target::Printer { name, from, until } => {
            in_order(session, books, (name, *from, *until))?;
            made_on(session, books, (name, *from, *until))
        }
        Target::Version { number, .. } => made_of(books, *number)?,
    };
    let mut out: BTreeMap<i64, AffectedPart<'b>> = BTreeMap::new();
    for kept in plates {
        let Some(listed) = books.request(kept.request) else {
            continue;
        };
        if books.taken_down(&listed.request) {
            continue;
        }
        // Recalled for another reason it may be: that is another question about it.
        let same = of_request(books, kept.request).into_iter();
        let same = same.filter(|one| one.target.is_same(target));
        let known: BTreeSet<Which> = (same.flat_map(|one| one.copies))
            .filter(|(_, fate)| fate.waits())
            .map(|(which, _)| which)
            .collect();
        let copies = books.copies_on(kept);
        let copies = copies.map(|copy| ((copy.plate, copy.number), place(books, copy)));
        let there = copies.filter(|(_, fate)| *fate != Fate::Gone);
        let fresh = there.filter(|(which, _)| !known.contains(which));
        let own = out.entry(listed.request.number);
        own.or_insert_with(|| (listed, Vec::new())).1.extend(fresh);
    }
    let out: Affected<'b> = (out.into_values())
        .filter(|(_, copies)| !copies.is_empty())
        .collect();
    if out.is_empty() {
        return Err(WorkshopError::NothingToRecall);
    }
    Ok(out)
}

/// Names of printers that may have drifted: those of the region, and those that printed for it before
/// they left; in order.
#[must_use]
pub fn printers(session: &Session, books: &Books) -> Vec<String> {
    let there = session.terrain.region.printers.iter();
    let there = there.map(|printer| printer.name.clone());
    let ran = books.floor.steps.iter();
    let ran = ran.filter(|step| step.kind == StepKind::Started);
    let all: BTreeSet<String> = there
        .chain(ran.map(|step| step.printer.clone()))
        .filter(|name| !name.is_empty())
        .collect();
    all.into_iter().collect()
}

fn in_order(
    session: &Session,
    books: &Books,
    (name, from, until): (&str, EventMs, EventMs),
) -> Result<(), WorkshopError> {
    let known = printers(session, books);
    if !known.iter().any(|known| known == name) {
        return Err(WorkshopError::Unknown {
            what: "printer",
            name: name.to_owned(),
            known: known.join(", "),
        });
    }
    if from >= until || from > session.now {
        let (what, range) = ("the stretch of time", "one that has begun and ends later");
        return Err(WorkshopError::OutOfRange { what, range });
    }
    Ok(())
}

/// Whether a plate ran on a printer at any time of a stretch. Without an end, it runs. A machine that was at a
/// meeting under another name is the same one.
fn ran_then(
    session: &Session,
    (start, off): (&RunStep, Option<EventMs>),
    (name, from, until): (&str, EventMs, EventMs),
) -> bool {
    let machine = |name| session.terrain.file.machine_of(name);
    machine(&start.printer) == machine(name)
        && start.at <= until
        && off.is_none_or(|off| off >= from)
}

/// Shares of plates that ran on a printer at any time of a stretch, off the bed or not yet.
fn made_on<'b>(
    session: &Session,
    books: &'b Books,
    then: (&str, EventMs, EventMs),
) -> Vec<&'b KeptPlate> {
    let its = |kept: &&KeptPlate| {
        let step = |kind| books.step(kept.plate.seq.0, kind);
        let off = step(StepKind::Off).map(|off| off.at);
        matches!(kept.state, PlateState::Off | PlateState::Open)
            && step(StepKind::Started).is_some_and(|start| ran_then(session, (start, off), then))
    };
    books.floor.kept.iter().filter(its).collect()
}

/// What recalls that were opened before say of copies of a share that come off the bed at `off`: they are
/// to be checked as well.
pub(crate) fn caught_late(
    session: &Session,
    books: &Books,
    kept: &KeptPlate,
    off: EventMs,
    copies: &[&StoredCopy],
) -> Vec<NewNote> {
    let listed = books.request(kept.request);
    let Some(listed) = listed.filter(|listed| !books.taken_down(&listed.request)) else {
        return Vec::new();
    };
    let start = books.step(kept.plate.seq.0, StepKind::Started);
    let is_about = |target: &Target| match target {
        Target::Printer { name, from, until } => {
            start.is_some_and(|start| ran_then(session, (start, Some(off)), (name, *from, *until)))
        }
        Target::Version { number, .. } => (books.numbered(*number))
            .is_some_and(|old| old.request.version == listed.request.version),
    };
    let all = recalls(books).into_iter().rev();
    let open = all.filter(|recall| recall.lifted.is_none() && is_about(&recall.target));
    let note = |recall: Recall| {
        let its = recall.requests.iter();
        let its = its.filter(|one| one.request == kept.request);
        let known: BTreeSet<Which> = its.flat_map(|one| &one.copies).map(|one| one.0).collect();
        let which = copies.iter().map(|copy| (copy.plate, copy.number));
        let fresh: Vec<Which> = which.filter(|which| !known.contains(which)).collect();
        (!fresh.is_empty()).then(|| caught(&recall, &fresh))
    };
    open.filter_map(note).collect()
}

/// The newest request for the same part that can be made, if it came later and with another version of its
/// file: then the file is an old one.
#[must_use]
pub fn replaced_by_newer<'b>(
    books: &'b Books,
    listed: &ListedRequest,
) -> Option<&'b ListedRequest> {
    let over = |state| {
        matches!(
            state,
            State::NeedsChange | State::Refused | State::Withdrawn | State::Recalled
        )
    };
    let mut later = books
        .requests
        .iter()
        .filter(|one| one.part_id == listed.part_id && one.request.number > listed.request.number);
    let last = later.rfind(|one| !over(one.request.state));
    last.filter(|one| one.request.version != listed.request.version)
}

/// Whether what was made of a request's file is recalled, and that was not lifted.
pub(crate) fn recalled_as_old(books: &Books, listed: &ListedRequest) -> bool {
    let of_it = |target: &Target| match target {
        Target::Version { number, .. } => (books.numbered(*number))
            .is_some_and(|old| old.request.version == listed.request.version),
        Target::Printer { .. } => false,
    };
    let mut all = recalls(books).into_iter();
    all.any(|recall| recall.lifted.is_none() && of_it(&recall.target))
}

/// A recall of what was made of an old file, by the number of a request for it.
///
/// # Errors
/// [`WorkshopError::NotReplaced`] when no newer file came.
pub fn of_old_file(books: &Books, number: i64) -> Result<Target, WorkshopError> {
    let listed = books.numbered(number);
    let newer = listed.and_then(|listed| replaced_by_newer(books, listed));
    let newer = newer.ok_or(WorkshopError::NotReplaced { number })?;
    Ok(Target::Version {
        number,
        newer: newer.request.number,
    })
}

/// Shares of plates with copies of the file of a request, which a newer one has replaced.
fn made_of(books: &Books, number: i64) -> Result<Vec<&KeptPlate>, WorkshopError> {
    of_old_file(books, number)?;
    let listed = books.numbered(number);
    let listed = listed.ok_or(WorkshopError::NotReplaced { number })?;
    let version = listed.request.version;
    let same = (books.requests.iter()).filter(|one| one.request.version == version);
    Ok(same
        .flat_map(|one| books.plates_of(one.request.id))
        .collect())
}
