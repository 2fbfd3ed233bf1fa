//! Before a file is taken: is it the same again, and is it more than the region lets a team have?

use std::collections::BTreeSet;

use partpledge_records::{BlobHash, ListedRequest, NoteKind, PlateState, State};
use partpledge_units::ids::RequestId;
use partpledge_units::length::LengthUnit;
use partpledge_words::say;

use crate::actor::{Actor, Role};
use crate::books::Books;
use crate::error::WorkshopError;
use crate::sending::spares;
use crate::session::Session;

/// How long the same file, plastic and copies count as the same again.
const SAME_WITHIN_MS: i64 = 7 * 24 * 3_600 * 1_000;

/// What a team has open, in numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Open {
    /// Requests that are waited for, looked at, or promised.
    pub requests: u32,
    /// Plastic in plates that are still to be printed, g.
    pub grams: i64,
}

/// Whether a request is still waited for.
fn is_open(books: &Books, listed: &ListedRequest) -> bool {
    let promised = books.pledge_of(listed.request.id);
    let ended = promised.is_some_and(|promised| promised.end.is_some());
    let waits = matches!(
        listed.request.state,
        State::Received | State::HeldForReview | State::Ready | State::Pledged
    );
    waits && !ended
}

/// What a team has open. A request and the ones whose place it takes are one, as long as those can
/// make room: its plastic is counted with whichever has the plates.
#[must_use]
pub fn open(books: &Books, team: &str) -> Open {
    open_without(books, team, &[])
}

/// The same without requests that make room for another.
fn open_without(books: &Books, team: &str, leaving: &[RequestId]) -> Open {
    let own = books.requests.iter().filter(|r| r.request.team == team);
    let own: Vec<&ListedRequest> = own
        .filter(|listed| is_open(books, listed) && !leaving.contains(&listed.request.id))
        .collect();
    let makes_room = |id: &RequestId| books.may_withdraw(*id);
    let replaced: BTreeSet<RequestId> = (own.iter())
        .flat_map(|listed| books.replaced_by(&listed.request))
        .filter(makes_room)
        .collect();
    let mut out = Open::default();
    for listed in own {
        out.requests += u32::from(!replaced.contains(&listed.request.id));
        let plates = books.plates_of(listed.request.id);
        let waiting = plates.filter(|kept| kept.state == PlateState::Open);
        out.grams += waiting.map(|kept| kept.plate.grams).sum::<i64>();
    }
    out
}

/// Number of a team's last request; 0 for none.
pub(crate) fn counted_to(books: &Books, team: &str) -> i64 {
    let own = books.requests.iter().filter(|r| r.request.team == team);
    own.map(|r| r.request.number).max().unwrap_or(0)
}

/// Whether a team may ask for so many copies more, in place of `old` if that can make room. A mentor
/// of the team may go beyond the region's limits with a reason, if the region allows that.
///
/// # Errors
/// [`WorkshopError::OverLimit`] with what is too much.
pub(crate) fn within(
    session: &Session,
    (books, actor): (&Books, &Actor),
    (team, copies, old): (&str, u32, Option<&ListedRequest>),
    reason: Option<&str>,
) -> Result<bool, WorkshopError> {
    let limits = &session.terrain.file.limits;
    let mut leaving = Vec::new();
    if let Some(old) = old {
        leaving.push(old.request.id);
        leaving.extend(books.replaced_by(&old.request));
    }
    leaving.retain(|id| books.may_withdraw(*id));
    let open = open_without(books, team, &leaving);
    let what = if copies > limits.copies {
        say!("send-over-copies", n = copies, most = limits.copies)
    } else if open.requests >= limits.open_requests {
        one_too_many(open.requests)
    } else if open.grams >= i64::from(limits.open_grams) {
        say!(
            "send-over-plastic",
            grams = open.grams,
            most = limits.open_grams
        )
    } else {
        return Ok(false);
    };
    let mentor = matches!(actor.role(), Role::Mentor(_) | Role::Machine);
    let may = limits.mentors_may_exceed && mentor;
    if may && reason.is_some_and(|reason| !reason.trim().is_empty()) {
        return Ok(true);
    }
    Err(WorkshopError::OverLimit {
        what,
        mentor_may: limits.mentors_may_exceed,
    })
}

