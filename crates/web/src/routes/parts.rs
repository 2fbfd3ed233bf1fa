//! A team's parts: list, verdict and ticket, and what the team can do with them.

use axum::extract::{Form, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_records::stored::{StoredFinding, findings_from_text};
use partpledge_records::{ListedRequest, PledgeEnd, State as Life, StoredRequest};
use partpledge_units::ids::VersionId;
use partpledge_words::say;
use partpledge_workshop::risks::outcome_of;
use partpledge_workshop::shelf::OpenedFile;
use partpledge_workshop::spent::Runs;
use partpledge_workshop::taking::{OneCopy, one_copies};
use partpledge_workshop::wrong_unit::choices;
use partpledge_workshop::{Books, Session, WorkshopError, bench, plate_room, sending, why};
use serde::Deserialize;

use super::{Trouble, failed, is_key, key, looked, not_here, page, trouble};
use crate::pages::judgement::{fixed, judgement, since};
use crate::pages::part::{PartPage, Parts};
use crate::pages::parts::PartsPage;
use crate::pages::plain::SurePage;
use crate::pages::takes::{Takes, Took, takes, took};
use crate::site::Site;
use crate::who::{Head, Visitor};

/// Most versions whose findings are compared for one page.
const MOST_COMPARED: usize = 20;

/// The request of that number, for somebody who may see it.
pub(crate) fn found<'a>(
    site: &Site,
    books: &'a Books,
    visitor: &Visitor,
    number: &str,
) -> Result<&'a ListedRequest, Trouble> {
    let listed = number
        .parse()
        .ok()
        .and_then(|number| books.numbered(number));
    let actor = visitor.actor();
    let seen = |team: &str| actor.must_see_part_of(team).is_ok();
    let listed = listed.filter(|listed| seen(&listed.request.team));
    listed.ok_or_else(|| not_here(site, &say!("parts-no-such")))
}

/// What only a team can do with its part, asked for by somebody else.
pub(crate) fn not_its_team(site: &Site, what_to_do: &str) -> Trouble {
    let title = say!("parts-only-team");
    trouble(site, StatusCode::FORBIDDEN, &title, what_to_do)
}

/// As [`found`], for its files: what was taken down has none but for the coordinator.
pub(crate) fn with_files<'a>(
    site: &Site,
    books: &'a Books,
    visitor: &Visitor,
    number: &str,
) -> Result<&'a ListedRequest, Trouble> {
    let listed = found(site, books, visitor, number)?;
    if books.taken_down(&listed.request) && !visitor.coordinates() {
        return Err(not_here(site, &say!("parts-no-such")));
    }
    Ok(listed)
}

/// `GET /parts`.
pub(crate) async fn list(State(site): State<Site>, visitor: Visitor) -> Result<Response, Trouble> {
    let Some(team) = visitor.team().map(str::to_owned) else {
        return Ok(Redirect::to("/start").into_response());
    };
    let (session, books) = looked(&site).await?;
    let forecasts = site.clone();
    let page_of = move || {
        let head = Head::new(&session, &visitor, "/parts").live(books.entry);
        let outcomes = forecasts.forecasts(&session, &books);
        PartsPage::new(head, &session, &books, &outcomes, &team)
    };
    let made = site.heavy(async move { Ok(page_of()) }).await;
    made.map(|made| page(&made))
        .map_err(|error| failed(&site, &error))
}

/// What is stored of the judged file of a request.
pub(crate) async fn stored(
    session: &Session,
    listed: &ListedRequest,
) -> Result<Vec<Vec<StoredFinding>>, WorkshopError> {
    let Some((store, region)) = session.store() else {
        return Ok(Vec::new());
    };
    let version = store.version(region, listed.request.version).await?;
    version.map_or_else(
        || Ok(Vec::new()),
        |version| Ok(findings_from_text(&version.findings)?),
    )
}

/// `GET /parts/{number}`.
pub(crate) async fn one(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
) -> Result<Response, Trouble> {
    let (session, books) = looked(&site).await?;
    let listed = found(&site, &books, &visitor, &number)?.clone();
    let made = site
        .heavy(async move { part_page(&session, &books, &listed, &visitor).await })
        .await;
    made.map(|made| page(&made))
        .map_err(|error| failed(&site, &error))
}

