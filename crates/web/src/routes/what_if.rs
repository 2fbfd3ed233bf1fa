//! Questions about the plan: asked by a link, answered on a page, nothing stored.

use std::collections::BTreeSet;

use axum::extract::{Query, State};
use axum::response::Response;
use partpledge_records::PlateState;
use partpledge_units::local::{parse_clock, parse_date};
use partpledge_workshop::risks::Outcome;
use partpledge_workshop::what_if::{Answer, Question, ask};
use partpledge_workshop::{Books, Session, WorkshopError};
use serde::Deserialize;

use super::{Trouble, failed, looked, page};
use crate::figures::timeline::{AtRisk, NARROW, WIDE, table, timeline};
use crate::pages::what_if::{Asks, Pictures, Told, WhatIfPage, moves, shifts, supposed, verdict};
use crate::site::{Outcomes, Site};
use crate::who::{Head, Visitor};
use crate::words;

/// A question as a link has it.
#[derive(Deserialize)]
pub(crate) struct Asked {
    /// `out`, `closed`, `more` or `away`; nothing is asked without it.
    #[serde(default)]
    ask: String,
    #[serde(default)]
    printer: String,
    #[serde(default)]
    host: String,
    #[serde(default)]
    day: String,
    #[serde(default)]
    clock: String,
}

impl Asked {
    /// The question, `None` when nothing is asked.
    fn question(&self, session: &Session) -> Result<Option<Question>, WorkshopError> {
        let zone = &session.terrain.zone;
        let until = || {
            Ok::<_, WorkshopError>(zone.minute(parse_date(&self.day)?, parse_clock(&self.clock)?))
        };
        let (printer, host) = (self.printer.clone(), self.host.clone());
        Ok(Some(match self.ask.as_str() {
            "out" => Question::PrinterOut {
                printer,
                until: until()?,
            },
            "closed" => Question::SiteClosed {
                host,
                day: parse_date(&self.day)?,
            },
            "more" => Question::OneMore {
                like: printer,
                host,
            },
            "away" => Question::NobodyAt {
                host,
                until: until()?,
            },
            _ => return Ok(None),
        }))
    }
}

/// `GET /region/if?ask=out&printer=P&day=D&clock=T`.
pub(crate) async fn what_if(
    State(site): State<Site>,
    visitor: Visitor,
    Query(asked): Query<Asked>,
) -> Result<Response, Trouble> {
    let (session, books) = looked(&site).await?;
    let forecasts = site.clone();
    let made = site.heavy(async move {
        let head = Head::new(&session, &visitor, "/region");
        let mut made = WhatIfPage {
            head,
            title: "Only a question: what if …?".to_owned(),
            wrong: None,
            told: None,
            asks: Asks::of(&session),
        };
        let question = match asked.question(&session) {
            Ok(None) => return Ok(made),
            Ok(Some(question)) => question,
            Err(error) => {
                made.wrong = Some(wrong(&error));
                return Ok(made);
            }
        };
        match ask(&session, &visitor.actor(), &books, &question) {
            Ok(then) => {
                let now = forecasts.forecasts(&session, &books);
                let supposed = supposed(&session, &question);
                made.title = format!("Only a question: what if {supposed}?");
                made.told = Some(told((&session, &books), &now, &then, &question));
            }
            Err(error) => made.wrong = Some(wrong(&error)),
        }
        Ok(made)
    });
    let made = made.await.map_err(|error| failed(&site, &error))?;
    Ok(page(&made))
}

fn wrong(error: &WorkshopError) -> String {
    let says = words::capital(&error.to_string());
    match error {
        // The range says what to do already.
        WorkshopError::OutOfRange { .. } => format!("{says}."),
        other => format!("{says}. {}", other.what_to_do()),
    }
}

fn told(
    (session, books): (&Session, &Books),
    now: &Outcomes,
    then: &Answer,
    question: &Question,
) -> Told {
    let shifts = shifts(session, books, now, then);
    let at_risk_now = at_risk(books, now);
    let at_risk_then = at_risk(&then.books, &then.outcomes);
    let pictures = |(session, books): (&Session, &Books), risk: &AtRisk, label: String| Pictures {
        wide: timeline(session, books, risk, &WIDE),
        narrow: timeline(session, books, risk, &NARROW),
        label,
    };
    let n = then.moved.len();
    let mut more = vec![match n {
        0 => "No plate would move.".to_owned(),
        n => format!(
            "{} move.",
            words::capital(&words::spelled(n, "plate would", "plates would"))
        ),
    }];
    if let Question::OneMore { .. } = question {
        let says =
            "The plan is made anew with it, and it may not run alone: nobody has allowed that.";
        more.push(says.to_owned());
    }
    if !then.lost.is_empty() {
        let says = "What is on the printer now counts as lost and would be printed again.";
        more.push(says.to_owned());
    }
    let supposed = supposed(session, question);
    Told {
        verdict: verdict(&shifts),
        more,
        moves: moves(session, books, then),
        then: pictures(
            (&then.session, &then.books),
            &at_risk_then,
            format!("The next hours if {supposed}."),
        ),
        now: pictures(
            (session, books),
            &at_risk_now,
            "The next hours as they are planned now.".to_owned(),
        ),
        rows: table(&then.session, &then.books, &at_risk_then),
        shifts,
    }
}

/// Open plates of the pledges at risk.
fn at_risk(books: &Books, outcomes: &Outcomes) -> AtRisk {
    let open = books.floor.kept.iter().filter(|kept| {
        let outcome = outcomes.get(&kept.request);
        kept.state == PlateState::Open && outcome.is_some_and(Outcome::at_risk)
    });
    open.map(|kept| kept.on().0).collect::<BTreeSet<u64>>()
}
