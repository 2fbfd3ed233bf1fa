//! The bench: run sheets, ticks, trouble.

use axum::extract::{Form, Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::civil::Date;
use partpledge_records::{KeptPlate, PlateState, StepKind};
use partpledge_units::local::{parse_clock, parse_date};
use partpledge_units::time::Minute;
use partpledge_workshop::bench::{Act, act as do_it};
use partpledge_workshop::run_sheet::{line, run_sheet};
use partpledge_workshop::why;
use partpledge_workshop::{Books, Role, Session};
use serde::Deserialize;

use super::{Trouble, failed, is_key, key, looked, not_here, page, trouble as page_of_trouble};
use crate::pages::bench::{REASONS, RunPage, SheetsPage, TroubleForm};
use crate::site::Site;
use crate::who::{Head, Visitor};

/// Which day.
#[derive(Deserialize)]
pub(crate) struct Day {
    #[serde(default)]
    day: String,
}

fn date(session: &Session, text: &str) -> Date {
    let today = session.terrain.zone.date(session.minute());
    parse_date(text).unwrap_or(today)
}

/// Whether somebody may work from that host's sheet.
fn may_work(visitor: &Visitor, code: &str) -> bool {
    match visitor.role() {
        Role::Host(own) => own == code,
        role => *role == Role::Coordinator,
    }
}

fn not_yours(site: &Site) -> Trouble {
    let title = "This is another bench’s sheet.";
    let what_to_do = "If you work there too, change over to that role on your account page.";
    page_of_trouble(site, StatusCode::FORBIDDEN, title, what_to_do)
}

/// `GET /run-sheet`.
pub(crate) async fn own(visitor: Visitor) -> Redirect {
    match visitor.role() {
        Role::Host(code) => Redirect::to(&format!("/run-sheets/{code}")),
        _ => Redirect::to("/run-sheets"),
    }
}

/// `GET /run-sheets`.
pub(crate) async fn all(State(site): State<Site>, visitor: Visitor) -> Result<Response, Trouble> {
    let session = site
        .session()
        .await
        .map_err(|error| failed(&site, &error))?;
    let file = &session.terrain.file;
    let hosts = file.hosts.iter().map(|host| {
        let school = file.school(&host.school);
        let name = school.map_or_else(String::new, |s| s.name.clone());
        let says = format!("{}; people there {}", host.bench, host.hours.join(", "));
        (host.school.clone(), name, says)
    });
    Ok(page(&SheetsPage {
        head: Head::new(&session, &visitor, "/run-sheets"),
        hosts: hosts.collect(),
    }))
}

/// `GET /run-sheets/{code}?day=D`.
pub(crate) async fn sheet(
    State(site): State<Site>,
    visitor: Visitor,
    Path(code): Path<String>,
    Query(day): Query<Day>,
) -> Result<Response, Trouble> {
    if !may_work(&visitor, &code) {
        return Err(not_yours(&site));
    }
    let (session, books) = looked(&site).await?;
    let date = date(&session, &day.day);
    let sheet = run_sheet(&session, &books, &code, date).await;
    let sheet = sheet.map_err(|error| failed(&site, &error))?;
    let here = if visitor.coordinates() {
        "/run-sheets"
    } else {
        "/run-sheet"
    };
    let plates = sheet.jobs.iter().map(|job| job.plate.seq);
    let whys = why::shorts(&session, &visitor.actor(), &books, plates);
    let head = Head::new(&session, &visitor, here).live(books.entry);
    let mut keys = key;
    Ok(page(&RunPage::new(
        head,
        &session,
        &sheet,
        &whys,
        (&code, &mut keys),
    )))
}

/// A tick.
#[derive(Deserialize)]
pub(crate) struct Tick {
    plate: u64,
    act: String,
    #[serde(default)]
    day: String,
    #[serde(default)]
    good: String,
    #[serde(default)]
    key: String,
}

/// The plate of a form, which must be at the host of the sheet.
async fn plate_at(
    site: &Site,
    session: &Session,
    books: &Books,
    (code, seq): (&str, u64),
) -> Result<KeptPlate, Trouble> {
    let none = || not_here(site, "There is no such plate at this bench.");
    let kept = books.plate(seq).ok_or_else(none)?;
    let line = line(session, books, kept)
        .await
        .map_err(|error| failed(site, &error))?;
    let school = session.terrain.file.school(code);
    let here = line
        .zip(school)
        .is_some_and(|(line, school)| line.host == school.name);
    if here { Ok(kept.clone()) } else { Err(none()) }
}

/// `POST /run-sheets/{code}/do`.
pub(crate) async fn act(
    State(site): State<Site>,
    visitor: Visitor,
    Path(code): Path<String>,
    Form(tick): Form<Tick>,
) -> Result<Redirect, Trouble> {
    if !may_work(&visitor, &code) || !is_key(&tick.key) {
        return Err(not_yours(&site));
    }
    let (session, books) = looked(&site).await?;
    let kept = plate_at(&site, &session, &books, (&code, tick.plate)).await?;
    let copies = u32::try_from(books.copies_on(&kept).count()).unwrap_or(u32::MAX);
    let what = match tick.act.as_str() {
        "start" => Act::Start,
        "look" => Act::Look,
        "off" => Act::TakeOff {
            good: good(&site, &tick.good, copies)?,
        },
        "box" => Act::Box,
        "leave" => Act::Leave,
        _ => return Err(not_here(&site, "There is no such thing to tick.")),
    };
    let done = site.heavy(async move {
        do_it(
            &session,
            &visitor.actor(),
            tick.plate,
            &what,
            Some(&tick.key),
        )
        .await
    });
    done.await.map_err(|error| failed(&site, &error))?;
    Ok(back(&code, &tick.day))
}

fn good(site: &Site, text: &str, copies: u32) -> Result<u32, Trouble> {
    let number = text.trim().parse::<u32>().ok().filter(|n| *n <= copies);
    number.ok_or_else(|| {
        let title = format!("“{text}” can’t be the number of good copies.");
        let what_to_do = format!("Go back and give a number from 0 to {copies}.");
        page_of_trouble(site, StatusCode::UNPROCESSABLE_ENTITY, &title, &what_to_do)
    })
}

fn back(code: &str, day: &str) -> Redirect {
    match parse_date(day) {
        Ok(day) => Redirect::to(&format!("/run-sheets/{code}?day={day}")),
        Err(_) => Redirect::to(&format!("/run-sheets/{code}")),
    }
}

/// Trouble with which plate.
#[derive(Deserialize)]
pub(crate) struct With {
    plate: u64,
    #[serde(default)]
    day: String,
}

/// `GET /run-sheets/{code}/trouble?plate=N`.
pub(crate) async fn trouble_form(
    State(site): State<Site>,
    visitor: Visitor,
    Path(code): Path<String>,
    Query(with): Query<With>,
) -> Result<Response, Trouble> {
    if !may_work(&visitor, &code) {
        return Err(not_yours(&site));
    }
    let (session, books) = looked(&site).await?;
    let kept = plate_at(&site, &session, &books, (&code, with.plate)).await?;
    let made = form(&session, &books, &visitor, (&code, &with.day), &kept, None);
    Ok(page(&made))
}

fn form(
    session: &Session,
    books: &Books,
    visitor: &Visitor,
    (code, day): (&str, &str),
    kept: &KeptPlate,
    wrong: Option<String>,
) -> TroubleForm {
    let zone = &session.terrain.zone;
    let tomorrow = session.minute() + partpledge_units::time::Minutes(1_440);
    let printer = partpledge_workshop::plate_room::printer_of(session, books, kept);
    TroubleForm {
        head: Head::new(session, visitor, ""),
        code: code.to_owned(),
        day_iso: date(session, day).to_string(),
        plate: kept.plate.seq.0,
        printer: printer.unwrap_or_default(),
        label: kept.plate.label.clone(),
        started: books.runs(kept),
        copies: books.copies_on(kept).count(),
        reasons: REASONS.to_vec(),
        until_day: zone.date(tomorrow).to_string(),
        until_clock: "12:00".to_owned(),
        wrong,
        key: key(),
    }
}

/// What went wrong.
#[derive(Deserialize)]
pub(crate) struct Went {
    plate: u64,
    #[serde(default)]
    day: String,
    #[serde(default)]
    reason: String,
    #[serde(default)]
    good: String,
    #[serde(default)]
    out: String,
    #[serde(default)]
    until_day: String,
    #[serde(default)]
    until_clock: String,
    #[serde(default)]
    key: String,
}

/// `POST /run-sheets/{code}/trouble`.
pub(crate) async fn trouble(
    State(site): State<Site>,
    visitor: Visitor,
    Path(code): Path<String>,
    Form(went): Form<Went>,
) -> Result<Response, Trouble> {
    if !may_work(&visitor, &code) || !is_key(&went.key) {
        return Err(not_yours(&site));
    }
    let (session, books) = looked(&site).await?;
    let kept = plate_at(&site, &session, &books, (&code, went.plate)).await?;
    let started = books.step(went.plate, StepKind::Started).is_some();
    let over = kept.state != PlateState::Open;
    let reason = REASONS.iter().find(|reason| **reason == went.reason);
    let reason = (*reason.unwrap_or(&"It failed")).to_owned();
    let out_until = match until(&session, &went) {
        Ok(until) => until,
        Err(text) => {
            let made = form(
                &session,
                &books,
                &visitor,
                (&code, &went.day),
                &kept,
                Some(text),
            );
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&made)).into_response());
        }
    };
    let copies = u32::try_from(books.copies_on(&kept).count()).unwrap_or(u32::MAX);
    let what = match (started || over, out_until) {
        (true, out_until) => Act::Fail {
            reason,
            good: good(&site, &went.good, copies.max(kept.plate.copies))?,
            out_until,
        },
        (false, Some(until)) => Act::PutOut { reason, until },
        // Nothing has happened: the plate waits and the printer can go on.
        (false, None) => return Ok(back(&code, &went.day).into_response()),
    };
    let done = site.heavy(async move {
        do_it(
            &session,
            &visitor.actor(),
            went.plate,
            &what,
            Some(&went.key),
        )
        .await
    });
    done.await.map_err(|error| failed(&site, &error))?;
    Ok(back(&code, &went.day).into_response())
}

/// Until when the printer can't be used, if it can't.
fn until(session: &Session, went: &Went) -> Result<Option<Minute>, String> {
    if went.out != "yes" {
        return Ok(None);
    }
    let words = "Give the day and the time from which the printer can be used again.";
    let day = parse_date(&went.until_day).map_err(|_| words.to_owned())?;
    let clock = parse_clock(&went.until_clock).map_err(|_| words.to_owned())?;
    let at = session.terrain.zone.minute(day, clock);
    if at <= session.minute() {
        return Err("That time is over. Give one that’s still to come.".to_owned());
    }
    Ok(Some(at))
}
