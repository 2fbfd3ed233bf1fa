//! Schools closed for a while: shown first, then done once; lifted the same way.

use axum::extract::{Form, Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_workshop::bench::{close, lift};
use partpledge_workshop::closures::{if_closed, if_lifted, of_entry};
use partpledge_workshop::{Session, WorkshopError};

use super::{Trouble, failed, is_key, key, looked, page, trouble};
use crate::pages::closed::{ClosedPage, Typed, named, read, shown, tomorrow, when};
use crate::pages::send::Wrong;
use crate::site::Site;
use crate::who::{Head, Visitor};
use crate::words;

/// A form's fields, names as often as they were sent.
type Fields = Vec<(String, String)>;

const PLACE: &str = "/region/closed";

fn typed(session: &Session, fields: &Fields) -> Typed {
    let all = |name: &'static str| {
        let named = fields.iter().filter(move |(known, _)| known == name);
        named.map(|(_, value)| value.clone())
    };
    let one = |name| all(name).next().unwrap_or_default();
    let file = &session.terrain.file;
    let every: Vec<String> = all("all").collect();
    let mut schools: Vec<String> = all("school").collect();
    if every.iter().any(|word| word == "schools") {
        schools = file
            .schools
            .iter()
            .map(|school| school.code.clone())
            .collect();
    } else if every.iter().any(|word| word == "hosts") {
        schools.extend(file.hosts.iter().map(|host| host.school.clone()));
        schools.sort();
        schools.dedup();
    }
    Typed {
        schools,
        day: one("day"),
        last: one("last"),
        opens: one("opens"),
        closes: one("closes"),
        reason: one("reason"),
    }
}

fn hidden(typed: &Typed) -> Vec<(&'static str, String)> {
    let schools = typed.schools.iter().map(|code| ("school", code.clone()));
    let mut out: Vec<(&'static str, String)> = schools.collect();
    out.extend([
        ("day", typed.day.clone()),
        ("last", typed.last.clone()),
        ("opens", typed.opens.clone()),
        ("closes", typed.closes.clone()),
        ("reason", typed.reason.clone()),
        ("key", key()),
    ]);
    out
}

/// What a use case found wrong with the form.
fn wrong_of(error: WorkshopError) -> Result<Vec<Wrong>, WorkshopError> {
    let field = match &error {
        WorkshopError::Unknown { .. } => "school",
        WorkshopError::OutOfRange { what, .. } => match *what {
            "the reason" => "reason",
            "what is closed" => "school",
            "the end" => "last",
            _ => "day",
        },
        _ => return Err(error),
    };
    let text = words::capital(&format!("{error}."));
    Ok(vec![Wrong { field, text }])
}

/// `GET /region/closed`, and with `ask` what the form would do.
pub(crate) async fn ask(
    State(site): State<Site>,
    visitor: Visitor,
    Query(fields): Query<Fields>,
) -> Result<Response, Trouble> {
    let (session, books) = looked(&site).await?;
    let forecasts = site.clone();
    let made = site.heavy(async move {
        let head = Head::new(&session, &visitor, "/region");
        if !fields.iter().any(|(name, _)| name == "ask") {
            let day = tomorrow(&session);
            let typed = Typed {
                day,
                ..Typed::default()
            };
            return Ok(ClosedPage::new(head, &session, typed));
        }
        let typed = typed(&session, &fields);
        let mut made = ClosedPage::new(head, &session, typed);
        let told = match read(&session, &made.typed) {
            Ok(told) => told,
            Err(wrong) => {
                made.wrong = wrong;
                return Ok(made);
            }
        };
        match if_closed(&session, &visitor.actor(), &books, &told).await {
            Ok(then) => {
                let now = forecasts.forecasts(&session, &books);
                let many = words::count(told.schools.len());
                let button = match told.schools.len() {
                    1 => "Close it".to_owned(),
                    _ => format!("Close all {many}"),
                };
                let how = (PLACE.to_owned(), button);
                let mut answer = shown((&session, &books), &now, &then, how);
                answer.fields = hidden(&made.typed);
                made.shown = Some(answer);
                let day = when(&session.terrain.zone, told.from, told.until);
                "Not done yet: this is what it would do".clone_into(&mut made.title);
                made.lead = format!("{day}: {}.", named(&session, &told.schools));
            }
            Err(error) => made.wrong = wrong_of(error)?,
        }
        Ok(made)
    });
    let made = made.await.map_err(|error| failed(&site, &error))?;
    Ok(page(&made))
}

fn not_ours(site: &Site) -> Trouble {
    let title = "That form was not ours.";
    let what_to_do = "Open the page of closures and decide there.";
    trouble(site, StatusCode::FORBIDDEN, title, what_to_do)
}

fn key_in(site: &Site, fields: &Fields) -> Result<String, Trouble> {
    let found = fields.iter().find(|(name, _)| name == "key");
    let found = found.map(|(_, key)| key.clone());
    let found = found.filter(|key| is_key(key));
    found.ok_or_else(|| not_ours(site))
}

/// `POST /region/closed`.
pub(crate) async fn do_close(
    State(site): State<Site>,
    visitor: Visitor,
    Form(fields): Form<Fields>,
) -> Result<Response, Trouble> {
    let key = key_in(&site, &fields)?;
    let session = site.session().await;
    let session = session.map_err(|error| failed(&site, &error))?;
    let done = site.heavy(async move {
        let typed = typed(&session, &fields);
        let head = Head::new(&session, &visitor, "/region");
        let mut made = ClosedPage::new(head, &session, typed);
        made.wrong = match read(&session, &made.typed) {
            Err(wrong) => wrong,
            Ok(told) => match close(&session, &visitor.actor(), &told, Some(&key)).await {
                Ok(_) => return Ok(None),
                Err(error) => wrong_of(error)?,
            },
        };
        Ok(Some(made))
    });
    match done.await.map_err(|error| failed(&site, &error))? {
        None => Ok(Redirect::to(PLACE).into_response()),
        Some(made) => Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&made)).into_response()),
    }
}

