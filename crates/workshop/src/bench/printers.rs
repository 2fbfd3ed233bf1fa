//! Printers that can't be used for a while, and that can be used again, whatever is planned on them.

use partpledge_planning_model::PrinterIx;
use partpledge_records::{BackInUse, Event, GroundChange, Happening, Outage, Said, TakenBack};
use partpledge_units::time::{EventMs, Minute};
use partpledge_words::{said, say};

use super::draft::{Draft, and_moved};
use super::undo::{plan_before, refused};
use super::{Done, Told, Tries, UNDO_MS, done_at, write};
use crate::actor::Actor;
use crate::error::WorkshopError;
use crate::hub::may_put_back;
use crate::replanning::{Situation, replan};
use crate::session::Session;

/// Events that say whether a printer can be used, and nothing else.
const OUT: &str = "printer.out-of-use";
const BACK: &str = "printer.back-in-use";

/// A printer can't be used until then, whatever is planned on it. What runs on it goes on. Told later than it was
/// done, it counts from when it was done until somebody said that it works again, if somebody has since.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for others than the bench where it stands and the coordinator;
/// [`WorkshopError::Unknown`] for a printer that is not there; [`WorkshopError::OutOfRange`] for a
/// time that was over then; [`WorkshopError::WrongTime`]; as [`act`](super::act).
pub async fn printer_out(
    session: &Session,
    actor: &Actor,
    printer: &str,
    (reason, until): (&str, Minute),
    told: impl Into<Told<'_>>,
) -> Result<Done, WorkshopError> {
    let told: Told<'_> = told.into();
    may(session, actor, printer)?;
    let mut tries = Tries::of(session);
    loop {
        let Some((session, books)) = tries.look_unless(told.key).await? else {
            return Ok(Done::known());
        };
        let at = done_at(told.done_at, session.now)?;
        let then = Minute::at_or_after(at);
        if until <= then {
            let (what, range) = ("until", "still to come");
            return Err(WorkshopError::OutOfRange { what, range });
        }
        let back = said_since(session, printer, (BACK, at)).await?;
        let until = back.map_or(until, |back| until.min(Minute::at_or_before(back)));
        if until <= then {
            return Ok(Done::known());
        }
        let mut draft = Draft::new(session, actor, &books, told.key);
        draft.deed.occurred_at = at;
        let (happening, done) = draft.printer_out(printer.to_owned(), reason, until)?;
        if let Some(done) = write(session, &happening, done).await? {
            return Ok(done);
        }
    }
}

/// A printer can be used again from then on, whatever was said of it before. Said of one that can be
/// used, it changes nothing; nor does it, told later than it was done, when somebody has put the printer out of use
/// since.
///
/// # Errors
/// As [`printer_out`]; [`WorkshopError::NobodyMay`] at a bench that students run, when an adult has put
/// it out of use and none is there.
pub async fn printer_back(
    session: &Session,
    actor: &Actor,
    printer: &str,
    told: impl Into<Told<'_>>,
) -> Result<Done, WorkshopError> {
    let told: Told<'_> = told.into();
    may(session, actor, printer)?;
    let key = told.key;
    let mut tries = Tries::of(session);
    loop {
        let Some((session, books)) = tries.look_unless(key).await? else {
            return Ok(Done::known());
        };
        let (terrain, now) = (&session.terrain, session.minute());
        let at = done_at(told.done_at, session.now)?;
        let then = Minute::at_or_after(at);
        let its = |one: &Outage| terrain.is_same_machine(&one.printer, printer);
        let open = |one: &Outage| its(one) && now < one.until;
        let since = said_since(session, printer, (OUT, at)).await?;
        if since.is_some() || !session.outages.iter().any(open) {
            return Ok(Done::known());
        }
        let (store, region) = session.writable()?;
        let machine = terrain.file.machine_of(printer);
        let told = store.told_of_use(region, machine, now).await?;
        may_put_back(session, actor, (printer, &told.out)).await?;
        let ended = session.outages.iter().map(|one| Outage {
            until: if open(one) { then } else { one.until },
            ..one.clone()
        });
        let ended = ended.filter(|one| one.from < one.until);
        let freed = session.with_only(ended.collect());
        let mut draft = Draft::new(session, actor, &books, key);
        draft.deed.occurred_at = at;
        let floor = &books.floor;
        let replanned = draft
            .seen(&freed)
            .replanned(&floor.plates, &books.running())?;
        let done = Done::of(&replanned);
        let why = said!("promises-plan-back", printer = printer);
        let payload = vec![
            ("printer", Said::Text(printer.to_owned())),
            draft.makes_plan(),
        ];
        let happening = Happening {
            ground: GroundChange {
                back: Some(BackInUse {
                    printer: machine.to_owned(),
                    at: then,
                }),
                ..GroundChange::default()
            },
            plan: Some((replanned.plan, and_moved(why, &done))),
            ..draft.event(BACK, payload)
        };
        if let Some(done) = write(session, &happening, done).await? {
            return Ok(done);
        }
    }
}

