//! All open promises by risk, and the search among them.

use axum::extract::{Query, State};
use axum::response::Response;
use serde::Deserialize;

use super::{Trouble, failed, looked, page};
use crate::pages::promises::PromisesPage;
use crate::site::Site;
use crate::who::{Head, Visitor};

/// A search.
#[derive(Deserialize)]
pub(crate) struct Searched {
    #[serde(default)]
    q: String,
}

/// Longest search, in characters.
const LONGEST: usize = 80;

/// `GET /promises?q=hub`.
pub(crate) async fn list(
    State(site): State<Site>,
    visitor: Visitor,
    Query(searched): Query<Searched>,
) -> Result<Response, Trouble> {
    let (session, books) = looked(&site).await?;
    let forecasts = site.clone();
    let search: String = searched.q.chars().take(LONGEST).collect();
    let made = site.heavy(async move {
        let head = Head::new(&session, &visitor, "/promises").live(books.entry);
        let outcomes = forecasts.forecasts(&session, &books);
        Ok(PromisesPage::new(
            head,
            (&session, &books),
            &outcomes,
            &search,
        ))
    });
    let made = made.await.map_err(|error| failed(&site, &error))?;
    Ok(page(&made))
}
