//! A step is taken back: within minutes, by the same bench, and only while nothing was built on it.
//!
//! The log keeps the deed and that it was taken back; the floor is as it was before.

use partpledge_planning_model::{Plan, PlateSeq};
use partpledge_records::{
    Event, Floor, Happening, KeptPlate, Outage, PlateState, RunningPlate, Said, State, StepKind,
    TakenBack, printed_together,
};
use partpledge_units::ids::CopyId;
use partpledge_units::time::Minute;
use partpledge_words::{said, say};

use super::draft::Draft;
use super::machine::by_machine;
use super::{Done, Tries, known, no_plate, write};
use crate::actor::Actor;
use crate::books::Books;
use crate::doubts::open_doubt;
use crate::error::WorkshopError;
use crate::hub::{adult_is_to_look, may_put_back};
use crate::learning::as_known;
use crate::programs::with_programs;
use crate::replanning::{Situation, replan};
use crate::session::Session;

/// A step can be taken back for this long after it was done. Common practice, no source.
pub const UNDO_MS: i64 = 10 * 60_000;

/// Events by which a copy that was held or recalled is good or scrap, and where each has its share.
const SETTLES: [(&str, &str); 3] = [
    ("copy.reworked", "plate"),
    ("copy.scrapped", "plate"),
    ("recall.checked", "plates"),
];

/// Takes back a step of a plate, or of a box.
///
/// # Errors
/// [`WorkshopError::NotTakenBack`] with the reason: too late, or something was built on it;
/// [`WorkshopError::NotAllowed`] for another bench's; [`WorkshopError::Store`] as
/// [`act`](super::act).
pub async fn take_back(
    session: &Session,
    actor: &Actor,
    (plate, step): (u64, StepKind),
    key: Option<&str>,
) -> Result<Done, WorkshopError> {
    let mut tries = Tries::of(session);
    loop {
        let (session, books) = tries.look().await?;
        let kept = books.plate(plate).ok_or_else(|| no_plate(plate))?.clone();
        match step {
            StepKind::HandedOver => actor.must_hand_over(session, &books, &kept)?,
            _ => actor.must_work_at(session, &books, &kept)?,
        }
        if known(session, key).await? {
            return Ok(Done::known());
        }
        let (store, region) = session.writable()?;
        let of = match step {
            StepKind::Boxed | StepKind::Left | StepKind::HandedOver => kept.plate.seq.0,
            _ => kept.on().0,
        };
        let deed = store.deed_of_step(region, (of, step)).await?;
        let (entry, deed) = deed.ok_or_else(|| refused(say!("bench-undo-already")))?;
        // What a printer told of, people may correct as long as nobody has built on it.
        let started = books.step(kept.plate.seq.0, StepKind::Started);
        let by_itself = started.filter(|started| step == StepKind::Started && by_machine(started));
        let looks = match by_itself {
            Some(started) => adult_is_to_look(session, started, entry).await?,
            None => false,
        };
        let late = session.now.0 - deed.occurred_at.0 > UNDO_MS;
        match by_itself {
            None if late => return Err(refused(say!("bench-undo-late"))),
            // Taken back it would be nothing to look at any more.
            Some(_) if late && looks => return Err(refused(say!("bench-undo-adult"))),
            _ => {}
        }
        if let Some(why) = hindered(&books, (&kept, step), &deed) {
            return Err(refused(why));
        }
        if matches!(step, StepKind::Off | StepKind::Failed)
            && let Some(why) = settled_since(session, (&books, &kept), entry).await?
        {
            return Err(refused(why));
        }
        if let Some(out) = deed.text("out") {
            // It puts the printer back in use.
            let by = [(entry, deed.clone())];
            may_put_back(session, actor, (&out, &by)).await?;
        }
        let draft = Draft::new(session, actor, &books, key);
        let (happening, done) = draft.undone((&kept, step), (entry, &deed)).await?;
        if let Some(done) = write(session, &happening, done).await? {
            return Ok(done);
        }
    }
}

