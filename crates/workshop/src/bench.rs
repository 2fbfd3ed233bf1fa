//! What people do at the bench and with their boxes, each deed done once, on disk, and planned with.
//!
//! Every deed works on the books as they are, makes the plan anew where it must, and writes all of
//! it in one transaction. Whoever was slower looks again and tries again.

mod closing;
mod declined;
mod doubting;
mod draft;
mod ended;
mod fed;
mod handing;
mod inspection;
mod machine;
mod printers;
mod program;
mod reasons;
mod recalling;
mod region_file;
mod resized;
pub mod spools;
mod stopping;
mod told;
mod undo;
mod unmade;

use std::collections::BTreeMap;

use partpledge_planning_model::{Plan, PlateSeq};
use partpledge_records::{
    Happening, KeptPlate, NewNote, PledgeEnd, Said, State, StepKind, StoreError, StoredCopy,
};
use partpledge_units::ids::{IdSource, RequestId};
use partpledge_units::time::Minute;
use partpledge_words::said;

use crate::actor::Actor;
use crate::books::Books;
use crate::boxes::{self, Hitch, Stop};
use crate::doubts::Doubt;
use crate::error::WorkshopError;
use crate::hub::looked_at_later;
use crate::measuring::EachMeasured;
use crate::replanning::{GRACE, Replanned};
use crate::review::Decline;
use crate::session::Session;

pub use closing::{close, lift};
pub use doubting::{decide_box, doubt_box};
use draft::{Draft, and_moved};
pub use handing::Shown;
use inspection::Count;
pub use inspection::{Each, Found, Settled};
pub(crate) use machine::{by_machine, machine_says};
pub use printers::{printer_back, printer_out, printer_undone, undone_of};
pub(crate) use program::program_received;
pub(crate) use reasons::reason_clause;
pub use reasons::{DRIFTED, OUT_REASONS, PEOPLE_LEAVE, PRINTER_REASONS, REASONS, reason_says};
pub use recalling::{answer_recall, lift_recall, recall, recall_and_stop};
pub use region_file::{Changed, change_region, replace_region};
pub(crate) use resized::made_in_wrong_unit;
pub(crate) use stopping::stopped_now;
pub use told::{AHEAD_MS, OLDEST_MS, Told, done_at};
pub use undo::{UNDO_MS, take_back};
pub(crate) use unmade::spare_not_made;

/// Tries when others change the plan at the same time.
const TRIES: u32 = 20;

/// Something that people do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Act {
    /// The plate runs now.
    Start,
    /// The first layer looks good.
    Look,
    /// Off the bed; so many copies are good.
    TakeOff {
        /// Good copies.
        good: Good,
    },
    /// Off the bed; every copy was looked at.
    Inspect {
        /// What was found.
        each: Each,
        /// What was measured, where there are critical dimensions.
        measured: EachMeasured,
    },
    /// A copy that was held or recalled is good or scrap.
    Settle(Settled),
    /// It failed.
    Fail {
        /// Why, in a few words.
        reason: String,
        /// Copies that are good all the same.
        good: Good,
        /// Until when the printer can't be used; `None` when it can go on.
        out_until: Option<Minute>,
    },
    /// The printer can't be used until then; a plate that waits for it goes elsewhere.
    PutOut {
        /// Why, in a few words.
        reason: String,
        /// Until when.
        until: Minute,
    },
    /// The host does not make it; it goes to another.
    Decline {
        /// Why, from our list.
        why: Decline,
        /// Why, in words.
        words: String,
    },
    /// The copies are in their box.
    Box,
    /// The box has left, or was handed over the counter.
    Leave,
    /// The team has its box.
    HandOver(Shown),
    /// The box did not go with the leg that should have taken it.
    MissLeg {
        /// When that leg left, as the sender knew it: said twice of one leg, it counts once.
        leaves: Minute,
        /// Why, from our list.
        why: Hitch,
    },
    /// The box is lost, or has the wrong parts in it; the coordinator decides.
    Doubt(Doubt),
    /// Its recalled copies were checked, all of them that the team does not have.
    Check {
        /// What they were checked for: the code of what was asked, empty for what was asked first.
        about: String,
        /// Whether they are good; otherwise they are made again.
        good: bool,
    },
}

