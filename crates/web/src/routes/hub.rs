//! A bench that students run: crew and sign-offs for adults, who is there, cards, figures.

use std::collections::BTreeMap;

use axum::extract::{Form, Path, Query, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_hubs::Job;
use partpledge_units::ids::{CrewId, PersonId};
use partpledge_units::local::{parse_clock, parse_date};
use partpledge_words::say;
use partpledge_workshop::hub::{CrewDeed, Hub, figures, jobs_of, lead, say_present};
use partpledge_workshop::people::{PeopleError, Problem, Signed};
use partpledge_workshop::{Role, Session, WorkshopError};
use serde::Deserialize;

use super::bench::{Fields, field, may_work, not_yours, occurred_at};
use super::queued::{Refused, answered};
use super::saying::must_have_key;
use super::{Trouble, failed, not_here, page, people, trouble};
use crate::guard::From;
use crate::pages::hub::{CardPage, CrewPage, FiguresPage, Typed, sign_of};
use crate::pages::send::Wrong;
use crate::site::Site;
use crate::who::{Head, Visitor};

fn path(code: &str) -> String {
    format!("/hubs/{code}")
}

async fn opened(site: &Site, visitor: &Visitor, code: &str) -> Result<(Session, Hub), Trouble> {
    let session = site.session().await.map_err(|error| failed(site, &error))?;
    let hub = Hub::of(&session, &visitor.actor(), code).await;
    Ok((session, hub.map_err(|error| failed(site, &error))?))
}

/// `GET /hubs/{code}`.
pub(crate) async fn show(
    State(site): State<Site>,
    visitor: Visitor,
    Path(code): Path<String>,
) -> Result<Response, Trouble> {
    let made = crew_page(&site, &visitor, &code, Typed::default()).await?;
    Ok(page(&made))
}

async fn crew_page(
    site: &Site,
    visitor: &Visitor,
    code: &str,
    typed: Typed,
) -> Result<CrewPage, Trouble> {
    let (session, hub) = opened(site, visitor, code).await?;
    let today = session.terrain.zone.date(session.minute());
    let jobs = jobs_of(&session, &hub, today);
    let head = Head::new(&session, visitor, &path(code));
    let mut made = CrewPage::new(head, (&session, &hub), &jobs, typed);
    if let Role::Mentor(team) = visitor.role() {
        let people = people(site)?;
        let team = people.team(&visitor.actor(), team).await;
        let team = team.map_err(|error| failed(site, &error))?;
        made = made.with_students(&hub, &team.students);
    }
    let who = signers(&session, &hub).await;
    made = made.with_log(
        (&session, &hub),
        &who.map_err(|error| failed(site, &error))?,
    );
    let signed = visitor.signed();
    made.asks_password = signed.is_none_or(|signed| signed.person.email.is_some());
    made.you_are_here = signed.is_some_and(|signed| hub.is_there(signed.person.id, session.now));
    Ok(made)
}

/// Who gave sign-offs, by the reference that is kept of them, in words.
async fn signers(session: &Session, hub: &Hub) -> Result<BTreeMap<String, String>, WorkshopError> {
    let mut out = BTreeMap::new();
    let Some((store, region)) = session.store() else {
        return Ok(out);
    };
    for kept in &hub.book.signs {
        if out.contains_key(&kept.actor) {
            continue;
        }
        let (role, id) = kept.actor.split_once('/').unwrap_or((&kept.actor, ""));
        let role = match role.split(':').next().unwrap_or(role) {
            "host" => say!("hub-signer-host"),
            "mentor" => say!("hub-signer-mentor"),
            "coordinator" => say!("hub-signer-coordinator"),
            _ => say!("hub-signer-machine"),
        };
        let person = match id.parse::<PersonId>() {
            Ok(id) => store.person(region, id).await?,
            Err(_) => None,
        };
        let name = person
            .map(|person| person.name)
            .filter(|name| !name.is_empty());
        let says = name.map_or_else(
            || say!("hub-signer-somebody", role = role),
            |name| say!("hub-signer", name = name, role = role),
        );
        out.insert(kept.actor.clone(), says);
    }
    Ok(out)
}

fn all<'f>(fields: &'f Fields, name: &'f str) -> impl Iterator<Item = &'f str> {
    let named = fields.iter().filter(move |(known, _)| known == name);
    named.map(|(_, value)| value.as_str())
}

fn typed(fields: &Fields) -> Typed {
    let one = |name| field(fields, name).to_owned();
    let leaves = field(fields, "act") == "remove";
    let whom = |is: bool| if is { one("member") } else { String::new() };
    Typed {
        name: one("name"),
        student: one("student"),
        member: whom(!leaves),
        leaver: whom(leaves),
        entry: one("entry"),
        signs: all(fields, "sign").map(str::to_owned).collect(),
        until: one("until"),
        clock: one("clock"),
    }
}

/// At the form that was sent: each has a password of its own, and two ask for somebody of the crew.
fn at_its_form(wrong: Wrong, act: &str) -> Wrong {
    let field = match (wrong.field, act) {
        ("password", "sign" | "withdraw") => "password-s",
        ("password", "add") => "password-n",
        ("password", "remove") => "password-r",
        ("password", "looked") => "password-l",
        ("member", "remove") => "leaver",
        (field, _) => field,
    };
    Wrong { field, ..wrong }
}

fn wrong(field: &'static str, text: impl Into<String>) -> Wrong {
    let text = text.into();
    Wrong { field, text }
}

/// What a form asks for, or what is wrong with it.
fn deed(session: &Session, fields: &Fields) -> Result<CrewDeed, Wrong> {
    let member = || {
        let id: Result<CrewId, _> = field(fields, "member").parse();
        id.map_err(|_| wrong("member", say!("hub-wrong-member")))
    };
    let tasks = || {
        let tasks: Vec<_> = all(fields, "sign").filter_map(sign_of).collect();
        let none = wrong("sign", say!("hub-wrong-sign"));
        if tasks.is_empty() {
            Err(none)
        } else {
            Ok(tasks)
        }
    };
    Ok(match field(fields, "act") {
        "add" => match field(fields, "student").parse::<PersonId>() {
            Ok(id) => CrewDeed::AddStudent(id),
            Err(_) => CrewDeed::Add {
                name: field(fields, "name").to_owned(),
            },
        },
        "sign" => CrewDeed::Sign {
            member: member()?,
            tasks: tasks()?,
            until: parse_date(field(fields, "until"))
                .map_err(|_| wrong("until", say!("hub-wrong-until")))?,
        },
        "withdraw" => CrewDeed::Withdraw {
            member: member()?,
            tasks: tasks()?,
        },
        "remove" => CrewDeed::Remove(member()?),
        "here" => {
            let clock = parse_clock(field(fields, "clock"));
            let clock = clock.map_err(|_| wrong("clock", say!("hub-wrong-clock")))?;
            let zone = &session.terrain.zone;
            CrewDeed::Here(zone.minute(zone.date(session.minute()), clock))
        }
        "gone" => CrewDeed::Gone,
        "looked" => {
            let entry = field(fields, "entry").parse();
            CrewDeed::Looked(entry.map_err(|_| wrong("lo", say!("hub-wrong-entry")))?)
        }
        _ => return Err(wrong("ad", say!("hub-wrong-act"))),
    })
}

/// What a use case found wrong, by the field that it is about.
fn found_wrong(error: PeopleError) -> Result<Wrong, WorkshopError> {
    let text = match error {
        PeopleError::Typed(problems) => {
            let problem = problems.first().copied().unwrap_or(Problem::NameMissing);
            return Ok(match problem {
                Problem::PasswordWrong => wrong("password", say!("hub-wrong-password")),
                Problem::NameLong => wrong("name", say!("hub-wrong-name-long")),
                Problem::NamePersonal => wrong("name", say!("hub-wrong-name-personal")),
                Problem::NameOfRole => wrong("name", say!("hub-wrong-name-role")),
                Problem::NicknameTaken => wrong("name", say!("hub-wrong-name-taken")),
                _ => wrong("name", say!("hub-wrong-name")),
            });
        }
        PeopleError::TooMany { .. } => {
            return Ok(wrong("password", say!("hub-wrong-too-many")));
        }
        PeopleError::Failed(WorkshopError::OutOfRange { what, .. }) => {
            return Ok(match what {
                "until" => wrong("clock", say!("hub-wrong-later")),
                "tasks" => wrong("sign", say!("hub-wrong-none-signed")),
                _ => wrong("until", say!("hub-wrong-last-day")),
            });
        }
        PeopleError::Failed(other) => other,
    };
    Err(text)
}

/// Whether the adult themselves asks: the tablet at the bench may be signed in as them.
async fn confirmed(
    site: &Site,
    signed: &Signed,
    password: &str,
    from: &str,
) -> Result<(), PeopleError> {
    let (at, signed) = (site.clone(), signed.clone());
    let (password, from) = (password.to_owned(), from.to_owned());
    site.hashing(async move { at.people()?.confirm(&signed, &password, &from).await })
        .await
}

/// `POST /hubs/{code}/do`.
pub(crate) async fn act(
    State(site): State<Site>,
    visitor: Visitor,
    From(from): From,
    Path(code): Path<String>,
    Form(fields): Form<Fields>,
) -> Result<Response, Trouble> {
    let (session, _) = opened(&site, &visitor, &code).await?;
    must_have_key(&site, field(&fields, "key"))?;
    let again = async |wrong: Wrong| {
        let mut made = crew_page(&site, &visitor, &code, typed(&fields)).await?;
        made.wrong = vec![at_its_form(wrong, field(&fields, "act"))];
        Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&made)).into_response())
    };
    let what = match deed(&session, &fields) {
        Ok(what) => what,
        Err(wrong) => return again(wrong).await,
    };
    let Some(signed) = visitor.signed() else {
        return Err(failed(&site, &WorkshopError::NotYours));
    };
    // Whoever leaves gives nothing away by it.
    let done = match what {
        CrewDeed::Gone => Ok(()),
        _ => confirmed(&site, signed, field(&fields, "password"), &from).await,
    };
    let key = Some(field(&fields, "key"));
    let done = match done {
        Ok(()) => lead(&session, &visitor.actor(), (&code, &what), key).await,
        Err(error) => Err(error),
    };
    match done {
        Ok(()) => Ok(Redirect::to(&path(&code)).into_response()),
        Err(error) => match found_wrong(error) {
            Ok(wrong) => again(wrong).await,
            Err(error) => Err(failed(&site, &error)),
        },
    }
}

