//! Recalls: asked about, shown, done, lifted; and what a team says of the copies that it has.

use axum::extract::{Form, Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_units::local::{parse_clock, parse_date};
use partpledge_units::time::{Minute, Minutes};
use partpledge_words::say;
use partpledge_workshop::bench::{answer_recall, lift_recall, recall_and_stop};
use partpledge_workshop::recalls::{Target, affected, of_old_file, recalls};
use partpledge_workshop::{Books, Session, WorkshopError};
use serde::Deserialize;

use super::bench::use_again;
use super::parts::{Once, own};
use super::saying::must_have_key;
use super::{Trouble, failed, key, looked, not_here, page, trouble};
use crate::pages::recalls::{RecallPage, RecallsPage, Typed, shown};
use crate::pages::send::Wrong;
use crate::site::Site;
use crate::who::{Head, Visitor};
use crate::words;

/// What the forms ask.
#[derive(Clone, Default, Deserialize)]
pub(crate) struct Asked {
    #[serde(default)]
    ask: String,
    #[serde(default)]
    printer: String,
    #[serde(default)]
    from_day: String,
    #[serde(default)]
    from_clock: String,
    #[serde(default)]
    until_day: String,
    #[serde(default)]
    until_clock: String,
    /// Whether the printer goes out of use with it: `yes` or `no`.
    #[serde(default)]
    out: String,
    #[serde(default)]
    out_day: String,
    #[serde(default)]
    out_clock: String,
    #[serde(default)]
    number: String,
    #[serde(default)]
    key: String,
}

impl Asked {
    /// The forms as they are asked first: a printer that has drifted goes out of use until somebody has
    /// looked at it.
    fn blank(session: &Session) -> Typed {
        let tomorrow = session.minute() + Minutes(1_440);
        Typed {
            out: "yes".to_owned(),
            out_day: session.terrain.zone.date(tomorrow).to_string(),
            out_clock: "12:00".to_owned(),
            ..Typed::default()
        }
    }

    fn typed(&self, session: &Session) -> Typed {
        if self.ask != "printer" {
            return Typed {
                number: self.number.clone(),
                ..Self::blank(session)
            };
        }
        // Whoever comes with a printer named, and nothing said of that: yes is chosen beforehand.
        let (out, out_day, out_clock) = if self.out.is_empty() {
            let blank = Self::blank(session);
            (blank.out, blank.out_day, blank.out_clock)
        } else {
            let own = |text: &String| text.clone();
            (own(&self.out), own(&self.out_day), own(&self.out_clock))
        };
        Typed {
            printer: self.printer.clone(),
            from_day: self.from_day.clone(),
            from_clock: self.from_clock.clone(),
            until_day: self.until_day.clone(),
            until_clock: self.until_clock.clone(),
            out,
            out_day,
            out_clock,
            number: self.number.clone(),
        }
    }

    /// Until when the printer can't be used, if it goes out of use with the recall.
    fn out_until(&self, session: &Session) -> Result<Option<Minute>, Vec<Wrong>> {
        if self.ask != "printer" {
            return Ok(None);
        }
        match self.out.as_str() {
            "no" => Ok(None),
            "yes" => {
                let typed = (self.out_day.as_str(), self.out_clock.as_str());
                let until = use_again(session, typed, session.minute());
                until
                    .map(Some)
                    .map_err(|text| vec![wrong("out_day", &text)])
            }
            _ => Err(vec![wrong("out", &say!("recalls-out-missing"))]),
        }
    }

    /// What is to be recalled, and until when its printer is out of use; or all that is wrong with the form.
    fn read(
        &self,
        session: &Session,
        books: &Books,
    ) -> Result<(Target, Option<Minute>), Vec<Wrong>> {
        match (self.target(session, books), self.out_until(session)) {
            (Ok(target), Ok(until)) => Ok((target, until)),
            (Err(mut wrong), Err(more)) => {
                wrong.extend(more);
                Err(wrong)
            }
            (Err(wrong), _) | (_, Err(wrong)) => Err(wrong),
        }
    }

    fn fields(&self) -> Vec<(&'static str, String)> {
        vec![
            ("ask", self.ask.clone()),
            ("printer", self.printer.clone()),
            ("from_day", self.from_day.clone()),
            ("from_clock", self.from_clock.clone()),
            ("until_day", self.until_day.clone()),
            ("until_clock", self.until_clock.clone()),
            ("out", self.out.clone()),
            ("out_day", self.out_day.clone()),
            ("out_clock", self.out_clock.clone()),
            ("number", self.number.clone()),
            ("key", key()),
        ]
    }

    /// What is to be recalled, or what is wrong with the form.
    fn target(&self, session: &Session, books: &Books) -> Result<Target, Vec<Wrong>> {
        if self.ask == "file" {
            let number = self
                .number
                .trim()
                .parse()
                .map_err(|_| vec![wrong("number", &say!("recalls-give-number"))])?;
            return of_old_file(books, number).map_err(|error| vec![said("number", &error)]);
        }
        let mut all = Vec::new();
        if self.printer.is_empty() {
            all.push(wrong("printer", &say!("recalls-choose-printer")));
        }
        let mut time = |day: (&'static str, &str, &str), clock: (&'static str, &str, &str)| {
            let read = parse_date(day.1).ok();
            all.extend(read.is_none().then(|| wrong(day.0, day.2)));
            let typed = if clock.1.is_empty() { clock.2 } else { clock.1 };
            let minutes = parse_clock(typed).ok();
            let says = say!("recalls-give-time");
            all.extend(minutes.is_none().then(|| wrong(clock.0, &says)));
            Some(session.terrain.zone.minute(read?, minutes?).to_ms())
        };
        let says = say!("recalls-give-first-day");
        let from = time(
            ("from_day", &self.from_day, &says),
            ("from_clock", &self.from_clock, "00:00"),
        );
        let says = say!("recalls-give-last-day");
        let until = time(
            ("until_day", &self.until_day, &says),
            ("until_clock", &self.until_clock, "23:59"),
        );
        if from.is_some_and(|from| from > session.now) {
            all.push(wrong("from_day", &say!("recalls-not-to-come")));
        } else if from.is_some() && until.is_some() && from >= until {
            all.push(wrong("until_day", &say!("recalls-end-after-start")));
        }
        match (from, until) {
            (Some(from), Some(until)) if all.is_empty() => Ok(Target::Printer {
                name: self.printer.clone(),
                from,
                until,
            }),
            _ => Err(all),
        }
    }
}

fn wrong(field: &'static str, text: &str) -> Wrong {
    Wrong {
        field,
        text: text.to_owned(),
    }
}

fn said(field: &'static str, error: &WorkshopError) -> Wrong {
    let title = words::capital(&error.to_string());
    let text = say!("recalls-error-do", error = title, todo = error.what_to_do());
    wrong(field, &text)
}

/// What a use case found wrong with one of the two forms, by what it asks.
fn wrong_of(ask: &str, error: WorkshopError) -> Result<Vec<Wrong>, WorkshopError> {
    let field = match &error {
        WorkshopError::Unknown { .. } => "printer",
        WorkshopError::NothingToRecall if ask == "file" => {
            return Ok(vec![wrong("number", &say!("recalls-no-copy-of-part"))]);
        }
        WorkshopError::NothingToRecall => {
            return Ok(vec![wrong("from_day", &say!("recalls-no-copy-then"))]);
        }
        WorkshopError::OutOfRange { .. } => "from_day",
        WorkshopError::NotReplaced { .. } => "number",
        _ => return Err(error),
    };
    Ok(vec![said(field, &error)])
}

/// `GET /recalls`, and with `ask` what a recall would do.
pub(crate) async fn ask(
    State(site): State<Site>,
    visitor: Visitor,
    Query(asked): Query<Asked>,
) -> Result<Response, Trouble> {
    let (session, books) = looked(&site).await?;
    let head = Head::new(&session, &visitor, "/region");
    let mut made = RecallsPage::new(head, &session, &books, asked.typed(&session));
    if asked.ask.is_empty() {
        return Ok(page(&made));
    }
    let found = asked.read(&session, &books).and_then(|(target, out)| {
        let found = affected(&session, &books, &target);
        found
            .map(|found| shown(&session, &found, (&target, out), asked.fields()))
            .map_err(|error| {
                let field = if asked.ask == "file" {
                    "number"
                } else {
                    "from_day"
                };
                wrong_of(&asked.ask, error).unwrap_or_else(|error| vec![said(field, &error)])
            })
    });
    match found {
        Ok(answer) => {
            made.title = say!("recalls-not-done");
            made.shown = Some(answer);
        }
        Err(wrong) => made.wrong = wrong,
    }
    Ok(page(&made))
}

/// `POST /recalls`.
pub(crate) async fn open(
    State(site): State<Site>,
    visitor: Visitor,
    Form(asked): Form<Asked>,
) -> Result<Response, Trouble> {
    must_have_key(&site, &asked.key)?;
    let (session, books) = looked(&site).await?;
    let done = match asked.read(&session, &books) {
        Err(wrong) => Err(wrong),
        Ok((target, out)) => {
            let (actor, key) = (visitor.actor(), Some(asked.key.as_str()));
            let done = recall_and_stop(&session, &actor, (&target, out), key).await;
            match done.map_err(|error| wrong_of(&asked.ask, error)) {
                Ok(_) => Ok(()),
                Err(Ok(wrong)) => Err(wrong),
                Err(Err(error)) => return Err(failed(&site, &error)),
            }
        }
    };
    let Err(wrong) = done else {
        return Ok(Redirect::to("/recalls").into_response());
    };
    let head = Head::new(&session, &visitor, "/region");
    let made = RecallsPage {
        wrong,
        ..RecallsPage::new(head, &session, &books, asked.typed(&session))
    };
    Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&made)).into_response())
}

