//! Asking one minute at a time.

use partpledge_planning_model::Windows;
use partpledge_units::time::Minute;

/// Whether `at` lies in one of the windows.
pub(crate) fn inside(windows: &Windows, at: Minute) -> bool {
    windows
        .as_slice()
        .iter()
        .any(|window| window.from <= at && at < window.until)
}

/// Whether every minute of `[from, until)` lies in the windows.
pub(crate) fn all_inside(windows: &Windows, from: Minute, until: Minute) -> bool {
    (from.0..until.0).all(|at| inside(windows, Minute(at)))
}

/// Whether some minute of `[from, until)` lies in the windows.
pub(crate) fn some_inside(windows: &Windows, from: Minute, until: Minute) -> bool {
    (from.0..until.0).any(|at| inside(windows, Minute(at)))
}

/// The first minute at or after `from` inside the windows.
pub(crate) fn first_inside(windows: &Windows, from: Minute) -> Option<Minute> {
    let last = windows.as_slice().last()?.until;
    (from.0..last.0).map(Minute).find(|&at| inside(windows, at))
}

/// The end of the `count`-th minute inside the windows from `from` on; `from` itself for none.
pub(crate) fn after_counting(windows: &Windows, from: Minute, count: i64) -> Option<Minute> {
    if count == 0 {
        return Some(from);
    }
    let last = windows.as_slice().last()?.until;
    let minutes = (from.0..last.0).filter(|&at| inside(windows, Minute(at)));
    let nth = usize::try_from(count - 1).ok()?;
    minutes.into_iter().nth(nth).map(|at| Minute(at + 1))
}
