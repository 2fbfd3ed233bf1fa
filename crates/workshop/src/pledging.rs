//! Quoting and giving a pledge.

mod binding;
mod document;
mod joining;
mod otherwise;
mod took;

use partpledge_plan_check::Violation;
use partpledge_planning::quote::promise;
use partpledge_planning::{Ask, Ground, NoQuote, Quote, Way, quote, quote_before};
use partpledge_planning_model::{PlaceIx, Plan, Plate, PlateSeq, SiteIx, Wish};
use partpledge_records::stored::{PledgeDocument, PledgedAlternative, StoredProcess};
use partpledge_records::{
    Asked, BlobHash, Floor, ListedRequest, NewNote, NewPledge, StoreError, StoredRequest,
};
use partpledge_units::ids::{IdSource, RequestId, VersionId};
use partpledge_units::time::{Minute, Minutes};
use partpledge_words::said;

use crate::actor::Actor;
use crate::books::Books;
use crate::error::WorkshopError;
use crate::estimating::{LaidPart, Process};
use crate::intake::Orient;
use crate::keeping::{Original, keep};
use crate::measuring::CriticalDimension;
use crate::plan_room::checked;
use crate::plating::{Layouts, MOST_PLATES, Order, fewest, ways_on};
use crate::sending::may_choose;
use crate::sending::spares::must_spare;
use crate::session::Session;
use document::{document, on_its_own_words};
use joining::{Joined, Joining};
use otherwise::{Otherwise, fetched_at};
use took::keep_estimates;

pub(crate) use otherwise::in_other_material;

/// Worlds a quote is played through.
pub const WORLDS: u64 = 400;
/// Chance that a pledge must reach.
pub const LEVEL: f64 = 0.9;
/// Time for the host to see a new plate, prepare its toolpath and find the spool; nothing starts
/// before. Common practice, no source.
pub const PREPARE: Minutes = Minutes(30);
/// The same at a meeting's bench: whoever is there waits for it. Common practice, no source.
const PREPARE_SPARE: Minutes = Minutes(10);
/// A part must come so much earlier to be worth more plates to load, start and clear: half a day. Common
/// practice, no source.
const WORTH_MORE_PLATES: Minutes = Minutes(12 * 60);
/// Tries at giving when others give at the same time.
const TRIES: u32 = 20;

/// A request for a pledge.
#[derive(Clone, Debug)]
pub struct Request<'a> {
    /// The parts, laid down.
    pub parts: &'a [LaidPart],
    /// Copies of each.
    pub copies: u32,
    /// Material and sheet.
    pub process: &'a Process,
    /// The team.
    pub team: &'a str,
    /// What the part is called.
    pub part: &'a str,
    /// When the team would like it.
    pub need_by: Option<Minute>,
    /// Seed of the worlds.
    pub seed: u64,
    /// How the parts were laid down.
    pub orient: Orient,
    /// Code of the school with a host at which the team fetches it, if not at its own.
    pub fetch_at: Option<String>,
    /// Nothing is given that would come later than this.
    pub no_later: Option<Minute>,
}

impl Request<'_> {
    /// How it is to be made, as it is kept.
    fn stored_process(&self) -> StoredProcess {
        let standing = self.parts.iter().map(|part| part.standing.clone());
        StoredProcess {
            fetch_at: self.fetch_at.clone(),
            ..self.process.stored(self.orient, standing.collect())
        }
    }
}

/// An answer with all that giving it needs.
struct Answer {
    document: PledgeDocument,
    /// Its plates as they are to be kept.
    plates: Vec<Plate>,
    /// The plate that they join, if they go on one that is there already.
    joins: Option<PlateSeq>,
    /// All plates to be printed, with it.
    all: Vec<Plate>,
    plan: Plan,
    revision: i64,
}

/// Quotes: what would be pledged now. Writes nothing.
///
/// # Errors
/// [`WorkshopError::NoQuote`] with the reason, [`WorkshopError::Unknown`] for a team.
pub async fn ask(
    session: &Session,
    actor: &Actor,
    request: &Request<'_>,
) -> Result<PledgeDocument, WorkshopError> {
    actor.must_see_part_of(request.team)?;
    let floor = session.floor().await?;
    Ok(Box::pin(answer(session, request, (&floor, true)))
        .await?
        .document)
}

