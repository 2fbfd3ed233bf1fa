//! How each printer stands by its own word, held against what is on record.

use partpledge_machines::{Execution, Group};
use partpledge_planning_model::PrinterIx;
use partpledge_records::{MachineMoment, MachineRead, MachineWatch, StepKind};
use partpledge_units::time::{EventMs, Minute, Minutes};
use partpledge_words::{Said, say};

use super::says::{Ended, names_another, other_began, told_of};
use super::{LOOK_BACK_MS, source};
use crate::books::Books;
use crate::error::WorkshopError;
use crate::session::Session;

/// An agent that does not answer for so long is silent. Common practice, no source.
const SILENT_MS: i64 = 10 * 60_000;
/// A printer that does nothing so long after somebody ticked its start is worth a look. Common practice,
/// no source.
const NOT_BEGUN_MS: i64 = 10 * 60_000;
/// So long before people leave they read that a printer will be alone, where nobody knows when it ends. Common
/// practice, no source.
const LEAVING_SOON: Minutes = Minutes(60);

/// What a printer does, by its own word.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum State {
    /// Its agent was never asked.
    NotAsked,
    /// Its agent does not answer, or not so that it can be taken.
    Faulty {
        /// `silent`, `unread`, `device`, `clock`, `stamps` or `flicker`.
        code: String,
        /// What is wrong, in plain words of the tongue being spoken.
        words: String,
        /// Since when, by our clock.
        since: EventMs,
    },
    /// The agent answers, and has no word of the printer.
    Unavailable {
        /// Since when.
        since: EventMs,
    },
    /// It does nothing, and nothing is to be done.
    Rests,
    /// It runs.
    Runs {
        /// The plate, as far as that is on record.
        plate: Option<u64>,
        /// Since when.
        since: EventMs,
    },
    /// It stands still in the middle of something.
    Halted {
        /// The plate, as far as that is on record.
        plate: Option<u64>,
        /// Since when.
        since: EventMs,
    },
    /// A plate on it has ended, and is to be taken off.
    Ended {
        /// Which.
        plate: u64,
        /// When and how.
        ended: Ended,
    },
    /// It does nothing any more, and when the plate on it ended it has not told.
    EndedUnseen {
        /// Which.
        plate: u64,
    },
    /// Somebody ticked a start, and it has not begun.
    NotBegun {
        /// Which.
        plate: u64,
    },
}

/// A printer that has an agent.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standing {
    /// Its name.
    pub printer: String,
    /// Name of the host where it stands now.
    pub host: String,
    /// What it does.
    pub state: State,
    /// From when on nobody is there by the bench's hours while it runs, and it may not run alone: now, or
    /// before what runs on it is expected to end.
    pub alone_from: Option<Minute>,
}

impl Standing {
    /// The plate that it speaks of, as far as that is on record.
    #[must_use]
    pub fn plate(&self) -> Option<u64> {
        match self.state {
            State::Runs { plate, .. } | State::Halted { plate, .. } => plate,
            State::Ended { plate, .. }
            | State::EndedUnseen { plate }
            | State::NotBegun { plate } => Some(plate),
            State::NotAsked | State::Faulty { .. } | State::Unavailable { .. } | State::Rests => {
                None
            }
        }
    }
}

/// How every printer with an agent stands, in the order of the region file.
///
/// # Errors
/// [`WorkshopError::Store`].
pub async fn standings(session: &Session, books: &Books) -> Result<Vec<Standing>, WorkshopError> {
    let terrain = &session.terrain;
    let with = terrain.file.printers.iter();
    let with: Vec<_> = with.filter(|entry| entry.agent.is_some()).collect();
    if with.is_empty() {
        return Ok(Vec::new());
    }
    let (store, region) = session.writable()?;
    let watches = store.machine_watches(region).await?;
    let since = EventMs(session.now.0.saturating_sub(LOOK_BACK_MS));
    let lately = store.machine_moments_since(region, since).await?;
    let mut out = Vec::new();
    for entry in with {
        let (Some(ix), Some(agent)) = (terrain.printer_of(&entry.name), &entry.agent) else {
            continue;
        };
        let source = source(agent);
        let mut all = watches.iter();
        let watch = all.find(|one| one.printer == entry.name && one.source == source);
        let state = state(session, books, (&entry.name, watch), &lately);
        let alone_from = match &state {
            State::Runs { plate, .. } | State::Halted { plate, .. }
                if entry.unattended_permission.is_none() =>
            {
                let now = session.minute();
                match expected_end(session, books, *plate) {
                    Some(end) => alone_from(session, ix, end),
                    // Nobody knows when it ends: said while people are still there to see to it.
                    None => alone_from(session, ix, Minute(i64::MAX))
                        .filter(|from| *from <= now + LEAVING_SOON),
                }
            }
            _ => None,
        };
        out.push(Standing {
            printer: entry.name.clone(),
            host: terrain.host_at(ix, session.minute()).to_owned(),
            state,
            alone_from,
        });
    }
    Ok(out)
}

