//! Printers that say themselves what they do: which agents are asked, and what becomes of an answer.
//!
//! What was read last and what was said stand in the records. An answer is gone through moment by
//! moment, each written under a key of its own, and only then it is noted how far: after a kill in
//! between the same is read again, and done once. The rules stand in `docs/machines.md`.

mod says;
mod standing;

use partpledge_catalogue::region::AgentEntry;
use partpledge_machines::{Answer, Ask, Execution, LookAgain, ReadError, Story, Watch, read};
use partpledge_records::{MachineRead, MachineWatch};
use partpledge_units::time::EventMs;

use crate::actor::Actor;
use crate::bench::{AHEAD_MS, machine_says};
use crate::error::WorkshopError;
use crate::session::Session;

pub(crate) use says::{BEGAN, SAME_START_MS, by_plate, plate_named, told, word};
pub use says::{Ended, PlateSays};
pub(crate) use standing::Lately;
pub use standing::{Standing, State, standings};

/// An agent's clock may differ from ours by so much, ms: as a tablet's may.
pub const CLOCK_MS: i64 = AHEAD_MS;
/// More changes in one answer than a printer makes. Common practice, no source.
const MOST_MOMENTS: usize = 300;

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

/// What is wrong with an agent: a stable word for it, and plain words.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Fault(&'static str, String);

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
    answer: Result<Vec<u8>, String>,
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
        Err(ReadError::Refused { .. }) if asked.ask != Ask::Current => {
            keep(session, asked, None, (true, None)).await?;
            return Ok(true);
        }
        Err(error) => {
            let fault = Fault("unread", error.to_string());
            return keep(session, asked, asked.at().cloned(), (true, Some(fault))).await;
        }
    };
    let wrong_clock = clock_fault(&answer, &asked.device, session.now);
    match go_on(asked, &answer) {
        Went::Again => {
            keep(session, asked, None, (true, None)).await?;
            Ok(true)
        }
        Went::Not(fault) => keep(session, asked, None, (true, Some(fault))).await,
        Went::On(story) => {
            let many = story.moments.len();
            let fault = wrong_clock.or_else(|| {
                let words = format!("it changed {many} times in one answer, which no printer does");
                (many > MOST_MOMENTS).then_some(Fault("flicker", words))
            });
            if fault.is_none() {
                for moment in &story.moments {
                    let whose = (asked.printer.as_str(), story.watch.instance);
                    machine_says(session, whose, moment).await?;
                }
            }
            let kept = Some(to_kept(&story.watch));
            keep(session, asked, kept, (true, fault)).await?;
            Ok(story.more)
        }
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
            Err(error) => Went::Not(Fault("device", error.to_string())),
        };
    };
    match watch.go_on(answer, device) {
        Ok(story) => Went::On(story),
        Err(LookAgain::Restarted | LookAgain::Overrun) => Went::Again,
    }
}

/// Times of an agent whose clock is wrong are not taken.
fn clock_fault(answer: &Answer, device: &str, now: EventMs) -> Option<Fault> {
    let off = answer.header.made_at.0.saturating_sub(now.0);
    let own = answer.device(device).into_iter();
    let times = own.flat_map(|device| device.observations.iter().map(|one| one.at.0));
    let ahead = times.max().unwrap_or(i64::MIN).saturating_sub(now.0);
    let off = if off.saturating_abs() > CLOCK_MS {
        off
    } else {
        ahead.max(0)
    };
    (off.saturating_abs() > CLOCK_MS).then(|| {
        let way = if off > 0 { "fast" } else { "slow" };
        let minutes = off.saturating_abs() / 60_000;
        Fault("clock", format!("its clock is {minutes} minutes {way}"))
    })
}

fn to_kept(watch: &Watch) -> MachineRead {
    MachineRead {
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
        let words = words.chars().take(200).collect();
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
