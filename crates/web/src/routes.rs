//! Which address leads to which page.

mod bench;
mod parts;
mod pictures;
mod plates;
mod programs;
mod promises;
mod region;
mod sending;
mod shares;
mod spools;
mod start;
mod units;
mod views;
mod what_if;

use askama::Template;
use axum::Router;
use axum::extract::{DefaultBodyLimit, Path, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{Html, IntoResponse, Response};
use axum::routing::{get, post};
use partpledge_workshop::{Books, Session, WorkshopError};
use uuid::Uuid;

use crate::assets;
use crate::live::live;
use crate::pages::plain::TroublePage;
use crate::site::Site;
use crate::who::{Head, Visitor};
use crate::words;

/// All of them.
pub(crate) fn all() -> Router<Site> {
    let sending = post(sending::send).layer(DefaultBodyLimit::disable());
    let program = post(programs::send).layer(DefaultBodyLimit::disable());
    Router::new()
        .route("/", get(start::home))
        .route("/start", get(start::start))
        .route("/look-as", post(start::look_as))
        .route("/how", get(start::how))
        .route("/parts", get(parts::list))
        .route("/parts/send", get(sending::form).merge(sending))
        .route("/parts/{number}", get(parts::one))
        .route("/parts/{number}/turn", get(views::turn))
        .route("/parts/{number}/layer", get(views::layer))
        .route("/parts/{number}/layer.svg", get(views::layer_svg))
        .route("/parts/{number}/take", post(parts::take))
        .route(
            "/parts/{number}/withdraw",
            get(parts::ask_withdraw).post(parts::withdraw),
        )
        .route("/parts/{number}/unit", post(units::say))
        .route("/parts/{number}/came", post(parts::came))
        .route("/parts/{number}/{file}", get(pictures::file))
        .route("/run-sheet", get(bench::own))
        .route("/run-sheets", get(bench::all))
        .route("/run-sheets/{code}", get(bench::sheet))
        .route("/run-sheets/{code}/do", post(bench::act))
        .route(
            "/run-sheets/{code}/trouble",
            get(bench::trouble_form).post(bench::trouble),
        )
        .route("/spools", get(spools::all))
        .route("/spools/{code}", get(spools::host))
        .route("/spools/{code}/do", post(spools::act))
        .route("/spool/{number}", get(spools::one))
        .route("/plates", get(plates::list))
        .route("/plates/{seq}", get(plates::sheet))
        .route("/plates/{seq}/program", program)
        .route("/plates/{seq}/{file}", get(plates::three_mf))
        .route("/promises", get(promises::list))
        .route("/region", get(region::region))
        .route("/region/if", get(what_if::what_if))
        .route("/region/move", post(region::take))
        .route("/shares", get(shares::shares))
        .route("/live", get(live))
        .route("/assets/{name}", get(asset))
        .fallback(missing)
}

/// A page that says what went wrong, with its status.
pub(crate) struct Trouble(StatusCode, Box<TroublePage>);

impl IntoResponse for Trouble {
    fn into_response(self) -> Response {
        (self.0, page(&*self.1)).into_response()
    }
}

/// A rendered page. Our templates only fail on a formatter that fails, which memory does not.
pub(crate) fn page(template: &impl Template) -> Response {
    let never_kept = [(header::CACHE_CONTROL, "no-store")];
    let html = Html(template.render().unwrap_or_default());
    (never_kept, html).into_response()
}

/// A page of trouble.
pub(crate) fn trouble(site: &Site, status: StatusCode, title: &str, what_to_do: &str) -> Trouble {
    let page = TroublePage {
        head: Head::new(site.base(), &Visitor::Nobody, ""),
        title: title.to_owned(),
        what_to_do: what_to_do.to_owned(),
        home: "/",
    };
    Trouble(status, Box::new(page))
}

/// What a person reads when a use case could not be carried out.
pub(crate) fn failed(site: &Site, error: &WorkshopError) -> Trouble {
    let (status, title) = match error {
        WorkshopError::Store(store) => match store.code() {
            "stale" | "step-taken" | "no-such-step" | "pledge-ended" | "key-reused" => (
                StatusCode::CONFLICT,
                "That has changed meanwhile.".to_owned(),
            ),
            "no-such" => (StatusCode::NOT_FOUND, "We can’t find that.".to_owned()),
            _ => (
                StatusCode::INTERNAL_SERVER_ERROR,
                "We can’t do that just now.".to_owned(),
            ),
        },
        WorkshopError::Contended(_) => (
            StatusCode::SERVICE_UNAVAILABLE,
            "We can’t do that just now.".to_owned(),
        ),
        WorkshopError::NotWaiting { .. } => (
            StatusCode::CONFLICT,
            words::capital(&error.to_string()) + ".",
        ),
        WorkshopError::TooEarly { .. } => (
            StatusCode::CONFLICT,
            "Something else comes first.".to_owned(),
        ),
        WorkshopError::BrokeOff => (
            StatusCode::INTERNAL_SERVER_ERROR,
            "We can’t do that just now.".to_owned(),
        ),
        WorkshopError::PlanRefused(_) => (
            StatusCode::INTERNAL_SERVER_ERROR,
            "We made a plan that breaks a rule, and did not keep it.".to_owned(),
        ),
        other => (StatusCode::UNPROCESSABLE_ENTITY, other.to_string()),
    };
    trouble(site, status, &title, &error.what_to_do())
}

/// The region now, with everything on record about it.
pub(crate) async fn looked(site: &Site) -> Result<(Session, Books), Trouble> {
    site.books().await.map_err(|error| failed(site, &error))
}

/// Nothing there.
pub(crate) fn not_here(site: &Site, title: &str) -> Trouble {
    let what_to_do = "It may have been typed wrongly, or it belongs to somebody else.";
    trouble(site, StatusCode::NOT_FOUND, title, what_to_do)
}

/// A key for a form: sent twice, it is done once.
pub(crate) fn key() -> String {
    Uuid::new_v4().simple().to_string()
}

/// Whether a key is one of ours: short, and nothing that could stand for more than itself.
pub(crate) fn is_key(text: &str) -> bool {
    (8..=64).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-')
}

async fn asset(State(site): State<Site>, Path(name): Path<String>, asked: HeaderMap) -> Response {
    assets::serve(&name, &asked)
        .unwrap_or_else(|| not_here(&site, "There is no such file.").into_response())
}

async fn missing(State(site): State<Site>) -> Trouble {
    not_here(&site, "There is no such page.")
}
