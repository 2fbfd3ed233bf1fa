//! The printer takes the material and has the room.

use partpledge_planning_model::{Plan, Plate, Region};

use super::placed;
use crate::violation::Violation;

pub(crate) fn check(region: &Region, plates: &[Plate], plan: &Plan, found: &mut Vec<Violation>) {
    for slot in placed(region, plates, plan) {
        let (plate, printer) = (slot.at.plate, slot.at.printer);
        if !slot.printer.materials.contains(&slot.plate.material) {
            found.push(Violation::WrongMaterial { plate, printer });
        }
        let size = slot.making.footprint.0;
        let bed = slot.printer.bed_mm;
        let straight = size[0] <= bed[0] && size[1] <= bed[1];
        let turned = size[0] <= bed[1] && size[1] <= bed[0];
        // Asked so that a size that is no number does not fit.
        let fits = size[2] <= bed[2] && (straight || turned);
        if !fits {
            found.push(Violation::TooLarge { plate, printer });
        }
    }
}