/// `POST /run-sheets/{code}/here`: who of the crew is there.
pub(crate) async fn here(
    State(site): State<Site>,
    visitor: Visitor,
    Path(code): Path<String>,
    headers: HeaderMap,
    Form(fields): Form<Fields>,
) -> Response {
    let done = said_here(&site, visitor, &code, &fields).await;
    answered(&site, &headers, done, &format!("/run-sheets/{code}"))
}

async fn said_here(
    site: &Site,
    visitor: Visitor,
    code: &str,
    fields: &Fields,
) -> Result<(), Refused> {
    let key = field(fields, "key");
    if !may_work(&visitor, code) || !super::is_key(key) {
        return Err(Refused::SignIn(not_yours(site)));
    }
    let session = site.session().await?;
    let crew: Vec<CrewId> = all(fields, "crew")
        .filter_map(|id| id.parse().ok())
        .collect();
    let told = (Some(key), occurred_at(fields)?);
    say_present(&session, &visitor.actor(), (code, &crew), told).await?;
    Ok(())
}

/// `GET /hubs/{code}/cards/{job}`.
pub(crate) async fn card(
    State(site): State<Site>,
    visitor: Visitor,
    Path((code, job)): Path<(String, String)>,
    Query(asked): Query<Week>,
) -> Result<Response, Trouble> {
    let (session, hub) = opened(&site, &visitor, &code).await?;
    let job = Job::parse(&job).ok_or_else(|| not_here(&site, &say!("hub-no-job")))?;
    let today = session.terrain.zone.date(session.minute());
    let day = jobs_of(&session, &hub, parse_date(&asked.day).unwrap_or(today));
    let head = Head::new(&session, &visitor, "");
    Ok(page(&CardPage::new(head, (&session, &hub), (job, &day))))
}

