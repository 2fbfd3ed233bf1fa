//! One's own account: sign out, change over, password, a copy of what is kept, leaving.

use axum::extract::{Form, Path, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_records::{MailChoice, PersonKind, SignIn, StoredToken, TokenKind};
use partpledge_units::local::rfc3339_utc;
use partpledge_units::time::{EventMs, Minute};
use partpledge_words::{Tongue, say};
use partpledge_workshop::mail as mailing;
use partpledge_workshop::people::leaving::{OnCrew, PersonData};
use partpledge_workshop::people::{PeopleError, Signed};
use partpledge_workshop::{Session, WorkshopError};
use serde::{Deserialize, Serialize};

use super::entry::{password_hint, refused, wait_until, wrong as in_words};
use super::passkeys::{self, PasskeyOut};
use super::{Trouble, failed, page, people, trouble};
use crate::guard::From;
use crate::pages::account::{AccountPage, MailRow, RoleRow, SignInRow, TokenRow};
use crate::pages::entry::FarewellPage;
use crate::pages::send::Wrong;
use crate::site::Site;
use crate::who::{Head, Visitor, home, role_value, role_words};
use crate::words;

/// Whoever is signed in; the guard lets nobody else as far as here.
pub(crate) fn known<'a>(site: &Site, visitor: &'a Visitor) -> Result<&'a Signed, Trouble> {
    let not_in = || failed(site, &WorkshopError::NotYours);
    visitor.signed().ok_or_else(not_in)
}

/// `POST /sign-out`.
pub(crate) async fn sign_out(
    State(site): State<Site>,
    visitor: Visitor,
) -> Result<Response, Trouble> {
    let signed = known(&site, &visitor)?;
    let people = people(&site)?;
    // Signed out by another browser a moment ago is signed out as well.
    let _ = people.sign_out(signed, signed.sign_in.id).await;
    Ok(left(&site))
}

/// Nobody is signed in here any more. The browser is told to forget pictures that it kept, since
/// the next to sit at it may be of another team.
fn left(site: &Site) -> Response {
    const CLEAR: header::HeaderName = header::HeaderName::from_static("clear-site-data");
    let headers = [
        (header::SET_COOKIE, site.no_cookie()),
        (CLEAR, "\"cache\"".to_owned()),
    ];
    (headers, Redirect::to("/start")).into_response()
}

/// Which role.
#[derive(Deserialize)]
pub(crate) struct Worn {
    #[serde(default)]
    role: String,
}

/// `POST /wear`: another of one's roles, from now on in this browser.
pub(crate) async fn wear(
    State(site): State<Site>,
    visitor: Visitor,
    Form(worn): Form<Worn>,
) -> Result<Redirect, Trouble> {
    let signed = known(&site, &visitor)?;
    let people = people(&site)?;
    let held = people.role_of(&worn.role).and_then(|role| role.held());
    let Some(held) = held else {
        let title = say!("account-no-such-role");
        let what_to_do = say!("account-choose-role");
        let status = StatusCode::UNPROCESSABLE_ENTITY;
        return Err(trouble(&site, status, &title, &what_to_do));
    };
    let done = people.wear(signed, &held).await;
    done.map_err(|error| failed(&site, &error))?;
    Ok(Redirect::to(home(Some(held.kind))))
}

/// `GET /account`.
pub(crate) async fn account(
    State(site): State<Site>,
    visitor: Visitor,
) -> Result<Response, Trouble> {
    Ok(page(
        &account_page(&site, &visitor, (None, Vec::new())).await?,
    ))
}

pub(crate) async fn account_page(
    site: &Site,
    visitor: &Visitor,
    (said, wrong): (Option<String>, Vec<Wrong>),
) -> Result<AccountPage, Trouble> {
    let signed = known(site, visitor)?;
    let session = site.base();
    let people = people(site)?;
    let roles = people.roles_of(&signed.person).await;
    let roles = roles.map_err(|error| failed(site, &error))?;
    let sign_ins = people.sign_ins(signed).await;
    let sign_ins = sign_ins.map_err(|error| failed(site, &error))?;
    let tokens = people.tokens(signed).await;
    let tokens = tokens.map_err(|error| failed(site, &error))?;
    let roles = roles.iter().map(|held| RoleRow {
        value: role_value(held),
        text: words::capital(&role_words(session, held)),
        worn: *held == signed.sign_in.held,
    });
    let row = |one: &SignIn| SignInRow {
        id: one.id.to_string(),
        text: say!(
            "account-sign-in",
            since = when(session, one.began_at),
            used = when(session, one.seen_at),
            role = role_words(session, &one.held)
        ),
        here: one.id == signed.sign_in.id,
    };
    let adult = signed.person.kind == PersonKind::Adult;
    let chosen = mailing::choice(session, &visitor.actor()).await;
    let chosen = chosen.map_err(|error| failed(site, &error))?;
    let keys = people.passkeys(signed).await;
    let keys = keys.map_err(|error| failed(site, &error))?;
    Ok(AccountPage {
        head: Head::new(session, visitor, "/account"),
        said,
        wrong,
        adult,
        name: signed.person.name.clone(),
        email: signed.person.email.clone(),
        roles: roles.collect(),
        sign_ins: sign_ins.iter().map(row).collect(),
        tokens: tokens.iter().map(|one| token_row(session, one)).collect(),
        passkeys: keys.iter().map(|one| passkeys::row(session, one)).collect(),
        passkeys_here: visitor.here().is_some(),
        mail: mail_choices()
            .map(|(choice, text)| MailRow {
                value: choice.as_str(),
                text,
                chosen: choice == chosen,
            })
            .to_vec(),
        mail_on: site.sends_mail(),
        lasts: if adult {
            say!("account-lasts-adult")
        } else {
            say!("account-lasts-student")
        },
        password_hint: password_hint(),
        kept: if adult {
            say!("account-kept-adult")
        } else {
            say!("account-kept-student")
        },
    })
}

