//! The duties of a plan, one a file.

pub(crate) mod apart;
pub(crate) mod fits;
pub(crate) mod known;
pub(crate) mod people;
pub(crate) mod promises;
pub(crate) mod travel;

use partpledge_planning_model::{Assignment, Making, Plan, Plate};

/// Each place with its plate and how it is made there.
pub(crate) fn pairs<'a>(
    plates: &'a [Plate],
    plan: &'a Plan,
) -> impl Iterator<Item = (&'a Assignment, &'a Plate, &'a Making)> {
    plan.assignments.iter().filter_map(|place| {
        let plate = plates.iter().find(|plate| plate.seq == place.plate)?;
        let making = plate
            .makings
            .iter()
            .find(|making| making.printer == place.printer)?;
        Some((place, plate, making))
    })
}
