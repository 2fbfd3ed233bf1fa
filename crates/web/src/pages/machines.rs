//! What printers say of themselves, in a line each.

use partpledge_units::time::{EventMs, Minute};
use partpledge_words::say;
use partpledge_workshop::Session;
use partpledge_workshop::machines::{Standing, State};

use crate::words;

/// A printer's line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct MachineLine {
    pub(crate) printer: String,
    pub(crate) host: String,
    pub(crate) says: String,
    /// Whether somebody has something to do about it.
    pub(crate) calls: bool,
}

/// When it was, in words.
pub(crate) fn at(session: &Session, at: EventMs) -> String {
    let minute = Minute::at_or_before(at);
    words::time(&session.terrain.zone, minute, session.minute())
}

/// A printer's line for its bench: what to do. Whoever runs the region reads why it can't be heard.
pub(crate) fn line(session: &Session, standing: &Standing) -> MachineLine {
    with_alone(session, standing, says(session, &standing.state))
}

/// Lines for whoever runs the region: only of what is wrong with an agent, or runs alone.
pub(crate) fn troubled(session: &Session, all: &[Standing]) -> Vec<MachineLine> {
    let one = |one: &Standing| match cause(session, &one.state) {
        Some(cause) => Some(with_alone(session, one, cause)),
        None => one.alone_from.map(|_| line(session, one)),
    };
    all.iter().filter_map(one).collect()
}

fn with_alone(session: &Session, standing: &Standing, says: String) -> MachineLine {
    let mut says = says;
    if let Some(from) = standing.alone_from {
        says.push(' ');
        says.push_str(&alone(session, from));
    }
    let calls = !matches!(
        standing.state,
        State::Rests | State::Runs { plate: Some(_), .. }
    );
    MachineLine {
        printer: standing.printer.clone(),
        host: standing.host.clone(),
        says,
        calls: calls || standing.alone_from.is_some(),
    }
}

/// That nobody is there from that minute on while it runs.
fn alone(session: &Session, from: Minute) -> String {
    if from <= session.minute() {
        return say!("machines-alone-now");
    }
    let time = words::time(&session.terrain.zone, from, session.minute());
    say!("machines-alone-soon", time = time)
}

/// Why a printer can't be heard, for whoever may do something about it; `None` when it can.
fn cause(session: &Session, state: &State) -> Option<String> {
    let at = |when: &EventMs| at(session, *when);
    Some(match state {
        State::NotAsked => say!("machines-never-read"),
        State::Faulty { code, since, words } if code == "silent" => {
            say!("machines-silent", time = at(since), why = words)
        }
        State::Faulty { code, words, .. } if code == "clock" || code == "stamps" => {
            say!("machines-clock", what = words::capital(words))
        }
        State::Faulty { words, since, .. } => {
            say!("machines-unreadable", time = at(since), why = words)
        }
        State::Unavailable { since } => say!("machines-no-word", time = at(since)),
        _ => return None,
    })
}

fn says(session: &Session, state: &State) -> String {
    let at = |when: &EventMs| at(session, *when);
    match state {
        State::NotAsked => say!("machines-not-asked"),
        State::Faulty { since, .. } => say!("machines-faulty", time = at(since)),
        State::Unavailable { since } => say!("machines-unavailable", time = at(since)),
        State::Rests => say!("machines-rests"),
        State::Runs {
            plate: Some(plate),
            since,
        } => say!("machines-runs", plate = plate, time = at(since)),
        State::Runs { plate: None, since } => say!("machines-runs-something", time = at(since)),
        State::Halted {
            plate: Some(plate),
            since,
        } => say!("machines-halted", plate = plate, time = at(since)),
        State::Halted { plate: None, since } => {
            say!("machines-halted-something", time = at(since))
        }
        State::Ended { plate, ended } if ended.stopped => {
            say!("machines-stopped", plate = plate, time = at(&ended.at))
        }
        State::Ended { plate, ended } => {
            say!("machines-ended", plate = plate, time = at(&ended.at))
        }
        State::EndedUnseen { plate } => say!("machines-ended-unseen", plate = plate),
        State::NotBegun { plate } => say!("machines-not-begun", plate = plate),
    }
}

/// A line with awkward words.
#[cfg(test)]
pub(crate) fn sample() -> MachineLine {
    let awkward = || crate::pages::samples::AWKWARD.to_owned();
    MachineLine {
        printer: awkward(),
        host: awkward(),
        says: awkward(),
        calls: true,
    }
}
