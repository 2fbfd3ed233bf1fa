//! The bench: run sheets, ticks, trouble.

use axum::extract::{Form, Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::civil::Date;
use partpledge_records::{KeptPlate, StepKind};
use partpledge_units::local::{parse_clock, parse_date};
use partpledge_units::time::Minute;
use partpledge_workshop::bench::{Act, Good, act as do_it};
use partpledge_workshop::run_sheet::{line, run_sheet};
use partpledge_workshop::why;
use partpledge_workshop::{Books, Role, Session};
use serde::Deserialize;

use super::{Trouble, failed, is_key, key, looked, not_here, page, trouble as page_of_trouble};
use crate::pages::bench::{Other, REASONS, RunPage, SheetsPage, TroubleForm};
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
pub(crate) fn may_work(visitor: &Visitor, code: &str) -> bool {
    match visitor.role() {
        Role::Host(own) => own == code,
        role => *role == Role::Coordinator,
    }
}

pub(crate) fn not_yours(site: &Site) -> Trouble {
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

/// A form's fields as they came: how many there are depends on what is on the plate.
type Fields = Vec<(String, String)>;

/// The text of a field; nothing when it was not sent.
fn field<'f>(fields: &'f Fields, name: &str) -> &'f str {
    let found = fields.iter().find(|(known, _)| known == name);
    found.map_or("", |(_, text)| text)
}

/// The plate that a form is about; 0, which no plate has, when it doesn't say.
fn plate_of(fields: &Fields) -> u64 {
    field(fields, "plate").parse().unwrap_or(0)
}

/// The plate of a form, which must be at the host of the sheet.
pub(crate) async fn plate_at(
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
    Form(tick): Form<Fields>,
) -> Result<Redirect, Trouble> {
    if !may_work(&visitor, &code) || !is_key(field(&tick, "key")) {
        return Err(not_yours(&site));
    }
    let (session, books) = looked(&site).await?;
    let plate = plate_of(&tick);
    let kept = plate_at(&site, &session, &books, (&code, plate)).await?;
    let what = match field(&tick, "act") {
        "start" => Act::Start,
        "look" => Act::Look,
        "off" => Act::TakeOff {
            good: good(&site, &books, &kept, &tick)?,
        },
        "box" => Act::Box,
        "leave" => Act::Leave,
        _ => return Err(not_here(&site, "There is no such thing to tick.")),
    };
    let day = field(&tick, "day").to_owned();
    let done = site.heavy(async move {
        do_it(
            &session,
            &visitor.actor(),
            plate,
            &what,
            Some(field(&tick, "key")),
        )
        .await
    });
    done.await.map_err(|error| failed(&site, &error))?;
    Ok(back(&code, &day))
}

/// How many of each request's copies are good. What was done with already is counted as the form has
/// it: the same deed sent again must find its way.
fn good(site: &Site, books: &Books, kept: &KeptPlate, fields: &Fields) -> Result<Good, Trouble> {
    let mut good = Good::default();
    for (i, row) in books.company(kept).into_iter().enumerate() {
        let here = u32::try_from(books.copies_on(row).count()).unwrap_or(u32::MAX);
        let most = here.max(row.plate.copies);
        let share = row.plate.seq.0;
        if i == 0 {
            good.first = number(site, field(fields, "good"), most)?;
        } else {
            let text = field(fields, &format!("good-{share}"));
            good.others.insert(share, number(site, text, most)?);
        }
    }
    Ok(good)
}

fn number(site: &Site, text: &str, copies: u32) -> Result<u32, Trouble> {
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
    let company = books.company(kept);
    let (own, others) = match company.split_first() {
        Some((own, others)) => (Some(*own), others),
        None => (None, &[][..]),
    };
    TroubleForm {
        head: Head::new(session, visitor, ""),
        code: code.to_owned(),
        day_iso: date(session, day).to_string(),
        plate: kept.on().0,
        printer: printer.unwrap_or_default(),
        label: books.whole(kept).unwrap_or(&kept.plate).label.clone(),
        started: books.runs(kept),
        copies: own.map_or(0, |row| books.copies_on(row).count()),
        others: others.iter().map(|row| other(books, row)).collect(),
        reasons: REASONS.to_vec(),
        until_day: zone.date(tomorrow).to_string(),
        until_clock: "12:00".to_owned(),
        wrong,
        key: key(),
    }
}

/// `POST /run-sheets/{code}/trouble`.
pub(crate) async fn trouble(
    State(site): State<Site>,
    visitor: Visitor,
    Path(code): Path<String>,
    Form(went): Form<Fields>,
) -> Result<Response, Trouble> {
    let key = field(&went, "key").to_owned();
    if !may_work(&visitor, &code) || !is_key(&key) {
        return Err(not_yours(&site));
    }
    let day = field(&went, "day").to_owned();
    let plate = plate_of(&went);
    let (session, books) = looked(&site).await?;
    let kept = plate_at(&site, &session, &books, (&code, plate)).await?;
    let started = books.step(plate, StepKind::Started).is_some();
    let over = books.whole(&kept).is_none();
    let reason = REASONS
        .iter()
        .find(|reason| **reason == field(&went, "reason"));
    let reason = (*reason.unwrap_or(&"It failed")).to_owned();
    let out_until = match until(&session, &went) {
        Ok(until) => until,
        Err(text) => {
            let made = form(&session, &books, &visitor, (&code, &day), &kept, Some(text));
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&made)).into_response());
        }
    };
    let what = match (started || over, out_until) {
        (true, out_until) => Act::Fail {
            reason,
            good: good(&site, &books, &kept, &went)?,
            out_until,
        },
        (false, Some(until)) => Act::PutOut { reason, until },
        // Nothing has happened: the plate waits and the printer can go on.
        (false, None) => return Ok(back(&code, &day).into_response()),
    };
    let done = site
        .heavy(async move { do_it(&session, &visitor.actor(), plate, &what, Some(&key)).await });
    done.await.map_err(|error| failed(&site, &error))?;
    Ok(back(&code, &day).into_response())
}

fn other(books: &Books, row: &KeptPlate) -> Other {
    let listed = books.request(row.request);
    let what = listed.map(|listed| format!("{}, {}", listed.part, listed.request.team));
    Other {
        share: row.plate.seq.0,
        what: what.unwrap_or_default(),
        of: books.copies_on(row).count(),
    }
}

/// Until when the printer can't be used, if it can't.
fn until(session: &Session, went: &Fields) -> Result<Option<Minute>, String> {
    if field(went, "out") != "yes" {
        return Ok(None);
    }
    let words = "Give the day and the time from which the printer can be used again.";
    let day = parse_date(field(went, "until_day")).map_err(|_| words.to_owned())?;
    let clock = parse_clock(field(went, "until_clock")).map_err(|_| words.to_owned())?;
    let at = session.terrain.zone.minute(day, clock);
    if at <= session.minute() {
        return Err("That time is over. Give one that’s still to come.".to_owned());
    }
    Ok(Some(at))
}
