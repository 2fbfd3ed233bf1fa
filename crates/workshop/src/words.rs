//! Reasons in words, made last and from data.

use partpledge_planning::Reason;
use partpledge_units::chance::in_ten;
use partpledge_words::dates::Form;
use partpledge_words::{Said, said};

use crate::terrain::Terrain;

/// Why a pledge is not earlier.
pub(crate) fn reason(terrain: &Terrain, reason: &Reason) -> Said {
    let at = |minute| terrain.zone.moment(minute, Form::Short);
    match reason {
        Reason::FewPrinters { able, of } => {
            said!("reasons-few-printers", able = *able, of = *of)
        }
        Reason::StartsLater { printer, start } => {
            let name = &terrain.region.printers[printer.0].name;
            said!("reasons-starts-later", printer = name, start = at(*start))
        }
        Reason::WaitsForPeople { end, cleared } => said!(
            "reasons-waits-for-people",
            end = at(*end),
            cleared = at(*cleared)
        ),
        Reason::WaitsForLeg { ready, arrives } => said!(
            "reasons-waits-for-leg",
            ready = at(*ready),
            arrives = at(*arrives)
        ),
        Reason::RoomForReprint { nominal, by_then } => said!(
            "reasons-room-for-reprint",
            nominal = at(*nominal),
            n = in_ten(*by_then)
        ),
        Reason::RoomForDelay { nominal, by_then } => said!(
            "reasons-room-for-delay",
            nominal = at(*nominal),
            n = in_ten(*by_then)
        ),
    }
}
