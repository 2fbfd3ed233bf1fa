//! Somebody has time to change the material between two plates.
//!
//! What is in a printer before its first plate, and since when somebody could change it, a plan does
//! not say; only changes between plates are looked at.

use partpledge_planning_model::{Plan, Plate, Region};

use super::{Placed, placed};
use crate::minutes::after_counting;
use crate::violation::Violation;

pub(crate) fn check(region: &Region, plates: &[Plate], plan: &Plan, found: &mut Vec<Violation>) {
    let slots: Vec<_> = placed(region, plates, plan).collect();
    for slot in &slots {
        let earlier = |other: &&Placed<'_>| {
            other.at.printer == slot.at.printer && other.at.start < slot.at.start
        };
        let last = slots.iter().filter(earlier).max_by_key(|o| o.at.start);
        let Some(before) = last.filter(|_| !slot.at.frozen) else {
            continue;
        };
        let change = slot.printer.change.0;
        if before.plate.material == slot.plate.material || change <= 0 {
            continue;
        }
        let changed = after_counting(&slot.hours, before.at.cleared, change);
        if changed.is_none_or(|at| at > slot.at.start) {
            found.push(Violation::NoTimeToChange {
                plate: slot.at.plate,
                other: before.at.plate,
                printer: slot.at.printer,
                start: slot.at.start,
            });
        }
    }
}