/// The plan before a deed, if nothing has changed it since: `present` is the revision of the plan by now.
pub(super) async fn plan_before(
    session: &Session,
    deed: &Event,
    present: i64,
) -> Result<Option<Plan>, WorkshopError> {
    let (store, region) = session.writable()?;
    let made = deed.numbers("plan").first().copied();
    let made = made.and_then(|revision| i64::try_from(revision).ok());
    let Some(revision) = made.filter(|revision| *revision == present) else {
        return Ok(None);
    };
    let names = session.terrain.names();
    Ok(store.plan_at(region, revision - 1, &names).await?)
}

pub(super) fn refused(why: String) -> WorkshopError {
    WorkshopError::NotTakenBack { why }
}

/// Why a step can't be taken back, but for its time, if it can't.
fn hindered(books: &Books, (kept, step): (&KeptPlate, StepKind), deed: &Event) -> Option<String> {
    let taken = |row: &KeptPlate, kind| books.step(row.plate.seq.0, kind).is_some();
    let company = books.company(kept);
    let looked = (StepKind::Looked, "bench-undo-since-looked");
    let off = (StepKind::Off, "bench-undo-since-off");
    let failed = (StepKind::Failed, "bench-undo-since-failed");
    let boxed = (StepKind::Boxed, "bench-undo-since-boxed");
    let left = (StepKind::Left, "bench-undo-since-left");
    let later = match step {
        StepKind::Started => vec![looked, off, failed],
        StepKind::Looked => vec![off, failed],
        StepKind::Off | StepKind::Failed => vec![boxed],
        StepKind::Boxed => vec![left],
        StepKind::Left | StepKind::HandedOver => Vec::new(),
    };
    let built = later.iter().find(|(kind, _)| match step {
        StepKind::Boxed | StepKind::Left | StepKind::HandedOver => taken(kept, *kind),
        _ => company.iter().any(|row| taken(row, *kind)),
    });
    if let Some((_, says)) = built {
        return Some(say(says).to_string());
    }
    let handed = |row: &&KeptPlate| {
        let mut copies = books.copies_on(row);
        copies.any(|copy| copy.state == State::HandedOver)
    };
    let handed_over = match step {
        StepKind::HandedOver => false,
        StepKind::Boxed | StepKind::Left => handed(&kept),
        _ => company.iter().any(handed),
    };
    if handed_over {
        return Some(say!("bench-undo-team-has"));
    }
    let of_box = matches!(
        step,
        StepKind::Boxed | StepKind::Left | StepKind::HandedOver
    );
    if of_box && books.copies_on(kept).next().is_none() {
        return Some(say!("bench-undo-made-again"));
    }
    if step == StepKind::HandedOver {
        return handed_for_good(books, kept, deed);
    }
    match step {
        StepKind::Off | StepKind::Failed => {
            ended_with(books, kept, deed).or_else(|| used_since(books, kept, deed))
        }
        StepKind::Started if books.carries_down(kept) => Some(say!("bench-undo-taken-down")),
        _ => None,
    }
}

/// Why the end of a run stays: a promise ended with it. What ended stays ended.
fn ended_with(books: &Books, kept: &KeptPlate, deed: &Event) -> Option<String> {
    let company = books.company(kept);
    let mut ends = company.iter().filter_map(|row| {
        let promised = books.pledge_of(row.request)?;
        promised.end.as_ref()
    });
    let with_it = ends.any(|end| end.recorded_at == deed.received_at);
    with_it.then(|| say!("bench-undo-promise-ended"))
}

/// Why a hand-over stays: the team itself said it, something was said of it since, or its promise ended
/// with it. What ended stays ended.
fn handed_for_good(books: &Books, kept: &KeptPlate, deed: &Event) -> Option<String> {
    let promised = books.pledge_of(kept.request);
    let says = if deed.kind != "box.handed-over" {
        say!("bench-undo-team-said")
    } else if promised.is_some_and(|promised| promised.end.is_some()) {
        say!("bench-undo-its-promise-ended")
    } else if open_doubt(books, kept).is_some() || books.recalled_on(kept).next().is_some() {
        say!("bench-undo-undecided")
    } else {
        return None;
    };
    Some(says)
}

