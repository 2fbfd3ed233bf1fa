//! The coordinator asks "what if", and puts a printer out of use.

use axum::http::StatusCode;
use partpledge_planning_model::PlateSeq;
use partpledge_records::ListedRequest;
use partpledge_units::local::{parse_date, parse_rfc3339};
use partpledge_units::time::Minute;
use partpledge_workshop::Books;
use partpledge_workshop::bench::{printer_back, printer_out};
use partpledge_workshop::risks::Outcome;
use partpledge_workshop::what_if::{Answer as Answered, Question, ask};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::call::{Answer, Call, done};
use super::out::DoneOut;
use super::problem::Problem;
use crate::site::Outcomes;

/// What is supposed.
#[derive(Clone, Copy, Deserialize, ToSchema)]
#[serde(rename_all = "kebab-case")]
enum Supposed {
    /// `printer` can't be used until `until`.
    Out,
    /// The school of `host` is closed on `day`.
    Closed,
    /// One more printer like `printer` at `host`.
    More,
    /// Nobody is at the bench of `host` until `until`.
    Away,
}

/// A question about the plan.
#[derive(Deserialize, ToSchema)]
#[schema(as = Question)]
#[serde(deny_unknown_fields)]
pub(crate) struct QuestionIn {
    ask: Supposed,
    #[serde(default)]
    printer: String,
    #[serde(default)]
    host: String,
    #[schema(format = Date)]
    day: Option<String>,
    #[schema(format = DateTime)]
    until: Option<String>,
}

/// A time a year ahead at most: calendars end somewhere.
pub(super) fn time(field: &'static str, text: &str, now: Minute) -> Result<Minute, Problem> {
    let at = parse_rfc3339(text).ok().map(Minute::at_or_after);
    let ahead = at.filter(|at| *at > now && at.0 - now.0 < 366 * 1_440);
    ahead.ok_or_else(|| Problem::bad(field, "a time still to come"))
}

impl QuestionIn {
    fn question(self, now: Minute) -> Result<Question, Problem> {
        let (printer, host) = (self.printer, self.host);
        let until = || time("until", self.until.as_deref().unwrap_or_default(), now);
        Ok(match self.ask {
            Supposed::Out => Question::PrinterOut {
                printer,
                until: until()?,
            },
            Supposed::Closed => {
                let day = parse_date(self.day.as_deref().unwrap_or_default());
                let day = day.map_err(|_| Problem::bad("day", "a day like 2027-03-11"))?;
                Question::SiteClosed { host, day }
            }
            Supposed::More => Question::OneMore {
                like: printer,
                host,
            },
            Supposed::Away => Question::NobodyAt {
                host,
                until: until()?,
            },
        })
    }
}

/// How a promise would stand.
#[derive(Serialize, ToSchema)]
#[schema(as = Shift)]
struct ShiftOut {
    /// Number of the request.
    number: i64,
    #[schema(minimum = 0, maximum = 1)]
    chance_now: Option<f64>,
    #[schema(minimum = 0, maximum = 1)]
    chance_then: Option<f64>,
    at_risk_then: bool,
}

/// What would be. Nothing is written.
#[derive(Serialize, ToSchema)]
#[schema(as = WhatIf)]
pub(crate) struct WhatIfOut {
    schema: u32,
    /// Plates that would have another place.
    moved: Vec<u64>,
    /// Plates that run now and would be made again.
    lost: Vec<u64>,
    /// Plates that would come later than promised, and do not now.
    newly_late: Vec<u64>,
    promises: Vec<ShiftOut>,
}

/// `POST /api/v1/region/if`.
pub(crate) async fn what_if(call: Call) -> Answer {
    let (site, actor) = (call.site.clone(), call.actor());
    let asked: QuestionIn = call.json().await?;
    let (session, books) = site.books().await?;
    let question = asked.question(session.minute())?;
    let forecasts = site.clone();
    let work = async move {
        let then = ask(&session, &actor, &books, &question)?;
        let now = forecasts.forecasts(&session, &books);
        Ok(what_if_out(&books, &now, &then))
    };
    let out = site.heavy(Box::pin(work)).await?;
    Ok(done(StatusCode::OK, &out))
}

/// How every promise stands now and would stand then.
pub(super) fn what_if_out(books: &Books, now: &Outcomes, then: &Answered) -> WhatIfOut {
    let shift = |listed: &ListedRequest| {
        let id = listed.request.id;
        let (now, then) = (now.get(&id), then.outcomes.get(&id));
        ShiftOut {
            number: listed.request.number,
            chance_now: now.map(|o| o.chance),
            chance_then: then.map(|o| o.chance),
            at_risk_then: then.is_some_and(Outcome::at_risk),
        }
    };
    let open = books.open_pledges().into_iter();
    let numbers = |plates: &[PlateSeq]| plates.iter().map(|seq| seq.0).collect();
    WhatIfOut {
        schema: 1,
        moved: numbers(&then.moved),
        lost: numbers(&then.lost),
        newly_late: numbers(&then.newly_late),
        promises: open.map(|(listed, _)| shift(listed)).collect(),
    }
}

/// A printer that can't be used.
#[derive(Deserialize, ToSchema)]
#[schema(as = NewOutage)]
#[serde(deny_unknown_fields)]
pub(crate) struct OutageIn {
    printer: String,
    #[schema(min_length = 1, max_length = 200)]
    reason: String,
    #[schema(format = DateTime)]
    until: String,
}

/// `POST /api/v1/region/outages`.
pub(crate) async fn put_out(call: Call) -> Answer {
    let (key, site, actor) = (call.key()?, call.site.clone(), call.actor());
    let told: OutageIn = call.json().await?;
    let session = site.session().await?;
    let until = time("until", &told.until, session.minute())?;
    let reason = super::host::few_words(&told.reason)?;
    let work = async move {
        let what = (reason.as_str(), until);
        printer_out(&session, &actor, &told.printer, what, Some(key.as_str())).await
    };
    let did = site.heavy(Box::pin(work)).await?;
    Ok(done(StatusCode::OK, &DoneOut::from(did)))
}

/// A printer that can be used again.
#[derive(Deserialize, ToSchema)]
#[schema(as = OutageEnd)]
#[serde(deny_unknown_fields)]
pub(crate) struct BackIn {
    printer: String,
}

/// `POST /api/v1/region/outages/end`.
pub(crate) async fn put_back(call: Call) -> Answer {
    let (key, site, actor) = (call.key()?, call.site.clone(), call.actor());
    let told: BackIn = call.json().await?;
    let session = site.session().await?;
    let work =
        async move { printer_back(&session, &actor, &told.printer, Some(key.as_str())).await };
    let did = site.heavy(Box::pin(work)).await?;
    Ok(done(StatusCode::OK, &DoneOut::from(did)))
}
