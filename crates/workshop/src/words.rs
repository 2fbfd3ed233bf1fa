//! Reasons and alternatives in words, made last and from data.

use partpledge_planning::{Alternative, Ask, Reason};
use partpledge_units::chance::in_ten;

use crate::terrain::Terrain;

/// Why a pledge is not earlier.
pub(crate) fn reason(terrain: &Terrain, reason: &Reason) -> String {
    let at = |minute| terrain.zone.short(minute);
    match reason {
        Reason::FewPrinters { able, of } => {
            format!("Only {able} of {of} printers take this size and material.")
        }
        Reason::StartsLater { printer, start } => {
            let name = &terrain.region.printers[printer.0].name;
            format!(
                "{name} is free, with somebody there to start it, on {}.",
                at(*start)
            )
        }
        Reason::WaitsForPeople { end, cleared } => {
            format!(
                "It is done by {}; somebody takes it off on {}.",
                at(*end),
                at(*cleared)
            )
        }
        Reason::WaitsForLeg { ready, arrives } => {
            format!(
                "The box is ready on {}; it reaches you on {}.",
                at(*ready),
                at(*arrives)
            )
        }
        Reason::RoomForReprint { nominal, by_then } => {
            let times = in_ten(*by_then);
            format!(
                "If nothing fails it comes on {} ({times} times in ten); the pledge leaves room for a reprint.",
                at(*nominal)
            )
        }
    }
}

/// What would be different.
pub(crate) fn alternative(terrain: &Terrain, ask: &Ask, other: &Alternative) -> String {
    let printer = &terrain.region.printers[other.printer.0].name;
    let host = terrain.host_at(other.printer, other.start);
    let way = &ask.ways[other.way];
    if way.plates.iter().map(|plate| plate.copies).sum::<u32>() == 1 {
        return format!("on {printer} at {host}");
    }
    format!("{}, on {printer} at {host}", way.label)
}

/// A text that goes on from others.
pub(crate) fn first_small(text: &str) -> String {
    let mut chars = text.chars();
    let first = chars.next().map(char::to_lowercase);
    first.into_iter().flatten().chain(chars).collect()
}