/// Whether a team may have one part more on its list, whatever it weighs: copies that are asked for
/// already and come later.
///
/// # Errors
/// [`WorkshopError::OverLimit`].
pub(crate) fn one_more(session: &Session, books: &Books, team: &str) -> Result<(), WorkshopError> {
    let open = open_without(books, team, &[]).requests;
    if open < session.terrain.file.limits.open_requests {
        return Ok(());
    }
    Err(WorkshopError::OverLimit {
        what: one_too_many(open),
        mentor_may: false,
    })
}

/// Whether a team may have so many spares more: as many parts may be waited for at a meeting as the region
/// says, whatever else the team has open.
///
/// # Errors
/// [`WorkshopError::OutOfRange`] for no copies; [`WorkshopError::OverLimit`].
pub(crate) fn spare_within(
    session: &Session,
    books: &Books,
    (team, copies): (&str, u32),
) -> Result<(), WorkshopError> {
    let limits = &session.terrain.file.limits;
    if copies == 0 {
        let range = "at least 1";
        return Err(WorkshopError::OutOfRange {
            what: "copies",
            range,
        });
    }
    let own = books.requests.iter().filter(|r| r.request.team == team);
    let spares = own.filter(|r| is_open(books, r) && spares::spare_at(session, r).is_some());
    let open = spares.count();
    let what = if copies > limits.copies {
        say!("send-over-copies", n = copies, most = limits.copies)
    } else if open >= limits.spares as usize {
        say!("send-over-spares", most = limits.spares)
    } else {
        return Ok(());
    };
    let mentor_may = false;
    Err(WorkshopError::OverLimit { what, mentor_may })
}

fn one_too_many(open: u32) -> String {
    say!("send-over-one", most = open)
}

/// Whether a request that waits without a promise may be promised now: what its team has open is
/// looked at again, since others may have been promised meanwhile. One that a mentor sent beyond the
/// limits may.
///
/// # Errors
/// [`WorkshopError::OverLimit`] with what is too much.
pub(crate) fn still_within(
    session: &Session,
    books: &Books,
    listed: &ListedRequest,
) -> Result<(), WorkshopError> {
    let limits = &session.terrain.file.limits;
    let notes = books.notes(listed.request.id).iter();
    let mut kinds = notes.map(|note| note.said.kind);
    if kinds.any(|kind| kind == NoteKind::OverLimit) {
        return Ok(());
    }
    let mut leaving = books.replaced_by(&listed.request);
    leaving.retain(|id| books.may_withdraw(*id));
    let open = open_without(books, &listed.request.team, &leaving);
    let (grams, most) = (open.grams, limits.open_grams);
    let what = if open.requests > limits.open_requests {
        let most = limits.open_requests;
        say!("send-over-open", n = open.requests, most = most)
    } else if grams >= i64::from(most) {
        say!("send-over-plastic", grams = grams, most = most)
    } else {
        return Ok(());
    };
    let mentor_may = false;
    Err(WorkshopError::OverLimit { what, mentor_may })
}

/// The request that this would be again: the same file, plastic and copies of the same team, within
/// a week, and not called back, refused or to be changed.
pub(crate) async fn same_again(
    session: &Session,
    books: &Books,
    (team, blob, unit): (&str, &BlobHash, Option<LengthUnit>),
    (material, copies): (&str, u32),
) -> Result<Option<i64>, WorkshopError> {
    let (store, region) = session.writable()?;
    let since = session.now.0 - SAME_WITHIN_MS;
    let like = |listed: &&ListedRequest| {
        let request = &listed.request;
        request.team == team
            && request.material == material
            && request.copies == i64::from(copies)
            && request.asked_at.0 >= since
            && listed.blob == *blob
            && matches!(
                request.state,
                State::HeldForReview | State::Ready | State::Pledged
            )
    };
    for listed in books.requests.iter().rev().filter(like) {
        let version = store.version(region, listed.request.version).await?;
        let same =
            version.is_some_and(|version| unit.is_none_or(|unit| unit.symbol() == version.unit));
        if same {
            return Ok(Some(listed.request.number));
        }
    }
    Ok(None)
}
