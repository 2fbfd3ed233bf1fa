//! The run sheet of a host's day, the form for trouble, and the list of hosts.

use std::collections::BTreeMap;

use askama::Template;
use partpledge_planning_model::LegKind;
use partpledge_records::StepKind;
use partpledge_units::time::{Minute, Minutes};
use partpledge_workshop::Session;
use partpledge_workshop::bench::UNDO_MS;
use partpledge_workshop::run_sheet::{Beside, Job, JobKind, JobState, PlateLine, RunSheet};
use partpledge_workshop::spools::advice::SpoolAdvice;

use crate::pages::load_step::{choices, which_spool};
use crate::pages::ticket::leg;
use crate::who::Head;
use crate::words;

/// One line of the sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct JobLine {
    /// `load`, `look`, `clear`, `box` or `hand`.
    pub(crate) kind: &'static str,
    /// `done`, `now`, `ready` or `waits`.
    pub(crate) state: &'static str,
    pub(crate) time: String,
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
    /// Copies that are being reworked.
    pub(crate) held: usize,
    /// The step that can be taken back, as it is stored; empty when it is too late, or nothing is done.
    pub(crate) undo: &'static str,
    /// Words on the tick.
    pub(crate) tick: String,
    /// Steps of a load, in order.
    pub(crate) steps: Vec<String>,
    pub(crate) text: String,
    /// What the plate waits for last, for a load that is not done.
    pub(crate) why: String,
    /// Spools to choose from, the best first: value and words. Empty where nobody counts them.
    pub(crate) spools: Vec<(String, String)>,
    /// Copies that may be good: asked for when there are several.
    pub(crate) of: usize,
    /// Copies of others on the same plate.
    pub(crate) others: Vec<Other>,
    pub(crate) trouble: bool,
    /// Tells one tick from the next sent from the same sheet.
    pub(crate) key: String,
}

/// Copies of another request on a plate, to be counted by themselves.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Other {
    /// Number of its share.
    pub(crate) share: u64,
    /// Part and team.
    pub(crate) what: String,
    pub(crate) of: usize,
}

impl Other {
    pub(crate) fn new(beside: &Beside) -> Self {
        Self {
            share: beside.share,
            what: format!("{}, {}", beside.part, beside.team),
            of: beside.copies,
        }
    }
}

/// The run sheet.
#[derive(Template)]
#[template(path = "run_sheet.html")]
pub(crate) struct RunPage {
    pub(crate) head: Head,
    pub(crate) self_url: String,
    pub(crate) code: String,
    pub(crate) day_iso: String,
    pub(crate) title: String,
    pub(crate) host: String,
    pub(crate) staffed: String,
    pub(crate) jobs: Vec<JobLine>,
    pub(crate) night: Option<(String, String)>,
    pub(crate) plastic: Vec<(String, String)>,
    pub(crate) cautions: Vec<String>,
    pub(crate) before: Option<String>,
    pub(crate) after: Option<String>,
    pub(crate) number: String,
    pub(crate) today: bool,
    /// Whether a first layer is still to be looked at.
    pub(crate) first_layer: bool,
    /// Our clock, ms of UTC: a tablet's own may be wrong.
    pub(crate) now_ms: i64,
    /// The region's time zone, by its IANA name: a tablet's own may be another.
    pub(crate) zone: String,
}

/// What went wrong, and with what.
#[derive(Template)]
#[template(path = "trouble_form.html")]
pub(crate) struct TroubleForm {
    pub(crate) head: Head,
    pub(crate) code: String,
    pub(crate) day_iso: String,
    pub(crate) plate: u64,
    pub(crate) printer: String,
    pub(crate) label: String,
    /// Whether it runs; otherwise only the printer can be put out of use.
    pub(crate) started: bool,
    pub(crate) copies: usize,
    /// Copies of others on the same plate.
    pub(crate) others: Vec<Other>,
    pub(crate) reasons: Vec<&'static str>,
    pub(crate) until_day: String,
    pub(crate) until_clock: String,
    pub(crate) wrong: Option<String>,
    pub(crate) key: String,
}

/// All hosts, for the coordinator.
#[derive(Template)]
#[template(path = "run_sheets.html")]
pub(crate) struct SheetsPage {
    pub(crate) head: Head,
    pub(crate) hosts: Vec<(String, String, String)>,
}

/// Reasons to choose from. Trade words that a student at the bench can tell apart.
pub(crate) const REASONS: [&str; 8] = [
    "It came loose from the bed",
    "Layers are shifted",
    "Plastic stopped coming",
    "The spool ran out or tangled",
    "It lifted at the corners",
    "The printer stopped by itself",
    "The power went",
    "The copies are not good enough",
];

