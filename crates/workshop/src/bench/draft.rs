//! A deed written up as a happening: what it changes, and the plan that follows from it.

use partpledge_planning_model::{Plan, Plate, PlateSeq};
use partpledge_records::{
    Deed, Floor, GroundChange, Happening, KeptPlate, Outage, Payload, PlateState, PledgeEnd,
    RunStep, Said, State, StepKind, StockChange, StoredCopy, printed_together,
};
use partpledge_units::ids::RequestId;
use partpledge_units::time::Minute;
use partpledge_words::{Said as Sentence, said};

use super::Done;
use crate::actor::Actor;
use crate::bench::reason_clause;
use crate::books::{Books, began};
use crate::error::WorkshopError;
use crate::learning::as_known;
use crate::people::codes;
use crate::plate_room;
use crate::programs::with_programs;
use crate::replanning::{Replanned, Situation, replan};
use crate::session::Session;

/// The reason for a plan, with how many plates it moved.
pub(super) fn and_moved(why: Sentence, done: &Done) -> Sentence {
    match done.moved.as_slice() {
        [] => why,
        [one] => said!("promises-plan-moved-one", why = why, plate = one.0),
        many => said!("promises-plan-moved", why = why, n = many.len()),
    }
}

/// A happening being written up.
pub(super) struct Draft<'a> {
    pub(super) session: &'a Session,
    pub(super) books: &'a Books,
    pub(super) deed: Deed,
    /// The printer that the plate was started on, where that is not the one it is planned on.
    pub(super) printer: Option<String>,
}

impl<'a> Draft<'a> {
    pub(super) fn new(
        session: &'a Session,
        actor: &Actor,
        books: &'a Books,
        key: Option<&str>,
    ) -> Self {
        Self {
            session,
            books,
            deed: Deed {
                actor: actor.reference(),
                occurred_at: session.now,
                received_at: session.now,
                idempotency_key: key.map(str::to_owned),
            },
            printer: None,
        }
    }

