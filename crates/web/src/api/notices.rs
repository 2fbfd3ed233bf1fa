//! What was told to a token's owner.

use axum::http::StatusCode;
use partpledge_records::Notice;
use partpledge_units::local::rfc3339_utc;
use partpledge_workshop::notices::{own, saw};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::call::{Answer, Call, done, fresh, page_of};
use super::out::Paging;
use super::problem::Problem;

/// A notice.
#[derive(Serialize, ToSchema)]
#[schema(as = Notice)]
pub(crate) struct NoticeOut {
    /// Its number; it grows.
    number: i64,
    /// What it is about, such as `part.promised`.
    kind: String,
    #[schema(format = DateTime)]
    at: String,
    urgent: bool,
    seen: bool,
    /// What it says.
    says: String,
    /// Path of the page that it leads to.
    page: String,
}

impl From<Notice> for NoticeOut {
    fn from(one: Notice) -> Self {
        Self {
            number: one.n,
            kind: one.said.kind,
            at: rfc3339_utc(one.said.at),
            urgent: one.said.urgent,
            seen: one.seen,
            says: one.said.says.to_string(),
            page: one.said.link,
        }
    }
}

/// Notices.
#[derive(Serialize, ToSchema)]
#[schema(as = Notices)]
pub(crate) struct NoticesOut {
    schema: u32,
    items: Vec<NoticeOut>,
    /// How many in all were not seen.
    unseen: usize,
    /// To be set as `cursor` for what comes after.
    next: Option<String>,
}

/// `GET /api/v1/notices`.
pub(crate) async fn list(call: Call) -> Answer {
    let paging: Paging = call.query()?;
    let mut all = own(call.site.base(), &call.actor()).await?;
    all.reverse();
    let unseen = all.iter().filter(|one| !one.seen).count();
    let numbered = all.into_iter().map(|one| (one.n, one));
    let (items, next) = page_of(numbered, &paging)?;
    let out = NoticesOut {
        schema: 1,
        items: items.into_iter().map(NoticeOut::from).collect(),
        unseen,
        next,
    };
    Ok(fresh(call.headers(), &out))
}

/// How far they were seen.
#[derive(Deserialize, ToSchema)]
#[schema(as = NoticesSeen)]
#[serde(deny_unknown_fields)]
pub(crate) struct SeenIn {
    /// Number of the last notice seen.
    #[schema(minimum = 0)]
    upto: i64,
}

/// What is left.
#[derive(Serialize, ToSchema)]
#[schema(as = NoticesUnseen)]
pub(crate) struct UnseenOut {
    schema: u32,
    /// How many were not seen.
    unseen: usize,
}

/// `POST /api/v1/notices/seen`.
pub(crate) async fn seen(call: Call) -> Answer {
    let (site, actor) = (call.site.clone(), call.actor());
    let seen: SeenIn = call.json().await?;
    if seen.upto < 0 {
        return Err(Problem::bad("upto", "the number of a notice, or 0"));
    }
    saw(site.base(), &actor, seen.upto).await?;
    let all = own(site.base(), &actor).await?;
    let unseen = all.iter().filter(|one| !one.seen).count();
    let out = UnseenOut { schema: 1, unseen };
    Ok(done(StatusCode::OK, &out))
}
