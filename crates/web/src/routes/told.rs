//! The coordinator's page of programs that are told what happens.

use axum::extract::{Form, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_records::HookTry;
use partpledge_words::say;
use partpledge_workshop::hooks::{self, KINDS, Told};
use partpledge_workshop::{Session, WorkshopError};

use super::account::when;
use super::{Trouble, failed, page};
use crate::hooks::no_answer_says;
use crate::pages::entry::ShownPage;
use crate::pages::send::Wrong;
use crate::pages::told::{ToldPage, ToldRow, kind_words};
use crate::site::Site;
use crate::who::{Head, Visitor};

async fn session_of(site: &Site) -> Result<Session, Trouble> {
    site.session().await.map_err(|error| failed(site, &error))
}

/// What a try came to: kept in English, as programs and logs have it.
fn answer(kept: &str) -> String {
    let (kept, over) = match kept.strip_suffix("; given up after a day") {
        Some(first) => (first, true),
        None => (kept, false),
    };
    let said = match (
        kept.strip_prefix("answered "),
        kept.strip_prefix("no answer: "),
    ) {
        (Some(status), _) => say!("send-told-answered", status = status),
        (None, Some(why)) => say!("send-told-no-answer", why = no_answer_says(why)),
        (None, None) => kept.to_owned(),
    };
    if over {
        say!("send-told-given-up", answer = said)
    } else {
        said
    }
}

fn row(session: &Session, told: &Told) -> ToldRow {
    let known = |kind: &&String| KINDS.contains(&kind.as_str());
    let kinds = told.hook.kinds.iter().filter(known);
    let kinds: Vec<String> = kinds.map(|kind| kind_words(kind)).collect();
    let tried = |tried: &HookTry| {
        say!(
            "send-told-try",
            at = when(session, tried.at),
            entry = tried.entry,
            n = tried.attempt,
            answer = answer(&tried.answer)
        )
    };
    ToldRow {
        id: told.hook.id.to_string(),
        address: told.hook.address.clone(),
        kinds: kinds.join("; "),
        tries: told.tries.iter().map(tried).collect(),
    }
}

async fn told_page(
    site: &Site,
    visitor: &Visitor,
    (typed, wrong): (String, Vec<Wrong>),
) -> Result<ToldPage, Trouble> {
    let session = session_of(site).await?;
    let all = hooks::told(&session, &visitor.actor()).await;
    let all = all.map_err(|error| failed(site, &error))?;
    Ok(ToldPage {
        head: Head::new(&session, visitor, ""),
        wrong,
        rows: all.iter().map(|told| row(&session, told)).collect(),
        kinds: KINDS.map(|kind| (kind, kind_words(kind))).to_vec(),
        typed,
    })
}

/// `GET /told`.
pub(crate) async fn list(State(site): State<Site>, visitor: Visitor) -> Result<Response, Trouble> {
    let made = told_page(&site, &visitor, (String::new(), Vec::new())).await?;
    Ok(page(&made))
}

/// `POST /told`.
pub(crate) async fn register(
    State(site): State<Site>,
    visitor: Visitor,
    Form(fields): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    let of = |name: &'static str| {
        let named = fields.iter().filter(move |(known, _)| known == name);
        named.map(|(_, value)| value.trim())
    };
    let address = of("address").next().unwrap_or_default();
    let kinds: Vec<&str> = of("kind").collect();
    let session = session_of(&site).await?;
    let what = (address, kinds.as_slice());
    let made = hooks::register(&session, &visitor.actor(), what, site.reach()).await;
    let secret = match made {
        Ok((_, secret)) => secret,
        Err(error @ WorkshopError::OutOfRange { .. }) => {
            let (field, text) = ("address", format!("{error}."));
            let wrong = vec![Wrong {
                field,
                text: crate::words::capital(&text),
            }];
            let made = told_page(&site, &visitor, (address.to_owned(), wrong)).await?;
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&made)).into_response());
        }
        Err(error) => return Err(failed(&site, &error)),
    };
    Ok(page(&ShownPage {
        head: Head::unsaid(site.base()),
        title: say!("send-told-done"),
        lead: say!("send-told-secret-lead"),
        label: say!("send-told-secret"),
        value: secret,
        is_link: false,
        notes: vec![say!("send-told-secret-note")],
        next: "/told".to_owned(),
        next_text: say!("send-told-copied"),
    }))
}

/// `POST /told/{id}/stop`.
pub(crate) async fn stop(
    State(site): State<Site>,
    visitor: Visitor,
    Path(id): Path<String>,
) -> Result<Redirect, Trouble> {
    let session = session_of(&site).await?;
    let id = super::id(&site, &id)?;
    let done = hooks::stop(&session, &visitor.actor(), id).await;
    done.map_err(|error| failed(&site, &error))?;
    Ok(Redirect::to("/told"))
}
