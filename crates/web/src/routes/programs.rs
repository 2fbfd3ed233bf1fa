//! A host sends the program that its printer will run for a plate.

use axum::extract::{Multipart, Path, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use bytes::Bytes;
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
    let title = "This plate is on another bench’s printer.";
    let what_to_do = "Only the host that prints it, or the coordinator, sends its program.";
    trouble(site, StatusCode::FORBIDDEN, title, what_to_do)
}

type Wrong = (StatusCode, String);

/// Key, name and bytes of the one file of a form.
fn read(form: Form) -> Result<(String, String, Bytes), Wrong> {
    let wrong = |text: &str| Err((StatusCode::UNPROCESSABLE_ENTITY, text.to_owned()));
    if !is_key(form.get("key")) {
        return wrong("This form is damaged. Choose the file again here.");
    }
    let key = form.get("key").to_owned();
    let mut files = form.files.into_iter();
    match (files.next(), files.next()) {
        (Some((name, bytes)), None) => Ok((key, name, bytes)),
        (None, _) => wrong("Choose the program’s file."),
        (Some(_), Some(_)) => wrong("Choose one file: the program of this plate."),
    }
}

fn refusal(error: &FormError) -> Wrong {
    let large = StatusCode::PAYLOAD_TOO_LARGE;
    let (status, text) = match error {
        FormError::TooLarge => (
            large,
            "That is more than 100 MB, and we take no more. Write the program without comments, or ask the coordinator. Nothing was changed.",
        ),
        FormError::TooLong => (large, "This form is damaged. Choose the file again here."),
        FormError::TooMany => (large, "Choose one file: the program of this plate."),
        FormError::Broken => (
            StatusCode::BAD_REQUEST,
            "The file did not arrive whole. Look at your network and send it again. Nothing was changed.",
        ),
        FormError::TooSlow => (
            StatusCode::REQUEST_TIMEOUT,
            "The file came too slowly, and we stopped waiting. Look at your network and send it again. Nothing was changed.",
        ),
    };
    (status, text.to_owned())
}

/// What is wrong with the program is said beside the form, all else on a page of its own.
fn explained(site: &Site, error: WorkshopError) -> Result<Wrong, Trouble> {
    match error {
        WorkshopError::ProgramRefused {
            why, what_to_do, ..
        } => {
            let text = format!(
                "{}. {what_to_do} Nothing was changed.",
                words::capital(&why)
            );
            Ok((StatusCode::UNPROCESSABLE_ENTITY, text))
        }
        other => Err(failed(site, &other)),
    }
}
