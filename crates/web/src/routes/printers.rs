//! Whether a printer of a bench can be used: the form that says that it can't, and that it works again.

use axum::extract::{Form, Path, Query, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Response};
use partpledge_units::time::{EventMs, Minute, Minutes};
use partpledge_words::say;
use partpledge_workshop::bench::{
    PRINTER_REASONS, Told, printer_back, printer_out, printer_undone,
};
use partpledge_workshop::{Books, Session, WorkshopError};
use serde::Deserialize;

use super::bench::{may_work, must_work, not_yours, use_again};
use super::queued::{Refused, answered};
use super::saying::must_have_key;
use super::{Trouble, key, looked, not_here, page};
use crate::pages::bench::PrinterOutForm;
use crate::site::Site;
use crate::who::{Head, Visitor};

/// Which printer, and what is said of it.
#[derive(Clone, Default, Deserialize)]
pub(crate) struct Said {
    #[serde(default)]
    printer: String,
    /// `out`, `back` or `undo`.
    #[serde(default, rename = "use")]
    used: String,
    /// What is taken back, by its entry in the log.
    #[serde(default)]
    entry: i64,
    #[serde(default)]
    reason: String,
    #[serde(default)]
    until_day: Option<String>,
    #[serde(default)]
    until_clock: Option<String>,
    #[serde(default)]
    key: String,
    /// When it was done, ms of UTC, by the tablet that kept it; empty when it is sent as it is done.
    #[serde(default)]
    occurred_at: String,
}

impl Said {
    fn done_at(&self) -> Result<Option<EventMs>, WorkshopError> {
        match self.occurred_at.as_str() {
            "" => Ok(None),
            text => match text.parse() {
                Ok(ms) => Ok(Some(EventMs(ms))),
                Err(_) => Err(WorkshopError::WrongTime),
            },
        }
    }
}

/// A field of the form, by its id, and what is wrong with it.
type Lacks = (&'static str, String);

/// `GET /run-sheets/{code}/printer?printer=NAME`.
pub(crate) async fn form(
    State(site): State<Site>,
    visitor: Visitor,
    Path(code): Path<String>,
    Query(asked): Query<Said>,
) -> Result<Response, Trouble> {
    must_work(&site, &visitor, &code)?;
    let (session, books) = looked(&site).await?;
    must_be_here(&site, &session, (&code, &asked.printer))?;
    Ok(page(&form_of(
        (&session, &books),
        &visitor,
        (&code, &asked),
        None,
    )))
}

/// `POST /run-sheets/{code}/printer`.
pub(crate) async fn say_of(
    State(site): State<Site>,
    visitor: Visitor,
    Path(code): Path<String>,
    headers: HeaderMap,
    Form(said): Form<Said>,
) -> Response {
    let done = carried_out(&site, &visitor, &code, said).await;
    let to = format!("/run-sheets/{code}#printers");
    answered(&site, &headers, done, &to)
}

async fn carried_out(
    site: &Site,
    visitor: &Visitor,
    code: &str,
    said: Said,
) -> Result<(), Refused> {
    if !may_work(visitor, code) {
        return Err(Refused::SignIn(not_yours(site)));
    }
    must_have_key(site, &said.key)?;
    let (session, books) = looked(site).await?;
    must_be_here(site, &session, (code, &said.printer))?;
    let done_at = said.done_at()?;
    let chosen = match said.used.as_str() {
        "out" => match chosen(&session, &said, done_at) {
            Ok(chosen) => Some(chosen),
            Err(lacks) => {
                let text = lacks.1.clone();
                let made = form_of((&session, &books), visitor, (code, &said), Some(lacks));
                let made = (StatusCode::UNPROCESSABLE_ENTITY, page(&made)).into_response();
                return Err(Refused::with_page(text, made));
            }
        },
        "back" | "undo" => None,
        _ => return Err(not_here(site, &say!("bench-nothing-to-tick")).into()),
    };
    let actor = visitor.actor();
    let done = site.heavy(async move {
        let (printer, key) = (said.printer.as_str(), Some(said.key.as_str()));
        let told = Told {
            key,
            done_at,
            printer: None,
        };
        match (&chosen, said.used.as_str()) {
            (Some((reason, until)), _) => {
                printer_out(&session, &actor, printer, (reason, *until), told).await
            }
            (None, "undo") => {
                let seen = (printer, said.entry);
                Box::pin(printer_undone(&session, &actor, seen, key)).await
            }
            (None, _) => printer_back(&session, &actor, printer, told).await,
        }
    });
    done.await?;
    Ok(())
}

/// Refused for a printer that is not at that bench now.
fn must_be_here(
    site: &Site,
    session: &Session,
    (code, printer): (&str, &str),
) -> Result<(), Trouble> {
    let terrain = &session.terrain;
    let school = terrain.file.school(code);
    let here = terrain
        .printer_of(printer)
        .zip(school)
        .is_some_and(|(ix, school)| terrain.host_at(ix, session.minute()) == school.name);
    if here {
        Ok(())
    } else {
        Err(not_here(site, &say!("bench-use-not-here")))
    }
}

/// Why, and until when: later than it was done.
fn chosen(
    session: &Session,
    said: &Said,
    done_at: Option<EventMs>,
) -> Result<(&'static str, Minute), Lacks> {
    let mut all = PRINTER_REASONS.iter();
    let reason = all.find(|reason| **reason == said.reason);
    let reason = reason.ok_or_else(|| ("reason", say!("bench-reason-missing")))?;
    let day = said.until_day.as_deref().unwrap_or_default();
    let clock = said.until_clock.as_deref().unwrap_or_default();
    let now = session.minute();
    let then = done_at.map_or(now, Minute::at_or_after).min(now);
    let until = use_again(session, (day, clock), then);
    Ok((reason, until.map_err(|text| ("until_day", text))?))
}

fn form_of(
    (session, books): (&Session, &Books),
    visitor: &Visitor,
    (code, said): (&str, &Said),
    wrong: Option<Lacks>,
) -> PrinterOutForm {
    let tomorrow = session.minute() + Minutes(1_440);
    let running = books.running();
    let plate = running.iter().find(|(_, _, on)| *on == said.printer);
    PrinterOutForm {
        head: Head::new(session, visitor, ""),
        code: code.to_owned(),
        printer: said.printer.clone(),
        runs: plate.map_or_else(String::new, |(seq, ..)| {
            say!("bench-use-goes-on", plate = seq.0)
        }),
        reasons: PRINTER_REASONS.to_vec(),
        reason: said.reason.clone(),
        until_day: (said.until_day.clone())
            .unwrap_or_else(|| session.terrain.zone.date(tomorrow).to_string()),
        until_clock: said
            .until_clock
            .clone()
            .unwrap_or_else(|| "12:00".to_owned()),
        wrong,
        key: key(),
    }
}
