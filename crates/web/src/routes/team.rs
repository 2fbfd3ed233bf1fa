//! A team's people, for its mentors and the coordinator.

use axum::extract::{Form, Path, State};
use axum::http::HeaderMap;
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_records::{Held, Person, PledgeKind, RoleKind, StoredCode};
use partpledge_units::ids::PersonId;
use partpledge_units::local::rfc3339_utc;
use partpledge_units::time::Minute;
use partpledge_workshop::people::People;
use partpledge_workshop::people::joining::{JOIN_DAYS, JOIN_USES};
use partpledge_workshop::people::leaving::TeamRequest;
use partpledge_workshop::{Session, WorkshopError};
use serde::Serialize;

use super::account::{PersonOut, Sure, download, link, said, when};
use super::{Trouble, failed, looked, page};
use crate::pages::entry::{FarewellPage, ShownPage};
use crate::pages::people::{Row, TeamPage};
use crate::site::Site;
use crate::who::{Head, Visitor, team_path};
use crate::words;

fn people(site: &Site) -> Result<People<'_>, Trouble> {
    site.people().map_err(|error| failed(site, &error))
}

fn id<T: std::str::FromStr>(site: &Site, text: &str) -> Result<T, Trouble> {
    text.parse()
        .map_err(|_| failed(site, &WorkshopError::NotYours))
}

/// A code or invitation in words.
pub(crate) fn code_row(session: &Session, code: &StoredCode, what: &str) -> Row {
    let ends = code.expires_at.map(|end| when(session, end));
    let uses = code.uses_left.filter(|uses| *uses > 1);
    let uses = uses.map_or_else(String::new, |uses| format!(", {uses} more can use it"));
    Row {
        id: code.id.to_string(),
        name: String::new(),
        text: format!(
            "{what} of {}, works until {}{uses}",
            when(session, code.made_at),
            ends.unwrap_or_default()
        ),
    }
}

fn person_row(session: &Session, person: &Person) -> Row {
    Row {
        id: person.id.to_string(),
        name: person.name.clone(),
        text: format!("since {}", when(session, person.since)),
    }
}

/// Until when people are kept, in words.
pub(crate) fn kept_until(site: &Site) -> Result<String, Trouble> {
    let until = people(site)?.erased_from();
    let until = until.map_err(|error| failed(site, &error))?;
    Ok(match until {
        Some(at) => {
            let day = site.base().terrain.zone.long_day(Minute::at_or_after(at));
            format!(
                "On {day} we erase the people of all teams. Who does something else here stays."
            )
        }
        None => "The region’s file names no end of the season, so nobody is erased by itself: \
                 erase each team when its season is over."
            .to_owned(),
    })
}

/// `GET /teams/{team}`.
pub(crate) async fn team(
    State(site): State<Site>,
    visitor: Visitor,
    Path(team): Path<String>,
) -> Result<Response, Trouble> {
    let session = site.base();
    let found = people(&site)?.team(&visitor.actor(), &team).await;
    let found = found.map_err(|error| failed(&site, &error))?;
    let path = team_path(&team);
    let rows = |people: &[Person]| people.iter().map(|one| person_row(session, one)).collect();
    let codes = found.codes.iter();
    let invitations = found.invitations.iter();
    let made = TeamPage {
        head: Head::new(session, &visitor, &path),
        lead: format!(
            "{} and {}.",
            words::capital(&words::spelled(found.students.len(), "student", "students")),
            words::spelled(found.mentors.len(), "mentor", "mentors")
        ),
        codes: codes
            .map(|code| code_row(session, code, "A code"))
            .collect(),
        code_hint: format!(
            "A code works for {JOIN_DAYS} days and {JOIN_USES} students. We show it once, and keep \
             only a hash of it."
        ),
        students: rows(&found.students),
        mentors: rows(&found.mentors),
        invitations: invitations
            .map(|code| code_row(session, code, "An invitation"))
            .collect(),
        kept: format!(
            "Of each student: a nickname and a hash of a code. {}",
            kept_until(&site)?
        ),
        team,
        path,
    };
    Ok(page(&made))
}

/// `POST /teams/{team}/join-code`.
pub(crate) async fn join_code(
    State(site): State<Site>,
    visitor: Visitor,
    Path(team): Path<String>,
) -> Result<Response, Trouble> {
    let code = people(&site)?.join_code(&visitor.actor(), &team).await;
    let code = code.map_err(|error| failed(&site, &error))?;
    Ok(page(&ShownPage {
        head: Head::new(site.base(), &visitor, ""),
        title: format!("The code of {team}"),
        lead: "Write it on the board. Students open this site, choose “Join your team with its \
               code” and type it. We show it this once."
            .to_owned(),
        label: "The team’s code",
        value: code,
        is_link: false,
        notes: vec![
            format!("It works for {JOIN_DAYS} days and {JOIN_USES} students."),
            "Stop it on the team’s page when all are in.".to_owned(),
        ],
        next: team_path(&team),
        next_text: "Back to the team",
    }))
}

