//! Problems: every error of the programme interface, as RFC 9457 has them.

use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use partpledge_units::time::EventMs;
use partpledge_workshop::WorkshopError;
use partpledge_workshop::people::PeopleError;
use serde::Serialize;
use utoipa::ToSchema;

use crate::routes::status_and_title;

/// The media type of a problem (RFC 9457, section 3).
pub(crate) const PROBLEM_JSON: &str = "application/problem+json";

/// Something that could not be done, and what to do about it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, ToSchema)]
#[schema(as = Problem)]
pub(crate) struct ProblemOut {
    /// Where the kind of problem is described: `/api#` and its code. It never changes.
    pub(crate) r#type: String,
    /// The code alone, for programs.
    pub(crate) code: String,
    /// What is the matter, for people.
    pub(crate) title: String,
    /// What to do about it.
    pub(crate) detail: String,
    /// The HTTP status, again.
    #[schema(minimum = 400, maximum = 599)]
    pub(crate) status: u16,
}

/// A problem on its way out.
#[derive(Clone, Debug)]
pub(crate) struct Problem {
    status: StatusCode,
    code: String,
    title: String,
    detail: String,
    /// Seconds after which it can be tried again.
    again_in_s: Option<i64>,
}

impl Problem {
    /// One of our own.
    pub(crate) fn new(status: StatusCode, code: &str, title: &str, detail: &str) -> Self {
        Self {
            status,
            code: code.to_owned(),
            title: title.to_owned(),
            detail: detail.to_owned(),
            again_in_s: None,
        }
    }

    /// Something in the question is not as it must be.
    pub(crate) fn bad(what: &str, must_be: &str) -> Self {
        let title = format!("{what} is not in order.");
        let status = StatusCode::UNPROCESSABLE_ENTITY;
        Self::new(
            status,
            "bad-value",
            &title,
            &format!("It must be {must_be}."),
        )
    }

    /// There is nothing by that address, or it is somebody else's: which of the two is not said.
    pub(crate) fn not_there() -> Self {
        let detail = "It may have been typed wrongly, or it belongs to somebody else.";
        Self::new(
            StatusCode::NOT_FOUND,
            "not-there",
            "We can’t find that.",
            detail,
        )
    }

    /// No token, or one that does not work.
    pub(crate) fn no_token() -> Self {
        let detail = "Send “Authorization: Bearer” and a token that works. Tokens are made on the \
                      account page.";
        let title = "We don’t know who asks.";
        Self::new(StatusCode::UNAUTHORIZED, "no-token", title, detail)
    }

    /// Not for the role of the token.
    pub(crate) fn not_for_role() -> Self {
        let detail = "Make a token for another of your roles, if you hold one.";
        let title = "This is not for the role of that token.";
        Self::new(StatusCode::FORBIDDEN, "not-allowed", title, detail)
    }

    /// Too much at once.
    pub(crate) fn too_many(now: EventMs, again_at: EventMs) -> Self {
        let title = "There were too many tokens that don’t work.";
        let detail = "Wait for the seconds that Retry-After says. A token that works is let in.";
        Self {
            again_in_s: Some(((again_at.0 - now.0) / 1_000).max(1)),
            ..Self::new(StatusCode::TOO_MANY_REQUESTS, "too-many", title, detail)
        }
    }

    /// What a status means when nobody said more.
    pub(crate) fn of_status(status: StatusCode) -> Self {
        let (code, title, detail) = match status {
            StatusCode::NOT_FOUND => return Self::not_there(),
            StatusCode::FORBIDDEN => (
                "wrong-host",
                "That was asked for under another name.",
                "Use the address of this site.",
            ),
            StatusCode::METHOD_NOT_ALLOWED => (
                "wrong-method",
                "That can’t be done with this address.",
                "Use a method that Allow names.",
            ),
            StatusCode::PAYLOAD_TOO_LARGE => (
                "too-large",
                "That is more than we take.",
                "Part files and programs: 100 MB. All else: 64 KB.",
            ),
            StatusCode::REQUEST_TIMEOUT => (
                "too-slow",
                "The body came too slowly.",
                "Nothing may be silent for 20 seconds, or take more than 10 minutes. Send it again.",
            ),
            StatusCode::UNSUPPORTED_MEDIA_TYPE => (
                "wrong-kind",
                "We can’t read that kind of content.",
                "See /api/v1/openapi.json for what this address takes.",
            ),
            status if status.is_server_error() => (
                "broke-off",
                "Something broke off on our side.",
                "This is our mistake. Nothing was saved. Tell the coordinator.",
            ),
            _ => (
                "bad-request",
                "We can’t read that question.",
                "See /api/v1/openapi.json for how it is asked.",
            ),
        };
        Self::new(status, code, title, detail)
    }
}

impl From<WorkshopError> for Problem {
    fn from(error: WorkshopError) -> Self {
        let (status, title) = status_and_title(&error);
        if status == StatusCode::NOT_FOUND {
            return Self::not_there();
        }
        let code = match &error {
            WorkshopError::Store(store) => store.code(),
            other => other.code(),
        };
        Self::new(status, code, &title, &error.what_to_do())
    }
}

impl Problem {
    /// A problem with a token.
    pub(crate) fn of_token(error: PeopleError, now: EventMs) -> Self {
        match error {
            PeopleError::Typed(_) => Self::no_token(),
            PeopleError::TooMany { again_at } => Self::too_many(now, again_at),
            PeopleError::Failed(error) => error.into(),
        }
    }
}

impl IntoResponse for Problem {
    fn into_response(self) -> Response {
        let out = ProblemOut {
            r#type: format!("/api#{}", self.code),
            code: self.code,
            title: self.title,
            detail: self.detail,
            status: self.status.as_u16(),
        };
        // Strings and a number: nothing in it can't be written.
        let text = serde_json::to_string(&out).unwrap_or_default();
        let headers = [
            (header::CONTENT_TYPE, PROBLEM_JSON),
            (header::CACHE_CONTROL, "no-store"),
        ];
        let mut response = (self.status, headers, text).into_response();
        let more = response.headers_mut();
        if self.status == StatusCode::UNAUTHORIZED {
            let way = HeaderValue::from_static("Bearer realm=\"partpledge\"");
            more.insert(header::WWW_AUTHENTICATE, way);
        }
        if let Some(seconds) = self.again_in_s {
            more.insert(header::RETRY_AFTER, seconds.into());
        }
        response
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_problem_has_a_stable_type_and_says_what_to_do() {
        let problem: Problem = WorkshopError::Contended(3).into();
        let response = problem.into_response();
        assert_eq!(response.status(), StatusCode::SERVICE_UNAVAILABLE);
        assert_eq!(response.headers()[header::CONTENT_TYPE], PROBLEM_JSON);
        let many = Problem::too_many(EventMs(0), EventMs(61_000)).into_response();
        assert_eq!(many.headers()[header::RETRY_AFTER], "61");
        let nobody = Problem::no_token().into_response();
        assert!(nobody.headers().contains_key(header::WWW_AUTHENTICATE));
    }

    #[test]
    fn what_is_not_ones_own_and_what_is_not_there_is_one_problem() {
        let theirs: Problem = WorkshopError::NotYours.into();
        let nowhere = Problem::not_there();
        assert_eq!((theirs.code, theirs.title), (nowhere.code, nowhere.title));
    }
}
