//! What was promised is planned in time, and what was frozen has not moved.

use partpledge_planning_model::{Plan, Plate, PlateSeq, Region};
use partpledge_units::time::Minute;

use super::people::cut_off;
use super::travel::hand_over;
use super::{Placed, placed};
use crate::violation::Violation;

pub(crate) fn check(
    region: &Region,
    plates: &[Plate],
    plan: &Plan,
    previous: Option<&Plan>,
    found: &mut Vec<Violation>,
) {
    let own = |plate: &Plate| {
        let promise = plate.promise?;
        Some((plate.seq, promise.arrival))
    };
    // What is stopped before it should be done brings nothing.
    let lost = |slot: &Placed<'_>| {
        let likely = Minute(slot.at.start.0.saturating_add(slot.making.likely.0));
        cut_off(slot, previous).is_some_and(|at| likely > at)
    };
    let lost: Vec<PlateSeq> = (placed(region, plates, plan).filter(lost))
        .map(|slot| slot.at.plate)
        .collect();
    let due = |plate: &&Plate| lost.contains(&plate.seq) && plate.due().is_some();
    for Plate { seq: plate, .. } in plates.iter().filter(due) {
        found.push(Violation::PromisedUnplanned { plate: *plate });
    }
    for (plate, promised) in plates.iter().filter_map(own) {
        match plan.assignments.iter().find(|slot| slot.plate == plate) {
            None => found.push(Violation::PromisedUnplanned { plate }),
            Some(slot) if slot.arrives > promised && !lost.contains(&plate) => {
                let arrives = slot.arrives;
                found.push(Violation::PromiseBroken {
                    plate,
                    arrives,
                    promised,
                });
            }
            Some(_) => {}
        }
    }
    riders(region, plates, plan, found);
    for old in previous
        .iter()
        .flat_map(|plan| &plan.assignments)
        .filter(|old| old.frozen)
    {
        if !plan.assignments.contains(old) {
            found.push(Violation::FrozenMoved { plate: old.plate });
        }
    }
}

/// What lies on a plate for other requests is promised too, each at its own place.
fn riders(region: &Region, plates: &[Plate], plan: &Plan, found: &mut Vec<Violation>) {
    for slot in placed(region, plates, plan) {
        let plate = slot.at.plate;
        for rider in &slot.plate.riders {
            let (to, promised) = (rider.to, rider.promise.map(|promise| promise.arrival));
            let within = |at: &Minute| region.horizon.is_none_or(|horizon| *at <= horizon);
            match (hand_over(region, &slot, to).filter(within), promised) {
                (None, _) => found.push(Violation::NoWayOn { plate, to }),
                (Some(arrives), Some(promised)) if arrives > promised => {
                    found.push(Violation::PromiseBroken {
                        plate,
                        arrives,
                        promised,
                    });
                }
                _ => {}
            }
        }
    }
    for known in plates.iter().filter(|known| known.promise.is_none()) {
        let plate = known.seq;
        let promised = known.riders.iter().any(|rider| rider.promise.is_some());
        if promised && !plan.assignments.iter().any(|slot| slot.plate == plate) {
            found.push(Violation::PromisedUnplanned { plate });
        }
    }
}
