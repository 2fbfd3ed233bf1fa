//! People start only so many plates in one staffed window.

use partpledge_planning_model::{Plan, Plate, Region};

use super::placed;
use crate::violation::Violation;

pub(crate) fn check(region: &Region, plates: &[Plate], plan: &Plan, found: &mut Vec<Violation>) {
    let slots: Vec<_> = placed(region, plates, plan).collect();
    for slot in &slots {
        let Some(most) = slot.site.starts_a_window else {
            continue;
        };
        let start = slot.at.start;
        let mut windows = slot.site.staffed.as_slice().iter();
        // Outside of all windows is for `people` to tell.
        let Some(window) = windows.find(|w| w.from <= start && start < w.until) else {
            continue;
        };
        // What runs already, and then what starts earlier, has the hands first.
        let rank = |slot: &super::Placed<'_>| (!slot.at.frozen, slot.at.start, slot.at.plate);
        let ahead = slots.iter().filter(|other| {
            other.stands == slot.stands
                && window.from <= other.at.start
                && other.at.start < window.until
                && rank(other) < rank(slot)
        });
        if !slot.at.frozen && ahead.count() >= most as usize {
            found.push(Violation::TooManyStarts {
                plate: slot.at.plate,
                printer: slot.at.printer,
                start,
                most,
            });
        }
    }
}
