//! One line of the run sheet: what is to be done, how, and what its tick sends.

use jiff::civil::Date;
use partpledge_planning_model::LegKind;
use partpledge_records::{PlateState, StepKind};
use partpledge_units::local::Zone;
use partpledge_units::time::Minute;
use partpledge_units::time::Minutes;
use partpledge_words::{decimal, say};
use partpledge_workshop::bench::{UNDO_MS, reason_says};
use partpledge_workshop::boxes::Stop;
use partpledge_workshop::learning::Takes;
use partpledge_workshop::machines::State as Machine;
use partpledge_workshop::measuring::CriticalDimension;
use partpledge_workshop::run_sheet::{ByItself, Job, JobKind, JobState, PlateLine, RunSheet};
use partpledge_workshop::spools::advice::SpoolAdvice;
use partpledge_workshop::{Session, place_says, sheet_says};

use crate::pages::boxes::hitches;
use crate::pages::inspect::limits;
use crate::pages::load_step::{choices, spool_in_brief, which_spool};
use crate::pages::ticket::leg;
use crate::words;

/// One line of the sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a part of the line that is there or not"
)]
pub(crate) struct JobLine {
    /// `load`, `look`, `clear`, `box` or `hand`.
    pub(crate) kind: &'static str,
    /// `done`, `now`, `ready` or `waits`.
    pub(crate) state: &'static str,
    pub(crate) time: String,
    /// The same for scripts, ms of UTC.
    pub(crate) at_ms: i64,
    /// Whether that is still to come: then it is the next to do, and not to do now.
    pub(crate) ahead: bool,
    pub(crate) glyph: &'static str,
    pub(crate) title: String,
    pub(crate) plate: u64,
    /// What `act` the tick sends; empty when it is done.
    pub(crate) act: &'static str,
    /// What it is to the queue of a tablet: `start:17`.
    pub(crate) does: String,
    /// What must be done first, the same way; empty when it can be done now. Until then its form lies
    /// folded in the page, for a tablet that has no network when the time comes.
    pub(crate) after: String,
    /// Printer that the plate is on.
    pub(crate) printer: String,
    /// Copies that are being reworked or are to be measured, or were recalled.
    pub(crate) held: usize,
    /// Whether they were recalled.
    pub(crate) recalled: bool,
    /// What is wrong with the form that was sent, if something is.
    pub(crate) wrong: Option<String>,
    /// The step that can be taken back, as it is stored; empty when it is too late, or nothing is done.
    pub(crate) undo: &'static str,
    /// Words on the tick.
    pub(crate) tick: String,
    /// Steps of a load, in order.
    pub(crate) steps: Vec<String>,
    /// Which spool it takes, in few words: what is read of a load that is not the next.
    pub(crate) brief: String,
    pub(crate) text: String,
    /// What the plate waits for last, for a load that is not done.
    pub(crate) why: String,
    /// Spools to choose from, the best first: value and words. Empty where nobody counts them.
    pub(crate) spools: Vec<(String, String)>,
    /// Copies that may be good, of each request on the plate; to be counted at the clearing.
    pub(crate) counts: Vec<Counted>,
    pub(crate) trouble: bool,
    /// When its box's next leg leaves; minutes of planning.
    pub(crate) leaves: i64,
    /// Why its box may not have gone; empty where none waits.
    pub(crate) misses: Vec<(&'static str, String)>,
    /// The bench and the day, for forms that other pages have as well.
    pub(crate) code: String,
    pub(crate) day_iso: String,
    pub(crate) from: &'static str,
    /// At a bench that students run: who could do it, or that an adult is asked. Nothing when somebody
    /// there may.
    pub(crate) ask: String,
    /// The same for the sheet on the wall, whoever is there now.
    pub(crate) on_paper: String,
    /// Whether somebody there may pass the plate on to another school.
    pub(crate) may_pass: bool,
    /// Tells one tick from the next sent from the same sheet.
    pub(crate) key: String,
}

impl JobLine {
    /// Whether one copy lies on the plate: it is good or not, and is not counted.
    pub(crate) fn single(&self) -> bool {
        matches!(self.counts.as_slice(), [one] if one.of == 1)
    }

    /// Whether copies are to be measured: then they can't be counted.
    pub(crate) fn measures(&self) -> bool {
        self.counts.iter().any(|one| one.measure)
    }