/// What could be had otherwise: other plastic, fewer copies, fetched. Only what is earlier than
/// `arrival` by an hour at least, if that is what there is now; anything when nothing can be promised for
/// the request as it is. Writes nothing.
///
/// # Errors
/// [`WorkshopError::Unknown`] for a team, [`WorkshopError`] from estimating.
pub async fn instead(
    session: &Session,
    actor: &Actor,
    request: &Request<'_>,
    arrival: Option<Minute>,
) -> Result<Vec<PledgedAlternative>, WorkshopError> {
    actor.must_see_part_of(request.team)?;
    let floor = session.floor().await?;
    let layouts = Layouts::default();
    let (to, ways) = menu(session, request, (&floor, &layouts))?;
    let known: Vec<Plate> = floor.past.iter().chain(&floor.plates).cloned().collect();
    let question = Otherwise {
        session,
        request,
        floor: &floor,
        known: &known,
        to,
        layouts: &layouts,
        ways: &ways,
        arrival,
    };
    Ok(question.all().changes)
}

/// Gives: quotes on the present plan, has the plan checked, writes all of it down or nothing.
/// When somebody else was faster it quotes again.
///
/// # Errors
/// As [`ask`]; [`WorkshopError::PlanRefused`] when the checker objects; [`WorkshopError::Contended`];
/// [`StoreError::KeyReused`] for a key that stands for another request.
pub async fn give(
    session: &Session,
    actor: &Actor,
    request: &Request<'_>,
    original: &Original,
    idempotency_key: Option<&str>,
) -> Result<PledgeDocument, WorkshopError> {
    actor.must_be_of(request.team)?;
    let (store, region) = session.writable()?;
    if let Some(key) = idempotency_key
        && let Some(pledge) = store.pledge_of_key(region, key).await?
    {
        let blob = BlobHash::of(&original.bytes);
        must_be_the_same(session, key, request, &blob).await?;
        return Ok(PledgeDocument::from_text(&pledge.document)?);
    }
    // Quoted before anything is kept: what can't be promised leaves nothing behind.
    let floor = session.floor().await?;
    let quoted = Box::new((
        Box::pin(answer(session, request, (&floor, true))).await?,
        floor,
    ));
    let whose = (request.team, request.part);
    let version = keep(session, whose, original, &mut IdSource::Os).await?;
    let target = Target {
        version,
        received: None,
        idempotency_key,
        at_once: None,
    };
    give_to(session, actor, request, &target, Some(quoted)).await
}

/// A key stands for one request: the same file, asked for in the same way ([`StoredRequest::asks_for`]).
async fn must_be_the_same(
    session: &Session,
    key: &str,
    request: &Request<'_>,
    blob: &BlobHash,
) -> Result<(), WorkshopError> {
    let (store, region) = session.writable()?;
    let Some(before) = store.request_of_key(region, key).await? else {
        return Ok(());
    };
    let version = store.version(region, before.version).await?;
    let process = request.stored_process().to_text()?;
    let asked = Asked {
        team: request.team,
        material: &request.process.material.code,
        copies: request.copies.into(),
        need_by: request.need_by.map(Minute::to_ms),
        process: Some(&process),
    };
    if version.is_none_or(|version| version.blob == *blob) && before.asks_for(&asked)? {
        Ok(())
    } else {
        Err(StoreError::KeyReused(key.to_owned()).into())
    }
}

/// Gives for a request that was received before. A request that has its pledge keeps it.
///
/// # Errors
/// As [`give`].
pub async fn give_received(
    session: &Session,
    actor: &Actor,
    request: &Request<'_>,
    received: &StoredRequest,
) -> Result<PledgeDocument, WorkshopError> {
    let target = Target {
        version: received.version,
        received: Some(received.id),
        idempotency_key: None,
        at_once: None,
    };
    give_to(session, actor, request, &target, None).await
}

/// A request that is written down and promised at once, from the file of another one.
pub(crate) struct AtOnce<'a> {
    /// The other one.
    pub(crate) of: &'a ListedRequest,
    /// What becomes of that.
    pub(crate) takes: Takes,
    /// What is noted with the new one.
    pub(crate) notes: Vec<NewNote>,
    /// Its critical dimensions.
    pub(crate) dimensions: Vec<CriticalDimension>,
    /// Copies that are to come later, as a request of their own.
    pub(crate) rest: Option<u32>,
    /// The new one's key.
    pub(crate) key: &'a str,
}

/// Whether a request makes room for the one that is given from its file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Takes {
    /// It does, after this: it must still be there to be changed when the new one is given.
    ThePlaceOfThat,
    /// It stays, and the new one is a spare: those must still be had when it is given.
    ItsOwnPlace,
}

