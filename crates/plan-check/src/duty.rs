//! The duties of a plan, one a file.

pub(crate) mod apart;
pub(crate) mod changing;
pub(crate) mod filament;
pub(crate) mod fits;
pub(crate) mod hands;
pub(crate) mod known;
pub(crate) mod people;
pub(crate) mod promises;
pub(crate) mod travel;

use partpledge_planning_model::{
    Assignment, Making, Plan, Plate, Printer, Region, Site, SiteIx, Windows,
};
use partpledge_units::time::Minute;

use crate::minutes::cut;

/// A place in the plan with all that it is about.
pub(crate) struct Placed<'a> {
    pub(crate) at: &'a Assignment,
    pub(crate) plate: &'a Plate,
    pub(crate) making: &'a Making,
    pub(crate) printer: &'a Printer,
    /// Where the printer stands when it starts.
    pub(crate) stands: SiteIx,
    pub(crate) site: &'a Site,
    /// Staffed hours of the site while the printer is there.
    pub(crate) hours: Windows,
}

/// Where a printer stands at `at`, and from when until when; `None` when it is on its way.
pub(crate) fn stands(printer: &Printer, at: Minute) -> Option<(SiteIx, Minute, Minute)> {
    if printer.stays.is_empty() {
        return Some((printer.site, Minute(i64::MIN), Minute(i64::MAX)));
    }
    let mut stays = printer.stays.iter();
    let stay = stays.find(|stay| stay.from <= at && at < stay.until)?;
    Some((stay.site, stay.from, stay.until))
}

/// The places whose plate, printer and way of making are known; `known` reports the others.
pub(crate) fn placed<'a>(
    region: &'a Region,
    plates: &'a [Plate],
    plan: &'a Plan,
) -> impl Iterator<Item = Placed<'a>> {
    plan.assignments.iter().filter_map(|at| {
        let plate = plates.iter().find(|plate| plate.seq == at.plate)?;
        let making = plate
            .makings
            .iter()
            .find(|making| making.printer == at.printer)?;
        let printer = region.printers.get(at.printer.0)?;
        // `people` reports a printer that is on its way.
        let there = stands(printer, at.start);
        let (stands, from, until) = there.unwrap_or((printer.site, at.start, at.start));
        let site = region.sites.get(stands.0)?;
        Some(Placed {
            at,
            plate,
            making,
            printer,
            stands,
            site,
            hours: cut(&site.staffed, from, until),
        })
    })
}
