//! Other ways to have a part sooner: looked at, and one of them taken.

use axum::http::StatusCode;
use partpledge_records::stored::Change;
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::Minute;
use partpledge_words::Tongue;
use partpledge_workshop::sending::{choices, choose};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::call::{Answer, Call, done};
use super::out::at;
use super::problem::Problem;
use super::team::{own, shown_as};
use crate::routes::otherwise::change;

/// A way that could be taken.
#[derive(Serialize, ToSchema)]
#[schema(as = OtherWay)]
struct OtherWayOut {
    /// `material`, `fewer-first` or `fetch`.
    kind: String,
    /// Code of the material, number of copies that come first, or code of the school.
    value: String,
    /// In words.
    what: String,
    /// When all of it would be handed over.
    #[schema(format = DateTime)]
    arrival: String,
    /// Chance of that.
    #[schema(minimum = 0, maximum = 1)]
    probability: f64,
    /// To be handed back when it is taken: what is given is not later than this.
    #[schema(format = DateTime)]
    by: String,
}

/// What a team could choose now.
#[derive(Serialize, ToSchema)]
#[schema(as = OtherWays)]
pub(crate) struct OtherWaysOut {
    schema: u32,
    /// Hand-over as things are, if anything is or can be promised.
    #[schema(format = DateTime)]
    arrival: Option<String>,
    items: Vec<OtherWayOut>,
}

/// `GET /api/v1/parts/{number}/otherwise`.
pub(crate) async fn look(call: Call) -> Answer {
    let (session, books, listed) = own(&call).await?;
    if books.taken_down(&listed.request) {
        return Err(Problem::not_there());
    }
    let (zone, actor) = (session.terrain.zone.clone(), call.actor());
    let work = async move { choices(&session, &actor, &listed).await };
    let found = call.site.heavy(Box::pin(work)).await?;
    let items = found.others.iter().filter_map(|other| {
        let (value, by) = match other.change.as_ref()? {
            Change::Material(code) | Change::Fetch(code) => (code.clone(), other.arrival_min),
            Change::FewerFirst { first, by_min } => (first.to_string(), *by_min),
        };
        Some(OtherWayOut {
            kind: other.kind.clone(),
            value,
            what: other.what.in_tongue(Tongue::English),
            arrival: at(&zone, Minute(other.arrival_min)),
            probability: other.probability,
            by: at(&zone, Minute(by)),
        })
    });
    let out = OtherWaysOut {
        schema: 1,
        arrival: found.arrival.map(|arrival| at(&zone, arrival)),
        items: items.collect(),
    };
    Ok(done(StatusCode::OK, &out))
}

/// A way that is taken, as it was shown.
#[derive(Deserialize, ToSchema)]
#[schema(as = TakenWay)]
#[serde(deny_unknown_fields)]
pub(crate) struct TakenIn {
    /// `material`, `fewer-first` or `fetch`.
    kind: String,
    /// Code of the material, number of copies that come first, or code of the school.
    value: String,
    /// `by` of the way; when it can't be had by then any more, nothing changes.
    #[schema(format = DateTime)]
    by: String,
}

/// `POST /api/v1/parts/{number}/otherwise`: the part that took the place of the one of the address.
pub(crate) async fn take(call: Call) -> Answer {
    // Asked for as for every deed; one change is made, whoever of the team chooses it.
    call.key()?;
    let actor = call.actor();
    let (session, books, listed) = own(&call).await?;
    if books.taken_down(&listed.request) {
        return Err(Problem::not_there());
    }
    let site = call.site.clone();
    let said: TakenIn = call.json().await?;
    let by = parse_rfc3339(&said.by).ok().map(Minute::at_or_after);
    let by = by.ok_or_else(|| Problem::bad("by", "a time like 2027-03-11T12:00:00+01:00"))?;
    let picked = change(&said.kind, &said.value, by);
    let picked = picked.ok_or_else(|| {
        Problem::bad(
            "kind",
            "material, fetch, or fewer-first with a number of copies",
        )
    })?;
    let _turn = site.turn_to_send(actor.person()).await;
    let who = actor.clone();
    let work = async move { Box::pin(choose(&session, &actor, &listed, (&picked, by))).await };
    let chosen = site.heavy(Box::pin(work)).await?;
    shown_as(&site, &who, chosen.number).await
}
