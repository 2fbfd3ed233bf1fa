//! The one place that looks at the wall clock.

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

/// `--at`, or the wall clock rounded up to a tick of planning.
pub(crate) fn now(at: Option<&str>) -> Result<EventMs, LocalTimeError> {
    match at {
        Some(text) => parse_rfc3339(text),
        None => Ok(Minute::at_or_after(WallClock.now()).to_ms()),
    }
}
