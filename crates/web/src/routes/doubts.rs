//! A box that is lost or has the wrong parts in it: its team or a bench says so, the coordinator decides.

use axum::extract::{Form, Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_records::{KeptPlate, ListedRequest};
use partpledge_units::time::Minute;
use partpledge_words::say;
use partpledge_workshop::bench::{Act, act, decide_box, doubt_box};
use partpledge_workshop::doubts::{Doubt, Ruling, may_be_said, open_doubt};
use partpledge_workshop::{Books, Session};
use serde::Deserialize;

use super::bench::{must_work, plate_at};
use super::boxes::goes_to;
use super::parts::{Once, found, own};
use super::saying::{blank, must_have_key};
use super::{Trouble, failed, key, looked, not_here, page, trouble};
use crate::pages::review::{BoxAsk, SayPage};
use crate::pages::send::Wrong;
use crate::site::Site;
use crate::who::Visitor;
use crate::words;

/// Which box.
#[derive(Deserialize)]
pub(crate) struct With {
    #[serde(default)]
    plate: u64,
}

/// What is said of a box, or decided.
#[derive(Default, Deserialize)]
pub(crate) struct BoxForm {
    #[serde(default)]
    plate: u64,
    #[serde(default)]
    reason: String,
    #[serde(default)]
    key: String,
    /// For a decision: the entry by which it was said.
    #[serde(default)]
    said: i64,
    #[serde(default)]
    decide: String,
}

/// The form about a box, where something can be said of it.
fn form(
    site: &Site,
    (session, books): (&Session, &Books),
    visitor: &Visitor,
    kept: &KeptPlate,
    (action, back): (String, String),
) -> Result<SayPage, Trouble> {
    let plate = kept.plate.seq.0;
    let picks = may_be_said(books, kept, session.now);
    if picks.is_empty() {
        let title = say!("bench-box-nothing-said");
        let what_to_do = say!("bench-box-nothing-said-do");
        return Err(trouble(site, StatusCode::CONFLICT, &title, &what_to_do));
    }
    if open_doubt(books, kept).is_some() {
        let title = say!("bench-box-said-already");
        let what_to_do = say!("bench-box-said-already-do");
        return Err(trouble(site, StatusCode::CONFLICT, &title, &what_to_do));
    }
    let picks = picks.into_iter();
    Ok(SayPage {
        title: say!("bench-box-what-is-wrong", plate = plate),
        lead: say!("bench-box-lead"),
        action,
        hidden: vec![("plate", plate.to_string())],
        ask: say!("bench-box-what-is-it"),
        picks: picks.map(|why| (why.code(), why.says())).collect(),
        words_label: String::new(),
        button: say!("bench-box-tell"),
        back,
        ..blank(session, visitor)
    })
}

/// The form again, with what is missing.
fn again(made: SayPage) -> Response {
    let made = SayPage {
        wrong: vec![Wrong {
            field: "reason",
            text: say!("bench-box-choose"),
        }],
        ..made
    };
    (StatusCode::UNPROCESSABLE_ENTITY, page(&made)).into_response()
}

/// A box of the request.
fn its_box(
    site: &Site,
    books: &Books,
    listed: &ListedRequest,
    plate: u64,
) -> Result<KeptPlate, Trouble> {
    let kept = books.plate(plate);
    let kept = kept.filter(|kept| kept.request == listed.request.id);
    let none = || not_here(site, &say!("bench-box-none"));
    kept.cloned().ok_or_else(none)
}

fn for_team(number: i64) -> (String, String) {
    (format!("/parts/{number}/box"), format!("/parts/{number}"))
}

/// `GET /parts/{number}/box?plate=N`.
pub(crate) async fn team_form(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
    Query(with): Query<With>,
) -> Result<Response, Trouble> {
    let (session, books) = looked(&site).await?;
    let listed = found(&site, &books, &visitor, &number)?;
    let kept = its_box(&site, &books, listed, with.plate)?;
    let ways = for_team(listed.request.number);
    let made = form(&site, (&session, &books), &visitor, &kept, ways)?;
    Ok(page(&made))
}

/// `POST /parts/{number}/box`.
pub(crate) async fn by_team(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
    Form(said): Form<BoxForm>,
) -> Result<Response, Trouble> {
    let once = Once {
        key: said.key.clone(),
    };
    let (session, books, listed) = own(&site, &visitor, &number, &once).await?;
    let kept = its_box(&site, &books, &listed, said.plate)?;
    let (action, back) = for_team(listed.request.number);
    let Some(why) = Doubt::parse(&said.reason) else {
        let ways = (action, back);
        let made = form(&site, (&session, &books), &visitor, &kept, ways)?;
        return Ok(again(made));
    };
    let which = (listed.request.id, said.plate);
    let done = doubt_box(&session, &visitor.actor(), which, why, Some(&said.key)).await;
    done.map_err(|error| failed(&site, &error))?;
    Ok(Redirect::to(&back).into_response())
}

/// A box that was made at that bench, or goes there.
async fn here(
    site: &Site,
    visitor: &Visitor,
    (code, plate): (&str, u64),
) -> Result<(Session, Books, KeptPlate), Trouble> {
    must_work(site, visitor, code)?;
    let (session, books) = looked(site).await?;
    let kept = match books.plate(plate) {
        Some(kept) if goes_to(&session, kept, code) => kept.clone(),
        _ => plate_at(site, &session, &books, (code, plate)).await?,
    };
    Ok((session, books, kept))
}

fn for_bench(visitor: &Visitor, code: &str) -> (String, String) {
    let back = if visitor.coordinates() {
        "/boxes".to_owned()
    } else {
        format!("/run-sheets/{code}/boxes")
    };
    (format!("/run-sheets/{code}/box"), back)
}

/// `GET /run-sheets/{code}/box?plate=N`.
pub(crate) async fn bench_form(
    State(site): State<Site>,
    visitor: Visitor,
    Path(code): Path<String>,
    Query(with): Query<With>,
) -> Result<Response, Trouble> {
    let (session, books, kept) = here(&site, &visitor, (&code, with.plate)).await?;
    let ways = for_bench(&visitor, &code);
    let made = form(&site, (&session, &books), &visitor, &kept, ways)?;
    Ok(page(&made))
}

/// `POST /run-sheets/{code}/box`.
pub(crate) async fn by_bench(
    State(site): State<Site>,
    visitor: Visitor,
    Path(code): Path<String>,
    Form(said): Form<BoxForm>,
) -> Result<Response, Trouble> {
    let (session, books, kept) = here(&site, &visitor, (&code, said.plate)).await?;
    must_have_key(&site, &said.key)?;
    let (action, back) = for_bench(&visitor, &code);
    let Some(why) = Doubt::parse(&said.reason) else {
        let ways = (action, back);
        let made = form(&site, (&session, &books), &visitor, &kept, ways)?;
        return Ok(again(made));
    };
    let (what, key) = (Act::Doubt(why), Some(said.key.as_str()));
    let done = act(&session, &visitor.actor(), said.plate, &what, key).await;
    done.map_err(|error| failed(&site, &error))?;
    Ok(Redirect::to(&back).into_response())
}

/// The boxes of a request that wait for a decision.
pub(crate) fn box_asks(session: &Session, books: &Books, listed: &ListedRequest) -> Vec<BoxAsk> {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let promised = books.pledge_of(listed.request.id);
    let open = promised.is_some_and(|promised| promised.end.is_none());
    let doubts = books.plates_of(listed.request.id);
    let doubts = doubts.filter_map(|kept| open_doubt(books, kept));
    let ask = |doubt: partpledge_workshop::doubts::OpenDoubt| {
        let at = Minute::at_or_before(doubt.at);
        BoxAsk {
            plate: doubt.share,
            said: doubt.entry,
            says: say!(
                "bench-box-said-at",
                why = doubt.why.says(),
                day = words::day(zone, at, now),
                time = zone.clock(at),
            ),
            then: if open {
                say!("bench-box-then-open")
            } else {
                say!("bench-box-then-ended")
            },
            key: key(),
        }
    };
    doubts.map(ask).collect()
}

/// `POST /review/{number}/box`.
pub(crate) async fn decide(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
    Form(form): Form<BoxForm>,
) -> Result<Response, Trouble> {
    must_have_key(&site, &form.key)?;
    let (session, books) = looked(&site).await?;
    let listed = found(&site, &books, &visitor, &number)?;
    its_box(&site, &books, listed, form.plate)?;
    let number = listed.request.number;
    let ruling = Ruling::parse(&form.decide);
    let ruling = ruling.ok_or_else(|| {
        let (title, what_to_do) = (say!("bench-box-undecided"), say!("bench-box-undecided-do"));
        let status = StatusCode::UNPROCESSABLE_ENTITY;
        trouble(&site, status, &title, &what_to_do)
    })?;
    let done = site.heavy(async move {
        let how = (form.said, ruling);
        decide_box(&session, &visitor.actor(), form.plate, how, Some(&form.key)).await
    });
    done.await.map_err(|error| failed(&site, &error))?;
    Ok(Redirect::to(&format!("/review/{number}")).into_response())
}
