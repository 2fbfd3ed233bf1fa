//! Promises at risk: how sure each open pledge is now, why, and what could be done about it.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use partpledge_planning::{
    Ask, Ground, Outlook, Standing, Way, forecast, lost_when_left, must_stop, propose, quote,
};
use partpledge_planning_model::{Assignment, Plan, Plate, PlateSeq};
use partpledge_records::{KeptPlate, ListedRequest, PlateState, StepKind};
use partpledge_units::ids::RequestId;
use partpledge_units::time::{EventMs, Minute};
use rayon::prelude::*;

use crate::actor::Actor;
use crate::bench::{Act, Done, Good, PEOPLE_LEAVE, stopped_now};
use crate::books::{Books, Promised};
use crate::boxes::{MissedLeg, missed};
use crate::doubts::{Doubt, made_again};
use crate::error::WorkshopError;
use crate::plan_room::checked;
use crate::pledging::LEVEL;
use crate::replanning::{Replanned, late_in};
use crate::session::Session;

mod because;

/// A pledge less sure than this is at risk. Between it and the 9 in 10 of a pledge lies what a few
/// hundred simulated worlds can't tell apart.
pub const AT_RISK: f64 = 0.85;
/// Worlds played for each pledge.
const WORLDS: u64 = 200;
/// Moves tried when nothing simpler helps.
const MOVES: usize = 2_000;
/// A move must make a pledge surer by this to be offered.
const WORTH: f64 = 0.05;

/// How an open pledge stands.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// Chance that it is kept.
    pub chance: f64,
    /// When it should come: nine worlds in ten have it by then; at the latest when promised, as long as the
    /// pledge is not at risk.
    pub likely: Option<Minute>,
}

impl Outcome {
    /// Whether somebody should do something.
    #[must_use]
    pub fn at_risk(&self) -> bool {
        self.chance < AT_RISK
    }
}

/// Why a pledge is at risk.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Cause {
    /// A plate of it failed.
    Failed {
        /// Which.
        plate: u64,
        /// Where.
        printer: String,
        /// Why.
        reason: String,
        /// When.
        at: EventMs,
    },
    /// A printer that it was planned on can't be used.
    PrinterOut {
        /// Which.
        printer: String,
        /// Why.
        reason: String,
    },
    /// A school is closed where it was to be made or handed over.
    Closed {
        /// The school's name.
        school: String,
        /// Why.
        reason: String,
    },
    /// A plate of it runs, won't be done when people leave, and may not run alone.
    MustStop {
        /// Which.
        plate: u64,
        /// Where.
        printer: String,
        /// When people leave.
        at: Minute,
    },
    /// A plate of it was not started when planned.
    NotStarted {
        /// Which.
        plate: u64,
        /// Since when.
        since: Minute,
    },
    /// A plate of it runs longer than it should.
    RunsLong {
        /// Which.
        plate: u64,
        /// Where.
        printer: String,
    },
    /// Copies came off the bed that were not good.
    Scrap {
        /// From which plate.
        plate: u64,
    },
    /// A box of it was lost, or had the wrong parts in it, and is made again.
    BoxAgain {
        /// What was in it.
        share: u64,
        /// What was wrong with it.
        why: Doubt,
    },
    /// A box of it did not go.
    MissedLeg(MissedLeg),
    /// Its box waits, or the time has passed and nobody has said that it came.
    NoWord,
    /// Nothing of its own: others went before it.
    Crowded,
}

/// A change of plan that would make it surer.
#[derive(Clone, Debug)]
pub struct Choice {
    /// The plan.
    pub plan: Plan,
    /// Chance that the pledge is kept then.
    pub chance: f64,
    /// Where its last plate goes.
    pub place: Assignment,
    /// Plates that get another place, those of the pledge first.
    pub moved: Vec<PlateSeq>,
    /// A run that is stopped for it now, and made again.
    pub stops: Option<PlateSeq>,
}

/// A pledge at risk.
#[derive(Clone, Debug)]
pub struct Risk<'a> {
    /// The request.
    pub listed: &'a ListedRequest,
    /// Its pledge.
    pub promised: &'a Promised,
    /// How it stands.
    pub outcome: Outcome,
    /// Why.
    pub cause: Cause,
    /// What could be done, if something is found.
    pub choice: Option<Choice>,
}

