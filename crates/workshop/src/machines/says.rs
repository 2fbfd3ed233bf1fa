//! What a printer said of a plate, put together from its moments.

use partpledge_machines::{How, Kind};
use partpledge_records::MachineMoment;
use partpledge_units::time::EventMs;

use crate::bench::AHEAD_MS;
use crate::books::Books;

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
const LOST: &str = "lost";

/// As it is stored and stands in the log.
pub(crate) fn word(kind: Kind) -> &'static str {
    match kind {
        Kind::Began | Kind::Again => BEGAN,
        Kind::Halted => HALTED,
        Kind::WentOn => WENT_ON,
        Kind::Ended(How::Completed) => COMPLETED,
        Kind::Ended(How::Ready) => READY,
        Kind::Ended(How::Stopped) => STOPPED,
        Kind::Lost => LOST,
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
    /// Whether it was out of hearing in between: what it did then nobody knows.
    pub lost: bool,
}

/// A run as its printer told of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct RunSaid {
    /// When it began: as the printer said, else as somebody did.
    pub(crate) began: EventMs,
    /// When it ended, as the printer said.
    pub(crate) ended: EventMs,
    /// Whether it ran to its end without standing still, heard all the time: only then its time says
    /// anything.
    pub(crate) unbroken: bool,
}

impl PlateSays {
    /// What of it is about the start that was done then: an end before that is of a start that was taken
    /// back, and so is all that was said until it.
    pub(crate) fn since(self, started: EventMs) -> Self {
        if self.ended.is_some_and(|ended| ended.at < started) {
            return Self::default();
        }
        let its = |at: &EventMs| at.0 >= started.0.saturating_sub(SAME_START_MS);
        Self {
            began: self.began.filter(its),
            halted: self.halted.filter(its),
            ..self
        }
    }

    /// The run of a plate that was started and taken off then, if its printer said when it ended.
    /// What does not lie between the two is of another run.
    pub(crate) fn run(&self, started: EventMs, off: EventMs) -> Option<RunSaid> {
        let ended = self.ended?;
        let fits = started <= ended.at && ended.at.0 <= off.0.saturating_add(AHEAD_MS);
        let near = |at: &EventMs| (at.0 - started.0).abs() <= SAME_START_MS && *at <= ended.at;
        fits.then(|| RunSaid {
            began: self.began.filter(near).unwrap_or(started),
            ended: EventMs(ended.at.0.min(off.0)),
            unbroken: !ended.stopped && !self.lost && self.halted_ms < STOOD_STILL_MS,
        })
    }
}

