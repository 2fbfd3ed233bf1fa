//! Boxing takes its time, boxes leave by timetable, and all of it before the calendars end.

use partpledge_planning_model::{PlaceIx, Plan, Plate, Region};
use partpledge_units::time::Minute;

use super::{Placed, placed};
use crate::minutes::after_counting;
use crate::violation::Violation;

pub(crate) fn check(region: &Region, plates: &[Plate], plan: &Plan, found: &mut Vec<Violation>) {
    for slot in placed(region, plates, plan) {
        let (plate, at) = (slot.at.plate, slot.at);
        let (ready, arrives) = (at.ready, at.arrives);
        let right = after_counting(&slot.site.staffed, at.cleared, slot.site.boxing.0);
        if right != Some(ready) {
            found.push(Violation::WrongReady {
                plate,
                ready,
                right,
            });
        }
        let right = hand_over(region, &slot, slot.plate.to);
        if right != Some(arrives) {
            found.push(Violation::WrongArrival {
                plate,
                arrives,
                right,
            });
        }
        let last = at.start.max(at.end).max(at.cleared).max(ready).max(arrives);
        if let Some(horizon) = region.horizon.filter(|&horizon| last > horizon) {
            found.push(Violation::BeyondHorizon {
                plate,
                at: last,
                horizon,
            });
        }
    }
}

/// The earliest hand-over at `to` among departures that a box ready then does not miss.
pub(crate) fn hand_over(region: &Region, slot: &Placed<'_>, to: PlaceIx) -> Option<Minute> {
    let mut best: Option<Minute> = None;
    for leg in &region.legs {
        if leg.from != slot.stands || leg.to != to {
            continue;
        }
        for departure in &leg.departures {
            if departure.leaves >= slot.at.ready {
                best = Some(best.map_or(departure.arrives, |b| b.min(departure.arrives)));
            }
        }
    }
    best
}