/// How every open pledge stands.
#[must_use]
pub fn outcomes(session: &Session, books: &Books) -> BTreeMap<RequestId, Outcome> {
    let ground = Ground::new(&session.terrain.region);
    let known = known(books);
    let open = books.open_pledges();
    // Each is its own play; how many threads share them changes nothing.
    open.into_par_iter()
        .map(|(listed, promised)| {
            let id = listed.request.id;
            let outlook = books.outlook(session, &ground, id, WORLDS);
            (
                id,
                outcome(&ground, &known, &books.floor.plan, &outlook, promised),
            )
        })
        .collect()
}

/// How one open pledge stands.
#[must_use]
pub fn outcome_of(session: &Session, books: &Books, request: RequestId) -> Option<Outcome> {
    let promised = books.pledge_of(request).filter(|p| p.end.is_none())?;
    let ground = Ground::new(&session.terrain.region);
    let outlook = books.outlook(session, &ground, request, WORLDS);
    let plan = &books.floor.plan;
    Some(outcome(&ground, &known(books), plan, &outlook, promised))
}

/// Everything planned or asked for lately.
fn known(books: &Books) -> Vec<Plate> {
    let floor = &books.floor;
    floor.past.iter().chain(&floor.plates).cloned().collect()
}

fn outcome(
    ground: &Ground<'_>,
    known: &[Plate],
    plan: &Plan,
    outlook: &Outlook<'_>,
    promised: &Promised,
) -> Outcome {
    let seen = forecast(ground, known, plan, outlook);
    let mut out = Outcome {
        chance: seen.chance_by(promised.pledge.arrival),
        likely: seen.by(LEVEL).or(seen.middle),
    };
    if !out.at_risk() {
        // A hair under nine in ten, and nine in ten is only the next round: that would deny the promise.
        out.likely = out.likely.map(|at| at.min(promised.pledge.arrival));
    }
    out
}

/// The pledges at risk, least sure first, each with its cause and a choice if one helps.
#[must_use]
pub fn risks<'a>(
    session: &Session,
    books: &'a Books,
    outcomes: &BTreeMap<RequestId, Outcome>,
) -> Vec<Risk<'a>> {
    let chooser = Chooser::new(session, books);
    let open = books.open_pledges().into_par_iter();
    let at_risk = open.filter_map(|(listed, promised)| {
        let outcome = outcomes.get(&listed.request.id)?;
        outcome.at_risk().then(|| Risk {
            listed,
            promised,
            outcome: outcome.clone(),
            cause: cause(session, books, listed),
            choice: chooser.choice(listed, promised, outcome.chance),
        })
    });
    let mut found: Vec<Risk<'a>> = at_risk.collect();
    found.sort_by(|a, b| {
        let by_chance = a.outcome.chance.total_cmp(&b.outcome.chance);
        by_chance.then(a.listed.request.number.cmp(&b.listed.request.number))
    });
    found
}

