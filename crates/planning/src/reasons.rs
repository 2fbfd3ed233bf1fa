//! Why a pledge is not earlier: data, made into words last.

use partpledge_planning_model::{Assignment, PrinterIx};
use partpledge_units::time::{Minute, Minutes};

use crate::ground::Ground;

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

/// What holds back the slot that arrives last, most binding first.
pub(crate) fn of_slot(
    ground: &Ground<'_>,
    slot: &Assignment,
    now: Minute,
) -> Vec<(Minutes, Reason)> {
    let waits = [
        (
            slot.start - now,
            Reason::StartsLater {
                printer: slot.printer,
                start: slot.start,
            },
        ),
        (
            slot.cleared - slot.end,
            Reason::WaitsForPeople {
                end: slot.end,
                cleared: slot.cleared,
            },
        ),
        (
            slot.arrives - slot.ready,
            Reason::WaitsForLeg {
                ready: slot.ready,
                arrives: slot.arrives,
            },
        ),
    ];
    let mut waits: Vec<_> = waits
        .into_iter()
        .filter(|(wait, _)| *wait >= WORTH_SAYING)
        .collect();
    waits.sort_by_key(|(wait, _)| std::cmp::Reverse(*wait));
    debug_assert!(slot.printer.0 < ground.region().printers.len());
    waits
}