/// What can be had by e-mail.
fn mail_choices() -> [(MailChoice, String); 3] {
    [
        (MailChoice::None, say!("account-mail-none")),
        (MailChoice::Digest, say!("account-mail-digest")),
        (MailChoice::Urgent, say!("account-mail-urgent")),
    ]
}

fn token_row(session: &Session, one: &StoredToken) -> TokenRow {
    let role = role_words(session, &one.held);
    let ends = when(session, one.ends_at);
    let used = one.seen_at.map(|at| when(session, at));
    let text = match (one.kind, used) {
        (TokenKind::Api, Some(used)) => say!(
            "account-token-for-program",
            role = role,
            used = used,
            ends = ends
        ),
        (TokenKind::Api, None) => {
            say!("account-token-for-program-unused", role = role, ends = ends)
        }
        (TokenKind::Feed, Some(used)) => say!(
            "account-token-for-calendar",
            role = role,
            used = used,
            ends = ends
        ),
        (TokenKind::Feed, None) => say!(
            "account-token-for-calendar-unused",
            role = role,
            ends = ends
        ),
    };
    TokenRow {
        id: one.id.to_string(),
        name: one.name.clone(),
        text,
    }
}

/// A moment in the region's own time.
pub(crate) fn when(session: &Session, at: EventMs) -> String {
    let zone = &session.terrain.zone;
    let at = Minute::at_or_before(at);
    say!("account-when", day = zone.day(at), time = zone.clock(at))
}

/// What is wanted.
#[derive(Deserialize)]
pub(crate) struct Wanted {
    #[serde(default)]
    mail: String,
}

/// `POST /account/mail`: what one wants by e-mail.
pub(crate) async fn mail(
    State(site): State<Site>,
    visitor: Visitor,
    Form(wanted): Form<Wanted>,
) -> Result<Response, Trouble> {
    let Ok(choice) = wanted.mail.parse() else {
        let wrong = vec![Wrong {
            field: "mail",
            text: say!("account-mail-choose"),
        }];
        let made = account_page(&site, &visitor, (None, wrong)).await?;
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&made)).into_response());
    };
    let done = mailing::choose(site.base(), &visitor.actor(), choice).await;
    done.map_err(|error| failed(&site, &error))?;
    let said = say!("account-mail-chosen");
    let made = account_page(&site, &visitor, (Some(said), Vec::new())).await?;
    Ok(page(&made))
}

/// Old and new.
#[derive(Deserialize)]
pub(crate) struct Passwords {
    #[serde(default)]
    old: String,
    #[serde(default)]
    new: String,
}

/// `POST /account/password`.
pub(crate) async fn password(
    State(site): State<Site>,
    visitor: Visitor,
    From(from): From,
    Form(typed): Form<Passwords>,
) -> Result<Response, Trouble> {
    let signed = known(&site, &visitor)?.clone();
    let at = site.clone();
    let work = async move {
        let both = (typed.old.as_str(), typed.new.as_str());
        at.people()?.change_password(&signed, both, &from).await
    };
    let (status, said, wrong) = match site.hashing(work).await {
        Ok(()) => {
            let said = say!("account-password-changed");
            (StatusCode::OK, Some(said), Vec::new())
        }
        Err(error) => {
            let (status, mut wrong) = refused(&site, error)?;
            for one in &mut wrong {
                one.field = if one.field == "password" {
                    "new"
                } else {
                    "old"
                };
            }
            (status, None, wrong)
        }
    };
    let made = account_page(&site, &visitor, (said, wrong)).await?;
    Ok((status, page(&made)).into_response())
}

