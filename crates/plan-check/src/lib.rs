//! A plan in; violations out. Never sees the planner.
//!
//! One file a duty. The code is slow and plain on purpose: it asks of every single minute whether
//! somebody is there, instead of sharing the planner's cleverness (and its mistakes).

mod duty;
mod minutes;
pub mod violation;

use partpledge_planning_model::{Plan, Plate, Region};

pub use violation::Violation;

/// Everything that is wrong with `plan`, in order of plate within each duty; empty for a plan
/// that may be saved.
///
/// `previous` is the plan that this one replaces: what was frozen in it must not have moved.
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
    if !found.is_empty() {
        return found; // the other duties look things up by what has just been found broken
    }
    duty::fits::check(region, plates, plan, &mut found);
    duty::people::check(region, plates, plan, &mut found);
    duty::apart::check(region, plan, &mut found);
    duty::travel::check(region, plates, plan, &mut found);
    duty::promises::check(plates, plan, previous, &mut found);
    found
}
