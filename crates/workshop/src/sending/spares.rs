//! Spares at a meeting: a team asks for a part once more on the day, and fetches it at the meeting's bench.

use partpledge_catalogue::region::{Host, parse_hours};
use partpledge_planning::NoQuote;
use partpledge_planning_model::Window;
use partpledge_records::stored::{Change, PledgeDocument, PledgedAlternative};
use partpledge_records::{ListedRequest, State, StoreError};
use partpledge_units::local::{parse_clock, parse_date};
use partpledge_units::time::{Minute, Minutes};
use partpledge_words::say;

use super::choosing::in_plastic;
use super::{asked_of, fetched_at, not_down};
use crate::actor::Actor;
use crate::books::Books;
use crate::error::WorkshopError;
use crate::plate_room::laid_file;
use crate::pledging::{AtOnce, Request, Takes, ask, give_at_once, instead};
use crate::recalls::recalled_as_old;
use crate::review::{Statement, limits};
use crate::session::Session;
use crate::wrong_unit;

/// A bench's people may tell what they did so long after it has closed: a tablet in a hall is often without
/// a network. Common practice, no source.
const TOLD_WITHIN: Minutes = Minutes(12 * 60);

/// A bench at a meeting, on its day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SparesBench {
    /// Code of its school.
    pub school: String,
    /// What that is called.
    pub at: String,
    /// Where it is there.
    pub bench: String,
    /// The meeting.
    pub meeting: String,
    /// When somebody is there on that day, in order; at least once.
    pub open: Vec<Window>,
}

impl SparesBench {
    /// It closes for good then.
    #[must_use]
    pub fn closes(&self) -> Minute {
        self.open.last().map_or(Minute(i64::MIN), |last| last.until)
    }
}

/// The last minute of a bench's hours on its day, whatever closes it before.
fn should_close(session: &Session, host: &Host) -> Option<Minute> {
    let day = parse_date(host.spares_on.as_deref()?).ok()?;
    let weekday = u8::try_from(day.weekday().to_monday_zero_offset()).ok()?;
    let hours = host.hours.iter().filter_map(|text| parse_hours(text).ok());
    let closes = hours.filter(|hours| hours.days.contains(&weekday));
    let closes = closes
        .filter_map(|hours| parse_clock(&hours.closes).ok())
        .max()?;
    Some(session.terrain.zone.minute(day, closes))
}

/// The benches that print spares today and have not closed yet, in the order of the region file. One that
/// was closed for the day is none.
#[must_use]
pub fn benches(session: &Session) -> Vec<SparesBench> {
    let (terrain, now) = (&session.terrain, session.minute());
    let today = terrain.zone.date(now);
    let sites = terrain.file.hosts.iter().zip(&terrain.region.sites);
    let all = sites.filter_map(|(host, site)| {
        let on = host.spares_on.as_deref()?;
        if parse_date(on).ok()? != today {
            return None;
        }
        let open = site.staffed.as_slice().iter();
        let open = open.filter(|window| terrain.zone.date(window.from) == today);
        let meetings = terrain.file.events.iter().filter(|event| event.date == on);
        let meetings = meetings.map(|event| event.name.clone());
        let and = |before, last| say!("common-and", before = before, last = last);
        Some(SparesBench {
            school: host.school.clone(),
            at: terrain.file.school(&host.school)?.name.clone(),
            bench: host.bench.clone(),
            meeting: meetings.reduce(and).unwrap_or_default(),
            open: open.copied().collect(),
        })
    });
    all.filter(|bench| now < bench.closes()).collect()
}

/// Whether a part may be asked for as a spare: it was promised once, so it can be printed and the region
/// has let it pass; no newer file has taken its place, its unit was right, and what was made of its file is
/// not recalled for that.
#[must_use]
pub fn may_spare(books: &Books, listed: &ListedRequest) -> bool {
    let request = &listed.request;
    let over = matches!(request.state, State::Refused | State::Recalled);
    books.pledge_of(request.id).is_some()
        && !over
        && !books.taken_down(request)
        && !has_newer(books, listed)
        && wrong_unit::found(books, request.id).is_none()
        && !recalled_as_old(books, listed)
}

