//! Which address leads to which page.

mod account;
mod bench;
mod box_label;
pub(crate) mod boxes;
mod closures;
mod critical;
mod data;
mod doubts;
pub(crate) mod entry;
pub(crate) mod hub;
mod inspect;
mod links;
pub(crate) mod notices;
pub(crate) mod otherwise;
mod outbox;
pub(crate) mod parts;
mod passkeys;
mod people;
mod pictures;
mod plates;
mod printers;
mod programs;
mod promises;
mod queued;
mod recalls;
mod region;
pub(crate) mod review;
mod saying;
mod season_days;
mod sending;
mod shares;
mod so_far;
mod spares;
mod spools;
mod start;
mod team;
mod tokens;
mod told;
pub(crate) mod tongue;
mod units;
mod views;
mod what_if;

pub(crate) use data::csv;
pub(crate) use season_days::shown as season_shown;

use std::str::FromStr;

use askama::Template;
use axum::Router;
use axum::extract::{DefaultBodyLimit, Path, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::middleware;
use axum::response::{Html, IntoResponse, Response};
use axum::routing::{get, post};
use partpledge_words::say;
use partpledge_workshop::people::People;
use partpledge_workshop::{Books, Session, WorkshopError, whom};
use serde::Deserialize;
use uuid::Uuid;

use crate::api;
use crate::assets;
use crate::calendar::feed;
use crate::guard;
use crate::live::live;
use crate::pages::plain::TroublePage;
use crate::site::Site;
use crate::who::{Head, Visitor};
use crate::words;

/// Builds the router, and the list of its addresses, from the same lines: a test holds the list
/// against the table of rights, and the guard refuses what has no line there.
macro_rules! routes {
    ($($method:ident $path:literal => $handler:expr),+ $(,)?) => {
        /// All of them, behind the guard.
        pub(crate) fn all(site: &Site) -> Router<Site> {
            let guarded = middleware::from_fn_with_state(site.clone(), guard::rights);
            Router::new()
                $(.route($path, routes!(@$method $handler)))+
                .route_layer(guarded)
                .fallback(missing)
        }

        /// What [`all`] answers to: method and address.
        #[cfg(test)]
        const ADDRESSES: &[(&str, &str)] = &[$((routes!(@name $method), $path)),+];
    };
    (@get $handler:expr) => { get($handler) };
    (@post $handler:expr) => { post($handler) };
    // A form with files: their size is looked at while they are read.
    (@files $handler:expr) => { post($handler).layer(DefaultBodyLimit::disable()) };
    (@name get) => { "GET" };
    (@name post) => { "POST" };
    (@name files) => { "POST" };
}

routes![
    get "/" => start::home,
    get "/start" => start::start,
    get "/how" => start::how,
    get "/api" => api::page,
    get "/calendar/{file}" => feed,
    get "/assets/{name}" => asset,
    get "/worker.js" => worker,
    get "/sign-in" => entry::sign_in_form,
    post "/sign-in" => entry::sign_in,
    post "/sign-in/passkey/ask" => passkeys::ask_to_sign_in,
    post "/sign-in/passkey" => passkeys::sign_in,
    get "/join" => entry::join_form,
    post "/join" => entry::join,
    get "/come-back" => entry::come_back_form,
    post "/come-back" => entry::come_back,
    get "/invited/{token}" => links::invited_form,
    post "/invited/{token}" => links::invited,
    get "/new-password/{token}" => links::new_password_form,
    post "/new-password/{token}" => links::new_password,
    post "/try-as" => start::try_as,
    post "/tongue" => tongue::choose,
    post "/sign-out" => account::sign_out,
    post "/wear" => account::wear,
    get "/account" => account::account,
    post "/account/password" => account::password,
    post "/account/passkeys/ask" => passkeys::ask,
    post "/account/passkeys" => passkeys::add,
    post "/account/passkeys/{id}/remove" => passkeys::remove,
    post "/account/mail" => account::mail,
    post "/account/sign-ins/{id}/end" => account::end_sign_in,
    post "/account/tokens" => tokens::make,
    post "/account/tokens/{id}/stop" => tokens::stop,
    get "/account/export.json" => account::export,
    get "/account/leave" => account::ask_leave,
    post "/account/leave" => account::leave,
    get "/parts" => parts::list,
    get "/parts/send" => sending::form,
    files "/parts/send" => sending::send,
    get "/parts/{number}" => parts::one,
    get "/parts/{number}/turn" => views::turn,
    get "/parts/{number}/layer" => views::layer,
    get "/parts/{number}/layer.svg" => views::layer_svg,
    post "/parts/{number}/take" => parts::take,
    get "/parts/{number}/otherwise" => otherwise::look,
    post "/parts/{number}/otherwise" => otherwise::take,
    get "/parts/{number}/spare" => spares::look,
    post "/parts/{number}/spare" => spares::take,
    get "/parts/{number}/withdraw" => parts::ask_withdraw,
    post "/parts/{number}/withdraw" => parts::withdraw,
    post "/parts/{number}/unit" => units::say,
    post "/parts/{number}/came" => parts::came,
    get "/parts/{number}/appeal" => saying::appeal_form,
    post "/parts/{number}/appeal" => saying::appeal,
    post "/parts/{number}/again" => saying::again,
    post "/parts/{number}/recall" => recalls::answer,
    post "/parts/{number}/wrong-unit" => units::wrong,
    get "/parts/{number}/box" => doubts::team_form,
    post "/parts/{number}/box" => doubts::by_team,
    get "/parts/{number}/{file}" => pictures::file,
    get "/teams/{team}" => team::team,
    post "/teams/{team}/join-code" => team::join_code,
    post "/teams/{team}/codes/{id}/stop" => team::stop_code,
    post "/teams/{team}/invite" => team::invite,
    post "/teams/{team}/people/{id}/return-code" => team::return_code,
    get "/teams/{team}/people/{id}/remove" => team::ask_remove,
    post "/teams/{team}/people/{id}/remove" => team::remove,
    get "/teams/{team}/export.json" => team::export,
    get "/teams/{team}/erase" => team::ask_erase,
    post "/teams/{team}/erase" => team::erase,
    get "/run-sheet" => bench::own,
    get "/run-sheets" => bench::all,
    get "/run-sheets/{code}" => bench::sheet,
    post "/run-sheets/{code}/do" => bench::act,
    post "/run-sheets/{code}/undo" => bench::undo,
    post "/run-sheets/{code}/here" => hub::here,
    get "/run-sheets/{code}/boxes" => boxes::of_bench,
    get "/boxes" => boxes::all,
    get "/boxes/{seq}" => box_label::scanned,
    get "/run-sheets/{code}/box" => doubts::bench_form,
    post "/run-sheets/{code}/box" => doubts::by_bench,
    get "/run-sheets/{code}/inspect" => inspect::page_of,
    get "/run-sheets/{code}/trouble" => bench::trouble_form,
    post "/run-sheets/{code}/trouble" => bench::trouble,
    get "/run-sheets/{code}/printer" => printers::form,
    post "/run-sheets/{code}/printer" => printers::say_of,
    get "/hubs/{code}" => hub::show,
    post "/hubs/{code}/do" => hub::act,
    get "/hubs/{code}/cards/{job}" => hub::card,
    get "/hubs/{code}/figures" => hub::figures_of,
    get "/spools" => spools::all,
    get "/spools/{code}" => spools::host,
    post "/spools/{code}/do" => spools::act,
    get "/spool/{number}" => spools::one,
    get "/run-sheets/{code}/decline" => saying::decline_form,
    post "/run-sheets/{code}/decline" => saying::decline,
    get "/report" => saying::report_form,
    post "/report" => saying::report,
    get "/review" => review::list,
    get "/review/{number}" => review::one,
    post "/review/{number}/pass" => review::pass,
    post "/review/{number}/refuse" => review::refuse,
    post "/review/{number}/hold" => review::hold,
    post "/review/{number}/keep" => review::keep,
    post "/review/{number}/down" => review::down,
    post "/review/{number}/box" => doubts::decide,
    get "/plates" => plates::list,
    get "/plates/{seq}" => plates::sheet,
    files "/plates/{seq}/program" => programs::send,
    get "/plates/{seq}/{file}" => plates::three_mf,
    get "/promises" => promises::list,
    get "/recalls" => recalls::ask,
    post "/recalls" => recalls::open,
    get "/recalls/{entry}" => recalls::one,
    post "/recalls/{entry}/lift" => recalls::lift,
    get "/region" => region::region,
    get "/region/if" => what_if::what_if,
    post "/region/move" => region::take,
    get "/region/calendar" => season_days::season,
    get "/region/data" => data::list,
    files "/region/data" => data::check,
    files "/region/data/do" => data::done,
    get "/region/data/{file}" => data::file,
    get "/region/closed" => closures::ask,
    post "/region/closed" => closures::do_close,
    get "/region/closed/{entry}/lift" => closures::ask_lift,
    post "/region/closed/{entry}/lift" => closures::do_lift,
    get "/shares" => shares::shares,
    get "/season" => so_far::season,
    get "/season.csv" => so_far::season_csv,
    get "/people" => people::people,
    get "/told" => told::list,
    post "/told" => told::register,
    post "/told/{id}/stop" => told::stop,
    post "/people/invite" => people::invite,
    post "/people/stand-in" => people::stand_in,
    post "/people/codes/{id}/stop" => people::stop_code,
    post "/people/{id}/reset" => people::reset,
    post "/people/{id}/end-role" => people::end_role,
    get "/people/{id}/export.json" => people::export,
    get "/people/{id}/erase" => people::ask_erase,
    post "/people/{id}/erase" => people::erase,
    get "/notices" => notices::list,
    post "/notices/seen" => notices::seen,
    get "/outbox" => outbox::list,
    post "/outbox/{id}/again" => outbox::again,
    get "/live" => live,
];

/// A page that says what went wrong, with its status.
pub(crate) struct Trouble(StatusCode, Box<TroublePage>);

impl Trouble {
    /// With the head of whoever is looking.
    pub(crate) fn seen_by(mut self, site: &Site, visitor: &Visitor) -> Self {
        self.1.head = Head::new(site.base(), visitor, "");
        self
    }
}

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
        head: Head::unsaid(site.base()),
        title: title.to_owned(),
        what_to_do: what_to_do.to_owned(),
        home: "/",
    };
    Trouble(status, Box::new(page))
}

