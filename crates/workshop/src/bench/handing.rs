//! Boxes are handed over, by their code or without, or do not go with the leg that they should.

use partpledge_planning_model::LegKind;
use partpledge_records::{
    Happening, KeptPlate, NewNote, NoteKind, PledgeEnd, RunStep, Said, State, StepKind, StoreError,
    StoredCopy, TakenBack,
};
use partpledge_units::ids::{PledgeId, RequestId};
use partpledge_units::time::Minute;

use super::Done;
use super::draft::Draft;
use crate::actor::Actor;
use crate::boxes::{self, Hitch, MissedLeg, NoCode, Proof};
use crate::error::WorkshopError;
use crate::people::PeopleError;
use crate::people::codes::plain;
use crate::people::tries::Door;

/// What whoever hands a box over was shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Shown {
    /// A code, as typed.
    Code(String),
    /// None, and why it was handed over all the same.
    Nothing(NoCode),
}

impl Draft<'_> {
    /// The team has its box: the copies are theirs, and the pledge ends if it was the last.
    pub(super) async fn handed(
        &self,
        actor: &Actor,
        kept: &KeptPlate,
        shown: &Shown,
    ) -> Result<(Happening, Done), WorkshopError> {
        let seq = kept.plate.seq.0;
        self.must_be_open(kept)?;
        if !boxes::may_be_handed(self.session, self.books, kept) {
            return Err(WorkshopError::NotLeft { plate: seq });
        }
        let proof = match shown {
            Shown::Nothing(why) => Proof::Without(*why),
            Shown::Code(typed) => {
                self.must_be_its_code(actor, kept, typed).await?;
                Proof::Code
            }
        };
        let left = self.books.step(seq, StepKind::Left).is_none();
        let left = left.then(|| self.step(kept, StepKind::Left));
        let handed = RunStep {
            reason: proof.as_reason(),
            ..self.step(kept, StepKind::HandedOver)
        };
        let here = |copy: &StoredCopy| copy.state == State::Boxed && copy.plate == seq;
        let copies = self.copies(kept).into_iter().filter(|copy| here(copy));
        let mut payload = Self::payload(kept.plate.seq);
        payload.push(("request", Said::Text(kept.request.to_string())));
        let how = match proof {
            Proof::Code => "code",
            Proof::Without(_) | Proof::Team => "without-code",
        };
        payload.push(("shown", Said::Text(how.to_owned())));
        let happening = Happening {
            last_notes: vec![self.last_note(kept.request)],
            steps: left.into_iter().chain([handed]).collect(),
            copies: copies.map(|copy| (copy.id, State::HandedOver)).collect(),
            ends: self
                .ends_when_held(kept.request, here)
                .into_iter()
                .collect(),
            ..self.event("box.handed-over", payload)
        };
        Ok((happening, Done::default()))
    }

    /// Refused when the team has it already, or nothing is in it.
    fn must_be_open(&self, kept: &KeptPlate) -> Result<(), WorkshopError> {
        let plate = kept.plate.seq.0;
        let step = StepKind::HandedOver;
        if self.books.step(plate, step).is_some() {
            return Err(StoreError::StepTaken { plate, step }.into());
        }
        let mut copies = self.books.copies_on(kept);
        if copies.any(|copy| copy.state == State::Boxed) {
            return Ok(());
        }
        let (from, to) = (State::HandedOver, State::HandedOver);
        Err(StoreError::NoSuchStep { from, to }.into())
    }

    /// Looks at a code as typed. Wrong ones are counted for the box and for whoever types them.
    async fn must_be_its_code(
        &self,
        actor: &Actor,
        kept: &KeptPlate,
        typed: &str,
    ) -> Result<(), WorkshopError> {
        let plate = kept.plate.seq.0;
        let Some(code) = self.books.code_of_box(kept) else {
            return Err(WorkshopError::NoBoxCode { plate });
        };
        let people = self.session.people(self.session.now)?;
        let (account, who) = (plate.to_string(), actor.reference());
        let counted = people.count(Door::Box, Some(&account), &who).await;
        let counted = counted.map_err(|error| match error {
            PeopleError::Failed(error) => error,
            PeopleError::TooMany { .. } | PeopleError::Typed(_) => {
                WorkshopError::TooManyCodes { plate }
            }
        })?;
        if plain(typed) != code {
            return Err(WorkshopError::WrongBoxCode { plate });
        }
        people.forgive(&counted).await
    }

    /// How a request's pledge ends when it gets those copies too: it does when they are the last.
    pub(super) fn ends_when_held(
        &self,
        request: RequestId,
        gets: impl Fn(&StoredCopy) -> bool,
    ) -> Option<(PledgeId, PledgeEnd)> {
        let promised = self.books.pledge_of(request)?;
        let open = promised.end.is_none() && self.books.nothing_left(request, gets);
        let in_time = self.minute() <= promised.pledge.arrival;
        let end = if in_time {
            PledgeEnd::Kept
        } else {
            PledgeEnd::Broken
        };
        open.then_some((promised.pledge.id, end))
    }

    /// The steps of a request's boxes when its team says that it has these copies.
    pub(super) fn boxes_held(&self, request: RequestId, theirs: &[&StoredCopy]) -> Vec<RunStep> {
        let taken = |kept: &KeptPlate, kind| self.books.step(kept.plate.seq.0, kind).is_some();
        let plates = self.books.plates_of(request);
        let boxes = plates.filter(|kept| {
            let mut copies = theirs.iter().filter(|copy| copy.plate == kept.plate.seq.0);
            copies.any(|copy| copy.state == State::Boxed)
                && taken(kept, StepKind::Boxed)
                && !taken(kept, StepKind::HandedOver)
        });
        let handed = |kept: &KeptPlate| RunStep {
            reason: Proof::Team.as_reason(),
            ..self.step(kept, StepKind::HandedOver)
        };
        boxes.map(handed).collect()
    }

    /// A box did not go: it waits for its next leg, and what that does to its promise is noted. What
    /// was ticked as gone with that leg is taken back; what went with a later one stays gone.
    pub(super) async fn missed(
        &self,
        kept: &KeptPlate,
        (told, why): (Minute, Hitch),
    ) -> Result<(Happening, Done), WorkshopError> {
        self.must_be_open(kept)?;
        let (session, books) = (self.session, self.books);
        let (plate, share) = (kept.plate.seq.0, kept.plate.seq);
        let from = boxes::may_go(books, kept);
        let goes = from.and_then(|from| boxes::goes(session, books, kept, from));
        let (kind, departure, _) = goes.ok_or(WorkshopError::NotThatLeg { plate })?;
        if told != departure.leaves {
            return Err(WorkshopError::NotThatLeg { plate });
        }
        // It may have gone with a later one before anybody told of this: then it stays gone.
        let went = boxes::went_with(session, books, kept);
        let went = went.filter(|went| *went > departure.leaves);
        let since = (kind, departure, self.minute());
        let from = match went {
            Some(_) => Minute(departure.leaves.0 + 1),
            None => boxes::after(session, books, kept, since),
        };
        let next = boxes::goes(session, books, kept, went.unwrap_or(from));
        let arrives = next.map(|(_, _, arrives)| arrives);
        let promised = books.pledge_of(kept.request);
        let promised = promised.filter(|promised| promised.end.is_none());
        let late = promised.is_some_and(|promised| {
            arrives.is_none_or(|arrives| arrives > promised.pledge.arrival)
        });
        let leg = MissedLeg {
            share: plate,
            leaves: departure.leaves,
            from,
            arrives,
            late,
            why,
            counter: kind == LegKind::Counter,
            at: self.deed.received_at,
        };
        let note = NewNote {
            hints: leg.hints(),
            ..NewNote::new(NoteKind::LegMissed, why.code(), "")
        };
        let (store, region) = session.writable()?;
        let gone = match went {
            Some(_) => None,
            None => store.deed_of_step(region, (plate, StepKind::Left)).await?,
        };
        let mut payload = Self::payload(share);
        payload.push(("request", Said::Text(kept.request.to_string())));
        payload.push(("reason", Said::Text(why.code().to_owned())));
        let how = if kind == LegKind::Counter {
            "counter"
        } else {
            "round"
        };
        payload.push(("leg", Said::Text(how.to_owned())));
        let happening = Happening {
            takes_back: gone.map(|(undoes, _)| TakenBack {
                undoes,
                ..TakenBack::default()
            }),
            // Two who say it at the same moment: the second finds that it was said.
            last_notes: vec![self.last_note(kept.request)],
            notes: vec![(kept.request, note)],
            ..self.event("box.missed-leg", payload)
        };
        Ok((happening, Done::default()))
    }
}
