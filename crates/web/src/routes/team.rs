//! A team's people, for its mentors and the coordinator.

use axum::extract::{Form, Path, Query, State};
use axum::http::HeaderMap;
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_records::{Held, Person, PledgeKind, RoleKind, StoredCode};
use partpledge_units::ids::PersonId;
use partpledge_units::local::rfc3339_utc;
use partpledge_units::time::Minute;
use partpledge_words::{Said, said, say};
use partpledge_workshop::people::joining::{JOIN_DAYS, JOIN_USES};
use partpledge_workshop::people::leaving::TeamRequest;
use partpledge_workshop::{Session, WorkshopError};
use serde::Serialize;

use super::account::{PersonOut, Sure, download, link, said as first_said, when};
use super::{After, Trouble, failed, id, looked, page, people};
use crate::pages::entry::{FarewellPage, ShownPage};
use crate::pages::people::{Row, TeamPage};
use crate::site::Site;
use crate::who::{Head, Visitor, team_path};
use crate::words;

/// From when to when a code or invitation works.
pub(crate) fn of_code(session: &Session, code: &StoredCode) -> (String, String) {
    let ends = code.expires_at.map(|end| when(session, end));
    (when(session, code.made_at), ends.unwrap_or_default())
}

/// A code or invitation in words.
pub(crate) fn code_row(code: &StoredCode, text: String) -> Row {
    let uses = code.uses_left.filter(|uses| *uses > 1);
    let text = match uses {
        Some(uses) => say!("people-row-uses", row = text, uses = uses),
        None => text,
    };
    Row {
        id: code.id.to_string(),
        name: String::new(),
        text,
    }
}

fn person_row(session: &Session, person: &Person) -> Row {
    Row {
        id: person.id.to_string(),
        name: person.name.clone(),
        text: say!("people-since", when = when(session, person.since)),
    }
}

/// A count as a word of a sentence.
pub(crate) fn count(n: usize) -> Said {
    said!("numbers-spelled", n = n)
}

/// The same at the head of a sentence.
pub(crate) fn first_count(n: usize) -> String {
    words::capital(&count(n).to_string())
}

/// Until when people are kept, in words.
pub(crate) fn kept_until(site: &Site) -> Result<String, Trouble> {
    let until = people(site)?.erased_from();
    let until = until.map_err(|error| failed(site, &error))?;
    Ok(match until {
        Some(at) => {
            let day = site.base().terrain.zone.long_day(Minute::at_or_before(at));
            say!("people-kept-until", day = day)
        }
        None => say!("people-kept-without-end"),
    })
}

/// `GET /teams/{team}`.
pub(crate) async fn team(
    State(site): State<Site>,
    visitor: Visitor,
    Path(team): Path<String>,
    Query(after): Query<After>,
) -> Result<Response, Trouble> {
    let session = site.base();
    let found = people(&site)?.team(&visitor.actor(), &team).await;
    let found = found.map_err(|error| failed(&site, &error))?;
    let path = team_path(&team);
    let rows = |people: &[Person]| people.iter().map(|one| person_row(session, one)).collect();
    let codes = found.codes.iter().map(|code| {
        let (made, ends) = of_code(session, code);
        code_row(code, say!("people-code-row", made = made, ends = ends))
    });
    let invitations = found.invitations.iter().map(|code| {
        let (made, ends) = of_code(session, code);
        code_row(
            code,
            say!("people-invitation-row", made = made, ends = ends),
        )
    });
    let (students, mentors) = (found.students.len(), found.mentors.len());
    let made = TeamPage {
        head: Head::new(session, &visitor, &path),
        notice: after.erased(),
        lead: say!(
            "people-team-lead",
            students_word = first_count(students),
            students = students,
            mentors_word = count(mentors),
            mentors = mentors
        ),
        codes: codes.collect(),
        code_hint: say!("people-code-hint", days = JOIN_DAYS, students = JOIN_USES),
        students: rows(&found.students),
        mentors: rows(&found.mentors),
        invitations: invitations.collect(),
        kept: format!("{} {}", said!("people-student-kept"), kept_until(&site)?),
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
        title: say!("people-code-of", team = &team),
        lead: say!("people-code-lead", join = said!("how-join")),
        label: say!("people-team-code"),
        value: code,
        is_link: false,
        notes: vec![
            say!("people-code-works", days = JOIN_DAYS, students = JOIN_USES),
            say!("people-code-stop"),
        ],
        next: team_path(&team),
        next_text: say!("people-back-to-team"),
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
    (title, link, lasts): (String, String, String),
    (next, next_text): (String, String),
) -> Response {
    page(&ShownPage {
        head: Head::new(site.base(), visitor, ""),
        title,
        lead: say!("people-link-lead"),
        label: say!("people-link"),
        value: link,
        is_link: true,
        notes: vec![lasts, say!("people-link-nobody-else")],
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
            let title = say!("people-mentor-for", team = &team);
            let what = (title, link, say!("people-link-week"));
            let next = (team_path(&team), say!("people-back-to-team"));
            Ok(link_page(&site, &visitor, what, next))
        }
        Err(error) => {
            first_said(&site, error)?;
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
        title: say!("people-new-code-for", name = &student.name),
        lead: say!("people-new-code-lead"),
        label: say!("people-their-code"),
        value: code,
        is_link: false,
        notes: vec![
            say!("people-new-code-old"),
            say!("people-new-code-type", back = said!("how-come-back")),
        ],
        next: team_path(&team),
        next_text: say!("people-back-to-team"),
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
        title: say!("people-remove-title", name = &student.name, team = &team),
        wrong: None,
        goes: vec![say!("people-remove-goes"), say!("people-remove-goes-team")],
        stays: vec![
            say!("people-remove-stays"),
            say!("people-remove-stays-parts"),
        ],
        export: format!("{path}/export.json"),
        action: format!("{path}/people/{}/remove", student.id),
        button: say!("people-remove-do"),
        back: path,
        back_text: say!("people-keep-them"),
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
        say!(
            "people-erase-students",
            count = first_count(erasing.students),
            n = erasing.students
        ),
        say!(
            "people-erase-mentors",
            count = first_count(erasing.mentors),
            n = erasing.mentors
        ),
        say!("people-erase-codes"),
    ];
    if erasing.stay > 0 {
        goes.push(say!(
            "people-erase-stay",
            count = first_count(erasing.stay),
            n = erasing.stay
        ));
    }
    let mut kept = Vec::new();
    if requests > 0 {
        kept.push(say!(
            "people-erase-requests",
            count = count(requests),
            n = requests
        ));
    }
    kept.push(say!("people-erase-deeds"));
    Ok(page(&FarewellPage {
        head: Head::new(site.base(), &visitor, ""),
        title: say!("people-erase-team-title", team = &team),
        wrong: None,
        goes,
        stays: kept,
        export: format!("{path}/export.json"),
        action: format!("{path}/erase"),
        button: say!("people-erase-all"),
        back: path,
        back_text: say!("people-keep-them"),
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
    Ok(Redirect::to(&format!("{next}?done=erased")).into_response())
}
