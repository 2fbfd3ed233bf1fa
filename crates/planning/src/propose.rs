//! A plan for what has no place yet, improved on a move budget.

use partpledge_planning_model::{Assignment, Plan, Plate, PlateSeq};
use partpledge_units::time::Minute;

use crate::ground::Ground;
use crate::insert::{Occupied, best_slot};

/// What planning came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Proposal {
    /// The plan.
    pub plan: Plan,
    /// Plates that found no slot before the calendars end.
    pub unplaced: Vec<PlateSeq>,
    /// Plates whose place differs from the plan before.
    pub moved: Vec<PlateSeq>,
}

/// What a plan costs; smaller is better, compared in this order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
struct Cost {
    /// Promised plates that would nominally come too late.
    broken: i64,
    /// Minutes by which they come too late.
    late_min: i64,
    /// Sum of hand-over times, as minutes after the release.
    wait_min: i64,
}

/// Best insertion of every plate that has no place, in order of promise and sequence, then
/// improvement: plate by plate is taken out and put back at its best slot, as long as the whole
/// gets better and moves are left.
///
/// Frozen places never move. The result is never worse than `before`: fewer broken promises,
/// then less lateness, then earlier hand-overs.
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
    let mut plan = before.clone();
    let mut occupied = Occupied::by(ground, &plan);
    let mut waiting: Vec<&Plate> = plates.iter().filter(|p| plan.of(p.seq).is_none()).collect();
    waiting.sort_by_key(|plate| {
        (
            plate.promise.map_or(Minute(i64::MAX), |p| p.arrival),
            plate.seq,
        )
    });
    let mut unplaced = Vec::new();
    for plate in waiting {
        match best_slot(ground, &occupied, plate, now) {
            Some(slot) => {
                occupied.add(&slot);
                plan.put(slot);
            }
            None => unplaced.push(plate.seq),
        }
    }
    improve(ground, plates, &mut plan, &mut occupied, now, moves);
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

fn improve(
    ground: &Ground<'_>,
    plates: &[Plate],
    plan: &mut Plan,
    occupied: &mut Occupied,
    now: Minute,
    moves: usize,
) {
    let mut left = moves;
    let mut better = true;
    while better && left > 0 {
        better = false;
        for plate in plates {
            let Some(&old) = plan.of(plate.seq) else {
                continue;
            };
            if old.frozen || left == 0 {
                continue;
            }
            left -= 1;
            occupied.remove(old.printer, old.plate);
            let new = best_slot(ground, occupied, plate, now)
                .filter(|new| cost_of(plate, new) < cost_of(plate, &old));
            let total = cfg!(debug_assertions).then(|| total_cost(plates, plan));
            let chosen = new.unwrap_or(old);
            occupied.add(&chosen);
            if chosen != old {
                plan.put(chosen);
                better = true;
                debug_assert!(Some(total_cost(plates, plan)) < total, "a move must pay");
            }
        }
    }
}

fn cost_of(plate: &Plate, place: &Assignment) -> Cost {
    let late = plate
        .promise
        .map_or(0, |promise| (place.arrives - promise.arrival).0.max(0));
    let wait_min = (place.arrives - plate.release).0;
    Cost {
        broken: i64::from(late > 0),
        late_min: late,
        wait_min,
    }
}

fn total_cost(plates: &[Plate], plan: &Plan) -> Cost {
    plates
        .iter()
        .filter_map(|p| plan.of(p.seq).map(|a| cost_of(p, a)))
        .fold(Cost::default(), |sum, cost| Cost {
            broken: sum.broken + cost.broken,
            late_min: sum.late_min + cost.late_min,
            wait_min: sum.wait_min + cost.wait_min,
        })
}
