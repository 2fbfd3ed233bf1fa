//! No two plates share a printer: the next starts when the one before is off the bed.

use partpledge_planning_model::{Plan, PrinterIx, Region};

use crate::violation::Violation;

pub(crate) fn check(region: &Region, plan: &Plan, found: &mut Vec<Violation>) {
    for printer in (0..region.printers.len()).map(PrinterIx) {
        let here: Vec<_> = plan
            .assignments
            .iter()
            .filter(|p| p.printer == printer)
            .collect();
        for (i, one) in here.iter().enumerate() {
            for other in &here[i + 1..] {
                if one.start < other.cleared && other.start < one.cleared {
                    found.push(Violation::Overlap(one.plate, other.plate, printer));
                }
            }
        }
    }
}
