//! What stands before the interface: a token that works, the table of rights, and that every error
//! is a problem.

use std::sync::Arc;

use axum::extract::{MatchedPath, Request, State};
use axum::http::{StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use partpledge_records::TokenKind;
use partpledge_workshop::rights::{Answer, line};

use super::BASE;
use super::problem::{PROBLEM_JSON, Problem};
use crate::guard::from;
use crate::site::Site;

/// Whether a path is the interface's.
pub(crate) fn is_api(path: &str) -> bool {
    path.strip_prefix(BASE)
        .is_some_and(|rest| rest.is_empty() || rest.starts_with('/'))
}

/// Makes a problem of every error of the interface, whoever it is from: what has no route, what
/// is refused before a handler, what breaks off in one.
pub(crate) async fn problems(request: Request, next: Next) -> Response {
    if !is_api(request.uri().path()) {
        return next.run(request).await;
    }
    // A task of its own, so that a panic is answered too.
    let answered = tokio::spawn(next.run(request)).await;
    let Ok(response) = answered else {
        return Problem::of_status(StatusCode::INTERNAL_SERVER_ERROR).into_response();
    };
    let status = response.status();
    let kind = response.headers().get(header::CONTENT_TYPE);
    let is_one = kind.is_some_and(|kind| kind == PROBLEM_JSON);
    if is_one || !(status.is_client_error() || status.is_server_error()) {
        return response;
    }
    let allow = response.headers().get(header::ALLOW).cloned();
    let mut made = Problem::of_status(status).into_response();
    if let Some(allow) = allow {
        made.headers_mut().insert(header::ALLOW, allow);
    }
    made
}

fn bearer_of(request: &Request) -> Option<&str> {
    let sent = request
        .headers()
        .get(header::AUTHORIZATION)?
        .to_str()
        .ok()?;
    let (way, token) = sent.split_once(' ')?;
    way.eq_ignore_ascii_case("bearer").then(|| token.trim())
}

/// Lets in whom the table of rights lets in, by the role of the token.
pub(crate) async fn rights(State(site): State<Site>, mut request: Request, next: Next) -> Response {
    let path = request.extensions().get::<MatchedPath>();
    let path = path.map_or("", |path| path.as_str());
    let Some(line) = line(request.method().as_str(), path) else {
        // No such method here: the router says which there are.
        return next.run(request).await;
    };
    let Some(token) = bearer_of(&request) else {
        return Problem::no_token().into_response();
    };
    let people = match site.people() {
        Ok(people) => people,
        Err(error) => return Problem::from(error).into_response(),
    };
    let address = from(&request, site.front());
    let found = people.bearer((TokenKind::Api, token), &address.0).await;
    let bearer = match found {
        Ok(bearer) => bearer,
        Err(error) => return Problem::of_token(error, site.now()).into_response(),
    };
    match line.admits(Some(bearer.token.held.kind)) {
        Answer::Yes => {}
        Answer::SignIn => return Problem::no_token().into_response(),
        Answer::No | Answer::NotThere => return Problem::not_for_role().into_response(),
    }
    request.extensions_mut().insert(Arc::new(bearer));
    next.run(request).await
}
