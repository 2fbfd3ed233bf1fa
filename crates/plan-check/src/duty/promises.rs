//! What was promised is planned in time, and what was frozen has not moved.

use partpledge_planning_model::{Plan, Plate};

use crate::violation::Violation;

pub(crate) fn check(
    plates: &[Plate],
    plan: &Plan,
    previous: Option<&Plan>,
    found: &mut Vec<Violation>,
) {
    for known in plates {
        let Some(promise) = known.promise else {
            continue;
        };
        let (plate, promised) = (known.seq, promise.arrival);
        match plan.assignments.iter().find(|slot| slot.plate == plate) {
            None => found.push(Violation::PromisedUnplanned { plate }),
            Some(slot) if slot.arrives > promised => {
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