/// `POST /account/sign-ins/{id}/end`.
pub(crate) async fn end_sign_in(
    State(site): State<Site>,
    visitor: Visitor,
    Path(id): Path<String>,
) -> Result<Redirect, Trouble> {
    let signed = known(&site, &visitor)?;
    let people = people(&site)?;
    let id = super::id(&site, &id)?;
    let done = people.sign_out(signed, id).await;
    done.map_err(|error| failed(&site, &error))?;
    Ok(Redirect::to("/account"))
}

/// A role as a copy has it.
#[derive(Serialize)]
struct RoleOut {
    role: &'static str,
    at: String,
}

/// A sign-in as a copy has it.
#[derive(Serialize)]
struct SignInOut {
    began: String,
    last_used: String,
    ends: String,
}

/// A program's token as a copy has it.
#[derive(Serialize)]
struct TokenOut {
    name: String,
    role: &'static str,
    at: String,
    made_at: String,
    ends_at: String,
}

/// A deed as a copy has it.
#[derive(Serialize)]
struct DeedOut {
    what: String,
    at: String,
}

/// A notice as a copy has it.
#[derive(Serialize)]
struct NoticeOut {
    at: String,
    role: &'static str,
    of: String,
    says: String,
    seen: bool,
}

/// A message as a copy has it.
#[derive(Serialize)]
struct MessageOut {
    made_at: String,
    sent_at: Option<String>,
    state: &'static str,
    subject: String,
    body: String,
}

/// All that is kept of a person, as a copy has it. Password and code are hashes that help nobody,
/// and are left out, as are the keys of passkeys.
#[derive(Serialize)]
pub(crate) struct PersonOut {
    id: String,
    kind: &'static str,
    name: String,
    email: Option<String>,
    language: String,
    since: String,
    roles: Vec<RoleOut>,
    sign_ins: Vec<SignInOut>,
    tokens: Vec<TokenOut>,
    passkeys: Vec<PasskeyOut>,
    deeds: Vec<DeedOut>,
    mail: &'static str,
    notices: Vec<NoticeOut>,
    messages: Vec<MessageOut>,
    crews: Vec<CrewOut>,
}

/// Being on the crew of a bench, as a copy has it.
#[derive(Serialize)]
struct CrewOut {
    bench: String,
    nickname: String,
    since: String,
    sign_offs: Vec<SignOffOut>,
}

/// What was said of a sign-off; no end means that it was withdrawn.
#[derive(Serialize)]
struct SignOffOut {
    task: String,
    class: String,
    at: String,
    until: Option<String>,
}

impl CrewOut {
    fn new(one: OnCrew) -> Self {
        let signs = one.signs.into_iter().map(|sign| SignOffOut {
            task: sign.said.task,
            class: sign.said.class,
            at: rfc3339_utc(sign.at),
            until: sign.said.until.map(rfc3339_utc),
        });
        Self {
            bench: one.member.host,
            nickname: one.member.name,
            since: rfc3339_utc(one.member.since),
            sign_offs: signs.collect(),
        }
    }
}

impl PersonOut {
    pub(crate) fn new(data: PersonData) -> Self {
        let person = data.person;
        let roles = data.roles.into_iter().map(|held| RoleOut {
            role: held.kind.as_str(),
            at: held.scope,
        });
        let sign_ins = data.sign_ins.iter().map(|one| SignInOut {
            began: rfc3339_utc(one.began_at),
            last_used: rfc3339_utc(one.seen_at),
            ends: rfc3339_utc(one.ends_at),
        });
        let tokens = data.tokens.into_iter().map(|one| TokenOut {
            name: one.name,
            role: one.held.kind.as_str(),
            at: one.held.scope,
            made_at: rfc3339_utc(one.made_at),
            ends_at: rfc3339_utc(one.ends_at),
        });
        let deeds = data.deeds.into_iter().map(|(what, at)| DeedOut {
            what,
            at: rfc3339_utc(at),
        });
        let notices = data.notices.into_iter().map(|one| NoticeOut {
            at: rfc3339_utc(one.said.at),
            role: one.said.held.kind.as_str(),
            of: one.said.held.scope,
            says: one
                .said
                .says
                .in_tongue(Tongue::chosen(&person.language).unwrap_or_default()),
            seen: one.seen,
        });
        let messages = data.messages.into_iter().map(|one| MessageOut {
            made_at: rfc3339_utc(one.made_at),
            sent_at: one.sent_at.map(rfc3339_utc),
            state: one.state.as_str(),
            subject: one.said.subject,
            body: one.said.body,
        });
        Self {
            mail: data.mail.as_str(),
            notices: notices.collect(),
            messages: messages.collect(),
            crews: data.crews.into_iter().map(CrewOut::new).collect(),
            id: person.id.to_string(),
            kind: person.kind.as_str(),
            name: person.name,
            email: person.email,
            language: person.language,
            since: rfc3339_utc(person.since),
            roles: roles.collect(),
            sign_ins: sign_ins.collect(),
            tokens: tokens.collect(),
            passkeys: data.passkeys.into_iter().map(PasskeyOut::new).collect(),
            deeds: deeds.collect(),
        }
    }
}

