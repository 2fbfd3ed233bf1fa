//! Every place is for a known plate, once, on a printer that can make it.

use partpledge_planning_model::{Plan, Plate, Region};

use crate::violation::Violation;

pub(crate) fn check(region: &Region, plates: &[Plate], plan: &Plan, found: &mut Vec<Violation>) {
    for (i, place) in plan.assignments.iter().enumerate() {
        if i > 0 && plan.assignments[i - 1].plate >= place.plate {
            found.push(Violation::OutOfOrder(place.plate));
        }
        let Some(plate) = plates.iter().find(|plate| plate.seq == place.plate) else {
            found.push(Violation::UnknownPlate(place.plate));
            continue;
        };
        let made = plate
            .makings
            .iter()
            .any(|making| making.printer == place.printer);
        if !made || place.printer.0 >= region.printers.len() {
            found.push(Violation::NoSuchMaking(place.plate, place.printer));
        }
    }
}
