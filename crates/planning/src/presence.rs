//! Who comes and what leaves, in one world: visits that nobody makes, departures that are missed.

use partpledge_planning_model::{PlaceIx, SiteIx, Window};
use partpledge_units::time::{Minute, Minutes};

use crate::ground::{Ground, Leaving};
use crate::mixed::mixed;
use crate::strata::throw;
use crate::timeline::after_staffed;

/// Set apart from the luck of plates.
const KEY: u64 = 0x70FF_EE0F_5C40_0152;
/// Relays are thrown under numbers of their own.
const RELAYS: u64 = 1 << 40;
/// More missed visits or departures in a row than this are not followed: nobody comes any more.
const MOST_MISSED: usize = 64;

/// Which visits and departures really happen in one world.
///
/// People know the calendar; who stays away is known to the world only. Each staffed window and
/// each departure from a site is thrown by itself, the same for every plate and candidate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Presence {
    key: u64,
    world: u64,
}

impl Presence {
    /// That of a world.
    #[must_use]
    pub fn of(seed: u64, world: u64) -> Self {
        let key = mixed(seed ^ KEY);
        Self { key, world }
    }

    /// Evenly in [0, 1), by what and when.
    fn throw(self, what: u64, at: Minute) -> f64 {
        let key = mixed(self.key ^ mixed(what.rotate_left(32) ^ at.0.unsigned_abs()));
        throw(key, self.world)
    }

    /// Whether somebody comes to the site in that staffed window.
    #[must_use]
    pub fn comes(self, ground: &Ground<'_>, site: SiteIx, window: Window) -> bool {
        let chance = ground.region().sites[site.0].no_show;
        chance <= 0.0 || self.throw(2 * site.0 as u64, window.from) >= chance
    }

    /// The first minute at or after `at` at which somebody is really there.
    #[must_use]
    pub fn there_from(self, ground: &Ground<'_>, site: SiteIx, at: Minute) -> Option<Minute> {
        let staffed = ground.region().sites[site.0].staffed.as_slice();
        let first = staffed.partition_point(|window| window.until <= at);
        let mut coming = staffed[first..].iter().take(MOST_MISSED);
        let window = coming.find(|window| self.comes(ground, site, **window))?;
        Some(window.from.max(at))
    }

    /// When a box is ready whose plate came off the bed at `cleared`, when somebody was there.
    #[must_use]
    pub fn boxed(self, ground: &Ground<'_>, site: SiteIx, cleared: Minute) -> Option<Minute> {
        let here = &ground.region().sites[site.0];
        if here.no_show <= 0.0 {
            return after_staffed(&here.staffed, cleared, here.boxing);
        }
        let staffed = here.staffed.as_slice();
        let first = staffed.partition_point(|window| window.until <= cleared);
        let mut left = here.boxing;
        for window in staffed[first..].iter().take(MOST_MISSED) {
            let begun = window.from <= cleared;
            if !begun && !self.comes(ground, site, *window) {
                continue;
            }
            let begin = window.from.max(cleared);
            if window.until - begin >= left {
                return Some(begin + left);
            }
            left = Minutes(left.0 - (window.until - begin).0);
        }
        None
    }

    /// When a box ready at `site` at `ready` is really handed over at `place`.
    #[must_use]
    pub fn arrival(
        self,
        ground: &Ground<'_>,
        (site, place): (SiteIx, PlaceIx),
        ready: Minute,
    ) -> Option<Minute> {
        let Some(leavings) = ground.missable(site, place) else {
            return ground.arrival(site, place, ready);
        };
        let first = leavings.partition_point(|leaving| leaving.leaves < ready);
        let mut best: Option<Minute> = None;
        for leaving in &leavings[first..] {
            // What leaves after the best hand-over can't be better.
            if best.is_some_and(|best| leaving.leaves >= best) {
                break;
            }
            if self.taken_along(site, leaving) && best.is_none_or(|best| leaving.arrives < best) {
                best = Some(leaving.arrives);
            }
        }
        best
    }

    /// Whether a site's boxes are taken along by a departure, and by the relay that they change to:
    /// one throw for each departure of either, whoever's boxes they are.
    fn taken_along(self, site: SiteIx, leaving: &Leaving) -> bool {
        let what = 2 * site.0 as u64 + 1;
        let goes = leaving.missed <= 0.0 || self.throw(what, leaving.leaves) >= leaving.missed;
        goes && leaving.change.is_none_or(|change| {
            let what = RELAYS + change.at.0 as u64;
            change.missed <= 0.0 || self.throw(what, change.leaves) >= change.missed
        })
    }
}

#[cfg(test)]
mod tests {
    use partpledge_planning_model::{Departure, Leg, LegKind, Place, Region, Relay, Site, Windows};

    use super::*;

