//! What a printer says, written up: the start of the plate that is next on it, or a word on the plate
//! that runs. It is never an outcome: what is good and what failed, people say.

use partpledge_machines::{Kind, Moment};
use partpledge_records::{
    Happening, KeptPlate, MachineMoment, Outage, PlateState, RunStep, Said, StepKind,
};
use partpledge_units::time::{EventMs, Minute, Minutes};

use super::draft::Draft;
use super::told::done_at;
use super::{Done, Tries, known, write};
use crate::actor::{Actor, Role};
use crate::books::Books;
use crate::error::WorkshopError;
use crate::hub::starts_by_itself;
use crate::machines::{
    LOOK_BACK_MS, PlateSays, SAME_START_MS, names_another, other_began, plate_named, told_of, word,
};
use crate::session::Session;

/// A plate may have been started so long before its time, where the program has no name that tells.
/// Common practice, no source.
const EARLY: Minutes = Minutes(60);

/// What a moment is about.
enum About {
    /// It is the start of this plate.
    Start(Box<KeptPlate>),
    /// It is about this one, which runs on record.
    Plate(u64),
    /// It is not known what.
    Unknown,
}

/// Writes down a moment of a printer's; once, however often it is read.
///
/// # Errors
/// [`WorkshopError::Contended`], [`WorkshopError::Store`].
pub(crate) async fn machine_says(
    session: &Session,
    (printer, instance): (&str, i64),
    moment: &Moment,
) -> Result<(), WorkshopError> {
    let actor = Actor::new(Role::Printer(printer.to_owned()));
    // No sender's key has a colon: nobody can take it away beforehand.
    // Numbers may be used again: an agent that begins anew may say that it is the same.
    let key = format!(
        "machine:{printer}:{instance}:{}:{}",
        moment.sequence, moment.at.0
    );
    let (mut tries, mut may_start) = (Tries::of(session), true);
    loop {
        let (session, books) = tries.look().await?;
        if known(session, Some(&key)).await? {
            return Ok(());
        }
        let mut draft = Draft::new(session, &actor, &books, Some(&key));
        draft.deed.occurred_at = EventMs(moment.at.0.min(session.now.0));
        draft.printer = Some(printer.to_owned());
        let about = draft.about(printer, moment, may_start).await?;
        let says = match (&about, moment.kind) {
            (About::Plate(_), Kind::Again) => word(Kind::WentOn),
            (_, kind) => word(kind),
        };
        let (mut happening, done) = match &about {
            About::Start(kept) => match draft.start(kept) {
                Ok((happening, done)) => {
                    let to_look =
                        starts_by_itself(session, (&books, kept), printer, moment.at).await?;
                    (
                        Happening {
                            to_look,
                            ..happening
                        },
                        done,
                    )
                }
                // Such as a plan that the checker refuses: people say what it was.
                Err(error) if !is_passing(&error) => {
                    may_start = false;
                    continue;
                }
                Err(error) => return Err(error),
            },
            About::Plate(plate) => (draft.said(Some(*plate), says), Done::default()),
            About::Unknown if begins(moment) => (draft.said(None, says), Done::default()),
            // Of what nobody has told us of.
            About::Unknown => return Ok(()),
        };
        let plate = match &about {
            About::Start(kept) => Some(kept.on().0),
            About::Plate(plate) => Some(*plate),
            About::Unknown => None,
        };
        happening.moment = Some(MachineMoment {
            printer: printer.to_owned(),
            instance,
            sequence: moment.sequence,
            says: says.to_owned(),
            at: moment.at,
            plate,
        });
        match write(session, &happening, done).await {
            Ok(Some(_)) => return Ok(()),
            Ok(None) => {}
            Err(error) if may_start && plate.is_some() && !is_passing(&error) => {
                may_start = false;
            }
            Err(error) => return Err(error),
        }
    }
}

fn begins(moment: &Moment) -> bool {
    matches!(moment.kind, Kind::Began | Kind::Again)
}

/// Whether trying again later may help: another server was faster, the database is away.
fn is_passing(error: &WorkshopError) -> bool {
    match error {
        WorkshopError::Store(error) => !matches!(
            error.code(),
            "step-taken" | "no-such-step" | "no-such" | "pledge-ended"
        ),
        WorkshopError::Contended(_) | WorkshopError::BrokeOff => true,
        _ => false,
    }
}

/// Whether a step was told by a printer, not by a person.
pub(crate) fn by_machine(step: &RunStep) -> bool {
    step.actor == Actor::new(Role::Printer(step.printer.clone())).reference()
}

