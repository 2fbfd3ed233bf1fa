//! The slots worth playing for a request.

use partpledge_planning_model::{Assignment, Plate};
use partpledge_units::time::Minute;

use crate::ground::Ground;
use crate::insert::{Occupied, Overlay};
use crate::quote::{Ask, NoQuote, Way};
use crate::slots::{best_slot, slots};

/// Slots looked at on each printer.
const SLOTS_A_PRINTER: usize = 3;

/// A candidate: a place in the plan for each plate of a way.
#[derive(Clone, Debug)]
pub(crate) struct Candidate {
    /// Position in [`Ask::ways`].
    pub(crate) way: usize,
    /// One for each plate of the way.
    pub(crate) assignments: Vec<Assignment>,
    /// Hand-over of the last plate if all takes its reserved time: what the plan says. No pledge
    /// is earlier, for a plan must keep its own promises.
    pub(crate) nominal: Minute,
}

impl Candidate {
    /// The slot that arrives last.
    pub(crate) fn last(&self) -> Assignment {
        let last = self
            .assignments
            .iter()
            .max_by_key(|slot| (slot.arrives, slot.plate));
        *last.unwrap_or(&self.assignments[0])
    }
}

/// All candidates, in order of nominal hand-over, way, printer and start.
///
/// For each way every able printer's first slots for the first plate; the other plates follow
/// one by one, each at its best slot.
pub(crate) fn candidates(
    ground: &Ground<'_>,
    occupied: &Occupied,
    ask: &Ask,
) -> Result<Vec<Candidate>, NoQuote> {
    let ways = ask.ways.iter().enumerate();
    let ways: Vec<(usize, &Way)> = ways.filter(|(_, way)| !way.plates.is_empty()).collect();
    let mut out = Vec::new();
    for &(w, way) in &ways {
        for first in slots(ground, occupied, &way.plates[0], ask.now, SLOTS_A_PRINTER) {
            out.extend(fill(ground, occupied, (w, way), first, ask.now));
        }
    }
    if out.is_empty() {
        return Err(none(ground, ask));
    }
    out.sort_by_key(|c| {
        (
            c.nominal,
            c.way,
            c.assignments[0].printer,
            c.assignments[0].start,
        )
    });
    Ok(out)
}

/// Why a request has no candidate.
pub(crate) fn none(ground: &Ground<'_>, ask: &Ask) -> NoQuote {
    let mut ways = ask.ways.iter().filter(|way| !way.plates.is_empty());
    let Some(first) = ways.clone().next() else {
        return NoQuote::NothingAsked;
    };
    let able = |plate: &Plate| {
        let mut makings = plate.makings.iter();
        makings.any(|making| ground.takes(making, &plate.material))
    };
    if ways.any(|way| way.plates.iter().all(able)) {
        return NoQuote::NoSlot;
    }
    let material = first.plates[0].material.clone();
    NoQuote::NoPrinter { material }
}

/// The other plates of a way, each at its best slot once the first is placed.
pub(crate) fn fill(
    ground: &Ground<'_>,
    occupied: &Occupied,
    (w, way): (usize, &Way),
    first: Assignment,
    now: Minute,
) -> Option<Candidate> {
    let mut taken = Overlay::over(occupied);
    taken.add(&first, ground.load(&way.plates[0], false));
    let mut assignments = vec![first];
    for plate in &way.plates[1..] {
        let next = best_slot(ground, &taken, plate, now)?;
        taken.add(&next, ground.load(plate, false));
        assignments.push(next);
    }
    let nominal = assignments.iter().map(|a| a.arrives).max()?;
    Some(Candidate {
        way: w,
        assignments,
        nominal,
    })
}
