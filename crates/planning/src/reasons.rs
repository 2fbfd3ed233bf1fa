//! Why a pledge is not earlier: data, made into words last.

use partpledge_planning_model::{Assignment, Making, Plate, PrinterIx};
use partpledge_units::chance::in_ten;
use partpledge_units::time::{Minute, Minutes};

use crate::ground::Ground;
use crate::quote::{Ask, Quote};

/// One thing that holds a pledge back.
#[derive(Clone, Debug, PartialEq)]
pub enum Reason {
    /// Only some of the printers that could send it there take this size and material, and are watched,
    /// or may run alone, for long enough.
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
    /// If all goes well it comes earlier; the pledge leaves room for a slow run or late hands, though
    /// not for a reprint.
    RoomForDelay {
        /// Hand-over if nothing goes wrong.
        nominal: Minute,
        /// Share of worlds that have it by then.
        by_then: f64,
    },
}

/// Shortest wait that is worth a reason.
const WORTH_SAYING: Minutes = Minutes(60);

/// What holds a quote back: what room it leaves first, then the waits of the slot that arrives
/// last, longest first, then what the choice of printers does.
pub(crate) fn of_quote(
    ground: &Ground<'_>,
    ask: &Ask,
    quote: &Quote,
    last: &Assignment,
) -> Vec<Reason> {
    let plates = &ask.ways[quote.way].plates;
    let mut out: Vec<Reason> = room(plates, quote).into_iter().collect();
    out.extend(waits(last, ask.now));
    let Some(plate) = plates.iter().find(|plate| plate.seq == last.plate) else {
        return out;
    };
    let takes = |making: &&Making| {
        let alone = ground.printer(making.printer).unattended;
        let stay = alone || making.reserved <= ground.longest_visit(making.printer);
        stay && ground.takes(making, &plate.material)
    };
    let able = plate.makings.iter().filter(takes).count();
    // A printer from which nothing goes there is no printer for it: such as one at a meeting.
    let of = ground.sending_to(plate.to);
    if able * 2 < of {
        out.push(Reason::FewPrinters { able, of });
    }
    out
}

/// What the time between the planned hand-over and the pledged one is for: a reprint, if the shortest
/// plate can be made once more in it. A delay that most such pledges don't meet is not worth saying, nor is a
/// hand-over that hardly any of them makes.
fn room(plates: &[Plate], quote: &Quote) -> Option<Reason> {
    let more = quote.arrival - quote.nominal;
    if more <= Minutes(0) {
        return None;
    }
    let (nominal, by_then) = (quote.nominal, quote.chance_by(quote.nominal));
    if in_ten(by_then) < 1 {
        return None;
    }
    let takes = |plate: &Plate| {
        let slot = quote.assignments.iter().find(|a| a.plate == plate.seq)?;
        let mut makings = plate.makings.iter();
        makings
            .find(|making| making.printer == slot.printer)
            .map(|making| making.nominal)
    };
    let shortest = plates.iter().filter_map(takes).min();
    if shortest.is_some_and(|shortest| shortest <= more) {
        return Some(Reason::RoomForReprint { nominal, by_then });
    }
    let told = in_ten(by_then) < in_ten(quote.probability);
    told.then_some(Reason::RoomForDelay { nominal, by_then })
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
