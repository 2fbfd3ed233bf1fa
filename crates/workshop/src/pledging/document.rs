//! A quote written down: what the team reads, and what is kept for ever.

use partpledge_planning::{Ask, Ground, Quote, Reason, Ride, Stop, Way, journey};
use partpledge_planning_model::{Assignment, LegKind, PlaceIx};
use partpledge_records::Floor;
use partpledge_records::stored::{PledgeDocument, PledgedLeg, PledgedPlate};
use partpledge_units::time::Minute;
use partpledge_words::dates::Form;
use partpledge_words::{Said, said};

use super::{Request, binding as bound, prepare};
use crate::session::Session;
use crate::terrain::{Terrain, one_of_two};
use crate::words;

/// A quote for plates of its own, with what binds the plate that comes last.
pub(super) fn on_its_own_words(
    session: &Session,
    request: &Request<'_>,
    (floor, ask): (&Floor, &Ask),
    quote: &Quote,
) -> PledgeDocument {
    let mut quote = quote.clone();
    let mut binds = Vec::new();
    let slots = quote.assignments.iter();
    if let Some(last) = slots.max_by_key(|a| (a.arrives, a.plate)).copied() {
        let mut plates = ask.ways[quote.way].plates.iter();
        let plate = plates.find(|plate| plate.seq == last.plate);
        let short = plate.and_then(|plate| bound::short(session, floor, (plate, &quote.reasons)));
        binds.extend(plate.and_then(|plate| bound::closed(session, floor, (plate, &last))));
        binds.extend(bound::travels(session, &last));
        if let Some((says, at)) = short {
            binds.push(says);
            // What is short until then is why it starts then: that is said once.
            let said = |reason: &Reason| matches!(reason, Reason::StartsLater { start, .. } if *start == at);
            quote.reasons.retain(|reason| !said(reason));
        }
    }
    let mut out = document(session, request, ask, &quote, floor.revision);
    out.reasons.splice(0..0, binds);
    out
}

pub(super) fn document(
    session: &Session,
    request: &Request<'_>,
    ask: &Ask,
    quote: &Quote,
    revision: i64,
) -> PledgeDocument {
    let terrain = &session.terrain;
    let way: &Way = &ask.ways[quote.way];
    let legs = legs(session, way, &quote.assignments);
    let to = way.plates.first().map(|plate| plate.to);
    let place = to.map_or_else(String::new, |to| place(terrain, to, (&legs, quote.arrival)));
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
    // Who fetches it at one host asks for that host's printers only.
    let fetched = request.fetch_at.is_some();
    let said = |reason: &&Reason| !(fetched && matches!(reason, Reason::FewPrinters { .. }));
    let reasons = quote.reasons.iter().filter(said);
    let mut reasons: Vec<Said> = reasons.map(|r| words::reason(terrain, r)).collect();
    if let Some(need_by) = request.need_by.filter(|by| *by < quote.arrival) {
        reasons.insert(
            0,
            said!(
                "reasons-asked-for",
                by = terrain.zone.moment(need_by, Form::Short)
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
        place,
        plates: plates.collect(),
        legs,
        reasons,
        alternatives: Vec::new(),
        asked_min: ask.now.0,
        expires_min: stands_until(session, way, quote, ask.now).0,
        plan_revision: revision,
    }
}

/// The last minute at which the first plate could still be prepared for its start. Nothing is kept for
/// anybody: somebody else may be faster.
fn stands_until(session: &Session, way: &Way, quote: &Quote, now: Minute) -> Minute {
    let first = quote.assignments.iter().map(|slot| slot.start).min();
    let prepare = way.plates.first().map(|plate| prepare(session, plate.to));
    let last = first.zip(prepare).map(|(first, prepare)| first - prepare);
    last.map_or(now, |last| last.max(now))
}

/// Where it is handed over: at the team's desk, or at a meeting of the league if it comes by then; both
/// if some of it is handed over at the one and some at the other.
fn place(terrain: &Terrain, to: PlaceIx, (legs, by): (&[PledgedLeg], Minute)) -> String {
    let desk = terrain.region.places[to.0].name.clone();
    let at_desk = terrain.region.legs.iter();
    let at_desk = at_desk.filter(|leg| leg.to == to && leg.kind != LegKind::Meeting);
    let mut at_desk = at_desk.flat_map(|leg| &leg.departures);
    let meeting = terrain.meeting_place(by);
    let last = match meeting {
        Some(meeting) if !at_desk.any(|departure| departure.arrives == by) => meeting,
        _ => desk.clone(),
    };
    let from = |leg: &PledgedLeg| legs.iter().any(|other| other.from == leg.to);
    let ends = legs.iter().filter(|leg| !from(leg)).map(|leg| &leg.to);
    let other = ends.filter(|end| **end != last).min();
    match other {
        Some(other) => one_of_two(&last, other),
        None => last,
    }
}

/// The rides that the boxes take if nothing goes wrong, each once.
fn legs(session: &Session, way: &Way, slots: &[Assignment]) -> Vec<PledgedLeg> {
    let region = &session.terrain.region;
    let ground = Ground::new(region);
    let mut out: Vec<PledgedLeg> = Vec::new();
    for (plate, slot) in way.plates.iter().zip(slots) {
        let site = ground.stand_at(slot.printer, slot.start).site;
        for ride in journey(region, (site, plate.to), slot.ready) {
            let found = written(&session.terrain, &ride);
            if !out.contains(&found) {
                out.push(found);
            }
        }
    }
    out
}

fn written(terrain: &Terrain, ride: &Ride) -> PledgedLeg {
    let region = &terrain.region;
    let kind = ride.kind.word();
    let arrives = ride.departure.arrives;
    let meeting = (ride.kind == LegKind::Meeting).then(|| terrain.meeting_place(arrives));
    let desk = || region.places[ride.to.0].name.clone();
    let from = match ride.from {
        Stop::Site(site) => &region.sites[site.0].name,
        Stop::Place(place) => &region.places[place.0].name,
    };
    PledgedLeg {
        kind: kind.to_owned(),
        from: from.clone(),
        to: meeting.flatten().unwrap_or_else(desk),
        leaves_min: ride.departure.leaves.0,
        arrives_min: arrives.0,
    }
}
