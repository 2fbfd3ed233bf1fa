//! The printer takes the material and has the room.

use partpledge_planning_model::{Plan, Plate, Region};

use super::pairs;
use crate::violation::Violation;

pub(crate) fn check(region: &Region, plates: &[Plate], plan: &Plan, found: &mut Vec<Violation>) {
    for (place, plate, making) in pairs(plates, plan) {
        let printer = &region.printers[place.printer.0];
        if !printer.materials.contains(&plate.material) {
            found.push(Violation::WrongMaterial(place.plate, place.printer));
        }
        let size = making.footprint.0;
        let bed = printer.bed_mm;
        let straight = size[0] <= bed[0] && size[1] <= bed[1];
        let turned = size[0] <= bed[1] && size[1] <= bed[0];
        if size[2] > bed[2] || !(straight || turned) {
            found.push(Violation::TooLarge(place.plate, place.printer));
        }
    }
}
