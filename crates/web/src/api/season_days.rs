//! The season's days, for programs.

use partpledge_workshop::season_days::Kind;
use serde::Serialize;
use utoipa::ToSchema;

use super::call::{Answer, Call, fresh};
use super::out::at;
use crate::routes::season_shown;

/// Something in the season.
#[derive(Serialize, ToSchema)]
#[schema(as = SeasonItem)]
struct ItemOut {
    /// `closed`, `meeting`, `round`, `relay` or `season-ends`.
    kind: &'static str,
    /// What it is called, or why it is closed.
    what: String,
    /// Codes of the schools; none for all.
    schools: Vec<String>,
    #[schema(format = DateTime)]
    from: String,
    #[schema(format = DateTime)]
    until: String,
}

/// From this week to the season's end, by beginning.
#[derive(Serialize, ToSchema)]
#[schema(as = Season)]
pub(crate) struct SeasonOut {
    schema: u32,
    items: Vec<ItemOut>,
}

/// `GET /api/v1/region/calendar`.
pub(crate) async fn season(call: Call) -> Answer {
    let session = call.site.session().await?;
    let (_, found) = season_shown(&session, &call.actor())?;
    let zone = &session.terrain.zone;
    let items = found.into_iter().map(|item| ItemOut {
        kind: match item.kind {
            Kind::Closed => "closed",
            Kind::Meeting => "meeting",
            Kind::Round => "round",
            Kind::Relay => "relay",
            Kind::SeasonEnds => "season-ends",
        },
        what: item.what,
        schools: item.schools,
        from: at(zone, item.from),
        until: at(zone, item.until),
    });
    let out = SeasonOut {
        schema: 1,
        items: items.collect(),
    };
    Ok(fresh(call.headers(), &out))
}
