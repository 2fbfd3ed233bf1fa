//! At no start does a site take more filament than has come by then.

use partpledge_planning_model::{Plan, Plate, Region};

use super::placed;
use crate::violation::Violation;

pub(crate) fn check(region: &Region, plates: &[Plate], plan: &Plan, found: &mut Vec<Violation>) {
    // What has been started has its filament; the stock is what is left.
    let slots: Vec<_> = placed(region, plates, plan)
        .filter(|slot| !slot.at.frozen)
        .collect();
    for slot in &slots {
        let start = slot.at.start;
        let stock = slot
            .site
            .stock
            .iter()
            .filter(|item| item.material == slot.plate.material);
        if stock.clone().next().is_none() {
            continue;
        }
        let there_g: i64 = stock
            .filter(|item| item.from <= start)
            .map(|item| item.grams)
            .fold(0, i64::saturating_add);
        let taken = slots.iter().filter(|other| {
            other.stands == slot.stands
                && other.plate.material == slot.plate.material
                && other.at.start <= start
        });
        let taken_g = taken.map(|o| o.plate.grams).fold(0, i64::saturating_add);
        if taken_g > there_g {
            found.push(Violation::FilamentShort {
                plate: slot.at.plate,
                printer: slot.at.printer,
                start,
                taken_g,
                there_g,
            });
        }
    }
}