async fn part_page(
    session: &Session,
    books: &Books,
    listed: &ListedRequest,
    visitor: &Visitor,
) -> Result<PartPage, WorkshopError> {
    let request = &listed.request;
    let hidden = books.taken_down(request) && !visitor.coordinates();
    let stored = if hidden {
        Vec::new()
    } else {
        stored(session, listed).await?
    };
    // A page without a drawing is better than none: the original is on record, whatever happens.
    let opened = if hidden {
        None
    } else {
        plate_room::opened_file(session, request).await.ok()
    };
    let unpledged = books.pledge_of(request.id).is_none();
    let waits = unpledged && request.state == Life::Ready && !books.taken_down(request);
    let offer = if waits {
        let asked = sending::offer(session, &visitor.actor(), listed).await;
        Some(asked.map_err(|error| (error.to_string(), error.what_to_do())))
    } else {
        None
    };
    let instead = match &offer {
        Some(Err(_)) => sending::offer_instead(session, &visitor.actor(), listed).await,
        _ => Ok(Vec::new()),
    };
    let takes = if hidden {
        Vec::new()
    } else {
        takes_of(session, request, opened.as_deref()).await
    };
    let runs = Runs::of_request(session, books, request.id).await?;
    let resize = choices(session, books, listed).await?;
    let here = if visitor.team().is_some() {
        "/parts"
    } else {
        ""
    };
    let head = Head::new(session, visitor, here).live(books.entry);
    let before = match earlier(books, listed).filter(|_| !hidden) {
        Some(old) => Some(self::stored(session, old).await?),
        None => None,
    };
    let made = books.came(request.id).is_some();
    Ok(PartPage::new(
        head,
        Parts {
            session,
            books,
            listed,
            outcome: outcome_of(session, books, request.id),
            takes,
            took: (!hidden)
                .then(|| really_took(session, books, request, &runs))
                .flatten(),
            runs: &runs,
            judgement: judgement((request.number, made), &stored, opened.as_deref()),
            offer,
            instead: instead.unwrap_or_default(),
            since: before.and_then(|before| since(&before, &stored)),
            fixed: each_fixed(session, books, listed).await?,
            why: why::for_request(session, &visitor.actor(), books, request.id),
            own: visitor.team().is_some(),
            actor: visitor.actor(),
            hidden,
            coordinates: visitor.coordinates(),
            resize,
            key: key(),
        },
    ))
}

/// What the copies that a team has really took, once all were handed over.
fn really_took(
    session: &Session,
    books: &Books,
    request: &StoredRequest,
    runs: &Runs,
) -> Option<Took> {
    books.came(request.id)?;
    let has = books.handed_over(request.id);
    let spent = runs.of(request.id).filter(|_| has > 0)?;
    Some(took(session, has, &spent))
}

/// What one copy of each part takes; nothing for a part that nobody will print as it is, or that
/// can't be laid again.
async fn takes_of(
    session: &Session,
    request: &StoredRequest,
    opened: Option<&OpenedFile>,
) -> Vec<Takes> {
    let not_yet = [
        Life::Received,
        Life::HeldForReview,
        Life::Refused,
        Life::NeedsChange,
    ];
    if not_yet.contains(&request.state) {
        return Vec::new();
    }
    let copies = one_copies(session, request).await.unwrap_or_default();
    let judged = opened.map_or(&[][..], |file| file.judged.parts.as_slice());
    let part = |copy: &OneCopy| judged.iter().find(|part| part.name == copy.name);
    let copies = copies.iter();
    copies
        .map(|copy| takes(session, copy, part(copy)))
        .collect()
}

