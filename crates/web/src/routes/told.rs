//! The coordinator's page of programs that are told what happens.

use axum::extract::{Form, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_records::HookTry;
use partpledge_workshop::hooks::{self, KINDS, Told};
use partpledge_workshop::{Session, WorkshopError};

use super::account::when;
use super::{Trouble, failed, page};
use crate::pages::entry::ShownPage;
use crate::pages::send::Wrong;
use crate::pages::told::{ToldPage, ToldRow};
use crate::site::Site;
use crate::who::{Head, Visitor};

async fn session_of(site: &Site) -> Result<Session, Trouble> {
    site.session().await.map_err(|error| failed(site, &error))
}

fn row(session: &Session, told: &Told) -> ToldRow {
    let words = |kind: &String| {
        let known = KINDS.iter().find(|(known, _)| known == kind);
        known.map(|(_, words)| *words)
    };
    let kinds: Vec<&str> = told.hook.kinds.iter().filter_map(words).collect();
    let tried = |tried: &HookTry| {
        let at = when(session, tried.at);
        format!(
            "{at}, entry {}, try {}: {}",
            tried.entry, tried.attempt, tried.answer
        )
    };
    ToldRow {
        id: told.hook.id.to_string(),
        address: told.hook.address.clone(),
        kinds: kinds.join("; "),
        tries: told.tries.iter().map(tried).collect(),
    }
}

async fn told_page(
    site: &Site,
    visitor: &Visitor,
    (typed, wrong): (String, Vec<Wrong>),
) -> Result<ToldPage, Trouble> {
    let session = session_of(site).await?;
    let all = hooks::told(&session, &visitor.actor()).await;
    let all = all.map_err(|error| failed(site, &error))?;
    Ok(ToldPage {
        head: Head::new(&session, visitor, ""),
        wrong,
        rows: all.iter().map(|told| row(&session, told)).collect(),
        kinds: KINDS.to_vec(),
        typed,
    })
}

/// `GET /told`.
pub(crate) async fn list(State(site): State<Site>, visitor: Visitor) -> Result<Response, Trouble> {
    let made = told_page(&site, &visitor, (String::new(), Vec::new())).await?;
    Ok(page(&made))
}

/// `POST /told`.
pub(crate) async fn register(
    State(site): State<Site>,
    visitor: Visitor,
    Form(fields): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    let of = |name: &'static str| {
        let named = fields.iter().filter(move |(known, _)| known == name);
        named.map(|(_, value)| value.trim())
    };
    let address = of("address").next().unwrap_or_default();
    let kinds: Vec<&str> = of("kind").collect();
    let session = session_of(&site).await?;
    let what = (address, kinds.as_slice());
    let made = hooks::register(&session, &visitor.actor(), what, site.reach()).await;
    let secret = match made {
        Ok((_, secret)) => secret,
        Err(error @ WorkshopError::OutOfRange { .. }) => {
            let (field, text) = ("address", format!("{error}."));
            let wrong = vec![Wrong {
                field,
                text: crate::words::capital(&text),
            }];
            let made = told_page(&site, &visitor, (address.to_owned(), wrong)).await?;
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&made)).into_response());
        }
        Err(error) => return Err(failed(&site, &error)),
    };
    Ok(page(&ShownPage {
        head: Head::unsaid(site.base()),
        title: "It is told from now on.".to_owned(),
        lead: "Give this secret to that program. We show it this once.".to_owned(),
        label: "The secret",
        value: secret,
        is_link: false,
        notes: vec!["With it the program knows that a message is ours.".to_owned()],
        next: "/told".to_owned(),
        next_text: "I have copied it",
    }))
}

/// `POST /told/{id}/stop`.
pub(crate) async fn stop(
    State(site): State<Site>,
    visitor: Visitor,
    Path(id): Path<String>,
) -> Result<Redirect, Trouble> {
    let session = session_of(&site).await?;
    let Ok(id) = id.parse() else {
        return Err(failed(&site, &WorkshopError::NotYours));
    };
    let done = hooks::stop(&session, &visitor.actor(), id).await;
    done.map_err(|error| failed(&site, &error))?;
    Ok(Redirect::to("/told"))
}
