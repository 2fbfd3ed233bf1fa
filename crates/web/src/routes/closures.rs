//! Schools closed for a while: shown first, then done once; lifted the same way.

use axum::extract::{Form, Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_words::say;
use partpledge_workshop::bench::{close, lift};
use partpledge_workshop::closures::{if_closed, if_lifted, of_entry};
use partpledge_workshop::{Books, Session, WorkshopError};

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

/// The page with what closing would do, or what is wrong with the form.
async fn would(
    site: &Site,
    (session, books): (&Session, &Books),
    visitor: &Visitor,
    fields: &Fields,
) -> Result<ClosedPage, WorkshopError> {
    let head = Head::new(session, visitor, "/region");
    let mut made = ClosedPage::new(head, session, typed(session, fields));
    let told = match read(session, &made.typed) {
        Ok(told) => told,
        Err(wrong) => {
            made.wrong = wrong;
            return Ok(made);
        }
    };
    match if_closed(session, &visitor.actor(), books, &told).await {
        Ok(then) => {
            let now = site.forecasts(session, books);
            let n = told.schools.len();
            let count = say("numbers-spelled").with("n", n);
            let button = say!("season-close", n = n, count = count);
            let how = (PLACE.to_owned(), button);
            let mut answer = shown((session, books), &now, &then, how);
            answer.fields = hidden(&made.typed);
            answer.fields.push(plan_of(books));
            made.shown = Some(answer);
            let day = when(&session.terrain.zone, told.from, told.until);
            made.title = say!("season-not-done");
            made.lead = format!("{day}: {}.", named(session, &told.schools));
        }
        Err(error) => made.wrong = wrong_of(error)?,
    }
    Ok(made)
}

/// What was just done, in words.
fn said_after(fields: &Fields) -> Option<String> {
    let done = fields.iter().find(|(name, _)| name == "done")?;
    match done.1.as_str() {
        "closed" => Some(say!("season-was-closed")),
        "opened" => Some(say!("season-was-opened")),
        _ => None,
    }
}

/// `GET /region/closed`, and with `ask` what the form would do.
pub(crate) async fn ask(
    State(site): State<Site>,
    visitor: Visitor,
    Query(fields): Query<Fields>,
) -> Result<Response, Trouble> {
    let (session, books) = looked(&site).await?;
    let work = site.clone();
    let made = site.heavy(async move {
        if fields.iter().any(|(name, _)| name == "ask") {
            return would(&work, (&session, &books), &visitor, &fields).await;
        }
        let head = Head::new(&session, &visitor, "/region");
        let typed = Typed {
            day: tomorrow(&session),
            ..Typed::default()
        };
        let mut made = ClosedPage::new(head, &session, typed);
        made.notice = said_after(&fields);
        Ok(made)
    });
    let made = made.await.map_err(|error| failed(&site, &error))?;
    Ok(page(&made))
}

/// The plan that it is shown on, as a field of the form: what is done must be what was shown.
fn plan_of(books: &Books) -> (&'static str, String) {
    ("plan", books.floor.revision.to_string())
}

/// The plan that a form was shown on, if it says.
fn plan_in(fields: &Fields) -> Option<i64> {
    let found = fields.iter().find(|(name, _)| name == "plan");
    found.and_then(|(_, revision)| revision.parse().ok())
}

/// Whether it was not done because another plan was made since.
fn has_moved(error: &WorkshopError) -> bool {
    matches!(error, WorkshopError::Store(store) if store.code() == "stale")
}

/// The page again, with what it would do by now.
async fn again(
    site: &Site,
    made: impl Future<Output = Result<ClosedPage, WorkshopError>> + Send + 'static,
) -> Result<Response, Trouble> {
    let made = site.heavy(made).await;
    let mut made = made.map_err(|error| failed(site, &error))?;
    made.notice = Some(say!("season-was-not-done"));
    Ok((StatusCode::CONFLICT, page(&made)).into_response())
}

fn not_ours(site: &Site) -> Trouble {
    let (title, what_to_do) = (say!("common-not-ours"), say!("season-decide-there"));
    trouble(site, StatusCode::FORBIDDEN, &title, &what_to_do)
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
    let (who, told) = (visitor.clone(), fields.clone());
    let done = site.heavy(async move {
        let typed = typed(&session, &told);
        let head = Head::new(&session, &who, "/region");
        let mut made = ClosedPage::new(head, &session, typed);
        made.wrong = match read(&session, &made.typed) {
            Err(wrong) => wrong,
            Ok(closure) => {
                let what = (&closure, plan_in(&told));
                match close(&session, &who.actor(), what, Some(&key)).await {
                    Ok(_) => return Ok(None),
                    Err(error) => wrong_of(error)?,
                }
            }
        };
        Ok(Some(made))
    });
    match done.await {
        Ok(None) => Ok(Redirect::to(&format!("{PLACE}?done=closed")).into_response()),
        Ok(Some(made)) => Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&made)).into_response()),
        Err(error) if has_moved(&error) => {
            let (session, books) = looked(&site).await?;
            let work = site.clone();
            let made =
                async move { Box::pin(would(&work, (&session, &books), &visitor, &fields)).await };
            again(&site, made).await
        }
        Err(error) => Err(failed(&site, &error)),
    }
}

