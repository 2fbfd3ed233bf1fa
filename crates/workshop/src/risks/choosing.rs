//! What could be done about a pledge at risk.

use std::sync::OnceLock;

use partpledge_planning::{Ask, Ground, Outlook, Standing, Way, propose, quote};
use partpledge_planning_model::{Plan, Plate, PlateSeq};
use partpledge_records::{ListedRequest, PlateState};
use partpledge_units::ids::RequestId;

use super::causes::doomed;
use super::{Choice, MOVES, WORLDS, WORTH, known, outcome};
use crate::bench::stopped_now;
use crate::books::{Books, Promised};
use crate::plan_room::checked;
use crate::replanning::{Replanned, late_in};
use crate::session::Session;

/// Looks for changes that make a pledge surer; what all pledges share is worked out once.
pub(super) struct Chooser<'a> {
    session: &'a Session,
    books: &'a Books,
    pub(super) ground: Ground<'a>,
    known: Vec<Plate>,
    /// A plan in which others may move too, if it harms nobody.
    together: OnceLock<Option<Plan>>,
}

impl<'a> Chooser<'a> {
    pub(super) fn new(session: &'a Session, books: &'a Books) -> Self {
        Self {
            session,
            books,
            ground: Ground::new(&session.terrain.region),
            known: known(books),
            together: OnceLock::new(),
        }
    }

    /// The best change found: other places for this pledge alone, else a plan in which others move
    /// too and still hold.
    pub(super) fn choice(
        &self,
        listed: &ListedRequest,
        promised: &Promised,
        chance: f64,
    ) -> Option<Choice> {
        let id = listed.request.id;
        if let Some(rescue) = self.rescue(listed, promised, chance) {
            return Some(rescue);
        }
        let open = self
            .books
            .plates_of(id)
            .filter(|kept| kept.state == PlateState::Open && !self.books.runs(kept));
        let mut own: Vec<Plate> = open
            .filter_map(|kept| self.books.whole(kept).cloned())
            .collect();
        own.dedup_by_key(|plate| plate.seq);
        if own.is_empty() {
            return None;
        }
        let better = |plan| self.better(&own, listed, promised, (chance, plan));
        let harmless =
            |choice: &Choice| harmless(self.session, &self.ground, self.books, &choice.plan);
        let alone = self.alone(&own).and_then(better).filter(harmless);
        alone.or_else(|| self.together().cloned().and_then(better))
    }

    /// A run that won't be done when people leave, stopped now and made again, if that is worth it and
    /// breaks no promise that holds.
    fn rescue(&self, listed: &ListedRequest, promised: &Promised, chance: f64) -> Option<Choice> {
        let (session, books) = (self.session, self.books);
        let id = listed.request.id;
        let mut runs = books.plates_of(id);
        let kept = runs.find(|kept| doomed(session, &self.ground, books, kept).is_some())?;
        let stops = kept.on();
        let (again, Replanned { plan, moved, late }) = stopped_now(session, books, kept)?;
        let before = late_in(&self.ground, &books.floor.plates, &books.floor.plan);
        if late
            .iter()
            .any(|seq| *seq != again.seq && !before.contains(seq))
        {
            return None;
        }
        let place = *plan.of(again.seq)?;
        let mut plates = standing_in(books, session, &self.ground, id, &plan);
        for (plate, stands) in plates.iter_mut().filter(|(plate, _)| plate.seq == stops) {
            *plate = &again;
            *stands = Standing::Planned(Some(place));
        }
        let outlook = Outlook {
            plates,
            ..books.outlook(session, &self.ground, id, WORLDS)
        };
        let then = outcome(&self.ground, &self.known, &plan, &outlook, promised).chance;
        (then > chance + WORTH).then_some(Choice {
            chance: then,
            place,
            moved,
            plan,
            stops: Some(stops),
        })
    }

