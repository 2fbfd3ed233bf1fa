//! The bench: run sheets, ticks, trouble.

use axum::extract::{Form, Path, Query, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use jiff::civil::Date;
use partpledge_records::{KeptPlate, StepKind};
use partpledge_stock::{Account, Deed, State as SpoolState};
use partpledge_units::local::{parse_clock, parse_date};
use partpledge_units::time::{EventMs, Minute, Minutes};
use partpledge_words::dates::opening_hours;
use partpledge_words::say;
use partpledge_workshop::bench::spools::{SpoolAct, act_on_spools_at};
use partpledge_workshop::bench::{Act, Good, OUT_REASONS, REASONS, Told, act as do_it, take_back};
use partpledge_workshop::hub::Hub;
use partpledge_workshop::run_sheet::{line, run_sheet};
use partpledge_workshop::why;
use partpledge_workshop::{Books, Role, Session, WorkshopError};
use serde::Deserialize;

use super::boxes;
use super::inspect::{self, copy_by_copy, inspected, settled, wrong_of};
use super::queued::{Refused, answered};
use super::{Trouble, failed, is_key, key, looked, not_here, page, trouble as page_of_trouble};
use crate::pages::bench::{Counted, RunPage, SheetsPage, TroubleForm};
use crate::site::Site;
use crate::who::{Head, Visitor};

/// A printer that can't be used for longer is a year that was typed wrong.
const A_YEAR: Minutes = Minutes(366 * 1_440);

/// Which day.
#[derive(Deserialize)]
pub(crate) struct Day {
    #[serde(default)]
    day: String,
}

pub(crate) fn date(session: &Session, text: &str) -> Date {
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

/// Refused for anybody else.
pub(crate) fn must_work(site: &Site, visitor: &Visitor, code: &str) -> Result<(), Trouble> {
    if may_work(visitor, code) {
        Ok(())
    } else {
        Err(not_yours(site))
    }
}

pub(crate) fn not_yours(site: &Site) -> Trouble {
    let title = say!("bench-not-yours");
    let what_to_do = say!("bench-not-yours-do");
    page_of_trouble(site, StatusCode::FORBIDDEN, &title, &what_to_do)
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
        let (bench, hours) = (&host.bench, opening_hours(&host.hours.join(", ")));
        let says = if host.student_run {
            say!("bench-host-students", bench = bench, hours = hours)
        } else {
            say!("bench-host", bench = bench, hours = hours)
        };
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
    must_work(&site, &visitor, &code)?;
    let (session, books) = looked(&site).await?;
    let made = run_page(&site, (&session, &books), &visitor, (&code, &day.day)).await?;
    Ok(page(&made))
}

/// The run sheet of a bench for a day; today's when that is none.
pub(crate) async fn run_page(
    site: &Site,
    (session, books): (&Session, &Books),
    visitor: &Visitor,
    (code, day): (&str, &str),
) -> Result<RunPage, Trouble> {
    let date = date(session, day);
    let sheet = run_sheet(session, books, code, date).await;
    let sheet = sheet.map_err(|error| failed(site, &error))?;
    let here = if visitor.coordinates() {
        "/run-sheets"
    } else {
        "/run-sheet"
    };
    let plates = sheet.jobs.iter().map(|job| job.plate.seq);
    let whys = why::shorts(session, &visitor.actor(), books, plates);
    let head = Head::new(session, visitor, here).live(books.entry);
    let mut keys = key;
    let made = RunPage::new(head, session, &sheet, &whys, (code, &mut keys));
    let hub = at_work(site, session, visitor, code).await?;
    Ok(match hub {
        Some((hub, judged)) => made.at_hub(session, &hub, (&sheet, judged)),
        None => made,
    })
}

/// The hub of a bench, if students run it, and whether deeds from this page are held against who is
/// there: a coordinator is an adult by themselves.
pub(crate) async fn at_work(
    site: &Site,
    session: &Session,
    visitor: &Visitor,
    code: &str,
) -> Result<Option<(Hub, bool)>, Trouble> {
    let hub = Hub::open(session, code).await;
    let hub = hub.map_err(|error| failed(site, &error))?;
    Ok(hub.map(|hub| (hub, !visitor.coordinates())))
}

/// A form's fields as they came: how many there are depends on what is on the plate.
pub(crate) type Fields = Vec<(String, String)>;

/// The text of a field; nothing when it was not sent.
pub(crate) fn field<'f>(fields: &'f Fields, name: &str) -> &'f str {
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
    let none = || not_here(site, &say!("bench-no-such-plate"));
    let kept = books.speaks_for(books.plate(seq).ok_or_else(none)?);
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
    headers: HeaderMap,
    Form(tick): Form<Fields>,
) -> Response {
    let done = ticked(&site, visitor, &code, &tick).await;
    let to = boxes::back(&code, &tick).unwrap_or_else(|| back(&code, field(&tick, "day")));
    answered(&site, &headers, done, &to)
}