/// How many copies are good, of each request that has some on the plate.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Good {
    /// Of the first; the only one, on most plates.
    pub first: u32,
    /// Of those that joined the plate, by the number of their share.
    pub others: BTreeMap<u64, u32>,
}

impl Good {
    /// Whether there is one at all.
    #[must_use]
    pub fn any(&self) -> bool {
        self.first > 0 || self.others.values().any(|many| *many > 0)
    }
}

impl From<u32> for Good {
    fn from(first: u32) -> Self {
        Self {
            first,
            others: BTreeMap::new(),
        }
    }
}

impl Act {
    /// What must have been done with the plate before. Out of order, a step would be on record
    /// for nothing, and could not be taken when its time has come.
    fn comes_after(&self) -> Option<StepKind> {
        match self {
            Self::Start | Self::PutOut { .. } | Self::Decline { .. } => None,
            Self::Look | Self::TakeOff { .. } | Self::Inspect { .. } | Self::Fail { .. } => {
                Some(StepKind::Started)
            }
            Self::Box | Self::Settle(_) | Self::Check { .. } => Some(StepKind::Off),
            Self::Leave | Self::HandOver(_) | Self::MissLeg { .. } | Self::Doubt(_) => {
                Some(StepKind::Boxed)
            }
        }
    }
}

/// What a deed came to.
#[derive(Clone, Debug, Default)]
pub struct Done {
    /// Whether it was done before (the same key).
    pub before: bool,
    /// Plates that were given another place.
    pub moved: Vec<PlateSeq>,
    /// Plates that will come later than promised.
    pub late: Vec<PlateSeq>,
}

/// A deed at the bench; `told` is its key, or all that its sender says.
///
/// # Errors
/// [`WorkshopError::NotAllowed`] for another bench's plate; [`WorkshopError::WrongTime`],
/// [`WorkshopError::CalledBack`], [`WorkshopError::TooEarly`]; [`WorkshopError::NotGood`] and
/// [`WorkshopError::MustMeasure`] for critical dimensions; [`WorkshopError::NobodyMay`] at a bench
/// that students run; [`WorkshopError::Store`] for what
/// can't be done any more, [`WorkshopError::Unknown`] for a plate
/// that is not there, [`WorkshopError::PlanRefused`], [`WorkshopError::Contended`].
pub async fn act(
    session: &Session,
    actor: &Actor,
    plate: u64,
    what: &Act,
    told: impl Into<Told<'_>>,
) -> Result<Done, WorkshopError> {
    let told: Told<'_> = told.into();
    let mut tries = Tries::of(session);
    loop {
        let (session, books) = tries.look().await?;
        let kept = books.plate(plate).ok_or_else(|| no_plate(plate))?;
        let kept = books.speaks_for(kept).clone();
        actor.must_see_plates()?;
        // Sent again, it may look wrong by now because of that very deed.
        if known(session, told.key).await? {
            return Ok(Done::known());
        }
        let draft = Draft::new(session, actor, &books, told.key);
        let draft = draft.told(actor, (&kept, what), &told).await?;
        if *what == Act::Start && draft.printer_was_faster(&kept).await? {
            return Ok(Done::known());
        }
        if let Some(first) = what.comes_after()
            && books.step(plate, first).is_none()
        {
            return Err(WorkshopError::TooEarly { plate, first });
        }
        must_not_be_stopped(&books, &kept, what)?;
        let seen = (&books, &kept, what);
        let done_then = (draft.printer.as_deref(), draft.deed.occurred_at);
        let to_look = looked_at_later(session, actor, seen, done_then).await?;
        let (mut happening, done) = match what {
            Act::Start => draft.start(&kept)?,
            Act::Look => draft.look(&kept),
            Act::TakeOff { good } => draft.ended(&kept, &Count::Number(good), None, None).await?,
            Act::Inspect { each, measured } => {
                let count = Count::Each(each, measured);
                draft.ended(&kept, &count, None, None).await?
            }
            Act::Check { about, good } => {
                draft.checked_at_bench(actor, &kept, (about, *good)).await?
            }
            Act::Settle(settled) => draft.settled(&kept, settled).await?,
            Act::Fail {
                reason,
                good,
                out_until,
            } => {
                let (reason, out_until) = (Some(reason.as_str()), *out_until);
                let count = Count::Number(good);
                draft.ended(&kept, &count, reason, out_until).await?
            }
            Act::PutOut { reason, until } => draft.put_out(&kept, reason, *until)?,
            Act::Box if books.held(&kept).next().is_some() => {
                return Err(WorkshopError::Held { plate });
            }
            Act::Decline { why, words } => draft.declined(&kept, (*why, words)).await?,
            Act::Box if nothing_to_box(&books, &kept) => {
                return Err(WorkshopError::NothingGood { plate });
            }
            Act::Box => draft.boxed(&kept)?,
            Act::Leave => draft.left(&kept),
            Act::HandOver(shown) => draft.handed(actor, &kept, shown).await?,
            Act::MissLeg { leaves, why } => draft.missed(&kept, (*leaves, *why)).await?,
            Act::Doubt(why) => match draft.doubted(&kept, *why)? {
                Some(happening) => (happening, Done::default()),
                None => return Ok(Done::known()),
            },
        };
        happening.to_look = to_look;
        if let Some(done) = write(session, &happening, done).await? {
            return Ok(done);
        }
    }
}

