//! The duties of a plan, one a file.

pub(crate) mod apart;
pub(crate) mod fits;
pub(crate) mod known;
pub(crate) mod people;
pub(crate) mod promises;
pub(crate) mod travel;

use partpledge_planning_model::{Assignment, Making, Plan, Plate, Printer, Region, Site};

/// A place in the plan with all that it is about.
pub(crate) struct Placed<'a> {
    pub(crate) at: &'a Assignment,
    pub(crate) plate: &'a Plate,
    pub(crate) making: &'a Making,
    pub(crate) printer: &'a Printer,
    pub(crate) site: &'a Site,
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
        let site = region.sites.get(printer.site.0)?;
        Some(Placed {
            at,
            plate,
            making,
            printer,
            site,
        })
    })
}