impl Draft<'_> {
    /// Whether the start that somebody ticks is the one that the printer itself has told of: on that
    /// printer, and before it said that it ended.
    pub(super) async fn printer_was_faster(&self, kept: &KeptPlate) -> Result<bool, WorkshopError> {
        let step = self.books.step(kept.plate.seq.0, StepKind::Started);
        let Some(step) = step.filter(|step| by_machine(step)) else {
            return Ok(false);
        };
        let said = self.said_of(kept).await?;
        let before = said.ended.is_none_or(|end| self.deed.occurred_at < end.at);
        let there = self.printer.as_ref();
        Ok(before && there.is_none_or(|printer| *printer == step.printer))
    }

    /// What the printer said of a plate since its start; nothing of one that nobody has started.
    pub(super) async fn said_of(&self, kept: &KeptPlate) -> Result<PlateSays, WorkshopError> {
        let (store, region) = self.session.writable()?;
        let plate = kept.on().0;
        let Some(started) = self.books.step(plate, StepKind::Started) else {
            return Ok(PlateSays::default());
        };
        let said = store.machine_moments_of(region, plate).await?;
        Ok(told_of(&said, (&started.printer, plate)).since(started.at))
    }

    fn said(&self, plate: Option<u64>, says: &str) -> Happening {
        let mut payload = Vec::new();
        payload.extend(plate.map(|plate| ("plate", Said::Numbers(vec![plate]))));
        let printer = self.printer.clone().unwrap_or_default();
        payload.push(("printer", Said::Text(printer)));
        payload.push(("says", Said::Text(says.to_owned())));
        self.event("machine.said", payload)
    }

    /// What a moment is about.
    async fn about(
        &self,
        printer: &str,
        moment: &Moment,
        may_start: bool,
    ) -> Result<About, WorkshopError> {
        let (store, region) = self.session.writable()?;
        let since = EventMs(moment.at.0.saturating_sub(LOOK_BACK_MS));
        let said = store.moments_of_machine(region, printer, since).await?;
        let running = self.books.running();
        let on_it = running.iter().filter(|(_, _, name)| name == printer);
        let Some((seq, ..)) = on_it.max_by_key(|(_, start, _)| *start) else {
            if begins(moment) && may_start {
                return self.what_starts(printer, moment).await;
            }
            return Ok(About::Unknown);
        };
        let Some(step) = self.books.step(seq.0, StepKind::Started) else {
            return Ok(About::Unknown);
        };
        let of_it = told_of(&said, (printer, seq.0)).since(step.at);
        let ended = of_it.ended.is_some();
        let near = (moment.at.0 - step.at.0).abs() <= SAME_START_MS;
        let other = other_began(&said, printer, step.at)
            || names_another(self.books, moment.program.as_deref(), seq.0);
        let its = match moment.kind {
            Kind::Began => of_it.began.is_none() && !ended && near,
            // Once is enough.
            Kind::Lost => !of_it.lost && !ended,
            _ => !ended && moment.at.0 >= step.at.0 - SAME_START_MS,
        };
        Ok(if its && !other {
            About::Plate(seq.0)
        } else {
            About::Unknown
        })
    }

    /// The plate that begins on a printer that is free on record: the one that the program names. Where
    /// the agent tells no program, the one that is next on it, if its time is near.
    async fn what_starts(&self, printer: &str, moment: &Moment) -> Result<About, WorkshopError> {
        let out = |one: &Outage| {
            let at = Minute::at_or_after(moment.at);
            let its = self.session.terrain.is_same_machine(&one.printer, printer);
            its && one.from <= at && at < one.until
        };
        let tested = self.session.outages.iter().any(out);
        if done_at(Some(moment.at), self.session.now).is_err() || tested {
            return Ok(About::Unknown);
        }
        let Some(ix) = self.session.terrain.printer_of(printer) else {
            return Ok(About::Unknown);
        };
        let books = self.books;
        if let Some(program) = moment.program.as_deref() {
            let Some(seq) = plate_named(program) else {
                return Ok(About::Unknown);
            };
            let kept = books.plate(seq).map(|kept| books.speaks_for(kept));
            let Some(kept) = kept.filter(|kept| waits(books, kept)) else {
                return Ok(About::Unknown);
            };
            let here = books.place(kept).is_some_and(|place| place.printer == ix);
            let is = here || self.was_there(kept, printer).await.is_ok();
            return Ok(if is {
                About::Start(Box::new(kept.clone()))
            } else {
                About::Unknown
            });
        }
        let places = books.floor.plan.assignments.iter();
        let here = places.filter(|place| place.printer == ix);
        let waiting = here.filter_map(|place| {
            let kept = books.speaks_for(books.plate(place.plate.0)?);
            waits(books, kept).then_some((place.start, kept))
        });
        let next = waiting.min_by_key(|(start, kept)| (*start, kept.plate.seq));
        let at = Minute::at_or_after(moment.at);
        Ok(match next.filter(|(start, _)| *start <= at + EARLY) {
            Some((_, kept)) => About::Start(Box::new(kept.clone())),
            None => About::Unknown,
        })
    }
}

/// Whether a plate is planned and nobody has started it.
fn waits(books: &Books, kept: &KeptPlate) -> bool {
    kept.state == PlateState::Open && books.step(kept.plate.seq.0, StepKind::Started).is_none()
}
