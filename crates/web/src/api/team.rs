//! What a team does with its parts.

use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use partpledge_records::{ListedRequest, PledgeEnd};
use partpledge_units::length::LengthUnit;
use partpledge_units::local::{parse_clock, parse_date, parse_rfc3339};
use partpledge_units::time::Minute;
use partpledge_workshop::measuring::CriticalDimension;
use partpledge_workshop::review::{Claim, LONGEST_WORDS, Statement};
use partpledge_workshop::sending::{MOST_COPIES, Received, Sent, send};
use partpledge_workshop::wrong_unit::made_again;
use partpledge_workshop::{Actor, Books, Role, Session, bench, sending};
use serde::Deserialize;
use utoipa::ToSchema;

use super::call::{Answer, Call, done, fresh, page_of};
use super::measured::dimensions_in;
use super::out::{
    DoneOut, MeOut, NoPledgeOut, OfferOut, Paging, PartOut, PartRow, PartsOut, PledgeOut,
};
use super::problem::Problem;
use crate::routes::parts::stored;
use crate::site::Site;
use crate::upload::Form;

/// What is sent with a part's file.
#[derive(ToSchema)]
#[schema(as = PartForm)]
#[expect(
    dead_code,
    reason = "only described here; the form is read part by part"
)]
pub(crate) struct PartForm {
    /// The part: STL, OBJ, 3MF, or a zip of them.
    #[schema(value_type = String, format = Binary)]
    file: Vec<u8>,
    /// Copies wanted; 1 when not said.
    #[schema(minimum = 1, maximum = 100)]
    copies: Option<u32>,
    /// Material code; PLA when not said.
    material: Option<String>,
    /// What the part is called; its file's name when not said.
    #[schema(max_length = 200)]
    name: Option<String>,
    /// A day, `2027-03-11`, or a time, `2027-03-11T12:00:00+01:00`.
    need_by: Option<String>,
    /// `mm`, `cm`, `in` or `m`; guessed when not said.
    unit: Option<String>,
    /// The number of the request whose place it takes.
    replaces: Option<i64>,
    /// Why the team may have it made: `own`, `licence` or `permission`.
    claim: String,
    /// Which licence, or who allowed it, by what they do and not by name.
    #[schema(max_length = 300)]
    claim_words: Option<String>,
    /// Sizes that must be right and are measured on each copy, five at most: a JSON list of
    /// `CriticalDimensionIn`. Without it, those of the request that it replaces; `[]` for none.
    #[schema(max_length = 2000, example = json!("[{\"what\":\"bore for the bearing\",\"nominal_mm\":8,\"plus_minus_mm\":0.2}]"))]
    critical_dimensions: Option<String>,
    /// `yes` when the very same was sent within a week and that is meant.
    again: Option<String>,
}

/// `GET /api/v1/me`.
pub(crate) async fn me(call: Call) -> Answer {
    Ok(fresh(call.headers(), &MeOut::new(&call.bearer().token)))
}

/// `GET /api/v1/parts`.
pub(crate) async fn list(call: Call) -> Answer {
    let team = call.team()?;
    let paging: Paging = call.query()?;
    let (session, books) = call.looked().await?;
    let own = books.requests.iter().filter(|r| r.request.team == team);
    let own = own.map(|r| (r.request.number, r));
    let (rows, next) = page_of(own, &paging)?;
    let rows = rows.into_iter();
    let out = PartsOut {
        schema: 1,
        items: rows
            .map(|listed| PartRow::new(&session, &books, listed))
            .collect(),
        next,
    };
    Ok(fresh(call.headers(), &out))
}

/// The request of the address, for somebody who may see it.
fn found<'a>(call: &Call, books: &'a Books) -> Result<&'a ListedRequest, Problem> {
    let listed = books.numbered(call.number("number")?);
    let actor = call.actor();
    let seen = |listed: &&ListedRequest| actor.must_see_part_of(&listed.request.team).is_ok();
    listed.filter(seen).ok_or_else(Problem::not_there)
}

/// The request of the address, of one's own team.
pub(crate) async fn own(call: &Call) -> Result<(Session, Books, ListedRequest), Problem> {
    let (session, books) = call.looked().await?;
    let listed = found(call, &books)?.clone();
    call.actor().must_be_of(&listed.request.team)?;
    Ok((session, books, listed))
}

async fn part(
    session: &Session,
    (books, actor): (&Books, &Actor),
    listed: &ListedRequest,
    no_pledge: Option<NoPledgeOut>,
) -> Result<PartOut, Problem> {
    // As on the pages: what was read from a file that is taken down is the coordinator's.
    let hidden = books.taken_down(&listed.request) && *actor.role() != Role::Coordinator;
    let findings = if hidden {
        Vec::new()
    } else {
        stored(session, listed).await?
    };
    let findings = findings.into_iter().flatten().collect();
    let out = PartOut::new(session, books, listed, findings, no_pledge);
    Ok(out.with_boxes((session, books), listed, actor))
}

