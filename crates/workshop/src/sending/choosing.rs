//! A team chooses another way to have its part sooner: other plastic, some copies first, fetched.

use partpledge_records::stored::{Change, PledgedAlternative};
use partpledge_records::{ListedRequest, PledgeEnd, State, StoreError, StoredRequest};
use partpledge_units::ids::RequestId;
use partpledge_units::time::Minute;

use super::spares::spare_at;
use super::{Received, asked_of, copies, fetched_at, not_down, replace};
use crate::actor::Actor;
use crate::books::Books;
use crate::error::WorkshopError;
use crate::estimating::Process;
use crate::plate_room::laid_file;
use crate::pledging::{
    AtOnce, Request, Takes, ask, give_at_once, give_received, in_other_material, instead,
};
use crate::review::{Statement, limits};
use crate::risks::{Outcome, outcome_of};
use crate::session::Session;

/// What a team could choose now.
#[derive(Clone, Debug)]
pub struct Choices {
    /// Whether it has a promise, that would end.
    pub promised: bool,
    /// When it has the part as things are: as promised, or as it comes now if that is at risk, or as could be
    /// promised now; `None` when nothing can be said or promised for it as it was sent.
    pub arrival: Option<Minute>,
    /// Chance of that; `None` of a promise that is at risk, which comes later than it says.
    pub probability: Option<f64>,
    /// What it could change, each with what could be promised then.
    pub others: Vec<PledgedAlternative>,
}

/// What was chosen.
#[derive(Debug)]
pub struct Chosen {
    /// Number of the request that took the place of the old one.
    pub number: i64,
    /// The copies that come later, as a request of their own.
    pub rest: Option<Received>,
}

/// Whether a team may still choose another way to have a part: it is promised or waits to be, and
/// nobody has started it.
#[must_use]
pub fn may_choose(books: &Books, listed: &ListedRequest) -> bool {
    let state = books.request(listed.request.id).map(|r| r.request.state);
    matches!(state, Some(State::Pledged | State::Ready))
        && books.may_withdraw(listed.request.id)
        && !books.taken_down(&listed.request)
}

/// What a team could change to have its part sooner, as it stands now. Nothing is written.
///
/// # Errors
/// [`WorkshopError::TooLateToChange`]; [`WorkshopError::NotYours`] for another team's;
/// [`WorkshopError`] from laying and estimating.
pub async fn choices(
    session: &Session,
    actor: &Actor,
    listed: &ListedRequest,
) -> Result<Choices, WorkshopError> {
    actor.must_see_part_of(&listed.request.team)?;
    let books = Books::open(session).await?;
    let number = listed.request.number;
    if !may_choose(&books, listed) {
        return Err(WorkshopError::TooLateToChange { number });
    }
    let laid = laid_file(session, &listed.request).await?;
    let request = asked_of(listed, &laid);
    let promised = books.pledge_of(listed.request.id);
    let (arrival, probability, mut others) = match promised {
        Some(promised) => {
            let document = &promised.document;
            let stands = outcome_of(session, &books, listed.request.id);
            let (arrival, probability) = match stands.filter(Outcome::at_risk) {
                Some(late) => (late.likely, None),
                None => (
                    Some(Minute(document.arrival_min)),
                    Some(document.probability),
                ),
            };
            let others = instead(session, actor, &request, arrival).await?;
            (arrival, probability, others)
        }
        None => match ask(session, actor, &request).await {
            Ok(offer) => (
                Some(Minute(offer.arrival_min)),
                Some(offer.probability),
                offer.alternatives,
            ),
            Err(WorkshopError::NoQuote(_)) => {
                let others = instead(session, actor, &request, None).await?;
                (None, None, others)
            }
            Err(error) => return Err(error),
        },
    };
    // At its limit a team may change a part, but not have one more.
    let one_more = limits::one_more(session, &books, &listed.request.team).is_ok();
    // A spare is for the meeting that its team is at, and counted apart.
    let spare = spare_at(session, listed).is_some();
    others.retain(|other| match &other.change {
        Some(Change::FewerFirst { .. }) => one_more && !spare,
        Some(Change::Fetch(_)) => !spare,
        change => change.is_some(),
    });
    Ok(Choices {
        promised: promised.is_some(),
        arrival,
        probability,
        others,
    })
}

