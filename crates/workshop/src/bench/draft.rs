//! A deed written up as a happening: what it changes, and the plan that follows from it.

use partpledge_planning_model::{Plan, Plate, PlateSeq};
use partpledge_records::{
    Deed, Floor, Happening, KeptPlate, Outage, Payload, PlateState, PledgeEnd, Reprint, RunStep,
    Said, State, StepKind, StoredCopy, printed_together,
};
use partpledge_units::ids::{CopyId, RequestId};
use partpledge_units::time::Minute;

use super::{Done, Good, no_plate};
use crate::actor::Actor;
use crate::books::Books;
use crate::error::WorkshopError;
use crate::estimating::LaidPart;
use crate::learning::{as_known, ended_run, expected_anew, sheet_of};
use crate::plate_room;
use crate::plating::{Order, whole_plate};
use crate::programs::with_programs;
use crate::replanning::{Replanned, Situation, replan};
use crate::session::Session;

/// Why the plan changed when a run ended.
fn ended_because(seq: u64, reason: Option<&str>, lost: usize) -> String {
    match (reason, lost) {
        (Some(reason), _) => format!("plate {seq} failed: {}", first_small(reason)),
        (None, 0) => format!("plate {seq} is off the bed"),
        (None, lost) => format!("plate {seq} is off the bed, {lost} to make again"),
    }
}

fn first_small(text: &str) -> String {
    let mut chars = text.chars();
    let first = chars.next().map(char::to_lowercase);
    first.into_iter().flatten().chain(chars).collect()
}

/// The reason for a plan, with how many plates it moved.
pub(super) fn and_moved(why: String, done: &Done) -> String {
    match done.moved.as_slice() {
        [] => why,
        [one] => format!("{why}; plate {} has another place", one.0),
        many => format!("{why}; {} plates have another place", many.len()),
    }
}

