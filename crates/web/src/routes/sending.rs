//! Sending parts.

use axum::extract::{Multipart, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::civil::Date;
use partpledge_records::{ListedRequest, RoleKind};
use partpledge_units::length::LengthUnit;
use partpledge_units::local::{parse_clock, parse_date};
use partpledge_units::micrometre::Micrometres;
use partpledge_units::time::Minute;
use partpledge_words::say;
use partpledge_workshop::measuring::{CriticalDimension, in_mm, prints_hold};
use partpledge_workshop::review::{Claim, Statement};
use partpledge_workshop::sending::{MOST_COPIES, Sent, send as send_part};
use partpledge_workshop::{Session, WorkshopError};
use serde::Deserialize;

use super::critical::{as_typed, read as read_sizes, size_field, typed as typed_sizes};
use super::parts::found;
use super::review::too_long;
use super::{Trouble, failed, is_key, key, looked, page};
use crate::pages::bench::and;
use crate::pages::plain::SurePage;
use crate::pages::send::{Plastic, SendPage, Typed, Wrong};
use crate::pages::unit_ask::unit_words;
use crate::site::Site;
use crate::upload::{Form, FormError};
use crate::who::{Head, Visitor};
use crate::words;

/// Units that a drawing program may export in.
const UNITS: [LengthUnit; 4] = [
    LengthUnit::Millimetre,
    LengthUnit::Centimetre,
    LengthUnit::Inch,
    LengthUnit::Metre,
];
/// The clock time until which a day counts as needed by.
const END_OF_SCHOOL: &str = "17:00";

/// What a part of each material stands. Common practice, no source.
fn stands(code: &str) -> String {
    match code {
        "PLA" => say!("send-stands-pla"),
        "PETG" => say!("send-stands-petg"),
        "ASA" => say!("send-stands-asa"),
        "TPU" => say!("send-stands-tpu"),
        _ => say!("send-stands-other"),
    }
}

/// The part that a changed file is sent for.
#[derive(Deserialize)]
pub(crate) struct Again {
    again: Option<String>,
}

/// `GET /parts/send`.
pub(crate) async fn form(
    State(site): State<Site>,
    visitor: Visitor,
    Query(again): Query<Again>,
) -> Result<Response, Trouble> {
    let (session, books) = looked(&site).await?;
    let old = match &again.again {
        Some(number) => Some(found(&site, &books, &visitor, number)?),
        None => None,
    };
    let typed = Typed {
        copies: old.map_or(1, |old| old.request.copies).to_string(),
        need_by: old
            .and_then(|old| day_still_to_come(&session, old))
            .unwrap_or_default(),
        sizes: as_typed(old.map_or(&[], |old| books.dimensions(old.request.id))),
        ..Typed::default()
    };
    let material = old
        .map_or("PLA", |old| old.request.material.as_str())
        .to_owned();
    Ok(page(&send_page(
        &session,
        &visitor,
        (old, &material),
        typed,
        Vec::new(),
    )))
}

/// The day by which a request is needed, as the form has it, unless it is over.
fn day_still_to_come(session: &Session, old: &ListedRequest) -> Option<String> {
    let zone = &session.terrain.zone;
    let day = zone.date(Minute::at_or_after(old.request.need_by?));
    (day >= zone.date(session.minute())).then(|| day.to_string())
}

fn send_page(
    session: &Session,
    visitor: &Visitor,
    (old, material): (Option<&ListedRequest>, &str),
    typed: Typed,
    wrong: Vec<Wrong>,
) -> SendPage {
    let printers = &session.terrain.region.printers;
    let taken = |code: &String| printers.iter().any(|p| p.materials.contains(code));
    let materials = session.catalogue.materials.iter();
    let plastics = materials.filter(|m| taken(&m.code)).map(|m| Plastic {
        code: m.code.clone(),
        says: stands(&m.code),
        chosen: m.code == material,
    });
    let zone = &session.terrain.zone;
    SendPage {
        head: Head::new(session, visitor, "/parts/send"),
        again: old.map(|old| (old.request.number, old.part.clone())),
        team: visitor.team().unwrap_or_default().to_owned(),
        plastics: plastics.collect(),
        typed,
        least_day: zone.date(session.minute()).to_string(),
        units: units(),
        claims: claims(),
        asks_reason: false,
        usual: usual(),
        wrong,
        key: key(),
    }
}

/// Units to choose from, as forms have them and in words.
fn units() -> Vec<(&'static str, String)> {
    let known = UNITS.map(|unit| (unit.symbol(), unit_words(unit)));
    let mut all = vec![("", say!("send-unit-any"))];
    all.extend(known);
    all
}

/// What prints usually hold, at a few sizes.
fn usual() -> String {
    let says = [10, 50, 100].map(|mm| {
        let about = prints_hold(Micrometres(mm * 1_000)).unwrap_or_default();
        say!("send-usual-at", about = in_mm(about), mm = mm)
    });
    and(&says.each_ref().map(String::as_str))
}

fn claims() -> Vec<(&'static str, String)> {
    let all = Claim::ALL.iter();
    all.map(|claim| (claim.code(), claim.says())).collect()
}

/// Why the team may have it made, as a form says it.
fn statement(form: &Form, all: &mut Vec<Wrong>) -> Option<Statement> {
    let words = form.get("claim_words").trim();
    let Some(claim) = Claim::parse(form.get("claim")) else {
        all.push(wrong("claim", say!("send-no-claim")));
        return None;
    };
    if claim != Claim::Own && words.is_empty() {
        let text = match claim {
            Claim::Licence => say!("send-no-licence"),
            _ => say!("send-no-permission"),
        };
        all.push(wrong("claim_words", text));
        return None;
    }
    if let Some(long) = too_long(words, "claim_words") {
        all.push(long);
        return None;
    }
    let words = match claim {
        Claim::Own => String::new(),
        _ => words.to_owned(),
    };
    Some(Statement { claim, words })
}

/// What a form asks for, once everything in it could be read.
struct Asked {
    copies: u32,
    material: String,
    need_by: Option<Minute>,
    unit: Option<LengthUnit>,
    statement: Statement,
    sizes: Vec<CriticalDimension>,
}

fn wrong(field: &'static str, text: String) -> Wrong {
    Wrong { field, text }
}

fn read(session: &Session, form: &Form, old: Option<&ListedRequest>) -> Result<Asked, Vec<Wrong>> {
    let mut all = Vec::new();
    if form.files.is_empty() {
        all.push(wrong("file", say!("send-no-file")));
    }
    let copies = form.get("copies").trim().parse::<u32>().ok();
    let copies = copies.filter(|n| (1..=MOST_COPIES).contains(n));
    if copies.is_none() {
        all.push(wrong("copies", say!("send-bad-copies", most = MOST_COPIES)));
    }
    let material = form.get("material").to_owned();
    if session.catalogue.material(&material).is_none() {
        all.push(wrong("material", say!("send-no-material")));
    }
    let need_by = match form.get("need_by").trim() {
        "" => None,
        text => match need_by(session, text, old) {
            Ok(at) => Some(at),
            Err(text) => {
                all.push(wrong("need_by", text));
                None
            }
        },
    };
    let unit = form.get("unit");
    let known = LengthUnit::ALL.into_iter().find(|u| u.symbol() == unit);
    if !unit.is_empty() && known.is_none() {
        all.push(wrong("unit", say!("send-bad-unit")));
    }
    let sizes = read_sizes(form, &mut all);
    match (copies, statement(form, &mut all)) {
        (Some(copies), Some(statement)) if all.is_empty() => Ok(Asked {
            copies,
            material,
            need_by,
            unit: known,
            statement,
            sizes,
        }),
        _ => Err(all),
    }
}

/// The same, of a form that is ours.
fn ours(session: &Session, form: &Form, old: Option<&ListedRequest>) -> Result<Asked, Vec<Wrong>> {
    let asked = read(session, form, old)?;
    if is_key(form.get("key")) {
        return Ok(asked);
    }
    Err(vec![wrong("file", say!("send-damaged"))])
}

/// The moment of a day that was typed: the end of school, or when what is replaced was needed on that very day.
fn need_by(session: &Session, text: &str, old: Option<&ListedRequest>) -> Result<Minute, String> {
    let zone = &session.terrain.zone;
    let not_a_day = || say!("send-not-a-day", text = text);
    let day: Date = parse_date(text).map_err(|_| not_a_day())?;
    let clock = parse_clock(END_OF_SCHOOL).map_err(|_| not_a_day())?;
    let at = zone.minute(day, clock);
    if day < zone.date(session.minute()) {
        return Err(say!("send-day-over", day = zone.day(at)));
    }
    let before = old.and_then(|old| old.request.need_by);
    let before = before.map(Minute::at_or_after);
    Ok(before.filter(|by| zone.date(*by) == day).unwrap_or(at))
}

/// `POST /parts/send`.
pub(crate) async fn send(
    State(site): State<Site>,
    visitor: Visitor,
    parts: Multipart,
) -> Result<Response, Trouble> {
    let _turn = site.turn_to_send(visitor.actor().person()).await;
    let form = Form::read(parts).await;
    let (session, books) = looked(&site).await?;
    let form = match form {
        Ok(form) => form,
        Err(error) => return Ok(refused(&session, &visitor, &error)),
    };
    let old = match form.get("again") {
        "" => None,
        number => Some(found(&site, &books, &visitor, number)?.clone()),
    };
    let typed = typed(&form);
    let material = form.get("material").to_owned();
    let (asked, mut problems) = match ours(&session, &form, old.as_ref()) {
        Ok(asked) => (Some(asked), Vec::new()),
        Err(all) => (None, all),
    };
    let files = form.files.len();
    let mut came = Came::default();
    if let Some(asked) = asked {
        let work = all(
            session_of(&site).await?,
            visitor.clone(),
            form,
            asked,
            old.clone(),
        );
        let answers = site.heavy(Box::pin(work)).await;
        came = Came::of(
            answers.map_err(|error| failed(&site, &error))?,
            &typed,
            &mut problems,
        );
    }
    let sent = came.sent;
    if let (Some(number), 1) = (came.before, files) {
        let old = books.numbered(number);
        let named = old.map_or(&[][..], |old| books.dimensions(old.request.id));
        let others = as_typed(named) != typed.sizes;
        return Ok(page(&again_page(&session, &visitor, (number, others))));
    }
    if let (Some(only), [], true) = (sent.first(), problems.as_slice(), sent.len() == 1) {
        return Ok(Redirect::to(&format!("/parts/{only}")).into_response());
    }
    if problems.is_empty() {
        return Ok(Redirect::to("/parts").into_response());
    }
    if !sent.is_empty() {
        let text = say!("send-some-arrived", n = sent.len());
        problems.insert(0, wrong("file", text));
    }
    let chosen = (old.as_ref(), material.as_str());
    let mentors = came.over_limit && visitor.kind() == Some(RoleKind::Mentor);
    if mentors {
        problems.push(wrong("over_limit", say!("send-over-no-why")));
    }
    let made = SendPage {
        asks_reason: mentors || !typed.over_limit.is_empty(),
        ..send_page(&session, &visitor, chosen, typed.clone(), problems)
    };
    Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&made)).into_response())
}

