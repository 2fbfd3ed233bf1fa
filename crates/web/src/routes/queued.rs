//! Answers to deeds at the bench: a page for a person, JSON for the queue of a tablet.

use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_words::say;
use partpledge_workshop::WorkshopError;
use serde::Serialize;

use super::{Trouble, failed};
use crate::site::Site;

/// Why a deed was not done.
pub(crate) enum Refused {
    /// By the workshop.
    Deed(WorkshopError),
    /// Before it came to that.
    Trouble(Trouble),
    /// Another role is worn in this browser, or another bench's.
    SignIn(Trouble),
    /// The form is shown again, with what is wrong with it.
    Page(String, Box<Response>),
}

impl Refused {
    /// A form that is shown again.
    pub(crate) fn with_page(wrong: String, page: Response) -> Self {
        Self::Page(wrong, Box::new(page))
    }
}

impl From<WorkshopError> for Refused {
    fn from(error: WorkshopError) -> Self {
        Self::Deed(error)
    }
}

impl From<Trouble> for Refused {
    fn from(trouble: Trouble) -> Self {
        Self::Trouble(trouble)
    }
}

/// What the queue hears.
#[derive(Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "answer")]
enum Heard {
    /// Done, or done before.
    Done,
    /// Not in the role that is worn: it waits until somebody of this bench signs in.
    SignIn,
    /// Not yet: what comes first may still be on another tablet, or we are busy.
    Later {
        /// In the words of a page.
        title: String,
        /// What a person can do.
        what_to_do: String,
    },
    /// Never.
    Refused {
        /// In the words of a page.
        title: String,
        /// What a person can do.
        what_to_do: String,
    },
}

/// The answer to a form or to a queue, by what it takes.
pub(crate) fn answered(
    site: &Site,
    headers: &HeaderMap,
    done: Result<(), Refused>,
    to: &str,
) -> Response {
    let takes = headers.get(header::ACCEPT).map(HeaderValue::as_bytes);
    if takes == Some(b"application/json") {
        return heard(site, done);
    }
    match done {
        Ok(()) => Redirect::to(to).into_response(),
        Err(Refused::Deed(error)) => failed(site, &error).into_response(),
        Err(Refused::Trouble(trouble) | Refused::SignIn(trouble)) => trouble.into_response(),
        Err(Refused::Page(_, page)) => *page,
    }
}

fn heard(site: &Site, done: Result<(), Refused>) -> Response {
    let (status, heard) = match done {
        Ok(()) => (StatusCode::OK, Heard::Done),
        Err(Refused::Page(title, _)) => {
            let what_to_do = say!("bench-tell-again");
            let refused = Heard::Refused { title, what_to_do };
            (StatusCode::UNPROCESSABLE_ENTITY, refused)
        }
        Err(Refused::Trouble(trouble)) => refused(trouble),
        Err(Refused::SignIn(Trouble(status, _))) => (status, Heard::SignIn),
        Err(Refused::Deed(error)) => {
            let later = matches!(
                error,
                // That it has left may still be on its host's tablet.
                WorkshopError::TooEarly { .. }
                    | WorkshopError::NotLeft { .. }
                    | WorkshopError::Contended(_)
                    | WorkshopError::BrokeOff
            );
            match (later, refused(failed(site, &error))) {
                (true, (status, Heard::Refused { title, what_to_do })) => {
                    (status, Heard::Later { title, what_to_do })
                }
                (_, answer) => answer,
            }
        }
    };
    let head = [
        (header::CACHE_CONTROL, "no-store"),
        (header::CONTENT_TYPE, "application/json"),
    ];
    // Two short texts: they always serialise.
    let text = serde_json::to_string(&heard).unwrap_or_default();
    (status, head, text).into_response()
}

fn refused(Trouble(status, page): Trouble) -> (StatusCode, Heard) {
    let (title, what_to_do) = (page.title, page.what_to_do);
    // A fault of ours may be over in a minute.
    let heard = if status.is_server_error() {
        Heard::Later { title, what_to_do }
    } else {
        Heard::Refused { title, what_to_do }
    };
    (status, heard)
}