/// What each version of a part did to the findings of the one before it; the last few.
async fn each_fixed(
    session: &Session,
    books: &Books,
    listed: &ListedRequest,
) -> Result<Vec<(VersionId, String)>, WorkshopError> {
    let mut versions: Vec<&ListedRequest> = Vec::new();
    for other in books
        .requests
        .iter()
        .filter(|r| r.part_id == listed.part_id)
    {
        let version = other.request.version;
        if versions
            .iter()
            .all(|known| known.request.version != version)
        {
            versions.push(other);
        }
    }
    let skipped = versions.len().saturating_sub(MOST_COMPARED);
    let mut out = Vec::new();
    let mut before = None;
    for version in versions.into_iter().skip(skipped) {
        let now = self::stored(session, version).await?;
        if let Some(says) = before.and_then(|before: Vec<_>| fixed(&before, &now)) {
            out.push((version.request.version, says));
        }
        before = Some(now);
    }
    Ok(out)
}

/// The request of the same part that was sent last before this one, with another file.
fn earlier<'a>(books: &'a Books, listed: &ListedRequest) -> Option<&'a ListedRequest> {
    let mut same = books.requests.iter().filter(|other| {
        other.part_id == listed.part_id
            && other.request.number < listed.request.number
            && other.request.version != listed.request.version
    });
    same.next_back()
}

/// A form that is sent once.
#[derive(Deserialize)]
pub(crate) struct Once {
    #[serde(default)]
    pub(crate) key: String,
}

/// The request of a team's own form.
pub(crate) async fn own(
    site: &Site,
    visitor: &Visitor,
    number: &str,
    once: &Once,
) -> Result<(Session, Books, ListedRequest), Trouble> {
    if visitor.team().is_none() || !is_key(&once.key) {
        return Err(not_its_team(site, &say!("parts-use-button")));
    }
    let (session, books) = looked(site).await?;
    let listed = found(site, &books, visitor, number)?.clone();
    Ok((session, books, listed))
}

fn back(number: i64) -> Redirect {
    Redirect::to(&format!("/parts/{number}"))
}

/// `POST /parts/{number}/take`: the promise that was offered.
pub(crate) async fn take(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
    Form(once): Form<Once>,
) -> Result<Redirect, Trouble> {
    let (session, _, listed) = own(&site, &visitor, &number, &once).await?;
    let number = listed.request.number;
    let done =
        site.heavy(async move { sending::take_offer(&session, &visitor.actor(), &listed).await });
    done.await.map_err(|error| failed(&site, &error))?;
    Ok(back(number))
}

/// `GET /parts/{number}/withdraw`.
pub(crate) async fn ask_withdraw(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
) -> Result<Response, Trouble> {
    let (session, books) = looked(&site).await?;
    let listed = found(&site, &books, &visitor, &number)?;
    if visitor.team().is_none() || !books.may_withdraw(listed.request.id) {
        let title = say!("parts-no-withdraw");
        let what_to_do = say!("parts-no-withdraw-do");
        return Err(trouble(&site, StatusCode::CONFLICT, &title, &what_to_do));
    }
    let number = listed.request.number;
    Ok(page(&SurePage {
        head: Head::new(&session, &visitor, ""),
        title: say!("parts-withdraw-title", part = listed.part),
        lead: say!("parts-withdraw-lead"),
        action: format!("/parts/{number}/withdraw"),
        button: say!("parts-withdraw-go"),
        back: format!("/parts/{number}"),
        back_text: say!("parts-withdraw-keep"),
        key: key(),
    }))
}

/// `POST /parts/{number}/withdraw`.
pub(crate) async fn withdraw(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
    Form(once): Form<Once>,
) -> Result<Redirect, Trouble> {
    let (session, _, listed) = own(&site, &visitor, &number, &once).await?;
    let (end, key) = (PledgeEnd::Withdrawn, Some(once.key.as_str()));
    let done = bench::end_request(&session, &visitor.actor(), listed.request.id, end, key).await;
    done.map_err(|error| failed(&site, &error))?;
    Ok(back(listed.request.number))
}

/// `POST /parts/{number}/came`.
pub(crate) async fn came(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
    Form(once): Form<Once>,
) -> Result<Redirect, Trouble> {
    let (session, _, listed) = own(&site, &visitor, &number, &once).await?;
    let key = Some(once.key.as_str());
    let done = bench::hold(&session, &visitor.actor(), listed.request.id, key).await;
    done.map_err(|error| failed(&site, &error))?;
    Ok(back(listed.request.number))
}
