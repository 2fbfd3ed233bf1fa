//! The programme interface under `/api/v1`: the same use cases as the pages, for programs.
//!
//! One table has every address with what it takes and gives; the router, the OpenAPI document and
//! the tests are made from it. Who may ask for what stands in the workshop's table of rights, as
//! for the pages.

mod asking;
mod boxes;
mod call;
mod closures;
mod data;
mod doubts;
mod guard;
mod host;
mod hub;
mod machines;
mod measured;
mod notices;
mod openapi;
mod otherwise;
mod out;
mod places;
mod problem;
mod recalls;
mod region;
mod season_days;
mod so_far;
mod spares;
mod table;
mod team;

use std::sync::Arc;

use axum::Extension;
use axum::Router;
use axum::extract::{DefaultBodyLimit, RawPathParams, Request, State};
use axum::middleware;
use axum::response::{IntoResponse, Response};
use axum::routing::{MethodFilter, on};
use partpledge_workshop::people::tokens::Bearer;

use crate::site::Site;
use call::Call;
use table::{ROUTES, Route};

pub(crate) use guard::{is_api, problems};
pub(crate) use openapi::page;

/// Where all of it lies.
pub(crate) const BASE: &str = "/api/v1";

/// Every address of the table, behind its guard.
pub(crate) fn all(site: &Site) -> Router<Site> {
    let guarded = middleware::from_fn_with_state(site.clone(), guard::rights);
    let mut router = Router::new();
    for route in ROUTES {
        let method = match route.method {
            "GET" => MethodFilter::GET,
            _ => MethodFilter::POST,
        };
        let asked = move |site, bearer, path, request| answer(route, site, bearer, path, request);
        let taken = on(method, asked).layer(DefaultBodyLimit::disable());
        router = router.route(route.path, taken);
    }
    router
        .route_layer(guarded)
        .route(openapi::PATH, axum::routing::get(openapi::document))
}

async fn answer(
    route: &'static Route,
    State(site): State<Site>,
    Extension(bearer): Extension<Arc<Bearer>>,
    path: RawPathParams,
    request: Request,
) -> Response {
    let path = path.iter();
    let path = path.map(|(name, value)| (name.to_owned(), value.to_owned()));
    let call = Call::new(site, bearer, path.collect(), request);
    let answered = match call.asks_only(route.query.names()) {
        Ok(()) => (route.answer)(call).await,
        Err(problem) => Err(problem),
    };
    answered.unwrap_or_else(IntoResponse::into_response)
}

/// What the interface answers to: method and address.
#[cfg(test)]
pub(crate) fn addresses() -> Vec<(&'static str, &'static str)> {
    let own = ROUTES.iter().map(|route| (route.method, route.path));
    own.chain([("GET", openapi::PATH)]).collect()
}