/// When what runs is expected to end; `None` for what is late, or not known.
fn expected_end(session: &Session, books: &Books, plate: Option<u64>) -> Option<Minute> {
    let kept = books.plate(plate?)?;
    let place = books.place(kept)?;
    // What may not run alone is planned as stopped when people leave; by itself it would go on.
    let mut makings = kept.plate.makings.iter();
    let making = makings.find(|making| making.printer == place.printer);
    let whole = making.map_or(place.end, |making| place.start + making.reserved);
    let end = place.end.max(whole);
    (end > session.minute()).then_some(end)
}

/// The first minute from now until then at which nobody is there by the bench's hours.
fn alone_from(session: &Session, printer: PrinterIx, until: Minute) -> Option<Minute> {
    let region = &session.terrain.region;
    let site = region.printers[printer.0].site_at(session.minute());
    let staffed = region.sites[site.0].staffed.as_slice();
    let mut at = session.minute();
    while let Some(window) = staffed
        .iter()
        .find(|one| (one.from..one.until).contains(&at))
    {
        at = window.until;
        if at >= until {
            return None;
        }
    }
    Some(at)
}

fn state(
    session: &Session,
    books: &Books,
    (printer, watch): (&str, Option<&MachineWatch>),
    lately: &[MachineMoment],
) -> State {
    let Some(watch) = watch else {
        return State::NotAsked;
    };
    let long_ago = |at: EventMs| session.now.0 - at.0 > SILENT_MS;
    let silent = |(code, words, since): &(String, Said, EventMs)| {
        let since = match code.as_str() {
            "silent" => watch.heard_at.unwrap_or(*since),
            _ => *since,
        };
        // What was never read is no better for a short silence.
        let counts = code != "silent" || watch.read.is_none() || long_ago(since);
        counts.then(|| State::Faulty {
            code: code.clone(),
            words: words.to_string(),
            since,
        })
    };
    if let Some(fault) = watch.fault.as_ref().and_then(silent) {
        return fault;
    }
    match (watch.heard_at, &watch.read) {
        (Some(heard), _) if long_ago(heard) => State::Faulty {
            code: "silent".to_owned(),
            words: say!("machines-why-forgotten"),
            since: heard,
        },
        (_, Some(read)) => by_word(session, books, (printer, read), lately),
        (_, None) => State::NotAsked,
    }
}

fn by_word(
    session: &Session,
    books: &Books,
    (printer, read): (&str, &MachineRead),
    lately: &[MachineMoment],
) -> State {
    let since = EventMs(read.since_ms);
    let group = Execution::parse(&read.execution).map_or(Group::Unknown, Execution::group);
    let running = books.running();
    let on_it = running.iter().filter(|(_, _, name)| name == printer);
    let on_it = on_it.max_by_key(|(_, start, _)| *start);
    let step = on_it.and_then(|(seq, ..)| books.step(seq.0, StepKind::Started));
    let said = step.map(|step| told_of(lately, (printer, step.plate)).since(step.at));
    let ended = said.and_then(|said| said.ended);
    let other = step.is_some_and(|step| {
        other_began(lately, printer, step.at)
            || names_another(books, read.program.as_deref(), step.plate)
    });
    let plate = step.filter(|_| ended.is_none() && !other);
    let plate = plate.map(|step| step.plate);
    match (group, step, ended) {
        (Group::Unknown, ..) => State::Unavailable { since },
        (Group::Runs, ..) => State::Runs { plate, since },
        (Group::Halts, ..) if read.busy => State::Halted { plate, since },
        // It holds still, and may go on: nobody is to take anything off it now.
        (Group::Halts, Some(_), Some(_)) => State::Halted { plate: None, since },
        (_, Some(step), Some(ended)) => State::Ended {
            plate: step.plate,
            ended,
        },
        (_, Some(step), None) if since >= step.at => State::EndedUnseen { plate: step.plate },
        (_, Some(step), None) if session.now.0 - step.at.0 > NOT_BEGUN_MS => {
            State::NotBegun { plate: step.plate }
        }
        _ => State::Rests,
    }
}
