//! The season's days, for the coordinator.

use axum::extract::State;
use axum::response::Response;
use jiff::civil::{Date, Time};
use partpledge_units::time::Minute;
use partpledge_workshop::season_days::{Item, items, weeks};
use partpledge_workshop::{Actor, Session, WorkshopError};

use super::{Trouble, failed, page};
use crate::pages::season_days::SeasonDaysPage;
use crate::site::Site;
use crate::who::{Head, Visitor};

/// Mondays of the weeks that are shown, and all that is in them.
pub(crate) fn shown(
    session: &Session,
    actor: &Actor,
) -> Result<(Vec<Date>, Vec<Item>), WorkshopError> {
    let mondays = weeks(session)?;
    let midnight = |date: Date| session.terrain.zone.minute(date, Time::midnight());
    let now = session.minute();
    let from = mondays.first().map_or(now, |first| midnight(*first));
    let until = mondays.last().map_or(now, |last| {
        midnight(last.saturating_add(jiff::Span::new().days(7)))
    });
    let window: (Minute, Minute) = (from, until);
    let found = items(session, actor, window)?;
    Ok((mondays, found))
}

/// `GET /region/calendar`.
pub(crate) async fn season(
    State(site): State<Site>,
    visitor: Visitor,
) -> Result<Response, Trouble> {
    let session = site.session().await;
    let session = session.map_err(|error| failed(&site, &error))?;
    let found = shown(&session, &visitor.actor());
    let (mondays, items) = found.map_err(|error| failed(&site, &error))?;
    let head = Head::new(&session, &visitor, "/region");
    Ok(page(&SeasonDaysPage::new(head, &session, &mondays, &items)))
}
