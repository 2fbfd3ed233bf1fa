//! Why a promise is at risk, as data: a notice is read in any tongue.

use partpledge_units::local::Zone;
use partpledge_units::time::Minute;
use partpledge_words::{Said, clause, said, say};

use super::when;
use crate::boxes::Hitch;
use crate::doubts::Doubt;
use crate::risks::Cause;

/// A clause, with times as the region's clocks show them.
pub(in crate::notices) fn because(zone: &Zone, cause: &Cause) -> Said {
    match cause {
        Cause::Failed {
            plate,
            printer,
            reason,
            at,
        } => said!(
            "notices-why-failed",
            plate = plate,
            printer = printer,
            at = when(zone, Minute(at.0.div_euclid(60_000))),
            reason = reason_of(reason)
        ),
        Cause::PrinterOut { printer, reason } => said!(
            "notices-why-printer-out",
            printer = printer,
            reason = reason_of(reason)
        ),
        Cause::NotStarted { plate, since } => said!(
            "notices-why-not-started",
            plate = plate,
            at = when(zone, *since)
        ),
        Cause::RunsLong { plate, printer } => {
            said!("notices-why-runs-long", plate = plate, printer = printer)
        }
        Cause::Scrap { plate } => said!("notices-why-scrap", plate = plate),
        Cause::BoxAgain { share, why } => {
            said!("notices-why-box-again", share = share, why = doubt_of(*why))
        }
        Cause::MissedLeg(leg) => {
            let why = match leg.why {
                Hitch::NoCourier => say("notices-why-no-courier"),
                Hitch::NotReady => say("notices-why-not-ready"),
                Hitch::LeftBehind => say("notices-why-left-behind"),
                Hitch::NobodyCame => say("notices-why-nobody-came"),
            };
            said!(
                "notices-why-missed-leg",
                at = when(zone, leg.leaves),
                why = why
            )
        }
        Cause::NoWord => say("notices-why-no-word"),
        Cause::Crowded => say("notices-why-crowded"),
    }
}

/// What may be wrong with a box, as a clause.
pub(crate) fn doubt_of(why: Doubt) -> Said {
    match why {
        Doubt::Gone => say("notices-why-gone"),
        Doubt::NeverCame => say("notices-why-never-came"),
        Doubt::WrongParts => say("notices-why-wrong-parts"),
    }
}

/// A reason as the bench gave it: chosen from the list, or in somebody's own words.
pub(crate) fn reason_of(reason: &str) -> Said {
    match reason {
        "It came loose from the bed" => say("notices-reason-loose"),
        "Layers are shifted" => say("notices-reason-shifted"),
        "Plastic stopped coming" => say("notices-reason-stopped-coming"),
        "The spool ran out or tangled" => say("notices-reason-spool"),
        "It lifted at the corners" => say("notices-reason-corners"),
        "The printer stopped by itself" => say("notices-reason-stopped"),
        "The power went" => say("notices-reason-power"),
        "The copies are not good enough" => say("notices-reason-not-good"),
        "out of use" => say("notices-reason-out"),
        "It failed" => say("notices-reason-failed"),
        own => said!("common-as-written", text = clause(own)),
    }
}
