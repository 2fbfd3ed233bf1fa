//! A run ends: what is good goes on to its box, what is lost is made again.

use partpledge_planning_model::{Plate, PlateSeq};
use partpledge_records::{
    FinishedRun, Happening, KeptPlate, NewNote, Outage, PlateState, PledgeEnd, Reprint, RunStep,
    Said, State, StepKind, StoredCopy,
};
use partpledge_units::ids::{CopyId, PledgeId, RequestId};
use partpledge_units::time::Minute;
use partpledge_words::{Said as Sentence, said};

use super::draft::{Draft, and_moved};
use super::inspection::{Count, reasons, sorted};
use super::{Done, no_plate};
use crate::bench::{PEOPLE_LEAVE, reason_clause};
use crate::error::WorkshopError;
use crate::estimating::LaidPart;
use crate::learning::{ended_run, expected_anew, sheet_of};
use crate::plate_room;
use crate::plating::{Order, whole_plate};
use crate::recalls;
use crate::wrong_unit;

/// Why the plan changed when a run ended.
fn ended_because(seq: u64, reason: Option<&str>, again: usize) -> Sentence {
    match (reason, again) {
        (Some(reason), _) => {
            said!(
                "promises-plan-failed",
                plate = seq,
                why = reason_clause(reason)
            )
        }
        (None, 0) => said!("promises-plan-off", plate = seq),
        (None, again) => said!("promises-plan-off-again", plate = seq, n = again),
    }
}

impl<'a> Draft<'a> {
    /// Off the bed, good or not: lost copies go on a plate of their own, in time if that can be.
    pub(super) async fn ended(
        &self,
        kept: &KeptPlate,
        count: &Count<'_>,
        reason: Option<&str>,
        out_until: Option<Minute>,
    ) -> Result<(Happening, Done), WorkshopError> {
        let measured = self.books.measured_on(kept, count)?;
        let counted = self.counted(kept, count, reason.is_some())?;
        let all_good: usize = counted.iter().map(|share| share.fine.len()).sum();
        let all_good = u32::try_from(all_good).unwrap_or(u32::MAX);
        let seq = kept.on();
        let stays = counted.iter().any(|share| !share.held.is_empty()) || all_good > 0;
        let steps = self.end_steps(kept, (all_good, stays), reason);
        let outage = |until| self.out_of_use(&steps[0].printer, reason, until);
        let outages: Vec<Outage> = out_until.map(outage).into_iter().collect();
        let mut plates = self.books.floor.plates.clone();
        plates.retain(|plate| plate.seq != seq);
        let reprints = self.reprints(&counted).await?;
        let again = reprints.iter().map(|reprint| reprint.copies.len()).sum();
        plates.extend(reprints.iter().map(|reprint| reprint.plate.clone()));
        let mut running = self.books.running();
        running.retain(|(plate, _, _)| *plate != seq);
        let stock = self.taken(kept, reason.is_none());
        let after = self.session.after(&stock, None);
        let replanned = self
            .seen(&after)
            .replan_without(&outages, &plates, &running)?;
        let done = Done::of(&replanned);
        let mut payload = vec![("plate", Said::Numbers(vec![seq.0]))];
        payload.push(("good", Said::Numbers(vec![u64::from(all_good)])));
        payload.extend(reason.map(|reason| ("reason", Said::Text(reason.to_owned()))));
        payload.push(self.makes_plan());
        if let Count::Each(each, _) = count {
            payload.push(("found", Said::Text(reasons(each).join("; "))));
        }
        if !reprints.is_empty() {
            let again = reprints.iter().map(|reprint| reprint.plate.seq.0);
            payload.push(("reprints", Said::Numbers(again.collect())));
        }
        let out = outages.first().map(|outage| outage.printer.clone());
        payload.extend(out.map(|printer| ("out", Said::Text(printer))));
        let kind = if reason.is_some() {
            "run.failed"
        } else {
            "run.off"
        };
        let why = ended_because(seq.0, reason, again);
        let happening = Happening {
            steps,
            copies: (counted.iter())
                .flat_map(|share| self.steps_of(share))
                .collect(),
            ends: (counted.iter())
                .filter_map(|share| self.ends_unmade(share))
                .collect(),
            closed: counted.iter().map(Counted::closed).collect(),
            notes: (counted.iter())
                .flat_map(|share| self.recalled_since(share))
                .collect(),
            measured,
            reprints,
            outages,
            stock,
            runs: self.finished(kept, all_good, reason).await?,
            plan: Some((replanned.plan, and_moved(why, &done))),
            ..self.event(kind, payload)
        };
        Ok((happening, done))
    }