    /// Numbers of the shares that are measured, with a space between them.
    pub(crate) fn measured(&self) -> String {
        let measured = self.counts.iter().filter(|one| one.measure);
        let shares: Vec<String> = measured.map(|one| one.share.to_string()).collect();
        shares.join(" ")
    }
}

/// The copies of one request on a plate, to be counted by themselves.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Counted {
    /// Number of its share.
    pub(crate) share: u64,
    /// Part and team.
    pub(crate) what: String,
    pub(crate) of: usize,
    /// Whether it has sizes that must be right.
    pub(crate) measure: bool,
}

/// All that lies on a plate, request by request.
fn counts(plate: &PlateLine) -> Vec<Counted> {
    let own = Counted {
        share: plate.share,
        what: format!("{}, {}", plate.part, plate.team),
        of: plate.copies,
        measure: !plate.dimensions.is_empty(),
    };
    let others = plate.others.iter().map(|beside| Counted {
        share: beside.share,
        what: format!("{}, {}", beside.part, beside.team),
        of: beside.copies,
        measure: !beside.dimensions.is_empty(),
    });
    std::iter::once(own).chain(others).collect()
}

/// Whether one copy lies on a plate, and nothing of it is measured.
fn single(plate: &PlateLine) -> bool {
    plate.copies == 1 && plate.others.is_empty() && !plate.to_measure()
}

/// Glyph, title, what the tick sends, and its words.
fn task(kind: JobKind, plate: &PlateLine) -> (&'static str, String, &'static str, String) {
    let (printer, seq) = (&plate.printer, plate.seq);
    match kind {
        JobKind::Load => (
            "load",
            say!("jobs-load", printer = printer, plate = seq),
            "start",
            say!("jobs-started"),
        ),
        JobKind::Look => (
            "look",
            say!("jobs-look", printer = printer),
            "look",
            say!("jobs-looks-good"),
        ),
        JobKind::Stop if left(plate) => (
            "stop",
            say!("jobs-stop-asked", printer = printer, plate = seq),
            "",
            say!("jobs-not-told"),
        ),
        // Told as what went wrong, on a page of its own.
        JobKind::Stop => (
            "stop",
            say!("jobs-stop", printer = printer, plate = seq),
            "",
            say!("jobs-before-you-leave"),
        ),
        JobKind::Clear => (
            "clear",
            say!("jobs-clear", printer = printer, plate = seq),
            "off",
            if single(plate) {
                say!("jobs-off-good")
            } else {
                say!("jobs-off-the-bed")
            },
        ),
        JobKind::Box => ("box", boxing(plate), "box", say!("jobs-closed")),
        JobKind::HandOver if goes_by_itself(plate) => {
            ("hand", handing(plate), "leave", say!("jobs-gone"))
        }
        JobKind::HandOver => ("hand", handing(plate), "hand", say!("jobs-handed-over")),
    }
}

/// Whether people have left while it ran, and nobody has said what became of it.
fn left(plate: &PlateLine) -> bool {
    plate.stop_by.is_some_and(|stop| stop.left)
}

/// Whether its box leaves the bench before its team has it.
fn goes_by_itself(plate: &PlateLine) -> bool {
    matches!(plate.leg, Some((kind, _)) if kind != LegKind::Counter)
}

/// Of the plate, or of the share that joined it: `31 from plate 17`.
fn boxing(plate: &PlateLine) -> String {
    let (share, seq, team) = (plate.share, plate.seq, &plate.team);
    if share == seq {
        say!("jobs-box", plate = seq, team = team)
    } else {
        say!("jobs-box-share", share = share, plate = seq, team = team)
    }
}

fn handing(plate: &PlateLine) -> String {
    let (share, seq) = (plate.share, plate.seq);
    if share == seq {
        say!("jobs-hand", plate = seq)
    } else {
        say!("jobs-hand-share", share = share, plate = seq)
    }
}

/// What is on a plate: its own copies, then those of others.
fn whole(plate: &PlateLine) -> String {
    let own = format!("{} × {}", plate.copies, plate.part);
    let others = plate.others.iter();
    let others = others.map(|other| format!("{} × {}", other.copies, other.part));
    std::iter::once(own)
        .chain(others)
        .collect::<Vec<_>>()
        .join(", ")
}

/// `15:40`, with its day if that is not the sheet's.
fn clock(zone: &Zone, at: Minute, date: Date) -> String {
    if zone.date(at) == date {
        return zone.clock(at);
    }
    let day = zone.weekday(at);
    say!("dates-day-time", day = day, time = zone.clock(at))
}

