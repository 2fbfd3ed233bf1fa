//! A plan for what has no place yet, improved on a move budget.

use std::collections::BTreeMap;

use partpledge_planning_model::{Assignment, Plan, Plate, PlateSeq};
use partpledge_units::time::Minute;

use crate::ground::Ground;
use crate::improve::Search;
use crate::insert::Occupied;
use crate::limits::stands;

/// What planning came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Proposal {
    /// The plan.
    pub plan: Plan,
    /// Plates that found no slot before the calendars end; [`why_unplaced`] tells more.
    pub unplaced: Vec<PlateSeq>,
    /// Plates whose place differs from the plan before.
    pub moved: Vec<PlateSeq>,
}

/// Why a plate has no place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unplaced {
    /// No printer takes it in its size and material.
    NoPrinter,
    /// Printers take it, but none may run unattended for it, and nobody stays long enough to
    /// watch it.
    NobodyStaysSoLong,
    /// Nothing is free, or no leg goes, before the calendars end.
    NoSlot,
}

/// Best insertion of every plate that has no place, in order of promise and sequence, then
/// improvement: plate by plate is taken out and put back at its best slot, and plates make room
/// for others that would be late, as long as the whole gets better and moves are left.
///
/// Frozen places never move, and nothing new starts before `now`. The result is never worse than
/// `before`: fewer broken promises first, then less lateness, then fewer plates without a place,
/// then earlier hand-overs.
///
/// # Source
/// Best insertion and relocation: common practice in scheduling; see Pinedo, Scheduling (from memory).
#[must_use]
pub fn propose(
    ground: &Ground<'_>,
    plates: &[Plate],
    before: &Plan,
    now: Minute,
    moves: usize,
) -> Proposal {
    let mut search = Search::new(ground, plates, before.clone(), now);
    search.insert_all();
    search.improve(moves);
    proposal(plates, before, search.into_plan())
}

/// As [`propose`], but everything that is not frozen is thought over, whatever the plan before was
/// worth: the best plan found in `steps` steps of taking plates out and putting them back.
///
/// Better is, in this order: fewer promises broken, less late, more placed, less weighted lateness
/// after the times at which teams need their parts, less waiting (a team's first part before
/// another's fifth) and fewer changes of printer, less energy.
#[must_use]
pub fn anew(
    ground: &Ground<'_>,
    plates: &[Plate],
    before: &Plan,
    now: Minute,
    steps: usize,
) -> Proposal {
    let mut search = Search::new(ground, plates, before.clone(), now);
    search.insert_all();
    search.improve(steps);
    search.shuffled(steps);
    proposal(plates, before, search.into_plan())
}

fn proposal(plates: &[Plate], before: &Plan, plan: Plan) -> Proposal {
    let mut unplaced: Vec<PlateSeq> = plates.iter().map(|plate| plate.seq).collect();
    unplaced.retain(|&seq| plan.of(seq).is_none());
    unplaced.sort_unstable();
    let moved = plan
        .assignments
        .iter()
        .filter(|a| before.of(a.plate).is_some_and(|old| old != *a))
        .map(|a| a.plate)
        .collect();
    Proposal {
        plan,
        unplaced,
        moved,
    }
}

/// Plates that can't keep their places, though their time on the printer is free: hands, filament or
/// the time to change material don't suffice, or the printer is elsewhere by then. Earlier starts
/// have the first claim; what is frozen stays whatever it takes.
#[must_use]
pub fn fallen<'p>(
    ground: &Ground<'_>,
    plates: impl IntoIterator<Item = &'p Plate>,
    plan: &Plan,
) -> Vec<PlateSeq> {
    let plates: BTreeMap<PlateSeq, &Plate> = plates.into_iter().map(|p| (p.seq, p)).collect();
    let mut places: Vec<&Assignment> = plan.assignments.iter().collect();
    places.sort_by_key(|place| (!place.frozen, place.start, place.plate));
    let mut taken = Occupied::nothing(ground);
    let mut out = Vec::new();
    for place in places {
        let Some(plate) = plates.get(&place.plate) else {
            continue;
        };
        let load = ground.load(plate, place.frozen);
        if place.frozen || stands(ground, &taken, place, load) {
            taken.add(place, load);
        } else {
            out.push(place.plate);
        }
    }
    out
}

/// Why a plate that [`propose`] left without a place has none.
#[must_use]
pub fn why_unplaced(ground: &Ground<'_>, plate: &Plate) -> Unplaced {
    let mut able = plate
        .makings
        .iter()
        .filter(|making| ground.takes(making, &plate.material))
        .peekable();
    if able.peek().is_none() {
        return Unplaced::NoPrinter;
    }
    let watched = able.any(|making| {
        let printer = ground.printer(making.printer);
        printer.unattended || making.reserved <= ground.longest_visit(making.printer)
    });
    if watched {
        Unplaced::NoSlot
    } else {
        Unplaced::NobodyStaysSoLong
    }
}
