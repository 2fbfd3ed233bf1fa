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

/// A printer's line.
pub(crate) fn line(session: &Session, standing: &Standing) -> MachineLine {
    let mut says = says(session, &standing.state);
    if standing.alone {
        says.push_str(
            " Nobody is there by the bench’s hours, and it may not run alone. An adult must see to it \
             now, by your site’s rules.",
        );
    }
    let calls = !matches!(
        standing.state,
        State::Rests | State::Runs { plate: Some(_), .. }
    );
    MachineLine {
        printer: standing.printer.clone(),
        host: standing.host.clone(),
        says,
        calls: calls || standing.alone,
    }
}

/// Lines for whoever runs the region: only of what is wrong with an agent, or runs alone.
pub(crate) fn troubled(session: &Session, all: &[Standing]) -> Vec<MachineLine> {
    let wrong = |one: &&Standing| {
        let agent = matches!(
            one.state,
            State::NotAsked | State::Faulty { .. } | State::Unavailable { .. }
        );
        agent || one.alone
    };
    all.iter()
        .filter(wrong)
        .map(|one| line(session, one))
        .collect()
}

fn says(session: &Session, state: &State) -> String {
    let at = |when: &EventMs| at(session, *when);
    match state {
        State::NotAsked => {
            "Its agent was never read: the server must be started with --read-printers. Tick by hand."
                .to_owned()
        }
        State::Faulty { code, since, .. } if code == "silent" => format!(
            "Its agent has not answered since {}. Tick by hand until it does.",
            at(since)
        ),
        State::Faulty { code, words, .. } if code == "clock" => format!(
            "{}, so its times are not taken. Set it right, and tick by hand until then.",
            words::capital(words)
        ),
        State::Faulty { words, since, .. } => format!(
            "We can’t read its agent since {}: {words}. Tick by hand.",
            at(since)
        ),
        State::Unavailable { since } => format!(
            "Its agent has had no word of it since {}. Tick by hand.",
            at(since)
        ),
        State::Rests => "It says it is ready.".to_owned(),
        State::Runs {
            plate: Some(plate),
            since,
        } => format!("It says it runs plate {plate}, since {}.", at(since)),
        State::Runs { plate: None, since } => format!(
            "It says it has run since {}, and we don’t know what. If it is a plate of this sheet, take \
             off what was on it, and tick its start.",
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
            "It says plate {plate} ended at {}: take it off.",
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
