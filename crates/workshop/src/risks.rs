//! Promises at risk: how sure each open pledge is now, why, and what could be done about it.

use std::collections::BTreeMap;

use partpledge_planning::{Ground, Outlook, forecast};
use partpledge_planning_model::{Assignment, Plan, Plate, PlateSeq};
use partpledge_records::ListedRequest;
use partpledge_units::ids::RequestId;
use partpledge_units::time::{EventMs, Minute};
use rayon::prelude::*;

use crate::actor::Actor;
use crate::bench::{Act, Done, Good, PEOPLE_LEAVE};
use crate::books::{Books, Promised};
use crate::boxes::MissedLeg;
use crate::doubts::Doubt;
use crate::error::WorkshopError;
use crate::pledging::LEVEL;
use crate::replanning::late_in;
use crate::session::Session;

mod because;
mod causes;
mod choosing;
mod quiet;

pub use causes::{cause, no_word};
use choosing::Chooser;
pub use quiet::{Quiet, quiet};

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
    /// A plate of it should be done by then, nine times in ten, and nobody has taken it off the bed.
    NotOff {
        /// Which.
        plate: u64,
        /// Where.
        printer: String,
        /// Since when.
        since: Minute,
    },
    /// A plate of it ran when people left, and nobody has said what became of it.
    NotTold {
        /// Which.
        plate: u64,
        /// Where.
        printer: String,
        /// When people left.
        since: Minute,
    },
    /// Copies came off the bed that were not good.
    Scrap {
        /// From which plate.
        plate: u64,
    },
    /// Somebody has said of a box of it that it is not there, and nobody has decided about it.
    BoxInDoubt {
        /// What is in it.
        share: u64,
        /// What was said.
        why: Doubt,
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
    /// All of it is in boxes that its team may hold, its time has passed, and nobody has said that it came.
    NoWord,
    /// Another's plate is where one of its own was to be.
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
    /// Why, where something on record says so.
    pub cause: Option<Cause>,
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
