//! Quoting and giving a pledge.

mod binding;
mod otherwise;

use std::collections::BTreeSet;

use partpledge_plan_check::Violation;
use partpledge_planning::quote::promise;
use partpledge_planning::{Ask, Ground, Quote, Way, quote};
use partpledge_planning_model::{Assignment, Departure, Leg, LegKind, PlaceIx, Plan, Plate, Wish};
use partpledge_records::stored::{
    PledgeDocument, PledgedAlternative, PledgedLeg, PledgedPlate, StoredEstimate, StoredProcess,
};
use partpledge_records::{EstimateKey, Floor, NewPledge, StoreError, StoredRequest};
use partpledge_toolpath::Estimate;
use partpledge_units::ids::{IdSource, RequestId, VersionId};
use partpledge_units::time::{Minute, Minutes};

use crate::actor::Actor;
use crate::error::WorkshopError;
use crate::estimating::{LaidPart, Process, timed};
use crate::intake::Orient;
use crate::keeping::{Original, keep};
use crate::plan_room::checked;
use crate::plating::{Layouts, Order, ways_on};
use crate::session::Session;
use crate::{ENGINE, words};
use otherwise::Otherwise;

/// Worlds a quote is played through.
pub const WORLDS: u64 = 400;
/// Chance that a pledge must reach.
pub const LEVEL: f64 = 0.9;
/// Time for the host to see a new plate, prepare its toolpath and find the spool; nothing starts
/// before. Common practice, no source.
pub const PREPARE: Minutes = Minutes(30);
/// How long a quote stands.
const STANDS: Minutes = Minutes(60);
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
}

impl Request<'_> {
    /// How it is to be made, as it is kept.
    fn stored_process(&self) -> StoredProcess {
        let standing = self.parts.iter().map(|part| part.standing.clone());
        self.process.stored(self.orient, standing.collect())
    }
}

/// An answer with all that giving it needs.
struct Answer {
    document: PledgeDocument,
    plates: Vec<Plate>,
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
    Ok(answer(session, request, (&floor, true))?.document)
}

/// What could be had when nothing can be promised for a request as it is: other plastic, fewer
/// copies, fetched. Writes nothing.
///
/// # Errors
/// [`WorkshopError::Unknown`] for a team, [`WorkshopError`] from estimating.
pub async fn instead(
    session: &Session,
    actor: &Actor,
    request: &Request<'_>,
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
        arrival: None,
    };
    Ok(question.all())
}

/// Gives: quotes on the present plan, has the plan checked, writes all of it down or nothing.
/// When somebody else was faster it quotes again.
///
/// # Errors
/// As [`ask`]; [`WorkshopError::PlanRefused`] when the checker objects; [`WorkshopError::Contended`].
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
        return Ok(PledgeDocument::from_text(&pledge.document)?);
    }
    // Quoted before anything is kept: what can't be promised leaves nothing behind.
    let floor = session.floor().await?;
    let quoted = Box::new((answer(session, request, (&floor, true))?, floor));
    let whose = (request.team, request.part);
    let version = keep(session, whose, original, &mut IdSource::Os).await?;
    let target = Target {
        version,
        received: None,
        idempotency_key,
    };
    give_to(session, actor, request, &target, Some(quoted)).await
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
    };
    give_to(session, actor, request, &target, None).await
}

/// What a pledge is given for.
struct Target<'a> {
    version: VersionId,
    received: Option<RequestId>,
    idempotency_key: Option<&'a str>,
}

