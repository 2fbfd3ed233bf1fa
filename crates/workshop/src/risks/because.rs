//! Why a pledge is at risk, as a clause that is read in any tongue.

use partpledge_units::time::Minute;
use partpledge_words::{Said, said, say};

use super::Cause;
use crate::bench::reason_clause;

impl Cause {
    /// A clause that goes on from "because"; `when` says a time as the reader needs it: `on Thursday`,
    /// `today at 15:40`.
    ///
    /// ```
    /// use partpledge_words::say;
    /// use partpledge_workshop::risks::Cause;
    /// let why = Cause::Scrap { plate: 7 }.because(|_| say("dates-today"));
    /// assert_eq!(why.to_string(), "not all copies of plate 7 were good");
    /// ```
    #[must_use]
    pub fn because(&self, when: impl Fn(Minute) -> Said) -> Said {
        match self {
            Self::Failed {
                plate,
                printer,
                reason,
                at,
            } => said!(
                "why-because-failed",
                plate = plate,
                printer = printer,
                at = when(Minute::at_or_before(*at)),
                reason = reason_clause(reason)
            ),
            Self::PrinterOut { printer, reason } => said!(
                "why-because-out",
                printer = printer,
                reason = reason_clause(reason)
            ),
            Self::Closed { school, reason } => said!(
                "why-because-closed",
                school = school,
                reason = reason_clause(reason)
            ),
            Self::MustStop { plate, printer, at } => said!(
                "why-because-must-stop",
                plate = plate,
                printer = printer,
                at = when(*at)
            ),
            Self::NotStarted { plate, since } => {
                said!("why-because-not-started", plate = plate, at = when(*since))
            }
            Self::NotOff {
                plate,
                printer,
                since,
            } => said!(
                "why-because-not-off",
                plate = plate,
                printer = printer,
                at = when(*since)
            ),
            Self::NotTold {
                plate,
                printer,
                since,
            } => said!(
                "why-because-not-told",
                plate = plate,
                printer = printer,
                at = when(*since)
            ),
            Self::Scrap { plate } => said!("why-because-scrap", plate = plate),
            Self::BoxInDoubt { share, why } => {
                said!("why-because-box-doubted", share = share, why = why.clause())
            }
            Self::BoxAgain { share, why } => {
                said!("why-because-box-again", share = share, why = why.clause())
            }
            Self::MissedLeg(leg) => said!(
                "why-because-missed",
                at = when(leg.leaves),
                why = leg.why.clause()
            ),
            Self::NoWord => say("why-because-no-word"),
            Self::Crowded => say("why-because-crowded"),
        }
    }
}
