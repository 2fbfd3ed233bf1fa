//! Boxing takes its time, boxes leave by timetable, and all of it before the calendars end.

use partpledge_planning_model::{Plan, Plate, Region};

use super::pairs;
use crate::minutes::after_counting;
use crate::violation::Violation;

pub(crate) fn check(region: &Region, plates: &[Plate], plan: &Plan, found: &mut Vec<Violation>) {
    for (place, plate, _) in pairs(plates, plan) {
        let from = region.printers[place.printer.0].site;
        let site = &region.sites[from.0];
        if after_counting(&site.staffed, place.cleared, site.boxing.0) != Some(place.ready) {
            found.push(Violation::WrongReady(place.plate, place.ready));
        }
        let mut best = None;
        for leg in region
            .legs
            .iter()
            .filter(|leg| leg.from == from && leg.to == plate.to)
        {
            for departure in &leg.departures {
                if departure.leaves >= place.ready && best.is_none_or(|b| departure.arrives < b) {
                    best = Some(departure.arrives);
                }
            }
        }
        if best != Some(place.arrives) {
            found.push(Violation::WrongArrival(place.plate, place.arrives));
        }
        let last = place
            .end
            .max(place.cleared)
            .max(place.ready)
            .max(place.arrives);
        if region.horizon.is_some_and(|horizon| last > horizon) {
            found.push(Violation::BeyondHorizon(place.plate, last));
        }
    }
}