fn typed(form: &Form) -> Typed {
    let field = |name| form.get(name).to_owned();
    Typed {
        name: field("name"),
        copies: field("copies"),
        need_by: field("need_by"),
        unit: field("unit"),
        claim: field("claim"),
        claim_words: field("claim_words"),
        over_limit: field("over_limit"),
        sizes: typed_sizes(form),
    }
}

async fn session_of(site: &Site) -> Result<Session, Trouble> {
    site.session().await.map_err(|error| failed(site, &error))
}

/// Why a file was not taken.
struct Refused {
    text: String,
    /// The request that it would be again.
    before: Option<i64>,
    over_limit: bool,
    /// The size that is wrong with it, among those that were named.
    size: Option<usize>,
}

impl Refused {
    fn new(error: &WorkshopError) -> Self {
        let before = match error {
            WorkshopError::SentBefore { number } => Some(*number),
            _ => None,
        };
        Self {
            text: format!(
                "{}. {}",
                words::capital(&error.to_string()),
                error.what_to_do()
            ),
            before,
            size: match error {
                WorkshopError::BadDimension { n, .. } => Some(*n),
                _ => None,
            },
            over_limit: matches!(
                error,
                WorkshopError::OverLimit {
                    mentor_may: true,
                    ..
                }
            ),
        }
    }
}

