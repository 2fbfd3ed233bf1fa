//! What becomes of requests that wait for a decision and get none: nothing is made of them.

use partpledge_records::{Before, ListedRequest, NewNote, NoteKind, State, StoreError, Waited};

use super::Reason;
use super::deciding::write;
use crate::actor::Actor;
use crate::books::Books;
use crate::error::WorkshopError;
use crate::session::Session;

const HOUR_MS: i64 = 3_600_000;

/// Requests that have waited for so long that those who decide are told again, with whether it is for a
/// second look. Each is refused some days after it began to wait, but not before those who decide have
/// had as long again to do so: the server may have been off.
pub(crate) fn overdue<'a>(
    session: &Session,
    books: &'a Books,
    before: &Before,
) -> Vec<(&'a ListedRequest, Waited, bool)> {
    let rule = &session.terrain.file.undecided;
    let (tell, close) = (
        i64::from(rule.tell_after_hours) * HOUR_MS,
        i64::from(rule.close_after_days) * 24 * HOUR_MS,
    );
    let now = session.now.0;
    let waits = |listed: &'a ListedRequest| {
        if listed.request.state != State::HeldForReview {
            return None;
        }
        let notes = books.notes(listed.request.id).iter().rev();
        let mut asked =
            notes.filter(|note| matches!(note.said.kind, NoteKind::Held | NoteKind::Appealed));
        let asked = asked.next().filter(|note| note.at.0 + tell <= now)?;
        let (since, again) = (asked.at.0, asked.said.kind == NoteKind::Appealed);
        let told = before.undecided.get(&listed.request.number).copied();
        let told = told.filter(|told| told.since == since);
        let until = (since + close).max(now + tell);
        Some((listed, told.unwrap_or(Waited { since, until }), again))
    };
    books.requests.iter().filter_map(waits).collect()
}

/// Refuses what has waited too long for a decision since that was told; how many there were. The team may
/// send it again: it is looked at then, as what was refused before is.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for anybody but the server itself; [`WorkshopError::Store`], of the first
/// that could not be refused, when all have been tried.
pub async fn close(session: &Session, actor: &Actor) -> Result<usize, WorkshopError> {
    actor.must_be_the_clock()?;
    let (store, region) = session.writable()?;
    let before = store.told(region).await?.before;
    let books = Books::open(session).await?;
    let (mut closed, mut failed) = (0, None);
    for (listed, waited, _) in overdue(session, &books, &before) {
        let was_told = before.undecided.get(&listed.request.number) == Some(&waited);
        if !was_told || session.now.0 < waited.until {
            continue;
        }
        let id = listed.request.id;
        let note = NewNote::new(NoteKind::Refused, Reason::Undecided.code(), "");
        let step = Some((State::HeldForReview, State::Refused));
        // By the wait: a second one is another deed.
        let key = format!("undecided-{id}-{}", waited.since);
        match write(session, actor, (id, step), &note, &key).await {
            Ok(_) => closed += 1,
            // Somebody has decided since we looked.
            Err(WorkshopError::Store(StoreError::NoSuchStep { .. })) => {}
            Err(error) => failed = failed.or(Some(error)),
        }
    }
    failed.map_or(Ok(closed), Err)
}