/// Why the promise of a request does not hold as it was given.
#[must_use]
pub fn cause(session: &Session, books: &Books, listed: &ListedRequest) -> Cause {
    let now = session.minute();
    let own: Vec<u64> = books
        .plates_of(listed.request.id)
        .map(|kept| kept.plate.seq.0)
        .collect();
    let lost = books.floor.steps.iter().rev();
    let printed: Vec<u64> = books
        .plates_of(listed.request.id)
        .map(|kept| kept.on().0)
        .collect();
    let mut lost = lost.filter(|step| printed.contains(&step.plate));
    if let Some(step) = lost.find(|step| step.kind == StepKind::Failed) {
        return Cause::Failed {
            plate: step.plate,
            printer: step.printer.clone(),
            reason: step.reason.clone().unwrap_or_default(),
            at: step.at,
        };
    }
    if let Some(found) = closed(session, books, listed) {
        return found;
    }
    for kept in books.plates_of(listed.request.id) {
        if kept.state != PlateState::Open {
            continue;
        }
        let place = books.place(kept);
        if let Some(at) = doomed(session, &Ground::new(&session.terrain.region), books, kept) {
            let printer = crate::plate_room::printer_of(session, books, kept);
            return Cause::MustStop {
                plate: kept.on().0,
                printer: printer.unwrap_or_default(),
                at,
            };
        }
        if books.runs(kept) {
            if place.is_some_and(|place| place.end <= now) {
                let printer = crate::plate_room::printer_of(session, books, kept);
                let printer = printer.unwrap_or_default();
                return Cause::RunsLong {
                    plate: kept.on().0,
                    printer,
                };
            }
        } else if let Some(place) = place.filter(|place| place.start < now) {
            return Cause::NotStarted {
                plate: kept.on().0,
                since: place.start,
            };
        }
    }
    if let Some(found) = box_trouble(books, listed) {
        return found;
    }
    if let Some(found) = printer_out(session, books, listed, now) {
        return found;
    }
    if own
        .iter()
        .any(|seq| books.step(*seq, StepKind::Off).is_some())
    {
        let scrap = own.iter().find(|seq| {
            let off = books.step(**seq, StepKind::Off).is_some();
            let kept = books.plate(**seq).filter(|_| off);
            // Those that are made again have gone to another plate.
            kept.is_some_and(|kept| {
                let left = books.copies_on(kept).count();
                left < usize::try_from(kept.plate.copies).unwrap_or(left)
            })
        });
        return scrap.map_or(Cause::NoWord, |seq| Cause::Scrap { plate: *seq });
    }
    let promised = books.pledge_of(listed.request.id);
    let begun = |seq: &u64| books.step(*seq, StepKind::Started).is_some();
    if promised.is_some_and(|promised| promised.pledge.arrival < now) && own.iter().any(begun) {
        return Cause::NoWord;
    }
    first_not_started(books, listed).unwrap_or(Cause::Crowded)
}

/// A box that is made again, the last first, or that did not go.
fn box_trouble(books: &Books, listed: &ListedRequest) -> Option<Cause> {
    let kept: Vec<&KeptPlate> = books.plates_of(listed.request.id).collect();
    let again = kept.iter().rev();
    let mut again = again.filter_map(|kept| Some((kept.plate.seq.0, made_again(books, kept)?)));
    if let Some((share, why)) = again.next() {
        return Some(Cause::BoxAgain { share, why });
    }
    let waits = |kept: &KeptPlate| books.step(kept.plate.seq.0, StepKind::HandedOver).is_none();
    let mut missed = (kept.iter()).filter_map(|kept| missed(books, kept).filter(|_| waits(kept)));
    missed.next().map(Cause::MissedLeg)
}

fn printer_out(
    session: &Session,
    books: &Books,
    listed: &ListedRequest,
    now: Minute,
) -> Option<Cause> {
    let promised = books.pledge_of(listed.request.id)?;
    let mut outages = session.outages.iter().filter(|outage| outage.until > now);
    let planned = &promised.document.plates;
    outages
        .find(|outage| planned.iter().any(|plate| plate.printer == outage.printer))
        .map(|outage| Cause::PrinterOut {
            printer: outage.printer.clone(),
            reason: outage.reason.clone(),
        })
}

/// When people leave while a plate runs that won't be done by then, and may not run alone.
fn doomed(
    session: &Session,
    ground: &Ground<'_>,
    books: &Books,
    kept: &KeptPlate,
) -> Option<Minute> {
    let running = books.running().into_iter();
    let (_, start, printer) = running.into_iter().find(|(seq, ..)| *seq == kept.on())?;
    let printer = session.terrain.printer_of(&printer)?;
    let mut makings = books.whole(kept)?.makings.iter();
    let making = makings.find(|making| making.printer == printer)?;
    let lost = lost_when_left(ground, making, start);
    must_stop(ground, making, start).filter(|_| lost)
}

