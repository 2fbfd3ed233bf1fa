//! Why a pledge is at risk: the first of what may be, the surest first.

use partpledge_planning::{Ground, lost_when_left, watched_until};
use partpledge_planning_model::PlateSeq;
use partpledge_records::{KeptPlate, ListedRequest, Outage, PlateState, State, StepKind};
use partpledge_units::time::Minute;

use super::Cause;
use crate::books::Books;
use crate::boxes::{may_be_there, missed};
use crate::doubts::{made_again, open_doubt};
use crate::session::Session;

/// Why the promise of a request does not hold as it was given; `None` where nothing on record says why.
#[must_use]
pub fn cause(session: &Session, books: &Books, listed: &ListedRequest) -> Option<Cause> {
    failed(books, listed)
        .or_else(|| closed(session, books, listed))
        .or_else(|| of_a_plate(session, books, listed))
        .or_else(|| box_trouble(books, listed))
        .or_else(|| printer_out(session, books, listed))
        .or_else(|| scrap(books, listed))
        .or_else(|| no_word(session, books, listed))
        .or_else(|| first_not_started(session, books, listed))
        .or_else(|| crowded(session, books, listed))
}

/// The last plate of it that failed.
fn failed(books: &Books, listed: &ListedRequest) -> Option<Cause> {
    let printed: Vec<u64> = books
        .plates_of(listed.request.id)
        .map(|kept| kept.on().0)
        .collect();
    let lost = books.floor.steps.iter().rev();
    let mut lost = lost.filter(|step| printed.contains(&step.plate));
    let step = lost.find(|step| step.kind == StepKind::Failed)?;
    Some(Cause::Failed {
        plate: step.plate,
        printer: step.printer.clone(),
        reason: step.reason.clone().unwrap_or_default(),
        at: step.at,
    })
}

/// Copies of it that came off the bed and were not good. Those that are made again have gone to another plate.
fn scrap(books: &Books, listed: &ListedRequest) -> Option<Cause> {
    let mut own = books.plates_of(listed.request.id);
    let short = own.find(|kept| {
        let left = books.copies_on(kept).count();
        books.step(kept.plate.seq.0, StepKind::Off).is_some()
            && left < usize::try_from(kept.plate.copies).unwrap_or(left)
    })?;
    Some(Cause::Scrap {
        plate: short.plate.seq.0,
    })
}

/// All of it that its team does not have is in boxes that it may hold, its time is over, and nobody has said
/// that it came.
#[must_use]
pub fn no_word(session: &Session, books: &Books, listed: &ListedRequest) -> Option<Cause> {
    let promised = books.pledge_of(listed.request.id)?;
    let waits: Vec<State> = (books.copies(listed.request.id).iter())
        .map(|copy| copy.state)
        .filter(|state| {
            !matches!(
                state,
                State::HandedOver | State::Recalled | State::Withdrawn
            )
        })
        .collect();
    let boxed = !waits.is_empty() && waits.iter().all(|state| *state == State::Boxed);
    let mut waiting = books.plates_of(listed.request.id).filter(|kept| {
        let mut copies = books.copies_on(kept);
        copies.any(|copy| copy.state == State::Boxed)
    });
    let past = boxed && promised.pledge.arrival < session.minute();
    let there = past && waiting.all(|kept| may_be_there(session, books, kept));
    there.then_some(Cause::NoWord)
}

/// What keeps one of its plates that are not off the bed.
fn of_a_plate(session: &Session, books: &Books, listed: &ListedRequest) -> Option<Cause> {
    let now = session.minute();
    let ground = Ground::new(&session.terrain.region);
    for kept in books.plates_of(listed.request.id) {
        if kept.state != PlateState::Open {
            continue;
        }
        let (plate, place) = (kept.on().0, books.place(kept));
        let printer = || crate::plate_room::printer_of(session, books, kept).unwrap_or_default();
        if let Some(at) = doomed(session, &ground, books, kept) {
            let printer = printer();
            return Some(Cause::MustStop { plate, printer, at });
        }
        if books.runs(kept) {
            let run = books.run_of(&session.terrain, kept);
            let left = run.and_then(|run| watched_until(&ground, run.printer, run.start));
            if let Some(since) = left.filter(|at| *at <= now) {
                let printer = printer();
                return Some(Cause::NotTold {
                    plate,
                    printer,
                    since,
                });
            }
            // Its place is kept on as long as nobody says that it is off: that is not when it should end.
            let run = books.run_of(&session.terrain, kept);
            let ends = run.map(|run| run.start + run.making.reserved);
            if let Some(since) = ends.filter(|at| *at <= now) {
                let printer = printer();
                return Some(Cause::NotOff {
                    plate,
                    printer,
                    since,
                });
            }
        } else if let Some(place) = place.filter(|place| place.start < now) {
            // Each new plan gives it another place: what counts is the first that was missed.
            let planned = books.pledge_of(listed.request.id);
            let mut planned = planned.iter().flat_map(|p| &p.document.plates);
            let first = planned.find(|one| one.plate == plate);
            let first = first.map_or(place.start, |one| Minute(one.start_min));
            let since = first.min(place.start);
            return Some(Cause::NotStarted { plate, since });
        }
    }
    None
}

/// A box that somebody misses, that is made again, the last first, or that did not go.
fn box_trouble(books: &Books, listed: &ListedRequest) -> Option<Cause> {
    let kept: Vec<&KeptPlate> = books.plates_of(listed.request.id).collect();
    if let Some(doubt) = kept.iter().find_map(|kept| open_doubt(books, kept)) {
        let (share, why) = (doubt.share, doubt.why);
        return Some(Cause::BoxInDoubt { share, why });
    }
    let again = kept.iter().rev();
    let mut again = again.filter_map(|kept| Some((kept.plate.seq.0, made_again(books, kept)?)));
    if let Some((share, why)) = again.next() {
        return Some(Cause::BoxAgain { share, why });
    }
    let waits = |kept: &KeptPlate| books.step(kept.plate.seq.0, StepKind::HandedOver).is_none();
    let mut missed = (kept.iter()).filter_map(|kept| missed(books, kept).filter(|_| waits(kept)));
    missed.next().map(Cause::MissedLeg)
}