async fn give_to(
    session: &Session,
    actor: &Actor,
    request: &Request<'_>,
    target: &Target<'_>,
    mut quoted: Option<Box<(Answer, Floor)>>,
) -> Result<PledgeDocument, WorkshopError> {
    actor.must_be_of(request.team)?;
    let (store, region) = session.writable()?;
    let names = session.terrain.names();
    let mut ids = IdSource::Os;
    for _ in 0..TRIES {
        // A quote just made holds if nobody was faster, and the store sees to that.
        let (answer, floor) = match quoted.take() {
            Some(quoted) => *quoted,
            None => {
                let floor = session.floor().await?;
                (answer(session, request, (&floor, true))?, floor)
            }
        };
        let mut plates = floor.plates.clone();
        plates.extend(answer.plates.iter().cloned());
        if let Some(violation) = new_violation(session, &floor, &plates, &answer.plan)? {
            return Err(WorkshopError::PlanRefused(violation));
        }
        keep_estimates(session, request, target.version, &answer.plates, &mut ids).await?;
        let new = new_pledge(session, actor, request, target, answer)?;
        match store
            .give(region, &new, &names, &mut ids, session.now)
            .await
        {
            Ok(given) => return Ok(PledgeDocument::from_text(&given.pledge.document)?),
            Err(StoreError::Stale { .. }) => {}
            Err(error) => return Err(error.into()),
        }
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

/// Keeps what one copy of each part takes on every class that could make it; what is there stays.
async fn keep_estimates(
    session: &Session,
    request: &Request<'_>,
    version: VersionId,
    plates: &[Plate],
    ids: &mut IdSource,
) -> Result<(), WorkshopError> {
    let (store, region) = session.writable()?;
    let makings = plates.iter().flat_map(|plate| &plate.makings);
    let codes: BTreeSet<&String> = makings
        .map(|making| &session.terrain.classes[making.printer.0])
        .collect();
    for class in codes
        .into_iter()
        .filter_map(|code| session.catalogue.class(code))
    {
        for (i, part) in request.parts.iter().enumerate() {
            let key = EstimateKey {
                version,
                orientation: format!("part {}: {}", i + 1, part.standing.name),
                sheet: request.process.key(),
                class: class.code.clone(),
                engine: ENGINE.to_owned(),
            };
            if store.estimate(region, &key).await?.is_none() {
                let took = stored(&timed(part, request.process, class)?);
                store
                    .keep_estimate(region, &key, &took.to_text()?, ids, session.now)
                    .await?;
            }
        }
    }
    Ok(())
}

fn stored(took: &Estimate) -> StoredEstimate {
    StoredEstimate {
        schema: 1,
        layers: took.layer_s.len(),
        print_time_s: took.print_time_s,
        warmup_s: took.warmup_s,
        filament_mm: took.filament_mm,
        mass_g: took.mass_g,
        walls_mm: took.walls_mm,
        skins_mm: took.skins_mm,
        infill_mm: took.infill_mm,
        support_mm: took.support_mm,
        support_g: took.support_g,
        p10_s: took.spread.p10_s,
        p90_s: took.spread.p90_s,
    }
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
        plan: answer.plan,
        arrival: Minute(document.arrival_min),
        place: document.place.clone(),
        probability: document.probability,
        document: document.to_text()?,
    })
}

/// Where a request goes, and the ways to make it.
fn menu(
    session: &Session,
    request: &Request<'_>,
    (floor, layouts): (&Floor, &Layouts),
) -> Result<(PlaceIx, Vec<Way>), WorkshopError> {
    let to = session.terrain.place_of(request.team)?;
    let order = Order {
        parts: request.parts,
        copies: request.copies,
        process: request.process,
        to,
        release: session.minute() + PREPARE,
        next_seq: floor.next_seq,
        wish: Wish {
            need_by: request.need_by,
            turn: floor.given.get(request.team).copied().unwrap_or(0),
            ..Wish::default()
        },
    };
    Ok((to, ways_on(session, &order, layouts)?))
}

/// A quote on a floor; `otherwise` asks too what the team could change to have it earlier.
fn answer(
    session: &Session,
    request: &Request<'_>,
    (floor, otherwise): (&Floor, bool),
) -> Result<Answer, WorkshopError> {
    let now = session.minute();
    let layouts = Layouts::default();
    let (to, ways) = menu(session, request, (floor, &layouts))?;
    if ways.is_empty() {
        let material = request.process.material.code.clone();
        return Err(partpledge_planning::NoQuote::NoPrinter { material }.into());
    }
    let ground = Ground::new(&session.terrain.region);
    let ask = Ask {
        ways,
        level: LEVEL,
        now,
        seed: request.seed,
        worlds: WORLDS,
    };
    let known: Vec<Plate> = floor.past.iter().chain(&floor.plates).cloned().collect();
    let quote = quote(&ground, &known, &floor.plan, &ask)?;
    let mut plan = floor.plan.clone();
    quote.assignments.iter().for_each(|place| plan.put(*place));
    let promise = promise(&quote);
    let plates = ask.ways[quote.way].plates.iter().cloned();
    let plates = plates
        .map(|plate| Plate {
            promise: Some(promise),
            ..plate
        })
        .collect();
    let mut document = document(session, request, &ask, &quote, floor.revision);
    document
        .reasons
        .splice(0..0, binding(session, floor, &ask, &quote));
    if otherwise {
        let question = Otherwise {
            session,
            request,
            floor,
            known: &known,
            to,
            layouts: &layouts,
            ways: &ask.ways,
            arrival: Some(quote.arrival),
        };
        document.alternatives.splice(0..0, question.all());
    }
    Ok(Answer {
        document,
        plates,
        plan,
        revision: floor.revision,
    })
}

