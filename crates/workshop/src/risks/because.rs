//! Why a pledge is at risk, in words.

use partpledge_units::time::Minute;
use partpledge_words::say;

use super::Cause;
use crate::bench::reason_says;
use crate::words::first_small;

impl Cause {
    /// A clause that goes on from "because"; `when` says a time as the reader needs it.
    ///
    /// ```
    /// use partpledge_workshop::risks::Cause;
    /// let why = Cause::Scrap { plate: 7 };
    /// assert_eq!(why.because(|_| String::new()), "not all copies of plate 7 were good");
    /// ```
    #[must_use]
    pub fn because(&self, when: impl Fn(Minute) -> String) -> String {
        match self {
            Self::Failed {
                plate,
                printer,
                reason,
                at,
            } => {
                let at = when(Minute(at.0.div_euclid(60_000)));
                let reason = first_small(&reason_says(reason));
                say!(
                    "why-because-failed",
                    plate = *plate,
                    printer = printer,
                    at = at,
                    reason = reason
                )
            }
            Self::PrinterOut { printer, reason } => say!(
                "why-because-out",
                printer = printer,
                reason = first_small(&reason_says(reason))
            ),
            Self::NotStarted { plate, since } => {
                say!("why-because-not-started", plate = *plate, at = when(*since))
            }
            Self::RunsLong { plate, printer } => {
                say!("why-because-runs-long", plate = *plate, printer = printer)
            }
            Self::Scrap { plate } => say!("why-because-scrap", plate = *plate),
            Self::BoxAgain { share, why } => {
                let why = first_small(why.says().trim_end_matches('.'));
                say!("why-because-box-again", share = *share, why = why)
            }
            Self::MissedLeg(leg) => {
                let why = first_small(leg.why.says().trim_end_matches('.'));
                say!("why-because-missed", at = when(leg.leaves), why = why)
            }
            Self::NoWord => say!("why-because-no-word"),
            Self::Crowded => say!("why-because-crowded"),
        }
    }
}
