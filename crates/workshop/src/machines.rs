//! Printers that say themselves what they do: which agents are asked, and what becomes of an answer.
//!
//! What was read last and what was said stand in the records. An answer is gone through moment by
//! moment, each written under a key of its own, and only then it is noted how far: after a kill in
//! between the same is read again, and done once. The rules stand in `docs/machines.md`.

mod says;
mod standing;

use partpledge_catalogue::region::AgentEntry;
use partpledge_machines::{
    Answer, Ask, Execution, Kind, LookAgain, Moment, ReadError, Story, Watch, WatchError, read,
};
use partpledge_records::{MachineRead, MachineWatch};
use partpledge_units::time::EventMs;
use partpledge_words::{Said, say};

use crate::actor::Actor;
use crate::bench::{AHEAD_MS, machine_says};
use crate::error::WorkshopError;
use crate::session::Session;

pub use says::{Ended, PlateSays};
pub(crate) use says::{SAME_START_MS, names_another, other_began, plate_named, told_of, word};
pub use standing::{Standing, State, standings};

/// An agent's clock may differ from ours by so much, ms: as a tablet's may.
pub const CLOCK_MS: i64 = AHEAD_MS;
/// More changes in one answer than a printer makes. Common practice, no source.
const MOST_MOMENTS: usize = 300;
/// More changes within [`HOUR_MS`] than a printer makes. Common practice, no source.
const MOST_AN_HOUR: usize = 40;
const HOUR_MS: i64 = 3_600_000;
/// What was said so long before may still matter: a run takes days at most.
pub(crate) const LOOK_BACK_MS: i64 = 4 * 24 * HOUR_MS;

/// A question to a printer's agent.
#[derive(Clone, Debug)]
pub struct Asked {
    /// Name of the printer.
    pub printer: String,
    /// Where to ask.
    pub address: String,
    ask: Ask,
    device: String,
    source: String,
    before: Option<MachineWatch>,
}

/// The printer's own clock is wrong, not the agent's.
const STAMPS: &str = "stamps";
const FLICKER: &str = "flicker";

