//! What the coordinator reads and decides.

use axum::http::StatusCode;
use partpledge_records::Outage;
use partpledge_units::local::Zone;
use partpledge_workshop::capacity::{Line, capacity};
use partpledge_workshop::risks::{Cause, Risk, risks, take};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::call::{Answer, Call, done, fresh, page_of};
use super::out::{DoneOut, Paging, at};
use super::problem::Problem;

/// How a promise stands.
#[derive(Serialize, ToSchema)]
#[schema(as = Promise)]
struct PromiseOut {
    /// Number of the request.
    number: i64,
    part: String,
    team: String,
    #[schema(format = DateTime)]
    arrival: String,
    /// Chance that was stated when it was given.
    #[schema(minimum = 0, maximum = 1)]
    probability: f64,
    /// Chance that it is kept, as things stand.
    #[schema(minimum = 0, maximum = 1)]
    chance: Option<f64>,
    /// Nine in ten worlds have it by then; at the latest when promised, as long as it is not at risk.
    #[schema(format = DateTime)]
    likely: Option<String>,
    at_risk: bool,
}

/// Open promises, in order of number.
#[derive(Serialize, ToSchema)]
#[schema(as = Promises)]
pub(crate) struct PromisesOut {
    schema: u32,
    items: Vec<PromiseOut>,
    /// The cursor of what comes after; nothing at the end.
    next: Option<String>,
}

/// `GET /api/v1/region/promises`.
pub(crate) async fn promises(call: Call) -> Answer {
    let paging: Paging = call.query()?;
    let (session, books) = call.looked().await?;
    let site = call.site.clone();
    let work = async move {
        let outcomes = site.forecasts(&session, &books);
        Ok((session, books, outcomes))
    };
    let (session, books, outcomes) = call.site.heavy(Box::pin(work)).await?;
    let zone = &session.terrain.zone;
    let mut open = books.open_pledges();
    open.sort_by_key(|(listed, _)| listed.request.number);
    let open = open.into_iter().map(|(r, p)| (r.request.number, (r, p)));
    let (open, next) = page_of(open, &paging)?;
    let items = open.into_iter().map(|(listed, promised)| {
        let outcome = outcomes.get(&listed.request.id);
        PromiseOut {
            number: listed.request.number,
            part: listed.part.clone(),
            team: listed.request.team.clone(),
            arrival: at(zone, promised.pledge.arrival),
            probability: promised.pledge.probability,
            chance: outcome.map(|outcome| outcome.chance),
            likely: outcome.and_then(|o| o.likely).map(|l| at(zone, l)),
            at_risk: outcome.is_some_and(partpledge_workshop::risks::Outcome::at_risk),
        }
    });
    let out = PromisesOut {
        schema: 1,
        items: items.collect(),
        next,
    };
    Ok(fresh(call.headers(), &out))
}

/// A promise at risk, and what could be done.
#[derive(Serialize, ToSchema)]
#[schema(as = Risk)]
struct RiskOut {
    number: i64,
    part: String,
    team: String,
    #[schema(format = DateTime)]
    arrival: String,
    #[schema(minimum = 0, maximum = 1)]
    chance: f64,
    #[schema(format = DateTime)]
    likely: Option<String>,
    /// `failed`, `printer-out`, `not-started` and others; `not-known` where nothing on record says why.
    cause: &'static str,
    /// What could be done; decided with `POST /region/move`.
    choice: Option<ChoiceOut>,
}

/// What could be done about a risk.
#[derive(Serialize, ToSchema)]
#[schema(as = Choice)]
struct ChoiceOut {
    /// Chance that the promise is kept then.
    #[schema(minimum = 0, maximum = 1)]
    chance: f64,
    printer: String,
    #[schema(format = DateTime)]
    start: String,
    /// Plates that get another place.
    moved: Vec<u64>,
    /// A run that is stopped for it now and made again: it would not be done when people leave.
    #[serde(skip_serializing_if = "Option::is_none")]
    stops: Option<u64>,
}

/// Promises at risk, the worst first.
#[derive(Serialize, ToSchema)]
#[schema(as = Risks)]
pub(crate) struct RisksOut {
    schema: u32,
    /// The plan that the choices are made on.
    plan_revision: i64,
    items: Vec<RiskOut>,
}

fn cause(cause: &Cause) -> &'static str {
    match cause {
        Cause::Failed { .. } => "failed",
        Cause::PrinterOut { .. } => "printer-out",
        Cause::Closed { .. } => "closed",
        Cause::MustStop { .. } => "must-stop",
        Cause::NotStarted { .. } => "not-started",
        Cause::NotTold { .. } => "not-told",
        Cause::MissedLeg(_) => "missed-leg",
        Cause::NotOff { .. } => "not-off",
        Cause::BoxInDoubt { .. } => "box-in-doubt",
        Cause::BoxAgain { .. } => "box-made-again",
        _ => "other",
    }
}

fn risk_out(zone: &Zone, risk: &Risk<'_>, printers: &[String]) -> RiskOut {
    let choice = risk.choice.as_ref().map(|choice| ChoiceOut {
        chance: choice.chance,
        printer: printers[choice.place.printer.0].clone(),
        start: at(zone, choice.place.start),
        moved: choice.moved.iter().map(|seq| seq.0).collect(),
        stops: choice.stops.map(|seq| seq.0),
    });
    RiskOut {
        number: risk.listed.request.number,
        part: risk.listed.part.clone(),
        team: risk.listed.request.team.clone(),
        arrival: at(zone, risk.promised.pledge.arrival),
        chance: risk.outcome.chance,
        likely: risk.outcome.likely.map(|likely| at(zone, likely)),
        cause: risk.cause.as_ref().map_or("not-known", cause),
        choice,
    }
}