/// Gives for a request that is written down with its promise: all of it, or nothing. The one whose file it
/// is stays as it is.
///
/// # Errors
/// As [`give`]; [`WorkshopError::LaterNow`]; [`WorkshopError::TooLateToChange`] or
/// [`WorkshopError::NoSpareNow`].
pub(crate) async fn give_at_once(
    session: &Session,
    actor: &Actor,
    request: &Request<'_>,
    at_once: &AtOnce<'_>,
) -> Result<PledgeDocument, WorkshopError> {
    let target = Target {
        version: at_once.of.request.version,
        received: None,
        idempotency_key: Some(at_once.key),
        at_once: Some(at_once),
    };
    give_to(session, actor, request, &target, None).await
}

/// What a pledge is given for.
struct Target<'a> {
    version: VersionId,
    received: Option<RequestId>,
    idempotency_key: Option<&'a str>,
    at_once: Option<&'a AtOnce<'a>>,
}

/// What is written with a request that is promised at once, as long as it still may be.
async fn with_it(
    session: &Session,
    (request, at_once): (&Request<'_>, &AtOnce<'_>),
) -> Result<partpledge_records::AtOnce, WorkshopError> {
    let books = Books::open(session).await?;
    let replaces = match at_once.takes {
        Takes::ThePlaceOfThat if may_choose(&books, at_once.of) => Some(at_once.of.request.id),
        Takes::ThePlaceOfThat => {
            let number = at_once.of.request.number;
            return Err(WorkshopError::TooLateToChange { number });
        }
        Takes::ItsOwnPlace => {
            must_spare(session, &books, at_once.of, request.copies)?;
            None
        }
    };
    Ok(partpledge_records::AtOnce {
        replaces,
        entry: books.entry,
        notes: at_once.notes.clone(),
        dimensions: at_once.dimensions.clone(),
        rest: at_once.rest,
    })
}

async fn give_to(
    session: &Session,
    actor: &Actor,
    request: &Request<'_>,
    target: &Target<'_>,
    mut quoted: Option<Box<(Answer, Floor)>>,
) -> Result<PledgeDocument, WorkshopError> {
    actor.must_give_to(request.team)?;
    let mut ids = IdSource::Os;
    let mut later: Option<Session> = None;
    for _ in 0..TRIES {
        // Whoever was faster may have closed a school or changed the region.
        let session = later.as_ref().unwrap_or(session);
        let (store, region) = session.writable()?;
        let names = session.terrain.names();
        if !session.is_newest().await? {
            later = Some(session.at(session.now).await?);
            continue;
        }
        // Somebody of the team may have sent the very same.
        if let (None, Some(key)) = (target.received, target.idempotency_key)
            && let Some(pledge) = store.pledge_of_key(region, key).await?
        {
            if let Some(own) = store.version(region, target.version).await? {
                must_be_the_same(session, key, request, &own.blob).await?;
            }
            return Ok(PledgeDocument::from_text(&pledge.document)?);
        }
        let at_once = match target.at_once {
            Some(at_once) => Some(with_it(session, (request, at_once)).await?),
            None => None,
        };
        // A quote just made holds if nobody was faster, and the store sees to that.
        let quoted = quoted.take();
        let (answer, floor) = match quoted.filter(|quoted| session.is_as_new(&quoted.1)) {
            Some(quoted) => *quoted,
            None => {
                let floor = session.floor().await?;
                if !session.is_as_new(&floor) {
                    continue;
                }
                (
                    Box::pin(answer(session, request, (&floor, true))).await?,
                    floor,
                )
            }
        };
        let arrival = Minute(answer.document.arrival_min);
        if request.no_later.is_some_and(|latest| arrival > latest) {
            let now = session.terrain.zone.short(arrival);
            return Err(WorkshopError::LaterNow { now });
        }
        if let Some(violation) = new_violation(session, &floor, &answer.all, &answer.plan)? {
            return Err(WorkshopError::PlanRefused(violation));
        }
        keep_estimates(session, request, target.version, &answer.plates, &mut ids).await?;
        let mut new = new_pledge(session, actor, request, target, answer)?;
        new.at_once = at_once;
        match store
            .give(region, &new, &names, &mut ids, session.now)
            .await
        {
            Ok(given) => return Ok(PledgeDocument::from_text(&given.pledge.document)?),
            Err(StoreError::Stale { .. }) => {}
            Err(error) => return Err(error.into()),
        }
        later = Some(session.at(session.now).await?);
    }
    Err(WorkshopError::Contended(TRIES))
}

/// The first rule that the new plan breaks and the plan before did not: what people did on the
/// floor may have broken some, and a new pledge is not to blame for that.
fn new_violation(
    session: &Session,
    floor: &Floor,
    plates: &[Plate],
    plan: &Plan,
) -> Result<Option<Violation>, WorkshopError> {
    let after = checked(session, plates, plan, &floor.plan)?;
    if after.is_empty() {
        return Ok(None);
    }
    let before = checked(session, &floor.plates, &floor.plan, &floor.plan)?;
    Ok(after.into_iter().find(|found| !before.contains(found)))
}

