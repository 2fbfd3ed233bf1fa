//! What the sender of a deed says besides: when it was done, and on which printer.
//!
//! A tablet without a network keeps what was done and sends it later. The rules for such deeds
//! stand in `docs/floor.md`.

use partpledge_planning_model::PrinterIx;
use partpledge_records::{KeptPlate, PlateState, StepKind};
use partpledge_units::time::{EventMs, Minute};

use super::{Act, Draft};
use crate::actor::Actor;
use crate::error::WorkshopError;
use crate::plate_room::printer_of;

/// A tablet's clock may be ahead of ours by so much. Common practice, no source.
pub const AHEAD_MS: i64 = 5 * 60_000;
/// What was done longer ago than this is told to the coordinator instead: others have planned with
/// it as undone for two days. Common practice, no source.
pub const OLDEST_MS: i64 = 2 * 24 * 3_600_000;

/// What the sender of a deed says besides.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Told<'a> {
    /// The sender's key; the same deed sent twice is done once.
    pub key: Option<&'a str>,
    /// When it was done; `None` for now.
    pub done_at: Option<EventMs>,
    /// The printer that the sender's sheet had the plate on; `None` for the one it is planned on now.
    pub printer: Option<&'a str>,
}

impl<'a> From<Option<&'a str>> for Told<'a> {
    fn from(key: Option<&'a str>) -> Self {
        Self {
            key,
            ..Self::default()
        }
    }
}

/// When a deed was done, seen from `now`. A clock that is a little ahead is taken for now.
///
/// # Errors
/// [`WorkshopError::WrongTime`] for what is yet to come or too long ago.
pub fn done_at(told: Option<EventMs>, now: EventMs) -> Result<EventMs, WorkshopError> {
    let at = told.unwrap_or(now);
    if at.0 > now.0.saturating_add(AHEAD_MS) || at.0 < now.0.saturating_sub(OLDEST_MS) {
        return Err(WorkshopError::WrongTime);
    }
    Ok(EventMs(at.0.min(now.0)))
}

impl Draft<'_> {
    /// The minute in which the deed was done.
    pub(super) fn minute(&self) -> Minute {
        Minute::at_or_after(self.deed.occurred_at)
    }

    /// The same deed as it was done: then, and there. A step never stands before the one that it
    /// follows, whatever two tablets' clocks say.
    ///
    /// # Errors
    /// [`WorkshopError::WrongTime`], [`WorkshopError::CalledBack`], [`WorkshopError::NotAllowed`],
    /// [`WorkshopError::OutOfRange`] for a printer that can't make the plate.
    pub(super) async fn told(
        mut self,
        actor: &Actor,
        (kept, what): (&KeptPlate, &Act),
        told: &Told<'_>,
    ) -> Result<Self, WorkshopError> {
        let mut at = done_at(told.done_at, self.session.now)?;
        let first = what.comes_after();
        if let Some(first) = first.and_then(|first| self.books.step(kept.plate.seq.0, first)) {
            at = at.max(first.at);
        }
        let left = self.books.step(kept.plate.seq.0, StepKind::Left);
        if let (Act::HandOver(_), Some(left)) = (what, left) {
            at = at.max(left.at);
        }
        self.deed.occurred_at = at;
        if kept.state == PlateState::Withdrawn {
            let plate = kept.plate.seq.0;
            return Err(WorkshopError::CalledBack { plate });
        }
        let planned = printer_of(self.session, self.books, kept);
        let names_one = matches!(what, Act::Start | Act::PutOut { .. });
        match told.printer.filter(|_| names_one) {
            Some(named) if planned.as_deref() != Some(named) => {
                let printer = self.was_there(kept, named).await?;
                actor.must_work_with(self.session, printer, self.minute())?;
                self.printer = Some(named.to_owned());
            }
            // The school that a box goes to can only look into one that is on its way to it.
            _ if matches!(what, Act::HandOver(_) | Act::Doubt(_))
                || (matches!(what, Act::Check { .. }) && left.is_some()) =>
            {
                actor.must_hand_over(self.session, self.books, kept)?;
            }
            _ => actor.must_work_at(self.session, self.books, kept)?,
        }
        Ok(self)
    }

    /// The printer that a plate was planned on when it was started, though it has another place by
    /// now: what people did is the truth, and the plan follows.
    pub(super) async fn was_there(
        &self,
        kept: &KeptPlate,
        named: &str,
    ) -> Result<PrinterIx, WorkshopError> {
        let (store, region) = self.session.writable()?;
        let since = EventMs(self.deed.occurred_at.0 - OLDEST_MS);
        let planned = store.was_planned(region, (kept.on(), named), since);
        let (what, range) = ("the printer", "one that the plate was planned on");
        let refused = WorkshopError::OutOfRange { what, range };
        if !planned.await? {
            return Err(refused);
        }
        let printer = self.session.terrain.printer_of(named).ok_or(refused)?;
        Ok(printer)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_is_taken_from_two_days_ago_until_now() {
        let now = EventMs(1_800_000_000_000);
        let at = |ms: i64| done_at(Some(EventMs(now.0 + ms)), now).map(|at| at.0 - now.0);
        assert_eq!(done_at(None, now).unwrap(), now);
        assert_eq!(at(-3_600_000).unwrap(), -3_600_000);
        assert_eq!(at(-OLDEST_MS).unwrap(), -OLDEST_MS);
        assert_eq!(at(AHEAD_MS).unwrap(), 0, "a clock that is ahead");
        for wrong in [AHEAD_MS + 1, -OLDEST_MS - 1] {
            assert_eq!(at(wrong).unwrap_err().code(), "wrong-time");
        }
        assert!(done_at(Some(EventMs(i64::MAX)), now).is_err());
        assert!(done_at(Some(EventMs(i64::MIN)), now).is_err());
    }
}
