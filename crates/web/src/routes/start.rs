//! Start, who looks, how it works.

use axum::extract::{Form, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_workshop::pledging::{PREPARE, WORLDS};
use serde::Deserialize;

use super::{Trouble, page, trouble};
use crate::pages::plain::{Choice, HowPage, StartPage};
use crate::site::Site;
use crate::who::{Head, Visitor};

/// `GET /`.
pub(crate) async fn home(visitor: Visitor) -> Redirect {
    Redirect::to(visitor.home())
}

/// `GET /start`.
pub(crate) async fn start(State(site): State<Site>, visitor: Visitor) -> Response {
    let session = site.base();
    let file = &session.terrain.file;
    let school = |code: &str| {
        file.school(code)
            .map_or_else(String::new, |s| s.name.clone())
    };
    let choice = |who: Visitor, text: String| Choice {
        value: who.to_text(),
        chosen: who == visitor,
        text,
    };
    let teams = file.teams.iter().map(|team| {
        let text = format!("{}, {}", team.name, school(&team.school));
        choice(Visitor::Team(team.name.clone()), text)
    });
    let hosts = file.hosts.iter().map(|host| {
        let text = format!("{}, {}", school(&host.school), host.bench);
        choice(Visitor::Host(host.school.clone()), text)
    });
    page(&StartPage {
        head: Head::new(session, &visitor, "/start"),
        region: file.name.clone(),
        teams: teams.collect(),
        hosts: hosts.collect(),
    })
}

/// Who was chosen.
#[derive(Deserialize)]
pub(crate) struct Chosen {
    #[serde(default)]
    who: String,
}

/// `POST /look-as`.
pub(crate) async fn look_as(
    State(site): State<Site>,
    Form(chosen): Form<Chosen>,
) -> Result<Response, Trouble> {
    let Some(visitor) = Visitor::parse(&chosen.who, site.base()) else {
        let title = "There is nobody of that name here.";
        let what_to_do = "Choose one from the list.";
        return Err(trouble(
            &site,
            StatusCode::UNPROCESSABLE_ENTITY,
            title,
            what_to_do,
        ));
    };
    let cookie = [(header::SET_COOKIE, visitor.cookie())];
    Ok((cookie, Redirect::to(visitor.home())).into_response())
}

/// `GET /how`.
pub(crate) async fn how(State(site): State<Site>, visitor: Visitor) -> Response {
    page(&HowPage {
        head: Head::new(site.base(), &visitor, "/how"),
        worlds: WORLDS,
        prepare: PREPARE.to_string(),
    })
}
