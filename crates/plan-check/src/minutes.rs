//! Walking along windows, one after the other.
//!
//! A stretch may come from anybody's file and be of any length, so the windows are counted, never
//! the minutes. `tests/random.rs` asks the same questions minute by minute.

use partpledge_planning_model::{Window, Windows};
use partpledge_units::time::Minute;

/// The first minute at or after `from` inside the windows.
pub(crate) fn first_inside(windows: &Windows, from: Minute) -> Option<Minute> {
    let ahead = windows
        .as_slice()
        .iter()
        .find(|window| window.until > from)?;
    Some(ahead.from.max(from))
}

/// Whether `at` lies in one of the windows.
pub(crate) fn inside(windows: &Windows, at: Minute) -> bool {
    first_inside(windows, at) == Some(at)
}

/// The first minute of `[from, until)` that lies in the windows.
pub(crate) fn first_touched(windows: &Windows, from: Minute, until: Minute) -> Option<Minute> {
    first_inside(windows, from).filter(|&at| at < until)
}

/// The first minute of `[from, until)` that does not lie in the windows.
pub(crate) fn first_outside(windows: &Windows, from: Minute, until: Minute) -> Option<Minute> {
    let holds = |window: &&Window| window.from <= from && from < window.until;
    // Windows never touch, so the minute after the one that holds `from` is outside.
    let outside = windows
        .as_slice()
        .iter()
        .find(holds)
        .map_or(from, |window| window.until);
    (outside < until).then_some(outside)
}

/// The parts of the windows inside `[from, until)`.
pub(crate) fn cut(windows: &Windows, from: Minute, until: Minute) -> Windows {
    let mut out = Vec::new();
    for window in windows.as_slice() {
        if window.until > from && window.from < until {
            out.push(Window {
                from: window.from.max(from),
                until: window.until.min(until),
            });
        }
    }
    Windows::joined(out)
}

/// The end of the `count`-th minute inside the windows from `from` on; `from` itself for none.
pub(crate) fn after_counting(windows: &Windows, from: Minute, count: i64) -> Option<Minute> {
    if count <= 0 {
        return Some(from);
    }
    let mut left = count;
    for window in windows.as_slice() {
        let begin = window.from.max(from);
        let here = window.until.0.saturating_sub(begin.0).max(0);
        if here >= left {
            return Some(Minute(begin.0 + left));
        }
        left -= here;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn walking_along_windows_agrees_with_asking_each_minute() {
        let w = |a, b| Window {
            from: Minute(a),
            until: Minute(b),
        };
        for windows in [vec![], vec![w(3, 5)], vec![w(0, 2), w(4, 5), w(8, 12)]] {
            let windows = Windows::joined(windows);
            let asked = |at: i64| {
                windows
                    .as_slice()
                    .iter()
                    .any(|w| w.from.0 <= at && at < w.until.0)
            };
            for from in -1..14 {
                assert_eq!(inside(&windows, Minute(from)), asked(from), "{from}");
                let first = (from..14).find(|&at| asked(at)).map(Minute);
                assert_eq!(first_inside(&windows, Minute(from)), first, "{from}");
                for until in from..14 {
                    let (a, b) = (Minute(from), Minute(until));
                    let touched = (from..until).find(|&at| asked(at)).map(Minute);
                    assert_eq!(first_touched(&windows, a, b), touched, "{from}..{until}");
                    let outside = (from..until).find(|&at| !asked(at)).map(Minute);
                    assert_eq!(first_outside(&windows, a, b), outside, "{from}..{until}");
                }
                for count in 1..9_usize {
                    let nth = (from..14).filter(|&at| asked(at)).nth(count - 1);
                    let right = nth.map(|at| Minute(at + 1));
                    let count = i64::try_from(count).unwrap();
                    assert_eq!(after_counting(&windows, Minute(from), count), right);
                }
            }
        }
    }
}
