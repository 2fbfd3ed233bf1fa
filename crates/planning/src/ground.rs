//! A region, indexed once for many questions.

use partpledge_planning_model::{Making, PlaceIx, Printer, PrinterIx, Region, Site, SiteIx};
use partpledge_units::time::{Minute, Minutes};

/// One route's timetable: sorted by departure, each with the best hand-over from then on.
type Timetable = Vec<(Minute, Minute)>;

/// A departure that may be missed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leaving {
    /// Last minute at which a ready box is taken along.
    pub leaves: Minute,
    /// When it is handed over.
    pub arrives: Minute,
    /// Chance that the site's boxes are not taken along.
    pub missed: f64,
}

/// A region with its legs indexed by site and place.
#[derive(Clone, Debug)]
pub struct Ground<'a> {
    region: &'a Region,
    routes: Vec<Timetable>,
    /// Every departure in order of leaving, for routes on which one may be missed; else empty.
    missable: Vec<Vec<Leaving>>,
    /// Longest staffed window of each site.
    longest: Vec<Minutes>,
}

impl<'a> Ground<'a> {
    /// Indexes the legs; costs one sort of all departures.
    #[must_use]
    pub fn new(region: &'a Region) -> Self {
        let mut routes = vec![Timetable::new(); region.sites.len() * region.places.len()];
        for leg in &region.legs {
            let route = &mut routes[leg.from.0 * region.places.len() + leg.to.0];
            route.extend(leg.departures.iter().map(|d| (d.leaves, d.arrives)));
        }
        for route in &mut routes {
            route.sort_unstable();
            // A box that misses nothing may still be overtaken by a later, faster departure.
            for i in (1..route.len()).rev() {
                route[i - 1].1 = route[i - 1].1.min(route[i].1);
            }
        }
        let mut missable = vec![Vec::new(); routes.len()];
        for leg in &region.legs {
            let all = leg.departures.iter().map(|departure| Leaving {
                leaves: departure.leaves,
                arrives: departure.arrives,
                missed: leg.missed,
            });
            missable[leg.from.0 * region.places.len() + leg.to.0].extend(all);
        }
        for leavings in &mut missable {
            if leavings.iter().all(|leaving| leaving.missed <= 0.0) {
                *leavings = Vec::new();
            }
            leavings.sort_by_key(|leaving| (leaving.leaves, leaving.arrives));
        }
        let longest = |site: &Site| {
            let windows = site.staffed.as_slice().iter();
            windows.map(|w| w.until - w.from).max().unwrap_or_default()
        };
        Self {
            region,
            routes,
            missable,
            longest: region.sites.iter().map(longest).collect(),
        }
    }

    /// The region itself.
    #[must_use]
    pub fn region(&self) -> &'a Region {
        self.region
    }

    /// A printer.
    #[must_use]
    pub fn printer(&self, printer: PrinterIx) -> &'a Printer {
        &self.region.printers[printer.0]
    }

    /// The site that a printer stands at.
    #[must_use]
    pub fn site_of(&self, printer: PrinterIx) -> &'a Site {
        &self.region.sites[self.printer(printer).site.0]
    }

    /// The longest stretch in which somebody is at the site.
    #[must_use]
    pub fn longest_visit(&self, site: SiteIx) -> Minutes {
        self.longest[site.0]
    }

    /// When a box ready at `site` at `ready` is handed over at `place`: the best of all
    /// departures not yet gone. `None` when none is left.
    #[must_use]
    pub fn arrival(&self, site: SiteIx, place: PlaceIx, ready: Minute) -> Option<Minute> {
        let route = &self.routes[site.0 * self.region.places.len() + place.0];
        route
            .get(route.partition_point(|&(leaves, _)| leaves < ready))
            .map(|&(_, arrives)| arrives)
    }

    /// Every departure from a site to a place in order of leaving, if any of them may be missed.
    #[must_use]
    pub fn missable(&self, site: SiteIx, place: PlaceIx) -> Option<&[Leaving]> {
        let leavings = &self.missable[site.0 * self.region.places.len() + place.0];
        (!leavings.is_empty()).then_some(leavings)
    }

    /// Whether the printer takes the material and its bed the footprint, turned by 90° if need be.
    #[must_use]
    pub fn takes(&self, making: &Making, material: &str) -> bool {
        let printer = self.printer(making.printer);
        let [x, y, z] = making.footprint.0;
        let [bed_x, bed_y, bed_z] = printer.bed_mm;
        let lies = (x <= bed_x && y <= bed_y) || (y <= bed_x && x <= bed_y);
        printer.materials.iter().any(|code| code == material) && lies && z <= bed_z
    }

    /// Whether the calendars cover `at`.
    #[must_use]
    pub fn within(&self, at: Minute) -> bool {
        self.region.horizon.is_none_or(|horizon| at <= horizon)
    }
}