/// `GET /api/v1/parts/{number}`.
pub(crate) async fn one(call: Call) -> Answer {
    let (session, books) = call.looked().await?;
    let listed = found(&call, &books)?;
    let out = part(&session, (&books, &call.actor()), listed, None).await?;
    Ok(fresh(call.headers(), &out))
}

/// What a form asks for.
struct Asked {
    copies: u32,
    material: String,
    need_by: Option<Minute>,
    unit: Option<LengthUnit>,
    replaces: Option<ListedRequest>,
    statement: Statement,
    /// `None` for those of what it replaces.
    dimensions: Option<Vec<CriticalDimension>>,
    again: bool,
}

/// Why the team may have it made.
fn statement(form: &Form) -> Result<Statement, Problem> {
    let claim = Claim::parse(form.get("claim").trim());
    let claim = claim.ok_or_else(|| Problem::bad("claim", "own, licence or permission"))?;
    let words = form.get("claim_words").trim();
    let told = claim == Claim::Own || !words.is_empty();
    if !told || words.chars().count() > LONGEST_WORDS {
        let range = "which licence, or who allowed it, in at most 300 letters";
        return Err(Problem::bad("claim_words", range));
    }
    let words = match claim {
        Claim::Own => String::new(),
        _ => words.to_owned(),
    };
    Ok(Statement { claim, words })
}

fn asked(session: &Session, books: &Books, form: &Form, actor: &Actor) -> Result<Asked, Problem> {
    let copies = match form.get("copies").trim() {
        "" => Some(1),
        text => text.parse().ok().filter(|n| (1..=MOST_COPIES).contains(n)),
    };
    let copies = copies.ok_or_else(|| Problem::bad("copies", "a number from 1 to 100"))?;
    let material = match form.get("material") {
        "" => "PLA",
        code => code,
    };
    if session.catalogue.material(material).is_none() {
        let codes = session.catalogue.materials.iter().map(|m| m.code.as_str());
        let codes: Vec<&str> = codes.collect();
        return Err(Problem::bad(
            "material",
            &format!("one of {}", codes.join(", ")),
        ));
    }
    let need_by = match form.get("need_by").trim() {
        "" => None,
        text => Some(time(session, text).ok_or_else(|| {
            Problem::bad("need_by", "a day or a time still to come, like 2027-03-11")
        })?),
    };
    let unit = match form.get("unit") {
        "" => None,
        text => {
            let known = LengthUnit::ALL.into_iter().find(|u| u.symbol() == text);
            Some(known.ok_or_else(|| Problem::bad("unit", "mm, cm, in or m"))?)
        }
    };
    let replaces = match form.get("replaces").trim() {
        "" => None,
        text => {
            let old = text.parse().ok().and_then(|number| books.numbered(number));
            let old = old.filter(|old| actor.must_be_of(&old.request.team).is_ok());
            let bad = || Problem::bad("replaces", "the number of a request of your team");
            Some(old.ok_or_else(bad)?.clone())
        }
    };
    Ok(Asked {
        copies,
        material: material.to_owned(),
        need_by,
        unit,
        replaces,
        statement: statement(form)?,
        dimensions: dimensions_in(form.get("critical_dimensions"))?,
        again: form.get("again") == "yes",
    })
}

/// A day's end of school or a time, still to come.
fn time(session: &Session, text: &str) -> Option<Minute> {
    let zone = &session.terrain.zone;
    let day = || {
        let clock = parse_clock("17:00").ok()?;
        Some(zone.minute(parse_date(text).ok()?, clock))
    };
    let at = parse_rfc3339(text).ok().map(Minute::at_or_after);
    at.or_else(day).filter(|at| *at > session.minute())
}

/// `POST /api/v1/parts`.
pub(crate) async fn send_part(call: Call) -> Answer {
    let (team, actor, key) = (call.team()?, call.actor(), call.key()?);
    let site = call.site.clone();
    let _turn = site.turn_to_send(actor.person()).await;
    let (form, file_name, bytes) = call.form().await?;
    let (session, books) = site.books().await?;
    let asked = asked(&session, &books, &form, &actor)?;
    let name = form.get("name").to_owned();
    let who = actor.clone();
    let work = async move {
        let sent = Sent {
            bytes,
            file_name: &file_name,
            team: &team,
            part: Some(name.as_str()),
            copies: asked.copies,
            material: &asked.material,
            need_by: asked.need_by,
            unit: asked.unit,
            replaces: asked.replaces.as_ref(),
            statement: Some(&asked.statement),
            dimensions: asked.dimensions.as_deref(),
            again: asked.again,
            over_limit: None,
            key: &key,
        };
        Box::pin(send(&session, &actor, &sent)).await
    };
    let received = site.heavy(Box::pin(work)).await?;
    made(&site, &who, received).await
}

