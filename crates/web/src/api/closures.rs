//! Schools closed for a while, for programs.

use axum::http::StatusCode;
use partpledge_records::{KeptClosure, SiteClosure};
use partpledge_units::local::{Zone, parse_rfc3339};
use partpledge_units::time::Minute;
use partpledge_workshop::bench::{close, lift};
use partpledge_workshop::closures::{if_closed, open};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::asking::what_if_out;
use super::call::{Answer, Call, done, fresh};
use super::host::few_words;
use super::out::{DoneOut, at};
use super::problem::Problem;

/// Schools that are closed for a while.
#[derive(Serialize, ToSchema)]
#[schema(as = Closure)]
struct ClosureOut {
    /// Its number; it is lifted by this.
    entry: i64,
    /// Codes of the schools.
    schools: Vec<String>,
    #[schema(format = DateTime)]
    from: String,
    #[schema(format = DateTime)]
    until: String,
    reason: String,
}

/// Closures that are not over.
#[derive(Serialize, ToSchema)]
#[schema(as = Closures)]
pub(crate) struct ClosuresOut {
    schema: u32,
    items: Vec<ClosureOut>,
}

fn closure_out(zone: &Zone, kept: &KeptClosure) -> ClosureOut {
    ClosureOut {
        entry: kept.entry,
        schools: kept.closure.schools.clone(),
        from: at(zone, kept.closure.from),
        until: at(zone, kept.closure.until),
        reason: kept.closure.reason.clone(),
    }
}

/// `GET /api/v1/region/closures`.
pub(crate) async fn list(call: Call) -> Answer {
    let session = call.site.session().await?;
    let zone = &session.terrain.zone;
    let items = open(&session).into_iter().map(|k| closure_out(zone, k));
    let out = ClosuresOut {
        schema: 1,
        items: items.collect(),
    };
    Ok(fresh(call.headers(), &out))
}

/// Schools to be closed.
#[derive(Deserialize, ToSchema)]
#[schema(as = NewClosure)]
#[serde(deny_unknown_fields)]
pub(crate) struct ClosureIn {
    /// Codes of the schools.
    #[schema(min_items = 1)]
    schools: Vec<String>,
    #[schema(format = DateTime)]
    from: String,
    #[schema(format = DateTime)]
    until: String,
    #[schema(min_length = 1, max_length = 200)]
    reason: String,
}

impl ClosureIn {
    fn closure(&self) -> Result<SiteClosure, Problem> {
        let time = |name, text: &str| {
            let read = parse_rfc3339(text).ok().map(Minute::at_or_after);
            read.ok_or_else(|| Problem::bad(name, "a time like 2027-03-11T15:40:00+01:00"))
        };
        Ok(SiteClosure {
            schools: self.schools.clone(),
            from: time("from", &self.from)?,
            until: time("until", &self.until)?,
            reason: few_words(&self.reason)?,
        })
    }
}

/// `POST /api/v1/region/closures/if`.
pub(crate) async fn what_if(call: Call) -> Answer {
    let (site, actor) = (call.site.clone(), call.actor());
    let told: ClosureIn = call.json().await?;
    let told = told.closure()?;
    let (session, books) = site.books().await?;
    let forecasts = site.clone();
    let work = async move {
        let then = if_closed(&session, &actor, &books, &told).await?;
        let now = forecasts.forecasts(&session, &books);
        Ok(what_if_out(&books, &now, &then))
    };
    let out = site.heavy(Box::pin(work)).await?;
    Ok(done(StatusCode::OK, &out))
}

/// `POST /api/v1/region/closures`.
pub(crate) async fn add(call: Call) -> Answer {
    let (key, site, actor) = (call.key()?, call.site.clone(), call.actor());
    let told: ClosureIn = call.json().await?;
    let told = told.closure()?;
    let session = site.session().await?;
    let work = async move { close(&session, &actor, (&told, None), Some(&key)).await };
    let did = site.heavy(Box::pin(work)).await?;
    Ok(done(StatusCode::OK, &DoneOut::from(did)))
}

/// `POST /api/v1/region/closures/{entry}/lift`.
pub(crate) async fn open_again(call: Call) -> Answer {
    let (key, site, actor) = (call.key()?, call.site.clone(), call.actor());
    let entry: i64 = call.number("entry")?;
    // Also with a key that is known from another: no entry has such a number.
    if entry < 1 {
        return Err(Problem::not_there());
    }
    let session = site.session().await?;
    let work = async move { lift(&session, &actor, (entry, None), Some(&key)).await };
    let did = site.heavy(Box::pin(work)).await?;
    Ok(done(StatusCode::OK, &DoneOut::from(did)))
}