/// Changes a request so that its part comes by `no_later`, as was shown: another one in its place is
/// written down and promised in one transaction, and the old promise ends after that. When it can't be
/// promised by then any more, or somebody has started the old one meanwhile, nothing is written. All of a
/// team that choose the same get one change; another one than that is refused.
///
/// Of some copies first, `no_later` is of those. The rest is a request of its own, written down with
/// them and promised after; if it can't be, it waits on the team's list.
///
/// # Errors
/// [`WorkshopError::LaterNow`], [`WorkshopError::TooLateToChange`],
/// [`WorkshopError::ChosenOtherwise`]; [`WorkshopError::OverLimit`], [`WorkshopError::TakenDown`]; as
/// [`super::offer`].
pub async fn choose(
    session: &Session,
    actor: &Actor,
    listed: &ListedRequest,
    (change, no_later): (&Change, Minute),
) -> Result<Chosen, WorkshopError> {
    let old = &listed.request;
    actor.must_be_of(&old.team)?;
    let books = Books::open(session).await?;
    not_down(&books, &old.team, &listed.blob)?;
    let laid = laid_file(session, old).await?;
    let wanted = wanted(session, listed, &laid.process, change)?;
    let request = Request {
        process: &wanted.process,
        fetch_at: wanted.fetch_at.clone(),
        copies: wanted.first,
        no_later: Some(no_later),
        ..asked_of(listed, &laid)
    };
    let (store, region) = session.writable()?;
    let (rest, key) = (copies(old) - wanted.first, free_key(session, old.id).await?);
    if rest > 0 && may_choose(&books, listed) {
        limits::one_more(session, &books, &old.team)?;
    }
    let statement = books.notes(old.id).iter().find_map(Statement::read);
    let place = AtOnce {
        of: listed,
        takes: Takes::ThePlaceOfThat,
        notes: statement.iter().map(Statement::note).collect(),
        dimensions: books.dimensions(old.id).to_vec(),
        rest: (rest > 0).then_some(rest),
        key: &key,
    };
    let given = Box::pin(give_at_once(session, actor, &request, &place)).await;
    let other = WorkshopError::ChosenOtherwise { number: old.number };
    match given {
        Ok(_) => {}
        Err(WorkshopError::Store(StoreError::KeyReused(_))) => return Err(other),
        Err(error) => return Err(error),
    }
    let made = store.request_of_key(region, &key).await?;
    let Some(made) = made.filter(|made| is_of(made, &request)) else {
        return Err(other);
    };
    replace(session, actor, &made, true).await?;
    let rest = store.request_of_key(region, &format!("{key}-rest")).await?;
    must_have_ended(session, actor, listed, (&made, rest.as_ref())).await?;
    let rest = match rest {
        Some(rest) => Some(promised_too(session, actor, (listed, &request), rest).await),
        None => None,
    };
    Ok(Chosen {
        number: made.number,
        rest,
    })
}

/// The key of what takes the place of a request, the `n`th time that this is tried.
fn key_of(old: RequestId, n: usize) -> String {
    match n {
        0 => format!("otherwise-{old}"),
        n => format!("otherwise-{old}-{n}"),
    }
}

/// The first key by which nothing was made that still stands: what was called back, since the old one was
/// started meanwhile, stands in nobody's way when that start is taken back.
async fn free_key(session: &Session, old: RequestId) -> Result<String, WorkshopError> {
    let (store, region) = session.writable()?;
    let mut n = 0;
    loop {
        let key = key_of(old, n);
        let made = store.request_of_key(region, &key).await?;
        if made.is_none_or(|made| made.state != State::Withdrawn) {
            return Ok(key);
        }
        n += 1;
    }
}

