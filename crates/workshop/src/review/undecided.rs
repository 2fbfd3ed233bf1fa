//! What becomes of requests that wait for a decision and get none: nothing is made of them.

use partpledge_records::{ListedRequest, NewNote, NoteKind, State, StoreError};
use partpledge_units::time::EventMs;

use super::Reason;
use super::deciding::write;
use crate::actor::Actor;
use crate::books::Books;
use crate::error::WorkshopError;
use crate::session::Session;

const HOUR_MS: i64 = 3_600_000;

/// Since when a held request waits for its decision, the first or the second one.
fn waits_since(books: &Books, listed: &ListedRequest) -> Option<EventMs> {
    if listed.request.state != State::HeldForReview {
        return None;
    }
    let notes = books.notes(listed.request.id).iter().rev();
    let mut asked =
        notes.filter(|note| matches!(note.said.kind, NoteKind::Held | NoteKind::Appealed));
    asked.next().map(|note| note.at)
}

/// Requests that have waited for so long that those who decide are told again; when each is refused if
/// nobody decides.
pub(crate) fn overdue<'a>(
    session: &'a Session,
    books: &'a Books,
) -> impl Iterator<Item = (&'a ListedRequest, EventMs)> {
    let rule = &session.terrain.file.undecided;
    let (tell, close) = (
        i64::from(rule.tell_after_hours) * HOUR_MS,
        i64::from(rule.close_after_days) * 24 * HOUR_MS,
    );
    books.requests.iter().filter_map(move |listed| {
        let since = waits_since(books, listed)?;
        let told = since.0 + tell <= session.now.0;
        told.then_some((listed, EventMs(since.0 + close)))
    })
}

/// Refuses what has waited too long for a decision; how many there were. The team may send it again, and
/// that it was refused is no reason to hold it then.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for anybody but the server itself; [`WorkshopError::Store`].
pub async fn close(session: &Session, actor: &Actor) -> Result<usize, WorkshopError> {
    actor.must_be_the_clock()?;
    let books = Books::open(session).await?;
    let late = overdue(session, &books).filter(|(_, closes)| *closes <= session.now);
    let mut closed = 0;
    for (listed, closes) in late {
        let id = listed.request.id;
        let note = NewNote::new(NoteKind::Refused, Reason::Undecided.code(), "");
        let step = Some((State::HeldForReview, State::Refused));
        // By the moment that it closes: a second wait is another one.
        let key = format!("undecided-{id}-{}", closes.0);
        match write(session, actor, (id, step), &note, &key).await {
            Ok(_) => closed += 1,
            // Somebody has decided since we looked.
            Err(WorkshopError::Store(StoreError::NoSuchStep { .. })) => {}
            Err(error) => return Err(error),
        }
    }
    Ok(closed)
}

/// Whether a request was refused only because nobody decided.
pub(crate) fn was_undecided(books: &Books, listed: &ListedRequest) -> bool {
    let notes = books.notes(listed.request.id).iter().rev();
    let mut refused = notes.filter(|note| note.said.kind == NoteKind::Refused);
    let last = refused.next().map(|note| note.said.reason.as_str());
    listed.request.state == State::Refused && last == Some(Reason::Undecided.code())
}
