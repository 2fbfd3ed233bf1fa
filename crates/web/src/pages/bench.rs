//! The run sheet of a host's day, the form for trouble, and the list of hosts.

mod job;
#[cfg(test)]
mod tests;
mod uses;

use std::collections::BTreeMap;

use askama::Template;
use partpledge_units::time::Minute;
use partpledge_words::say;
use partpledge_workshop::hub::{Doing, Hub, Subject, jobs_of};
use partpledge_workshop::run_sheet::{Job, JobKind, JobState, OverNight, RunSheet};
use partpledge_workshop::{Session, caution_says};

use super::closed::when;
use super::hub::HubBox;
use super::machines::{self, MachineLine};
use crate::who::Head;
use crate::words;
use job::line;
pub(crate) use job::{Counted, JobLine, within};
pub(crate) use uses::{PrinterOutForm, UseLine, out_now, until_says};

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
    /// What printers say of themselves, today.
    pub(crate) machines: Vec<MachineLine>,
    /// Which printers are out of use on this day, in a sentence each.
    pub(crate) out: Vec<String>,
    /// Today, the printers and what can be said of them.
    pub(crate) uses: Vec<UseLine>,
    pub(crate) night: Option<(String, String)>,
    pub(crate) plastic: Vec<(String, String)>,
    pub(crate) cautions: Vec<String>,
    pub(crate) before: Option<String>,
    pub(crate) after: Option<String>,
    pub(crate) number: String,
    pub(crate) today: bool,
    /// Who is there and who has which job, at a bench that students run.
    pub(crate) hub: Option<HubBox>,
    /// Whether a first layer is still to be looked at.
    pub(crate) first_layer: bool,
    /// Our clock, ms of UTC: a tablet's own may be wrong.
    pub(crate) now_ms: i64,
    /// The region's time zone, by its IANA name: a tablet's own may be another.
    pub(crate) zone: String,
    /// What is wrong with the form that was sent about a box: its plate and what.
    pub(crate) wrong: Option<(u64, String)>,
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
    /// What may be good all the same, of each request on the plate.
    pub(crate) counts: Vec<Counted>,
    pub(crate) reasons: Vec<&'static str>,
    /// What was chosen when the form was sent; nothing is chosen beforehand.
    pub(crate) reason: String,
    /// Whether the printer is out of use: `yes`, `no` or not said.
    pub(crate) out: String,
    pub(crate) until_day: String,
    pub(crate) until_clock: String,
    /// The field that something is wrong with, by its id, and what.
    pub(crate) wrong: Option<(&'static str, String)>,
    pub(crate) key: String,
}

impl TroubleForm {
    /// Whether something is wrong with that field.
    fn bad(&self, field: &str) -> bool {
        self.wrong.as_ref().is_some_and(|(id, _)| *id == field)
    }
}

/// All hosts, for the coordinator.
#[derive(Template)]
#[template(path = "run_sheets.html")]
pub(crate) struct SheetsPage {
    pub(crate) head: Head,
    pub(crate) hosts: Vec<(String, String, String)>,
}

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
                code: code.to_owned(),
                ..line(session, sheet, job, today && now == Some(i), keys())
            })
            .collect();
        let first_layer = jobs
            .iter()
            .any(|job| job.kind == "look" && job.state != "done");
        let noon = sheet.date.at(12, 0, 0, 0).time();
        let title = zone.day(zone.minute(sheet.date, noon));
        let staffed = match (sheet.staffed.first(), sheet.staffed.last()) {
            (Some(first), Some(last)) => say!(
                "bench-staffed",
                from = zone.clock(first.from),
                until = zone.clock(last.until),
            ),
            _ => say!("bench-not-staffed"),
        };
        let staffed = match closed(session, sheet, code) {
            Some(closed) => format!("{staffed} {closed}"),
            None => staffed,
        };
        let url = |date: jiff::civil::Date| format!("/run-sheets/{code}?day={date}");
        let cautions = cautions(session, sheet);
        let machines = sheet.machines.iter().filter(|_| today);
        let machines = machines.map(|one| machines::line(session, one)).collect();
        Self {
            self_url: url(sheet.date),
            day_iso: sheet.date.to_string(),
            code: code.to_owned(),
            title,
            host: sheet.host.clone(),
            staffed,
            jobs,
            machines,
            out: uses::out_on(session, sheet),
            uses: uses::lines(session, sheet, keys),
            night: night(session, sheet),
            plastic: sheet
                .plastic_g()
                .into_iter()
                .map(|(code, grams)| {
                    let says =
                        grams.map_or_else(|| say!("bench-grams-unknown"), |g| format!("{g:.0} g"));
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
            wrong: None,
            hub: None,
            head,
        }
    }

    /// With what is wrong with the form that was sent about a box.
    pub(crate) fn ask_again(&mut self, plate: u64, text: &str) {
        self.wrong = Some((plate, text.to_owned()));
        let hands = |job: &&mut JobLine| job.act == "hand" && job.plate == plate;
        for job in self.jobs.iter_mut().filter(hands) {
            job.wrong = Some(text.to_owned());
        }
    }

    /// The same at a bench that students run: only what somebody there may do can be ticked.
    pub(crate) fn at_hub(
        mut self,
        session: &Session,
        hub: &Hub,
        (sheet, judged): (&RunSheet, bool),
    ) -> Self {
        for (line, job) in self.jobs.iter_mut().zip(&sheet.jobs) {
            let plate = &job.plate;
            let subject = Subject {
                printer: &plate.printer,
                material: &plate.material,
                place: plate.place.as_ref(),
                ahead: true,
            };
            let asks = |doing| hub.asks(session, (doing, &subject), session.now);
            if !matches!(job.state, JobState::Done(_)) {
                let at = session.now.max(job.at.to_ms());
                let doing = Doing::of_job(job.kind);
                let who = hub.asks_on_paper(session, (doing, &subject), at);
                line.on_paper = who.map(|who| who.words()).unwrap_or_default();
            }
            if judged && !line.act.is_empty() {
                let ask = asks(Doing::of_job(job.kind));
                line.ask = ask.map(|ask| ask.words()).unwrap_or_default();
                line.may_pass = asks(Doing::Plan).is_none();
            }
            if judged && uses::stays_out(session, hub, sheet, (line.undo, line.plate)) {
                line.undo = "";
            }
        }
        if judged {
            uses::ask_at_hub(session, hub, sheet, &mut self.uses);
        }
        let jobs = jobs_of(session, hub, sheet.date);
        self.hub = Some(HubBox::new(session, hub, &jobs, crate::routes::key()));
        self
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
            for caution in material.cautions.iter().map(|text| caution_says(text)) {
                if !out.contains(&caution) {
                    out.push(caution);
                }
            }
        }
    }
    out
}