    /// The same deed as planned on other ground.
    pub(super) fn seen<'b>(&self, session: &'b Session) -> Draft<'b>
    where
        'a: 'b,
    {
        Draft {
            session,
            books: self.books,
            deed: self.deed.clone(),
            printer: self.printer.clone(),
        }
    }

    pub(super) fn event(&self, kind: &'static str, payload: Payload) -> Happening {
        Happening {
            kind,
            payload,
            deed: self.deed.clone(),
            revision: self.books.floor.revision,
            steps: Vec::new(),
            copies: Vec::new(),
            requests: Vec::new(),
            closed: Vec::new(),
            reprints: Vec::new(),
            ends: Vec::new(),
            last_notes: Vec::new(),
            notes: Vec::new(),
            measured: Vec::new(),
            outages: Vec::new(),
            runs: Vec::new(),
            program: None,
            box_code: None,
            to_look: None,
            moment: None,
            takes_back: None,
            stock: StockChange::default(),
            ground: GroundChange::default(),
            plan: None,
        }
    }

    /// What was last said of a request: if somebody says more meanwhile, such as that it is taken down or
    /// recalled, the deed is looked at again.
    pub(super) fn last_note(&self, request: RequestId) -> (RequestId, i64) {
        let last = self.books.notes(request).last();
        (request, last.map_or(0, |note| note.entry))
    }

    pub(super) fn step(&self, kept: &KeptPlate, kind: StepKind) -> RunStep {
        let planned = || plate_room::printer_of(self.session, self.books, kept);
        let printer = self.printer.clone().or_else(planned);
        let plate = match kind {
            StepKind::Boxed | StepKind::Left | StepKind::HandedOver => kept.plate.seq,
            _ => kept.on(),
        };
        RunStep {
            plate: plate.0,
            kind,
            printer: printer.unwrap_or_default(),
            at: self.deed.occurred_at,
            actor: self.deed.actor.clone(),
            good: None,
            reason: None,
        }
    }

    pub(super) fn copies(&self, kept: &KeptPlate) -> Vec<&'a StoredCopy> {
        self.books.copies_on(kept).collect()
    }

    /// The copies of everybody on the plate.
    fn all_copies(&self, kept: &KeptPlate) -> Vec<&'a StoredCopy> {
        let on_it = self.books.company(kept).into_iter();
        on_it.flat_map(|row| self.copies(row)).collect()
    }

    /// The plan as it is best with these plates and runs.
    pub(super) fn replanned(
        &self,
        plates: &[Plate],
        running: &[(PlateSeq, Minute, String)],
    ) -> Result<Replanned, WorkshopError> {
        self.replan_without(&[], plates, running)
    }

    /// The revision of the plan that the deed makes, for whoever takes it back.
    pub(super) fn makes_plan(&self) -> (&'static str, Said) {
        let revision = u64::try_from(self.books.floor.revision + 1);
        ("plan", Said::Numbers(revision.into_iter().collect()))
    }

    /// What the log says a deed is about: a printed plate, or one share of it.
    pub(super) fn payload(plate: PlateSeq) -> Payload {
        vec![("plate", Said::Numbers(vec![plate.0]))]
    }

    pub(super) fn start(&self, kept: &KeptPlate) -> Result<(Happening, Done), WorkshopError> {
        let step = self.step(kept, StepKind::Started);
        let mut running = self.books.running();
        let begins = began(&kept.plate, self.deed.occurred_at);
        running.push((kept.on(), begins, step.printer.clone()));
        // From now on its filament is gone from the shelf.
        let runs = self.runs_now(kept, &step.printer);
        let after = self.session.after(&StockChange::default(), runs);
        let replanned = self
            .seen(&after)
            .replanned(&self.books.floor.plates, &running)?;
        let done = Done::of(&replanned);
        let seq = kept.on().0;
        let mut payload = Self::payload(kept.on());
        payload.push(self.makes_plan());
        let copies = self.all_copies(kept);
        let ids = || copies.iter().map(|copy| copy.id);
        let happening = Happening {
            steps: vec![step],
            copies: ids()
                .map(|id| (id, State::OnAPlate))
                .chain(ids().map(|id| (id, State::Running)))
                .collect(),
            plan: Some((
                replanned.plan,
                and_moved(said!("promises-plan-started", plate = seq), &done),
            )),
            ..self.event("run.started", payload)
        };
        Ok((happening, done))
    }

    pub(super) fn look(&self, kept: &KeptPlate) -> (Happening, Done) {
        let happening = Happening {
            steps: vec![self.step(kept, StepKind::Looked)],
            ..self.event("run.looked-at", Self::payload(kept.on()))
        };
        (happening, Done::default())
    }

    pub(super) fn put_out(
        &self,
        kept: &KeptPlate,
        reason: &str,
        until: Minute,
    ) -> Result<(Happening, Done), WorkshopError> {
        let planned = || plate_room::printer_of(self.session, self.books, kept);
        let printer = self.printer.clone().or_else(planned);
        self.printer_out(printer.unwrap_or_default(), reason, until)
    }

    pub(super) fn printer_out(
        &self,
        printer: String,
        reason: &str,
        until: Minute,
    ) -> Result<(Happening, Done), WorkshopError> {
        let outages = vec![Outage {
            printer: self.machine(&printer),
            from: self.minute(),
            until,
            reason: reason.to_owned(),
        }];
        let (plates, running) = (&self.books.floor.plates, self.books.running());
        let replanned = self.replan_without(&outages, plates, &running)?;
        let done = Done::of(&replanned);
        let why = reason_clause(reason);
        let why = said!("promises-plan-out", printer = printer, why = why);
        let payload = vec![
            ("printer", Said::Text(printer)),
            ("reason", Said::Text(reason.to_owned())),
            self.makes_plan(),
        ];
        let happening = Happening {
            outages,
            plan: Some((replanned.plan, and_moved(why, &done))),
            ..self.event("printer.out-of-use", payload)
        };
        Ok((happening, done))
    }

    /// The name by which a machine is put out of use, and back: its own, wherever it stands.
    pub(super) fn machine(&self, printer: &str) -> String {
        self.session.terrain.file.machine_of(printer).to_owned()
    }

    /// The plan with printers out of use that the session does not know of yet.
    pub(super) fn replan_without(
        &self,
        outages: &[Outage],
        plates: &[Plate],
        running: &[(PlateSeq, Minute, String)],
    ) -> Result<Replanned, WorkshopError> {
        let situation = Situation {
            plates,
            plan: &self.books.floor.plan,
            running,
            retimed: &[],
        };
        if outages.is_empty() {
            return replan(self.session, &situation);
        }
        replan(&self.session.with_outages(outages), &situation)
    }

    /// The box is closed, and its code drawn.
    pub(super) fn boxed(&self, kept: &KeptPlate) -> Result<(Happening, Done), WorkshopError> {
        let good = self.copies(kept).into_iter();
        let good = good.filter(|copy| copy.state == State::Inspected);
        let happening = Happening {
            last_notes: vec![self.last_note(kept.request)],
            steps: vec![self.step(kept, StepKind::Boxed)],
            copies: good.map(|copy| (copy.id, State::Boxed)).collect(),
            box_code: Some((kept.plate.seq.0, codes::code(&codes::BOX)?)),
            ..self.event("box.packed", Self::payload(kept.plate.seq))
        };
        Ok((happening, Done::default()))
    }

    pub(super) fn left(&self, kept: &KeptPlate) -> (Happening, Done) {
        let happening = Happening {
            last_notes: vec![self.last_note(kept.request)],
            steps: vec![self.step(kept, StepKind::Left)],
            ..self.event("box.left", Self::payload(kept.plate.seq))
        };
        (happening, Done::default())
    }

    pub(super) fn held(&self, request: RequestId) -> Happening {
        let theirs = self.books.may_be_held(request);
        let mut steps = Vec::new();
        for copy in &theirs {
            if copy.state == State::Inspected {
                steps.push((copy.id, State::Boxed));
            }
            steps.push((copy.id, State::HandedOver));
        }
        let payload = vec![("request", Said::Text(request.to_string()))];
        let got = |copy: &StoredCopy| theirs.iter().any(|one| one.id == copy.id);
        let ends = self.ends_when_held(request, got);
        Happening {
            last_notes: vec![self.last_note(request)],
            steps: self.boxes_held(request, &theirs),
            copies: steps,
            ends: ends.into_iter().collect(),
            ..self.event("request.handed-over", payload)
        }
    }

    /// A request is called back. What others have on a plate with it is printed all the same.
    pub(super) fn withdrawn(
        &self,
        request: RequestId,
        end: PledgeEnd,
    ) -> Result<(Happening, Done), WorkshopError> {
        let open = self.books.plates_of(request);
        let open: Vec<&KeptPlate> = open.filter(|kept| kept.state == PlateState::Open).collect();
        let (plan, done) = self.plan_without(&open)?;
        let pledged = self.books.copies(request).iter();
        let pledged = pledged.filter(|copy| copy.state == State::Pledged);
        let number = self.books.request(request).map_or(0, |r| r.request.number);
        let reason = and_moved(said!("promises-plan-called-back", number = number), &done);
        let promised = self.books.pledge_of(request);
        let payload = vec![("request", Said::Text(request.to_string()))];
        let happening = Happening {
            copies: pledged.map(|copy| (copy.id, State::Withdrawn)).collect(),
            requests: vec![(request, State::Withdrawn)],
            closed: open
                .iter()
                .map(|kept| (kept.plate.seq.0, PlateState::Withdrawn))
                .collect(),
            ends: promised
                .map(|promised| (promised.pledge.id, end))
                .into_iter()
                .collect(),
            plan: Some((plan, reason)),
            ..self.event("request.withdrawn", payload)
        };
        Ok((happening, done))
    }

    /// The plan without these shares of plates: a plate that was theirs alone is gone; one that others
    /// are on takes less time where it is if whoever joined last has left, else the time that it had.
    pub(super) fn plan_without(&self, gone: &[&KeptPlate]) -> Result<(Plan, Done), WorkshopError> {
        let mut floor = self.books.floor.clone();
        for row in &mut floor.kept {
            if gone.iter().any(|gone| gone.plate.seq == row.plate.seq) {
                row.state = PlateState::Withdrawn;
            }
        }
        (floor.plates, floor.past) = printed_together(&mut floor.kept);
        let terrain = &self.session.terrain;
        let Floor {
            plates, mut plan, ..
        } = as_known(self.session, with_programs(terrain, floor));
        let stays = |seq: PlateSeq| plates.iter().any(|plate| plate.seq == seq);
        plan.assignments.retain(|place| stays(place.plate));
        let smaller: Vec<PlateSeq> = gone.iter().map(|gone| gone.on()).collect();
        let smaller: Vec<PlateSeq> = smaller.into_iter().filter(|seq| stays(*seq)).collect();
        if smaller.is_empty() {
            return Ok((plan, Done::default()));
        }
        let running = self.books.running();
        let situation = Situation {
            plates: &plates,
            plan: &plan,
            running: &running,
            retimed: &smaller,
        };
        let replanned = replan(self.session, &situation)?;
        let done = Done::of(&replanned);
        Ok((replanned.plan, done))
    }
}
