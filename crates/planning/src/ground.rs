//! A region, indexed once for many questions.

use std::borrow::Cow;

use partpledge_planning_model::{
    Making, PlaceIx, Plate, Printer, PrinterIx, Region, Site, SiteIx, Windows,
};
use partpledge_units::time::{Minute, Minutes};

use crate::journeys::leavings;
use crate::timeline::{after_staffed, within};

/// One route's timetable: sorted by departure, each with the best hand-over from then on.
type Timetable = Vec<(Minute, Minute)>;

/// A time that a printer spends in one place, with the hours in which people are there.
#[derive(Clone, Debug)]
pub struct Stand<'a> {
    /// Where.
    pub site: SiteIx,
    /// Set up from then on; the beginning of time for a printer that does not travel.
    pub from: Minute,
    /// Packed up then; the end of time for a printer that does not travel.
    pub until: Minute,
    /// Staffed hours of the site while it is there.
    pub staffed: Cow<'a, Windows>,
    /// Longest of them.
    longest: Minutes,
}

impl Stand<'_> {
    /// The last moment at which somebody can clear the bed before the printer travels on; `None`
    /// for one that does not travel.
    pub(crate) fn packed_up(&self) -> Option<Minute> {
        let last = self.staffed.as_slice().last();
        last.filter(|_| self.until < Minute(i64::MAX))
            .map(|w| w.until)
    }
}

/// A material of the region, as a small number; equal numbers, equal materials.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Filament(u16);

/// What a plate puts on a printer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Load {
    /// Its material; `None` when nobody knows or it does not matter here.
    pub filament: Option<Filament>,
    /// What it still takes from the shelf, in grams; nothing once it has been started.
    pub grams: i64,
}

/// A departure that may be missed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leaving {
    /// Last minute at which a ready box is taken along.
    pub leaves: Minute,
    /// When it is handed over.
    pub arrives: Minute,
    /// Chance that the site's boxes are not taken along.
    pub missed: f64,
    /// The relay that a box must catch then, if it goes over several legs.
    pub change: Option<Change>,
}

/// Where a box changes over to a relay, and the departure that it is to catch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// At this place.
    pub at: PlaceIx,
    /// The relay leaves then.
    pub leaves: Minute,
    /// Chance that it, or a relay after it, does not take the box along.
    pub missed: f64,
}

impl Leaving {
    /// Chance that a relay on its way is missed.
    pub(crate) fn relay_missed(&self) -> f64 {
        self.change.map_or(0.0, |change| change.missed)
    }
}

/// A region with its legs indexed by site and place.
#[derive(Clone, Debug)]
pub struct Ground<'a> {
    region: &'a Region,
    routes: Vec<Timetable>,
    /// Every departure in order of leaving, for routes on which one may be missed; else empty.
    missable: Vec<Vec<Leaving>>,
    /// Where each printer stands, in order of time.
    stands: Vec<Vec<Stand<'a>>>,
    /// Printers that stand at each site now or then.
    at_site: Vec<Vec<PrinterIx>>,
    /// All materials that a printer takes.
    filaments: Vec<&'a str>,
    limited: bool,
}

impl<'a> Ground<'a> {
    /// Indexes the legs and relays; costs one sort of all departures.
    #[must_use]
    pub fn new(region: &'a Region) -> Self {
        let missable = leavings(region);
        let each = |all: &Vec<Leaving>| all.iter().map(|l| (l.leaves, l.arrives)).collect();
        let mut routes: Vec<Timetable> = missable.iter().map(each).collect();
        for route in &mut routes {
            // A box that misses nothing may still be overtaken by a later, faster departure.
            for i in (1..route.len()).rev() {
                route[i - 1].1 = route[i - 1].1.min(route[i].1);
            }
        }
        let stands: Vec<Vec<Stand<'_>>> =
            region.printers.iter().map(|p| stands(region, p)).collect();
        let stays_at = |site: usize| {
            let here = |p: &usize| stands[*p].iter().any(|stand| stand.site.0 == site);
            (0..stands.len()).filter(here).map(PrinterIx).collect()
        };
        let mut filaments: Vec<&str> = region
            .printers
            .iter()
            .flat_map(|printer| printer.materials.iter().chain(&printer.loaded))
            .map(String::as_str)
            .collect();
        filaments.sort_unstable();
        filaments.dedup();
        let changes = region.printers.iter().any(|p| p.change > Minutes(0));
        let short = |site: &Site| site.starts_a_window.is_some() || !site.stock.is_empty();
        Self {
            region,
            routes,
            missable: missable.into_iter().map(if_any_is_missed).collect(),
            at_site: (0..region.sites.len()).map(stays_at).collect(),
            stands,
            filaments,
            limited: changes || region.sites.iter().any(short),
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

    /// Where a printer stands, in order of time; once and for all if it does not travel.
    #[must_use]
    pub fn stands(&self, printer: PrinterIx) -> &[Stand<'a>] {
        &self.stands[printer.0]
    }

    /// Where a printer stands at `at`; on the way, where it was last; before its first stay, there.
    #[must_use]
    pub fn stand_at(&self, printer: PrinterIx, at: Minute) -> &Stand<'a> {
        let stands = &self.stands[printer.0];
        let begun = stands.partition_point(|stand| stand.from <= at);
        &stands[begun.saturating_sub(1)]
    }

    /// The site that a printer stands at, as [`Ground::stand_at`].
    #[must_use]
    pub fn site_at(&self, printer: PrinterIx, at: Minute) -> &'a Site {
        &self.region.sites[self.stand_at(printer, at).site.0]
    }