    /// What the run teaches. One that was stopped because people left says nothing of how its printer does.
    async fn finished(
        &self,
        kept: &KeptPlate,
        good: u32,
        reason: Option<&str>,
    ) -> Result<Vec<FinishedRun>, WorkshopError> {
        if reason == Some(PEOPLE_LEAVE) {
            return Ok(Vec::new());
        }
        let ended = (self.deed.occurred_at, self.said_of(kept).await?);
        let seen = (self.session, self.books);
        Ok(ended_run(seen, kept, (good, reason.is_none()), ended))
    }

    fn out_of_use(&self, printer: &str, reason: Option<&str>, until: Minute) -> Outage {
        Outage {
            printer: self.machine(printer),
            from: self.minute(),
            until,
            reason: reason.unwrap_or("out of use").to_owned(),
        }
    }

    /// What is good and what is lost of each share of a plate. What has critical dimensions and is good of
    /// a plate that failed is held until it was measured.
    fn counted(
        &self,
        kept: &KeptPlate,
        count: &Count<'_>,
        failed: bool,
    ) -> Result<Vec<Counted<'a>>, WorkshopError> {
        let mut out = Vec::new();
        for (i, row) in self.books.company(kept).into_iter().enumerate() {
            let seq = row.plate.seq.0;
            let good = match count {
                Count::Number(good) => good,
                Count::Each(each, _) => {
                    let (fine, lost, held) = sorted(self.copies(row), seq, each)?;
                    let kept = row.clone();
                    out.push(Counted {
                        kept,
                        fine,
                        lost,
                        held,
                    });
                    continue;
                }
            };
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
            let mut held = Vec::new();
            if !fine.is_empty() && !self.books.dimensions(row.request).is_empty() {
                if !failed {
                    let plate = kept.on().0;
                    return Err(WorkshopError::MustMeasure { plate });
                }
                held = std::mem::take(&mut fine);
            }
            out.push(Counted {
                kept,
                fine,
                lost,
                held,
            });
        }
        Ok(out)
    }

    /// The steps that end a run. What is good of a failed one, or may be, goes on to its box like anything
    /// off a bed.
    fn end_steps(
        &self,
        kept: &KeptPlate,
        (good, stays): (u32, bool),
        reason: Option<&str>,
    ) -> Vec<RunStep> {
        let step = |kind| RunStep {
            good: Some(good),
            reason: reason.map(str::to_owned),
            ..self.step(kept, kind)
        };
        match (reason, stays) {
            (None, _) => vec![step(StepKind::Off)],
            (Some(_), false) => vec![step(StepKind::Failed)],
            (Some(_), true) => vec![step(StepKind::Failed), step(StepKind::Off)],
        }
    }

    /// Plates for the copies that were lost: the same again when all of a plate were, laid out anew
    /// otherwise. Those that shared a plate each get one of their own.
    pub(super) async fn reprints(
        &self,
        counted: &[Counted<'_>],
    ) -> Result<Vec<Reprint>, WorkshopError> {
        let mut out: Vec<Reprint> = Vec::new();
        let first = self.books.floor.next_seq;
        // What was taken down is not made again, nor what has the wrong size: that has a request of its own.
        let wanted = |share: &&Counted<'_>| {
            let listed = self.books.request(share.kept.request);
            let down = listed.is_some_and(|listed| self.books.taken_down(&listed.request));
            !share.lost.is_empty() && !down && !self.resized_since(share.kept.request)
        };
        for share in counted.iter().filter(wanted) {
            let seq = PlateSeq(first + out.len() as u64);
            let all = share.lost.len() == usize::try_from(share.kept.plate.copies).unwrap_or(0);
            // Whoever joined a plate has the time of the whole of it on record.
            let alone = counted.len() == 1 && share.kept.joins.is_none();
            let again = if alone && all {
                self.same_again(&share.kept, seq)
            } else {
                self.smaller(&share.kept, &share.lost, seq).await?
            };
            let again = self.not_where_declined(again, share.kept.request);
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

    /// Whether its team found that a request is made in the wrong unit: no copy of it is made again.
    fn resized_since(&self, request: RequestId) -> bool {
        wrong_unit::found(self.books, request).is_some()
    }

    /// The steps of a copy of a request that is no good: it waits to be made again, or is not made any
    /// more.
    pub(super) fn scrapped(
        &self,
        request: RequestId,
        copy: CopyId,
    ) -> impl Iterator<Item = (CopyId, State)> + use<> {
        let over = self.resized_since(request);
        let over = over.then_some((copy, State::Withdrawn));
        [(copy, State::Pledged)].into_iter().chain(over)
    }

    /// The steps of the copies of a share that came off the bed.
    fn steps_of<'b>(
        &'b self,
        share: &'b Counted<'_>,
    ) -> impl Iterator<Item = (CopyId, State)> + 'b {
        let fine = share.fine.iter().map(|copy| (copy.id, State::Inspected));
        let held = share.held.iter().map(|copy| (copy.id, State::Rework));
        let lost = share.lost.iter();
        let lost = lost.flat_map(|copy| self.scrapped(share.kept.request, copy.id));
        fine.chain(held).chain(lost)
    }

    /// Copies that come off the bed good, or may be good when they are reworked, are recalled with what was
    /// recalled while they were made.
    fn recalled_since(&self, share: &Counted<'_>) -> impl Iterator<Item = (RequestId, NewNote)> {
        let stays: Vec<&StoredCopy> = share.fine.iter().chain(&share.held).copied().collect();
        let off = self.deed.occurred_at;
        let request = share.kept.request;
        let notes = recalls::caught_late(self.session, self.books, &share.kept, off, &stays);
        notes.into_iter().map(move |note| (request, note))
    }

    /// How a promise ends with copies that are lost and not made again.
    pub(super) fn ends_unmade(&self, share: &Counted<'_>) -> Option<(PledgeId, PledgeEnd)> {
        let request = share.kept.request;
        if share.lost.is_empty() || !self.resized_since(request) {
            return None;
        }
        let gone: Vec<CopyId> = share.lost.iter().map(|copy| copy.id).collect();
        self.replaced(request, &gone)
    }

    /// The same plate under a new number. A program was sent for the old one: the new plate has
    /// our own time until its host sends one for it.
    pub(super) fn same_again(&self, kept: &KeptPlate, seq: PlateSeq) -> Plate {
        Plate {
            seq,
            release: self.session.minute(),
            makings: kept.own.clone(),
            ..kept.plate.clone()
        }
    }

    pub(super) async fn smaller(
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
}

/// A share of a plate that came off the bed, counted.
pub(super) struct Counted<'a> {
    pub(super) kept: KeptPlate,
    pub(super) fine: Vec<&'a StoredCopy>,
    pub(super) lost: Vec<&'a StoredCopy>,
    /// To be reworked.
    pub(super) held: Vec<&'a StoredCopy>,
}

impl Counted<'_> {
    fn closed(&self) -> (u64, PlateState) {
        let state = if self.fine.is_empty() && self.held.is_empty() {
            PlateState::Lost
        } else {
            PlateState::Off
        };
        (self.kept.plate.seq.0, state)
    }
}