fn new_pledge(
    session: &Session,
    actor: &Actor,
    request: &Request<'_>,
    target: &Target<'_>,
    answer: Answer,
) -> Result<NewPledge, WorkshopError> {
    let mut document = answer.document;
    document.plan_revision = answer.revision + 1;
    Ok(NewPledge {
        request: target.received,
        team: request.team.to_owned(),
        process: Some(request.stored_process().to_text()?),
        version: target.version,
        material: request.process.material.code.clone(),
        copies: request.copies,
        need_by: request.need_by,
        asked_at: session.now,
        actor: actor.reference(),
        idempotency_key: target.idempotency_key.map(str::to_owned),
        revision: answer.revision,
        plates: answer.plates,
        joins: answer.joins,
        plan: answer.plan,
        arrival: Minute(document.arrival_min),
        place: document.place.clone(),
        probability: document.probability,
        document: document.to_text()?,
        at_once: None,
    })
}

/// Where a request goes, and the ways to make it.
fn menu(
    session: &Session,
    request: &Request<'_>,
    (floor, layouts): (&Floor, &Layouts),
) -> Result<(PlaceIx, Vec<Way>), WorkshopError> {
    let home = session.terrain.place_of(request.team)?;
    let fetched = request
        .fetch_at
        .as_ref()
        .map(|school| counter(session, school));
    let fetched = fetched.transpose()?;
    let to = fetched.map_or(home, |(_, place)| place);
    let parts: Vec<&LaidPart> = request.parts.iter().collect();
    let order = order(session, request, (floor, &parts, to));
    let mut ways = ways_on(session, &order, layouts)?;
    if let Some(counter) = fetched {
        ways = fetched_at(&session.terrain, &ways, counter);
    }
    Ok((to, ways))
}

/// What is asked for, as it is put on plates.
fn order<'a>(
    session: &Session,
    request: &'a Request<'a>,
    (floor, parts, to): (&Floor, &'a [&'a LaidPart], PlaceIx),
) -> Order<'a> {
    Order {
        parts,
        copies: request.copies,
        process: request.process,
        to,
        release: session.minute() + prepare(session, to),
        next_seq: floor.next_seq,
        wish: Wish {
            need_by: request.need_by,
            turn: floor.given.get(request.team).copied().unwrap_or(0),
            ..Wish::default()
        },
    }
}

/// Why there is no way to make a request: it takes too many plates, or no printer takes it.
fn no_way(
    session: &Session,
    request: &Request<'_>,
    (floor, layouts, to): (&Floor, &Layouts, PlaceIx),
) -> Result<NoQuote, WorkshopError> {
    let parts: Vec<&LaidPart> = request.parts.iter().collect();
    let order = order(session, request, (floor, &parts, to));
    Ok(match fewest(session, &order, layouts)? {
        Some(plates) if plates > MOST_PLATES => NoQuote::TooManyPlates {
            plates,
            most: MOST_PLATES,
        },
        _ => NoQuote::NoPrinter {
            material: request.process.material.code.clone(),
        },
    })
}

/// A refusal, with how far the calendars go if nothing is free in them.
fn refused(session: &Session, none: NoQuote) -> WorkshopError {
    match none {
        NoQuote::NoSlot => {
            let why = binding::no_slot(session).map(Box::new);
            why.map_or(none, NoQuote::NoSlotUntil).into()
        }
        other => other.into(),
    }
}

/// Time for those who print what goes to a place to prepare it.
fn prepare(session: &Session, to: PlaceIx) -> Minutes {
    match session.terrain.spares_at(to) {
        Some(_) => PREPARE_SPARE,
        None => PREPARE,
    }
}

/// The host at a school, and its place.
fn counter(session: &Session, school: &str) -> Result<(SiteIx, PlaceIx), WorkshopError> {
    let file = &session.terrain.file;
    let site = file.hosts.iter().position(|host| host.school == school);
    let place = file.schools.iter().position(|known| known.code == school);
    site.zip(place)
        .map(|(site, place)| (SiteIx(site), PlaceIx(place)))
        .ok_or_else(|| {
            let known: Vec<&str> = file.hosts.iter().map(|host| host.school.as_str()).collect();
            WorkshopError::Unknown {
                what: "school with printers",
                name: school.to_owned(),
                known: known.join(", "),
            }
        })
}

