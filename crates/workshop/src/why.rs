//! Why a plate is here and now, and what would have to change for a late one: planning's reasons in words.

mod words;

use std::collections::BTreeMap;

use partpledge_planning::Ground;
use partpledge_planning::explain::{Explained, Explainer, Keeping, would_keep};
use partpledge_planning_model::{Assignment, PlaceIx, Plan, Plate, PlateSeq, Promise};
use partpledge_records::{KeptPlate, PlateState};
use partpledge_units::ids::RequestId;
use partpledge_units::time::Minute;

use crate::actor::Actor;
use crate::books::Books;
use crate::session::Session;

/// Moves tried when no single change keeps a promise.
const MOVES: usize = 400;

/// Why a plate is where it is, in words for each who asks.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PlateWhy {
    /// One line for the bench; empty when it starts at once.
    pub short: String,
    /// Why on this printer, and why not earlier there, in order of time.
    pub here: Vec<String>,
    /// Why no other printer is earlier; printers with the same reason stand together.
    pub others: Vec<String>,
    /// The same for whoever waits for the part: no numbers of other plates.
    pub student: Vec<String>,
    /// How late it is, if it is planned later than promised or nowhere.
    pub late: Option<String>,
    /// Changes that would each keep the promise, smallest first.
    pub would_keep: Vec<String>,
}

/// Why one plate is where it is, in the plan on record. `None` for one that
/// runs or is done, and for an actor to whom plates are not shown.
#[must_use]
pub fn of_plate(
    session: &Session,
    actor: &Actor,
    books: &Books,
    seq: PlateSeq,
) -> Option<PlateWhy> {
    actor.must_see_plates().ok()?;
    let kept = books.plate(seq.0)?;
    if books.whole(kept).is_none() || books.runs(kept) {
        return None;
    }
    let ground = Ground::new(&session.terrain.region);
    let floor = &books.floor;
    Reasons::new(session, &ground, (&floor.plates, &floor.plan)).of(seq)
}

/// Why each plate of a plan that can still go elsewhere is where it is, by number; nothing for
/// an actor to whom plates are not shown.
#[must_use]
pub fn of_plan(
    session: &Session,
    actor: &Actor,
    (plates, plan): (&[Plate], &Plan),
) -> BTreeMap<u64, PlateWhy> {
    if actor.must_see_plates().is_err() {
        return BTreeMap::new();
    }
    let ground = Ground::new(&session.terrain.region);
    let reasons = Reasons::new(session, &ground, (plates, plan));
    let all = plates.iter();
    all.filter_map(|plate| Some((plate.seq.0, reasons.of(plate.seq)?)))
        .collect()
}

/// One line for the bench on each of these plates, by number; see [`PlateWhy::short`].
#[must_use]
pub fn shorts(
    session: &Session,
    actor: &Actor,
    books: &Books,
    plates: impl Iterator<Item = u64>,
) -> BTreeMap<u64, String> {
    if actor.must_see_plates().is_err() {
        return BTreeMap::new();
    }
    let ground = Ground::new(&session.terrain.region);
    let floor = &books.floor;
    let reasons = Reasons::new(session, &ground, (&floor.plates, &floor.plan));
    plates
        .map(|seq| (seq, reasons.short(PlateSeq(seq))))
        .collect()
}

/// Why the open part of a request comes when it comes, for whoever waits for it: of the plate that
/// comes last and can still be placed. Empty when all of it runs or is done.
#[must_use]
pub fn for_request(
    session: &Session,
    actor: &Actor,
    books: &Books,
    request: RequestId,
) -> Vec<String> {
    let listed = books.request(request);
    let seen = |team: &str| actor.must_see_part_of(team).is_ok();
    if !listed.is_some_and(|listed| seen(&listed.request.team)) {
        return Vec::new();
    }
    let floor = &books.floor;
    let waits = books
        .plates_of(request)
        .filter(|kept| kept.state == PlateState::Open && !books.runs(kept));
    let ground = Ground::new(&session.terrain.region);
    let waits = waits.map(|kept| (kept, books.own_place(&ground, kept)));
    let comes = |(kept, place): &(&KeptPlate, Option<Assignment>)| {
        let arrives = place.map_or(Minute(i64::MAX), |place| place.arrives);
        (arrives, kept.plate.seq)
    };
    let Some((last, place)) = waits.max_by_key(comes) else {
        return Vec::new();
    };
    let reasons = Reasons::new(session, &ground, (&floor.plates, &floor.plan));
    let why = reasons.seen(books.seen(last), place.as_ref());
    why.map_or_else(Vec::new, |why| why.student)
}

