//! Coming in: sign in, join, come back.

use axum::extract::{Form, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_units::time::{EventMs, Minute};
use partpledge_words::say;
use partpledge_workshop::people::passkeys::MOST_PASSKEYS;
use partpledge_workshop::people::signing_in::NewToken;
use partpledge_workshop::people::{PeopleError, Problem};
use serde::Deserialize;

use super::{Trouble, failed, page, people};
use crate::guard::From;
use crate::pages::entry::{Also, EntryPage, Field, ShownPage};
use crate::pages::send::Wrong;
use crate::site::Site;
use crate::who::{Head, Visitor, home};

/// What is asked of a new password.
pub(crate) fn password_hint() -> String {
    say!("entry-password-hint")
}

/// A problem in words, with the field that it is about.
pub(crate) fn wrong(problem: Problem) -> Wrong {
    let (field, text) = match problem {
        Problem::NameMissing => ("name", say!("entry-name-missing")),
        Problem::NameLong => ("name", say!("entry-name-long")),
        Problem::NamePersonal => ("name", say!("entry-name-personal")),
        Problem::NameOfRole => ("name", say!("entry-name-of-role")),
        Problem::NicknameTaken => ("name", say!("entry-nickname-taken")),
        Problem::EmailBad => ("email", say!("entry-email-bad")),
        Problem::EmailTaken => ("email", say!("entry-email-taken")),
        Problem::PasswordShort => ("password", say!("entry-password-short")),
        Problem::PasswordLong => ("password", say!("entry-password-long")),
        Problem::PasswordCommon => ("password", say!("entry-password-common")),
        Problem::PasswordWrong => ("old", say!("entry-password-wrong")),
        Problem::NoMatch => ("email", say!("entry-no-match")),
        Problem::NoCode => ("code", say!("entry-no-code")),
        Problem::NoRole => ("email", say!("entry-no-role")),
        Problem::TokenDays => ("token_days", say!("entry-token-days")),
        Problem::TokensMany => ("token_name", say!("entry-tokens-many")),
        Problem::PasskeysMany => (
            "passkeys",
            say!("entry-passkeys-many", most = MOST_PASSKEYS),
        ),
        Problem::PasskeyNotKept => ("passkeys", say!("entry-passkey-not-kept")),
        Problem::NoPasskey => ("", say!("entry-no-passkey")),
        Problem::NoPasskeysHere => ("", say!("entry-no-passkeys-here")),
        Problem::RoleBad => ("role", say!("entry-role-bad")),
        Problem::LastCoordinator => ("role", say!("entry-last-coordinator")),
        Problem::StandInDay => ("until", say!("entry-stand-in-day")),
        Problem::StandInWho => ("who", say!("entry-stand-in-who")),
    };
    Wrong { field, text }
}

/// The answer to a form that was not in order: what is wrong and with which status.
pub(crate) fn refused(
    site: &Site,
    error: PeopleError,
) -> Result<(StatusCode, Vec<Wrong>), Trouble> {
    match error {
        PeopleError::Typed(problems) => {
            let all = problems.into_iter().map(wrong).collect();
            Ok((StatusCode::UNPROCESSABLE_ENTITY, all))
        }
        PeopleError::TooMany { again_at } => {
            let text = wait_until(site, again_at);
            let field = "";
            Ok((StatusCode::TOO_MANY_REQUESTS, vec![Wrong { field, text }]))
        }
        PeopleError::Failed(error) => Err(failed(site, &error)),
    }
}

/// How long somebody waits after too many tries, with the day when it is not today.
pub(crate) fn wait_until(site: &Site, again_at: EventMs) -> String {
    let zone = &site.base().terrain.zone;
    let (now, at) = (
        Minute::at_or_after(site.now()),
        Minute::at_or_after(again_at),
    );
    let time = zone.clock(at);
    if zone.date(at) == zone.date(now) {
        say!("entry-wait-until", time = time)
    } else {
        let day = zone.long_day(at);
        say!("entry-wait-until-day", day = day, time = time)
    }
}

/// Somebody has come in: their cookie, and their first page.
pub(crate) fn come_in(site: &Site, token: &NewToken) -> Response {
    let cookie = [(header::SET_COOKIE, site.cookie_of(token))];
    (cookie, Redirect::to(home(Some(token.held.kind)))).into_response()
}

/// For students who have not joined.
pub(super) fn to_join() -> Also {
    Also {
        before: say!("entry-also-join"),
        href: "/join",
        text: say!("entry-join"),
    }
}

fn to_come_back() -> Also {
    Also {
        before: say!("entry-also-come-back"),
        href: "/come-back",
        text: say!("entry-come-back-with"),
    }
}

/// For adults.
pub(super) fn to_sign_in() -> Also {
    Also {
        before: say!("entry-also-adults"),
        href: "/sign-in",
        text: say!("entry-sign-in"),
    }
}

/// What was typed on any of these pages.
#[derive(Deserialize, Default)]
pub(crate) struct Typed {
    #[serde(default)]
    pub(super) email: String,
    #[serde(default)]
    pub(super) password: String,
    #[serde(default)]
    code: String,
    #[serde(default)]
    pub(super) name: String,
}

pub(super) fn sign_in_page(
    site: &Site,
    visitor: &Visitor,
    typed: &Typed,
    wrong: Vec<Wrong>,
) -> EntryPage {
    let (password, lost) = (say!("entry-password"), say!("entry-password-lost"));
    EntryPage {
        head: Head::new(site.base(), visitor, ""),
        title: say!("entry-sign-in"),
        lead: vec![say!("entry-sign-in-lead")],
        wrong,
        action: "/sign-in".to_owned(),
        fields: vec![
            Field::email("", &typed.email),
            Field::password(&password, &lost, "current-password"),
        ],
        button: say!("entry-sign-in"),
        passkey: visitor.here().is_some(),
        also: vec![to_join(), to_come_back()],
    }
}

/// `GET /sign-in`.
pub(crate) async fn sign_in_form(State(site): State<Site>, visitor: Visitor) -> Response {
    page(&sign_in_page(
        &site,
        &visitor,
        &Typed::default(),
        Vec::new(),
    ))
}

/// `POST /sign-in`.
pub(crate) async fn sign_in(
    State(site): State<Site>,
    visitor: Visitor,
    From(from): From,
    Form(typed): Form<Typed>,
) -> Result<Response, Trouble> {
    let at = site.clone();
    let (email, password) = (typed.email.clone(), typed.password.clone());
    let work = async move { at.people()?.sign_in((&email, &password), &from).await };
    match site.hashing(work).await {
        Ok(token) => Ok(come_in(&site, &token)),
        Err(error) => {
            let (status, wrong) = refused(&site, error)?;
            let form = sign_in_page(&site, &visitor, &typed, wrong);
            Ok((status, page(&form)).into_response())
        }
    }
}

fn join_page(site: &Site, visitor: &Visitor, typed: &Typed, wrong: Vec<Wrong>) -> EntryPage {
    EntryPage {
        head: Head::new(site.base(), visitor, ""),
        title: say!("entry-join"),
        lead: vec![say!("entry-join-lead")],
        wrong,
        action: "/join".to_owned(),
        fields: vec![
            Field::code(
                "code",
                &say!("entry-team-code"),
                &say!("entry-team-code-hint"),
                &typed.code,
            ),
            Field::text(
                "name",
                &say!("entry-nickname"),
                &say!("entry-nickname-hint"),
                &typed.name,
            ),
        ],
        button: say!("entry-join-do"),
        passkey: false,
        also: vec![to_come_back(), to_sign_in()],
    }
}

/// `GET /join`.
pub(crate) async fn join_form(State(site): State<Site>, visitor: Visitor) -> Response {
    page(&join_page(&site, &visitor, &Typed::default(), Vec::new()))
}

/// `POST /join`.
pub(crate) async fn join(
    State(site): State<Site>,
    visitor: Visitor,
    From(from): From,
    Form(typed): Form<Typed>,
) -> Result<Response, Trouble> {
    let people = people(&site)?;
    match people.join((&typed.code, &typed.name), &from).await {
        Ok(joined) => {
            let team = &joined.token.held.scope;
            let shown = ShownPage {
                head: Head::unsaid(site.base()),
                title: say!("entry-joined", team = team),
                lead: say!("entry-joined-lead"),
                label: say!("entry-own-code"),
                value: joined.return_code,
                is_link: false,
                notes: vec![
                    say!("entry-own-code-keep"),
                    say!("entry-own-code-lost"),
                    say!("entry-shared-computer"),
                ],
                next: "/parts".to_owned(),
                next_text: say!("entry-written-down"),
            };
            let cookie = [(header::SET_COOKIE, site.cookie_of(&joined.token))];
            Ok((cookie, page(&shown)).into_response())
        }
        Err(error) => {
            let (status, wrong) = refused(&site, error)?;
            let form = join_page(&site, &visitor, &typed, wrong);
            Ok((status, page(&form)).into_response())
        }
    }
}

fn come_back_page(site: &Site, visitor: &Visitor, typed: &Typed, wrong: Vec<Wrong>) -> EntryPage {
    EntryPage {
        head: Head::new(site.base(), visitor, ""),
        title: say!("entry-come-back"),
        lead: vec![say!("entry-come-back-lead")],
        wrong,
        action: "/come-back".to_owned(),
        fields: vec![Field::code(
            "code",
            &say!("entry-own-code"),
            &say!("entry-own-code-hint"),
            &typed.code,
        )],
        button: say!("entry-come-back"),
        passkey: false,
        also: vec![to_join(), to_sign_in()],
    }
}

/// `GET /come-back`.
pub(crate) async fn come_back_form(State(site): State<Site>, visitor: Visitor) -> Response {
    page(&come_back_page(
        &site,
        &visitor,
        &Typed::default(),
        Vec::new(),
    ))
}

/// `POST /come-back`.
pub(crate) async fn come_back(
    State(site): State<Site>,
    visitor: Visitor,
    From(from): From,
    Form(typed): Form<Typed>,
) -> Result<Response, Trouble> {
    let people = people(&site)?;
    match people.come_back(&typed.code, &from).await {
        Ok(token) => Ok(come_in(&site, &token)),
        Err(error) => {
            let (status, wrong) = refused(&site, error)?;
            let form = come_back_page(&site, &visitor, &typed, wrong);
            Ok((status, page(&form)).into_response())
        }
    }
}