async fn ticked(site: &Site, visitor: Visitor, code: &str, tick: &Fields) -> Result<(), Refused> {
    if !may_work(&visitor, code) || !is_key(field(tick, "key")) {
        return Err(Refused::SignIn(not_yours(site)));
    }
    let (session, books) = looked(site).await?;
    let plate = plate_of(tick);
    let act = field(tick, "act");
    let kept = match (act, books.plate(plate)) {
        // It may have another place by now; the workshop knows whether it was started here.
        ("start", Some(kept)) if !field(tick, "printer").is_empty() => {
            books.speaks_for(kept).clone()
        }
        ("hand" | "checked-good" | "checked-bad", Some(kept))
            if boxes::goes_to(&session, kept, code) =>
        {
            kept.clone()
        }
        _ => plate_at(site, &session, &books, (code, plate)).await?,
    };
    if boxes::unsaid(tick) {
        let form = (code, plate, tick);
        let asked = boxes::asked_again(site, (&session, &books), &visitor, form);
        return Err(asked.await);
    }
    let unread = |wrong| {
        let (at, form) = ((code, &kept), (tick, &wrong));
        inspect::asked_again(site, (&session, &books), &visitor, at, form)
    };
    let what = match act {
        "start" => Act::Start,
        "look" => Act::Look,
        "off" if copy_by_copy(tick) => inspected(&books, &kept, tick).map_err(unread)?,
        "settle" => settled(&books, &kept, tick)
            .map_err(unread)?
            .ok_or_else(|| not_here(site, &say!("bench-good-or-scrap")))?,
        "off" => Act::TakeOff {
            good: good(site, &books, &kept, tick)?,
        },
        "box" => Act::Box,
        "leave" => Act::Leave,
        "hand" | "missed" | "checked-good" | "checked-bad" => boxes::deed(site, act, tick)?,
        _ => return Err(not_here(site, &say!("bench-nothing-to-tick")).into()),
    };
    let done = carried_out(site, (session, visitor.clone()), (plate, what), tick).await;
    let Err(Refused::Deed(WorkshopError::NotGood { faults })) = done else {
        return done;
    };
    let (session, books) = looked(site).await?;
    let (at, form) = ((code, &kept), (tick, &wrong_of(&faults, act == "settle")));
    Err(inspect::asked_again(
        site,
        (&session, &books),
        &visitor,
        at,
        form,
    ))
}

/// `POST /run-sheets/{code}/undo`.
pub(crate) async fn undo(
    State(site): State<Site>,
    visitor: Visitor,
    Path(code): Path<String>,
    headers: HeaderMap,
    Form(form): Form<Fields>,
) -> Response {
    let done = taken_back(&site, visitor, &code, &form).await;
    let to = boxes::back(&code, &form).unwrap_or_else(|| back(&code, field(&form, "day")));
    answered(&site, &headers, done, &to)
}