/// `Closed Wednesday 10 March, all day: snow.`
fn closed(session: &Session, sheet: &RunSheet, code: &str) -> Option<String> {
    let zone = &session.terrain.zone;
    let on = |at| zone.date(at);
    let all = session.closures.iter().map(|kept| &kept.closure);
    let own = all.filter(|closure| {
        let last = Minute(closure.until.0 - 1);
        let there = closure.schools.iter().any(|school| school == code);
        there && on(closure.from) <= sheet.date && sheet.date <= on(last)
    });
    let mut own: Vec<_> = own.collect();
    own.sort_by_key(|closure| (closure.from, closure.until));
    let says = own.iter().map(|closure| {
        let day = when(zone, closure.from, closure.until);
        say!("bench-closed", day = day, reason = closure.reason)
    });
    let says: Vec<String> = says.collect();
    (!says.is_empty()).then(|| says.join(" "))
}

/// `17:30 to 08:15, nobody here`, and what the printers do meanwhile.
fn night(session: &Session, sheet: &RunSheet) -> Option<(String, String)> {
    let zone = &session.terrain.zone;
    let last = sheet.staffed.last()?;
    let until = sheet.next.map_or_else(
        || say!("bench-calendar-end"),
        |next| words::time(zone, next.from, last.until),
    );
    let (idle, busy): (Vec<_>, Vec<_>) = sheet.night.iter().partition(|(_, on)| on.is_none());
    let mut lines = Vec::new();
    // Of a printer that is out of use nobody knows whether it is empty: something may have failed on it.
    // What was said after they had left counts too.
    let now = session.minute();
    let today = zone.date(now) == sheet.date;
    let at = if today {
        last.until.max(now)
    } else {
        last.until
    };
    let is_out = |name: &String| {
        let mut all = sheet.uses.iter();
        all.any(|one| one.printer == *name && one.is_out_at(at))
    };
    let (out, idle): (Vec<_>, Vec<_>) = idle.into_iter().partition(|(name, _)| is_out(name));
    let names = |some: &[&(String, Option<OverNight>)]| {
        let names: Vec<&str> = some.iter().map(|(name, _)| name.as_str()).collect();
        and(&names)
    };
    if !idle.is_empty() {
        lines.push(say!("bench-night-empty", printers = names(&idle)));
    }
    if !out.is_empty() {
        let (n, printers) = (out.len(), names(&out));
        lines.push(say!("bench-night-out", n = n, printers = printers));
    }
    for (name, on) in busy {
        let Some(on) = on else { continue };
        let (printer, plate) = (name, on.plate);
        let ends = on.end.filter(|_| on.alone);
        lines.push(if let Some(end) = ends {
            let time = words::time(zone, end, last.until);
            say!(
                "bench-night-runs",
                printer = printer,
                plate = plate,
                time = time
            )
        } else if on.alone {
            say!("bench-night-long", printer = printer, plate = plate)
        } else {
            say!("bench-night-stop", printer = printer, plate = plate)
        });
    }
    let title = say!("bench-night", from = zone.clock(last.until), until = until);
    Some((title, lines.join(" ")))
}

/// `Heron`, `Heron and Teal`, `Heron, Plover and Teal`.
pub(crate) fn and(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [all @ .., last] => say!("common-and", before = all.join(", "), last = last),
    }
}
