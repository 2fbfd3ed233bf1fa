//! The region's tables out and in: a file is shown first, and done exactly as it was shown.

use axum::body::{Body, to_bytes};
use axum::extract::{Form as Fields, FromRequest, Multipart, Path, Query, Request, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use base64::Engine as _;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use partpledge_words::say;
use partpledge_workshop::bench::{Changed, change_region};
use partpledge_workshop::region_data::{self, Proposal, Table, Told, changes, propose};
use partpledge_workshop::{Actor, Books, Session, WorkshopError};
use serde::Deserialize;

use super::{After, Trouble, failed, is_key, key, looked, not_here, page, trouble};
use crate::pages::data::{DataPage, sheet};
use crate::pages::send::Wrong;
use crate::site::Site;
use crate::upload::{Form, FormError};
use crate::who::{Head, Visitor};
use crate::words;

const PLACE: &str = "/region/data";
/// Largest body of the button's form, bytes: a table's 256 kB in base64 and a little.
const MOST_BYTES: usize = 400 * 1024;

async fn plain_page(session: &Session, visitor: &Visitor) -> Result<DataPage, WorkshopError> {
    let changes = changes(session, &visitor.actor()).await?;
    let head = Head::new(session, visitor, "/region");
    Ok(DataPage::new(head, session, &changes))
}

/// `GET /region/data`.
pub(crate) async fn list(
    State(site): State<Site>,
    visitor: Visitor,
    Query(after): Query<After>,
) -> Result<Response, Trouble> {
    let session = site.session().await;
    let session = session.map_err(|error| failed(&site, &error))?;
    let made = plain_page(&session, &visitor).await;
    let mut made = made.map_err(|error| failed(&site, &error))?;
    made.notice = (after.done == "changed").then(|| say!("data-was-done"));
    Ok(page(&made))
}

/// A table as a file to keep.
pub(crate) fn csv(table: Table, bytes: Vec<u8>) -> Response {
    let name = format!("attachment; filename=\"{}.csv\"", table.name());
    let headers = [
        (
            header::CONTENT_TYPE,
            "text/csv; charset=utf-8; header=present",
        ),
        (header::CONTENT_DISPOSITION, name.as_str()),
        (header::CACHE_CONTROL, "no-store"),
    ];
    (headers, bytes).into_response()
}

/// `GET /region/data/teams.csv`.
pub(crate) async fn file(
    State(site): State<Site>,
    visitor: Visitor,
    Path(file): Path<String>,
) -> Result<Response, Trouble> {
    let table = file.strip_suffix(".csv").and_then(Table::named);
    let table = table.ok_or_else(|| not_here(&site, &say!("head-no-file")))?;
    let session = site.session().await;
    let session = session.map_err(|error| failed(&site, &error))?;
    let made = region_data::table(&session, &visitor.actor(), table);
    Ok(csv(table, made.map_err(|error| failed(&site, &error))?))
}

/// What the form says, or what is wrong with it.
fn read(form: Result<Form, FormError>) -> Result<Told, (StatusCode, Wrong)> {
    let wrong = |status, field, text| Err((status, Wrong { field, text }));
    let odd = StatusCode::UNPROCESSABLE_ENTITY;
    let form = match form {
        Ok(form) => form,
        Err(FormError::TooLarge | FormError::TooLong | FormError::TooMany) => {
            let large = StatusCode::PAYLOAD_TOO_LARGE;
            return wrong(large, "file", say!("data-too-much"));
        }
        Err(FormError::Broken | FormError::TooSlow) => {
            let text = say!("data-not-whole");
            return wrong(StatusCode::BAD_REQUEST, "file", text);
        }
    };
    let Some(table) = Table::named(form.get("table")) else {
        return wrong(odd, "table", say!("data-choose-table"));
    };
    let removes = form.get("removes") == "yes";
    let mut files = form.files.into_iter();
    match (files.next(), files.next()) {
        (Some((_, bytes)), None) => Ok(Told {
            table,
            bytes: bytes.to_vec(),
            removes,
        }),
        _ => wrong(odd, "file", say!("data-choose-file")),
    }
}

/// `POST /region/data`: what it would change.
pub(crate) async fn check(
    State(site): State<Site>,
    visitor: Visitor,
    parts: Multipart,
) -> Result<Response, Trouble> {
    let turn = site.turn_to_send(visitor.actor().person()).await;
    let told = read(Form::read(parts).await);
    drop(turn);
    let (session, books) = looked(&site).await?;
    let forecasts = site.clone();
    let made = site.heavy(async move {
        let made = plain_page(&session, &visitor).await?;
        let told = match told {
            Ok(told) => told,
            Err((status, wrong)) => return Ok((status, with(made, wrong))),
        };
        let made = made.chosen(Some(told.table), told.removes);
        match propose(&session, &visitor.actor(), &books, &told).await {
            Ok(proposal) => {
                let world = (&session, &books);
                let made = with_sheet(made, &forecasts, world, (&told, &proposal));
                Ok((StatusCode::OK, made))
            }
            Err(WorkshopError::Table(error)) => {
                let text = words::capital(&format!("{error}."));
                let wrong = Wrong {
                    field: "file",
                    text,
                };
                Ok((StatusCode::UNPROCESSABLE_ENTITY, with(made, wrong)))
            }
            Err(error) => Err(error),
        }
    });
    let (status, made) = made.await.map_err(|error| failed(&site, &error))?;
    Ok((status, page(&made)).into_response())
}

fn with(mut made: DataPage, wrong: Wrong) -> DataPage {
    made.wrong.push(wrong);
    made
}

fn with_sheet(
    mut made: DataPage,
    site: &Site,
    (session, books): (&Session, &Books),
    (told, proposal): (&Told, &Proposal),
) -> DataPage {
    let now = site.forecasts(session, books);
    let fields = vec![
        ("table", told.table.name().to_owned()),
        (
            "removes",
            if told.removes { "yes" } else { "no" }.to_owned(),
        ),
        ("digest", proposal.digest.clone()),
        ("bytes", URL_SAFE_NO_PAD.encode(&told.bytes)),
        ("key", key()),
    ];
    made.sheet = Some(sheet((session, books), &now, proposal, fields));
    made
}

/// What the button sends.
#[derive(Deserialize)]
struct Button {
    table: String,
    removes: String,
    digest: String,
    bytes: String,
    key: String,
}

impl Button {
    async fn read(request: Request) -> Option<(Told, String, String)> {
        let (parts, body) = request.into_parts();
        let bytes = to_bytes(body, MOST_BYTES).await.ok()?;
        let whole = Request::from_parts(parts, Body::from(bytes));
        let Fields(button) = Fields::<Self>::from_request(whole, &()).await.ok()?;
        let told = Told {
            table: Table::named(&button.table)?,
            bytes: URL_SAFE_NO_PAD.decode(&button.bytes).ok()?,
            removes: button.removes == "yes",
        };
        is_key(&button.key).then_some((told, button.digest, button.key))
    }
}

/// `POST /region/data/do`: exactly what was shown, or it is shown again.
pub(crate) async fn done(
    State(site): State<Site>,
    visitor: Visitor,
    request: Request,
) -> Result<Response, Trouble> {
    let Some((told, digest, key)) = Button::read(request).await else {
        let title = say!("data-not-ours");
        let what_to_do = say!("data-not-ours-do");
        let status = StatusCode::UNPROCESSABLE_ENTITY;
        return Err(trouble(&site, status, &title, &what_to_do));
    };
    let session = site.session().await;
    let session = session.map_err(|error| failed(&site, &error))?;
    let actor: Actor = visitor.actor();
    let did = site.heavy(async move {
        let what = (&told, digest.as_str());
        let did = change_region(&session, &actor, what, Some(&key)).await?;
        Ok((did, told))
    });
    let (did, told) = did.await.map_err(|error| failed(&site, &error))?;
    let Changed::Ask(proposal) = did else {
        // What pages stand on is read anew.
        let _ = site.session().await;
        return Ok(Redirect::to(&format!("{PLACE}?done=changed")).into_response());
    };
    let (session, books) = looked(&site).await?;
    let forecasts = site.clone();
    let made = site.heavy(async move {
        let made = plain_page(&session, &visitor).await?;
        let made = made.chosen(Some(told.table), told.removes);
        let world = (&session, &books);
        let mut made = with_sheet(made, &forecasts, world, (&told, &proposal));
        made.notice = Some(say!("data-changed-meanwhile"));
        Ok(made)
    });
    let made = made.await.map_err(|error| failed(&site, &error))?;
    Ok((StatusCode::CONFLICT, page(&made)).into_response())
}