async fn taken_back(
    site: &Site,
    visitor: Visitor,
    code: &str,
    form: &Fields,
) -> Result<(), Refused> {
    let key = field(form, "key").to_owned();
    if !may_work(&visitor, code) || !is_key(&key) {
        return Err(Refused::SignIn(not_yours(site)));
    }
    let (session, books) = looked(site).await?;
    let plate = plate_of(form);
    let step = StepKind::parse(field(form, "step"));
    match (step, books.plate(plate)) {
        // Where it goes it may have been handed over, and is taken back.
        (Some(StepKind::HandedOver), Some(kept)) if boxes::goes_to(&session, kept, code) => {}
        _ => {
            plate_at(site, &session, &books, (code, plate)).await?;
        }
    }
    let step = step.ok_or_else(|| not_here(site, &say!("bench-nothing-to-take-back")))?;
    let done = site.heavy(async move {
        take_back(&session, &visitor.actor(), (plate, step), Some(&key)).await
    });
    done.await?;
    Ok(())
}

/// Does it, with what the form says of when and where it was done.
async fn carried_out(
    site: &Site,
    (session, visitor): (Session, Visitor),
    (plate, what): (u64, Act),
    fields: &Fields,
) -> Result<(), Refused> {
    let done_at = occurred_at(fields)?;
    let own = |name| Some(field(fields, name).to_owned()).filter(|text| !text.is_empty());
    let (key, printer) = (own("key"), own("printer"));
    let spool = own("spool").and_then(|text| text.parse::<i64>().ok());
    let spool = spool.filter(|_| what == Act::Start).zip(printer.clone());
    let done = site.heavy(async move {
        let session = Box::pin(load(
            session,
            &visitor,
            (plate, key.as_deref(), done_at),
            spool,
        ))
        .await?;
        let told = Told {
            key: key.as_deref(),
            done_at,
            printer: printer.as_deref(),
        };
        do_it(&session, &visitor.actor(), plate, &what, told).await
    });
    done.await?;
    Ok(())
}

/// When it was done, by the tablet that kept it: milliseconds of UTC. Nothing when it is sent as it is done.
pub(crate) fn occurred_at(fields: &Fields) -> Result<Option<EventMs>, WorkshopError> {
    match field(fields, "occurred_at") {
        "" => Ok(None),
        text => {
            let ms = text.parse().map_err(|_| WorkshopError::WrongTime)?;
            Ok(Some(EventMs(ms)))
        }
    }
}

/// The spool that was chosen is put on the printer first, if it is not there. It is a deed of its
/// own: if the start can't be, the spool is on the printer all the same.
async fn load(
    session: Session,
    visitor: &Visitor,
    (plate, key, done_at): (u64, Option<&str>, Option<EventMs>),
    spool: Option<(i64, String)>,
) -> Result<Session, WorkshopError> {
    let Some((number, printer)) = spool else {
        return Ok(session);
    };
    let all = session.spools.ledger.accounts(&[]);
    let on_it = SpoolState::Loaded(printer.clone());
    let there = |a: &Account| a.spool.number == number && a.state == on_it;
    if all.iter().any(there) {
        return Ok(session);
    }
    let what = SpoolAct::Do(number, Deed::Loaded(printer));
    let key = key.map(|key| format!("{key}-{plate}-spool"));
    let actor = visitor.actor();
    act_on_spools_at(&session, &actor, &what, key.as_deref(), done_at).await?;
    session.at(session.now).await
}

/// How many of each request's copies are good, each told by the number of its share. What was done
/// with already is counted as the form has it: the same deed sent again must find its way.
fn good(site: &Site, books: &Books, kept: &KeptPlate, fields: &Fields) -> Result<Good, Trouble> {
    let mut good = Good::default();
    for (i, row) in books.company(kept).into_iter().enumerate() {
        let here = u32::try_from(books.copies_on(row).count()).unwrap_or(u32::MAX);
        let most = here.max(row.plate.copies);
        let share = row.plate.seq.0;
        let text = field(fields, &format!("good-{share}"));
        if text.is_empty() {
            return Err(not_counted(site));
        }
        let many = number(site, text, most)?;
        if i == 0 {
            good.first = many;
        } else {
            good.others.insert(share, many);
        }
    }
    Ok(good)
}