/// A happening being written up.
pub(super) struct Draft<'a> {
    pub(super) session: &'a Session,
    pub(super) books: &'a Books,
    deed: Deed,
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
            outages: Vec::new(),
            runs: Vec::new(),
            program: None,
            plan: None,
        }
    }

    fn step(&self, kept: &KeptPlate, kind: StepKind) -> RunStep {
        let printer = plate_room::printer_of(self.session, self.books, kept);
        let plate = match kind {
            StepKind::Boxed | StepKind::Left => kept.plate.seq,
            _ => kept.on(),
        };
        RunStep {
            plate: plate.0,
            kind,
            printer: printer.unwrap_or_default(),
            at: self.session.now,
            actor: self.deed.actor.clone(),
            good: None,
            reason: None,
        }
    }

    fn copies(&self, kept: &KeptPlate) -> Vec<&'a StoredCopy> {
        self.books.copies_on(kept).collect()
    }

    /// The copies of everybody on the plate.
    fn all_copies(&self, kept: &KeptPlate) -> Vec<&'a StoredCopy> {
        let on_it = self.books.company(kept).into_iter();
        on_it.flat_map(|row| self.copies(row)).collect()
    }

    pub(super) fn replanned(
        &self,
        plates: &[Plate],
        running: &[(PlateSeq, Minute, String)],
    ) -> Result<Replanned, WorkshopError> {
        let situation = Situation {
            plates,
            plan: &self.books.floor.plan,
            running,
            retimed: &[],
        };
        replan(self.session, &situation)
    }

    pub(super) fn payload(kept: &KeptPlate) -> Payload {
        vec![("plate", Said::Numbers(vec![kept.plate.seq.0]))]
    }

    pub(super) fn start(&self, kept: &KeptPlate) -> Result<(Happening, Done), WorkshopError> {
        let step = self.step(kept, StepKind::Started);
        let mut running = self.books.running();
        let now = self.session.minute();
        running.push((kept.on(), now, step.printer.clone()));
        let replanned = self.replanned(&self.books.floor.plates, &running)?;
        let done = Done::of(&replanned);
        let seq = kept.on().0;
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
                and_moved(format!("plate {seq} was started"), &done),
            )),
            ..self.event("run.started", Self::payload(kept))
        };
        Ok((happening, done))
    }

    pub(super) fn look(&self, kept: &KeptPlate) -> (Happening, Done) {
        let happening = Happening {
            steps: vec![self.step(kept, StepKind::Looked)],
            ..self.event("run.looked-at", Self::payload(kept))
        };
        (happening, Done::default())
    }

    /// Off the bed, good or not: lost copies go on a plate of their own, in time if that can be.
    pub(super) async fn ended(
        &self,
        kept: &KeptPlate,
        good: &Good,
        reason: Option<&str>,
        out_until: Option<Minute>,
    ) -> Result<(Happening, Done), WorkshopError> {
        let counted = self.counted(kept, good)?;
        let all_good: usize = counted.iter().map(|share| share.fine.len()).sum();
        let all_good = u32::try_from(all_good).unwrap_or(u32::MAX);
        let lost: usize = counted.iter().map(|share| share.lost.len()).sum();
        let seq = kept.on();
        let steps = self.end_steps(kept, all_good, reason);
        let outages: Vec<Outage> = out_until
            .map(|until| Outage {
                printer: steps[0].printer.clone(),
                from: self.session.minute(),
                until,
                reason: reason.unwrap_or("out of use").to_owned(),
            })
            .into_iter()
            .collect();
        let mut plates = self.books.floor.plates.clone();
        plates.retain(|plate| plate.seq != seq);
        let reprints = self.reprints(&counted).await?;
        plates.extend(reprints.iter().map(|reprint| reprint.plate.clone()));
        let mut running = self.books.running();
        running.retain(|(plate, _, _)| *plate != seq);
        let replanned = self.replan_without(&outages, &plates, &running)?;
        let done = Done::of(&replanned);
        let mut payload = vec![("plate", Said::Numbers(vec![seq.0]))];
        payload.push(("good", Said::Numbers(vec![u64::from(all_good)])));
        payload.extend(reason.map(|reason| ("reason", Said::Text(reason.to_owned()))));
        let kind = if reason.is_some() {
            "run.failed"
        } else {
            "run.off"
        };
        let why = ended_because(seq.0, reason, lost);
        let happening = Happening {
            steps,
            copies: counted.iter().flat_map(Counted::steps).collect(),
            closed: counted.iter().map(Counted::closed).collect(),
            reprints,
            outages,
            runs: ended_run(self.session, self.books, kept, (all_good, reason.is_none())),
            plan: Some((replanned.plan, and_moved(why, &done))),
            ..self.event(kind, payload)
        };
        Ok((happening, done))
    }

    /// What is good and what is lost of each share of a plate.
    fn counted(&self, kept: &KeptPlate, good: &Good) -> Result<Vec<Counted<'a>>, WorkshopError> {
        let mut out = Vec::new();
        for (i, row) in self.books.company(kept).into_iter().enumerate() {
            let seq = row.plate.seq.0;
            let told = if i == 0 {
                Some(&good.first)
            } else {
                good.others.get(&seq)
            };
            let (what, range) = ("good copies", "counted for each request on the plate");
            let told = told.ok_or(WorkshopError::OutOfRange { what, range })?;
            let mut fine = self.copies(row);
            let many = usize::try_from(*told).unwrap_or(usize::MAX);
            if many > fine.len() {
                let range = "not more than there are on the plate";
                return Err(WorkshopError::OutOfRange { what, range });
            }
            let lost = fine.split_off(many);
            let kept = row.clone();
            out.push(Counted { kept, fine, lost });
        }
        Ok(out)
    }

    /// The steps that end a run. What is good of a failed one goes on to its box like anything
    /// off a bed.
    fn end_steps(&self, kept: &KeptPlate, good: u32, reason: Option<&str>) -> Vec<RunStep> {
        let step = |kind| RunStep {
            good: Some(good),
            reason: reason.map(str::to_owned),
            ..self.step(kept, kind)
        };
        match (reason, good) {
            (None, _) => vec![step(StepKind::Off)],
            (Some(_), 0) => vec![step(StepKind::Failed)],
            (Some(_), _) => vec![step(StepKind::Failed), step(StepKind::Off)],
        }
    }

    pub(super) fn put_out(
        &self,
        kept: &KeptPlate,
        reason: &str,
        until: Minute,
    ) -> Result<(Happening, Done), WorkshopError> {
        let printer = plate_room::printer_of(self.session, self.books, kept).unwrap_or_default();
        let outages = vec![Outage {
            printer: printer.clone(),
            from: self.session.minute(),
            until,
            reason: reason.to_owned(),
        }];
        let (plates, running) = (&self.books.floor.plates, self.books.running());
        let replanned = self.replan_without(&outages, plates, &running)?;
        let done = Done::of(&replanned);
        let why = format!("{printer} is out of use: {}", first_small(reason));
        let payload = vec![
            ("printer", Said::Text(printer)),
            ("reason", Said::Text(reason.to_owned())),
        ];
        let happening = Happening {
            outages,
            plan: Some((replanned.plan, and_moved(why, &done))),
            ..self.event("printer.out-of-use", payload)
        };
        Ok((happening, done))
    }

    /// The plan with printers out of use that the session does not know of yet.
    fn replan_without(
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

    /// Plates for the copies that were lost: the same again when all of a plate were, laid out anew
    /// otherwise. Those that shared a plate each get one of their own.
    async fn reprints(&self, counted: &[Counted<'_>]) -> Result<Vec<Reprint>, WorkshopError> {
        let mut out: Vec<Reprint> = Vec::new();
        let first = self.books.floor.next_seq;
        for share in counted.iter().filter(|share| !share.lost.is_empty()) {
            let seq = PlateSeq(first + out.len() as u64);
            let again = if counted.len() == 1 && share.fine.is_empty() {
                self.same_again(&share.kept, seq)
            } else {
                self.smaller(&share.kept, &share.lost, seq).await?
            };
            let sheet = sheet_of(&self.session.catalogue, &share.kept);
            out.push(Reprint {
                plate: expected_anew(&self.session.terrain, again, sheet),
                request: share.kept.request,
                version: share.kept.version,
                copies: share.lost.iter().map(|copy| copy.id).collect(),
            });
        }
        Ok(out)
    }

    /// The same plate under a new number. A program was sent for the old one: the new plate has
    /// our own time until its host sends one for it.
    fn same_again(&self, kept: &KeptPlate, seq: PlateSeq) -> Plate {
        Plate {
            seq,
            release: self.session.minute(),
            makings: kept.own.clone(),
            ..kept.plate.clone()
        }
    }

    async fn smaller(
        &self,
        kept: &KeptPlate,
        lost: &[&StoredCopy],
        seq: PlateSeq,
    ) -> Result<Plate, WorkshopError> {
        let listed = self.books.request(kept.request);
        let listed = listed.ok_or_else(|| no_plate(kept.plate.seq.0))?;
        let file = plate_room::laid_file(self.session, &listed.request).await?;
        let mut share = vec![0; file.parts.len()];
        for copy in lost {
            let part = (copy.number - 1) / listed.request.copies.max(1);
            if let Some(n) = usize::try_from(part).ok().and_then(|i| share.get_mut(i)) {
                *n += 1;
            }
        }
        let parts: Vec<&LaidPart> = file.parts.iter().collect();
        let order = Order {
            parts: &parts,
            copies: u32::try_from(listed.request.copies).unwrap_or(1),
            process: &file.process,
            to: kept.plate.to,
            release: self.session.minute(),
            next_seq: seq.0,
            wish: kept.plate.wish,
        };
        let plate = whole_plate(self.session, &order, &share)?;
        // Fewer copies fit wherever more did, so this is for form's sake.
        let plate = plate.unwrap_or_else(|| self.same_again(kept, seq));
        Ok(Plate {
            promise: kept.plate.promise,
            ..plate
        })
    }

    pub(super) fn boxed(&self, kept: &KeptPlate) -> (Happening, Done) {
        let good = self.copies(kept).into_iter();
        let good = good.filter(|copy| copy.state == State::Inspected);
        let happening = Happening {
            steps: vec![self.step(kept, StepKind::Boxed)],
            copies: good.map(|copy| (copy.id, State::Boxed)).collect(),
            ..self.event("box.packed", Self::payload(kept))
        };
        (happening, Done::default())
    }

    pub(super) fn left(&self, kept: &KeptPlate) -> (Happening, Done) {
        let happening = Happening {
            steps: vec![self.step(kept, StepKind::Left)],
            ..self.event("box.left", Self::payload(kept))
        };
        (happening, Done::default())
    }

    pub(super) fn held(&self, request: RequestId) -> Happening {
        let copies = self.books.copies(request).iter();
        let boxed = copies.filter(|copy| matches!(copy.state, State::Boxed | State::Inspected));
        let mut steps = Vec::new();
        for copy in boxed {
            if copy.state == State::Inspected {
                steps.push((copy.id, State::Boxed));
            }
            steps.push((copy.id, State::HandedOver));
        }
        let now = self.session.minute();
        let promised = self.books.pledge_of(request);
        let all = self.books.copies(request).iter().all(|copy| {
            matches!(
                copy.state,
                State::Boxed | State::Inspected | State::HandedOver
            )
        });
        let ends = promised
            .filter(|promised| promised.end.is_none() && all)
            .map(|promised| {
                let in_time = now <= promised.pledge.arrival;
                let end = if in_time {
                    PledgeEnd::Kept
                } else {
                    PledgeEnd::Broken
                };
                (promised.pledge.id, end)
            });
        let payload = vec![("request", Said::Text(request.to_string()))];
        Happening {
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
        let reason = and_moved(format!("request {number} was called back"), &done);
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

    /// The plan without these shares of plates: a plate that was theirs alone is gone, one that
    /// others are on takes less time where it is.
    fn plan_without(&self, gone: &[&KeptPlate]) -> Result<(Plan, Done), WorkshopError> {
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

/// A share of a plate that came off the bed, counted.
struct Counted<'a> {
    kept: KeptPlate,
    fine: Vec<&'a StoredCopy>,
    lost: Vec<&'a StoredCopy>,
}

impl Counted<'_> {
    fn steps(&self) -> impl Iterator<Item = (CopyId, State)> {
        let fine = self.fine.iter().map(|copy| (copy.id, State::Inspected));
        fine.chain(self.lost.iter().map(|copy| (copy.id, State::Pledged)))
    }

    fn closed(&self) -> (u64, PlateState) {
        let state = if self.fine.is_empty() {
            PlateState::Lost
        } else {
            PlateState::Off
        };
        (self.kept.plate.seq.0, state)
    }
}
