//! What printers say of themselves, for programs.

use partpledge_units::local::rfc3339_utc;
use partpledge_workshop::Session;
use partpledge_workshop::machines::{Standing, State};
use serde::Serialize;
use utoipa::ToSchema;

use crate::pages::machines::line;

/// What a printer that has an agent says of itself.
#[derive(Serialize, ToSchema)]
#[schema(as = PrinterSays)]
pub(crate) struct PrinterSaysOut {
    printer: String,
    /// `not-asked`, `faulty`, `unavailable`, `rests`, `runs`, `halted`, `ended`, `ended-unseen` or
    /// `not-begun`.
    state: &'static str,
    /// Number of the plate that it is about, as far as that is on record.
    #[serde(skip_serializing_if = "Option::is_none")]
    plate: Option<u64>,
    /// Since when, or when it ended.
    #[schema(format = DateTime)]
    #[serde(skip_serializing_if = "Option::is_none")]
    at: Option<String>,
    /// Whether it runs with nobody there by the bench's hours, and may not run alone.
    alone: bool,
    /// From when on that is so, or will be before what runs on it is expected to end.
    #[schema(format = DateTime)]
    #[serde(skip_serializing_if = "Option::is_none")]
    alone_from: Option<String>,
    /// The same in words.
    says: String,
}

impl PrinterSaysOut {
    pub(crate) fn new(session: &Session, standing: &Standing) -> Self {
        let (state, plate, at) = match &standing.state {
            State::NotAsked => ("not-asked", None, None),
            State::Faulty { since, .. } => ("faulty", None, Some(*since)),
            State::Unavailable { since } => ("unavailable", None, Some(*since)),
            State::Rests => ("rests", None, None),
            State::Runs { plate, since } => ("runs", *plate, Some(*since)),
            State::Halted { plate, since } => ("halted", *plate, Some(*since)),
            State::Ended { plate, ended } => ("ended", Some(*plate), Some(ended.at)),
            State::EndedUnseen { plate } => ("ended-unseen", Some(*plate), None),
            State::NotBegun { plate } => ("not-begun", Some(*plate), None),
        };
        Self {
            printer: standing.printer.clone(),
            state,
            plate,
            at: at.map(rfc3339_utc),
            alone: standing
                .alone_from
                .is_some_and(|from| from <= session.minute()),
            alone_from: standing.alone_from.map(|from| rfc3339_utc(from.to_ms())),
            says: line(session, standing).says,
        }
    }
}