pub(super) fn line(
    session: &Session,
    sheet: &RunSheet,
    job: &Job,
    now: bool,
    key: String,
) -> JobLine {
    let zone = &session.terrain.zone;
    let plate = &job.plate;
    let time = clock(zone, job.at, sheet.date);
    let (glyph, title, act, ready) = task(job.kind, plate);
    let (state, tick) = match &job.state {
        JobState::Done(at) => ("done", say!("jobs-done", time = zone.clock(*at))),
        JobState::Failed(at, _) => ("done", say!("jobs-failed", time = zone.clock(*at))),
        JobState::Ready if now => ("now", ready),
        JobState::Ready => ("ready", ready),
        JobState::Waits => ("waits", ready),
    };
    let open = matches!(job.state, JobState::Ready);
    let (steps, brief) = loading(session, sheet, job);
    let waits = matches!(job.state, JobState::Waits);
    let stop = stopped(job);
    let recalled = stop == Some(Stop::Recalled);
    let may_act = (open || waits) && stop.is_none();
    let on_printer = !matches!(job.kind, JobKind::Box | JobKind::HandOver);
    let number = if on_printer { plate.seq } else { plate.share };
    JobLine {
        state,
        time,
        at_ms: job.at.to_ms().0,
        ahead: job.at > session.minute(),
        kind: glyph,
        glyph,
        title,
        plate: number,
        act: if may_act { act } else { "" },
        does: format!("{}:{number}", if act.is_empty() { glyph } else { act }),
        after: if waits && may_act {
            first(job)
        } else {
            String::new()
        },
        printer: plate.printer.clone(),
        held: held(job, recalled),
        recalled,
        wrong: None,
        undo: undo(session, job),
        tick,
        text: if steps.is_empty() {
            says(session, job)
        } else {
            String::new()
        },
        steps,
        brief,
        spools: spools(sheet, job),
        why: String::new(),
        counts: match job.kind {
            JobKind::Clear => counts(plate),
            _ => Vec::new(),
        },
        trouble: (open || waits) && on_printer,
        leaves: plate.leg.map_or(0, |(_, departure)| departure.leaves.0),
        misses: misses(job),
        code: String::new(),
        day_iso: sheet.date.to_string(),
        from: "",
        ask: String::new(),
        on_paper: String::new(),
        may_pass: true,
        key,
    }
}

/// Why its box may not have gone.
fn misses(job: &Job) -> Vec<(&'static str, String)> {
    let ready = job.kind == JobKind::HandOver && job.state == JobState::Ready;
    let leg = job.plate.leg.filter(|_| ready);
    leg.map_or_else(Vec::new, |(kind, _)| hitches(kind))
}

/// Spools to choose from for a load.
fn spools(sheet: &RunSheet, job: &Job) -> Vec<(String, String)> {
    let loads = job.kind == JobKind::Load && job.state == JobState::Ready;
    let advice = sheet.spools.get(&job.plate.seq).filter(|_| loads);
    choices(advice)
}

/// What keeps a box, or what would go in it, from going on.
fn stopped(job: &Job) -> Option<Stop> {
    let of_box = matches!(job.kind, JobKind::Box | JobKind::HandOver);
    let waits = matches!(job.state, JobState::Waits);
    job.plate.stopped.filter(|_| of_box && waits)
}

/// Copies that are held, or recalled.
fn held(job: &Job, recalled: bool) -> usize {
    match job.kind {
        JobKind::Box | JobKind::HandOver if recalled => job.plate.recalled,
        JobKind::Box => job.plate.held,
        _ => 0,
    }
}

/// The step of a job that was done minutes ago.
fn undo(session: &Session, job: &Job) -> &'static str {
    let plate = &job.plate;
    // What was in the box has been called no good since.
    let of_box = matches!(job.kind, JobKind::Box | JobKind::HandOver);
    if of_box && plate.numbers.is_empty() {
        return "";
    }
    let (at, step) = match (&job.state, job.kind) {
        (JobState::Failed(at, _), _) => (*at, StepKind::Failed),
        // What a printer told, people may correct as long as nothing else was done with it.
        (JobState::Done(_), JobKind::Load)
            if plate.starts_itself == Some(ByItself::Free) && plate.state == PlateState::Open =>
        {
            return StepKind::Started.as_str();
        }
        (JobState::Done(at), JobKind::Load) => (*at, StepKind::Started),
        (JobState::Done(at), JobKind::Look) => (*at, StepKind::Looked),
        (JobState::Done(at), JobKind::Clear) => (*at, StepKind::Off),
        (JobState::Done(at), JobKind::Box) => (*at, StepKind::Boxed),
        // A promise that ended with it stays ended.
        (JobState::Done(_), JobKind::HandOver) if job.plate.handed && job.plate.ended => return "",
        (JobState::Done(at), JobKind::HandOver) if job.plate.handed => (*at, StepKind::HandedOver),
        (JobState::Done(at), JobKind::HandOver) => (*at, StepKind::Left),
        (JobState::Ready | JobState::Waits, _) | (_, JobKind::Stop) => return "",
    };
    if session.now.0 - at.to_ms().0 <= UNDO_MS {
        step.as_str()
    } else {
        ""
    }
}

