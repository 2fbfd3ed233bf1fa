//! What running plates, boxes, promises, spools and people need of the region as it is.

use partpledge_catalogue::RegionFile;
use partpledge_catalogue::region::{PrinterEntry, Table};
use partpledge_planning_model::{Making, PlaceIx, PrinterIx};
use partpledge_records::{KeptPlate, PlateState, RoleKind, State, StepKind};
use partpledge_stock::State as Spool;
use partpledge_units::time::EventMs;
use partpledge_words::say;

use crate::books::Books;
use crate::error::WorkshopError;
use crate::sending::spares::spare_at;
use crate::session::Session;

/// Rows that may not be changed or taken out like this, each with the reason.
pub(super) async fn refused(
    session: &Session,
    books: &Books,
    (table, next): (Table, &RegionFile),
) -> Result<Vec<(String, String)>, WorkshopError> {
    match table {
        Table::Schools => Ok(schools(session, books, next)),
        Table::Teams => teams(session, books, next).await,
        Table::Hours => hosts(session, books, next).await,
        Table::Printers => Ok(printers(session, books, next)),
    }
}

/// Promises were given by the clock of the zone.
pub(super) fn zone(
    session: &Session,
    books: &Books,
    next: &RegionFile,
) -> Option<(String, String)> {
    let same = session.terrain.file.zone == next.zone;
    let open = books.open_pledges().len();
    let says = || ("zone".to_owned(), say!("data-zone-promised", n = open));
    (!same && open > 0).then(says)
}

/// Another end of the season must not erase people at once: neither an earlier one, nor one that is over and
/// comes after those whom the old one erased.
pub(super) fn people(
    session: &Session,
    then: &Session,
) -> Result<Option<(String, String)>, WorkshopError> {
    let now = session.now;
    let old = session.people(now)?.erased_from()?;
    let over = |from: &EventMs| *from <= now;
    let new = then.people(now)?.erased_from()?.filter(over);
    // Who was there before the day was erased then, and is there no more.
    let done = old.filter(over);
    let says = || ("season_ends".to_owned(), say!("data-would-erase"));
    Ok((new > done).then(says))
}

/// Plates keep the name of the desk that their boxes go to, long after they came.
fn schools(session: &Session, books: &Books, next: &RegionFile) -> Vec<(String, String)> {
    let mut out = Vec::new();
    for (i, school) in session.terrain.file.schools.iter().enumerate() {
        let same_name = next.school(&school.code).map(|s| s.name == school.name);
        if same_name == Some(true) {
            continue;
        }
        let Some(seq) = on_record_for(books, PlaceIx(i)) else {
            continue;
        };
        let why = say!("data-keeps-school", plate = seq);
        out.push((school.code.clone(), why));
    }
    out
}

/// The last plate that was ever to go to a place.
fn on_record_for(books: &Books, place: PlaceIx) -> Option<u64> {
    let goes = |kept: &&KeptPlate| kept.plate.to == place;
    let kept = books.floor.kept.iter().rfind(goes)?;
    Some(kept.plate.seq.0)
}

async fn teams(
    session: &Session,
    books: &Books,
    next: &RegionFile,
) -> Result<Vec<(String, String)>, WorkshopError> {
    let mut out = Vec::new();
    for team in &session.terrain.file.teams {
        let now = next.teams.iter().find(|one| one.name == team.name);
        let mut open = books.requests.iter().filter(|listed| {
            let ends = matches!(
                listed.request.state,
                State::HandedOver | State::Withdrawn | State::Recalled | State::Refused
            );
            let promised = books.pledge_of(listed.request.id);
            let ended = promised.map_or(ends, |promised| promised.end.is_some());
            listed.request.team == team.name && !ended
        });
        match (now, open.next()) {
            (Some(now), _) if now.school == team.school => {}
            (_, Some(listed)) => {
                let number = listed.request.number;
                let why = say!("data-request-open", request = number);
                out.push((team.name.clone(), why));
            }
            (Some(_), None) => {}
            (None, None) => {
                let roles = [RoleKind::Student, RoleKind::Mentor];
                if somebody(session, &roles, &team.name).await? {
                    out.push((team.name.clone(), say!("data-team-has-people")));
                }
            }
        }
    }
    Ok(out)
}

async fn hosts(
    session: &Session,
    books: &Books,
    next: &RegionFile,
) -> Result<Vec<(String, String)>, WorkshopError> {
    let mut out = Vec::new();
    let accounts = session
        .spools
        .accounts(&session.terrain, &session.costs.rates);
    for (i, school) in session.terrain.file.schools.iter().enumerate() {
        let desk = |file: &RegionFile| file.spares_bench(&school.code).is_some();
        if desk(&session.terrain.file) == desk(next) {
            continue;
        }
        if let Some(seq) = on_record_for(books, PlaceIx(i)) {
            let why = say!("data-keeps-desk", plate = seq);
            out.push((school.code.clone(), why));
        }
    }
    for host in &session.terrain.file.hosts {
        let now = next.spares_bench(&host.school);
        let moves = now.is_some_and(|now| host.prints_spares() && now.spares_on != host.spares_on);
        let mut open = books.open_pledges().into_iter();
        let open = open.find(|(listed, promised)| {
            let at = spare_at(session, listed).map(|bench| &bench.school);
            promised.end.is_none() && at == Some(&host.school)
        });
        if let Some((listed, _)) = open.filter(|_| moves) {
            let number = listed.request.number;
            let why = say!("data-spare-promised", number = number);
            out.push((host.school.clone(), why));
        }
        if next.hosts.iter().any(|one| one.school == host.school) {
            continue;
        }
        let there = |state: &Spool| !matches!(state, Spool::Empty | Spool::GivenAway);
        let mut spools = accounts.iter();
        let why = if spools.any(|a| a.host == host.school && there(&a.state)) {
            say!("data-host-has-spools")
        } else if somebody(session, &[RoleKind::Operator], &host.school).await? {
            say!("data-host-has-people")
        } else {
            continue;
        };
        out.push((host.school.clone(), why));
    }
    Ok(out)
}

