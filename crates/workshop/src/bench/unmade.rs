//! Spares that the bench at a meeting did not make: what waits of them makes room.

use partpledge_records::{Happening, KeptPlate, PlateState, PledgeEnd, Said, State};
use partpledge_units::ids::{CopyId, RequestId};
use partpledge_words::said;

use super::draft::{Draft, and_moved};
use super::{Done, Tries, write};
use crate::actor::Actor;
use crate::error::WorkshopError;
use crate::session::Session;

/// Ends what waits of a request for good; whether anything did. Its promise, of all of it, is broken; what was
/// printed may still be handed over.
pub(crate) async fn spare_not_made(
    session: &Session,
    actor: &Actor,
    request: RequestId,
) -> Result<bool, WorkshopError> {
    let mut tries = Tries::of(session);
    loop {
        let (session, books) = tries.look().await?;
        if books.waiting_of(request).next().is_none() {
            return Ok(false);
        }
        let draft = Draft::new(session, actor, &books, None);
        let (happening, done) = draft.unmade(request)?;
        if write(session, &happening, done).await?.is_some() {
            return Ok(true);
        }
    }
}

impl Draft<'_> {
    fn unmade(&self, request: RequestId) -> Result<(Happening, Done), WorkshopError> {
        let waiting: Vec<&KeptPlate> = self.books.waiting_of(request).collect();
        let (plan, done) = self.plan_without(&waiting)?;
        let on_them = waiting.iter().flat_map(|kept| self.copies(kept));
        let gone: Vec<CopyId> = on_them
            .filter(|copy| copy.state == State::Pledged)
            .map(|copy| copy.id)
            .collect();
        let copies = self.books.copies(request).iter();
        let none = copies
            .clone()
            .all(|copy| copy.state == State::Withdrawn || gone.contains(&copy.id));
        let promised = self.books.pledge_of(request);
        let promised = promised.filter(|promised| promised.end.is_none());
        let number = self.books.request(request).map_or(0, |r| r.request.number);
        let reason = said!("promises-plan-bench-closed", number = number);
        let happening = Happening {
            copies: gone.iter().map(|id| (*id, State::Withdrawn)).collect(),
            requests: none
                .then_some((request, State::Withdrawn))
                .into_iter()
                .collect(),
            closed: (waiting.iter())
                .map(|kept| (kept.plate.seq.0, PlateState::Withdrawn))
                .collect(),
            ends: promised
                .map(|promised| (promised.pledge.id, PledgeEnd::Broken))
                .into_iter()
                .collect(),
            plan: Some((plan, and_moved(reason, &done))),
            ..self.event(
                "spare.not-made",
                vec![("request", Said::Text(request.to_string()))],
            )
        };
        Ok((happening, done))
    }
}