/// Whether a newer file of the same part was promised, and that was not called back.
fn has_newer(books: &Books, listed: &ListedRequest) -> bool {
    let newer = |one: &&ListedRequest| {
        one.part_id == listed.part_id
            && one.request.number > listed.request.number
            && one.request.version != listed.request.version
    };
    let over = |state| matches!(state, State::Withdrawn | State::Refused | State::Recalled);
    let mut newer = books.requests.iter().filter(newer);
    newer.any(|one| !over(one.request.state) && books.pledge_of(one.request.id).is_some())
}

/// The school at whose bench a request is to be fetched as a spare, if it is one.
#[must_use]
pub fn spare_at<'a>(session: &'a Session, listed: &ListedRequest) -> Option<&'a Host> {
    let school = listed.request.process.as_deref().and_then(fetched_at)?;
    session.terrain.file.spares_bench(&school)
}

/// What could be had at a bench now.
#[derive(Clone, Debug)]
pub struct SpareOffer {
    /// The bench.
    pub bench: SparesBench,
    /// What could be promised there in the part's own plastic; else why nothing can.
    pub own: Result<PledgeDocument, WhyNot>,
    /// The same in the other plastic that is quickest of those that its lines fit, where nothing can be
    /// promised in its own.
    pub others: Vec<PledgedAlternative>,
}

/// Why nothing can be promised at a bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WhyNot {
    /// No printer there takes it in its plastic.
    NoPrinter,
    /// It would not be there for sure before the bench closes.
    NoTime,
}

/// What could be promised for spares of a part now, at every bench that prints some today. Nothing is
/// written.
///
/// # Errors
/// [`WorkshopError::NoSpareNow`]; [`WorkshopError::OutOfRange`] for the copies;
/// [`WorkshopError::NotYours`] for another team's; [`WorkshopError`] from laying and estimating.
pub async fn offers(
    session: &Session,
    actor: &Actor,
    listed: &ListedRequest,
    copies: u32,
) -> Result<Vec<SpareOffer>, WorkshopError> {
    actor.must_see_part_of(&listed.request.team)?;
    let books = Books::open(session).await?;
    let benches = must_spare(session, &books, listed, copies)?;
    let laid = laid_file(session, &listed.request).await?;
    let mut out = Vec::with_capacity(benches.len());
    for bench in benches {
        let request = Request {
            copies,
            fetch_at: Some(bench.school.clone()),
            need_by: None,
            ..asked_of(listed, &laid)
        };
        let own = match Box::pin(ask(session, actor, &request)).await {
            Ok(document) => Ok(document),
            Err(WorkshopError::NoQuote(NoQuote::NoPrinter { .. })) => Err(WhyNot::NoPrinter),
            Err(WorkshopError::NoQuote(_)) => Err(WhyNot::NoTime),
            Err(error) => return Err(error),
        };
        let mut others = Vec::new();
        if own.is_err() {
            others = instead(session, actor, &request, None).await?;
            others.retain(|other| matches!(other.change, Some(Change::Material(_))));
        }
        out.push(SpareOffer { bench, own, others });
    }
    Ok(out)
}

/// What a team wants as a spare.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spare<'a> {
    /// Code of the school where the bench is.
    pub at: &'a str,
    /// Copies of each part of the file.
    pub copies: u32,
    /// Another plastic than the part's own.
    pub material: Option<&'a str>,
    /// Nothing is promised that would come later.
    pub no_later: Minute,
}

