//! Which of a host's printers can be used, and the form that says that one can't.

use std::collections::BTreeMap;

use askama::Template;
use partpledge_records::{Event, Outage, StepKind};
use partpledge_units::time::Minute;
use partpledge_words::{Value, clause, say};
use partpledge_workshop::Session;
use partpledge_workshop::bench::reason_says;
use partpledge_workshop::hub::Hub;
use partpledge_workshop::run_sheet::{PrinterUse, RunSheet};

use crate::who::Head;
use crate::words;

/// A printer's line on the sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct UseLine {
    pub(crate) printer: String,
    pub(crate) says: String,
    pub(crate) out: bool,
    /// What was said last and can be taken back, `out` or `back`; empty for nothing.
    pub(crate) undo: &'static str,
    /// Its entry in the log: what was said after it is not taken back.
    pub(crate) entry: i64,
    /// Why nobody there may say that it can be used again; empty when somebody may.
    pub(crate) ask: String,
    pub(crate) key: String,
}

/// The form that says until when a printer can't be used.
#[derive(Template)]
#[template(path = "printer_out.html")]
pub(crate) struct PrinterOutForm {
    pub(crate) head: Head,
    pub(crate) code: String,
    pub(crate) printer: String,
    /// What runs on it and goes on, in a sentence; empty for nothing.
    pub(crate) runs: String,
    pub(crate) reasons: Vec<&'static str>,
    /// What was chosen when the form was sent; nothing is chosen beforehand.
    pub(crate) reason: String,
    pub(crate) until_day: String,
    pub(crate) until_clock: String,
    /// The field that something is wrong with, by its id, and what.
    pub(crate) wrong: Option<(&'static str, String)>,
    pub(crate) key: String,
}

impl PrinterOutForm {
    /// Whether something is wrong with that field.
    fn bad(&self, field: &str) -> bool {
        self.wrong.as_ref().is_some_and(|(id, _)| *id == field)
    }
}

/// `12:00`, or `Friday 12 March, 12:00` when it is not today: that may be weeks ahead.
pub(crate) fn until_says(session: &Session, until: Minute) -> String {
    let zone = &session.terrain.zone;
    let time = zone.clock(until);
    if zone.date(until) == zone.date(session.minute()) {
        return time;
    }
    say!("bench-use-until", day = zone.day(until), time = time)
}

/// Until when, and why: `Friday 12 March, 12:00` and `the power went`.
fn out_says(session: &Session, out: &Outage) -> (String, Value) {
    (
        until_says(session, out.until),
        clause(&reason_says(&out.reason)),
    )
}

/// Printers of the region that are out of use now, in a sentence each, with the code of their bench.
pub(crate) fn out_now(session: &Session) -> Vec<(String, String)> {
    let (terrain, now) = (&session.terrain, session.minute());
    let mut last: BTreeMap<&str, &Outage> = BTreeMap::new();
    for out in session.outages.iter().filter(|out| now < out.until) {
        let longest = last.entry(&out.printer).or_insert(out);
        if longest.until < out.until {
            *longest = out;
        }
    }
    let one = |out: &&Outage| {
        let printer = terrain.printer_of(&out.printer)?;
        let code = terrain.host_code_at(printer, now)?;
        let (until, reason) = out_says(session, out);
        let says = say!(
            "bench-use-out-at",
            printer = out.printer,
            host = terrain.host_at(printer, now),
            until = until,
            reason = reason
        );
        Some((code.to_owned(), says))
    };
    last.values().filter_map(one).collect()
}

/// Printers of a sheet that are out of use on its day, in a sentence each.
pub(super) fn out_on(session: &Session, sheet: &RunSheet) -> Vec<String> {
    let one = |one: &PrinterUse| {
        let (until, reason) = out_says(session, one.out.as_ref()?);
        Some(say!(
            "bench-use-out-on",
            printer = one.printer,
            until = until,
            reason = reason
        ))
    };
    sheet.uses.iter().filter_map(one).collect()
}

/// The printers of today's sheet, each with what can be said of it; nothing on other days.
pub(super) fn lines(
    session: &Session,
    sheet: &RunSheet,
    keys: &mut dyn FnMut() -> String,
) -> Vec<UseLine> {
    let one = |one: &PrinterUse| UseLine {
        printer: one.printer.clone(),
        says: says(session, one),
        out: one.out.is_some(),
        undo: one.undo.map_or("", |(_, what)| what),
        entry: one.undo.map_or(0, |(entry, _)| entry),
        ask: String::new(),
        key: keys(),
    };
    let zone = &session.terrain.zone;
    let today = zone.date(session.minute()) == sheet.date;
    sheet.uses.iter().filter(|_| today).map(one).collect()
}

fn says(session: &Session, one: &PrinterUse) -> String {
    let stands = stands(session, one);
    match one.drifted {
        Some(at) => {
            let zone = &session.terrain.zone;
            let day = words::day(zone, Minute::at_or_before(at), session.minute());
            say!("bench-use-drifted", stands = stands, at = day)
        }
        None => stands,
    }
}

fn stands(session: &Session, one: &PrinterUse) -> String {
    match (&one.out, one.plate) {
        (Some(out), plate) => {
            let (until, reason) = out_says(session, out);
            match plate {
                Some(plate) => say!(
                    "bench-use-out-runs",
                    until = until,
                    reason = reason,
                    plate = plate
                ),
                None => say!("bench-use-out", until = until, reason = reason),
            }
        }
        (None, Some(plate)) => say!("bench-use-runs", plate = plate),
        (None, None) => say!("bench-use-free"),
    }
}

/// The same at a bench that students run: who may say that a printer can be used again.
pub(super) fn ask_at_hub(session: &Session, hub: &Hub, sheet: &RunSheet, lines: &mut [UseLine]) {
    for (line, one) in lines.iter_mut().zip(&sheet.uses) {
        if one.out.is_some() {
            let out = (one.printer.as_str(), one.deeds.as_slice());
            let ask = hub.asks_to_put_back(session, out, session.now);
            line.ask = ask.map(|ask| ask.words()).unwrap_or_default();
        }
    }
}

/// Whether a failed run is not taken back by whoever is there at such a bench: its printer is out of use
/// with it, and nobody there may say that it can be used again.
pub(super) fn stays_out(
    session: &Session,
    hub: &Hub,
    sheet: &RunSheet,
    (step, plate): (&str, u64),
) -> bool {
    let its = |(_, deed): &&(i64, Event)| {
        deed.text("out").is_some() && deed.numbers("plate").contains(&plate)
    };
    let asks = |one: &PrinterUse| {
        let deed = one.deeds.iter().find(its)?;
        let out = (one.printer.as_str(), std::slice::from_ref(deed));
        hub.asks_to_put_back(session, out, session.now)
    };
    step == StepKind::Failed.as_str() && sheet.uses.iter().any(|one| asks(one).is_some())
}

/// Lines with awkward words.
#[cfg(test)]
pub(super) fn samples() -> Vec<UseLine> {
    let line = |out, undo, ask: &str| UseLine {
        printer: crate::pages::samples::AWKWARD.to_owned(),
        says: crate::pages::samples::AWKWARD.to_owned(),
        out,
        undo,
        entry: 7,
        ask: ask.to_owned(),
        key: "7-1-used".to_owned(),
    };
    vec![
        line(false, "", ""),
        line(false, "back", ""),
        line(true, "out", ""),
        line(true, "out", crate::pages::samples::AWKWARD),
    ]
}

#[cfg(test)]
mod tests {
    use partpledge_workshop::bench::PRINTER_REASONS;

    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    #[test]
    fn the_form_of_a_printer_out_of_use_asks_with_nothing_chosen_beforehand() {
        let form = |reason: &str, wrong| PrinterOutForm {
            head: head(),
            code: "brindlemoor".to_owned(),
            printer: AWKWARD.to_owned(),
            runs: AWKWARD.to_owned(),
            reasons: PRINTER_REASONS.to_vec(),
            reason: reason.to_owned(),
            until_day: "2027-03-10".to_owned(),
            until_clock: "12:00".to_owned(),
            wrong,
            key: "k-1".to_owned(),
        };
        let asked = form("", None).render().unwrap();
        sound(&asked);
        assert!(!asked.contains(" checked") && !asked.contains("class=\"errors"));
        let wrong = Some(("reason", AWKWARD.to_owned()));
        let again = form(PRINTER_REASONS[1], wrong).render().unwrap();
        sound(&again);
        assert_eq!(again.matches(" checked").count(), 1);
        assert!(again.contains("class=\"errors") && again.contains("field--bad"));
    }
}
