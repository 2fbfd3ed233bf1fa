//! What was promised is planned in time, and what was frozen has not moved.

use partpledge_planning_model::{Plan, Plate};

use crate::violation::Violation;

pub(crate) fn check(
    plates: &[Plate],
    plan: &Plan,
    previous: Option<&Plan>,
    found: &mut Vec<Violation>,
) {
    for plate in plates {
        let Some(promise) = plate.promise else {
            continue;
        };
        match plan
            .assignments
            .iter()
            .find(|place| place.plate == plate.seq)
        {
            None => found.push(Violation::PromisedUnplanned(plate.seq)),
            Some(place) if place.arrives > promise.arrival => {
                found.push(Violation::PromiseBroken(plate.seq, place.arrives));
            }
            Some(_) => {}
        }
    }
    for old in previous
        .iter()
        .flat_map(|plan| &plan.assignments)
        .filter(|place| place.frozen)
    {
        let now = plan
            .assignments
            .iter()
            .find(|place| place.plate == old.plate);
        if now != Some(old) {
            found.push(Violation::FrozenMoved(old.plate));
        }
    }
}
