//! What would happen if: a question about the plan, answered on a copy. Nothing is stored.
//!
//! The region is changed as the question says; what runs goes on where it is, what can't stay gets
//! its best place, promises first, and others move only where no promise that holds is missed for
//! it: as the plan would really be made anew. Then every open pledge is played on.

mod region;

use std::collections::BTreeMap;

use jiff::civil::Date;
use partpledge_planning::timeline::{blocked_until, staffed_from, window_from};
use partpledge_planning::{Ground, Occupied, Taken, runs_on, will_be_stopped};
use partpledge_planning_model::{Assignment, Plan, Plate, PlateSeq};
use partpledge_units::ids::RequestId;
use partpledge_units::time::Minute;

use crate::actor::Actor;
use crate::books::Books;
use crate::error::WorkshopError;
use crate::replanning::{GRACE, better, drop_fallen, late_in, placed};
use crate::risks::{Outcome, outcomes};
use crate::session::Session;

/// What is asked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Question {
    /// A printer can't be used.
    PrinterOut {
        /// Its name.
        printer: String,
        /// Until then.
        until: Minute,
    },
    /// A host's school is closed: nobody at the bench, no box leaves, none is handed over there.
    SiteClosed {
        /// The school's code.
        host: String,
        /// On that day.
        day: Date,
    },
    /// There is one more printer.
    OneMore {
        /// Of the same kind as this one; it may not run alone, since nobody has allowed that.
        like: String,
        /// At this host, by its school's code.
        host: String,
    },
    /// Nobody is at a host's bench.
    NobodyAt {
        /// The school's code.
        host: String,
        /// Until then.
        until: Minute,
    },
}

/// What would happen.
#[derive(Debug)]
pub struct Answer {
    /// The region as it would be; without a store, so that nothing can be written.
    pub session: Session,
    /// What is on record, with the plan as it would be.
    pub books: Books,
    /// Plates that would have another place than now, in order of number.
    pub moved: Vec<PlateSeq>,
    /// Plates that run now and would have to be made again: on a printer that would be out of use, or stopped
    /// because nobody would be there and it may not run alone. In order of number.
    pub lost: Vec<PlateSeq>,
    /// Plates that the new plan has later than promised, or nowhere, and the present one has not.
    pub newly_late: Vec<PlateSeq>,
    /// How every open pledge would stand.
    pub outcomes: BTreeMap<RequestId, Outcome>,
}

/// Answers a question about the plan. Reads and plans; writes nothing.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for anybody but the coordinator;
/// [`WorkshopError::Unknown`] for a printer or host that is not in the region;
/// [`WorkshopError::OutOfRange`] for a time that is over or beyond the calendars.
pub fn ask(
    session: &Session,
    actor: &Actor,
    books: &Books,
    question: &Question,
) -> Result<Answer, WorkshopError> {
    actor.must_coordinate()?;
    let (then, mut changed) = region::changed(session, books, question)?;
    let mut lost = lost(session, books, question);
    changed.without_start(&lost);
    lost.extend(stopped_then(session, books, &then));
    lost.sort_unstable();
    lost.dedup();
    let grows = matches!(question, Question::OneMore { .. });
    let before = Ground::new(&session.terrain.region);
    let late_now = late_in(&before, &books.floor.plates, &books.floor.plan);
    let from = Before {
        ground: Some(&before),
        late: &late_now,
    };
    Ok(answered(from, then, changed, (lost, grows)))
}

/// How things stand before what is supposed.
#[derive(Clone, Copy)]
pub(crate) struct Before<'a> {
    /// The ground, if it has the same printers and schools in the same order.
    pub(crate) ground: Option<&'a Ground<'a>>,
    /// Plates that are planned too late already.
    pub(crate) late: &'a [PlateSeq],
}

/// The plan on the ground of `then`, and how the promises would stand. `changed` are the books as
/// they are there, with the plan so far; `grows` looks for better places even when nothing must move.
pub(crate) fn answered(
    before: Before<'_>,
    then: Session,
    mut changed: Books,
    (lost, grows): (Vec<PlateSeq>, bool),
) -> Answer {
    let plan = anew(before.ground, &then, &changed, grows);
    let was = |place: &&Assignment| {
        let old = changed.floor.plan.of(place.plate);
        let waits = !place.frozen || lost.contains(&place.plate);
        waits && old.is_none_or(|old| (old.printer, old.start) != (place.printer, place.start))
    };
    let moved = plan.assignments.iter().filter(was).map(|p| p.plate);
    let moved = moved.collect();
    let ground = Ground::new(&then.terrain.region);
    let mut newly_late = late_in(&ground, &changed.floor.plates, &plan);
    newly_late.retain(|seq| !before.late.contains(seq));
    changed.floor.plan = plan;
    let outcomes = outcomes(&then, &changed);
    Answer {
        session: then,
        books: changed,
        moved,
        lost,
        newly_late,
        outcomes,
    }
}

