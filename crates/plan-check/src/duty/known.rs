//! Every place is for a known plate, once, in order, on a printer that can make it.

use partpledge_planning_model::{Plan, Plate, Printer, Region};

use crate::violation::Violation;

pub(crate) fn check(region: &Region, plates: &[Plate], plan: &Plan, found: &mut Vec<Violation>) {
    let slots = &plan.assignments;
    for (i, slot) in slots.iter().enumerate() {
        let (plate, printer) = (slot.plate, slot.printer);
        if slots[..i].iter().any(|earlier| earlier.plate == plate) {
            found.push(Violation::PlannedTwice { plate });
        }
        if let Some(before) = slots[..i].last().filter(|before| before.plate > plate) {
            found.push(Violation::OutOfOrder {
                plate,
                after: before.plate,
            });
        }
        let at_a_site = |p: &Printer| {
            let stays = p.stays.iter().map(|stay| stay.site);
            stays
                .chain([p.site])
                .all(|site| site.0 < region.sites.len())
        };
        if !region.printers.get(printer.0).is_some_and(at_a_site) {
            found.push(Violation::NoSuchPrinter { plate, printer });
        }
        match plates.iter().find(|known| known.seq == plate) {
            None => found.push(Violation::UnknownPlate { plate }),
            Some(known) if !known.makings.iter().any(|making| making.printer == printer) => {
                found.push(Violation::NoSuchMaking { plate, printer });
            }
            Some(_) => {}
        }
    }
}
