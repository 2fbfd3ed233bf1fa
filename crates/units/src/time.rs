//! Planning time in whole minutes of UTC, event time in milliseconds, and the clock as a guest.

use std::fmt;
use std::ops::{Add, Sub};

/// A moment in planning time: whole minutes since 1970-01-01T00:00Z.
///
/// Durations are rounded up to it and latest starts down, so that a plan never promises a
/// minute it does not have.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Minute(pub i64);

/// A length of planning time in whole minutes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Minutes(pub i64);

/// A moment in event time: milliseconds since 1970-01-01T00:00Z.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct EventMs(pub i64);

impl Minute {
    /// The first whole minute not before `at`.
    ///
    /// ```
    /// use partpledge_units::time::{EventMs, Minute};
    /// assert_eq!(Minute::at_or_after(EventMs(60_001)), Minute(2));
    /// assert_eq!(Minute::at_or_after(EventMs(60_000)), Minute(1));
    /// ```
    #[must_use]
    pub fn at_or_after(at: EventMs) -> Self {
        Self(at.0.div_euclid(60_000) + i64::from(at.0.rem_euclid(60_000) != 0))
    }

    /// The last whole minute not after `at`: what people read of when something happened, as a clock on
    /// the wall shows it.
    ///
    /// ```
    /// use partpledge_units::time::{EventMs, Minute};
    /// assert_eq!(Minute::at_or_before(EventMs(119_999)), Minute(1));
    /// assert_eq!(Minute::at_or_before(EventMs(120_000)), Minute(2));
    /// ```
    #[must_use]
    pub fn at_or_before(at: EventMs) -> Self {
        Self(at.0.div_euclid(60_000))
    }

    /// The same moment in event time.
    #[must_use]
    pub fn to_ms(self) -> EventMs {
        EventMs(self.0 * 60_000)
    }
}

impl Minutes {
    /// The least number of whole minutes that covers `seconds`; zero for what is not positive.
    ///
    /// ```
    /// use partpledge_units::time::Minutes;
    /// assert_eq!(Minutes::covering_s(61.0), Minutes(2));
    /// assert_eq!(Minutes::covering_s(-1.0), Minutes(0));
    /// ```
    #[must_use]
    pub fn covering_s(seconds: f64) -> Self {
        Self(crate::cast::ceil_i64(seconds / 60.0).unwrap_or(0).max(0))
    }
}

impl Add<Minutes> for Minute {
    type Output = Self;
    fn add(self, rhs: Minutes) -> Self {
        Self(self.0 + rhs.0)
    }
}

impl Sub<Minutes> for Minute {
    type Output = Self;
    fn sub(self, rhs: Minutes) -> Self {
        Self(self.0 - rhs.0)
    }
}

impl Sub for Minute {
    type Output = Minutes;
    fn sub(self, rhs: Self) -> Minutes {
        Minutes(self.0 - rhs.0)
    }
}

impl Add for Minutes {
    type Output = Self;
    fn add(self, rhs: Self) -> Self {
        Self(self.0 + rhs.0)
    }
}

impl fmt::Display for Minutes {
    /// `45 min`, `2 h 05`, as a ticket says it.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.0.div_euclid(60), self.0.rem_euclid(60)) {
            (0, minutes) => write!(f, "{minutes} min"),
            (hours, minutes) => write!(f, "{hours} h {minutes:02}"),
        }
    }
}

/// Where "now" comes from. Stages never ask; use cases receive one.
pub trait Clock: Send + Sync {
    /// The present moment.
    fn now(&self) -> EventMs;
}

/// A clock that stands still, for `--at`, tests and simulations.
#[derive(Clone, Copy, Debug)]
pub struct FixedClock(pub EventMs);

impl Clock for FixedClock {
    fn now(&self) -> EventMs {
        self.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_read_like_a_ticket() {
        assert_eq!(Minutes(45).to_string(), "45 min");
        assert_eq!(Minutes(125).to_string(), "2 h 05");
    }

    #[test]
    fn moments_before_1970_round_the_same_way() {
        assert_eq!(Minute::at_or_after(EventMs(-60_001)), Minute(-1));
        assert_eq!(Minute::at_or_after(EventMs(-60_000)), Minute(-1));
    }
}