/// Takes back what was said last of a printer, that it can't be used or that it can: for
/// [`UNDO_MS`] after it was said. `seen` is its entry in the log: what was said after it stays.
///
/// # Errors
/// [`WorkshopError::NotTakenBack`] with the reason; as [`printer_back`] where it puts a printer back
/// in use.
pub async fn printer_undone(
    session: &Session,
    actor: &Actor,
    (printer, seen): (&str, i64),
    key: Option<&str>,
) -> Result<Done, WorkshopError> {
    may(session, actor, printer)?;
    let mut tries = Tries::of(session);
    loop {
        let Some((session, books)) = tries.look_unless(key).await? else {
            return Ok(Done::known());
        };
        let (store, region) = session.writable()?;
        let machine = session.terrain.file.machine_of(printer);
        let told = store.told_of_use(region, machine, session.minute()).await?;
        let last = told.last.as_ref();
        let is_it = |kind: &str| matches!(kind, OUT | BACK);
        let last = last.filter(|(entry, event)| is_it(&event.kind) && *entry == seen);
        let (entry, event) = last.ok_or_else(|| refused(say!("bench-undo-already")))?;
        if undone_of(session, event).is_none() {
            return Err(refused(say!("bench-undo-late")));
        }
        if event.kind == OUT {
            may_put_back(session, actor, (printer, &told.out)).await?;
        }
        let then = session.with_only(store.outages_without(region, *entry).await?);
        let floor = &books.floor;
        let base = plan_before(session, event, floor.revision).await?;
        let mut base = base.unwrap_or_else(|| floor.plan.clone());
        let there = |place: &partpledge_planning_model::Assignment| {
            floor.plates.iter().any(|plate| plate.seq == place.plate)
        };
        base.assignments.retain(there);
        let replanned = replan(
            &then,
            &Situation {
                plates: &floor.plates,
                plan: &base,
                running: &books.running(),
                retimed: &[],
            },
        )?;
        let done = Done::of(&replanned);
        let draft = Draft::new(session, actor, &books, key);
        let why = said!("promises-plan-printer-not-after-all", printer = printer);
        let payload = vec![
            ("printer", Said::Text(printer.to_owned())),
            (
                "entry",
                Said::Numbers(u64::try_from(*entry).into_iter().collect()),
            ),
        ];
        let happening = Happening {
            takes_back: Some(TakenBack {
                undoes: *entry,
                ..TakenBack::default()
            }),
            plan: Some((replanned.plan, and_moved(why, &done))),
            ..draft.event("printer.taken-back", payload)
        };
        if let Some(done) = write(session, &happening, done).await? {
            return Ok(done);
        }
    }
}

/// When that was said last of a printer, if it was after a deed that is told only now.
async fn said_since(
    session: &Session,
    printer: &str,
    (kind, at): (&str, EventMs),
) -> Result<Option<EventMs>, WorkshopError> {
    let (store, region) = session.writable()?;
    let machine = session.terrain.file.machine_of(printer);
    let told = store.told_of_use(region, machine, session.minute()).await?;
    let last = told.last.map(|(_, event)| event);
    let last = last.filter(|event| event.kind == kind && event.occurred_at > at);
    Ok(last.map(|event| event.occurred_at))
}

/// What can be taken back of what was said last of a printer: `out` or `back`; `None` when it is too
/// late, or was said with something else.
#[must_use]
pub fn undone_of(session: &Session, last: &Event) -> Option<&'static str> {
    let fresh = session.now.0 - last.occurred_at.0 <= UNDO_MS;
    match last.kind.as_str() {
        OUT if fresh => Some("out"),
        BACK if fresh => Some("back"),
        _ => None,
    }
}

/// Whether somebody may say of a printer that it can or can't be used.
fn may(session: &Session, actor: &Actor, printer: &str) -> Result<PrinterIx, WorkshopError> {
    let found = session.terrain.must_know(printer)?;
    actor.must_work_with(session, found, session.minute())?;
    Ok(found)
}
