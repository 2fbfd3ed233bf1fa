//! A box by its label: what whoever scans it may do with it.

use axum::extract::{Path, State};
use axum::http::HeaderMap;
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_words::say;
use partpledge_workshop::boxes::box_of;

use super::{Trouble, looked, not_here, page};
use crate::pages::box_label::BoxLabelPage;
use crate::site::Site;
use crate::who::{Head, Visitor};

/// `GET /boxes/{seq}`: its team is led to the part's page, where the code is; others see the label and
/// what can be done with the box.
pub(crate) async fn scanned(
    State(site): State<Site>,
    visitor: Visitor,
    Path(seq): Path<String>,
    headers: HeaderMap,
) -> Result<Response, Trouble> {
    let (session, books) = looked(&site).await?;
    let none = || not_here(&site, &say!("boxes-no-such"));
    let kept = seq.parse().ok().and_then(|seq| books.plate(seq));
    let kept = kept.ok_or_else(none)?;
    let listed = books.request(kept.request).ok_or_else(none)?;
    let actor = visitor.actor();
    let seen = actor.must_see_part_of(&listed.request.team).is_ok();
    if !seen {
        return Err(none());
    }
    if visitor.team().is_some() {
        let part = format!("/parts/{}#boxes", listed.request.number);
        return Ok(Redirect::to(&part).into_response());
    }
    if books.taken_down(&listed.request) && !visitor.coordinates() {
        return Err(none());
    }
    let share = kept.plate.seq.0;
    let address = site.link(&headers, &format!("/boxes/{share}"));
    let hands = actor.must_hand_over(&session, &books, kept).is_ok();
    let closed = box_of(&session, &books, kept);
    let head = Head::new(&session, &visitor, "");
    let what = (kept, listed, closed.as_ref());
    let may = (visitor.role(), hands);
    Ok(page(&BoxLabelPage::new(
        head, &session, what, may, &address,
    )))
}
