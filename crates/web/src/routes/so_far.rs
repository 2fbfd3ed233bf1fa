//! The season so far, for whoever wants to know: sums, no person's name; and the same as a table.

use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use partpledge_workshop::Session;
use partpledge_workshop::so_far::{SoFar, so_far, table};

use super::{Trouble, failed, looked, page};
use crate::pages::so_far::SoFarPage;
use crate::site::Site;
use crate::who::{Head, Visitor};

/// The region as it is, and its season so far.
async fn made(site: &Site, visitor: &Visitor) -> Result<(Session, SoFar), Trouble> {
    let (session, books) = looked(site).await?;
    let made = so_far(&session, &visitor.actor(), &books).await;
    let made = made.map_err(|error| failed(site, &error))?;
    Ok((session, made))
}

/// `GET /season`.
pub(crate) async fn season(
    State(site): State<Site>,
    visitor: Visitor,
) -> Result<Response, Trouble> {
    let (session, made) = made(&site, &visitor).await?;
    let head = Head::new(&session, &visitor, "/season");
    Ok(page(&SoFarPage::new(head, &session, &made)))
}

/// `GET /season.csv`.
pub(crate) async fn season_csv(
    State(site): State<Site>,
    visitor: Visitor,
) -> Result<Response, Trouble> {
    let (session, made) = made(&site, &visitor).await?;
    let headers = [
        (
            header::CONTENT_TYPE,
            "text/csv; charset=utf-8; header=present",
        ),
        (
            header::CONTENT_DISPOSITION,
            "attachment; filename=\"season.csv\"",
        ),
        (header::CACHE_CONTROL, "no-store"),
    ];
    Ok((headers, table(&session, &made)).into_response())
}
