//! Questions about the plan: asked by a link, answered on a page, nothing stored.

use std::collections::BTreeSet;

use axum::extract::{Query, State};
use axum::response::Response;
use partpledge_records::PlateState;
use partpledge_units::local::{parse_clock, parse_date};
use partpledge_words::say;
use partpledge_workshop::risks::Outcome;
use partpledge_workshop::what_if::{Answer, Question, ask};
use partpledge_workshop::{Books, Session, WorkshopError};
use serde::Deserialize;

use super::{Trouble, failed, looked, page};
use crate::figures::timeline::{AtRisk, NARROW, WIDE, table, timeline};
use crate::pages::closed::stopped;
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
            title: say!("region-if-page"),
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
                made.title = say!("region-if-page-asked", supposed = supposed);
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
    match error {
        WorkshopError::OutOfRange { .. } => say!("region-if-wrong-time"),
        other => say!(
            "region-if-wrong",
            what = words::capital(&other.to_string()),
            todo = other.what_to_do()
        ),
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
    let count = words::spelled(n);
    let mut more = vec![say!("region-if-plates", n = n, count = count)];
    if let Question::OneMore { .. } = question {
        more.push(say!("region-if-more-alone"));
    }
    match question {
        Question::PrinterOut { .. } if !then.lost.is_empty() => more.push(say!("region-if-lost")),
        Question::PrinterOut { .. } => {}
        _ => more.extend(stopped(books, then)),
    }
    let supposed = supposed(session, question);
    Told {
        verdict: verdict(&shifts),
        more,
        moves: moves(session, books, then),
        then: pictures(
            (&then.session, &then.books),
            &at_risk_then,
            say!("region-if-then-label", supposed = supposed),
        ),
        now: pictures((session, books), &at_risk_now, say!("region-if-now-label")),
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
