//! The coordinator's review: the queue, a request looked at, decisions.

use axum::extract::{Form, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use partpledge_records::{ListedRequest, NoteKind, State as Life};
use partpledge_units::ids::RequestId;
use partpledge_words::say;
use partpledge_workshop::boxes::box_of;
use partpledge_workshop::review::{LONGEST_WORDS, Reason, deciding};
use partpledge_workshop::{Books, Session, WorkshopError, place_says, plate_room};
use serde::Deserialize;

use super::doubts::box_asks;
use super::parts::{found, stored};
use super::{Trouble, failed, is_key, key, looked, page, sent_before, trouble};
use crate::pages::judgement::judgement;
use crate::pages::review::{
    OnePage, ReviewPage, guessed, last, nobody_decided, reasons, stated, told, why,
};
use crate::pages::send::Wrong;
use crate::site::Site;
use crate::who::{Head, Visitor};
use crate::words;

/// A decision as a form has it.
#[derive(Default, Deserialize)]
pub(crate) struct Decided {
    #[serde(default)]
    reason: String,
    #[serde(default)]
    words: String,
    #[serde(default)]
    key: String,
    /// The last note on the request that the page showed; nothing where it does not matter.
    #[serde(default)]
    seen: String,
}

/// What is wrong with free words, if they are too long.
pub(crate) fn too_long(words: &str, field: &'static str) -> Option<Wrong> {
    let many = words.trim().chars().count();
    (many > LONGEST_WORDS).then(|| Wrong {
        field,
        text: say!("review-too-long", most = LONGEST_WORDS, n = many),
    })
}

/// `GET /review`.
pub(crate) async fn list(State(site): State<Site>, visitor: Visitor) -> Result<Response, Trouble> {
    let (session, books) = looked(&site).await?;
    let head = Head::new(&session, &visitor, "/review").live(books.entry);
    Ok(page(&ReviewPage::new(head, &session, &books)))
}

/// The coordinator, with how much waits for their word. A count that can't be had now keeps nobody from a
/// page.
pub(crate) async fn with_waiting(site: &Site, visitor: Visitor) -> Visitor {
    if !visitor.coordinates() {
        return visitor;
    }
    let many = site.waiting().await.unwrap_or(0);
    visitor.with_waiting(many)
}

/// `GET /review/{number}`.
pub(crate) async fn one(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
) -> Result<Response, Trouble> {
    let shown = shown(&site, &visitor, &number, (Vec::new(), String::new())).await?;
    Ok(page(&shown))
}

async fn shown(
    site: &Site,
    visitor: &Visitor,
    number: &str,
    (wrong, words): (Vec<Wrong>, String),
) -> Result<OnePage, Trouble> {
    let (session, books) = looked(site).await?;
    let listed = found(site, &books, visitor, number)?.clone();
    let visitor = visitor.clone();
    let made = site.heavy(async move {
        let page = one_page(&session, &books, &listed, &visitor).await?;
        Ok(OnePage {
            words,
            wrong,
            ..page
        })
    });
    made.await.map_err(|error| failed(site, &error))
}

async fn one_page(
    session: &Session,
    books: &Books,
    listed: &ListedRequest,
    visitor: &Visitor,
) -> Result<OnePage, WorkshopError> {
    let request = &listed.request;
    let findings = stored(session, listed).await?;
    let opened = plate_room::opened_file(session, request).await.ok();
    let made = books.came(request.id).is_some();
    let judged = judgement((request.number, made), &findings, opened.as_deref());
    let sizes: Vec<String> = judged.drawn.iter().map(|one| one.size.clone()).collect();
    let promised = books.pledge_of(request.id);
    let state = request.state;
    let down = books.taken_down(request);
    let lead = match state {
        _ if down => say!("review-is-down"),
        Life::HeldForReview => say!("review-is-held"),
        Life::Refused if nobody_decided(books, listed) => say!("review-is-undecided"),
        Life::Refused => say!("review-is-refused"),
        Life::Ready => say!("review-is-ready"),
        _ if promised.is_some_and(|promised| promised.end.is_none()) => say!("review-is-promised"),
        _ => say!("review-is-over"),
    };
    let reports = books.open_reports(request.id);
    Ok(OnePage {
        head: Head::new(session, visitor, "/review"),
        number: request.number,
        title: format!("{}, {}", words::capital(&listed.part), request.team),
        lead,
        drawn: (judged.drawn.into_iter())
            .map(|one| {
                (
                    one.picture,
                    one.alt,
                    format!("{} {}.", one.standing, one.size),
                )
            })
            .collect(),
        facts: vec![
            (say!("review-fact-team"), request.team.clone()),
            (say!("review-fact-copies"), request.copies.to_string()),
            (say!("review-fact-plastic"), request.material.clone()),
            (say!("review-fact-size"), sizes.join("; ")),
            (say!("review-fact-file"), listed.file_name.clone()),
            (say!("review-fact-sender"), stated(books, listed)),
        ],
        guessed: match state {
            Life::HeldForReview => guessed(books, listed),
            _ => Vec::new(),
        },
        reports: reports.into_iter().map(why_reported).collect(),
        boxes: box_asks(session, books, listed),
        told: told(session, books, listed, true),
        held: state == Life::HeldForReview,
        last: last(books, listed, NoteKind::Appealed).is_some(),
        may_hold: state == Life::Ready && !down,
        down,
        runs: runs(session, books, listed),
        same_file: same_file(books, listed),
        seen: last_note(books, request.id),
        reasons: reasons(),
        words: String::new(),
        wrong: Vec::new(),
        key: key(),
    })
}

fn why_reported(note: &partpledge_records::Note) -> String {
    match note.said.reason.as_str() {
        "mine" => say!("review-said-mine", why = why(note)),
        _ => say!("review-said-not-here", why = why(note)),
    }
}

/// What runs already of a request, and its boxes, in sentences.
fn runs(session: &Session, books: &Books, listed: &ListedRequest) -> String {
    let own = || books.plates_of(listed.request.id);
    let plates: Vec<String> = own()
        .filter(|kept| books.runs(kept))
        .map(|kept| kept.on().0.to_string())
        .collect();
    let mut says = Vec::new();
    if !plates.is_empty() {
        says.push(say!(
            "review-runs",
            n = plates.len(),
            plates = plates.join(", ")
        ));
    }
    let open = own().filter_map(|kept| box_of(session, books, kept));
    let open = open.filter(|line| line.handed.is_none() && line.copies > 0);
    says.extend(open.map(|line| {
        let (share, host) = (line.share, &line.host_name);
        match line.left {
            None => say!("review-box-stays", share = share, host = host),
            Some(_) => say!(
                "review-box-has-left",
                share = share,
                host = host,
                place = place_says(&line.place)
            ),
        }
    }));
    says.join(" ")
}

/// The number of the last note on a request; 0 for none.
fn last_note(books: &Books, request: RequestId) -> i64 {
    books.notes(request).last().map_or(0, |note| note.entry)
}

/// The other requests with the same file, in a sentence: taking down takes those of the team and
/// leaves those of others.
fn same_file(books: &Books, listed: &ListedRequest) -> String {
    let (own, others): (Vec<&ListedRequest>, Vec<_>) = books
        .same_file(listed)
        .filter(|one| !books.taken_down(&one.request))
        .partition(|one| one.request.team == listed.request.team);
    let numbers = |all: &[&ListedRequest]| {
        let all: Vec<String> = all
            .iter()
            .map(|one| one.request.number.to_string())
            .collect();
        all.join(", ")
    };
    let own = match own.as_slice() {
        [] => String::new(),
        own => say!("review-same-file-own", numbers = numbers(own)),
    };
    let others = match others.as_slice() {
        [] => String::new(),
        others => say!("review-same-file-others", numbers = numbers(others)),
    };
    format!("{own} {others}").trim().to_owned()
}

/// A decision that came by a form of ours, on what is on record still as its page showed it.
async fn decided(
    site: &Site,
    visitor: &Visitor,
    number: &str,
    form: &Decided,
) -> Result<(Session, ListedRequest), Trouble> {
    if !is_key(&form.key) {
        return Err(trouble(
            site,
            StatusCode::FORBIDDEN,
            &say!("common-not-ours"),
            &say!("review-decide-there"),
        ));
    }
    let (session, books) = looked(site).await?;
    let listed = found(site, &books, visitor, number)?.clone();
    let same =
        form.seen.is_empty() || form.seen == last_note(&books, listed.request.id).to_string();
    if !same && !sent_before(site, &session, &form.key).await? {
        let (title, what_to_do) = (say!("review-moved"), say!("review-moved-do"));
        return Err(trouble(site, StatusCode::CONFLICT, &title, &what_to_do));
    }
    Ok((session, listed))
}

/// Back to the page when it is done.
fn looked_at(
    site: &Site,
    listed: &ListedRequest,
    done: Result<(), WorkshopError>,
) -> Result<Response, Trouble> {
    done.map_err(|error| failed(site, &error))?;
    Ok(back(listed.request.number))
}

fn back(number: i64) -> Response {
    Redirect::to(&format!("/review/{number}")).into_response()
}

/// `POST /review/{number}/pass`: the pledge is given at once, or it is said why none can be.
pub(crate) async fn pass(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
    Form(form): Form<Decided>,
) -> Result<Response, Trouble> {
    let (session, listed) = decided(&site, &visitor, &number, &form).await?;
    let number = listed.request.number;
    let done = site.heavy(async move {
        let said = (form.words.as_str(), form.key.as_str());
        deciding::pass(&session, &visitor.actor(), &listed, said).await
    });
    let passed = done.await.map_err(|error| failed(&site, &error))?;
    match passed.no_pledge {
        None => Ok(Redirect::to(&format!("/parts/{number}")).into_response()),
        Some(error) => Err(trouble(
            &site,
            StatusCode::OK,
            &say!("review-no-day"),
            &say!(
                "review-no-day-why",
                error = words::capital(&error.to_string()),
                todo = error.what_to_do()
            ),
        )),
    }
}

/// The reason and words of a form that must have a reason.
fn reason_of(form: &Decided, field: &'static str) -> Result<Reason, Vec<Wrong>> {
    let mut wrong: Vec<Wrong> = too_long(&form.words, field).into_iter().collect();
    let reason = Reason::choices().find(|reason| reason.code() == form.reason);
    if reason.is_none() {
        wrong.push(Wrong {
            field,
            text: say!("review-choose-why"),
        });
    }
    match reason {
        Some(reason) if wrong.is_empty() => Ok(reason),
        _ => Err(wrong),
    }
}

async fn again(
    site: &Site,
    visitor: &Visitor,
    (number, form): (&str, Decided),
    wrong: Vec<Wrong>,
) -> Result<Response, Trouble> {
    let shown = shown(site, visitor, number, (wrong, form.words)).await?;
    Ok((StatusCode::UNPROCESSABLE_ENTITY, page(&shown)).into_response())
}

/// `POST /review/{number}/refuse`.
pub(crate) async fn refuse(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
    Form(form): Form<Decided>,
) -> Result<Response, Trouble> {
    let (session, listed) = decided(&site, &visitor, &number, &form).await?;
    let reason = match reason_of(&form, "refuse") {
        Ok(reason) => reason,
        Err(wrong) => return again(&site, &visitor, (&number, form), wrong).await,
    };
    let said = (reason, form.words.as_str(), form.key.as_str());
    let done = deciding::refuse(&session, &visitor.actor(), &listed, said).await;
    looked_at(&site, &listed, done)
}

/// `POST /review/{number}/hold`.
pub(crate) async fn hold(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
    Form(form): Form<Decided>,
) -> Result<Response, Trouble> {
    let (session, listed) = decided(&site, &visitor, &number, &form).await?;
    let said = (form.words.as_str(), form.key.as_str());
    let done = deciding::hold(&session, &visitor.actor(), &listed, said).await;
    looked_at(&site, &listed, done)
}

/// `POST /review/{number}/keep`: a report was looked at, and the part stays.
pub(crate) async fn keep(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
    Form(form): Form<Decided>,
) -> Result<Response, Trouble> {
    let (session, listed) = decided(&site, &visitor, &number, &form).await?;
    let said = (form.words.as_str(), form.key.as_str());
    let done = deciding::keep_up(&session, &visitor.actor(), &listed, said).await;
    looked_at(&site, &listed, done)
}

/// `POST /review/{number}/down`.
pub(crate) async fn down(
    State(site): State<Site>,
    visitor: Visitor,
    Path(number): Path<String>,
    Form(form): Form<Decided>,
) -> Result<Response, Trouble> {
    let (session, listed) = decided(&site, &visitor, &number, &form).await?;
    let reason = match reason_of(&form, "down") {
        Ok(reason) => reason,
        Err(wrong) => return again(&site, &visitor, (&number, form), wrong).await,
    };
    let number = listed.request.number;
    let done = site.heavy(async move {
        let said = (reason, form.words.as_str(), form.key.as_str());
        deciding::take_down(&session, &visitor.actor(), &listed, said).await
    });
    done.await.map_err(|error| failed(&site, &error))?;
    Ok(back(number))
}
