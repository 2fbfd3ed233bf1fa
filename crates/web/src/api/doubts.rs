//! Boxes that are lost or have the wrong parts in them: said by a team, decided by the coordinator.

use axum::http::StatusCode;
use partpledge_units::time::Minute;
use partpledge_workshop::bench::{decide_box, doubt_box};
use partpledge_workshop::doubts::{Doubt, Ruling, open_doubts};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::call::{Answer, Call, done, fresh};
use super::out::{DoneOut, at};
use super::problem::Problem;
use super::team::own;

/// What may be wrong with a box.
pub(crate) fn doubt(why: &str) -> Result<Doubt, Problem> {
    let bad = || Problem::bad("why", "box-gone, box-never-came or wrong-parts");
    Doubt::parse(why).ok_or_else(bad)
}

/// What a team says of a box.
#[derive(Deserialize, ToSchema)]
#[schema(as = BoxDoubt)]
#[serde(deny_unknown_fields)]
pub(crate) struct DoubtIn {
    /// The box, by the number of the share that is in it.
    share: u64,
    /// `box-gone` or `box-never-came` while nobody has it; `wrong-parts` for 7 days after it was
    /// handed over.
    why: String,
}

/// `POST /api/v1/parts/{number}/box`.
pub(crate) async fn say(call: Call) -> Answer {
    let (key, actor) = (call.key()?, call.actor());
    let (session, _, listed) = own(&call).await?;
    let said: DoubtIn = call.json().await?;
    let (which, why) = ((listed.request.id, said.share), doubt(&said.why)?);
    let did = doubt_box(&session, &actor, which, why, Some(&key)).await?;
    Ok(done(StatusCode::OK, &DoneOut::from(did)))
}

/// A box that waits for a decision.
#[derive(Serialize, ToSchema)]
#[schema(as = DoubtedBox)]
struct DoubtOut {
    /// The box, by the number of the share that is in it.
    share: u64,
    /// Number of the request.
    number: i64,
    team: String,
    /// `box-gone`, `box-never-came` or `wrong-parts`.
    why: &'static str,
    /// The entry of the log by which it was said; a decision names it.
    said: i64,
    #[schema(format = DateTime)]
    at: String,
}

/// Boxes that wait for a decision, the first said first.
#[derive(Serialize, ToSchema)]
#[schema(as = DoubtedBoxes)]
pub(crate) struct DoubtsOut {
    schema: u32,
    items: Vec<DoubtOut>,
}

/// `GET /api/v1/region/boxes`.
pub(crate) async fn list(call: Call) -> Answer {
    let (session, books) = call.looked().await?;
    let zone = &session.terrain.zone;
    let items = open_doubts(&books).into_iter().filter_map(|doubt| {
        let listed = books.request(doubt.request)?;
        Some(DoubtOut {
            share: doubt.share,
            number: listed.request.number,
            team: listed.request.team.clone(),
            why: doubt.why.code(),
            said: doubt.entry,
            at: at(zone, Minute::at_or_before(doubt.at)),
        })
    });
    let out = DoubtsOut {
        schema: 1,
        items: items.collect(),
    };
    Ok(fresh(call.headers(), &out))
}

/// A decision about a box.
#[derive(Deserialize, ToSchema)]
#[schema(as = BoxRuling)]
#[serde(deny_unknown_fields)]
pub(crate) struct RulingIn {
    /// The box, by the number of the share that is in it.
    share: u64,
    /// The entry by which it was said, as `GET /region/boxes` gave it.
    said: i64,
    /// `again` or `right`.
    decide: String,
}

/// `POST /api/v1/region/boxes`.
pub(crate) async fn decide(call: Call) -> Answer {
    let (key, actor) = (call.key()?, call.actor());
    let (session, books) = call.looked().await?;
    let site = call.site.clone();
    let told: RulingIn = call.json().await?;
    let bad = || Problem::bad("decide", "again or right");
    let ruling = Ruling::parse(&told.decide).ok_or_else(bad)?;
    books.plate(told.share).ok_or_else(Problem::not_there)?;
    let work = async move {
        let how = (told.said, ruling);
        decide_box(&session, &actor, told.share, how, Some(&key)).await
    };
    let did = site.heavy(Box::pin(work)).await?;
    Ok(done(StatusCode::OK, &DoneOut::from(did)))
}