/// Puts together what was said of a plate, in the order in which it was. A beginning begins anew: what
/// was said before is of a start that was taken back.
pub(crate) fn told<'m>(moments: impl IntoIterator<Item = &'m MachineMoment>) -> PlateSays {
    let mut says = PlateSays::default();
    for moment in moments {
        let stood = |since: EventMs| moment.at.0.saturating_sub(since.0).max(0);
        match moment.says.as_str() {
            BEGAN => {
                says = PlateSays {
                    began: Some(moment.at),
                    ..PlateSays::default()
                }
            }
            LOST => says.lost = true,
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

/// What a printer said of a plate since a start of it.
pub(crate) fn told_of(moments: &[MachineMoment], (printer, plate): (&str, u64)) -> PlateSays {
    let its = |one: &&MachineMoment| one.plate == Some(plate) && one.printer == printer;
    told(moments.iter().filter(its))
}

/// Whether something began on a printer, after a start on record, that nobody has told us of. What began
/// about when the start was ticked is that start: clocks differ by so much.
pub(crate) fn other_began(moments: &[MachineMoment], printer: &str, started: EventMs) -> bool {
    let late = started.0.saturating_add(AHEAD_MS);
    moments.iter().any(|one| {
        let unknown = one.plate.is_none() && one.says == BEGAN;
        unknown && one.printer == printer && one.at.0 > late
    })
}

/// The plate that a program's name names: a file that is called as ours are, `plate-17` with whatever
/// follows but a letter or a figure.
pub(crate) fn plate_named(program: &str) -> Option<u64> {
    let file = program.trim().rsplit(['/', '\\']).next()?;
    let (head, rest) = file.split_at_checked("plate-".len())?;
    let figures = rest.find(|c: char| !c.is_ascii_digit());
    let (number, rest) = rest.split_at(figures.unwrap_or(rest.len()));
    // Half a millimetre is no end of a file's name; ours is.
    let decimal = |rest: &str| {
        let part = rest.strip_prefix('.').unwrap_or_default();
        part.starts_with(|c: char| c.is_ascii_digit()) && !part.eq_ignore_ascii_case("3mf")
    };
    let ours = head.eq_ignore_ascii_case("plate-")
        && !number.starts_with('0')
        && !rest.starts_with(char::is_alphanumeric)
        && !decimal(rest);
    number.parse().ok().filter(|_| ours)
}

/// Whether a program's name names another plate than the one that is printed under that number.
pub(crate) fn names_another(books: &Books, program: Option<&str>, plate: u64) -> bool {
    let named = program.and_then(plate_named);
    named.is_some_and(|named| books.plate(named).map_or(named, |kept| kept.on().0) != plate)
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
        let ended = told_of(&all, ("Heron", 7));
        assert_eq!((ended.halted, ended.halted_ms), (None, 12));
        let at = EventMs(47);
        let stopped = false;
        assert_eq!(ended.ended, Some(Ended { at, stopped }));
        assert!(told(&[moment(STOPPED, 3)]).ended.unwrap().stopped);
    }

    #[test]
    fn a_beginning_begins_anew_and_an_end_before_the_start_is_not_its() {
        let mut all = vec![moment(BEGAN, 10), moment(LOST, 15), moment(READY, 20)];
        let before = told(&all);
        assert!(before.ended.is_some() && before.lost);
        assert_eq!(before.since(EventMs(20)), before);
        assert_eq!(before.since(EventMs(21)), PlateSays::default());
        all.push(moment(BEGAN, 30));
        let began = Some(EventMs(30));
        let anew = PlateSays {
            began,
            ..PlateSays::default()
        };
        assert_eq!(told(&all), anew);
        // What another printer said of it is not of this run.
        assert_eq!(told_of(&all, ("Teal", 7)), PlateSays::default());
    }

    #[test]
    fn what_was_out_of_hearing_for_a_while_is_not_witnessed() {
        let mut all = vec![moment(BEGAN, 10), moment(READY, 20)];
        let run = |all: &[MachineMoment]| told(all).run(EventMs(10), EventMs(30)).unwrap();
        assert!(run(&all).unbroken);
        all.insert(1, moment(LOST, 15));
        assert!(!run(&all).unbroken);
    }

    #[test]
    fn what_began_about_when_a_start_was_ticked_is_that_start() {
        let unknown = |at| MachineMoment {
            plate: None,
            ..moment(BEGAN, at)
        };
        let started = EventMs(1_000);
        for (at, other) in [
            (1_005, false),
            (1_000 + AHEAD_MS, false),
            (1_001 + AHEAD_MS, true),
        ] {
            let all = [unknown(at), moment(BEGAN, 9_000_000)];
            assert_eq!(other_began(&all, "Heron", started), other, "{at}");
            assert!(!other_began(&all, "Teal", started));
        }
    }

    #[test]
    fn a_program_names_a_plate_as_our_files_do() {
        for (program, plate) in [
            ("plate-17.3mf", Some(17)),
            ("/jobs/PLATE-9 (2).nc", Some(9)),
            ("C:\\jobs\\plate-12", Some(12)),
            ("plate-12_PLA.gcode", Some(12)),
            ("faceplate-2.gcode", None),
            ("faceplate2.gcode", None),
            ("base-plate-3", None),
            ("plate_1", None),
            ("plate 12", None),
            ("plate2.gcode", None),
            ("plate-2b.gcode", None),
            ("plate-1.5mm.gcode", None),
            ("plate-007", None),
            ("plate-3/bracket.gcode", None),
            ("plate-", None),
            ("plates", None),
            ("bracket", None),
            ("plate-99999999999999999999", None),
            ("", None),
            ("plate-å7", None),
            ("platé-7", None),
        ] {
            assert_eq!(plate_named(program), plate, "{program}");
        }
    }
}