/// What is wrong with an agent: a stable word for it, and plain words.
#[derive(Clone, Debug, PartialEq)]
struct Fault(&'static str, Said);

fn source(agent: &AgentEntry) -> String {
    format!("{} {}", agent.address, agent.device)
}

/// Names of the printers that have an agent, in the order of the region file.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for anybody but the server.
pub fn printers(session: &Session, actor: &Actor) -> Result<Vec<String>, WorkshopError> {
    actor.must_be_the_clock()?;
    let all = session.terrain.file.printers.iter();
    let with = all.filter(|entry| entry.agent.is_some());
    Ok(with.map(|entry| entry.name.clone()).collect())
}

/// What to ask a printer's agent next; `None` when it has none any more.
///
/// # Errors
/// As [`printers`]; [`WorkshopError::Store`].
pub async fn next(
    session: &Session,
    actor: &Actor,
    printer: &str,
) -> Result<Option<Asked>, WorkshopError> {
    actor.must_be_the_clock()?;
    let mut all = session.terrain.file.printers.iter();
    let entry = all.find(|entry| entry.name == printer);
    let Some(agent) = entry.and_then(|entry| entry.agent.as_ref()) else {
        return Ok(None);
    };
    let (store, region) = session.writable()?;
    let kept = store.machine_watches(region).await?;
    let before = kept.into_iter().find(|watch| watch.printer == printer);
    let source = source(agent);
    // Of another agent or device nothing is known.
    let same = before.as_ref().filter(|watch| watch.source == source);
    let at = same.and_then(|watch| watch.read.as_ref());
    let ask = at.map_or(Ask::Current, |at| Ask::Since(at.next));
    Ok(Some(Asked {
        printer: printer.to_owned(),
        address: ask.at(&agent.address),
        ask,
        device: agent.device.clone(),
        source,
        before,
    }))
}

impl Asked {
    fn at(&self) -> Option<&MachineRead> {
        let same = self.before.as_ref()?;
        same.read.as_ref().filter(|_| same.source == self.source)
    }

    /// The words and the beginning of that fault, if it is what was wrong last.
    fn known_fault(&self, code: &str) -> Option<(&Said, EventMs)> {
        let same = self.before.as_ref()?;
        let fault = same.fault.as_ref().filter(|_| same.source == self.source);
        let (known, words, since) = fault?;
        (known == code).then_some((words, *since))
    }
}

/// Takes an answer, or why none came; whether there is more to ask for.
///
/// # Errors
/// [`WorkshopError::NotAllowed`], [`WorkshopError::Store`], [`WorkshopError::Contended`]; nothing is
/// noted as read then. What is wrong with the answer is no error but written down.
pub async fn answered(
    session: &Session,
    actor: &Actor,
    asked: &Asked,
    answer: Result<Vec<u8>, Said>,
) -> Result<bool, WorkshopError> {
    actor.must_be_the_clock()?;
    let bytes = match answer {
        Ok(bytes) => bytes,
        Err(why) => {
            return keep(
                session,
                asked,
                asked.at().cloned(),
                (false, Some(Fault("silent", why))),
            )
            .await;
        }
    };
    let answer = match read(&bytes) {
        Ok(answer) => answer,
        // Asked from a number that it has not, or no longer has.
        Err(ReadError::OutOfRange) if asked.ask != Ask::Current => {
            keep(session, asked, None, (true, None)).await?;
            return Ok(true);
        }
        Err(error) => {
            let fault = Fault("unread", unread(&error));
            return keep(session, asked, asked.at().cloned(), (true, Some(fault))).await;
        }
    };
    match go_on(asked, &answer) {
        Went::Again => {
            keep(session, asked, None, (true, None)).await?;
            Ok(true)
        }
        Went::Not(fault) => keep(session, asked, None, (true, Some(fault))).await,
        Went::On(story) => {
            let fault = match clock_fault(asked, &answer, session.now) {
                None => flicker(session, asked, &story).await?,
                fault => fault,
            };
            let whose = (asked.printer.as_str(), story.watch.instance);
            // Nothing is known of before the first answer of an agent, nor of what is not taken.
            if asked.at().is_none() || (fault.is_some() && !story.moments.is_empty()) {
                machine_says(session, whose, &lost(&story.watch, session.now)).await?;
            }
            for moment in story.moments.iter().filter(|_| fault.is_none()) {
                machine_says(session, whose, moment).await?;
            }
            let kept = Some(to_kept(asked, &story.watch, &answer));
            keep(session, asked, kept, (true, fault)).await?;
            Ok(story.more)
        }
    }
}

/// That it was out of hearing until now.
fn lost(watch: &Watch, now: EventMs) -> Moment {
    Moment {
        sequence: watch.next,
        at: now,
        kind: Kind::Lost,
        program: watch.program.clone(),
    }
}

enum Went {
    On(Story),
    /// What holds now is to be asked for.
    Again,
    Not(Fault),
}

fn go_on(asked: &Asked, answer: &Answer) -> Went {
    let device = asked.device.as_str();
    let Some(watch) = asked.at().and_then(from_kept) else {
        return match Watch::begin(answer, device) {
            Ok(watch) => Went::On(Story {
                watch,
                moments: Vec::new(),
                more: false,
            }),
            Err(error) => Went::Not(Fault("device", unwatched(&error))),
        };
    };
    match watch.go_on(answer, device) {
        Ok(story) => Went::On(story),
        Err(LookAgain::Restarted | LookAgain::Overrun) => Went::Again,
    }
}

/// Why an answer can't be read, in words.
fn unread(error: &ReadError) -> Said {
    match error {
        ReadError::TooLarge => say("machines-answer-large"),
        ReadError::NotText => say("machines-answer-no-text"),
        ReadError::Broken => say("machines-answer-broken"),
        ReadError::DocType => say("machines-answer-doctype"),
        ReadError::TooDeep => say("machines-answer-deep"),
        ReadError::TooMany => say("machines-answer-many"),
        ReadError::NotStreams => say("machines-answer-other"),
        ReadError::Missing(what) => say("machines-answer-missing").with("what", *what),
        ReadError::Bad(what) => say("machines-answer-bad").with("what", *what),
        ReadError::OutOfRange => say("machines-answer-no-numbers"),
        ReadError::Refused => say("machines-answer-refused"),
    }
}

/// Why a machine can't be watched, in words.
fn unwatched(error: &WatchError) -> Said {
    match error {
        WatchError::NoDevice => say("machines-no-device"),
        WatchError::NoExecution => say("machines-no-execution"),
        WatchError::Several => say("machines-several-executions"),
    }
}

/// How far a clock is off: the agent's, or the printer's own.
fn off_by(of_agent: bool, off_ms: i64) -> Said {
    let minutes = off_ms.saturating_abs() / 60_000;
    match (of_agent, off_ms > 0) {
        (true, true) => say("machines-agent-fast").with("minutes", minutes),
        (true, false) => say("machines-agent-slow").with("minutes", minutes),
        (false, true) => say("machines-own-fast").with("minutes", minutes),
        (false, false) => say("machines-own-slow").with("minutes", minutes),
    }
}

/// Times of an agent or a printer whose clock is wrong are not taken. The agent's is held against ours;
/// the printer's, which stamps what it says, against the agent's: what is new was not heard before the
/// answer before it.
fn clock_fault(asked: &Asked, answer: &Answer, now: EventMs) -> Option<Fault> {
    let made_at = answer.header.made_at;
    let off = made_at.0.saturating_sub(now.0);
    if off.saturating_abs() > CLOCK_MS {
        return Some(Fault("clock", off_by(true, off)));
    }
    let own = answer.device(&asked.device).into_iter();
    let own = own.flat_map(|device| &device.observations);
    let before = asked
        .at()
        .filter(|at| at.instance == answer.header.instance);
    let new: Vec<i64> = own
        .filter(|one| before.is_none_or(|at| one.sequence >= at.next))
        .map(|one| one.at.0)
        .collect();
    let ahead = |at: &i64| at.saturating_sub(now.0);
    let behind = |at: &i64| {
        let heard = before.and_then(|at| at.whole_until_ms);
        heard.map_or(0, |heard| at.saturating_sub(heard))
    };
    let fast = new.iter().map(ahead).max().unwrap_or(0).max(0);
    let slow = new.iter().map(behind).min().unwrap_or(0).min(0);
    let off = if fast > CLOCK_MS { fast } else { slow };
    if off.saturating_abs() > CLOCK_MS {
        return Some(Fault(STAMPS, off_by(false, off)));
    }
    // Until it says something with a time that can be, its clock is as wrong as it was.
    let known = asked.known_fault(STAMPS).filter(|_| new.is_empty());
    known.map(|(words, _)| Fault(STAMPS, words.clone()))
}

/// A printer that changes all the time is broken, or somebody plays with it: an hour long nothing of it is
/// taken.
async fn flicker(
    session: &Session,
    asked: &Asked,
    story: &Story,
) -> Result<Option<Fault>, WorkshopError> {
    let hour_ago = EventMs(session.now.0.saturating_sub(HOUR_MS));
    if let Some((words, _)) = asked
        .known_fault(FLICKER)
        .filter(|(_, since)| *since > hour_ago)
    {
        return Ok(Some(Fault(FLICKER, words.clone())));
    }
    let many = story.moments.len();
    if many > MOST_MOMENTS {
        let words = say("machines-flickers").with("n", many);
        return Ok(Some(Fault(FLICKER, words)));
    }
    let new = story.moments.iter().filter(|one| one.at >= hour_ago);
    let new = new.count();
    if new == 0 {
        return Ok(None);
    }
    let (store, region) = session.writable()?;
    let said = store.moments_of_machine(region, &asked.printer, hour_ago);
    let many = new + said.await?.len();
    let words = say("machines-flickers-hour").with("n", many);
    Ok((many > MOST_AN_HOUR).then_some(Fault(FLICKER, words)))
}

fn to_kept(asked: &Asked, watch: &Watch, answer: &Answer) -> MachineRead {
    // What it has not sent yet it may have heard long ago.
    let whole = answer.header.next > answer.header.last;
    let before = asked.at().and_then(|at| at.whole_until_ms);
    MachineRead {
        whole_until_ms: if whole {
            Some(answer.header.made_at.0)
        } else {
            before
        },
        instance: watch.instance,
        next: watch.next,
        item: watch.item.clone(),
        execution: watch.execution.as_str().to_owned(),
        since_ms: watch.since.0,
        busy: watch.busy,
        program: watch.program.clone(),
    }
}

fn from_kept(kept: &MachineRead) -> Option<Watch> {
    Some(Watch {
        instance: kept.instance,
        next: kept.next,
        item: kept.item.clone(),
        execution: Execution::parse(&kept.execution)?,
        since: EventMs(kept.since_ms),
        busy: kept.busy,
        program: kept.program.clone(),
    })
}

/// Writes down how far an agent was read; `false`, so that nothing more is asked for.
async fn keep(
    session: &Session,
    asked: &Asked,
    read: Option<MachineRead>,
    (heard, fault): (bool, Option<Fault>),
) -> Result<bool, WorkshopError> {
    let (store, region) = session.writable()?;
    let before = asked.before.as_ref();
    let same = before.filter(|watch| watch.source == asked.source);
    let fault = fault.map(|Fault(code, words)| {
        let known = same.and_then(|watch| watch.fault.as_ref());
        let since = known.filter(|(known, ..)| known == code);
        let since = since.map_or(session.now, |(_, _, since)| *since);
        (code.to_owned(), words, since)
    });
    let watch = MachineWatch {
        printer: asked.printer.clone(),
        turn: before.map_or(0, |watch| watch.turn),
        source: asked.source.clone(),
        heard_at: if heard {
            Some(session.now)
        } else {
            same.and_then(|watch| watch.heard_at)
        },
        fault,
        read,
    };
    // Another server that was faster has read the same.
    store.keep_machine_watch(region, &watch).await?;
    Ok(false)
}
