//! One-time links: take up an invitation, choose another password.

use axum::extract::{Form, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_records::{CodeKind, PersonKind};
use partpledge_words::say;
use partpledge_workshop::people::inviting::NewAdult;
use partpledge_workshop::people::{PeopleError, Problem};

use super::entry::{Typed, come_in, password_hint, refused, to_join, to_sign_in};
use super::{Trouble, page, people};
use crate::guard::From;
use crate::pages::entry::{EntryPage, Field};
use crate::pages::send::Wrong;
use crate::site::Site;
use crate::who::{Head, Visitor, home, role_words};

/// What a link that does not work answers.
fn dead_link(site: &Site, error: PeopleError) -> Result<Response, Trouble> {
    let (status, wrong) = refused(site, error)?;
    let too_many = status == StatusCode::TOO_MANY_REQUESTS;
    let lead = match wrong.into_iter().next() {
        Some(wrong) if too_many => wrong.text,
        _ => say!("entry-dead-link-why"),
    };
    let status = if too_many {
        status
    } else {
        StatusCode::NOT_FOUND
    };
    let answer = EntryPage {
        head: Head::unsaid(site.base()),
        title: say!("entry-dead-link"),
        lead: vec![lead],
        wrong: Vec::new(),
        action: String::new(),
        fields: Vec::new(),
        button: String::new(),
        passkey: false,
        also: vec![to_sign_in(), to_join()],
    };
    Ok((status, page(&answer)).into_response())
}

fn invited_page(
    site: &Site,
    visitor: &Visitor,
    (token, role): (&str, &str),
    (typed, wrong): (&Typed, Vec<Wrong>),
) -> EntryPage {
    let known = visitor
        .signed()
        .filter(|signed| signed.person.kind == PersonKind::Adult);
    let (lead, fields, button) = match known {
        Some(signed) => (
            say!("entry-invited-as", name = &signed.person.name),
            Vec::new(),
            say!("entry-take-up"),
        ),
        None => (
            say!("entry-invited-lead"),
            vec![
                Field::text(
                    "name",
                    &say!("entry-name"),
                    &say!("entry-name-hint"),
                    &typed.name,
                ),
                Field::email(&say!("entry-email-hint"), &typed.email),
                Field::password(
                    &say!("entry-choose-password"),
                    &password_hint(),
                    "new-password",
                ),
            ],
            say!("entry-make-account"),
        ),
    };
    EntryPage {
        head: Head::new(site.base(), visitor, ""),
        title: say!("entry-invited", role = role),
        lead: vec![lead],
        wrong,
        action: format!("/invited/{}", crate::who::escape(token)),
        fields,
        button,
        passkey: false,
        also: if known.is_some() {
            Vec::new()
        } else {
            vec![to_sign_in()]
        },
    }
}

/// `GET /invited/{token}`.
pub(crate) async fn invited_form(
    State(site): State<Site>,
    visitor: Visitor,
    From(from): From,
    Path(token): Path<String>,
) -> Result<Response, Trouble> {
    let people = people(&site)?;
    match people.link_for(CodeKind::Invite, &token, &from).await {
        Ok(code) => {
            let role = role_words(site.base(), &code.held);
            let typed = (&Typed::default(), Vec::new());
            Ok(page(&invited_page(&site, &visitor, (&token, &role), typed)))
        }
        Err(error) => dead_link(&site, error),
    }
}

/// `POST /invited/{token}`.
pub(crate) async fn invited(
    State(site): State<Site>,
    visitor: Visitor,
    From(from): From,
    Path(token): Path<String>,
    Form(typed): Form<Typed>,
) -> Result<Response, Trouble> {
    let people = people(&site)?;
    let code = match people.link_for(CodeKind::Invite, &token, &from).await {
        Ok(code) => code,
        Err(error) => return dead_link(&site, error),
    };
    let known = visitor
        .signed()
        .filter(|signed| signed.person.kind == PersonKind::Adult);
    if let Some(signed) = known {
        return match people.accept_as(&token, signed, &from).await {
            Ok(held) => Ok(Redirect::to(home(Some(held.kind))).into_response()),
            Err(error) => dead_link(&site, error),
        };
    }
    let (at, secret) = (site.clone(), token.clone());
    let (name, email, password) = (
        typed.name.clone(),
        typed.email.clone(),
        typed.password.clone(),
    );
    let work = async move {
        let new = NewAdult {
            name: &name,
            email: &email,
            password: &password,
        };
        at.people()?.accept(&secret, &new, &from).await
    };
    match site.hashing(work).await {
        Ok(token) => Ok(come_in(&site, &token)),
        Err(error) => {
            let (status, wrong) = refused(&site, error)?;
            let role = role_words(site.base(), &code.held);
            let form = invited_page(&site, &visitor, (&token, &role), (&typed, wrong));
            Ok((status, page(&form)).into_response())
        }
    }
}

fn new_password_page(site: &Site, token: &str, wrong: Vec<Wrong>) -> EntryPage {
    EntryPage {
        head: Head::unsaid(site.base()),
        title: say!("entry-choose-new-password"),
        lead: vec![say!("entry-new-password-lead")],
        wrong,
        action: format!("/new-password/{}", crate::who::escape(token)),
        fields: vec![Field::password(
            &say!("entry-new-password"),
            &password_hint(),
            "new-password",
        )],
        button: say!("entry-keep-password"),
        passkey: false,
        also: Vec::new(),
    }
}

/// `GET /new-password/{token}`.
pub(crate) async fn new_password_form(
    State(site): State<Site>,
    From(from): From,
    Path(token): Path<String>,
) -> Result<Response, Trouble> {
    let people = people(&site)?;
    match people.link_for(CodeKind::Reset, &token, &from).await {
        Ok(_) => Ok(page(&new_password_page(&site, &token, Vec::new()))),
        Err(error) => dead_link(&site, error),
    }
}

/// `POST /new-password/{token}`.
pub(crate) async fn new_password(
    State(site): State<Site>,
    From(from): From,
    Path(token): Path<String>,
    Form(typed): Form<Typed>,
) -> Result<Response, Trouble> {
    let (at, secret, password) = (site.clone(), token.clone(), typed.password);
    let work = async move { at.people()?.reset(&secret, &password, &from).await };
    match site.hashing(work).await {
        Ok(()) => Ok(Redirect::to("/sign-in").into_response()),
        Err(PeopleError::Typed(problems)) if !problems.contains(&Problem::NoCode) => {
            let (status, wrong) = refused(&site, PeopleError::Typed(problems))?;
            let form = new_password_page(&site, &token, wrong);
            Ok((status, page(&form)).into_response())
        }
        Err(error) => dead_link(&site, error),
    }
}
