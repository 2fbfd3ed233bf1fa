//! Short forms in which something is said: an appeal, a report, a plate declined, the same again.

use axum::extract::{Form, Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_records::KeptPlate;
use partpledge_words::say;
use partpledge_workshop::bench::{Act, act};
use partpledge_workshop::review::{Decline, deciding};
use partpledge_workshop::{Books, Session, sending};
use serde::Deserialize;

use super::bench::{must_work, plate_at};
use super::parts::{Once, found, own};
use super::review::too_long;
use super::{Trouble, failed, is_key, key, looked, page, sent_before, trouble};
use crate::pages::review::{SayPage, declines};
use crate::pages::send::Wrong;
use crate::site::Site;
use crate::who::{Head, Visitor};

/// What was said.
#[derive(Default, Deserialize)]
pub(crate) struct Said {
    #[serde(default)]
    number: String,
    #[serde(default)]
    plate: u64,
    #[serde(default)]
    reason: String,
    #[serde(default)]
    words: String,
    #[serde(default)]
    key: String,
}

fn wrong(field: &'static str, text: String) -> Wrong {
    Wrong { field, text }
}

/// A form of words with a key of ours.
fn must_be_ours(site: &Site, said: &Said) -> Result<(), Trouble> {
    must_have_key(site, &said.key)
}

/// Whether a form has a key of ours.
pub(crate) fn must_have_key(site: &Site, key: &str) -> Result<(), Trouble> {
    if is_key(key) {
        return Ok(());
    }
    let what_to_do = say!("send-not-ours-do");
    let title = say!("send-not-ours");
    Err(trouble(site, StatusCode::FORBIDDEN, &title, &what_to_do))
}

/// A form with nothing in it yet.
pub(crate) fn blank(session: &Session, visitor: &Visitor) -> SayPage {
    SayPage {
        head: Head::new(session, visitor, ""),
        title: String::new(),
        lead: String::new(),
        action: String::new(),
        hidden: Vec::new(),
        number: None,
        ask: String::new(),
        picks: Vec::new(),
        picked: String::new(),
        words_label: say!("send-say-words"),
        words: String::new(),
        button: say!("send-say-go"),
        back: String::new(),
        back_text: say!("common-back"),
        wrong: Vec::new(),
        key: key(),
    }
}

/// The page, with what was typed still in it, or refused with what is wrong.
fn shown(made: SayPage, said: Said, wrong: Vec<Wrong>) -> Response {
    let status = if wrong.is_empty() {
        StatusCode::OK
    } else {
        StatusCode::UNPROCESSABLE_ENTITY
    };
    let number = made.number.as_ref().map(|_| said.number);
    let made = SayPage {
        number,
        picked: said.reason,
        words: said.words,
        wrong,
        ..made
    };
    (status, page(&made)).into_response()
}

fn appeal_page(session: &Session, visitor: &Visitor, (number, part): (i64, &str)) -> SayPage {
    SayPage {
        title: say!("send-appeal-title", part = part),
        lead: say!("send-appeal-lead"),
        action: format!("/parts/{number}/appeal"),
        words_label: say!("send-appeal-words"),
        button: say!("send-appeal-go"),
        back: format!("/parts/{number}"),
        ..blank(session, visitor)
    }
}

fn no_appeal(site: &Site) -> Trouble {
    let title = say!("send-no-appeal");
    let what_to_do = say!("send-no-appeal-do");
    trouble(site, StatusCode::CONFLICT, &title, &what_to_do)
}

/// `GET /parts/{number}/appeal`.
pub(crate) async fn appeal_form(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
) -> Result<Response, Trouble> {
    let (session, books) = looked(&site).await?;
    let listed = found(&site, &books, &visitor, &number)?;
    if !books.may_appeal(listed.request.id) {
        return Err(no_appeal(&site));
    }
    let made = appeal_page(&session, &visitor, (listed.request.number, &listed.part));
    Ok(page(&made))
}

/// `POST /parts/{number}/appeal`.
pub(crate) async fn appeal(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
    Form(said): Form<Said>,
) -> Result<Response, Trouble> {
    let once = Once {
        key: said.key.clone(),
    };
    let (session, _, listed) = own(&site, &visitor, &number, &once).await?;
    let number = listed.request.number;
    let mut problems: Vec<Wrong> = too_long(&said.words, "words").into_iter().collect();
    if said.words.trim().is_empty() {
        problems.push(wrong("words", say!("send-appeal-no-words")));
    }
    if !problems.is_empty() {
        let made = appeal_page(&session, &visitor, (number, &listed.part));
        return Ok(shown(made, said, problems));
    }
    let words = (said.words.as_str(), said.key.as_str());
    let done = deciding::appeal(&session, &visitor.actor(), &listed, words).await;
    done.map_err(|error| failed(&site, &error))?;
    Ok(Redirect::to(&format!("/parts/{number}")).into_response())
}

/// `POST /parts/{number}/again`: the very same once more, from the file that is on record.
pub(crate) async fn again(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
    Form(once): Form<Once>,
) -> Result<Response, Trouble> {
    let (session, _, listed) = own(&site, &visitor, &number, &once).await?;
    let done = site.heavy(async move {
        sending::send_again(&session, &visitor.actor(), &listed, &once.key).await
    });
    let received = done.await.map_err(|error| failed(&site, &error))?;
    Ok(Redirect::to(&format!("/parts/{}", received.request.number)).into_response())
}

/// Which part is reported.
#[derive(Deserialize)]
pub(crate) struct Which {
    #[serde(default)]
    part: String,
}

/// What can be wrong with a part, as the form has it and in words.
fn reports() -> Vec<(&'static str, String)> {
    vec![
        ("mine", say!("send-report-mine")),
        ("not-here", say!("send-report-not-here")),
    ]
}

fn report_page(session: &Session, visitor: &Visitor) -> SayPage {
    SayPage {
        title: say!("send-report-title"),
        lead: say!("send-report-lead"),
        action: "/report".to_owned(),
        number: Some(String::new()),
        ask: say!("send-report-what"),
        picks: reports(),
        words_label: say!("send-report-words"),
        button: say!("send-report-go"),
        back: visitor.home().to_owned(),
        ..blank(session, visitor)
    }
}

/// `GET /report?part=N`.
pub(crate) async fn report_form(
    State(site): State<Site>,
    visitor: Visitor,
    Query(which): Query<Which>,
) -> Response {
    let made = report_page(site.base(), &visitor);
    let said = Said {
        number: which.part,
        ..Said::default()
    };
    shown(made, said, Vec::new())
}

/// `POST /report`. The answer is the same whether there is such a part or not.
pub(crate) async fn report(
    State(site): State<Site>,
    visitor: Visitor,
    Form(said): Form<Said>,
) -> Result<Response, Trouble> {
    must_be_ours(&site, &said)?;
    let session = site.session().await;
    let session = session.map_err(|error| failed(&site, &error))?;
    let mut problems: Vec<Wrong> = too_long(&said.words, "words").into_iter().collect();
    let number = said.number.trim().parse::<i64>().ok().filter(|n| *n > 0);
    if number.is_none() {
        problems.push(wrong("number", say!("send-report-no-number")));
    }
    if !reports().iter().any(|(code, _)| *code == said.reason) {
        problems.push(wrong("reason", say!("send-report-no-reason")));
    }
    let (Some(number), true) = (number, problems.is_empty()) else {
        return Ok(shown(report_page(&session, &visitor), said, problems));
    };
    let what = (
        said.reason == "mine",
        said.words.as_str(),
        said.key.as_str(),
    );
    let done = deciding::report(&session, &visitor.actor(), number, what).await;
    done.map_err(|error| failed(&site, &error))?;
    let title = say!("send-reported");
    let what_to_do = say!("send-reported-do");
    let told = trouble(&site, StatusCode::OK, &title, &what_to_do);
    Ok(told.seen_by(&site, &visitor).into_response())
}

fn decline_page(session: &Session, visitor: &Visitor, (code, plate): (&str, u64)) -> SayPage {
    SayPage {
        title: say!("send-decline-title", plate = plate),
        lead: say!("send-decline-lead"),
        action: format!("/run-sheets/{code}/decline"),
        hidden: vec![("plate", plate.to_string())],
        ask: say!("send-decline-why"),
        picks: declines(),
        words_label: say!("send-decline-words"),
        button: say!("send-decline-go"),
        back: format!("/run-sheets/{code}"),
        back_text: say!("send-decline-back"),
        ..blank(session, visitor)
    }
}

/// Which plate.
#[derive(Deserialize)]
pub(crate) struct With {
    plate: u64,
}

fn runs_already(site: &Site) -> Trouble {
    let title = say!("send-decline-too-late");
    let what_to_do = say!("send-decline-too-late-do");
    trouble(site, StatusCode::CONFLICT, &title, &what_to_do)
}

/// A plate of the bench that was not started.
async fn waiting(
    site: &Site,
    session: &Session,
    books: &Books,
    which: (&str, u64),
) -> Result<KeptPlate, Trouble> {
    let kept = plate_at(site, session, books, which).await?;
    if books.whole(&kept).is_none() || books.runs(&kept) {
        return Err(runs_already(site));
    }
    Ok(kept)
}

/// `GET /run-sheets/{code}/decline?plate=N`.
pub(crate) async fn decline_form(
    State(site): State<Site>,
    visitor: Visitor,
    Path(code): Path<String>,
    Query(with): Query<With>,
) -> Result<Response, Trouble> {
    must_work(&site, &visitor, &code)?;
    let (session, books) = looked(&site).await?;
    let kept = waiting(&site, &session, &books, (&code, with.plate)).await?;
    let made = decline_page(&session, &visitor, (&code, kept.on().0));
    Ok(page(&made))
}

/// `POST /run-sheets/{code}/decline`.
pub(crate) async fn decline(
    State(site): State<Site>,
    visitor: Visitor,
    Path(code): Path<String>,
    Form(said): Form<Said>,
) -> Result<Response, Trouble> {
    must_work(&site, &visitor, &code)?;
    must_be_ours(&site, &said)?;
    let (session, books) = looked(&site).await?;
    if sent_before(&site, &session, &said.key).await? {
        return Ok(Redirect::to(&format!("/run-sheets/{code}")).into_response());
    }
    let kept = waiting(&site, &session, &books, (&code, said.plate)).await?;
    let plate = kept.on().0;
    let mut problems: Vec<Wrong> = too_long(&said.words, "words").into_iter().collect();
    let why = Decline::parse(&said.reason);
    if why.is_none() {
        problems.push(wrong("reason", say!("send-decline-no-reason")));
    }
    let (Some(why), true) = (why, problems.is_empty()) else {
        let made = decline_page(&session, &visitor, (&code, plate));
        return Ok(shown(made, said, problems));
    };
    let what = Act::Decline {
        why,
        words: said.words,
    };
    let actor = visitor.actor();
    let key = said.key;
    let done =
        site.heavy(async move { act(&session, &actor, plate, &what, Some(key.as_str())).await });
    let done = done.await.map_err(|error| failed(&site, &error))?;
    if done.late.is_empty() {
        return Ok(Redirect::to(&format!("/run-sheets/{code}")).into_response());
    }
    let late: Vec<String> = done.late.iter().map(|seq| seq.0.to_string()).collect();
    let title = say!("send-declined-late");
    let what_to_do = say!("send-declined-late-do", plates = late.join(", "));
    let told = trouble(&site, StatusCode::OK, &title, &what_to_do);
    Ok(told.seen_by(&site, &visitor).into_response())
}
