//! A plan in; violations out. Never sees the planner.
//!
//! One file a duty. The code is slow and plain on purpose: it looks everything up anew for every
//! plate, instead of sharing the planner's indices and cleverness (and its mistakes). A plan may
//! come from a file that anybody wrote: no number in it makes this code run long or overflow.

mod duty;
mod minutes;
pub mod violation;

use partpledge_planning_model::{Plan, Plate, Region};

pub use violation::Violation;

/// Everything that is wrong with `plan`, in order of plate within each duty; empty for a plan
/// that may be saved.
///
/// `previous` is the plan that this one replaces: what was frozen in it has begun, and must not have moved.
/// `plates` are all plates known, those without a place in the plan included.
///
/// ```
/// use partpledge_plan_check::check;
/// use partpledge_planning_model::{Plan, Region};
/// assert!(check(&Region::default(), &[], &Plan::default(), None).is_empty());
/// ```
#[must_use]
pub fn check(
    region: &Region,
    plates: &[Plate],
    plan: &Plan,
    previous: Option<&Plan>,
) -> Vec<Violation> {
    let mut found = Vec::new();
    duty::known::check(region, plates, plan, &mut found);
    duty::fits::check(region, plates, plan, &mut found);
    duty::people::check(region, plates, (plan, previous), &mut found);
    duty::apart::check(plan, &mut found);
    duty::hands::check(region, plates, plan, &mut found);
    duty::changing::check(region, plates, plan, &mut found);
    duty::filament::check(region, plates, plan, &mut found);
    duty::travel::check(region, plates, plan, &mut found);
    duty::promises::check(region, plates, plan, previous, &mut found);
    found
}
