//! Why a pledge is at risk, in words.

use partpledge_units::time::Minute;

use super::Cause;
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
                let reason = first_small(reason);
                format!("plate {plate} failed on {printer} {at} ({reason})")
            }
            Self::PrinterOut { printer, reason } => {
                format!("{printer} is out of use ({})", first_small(reason))
            }
            Self::NotStarted { plate, since } => {
                format!("plate {plate} was not started {}", when(*since))
            }
            Self::RunsLong { plate, printer } => {
                format!("plate {plate} runs longer on {printer} than it should")
            }
            Self::Scrap { plate } => format!("not all copies of plate {plate} were good"),
            Self::BoxAgain { share, why } => {
                let why = first_small(why.says().trim_end_matches('.'));
                format!("what was in box {share} is made again ({why})")
            }
            Self::MissedLeg(leg) => {
                let why = first_small(leg.why.says().trim_end_matches('.'));
                format!("its box did not go {}: {why}", when(leg.leaves))
            }
            Self::NoWord => "nobody has said that it came".to_owned(),
            Self::Crowded => "other plates went before it".to_owned(),
        }
    }
}