/// The form is from before somebody joined the plate, or left it.
fn not_counted(site: &Site) -> Trouble {
    let title = say!("bench-not-counted");
    let what_to_do = say!("bench-not-counted-do");
    page_of_trouble(site, StatusCode::CONFLICT, &title, &what_to_do)
}

fn number(site: &Site, text: &str, copies: u32) -> Result<u32, Trouble> {
    let number = text.trim().parse::<u32>().ok().filter(|n| *n <= copies);
    number.ok_or_else(|| {
        let title = say!("bench-not-a-count", text = text);
        let what_to_do = say!("bench-not-a-count-do", most = copies);
        page_of_trouble(site, StatusCode::UNPROCESSABLE_ENTITY, &title, &what_to_do)
    })
}

fn back(code: &str, day: &str) -> String {
    match parse_date(day) {
        Ok(day) => format!("/run-sheets/{code}?day={day}"),
        Err(_) => format!("/run-sheets/{code}"),
    }
}

/// Trouble with which plate.
#[derive(Deserialize)]
pub(crate) struct With {
    pub(crate) plate: u64,
    #[serde(default)]
    pub(crate) day: String,
    /// Whether the form is for a plate that runs, though its start may not have reached us yet.
    #[serde(default)]
    running: String,
}

/// `GET /run-sheets/{code}/trouble?plate=N`.
pub(crate) async fn trouble_form(
    State(site): State<Site>,
    visitor: Visitor,
    Path(code): Path<String>,
    Query(with): Query<With>,
) -> Result<Response, Trouble> {
    must_work(&site, &visitor, &code)?;
    let (session, books) = looked(&site).await?;
    let kept = plate_at(&site, &session, &books, (&code, with.plate)).await?;
    let running = books.runs(&kept) || with.running == "1";
    let day = (code.as_str(), with.day.as_str());
    let made = form(&session, &books, &visitor, day, (&kept, running), None);
    Ok(page(&made))
}

/// What can have happened: to a plate that runs, or to a printer on which nothing was started.
fn reasons(started: bool) -> &'static [&'static str] {
    if started { &REASONS } else { &OUT_REASONS }
}

