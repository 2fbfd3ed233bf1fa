//! Boxing takes its time, boxes leave by timetable, and all of it before the calendars end.

use partpledge_planning_model::{Departure, PlaceIx, Plan, Plate, Region};
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

/// The earliest hand-over at `to` among departures that a box ready then does not miss, directly or
/// over relays: each place's earliest time is lowered until no relay lowers any more.
pub(crate) fn hand_over(region: &Region, slot: &Placed<'_>, to: PlaceIx) -> Option<Minute> {
    let mut there: Vec<Option<Minute>> = vec![None; region.places.len()];
    for leg in region.legs.iter().filter(|leg| leg.from == slot.stands) {
        lower(&mut there, leg.to, &leg.departures, slot.at.ready);
    }
    for _ in &region.places {
        for relay in &region.relays {
            let from = there.get(relay.from.0).copied().flatten();
            if let Some(at) = from {
                let ready = Minute(at.0.saturating_add(relay.handling.0));
                lower(&mut there, relay.to, &relay.departures, ready);
            }
        }
    }
    there.get(to.0).copied().flatten()
}

/// Lowers the time at which a box is at a place to that of the best departure it can take.
fn lower(there: &mut [Option<Minute>], to: PlaceIx, departures: &[Departure], ready: Minute) {
    for departure in departures.iter().filter(|d| d.leaves >= ready) {
        if let Some(known) = there.get_mut(to.0) {
            let arrives = departure.arrives;
            *known = Some(known.map_or(arrives, |known| known.min(arrives)));
        }
    }
}
