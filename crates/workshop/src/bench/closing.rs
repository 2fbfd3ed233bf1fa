//! Schools are closed for a while, or open again: one deed for all of them, one plan, one reason.

use partpledge_planning::Ground;
use partpledge_planning_model::Plan;
use partpledge_records::{
    GroundChange, Happening, KeptClosure, Said, SiteClosure, StoreError, TakenBack,
};
use partpledge_words::{clause, said};

use super::draft::{Draft, and_moved};
use super::{Done, Tries, known, write};
use crate::actor::Actor;
use crate::books::Books;
use crate::closures::{if_closed, if_lifted, in_order, of_entry};
use crate::error::WorkshopError;
use crate::replanning::{Situation, late_in, refuse};
use crate::session::Session;
use crate::what_if::Answer;

/// Closes schools for a while. Promises stand; those that can't be kept any more are told as late.
/// `seen` is the revision of the plan that was shown, if it must be done as it was shown.
///
/// # Errors
/// [`WorkshopError::Store`] when another plan was made since; as [`if_closed`], and as
/// [`act`](super::act).
pub async fn close(
    session: &Session,
    actor: &Actor,
    (told, seen): (&SiteClosure, Option<i64>),
    key: Option<&str>,
) -> Result<Done, WorkshopError> {
    actor.must_coordinate()?;
    let mut tries = Tries::of(session);
    loop {
        let (session, books) = tries.look().await?;
        if known(session, key).await? {
            return Ok(Done::known());
        }
        as_seen(&books, seen)?;
        let closure = in_order(session, told)?;
        let answer = if_closed(session, actor, &books, &closure).await?;
        let draft = Draft::new(session, actor, &books, key);
        let (plan, done) = as_answered(&answer)?;
        let reason = clause(&closure.reason);
        let why = match only(session, &closure) {
            Some(school) => said!("promises-plan-closed-one", school = school, reason = reason),
            None => said!(
                "promises-plan-closed",
                n = closure.schools.len(),
                reason = reason
            ),
        };
        let happening = Happening {
            plan: Some((plan, and_moved(why, &done))),
            ground: GroundChange {
                closure: Some(closure.clone()),
                ..GroundChange::default()
            },
            ..draft.event("region.closed", draft.says(&closure))
        };
        if let Some(done) = write(session, &happening, done).await? {
            return Ok(done);
        }
    }
}

/// Lifts the closure of an entry of the log: its schools are open again, all of them. `seen` is as for
/// [`close`].
///
/// # Errors
/// As [`close`], and as [`if_lifted`].
pub async fn lift(
    session: &Session,
    actor: &Actor,
    (entry, seen): (i64, Option<i64>),
    key: Option<&str>,
) -> Result<Done, WorkshopError> {
    actor.must_coordinate()?;
    let mut tries = Tries::of(session);
    loop {
        let (session, books) = tries.look().await?;
        if known(session, key).await? {
            return Ok(Done::known());
        }
        as_seen(&books, seen)?;
        let KeptClosure { closure, .. } = of_entry(session, entry)?.clone();
        let answer = if_lifted(session, actor, &books, entry).await?;
        let draft = Draft::new(session, actor, &books, key);
        let (plan, done) = as_answered(&answer)?;
        let why = match only(session, &closure) {
            Some(school) => said!("promises-plan-open-one", school = school),
            None => said!("promises-plan-open", n = closure.schools.len()),
        };
        let happening = Happening {
            plan: Some((plan, and_moved(why, &done))),
            takes_back: Some(TakenBack {
                undoes: entry,
                ..TakenBack::default()
            }),
            ..draft.event("region.opened", draft.says(&closure))
        };
        if let Some(done) = write(session, &happening, done).await? {
            return Ok(done);
        }
    }
}

/// Refused when the plan is not the one that was shown.
fn as_seen(books: &Books, seen: Option<i64>) -> Result<(), WorkshopError> {
    let current = books.floor.revision;
    match seen.filter(|seen| *seen != current) {
        Some(expected) => Err(StoreError::Stale { expected, current }.into()),
        None => Ok(()),
    }
}

/// The name of the school, where only one is closed.
fn only(session: &Session, closure: &SiteClosure) -> Option<String> {
    let [one] = closure.schools.as_slice() else {
        return None;
    };
    let school = session.terrain.file.school(one);
    Some(school.map_or(one, |school| &school.name).clone())
}

impl Draft<'_> {
    fn says(&self, closure: &SiteClosure) -> partpledge_records::Payload {
        vec![
            ("schools", Said::Text(closure.schools.join(" "))),
            ("reason", Said::Text(closure.reason.clone())),
            self.makes_plan(),
        ]
    }
}

/// The plan of an answer, looked at by the checker, and what it comes to.
pub(super) fn as_answered(answer: &Answer) -> Result<(Plan, Done), WorkshopError> {
    let (then, floor) = (&answer.session, &answer.books.floor);
    let running = answer.books.running();
    let situation = Situation {
        plates: &floor.plates,
        plan: &floor.plan,
        running: &running,
        retimed: &[],
    };
    let mut stayed = floor.plan.clone();
    stayed.assignments.retain(|place| place.frozen);
    refuse(then, &situation, &stayed, &floor.plan)?;
    let ground = Ground::new(&then.terrain.region);
    let done = Done {
        before: false,
        moved: answer.moved.clone(),
        late: late_in(&ground, &floor.plates, &floor.plan),
    };
    Ok((floor.plan.clone(), done))
}