/// Asks for spares of a part: a request of its own from the same file, written down and promised in one
/// transaction, or not at all. Asked twice with one key, it is one. Its number is given back.
///
/// # Errors
/// [`WorkshopError::NoSpareNow`], [`WorkshopError::OverLimit`] with as many waited for as the region
/// lets a team have, [`WorkshopError::LaterNow`], [`WorkshopError::TakenDown`], [`WorkshopError::NoQuote`];
/// [`WorkshopError::Unknown`] for a bench or plastic that is not there; [`WorkshopError::Store`] for a key
/// that came before with something else.
pub async fn ask_for(
    session: &Session,
    actor: &Actor,
    listed: &ListedRequest,
    (spare, key): (&Spare<'_>, &str),
) -> Result<i64, WorkshopError> {
    let request = &listed.request;
    actor.must_be_of(&request.team)?;
    let (store, region) = session.writable()?;
    let key = format!("spare-{}-{key}", request.id);
    if let Some(made) = store.request_of_key(region, &key).await? {
        let same = made.copies == i64::from(spare.copies)
            && made.material == spare.material.unwrap_or(&request.material)
            && made.process.as_deref().and_then(fetched_at).as_deref() == Some(spare.at);
        if !same {
            return Err(StoreError::KeyReused(key).into());
        }
        return Ok(made.number);
    }
    let books = Books::open(session).await?;
    not_down(&books, &request.team, &listed.blob)?;
    let benches = must_spare(session, &books, listed, spare.copies)?;
    if benches.iter().all(|bench| bench.school != spare.at) {
        let known: Vec<&str> = benches.iter().map(|bench| bench.school.as_str()).collect();
        return Err(WorkshopError::Unknown {
            what: "bench for spares today at",
            name: spare.at.to_owned(),
            known: known.join(", "),
        });
    }
    let laid = laid_file(session, request).await?;
    let other = (spare.material).filter(|code| *code != laid.process.material.code);
    let other = other.map(|code| in_plastic(session, code, &laid.process));
    let process = other.transpose()?.unwrap_or_else(|| laid.process.clone());
    let asked = Request {
        process: &process,
        copies: spare.copies,
        fetch_at: Some(spare.at.to_owned()),
        need_by: None,
        no_later: Some(spare.no_later),
        ..asked_of(listed, &laid)
    };
    let statement = books.notes(request.id).iter().find_map(Statement::read);
    let at_once = AtOnce {
        of: listed,
        takes: Takes::ItsOwnPlace,
        notes: statement.iter().map(Statement::note).collect(),
        dimensions: books.dimensions(request.id).to_vec(),
        rest: None,
        key: &key,
    };
    Box::pin(give_at_once(session, actor, &asked, &at_once)).await?;
    let made = store.request_of_key(region, &key).await?;
    made.map(|made| made.number).ok_or_else(no_spare)
}

/// Whether spares of a part may be asked for now, and at which benches.
pub(crate) fn must_spare(
    session: &Session,
    books: &Books,
    listed: &ListedRequest,
    copies: u32,
) -> Result<Vec<SparesBench>, WorkshopError> {
    let benches = benches(session);
    if benches.is_empty() || !may_spare(books, listed) {
        return Err(no_spare());
    }
    limits::spare_within(session, books, (&listed.request.team, copies))?;
    Ok(benches)
}

fn no_spare() -> WorkshopError {
    WorkshopError::NoSpareNow
}

/// Ends what still waits for a bench that closed half a day ago: its promise is broken, and nobody makes it
/// later. What is printed of it by then stays as it is. How many there were.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for anybody but the server itself; as
/// [`end_request`](crate::bench::end_request), of the first that could not be ended, when all were tried.
pub async fn close_benches(session: &Session, actor: &Actor) -> Result<usize, WorkshopError> {
    actor.must_be_the_clock()?;
    let books = Books::open(session).await?;
    let (mut ended, mut failed) = (0, None);
    for (listed, promised) in books.open_pledges() {
        let id = listed.request.id;
        let closes = spare_at(session, listed).and_then(|host| should_close(session, host));
        let over = closes.is_some_and(|closes| closes + TOLD_WITHIN <= session.minute());
        if !over || promised.end.is_some() || books.waiting_of(id).next().is_none() {
            continue;
        }
        match crate::bench::spare_not_made(session, actor, id).await {
            Ok(true) => ended += 1,
            // Somebody started it, or called it back, since we looked.
            Ok(false) => {}
            Err(error) => failed = failed.or(Some(error)),
        }
    }
    failed.map_or(Ok(ended), Err)
}