/// `POST /teams/{team}/codes/{id}/stop`.
pub(crate) async fn stop_code(
    State(site): State<Site>,
    visitor: Visitor,
    Path((team, code)): Path<(String, String)>,
) -> Result<Redirect, Trouble> {
    let code = id(&site, &code)?;
    let done = people(&site)?
        .stop_team_code(&visitor.actor(), &team, code)
        .await;
    done.map_err(|error| failed(&site, &error))?;
    Ok(Redirect::to(&team_path(&team)))
}

/// The page that shows a link once.
pub(crate) fn link_page(
    site: &Site,
    visitor: &Visitor,
    (title, link, lasts): (String, String, &str),
    (next, next_text): (String, &'static str),
) -> Response {
    page(&ShownPage {
        head: Head::new(site.base(), visitor, ""),
        title,
        lead: "Hand this link over yourself: nothing is mailed. We show it this once.".to_owned(),
        label: "The link",
        value: link,
        is_link: true,
        notes: vec![
            format!("It works once, and for {lasts}."),
            "Give it to nobody else: whoever opens it first has it.".to_owned(),
        ],
        next,
        next_text,
    })
}

/// `POST /teams/{team}/invite`: another mentor.
pub(crate) async fn invite(
    State(site): State<Site>,
    visitor: Visitor,
    headers: HeaderMap,
    Path(team): Path<String>,
) -> Result<Response, Trouble> {
    let held = Held::new(RoleKind::Mentor, &team);
    match people(&site)?.invite(&visitor.actor(), &held).await {
        Ok(token) => {
            let link = link(&site, &headers, "invited", &token);
            let what = (format!("A mentor for {team}"), link, "a week");
            let next = (team_path(&team), "Back to the team");
            Ok(link_page(&site, &visitor, what, next))
        }
        Err(error) => {
            said(&site, error)?;
            Err(failed(&site, &WorkshopError::NotYours))
        }
    }
}

/// `POST /teams/{team}/people/{id}/return-code`.
pub(crate) async fn return_code(
    State(site): State<Site>,
    visitor: Visitor,
    Path((team, person)): Path<(String, String)>,
) -> Result<Response, Trouble> {
    let person: PersonId = id(&site, &person)?;
    let made = people(&site)?
        .new_return_code(&visitor.actor(), &team, person)
        .await;
    let (student, code) = made.map_err(|error| failed(&site, &error))?;
    Ok(page(&ShownPage {
        head: Head::new(site.base(), &visitor, ""),
        title: format!("A new code for {}", student.name),
        lead: "Give it to them alone. We show it this once.".to_owned(),
        label: "Their own code",
        value: code,
        is_link: false,
        notes: vec![
            "The code they had works no more, they are signed out everywhere, and their programs \
                 ask no more."
                .to_owned(),
            "They choose “I have joined before” at the start and type it.".to_owned(),
        ],
        next: team_path(&team),
        next_text: "Back to the team",
    }))
}

/// `GET /teams/{team}/people/{id}/remove`.
pub(crate) async fn ask_remove(
    State(site): State<Site>,
    visitor: Visitor,
    Path((team, person)): Path<(String, String)>,
) -> Result<Response, Trouble> {
    let student = people(&site)?
        .student_of(&visitor.actor(), &team, id(&site, &person)?)
        .await;
    let student = student.map_err(|error| failed(&site, &error))?;
    let path = team_path(&team);
    Ok(page(&FarewellPage {
        head: Head::new(site.base(), &visitor, ""),
        title: format!("Remove {} from {team}?", student.name),
        wrong: None,
        goes: vec![
            "Their nickname and their own code.".to_owned(),
            "That they are of the team, and all their sign-ins.".to_owned(),
        ],
        stays: vec![
            "What they did, in the log of the region, under a number that leads to no name."
                .to_owned(),
            "The team’s parts, requests and promises.".to_owned(),
        ],
        export: format!("{path}/export.json"),
        action: format!("{path}/people/{}/remove", student.id),
        button: "Remove and erase",
        back: path,
        back_text: "Keep them",
    }))
}

/// `POST /teams/{team}/people/{id}/remove`.
pub(crate) async fn remove(
    State(site): State<Site>,
    visitor: Visitor,
    Path((team, person)): Path<(String, String)>,
    Form(sure): Form<Sure>,
) -> Result<Redirect, Trouble> {
    let person: PersonId = id(&site, &person)?;
    let (at, path) = (people(&site)?, team_path(&team));
    let student = at.student_of(&visitor.actor(), &team, person).await;
    student.map_err(|error| failed(&site, &error))?;
    if sure.sure != "yes" {
        return Ok(Redirect::to(&format!("{path}/people/{person}/remove")));
    }
    let done = at.remove_student(&visitor.actor(), &team, person).await;
    done.map_err(|error| failed(&site, &error))?;
    Ok(Redirect::to(&path))
}

/// A request as a copy has it.
#[derive(Serialize)]
struct RequestOut {
    number: i64,
    part: String,
    file_name: String,
    material: String,
    copies: i64,
    state: &'static str,
    asked_at: String,
    promised_for: Option<String>,
    promise: Option<&'static str>,
}

impl RequestOut {
    fn new(session: &Session, request: TeamRequest) -> Self {
        let zone = &session.terrain.zone;
        let open = request.promised.map(|_| "given");
        Self {
            number: request.number,
            part: request.part,
            file_name: request.file_name,
            material: request.material,
            copies: request.copies,
            state: request.state,
            asked_at: rfc3339_utc(request.asked_at),
            promised_for: request.promised.map(|at| zone.rfc3339(at)),
            promise: request.ended.map(PledgeKind::as_str).or(open),
        }
    }
}

/// A team as a copy has it.
#[derive(Serialize)]
struct TeamOut {
    schema: u32,
    team: String,
    students: Vec<PersonOut>,
    requests: Vec<RequestOut>,
}

/// `GET /teams/{team}/export.json`.
pub(crate) async fn export(
    State(site): State<Site>,
    visitor: Visitor,
    Path(team): Path<String>,
) -> Result<Response, Trouble> {
    let (session, books) = looked(&site).await?;
    let data = people(&site)?
        .team_data(&visitor.actor(), &team, &books)
        .await;
    let data = data.map_err(|error| failed(&site, &error))?;
    let requests = data.requests.into_iter();
    let out = TeamOut {
        schema: 1,
        team,
        students: data.people.into_iter().map(PersonOut::new).collect(),
        requests: requests
            .map(|request| RequestOut::new(&session, request))
            .collect(),
    };
    Ok(download("partpledge-team.json", &out))
}

/// `GET /teams/{team}/erase`.
pub(crate) async fn ask_erase(
    State(site): State<Site>,
    visitor: Visitor,
    Path(team): Path<String>,
) -> Result<Response, Trouble> {
    let erasing = people(&site)?.erasing(&visitor.actor(), &team).await;
    let erasing = erasing.map_err(|error| failed(&site, &error))?;
    let (_, books) = looked(&site).await?;
    let own = books.requests.iter();
    let requests = own.filter(|listed| listed.request.team == team).count();
    let path = team_path(&team);
    let mut goes = vec![
        format!(
            "{} with nickname, code and sign-ins.",
            words::capital(&words::spelled(erasing.students, "student", "students"))
        ),
        format!(
            "{} with name, e-mail address and password.",
            words::capital(&words::spelled(erasing.mentors, "mentor", "mentors"))
        ),
        "Every code and invitation of the team stops.".to_owned(),
    ];
    if erasing.stay > 0 {
        goes.push(format!(
            "{} who does something else here too stays, and is mentor of this team no more.",
            words::capital(&words::spelled(erasing.stay, "mentor", "mentors"))
        ));
    }
    let mut kept = Vec::new();
    if requests > 0 {
        kept.push(format!(
            "The team’s {} with files, promises and how they ended, without a person’s name: the \
             region’s season is counted from them.",
            words::spelled(requests, "request", "requests")
        ));
    }
    kept.push("What people did, in the log, under numbers that lead to no name.".to_owned());
    Ok(page(&FarewellPage {
        head: Head::new(site.base(), &visitor, ""),
        title: format!("Erase the people of {team}?"),
        wrong: None,
        goes,
        stays: kept,
        export: format!("{path}/export.json"),
        action: format!("{path}/erase"),
        button: "Erase them all",
        back: path,
        back_text: "Keep them",
    }))
}

/// `POST /teams/{team}/erase`.
pub(crate) async fn erase(
    State(site): State<Site>,
    visitor: Visitor,
    Path(team): Path<String>,
    Form(sure): Form<Sure>,
) -> Result<Response, Trouble> {
    let at = people(&site)?;
    let asked = at.erasing(&visitor.actor(), &team).await;
    asked.map_err(|error| failed(&site, &error))?;
    if sure.sure != "yes" {
        let ask = format!("{}/erase", team_path(&team));
        return Ok(Redirect::to(&ask).into_response());
    }
    let done = at.erase_team(&visitor.actor(), &team).await;
    done.map_err(|error| failed(&site, &error))?;
    // A mentor of no other team is erased too; the next page then asks who they are.
    let next = if visitor.coordinates() {
        team_path(&team)
    } else {
        "/start".to_owned()
    };
    Ok(Redirect::to(&next).into_response())
}
