//! A team looks at other ways to have its part sooner, and takes one.

use axum::extract::{Form, Path, State};
use axum::http::StatusCode;
use axum::response::{Redirect, Response};
use partpledge_records::stored::Change;
use partpledge_units::time::Minute;
use partpledge_words::say;
use partpledge_workshop::sending::{choices, choose};
use serde::Deserialize;

use super::parts::{Once, found, not_its_team, own};
use super::{Trouble, failed, key, looked, page, trouble};
use crate::pages::otherwise::OtherwisePage;
use crate::site::Site;
use crate::who::{Head, Visitor};

/// `GET /parts/{number}/otherwise`: what could be chosen now.
pub(crate) async fn look(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
) -> Result<Response, Trouble> {
    let (session, books) = looked(&site).await?;
    let listed = found(&site, &books, &visitor, &number)?.clone();
    if visitor.team().is_none() {
        return Err(not_its_team(&site, &say!("part-open-as-team")));
    }
    let made = site.heavy(Box::pin(async move {
        let found = choices(&session, &visitor.actor(), &listed).await?;
        let head = Head::new(&session, &visitor, "/parts");
        Ok(OtherwisePage::new(head, &session, &listed, &found, &key()))
    }));
    let made = made.await.map_err(|error| failed(&site, &error))?;
    Ok(page(&made))
}

/// What was chosen, with what was shown for it.
#[derive(Deserialize)]
pub(crate) struct Picked {
    #[serde(default)]
    kind: String,
    #[serde(default)]
    value: String,
    /// Minute of UTC by which it was to come.
    #[serde(default)]
    by: i64,
    #[serde(default)]
    key: String,
}

/// The change that a kind and a value name.
pub(crate) fn change(kind: &str, value: &str, by: Minute) -> Option<Change> {
    match kind {
        "material" => Some(Change::Material(value.to_owned())),
        "fetch" => Some(Change::Fetch(value.to_owned())),
        "fewer-first" => Some(Change::FewerFirst {
            first: value.parse().ok()?,
            by_min: by.0,
        }),
        _ => None,
    }
}

/// `POST /parts/{number}/otherwise`: takes one.
pub(crate) async fn take(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
    Form(picked): Form<Picked>,
) -> Result<Redirect, Trouble> {
    let once = Once { key: picked.key };
    let (session, _, listed) = own(&site, &visitor, &number, &once).await?;
    let by = Minute(picked.by);
    let Some(change) = change(&picked.kind, &picked.value, by) else {
        let what_to_do = say!("part-choose-a-way");
        let title = say!("part-unknown-way");
        let status = StatusCode::UNPROCESSABLE_ENTITY;
        return Err(trouble(&site, status, &title, &what_to_do));
    };
    let _turn = site.turn_to_send(visitor.actor().person()).await;
    let done = site.heavy(Box::pin(async move {
        let actor = visitor.actor();
        Box::pin(choose(&session, &actor, &listed, (&change, by))).await
    }));
    let chosen = done.await.map_err(|error| failed(&site, &error))?;
    Ok(Redirect::to(&format!("/parts/{}", chosen.number)))
}