/// Refused for a box that stays where it is: its part was taken down, or copies in it are to be checked.
fn must_not_be_stopped(books: &Books, kept: &KeptPlate, what: &Act) -> Result<(), WorkshopError> {
    let plate = kept.plate.seq.0;
    let moves = matches!(what, Act::Leave | Act::HandOver(_) | Act::MissLeg { .. });
    match boxes::stopped(books, kept) {
        Some(Stop::Down) if moves || *what == Act::Box => Err(WorkshopError::BoxDown { plate }),
        Some(Stop::Recalled) if moves || *what == Act::Box => {
            Err(WorkshopError::BoxRecalled { plate })
        }
        _ => Ok(()),
    }
}

/// Whether none of its copies is good, or in its box already: they are on another plate by now.
fn nothing_to_box(books: &Books, kept: &KeptPlate) -> bool {
    let good = |copy: &StoredCopy| matches!(copy.state, State::Inspected | State::Boxed);
    !books.copies_on(kept).any(good)
}

/// The team holds its copies: the pledge is kept, or broken if it is later than was promised. Recalled
/// copies that have not left stay where they are.
///
/// # Errors
/// [`WorkshopError::BoxRecalled`] when nothing else is there; as [`act`].
pub async fn hold(
    session: &Session,
    actor: &Actor,
    request: RequestId,
    key: Option<&str>,
) -> Result<Done, WorkshopError> {
    let mut tries = Tries::of(session);
    loop {
        let (session, books) = tries.look().await?;
        of_its_team(actor, &books, request)?;
        if let Some(listed) = books.request(request)
            && books.taken_down(&listed.request)
        {
            let number = listed.request.number;
            return Err(WorkshopError::TakenDown { number });
        }
        let here = |copy: &StoredCopy| copy.state != State::HandedOver;
        let mut recalled = books.plates_of(request);
        if books.may_be_held(request).is_empty()
            && !known(session, key).await?
            && let Some(kept) = recalled.find(|kept| books.recalled_on(kept).any(here))
        {
            let plate = kept.plate.seq.0;
            return Err(WorkshopError::BoxRecalled { plate });
        }
        let happening = Draft::new(session, actor, &books, key).held(request);
        if let Some(done) = write(session, &happening, Done::default()).await? {
            return Ok(done);
        }
    }
}

