//! Coming in: sign in, join, come back.

use axum::extract::{Form, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_units::time::{EventMs, Minute};
use partpledge_workshop::people::signing_in::NewToken;
use partpledge_workshop::people::{PeopleError, Problem};
use serde::Deserialize;

use super::{Trouble, failed, page};
use crate::guard::From;
use crate::pages::entry::{Also, EntryPage, Field, ShownPage};
use crate::pages::send::Wrong;
use crate::site::Site;
use crate::who::{Head, Visitor, home};

/// What is asked of a new password.
pub(crate) const PASSWORD_HINT: &str =
    "12 characters at least: three or four words that you remember are good. No rules beyond that.";

const NICKNAME_HINT: &str = "The name that your team sees. Not your real name, please: no surname, \
no e-mail address, no number.";

/// A problem in words, with the field that it is about.
pub(crate) fn wrong(problem: Problem) -> Wrong {
    let (field, text) = match problem {
        Problem::NameMissing => ("name", "Give a name."),
        Problem::NameLong => ("name", "Give a name of 40 letters at most."),
        Problem::NamePersonal => (
            "name",
            "Choose a nickname without an e-mail address or a long number in it.",
        ),
        Problem::NameOfRole => ("name", "Choose a nickname that is not the name of a role."),
        Problem::NicknameTaken => (
            "name",
            "Somebody in your team has that nickname. Choose another. If that was you a moment \
             ago, ask your mentor for a return code.",
        ),
        Problem::EmailBad => ("email", "Give an e-mail address, like name@school.example."),
        Problem::EmailTaken => (
            "email",
            "Somebody signs in with that address already. If it’s you, sign in first and open the \
             link again.",
        ),
        Problem::PasswordShort => ("password", "Choose a password of 12 characters at least."),
        Problem::PasswordLong => ("password", "Choose a password of 256 characters at most."),
        Problem::PasswordCommon => (
            "password",
            "That password is among the first that are tried. Choose another.",
        ),
        Problem::PasswordWrong => ("old", "That is not the password that you have now."),
        Problem::NoMatch => (
            "email",
            "That e-mail address and password don’t go together here. Check both. If the password \
             is lost, ask the coordinator for a link to a new one.",
        ),
        Problem::NoCode => (
            "code",
            "That code doesn’t work. Check it letter by letter, or ask for a new one.",
        ),
        Problem::NoRole => (
            "email",
            "You have no role here any more. Ask the coordinator.",
        ),
        Problem::TokenDays => (
            "token_days",
            "Give a number of days from 1 to 366, as a student to 30.",
        ),
        Problem::TokensMany => (
            "token_name",
            "You have 20 already. Stop one that is not used any more.",
        ),
        Problem::RoleBad => ("role", "Choose one from the list."),
        Problem::LastCoordinator => (
            "role",
            "The region would have no coordinator left. Invite another one first.",
        ),
        Problem::StandInDay => ("until", "Choose a day from today on, 60 days away at most."),
        Problem::StandInWho => (
            "who",
            "Choose an adult from the list. Students and coordinators can’t stand in.",
        ),
    };
    let text = text.to_owned();
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
    let day = if zone.date(at) == zone.date(now) {
        String::new()
    } else {
        format!("{}, ", zone.long_day(at))
    };
    let clock = zone.clock(at);
    format!(
        "There were too many wrong tries. Wait until {day}{clock}, then try again. Nothing is lost."
    )
}

/// Somebody has come in: their cookie, and their first page.
pub(crate) fn come_in(site: &Site, token: &NewToken) -> Response {
    let cookie = [(header::SET_COOKIE, site.cookie_of(token))];
    (cookie, Redirect::to(home(Some(token.held.kind)))).into_response()
}

pub(super) const JOIN: Also = Also {
    before: "You are a student and your mentor has a code?",
    href: "/join",
    text: "Join your team",
};
const BACK: Also = Also {
    before: "You have joined before?",
    href: "/come-back",
    text: "Come back with your own code",
};
pub(super) const ADULTS: Also = Also {
    before: "You are a mentor, work at a bench or are the coordinator?",
    href: "/sign-in",
    text: "Sign in",
};

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

fn sign_in_page(site: &Site, visitor: &Visitor, typed: &Typed, wrong: Vec<Wrong>) -> EntryPage {
    let lost = "If it is lost, the coordinator makes you a link to a new one.";
    EntryPage {
        head: Head::new(site.base(), visitor, ""),
        title: "Sign in".to_owned(),
        lead: vec!["For mentors, people at a bench and the coordinator.".to_owned()],
        wrong,
        action: "/sign-in".to_owned(),
        fields: vec![
            Field::email("", &typed.email),
            Field::password("Password", lost, "current-password"),
        ],
        button: "Sign in",
        also: vec![JOIN, BACK],
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
        title: "Join your team".to_owned(),
        lead: vec!["All that we keep of you is a nickname.".to_owned()],
        wrong,
        action: "/join".to_owned(),
        fields: vec![
            Field::code(
                "code",
                "Your team’s code",
                "Eight letters and figures from your mentor. Small letters and dashes don’t matter.",
                &typed.code,
            ),
            Field::text("name", "Your nickname", NICKNAME_HINT, &typed.name),
        ],
        button: "Join",
        also: vec![BACK, ADULTS],
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
    let people = site.people().map_err(|error| failed(&site, &error))?;
    match people.join((&typed.code, &typed.name), &from).await {
        Ok(joined) => {
            let team = &joined.token.held.scope;
            let shown = ShownPage {
                head: Head::unsaid(site.base()),
                title: format!("You are in: welcome to {team}."),
                lead: "Write this code down. With it you come back here, on this computer or \
                       another. We show it this once."
                    .to_owned(),
                label: "Your own code",
                value: joined.return_code,
                is_link: false,
                notes: vec![
                    "Keep it to yourself: whoever has it comes in as you.".to_owned(),
                    "If you lose it, your mentor makes you a new one.".to_owned(),
                    "On a shared computer, sign out when you are done; the button is at the foot \
                     of every page."
                        .to_owned(),
                ],
                next: "/parts".to_owned(),
                next_text: "I have written it down",
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
        title: "Come back".to_owned(),
        lead: vec!["For students who have joined before.".to_owned()],
        wrong,
        action: "/come-back".to_owned(),
        fields: vec![Field::code(
            "code",
            "Your own code",
            "Fifteen letters and figures. You got it when you joined. If it is lost, your mentor \
             makes you a new one.",
            &typed.code,
        )],
        button: "Come back",
        also: vec![JOIN, ADULTS],
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
    let people = site.people().map_err(|error| failed(&site, &error))?;
    match people.come_back(&typed.code, &from).await {
        Ok(token) => Ok(come_in(&site, &token)),
        Err(error) => {
            let (status, wrong) = refused(&site, error)?;
            let form = come_back_page(&site, &visitor, &typed, wrong);
            Ok((status, page(&form)).into_response())
        }
    }
}
