//! How boxes get from a host to a team, over one leg or several: a leg to a place, and relays from
//! there on.
//!
//! # Source
//! Connection scan with profiles: Dibbelt, Pajor, Strasser and Wagner 2013, Intriguingly simple and
//! fast transit routing (from memory). Checked against a time-expanded search in `tests/classical.rs`.

use partpledge_planning_model::{Departure, LegKind, PlaceIx, Region, Relay, SiteIx};
use partpledge_units::time::Minute;

use crate::ground::{Change, Leaving};

/// Journeys from one place to another, best first: each leaves earlier than the one before it and
/// arrives earlier too. What leaves earlier and arrives no earlier is no journey.
type Profile = Vec<Onward>;

/// The rest of a journey from a place.
#[derive(Clone, Copy, Debug)]
struct Onward {
    /// Last minute at which the box may be there.
    by: Minute,
    arrives: Minute,
    /// The relay that it goes with first.
    change: Change,
}

/// A relay's departure.
#[derive(Clone, Copy)]
struct Connection<'a> {
    relay: &'a Relay,
    departure: Departure,
}

/// Journeys from every place to every place over relays alone.
struct Profiles {
    places: usize,
    /// By place left and place reached.
    all: Vec<Profile>,
}

impl Profiles {
    fn of(region: &Region) -> Self {
        let places = region.places.len();
        let mut out = Self {
            places,
            all: vec![Profile::new(); places * places],
        };
        let mut connections = connections(region);
        // Latest first: what a box can go on with is known when its connection is looked at.
        connections.sort_by_key(|c| std::cmp::Reverse((c.departure.leaves, c.departure.arrives)));
        for connection in connections {
            out.scan(&connection);
        }
        out
    }

    fn scan(&mut self, connection: &Connection<'_>) {
        let Connection { relay, departure } = connection;
        for d in (0..self.places).filter(|&d| d != relay.from.0) {
            let on = self.from(relay.to, PlaceIx(d), departure.arrives);
            let Some((arrives, next)) = on else {
                continue;
            };
            let missed = next.map_or(0.0, |change| change.missed);
            let profile = &mut self.all[relay.from.0 * self.places + d];
            // Left a little earlier, for the box has to be carried from desk to desk.
            let by = departure.leaves - relay.handling;
            let beaten = |known: &Onward| known.by >= by && known.arrives <= arrives;
            if profile.iter().any(beaten) {
                continue;
            }
            profile.retain(|known| known.by > by || known.arrives < arrives);
            let at = profile.partition_point(|known| known.by > by);
            let change = Change {
                at: relay.from,
                leaves: departure.leaves,
                missed: both(missed, relay.missed),
            };
            let onward = Onward {
                by,
                arrives,
                change,
            };
            profile.insert(at, onward);
        }
    }

    /// When a box that is at a place at `at` is at another, and the relay that it must catch for it.
    fn from(&self, place: PlaceIx, to: PlaceIx, at: Minute) -> Option<(Minute, Option<Change>)> {
        if place == to {
            return Some((at, None));
        }
        let profile = &self.all[place.0 * self.places + to.0];
        // Those that the box is in time for stand first; the last of them arrives first.
        let in_time = profile.partition_point(|onward| onward.by >= at);
        let best = profile[..in_time].last()?;
        Some((best.arrives, Some(best.change)))
    }
}

/// The chance that at least one of two goes wrong, each by itself.
fn both(one: f64, other: f64) -> f64 {
    1.0 - (1.0 - one) * (1.0 - other)
}

fn connections(region: &Region) -> Vec<Connection<'_>> {
    let mut out = Vec::new();
    for relay in &region.relays {
        let departures = relay.departures.iter().copied();
        out.extend(departures.map(|departure| Connection { relay, departure }));
    }
    out
}

