//! What a printer said of a plate, put together from its moments.

use std::collections::BTreeMap;

use partpledge_machines::{How, Kind};
use partpledge_records::MachineMoment;
use partpledge_units::time::EventMs;

use crate::bench::AHEAD_MS;

/// A printer's beginning and somebody's tick so near each other are the same start. Common practice,
/// no source.
pub(crate) const SAME_START_MS: i64 = 30 * 60_000;
/// A run that stood still for so long says nothing of the printer's pace. Common practice, no source.
const STOOD_STILL_MS: i64 = 60_000;
/// As a beginning is stored; see [`word`].
pub(crate) const BEGAN: &str = "began";
const HALTED: &str = "halted";
const WENT_ON: &str = "went-on";
const COMPLETED: &str = "completed";
const READY: &str = "ready";
const STOPPED: &str = "stopped";

/// As it is stored and stands in the log.
pub(crate) fn word(kind: Kind) -> &'static str {
    match kind {
        Kind::Began | Kind::Again => BEGAN,
        Kind::Halted => HALTED,
        Kind::WentOn => WENT_ON,
        Kind::Ended(How::Completed) => COMPLETED,
        Kind::Ended(How::Ready) => READY,
        Kind::Ended(How::Stopped) => STOPPED,
    }
}

/// When and how a run ended, as the printer said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ended {
    /// When.
    pub at: EventMs,
    /// Whether it had stopped unplanned; otherwise its program came to its end, or it was ready again.
    pub stopped: bool,
}

/// What a printer said of a plate.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct PlateSays {
    /// When it began.
    pub began: Option<EventMs>,
    /// Since when it stands still in the middle of it.
    pub halted: Option<EventMs>,
    /// How long it stood still before, ms.
    pub halted_ms: i64,
    /// When it ended.
    pub ended: Option<Ended>,
}

/// A run as its printer told of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct RunSaid {
    /// When it began: as the printer said, else as somebody did.
    pub(crate) began: EventMs,
    /// When it ended, as the printer said.
    pub(crate) ended: EventMs,
    /// Whether it ran to its end without standing still: only then its time says anything.
    pub(crate) unbroken: bool,
}

impl PlateSays {
    /// The run of a plate that was started and taken off then, if its printer said when it ended.
    /// What does not lie between the two is of another run.
    pub(crate) fn run(&self, started: EventMs, off: EventMs) -> Option<RunSaid> {
        let ended = self.ended?;
        let fits = started <= ended.at && ended.at.0 <= off.0.saturating_add(AHEAD_MS);
        let near = |at: &EventMs| (at.0 - started.0).abs() <= SAME_START_MS && *at <= ended.at;
        fits.then(|| RunSaid {
            began: self.began.filter(near).unwrap_or(started),
            ended: EventMs(ended.at.0.min(off.0)),
            unbroken: !ended.stopped && self.halted_ms < STOOD_STILL_MS,
        })
    }
}

/// Puts together what was said of a plate, in the order in which it was.
pub(crate) fn told<'m>(moments: impl IntoIterator<Item = &'m MachineMoment>) -> PlateSays {
    let mut says = PlateSays::default();
    for moment in moments {
        let stood = |since: EventMs| moment.at.0.saturating_sub(since.0).max(0);
        match moment.says.as_str() {
            BEGAN => says.began = Some(moment.at),
            HALTED => says.halted = Some(moment.at),
            WENT_ON => says.halted_ms += says.halted.take().map_or(0, stood),
            ended => {
                says.halted_ms += says.halted.take().map_or(0, stood);
                says.ended = Some(Ended {
                    at: moment.at,
                    stopped: ended == STOPPED,
                });
            }
        }
    }
    says
}

/// The same for every plate that something was said of.
pub(crate) fn by_plate(moments: &[MachineMoment]) -> BTreeMap<u64, PlateSays> {
    let mut sorted: BTreeMap<u64, Vec<&MachineMoment>> = BTreeMap::new();
    for moment in moments {
        if let Some(plate) = moment.plate {
            sorted.entry(plate).or_default().push(moment);
        }
    }
    let one = |(plate, moments)| (plate, told::<'_>(moments));
    sorted.into_iter().map(one).collect()
}

/// The plate that a program's name names, as our own files are called: `plate-17`.
pub(crate) fn plate_named(program: &str) -> Option<u64> {
    let small = program.to_ascii_lowercase();
    let at = small.rfind("plate")? + "plate".len();
    let rest = small[at..].trim_start_matches(['-', '_', ' ']);
    let figures = rest.find(|c: char| !c.is_ascii_digit());
    rest[..figures.unwrap_or(rest.len())].parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn moment(says: &str, at: i64) -> MachineMoment {
        MachineMoment {
            printer: "Heron".to_owned(),
            instance: 1,
            sequence: at,
            says: says.to_owned(),
            at: EventMs(at),
            plate: Some(7),
        }
    }

    #[test]
    fn a_run_is_put_together_from_its_moments() {
        let all = [
            moment(BEGAN, 10),
            moment(HALTED, 20),
            moment(WENT_ON, 25),
            moment(HALTED, 40),
        ];
        let halted = told(&all);
        assert_eq!(halted.began, Some(EventMs(10)));
        assert_eq!((halted.halted, halted.halted_ms), (Some(EventMs(40)), 5));
        assert_eq!(halted.ended, None);
        let mut all = all.to_vec();
        all.push(moment(READY, 47));
        let ended = by_plate(&all)[&7];
        assert_eq!((ended.halted, ended.halted_ms), (None, 12));
        let at = EventMs(47);
        let stopped = false;
        assert_eq!(ended.ended, Some(Ended { at, stopped }));
        assert!(told(&[moment(STOPPED, 3)]).ended.unwrap().stopped);
    }

    #[test]
    fn a_program_names_a_plate_as_our_files_do() {
        for (program, plate) in [
            ("plate-17.3mf", Some(17)),
            ("/jobs/PLATE_9 (2).nc", Some(9)),
            ("plate 12", Some(12)),
            ("plates", None),
            ("bracket", None),
            ("plate-99999999999999999999", None),
            ("", None),
            ("plate-å7", None),
        ] {
            assert_eq!(plate_named(program), plate, "{program}");
        }
    }
}