impl RunPage {
    /// The page of a sheet.
    pub(crate) fn new(
        head: Head,
        session: &Session,
        sheet: &RunSheet,
        whys: &BTreeMap<u64, String>,
        (code, keys): (&str, &mut dyn FnMut() -> String),
    ) -> Self {
        let zone = &session.terrain.zone;
        let now = sheet.now();
        let today = zone.date(session.minute()) == sheet.date;
        let jobs = sheet.jobs.iter().enumerate();
        let jobs: Vec<JobLine> = jobs
            .map(|(i, job)| JobLine {
                why: why(job, whys),
                ..line(session, sheet, job, today && now == Some(i), keys())
            })
            .collect();
        let first_layer = jobs
            .iter()
            .any(|job| job.kind == "look" && job.state != "done");
        let noon = sheet.date.at(12, 0, 0, 0).time();
        let title = zone.day(zone.minute(sheet.date, noon));
        let staffed = match (sheet.staffed.first(), sheet.staffed.last()) {
            (Some(first), Some(last)) => {
                format!(
                    "Somebody is at the bench from {} until {}.",
                    zone.clock(first.from),
                    zone.clock(last.until)
                )
            }
            _ => "Nobody is at the bench on this day.".to_owned(),
        };
        let url = |date: jiff::civil::Date| format!("/run-sheets/{code}?day={date}");
        let cautions = cautions(session, sheet);
        Self {
            self_url: url(sheet.date),
            day_iso: sheet.date.to_string(),
            code: code.to_owned(),
            title,
            host: sheet.host.clone(),
            staffed,
            jobs,
            night: night(session, sheet),
            plastic: sheet
                .plastic_g()
                .into_iter()
                .map(|(code, grams)| {
                    let says =
                        grams.map_or_else(|| "not known".to_owned(), |g| format!("{g:.0} g"));
                    (code, says)
                })
                .collect(),
            cautions,
            before: sheet.date.yesterday().ok().map(url),
            after: sheet.date.tomorrow().ok().map(url),
            number: format!(
                "{}-{}",
                words::prefix(&sheet.host),
                sheet.date.strftime("%m%d")
            ),
            today,
            now_ms: session.now.0,
            zone: session.terrain.file.zone.clone(),
            first_layer,
            head,
        }
    }
}

/// Why a plate is loaded only then.
fn why(job: &Job, whys: &BTreeMap<u64, String>) -> String {
    let loads = job.kind == JobKind::Load && job.state == JobState::Ready;
    let known = whys.get(&job.plate.seq).filter(|_| loads);
    known.cloned().unwrap_or_default()
}

/// Cautions of every material on the sheet, each once.
fn cautions(session: &Session, sheet: &RunSheet) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for job in sheet.jobs.iter().filter(|job| job.kind == JobKind::Load) {
        if let Some(material) = session.catalogue.material(&job.plate.material) {
            for caution in &material.cautions {
                if !out.contains(caution) {
                    out.push(caution.clone());
                }
            }
        }
    }
    out
}

/// Glyph, title, what the tick sends, and its words.
fn task(kind: JobKind, plate: &PlateLine) -> (&'static str, String, &'static str, &'static str) {
    match kind {
        JobKind::Load => (
            "load",
            format!("Load {} with plate {}", plate.printer, plate.seq),
            "start",
            "Started",
        ),
        JobKind::Look => (
            "look",
            format!("Look at {}", plate.printer),
            "look",
            "Looks good",
        ),
        JobKind::Clear => (
            "clear",
            format!("Clear {}, plate {}", plate.printer, plate.seq),
            "off",
            "Off the bed",
        ),
        JobKind::Box => (
            "box",
            format!("Box {} for {}", from_plate(plate), plate.team),
            "box",
            "Closed",
        ),
        JobKind::HandOver => (
            "hand",
            format!("Hand over the box {}", of_plate(plate)),
            "leave",
            "Gone",
        ),
    }
}

/// `plate 17`, or `31 from plate 17` for what joined that plate.
fn from_plate(plate: &PlateLine) -> String {
    if plate.share == plate.seq {
        format!("plate {}", plate.seq)
    } else {
        format!("{} from plate {}", plate.share, plate.seq)
    }
}