/// Which week, or day.
#[derive(Deserialize)]
pub(crate) struct Week {
    #[serde(default)]
    week: String,
    #[serde(default)]
    day: String,
}

/// `GET /hubs/{code}/figures?week=D`: the week that a day is in.
pub(crate) async fn figures_of(
    State(site): State<Site>,
    visitor: Visitor,
    Path(code): Path<String>,
    Query(asked): Query<Week>,
) -> Result<Response, Trouble> {
    let (_, hub) = opened(&site, &visitor, &code).await?;
    let (session, books) = super::looked(&site).await?;
    let today = session.terrain.zone.date(session.minute());
    let day = parse_date(&asked.week).unwrap_or(today);
    let found = figures(&session, &visitor.actor(), &books, (&code, day)).await;
    let found = match found {
        Ok(found) => found,
        Err(WorkshopError::OutOfRange { .. }) => {
            let what_to_do = say!("hub-week-to-come-do");
            let title = say!("hub-week-to-come");
            return Err(trouble(
                &site,
                StatusCode::UNPROCESSABLE_ENTITY,
                &title,
                &what_to_do,
            ));
        }
        Err(error) => return Err(failed(&site, &error)),
    };
    let head = Head::new(&session, &visitor, "");
    let names = (code.as_str(), hub.name.as_str());
    Ok(page(&FiguresPage::new(head, &session, names, &found)))
}

