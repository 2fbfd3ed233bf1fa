//! The region's people and invitations, for the coordinator.

use axum::extract::{Form, Path, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_records::{Held, Person, RoleKind};
use partpledge_units::ids::PersonId;
use partpledge_units::time::{Minute, Minutes};
use partpledge_words::say;
use partpledge_workshop::Session;
use partpledge_workshop::people::inviting::RegionPeople;
use partpledge_workshop::people::{People, PeopleError, Problem};
use serde::Deserialize;

use super::account::{Sure, link, person_download, said, stays, when};
use super::entry::refused;
use super::team::{code_row, count, first_count, kept_until, link_page, of_code};
use super::{Trouble, failed, id, page};
use crate::pages::entry::FarewellPage;
use crate::pages::people::{AdultRow, Choice, RegionPeoplePage, TeamRow};
use crate::pages::send::Wrong;
use crate::site::Site;
use crate::who::{Head, Visitor, role_value, role_words, team_path};
use crate::words;

/// Whether whoever looks only stands in for the coordinator.
fn only_stands_in(visitor: &Visitor, found: &RegionPeople) -> bool {
    let id = visitor.actor().person();
    found.standing.iter().any(|(one, _)| Some(*one) == id)
}

/// What an adult can be invited to, by who may choose coordinators or not.
fn choices(session: &Session, coordinators: bool) -> Vec<Choice> {
    let file = &session.terrain.file;
    let mentors = file
        .teams
        .iter()
        .map(|team| Held::new(RoleKind::Mentor, &team.name));
    let hosts = file
        .hosts
        .iter()
        .map(|host| Held::new(RoleKind::Operator, &host.school));
    let all = mentors
        .chain(hosts)
        .chain(coordinators.then(|| Held::new(RoleKind::Coordinator, "")));
    let choice = |held: Held| Choice {
        value: role_value(&held),
        text: words::capital(&role_words(session, &held)),
    };
    all.map(choice).collect()
}

fn adult(
    session: &Session,
    (person, roles): &(Person, Vec<Held>),
    (visitor, found): (&Visitor, &RegionPeople),
) -> AdultRow {
    let coordinates = |held: &Held| held.kind == RoleKind::Coordinator;
    // Coordinators are for coordinators to change, and who stands in for themselves.
    let themselves = visitor.actor().person() == Some(person.id);
    let changes = !only_stands_in(visitor, found) || themselves || !roles.iter().any(coordinates);
    let until = found.standing.iter().find(|(id, _)| *id == person.id);
    let in_words = |held: &Held| match until {
        Some((_, until)) if held.kind == RoleKind::Coordinator => {
            let last = Minute::at_or_after(*until) - Minutes(1);
            let day = session.terrain.zone.day(last);
            say!("people-stands-in", day = day)
        }
        _ => role_words(session, held),
    };
    let held: Vec<String> = roles.iter().map(in_words).collect();
    let held = if held.is_empty() {
        say!("people-no-role")
    } else {
        held.join(", ")
    };
    let when = when(session, person.since);
    AdultRow {
        id: person.id.to_string(),
        name: person.name.clone(),
        text: match &person.email {
            Some(email) => say!(
                "people-adult-row-email",
                roles = held,
                email = email,
                when = when
            ),
            None => say!("people-adult-row", roles = held, when = when),
        },
        roles: (roles.iter())
            .filter(|held| changes || !coordinates(held))
            .map(|held| match until {
                Some(_) if coordinates(held) => (role_value(held), say!("people-standing-in")),
                _ => (role_value(held), role_words(session, held)),
            })
            .collect(),
        resets: changes && person.email.is_some(),
        erases: changes,
    }
}

/// Adults who could stand in: all but the coordinators for good, and nobody for who only stands in.
fn may_stand_in(session: &Session, visitor: &Visitor, found: &RegionPeople) -> Vec<Choice> {
    if only_stands_in(visitor, found) {
        return Vec::new();
    }
    let stands_in = |id: PersonId| found.standing.iter().any(|(one, _)| *one == id);
    let may = |(person, roles): &&(Person, Vec<Held>)| {
        let mut kinds = roles.iter().map(|held| held.kind);
        stands_in(person.id) || !kinds.any(|kind| kind == RoleKind::Coordinator)
    };
    let choice = |(person, roles): &(Person, Vec<Held>)| {
        let held = roles
            .iter()
            .filter(|held| held.kind != RoleKind::Coordinator);
        let held: Vec<String> = held.map(|held| role_words(session, held)).collect();
        Choice {
            value: person.id.to_string(),
            text: say!(
                "people-name-with-roles",
                name = &person.name,
                roles = held.join(", ")
            ),
        }
    };
    found.adults.iter().filter(may).map(choice).collect()
}

async fn people_page(
    site: &Site,
    visitor: &Visitor,
    (wrong, chosen): (Vec<Wrong>, StandIn),
) -> Result<RegionPeoplePage, Trouble> {
    let session = site.base();
    let found = super::people(site)?.everybody(&visitor.actor()).await;
    let found = found.map_err(|error| failed(site, &error))?;
    let students: usize = found.teams.iter().map(|(_, many)| many).sum();
    let teams = found.teams.iter().map(|(name, many)| TeamRow {
        href: team_path(name),
        name: name.clone(),
        text: say!("people-students-many", count = count(*many), n = *many),
    });
    let invitations = found.invitations.iter().map(|code| {
        let (made, ends) = of_code(session, code);
        let text = say!(
            "people-invitation-for-row",
            role = role_words(session, &code.held),
            made = made,
            ends = ends
        );
        code_row(code, text)
    });
    let (adults, of_teams) = (found.adults.len(), found.teams.len());
    let lead = say!(
        "people-lead",
        adults_word = first_count(adults),
        adults = adults,
        students_word = count(students),
        students = students,
        teams_word = count(of_teams),
        teams = of_teams
    );
    let left = say!(
        "people-left",
        count = first_count(found.left),
        n = found.left
    );
    Ok(RegionPeoplePage {
        head: Head::new(session, visitor, "/people"),
        lead: format!("{lead} {left}"),
        wrong,
        adults: found
            .adults
            .iter()
            .map(|one| adult(session, one, (visitor, &found)))
            .collect(),
        alone: if site.may_be_tried() {
            Vec::new()
        } else {
            let alone = found.benches_alone(&session.terrain.file).into_iter();
            alone.map(str::to_owned).collect()
        },
        may_stand_in: may_stand_in(session, visitor, &found),
        chosen: (chosen.who, chosen.until),
        choices: choices(session, !only_stands_in(visitor, &found)),
        invitations: invitations.collect(),
        teams: teams.collect(),
        kept: kept_until(site)?,
    })
}

/// `GET /people`.
pub(crate) async fn people(
    State(site): State<Site>,
    visitor: Visitor,
) -> Result<Response, Trouble> {
    Ok(page(
        &people_page(&site, &visitor, Default::default()).await?,
    ))
}

async fn again(site: &Site, visitor: &Visitor, error: PeopleError) -> Result<Response, Trouble> {
    again_with(site, visitor, error, StandIn::default()).await
}

async fn again_with(
    site: &Site,
    visitor: &Visitor,
    error: PeopleError,
    chosen: StandIn,
) -> Result<Response, Trouble> {
    let (status, wrong) = refused(site, error)?;
    let made = people_page(site, visitor, (wrong, chosen)).await?;
    Ok((status, page(&made)).into_response())
}

/// Which role.
#[derive(Deserialize)]
pub(crate) struct Chosen {
    #[serde(default)]
    role: String,
}

fn held(people: &People<'_>, chosen: &Chosen) -> Result<Held, PeopleError> {
    let role = people.role_of(&chosen.role);
    let held = role.and_then(|role| role.held());
    held.ok_or_else(|| partpledge_workshop::people::Problem::RoleBad.into())
}

/// `POST /people/invite`.
pub(crate) async fn invite(
    State(site): State<Site>,
    visitor: Visitor,
    headers: HeaderMap,
    Form(chosen): Form<Chosen>,
) -> Result<Response, Trouble> {
    let people = super::people(&site)?;
    let held = match held(&people, &chosen) {
        Ok(held) => held,
        Err(error) => return again(&site, &visitor, error).await,
    };
    match people.invite(&visitor.actor(), &held).await {
        Ok(token) => {
            let role = words::capital(&role_words(site.base(), &held));
            let link = link(&site, &headers, "invited", &token);
            let title = say!("people-one-link", role = role);
            let what = (title, link, say!("people-link-week"));
            let next = ("/people".to_owned(), say!("people-back"));
            Ok(link_page(&site, &visitor, what, next))
        }
        Err(error) => again(&site, &visitor, error).await,
    }
}

/// Who stands in, and the last day.
#[derive(Clone, Debug, Default, Deserialize)]
pub(crate) struct StandIn {
    #[serde(default)]
    who: String,
    #[serde(default)]
    until: String,
}

/// `POST /people/stand-in`.
pub(crate) async fn stand_in(
    State(site): State<Site>,
    visitor: Visitor,
    Form(chosen): Form<StandIn>,
) -> Result<Response, Trouble> {
    let people = super::people(&site)?;
    let done = match chosen.who.parse() {
        Ok(person) => {
            people
                .stand_in(&visitor.actor(), person, &chosen.until)
                .await
        }
        Err(_) => Err(Problem::StandInWho.into()),
    };
    match done {
        Ok(_) => Ok(Redirect::to("/people").into_response()),
        Err(error) => again_with(&site, &visitor, error, chosen).await,
    }
}

/// `POST /people/codes/{id}/stop`.
pub(crate) async fn stop_code(
    State(site): State<Site>,
    visitor: Visitor,
    Path(code): Path<String>,
) -> Result<Redirect, Trouble> {
    let code = id(&site, &code)?;
    let done = super::people(&site)?
        .stop_invitation(&visitor.actor(), code)
        .await;
    done.map_err(|error| failed(&site, &error))?;
    Ok(Redirect::to("/people"))
}

/// `POST /people/{id}/reset`.
pub(crate) async fn reset(
    State(site): State<Site>,
    visitor: Visitor,
    headers: HeaderMap,
    Path(person): Path<String>,
) -> Result<Response, Trouble> {
    let person: PersonId = id(&site, &person)?;
    let made = super::people(&site)?
        .reset_link(&visitor.actor(), person)
        .await;
    let (person, token) = made.map_err(|error| failed(&site, &error))?;
    let link = link(&site, &headers, "new-password", &token);
    let title = say!("people-new-password-for", name = &person.name);
    let what = (title, link, say!("people-link-day"));
    let next = ("/people".to_owned(), say!("people-back"));
    Ok(link_page(&site, &visitor, what, next))
}

/// `POST /people/{id}/end-role`.
pub(crate) async fn end_role(
    State(site): State<Site>,
    visitor: Visitor,
    Path(person): Path<String>,
    Form(chosen): Form<Chosen>,
) -> Result<Response, Trouble> {
    let person: PersonId = id(&site, &person)?;
    let people = super::people(&site)?;
    let held = match held(&people, &chosen) {
        Ok(held) => held,
        Err(error) => return again(&site, &visitor, error).await,
    };
    match people.end_role(&visitor.actor(), person, &held).await {
        Ok(()) => Ok(Redirect::to("/people").into_response()),
        Err(error) => again(&site, &visitor, error).await,
    }
}

/// `GET /people/{id}/export.json`.
pub(crate) async fn export(
    State(site): State<Site>,
    visitor: Visitor,
    Path(person): Path<String>,
) -> Result<Response, Trouble> {
    let person = id(&site, &person)?;
    let data = super::people(&site)?
        .data_of_other(&visitor.actor(), person)
        .await;
    Ok(person_download(
        data.map_err(|error| failed(&site, &error))?,
    ))
}

async fn erase_page(
    site: &Site,
    visitor: &Visitor,
    (person, wrong): (PersonId, Option<String>),
) -> Result<FarewellPage, Trouble> {
    let data = super::people(site)?
        .data_of_other(&visitor.actor(), person)
        .await;
    let data = data.map_err(|error| failed(site, &error))?;
    Ok(FarewellPage {
        head: Head::new(site.base(), visitor, ""),
        title: say!("people-erase-title", name = &data.person.name),
        wrong,
        goes: vec![say!("people-erase-goes"), say!("people-erase-goes-roles")],
        stays: stays(data.deeds.len()),
        export: format!("/people/{person}/export.json"),
        action: format!("/people/{person}/erase"),
        button: say!("people-erase-do"),
        back: "/people".to_owned(),
        back_text: say!("people-keep-them"),
    })
}

/// `GET /people/{id}/erase`.
pub(crate) async fn ask_erase(
    State(site): State<Site>,
    visitor: Visitor,
    Path(person): Path<String>,
) -> Result<Response, Trouble> {
    let person = id(&site, &person)?;
    Ok(page(&erase_page(&site, &visitor, (person, None)).await?))
}

/// `POST /people/{id}/erase`.
pub(crate) async fn erase(
    State(site): State<Site>,
    visitor: Visitor,
    Path(person): Path<String>,
    Form(sure): Form<Sure>,
) -> Result<Response, Trouble> {
    let person: PersonId = id(&site, &person)?;
    if sure.sure != "yes" {
        let made = erase_page(&site, &visitor, (person, None)).await?;
        return Ok(page(&made));
    }
    match super::people(&site)?.erase(&visitor.actor(), person).await {
        Ok(()) => Ok(Redirect::to("/people").into_response()),
        Err(error) => {
            let text = said(&site, error)?;
            let made = erase_page(&site, &visitor, (person, Some(text))).await?;
            Ok((StatusCode::CONFLICT, page(&made)).into_response())
        }
    }
}
