//! A part was made in the wrong unit: what is still planned of it makes room, and it is noted who pays.

use partpledge_records::{Happening, KeptPlate, NewNote, PlateState, PledgeEnd, Said, State};
use partpledge_units::ids::{CopyId, PledgeId, RequestId};
use partpledge_words::said;

use super::draft::{Draft, and_moved};
use super::{Tries, known, write};
use crate::actor::Actor;
use crate::error::WorkshopError;
use crate::session::Session;

/// Writes down that a request was made in the wrong unit. What is printed of it stays as it is, and so
/// does a promise that has ended; an open one goes on with what is under way, and ends as replaced when
/// nothing is.
pub(crate) async fn made_in_wrong_unit(
    session: &Session,
    actor: &Actor,
    request: RequestId,
    note: &NewNote,
    key: Option<&str>,
) -> Result<(), WorkshopError> {
    let mut tries = Tries::of(session);
    loop {
        let (session, books) = tries.look().await?;
        if known(session, key).await? {
            return Ok(());
        }
        let draft = Draft::new(session, actor, &books, key);
        let (happening, done) = draft.resized(request, note)?;
        if write(session, &happening, done).await?.is_some() {
            return Ok(());
        }
    }
}

impl Draft<'_> {
    /// How an open promise ends when these copies are not made any more: as replaced, if nothing else of
    /// the request is to come.
    pub(super) fn replaced(
        &self,
        request: RequestId,
        gone: &[CopyId],
    ) -> Option<(PledgeId, PledgeEnd)> {
        let promised = self.books.pledge_of(request)?;
        let over = self
            .books
            .nothing_left(request, |copy| gone.contains(&copy.id));
        let ends = over && promised.end.is_none();
        ends.then_some((promised.pledge.id, PledgeEnd::Superseded))
    }

    fn resized(
        &self,
        request: RequestId,
        note: &NewNote,
    ) -> Result<(Happening, super::Done), WorkshopError> {
        let open: Vec<&KeptPlate> = self.books.waiting_of(request).collect();
        let (plan, done) = self.plan_without(&open)?;
        let on_them = open.iter().flat_map(|kept| self.copies(kept));
        let gone: Vec<_> = on_them
            .filter(|copy| copy.state == State::Pledged)
            .map(|copy| copy.id)
            .collect();
        let ends = self.replaced(request, &gone);
        let number = (self.books.request(request)).map_or(0, |listed| listed.request.number);
        let reason = said!("promises-plan-wrong-unit", number = number);
        let reason = and_moved(reason, &done);
        let happening = Happening {
            last_notes: vec![self.last_note(request)],
            copies: gone.into_iter().map(|id| (id, State::Withdrawn)).collect(),
            closed: (open.iter())
                .map(|kept| (kept.plate.seq.0, PlateState::Withdrawn))
                .collect(),
            ends: ends.into_iter().collect(),
            notes: vec![(request, note.clone())],
            plan: (!open.is_empty()).then_some((plan, reason)),
            ..self.event(
                "request.wrong-unit",
                vec![("request", Said::Text(request.to_string()))],
            )
        };
        Ok((happening, done))
    }
}
