//! Somebody is there when somebody must be, and the printer is kept as long as it should be.

use partpledge_planning_model::{Assignment, Plan, Plate, Region};
use partpledge_units::time::Minute;

use super::{Placed, placed, stands};
use crate::minutes::{first_inside, first_outside, first_touched, inside};
use crate::violation::Violation;

pub(crate) fn check(
    region: &Region,
    plates: &[Plate],
    (plan, previous): (&Plan, Option<&Plan>),
    found: &mut Vec<Violation>,
) {
    for slot in placed(region, plates, plan) {
        times(&slot, previous, found);
        presence(&slot, found);
    }
}

/// When a run that has begun is stopped because people leave: its printer may not run alone. A plan may
/// not begin such a run; closed early, a school may find itself with one. That it has begun is for the
/// plan before to say, not for this one.
pub(crate) fn cut_off(slot: &Placed<'_>, previous: Option<&Plan>) -> Option<Minute> {
    let (plate, printer, start) = (slot.at.plate, slot.at.printer, slot.at.start);
    let began = |old: &Assignment| {
        old.frozen && (old.plate, old.printer, old.start) == (plate, printer, start)
    };
    let begun = previous.is_some_and(|old| old.assignments.iter().any(began));
    let watched = begun && !slot.printer.unattended && inside(&slot.hours, start);
    let full = Minute(start.0.saturating_add(slot.making.reserved.0));
    first_outside(&slot.hours, start, full).filter(|_| watched)
}

fn times(slot: &Placed<'_>, previous: Option<&Plan>, found: &mut Vec<Violation>) {
    let (plate, printer, start) = (slot.at.plate, slot.at.printer, slot.at.start);
    let release = slot.plate.release;
    if start < release {
        found.push(Violation::BeforeRelease {
            plate,
            start,
            release,
        });
    }
    let (reserved, nominal) = (slot.making.reserved, slot.making.nominal);
    if reserved < nominal {
        found.push(Violation::TooLittleReserved {
            plate,
            printer,
            reserved,
            nominal,
        });
    }
    let full = Minute(start.0.saturating_add(reserved.0));
    let (end, right) = (slot.at.end, cut_off(slot, previous).unwrap_or(full));
    if end != right {
        found.push(Violation::WrongEnd { plate, end, right });
    }
}

fn presence(slot: &Placed<'_>, found: &mut Vec<Violation>) {
    let (plate, printer) = (slot.at.plate, slot.at.printer);
    let (start, end, cleared) = (slot.at.start, slot.at.end, slot.at.cleared);
    let staffed = &slot.hours;
    if stands(slot.printer, start).is_none() {
        found.push(Violation::OnItsWay { plate, printer });
    }
    if !inside(staffed, start) {
        found.push(Violation::StartUnstaffed {
            plate,
            printer,
            start,
        });
    }
    if !slot.printer.unattended
        && let Some(from) = first_outside(staffed, start, end)
    {
        found.push(Violation::Unattended {
            plate,
            printer,
            from,
        });
    }
    if let Some(from) = first_touched(&slot.printer.out_of_use, start, end) {
        found.push(Violation::OutOfUse {
            plate,
            printer,
            from,
        });
    }
    let right = first_inside(staffed, end);
    if right != Some(cleared) {
        found.push(Violation::WrongCleared {
            plate,
            cleared,
            right,
        });
    }
}
