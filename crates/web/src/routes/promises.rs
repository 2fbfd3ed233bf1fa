//! All open promises by risk, and the search over everything.

use axum::extract::{Query, State};
use axum::response::Response;
use serde::Deserialize;

use super::{Trouble, failed, looked, page};
use crate::pages::found::FoundPage;
use crate::pages::promises::PromisesPage;
use crate::site::Site;
use crate::who::{Head, Visitor};

/// A search.
#[derive(Deserialize)]
pub(crate) struct Searched {
    #[serde(default)]
    q: String,
    /// Which fifty of what was found; what is no number is the first.
    #[serde(default)]
    page: String,
}

/// Longest search, in characters.
const LONGEST: usize = 80;

/// `GET /promises?q=hub&page=2`.
pub(crate) async fn list(
    State(site): State<Site>,
    visitor: Visitor,
    Query(searched): Query<Searched>,
) -> Result<Response, Trouble> {
    let (session, books) = looked(&site).await?;
    let forecasts = site.clone();
    let search: String = searched.q.trim().chars().take(LONGEST).collect();
    let which = searched.page.parse().unwrap_or(1);
    let made = site.heavy(async move {
        let head = Head::new(&session, &visitor, "/promises").live(books.entry);
        let outcomes = forecasts.forecasts(&session, &books);
        let world = (&session, &books);
        Ok(if search.is_empty() {
            page(&PromisesPage::new(head, world, &outcomes))
        } else {
            let asked = (search.as_str(), which);
            page(&FoundPage::new(head, world, &outcomes, asked))
        })
    });
    made.await.map_err(|error| failed(&site, &error))
}