/// A request is called back, or another takes its place. What was planned for it makes room.
///
/// # Errors
/// [`WorkshopError::Store`] when something of it has been started; as [`act`] otherwise.
pub async fn end_request(
    session: &Session,
    actor: &Actor,
    request: RequestId,
    end_with: PledgeEnd,
    key: Option<&str>,
) -> Result<(), WorkshopError> {
    let books = Books::open(session).await?;
    of_its_team(actor, &books, request)?;
    end(session, actor, request, end_with, key).await
}

/// Ends a request for somebody whose right to do so was looked at.
pub(crate) async fn end(
    session: &Session,
    actor: &Actor,
    request: RequestId,
    end: PledgeEnd,
    key: Option<&str>,
) -> Result<(), WorkshopError> {
    let mut tries = Tries::of(session);
    loop {
        let (session, books) = tries.look().await?;
        if !books.may_withdraw(request) && !known(session, key).await? {
            let from = State::Running;
            let to = State::Withdrawn;
            return Err(StoreError::NoSuchStep { from, to }.into());
        }
        let draft = Draft::new(session, actor, &books, key);
        let (happening, done) = draft.withdrawn(request, end)?;
        if write(session, &happening, done).await?.is_some() {
            return Ok(());
        }
    }
}

/// The coordinator takes a request down, whatever its state.
pub(crate) async fn take_down(
    session: &Session,
    actor: &Actor,
    (request, end): (RequestId, PledgeEnd),
    note: &NewNote,
    key: Option<&str>,
) -> Result<(), WorkshopError> {
    let mut tries = Tries::of(session);
    loop {
        let (session, books) = tries.look().await?;
        let draft = Draft::new(session, actor, &books, key);
        let (happening, done) = draft.taken_down(request, end, note)?;
        if write(session, &happening, done).await?.is_some() {
            return Ok(());
        }
    }
}

/// Plates whose start has passed by more than [`GRACE`] get another place. `None` when there was
/// nothing to do.
///
/// # Errors
/// As [`act`].
pub async fn catch_up(session: &Session, actor: &Actor) -> Result<Option<Done>, WorkshopError> {
    actor.must_be_the_clock()?;
    let books = Books::open(session).await?;
    let now = session.minute();
    let overdue: Vec<PlateSeq> = (books.floor.plan.assignments.iter())
        .filter(|place| place.start + GRACE < now && !place.frozen)
        .map(|place| place.plate)
        .filter(|seq| books.plate(seq.0).is_some_and(|kept| !books.runs(kept)))
        .collect();
    let Some(first) = overdue.first() else {
        return Ok(None);
    };
    let draft = Draft::new(session, actor, &books, None);
    let reason = match overdue.len() {
        1 => said!("promises-plan-not-started", plate = first.0),
        n => said!("promises-plan-none-started", plate = first.0, n = n - 1),
    };
    let replanned = draft.replanned(&books.floor.plates, &books.running())?;
    if replanned.plan == books.floor.plan {
        return Ok(None);
    }
    let done = Done::of(&replanned);
    let happening = Happening {
        plan: Some((replanned.plan, and_moved(reason, &done))),
        ..draft.event(
            "plan.caught-up",
            vec![("plates", Said::Numbers(seqs(&overdue)))],
        )
    };
    write(session, &happening, done).await
}

/// A plan that somebody chose is put in place of the present one.
///
/// # Errors
/// [`WorkshopError::Store`] when the plan has moved since; as [`act`] otherwise.
pub async fn adopt(
    session: &Session,
    actor: &Actor,
    books: &Books,
    (plan, reason): (Plan, partpledge_words::Said),
    key: Option<&str>,
) -> Result<(), WorkshopError> {
    actor.must_coordinate()?;
    let draft = Draft::new(session, actor, books, key);
    let happening = Happening {
        plan: Some((plan, reason)),
        ..draft.event("plan.chosen", Vec::new())
    };
    let (store, region) = session.writable()?;
    let names = session.terrain.names();
    store
        .happen(region, &happening, &names, &mut IdSource::Os)
        .await?;
    Ok(())
}

