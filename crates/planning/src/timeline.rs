//! Moving along staffed hours.

use partpledge_planning_model::{Window, Windows};
use partpledge_units::time::{Minute, Minutes};

/// The first staffed minute at or after `at`; `None` when the calendar has no more.
///
/// ```
/// use partpledge_planning::timeline::staffed_from;
/// use partpledge_planning_model::{Window, Windows};
/// use partpledge_units::time::Minute;
/// let day = Windows::joined(vec![Window { from: Minute(8), until: Minute(16) }]);
/// assert_eq!(staffed_from(&day, Minute(3)), Some(Minute(8)));
/// assert_eq!(staffed_from(&day, Minute(15)), Some(Minute(15)));
/// assert_eq!(staffed_from(&day, Minute(16)), None); // windows are half open
/// ```
#[must_use]
pub fn staffed_from(staffed: &Windows, at: Minute) -> Option<Minute> {
    window_from(staffed, at).map(|window| window.from.max(at))
}

/// The window that holds `at`, or the next one after it.
#[must_use]
pub fn window_from(staffed: &Windows, at: Minute) -> Option<Window> {
    let list = staffed.as_slice();
    list.get(list.partition_point(|window| window.until <= at))
        .copied()
}

/// The moment when `work` staffed minutes have passed since `from`; `None` when the calendar
/// ends before.
///
/// ```
/// use partpledge_planning::timeline::after_staffed;
/// use partpledge_planning_model::{Window, Windows};
/// use partpledge_units::time::{Minute, Minutes};
/// let w = |a, b| Window { from: Minute(a), until: Minute(b) };
/// let days = Windows::joined(vec![w(8, 16), w(32, 40)]);
/// assert_eq!(after_staffed(&days, Minute(15), Minutes(1)), Some(Minute(16)));
/// assert_eq!(after_staffed(&days, Minute(15), Minutes(3)), Some(Minute(34)));
/// ```
#[must_use]
pub fn after_staffed(staffed: &Windows, from: Minute, work: Minutes) -> Option<Minute> {
    let list = staffed.as_slice();
    let first = list.partition_point(|window| window.until <= from);
    let mut left = work;
    for window in &list[first..] {
        let begin = window.from.max(from);
        if window.until - begin >= left {
            return Some(begin + left);
        }
        left = Minutes(left.0 - (window.until - begin).0);
    }
    None
}

/// The end of the first stretch out of use that touches `[from, until)`, if any does.
#[must_use]
pub fn blocked_until(out_of_use: &Windows, from: Minute, until: Minute) -> Option<Minute> {
    let list = out_of_use.as_slice();
    list.get(list.partition_point(|window| window.until <= from))
        .filter(|window| window.from < until)
        .map(|window| window.until)
}

/// The parts of the windows that lie in `[from, until)`.
///
/// ```
/// use partpledge_planning::timeline::within;
/// use partpledge_planning_model::{Window, Windows};
/// use partpledge_units::time::Minute;
/// let w = |a, b| Window { from: Minute(a), until: Minute(b) };
/// let days = Windows::joined(vec![w(8, 16), w(32, 40)]);
/// assert_eq!(within(&days, Minute(12), Minute(34)).as_slice(), [w(12, 16), w(32, 34)]);
/// ```
#[must_use]
pub fn within(windows: &Windows, from: Minute, until: Minute) -> Windows {
    let cut = windows.as_slice().iter().map(|window| Window {
        from: window.from.max(from),
        until: window.until.min(until),
    });
    Windows::joined(cut.collect())
}
