//! Telling the person what is going on, and how long each step took.

use std::io::{IsTerminal, Write};
use std::time::{Duration, Instant};

/// Time since a step began. The one place in xtask that reads the machine's clock.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stopwatch(Instant);

impl Stopwatch {
    #[expect(
        clippy::disallowed_methods,
        reason = "xtask reports how long its steps take; no result depends on it"
    )]
    pub(crate) fn start() -> Self {
        Self(Instant::now())
    }

    pub(crate) fn elapsed(self) -> Duration {
        self.0.elapsed()
    }

    pub(crate) fn seconds(self) -> f64 {
        self.elapsed().as_secs_f64()
    }
}

/// A duration for people: `0.4 s`, `12 s`, `3 min 05 s`.
pub(crate) fn spoken(duration: Duration) -> String {
    let seconds = duration.as_secs_f64();
    if seconds < 9.95 {
        return format!("{seconds:.1} s");
    }
    let whole = Duration::from_secs_f64(seconds.round()).as_secs();
    if whole < 60 {
        format!("{whole} s")
    } else {
        format!("{} min {:02} s", whole / 60, whole % 60)
    }
}

/// A counter that rewrites one line, and stays silent when nobody is looking at a terminal.
#[derive(Debug)]
pub(crate) struct Counter {
    what: &'static str,
    total: usize,
    shown: bool,
}

impl Counter {
    pub(crate) fn new(what: &'static str, total: usize) -> Self {
        Self {
            what,
            total,
            shown: std::io::stderr().is_terminal(),
        }
    }

    pub(crate) fn show(&self, done: usize) {
        if self.shown {
            let mut stderr = std::io::stderr().lock();
            // Progress that can't be written is no reason to stop.
            let _ = write!(stderr, "\r{} {done} of {}", self.what, self.total);
            if done >= self.total {
                let _ = writeln!(stderr);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn durations_are_spoken_with_the_digits_that_matter() {
        assert_eq!(spoken(Duration::from_millis(420)), "0.4 s");
        assert_eq!(spoken(Duration::from_millis(9_960)), "10 s");
        assert_eq!(spoken(Duration::from_millis(59_600)), "1 min 00 s");
        assert_eq!(spoken(Duration::from_secs(185)), "3 min 05 s");
    }
}