/// Every departure from a site that leads to a place, in order of leaving, by site and place.
pub(crate) fn leavings(region: &Region) -> Vec<Vec<Leaving>> {
    let places = region.places.len();
    let mut out = vec![Vec::new(); region.sites.len() * places];
    let profiles = (!region.relays.is_empty()).then(|| Profiles::of(region));
    for leg in &region.legs {
        for departure in &leg.departures {
            let mut add = |to: PlaceIx, arrives, change| {
                let leavings: &mut Vec<Leaving> = &mut out[leg.from.0 * places + to.0];
                leavings.push(Leaving {
                    leaves: departure.leaves,
                    arrives,
                    missed: leg.missed,
                    change,
                });
            };
            add(leg.to, departure.arrives, None);
            for to in (0..places).map(PlaceIx).filter(|to| *to != leg.to) {
                let on = profiles.as_ref();
                let on = on.and_then(|profiles| profiles.from(leg.to, to, departure.arrives));
                if let Some((arrives, change)) = on {
                    add(to, arrives, change);
                }
            }
        }
    }
    for leavings in &mut out {
        leavings.sort_by_key(|leaving| (leaving.leaves, leaving.arrives));
    }
    out
}

/// Where a ride begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stop {
    /// At a host.
    Site(SiteIx),
    /// At a place that it came to.
    Place(PlaceIx),
}

/// One leg or relay of a journey.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ride {
    /// Where the box is taken.
    pub from: Stop,
    /// Where it is left.
    pub to: PlaceIx,
    /// How it travels.
    pub kind: LegKind,
    /// The departure that takes it.
    pub departure: Departure,
}

/// The rides of a box that is ready at a site at `ready`, if nothing is missed: the earliest hand-over
/// at the place, and of those the one with the fewest rides. Empty when there is none.
#[must_use]
pub fn journey(region: &Region, (site, to): (SiteIx, PlaceIx), ready: Minute) -> Vec<Ride> {
    // The best way to each place with so many rides; one more ride a round, until nothing is better.
    let mut best: Vec<Option<Vec<Ride>>> = first_rides(region, site, ready);
    let arrives = |rides: &Option<Vec<Ride>>| {
        let last = rides.as_ref().and_then(|rides| rides.last());
        last.map_or(Minute(i64::MAX), |ride| ride.departure.arrives)
    };
    loop {
        let mut next = best.clone();
        for connection in connections(region) {
            let Connection { relay, departure } = connection;
            let here = &best[relay.from.0];
            let in_time = here.is_some() && arrives(here) + relay.handling <= departure.leaves;
            if in_time && departure.arrives < arrives(&next[relay.to.0]) {
                let mut rides = here.clone().unwrap_or_default();
                rides.push(Ride {
                    from: Stop::Place(relay.from),
                    to: relay.to,
                    kind: relay.kind,
                    departure,
                });
                next[relay.to.0] = Some(rides);
            }
        }
        if next.iter().map(arrives).eq(best.iter().map(arrives)) {
            return best.swap_remove(to.0).unwrap_or_default();
        }
        best = next;
    }
}

/// The best single ride to each place.
fn first_rides(region: &Region, site: SiteIx, ready: Minute) -> Vec<Option<Vec<Ride>>> {
    let mut best: Vec<Option<Vec<Ride>>> = vec![None; region.places.len()];
    for leg in region.legs.iter().filter(|leg| leg.from == site) {
        for departure in leg.departures.iter().filter(|d| d.leaves >= ready) {
            let known = &mut best[leg.to.0];
            let rank = |d: &Departure| (d.arrives, d.leaves);
            let better = known
                .as_ref()
                .and_then(|rides| rides.first())
                .is_none_or(|ride| rank(departure) < rank(&ride.departure));
            if better {
                *known = Some(vec![Ride {
                    from: Stop::Site(site),
                    to: leg.to,
                    kind: leg.kind,
                    departure: *departure,
                }]);
            }
        }
    }
    best
}
