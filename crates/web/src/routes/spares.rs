//! A team asks for spares of a part at a meeting.

use axum::extract::{Form, Path, Query, State};
use axum::http::StatusCode;
use axum::response::{Redirect, Response};
use partpledge_units::time::Minute;
use partpledge_words::say;
use partpledge_workshop::sending::spares::{Spare, ask_for, offers};
use serde::Deserialize;

use super::parts::{Once, found, not_its_team, own};
use super::{Trouble, failed, key, looked, page, trouble};
use crate::pages::spares::SparesPage;
use crate::site::Site;
use crate::who::{Head, Visitor};

/// How many are wanted.
#[derive(Deserialize)]
pub(crate) struct Wanted {
    copies: Option<String>,
}

/// `GET /parts/{number}/spare?copies=N`: what could be had at a meeting's bench now.
pub(crate) async fn look(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
    Query(wanted): Query<Wanted>,
) -> Result<Response, Trouble> {
    let (session, books) = looked(&site).await?;
    let listed = found(&site, &books, &visitor, &number)?.clone();
    if visitor.team().is_none() {
        return Err(not_its_team(&site, &say!("parts-open-as-team")));
    }
    let copies = wanted
        .copies
        .as_deref()
        .map_or(Ok(1), |text| text.trim().parse::<u32>());
    let Ok(copies) = copies else {
        let what_to_do = say!("spares-unread-do");
        let title = say!("spares-unread");
        return Err(trouble(
            &site,
            StatusCode::UNPROCESSABLE_ENTITY,
            &title,
            &what_to_do,
        ));
    };
    let made = site.heavy(Box::pin(async move {
        let found = offers(&session, &visitor.actor(), &listed, copies).await?;
        let head = Head::new(&session, &visitor, "/parts");
        Ok(SparesPage::new(
            head,
            &session,
            (&listed, copies),
            &found,
            &key(),
        ))
    }));
    let made = made.await.map_err(|error| failed(&site, &error))?;
    Ok(page(&made))
}

/// What was taken, with what was shown for it.
#[derive(Deserialize)]
pub(crate) struct Taken {
    #[serde(default)]
    at: String,
    #[serde(default)]
    copies: u32,
    /// Another plastic; empty for the part's own.
    #[serde(default)]
    material: String,
    /// Minute of UTC by which it was to come.
    #[serde(default)]
    by: i64,
    #[serde(default)]
    key: String,
}

/// `POST /parts/{number}/spare`: asks for them.
pub(crate) async fn take(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
    Form(taken): Form<Taken>,
) -> Result<Redirect, Trouble> {
    let once = Once { key: taken.key };
    let (session, _, listed) = own(&site, &visitor, &number, &once).await?;
    let _turn = site.turn_to_send(visitor.actor().person()).await;
    let done = site.heavy(Box::pin(async move {
        let spare = Spare {
            at: &taken.at,
            copies: taken.copies,
            material: Some(taken.material.as_str()).filter(|code| !code.is_empty()),
            no_later: Minute(taken.by),
        };
        ask_for(&session, &visitor.actor(), &listed, (&spare, &once.key)).await
    }));
    let made = done.await.map_err(|error| failed(&site, &error))?;
    Ok(Redirect::to(&format!("/parts/{made}")))
}
