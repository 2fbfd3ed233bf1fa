//! Tokens for programs and calendars, made and stopped on the account page.

use axum::extract::{Form, Path, State};
use axum::http::HeaderMap;
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_records::TokenKind;
use partpledge_words::say;
use serde::Deserialize;

use super::account::{account_page, known};
use super::entry::refused;
use super::{Trouble, failed, page, people};
use crate::pages::entry::ShownPage;
use crate::site::Site;
use crate::who::{Head, Visitor};

/// What a token is to be.
#[derive(Deserialize)]
pub(crate) struct Wanted {
    #[serde(default)]
    name: String,
    #[serde(default)]
    kind: String,
    #[serde(default)]
    role: String,
    #[serde(default)]
    days: String,
}

/// `POST /account/tokens`.
pub(crate) async fn make(
    State(site): State<Site>,
    visitor: Visitor,
    headers: HeaderMap,
    Form(wanted): Form<Wanted>,
) -> Result<Response, Trouble> {
    let signed = known(&site, &visitor)?;
    let people = people(&site)?;
    let kind = wanted.kind.parse().unwrap_or(TokenKind::Api);
    let held = people.role_of(&wanted.role).and_then(|role| role.held());
    // A role that is none is refused like one that is not held.
    let held = held.unwrap_or_else(|| partpledge_records::Held::new(signed.sign_in.held.kind, "?"));
    let days = wanted.days.trim().parse().unwrap_or(0);
    let made = people
        .make_token(signed, (kind, &held), (&wanted.name, days))
        .await;
    let token = match made {
        Ok(token) => token,
        Err(error) => {
            let (status, mut wrong) = refused(&site, error)?;
            for one in &mut wrong {
                one.field = match one.field {
                    "name" => "token_name",
                    "role" => "token_role",
                    other => other,
                };
            }
            let made = account_page(&site, &visitor, (None, wrong)).await?;
            return Ok((status, page(&made)).into_response());
        }
    };
    Ok(page(&shown(&site, &headers, kind, &token)))
}

fn shown(site: &Site, headers: &HeaderMap, kind: TokenKind, token: &str) -> ShownPage {
    let (label, value, lead) = match kind {
        TokenKind::Api => (
            say!("account-token"),
            token.to_owned(),
            say!("account-token-copy"),
        ),
        TokenKind::Feed => (
            say!("account-calendar"),
            site.link(headers, &format!("/calendar/{token}.ics")),
            say!("account-calendar-copy"),
        ),
    };
    ShownPage {
        head: Head::unsaid(site.base()),
        title: say!("account-token-made"),
        lead,
        label,
        value,
        is_link: kind == TokenKind::Feed,
        notes: vec![say!("account-token-keep"), say!("account-token-lost")],
        next: "/account#programs".to_owned(),
        next_text: say!("account-copied"),
    }
}

/// `POST /account/tokens/{id}/stop`.
pub(crate) async fn stop(
    State(site): State<Site>,
    visitor: Visitor,
    Path(id): Path<String>,
) -> Result<Redirect, Trouble> {
    let signed = known(&site, &visitor)?;
    let people = people(&site)?;
    let id = super::id(&site, &id)?;
    let done = people.stop_token(signed, id).await;
    done.map_err(|error| failed(&site, &error))?;
    Ok(Redirect::to("/account#programs"))
}