/// What a person reads when a use case could not be carried out.
pub(crate) fn failed(site: &Site, error: &WorkshopError) -> Trouble {
    let (status, title) = status_and_title(error);
    trouble(site, status, &title, &error.what_to_do())
}

/// What was just done, for the page that comes next; of anything unknown that says nothing.
#[derive(Default, Deserialize)]
pub(crate) struct After {
    #[serde(default)]
    pub(crate) done: String,
}

impl After {
    /// That people were erased, if they were.
    pub(crate) fn erased(&self) -> Option<String> {
        (self.done == "erased").then(|| say!("people-team-erased"))
    }
}

/// The people of the region, now.
pub(crate) fn people(site: &Site) -> Result<People<'_>, Trouble> {
    site.people().map_err(|error| failed(site, &error))
}

/// The id that stands in an address; what is none is nobody's.
pub(crate) fn id<T: FromStr>(site: &Site, text: &str) -> Result<T, Trouble> {
    let none = |_| failed(site, &WorkshopError::NotYours);
    text.parse().map_err(none)
}

/// The status of a failure, and what it is in a sentence.
pub(crate) fn status_and_title(error: &WorkshopError) -> (StatusCode, String) {
    match error {
        WorkshopError::Store(store) => match store.code() {
            "stale" | "region-moved" | "stock-moved" | "notes-moved" | "requests-moved"
            | "step-taken" | "no-such-step" | "pledge-ended" | "key-reused" => {
                (StatusCode::CONFLICT, say!("head-changed-meanwhile"))
            }
            "no-such" => (StatusCode::NOT_FOUND, say!("head-not-found")),
            _ => (StatusCode::INTERNAL_SERVER_ERROR, say!("head-not-now")),
        },
        WorkshopError::NotYours => (StatusCode::NOT_FOUND, say!("head-not-found")),
        WorkshopError::NotAllowed { who } => (
            StatusCode::FORBIDDEN,
            say!("head-that-is-for", who = whom(who)),
        ),
        WorkshopError::Contended(_) => (StatusCode::SERVICE_UNAVAILABLE, say!("head-not-now")),
        WorkshopError::TooEarly { .. } => (StatusCode::CONFLICT, say!("head-comes-first")),
        WorkshopError::SentBefore { .. }
        | WorkshopError::TakenDown { .. }
        | WorkshopError::OverLimit { .. }
        | WorkshopError::LaterNow { .. }
        | WorkshopError::TooLateToChange { .. }
        | WorkshopError::NoSpareNow
        | WorkshopError::ChosenOtherwise { .. }
        | WorkshopError::NobodyElse { .. }
        | WorkshopError::NotWaiting { .. }
        | WorkshopError::CalledBack { .. }
        | WorkshopError::NotTakenBack { .. }
        | WorkshopError::NobodyMay { .. }
        | WorkshopError::NoBoxCode { .. }
        | WorkshopError::NotLeft { .. }
        | WorkshopError::BoxDown { .. }
        | WorkshopError::BoxRecalled { .. }
        | WorkshopError::NotReplaced { .. }
        | WorkshopError::NothingToRecall
        | WorkshopError::RecallOver
        | WorkshopError::NotMadeYet { .. }
        | WorkshopError::NotThatLeg { .. }
        | WorkshopError::NotThatBox { .. }
        | WorkshopError::BoxDecided { .. }
        | WorkshopError::Held { .. }
        | WorkshopError::MustMeasure { .. }
        | WorkshopError::NothingGood { .. } => (StatusCode::CONFLICT, said(error)),
        WorkshopError::WrongBoxCode { .. }
        | WorkshopError::NotGood { .. }
        | WorkshopError::BadDimension { .. } => (StatusCode::UNPROCESSABLE_ENTITY, said(error)),
        WorkshopError::TooManyCodes { .. } => (StatusCode::TOO_MANY_REQUESTS, said(error)),
        WorkshopError::BrokeOff => (StatusCode::INTERNAL_SERVER_ERROR, say!("head-not-now")),
        WorkshopError::PlanRefused(_) => {
            (StatusCode::INTERNAL_SERVER_ERROR, say!("head-plan-refused"))
        }
        other => (StatusCode::UNPROCESSABLE_ENTITY, other.to_string()),
    }
}