fn of_plate(plate: &PlateLine) -> String {
    if plate.share == plate.seq {
        format!("of plate {}", plate.seq)
    } else {
        from_plate(plate)
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

fn line(session: &Session, sheet: &RunSheet, job: &Job, now: bool, key: String) -> JobLine {
    let zone = &session.terrain.zone;
    let plate = &job.plate;
    let same_day = zone.date(job.at) == sheet.date;
    let time = if same_day {
        zone.clock(job.at)
    } else {
        format!("{} {}", zone.weekday(job.at), zone.clock(job.at))
    };
    let (glyph, title, act, ready) = task(job.kind, plate);
    let (state, tick) = match &job.state {
        JobState::Done(at) => ("done", format!("Done {}", zone.clock(*at))),
        JobState::Failed(at, _) => ("done", format!("Failed {}", zone.clock(*at))),
        JobState::Ready if now => ("now", ready.to_owned()),
        JobState::Ready => ("ready", ready.to_owned()),
        JobState::Waits => ("waits", ready.to_owned()),
    };
    let open = matches!(job.state, JobState::Ready);
    let steps = if job.kind == JobKind::Load && open {
        load_steps(session, plate, sheet.spools.get(&plate.seq))
    } else {
        Vec::new()
    };
    let waits = matches!(job.state, JobState::Waits);
    let on_printer = matches!(job.kind, JobKind::Load | JobKind::Look | JobKind::Clear);
    let number = if on_printer { plate.seq } else { plate.share };
    JobLine {
        state,
        time,
        kind: glyph,
        glyph,
        title,
        plate: number,
        act: if open || waits { act } else { "" },
        does: format!("{act}:{number}"),
        after: if waits { first(job) } else { String::new() },
        printer: plate.printer.clone(),
        held: if job.kind == JobKind::Box {
            plate.held
        } else {
            0
        },
        undo: undo(session, job),
        tick,
        text: if steps.is_empty() {
            says(session, job)
        } else {
            String::new()
        },
        steps,
        spools: if job.kind == JobKind::Load && open {
            choices(sheet.spools.get(&plate.seq))
        } else {
            Vec::new()
        },
        why: String::new(),
        of: if job.kind == JobKind::Clear {
            plate.copies
        } else {
            0
        },
        others: if job.kind == JobKind::Clear {
            plate.others.iter().map(Other::new).collect()
        } else {
            Vec::new()
        },
        trouble: (open || waits) && on_printer,
        key,
    }
}

/// The step of a job that was done minutes ago.
fn undo(session: &Session, job: &Job) -> &'static str {
    let (at, step) = match (&job.state, job.kind) {
        (JobState::Failed(at, _), _) => (*at, StepKind::Failed),
        (JobState::Done(at), JobKind::Load) => (*at, StepKind::Started),
        (JobState::Done(at), JobKind::Look) => (*at, StepKind::Looked),
        (JobState::Done(at), JobKind::Clear) => (*at, StepKind::Off),
        (JobState::Done(at), JobKind::Box) => (*at, StepKind::Boxed),
        (JobState::Done(at), JobKind::HandOver) => (*at, StepKind::Left),
        (JobState::Ready | JobState::Waits, _) => return "",
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
        JobKind::Look | JobKind::Clear => format!("start:{}", job.plate.seq),
        JobKind::Box => format!("off:{}", job.plate.seq),
        JobKind::HandOver => format!("box:{}", job.plate.share),
    }
}

/// What to do to load a printer.
fn load_steps(session: &Session, plate: &PlateLine, advice: Option<&SpoolAdvice>) -> Vec<String> {
    let zone = &session.terrain.zone;
    let mut steps = vec![
        which_spool(session, plate, advice),
        format!(
            "Sheet: {}. Nozzle {:.0} °C, bed {:.0} °C, unless the spool’s label says otherwise.",
            plate.sheet, plate.heat_c.0, plate.heat_c.1
        ),
        "Bed: cool, empty and wiped.".to_owned(),
        format!(
            "File: plate-{}.3mf, from the plate’s page, through your own toolpath program.",
            plate.seq
        ),
    ];
    if let Some(place) = &plate.place {
        let takes = plate
            .takes
            .map_or_else(String::new, |band| format!("It takes {band}. "));
        steps.push(format!(
            "{takes}It should be done by {}.",
            words::time(zone, place.end, session.minute())
        ));
        if let Some(paper) = alone(session, plate) {
            steps.push(paper);
        }
    }
    steps.push("Tick here when it starts there.".to_owned());
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
    Some(match &plate.permission {
        Some(paper) => format!(
            "It runs {length} and partly with nobody there. Only {} may: {paper}. Door shut, nothing on top of it.",
            plate.printer
        ),
        None => format!(
            "It runs {length}. Stay with it: {} may not run alone.",
            plate.printer
        ),
    })
}

fn says(session: &Session, job: &Job) -> String {
    let plate = &job.plate;
    let zone = &session.terrain.zone;
    let what = match job.kind {
        JobKind::Box | JobKind::HandOver => format!("{} × {}", plate.copies, plate.part),
        JobKind::Load | JobKind::Look | JobKind::Clear => whole(plate),
    };
    match (&job.kind, &job.state) {
        (_, JobState::Failed(_, reason)) => format!("{reason}. Put what’s left in the scrap tin."),
        (JobKind::Load, _) => plate.takes.map_or_else(
            || format!("{what}, {}.", plate.material),
            |band| format!("{what}, {}. Takes {band}.", plate.material),
        ),
        (JobKind::Look, _) => format!(
            "First layer of plate {}: flat lines, no gaps, all corners down.",
            plate.seq
        ),
        (JobKind::Clear, _) => format!(
            "{what}. Wait until the bed is below 40 °C: it’s hot and the parts come off easier. Count the good ones."
        ),
        (JobKind::Box, _) => format!("{what}, to {}. The list is on the label.", plate.to),
        (JobKind::HandOver, _) => match plate.leg {
            Some((LegKind::Counter, _)) => format!("Over the counter, to {}.", plate.team),
            Some((kind, departure)) => format!(
                "{}: it leaves {} and is at {} on {}.",
                words::capital(leg(kind)),
                words::time(zone, departure.leaves, session.minute()),
                plate.to,
                zone.short(departure.arrives)
            ),
            None => format!("To {}. No round goes before the calendars end.", plate.to),
        },
    }
}

/// `17:30 to 08:15, nobody here`, and what the printers do meanwhile.
fn night(session: &Session, sheet: &RunSheet) -> Option<(String, String)> {
    let zone = &session.terrain.zone;
    let last = sheet.staffed.last()?;
    let until = sheet.next.map_or_else(
        || "the end of the calendar".to_owned(),
        |next| words::time(zone, next.from, last.until),
    );
    let (idle, busy): (Vec<_>, Vec<_>) = sheet.night.iter().partition(|(_, on)| on.is_none());
    let mut text = String::new();
    if !idle.is_empty() {
        let names: Vec<&str> = idle.iter().map(|(name, _)| name.as_str()).collect();
        text.push_str(&format!("{}: empty, cool, switched off. ", and(&names)));
    }
    for (name, on) in busy {
        if let Some((plate, end)) = on {
            let end: Minute = *end;
            text.push_str(&format!(
                "{name}: running plate {plate} until about {}, door shut, nothing on top of it. ",
                words::time(zone, end, last.until)
            ));
        }
    }
    let title = format!("{} to {until}, nobody here", zone.clock(last.until));
    Some((title, text.trim().to_owned()))
}

/// `Heron`, `Heron and Teal`, `Heron, Plover and Teal`.
pub(crate) fn and(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [all @ .., last] => format!("{} and {last}", all.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    fn job(state: &'static str, kind: &'static str, act: &'static str) -> JobLine {
        JobLine {
            kind,
            state,
            time: "13:10".to_owned(),
            glyph: kind,
            title: AWKWARD.to_owned(),
            plate: 214,
            act,
            does: format!("{kind}:214"),
            after: String::new(),
            printer: AWKWARD.to_owned(),
            held: usize::from(kind == "box"),
            undo: if state == "done" { "started" } else { "" },
            tick: "Started".to_owned(),
            steps: if kind == "load" {
                vec![AWKWARD.to_owned(); 6]
            } else {
                Vec::new()
            },
            spools: if act == "start" {
                vec![("17".to_owned(), AWKWARD.to_owned())]
            } else {
                Vec::new()
            },
            why: AWKWARD.to_owned(),
            text: AWKWARD.to_owned(),
            of: if kind == "clear" { 6 } else { 0 },
            others: Vec::new(),
            trouble: !act.is_empty(),
            key: "k".to_owned(),
        }
    }

    fn other() -> Other {
        Other {
            share: 219,
            what: AWKWARD.to_owned(),
            of: 2,
        }
    }

    #[test]
    fn copies_of_others_on_a_plate_are_counted_by_themselves() {
        let clear = JobLine {
            of: 1,
            others: vec![other()],
            ..job("now", "clear", "off")
        };
        let page = sheet(vec![clear]).render().unwrap();
        sound(&page);
        assert!(page.contains("name=\"good\"") && page.contains("name=\"good-219\""));
        assert!(page.contains("of 2</label>"));
    }

    fn sheet(jobs: Vec<JobLine>) -> RunPage {
        RunPage {
            head: head(),
            self_url: "/run-sheets/brindlemoor?day=2027-03-09".to_owned(),
            code: "brindlemoor".to_owned(),
            day_iso: "2027-03-09".to_owned(),
            title: "Tuesday 9 March".to_owned(),
            host: AWKWARD.to_owned(),
            staffed: AWKWARD.to_owned(),
            jobs,
            night: Some((AWKWARD.to_owned(), AWKWARD.to_owned())),
            plastic: vec![("PETG".to_owned(), "212 g".to_owned())],
            cautions: vec![AWKWARD.to_owned()],
            before: Some("/run-sheets/brindlemoor?day=2027-03-08".to_owned()),
            after: None,
            number: "BS-0309".to_owned(),
            today: false,
            now_ms: 1_804_588_920_000,
            zone: "Europe/Stockholm".to_owned(),
            first_layer: true,
        }
    }

    #[test]
    fn the_run_sheet_renders_idle_and_with_every_job() {
        let idle = RunPage {
            night: None,
            plastic: Vec::new(),
            cautions: Vec::new(),
            ..sheet(Vec::new())
        };
        let idle = idle.render().unwrap();
        sound(&idle);
        assert!(idle.contains("Nothing to do here on this day."));
        let busy = sheet(vec![
            job("done", "load", ""),
            job("now", "load", "start"),
            job("ready", "load", "start"),
            job("waits", "look", ""),
            job("ready", "clear", "off"),
            job("waits", "box", ""),
            job("ready", "hand", "leave"),
        ]);
        let busy = busy.render().unwrap();
        sound(&busy);
        assert_eq!(busy.matches("Do this now").count(), 1);
        assert_eq!(
            busy.matches("name=\"act\"").count(),
            4,
            "only what can be done can be ticked"
        );
        assert!(busy.contains("name=\"good\""), "several copies are counted");
        assert_eq!(
            busy.matches("name=\"spool\"").count(),
            2,
            "every load asks for its spool"
        );
        assert_eq!(
            busy.matches("Take it back").count(),
            1,
            "what was just done"
        );
    }

    #[test]
    fn what_waits_has_its_form_folded_in_the_page_for_a_tablet_without_network() {
        let waits = JobLine {
            after: "start:214".to_owned(),
            ..job("waits", "look", "look")
        };
        let page = sheet(vec![waits]).render().unwrap();
        sound(&page);
        let (_, folded) = page
            .split_once("<template data-after=\"start:214\">")
            .unwrap();
        let (folded, _) = folded.split_once("</template>").unwrap();
        assert!(
            folded.contains("name=\"act\" value=\"look\"") && folded.contains("&amp;running=1")
        );
        assert_eq!(page.matches("name=\"act\"").count(), 1);
    }

    #[test]
    fn trouble_asks_only_what_can_be_answered() {
        let form = |started, wrong: Option<&str>| TroubleForm {
            head: head(),
            code: "brindlemoor".to_owned(),
            day_iso: "2027-03-09".to_owned(),
            plate: 214,
            printer: AWKWARD.to_owned(),
            label: AWKWARD.to_owned(),
            started,
            copies: 6,
            others: vec![other()],
            reasons: REASONS.to_vec(),
            until_day: "2027-03-10".to_owned(),
            until_clock: "12:00".to_owned(),
            wrong: wrong.map(str::to_owned),
            key: "k".to_owned(),
        };
        let running = form(true, None).render().unwrap();
        sound(&running);
        assert!(running.contains("name=\"good\"") && running.contains("name=\"good-219\""));
        assert!(!running.contains("There is a problem"));
        let waiting = form(false, Some(AWKWARD)).render().unwrap();
        sound(&waiting);
        assert!(!waiting.contains("name=\"good\"") && waiting.contains("There is a problem"));
    }

    #[test]
    fn the_list_of_sheets_renders() {
        let line = |text: &str| (text.to_owned(), text.to_owned(), text.to_owned());
        let page = SheetsPage {
            head: head(),
            hosts: vec![line(AWKWARD), line("b")],
        };
        sound(&page.render().unwrap());
        assert_eq!(and(&["Heron", "Plover", "Teal"]), "Heron, Plover and Teal");
        assert_eq!(
            (and(&["Heron"]), and(&[])),
            ("Heron".to_owned(), String::new())
        );
    }
}