    /// Printers that stand at a site, now or then.
    pub(crate) fn at_site(&self, site: SiteIx) -> &[PrinterIx] {
        &self.at_site[site.0]
    }

    /// The longest stretch in which somebody is beside the printer.
    #[must_use]
    pub fn longest_visit(&self, printer: PrinterIx) -> Minutes {
        let stands = self.stands[printer.0].iter();
        stands.map(|stand| stand.longest).max().unwrap_or_default()
    }

    /// Whether hands, material changes or stock limit what can be planned anywhere.
    pub(crate) fn limited(&self) -> bool {
        self.limited
    }

    /// Whether a printer travels, if only to one place and away from it.
    pub(crate) fn travels(&self) -> bool {
        let mut printers = self.region.printers.iter();
        printers.any(|printer| !printer.stays.is_empty())
    }

    /// What a plate puts on a printer. `started` plates have their filament already.
    #[must_use]
    pub fn load(&self, plate: &Plate, started: bool) -> Load {
        if !self.limited {
            return Load::default();
        }
        Load {
            filament: self.filament(&plate.material),
            grams: if started { 0 } else { plate.grams },
        }
    }

    pub(crate) fn filament(&self, code: &str) -> Option<Filament> {
        let found = self.filaments.binary_search(&code).ok()?;
        u16::try_from(found).ok().map(Filament)
    }

    /// When the copies of a plate are boxed that was started on `printer` at `start` and is off the
    /// bed at `cleared`; `None` when the calendar ends before.
    #[must_use]
    pub fn boxed(&self, printer: PrinterIx, start: Minute, cleared: Minute) -> Option<Minute> {
        let site = self.site_at(printer, start);
        after_staffed(&site.staffed, cleared, site.boxing)
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

    /// The last moment at which a box may be ready at `site` to be handed over at `place` by `by`.
    /// `None` when no departure arrives so early.
    #[must_use]
    pub fn ready_by(&self, site: SiteIx, place: PlaceIx, by: Minute) -> Option<Minute> {
        let route = &self.routes[site.0 * self.region.places.len() + place.0];
        let in_time = route.partition_point(|&(_, arrives)| arrives <= by);
        in_time.checked_sub(1).map(|last| route[last].0)
    }

    /// How many printers stand, now or then, where something goes to a place from.
    #[must_use]
    pub fn sending_to(&self, place: PlaceIx) -> usize {
        let goes = |stand: &Stand<'_>| {
            let route = stand.site.0 * self.region.places.len() + place.0;
            !self.routes[route].is_empty()
        };
        let stands = self.stands.iter();
        stands.filter(|stands| stands.iter().any(goes)).count()
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

fn stands<'a>(region: &'a Region, printer: &Printer) -> Vec<Stand<'a>> {
    let longest = |hours: &Windows| {
        let windows = hours.as_slice().iter();
        windows.map(|w| w.until - w.from).max().unwrap_or_default()
    };
    let hours = |site: SiteIx| region.sites.get(site.0).map(|site| &site.staffed);
    if printer.stays.is_empty() {
        let staffed = hours(printer.site).map_or_else(Cow::default, Cow::Borrowed);
        return vec![Stand {
            site: printer.site,
            from: Minute(i64::MIN),
            until: Minute(i64::MAX),
            longest: longest(&staffed),
            staffed,
        }];
    }
    let stays = printer.stays.iter().map(|stay| {
        let staffed = hours(stay.site).map_or_else(Windows::default, |hours| {
            within(hours, stay.from, stay.until)
        });
        Stand {
            site: stay.site,
            from: stay.from,
            until: stay.until,
            longest: longest(&staffed),
            staffed: Cow::Owned(staffed),
        }
    });
    stays.collect()
}

/// Departures of a route; none when nothing is ever missed on it.
fn if_any_is_missed(leavings: Vec<Leaving>) -> Vec<Leaving> {
    let missed = |leaving: &Leaving| leaving.missed > 0.0 || leaving.relay_missed() > 0.0;
    let any = leavings.iter().any(missed);
    if any { leavings } else { Vec::new() }
}