/// A closure of a school where something of it was to be started, taken off or handed over, or runs.
/// Whoever promised it knew of none.
fn closed(session: &Session, books: &Books, listed: &ListedRequest) -> Option<Cause> {
    let terrain = &session.terrain;
    let ground = Ground::new(&terrain.region);
    let planned = &books.pledge_of(listed.request.id)?.document.plates;
    let mut times: Vec<(String, Minute)> = Vec::new();
    for kept in books.plates_of(listed.request.id) {
        let seq = kept.plate.seq.0;
        let to = terrain.file.schools.get(kept.plate.to.0);
        let Some(plate) = planned.iter().find(|plate| plate.plate == seq) else {
            continue;
        };
        if books.step(seq, StepKind::HandedOver).is_some() {
            continue;
        }
        times.extend(to.map(|to| (to.code.clone(), Minute(plate.arrives_min))));
        let printer = terrain.printer_of(&plate.printer);
        let site = printer.map(|p| terrain.region.printers[p.0].site_at(Minute(plate.start_min)));
        let host = site.and_then(|site| terrain.file.hosts.get(site.0));
        let Some(host) = host.filter(|_| kept.state == PlateState::Open) else {
            continue;
        };
        let stops = doomed(session, &ground, books, kept);
        let begins = Minute(plate.start_min);
        let begins = (!books.runs(kept)).then_some(begins);
        let at = [begins, Some(Minute(plate.end_min)), stops];
        times.extend(at.into_iter().flatten().map(|at| (host.school.clone(), at)));
    }
    let mut closures = session.closures.iter().map(|kept| &kept.closure);
    let found = closures.find(|closure| {
        let hit = |(school, at): &(String, Minute)| {
            closure.schools.contains(school) && closure.from <= *at && *at < closure.until
        };
        times.iter().any(hit)
    })?;
    let hit = |school: &&String| times.iter().any(|(one, _)| one == *school);
    let code = found.schools.iter().find(hit)?;
    Some(Cause::Closed {
        school: terrain.file.school(code)?.name.clone(),
        reason: found.reason.clone(),
    })
}

/// A plate whose place was given up because nobody had started it.
fn first_not_started(books: &Books, listed: &ListedRequest) -> Option<Cause> {
    let promised = books.pledge_of(listed.request.id)?;
    let planned = promised.document.plates.iter();
    let mut moved = planned.filter(|plate| {
        if books.step(plate.plate, StepKind::Started).is_some() {
            return false;
        }
        let place = books.floor.plan.of(PlateSeq(plate.plate));
        place.is_some_and(|place| place.start > Minute(plate.start_min))
    });
    moved.next().map(|plate| Cause::NotStarted {
        plate: plate.plate,
        since: Minute(plate.start_min),
    })
}

/// Looks for changes that make a pledge surer; what all pledges share is worked out once.
struct Chooser<'a> {
    session: &'a Session,
    books: &'a Books,
    ground: Ground<'a>,
    known: Vec<Plate>,
    /// A plan in which others may move too, if it harms nobody.
    together: OnceLock<Option<Plan>>,
}

impl<'a> Chooser<'a> {
    fn new(session: &'a Session, books: &'a Books) -> Self {
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
    fn choice(&self, listed: &ListedRequest, promised: &Promised, chance: f64) -> Option<Choice> {
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

/// Takes the choice that was offered for a pledge, if the plan is still the one it was offered on;
/// what that comes to.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for anybody but the coordinator;
/// [`WorkshopError::Store`] when the plan has moved, or there is nothing to choose any more.
pub async fn take(
    session: &Session,
    actor: &Actor,
    (number, revision): (i64, i64),
    key: Option<&str>,
) -> Result<Done, WorkshopError> {
    actor.must_coordinate()?;
    let books = Books::open(session).await?;
    let current = books.floor.revision;
    let stale = partpledge_records::StoreError::Stale {
        expected: revision,
        current,
    };
    if current != revision {
        return Err(stale.into());
    }
    let listed = books.numbered(number);
    let with = listed.and_then(|listed| Some((listed, books.pledge_of(listed.request.id)?)));
    let Some((listed, promised)) = with else {
        return Err(stale.into());
    };
    let chance = outcome_of(session, &books, listed.request.id).map_or(1.0, |o| o.chance);
    let chooser = Chooser::new(session, &books);
    let Some(choice) = chooser.choice(listed, promised, chance) else {
        return Err(stale.into());
    };
    if let Some(plate) = choice.stops {
        let (reason, good) = (PEOPLE_LEAVE.to_owned(), Good::default());
        let act = Act::Fail {
            reason,
            good,
            out_until: None,
        };
        return crate::bench::act(session, actor, plate.0, &act, key).await;
    }
    let done = Done {
        before: false,
        late: late_in(&chooser.ground, &books.floor.plates, &choice.plan),
        moved: choice.moved,
    };
    let reason = partpledge_words::said!("promises-plan-better", number = number);
    crate::bench::adopt(session, actor, &books, (choice.plan, reason), key).await?;
    Ok(done)
}
