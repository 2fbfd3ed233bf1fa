//! The server: routes, headers, and the session behind them.

use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::{Path, Request, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::middleware::{self, Next};
use axum::response::{Html, IntoResponse, Response};
use axum::routing::get;
use partpledge_records::stored::PledgeDocument;
use partpledge_records::{Pledge, StoreError};
use partpledge_units::time::{Clock, Minute};
use partpledge_workshop::{Session, WorkshopError};
use tokio::net::TcpListener;

use crate::assets;
use crate::pages::{Head, PledgePage, PledgesPage, TroublePage};

/// Why the server could not start or go on.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// The session has no store to show.
    #[error("there is no data directory to serve")]
    NoStore,
    /// The port is taken or not allowed.
    #[error("port {port} on this machine can't be used: {source}")]
    Port {
        /// The port asked for.
        port: u16,
        /// Why.
        source: std::io::Error,
    },
    /// The server broke off.
    #[error("the server stopped: {0}")]
    Broken(#[from] std::io::Error),
}

/// What the pages need.
#[derive(Clone)]
pub struct Site {
    session: Arc<Session>,
    clock: Arc<dyn Clock>,
}

impl Site {
    /// A site over a session with a store.
    ///
    /// # Errors
    /// [`ServeError::NoStore`].
    pub fn new(session: Session, clock: Arc<dyn Clock>) -> Result<Self, ServeError> {
        session.store().ok_or(ServeError::NoStore)?;
        Ok(Self {
            session: Arc::new(session),
            clock,
        })
    }

    fn head(&self) -> Head {
        let file = &self.session.terrain.file;
        Head {
            region: file.name.clone(),
            league: file.league.clone(),
        }
    }

    async fn pledges(&self) -> Result<Vec<(Pledge, PledgeDocument)>, Trouble> {
        let Some((store, region)) = self.session.store() else {
            return Ok(Vec::new());
        };
        let list = store
            .pledges(region)
            .await
            .map_err(|error| self.trouble(error))?;
        list.into_iter()
            .map(|pledge| {
                let document = PledgeDocument::from_text(&pledge.document);
                document
                    .map(|document| (pledge, document))
                    .map_err(|error| self.trouble(error))
            })
            .collect()
    }

    fn trouble(&self, error: StoreError) -> Trouble {
        let what_to_do = WorkshopError::from(error).what_to_do();
        let title = "We can't show that just now.".to_owned();
        let page = TroublePage {
            head: self.head(),
            title,
            what_to_do,
        };
        Trouble(StatusCode::INTERNAL_SERVER_ERROR, page)
    }
}

/// A page that says what went wrong, with its status.
struct Trouble(StatusCode, TroublePage);

impl IntoResponse for Trouble {
    fn into_response(self) -> Response {
        (self.0, page(&self.1)).into_response()
    }
}

/// A rendered page. Our templates only fail on a formatter that fails, which memory does not.
fn page(template: &impl Template) -> Html<String> {
    Html(template.render().unwrap_or_default())
}

/// All routes.
pub fn router(site: Site) -> Router {
    Router::new()
        .route("/", get(list))
        .route("/pledges/{number}", get(one))
        .route("/tokens.css", get(async || assets::TOKENS))
        .route("/paper.css", get(async || assets::PAPER))
        .route("/partpledge.svg", get(async || assets::SIGN))
        .fallback(missing)
        .layer(middleware::from_fn(headers))
        .with_state(site)
}

/// A socket on loopback; no other machine can reach it.
///
/// # Errors
/// [`ServeError::Port`].
pub async fn bind(port: u16) -> Result<TcpListener, ServeError> {
    let bound = TcpListener::bind(("127.0.0.1", port)).await;
    bound.map_err(|source| ServeError::Port { port, source })
}

/// Serves until `stop` comes.
///
/// # Errors
/// [`ServeError::Broken`].
pub async fn serve(
    listener: TcpListener,
    site: Site,
    stop: impl Future<Output = ()> + Send + 'static,
) -> Result<(), ServeError> {
    Ok(axum::serve(listener, router(site))
        .with_graceful_shutdown(stop)
        .await?)
}

async fn headers(request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    let set = [
        (
            header::CONTENT_SECURITY_POLICY,
            "default-src 'self'; frame-ancestors 'none'; base-uri 'none'",
        ),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
    ];
    for (name, value) in set {
        response
            .headers_mut()
            .insert(name, HeaderValue::from_static(value));
    }
    response
}

async fn list(State(site): State<Site>) -> Result<Html<String>, Trouble> {
    let pledges = site.pledges().await?;
    let now = Minute::at_or_after(site.clock.now());
    Ok(page(&PledgesPage::new(
        site.head(),
        &site.session.terrain.zone,
        &pledges,
        now,
    )))
}

async fn one(
    State(site): State<Site>,
    Path(number): Path<String>,
) -> Result<Html<String>, Trouble> {
    let pledges = site.pledges().await?;
    let wanted = number.parse::<i64>().ok();
    match pledges
        .iter()
        .find(|(pledge, _)| Some(pledge.plan_revision) == wanted)
    {
        Some((pledge, document)) => Ok(page(&PledgePage::new(
            site.head(),
            &site.session.terrain.zone,
            pledge,
            document,
        ))),
        None => Err(not_here(&site, "There is no pledge with that number.")),
    }
}

async fn missing(State(site): State<Site>) -> Trouble {
    not_here(&site, "There is no such page.")
}

fn not_here(site: &Site, title: &str) -> Trouble {
    let what_to_do = "Go back to the list of pledges.".to_owned();
    Trouble(
        StatusCode::NOT_FOUND,
        TroublePage {
            head: site.head(),
            title: title.to_owned(),
            what_to_do,
        },
    )
}