/// The page with what opening again would do.
async fn would_lift(
    site: &Site,
    (session, books): (&Session, &Books),
    visitor: &Visitor,
    entry: i64,
) -> Result<ClosedPage, WorkshopError> {
    let then = if_lifted(session, &visitor.actor(), books, entry).await?;
    let closure = of_entry(session, entry)?.closure.clone();
    let now = site.forecasts(session, books);
    let how = (format!("{PLACE}/{entry}/lift"), say!("season-open-again"));
    let mut answer = shown((session, books), &now, &then, how);
    answer.fields = vec![plan_of(books), ("key", key())];
    let head = Head::new(session, visitor, "/region");
    let day = when(&session.terrain.zone, closure.from, closure.until);
    let schools = named(session, &closure.schools);
    Ok(ClosedPage {
        title: say!("season-open-again-title"),
        lead: format!("{day}: {schools} ({}).", closure.reason),
        shown: Some(answer),
        asks: false,
        ..ClosedPage::new(head, session, Typed::default())
    })
}

/// `GET /region/closed/{entry}/lift`: what opening again would do.
pub(crate) async fn ask_lift(
    State(site): State<Site>,
    visitor: Visitor,
    Path(entry): Path<i64>,
) -> Result<Response, Trouble> {
    let (session, books) = looked(&site).await?;
    let work = site.clone();
    let made =
        site.heavy(async move { would_lift(&work, (&session, &books), &visitor, entry).await });
    let made = made.await.map_err(|error| failed(&site, &error))?;
    Ok(page(&made))
}

/// `POST /region/closed/{entry}/lift`.
pub(crate) async fn do_lift(
    State(site): State<Site>,
    visitor: Visitor,
    Path(entry): Path<i64>,
    Form(fields): Form<Fields>,
) -> Result<Response, Trouble> {
    let key = key_in(&site, &fields)?;
    let session = site.session().await;
    let session = session.map_err(|error| failed(&site, &error))?;
    let (actor, which) = (visitor.actor(), (entry, plan_in(&fields)));
    let done = site.heavy(async move { lift(&session, &actor, which, Some(&key)).await });
    match done.await {
        Ok(_) => Ok(Redirect::to(&format!("{PLACE}?done=opened")).into_response()),
        Err(error) if has_moved(&error) => {
            let (session, books) = looked(&site).await?;
            let work = site.clone();
            let made = async move { would_lift(&work, (&session, &books), &visitor, entry).await };
            again(&site, made).await
        }
        Err(error) => Err(failed(&site, &error)),
    }
}
