//! A question of a program: who asks, for what, with what; and how it is answered.

use std::hash::{DefaultHasher, Hash as _, Hasher as _};
use std::sync::{Arc, Mutex, PoisonError};

use axum::body::{Body, to_bytes};
use axum::extract::{FromRequest as _, Multipart, Query, Request};
use axum::http::request::Parts;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use partpledge_workshop::people::tokens::Bearer;
use partpledge_workshop::{Actor, Books, Role, Session};
use serde::Serialize;
use serde::de::DeserializeOwned;

use super::problem::Problem;
use crate::routes::is_key;
use crate::site::Site;
use crate::upload::{Form, FormError};

/// Largest body that is not a form with files, bytes; as the pages have it.
const MOST_JSON: usize = 64 * 1024;

/// What every address of the interface answers.
pub(crate) type Answer = Result<Response, Problem>;

/// A question.
pub(crate) struct Call {
    /// What it is asked of.
    pub(crate) site: Site,
    bearer: Arc<Bearer>,
    path: Vec<(String, String)>,
    parts: Parts,
    /// Behind a lock for form's sake: a body can't be looked at from two threads, a question can.
    body: Mutex<Body>,
}

impl Call {
    pub(crate) fn new(
        site: Site,
        bearer: Arc<Bearer>,
        path: Vec<(String, String)>,
        request: Request,
    ) -> Self {
        let (parts, body) = request.into_parts();
        Self {
            site,
            bearer,
            path,
            parts,
            body: Mutex::new(body),
        }
    }

    /// By whose token.
    pub(crate) fn bearer(&self) -> &Bearer {
        &self.bearer
    }

    /// Who acts.
    pub(crate) fn actor(&self) -> Actor {
        self.bearer.actor()
    }

    /// The team whose token it is.
    pub(crate) fn team(&self) -> Result<String, Problem> {
        let role = Role::of(&self.bearer.token.held);
        role.team()
            .map(str::to_owned)
            .ok_or_else(Problem::not_for_role)
    }

    /// Whether only names that are known stand behind the question mark: a name that is misspelt
    /// would be a question that nobody asked.
    pub(crate) fn asks_only(&self, known: &[&str]) -> Result<(), Problem> {
        let query = self.parts.uri.query().unwrap_or_default();
        let mut names = query.split('&').filter(|pair| !pair.is_empty());
        let stray = names.find(|pair| !known.contains(&pair.split('=').next().unwrap_or(pair)));
        let list = match known {
            [] => "nothing".to_owned(),
            known => known.join(", "),
        };
        match stray {
            Some(_) => Err(Problem::bad("What stands behind the “?”", &list)),
            None => Ok(()),
        }
    }

    /// A name in the address.
    pub(crate) fn name(&self, which: &str) -> &str {
        let found = self.path.iter().find(|(name, _)| name == which);
        found.map_or("", |(_, value)| value)
    }

    /// A number in the address; what is no number is not there.
    pub(crate) fn number<T: std::str::FromStr>(&self, which: &str) -> Result<T, Problem> {
        self.name(which).parse().map_err(|_| Problem::not_there())
    }

    /// What stands behind the question mark.
    pub(crate) fn query<T: DeserializeOwned>(&self) -> Result<T, Problem> {
        let found = Query::<T>::try_from_uri(&self.parts.uri);
        found
            .map(|Query(found)| found)
            .map_err(|_| Problem::bad("What stands behind the “?”", "as openapi.json has it"))
    }

    pub(crate) fn headers(&self) -> &HeaderMap {
        &self.parts.headers
    }

    /// The sender's key of a deed. It is kept with the token's number before it, so that no two
    /// programs meet.
    pub(crate) fn key(&self) -> Result<String, Problem> {
        let sent = self.headers().get("idempotency-key");
        let sent = sent.and_then(|value| value.to_str().ok());
        let title = "Idempotency-Key is missing or not in order.";
        let detail = "Send a header of 8 to 64 letters, figures and dashes, another one for each \
                      deed. A deed sent again with the same key is done once.";
        let bad = || Problem::new(StatusCode::BAD_REQUEST, "no-key", title, detail);
        let sent = sent.filter(|key| is_key(key)).ok_or_else(bad)?;
        Ok(format!("api-{}-{sent}", self.bearer.token.id))
    }

    /// The region now, with everything on record about it.
    pub(crate) async fn looked(&self) -> Result<(Session, Books), Problem> {
        Ok(self.site.books().await?)
    }

    /// The question as it came, its body unread.
    fn request(self) -> Request {
        let body = self.body.into_inner();
        let body = body.unwrap_or_else(PoisonError::into_inner);
        Request::from_parts(self.parts, body)
    }

