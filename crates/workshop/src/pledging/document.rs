//! A quote written down: what the team reads, and what is kept for ever.

use partpledge_planning::{Alternative, Ask, Ground, Quote, Ride, Stop, Way, journey};
use partpledge_planning_model::{Assignment, Region};
use partpledge_records::Floor;
use partpledge_records::stored::{PledgeDocument, PledgedAlternative, PledgedLeg, PledgedPlate};
use partpledge_units::time::Minutes;
use partpledge_words::dates::Form;
use partpledge_words::{Said, said};

use super::{Request, binding as bound};
use crate::session::Session;
use crate::words;

/// How long a quote stands.
const STANDS: Minutes = Minutes(60);

pub(super) fn alternative(session: &Session, ask: &Ask, other: &Alternative) -> PledgedAlternative {
    PledgedAlternative {
        kind: "way".to_owned(),
        what: words::alternative(&session.terrain, ask, other),
        arrival_min: other.arrival.0,
        probability: other.probability,
        change: None,
    }
}

/// What binds the plate that comes last.
pub(super) fn binding(session: &Session, floor: &Floor, ask: &Ask, quote: &Quote) -> Option<Said> {
    let slots = quote.assignments.iter();
    let last = slots.max_by_key(|a| (a.arrives, a.plate))?;
    let mut plates = ask.ways[quote.way].plates.iter();
    let plate = plates.find(|plate| plate.seq == last.plate)?;
    bound::sentence(session, floor, (plate, &quote.reasons))
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
    let mut reasons: Vec<Said> = quote
        .reasons
        .iter()
        .map(|r| words::reason(terrain, r))
        .collect();
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
        place: place.to_owned(),
        plates: plates.collect(),
        legs: legs(session, way, &quote.assignments),
        reasons,
        alternatives: quote
            .alternatives
            .iter()
            .map(|other| alternative(session, ask, other))
            .collect(),
        asked_min: ask.now.0,
        expires_min: (ask.now + STANDS).0,
        plan_revision: revision,
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
            let found = written(region, &ride);
            if !out.contains(&found) {
                out.push(found);
            }
        }
    }
    out
}

fn written(region: &Region, ride: &Ride) -> PledgedLeg {
    let kind = ride.kind.word();
    let from = match ride.from {
        Stop::Site(site) => &region.sites[site.0].name,
        Stop::Place(place) => &region.places[place.0].name,
    };
    PledgedLeg {
        kind: kind.to_owned(),
        from: from.clone(),
        to: region.places[ride.to.0].name.clone(),
        leaves_min: ride.departure.leaves.0,
        arrives_min: ride.departure.arrives.0,
    }
}