async fn somebody(
    session: &Session,
    roles: &[RoleKind],
    scope: &str,
) -> Result<bool, WorkshopError> {
    let (store, region) = session.writable()?;
    let people = store.people(region).await?;
    let mut held = people.iter().flat_map(|(_, held)| held);
    Ok(held.any(|held| roles.contains(&held.kind) && held.scope == scope))
}

fn printers(session: &Session, books: &Books, next: &RegionFile) -> Vec<(String, String)> {
    let mut out = Vec::new();
    for (i, old) in session.terrain.file.printers.iter().enumerate() {
        let now = next.printers.iter().find(|one| one.name == old.name);
        if now == Some(old) {
            continue;
        }
        if let Some(why) = needs_printer(session, books, (PrinterIx(i), old), now) {
            out.push((old.name.clone(), why));
        }
    }
    out
}

/// Printers that come under the name of one that has left, while plates wait that were timed for that
/// one: they may only if they are of its class. `then` are the region as it would be and its books.
pub(super) async fn named_again(
    session: &Session,
    (then, changed): (&Session, &Books),
) -> Result<Vec<(String, String)>, WorkshopError> {
    let mut out = Vec::new();
    for (i, new) in then.terrain.file.printers.iter().enumerate() {
        let timed = timed_for(changed, PrinterIx(i));
        let known = session.terrain.printer_of(&new.name).is_some();
        if known || timed == 0 || last_class(session, &new.name).await? == Some(new.class.clone()) {
            continue;
        }
        out.push((new.name.clone(), say!("data-timed-for-name", n = timed)));
    }
    Ok(out)
}

/// Plates to be made that were timed for a printer.
fn timed_for(books: &Books, printer: PrinterIx) -> usize {
    let could = |making: &Making| making.printer == printer;
    let plates = books.floor.plates.iter();
    plates
        .filter(|plate| plate.makings.iter().any(could))
        .count()
}

/// The class that a printer of that name had when it was last in the region.
async fn last_class(session: &Session, name: &str) -> Result<Option<String>, WorkshopError> {
    let (store, region) = session.writable()?;
    for document in store.region_documents(region).await? {
        // What an earlier version wrote and this one can't read says nothing of the printer.
        let Ok(file) = RegionFile::parse(&document, &session.catalogue) else {
            continue;
        };
        let mut printers = file.printers.into_iter();
        if let Some(was) = printers.find(|one| one.name == name) {
            return Ok(Some(was.class));
        }
    }
    Ok(None)
}

/// Why a printer may not become like this, if it may not.
fn needs_printer(
    session: &Session,
    books: &Books,
    (ix, old): (PrinterIx, &PrinterEntry),
    now: Option<&PrinterEntry>,
) -> Option<String> {
    let stays_there = now.is_some_and(|now| now.host == old.host && now.stays == old.stays);
    let same_class = now.is_some_and(|now| now.class == old.class);
    let mut running = books.running().into_iter();
    let runs = running.find(|(_, _, on)| *on == old.name);
    if let Some((seq, ..)) = runs {
        let plate = books.floor.plates.iter().find(|plate| plate.seq == seq);
        let keeps =
            |now: &PrinterEntry| plate.is_none_or(|plate| now.materials.contains(&plate.material));
        if !stays_there || !same_class || !now.is_some_and(keeps) {
            return Some(say!("data-plate-runs", plate = seq.0));
        }
    }
    let boxed = books.floor.kept.iter().find(|kept| waits(books, kept, old));
    if let Some(kept) = boxed.filter(|_| !stays_there) {
        return Some(say!("data-plate-at-bench", plate = kept.plate.seq.0));
    }
    let home = now.and_then(|now| now.at_home.as_ref());
    let mut steps = books.floor.steps.iter();
    let ran = steps.any(|step| step.kind == StepKind::Started && step.printer == old.name);
    if let Some(was) = old.at_home.as_ref().filter(|was| ran && home != Some(*was)) {
        return Some(say!("data-made-by", printer = was));
    }
    let timed = timed_for(books, ix);
    if now.is_some() && !same_class && timed > 0 {
        return Some(say!("data-timed-for-class", n = timed));
    }
    let accounts = session
        .spools
        .accounts(&session.terrain, &session.costs.rates);
    let mut accounts = accounts.iter();
    let loaded = accounts.any(|account| account.state == Spool::Loaded(old.name.clone()));
    if loaded && !stays_there {
        return Some(say!("data-spool-on-it"));
    }
    None
}

/// Whether copies that were printed there are good and still at the bench.
fn waits(books: &Books, kept: &KeptPlate, printer: &PrinterEntry) -> bool {
    let seq = kept.plate.seq.0;
    let started = books.step(seq, StepKind::Started);
    let here = started.is_some_and(|step| step.printer == printer.name);
    let there = |state: State| matches!(state, State::Inspected | State::Boxed | State::Rework);
    here && kept.state == PlateState::Off
        && books.step(seq, StepKind::Left).is_none()
        && books.copies_on(kept).any(|copy| there(copy.state))
}