    /// A body of JSON.
    pub(crate) async fn json<T: DeserializeOwned>(self) -> Result<T, Problem> {
        let kind = self.headers().get(header::CONTENT_TYPE);
        let kind = kind.and_then(|kind| kind.to_str().ok()).unwrap_or("");
        let kind = kind.split(';').next().unwrap_or("").trim();
        if !kind.eq_ignore_ascii_case("application/json") {
            return Err(Problem::of_status(StatusCode::UNSUPPORTED_MEDIA_TYPE));
        }
        let bytes = to_bytes(self.request().into_body(), MOST_JSON).await;
        let large = |_| Problem::of_status(StatusCode::PAYLOAD_TOO_LARGE);
        let bytes = bytes.map_err(large)?;
        serde_json::from_slice(&bytes).map_err(|error| {
            let detail = format!("It must be JSON as openapi.json has it: {error}.");
            let status = if error.is_data() {
                StatusCode::UNPROCESSABLE_ENTITY
            } else {
                StatusCode::BAD_REQUEST
            };
            Problem::new(status, "bad-json", "We can’t read the body.", &detail)
        })
    }

    /// A form with one file: its fields, its name, its bytes.
    pub(crate) async fn form(self) -> Result<(Form, String, bytes::Bytes), Problem> {
        let parts = Multipart::from_request(self.request(), &()).await;
        let wrong_kind = |_| Problem::of_status(StatusCode::UNSUPPORTED_MEDIA_TYPE);
        let form = Form::read(parts.map_err(wrong_kind)?).await;
        let mut form = form.map_err(|error| match error {
            FormError::TooLarge | FormError::TooMany => {
                Problem::of_status(StatusCode::PAYLOAD_TOO_LARGE)
            }
            FormError::TooLong => Problem::bad("A field of the form", "2000 bytes at most"),
            FormError::Broken => Problem::of_status(StatusCode::BAD_REQUEST),
            FormError::TooSlow => Problem::of_status(StatusCode::REQUEST_TIMEOUT),
        })?;
        if form.files.len() > 1 {
            return Err(Problem::bad("The form", "with one file"));
        }
        let file = form.files.pop();
        let (name, bytes) = file.ok_or_else(|| Problem::bad("file", "a file"))?;
        Ok((form, name, bytes))
    }
}

/// JSON, with a tag by which the next question can be answered in a word (RFC 9110, 8.8.3).
pub(crate) fn fresh(asked: &HeaderMap, what: &impl Serialize) -> Response {
    // Our own types of strings and numbers: nothing in them can't be written.
    let text = serde_json::to_string(what).unwrap_or_default();
    let mut hash = DefaultHasher::new();
    text.hash(&mut hash);
    let tag = format!("W/\"{:016x}\"", hash.finish());
    let known = asked.get_all(header::IF_NONE_MATCH).iter();
    let known = known.filter_map(|value| value.to_str().ok());
    let mut known = known.flat_map(|list| list.split(',').map(str::trim));
    let headers = [
        (header::ETAG, tag.clone()),
        (header::CACHE_CONTROL, "private, no-cache".to_owned()),
    ];
    if known.any(|one| one == "*" || one.trim_start_matches("W/") == &tag[2..]) {
        return (StatusCode::NOT_MODIFIED, headers).into_response();
    }
    let kind = [(header::CONTENT_TYPE, "application/json")];
    (headers, kind, text).into_response()
}

/// JSON that says what a deed came to.
pub(crate) fn done(status: StatusCode, what: &impl Serialize) -> Response {
    let headers = [
        (header::CONTENT_TYPE, "application/json"),
        (header::CACHE_CONTROL, "no-store"),
    ];
    let text = serde_json::to_string(what).unwrap_or_default();
    (status, headers, text).into_response()
}

/// One page of a list: what comes after `cursor`, at most `limit` of it, and where the next begins.
pub(crate) fn page_of<T>(
    all: impl IntoIterator<Item = (i64, T)>,
    paging: &super::out::Paging,
) -> Result<(Vec<T>, Option<String>), Problem> {
    let figures = |text: &&str| text.bytes().all(|b| b.is_ascii_digit());
    let after = match paging.cursor.as_deref() {
        None => i64::MIN,
        Some(text) => {
            let read = Some(text).filter(figures).and_then(|t| t.parse().ok());
            read.ok_or_else(|| Problem::bad("cursor", "one that a list gave as “next”"))?
        }
    };
    let limit = paging.limit.unwrap_or(50);
    if !(1..=200).contains(&limit) {
        return Err(Problem::bad("limit", "from 1 to 200"));
    }
    let mut left = all.into_iter().filter(|(at, _)| *at > after);
    let (mut items, mut last) = (Vec::new(), after);
    for (at, item) in left.by_ref().take(limit) {
        items.push(item);
        last = at;
    }
    let next = left.next().map(|_| last.to_string());
    Ok((items, next))
}
