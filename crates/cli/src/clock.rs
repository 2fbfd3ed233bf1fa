//! The one place that looks at the wall clock.

use std::sync::Arc;
use std::time::{SystemTime, UNIX_EPOCH};

use partpledge_units::local::{LocalTimeError, parse_rfc3339};
use partpledge_units::time::{Clock, EventMs, Minute};

/// The machine's own clock.
pub(crate) struct WallClock;

impl Clock for WallClock {
    #[expect(
        clippy::disallowed_methods,
        reason = "the binary's clock is the one exception"
    )]
    fn now(&self) -> EventMs {
        let since = SystemTime::now()
            .duration_since(UNIX_EPOCH)
            .unwrap_or_default();
        EventMs(i64::try_from(since.as_millis()).unwrap_or(i64::MAX))
    }
}

/// A clock that was set to another moment and goes on from there.
pub(crate) struct SetClock {
    ahead_ms: i64,
}

impl SetClock {
    /// A clock that shows `at` now.
    pub(crate) fn showing(at: EventMs) -> Self {
        Self {
            ahead_ms: at.0 - WallClock.now().0,
        }
    }
}

impl Clock for SetClock {
    fn now(&self) -> EventMs {
        EventMs(WallClock.now().0 + self.ahead_ms)
    }
}

/// The clock that a server goes by: the machine's own, or one set to `--at`.
pub(crate) fn going(at: Option<&str>) -> Result<Arc<dyn Clock>, LocalTimeError> {
    Ok(match at {
        Some(text) => Arc::new(SetClock::showing(parse_rfc3339(text)?)),
        None => Arc::new(WallClock),
    })
}

/// `--at`, or the wall clock rounded up to a tick of planning.
pub(crate) fn now(at: Option<&str>) -> Result<EventMs, LocalTimeError> {
    match at {
        Some(text) => parse_rfc3339(text),
        None => Ok(Minute::at_or_after(WallClock.now()).to_ms()),
    }
}
