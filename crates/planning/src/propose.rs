//! A plan for what has no place yet, improved on a move budget.

use partpledge_planning_model::{Plan, Plate, PlateSeq};
use partpledge_units::time::Minute;

use crate::ground::Ground;
use crate::improve::Search;

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
    let plan = search.into_plan();
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
        printer.unattended || making.reserved <= ground.longest_visit(printer.site)
    });
    if watched {
        Unplaced::NoSlot
    } else {
        Unplaced::NobodyStaysSoLong
    }
}
