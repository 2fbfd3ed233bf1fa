//! Somebody is there when somebody must be, and the printer is kept as long as it should be.

use partpledge_planning_model::{Plan, Plate, Region};

use super::pairs;
use crate::minutes::{all_inside, first_inside, inside, some_inside};
use crate::violation::Violation;

pub(crate) fn check(region: &Region, plates: &[Plate], plan: &Plan, found: &mut Vec<Violation>) {
    for (place, plate, making) in pairs(plates, plan) {
        let printer = &region.printers[place.printer.0];
        let staffed = &region.sites[printer.site.0].staffed;
        if place.start < plate.release {
            found.push(Violation::BeforeRelease(place.plate, place.start));
        }
        if !inside(staffed, place.start) {
            found.push(Violation::StartUnstaffed(place.plate, place.start));
        }
        if place.end.0 - place.start.0 != making.reserved.0 || making.reserved < making.nominal {
            found.push(Violation::WrongLength(place.plate, place.end));
        }
        if !printer.unattended && !all_inside(staffed, place.start, place.end) {
            found.push(Violation::Unattended(place.plate, place.printer));
        }
        if some_inside(&printer.out_of_use, place.start, place.end) {
            found.push(Violation::OutOfUse(place.plate, place.printer));
        }
        if first_inside(staffed, place.end) != Some(place.cleared) {
            found.push(Violation::WrongClearing(place.plate, place.cleared));
        }
    }
}
