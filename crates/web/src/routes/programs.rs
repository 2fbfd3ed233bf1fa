//! A host sends the program that its printer will run for a plate.

use axum::extract::{Multipart, Path, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use bytes::Bytes;
use partpledge_words::say;
use partpledge_workshop::WorkshopError;
use partpledge_workshop::programs::program_for_plate;

use super::plates::{found, sheet_with, works_there};
use super::{Trouble, failed, is_key, looked, trouble};
use crate::site::Site;
use crate::upload::{Form, FormError};
use crate::who::Visitor;
use crate::words;

/// `POST /plates/{seq}/program`.
pub(crate) async fn send(
    State(site): State<Site>,
    visitor: Visitor,
    Path(seq): Path<String>,
    headers: HeaderMap,
    parts: Multipart,
) -> Result<Response, Trouble> {
    let _turn = site.turn_to_send(visitor.actor().person()).await;
    let form = Form::read(parts).await;
    let (session, books) = looked(&site).await?;
    let kept = found(&site, &books, &visitor, &seq)?;
    if !works_there(&session, &books, &visitor, &kept) {
        return Err(not_yours(&site));
    }
    let plate = kept.on().0;
    let sent = match form.map_err(|error| refusal(&error)).and_then(read) {
        Ok((key, name, bytes)) => {
            let actor = visitor.actor();
            let work = async move {
                let what = (&bytes, name.as_str());
                program_for_plate(&session, &actor, plate, what, Some(&key)).await
            };
            site.heavy(work)
                .await
                .map_err(|error| explained(&site, error))
        }
        Err(wrong) => Err(Ok(wrong)),
    };
    match sent {
        Ok(_) => Ok(Redirect::to(&format!("/plates/{plate}#program")).into_response()),
        Err(Ok((status, text))) => {
            let page = sheet_with(&site, visitor, &seq, &headers, Some(text)).await?;
            Ok((status, page).into_response())
        }
        Err(Err(trouble)) => Err(trouble),
    }
}

fn not_yours(site: &Site) -> Trouble {
    let title = say!("programs-elsewhere-printed");
    let what_to_do = say!("programs-who-sends");
    trouble(site, StatusCode::FORBIDDEN, &title, &what_to_do)
}

type Wrong = (StatusCode, String);

/// Key, name and bytes of the one file of a form.
fn read(form: Form) -> Result<(String, String, Bytes), Wrong> {
    let wrong = |text: String| Err((StatusCode::UNPROCESSABLE_ENTITY, text));
    if !is_key(form.get("key")) {
        return wrong(say!("programs-form-damaged"));
    }
    let key = form.get("key").to_owned();
    let mut files = form.files.into_iter();
    match (files.next(), files.next()) {
        (Some((name, bytes)), None) => Ok((key, name, bytes)),
        (None, _) => wrong(say!("programs-choose")),
        (Some(_), Some(_)) => wrong(say!("programs-choose-one")),
    }
}

fn refusal(error: &FormError) -> Wrong {
    let large = StatusCode::PAYLOAD_TOO_LARGE;
    match error {
        FormError::TooLarge => (large, say!("programs-too-large")),
        FormError::TooLong => (large, say!("programs-form-damaged")),
        FormError::TooMany => (large, say!("programs-choose-one")),
        FormError::Broken => (StatusCode::BAD_REQUEST, say!("programs-broken")),
        FormError::TooSlow => (StatusCode::REQUEST_TIMEOUT, say!("programs-too-slow")),
    }
}

/// What is wrong with the program is said beside the form, all else on a page of its own.
fn explained(site: &Site, error: WorkshopError) -> Result<Wrong, Trouble> {
    match error {
        WorkshopError::ProgramRefused {
            why, what_to_do, ..
        } => {
            let text = say!(
                "programs-refused",
                why = words::capital(&why),
                what_to_do = what_to_do
            );
            Ok((StatusCode::UNPROCESSABLE_ENTITY, text))
        }
        other => Err(failed(site, &other)),
    }
}
