//! Spares at a meeting: what could be had, and asked for.

use axum::http::StatusCode;
use partpledge_records::stored::Change;
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::Minute;
use partpledge_workshop::sending::spares::{Spare, SpareOffer, ask_for, offers};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::call::{Answer, Call, done};
use super::out::at;
use super::problem::Problem;
use super::team::{own, shown_as};

/// Spares that could be had.
#[derive(Serialize, ToSchema)]
#[schema(as = SpareOffer)]
struct OfferOut {
    /// Code of the school where the bench is.
    at: String,
    /// The meeting.
    meeting: String,
    /// Code of the plastic.
    material: String,
    /// When they would be handed over.
    #[schema(format = DateTime)]
    arrival: String,
    /// Chance of that.
    #[schema(minimum = 0, maximum = 1)]
    probability: f64,
}

/// What could be had of one copy of each part, at every bench that prints spares today.
#[derive(Serialize, ToSchema)]
#[schema(as = SpareOffers)]
pub(crate) struct OffersOut {
    schema: u32,
    items: Vec<OfferOut>,
}

/// `GET /api/v1/parts/{number}/spare`.
pub(crate) async fn look(call: Call) -> Answer {
    let (session, books, listed) = own(&call).await?;
    if books.taken_down(&listed.request) {
        return Err(Problem::not_there());
    }
    let (zone, actor) = (session.terrain.zone.clone(), call.actor());
    let own = listed.request.material.clone();
    let work = async move { offers(&session, &actor, &listed, 1).await };
    let found = call.site.heavy(Box::pin(work)).await?;
    let one = |offer: &SpareOffer, material: &str, arrival, probability| OfferOut {
        at: offer.bench.school.clone(),
        meeting: offer.bench.meeting.clone(),
        material: material.to_owned(),
        arrival: at(&zone, Minute(arrival)),
        probability,
    };
    let mut items = Vec::new();
    for offer in &found {
        if let Ok(document) = &offer.own {
            let (arrival, chance) = (document.arrival_min, document.probability);
            items.push(one(offer, &own, arrival, chance));
        }
        for other in &offer.others {
            if let Some(Change::Material(code)) = &other.change {
                items.push(one(offer, code, other.arrival_min, other.probability));
            }
        }
    }
    Ok(done(StatusCode::OK, &OffersOut { schema: 1, items }))
}

/// Spares that are asked for.
#[derive(Deserialize, ToSchema)]
#[schema(as = SpareAsked)]
#[serde(deny_unknown_fields)]
pub(crate) struct SpareIn {
    /// Code of the school where the bench is.
    at: String,
    /// Copies of each part of the file.
    #[schema(minimum = 1)]
    copies: u32,
    /// Another plastic than the part's own, as it was offered.
    material: Option<String>,
    /// Nothing is promised that would come later.
    #[schema(format = DateTime)]
    by: String,
}

/// `POST /api/v1/parts/{number}/spare`: the spare, a part of its own.
pub(crate) async fn take(call: Call) -> Answer {
    let key = call.key()?;
    let actor = call.actor();
    let (session, books, listed) = own(&call).await?;
    if books.taken_down(&listed.request) {
        return Err(Problem::not_there());
    }
    let site = call.site.clone();
    let said: SpareIn = call.json().await?;
    let by = parse_rfc3339(&said.by).ok().map(Minute::at_or_after);
    let by = by.ok_or_else(|| Problem::bad("by", "a time like 2027-03-13T12:00:00+01:00"))?;
    let _turn = site.turn_to_send(actor.person()).await;
    let who = actor.clone();
    let work = async move {
        let spare = Spare {
            at: &said.at,
            copies: said.copies,
            material: said.material.as_deref(),
            no_later: by,
        };
        ask_for(&session, &actor, &listed, (&spare, &key)).await
    };
    let made = site.heavy(Box::pin(work)).await?;
    shown_as(&site, &who, made).await
}
