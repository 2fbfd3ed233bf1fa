//! Copies are recalled, checked, or let go again.

use std::collections::{BTreeMap, BTreeSet};

use partpledge_records::{Happening, KeptPlate, NoteKind, Said, State, StoreError, StoredCopy};
use partpledge_units::ids::RequestId;
use partpledge_units::time::Minute;
use partpledge_words::said;

use super::draft::{Draft, and_moved};
use super::ended::Counted;
use super::reasons::DRIFTED;
use super::{Done, Tries, known, no_plate, of_its_team, write};
use crate::actor::Actor;
use crate::error::WorkshopError;
use crate::recalls::{
    self, Fate, Target, Which, about_hint, affected, answered, lifted, looked_hint, of_request,
};
use crate::session::Session;
use crate::wrong_unit::found;

/// Recalls all good copies that were made on a printer in a stretch of time, or of a file that was
/// replaced. Those that are not with a team yet stay where they are until somebody has checked them;
/// teams that have some are told.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for others than the coordinator; as [`affected`], and as
/// [`act`](super::act).
pub async fn recall(
    session: &Session,
    actor: &Actor,
    target: &Target,
    key: Option<&str>,
) -> Result<Done, WorkshopError> {
    recall_and_stop(session, actor, (target, None), key).await
}

/// The same, and the printer that is recalled of can't be used until then: it makes no more of what would be
/// recalled. What runs on it goes on, and is checked.
///
/// # Errors
/// As [`recall`]; [`WorkshopError::OutOfRange`] for a time that is over.
pub async fn recall_and_stop(
    session: &Session,
    actor: &Actor,
    (target, out_until): (&Target, Option<Minute>),
    key: Option<&str>,
) -> Result<Done, WorkshopError> {
    decided(session, actor, key, |draft| {
        if out_until.is_some_and(|until| until <= draft.session.minute()) {
            let (what, range) = ("until", "still to come");
            return Err(WorkshopError::OutOfRange { what, range });
        }
        let happening = draft.recalled(target)?;
        match (target, out_until) {
            (Target::Printer { name, .. }, Some(until)) => draft.also_out(happening, name, until),
            _ => Ok((happening, Done::default())),
        }
    })
    .await
}

/// Lifts a recall: what nobody has checked yet is as it was. What was made again stays so.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for others than the coordinator; [`WorkshopError::RecallOver`] for
/// one that is lifted, or of which everything is checked; as [`act`](super::act).
pub async fn lift_recall(
    session: &Session,
    actor: &Actor,
    entry: i64,
    key: Option<&str>,
) -> Result<Done, WorkshopError> {
    decided(session, actor, key, |draft| {
        Ok((draft.recall_lifted(entry)?, Done::default()))
    })
    .await
}

