//! Stretches of time: staffed hours, closures already taken out, printers out of use.

use partpledge_units::time::Minute;

/// A half-open stretch `[from, until)`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Window {
    /// First minute inside.
    pub from: Minute,
    /// First minute after.
    pub until: Minute,
}

/// Windows in order that neither overlap nor touch.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Windows(Vec<Window>);

/// Which rule a list of windows breaks, and at which position.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum WindowsError {
    /// A window ends before it starts, or is empty.
    #[error("window {0} is empty or ends before it starts")]
    Empty(usize),
    /// A window starts before the one before it has ended, or just as it ends.
    #[error("window {0} overlaps or touches the one before it")]
    OutOfOrder(usize),
}

impl Windows {
    /// Takes windows that already keep the rules.
    ///
    /// # Errors
    /// The first broken rule, with the window's position.
    pub fn new(windows: Vec<Window>) -> Result<Self, WindowsError> {
        for (i, window) in windows.iter().enumerate() {
            if window.from >= window.until {
                return Err(WindowsError::Empty(i));
            }
            if i > 0 && windows[i - 1].until >= window.from {
                return Err(WindowsError::OutOfOrder(i));
            }
        }
        Ok(Self(windows))
    }

    /// Sorts, drops empty windows and joins those that overlap or touch.
    ///
    /// ```
    /// use partpledge_planning_model::{Window, Windows};
    /// use partpledge_units::time::Minute;
    /// let w = |a, b| Window { from: Minute(a), until: Minute(b) };
    /// assert_eq!(Windows::joined(vec![w(5, 9), w(1, 5), w(7, 7)]).as_slice(), [w(1, 9)]);
    /// ```
    #[must_use]
    pub fn joined(mut windows: Vec<Window>) -> Self {
        windows.retain(|window| window.from < window.until);
        windows.sort_unstable();
        let mut out: Vec<Window> = Vec::with_capacity(windows.len());
        for window in windows {
            match out.last_mut() {
                Some(last) if last.until >= window.from => {
                    last.until = last.until.max(window.until);
                }
                _ => out.push(window),
            }
        }
        Self(out)
    }

    /// These windows with every minute of `holes` taken out: opening hours less closures.
    ///
    /// ```
    /// use partpledge_planning_model::{Window, Windows};
    /// use partpledge_units::time::Minute;
    /// let w = |a, b| Window { from: Minute(a), until: Minute(b) };
    /// let open = Windows::joined(vec![w(0, 10), w(20, 30)]);
    /// let shut = Windows::joined(vec![w(4, 6), w(9, 22)]);
    /// assert_eq!(open.without(&shut).as_slice(), [w(0, 4), w(6, 9), w(22, 30)]);
    /// ```
    #[must_use]
    pub fn without(&self, holes: &Self) -> Self {
        let mut out = Vec::with_capacity(self.0.len());
        for window in &self.0 {
            let mut from = window.from;
            for hole in &holes.0 {
                if hole.until <= from || hole.from >= window.until {
                    continue;
                }
                if hole.from > from {
                    out.push(Window {
                        from,
                        until: hole.from,
                    });
                }
                from = from.max(hole.until);
            }
            if from < window.until {
                out.push(Window {
                    from,
                    until: window.until,
                });
            }
        }
        Self(out)
    }

    /// The windows in order.
    #[must_use]
    pub fn as_slice(&self) -> &[Window] {
        &self.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn w(a: i64, b: i64) -> Window {
        Window {
            from: Minute(a),
            until: Minute(b),
        }
    }

    #[test]
    fn the_broken_rule_is_named_with_its_place() {
        assert_eq!(
            Windows::new(vec![w(0, 1), w(3, 3)]),
            Err(WindowsError::Empty(1))
        );
        assert_eq!(
            Windows::new(vec![w(0, 4), w(4, 5)]),
            Err(WindowsError::OutOfOrder(1))
        );
        assert!(Windows::new(vec![w(0, 4), w(5, 6)]).is_ok());
    }

    #[test]
    fn a_closure_that_covers_a_window_removes_it() {
        let open = Windows::joined(vec![w(8, 16)]);
        assert_eq!(
            open.without(&Windows::joined(vec![w(0, 24)])),
            Windows::default()
        );
    }
}