/// What must be done before a job that waits.
fn first(job: &Job) -> String {
    match job.kind {
        JobKind::Load => String::new(),
        JobKind::Look | JobKind::Stop | JobKind::Clear => format!("start:{}", job.plate.seq),
        JobKind::Box => format!("off:{}", job.plate.seq),
        JobKind::HandOver => format!("box:{}", job.plate.share),
    }
}

/// `4 h 10, 9 in 10 under 4 h 40`.
pub(crate) fn within(middle: Minutes, high: Minutes) -> String {
    say!(
        "plates-takes-band",
        middle = middle.to_string(),
        high = high.to_string(),
    )
}

/// What was found out of its printer's times since its place was made, if that is another time by far.
fn since(plate: &PlateLine) -> Option<String> {
    let Some(Takes::Kept {
        now: Some(band), ..
    }) = plate.takes
    else {
        return None;
    };
    let band = within(band.middle, band.high);
    Some(say!(
        "jobs-known-since",
        printer = plate.printer,
        band = band
    ))
}

/// What it carries, and how long it takes or took.
fn lasts(plate: &PlateLine, what: &str) -> String {
    let material = &plate.material;
    let says = match plate.takes {
        Some(Takes::Kept { middle, kept, .. }) => say!(
            "jobs-takes",
            what = what,
            material = material,
            band = within(middle, kept),
        ),
        Some(Takes::Took(length)) => say!(
            "jobs-took",
            what = what,
            material = material,
            length = length.to_string(),
        ),
        None => format!("{what}, {material}."),
    };
    match since(plate) {
        Some(since) => format!("{says} {since}"),
        None => says,
    }
}

/// What to do for a load that can be done, and which spool it takes in few words; nothing for other jobs.
fn loading(session: &Session, sheet: &RunSheet, job: &Job) -> (Vec<String>, String) {
    if job.kind != JobKind::Load || job.state != JobState::Ready {
        return Default::default();
    }
    let advice = sheet.spools.get(&job.plate.seq);
    let steps = load_steps(session, &job.plate, advice);
    (steps, spool_in_brief(session, &job.plate, advice))
}

/// What to do to load a printer.
fn load_steps(session: &Session, plate: &PlateLine, advice: Option<&SpoolAdvice>) -> Vec<String> {
    let zone = &session.terrain.zone;
    let mut steps = vec![
        which_spool(session, plate, advice),
        say!(
            "jobs-sheet",
            sheet = sheet_says(&plate.sheet),
            nozzle = decimal(plate.heat_c.0, 0),
            bed = decimal(plate.heat_c.1, 0),
        ),
        say!("jobs-bed"),
        say!("jobs-file", plate = plate.seq),
    ];
    if let Some(place) = &plate.place {
        let time = words::time(zone, place.end, session.minute());
        let says = match plate.takes {
            Some(Takes::Kept { middle, kept, .. }) => {
                let band = within(middle, kept);
                say!("jobs-takes-done-by", band = band, time = time)
            }
            _ => say!("jobs-done-by", time = time),
        };
        steps.push(match since(plate) {
            Some(since) => format!("{says} {since}"),
            None => says,
        });
        if let Some(paper) = alone(session, plate) {
            steps.push(paper);
        }
    }
    steps.push(say!("jobs-tick-here"));
    steps
}

/// What is said about a run with nobody there.
fn alone(session: &Session, plate: &PlateLine) -> Option<String> {
    let place = plate.place.as_ref()?;
    let site = session.terrain.region.printers[place.printer.0].site_at(place.start);
    let staffed = session.terrain.region.sites[site.0].staffed.as_slice();
    let watched = staffed
        .iter()
        .any(|w| w.from <= place.start && place.end <= w.until);
    if watched {
        return None;
    }
    let length: Minutes = place.end - place.start;
    let (length, printer) = (length.to_string(), &plate.printer);
    Some(match &plate.permission {
        Some(paper) => say!(
            "jobs-may-run-alone",
            length = length,
            printer = printer,
            paper = paper,
        ),
        None => say!("jobs-stay-with-it", length = length, printer = printer),
    })
}