/// What is the matter, as a sentence.
fn said(error: &WorkshopError) -> String {
    say!("head-sentence", text = words::capital(&error.to_string()))
}

/// The region now, with everything on record about it.
pub(crate) async fn looked(site: &Site) -> Result<(Session, Books), Trouble> {
    site.books().await.map_err(|error| failed(site, &error))
}

/// Whether a form with that key was sent before and did its deed.
pub(crate) async fn sent_before(
    site: &Site,
    session: &Session,
    key: &str,
) -> Result<bool, Trouble> {
    let Some((store, region)) = session.store() else {
        return Ok(false);
    };
    let known = store.has_key(region, key).await;
    known.map_err(|error| failed(site, &error.into()))
}

/// Nothing there.
pub(crate) fn not_here(site: &Site, title: &str) -> Trouble {
    let what_to_do = say!("head-not-here-do");
    trouble(site, StatusCode::NOT_FOUND, title, &what_to_do)
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
        .unwrap_or_else(|| not_here(&site, &say!("head-no-file")).into_response())
}

/// Nothing where the scripts are not built in: then nobody asks for it.
async fn worker(asked: HeaderMap) -> Response {
    assets::worker(&asked).unwrap_or_else(|| StatusCode::NO_CONTENT.into_response())
}

async fn missing(State(site): State<Site>) -> Trouble {
    not_here(&site, &say!("head-no-page"))
}

#[cfg(test)]
mod tests {
    use partpledge_workshop::rights::LINES;

    use super::ADDRESSES;

    #[test]
    fn every_address_has_a_line_in_the_table_of_rights_and_every_line_an_address() {
        let lines: Vec<(&str, &str)> = LINES.iter().map(|line| (line.method, line.path)).collect();
        let mut addresses = ADDRESSES.to_vec();
        addresses.extend(crate::api::addresses());
        for address in &addresses {
            assert!(lines.contains(address), "{address:?} has no line");
        }
        for line in lines {
            assert!(addresses.contains(&line), "{line:?} leads nowhere");
        }
    }
}
