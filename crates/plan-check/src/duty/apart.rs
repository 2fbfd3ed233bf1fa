//! No two plates share a printer: the next starts when the one before is off the bed.

use partpledge_planning_model::Plan;

use crate::violation::Violation;

pub(crate) fn check(plan: &Plan, found: &mut Vec<Violation>) {
    for (i, one) in plan.assignments.iter().enumerate() {
        for other in &plan.assignments[i + 1..] {
            if one.printer != other.printer || one.plate == other.plate {
                continue; // a plate with two places is found by `known`
            }
            // Off the bed at `cleared`, but never before `end`, whatever is said.
            let from = one.start.max(other.start);
            let until = one.cleared.max(one.end).min(other.cleared.max(other.end));
            if from < until {
                found.push(Violation::Overlap {
                    plate: one.plate,
                    other: other.plate,
                    printer: one.printer,
                    from,
                });
            }
        }
    }
}