/// `Measure each copy of hub: bore for the bearing (from 7.95 to 8.05 mm).`
fn to_measure(plate: &PlateLine) -> String {
    let own = (plate.part.as_str(), plate.dimensions.as_slice());
    let others = plate.others.iter();
    let others = others.map(|other| (other.part.as_str(), other.dimensions.as_slice()));
    let all = std::iter::once(own).chain(others);
    let named = all.filter(|(_, dimensions)| !dimensions.is_empty());
    let says = named.map(|(part, dimensions)| {
        let one = |one: &CriticalDimension| format!("{} ({})", one.what, limits(one));
        let sizes: Vec<String> = dimensions.iter().map(one).collect();
        say!("jobs-measure-each", part = part, sizes = sizes.join("; "))
    });
    says.collect::<Vec<_>>().join(" ")
}

/// What a printer said of a plate that is still on it.
fn machine_says(session: &Session, plate: &PlateLine, state: &JobState) -> Option<String> {
    if !matches!(state, JobState::Ready) {
        return None;
    }
    let at = |when| crate::pages::machines::at(session, when);
    match &plate.says {
        Some(Machine::Ended { ended, .. }) if ended.stopped => {
            Some(say!("jobs-says-stopped", time = at(ended.at)))
        }
        Some(Machine::Ended { ended, .. }) => Some(say!("jobs-says-ended", time = at(ended.at))),
        Some(Machine::Halted { since, .. }) => Some(say!("jobs-says-halted", time = at(*since))),
        Some(Machine::Runs { since, .. }) => Some(say!("jobs-says-runs", time = at(*since))),
        _ => None,
    }
}

/// That a printer told of the start, and what people can do about it.
fn started_itself(plate: &PlateLine, what: &str, time: &str) -> String {
    let material = &plate.material;
    if plate.starts_itself == Some(ByItself::ToLook) {
        say!(
            "jobs-started-itself-look",
            what = what,
            material = material,
            time = time,
        )
    } else {
        say!(
            "jobs-started-itself-free",
            what = what,
            material = material,
            time = time,
        )
    }
}

fn says(session: &Session, job: &Job) -> String {
    let plate = &job.plate;
    let zone = &session.terrain.zone;
    let what = match job.kind {
        JobKind::Box | JobKind::HandOver => format!("{} × {}", plate.copies, plate.part),
        JobKind::Load | JobKind::Look | JobKind::Stop | JobKind::Clear => whole(plate),
    };
    match (&job.kind, &job.state) {
        (_, JobState::Failed(_, reason)) => {
            say!("jobs-failed-because", reason = reason_says(reason))
        }
        (JobKind::Load, JobState::Done(at)) if plate.starts_itself.is_some() => {
            started_itself(plate, &what, &zone.clock(*at))
        }
        (JobKind::Load, _) => lasts(plate, &what),
        (JobKind::Look, _) => say!("jobs-first-layer", plate = plate.seq),
        (JobKind::Stop, _) if left(plate) => {
            say!("jobs-stop-asked-why", what = what, printer = plate.printer)
        }
        (JobKind::Stop, _) => say!("jobs-stop-why", what = what, printer = plate.printer),
        (JobKind::Clear, state) => {
            let mut all: Vec<String> = machine_says(session, plate, state).into_iter().collect();
            all.push(say!("jobs-wait-until-cool", what = what));
            all.push(if plate.to_measure() {
                to_measure(plate)
            } else if single(plate) {
                say!("jobs-good-or-not")
            } else {
                say!("jobs-count-good")
            });
            all.join(" ")
        }
        (JobKind::Box | JobKind::HandOver, JobState::Waits)
            if plate.stopped == Some(Stop::Down) =>
        {
            say!("jobs-taken-down")
        }
        (JobKind::Box, _) => say!("jobs-box-to", what = what, to = place_says(&plate.to)),
        (JobKind::HandOver, _) => match plate.leg {
            Some((LegKind::Counter, _)) if plate.handed => {
                say!("jobs-counter-done", team = plate.team)
            }
            Some((LegKind::Counter, _)) => say!("jobs-counter", team = plate.team),
            Some((kind, departure)) => say!(
                "jobs-leaves",
                way = words::capital(&leg(kind)),
                leaves = words::time(zone, departure.leaves, session.minute()),
                to = place_says(&plate.to),
                arrives = zone.short(departure.arrives),
            ),
            None => say!("jobs-no-round", to = place_says(&plate.to)),
        },
    }
}
