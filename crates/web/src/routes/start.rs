//! Start, trying the demo, how it works.

use axum::extract::{Form, Query, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_words::{Tongue, say};
use partpledge_workshop::WorkshopError;
use partpledge_workshop::people::{Asked, People, PeopleError};
use partpledge_workshop::pledging::{PREPARE, WORLDS};
use serde::Deserialize;

use super::entry::come_in;
use super::tongue::chosen_in;
use super::{After, Trouble, failed, not_here, page, people, trouble};
use crate::pages::people::Choice;
use crate::pages::plain::{Demo, HowPage, StartPage};
use crate::site::Site;
use crate::who::{Head, Visitor};

/// `GET /`.
pub(crate) async fn home(visitor: Visitor) -> Redirect {
    Redirect::to(visitor.home())
}

/// `GET /start`.
pub(crate) async fn start(
    State(site): State<Site>,
    visitor: Visitor,
    Query(after): Query<After>,
) -> Response {
    let session = site.base();
    let file = &session.terrain.file;
    let school = |code: &str| {
        file.school(code)
            .map_or_else(String::new, |s| s.name.clone())
    };
    let teams = file.teams.iter().map(|team| Choice {
        value: team.name.clone(),
        text: format!("{}, {}", team.name, school(&team.school)),
    });
    let hosts = file.hosts.iter().map(|host| Choice {
        value: host.school.clone(),
        text: format!("{}, {}", school(&host.school), host.bench),
    });
    let demo = site.may_be_tried().then(|| Demo {
        teams: teams.collect(),
        hosts: hosts.collect(),
    });
    page(&StartPage {
        head: Head::new(session, &visitor, "/start"),
        notice: after.erased(),
        region: file.name.clone(),
        demo,
    })
}

/// Who was chosen.
#[derive(Deserialize)]
pub(crate) struct Chosen {
    #[serde(default)]
    who: String,
}

/// `POST /try-as`: on the demo region, as somebody invented.
pub(crate) async fn try_as(
    State(site): State<Site>,
    headers: HeaderMap,
    Form(chosen): Form<Chosen>,
) -> Result<Response, Trouble> {
    if !site.may_be_tried() {
        return Err(not_here(&site, &say!("how-no-demo")));
    }
    let people = people(&site)?;
    let Some(role) = people.role_of(&chosen.who) else {
        let title = say!("how-nobody");
        let what_to_do = say!("how-choose-one");
        let status = StatusCode::UNPROCESSABLE_ENTITY;
        return Err(trouble(&site, status, &title, &what_to_do));
    };
    match people.try_as(&role).await {
        Ok(token) => {
            if let Some(tongue) = chosen_in(&headers) {
                let spoken = speak_as_chosen(&people, &token.token, tongue).await;
                spoken.map_err(|error| failed(&site, &error))?;
            }
            Ok(come_in(&site, &token))
        }
        Err(PeopleError::Failed(error)) => Err(failed(&site, &error)),
        Err(_) => Ok(Redirect::to("/start").into_response()),
    }
}

/// Invented people are tried by many: they speak what was chosen in the browser that tries them now.
async fn speak_as_chosen(
    people: &People<'_>,
    token: &str,
    tongue: Tongue,
) -> Result<(), WorkshopError> {
    let Some(tongue) = Tongue::chosen(tongue.tag()) else {
        return Ok(());
    };
    match people.signed_in(token, Asked::BySomebody).await? {
        Some(signed) => people.speak(signed.person.id, tongue).await,
        None => Ok(()),
    }
}

/// `GET /how`.
pub(crate) async fn how(State(site): State<Site>, visitor: Visitor) -> Response {
    page(&HowPage {
        head: Head::new(site.base(), &visitor, "/how"),
        worlds: WORLDS,
        prepare: PREPARE.to_string(),
    })
}
