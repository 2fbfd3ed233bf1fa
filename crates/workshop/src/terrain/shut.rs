//! Schools that are closed for a while: nobody is there, no box leaves, none is handed over.

use partpledge_planning_model::{Departure, LegKind, PlaceIx, SiteIx, Window, Windows};
use partpledge_records::SiteClosure;
use partpledge_units::time::Minute;

use super::Terrain;

impl Terrain {
    /// Closes schools for a while; those that have left the region are passed over.
    pub fn shut(&mut self, closures: &[SiteClosure]) {
        for closure in closures {
            let window = Window {
                from: closure.from,
                until: closure.until,
            };
            for school in &closure.schools {
                let hosts = &self.file.hosts;
                if let Some(site) = hosts.iter().position(|host| host.school == *school) {
                    self.empty(SiteIx(site), window, |_| true);
                }
                self.hand_over_nothing(school, window);
            }
        }
        self.closures.extend(closures.iter().cloned());
    }

    /// Nobody is there; what leaves from there in that time on legs of these kinds does not.
    pub(crate) fn empty(&mut self, site: SiteIx, shut: Window, stops: impl Fn(LegKind) -> bool) {
        let staffed = &mut self.region.sites[site.0].staffed;
        *staffed = staffed.without(&Windows::joined(vec![shut]));
        let inside = |at: Minute| shut.from <= at && at < shut.until;
        let legs = self.region.legs.iter_mut();
        for leg in legs.filter(|leg| leg.from == site && stops(leg.kind)) {
            leg.departures.retain(|departure| !inside(departure.leaves));
        }
    }

    /// Nothing is handed over at a school in that time: its boxes come with a later departure. What
    /// is handed over at a meeting is not handed over at the school.
    fn hand_over_nothing(&mut self, school: &str, shut: Window) {
        let schools = self.file.schools.iter();
        let Some(place) = schools.map(|s| &s.code).position(|code| code == school) else {
            return;
        };
        let inside = |at: Minute| shut.from <= at && at < shut.until;
        let legs = self.region.legs.iter_mut();
        for leg in legs.filter(|leg| leg.to == PlaceIx(place) && leg.kind != LegKind::Meeting) {
            leg.departures
                .retain(|departure| !inside(departure.arrives));
        }
        // Nobody takes boxes in there, or gives them on.
        for relay in &mut self.region.relays {
            let (from, to) = (relay.from == PlaceIx(place), relay.to == PlaceIx(place));
            let shut = |d: &Departure| (from && inside(d.leaves)) || (to && inside(d.arrives));
            relay.departures.retain(|departure| !shut(departure));
        }
    }
}