/// What binds the plate that comes last.
fn binding(session: &Session, floor: &Floor, ask: &Ask, quote: &Quote) -> Option<String> {
    let slots = quote.assignments.iter();
    let last = slots.max_by_key(|a| (a.arrives, a.plate))?;
    let mut plates = ask.ways[quote.way].plates.iter();
    let plate = plates.find(|plate| plate.seq == last.plate)?;
    binding::sentence(session, floor, (plate, &quote.reasons))
}

fn document(
    session: &Session,
    request: &Request<'_>,
    ask: &Ask,
    quote: &Quote,
    revision: i64,
) -> PledgeDocument {
    let terrain = &session.terrain;
    let way: &Way = &ask.ways[quote.way];
    let place = way
        .plates
        .first()
        .map_or("", |plate| terrain.region.places[plate.to.0].name.as_str());
    let plates = way
        .plates
        .iter()
        .zip(&quote.assignments)
        .map(|(plate, slot)| PledgedPlate {
            plate: plate.seq.0,
            host: terrain.host_at(slot.printer, slot.start).to_owned(),
            printer: terrain.region.printers[slot.printer.0].name.clone(),
            copies: plate.copies,
            start_min: slot.start.0,
            end_min: slot.end.0,
            arrives_min: slot.arrives.0,
            takes_min: plate
                .makings
                .iter()
                .find(|m| m.printer == slot.printer)
                .map(|making| (making.nominal.0, making.reserved.0)),
        });
    let mut reasons: Vec<String> = quote
        .reasons
        .iter()
        .map(|r| words::reason(terrain, r))
        .collect();
    if let Some(need_by) = request.need_by.filter(|by| *by < quote.arrival) {
        reasons.insert(
            0,
            format!(
                "You asked for {}; that can't be promised.",
                terrain.zone.short(need_by)
            ),
        );
    }
    PledgeDocument {
        schema: 1,
        team: request.team.to_owned(),
        part: request.part.to_owned(),
        copies: request.copies,
        material: request.process.material.code.clone(),
        arrival_min: quote.arrival.0,
        probability: quote.probability,
        nominal_min: quote.nominal.0,
        place: place.to_owned(),
        plates: plates.collect(),
        legs: legs(session, way, &quote.assignments),
        reasons,
        alternatives: quote
            .alternatives
            .iter()
            .map(|other| PledgedAlternative {
                kind: "way".to_owned(),
                what: words::alternative(terrain, ask, other),
                arrival_min: other.arrival.0,
                probability: other.probability,
            })
            .collect(),
        asked_min: ask.now.0,
        expires_min: (ask.now + STANDS).0,
        plan_revision: revision,
    }
}

/// The departures that the boxes take if nothing goes wrong, each once.
fn legs(session: &Session, way: &Way, slots: &[Assignment]) -> Vec<PledgedLeg> {
    let region = &session.terrain.region;
    let ground = Ground::new(region);
    let mut out: Vec<PledgedLeg> = Vec::new();
    for (plate, slot) in way.plates.iter().zip(slots) {
        let site = ground.stand_at(slot.printer, slot.start).site;
        let mut best: Option<(&Leg, &Departure)> = None;
        for leg in region
            .legs
            .iter()
            .filter(|leg| leg.from == site && leg.to == plate.to)
        {
            for departure in leg.departures.iter().filter(|d| d.leaves >= slot.ready) {
                if best.is_none_or(|(_, b)| {
                    (departure.arrives, departure.leaves) < (b.arrives, b.leaves)
                }) {
                    best = Some((leg, departure));
                }
            }
        }
        let Some((leg, departure)) = best else {
            continue;
        };
        let kind = match leg.kind {
            LegKind::Counter => "counter",
            LegKind::Courier => "courier",
            LegKind::Meeting => "meeting",
        };
        let found = PledgedLeg {
            kind: kind.to_owned(),
            from: region.sites[site.0].name.clone(),
            to: region.places[plate.to.0].name.clone(),
            leaves_min: departure.leaves.0,
            arrives_min: departure.arrives.0,
        };
        if !out.contains(&found) {
            out.push(found);
        }
    }
    out
}