/// Whether the request is of the actor's team.
fn of_its_team(actor: &Actor, books: &Books, request: RequestId) -> Result<(), WorkshopError> {
    let listed = books.request(request).ok_or(WorkshopError::NotYours)?;
    actor.must_be_of(&listed.request.team)
}

/// The books, and a session that is no older than they, if the given one is: what was closed, put out
/// or changed since would be missed with it.
async fn looked(session: &Session) -> Result<(Option<Session>, Books), WorkshopError> {
    let mut newer: Option<Session> = None;
    for _ in 0..TRIES {
        let now = newer.as_ref().unwrap_or(session);
        if now.is_newest().await? {
            let books = Books::open(now).await?;
            if now.is_as_new(&books.floor) {
                return Ok((newer, books));
            }
        }
        newer = Some(session.at(session.now).await?);
    }
    Err(WorkshopError::Contended(TRIES))
}

/// The books as they are by now, and again as long as somebody else is faster with writing.
pub(super) struct Tries<'a> {
    session: &'a Session,
    /// Boxed, since every deed's future has one in it.
    newer: Option<Box<Session>>,
    left: u32,
}

impl<'a> Tries<'a> {
    pub(super) fn of(session: &'a Session) -> Self {
        let (newer, left) = (None, TRIES);
        Self {
            session,
            newer,
            left,
        }
    }

    /// Looks once more; with the session as [`looked`] has it.
    pub(super) async fn look(&mut self) -> Result<(&Session, Books), WorkshopError> {
        let left = self.left.checked_sub(1);
        self.left = left.ok_or(WorkshopError::Contended(TRIES))?;
        let (newer, books) = looked(self.session).await?;
        self.newer = newer.map(Box::new);
        Ok((self.newer.as_deref().unwrap_or(self.session), books))
    }

    /// The same; nothing when a deed with that key is in the log already.
    pub(super) async fn look_unless(
        &mut self,
        key: Option<&str>,
    ) -> Result<Option<(&Session, Books)>, WorkshopError> {
        let (session, books) = self.look().await?;
        Ok((!known(session, key).await?).then_some((session, books)))
    }
}

/// Writes what happened; `None` when the plan had moved meanwhile.
async fn write(
    session: &Session,
    happening: &Happening,
    done: Done,
) -> Result<Option<Done>, WorkshopError> {
    let (store, region) = session.writable()?;
    let names = session.terrain.names();
    let written = store
        .happen(region, happening, &names, &mut IdSource::Os)
        .await;
    match written {
        Ok(Some(_)) => Ok(Some(done)),
        Ok(None) => Ok(Some(Done::known())),
        Err(
            StoreError::Stale { .. }
            | StoreError::StockMoved { .. }
            | StoreError::NotesMoved { .. },
        ) => Ok(None),
        // Sent again under its key: the steps are there because of that very deed.
        Err(error) if known(session, happening.deed.idempotency_key.as_deref()).await? => {
            drop(error);
            Ok(Some(Done::known()))
        }
        Err(error) => Err(error.into()),
    }
}

/// Whether a deed with that key is in the log.
async fn known(session: &Session, key: Option<&str>) -> Result<bool, WorkshopError> {
    let (store, region) = session.writable()?;
    match key {
        Some(key) => Ok(store.has_key(region, key).await?),
        None => Ok(false),
    }
}

fn no_plate(plate: u64) -> WorkshopError {
    WorkshopError::Store(StoreError::NoSuch {
        what: "plate",
        id: plate.to_string(),
    })
}

fn seqs(plates: &[PlateSeq]) -> Vec<u64> {
    plates.iter().map(|seq| seq.0).collect()
}

impl Done {
    /// Done before.
    fn known() -> Self {
        Self {
            before: true,
            ..Self::default()
        }
    }

    fn of(replanned: &Replanned) -> Self {
        Self {
            before: false,
            moved: replanned.moved.clone(),
            late: replanned.late.clone(),
        }
    }
}
