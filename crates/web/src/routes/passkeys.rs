//! Passkeys: added and removed on the account page, shown to sign in. A script stands between the page and
//! the device; what it is asked and answers is JSON of Web Authentication.

use axum::extract::{Form, Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_records::Passkey;
use partpledge_units::local::rfc3339_utc;
use partpledge_words::say;
use partpledge_workshop::Session;
use partpledge_workshop::people::passkeys::Here;
use partpledge_workshop::people::{PeopleError, Problem};
use serde::{Deserialize, Serialize};

use super::account::{account_page, known, when};
use super::entry::{Typed as TypedToSignIn, come_in, refused, sign_in_page};
use super::{Trouble, failed, page, people};
use crate::guard::From;
use crate::pages::account::PasskeyRow;
use crate::pages::send::Wrong;
use crate::site::Site;
use crate::who::Visitor;

/// A passkey in one's list.
pub(super) fn row(session: &Session, one: &Passkey) -> PasskeyRow {
    let added = when(session, one.added_at);
    PasskeyRow {
        id: one.id.to_string(),
        name: one.name.clone(),
        text: match one.used_at {
            Some(used) => say!(
                "account-passkey-used",
                added = added,
                used = when(session, used)
            ),
            None => say!("account-passkey-unused", added = added),
        },
    }
}

/// A passkey as a copy has it.
#[derive(Serialize)]
pub(super) struct PasskeyOut {
    name: String,
    added_at: String,
    last_used: Option<String>,
}

impl PasskeyOut {
    pub(super) fn new(one: Passkey) -> Self {
        Self {
            name: one.name,
            added_at: rfc3339_utc(one.added_at),
            last_used: one.used_at.map(rfc3339_utc),
        }
    }
}

/// The address at which the server was asked for.
fn here(visitor: &Visitor) -> Result<Here, PeopleError> {
    let found = visitor.here().cloned();
    found.ok_or_else(|| Problem::NoPasskeysHere.into())
}

/// What goes to the script.
fn json(status: StatusCode, text: String) -> Response {
    let headers = [
        (header::CONTENT_TYPE, "application/json"),
        (header::CACHE_CONTROL, "no-store"),
    ];
    (status, headers, text).into_response()
}

/// What the script is to say, and beside which field.
#[derive(Serialize)]
struct WrongOut {
    field: &'static str,
    text: String,
}

fn asked(site: &Site, options: Result<String, PeopleError>) -> Result<Response, Trouble> {
    let (status, wrong) = match options {
        Ok(options) => return Ok(json(StatusCode::OK, options)),
        Err(error) => refused(site, error)?,
    };
    let first = named(wrong).into_iter().next().map(|one| WrongOut {
        field: one.field,
        text: one.text,
    });
    // Texts only: they always serialise.
    Ok(json(
        status,
        serde_json::to_string(&first).unwrap_or_default(),
    ))
}

/// Fields as they are called on the account page.
fn named(mut wrong: Vec<Wrong>) -> Vec<Wrong> {
    for one in &mut wrong {
        one.field = match one.field {
            "name" => "passkey_name",
            "old" => "passkey_password",
            other => other,
        };
    }
    wrong
}

/// What a new passkey is to be called, and whose it is.
#[derive(Deserialize)]
pub(crate) struct Naming {
    #[serde(default)]
    name: String,
    #[serde(default)]
    password: String,
}

/// `POST /account/passkeys/ask`: what the device is to be asked, to make one.
pub(crate) async fn ask(
    State(site): State<Site>,
    visitor: Visitor,
    From(from): From,
    Form(naming): Form<Naming>,
) -> Result<Response, Trouble> {
    let signed = known(&site, &visitor)?.clone();
    let at = site.clone();
    let work = async move {
        let here = here(&visitor)?;
        let what = (&here, naming.name.as_str(), naming.password.as_str());
        at.people()?.ask_for_passkey(&signed, what, &from).await
    };
    let options = site.hashing(work).await;
    asked(&site, options)
}

/// What the device answered.
#[derive(Deserialize)]
pub(crate) struct Answered {
    #[serde(default)]
    name: String,
    #[serde(default)]
    answer: String,
}

/// `POST /account/passkeys`: keeps what the device has made.
pub(crate) async fn add(
    State(site): State<Site>,
    visitor: Visitor,
    Form(answered): Form<Answered>,
) -> Result<Response, Trouble> {
    let signed = known(&site, &visitor)?;
    let people = people(&site)?;
    let kept = match here(&visitor) {
        Ok(here) => {
            let what = (&here, answered.name.as_str(), answered.answer.as_str());
            people.add_passkey(signed, what).await
        }
        Err(error) => Err(error),
    };
    let (status, said, wrong) = match kept {
        Ok(()) => {
            let said = say!("account-passkey-added");
            (StatusCode::OK, Some(said), Vec::new())
        }
        Err(error) => {
            let (status, wrong) = refused(&site, error)?;
            (status, None, named(wrong))
        }
    };
    let made = account_page(&site, &visitor, (said, wrong)).await?;
    Ok((status, page(&made)).into_response())
}

/// `POST /account/passkeys/{id}/remove`.
pub(crate) async fn remove(
    State(site): State<Site>,
    visitor: Visitor,
    Path(id): Path<String>,
) -> Result<Redirect, Trouble> {
    let signed = known(&site, &visitor)?;
    let people = people(&site)?;
    let id = super::id(&site, &id)?;
    let done = people.remove_passkey(signed, id).await;
    done.map_err(|error| failed(&site, &error))?;
    Ok(Redirect::to("/account#passkeys"))
}

/// `POST /sign-in/passkey/ask`: what the device is to be asked, to find one.
pub(crate) async fn ask_to_sign_in(
    State(site): State<Site>,
    visitor: Visitor,
    From(from): From,
) -> Result<Response, Trouble> {
    let people = people(&site)?;
    let options = match here(&visitor) {
        Ok(here) => people.ask_to_sign_in(&here, &from).await,
        Err(error) => Err(error),
    };
    asked(&site, options)
}

/// `POST /sign-in/passkey`.
pub(crate) async fn sign_in(
    State(site): State<Site>,
    visitor: Visitor,
    From(from): From,
    Form(answered): Form<Answered>,
) -> Result<Response, Trouble> {
    let people = people(&site)?;
    let token = match here(&visitor) {
        Ok(here) => {
            let what = (&here, answered.answer.as_str());
            people.sign_in_by_passkey(what, &from).await
        }
        Err(error) => Err(error),
    };
    match token {
        Ok(token) => Ok(come_in(&site, &token)),
        Err(error) => {
            let (status, wrong) = refused(&site, error)?;
            let form = sign_in_page(&site, &visitor, &TypedToSignIn::default(), wrong);
            Ok((status, page(&form)).into_response())
        }
    }
}