/// `GET /region/closed/{entry}/lift`: what opening again would do.
pub(crate) async fn ask_lift(
    State(site): State<Site>,
    visitor: Visitor,
    Path(entry): Path<i64>,
) -> Result<Response, Trouble> {
    let (session, books) = looked(&site).await?;
    let forecasts = site.clone();
    let made = site.heavy(async move {
        let then = if_lifted(&session, &visitor.actor(), &books, entry).await?;
        let closure = of_entry(&session, entry)?.closure.clone();
        let now = forecasts.forecasts(&session, &books);
        let how = (format!("{PLACE}/{entry}/lift"), "Open again".to_owned());
        let mut answer = shown((&session, &books), &now, &then, how);
        answer.fields = vec![("key", key())];
        let head = Head::new(&session, &visitor, "/region");
        let day = when(&session.terrain.zone, closure.from, closure.until);
        let schools = named(&session, &closure.schools);
        Ok(ClosedPage {
            title: "Open again what was closed?".to_owned(),
            lead: format!("{day}: {schools} ({}).", closure.reason),
            shown: Some(answer),
            asks: false,
            ..ClosedPage::new(head, &session, Typed::default())
        })
    });
    let made = made.await.map_err(|error| failed(&site, &error))?;
    Ok(page(&made))
}

/// `POST /region/closed/{entry}/lift`.
pub(crate) async fn do_lift(
    State(site): State<Site>,
    visitor: Visitor,
    Path(entry): Path<i64>,
    Form(fields): Form<Fields>,
) -> Result<Redirect, Trouble> {
    let key = key_in(&site, &fields)?;
    let session = site.session().await;
    let session = session.map_err(|error| failed(&site, &error))?;
    let done = site.heavy(async move { lift(&session, &visitor.actor(), entry, Some(&key)).await });
    done.await.map_err(|error| failed(&site, &error))?;
    Ok(Redirect::to(PLACE))
}