/// Why the end of a run stays: somebody has looked at one of its copies since, and said what it found. Both
/// would stay, and what was measured then, though nothing had come off the bed.
async fn settled_since(
    session: &Session,
    (books, kept): (&Books, &KeptPlate),
    entry: i64,
) -> Result<Option<String>, WorkshopError> {
    let (store, region) = session.writable()?;
    let company = books.company(kept);
    let shares: Vec<u64> = company.iter().map(|row| row.plate.seq.0).collect();
    for (kind, name) in SETTLES {
        let all = store.events_of_kind(region, kind).await?.into_iter();
        let mut since = all.filter(|(at, _)| *at > entry);
        let of_it = |event: &Event| event.numbers(name).iter().any(|one| shares.contains(one));
        if since.any(|(_, event)| of_it(&event)) {
            return Ok(Some(say!("bench-undo-looked-again")));
        }
    }
    Ok(None)
}

/// What has been done since with the printer, or with the plates that were made anew.
fn used_since(books: &Books, kept: &KeptPlate, deed: &Event) -> Option<String> {
    for seq in deed.numbers("reprints") {
        let again = books.plate(seq)?;
        let fresh = again.state == PlateState::Open
            && books.step(seq, StepKind::Started).is_none()
            && books.company(again).len() == 1;
        if !fresh {
            return Some(say!("bench-undo-plate-changed", plate = seq));
        }
    }
    let company = books.company(kept);
    let on_it = |row: &KeptPlate| books.copies_on(row).count();
    let again = deed.numbers("reprints").into_iter();
    let again = again.filter_map(|seq| books.plate(seq)).map(on_it);
    let known: usize = company.iter().map(|row| on_it(row)).chain(again).sum();
    let all = company.iter().map(|row| row.plate.copies).sum::<u32>();
    if known != usize::try_from(all).unwrap_or(known) {
        return Some(say!("bench-undo-made-scrap"));
    }
    let printer = &books.step(kept.plate.seq.0, StepKind::Started)?.printer;
    let running = books.running();
    let (seq, ..) = running.iter().find(|(_, _, name)| name == printer)?;
    Some(say!(
        "bench-undo-runs-since",
        plate = seq.0,
        printer = printer
    ))
}