/// What the coordinator decides about recalls, on the books as they are by now.
async fn decided(
    session: &Session,
    actor: &Actor,
    key: Option<&str>,
    deed: impl Fn(&Draft<'_>) -> Result<(Happening, Done), WorkshopError>,
) -> Result<Done, WorkshopError> {
    actor.must_coordinate()?;
    let mut tries = Tries::of(session);
    loop {
        let (session, books) = tries.look().await?;
        if known(session, key).await? {
            return Ok(Done::known());
        }
        let (happening, done) = deed(&Draft::new(session, actor, &books, key))?;
        if let Some(done) = write(session, &happening, done).await? {
            return Ok(done);
        }
    }
}

/// A team says what it found of the recalled copies that it has; `about` is the code of what it was asked,
/// empty for what was asked first.
///
/// # Errors
/// [`WorkshopError::NotYours`] for another team's; [`WorkshopError::RecallOver`] when it has none that
/// wait for that; as [`act`](super::act).
pub async fn answer_recall(
    session: &Session,
    actor: &Actor,
    (request, about, good): (RequestId, &str, bool),
    key: Option<&str>,
) -> Result<Done, WorkshopError> {
    let mut tries = Tries::of(session);
    loop {
        let (session, books) = tries.look().await?;
        of_its_team(actor, &books, request)?;
        if known(session, key).await? {
            return Ok(Done::known());
        }
        let draft = Draft::new(session, actor, &books, key);
        let copies = books.recalled_with_team(request);
        let (happening, done) = draft.checked(request, &copies, (about, good)).await?;
        if let Some(done) = write(session, &happening, done).await? {
            return Ok(done);
        }
    }
}

/// Numbers of the shares that copies are of, each once.
fn shares_of(copies: impl Iterator<Item = Which>) -> Said {
    let shares: BTreeSet<u64> = copies.map(|(share, _)| share).collect();
    Said::Numbers(shares.into_iter().collect())
}

impl Draft<'_> {
    fn recalled(&self, target: &Target) -> Result<Happening, WorkshopError> {
        // As it is by now: a newer file yet may have come.
        let target = match target {
            Target::Version { number, .. } => recalls::of_old_file(self.books, *number)?,
            Target::Printer { .. } => target.clone(),
        };
        let found = affected(self.session, self.books, &target)?;
        let notes = found.iter().map(|(listed, copies)| {
            let which: Vec<Which> = copies.iter().map(|(which, _)| *which).collect();
            (listed.request.id, recalls::recalled(&target, &which))
        });
        let copies = found.iter().flat_map(|(_, copies)| copies);
        let mut payload = vec![
            ("plates", shares_of(copies.map(|(which, _)| *which))),
            ("reason", Said::Text(target.code().to_owned())),
        ];
        if let Target::Printer { name, .. } = &target {
            payload.push(("printer", Said::Text(name.clone())));
        }
        let seen = found.iter();
        let seen = seen.map(|(listed, _)| self.last_note(listed.request.id));
        Ok(Happening {
            // Two who recall the same at the same moment: the second finds that it is recalled.
            last_notes: seen.collect(),
            notes: notes.collect(),
            ..self.event("recall.opened", payload)
        })
    }

    /// A recall by which its printer is out of use as well; one that has left the region can't be.
    fn also_out(
        &self,
        recall: Happening,
        printer: &str,
        until: Minute,
    ) -> Result<(Happening, Done), WorkshopError> {
        if self.session.terrain.printer_of(printer).is_none() {
            return Ok((recall, Done::default()));
        }
        let (out, done) = self.printer_out(printer.to_owned(), DRIFTED, until)?;
        let mut payload = recall.payload.clone();
        payload.push(self.makes_plan());
        let happening = Happening {
            payload,
            outages: out.outages,
            plan: out.plan,
            ..recall
        };
        Ok((happening, done))
    }

    fn recall_lifted(&self, entry: i64) -> Result<Happening, WorkshopError> {
        let all = recalls::recalls(self.books);
        let recall = all.into_iter().find(|recall| recall.entry == entry);
        let recall = recall.ok_or_else(|| StoreError::NoSuch {
            what: "recall",
            id: entry.to_string(),
        })?;
        if !recall.open() {
            return Err(WorkshopError::RecallOver);
        }
        let copies = recall.requests.iter().flat_map(|one| &one.copies);
        let open = copies.filter(|(_, fate)| fate.waits());
        let requests = recall.requests.iter();
        let requests = requests.filter(|one| one.count(Fate::waits) > 0);
        let requests: Vec<RequestId> = requests.map(|one| one.request).collect();
        let number = u64::try_from(entry).into_iter().collect();
        let payload = vec![
            ("plates", shares_of(open.map(|(which, _)| *which))),
            ("entry", Said::Numbers(number)),
        ];
        let ids = || requests.iter().copied();
        Ok(Happening {
            last_notes: ids().map(|id| self.last_note(id)).collect(),
            notes: ids().map(|id| (id, lifted(entry))).collect(),
            ..self.event("recall.lifted", payload)
        })
    }

    /// A bench says what it found of the recalled copies of a share that its team does not have. The one
    /// that made them measures each, if their printer drifted and they have critical dimensions.
    pub(super) async fn checked_at_bench(
        &self,
        actor: &Actor,
        kept: &KeptPlate,
        (about, good): (&str, bool),
    ) -> Result<(Happening, Done), WorkshopError> {
        let here = self.books.recalled_on(kept);
        let here = here.filter(|copy| copy.state != State::HandedOver);
        let here: Vec<Which> = here.map(|copy| (copy.plate, copy.number)).collect();
        let did = self.checked(kept.request, &here, (about, good)).await?;
        let first = self.books.asked_first(kept.request, &here);
        let asked = match (about, &first) {
            ("", Some(first)) => first.target.code(),
            _ => about,
        };
        let sized = !self.books.dimensions(kept.request).is_empty();
        let made_here = || actor.must_work_at(self.session, self.books, kept).is_ok();
        if good && asked == recalls::DRIFTED && sized && made_here() {
            let plate = kept.plate.seq.0;
            return Err(WorkshopError::MustMeasure { plate });
        }
        Ok(did)
    }

    /// Somebody has checked recalled copies for what they were recalled for, by its code; without one for
    /// what was asked first. What was recalled after they were looked at is still to be checked. What is
    /// not good is made again, as scrap is, with the promise that it had if that is open. Of a file that
    /// was replaced nothing is made again: the newer one has a request of its own, and takes the place of
    /// this.
    pub(super) async fn checked(
        &self,
        request: RequestId,
        copies: &[Which],
        (about, good): (&str, bool),
    ) -> Result<(Happening, Done), WorkshopError> {
        let first = self.books.asked_first(request, copies);
        let first = first.ok_or(WorkshopError::RecallOver)?.target.code();
        let about = if about.is_empty() { first } else { about };
        let looked = self.deed.occurred_at;
        let all = of_request(self.books, request);
        let asked = all.iter();
        let asked = asked.filter(|one| one.target.code() == about && one.at <= looked);
        let copies: BTreeSet<Which> = asked.flat_map(|one| one.waits(copies)).collect();
        let copies: Vec<Which> = copies.into_iter().collect();
        if copies.is_empty() {
            return Err(WorkshopError::RecallOver);
        }
        let payload = vec![
            ("request", Said::Text(request.to_string())),
            ("plates", shares_of(copies.iter().copied())),
            ("found", Said::Text(word(good).to_owned())),
        ];
        let happening = Happening {
            last_notes: vec![self.last_note(request)],
            ..self.event("recall.checked", payload)
        };
        if good {
            let more = vec![about_hint(about), looked_hint(looked)];
            let note = answered(NoteKind::RecallGood, &copies, more);
            let happening = Happening {
                notes: vec![(request, note)],
                ..happening
            };
            return Ok((happening, Done::default()));
        }
        self.not_good(request, &copies, happening).await
    }

    async fn not_good(
        &self,
        request: RequestId,
        copies: &[Which],
        happening: Happening,
    ) -> Result<(Happening, Done), WorkshopError> {
        let lost = self.by_share(request, copies)?;
        let ids = || lost.iter().flat_map(|share| &share.lost);
        let promised = self.books.pledge_of(request);
        let ended = promised.and_then(|promised| promised.end.as_ref());
        let fate = match (promised, ended) {
            (None, _) => "none",
            (Some(_), None) => "open",
            (Some(_), Some(end)) => end.kind.as_str(),
        };
        let mut more = vec![format!("promise: {fate}")];
        // What has the wrong size is not made again, whatever else is wrong with it.
        if self.of_old_file(request, copies) || found(self.books, request).is_some() {
            let note = answered(NoteKind::RecallBad, copies, more);
            let gone: Vec<_> = ids().map(|copy| copy.id).collect();
            let ends = self.replaced(request, &gone);
            let happening = Happening {
                copies: gone.into_iter().map(|id| (id, State::Recalled)).collect(),
                ends: ends.into_iter().collect(),
                notes: vec![(request, note)],
                ..happening
            };
            return Ok((happening, Done::default()));
        }
        let mut reprints = self.reprints(&lost).await?;
        if promised.is_none() || ended.is_some() {
            for reprint in &mut reprints {
                reprint.plate.promise = None;
            }
        }
        let mut plates = self.books.floor.plates.clone();
        plates.extend(reprints.iter().map(|reprint| reprint.plate.clone()));
        let replanned = self.replanned(&plates, &self.books.running())?;
        let done = Done::of(&replanned);
        let again = reprints.iter().map(|reprint| reprint.plate.seq.0);
        let again: Vec<u64> = again.collect();
        more.extend(again.iter().map(|seq| format!("again: {seq}")));
        let note = answered(NoteKind::RecallBad, copies, more);
        let number = self
            .books
            .request(request)
            .map_or(0, |one| one.request.number);
        let why = said!("promises-plan-recalled", number = number);
        // In a box or with the team, they come back before they are made again.
        let steps = ids().flat_map(|copy| {
            let back = (copy.state != State::Inspected).then_some((copy.id, State::Recalled));
            back.into_iter().chain([(copy.id, State::Pledged)])
        });
        let steps = steps.collect();
        let mut payload = happening.payload.clone();
        payload.push(("reprints", Said::Numbers(again)));
        let happening = Happening {
            payload,
            copies: steps,
            reprints,
            notes: vec![(request, note)],
            plan: Some((replanned.plan, and_moved(why, &done))),
            ..happening
        };
        Ok((happening, done))
    }

    /// Whether one of these copies is recalled since its file was replaced, whatever else for.
    fn of_old_file(&self, request: RequestId, copies: &[Which]) -> bool {
        let all = of_request(self.books, request);
        let mut open = all.iter().filter(|one| one.waits(copies).next().is_some());
        open.any(|one| matches!(one.target, Target::Version { .. }))
    }

    /// Copies of a request with the shares that they are of.
    fn by_share(
        &self,
        request: RequestId,
        copies: &[Which],
    ) -> Result<Vec<Counted<'_>>, WorkshopError> {
        let mut out: BTreeMap<u64, Vec<&StoredCopy>> = BTreeMap::new();
        for copy in self.books.copies(request) {
            if copies.contains(&(copy.plate, copy.number)) {
                out.entry(copy.plate).or_default().push(copy);
            }
        }
        let one = |(share, lost): (u64, Vec<_>)| {
            let kept = self.books.plate(share).ok_or_else(|| no_plate(share))?;
            Ok(Counted {
                kept: kept.clone(),
                fine: Vec::new(),
                lost,
                held: Vec::new(),
            })
        };
        out.into_iter().map(one).collect()
    }
}

fn word(good: bool) -> &'static str {
    if good { "good" } else { "not-good" }
}