/// What came of the files of a form.
#[derive(Default)]
struct Came {
    /// Numbers of the requests that were received.
    sent: Vec<i64>,
    /// The request that one of them would be again.
    before: Option<i64>,
    over_limit: bool,
}

impl Came {
    fn of(
        answers: Vec<(String, Result<i64, Refused>)>,
        typed: &Typed,
        problems: &mut Vec<Wrong>,
    ) -> Self {
        let mut out = Self::default();
        for (file, answer) in answers {
            match answer {
                Ok(number) => out.sent.push(number),
                Err(refused) => {
                    out.before = out.before.or(refused.before);
                    out.over_limit |= refused.over_limit;
                    let field = refused.size.map_or("file", |n| size_field(&typed.sizes, n));
                    problems.push(wrong(field, format!("{file}: {}", refused.text)));
                }
            }
        }
        out
    }
}

/// The question before the very same is made again; the file need not be chosen once more.
fn again_page(session: &Session, visitor: &Visitor, (number, others): (i64, bool)) -> SurePage {
    let mut lead = say!("send-twice-lead", number = number);
    if others {
        lead = format!("{lead} {}", say!("send-twice-sizes"));
    }
    SurePage {
        head: Head::new(session, visitor, ""),
        title: say!("send-twice-title"),
        lead,
        action: format!("/parts/{number}/again"),
        button: say!("send-twice-go"),
        back: format!("/parts/{number}"),
        back_text: say!("send-twice-back"),
        key: key(),
    }
}

