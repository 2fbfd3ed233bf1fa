//! Why a request of a hub was not handed over in time: the first thing that went wrong with it.

use std::collections::BTreeMap;

use partpledge_records::{Event, KeptPlate, PlateState, State, StepKind, Store, StoreError};
use partpledge_units::ids::{RegionId, RequestId};
use partpledge_units::time::{EventMs, Minute};
use partpledge_words::say;

use crate::bench::reason_says;
use crate::books::{Books, Promised};
use crate::plate_room::printer_of;
use crate::session::Session;

/// What kept something from being good, or in time.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    /// A run failed, for that reason.
    Failed(String),
    /// Copies were found not good when they were inspected.
    NotGood,
    /// A plate was not started when it was planned.
    NotStarted,
    /// The printer was out of use.
    PrinterOut,
    /// The school was closed, for that reason.
    Closed(String),
    /// The box did not go with the leg that should have taken it.
    MissedLeg,
    /// A printer took longer than was thought.
    Slow,
    /// Nothing of that is on record.
    NotKnown,
}

impl Cause {
    /// In plain words.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Failed(reason) => reason_says(reason),
            Self::NotGood => say!("hub-cause-not-good"),
            Self::NotStarted => say!("hub-cause-not-started"),
            Self::PrinterOut => say!("hub-cause-printer-out"),
            Self::Closed(reason) => say!("hub-cause-closed", reason = reason),
            Self::MissedLeg => say!("hub-cause-missed-leg"),
            Self::Slow => say!("hub-cause-slow"),
            Self::NotKnown => say!("hub-cause-not-known"),
        }
    }

    /// A stable word for programs.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::Failed(_) => "failed",
            Self::NotGood => "not-good",
            Self::NotStarted => "not-started",
            Self::PrinterOut => "printer-out",
            Self::Closed(_) => "closed",
            Self::MissedLeg => "missed-leg",
            Self::Slow => "slow",
            Self::NotKnown => "not-known",
        }
    }
}

/// Entries of the log with plates that are made again.
const MADE_AGAIN: [&str; 5] = [
    "run.off",
    "run.failed",
    "copy.scrapped",
    "box.made-again",
    "recall.checked",
];

/// What the log says that stands nowhere else.
pub(super) struct Happened {
    /// When a plate was not started that should have been.
    not_started: BTreeMap<u64, EventMs>,
    /// When a box missed a leg.
    missed: BTreeMap<u64, EventMs>,
    /// Plates that were made again, for what was lost.
    pub(super) again: Vec<u64>,
}

impl Happened {
    pub(super) async fn read(store: &Store, region: RegionId) -> Result<Self, StoreError> {
        let first = |events: &[(i64, Event)], name: &str| {
            let mut out: BTreeMap<u64, EventMs> = BTreeMap::new();
            for (_, event) in events {
                for plate in event.numbers(name) {
                    out.entry(plate).or_insert(event.occurred_at);
                }
            }
            out
        };
        let caught_up = store.events_of_kind(region, "plan.caught-up").await?;
        let missed = store.events_of_kind(region, "box.missed-leg").await?;
        let mut again = Vec::new();
        for kind in MADE_AGAIN {
            let events = store.events_of_kind(region, kind).await?;
            again.extend(
                events
                    .iter()
                    .flat_map(|(_, event)| event.numbers("reprints")),
            );
        }
        again.sort_unstable();
        Ok(Self {
            not_started: first(&caught_up, "plates"),
            missed: first(&missed, "plate"),
            again,
        })
    }

    /// The first thing that went wrong with a request between its promise and now.
    pub(super) fn cause(
        &self,
        session: &Session,
        books: &Books,
        (code, request, promised): (&str, RequestId, &Promised),
    ) -> Cause {
        let given = promised.pledge.recorded_at;
        let plates: Vec<&KeptPlate> = books.plates_of(request).collect();
        let mut all: Vec<(EventMs, Cause)> = Vec::new();
        for kept in &plates {
            all.extend(self.of_plate(session, books, kept));
        }
        let late = promised.pledge.arrival;
        // What was closed before the promise was given was reckoned with.
        let told = session.closures.iter().filter(|kept| kept.at >= given);
        for kept in told.map(|kept| &kept.closure) {
            let here = kept.schools.iter().any(|school| school == code);
            if here && kept.from < late && kept.until.to_ms() > given {
                let cause = Cause::Closed(kept.reason.clone());
                all.push((kept.from.to_ms(), cause));
            }
        }
        all.retain(|(at, cause)| *at >= given || matches!(cause, Cause::Closed(_)));
        all.sort_by_key(|(at, _)| *at);
        let first = all.into_iter().next().map(|(_, cause)| cause);
        let made = |kept: &&KeptPlate| kept.state == PlateState::Off;
        first.unwrap_or_else(|| {
            if plates.iter().any(made) {
                Cause::Slow
            } else {
                Cause::NotKnown
            }
        })
    }

    fn of_plate(
        &self,
        session: &Session,
        books: &Books,
        kept: &KeptPlate,
    ) -> Vec<(EventMs, Cause)> {
        let (share, seq) = (kept.plate.seq.0, kept.on().0);
        let step = |kind| books.step(share, kind);
        let mut out = Vec::new();
        if let Some(failed) = step(StepKind::Failed) {
            let reason = failed.reason.clone();
            let cause = Cause::Failed(reason.unwrap_or_else(|| "It failed".to_owned()));
            out.push((failed.at, cause));
        } else if let Some(off) = step(StepKind::Off)
            && off.good.is_some_and(|good| good < whole(books, kept))
            && has_bad(books, kept)
        {
            out.push((off.at, Cause::NotGood));
        }
        let told = |all: &BTreeMap<u64, EventMs>, plate: u64| all.get(&plate).copied();
        out.extend(told(&self.not_started, seq).map(|at| (at, Cause::NotStarted)));
        out.extend(told(&self.missed, share).map(|at| (at, Cause::MissedLeg)));
        let printer = printer_of(session, books, kept).unwrap_or_default();
        let begun = step(StepKind::Started).map(|step| Minute::at_or_after(step.at));
        let waits = |from: Minute| begun.is_none_or(|begun| from <= begun);
        let own = session.outages.iter();
        let its = |name: &str| session.terrain.is_same_machine(name, &printer);
        let own = own.filter(|outage| its(&outage.printer) && waits(outage.from));
        out.extend(own.map(|outage| (outage.from.to_ms(), Cause::PrinterOut)));
        out
    }
}

/// Copies of everybody on a plate, as it was laid out.
fn whole(books: &Books, kept: &KeptPlate) -> u32 {
    books.company(kept).iter().map(|row| row.plate.copies).sum()
}

/// Whether some of a share's own copies were not good when the plate came off, if not all of the plate
/// were: they are on another plate by now, or wait for rework. Where nobody else is on it, they must be
/// its own.
fn has_bad(books: &Books, kept: &KeptPlate) -> bool {
    let own = books.copies_on(kept);
    let fine = own.filter(|copy| copy.state != State::Rework).count();
    let all = usize::try_from(kept.plate.copies).unwrap_or(usize::MAX);
    books.company(kept).len() == 1 || fine < all
}