/// A file of JSON to keep.
pub(crate) fn download(name: &str, what: &impl Serialize) -> Response {
    let headers = [
        (header::CONTENT_TYPE, "application/json".to_owned()),
        (
            header::CONTENT_DISPOSITION,
            format!("attachment; filename=\"{name}\""),
        ),
        (header::CACHE_CONTROL, "no-store".to_owned()),
    ];
    // Our own types of strings and numbers: nothing in them can't be written.
    let text = serde_json::to_string_pretty(what).unwrap_or_default();
    (headers, text).into_response()
}

/// What every copy says first.
#[derive(Serialize)]
struct OwnOut {
    schema: u32,
    person: PersonOut,
}

pub(crate) fn person_download(data: PersonData) -> Response {
    let out = OwnOut {
        schema: 1,
        person: PersonOut::new(data),
    };
    download("partpledge-person.json", &out)
}

/// `GET /account/export.json`.
pub(crate) async fn export(
    State(site): State<Site>,
    visitor: Visitor,
) -> Result<Response, Trouble> {
    let signed = known(&site, &visitor)?;
    let people = people(&site)?;
    let data = people.own_data(signed).await;
    Ok(person_download(
        data.map_err(|error| failed(&site, &error))?,
    ))
}

/// What stays of somebody, in words, with how much of it there is.
pub(crate) fn stays(deeds: usize) -> Vec<String> {
    vec![
        say!(
            "account-stays-log",
            count = say!("numbers-spelled", n = deeds),
            n = deeds
        ),
        say!("account-stays-parts"),
    ]
}

async fn leave_page(
    site: &Site,
    visitor: &Visitor,
    wrong: Option<String>,
) -> Result<FarewellPage, Trouble> {
    let signed = known(site, visitor)?;
    let people = people(site)?;
    let data = people.own_data(signed).await;
    let data = data.map_err(|error| failed(site, &error))?;
    let adult = signed.person.kind == PersonKind::Adult;
    let goes = if adult {
        [say!("account-goes-adult"), say!("account-goes-adult-roles")]
    } else {
        [
            say!("account-goes-student"),
            say!("account-goes-student-team"),
        ]
    };
    Ok(FarewellPage {
        head: Head::new(site.base(), visitor, ""),
        title: say!("account-leave-title"),
        wrong,
        goes: goes.to_vec(),
        stays: stays(data.deeds.len()),
        export: "/account/export.json".to_owned(),
        action: "/account/leave".to_owned(),
        button: say!("account-leave-do"),
        back: "/account".to_owned(),
        back_text: say!("account-stay"),
    })
}

/// `GET /account/leave`.
pub(crate) async fn ask_leave(
    State(site): State<Site>,
    visitor: Visitor,
) -> Result<Response, Trouble> {
    Ok(page(&leave_page(&site, &visitor, None).await?))
}

/// That it is meant.
#[derive(Deserialize)]
pub(crate) struct Sure {
    #[serde(default)]
    pub(crate) sure: String,
}

/// `POST /account/leave`.
pub(crate) async fn leave(
    State(site): State<Site>,
    visitor: Visitor,
    Form(sure): Form<Sure>,
) -> Result<Response, Trouble> {
    if sure.sure != "yes" {
        return Ok(Redirect::to("/account/leave").into_response());
    }
    let signed = known(&site, &visitor)?;
    let people = people(&site)?;
    match people.leave(signed).await {
        Ok(()) => Ok(left(&site)),
        Err(error) => {
            let text = said(&site, error)?;
            let made = leave_page(&site, &visitor, Some(text)).await?;
            Ok((StatusCode::CONFLICT, page(&made)).into_response())
        }
    }
}

/// The first problem in words.
pub(crate) fn said(site: &Site, error: PeopleError) -> Result<String, Trouble> {
    match error {
        PeopleError::Typed(problems) => {
            let first = problems.into_iter().next().map(in_words);
            Ok(first.map(|wrong| wrong.text).unwrap_or_default())
        }
        PeopleError::Failed(error) => Err(failed(site, &error)),
        PeopleError::TooMany { again_at } => Ok(wait_until(site, again_at)),
    }
}

/// The address of this site as it was asked for, for links that are handed over.
pub(crate) fn link(site: &Site, headers: &HeaderMap, what: &str, token: &str) -> String {
    site.link(headers, &format!("/{what}/{token}"))
}