fn printer_out(session: &Session, books: &Books, listed: &ListedRequest) -> Option<Cause> {
    let now = session.minute();
    let promised = books.pledge_of(listed.request.id)?;
    let mut outages = session.outages.iter().filter(|outage| outage.until > now);
    let planned = &promised.document.plates;
    let its = |outage: &Outage, name: &str| {
        let terrain = &session.terrain;
        terrain.is_same_machine(&outage.printer, name)
    };
    outages
        .find(|outage| planned.iter().any(|plate| its(outage, &plate.printer)))
        .map(|outage| Cause::PrinterOut {
            printer: outage.printer.clone(),
            reason: outage.reason.clone(),
        })
}

/// When people leave while a plate runs that won't be done by then, and may not run alone; `None` once they
/// have left.
pub(super) fn doomed(
    session: &Session,
    ground: &Ground<'_>,
    books: &Books,
    kept: &KeptPlate,
) -> Option<Minute> {
    let at = stops(session, ground, books, kept);
    at.filter(|at| session.minute() < *at)
}

/// The same, also when they have left and nobody has said what became of it.
fn stops(
    session: &Session,
    ground: &Ground<'_>,
    books: &Books,
    kept: &KeptPlate,
) -> Option<Minute> {
    let run = books.run_of(&session.terrain, kept)?;
    lost_when_left(ground, run.making, run.start)
}

/// A closure of a school where something of it was to be started, taken off or handed over, or runs.
/// Whoever promised it knew of none.
fn closed(session: &Session, books: &Books, listed: &ListedRequest) -> Option<Cause> {
    let terrain = &session.terrain;
    let ground = Ground::new(&terrain.region);
    let planned = &books.pledge_of(listed.request.id)?.document.plates;
    let mut times: Vec<(String, Minute)> = Vec::new();
    for kept in books.plates_of(listed.request.id) {
        let seq = kept.plate.seq.0;
        let to = terrain.file.schools.get(kept.plate.to.0);
        let Some(plate) = planned.iter().find(|plate| plate.plate == seq) else {
            continue;
        };
        if books.step(seq, StepKind::HandedOver).is_some() {
            continue;
        }
        times.extend(to.map(|to| (to.code.clone(), Minute(plate.arrives_min))));
        let printer = terrain.printer_of(&plate.printer);
        let site = printer.map(|p| terrain.region.printers[p.0].site_at(Minute(plate.start_min)));
        let host = site.and_then(|site| terrain.file.hosts.get(site.0));
        let Some(host) = host.filter(|_| kept.state == PlateState::Open) else {
            continue;
        };
        let stops = stops(session, &ground, books, kept);
        let begins = Minute(plate.start_min);
        let begins = (!books.runs(kept)).then_some(begins);
        let at = [begins, Some(Minute(plate.end_min)), stops];
        times.extend(at.into_iter().flatten().map(|at| (host.school.clone(), at)));
    }
    let mut closures = session.closures.iter().map(|kept| &kept.closure);
    let found = closures.find(|closure| {
        let hit = |(school, at): &(String, Minute)| {
            closure.schools.contains(school) && closure.from <= *at && *at < closure.until
        };
        times.iter().any(hit)
    })?;
    let hit = |school: &&String| times.iter().any(|(one, _)| one == *school);
    let code = found.schools.iter().find(hit)?;
    Some(Cause::Closed {
        school: terrain.file.school(code)?.name.clone(),
        reason: found.reason.clone(),
    })
}

/// A plate whose place was given up because nobody had started it.
fn first_not_started(session: &Session, books: &Books, listed: &ListedRequest) -> Option<Cause> {
    let now = session.minute();
    let promised = books.pledge_of(listed.request.id)?;
    let planned = promised.document.plates.iter();
    let mut moved = planned.filter(|plate| {
        let start = Minute(plate.start_min);
        if start >= now || books.step(plate.plate, StepKind::Started).is_some() {
            return false;
        }
        let place = books.floor.plan.of(PlateSeq(plate.plate));
        place.is_some_and(|place| place.start > start)
    });
    moved.next().map(|plate| Cause::NotStarted {
        plate: plate.plate,
        since: Minute(plate.start_min),
    })
}

/// Another's plate is where one of its own was promised, which is later or nowhere for that.
fn crowded(session: &Session, books: &Books, listed: &ListedRequest) -> Option<Cause> {
    let plan = &books.floor.plan;
    let own: Vec<PlateSeq> = (books.plates_of(listed.request.id))
        .map(KeptPlate::on)
        .collect();
    let planned = &books.pledge_of(listed.request.id)?.document.plates;
    let held = planned.iter().any(|plate| {
        let (from, until) = (Minute(plate.start_min), Minute(plate.end_min));
        let kept = books.plate(plate.plate);
        let waits = kept.filter(|kept| kept.state == PlateState::Open && !books.runs(kept));
        let Some(kept) = waits else { return false };
        let later = books.place(kept).is_none_or(|place| place.start > from);
        let printer = session.terrain.printer_of(&plate.printer);
        let mut there = plan.assignments.iter();
        later
            && there.any(|place| {
                let same = Some(place.printer) == printer && !own.contains(&place.plate);
                same && place.start < until && from < place.cleared
            })
    });
    held.then_some(Cause::Crowded)
}