    /// One site open every day from 8 to 16, a box a quarter of an hour, a round at 15 each day.
    fn region(no_show: f64, missed: f64) -> Region {
        let at = |day: i64, hour: i64| Minute(day * 1_440 + hour * 60);
        let window = |day| Window {
            from: at(day, 8),
            until: at(day, 16),
        };
        let departure = |day| Departure {
            leaves: at(day, 15),
            arrives: at(day, 20),
        };
        Region {
            sites: vec![Site {
                name: "Site".into(),
                staffed: Windows::joined((0..2_000).map(window).collect()),
                boxing: Minutes(15),
                no_show,
                ..Site::default()
            }],
            printers: Vec::new(),
            places: vec![Place {
                name: "Place".into(),
            }],
            legs: vec![Leg {
                from: SiteIx(0),
                to: PlaceIx(0),
                kind: LegKind::Courier,
                departures: (0..2_000).map(departure).collect(),
                missed,
            }],
            relays: Vec::new(),
            horizon: None,
        }
    }

    #[test]
    fn people_stay_away_and_rounds_are_missed_as_often_as_was_said() {
        let region = region(0.2, 0.1);
        let ground = Ground::new(&region);
        let (mut away, mut missed) = (0, 0);
        for day in 0..1_900 {
            let world = Presence::of(7, 3);
            let noon = Minute(day * 1_440 + 720);
            away += i32::from(world.there_from(&ground, SiteIx(0), noon) != Some(noon));
            let route = (SiteIx(0), PlaceIx(0));
            let evening = Minute(day * 1_440 + 1_200);
            missed += i32::from(world.arrival(&ground, route, noon) != Some(evening));
        }
        // 380 and 190 expected; standard deviations 17.4 and 13.1.
        assert!((320..440).contains(&away), "{away}");
        assert!((145..235).contains(&missed), "{missed}");
    }

    /// The same with a ferry from the place to another at 21:00, over at 21:30.
    fn with_ferry(missed: f64) -> Region {
        let mut region = region(0.0, 0.0);
        region.places.push(Place {
            name: "Other bank".into(),
        });
        let departure = |day: i64| Departure {
            leaves: Minute(day * 1_440 + 1_260),
            arrives: Minute(day * 1_440 + 1_290),
        };
        region.relays.push(Relay {
            from: PlaceIx(0),
            to: PlaceIx(1),
            kind: LegKind::Courier,
            handling: Minutes(15),
            departures: (0..2_000).map(departure).collect(),
            missed,
        });
        region
    }

    #[test]
    fn a_ferry_leaves_boxes_behind_as_often_as_was_said_and_those_of_one_crossing_together() {
        let mut region = with_ferry(0.2);
        // Another host's round reaches the same ferry.
        region.sites.push(region.sites[0].clone());
        let other = Leg {
            from: SiteIx(1),
            ..region.legs[0].clone()
        };
        region.legs.push(other);
        let ground = Ground::new(&region);
        let world = Presence::of(7, 3);
        let mut left = 0;
        for day in 0..1_900 {
            let noon = Minute(day * 1_440 + 720);
            let over = Minute(day * 1_440 + 1_290);
            let arrives = |site| world.arrival(&ground, (SiteIx(site), PlaceIx(1)), noon);
            assert_eq!(arrives(0), arrives(1), "one throw a crossing");
            left += i32::from(arrives(0) != Some(over));
        }
        // 380 expected; standard deviation 17.4.
        assert!((320..440).contains(&left), "{left}");
    }

    #[test]
    fn with_no_chance_of_it_all_goes_by_the_calendar() {
        let region = region(0.0, 0.0);
        let ground = Ground::new(&region);
        let world = Presence::of(7, 3);
        for at in (0..20_000).step_by(97).map(Minute) {
            let site = &region.sites[0];
            let there = crate::timeline::staffed_from(&site.staffed, at);
            assert_eq!(world.there_from(&ground, SiteIx(0), at), there);
            let boxed = after_staffed(&site.staffed, at, site.boxing);
            assert_eq!(world.boxed(&ground, SiteIx(0), at), boxed);
            let route = (SiteIx(0), PlaceIx(0));
            let arrival = ground.arrival(SiteIx(0), PlaceIx(0), at);
            assert_eq!(world.arrival(&ground, route, at), arrival);
        }
    }

    #[test]
    fn a_box_waits_for_somebody_to_come() {
        let region = region(0.5, 0.0);
        let ground = Ground::new(&region);
        for number in 0..50 {
            let world = Presence::of(1, number);
            // Five minutes before closing: the other ten are those of the next visit.
            let ready = world.boxed(&ground, SiteIx(0), Minute(955));
            let next = world.there_from(&ground, SiteIx(0), Minute(960));
            assert_eq!(ready, next.map(|next| next + Minutes(10)));
        }
    }
}
