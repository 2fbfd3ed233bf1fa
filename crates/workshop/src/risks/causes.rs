//! Why a pledge is at risk: the first of what may be, the surest first.

use partpledge_planning::{Ground, lost_when_left, must_stop};
use partpledge_planning_model::PlateSeq;
use partpledge_records::{KeptPlate, ListedRequest, PlateState, StepKind};
use partpledge_units::time::Minute;

use super::Cause;
use crate::books::Books;
use crate::boxes::missed;
use crate::doubts::made_again;
use crate::session::Session;

/// Why the promise of a request does not hold as it was given.
#[must_use]
pub fn cause(session: &Session, books: &Books, listed: &ListedRequest) -> Cause {
    let now = session.minute();
    let own: Vec<u64> = books
        .plates_of(listed.request.id)
        .map(|kept| kept.plate.seq.0)
        .collect();
    let lost = books.floor.steps.iter().rev();
    let printed: Vec<u64> = books
        .plates_of(listed.request.id)
        .map(|kept| kept.on().0)
        .collect();
    let mut lost = lost.filter(|step| printed.contains(&step.plate));
    if let Some(step) = lost.find(|step| step.kind == StepKind::Failed) {
        return Cause::Failed {
            plate: step.plate,
            printer: step.printer.clone(),
            reason: step.reason.clone().unwrap_or_default(),
            at: step.at,
        };
    }
    if let Some(found) = closed(session, books, listed) {
        return found;
    }
    if let Some(found) = of_a_plate(session, books, listed) {
        return found;
    }
    if let Some(found) = box_trouble(books, listed) {
        return found;
    }
    if let Some(found) = printer_out(session, books, listed, now) {
        return found;
    }
    if own
        .iter()
        .any(|seq| books.step(*seq, StepKind::Off).is_some())
    {
        let scrap = own.iter().find(|seq| {
            let off = books.step(**seq, StepKind::Off).is_some();
            let kept = books.plate(**seq).filter(|_| off);
            // Those that are made again have gone to another plate.
            kept.is_some_and(|kept| {
                let left = books.copies_on(kept).count();
                left < usize::try_from(kept.plate.copies).unwrap_or(left)
            })
        });
        return scrap.map_or(Cause::NoWord, |seq| Cause::Scrap { plate: *seq });
    }
    let promised = books.pledge_of(listed.request.id);
    let begun = |seq: &u64| books.step(*seq, StepKind::Started).is_some();
    if promised.is_some_and(|promised| promised.pledge.arrival < now) && own.iter().any(begun) {
        return Cause::NoWord;
    }
    first_not_started(books, listed).unwrap_or(Cause::Crowded)
}

/// What keeps one of its plates that are not off the bed.
fn of_a_plate(session: &Session, books: &Books, listed: &ListedRequest) -> Option<Cause> {
    let now = session.minute();
    let ground = Ground::new(&session.terrain.region);
    for kept in books.plates_of(listed.request.id) {
        if kept.state != PlateState::Open {
            continue;
        }
        let place = books.place(kept);
        if let Some(at) = doomed(session, &ground, books, kept) {
            let printer = crate::plate_room::printer_of(session, books, kept);
            return Some(Cause::MustStop {
                plate: kept.on().0,
                printer: printer.unwrap_or_default(),
                at,
            });
        }
        if books.runs(kept) {
            if place.is_some_and(|place| place.end <= now) {
                let printer = crate::plate_room::printer_of(session, books, kept);
                let printer = printer.unwrap_or_default();
                return Some(Cause::RunsLong {
                    plate: kept.on().0,
                    printer,
                });
            }
        } else if let Some(place) = place.filter(|place| place.start < now) {
            return Some(Cause::NotStarted {
                plate: kept.on().0,
                since: place.start,
            });
        }
    }
    None
}

/// A box that is made again, the last first, or that did not go.
fn box_trouble(books: &Books, listed: &ListedRequest) -> Option<Cause> {
    let kept: Vec<&KeptPlate> = books.plates_of(listed.request.id).collect();
    let again = kept.iter().rev();
    let mut again = again.filter_map(|kept| Some((kept.plate.seq.0, made_again(books, kept)?)));
    if let Some((share, why)) = again.next() {
        return Some(Cause::BoxAgain { share, why });
    }
    let waits = |kept: &KeptPlate| books.step(kept.plate.seq.0, StepKind::HandedOver).is_none();
    let mut missed = (kept.iter()).filter_map(|kept| missed(books, kept).filter(|_| waits(kept)));
    missed.next().map(Cause::MissedLeg)
}

fn printer_out(
    session: &Session,
    books: &Books,
    listed: &ListedRequest,
    now: Minute,
) -> Option<Cause> {
    let promised = books.pledge_of(listed.request.id)?;
    let mut outages = session.outages.iter().filter(|outage| outage.until > now);
    let planned = &promised.document.plates;
    outages
        .find(|outage| planned.iter().any(|plate| plate.printer == outage.printer))
        .map(|outage| Cause::PrinterOut {
            printer: outage.printer.clone(),
            reason: outage.reason.clone(),
        })
}

/// When people leave while a plate runs that won't be done by then, and may not run alone.
pub(super) fn doomed(
    session: &Session,
    ground: &Ground<'_>,
    books: &Books,
    kept: &KeptPlate,
) -> Option<Minute> {
    let running = books.running().into_iter();
    let (_, start, printer) = running.into_iter().find(|(seq, ..)| *seq == kept.on())?;
    let printer = session.terrain.printer_of(&printer)?;
    let mut makings = books.whole(kept)?.makings.iter();
    let making = makings.find(|making| making.printer == printer)?;
    let lost = lost_when_left(ground, making, start);
    must_stop(ground, making, start).filter(|_| lost)
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
        let stops = doomed(session, &ground, books, kept);
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
fn first_not_started(books: &Books, listed: &ListedRequest) -> Option<Cause> {
    let promised = books.pledge_of(listed.request.id)?;
    let planned = promised.document.plates.iter();
    let mut moved = planned.filter(|plate| {
        if books.step(plate.plate, StepKind::Started).is_some() {
            return false;
        }
        let place = books.floor.plan.of(PlateSeq(plate.plate));
        place.is_some_and(|place| place.start > Minute(plate.start_min))
    });
    moved.next().map(|plate| Cause::NotStarted {
        plate: plate.plate,
        since: Minute(plate.start_min),
    })
}
