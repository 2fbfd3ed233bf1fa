//! What printers say of themselves, in a line each.

use partpledge_units::time::{EventMs, Minute};
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

/// When it was, in words, rounded up as all steps are.
pub(crate) fn at(session: &Session, at: EventMs) -> String {
    let minute = Minute::at_or_after(at);
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
        return " Nobody is there by the bench’s hours, and it may not run alone. An adult must see to \
                it now, by your site’s rules."
            .to_owned();
    }
    format!(
        " It may not run alone, and may not be done when the last people leave {}. An adult must see \
         to it before, by your site’s rules.",
        words::time(&session.terrain.zone, from, session.minute())
    )
}

/// Why a printer can't be heard, for whoever may do something about it; `None` when it can.
fn cause(session: &Session, state: &State) -> Option<String> {
    let at = |when: &EventMs| at(session, *when);
    Some(match state {
        State::NotAsked => {
            "Its agent was never read: the server must be started with --read-printers.".to_owned()
        }
        State::Faulty { code, since, words } if code == "silent" => {
            format!("Its agent has not answered since {}: {words}.", at(since))
        }
        State::Faulty { code, words, .. } if code == "clock" || code == "stamps" => format!(
            "{}, so its times are not taken. Set it right.",
            words::capital(words)
        ),
        State::Faulty { words, since, .. } => {
            format!("Its agent can’t be read since {}: {words}.", at(since))
        }
        State::Unavailable { since } => {
            format!("Its agent has had no word of it since {}.", at(since))
        }
        _ => return None,
    })
}

fn says(session: &Session, state: &State) -> String {
    let at = |when: &EventMs| at(session, *when);
    match state {
        State::NotAsked => "It has told us nothing yet. Tick by hand.".to_owned(),
        State::Faulty { since, .. } => format!(
            "What it does since {} we can’t tell. Look at it, and tick by hand. The coordinator sees why.",
            at(since)
        ),
        State::Unavailable { since } => format!(
            "It has told nothing since {}: it may be off. Look at it, and tick by hand.",
            at(since)
        ),
        State::Rests => "It says it is ready.".to_owned(),
        State::Runs {
            plate: Some(plate),
            since,
        } => format!("It says it runs plate {plate}, since {}.", at(since)),
        State::Runs { plate: None, since } => format!(
            "It says it has run since {}, and we don’t know what. Keep your hands out, it moves. If it is a \
             plate of this sheet, first say what came of the one before it, then tick its start.",
            at(since)
        ),
        State::Halted { plate, since } => {
            let what = plate.map_or_else(|| "it".to_owned(), |plate| format!("plate {plate}"));
            format!(
                "It says {what} stands still since {}: look at it. Keep your hands out, it may move \
                 again by itself.",
                at(since)
            )
        }
        State::Ended { plate, ended } if ended.stopped => format!(
            "It says plate {plate} stopped at {}, before its end: look at it, and say what came of it.",
            at(&ended.at)
        ),
        State::Ended { plate, ended } => format!(
            "It says plate {plate} ended at {}: take it off when it has cooled.",
            at(&ended.at)
        ),
        State::EndedUnseen { plate } => format!(
            "It does nothing any more, and did not tell when plate {plate} ended: look at it."
        ),
        State::NotBegun { plate } => {
            format!("Plate {plate} is ticked as started, and it says that it has not begun.")
        }
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