/// What was made by choosing to take the place of a request that nevertheless goes on, since somebody
/// had started it: the one given and the copies that were to come later.
pub(super) async fn made_instead_of(
    session: &Session,
    old: RequestId,
) -> Result<Vec<StoredRequest>, WorkshopError> {
    let (store, region) = session.writable()?;
    let key = free_key(session, old).await?;
    let mut out = Vec::new();
    for key in [key.clone(), format!("{key}-rest")] {
        out.extend(store.request_of_key(region, &key).await?);
    }
    Ok(out)
}

/// What is to be asked for.
struct Wanted {
    /// Copies that come first, or all.
    first: u32,
    process: Process,
    fetch_at: Option<String>,
}

fn wanted(
    session: &Session,
    listed: &ListedRequest,
    own: &Process,
    change: &Change,
) -> Result<Wanted, WorkshopError> {
    let old = &listed.request;
    let mut out = Wanted {
        first: copies(old),
        process: own.clone(),
        // One that is fetched already is fetched there, whatever else changes.
        fetch_at: old.process.as_deref().and_then(fetched_at),
    };
    match change {
        Change::Material(code) => out.process = in_plastic(session, code, own)?,
        // Spares are asked for otherwise, and made nowhere else.
        Change::Fetch(school) if session.terrain.file.spares_bench(school).is_some() => {
            return Err(WorkshopError::NoSpareNow);
        }
        Change::Fetch(_) | Change::FewerFirst { .. } if spare_at(session, listed).is_some() => {
            return Err(WorkshopError::NoSpareNow);
        }
        Change::Fetch(school) => out.fetch_at = Some(school.clone()),
        Change::FewerFirst { first, .. } if (1..out.first).contains(first) => out.first = *first,
        Change::FewerFirst { .. } => {
            let (what, range) = ("copies that come first", "fewer than all of them");
            return Err(WorkshopError::OutOfRange { what, range });
        }
    }
    Ok(out)
}

/// Whether a request that was made under the key is what was chosen now.
fn is_of(made: &StoredRequest, request: &Request<'_>) -> bool {
    let fetched = made.process.as_deref().and_then(fetched_at);
    made.state != State::Withdrawn
        && made.material == request.process.material.code
        && made.copies == i64::from(request.copies)
        && fetched == request.fetch_at
}

/// When somebody has started the old one between the new promise and its own end, the old one goes on,
/// and what was to take its place is called back.
async fn must_have_ended(
    session: &Session,
    actor: &Actor,
    listed: &ListedRequest,
    (made, rest): (&StoredRequest, Option<&StoredRequest>),
) -> Result<(), WorkshopError> {
    let books = Books::open(session).await?;
    let old = books.pledge_of(listed.request.id);
    if old.is_none_or(|old| old.end.is_some()) {
        return Ok(());
    }
    for made in [Some(made), rest].into_iter().flatten() {
        super::ended_or_begun(session, actor, made.id, PledgeEnd::Withdrawn).await?;
    }
    let number = listed.request.number;
    Err(WorkshopError::TooLateToChange { number })
}

/// The rest, with a promise of its own if one can be given.
async fn promised_too(
    session: &Session,
    actor: &Actor,
    (listed, first): (&ListedRequest, &Request<'_>),
    rest: StoredRequest,
) -> Received {
    let request = Request {
        copies: copies(&rest),
        no_later: None,
        part: &listed.part,
        ..first.clone()
    };
    let given = Box::pin(give_received(session, actor, &request, &rest)).await;
    Received {
        request: rest,
        no_pledge: given.err(),
    }
}

/// Another plastic with the same lines.
pub(super) fn in_plastic(
    session: &Session,
    code: &str,
    own: &Process,
) -> Result<Process, WorkshopError> {
    let catalogue = &session.catalogue;
    let others = catalogue.materials.iter();
    let others = others.filter(|m| m.code != own.material.code);
    let known = others.filter_map(|m| in_other_material(catalogue, m, own));
    let known: Vec<Process> = known.collect();
    let found = known.iter().find(|process| process.material.code == code);
    found.cloned().ok_or_else(|| {
        let codes: Vec<&str> = known.iter().map(|p| p.material.code.as_str()).collect();
        WorkshopError::Unknown {
            what: "other material for it",
            name: code.to_owned(),
            known: codes.join(", "),
        }
    })
}
