//! A box is lost or has the wrong parts in it: somebody says so, the coordinator decides.

use partpledge_records::{
    Happening, KeptPlate, NewNote, NoteKind, Payload, Said, State, StoredCopy,
};
use partpledge_units::ids::RequestId;
use partpledge_words::said;

use super::draft::{Draft, and_moved};
use super::ended::Counted;
use super::{Done, Tries, known, no_plate, of_its_team, write};
use crate::actor::Actor;
use crate::doubts::{self, Doubt, OpenDoubt, Ruling, may_be_said, open_doubt};
use crate::error::WorkshopError;
use crate::session::Session;

/// A team says that its box is lost, or has the wrong parts in it. Said twice, it counts once.
///
/// # Errors
/// [`WorkshopError::NotYours`] for another team's; [`WorkshopError::NotThatBox`] for what can't be
/// said of it; as [`act`](super::act).
pub async fn doubt_box(
    session: &Session,
    actor: &Actor,
    (request, plate): (RequestId, u64),
    why: Doubt,
    key: Option<&str>,
) -> Result<Done, WorkshopError> {
    let mut tries = Tries::of(session);
    loop {
        let (session, books) = tries.look().await?;
        of_its_team(actor, &books, request)?;
        let kept = books.plate(plate).filter(|kept| kept.request == request);
        let kept = kept.ok_or(WorkshopError::NotYours)?;
        if known(session, key).await? {
            return Ok(Done::known());
        }
        let draft = Draft::new(session, actor, &books, key);
        let Some(happening) = draft.doubted(kept, why)? else {
            return Ok(Done::known());
        };
        if let Some(done) = write(session, &happening, Done::default()).await? {
            return Ok(done);
        }
    }
}

/// The coordinator decides what somebody said of a box; `said` is the entry by which it was said.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for others; [`WorkshopError::BoxDecided`] when it was decided, or
/// the box handed over, meanwhile; as [`act`](super::act).
pub async fn decide_box(
    session: &Session,
    actor: &Actor,
    plate: u64,
    (said, ruling): (i64, Ruling),
    key: Option<&str>,
) -> Result<Done, WorkshopError> {
    actor.must_coordinate()?;
    let mut tries = Tries::of(session);
    loop {
        let (session, books) = tries.look().await?;
        let kept = books.plate(plate).ok_or_else(|| no_plate(plate))?;
        if known(session, key).await? {
            return Ok(Done::known());
        }
        let doubt = open_doubt(&books, kept).filter(|doubt| doubt.entry == said);
        let doubt = doubt.ok_or(WorkshopError::BoxDecided { plate })?;
        let draft = Draft::new(session, actor, &books, key);
        let (happening, done) = match ruling {
            Ruling::Again => draft.made_again(kept, &doubt).await?,
            Ruling::Right => (draft.all_right(kept, &doubt), Done::default()),
        };
        if let Some(done) = write(session, &happening, done).await? {
            return Ok(done);
        }
    }
}

impl Draft<'_> {
    /// Somebody says that a box is lost or wrong; `None` when somebody has said so already.
    pub(super) fn doubted(
        &self,
        kept: &KeptPlate,
        why: Doubt,
    ) -> Result<Option<Happening>, WorkshopError> {
        if open_doubt(self.books, kept).is_some() {
            return Ok(None);
        }
        let plate = kept.plate.seq.0;
        if !may_be_said(self.books, kept, self.session.now).contains(&why) {
            return Err(WorkshopError::NotThatBox { plate });
        }
        let note = doubts::note(NoteKind::BoxDoubted, plate, why);
        Ok(Some(self.noted("box.doubted", kept, (note, why))))
    }

    /// It was found, or is right: the box goes on.
    fn all_right(&self, kept: &KeptPlate, doubt: &OpenDoubt) -> Happening {
        let note = doubts::note(NoteKind::BoxRight, doubt.share, doubt.why);
        self.noted("box.all-right", kept, (note, doubt.why))
    }

    /// What was in it is made again, as scrap is. A pledge that has ended stays ended: nothing is
    /// promised about the copies then, and the note says what became of them.
    async fn made_again(
        &self,
        kept: &KeptPlate,
        doubt: &OpenDoubt,
    ) -> Result<(Happening, Done), WorkshopError> {
        let (from, through) = match doubt.why {
            Doubt::Gone | Doubt::NeverCame => (State::Boxed, State::Lost),
            Doubt::WrongParts => (State::HandedOver, State::Recalled),
        };
        let in_it = |copy: &&StoredCopy| copy.state == from;
        let lost: Vec<&StoredCopy> = self.copies(kept).into_iter().filter(in_it).collect();
        let counted = Counted {
            kept: kept.clone(),
            fine: Vec::new(),
            lost: lost.clone(),
            held: Vec::new(),
        };
        let counted = [counted];
        let ends = self.ends_unmade(&counted[0]);
        let mut reprints = self.reprints(&counted).await?;
        let promised = self.books.pledge_of(kept.request);
        if promised.is_none_or(|promised| promised.end.is_some()) {
            for reprint in &mut reprints {
                reprint.plate.promise = None;
            }
        }
        let mut plates = self.books.floor.plates.clone();
        plates.extend(reprints.iter().map(|reprint| reprint.plate.clone()));
        let replanned = self.replanned(&plates, &self.books.running())?;
        let done = Done::of(&replanned);
        let why = doubt.why.clause();
        let why = if reprints.is_empty() {
            said!(
                "promises-plan-box-not-again",
                share = doubt.share,
                why = why
            )
        } else {
            said!("promises-plan-box-again", share = doubt.share, why = why)
        };
        let note = doubts::note(NoteKind::BoxAgain, doubt.share, doubt.why);
        let mut happening = self.noted("box.made-again", kept, (note, doubt.why));
        let again = reprints.iter().map(|reprint| reprint.plate.seq.0);
        let again = ("reprints", Said::Numbers(again.collect()));
        happening.payload.push(again);
        happening.copies = (lost.iter())
            .flat_map(|copy| {
                let on = self.scrapped(kept.request, copy.id);
                std::iter::once((copy.id, through)).chain(on)
            })
            .collect();
        happening.ends = ends.into_iter().collect();
        happening.reprints = reprints;
        happening.plan = Some((replanned.plan, and_moved(why, &done)));
        Ok((happening, done))
    }

    /// A note about a box, on what was last said about its request.
    fn noted(
        &self,
        kind: &'static str,
        kept: &KeptPlate,
        (note, why): (NewNote, Doubt),
    ) -> Happening {
        let mut payload: Payload = Self::payload(kept.plate.seq);
        payload.push(("request", Said::Text(kept.request.to_string())));
        payload.push(("reason", Said::Text(why.code().to_owned())));
        Happening {
            last_notes: vec![self.last_note(kept.request)],
            notes: vec![(kept.request, note)],
            ..self.event(kind, payload)
        }
    }
}
