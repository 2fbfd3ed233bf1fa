//! Why a pledge is not earlier: data, made into words last.

use partpledge_planning_model::{Assignment, Making, PrinterIx};
use partpledge_units::time::{Minute, Minutes};

use crate::ground::Ground;
use crate::quote::{Ask, Quote};

/// One thing that holds a pledge back.
#[derive(Clone, Debug, PartialEq)]
pub enum Reason {
    /// Only some of the region's printers take this size and material.
    FewPrinters {
        /// How many do.
        able: usize,
        /// Of how many.
        of: usize,
    },
    /// The printer is kept for other plates, or nobody is there, until then.
    StartsLater {
        /// The printer.
        printer: PrinterIx,
        /// When somebody starts it.
        start: Minute,
    },
    /// It is done when nobody is there to take it off.
    WaitsForPeople {
        /// When the printer is done.
        end: Minute,
        /// When somebody clears it.
        cleared: Minute,
    },
    /// The box waits for the next leg.
    WaitsForLeg {
        /// When the box is ready.
        ready: Minute,
        /// When the team holds it.
        arrives: Minute,
    },
    /// If all goes well it comes earlier; the pledge leaves room for a reprint.
    RoomForReprint {
        /// Hand-over if nothing goes wrong.
        nominal: Minute,
        /// Share of worlds that have it by then.
        by_then: f64,
    },
}

/// Shortest wait that is worth a reason.
const WORTH_SAYING: Minutes = Minutes(60);

/// What holds a quote back: room for a reprint first, then the waits of the slot that arrives
/// last, longest first, then what the choice of printers does.
pub(crate) fn of_quote(
    ground: &Ground<'_>,
    ask: &Ask,
    quote: &Quote,
    last: &Assignment,
) -> Vec<Reason> {
    let mut out = Vec::new();
    if quote.arrival > quote.nominal {
        out.push(Reason::RoomForReprint {
            nominal: quote.nominal,
            by_then: quote.chance_by(quote.nominal),
        });
    }
    out.extend(waits(last, ask.now));
    let plates = &ask.ways[quote.way].plates;
    let Some(plate) = plates.iter().find(|plate| plate.seq == last.plate) else {
        return out;
    };
    let of = ground.region().printers.len();
    let takes = |making: &&Making| ground.takes(making, &plate.material);
    let able = plate.makings.iter().filter(takes).count();
    if able * 2 < of {
        out.push(Reason::FewPrinters { able, of });
    }
    out
}

/// The waits of a slot that are worth saying, longest first.
fn waits(slot: &Assignment, now: Minute) -> Vec<Reason> {
    let starts = Reason::StartsLater {
        printer: slot.printer,
        start: slot.start,
    };
    let people = Reason::WaitsForPeople {
        end: slot.end,
        cleared: slot.cleared,
    };
    let leg = Reason::WaitsForLeg {
        ready: slot.ready,
        arrives: slot.arrives,
    };
    let mut waits = vec![
        (slot.start - now, starts),
        (slot.cleared - slot.end, people),
        (slot.arrives - slot.ready, leg),
    ];
    waits.retain(|(wait, _)| *wait >= WORTH_SAYING);
    waits.sort_by_key(|(wait, _)| std::cmp::Reverse(*wait));
    waits.into_iter().map(|(_, reason)| reason).collect()
}
