//! A team says how large its part is: the same file judged again in the unit that makes it so, before
//! anything of it is made or when it has come out in the wrong one.

use axum::extract::{Form, Path, State};
use axum::http::StatusCode;
use axum::response::Redirect;
use partpledge_units::length::LengthUnit;
use partpledge_units::time::Minute;
use partpledge_workshop::Session;
use partpledge_workshop::sending::{OnRecord, Sent, send};
use partpledge_workshop::wrong_unit::made_again;
use serde::Deserialize;

use super::parts::{Once, own};
use super::{Trouble, failed, trouble};
use crate::site::Site;
use crate::who::Visitor;

/// The form under "Is this the right size?".
#[derive(Deserialize)]
pub(crate) struct Said {
    #[serde(default)]
    unit: String,
    #[serde(default)]
    key: String,
}

/// The number of the request that was made with the same form, which is pressed twice now and then.
async fn before(site: &Site, session: &Session, key: &str) -> Result<Option<i64>, Trouble> {
    let Some((store, region)) = session.store() else {
        return Ok(None);
    };
    let found = store.request_of_key(region, key).await;
    let found = found.map_err(|error| failed(site, &error.into()))?;
    Ok(found.map(|request| request.number))
}

/// `POST /parts/{number}/unit`: a new version of the part from the file that is on record, as long as
/// nothing was decided about it and nothing of it has been started.
pub(crate) async fn say(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
    Form(said): Form<Said>,
) -> Result<Redirect, Trouble> {
    let once = Once { key: said.key };
    let (session, books, listed) = own(&site, &visitor, &number, &once).await?;
    if let Some(before) = before(&site, &session, &once.key).await? {
        return Ok(Redirect::to(&format!("/parts/{before}")));
    }
    if !books.may_withdraw(listed.request.id) || books.taken_down(&listed.request) {
        let title = partpledge_words::say!("send-unit-too-late");
        let what_to_do = partpledge_words::say!("send-unit-too-late-do");
        return Err(trouble(&site, StatusCode::CONFLICT, &title, &what_to_do));
    }
    let unit = LengthUnit::ALL
        .into_iter()
        .find(|unit| unit.symbol() == said.unit);
    let Some(unit) = unit else {
        let what_to_do = partpledge_words::say!("send-unit-choose-do");
        let title = partpledge_words::say!("send-unit-unknown");
        return Err(trouble(
            &site,
            StatusCode::UNPROCESSABLE_ENTITY,
            &title,
            &what_to_do,
        ));
    };
    let done = site.heavy(async move {
        let record = OnRecord::open(&session, &books, &listed).await?;
        let sent = Sent {
            need_by: listed.request.need_by.map(Minute::at_or_after),
            unit: Some(unit),
            replaces: Some(&listed),
            ..record.sent(&once.key)
        };
        Box::pin(send(&session, &visitor.actor(), &sent)).await
    });
    let received = done.await.map_err(|error| failed(&site, &error))?;
    Ok(Redirect::to(&format!("/parts/{}", received.request.number)))
}

/// `POST /parts/{number}/wrong-unit`: it came out in the wrong unit; the same file is asked for in another.
pub(crate) async fn wrong(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
    Form(said): Form<Said>,
) -> Result<Redirect, Trouble> {
    let once = Once { key: said.key };
    let (session, _, listed) = own(&site, &visitor, &number, &once).await?;
    let mut all = LengthUnit::ALL.into_iter();
    let Some(unit) = all.find(|unit| unit.symbol() == said.unit) else {
        let what_to_do = partpledge_words::say!("send-unit-choose-do");
        let title = partpledge_words::say!("send-unit-choose");
        let status = StatusCode::UNPROCESSABLE_ENTITY;
        return Err(trouble(&site, status, &title, &what_to_do));
    };
    let done =
        site.heavy(async move { made_again(&session, &visitor.actor(), &listed, unit).await });
    let received = done.await.map_err(|error| failed(&site, &error))?;
    Ok(Redirect::to(&format!("/parts/{}", received.request.number)))
}
