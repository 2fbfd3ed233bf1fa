//! How evenly teams were served, for whoever wants to know: sums by team, no person's name.

use axum::extract::State;
use axum::response::Response;
use partpledge_workshop::shares::shares as season;

use super::{Trouble, failed, looked, page};
use crate::pages::shares::SharesPage;
use crate::site::Site;
use crate::who::{Head, Visitor};

/// `GET /shares`.
pub(crate) async fn shares(
    State(site): State<Site>,
    visitor: Visitor,
) -> Result<Response, Trouble> {
    let (session, books) = looked(&site).await?;
    let made = season(&session, &visitor.actor(), &books).await;
    let made = made.map_err(|error| failed(&site, &error))?;
    let head = Head::new(&session, &visitor, "/shares");
    Ok(page(&SharesPage::new(head, &made)))
}