/// `GET /recalls/{entry}`.
pub(crate) async fn one(
    State(site): State<Site>,
    visitor: Visitor,
    Path(entry): Path<String>,
) -> Result<Response, Trouble> {
    let (session, books) = looked(&site).await?;
    let none = || not_here(&site, &say!("recalls-no-such"));
    let entry: i64 = entry.parse().map_err(|_| none())?;
    let all = recalls(&books);
    let found = all.iter().find(|recall| recall.entry == entry);
    let found = found.ok_or_else(none)?;
    let head = Head::new(&session, &visitor, "/region");
    Ok(page(&RecallPage::new(head, &session, &books, found, key())))
}

/// `POST /recalls/{entry}/lift`.
pub(crate) async fn lift(
    State(site): State<Site>,
    visitor: Visitor,
    Path(entry): Path<i64>,
    Form(once): Form<Once>,
) -> Result<Redirect, Trouble> {
    must_have_key(&site, &once.key)?;
    let session = site.session().await;
    let session = session.map_err(|error| failed(&site, &error))?;
    let done = lift_recall(&session, &visitor.actor(), entry, Some(&once.key)).await;
    done.map_err(|error| failed(&site, &error))?;
    Ok(Redirect::to(&format!("/recalls/{entry}")))
}

/// What a team found.
#[derive(Deserialize)]
pub(crate) struct Checked {
    #[serde(default)]
    found: String,
    /// What was asked.
    #[serde(default)]
    about: String,
    #[serde(default)]
    key: String,
}

/// `POST /parts/{number}/recall`: what the team found of the copies that it has.
pub(crate) async fn answer(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
    Form(form): Form<Checked>,
) -> Result<Redirect, Trouble> {
    let (about, once) = (form.about, Once { key: form.key });
    let (session, _, listed) = own(&site, &visitor, &number, &once).await?;
    let good = match form.found.as_str() {
        "good" => true,
        "not-good" => false,
        _ => {
            let (title, what_to_do) = (say!("recalls-nothing-said"), say!("recalls-use-buttons"));
            let status = StatusCode::UNPROCESSABLE_ENTITY;
            return Err(trouble(&site, status, &title, &what_to_do));
        }
    };
    let (number, id) = (listed.request.number, listed.request.id);
    let done = site.heavy(async move {
        let said = (id, about.as_str(), good);
        answer_recall(&session, &visitor.actor(), said, Some(&once.key)).await
    });
    done.await.map_err(|error| failed(&site, &error))?;
    Ok(Redirect::to(&format!("/parts/{number}")))
}
