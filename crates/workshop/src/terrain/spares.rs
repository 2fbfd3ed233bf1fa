//! Benches at meetings: their printers print spares and nothing else, and spares are printed nowhere else.

use jiff::ToSpan;
use jiff::civil::Time;
use partpledge_catalogue::RegionFile;
use partpledge_catalogue::region::Host;
use partpledge_planning_model::{PlaceIx, PrinterIx, SiteIx, Window};
use partpledge_units::local::{Zone, parse_date};

use super::Terrain;

/// The days on which a printer is away at a meeting, from midnight to midnight. A day that can't be read is
/// none: the region file was checked for that.
pub(super) fn away(file: &RegionFile, zone: &Zone, printer: &str) -> Vec<Window> {
    let days = file.away_on(printer).into_iter();
    let window = |day: &str| {
        let day = parse_date(day).ok()?;
        let next = day.checked_add(1.day()).unwrap_or(day);
        Some(Window {
            from: zone.minute(day, Time::midnight()),
            until: zone.minute(next, Time::midnight()),
        })
    };
    days.filter_map(window).collect()
}

impl Terrain {
    /// The bench for spares that hands over at a place, if one does.
    #[must_use]
    pub fn spares_at(&self, place: PlaceIx) -> Option<&Host> {
        let school = self.file.schools.get(place.0)?;
        self.file.spares_bench(&school.code)
    }

    /// Whether a site is a bench at a meeting.
    #[must_use]
    pub fn prints_spares(&self, site: SiteIx) -> bool {
        let host = self.file.hosts.get(site.0);
        host.is_some_and(Host::prints_spares)
    }

    /// Whether a printer stands at a meeting, and prints nothing but spares on its day.
    #[must_use]
    pub fn is_at_a_meeting(&self, printer: PrinterIx) -> bool {
        let here = self.file.printers.get(printer.0);
        here.is_some_and(|entry| self.file.spares_bench(&entry.host).is_some())
    }

    /// Whether a printer is for what is handed over at a place: at a bench for spares only what is fetched
    /// there is printed, and that is printed nowhere else.
    #[must_use]
    pub fn is_for(&self, printer: PrinterIx, place: PlaceIx) -> bool {
        let here = self.file.printers.get(printer.0);
        let here = here.and_then(|entry| self.file.spares_bench(&entry.host));
        let there = self.spares_at(place);
        here.map(|bench| &bench.school) == there.map(|bench| &bench.school)
    }
}