/// What runs on a printer that is said to be out of use.
fn lost(session: &Session, books: &Books, question: &Question) -> Vec<PlateSeq> {
    let Question::PrinterOut { printer, until } = question else {
        return Vec::new();
    };
    if *until <= session.minute() {
        return Vec::new();
    }
    let running = books.running().into_iter();
    // At a meeting the same machine has another name.
    let file = &session.terrain.file;
    let machine = file.machine_of(printer);
    let there = running.filter(|(_, _, on)| file.machine_of(on) == machine);
    there.map(|(seq, _, _)| seq).collect()
}

/// What runs now and would be stopped on the ground of `then`, and isn't as it is: nobody would be there, and it
/// may not run alone.
pub(crate) fn stopped_then(session: &Session, books: &Books, then: &Session) -> Vec<PlateSeq> {
    let now = session.minute();
    let stopped =
        |session: &Session, ground: &Ground<'_>, (seq, start, on): &(PlateSeq, Minute, String)| {
            let plate = books.floor.plates.iter().find(|plate| plate.seq == *seq);
            let making = plate
                .zip(session.terrain.printer_of(on))
                .and_then(|(plate, on)| plate.makings.iter().find(|making| making.printer == on));
            making.is_some_and(|making| will_be_stopped(ground, making, *start, now))
        };
    let (is, would) = (
        Ground::new(&session.terrain.region),
        Ground::new(&then.terrain.region),
    );
    let running = books.running().into_iter();
    let newly = running.filter(|run| stopped(then, &would, run) && !stopped(session, &is, run));
    newly.map(|(seq, ..)| seq).collect()
}

/// The plan on the changed ground; `grows` looks for better places even when nothing must move.
fn anew(before: Option<&Ground<'_>>, then: &Session, books: &Books, grows: bool) -> Plan {
    let now = then.minute();
    let ground = Ground::new(&then.terrain.region);
    let plates = &books.floor.plates;
    let mut plan = Plan::default();
    for (seq, start, printer) in books.running() {
        let plate = plates.iter().find(|p| p.seq == seq);
        let place = plate.zip(then.terrain.printer_of(&printer));
        let place = place.and_then(|(p, on)| runs_on(&ground, p, on, start, now));
        if let Some(place) = place {
            plan.put(place);
        }
    }
    let mut occupied = Occupied::by(&ground, plates, &plan);
    let mut displaced: Vec<&Plate> = Vec::new();
    for (plate, place) in waiting(plates, &books.floor.plan, &plan) {
        let kept = place.and_then(|place| stays((before, &ground), plate, place, now));
        let clear = kept.filter(|slot| {
            let taken = occupied.conflict(slot.printer, slot.start, slot.cleared);
            taken.is_none()
        });
        match clear {
            Some(slot) => {
                occupied.add(&slot, ground.load(plate, false));
                plan.put(slot);
            }
            None => displaced.push(plate),
        }
    }
    displaced.extend(drop_fallen(&ground, plates, &mut plan));
    let plan = placed((&ground, plates), plan, displaced, now, |_, _| None);
    better((&ground, plates), plan, now, grows)
}

/// Plates that don't run, with their places so far, in order of start.
fn waiting<'a>(
    plates: &'a [Plate],
    old: &Plan,
    running: &Plan,
) -> Vec<(&'a Plate, Option<Assignment>)> {
    let waits = plates.iter().filter(|p| running.of(p.seq).is_none());
    let mut all: Vec<(&Plate, Option<Assignment>)> =
        waits.map(|p| (p, old.of(p.seq).copied())).collect();
    all.sort_by_key(|(p, place)| (place.map_or(Minute(i64::MAX), |at| at.start), p.seq));
    all
}

/// The same place on the changed ground, if what was possible there still is.
fn stays(
    (before, ground): (Option<&Ground<'_>>, &Ground<'_>),
    plate: &Plate,
    place: Assignment,
    now: Minute,
) -> Option<Assignment> {
    let was = before.is_none_or(|before| possible(before, &place));
    let possible = !was || possible(ground, &place);
    if !possible || place.start + GRACE < now {
        return None;
    }
    let stand = ground.stand_at(place.printer, place.start);
    let cleared = staffed_from(&stand.staffed, place.end)?;
    let ready = ground.boxed(place.printer, place.start, cleared)?;
    let arrives = ground.arrival(stand.site, plate.to, ready)?;
    Some(Assignment {
        cleared,
        ready,
        arrives,
        frozen: false,
        ..place
    })
}

/// Whether people are there as a place needs them, and the printer can be used.
fn possible(ground: &Ground<'_>, place: &Assignment) -> bool {
    let printer = ground.printer(place.printer);
    let window = window_from(
        &ground.stand_at(place.printer, place.start).staffed,
        place.start,
    );
    let started = window.filter(|window| window.from <= place.start);
    let watched = started.is_some_and(|w| printer.unattended || place.end <= w.until);
    watched && blocked_until(&printer.out_of_use, place.start, place.end).is_none()
}