    /// What a plan would do for a pledge, if that is worth a move.
    fn better(
        &self,
        own: &[Plate],
        listed: &ListedRequest,
        promised: &Promised,
        (chance, plan): (f64, Plan),
    ) -> Option<Choice> {
        let (session, books) = (self.session, self.books);
        let id = listed.request.id;
        let place = own.iter().filter_map(|plate| plan.of(plate.seq));
        let place = *place.max_by_key(|place| (place.arrives, place.plate))?;
        let outlook = Outlook {
            plates: standing_in(books, session, &self.ground, id, &plan),
            ..books.outlook(session, &self.ground, id, WORLDS)
        };
        let then = outcome(&self.ground, &self.known, &plan, &outlook, promised).chance;
        let moved = moved(&books.floor.plan, &plan, own);
        (then > chance + WORTH && !moved.is_empty()).then_some(Choice {
            chance: then,
            place,
            moved,
            plan,
            stops: None,
        })
    }

    /// Other places for these plates; all else stays.
    fn alone(&self, own: &[Plate]) -> Option<Plan> {
        let mut plan = self.books.floor.plan.clone();
        plan.assignments
            .retain(|place| own.iter().all(|plate| plate.seq != place.plate));
        let ask = Ask {
            ways: vec![Way {
                label: String::new(),
                plates: own.to_vec(),
            }],
            level: 0.5,
            now: self.session.minute(),
            seed: 1,
            worlds: WORLDS,
        };
        let found = quote(&self.ground, &self.known, &plan, &ask).ok()?;
        for place in &found.assignments {
            plan.put(*place);
        }
        Some(plan)
    }

    fn together(&self) -> Option<&Plan> {
        let made = self.together.get_or_init(|| {
            let now = self.session.minute();
            let mut before = self.books.floor.plan.clone();
            for place in &mut before.assignments {
                let kept = self.books.plate(place.plate.0);
                place.frozen |= kept.is_some_and(|kept| self.books.runs(kept));
            }
            let plates = &self.books.floor.plates;
            let plan = propose(&self.ground, plates, &before, now, MOVES).plan;
            harmless(self.session, &self.ground, self.books, &plan).then_some(plan)
        });
        made.as_ref()
    }
}

/// Whether a plan breaks nothing that the present one keeps.
fn harmless(session: &Session, ground: &Ground<'_>, books: &Books, plan: &Plan) -> bool {
    let floor = &books.floor;
    let (before, after) = (
        late_in(ground, &floor.plates, &floor.plan),
        late_in(ground, &floor.plates, plan),
    );
    let new_late = after.iter().any(|seq| !before.contains(seq));
    // Overdue plates may leave their places: nobody started them.
    let mut stayed = floor.plan.clone();
    stayed.assignments.retain(|place| {
        let kept = books.plate(place.plate.0);
        kept.is_some_and(|kept| books.runs(kept))
    });
    let faults = |plan: &Plan| checked(session, &floor.plates, plan, &stayed).unwrap_or_default();
    let old = faults(&floor.plan);
    let fine = faults(plan)
        .iter()
        .all(|fault| fault.misses_a_promise() || old.contains(fault));
    !new_late && fine
}

fn standing_in<'a>(
    books: &'a Books,
    session: &Session,
    ground: &Ground<'_>,
    request: RequestId,
    plan: &Plan,
) -> Vec<(&'a Plate, Standing)> {
    let mut standing = books.standing(session, ground, request);
    for (plate, stands) in &mut standing {
        if matches!(stands, Standing::Planned(_)) {
            *stands = Standing::Planned(plan.of(plate.seq).copied());
        }
    }
    standing
}

/// Plates with another place, the pledge's own first.
fn moved(before: &Plan, after: &Plan, own: &[Plate]) -> Vec<PlateSeq> {
    let changed = after.assignments.iter().filter(|place| {
        let old = before.of(place.plate);
        old.is_none_or(|old| (old.printer, old.start) != (place.printer, place.start))
    });
    let mut moved: Vec<PlateSeq> = changed.map(|place| place.plate).collect();
    moved.sort_by_key(|seq| (own.iter().all(|plate| plate.seq != *seq), *seq));
    moved
}