/// A quote on a floor; `otherwise` asks too what the team could change to have it earlier.
async fn answer(
    session: &Session,
    request: &Request<'_>,
    (floor, otherwise): (&Floor, bool),
) -> Result<Answer, WorkshopError> {
    let layouts = Layouts::default();
    let (to, ways) = menu(session, request, (floor, &layouts))?;
    if ways.is_empty() {
        return Err(no_way(session, request, (floor, &layouts, to))?.into());
    }
    let ground = Ground::new(&session.terrain.region);
    let ask = Ask {
        ways,
        level: LEVEL,
        now: session.minute(),
        seed: request.seed,
        worlds: WORLDS,
    };
    let known: Vec<Plate> = floor.past.iter().chain(&floor.plates).cloned().collect();
    let alone = quote(&ground, &known, &floor.plan, &ask);
    let question = Joining {
        session,
        request,
        floor,
        known: &known,
        ask: &ask,
        to,
    };
    let by = alone
        .as_ref()
        .map_or(Minute(i64::MAX), |quote| quote.arrival);
    let joined = question.earliest(&ground, by).await?;
    let mut answer = match (joined, alone) {
        (Some(joined), _) => with_others(session, request, (floor, &ask), joined),
        (None, Ok(quote)) => on_its_own(session, request, (floor, &ask), &quote),
        (None, Err(none)) => return Err(refused(session, none)),
    };
    if otherwise {
        let about = Otherwise {
            session,
            request,
            floor,
            known: &known,
            to,
            layouts: &layouts,
            ways: &ask.ways,
            arrival: Some(Minute(answer.document.arrival_min)),
        };
        let mut others = about.all();
        if let Some(way) = others.whole.take()
            && let Some(sooner) = whole(session, request, (&ground, floor, &ask), (way, &about))
        {
            answer = sooner;
            let arrival = Some(Minute(answer.document.arrival_min));
            others = Otherwise { arrival, ..about }.all();
        }
        answer.document.alternatives = others.changes;
    }
    Ok(answer)
}

/// The answer with all of it on these plates, if that can be promised so much sooner that it is worth the
/// hands: what the team would have as two promises it is given as one.
fn whole(
    session: &Session,
    request: &Request<'_>,
    (ground, floor, ask): (&Ground<'_>, &Floor, &Ask),
    (way, about): (Way, &Otherwise<'_>),
) -> Option<Answer> {
    let ask = Ask {
        ways: vec![way],
        ..ask.clone()
    };
    let before = about.arrival? - WORTH_MORE_PLATES;
    let quote = quote_before(ground, about.known, &floor.plan, (&ask, before)).ok()?;
    (quote.arrival < before).then(|| on_its_own(session, request, (floor, &ask), &quote))
}

/// The answer with plates of its own.
fn on_its_own(
    session: &Session,
    request: &Request<'_>,
    (floor, ask): (&Floor, &Ask),
    quote: &Quote,
) -> Answer {
    let mut plan = floor.plan.clone();
    quote.assignments.iter().for_each(|place| plan.put(*place));
    let promised = Some(promise(quote));
    let plates = ask.ways[quote.way].plates.iter().cloned();
    let plates: Vec<Plate> = plates
        .map(|plate| Plate {
            promise: promised,
            ..plate
        })
        .collect();
    let document = on_its_own_words(session, request, (floor, ask), quote);
    Answer {
        document,
        all: floor.plates.iter().chain(&plates).cloned().collect(),
        plates,
        joins: None,
        plan,
        revision: floor.revision,
    }
}

/// The answer on a plate that is planned already.
fn with_others(
    session: &Session,
    request: &Request<'_>,
    (floor, ask): (&Floor, &Ask),
    joined: Joined,
) -> Answer {
    let promised = Some(promise(&joined.quote));
    let mut whole = joined.whole;
    if let Some(last) = whole.riders.last_mut() {
        last.promise = promised;
    }
    let mut plan = floor.plan.clone();
    plan.put(joined.place);
    let own = Ask {
        ways: vec![joined.way],
        ..ask.clone()
    };
    let mut document = document(session, request, &own, &joined.quote, floor.revision);
    document
        .reasons
        .insert(0, said!("reasons-joins", plate = whole.seq.0));
    let joins = whole.seq;
    let mut all = floor.plates.clone();
    for plate in all.iter_mut().filter(|plate| plate.seq == joins) {
        plate.clone_from(&whole);
    }
    Answer {
        document,
        plates: vec![Plate {
            promise: promised,
            ..joined.share
        }],
        joins: Some(joins),
        all,
        plan,
        revision: floor.revision,
    }
}
