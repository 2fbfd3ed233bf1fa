//! What a season is played on, and how it differs from what people believe.

use partpledge_planning::Way;
use partpledge_planning_model::{PlaceIx, Region};
use partpledge_units::time::{Minute, Minutes};

/// A region with what its teams ask for, as people know it before the season.
#[derive(Clone, Debug)]
pub struct Setting {
    /// Rates are what is believed before any run.
    pub region: Region,
    /// Code of each printer's class, in order of printer.
    pub classes: Vec<String>,
    /// Ways to make each kind of request, worked out only; one kind is drawn at a time.
    pub kinds: Vec<Vec<Way>>,
    /// Where each team takes its parts.
    pub teams: Vec<PlaceIx>,
    /// Requests a day, on average.
    pub a_day: f64,
    /// Weight of each hour of the day (UTC) against the others.
    pub by_hour: [f64; 24],
    /// Chances asked for; one is drawn for each request.
    pub levels: Vec<f64>,
    /// First minute of the season, a midnight.
    pub from: Minute,
    /// Days on which requests come.
    pub days: i64,
    /// How requests share plates; `None` when each has plates of its own.
    pub shared: Option<Shared>,
}

/// How requests share plates: the copies of one may join a plate that is planned and not started.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shared {
    /// A plate warms up once; each that joins saves so much.
    pub warm_up: Minutes,
    /// Nothing joins a plate that starts sooner than this: it is being prepared.
    pub prepare: Minutes,
    /// Worlds that a place on somebody's plate is played through.
    pub worlds: u64,
}

/// How the real season differs from what is believed.
#[derive(Clone, Debug, PartialEq)]
pub struct Scenario {
    /// In words.
    pub name: &'static str,
    /// Real over worked-out time of the middle printer.
    pub times: f64,
    /// Real over believed chances of loss, on average over printers.
    pub losses: f64,
    /// Days, the first that is in and the first that is not, and the chance that nobody comes in a
    /// window then.
    pub flu: Option<(i64, i64, f64)>,
    /// Days, and how many times as many requests come then.
    pub burst: Option<(i64, i64, f64)>,
    /// On which day how many hosts are lost for good.
    pub lost_hosts: Option<(i64, usize)>,
}

/// How far real times of printers lie apart in every scenario (standard deviation of the
/// logarithm). Common practice, no source.
pub const TIMES_APART: f64 = 0.04;
/// How far their chances of loss lie apart, as far as learning takes them to
/// (`partpledge_quality::yields::PRINTER_LOSSES`). Common practice, no source.
pub const LOSSES_APART: f64 = 0.5;

impl Scenario {
    /// What people believe is right in the middle.
    #[must_use]
    pub fn base() -> Self {
        Self {
            name: "as believed",
            times: 1.0,
            losses: 1.0,
            flu: None,
            burst: None,
            lost_hosts: None,
        }
    }

    /// Printers are slower, and lose more than twice as much, than the region file says.
    #[must_use]
    pub fn worse_printers() -> Self {
        Self {
            name: "printers worse than believed",
            times: 1.15,
            losses: 2.2,
            ..Self::base()
        }
    }

    /// In the fourth week people are ill: one visit in five is not made.
    #[must_use]
    pub fn flu() -> Self {
        Self {
            name: "a week of flu",
            flu: Some((21, 28, 0.2)),
            ..Self::base()
        }
    }

    /// Before an event three times as many requests come for four days.
    #[must_use]
    pub fn burst() -> Self {
        Self {
            name: "a burst before an event",
            burst: Some((33, 37, 3.0)),
            ..Self::base()
        }
    }

    /// Two hosts are lost in the middle of the season.
    #[must_use]
    pub fn lost_hosts() -> Self {
        Self {
            name: "two hosts lost",
            lost_hosts: Some((22, 2)),
            ..Self::base()
        }
    }

    /// The chance that nobody comes in a window that starts on that day, where it usually is so much.
    #[must_use]
    pub fn no_show(&self, day: i64, usual: f64) -> f64 {
        match self.flu {
            Some((first, end, chance)) if (first..end).contains(&day) => chance.max(usual),
            _ => usual,
        }
    }

    /// How many times as many requests as usual come on that day.
    #[must_use]
    pub fn asked(&self, day: i64) -> f64 {
        match self.burst {
            Some((first, end, times)) if (first..end).contains(&day) => times,
            _ => 1.0,
        }
    }
}

impl Setting {
    /// Which day of the season a minute is in.
    #[must_use]
    pub fn day(&self, at: Minute) -> i64 {
        (at - self.from).0.div_euclid(1_440)
    }

    /// Midnight before that day.
    #[must_use]
    pub fn midnight(&self, day: i64) -> Minute {
        self.from + Minutes(day * 1_440)
    }
}