/// Explains the plates of one plan.
#[derive(Debug)]
pub struct Reasons<'a> {
    session: &'a Session,
    ground: &'a Ground<'a>,
    plates: &'a [Plate],
    plan: &'a Plan,
    explainer: Explainer<'a>,
}

impl<'a> Reasons<'a> {
    /// Of a plan as it stands now, on the session's ground. Reads only.
    #[must_use]
    pub fn new(
        session: &'a Session,
        ground: &'a Ground<'a>,
        (plates, plan): (&'a [Plate], &'a Plan),
    ) -> Self {
        let explainer = Explainer::new(ground, plates, plan, session.minute());
        Self {
            session,
            ground,
            plates,
            plan,
            explainer,
        }
    }

    /// One line for the bench: what a plate waits for last; empty when it starts at once.
    #[must_use]
    pub fn short(&self, seq: PlateSeq) -> String {
        let plate = self.plates.iter().find(|plate| plate.seq == seq);
        let with = plate.zip(self.plan.of(seq));
        let told = with.and_then(|(plate, place)| {
            let told = self.explainer.explain(plate, place)?;
            Some(words::short(&self.session.terrain, place, &told.holds))
        });
        told.unwrap_or_default()
    }

    /// Why a plate is where it is. `None` for one that is not among the plates, or that runs:
    /// nothing of it can be chosen any more.
    #[must_use]
    pub fn of(&self, seq: PlateSeq) -> Option<PlateWhy> {
        self.seen(self.whole(seq)?, self.plan.of(seq))
    }

    fn whole(&self, seq: PlateSeq) -> Option<&'a Plate> {
        self.plates.iter().find(|plate| plate.seq == seq)
    }

    /// The same for one request on the plate, with its own hand-over.
    fn seen(&self, plate: &Plate, place: Option<&Assignment>) -> Option<PlateWhy> {
        let told: Option<(&Assignment, Explained)> = match place {
            Some(place) => Some((place, self.explainer.explain(plate, place)?)),
            None => None,
        };
        let missed = self.missed(plate, place);
        let keeping: Vec<Keeping> = if missed.is_some() {
            let look = (self.session.minute(), MOVES);
            // Whatever is changed for one is changed for all that is on the plate.
            let whole = self.whole(plate.seq).unwrap_or(plate);
            would_keep(self.ground, self.plates, self.plan, whole, look)
        } else {
            Vec::new()
        };
        Some(words::why(
            self.session,
            (plate, missed),
            told.as_ref(),
            &keeping,
        ))
    }

    /// The earliest promise about a plate that a place breaks, or having none.
    fn missed(&self, plate: &Plate, place: Option<&Assignment>) -> Option<Missed> {
        let region = self.ground;
        let of = |(to, promise): (PlaceIx, Promise)| {
            let arrives = place.and_then(|place| {
                let site = region.stand_at(place.printer, place.start).site;
                region.arrival(site, to, place.ready)
            });
            let kept = arrives.is_some_and(|arrives| arrives <= promise.arrival);
            let by = promise.arrival;
            (!kept).then_some(Missed { to, by, arrives })
        };
        let missed = plate.promises().filter_map(of);
        missed.min_by_key(|missed| missed.by)
    }
}

/// A promise that the plan does not keep.
#[derive(Clone, Copy, Debug)]
struct Missed {
    /// Where it was promised to.
    to: PlaceIx,
    /// By when.
    by: Minute,
    /// When it comes as planned, if it does.
    arrives: Option<Minute>,
}
