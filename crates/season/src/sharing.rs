//! Copies that go on a plate of others which is planned and not started, by the product's own rule
//! ([`partpledge_planning::join`]); how large and long the plate gets is worked out roughly.

use std::collections::BTreeMap;

use partpledge_planning::join::grown;
use partpledge_planning::quote::promise;
use partpledge_planning::{Ask, Ground, Join, Joinable, Quote, quote_joined};
use partpledge_planning_model::{Assignment, Footprint, Making, Plate, PlateSeq};
use partpledge_units::time::{Minute, Minutes};

use crate::beliefs::Beliefs;
use crate::floor::Floor;
use crate::scenario::Shared;

/// A place on somebody's plate.
pub(crate) struct Joined {
    /// The plate as it will be, the request its last rider, with what is promised.
    pub(crate) plate: Plate,
    /// Its place in the plan.
    pub(crate) place: Assignment,
    /// What can be promised.
    pub(crate) quote: Quote,
}

/// Who is on which plates.
#[derive(Default)]
pub(crate) struct Riders {
    /// Requests on each plate, in the order in which they came on it.
    on: BTreeMap<PlateSeq, Vec<usize>>,
    /// Plates of each request.
    of: BTreeMap<usize, Vec<PlateSeq>>,
}

impl Riders {
    /// A request goes on these plates.
    pub(crate) fn put(&mut self, request: usize, plates: &[PlateSeq]) {
        for plate in plates {
            self.on.entry(*plate).or_default().push(request);
        }
        self.of.entry(request).or_default().extend(plates);
    }

    /// Requests on a plate, first come first.
    pub(crate) fn on(&self, plate: PlateSeq) -> &[usize] {
        self.on.get(&plate).map_or(&[], Vec::as_slice)
    }

    /// Plates of a request.
    pub(crate) fn of(&self, request: usize) -> &[PlateSeq] {
        self.of.get(&request).map_or(&[], Vec::as_slice)
    }

    /// For each request on a plate, whether nothing else of it is still to be printed.
    fn alone_on(&self, floor: &Floor<'_>, plate: PlateSeq) -> Vec<bool> {
        let done = |other: &PlateSeq| *other == plate || floor.handed_over.contains_key(other);
        let requests = self.on(plate).iter();
        requests.map(|r| self.of(*r).iter().all(done)).collect()
    }
}

/// The place on another's plate that is handed over first, if that is no later than `by`.
pub(crate) fn on_anothers(
    shared: &Shared,
    (floor, riders): (&Floor<'_>, &Riders),
    (ground, beliefs): (&Ground<'_>, &mut Beliefs),
    (ask, by): (&Ask, Minute),
) -> Option<Joined> {
    let one = ask.ways.iter().find(|way| way.plates.len() == 1)?;
    let alone = &one.plates[0];
    let from = ask.now + shared.prepare;
    let open = floor.plates.iter();
    let mut search = Joinable::among(ground, &floor.plan, open, alone, (from, by));
    while let Some(whole) = search.next_plate() {
        let mut share = alone.clone();
        share.makings = together(ground, whole, alone, shared.warm_up);
        beliefs.expect(&mut share, true);
        let join = Join {
            plate: grown(whole, &share),
            alone: riders.alone_on(floor, whole.seq),
            level: ask.level,
            now: ask.now,
            seed: ask.seed,
            worlds: shared.worlds,
        };
        let found = quote_joined(ground, &floor.plates, &floor.plan, &join);
        if let Some((quote, place)) = found {
            let mut plate = join.plate;
            if let Some(last) = plate.riders.last_mut() {
                last.promise = Some(promise(&quote));
            }
            search.offer(
                quote.arrival,
                Joined {
                    plate,
                    place,
                    quote,
                },
            );
        }
    }
    search.best()
}

/// Both on one plate, on the printers that hold it: worked out only.
fn together(ground: &Ground<'_>, whole: &Plate, own: &Plate, warm_up: Minutes) -> Vec<Making> {
    let both = |there: &Making| {
        let more = own.makings.iter().find(|m| m.printer == there.printer)?;
        let Minutes(sum) = there.worked_out + more.worked_out;
        let worked_out = Minutes((sum - warm_up.0).max(1));
        let making = |footprint| Making::new(there.printer, footprint, worked_out, worked_out);
        let laid = beside(there.footprint, more.footprint).map(making);
        let mut fit = laid.into_iter();
        fit.find(|making| ground.takes(making, &whole.material))
    };
    whole.makings.iter().filter_map(both).collect()
}

/// Two that lie side by side, and one behind the other; the smaller one first.
fn beside(
    Footprint([ax, ay, az]): Footprint,
    Footprint([bx, by, bz]): Footprint,
) -> [Footprint; 2] {
    let high = az.max(bz);
    let mut laid = [[ax + bx, ay.max(by), high], [ax.max(bx), ay + by, high]];
    laid.sort_by(|a, b| (a[0] * a[1]).total_cmp(&(b[0] * b[1])));
    laid.map(Footprint)
}
