//! What people decide about a request, and what follows from it.

use partpledge_records::{Deed, ListedRequest, NewNote, NoteKind, PledgeEnd, State, StoreError};
use partpledge_units::ids::{IdSource, RequestId};

use super::{Reason, clean};
use crate::actor::Actor;
use crate::bench;
use crate::books::Books;
use crate::error::WorkshopError;
use crate::sending;
use crate::session::Session;

/// What passing a request came to.
#[derive(Debug)]
pub struct Passed {
    /// Why there is no pledge, if none could be given.
    pub no_pledge: Option<WorkshopError>,
}

/// Writes a note with its step, once.
pub(super) async fn write(
    session: &Session,
    actor: &Actor,
    step: (RequestId, Option<(State, State)>),
    note: &NewNote,
    key: &str,
) -> Result<bool, WorkshopError> {
    let (store, region) = session.writable()?;
    let deed = Deed {
        actor: actor.reference(),
        occurred_at: session.now,
        received_at: session.now,
        idempotency_key: Some(key.to_owned()),
    };
    let mut ids = IdSource::Os;
    Ok(store.note(region, step, note, &deed, &mut ids).await?)
}

/// Holds a request that could be pledged and is not.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for others than the coordinator, [`WorkshopError::Store`] when
/// somebody decided otherwise meanwhile.
pub async fn hold(
    session: &Session,
    actor: &Actor,
    listed: &ListedRequest,
    (words, key): (&str, &str),
) -> Result<(), WorkshopError> {
    actor.must_review()?;
    let note = NewNote::new(NoteKind::Held, "person", &clean(words));
    let step = (State::Ready, State::HeldForReview);
    let step = (listed.request.id, Some(step));
    write(session, actor, step, &note, key).await?;
    Ok(())
}

/// Lets a request through, and gives its pledge at once if one can be given.
///
/// # Errors
/// As [`hold`]; [`WorkshopError::TakenDown`] for a file that was taken down with another request of
/// the team; [`WorkshopError::Store`] when the pledge could not be written.
pub async fn pass(
    session: &Session,
    actor: &Actor,
    listed: &ListedRequest,
    (words, key): (&str, &str),
) -> Result<Passed, WorkshopError> {
    actor.must_review()?;
    let books = Books::open(session).await?;
    sending::not_down(&books, &listed.request.team, &listed.blob)?;
    let note = NewNote::new(NoteKind::Passed, "", &clean(words));
    let step = (State::HeldForReview, State::Ready);
    let step = (listed.request.id, Some(step));
    write(session, actor, step, &note, key).await?;
    match sending::give_passed(session, actor, listed).await {
        Ok(()) => Ok(Passed { no_pledge: None }),
        Err(error @ WorkshopError::Store(_)) => Err(error),
        Err(error) => Ok(Passed {
            no_pledge: Some(error),
        }),
    }
}

/// Refuses a request, with a reason. That answers the team.
///
/// # Errors
/// As [`hold`].
pub async fn refuse(
    session: &Session,
    actor: &Actor,
    listed: &ListedRequest,
    (reason, words, key): (Reason, &str, &str),
) -> Result<(), WorkshopError> {
    actor.must_review()?;
    let note = NewNote::new(NoteKind::Refused, reason.code(), &clean(words));
    let step = (State::HeldForReview, State::Refused);
    let step = (listed.request.id, Some(step));
    write(session, actor, step, &note, key).await?;
    Ok(())
}

/// The team asks for a second look, once and in words. The second decision is final.
///
/// # Errors
/// [`WorkshopError::NotYours`], [`WorkshopError::Store`] when it was not refused, or was appealed
/// before.
pub async fn appeal(
    session: &Session,
    actor: &Actor,
    listed: &ListedRequest,
    (words, key): (&str, &str),
) -> Result<(), WorkshopError> {
    actor.must_be_of(&listed.request.team)?;
    let (store, _) = session.writable()?;
    let books = Books::open(session).await?;
    let id = listed.request.id;
    let again = match session.store() {
        Some((_, region)) => store.has_key(region, key).await?,
        None => false,
    };
    let (from, to) = (State::Refused, State::HeldForReview);
    if !books.may_appeal(id) && !again {
        return Err(StoreError::NoSuchStep { from, to }.into());
    }
    let note = NewNote::new(NoteKind::Appealed, "", &clean(words));
    write(session, actor, (id, Some((from, to))), &note, key).await?;
    Ok(())
}

/// Anybody who is signed in says that a part should not be here. Whether there is such a part is
/// not told, so that numbers of others can't be probed.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for who is not signed in.
pub async fn report(
    session: &Session,
    actor: &Actor,
    number: i64,
    (mine, words, key): (bool, &str, &str),
) -> Result<(), WorkshopError> {
    actor.must_be_known()?;
    let books = Books::open(session).await?;
    let Some(listed) = books.numbered(number) else {
        return Ok(());
    };
    let reason = if mine { "mine" } else { "not-here" };
    let note = NewNote::new(NoteKind::Reported, reason, &clean(words));
    write(session, actor, (listed.request.id, None), &note, key).await?;
    Ok(())
}

/// The coordinator has looked at a report, and the part stays.
///
/// # Errors
/// As [`hold`].
pub async fn keep_up(
    session: &Session,
    actor: &Actor,
    listed: &ListedRequest,
    (words, key): (&str, &str),
) -> Result<(), WorkshopError> {
    actor.must_review()?;
    let note = NewNote::new(NoteKind::KeptUp, "", &clean(words));
    write(session, actor, (listed.request.id, None), &note, key).await?;
    Ok(())
}

/// Takes a request down, and with it every other of the team with the same file: their files are
/// shown to nobody but the coordinator, their plates that have not been started make room, and their
/// pledges, if open, are withdrawn on record. What runs already is left to the host, and is not made
/// again if it fails. The same file of another team stays, since that may be theirs: its requests are
/// [`Books::same_file`].
///
/// # Errors
/// As [`hold`]; as [`bench::act`] otherwise.
pub async fn take_down(
    session: &Session,
    actor: &Actor,
    listed: &ListedRequest,
    (reason, words, key): (Reason, &str, &str),
) -> Result<(), WorkshopError> {
    actor.must_review()?;
    let note = NewNote::new(NoteKind::TakenDown, reason.code(), &clean(words));
    let end = PledgeEnd::Withdrawn;
    bench::take_down(session, actor, (listed.request.id, end), &note, Some(key)).await
}