impl Draft<'_> {
    /// What taking a step back changes.
    async fn undone(
        &self,
        (kept, step): (&KeptPlate, StepKind),
        (entry, deed): (i64, &Event),
    ) -> Result<(Happening, Done), WorkshopError> {
        let back = TakenBack {
            undoes: entry,
            ..self.as_it_was(kept, step, deed)
        };
        let replanned = match step {
            StepKind::Started | StepKind::Off | StepKind::Failed => {
                Some(self.planned_without(kept, (step, deed), &back).await?)
            }
            _ => None,
        };
        let seq = match step {
            StepKind::Boxed | StepKind::Left | StepKind::HandedOver => kept.plate.seq.0,
            _ => kept.on().0,
        };
        let numbers = |n: u64| Said::Numbers(vec![n]);
        let mut payload = vec![
            ("plate", numbers(seq)),
            ("step", Said::Text(step.as_str().to_owned())),
            ("entry", numbers(u64::try_from(entry).unwrap_or(0))),
        ];
        if step == StepKind::HandedOver {
            // A box is one request's: only its team is told.
            payload.push(("request", Said::Text(kept.request.to_string())));
        }
        let (plan, done) = replanned.unzip();
        let why = said!(
            "promises-plan-not-after-all",
            plate = seq,
            step = step.as_str()
        );
        let happening = Happening {
            takes_back: Some(back),
            plan: plan.map(|plan| (plan, why)),
            ..self.event("step.taken-back", payload)
        };
        Ok((happening, done.unwrap_or_default()))
    }

    /// Copies and plates as they were before the step.
    fn as_it_was(&self, kept: &KeptPlate, step: StepKind, deed: &Event) -> TakenBack {
        let company = self.books.company(kept);
        let rows = || company.iter().copied();
        let of = |row: &KeptPlate, from: State, to: State| -> Vec<(CopyId, State, State, u64)> {
            let plate = row.plate.seq.0;
            let there = self.books.copies_on(row).filter(|copy| copy.state == from);
            there.map(|copy| (copy.id, from, to, plate)).collect()
        };
        match step {
            StepKind::Looked | StepKind::Left => TakenBack::default(),
            StepKind::HandedOver => TakenBack {
                copies: of(kept, State::HandedOver, State::Boxed),
                ..TakenBack::default()
            },
            StepKind::Started => TakenBack {
                copies: rows()
                    .flat_map(|row| of(row, State::Running, State::Pledged))
                    .collect(),
                ..TakenBack::default()
            },
            StepKind::Boxed => TakenBack {
                copies: of(kept, State::Boxed, State::Inspected),
                ..TakenBack::default()
            },
            StepKind::Off | StepKind::Failed => {
                let good = rows().flat_map(|row| of(row, State::Inspected, State::Running));
                let mut copies: Vec<_> = good.collect();
                copies.extend(rows().flat_map(|row| of(row, State::Rework, State::Running)));
                // What was lost and is not made again, since it was taken down, is still here.
                copies.extend(rows().flat_map(|row| of(row, State::Pledged, State::Running)));
                // So is what was lost of a part in the wrong unit.
                copies.extend(rows().flat_map(|row| of(row, State::Withdrawn, State::Running)));
                let dropped = deed.numbers("reprints");
                for again in dropped.iter().filter_map(|seq| self.books.plate(*seq)) {
                    let home = rows().find(|row| row.request == again.request);
                    let home = home.map_or(kept.plate.seq.0, |row| row.plate.seq.0);
                    let lost = of(again, State::Pledged, State::Running).into_iter();
                    copies.extend(lost.map(|(id, from, to, _)| (id, from, to, home)));
                }
                TakenBack {
                    copies,
                    reopened: rows().map(|row| row.plate.seq.0).collect(),
                    dropped,
                    ..TakenBack::default()
                }
            }
        }
    }

    /// The plan as it would be: the one before the deed, if nothing has changed it since, else
    /// the present one; both as little changed as can be.
    async fn planned_without(
        &self,
        kept: &KeptPlate,
        (step, deed): (StepKind, &Event),
        back: &TakenBack,
    ) -> Result<(Plan, Done), WorkshopError> {
        let mut floor = self.books.floor.clone();
        for row in &mut floor.kept {
            let seq = row.plate.seq.0;
            if back.reopened.contains(&seq) {
                row.state = PlateState::Open;
            } else if back.dropped.contains(&seq) {
                row.state = PlateState::Withdrawn;
            }
        }
        (floor.plates, floor.past) = printed_together(&mut floor.kept);
        let present = floor.revision;
        let Floor { plates, plan, .. } =
            as_known(self.session, with_programs(&self.session.terrain, floor));
        let before = plan_before(self.session, deed, present).await?;
        let mut base = before.unwrap_or(plan);
        let there = |seq: PlateSeq| plates.iter().any(|plate| plate.seq == seq);
        base.assignments.retain(|place| there(place.plate));
        let seq = kept.on();
        let mut running = self.books.running();
        running.retain(|(plate, ..)| *plate != seq);
        let started = self.books.step(seq.0, StepKind::Started);
        let started = started.filter(|_| step != StepKind::Started);
        running.extend(started.map(|step| {
            let at = Minute::at_or_after(step.at);
            (seq, at, step.printer.clone())
        }));
        running.sort_by_key(|(plate, ..)| *plate);
        let again = started.zip(plates.iter().find(|plate| plate.seq == seq));
        let again = again.map(|(step, plate)| RunningPlate {
            grams: plate.grams,
            program: self.books.floor.program_of(plate.seq.0).cloned(),
            plate: plate.clone(),
            printer: step.printer.clone(),
            started_at: step.at,
        });
        let session = self.session_before(deed).without_run(seq.0, again);
        let situation = Situation {
            plates: &plates,
            plan: &base,
            running: &running,
            retimed: &[],
        };
        let replanned = replan(&session, &situation)?;
        let done = Done::of(&replanned);
        Ok((replanned.plan, done))
    }

    /// The region without what the deed put out of use.
    fn session_before(&self, deed: &Event) -> Session {
        let since = Minute::at_or_after(deed.occurred_at);
        let printer = deed.text("out");
        let its =
            |outage: &Outage| outage.from == since && printer.as_ref() == Some(&outage.printer);
        let outages = self.session.outages.iter().filter(|outage| !its(outage));
        self.session.with_only(outages.cloned().collect())
    }
}
