//! A team chooses another way to have its part sooner: other plastic, some copies first, fetched.

use partpledge_records::stored::{Change, PledgedAlternative};
use partpledge_records::{ListedRequest, PledgeEnd, State, StoreError, StoredRequest};
use partpledge_units::length::LengthUnit;
use partpledge_units::time::Minute;

use super::{MOST_COPIES, Otherwise, Received, Sent, asked, fetched_at, not_down, send_as};
use crate::actor::Actor;
use crate::books::Books;
use crate::error::WorkshopError;
use crate::estimating::Process;
use crate::intake::Orient;
use crate::pledging::{ask, in_other_material, instead};
use crate::review::Statement;
use crate::session::Session;

/// What a team could choose now.
#[derive(Clone, Debug)]
pub struct Choices {
    /// When it has the part as things are: as promised, or as could be promised now; `None` when
    /// nothing can be promised for it as it was sent.
    pub arrival: Option<Minute>,
    /// Chance of that.
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
    let laid = crate::plate_room::laid_file(session, &listed.request).await?;
    let request = asked(
        &listed.request,
        &listed.part,
        &laid.parts,
        &laid.process,
        laid.orient,
    );
    let promised = books.pledge_of(listed.request.id);
    let (arrival, probability, mut others) = match promised {
        Some(promised) => {
            let document = &promised.document;
            let arrival = Minute(document.arrival_min);
            let others = instead(session, actor, &request, Some(arrival)).await?;
            (Some(arrival), Some(document.probability), others)
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
    others.retain(|other| other.change.is_some());
    Ok(Choices {
        arrival,
        probability,
        others,
    })
}

/// Changes a request so that its part comes by `no_later`, as was shown: a request in its place is
/// promised first, and only then the old promise ends. When it can't be promised by then any more, or
/// somebody has started the old one meanwhile, the old one stays as it was. All of a team that choose
/// at the same moment get one change; another one than that is told that it is too late.
///
/// Of some copies first, `no_later` is of those. The rest is written down before anything ends, and
/// promised after them if it can be; if not, it waits on the team's list.
///
/// # Errors
/// [`WorkshopError::LaterNow`] when somebody else was faster, [`WorkshopError::TooLateToChange`];
/// [`WorkshopError::OverLimit`], [`WorkshopError::TakenDown`]; as [`super::send`].
pub async fn choose(
    session: &Session,
    actor: &Actor,
    listed: &ListedRequest,
    (change, no_later): (&Change, Minute),
) -> Result<Chosen, WorkshopError> {
    let old = &listed.request;
    actor.must_be_of(&old.team)?;
    let (store, region) = session.writable()?;
    let books = Books::open(session).await?;
    let too_late = || WorkshopError::TooLateToChange { number: old.number };
    // One key for all of the team, another one once a try has come to nothing.
    let tried = books.requests.iter().filter(|made| {
        made.request.replaces == Some(old.id) && made.request.state == State::Withdrawn
    });
    let key = format!("otherwise-{}-{}", old.id, tried.count());
    let before = store.request_of_key(region, &key).await?;
    let promised = before.as_ref();
    let promised = promised.is_some_and(|made| books.pledge_of(made.id).is_some());
    if !promised && !may_choose(&books, listed) {
        return Err(too_late());
    }
    not_down(&books, &old.team, &listed.blob)?;
    let (first, mut other) = changed(session, old, change)?;
    if let Some(made) = &before
        && !is_same(session, made, (first, &other))?
    {
        return Err(too_late());
    }
    // What was promised before is promised, however late.
    other.no_later = Some(no_later).filter(|_| !promised);
    let rest = copies(old) - first;
    let sender = Sender {
        session,
        actor,
        listed,
        books: &books,
    };
    let rest_key = format!("{key}-rest");
    let rests = if rest > 0 {
        let waits = Otherwise {
            at_once: false,
            ..other.clone()
        };
        Some(sender.send(rest, &waits, (false, &rest_key)).await?)
    } else {
        None
    };
    let taken = sender.send(first, &other, (true, &key)).await;
    let taken = match taken {
        Ok(taken) => taken,
        Err(error) => {
            sender.undo(rests.as_ref()).await?;
            // Somebody of the team has chosen another way at the same moment.
            return Err(match error {
                WorkshopError::Store(StoreError::KeyReused(_)) => too_late(),
                error => error,
            });
        }
    };
    let number = taken.request.number;
    sender.holds(taken, rests.as_ref()).await?;
    let rest = if rest > 0 {
        other.no_later = None;
        Some(sender.send(rest, &other, (false, &rest_key)).await?)
    } else {
        None
    };
    Ok(Chosen { number, rest })
}

fn copies(request: &StoredRequest) -> u32 {
    u32::try_from(request.copies).unwrap_or(MOST_COPIES)
}

/// How many copies come first, and how they are made, fetched and promised.
fn changed(
    session: &Session,
    old: &StoredRequest,
    change: &Change,
) -> Result<(u32, Otherwise), WorkshopError> {
    let whole = copies(old);
    let (own, stands) = Process::of_request(&session.catalogue, old)?;
    // What was to stand as it was sent is not ours to turn.
    if stands.orient != Orient::Best {
        return Err(WorkshopError::TooLateToChange { number: old.number });
    }
    let mut other = Otherwise {
        process: own,
        fetch_at: None,
        no_later: None,
        at_once: true,
    };
    let mut first = whole;
    match change {
        Change::Material(code) => other.process = in_plastic(session, code, &other.process)?,
        Change::Fetch(school) => other.fetch_at = Some(school.clone()),
        Change::FewerFirst { first: some, .. } if (1..whole).contains(some) => first = *some,
        Change::FewerFirst { .. } => {
            return Err(WorkshopError::OutOfRange {
                what: "copies that come first",
                range: "fewer than all of them",
            });
        }
    }
    Ok((first, other))
}

/// Whether a request that was made under a key is this very change, and not another one that somebody
/// of the team has chosen at the same moment.
pub(super) fn is_same(
    session: &Session,
    made: &StoredRequest,
    (copies, other): (u32, &Otherwise),
) -> Result<bool, WorkshopError> {
    let (process, _) = Process::of_request(&session.catalogue, made)?;
    let fetched = made.process.as_deref().and_then(fetched_at);
    Ok(made.copies == i64::from(copies)
        && process.key() == other.process.key()
        && fetched == other.fetch_at)
}

/// Another plastic with the same lines.
fn in_plastic(session: &Session, code: &str, own: &Process) -> Result<Process, WorkshopError> {
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

/// Whoever sends a part again from the file on record.
struct Sender<'a> {
    session: &'a Session,
    actor: &'a Actor,
    listed: &'a ListedRequest,
    books: &'a Books,
}

impl Sender<'_> {
    async fn send(
        &self,
        copies: u32,
        other: &Otherwise,
        (in_its_place, key): (bool, &str),
    ) -> Result<Received, WorkshopError> {
        let (session, listed) = (self.session, self.listed);
        let notes = self.books.notes(listed.request.id);
        let statement = notes.iter().find_map(Statement::read);
        let sent = Sent {
            bytes: crate::plate_room::original(session, &listed.request).await?,
            file_name: &listed.file_name,
            team: &listed.request.team,
            part: Some(&listed.part),
            copies,
            material: &other.process.material.code,
            need_by: listed.request.need_by.map(Minute::at_or_after),
            unit: unit_said(session, &listed.request).await?,
            replaces: Some(listed).filter(|_| in_its_place),
            statement: statement.as_ref(),
            again: true,
            over_limit: None,
            key,
        };
        send_as(session, self.actor, &sent, Some(other)).await
    }

    /// Takes everything back if the new promise was not given, or if the old one goes on all the same:
    /// somebody has started it while this was worked out.
    async fn holds(&self, taken: Received, rest: Option<&Received>) -> Result<(), WorkshopError> {
        let books = Books::open(self.session).await?;
        let old = &self.listed.request;
        let goes_on = books.pledge_of(old.id).is_some_and(|old| old.end.is_none());
        let late = WorkshopError::TooLateToChange { number: old.number };
        let error = taken.no_pledge.or(goes_on.then_some(late));
        let Some(error) = error else { return Ok(()) };
        self.withdraw(&taken.request).await?;
        self.undo(rest).await?;
        Err(error)
    }

    /// Takes back a request that could not be promised as it was chosen.
    async fn withdraw(&self, made: &StoredRequest) -> Result<(), WorkshopError> {
        let end = PledgeEnd::Withdrawn;
        crate::bench::end_request(self.session, self.actor, made.id, end, None).await
    }

    async fn undo(&self, rest: Option<&Received>) -> Result<(), WorkshopError> {
        match rest {
            Some(rest) => self.withdraw(&rest.request).await,
            None => Ok(()),
        }
    }
}

/// The unit that a team or we settled on for a file that names none.
pub(super) async fn unit_said(
    session: &Session,
    request: &StoredRequest,
) -> Result<Option<LengthUnit>, WorkshopError> {
    let (store, region) = session.writable()?;
    let version = store.version(region, request.version).await?;
    let unit = version.filter(|version| version.unit_source != "file");
    Ok(unit.and_then(|version| {
        let mut all = LengthUnit::ALL.into_iter();
        all.find(|unit| unit.symbol() == version.unit)
    }))
}
