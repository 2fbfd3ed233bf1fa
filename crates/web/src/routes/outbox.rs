//! The outbox: every message that goes out by e-mail, or would.

use axum::extract::{Path, State};
use axum::response::{Redirect, Response};
use partpledge_records::{MessageKind, MessageState};
use partpledge_words::say;
use partpledge_workshop::Session;
use partpledge_workshop::mail::{self, Shown};

use super::account::when;
use super::{Trouble, failed, page};
use crate::pages::outbox::{MessageRow, OutboxPage};
use crate::site::Site;
use crate::who::{Head, Visitor};

fn state(session: &Session, shown: &Shown) -> String {
    let message = &shown.message;
    let tries = message.attempts;
    match message.state {
        MessageState::Kept => say!("outbox-state-kept", n = tries),
        MessageState::Going => say!("outbox-state-going"),
        MessageState::Sent => {
            let at = message.sent_at.unwrap_or(message.made_at);
            say!("outbox-state-sent", at = when(session, at))
        }
        MessageState::Failed => say!("outbox-state-failed", n = tries),
    }
}

fn row(session: &Session, shown: &Shown) -> MessageRow {
    let message = &shown.message;
    let made = when(session, message.made_at);
    MessageRow {
        id: message.id.to_string(),
        to: shown.person.name.clone(),
        address: shown.person.email.clone().unwrap_or_default(),
        made: match message.said.kind {
            MessageKind::Digest => say!("outbox-made-morning", at = made),
            MessageKind::Urgent => say!("outbox-made-urgent", at = made),
        },
        state: state(session, shown),
        why: message.failure.as_deref().map(mail::why_failed),
        subject: message.said.subject.clone(),
        body: message.said.body.clone(),
        given_up: message.state == MessageState::Failed,
    }
}

/// `GET /outbox`.
pub(crate) async fn list(State(site): State<Site>, visitor: Visitor) -> Result<Response, Trouble> {
    let session = site.session().await;
    let session = &session.map_err(|error| failed(&site, &error))?;
    let all = mail::outbox(session, &visitor.actor()).await;
    let all = all.map_err(|error| failed(&site, &error))?;
    Ok(page(&OutboxPage {
        head: Head::new(session, &visitor, ""),
        on: site.sends_mail(),
        rows: all.iter().map(|shown| row(session, shown)).collect(),
    }))
}

/// `POST /outbox/{id}/again`.
pub(crate) async fn again(
    State(site): State<Site>,
    visitor: Visitor,
    Path(id): Path<String>,
) -> Result<Redirect, Trouble> {
    let id = super::id(&site, &id)?;
    let session = site.session().await;
    let session = session.map_err(|error| failed(&site, &error))?;
    let done = mail::again(&session, &visitor.actor(), id).await;
    done.map_err(|error| failed(&site, &error))?;
    Ok(Redirect::to("/outbox"))
}
