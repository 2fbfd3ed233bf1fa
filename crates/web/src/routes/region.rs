//! The coordinator's page and the decisions on it.

use std::collections::BTreeSet;

use axum::extract::{Form, State};
use axum::http::StatusCode;
use axum::response::{Redirect, Response};
use partpledge_records::{PlateState, State as Life};
use partpledge_units::time::Minute;
use partpledge_words::say;
use partpledge_workshop::machines::standings;
use partpledge_workshop::review::waiting::Waiting as Decisions;
use partpledge_workshop::risks::{Risk, quiet, risks, take as take_choice};
use partpledge_workshop::{Books, Session, WorkshopError};
use serde::Deserialize;

use super::{Trouble, failed, is_key, key, looked, page, trouble};
use crate::figures::timeline::{AtRisk, NARROW, WIDE, table, timeline};
use crate::pages::bench::out_now;
use crate::pages::machines::troubled;
use crate::pages::printers::Printers;
use crate::pages::recalls::open_rows;
use crate::pages::region::{RegionPage, Waiting, decisions, grouped, lead, risk_line, room, title};
use crate::pages::spools::short_hosts;
use crate::pages::what_if::Asks;
use crate::site::{Outcomes, Site};
use crate::who::{Head, Visitor};
use crate::words;

/// Changes of the plan that are shown.
const CHANGES: usize = 8;

/// `GET /region`.
pub(crate) async fn region(
    State(site): State<Site>,
    visitor: Visitor,
) -> Result<Response, Trouble> {
    let (session, books) = looked(&site).await?;
    let forecasts = site.clone();
    let made = site.heavy(async move {
        let head = Head::new(&session, &visitor, "/region").live(books.entry);
        let changes = changes(&session).await?;
        let outcomes = forecasts.forecasts(&session, &books);
        let standing = standings(&session, &books).await?;
        let alone = alone(&forecasts, &session, &visitor).await?;
        Ok(RegionPage {
            alone,
            machines: troubled(&session, &standing),
            ..region_page(head, &session, &books, (&outcomes, changes))
        })
    });
    let made = made.await.map_err(|error| failed(&site, &error))?;
    Ok(page(&made))
}

/// Schools with printers at whose bench nobody is signed up; none of the demo's, where nobody has to be.
pub(super) async fn alone(
    site: &Site,
    session: &Session,
    visitor: &Visitor,
) -> Result<Vec<String>, WorkshopError> {
    if site.may_be_tried() {
        return Ok(Vec::new());
    }
    let found = site.people()?.everybody(&visitor.actor()).await?;
    let alone = found.benches_alone(&session.terrain.file).into_iter();
    Ok(alone.map(str::to_owned).collect())
}

/// Why the plan changed lately, newest first.
async fn changes(session: &Session) -> Result<Vec<(String, String)>, WorkshopError> {
    let Some((store, region)) = session.store() else {
        return Ok(Vec::new());
    };
    let (zone, now) = (&session.terrain.zone, session.minute());
    let revisions = store.revisions(region).await?;
    let pledged =
        |saved: &partpledge_records::SavedPlan| saved.reason.id() == "promises-plan-pledge";
    let shown = revisions.into_iter().rev().filter(|saved| !pledged(saved));
    let one = |saved: partpledge_records::SavedPlan| {
        let at = Minute::at_or_before(saved.made_at);
        (
            words::time(zone, at, now),
            words::capital(&saved.reason.to_string()),
        )
    };
    Ok(shown.take(CHANGES).map(one).collect())
}

fn region_page(
    head: Head,
    session: &Session,
    books: &Books,
    (outcomes, changes): (&Outcomes, Vec<(String, String)>),
) -> RegionPage {
    let risks = risks(session, books, outcomes);
    let at_risk = plates_at_risk(books, &risks);
    let waiting: Vec<Waiting> = waiting(books);
    let wide = timeline(session, books, &at_risk, &WIDE);
    let (printers, hosts) = (wide.rows.len(), wide.hosts.len());
    let lines = risks.iter().enumerate();
    let lines = lines.map(|(i, risk)| risk_line(session, books, (i + 1, risk), key()));
    let found = quiet(session, books, &risks);
    let (quiet, lines) = grouped(session, &found, lines.collect());
    let begins = session.terrain.file.printers.is_empty();
    RegionPage {
        title: if begins {
            say!("region-begin-title")
        } else {
            title(risks.len())
        },
        lead: if begins {
            say!("region-begin-lead")
        } else {
            lead(outcomes.len(), risks.len(), waiting.len())
        },
        begins,
        revision: books.floor.revision,
        wide,
        narrow: timeline(session, books, &at_risk, &NARROW),
        rows: table(session, books, &at_risk),
        label: say!("region-timeline", printers = printers, hosts = hosts),
        quiet,
        risks: lines,
        waiting,
        alone: Vec::new(),
        decisions: decisions(Decisions::of(books)),
        short: short_hosts(session, books),
        recalls: open_rows(session, books),
        out: out_now(session),
        machines: Vec::new(),
        printers: Printers::of(session),
        asks: Asks::of(session),
        room: room(session, books),
        changes,
        head,
    }
}

fn plates_at_risk(books: &Books, risks: &[Risk<'_>]) -> AtRisk {
    let plates = risks
        .iter()
        .flat_map(|risk| books.plates_of(risk.listed.request.id));
    let open = plates.filter(|kept| kept.state == PlateState::Open);
    open.map(|kept| kept.plate.seq.0).collect::<BTreeSet<u64>>()
}

fn waiting(books: &Books) -> Vec<Waiting> {
    let without = books.requests.iter().filter(|listed| {
        let request = &listed.request;
        books.pledge_of(request.id).is_none()
            && matches!(
                request.state,
                Life::NeedsChange | Life::Ready | Life::HeldForReview
            )
    });
    without
        .map(|listed| Waiting {
            number: listed.request.number,
            who: say!(
                "region-waiting-who",
                part = listed.part,
                team = listed.request.team
            ),
            what: match listed.request.state {
                Life::NeedsChange => say!("region-waiting-change"),
                Life::HeldForReview => say!("region-waiting-review"),
                _ => say!("region-waiting-no-day"),
            },
        })
        .collect()
}

/// A decision.
#[derive(Deserialize)]
pub(crate) struct Decided {
    number: i64,
    revision: i64,
    #[serde(default)]
    key: String,
}

/// `POST /region/move`.
pub(crate) async fn take(
    State(site): State<Site>,
    visitor: Visitor,
    Form(decided): Form<Decided>,
) -> Result<Redirect, Trouble> {
    if !is_key(&decided.key) {
        let title = say!("region-not-ours");
        let what_to_do = say!("region-not-ours-do");
        return Err(trouble(&site, StatusCode::FORBIDDEN, &title, &what_to_do));
    }
    let session = site
        .session()
        .await
        .map_err(|error| failed(&site, &error))?;
    let done = site.heavy(async move {
        let which = (decided.number, decided.revision);
        take_choice(&session, &visitor.actor(), which, Some(&decided.key)).await
    });
    done.await.map_err(|error| failed(&site, &error))?;
    Ok(Redirect::to("/region"))
}