/// A request that was made, with its address.
async fn made(site: &Site, who: &Actor, received: Received) -> Answer {
    let (session, books) = site.books().await?;
    let listed = books.request(received.request.id);
    let listed = listed.ok_or_else(Problem::not_there)?;
    let no_pledge = received.no_pledge.map(|error| NoPledgeOut {
        code: error.code().to_owned(),
        message: error.to_string(),
        what_to_do: error.what_to_do(),
    });
    let out = part(&session, (&books, who), listed, no_pledge).await?;
    let place = format!("/api/v1/parts/{}", listed.request.number);
    let made = done(StatusCode::CREATED, &out);
    Ok(([(header::LOCATION, place)], made).into_response())
}

/// The unit that a part should have been made in.
#[derive(Deserialize, ToSchema)]
#[schema(as = WrongUnit)]
#[serde(deny_unknown_fields)]
pub(crate) struct WrongUnitIn {
    /// `mm`, `cm` or `in`: one that makes it 25.4 or 10 times larger or smaller.
    unit: String,
}

/// `POST /api/v1/parts/{number}/wrong-unit`.
pub(crate) async fn wrong_unit(call: Call) -> Answer {
    // Asked for as for every deed; whoever of the team says it, it is said once.
    call.key()?;
    let actor = call.actor();
    let (session, _, listed) = own(&call).await?;
    let (site, who) = (call.site.clone(), actor.clone());
    let told: WrongUnitIn = call.json().await?;
    let known = LengthUnit::ALL.into_iter();
    let mut known = known.filter(|unit| unit.symbol() == told.unit);
    let unit = known
        .next()
        .ok_or_else(|| Problem::bad("unit", "mm, cm or in"))?;
    let work = async move { made_again(&session, &actor, &listed, unit).await };
    let received = site.heavy(Box::pin(work)).await?;
    made(&site, &who, received).await
}

/// `GET /api/v1/parts/{number}/offer`: what could be promised now.
pub(crate) async fn offer(call: Call) -> Answer {
    let (session, books, listed) = own(&call).await?;
    if books.taken_down(&listed.request) {
        return Err(Problem::not_there());
    }
    let zone = session.terrain.zone.clone();
    let actor = call.actor();
    let work = async move { sending::offer(&session, &actor, &listed).await };
    let document = call.site.heavy(Box::pin(work)).await?;
    let out = OfferOut {
        schema: 1,
        offer: PledgeOut::offered(&zone, &document),
    };
    Ok(done(StatusCode::OK, &out))
}

async fn shown(call: &Call) -> Result<Response, Problem> {
    let (session, books) = call.looked().await?;
    let whose = (&books, &call.actor());
    let out = part(&session, whose, found(call, &books)?, None).await?;
    Ok(done(StatusCode::OK, &out))
}

/// A part of a number, as it is now.
pub(super) async fn shown_as(site: &Site, actor: &Actor, number: i64) -> Answer {
    let (session, books) = site.books().await?;
    let listed = books.numbered(number).ok_or_else(Problem::not_there)?;
    let out = part(&session, (&books, actor), listed, None).await?;
    Ok(done(StatusCode::OK, &out))
}

/// `POST /api/v1/parts/{number}/take`: the pledge that could be given now.
pub(crate) async fn take(call: Call) -> Answer {
    let (session, _, listed) = own(&call).await?;
    let actor = call.actor();
    let work = async move { sending::take_offer(&session, &actor, &listed).await };
    call.site.heavy(Box::pin(work)).await?;
    shown(&call).await
}

/// `POST /api/v1/parts/{number}/withdraw`.
pub(crate) async fn withdraw(call: Call) -> Answer {
    let key = call.key()?;
    let (session, _, listed) = own(&call).await?;
    let (end, key) = (PledgeEnd::Withdrawn, Some(key.as_str()));
    bench::end_request(&session, &call.actor(), listed.request.id, end, key).await?;
    shown(&call).await
}

/// `POST /api/v1/parts/{number}/came`: the team holds its copies.
pub(crate) async fn came(call: Call) -> Answer {
    let key = call.key()?;
    let (session, _, listed) = own(&call).await?;
    let held = bench::hold(&session, &call.actor(), listed.request.id, Some(&key)).await?;
    Ok(done(StatusCode::OK, &DoneOut::from(held)))
}