/// The page of the crew that somebody is an adult of, if there is one.
pub(crate) fn crew_path(session: &Session, role: &Role) -> Option<String> {
    let file = &session.terrain.file;
    let code = match role {
        Role::Host(code) => code,
        Role::Mentor(team) => &file.teams.iter().find(|one| one.name == *team)?.school,
        _ => return None,
    };
    file.hub(code).map(|host| path(&host.school))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_wrong_stands_at_the_form_that_was_sent() {
        let at = |field, act| at_its_form(wrong(field, "no"), act).field;
        for (act, own) in [
            ("here", "password"),
            ("sign", "password-s"),
            ("withdraw", "password-s"),
            ("add", "password-n"),
            ("remove", "password-r"),
            ("looked", "password-l"),
        ] {
            assert_eq!(at("password", act), own);
        }
        let members = ["sign", "remove"].map(|act| at("member", act));
        assert_eq!(members, ["member", "leaver"]);
    }

    #[test]
    fn what_was_chosen_is_kept_for_the_form_that_it_was_chosen_in() {
        let sent = |act: &str| -> Typed {
            let fields = [
                ("act", act),
                ("member", "m"),
                ("student", "s"),
                ("entry", "7"),
            ];
            let fields = fields.map(|(name, value)| (name.to_owned(), value.to_owned()));
            typed(&fields.to_vec())
        };
        let (sign, off) = (sent("sign"), sent("remove"));
        assert_eq!((sign.member.as_str(), sign.leaver.as_str()), ("m", ""));
        assert_eq!((off.member.as_str(), off.leaver.as_str()), ("", "m"));
        assert_eq!((sign.student.as_str(), sign.entry.as_str()), ("s", "7"));
    }
}