/// A field of the form for trouble, by its id, and what is wrong with it.
type Lacks = (&'static str, String);

/// What was chosen: why, and until when the printer is out of use, if it is.
fn chosen(
    session: &Session,
    went: &Fields,
    started: bool,
) -> Result<(String, Option<Minute>), Lacks> {
    let mut all = reasons(started).iter();
    let reason = all.find(|reason| **reason == field(went, "reason"));
    let reason = reason.ok_or_else(|| ("reason", say!("bench-reason-missing")))?;
    if !matches!(field(went, "out"), "yes" | "no") {
        return Err(("out", say!("bench-out-missing")));
    }
    let until = until(session, went).map_err(|text| ("until_day", text))?;
    Ok(((*reason).to_owned(), until))
}

fn form(
    session: &Session,
    books: &Books,
    visitor: &Visitor,
    (code, day): (&str, &str),
    (kept, started): (&KeptPlate, bool),
    sent: Option<(&Fields, &Lacks)>,
) -> TroubleForm {
    let typed = |name: &str| sent.as_ref().map(|(went, _)| field(went, name).to_owned());
    let wrong = sent.map(|(_, lacks)| lacks.clone());
    let zone = &session.terrain.zone;
    let tomorrow = session.minute() + Minutes(1_440);
    let printer = partpledge_workshop::plate_room::printer_of(session, books, kept);
    let company = books.company(kept);
    TroubleForm {
        head: Head::new(session, visitor, ""),
        code: code.to_owned(),
        day_iso: date(session, day).to_string(),
        plate: kept.on().0,
        printer: printer.unwrap_or_default(),
        label: super::plates::label(books, kept),
        started,
        counts: company.iter().map(|row| counted(books, row)).collect(),
        reasons: reasons(started).to_vec(),
        reason: typed("reason").unwrap_or_default(),
        out: typed("out").unwrap_or_default(),
        until_day: typed("until_day").unwrap_or_else(|| zone.date(tomorrow).to_string()),
        until_clock: typed("until_clock").unwrap_or_else(|| "12:00".to_owned()),
        wrong,
        key: key(),
    }
}

/// `POST /run-sheets/{code}/trouble`.
pub(crate) async fn trouble(
    State(site): State<Site>,
    visitor: Visitor,
    Path(code): Path<String>,
    headers: HeaderMap,
    Form(went): Form<Fields>,
) -> Response {
    let done = went_wrong(&site, visitor, &code, &went).await;
    let to = back(&code, field(&went, "day"));
    answered(&site, &headers, done, &to)
}

async fn went_wrong(
    site: &Site,
    visitor: Visitor,
    code: &str,
    went: &Fields,
) -> Result<(), Refused> {
    if !may_work(&visitor, code) || !is_key(field(went, "key")) {
        return Err(Refused::SignIn(not_yours(site)));
    }
    let plate = plate_of(went);
    let (session, books) = looked(site).await?;
    let kept = match books.plate(plate) {
        // It may have another place by now, because of this very deed; the workshop looks at who may.
        Some(kept) if !field(went, "printer").is_empty() => books.speaks_for(kept).clone(),
        _ => plate_at(site, &session, &books, (code, plate)).await?,
    };
    let started = books.step(plate, StepKind::Started).is_some();
    // Told from a tablet whose start may not have reached us yet.
    let told_running = field(went, "running") == "1";
    let over = books.whole(&kept).is_none();
    let running = started || over || told_running;
    let (reason, out_until) = match chosen(&session, went, running) {
        Ok(chosen) => chosen,
        Err(lacks) => {
            let day = field(went, "day");
            let text = lacks.1.clone();
            let made = form(
                &session,
                &books,
                &visitor,
                (code, day),
                (&kept, running),
                Some((went, &lacks)),
            );
            let page = (StatusCode::UNPROCESSABLE_ENTITY, page(&made)).into_response();
            return Err(Refused::with_page(text, page));
        }
    };
    let what = match (running, out_until) {
        (true, out_until) => Act::Fail {
            reason,
            good: good(site, &books, &kept, went)?,
            out_until,
        },
        (false, Some(until)) => Act::PutOut { reason, until },
        // Nothing has happened: the plate waits and the printer can go on.
        (false, None) => return Ok(()),
    };
    carried_out(site, (session, visitor), (plate, what), went).await
}

fn counted(books: &Books, row: &KeptPlate) -> Counted {
    let listed = books.request(row.request);
    let what = listed.map(|listed| format!("{}, {}", listed.part, listed.request.team));
    Counted {
        share: row.plate.seq.0,
        what: what.unwrap_or_default(),
        of: books.copies_on(row).count(),
        measure: !books.dimensions(row.request).is_empty(),
    }
}

/// Until when the printer can't be used, if it can't.
fn until(session: &Session, went: &Fields) -> Result<Option<Minute>, String> {
    if field(went, "out") != "yes" {
        return Ok(None);
    }
    // Told late, it may be over by now; it was not when it was done.
    let done = occurred_at(went).ok().flatten();
    let done = done.map_or(session.minute(), Minute::at_or_after);
    let typed = (field(went, "until_day"), field(went, "until_clock"));
    use_again(session, typed, done.min(session.minute())).map(Some)
}

/// When a printer can be used again, as it was typed: later than that, and within a year.
pub(super) fn use_again(
    session: &Session,
    (day, clock): (&str, &str),
    after: Minute,
) -> Result<Minute, String> {
    let day = parse_date(day).map_err(|_| say!("bench-until-missing"))?;
    let clock = parse_clock(clock).map_err(|_| say!("bench-until-missing"))?;
    let at = session.terrain.zone.minute(day, clock);
    if at <= after {
        return Err(say!("bench-until-over"));
    }
    if session.minute() + A_YEAR <= at {
        return Err(say!("bench-until-far"));
    }
    Ok(at)
}