/// Sends every file of a form; the number of each request, or what is wrong with the file.
async fn all(
    session: Session,
    visitor: Visitor,
    form: Form,
    asked: Asked,
    old: Option<ListedRequest>,
) -> Result<Vec<(String, Result<i64, Refused>)>, WorkshopError> {
    let name = Some(form.get("name")).filter(|_| form.files.len() == 1);
    let mut out = Vec::new();
    for (i, (file_name, bytes)) in form.files.iter().enumerate() {
        let key = format!("{}-{i}", form.get("key"));
        let sent = Sent {
            bytes: bytes.clone(),
            file_name,
            team: visitor.team().unwrap_or_default(),
            part: name,
            copies: asked.copies,
            material: &asked.material,
            need_by: asked.need_by,
            unit: asked.unit,
            replaces: old.as_ref(),
            statement: Some(&asked.statement),
            dimensions: Some(&asked.sizes),
            again: form.get("sure") == "yes",
            over_limit: Some(form.get("over_limit")).filter(|reason| !reason.is_empty()),
            key: &key,
        };
        let answer = match Box::pin(send_part(&session, &visitor.actor(), &sent)).await {
            Ok(received) => Ok(received.request.number),
            Err(error @ WorkshopError::Store(_)) => return Err(error),
            Err(error) => Err(Refused::new(&error)),
        };
        out.push((file_name.clone(), answer));
    }
    Ok(out)
}

fn refused(session: &Session, visitor: &Visitor, error: &FormError) -> Response {
    let (status, text) = match error {
        FormError::TooLarge => (StatusCode::PAYLOAD_TOO_LARGE, say!("send-too-large")),
        FormError::TooLong => (StatusCode::PAYLOAD_TOO_LARGE, say!("send-too-long")),
        FormError::TooMany => (StatusCode::PAYLOAD_TOO_LARGE, say!("send-too-many")),
        FormError::Broken => (StatusCode::BAD_REQUEST, say!("send-broken-off")),
        FormError::TooSlow => (StatusCode::REQUEST_TIMEOUT, say!("send-too-slow")),
    };
    let typed = Typed {
        copies: "1".to_owned(),
        sizes: as_typed(&[]),
        ..Typed::default()
    };
    let made = send_page(
        session,
        visitor,
        (None, "PLA"),
        typed,
        vec![wrong("file", text)],
    );
    (status, page(&made)).into_response()
}