/// `GET /api/v1/region/risks`.
pub(crate) async fn at_risk(call: Call) -> Answer {
    let (session, books) = call.looked().await?;
    let site = call.site.clone();
    let work = async move {
        let outcomes = site.forecasts(&session, &books);
        let printers = session.terrain.region.printers.iter();
        let printers: Vec<String> = printers.map(|printer| printer.name.clone()).collect();
        let found = risks(&session, &books, &outcomes);
        let zone = &session.terrain.zone;
        Ok(RisksOut {
            schema: 1,
            plan_revision: books.floor.revision,
            items: found.iter().map(|r| risk_out(zone, r, &printers)).collect(),
        })
    };
    let out = call.site.heavy(Box::pin(work)).await?;
    Ok(fresh(call.headers(), &out))
}

/// Where a plate is planned.
#[derive(Serialize, ToSchema)]
#[schema(as = Place)]
struct PlaceOut {
    plate: u64,
    printer: String,
    #[schema(format = DateTime)]
    start: String,
    #[schema(format = DateTime)]
    end: String,
    #[schema(format = DateTime)]
    cleared: String,
    #[schema(format = DateTime)]
    ready: String,
}

/// The plan.
#[derive(Serialize, ToSchema)]
#[schema(as = Plan)]
pub(crate) struct PlanOut {
    schema: u32,
    plan_revision: i64,
    places: Vec<PlaceOut>,
}

/// `GET /api/v1/region/plan`.
pub(crate) async fn plan(call: Call) -> Answer {
    let (session, books) = call.looked().await?;
    let zone = &session.terrain.zone;
    let printers = &session.terrain.region.printers;
    let places = books.floor.plan.assignments.iter().map(|place| PlaceOut {
        plate: place.plate.0,
        printer: printers[place.printer.0].name.clone(),
        start: at(zone, place.start),
        end: at(zone, place.end),
        cleared: at(zone, place.cleared),
        ready: at(zone, place.ready),
    });
    let out = PlanOut {
        schema: 1,
        plan_revision: books.floor.revision,
        places: places.collect(),
    };
    Ok(fresh(call.headers(), &out))
}

/// Room of some printers.
#[derive(Serialize, ToSchema)]
#[schema(as = Room)]
struct RoomOut {
    name: String,
    printers: usize,
    staffed_min: i64,
    taken_min: i64,
    free_min: i64,
    asked_min: i64,
}

impl From<Line> for RoomOut {
    fn from(line: Line) -> Self {
        Self {
            printers: line.printers,
            staffed_min: line.staffed.0,
            taken_min: line.taken.0,
            free_min: line.free().0,
            asked_min: line.asked.0,
            name: line.name,
        }
    }
}

/// Room in the next days.
#[derive(Serialize, ToSchema)]
#[schema(as = Capacity)]
pub(crate) struct CapacityOut {
    schema: u32,
    #[schema(format = DateTime)]
    until: String,
    materials: Vec<RoomOut>,
    beds: Vec<RoomOut>,
}

/// How far ahead.
#[derive(Deserialize)]
struct Days {
    days: Option<i64>,
}

/// `GET /api/v1/region/capacity`.
pub(crate) async fn room(call: Call) -> Answer {
    let asked: Days = call.query()?;
    let days = asked.days.unwrap_or(7);
    if !(1..=28).contains(&days) {
        return Err(Problem::bad("days", "from 1 to 28"));
    }
    let (session, books) = call.looked().await?;
    let found = capacity(&session, &books, days);
    let out = CapacityOut {
        schema: 1,
        until: at(&session.terrain.zone, found.until),
        materials: found.materials.into_iter().map(RoomOut::from).collect(),
        beds: found.beds.into_iter().map(RoomOut::from).collect(),
    };
    Ok(fresh(call.headers(), &out))
}

/// A printer that can't be used for a while.
#[derive(Serialize, ToSchema)]
#[schema(as = Outage)]
struct OutageOut {
    printer: String,
    #[schema(format = DateTime)]
    from: String,
    #[schema(format = DateTime)]
    until: String,
    reason: String,
}

/// Printers that can't be used now or later.
#[derive(Serialize, ToSchema)]
#[schema(as = Outages)]
pub(crate) struct OutagesOut {
    schema: u32,
    items: Vec<OutageOut>,
}

/// `GET /api/v1/region/outages`.
pub(crate) async fn outages(call: Call) -> Answer {
    let (session, _) = call.looked().await?;
    let (zone, now) = (&session.terrain.zone, session.minute());
    let open = session.outages.iter().filter(|o| o.until > now);
    let one = |outage: &Outage| OutageOut {
        printer: outage.printer.clone(),
        from: at(zone, outage.from),
        until: at(zone, outage.until),
        reason: outage.reason.clone(),
    };
    let out = OutagesOut {
        schema: 1,
        items: open.map(one).collect(),
    };
    Ok(fresh(call.headers(), &out))
}

/// The choice of a risk, decided.
#[derive(Deserialize, ToSchema)]
#[schema(as = Move)]
#[serde(deny_unknown_fields)]
pub(crate) struct MoveIn {
    /// Number of the request at risk.
    number: i64,
    /// The plan that the choice was made on, as `GET /region/risks` gave it.
    plan_revision: i64,
}

/// `POST /api/v1/region/move`.
pub(crate) async fn decide(call: Call) -> Answer {
    let (key, actor, site) = (call.key()?, call.actor(), call.site.clone());
    let told: MoveIn = call.json().await?;
    let session = site.session().await?;
    let which = (told.number, told.plan_revision);
    let work = async move { take(&session, &actor, which, Some(&key)).await };
    let did = site.heavy(Box::pin(work)).await?;
    Ok(done(StatusCode::OK, &DoneOut::from(did)))
}
