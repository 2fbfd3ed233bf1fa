//! What can be wrong with a plan: one variant a broken rule, carrying where.

use partpledge_planning_model::{PlateSeq, PrinterIx};
use partpledge_units::time::Minute;

/// A broken rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Violation {
    /// The plan has a place for a plate that nobody knows.
    UnknownPlate(PlateSeq),
    /// A plate has two places, or the places are not in order of plate.
    OutOfOrder(PlateSeq),
    /// The plan names a printer that does not exist, or that can't make the plate.
    NoSuchMaking(PlateSeq, PrinterIx),
    /// The printer does not take the material.
    WrongMaterial(PlateSeq, PrinterIx),
    /// The plate is larger than the printer's room.
    TooLarge(PlateSeq, PrinterIx),
    /// It starts before it may.
    BeforeRelease(PlateSeq, Minute),
    /// It starts when nobody is there.
    StartUnstaffed(PlateSeq, Minute),
    /// The printer is not kept for exactly the reserved time.
    WrongLength(PlateSeq, Minute),
    /// It runs with nobody there on a printer that may not.
    Unattended(PlateSeq, PrinterIx),
    /// It runs while the printer is out of use.
    OutOfUse(PlateSeq, PrinterIx),
    /// It is said to come off at another minute than the first staffed one after its end.
    WrongClearing(PlateSeq, Minute),
    /// Two plates share a printer at one time.
    Overlap(PlateSeq, PlateSeq, PrinterIx),
    /// The box is said to be ready at the wrong time.
    WrongReady(PlateSeq, Minute),
    /// It is said to be handed over at the wrong time.
    WrongArrival(PlateSeq, Minute),
    /// Something happens after the calendars end.
    BeyondHorizon(PlateSeq, Minute),
    /// It would come later than was promised.
    PromiseBroken(PlateSeq, Minute),
    /// It was promised and has no place.
    PromisedUnplanned(PlateSeq),
    /// It was running or done and has moved.
    FrozenMoved(PlateSeq),
}

impl Violation {
    /// A stable code for programs.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::UnknownPlate(..) => "unknown-plate",
            Self::OutOfOrder(..) => "out-of-order",
            Self::NoSuchMaking(..) => "no-such-making",
            Self::WrongMaterial(..) => "wrong-material",
            Self::TooLarge(..) => "too-large",
            Self::BeforeRelease(..) => "before-release",
            Self::StartUnstaffed(..) => "start-unstaffed",
            Self::WrongLength(..) => "wrong-length",
            Self::Unattended(..) => "unattended",
            Self::OutOfUse(..) => "out-of-use",
            Self::WrongClearing(..) => "wrong-clearing",
            Self::Overlap(..) => "overlap",
            Self::WrongReady(..) => "wrong-ready",
            Self::WrongArrival(..) => "wrong-arrival",
            Self::BeyondHorizon(..) => "beyond-horizon",
            Self::PromiseBroken(..) => "promise-broken",
            Self::PromisedUnplanned(..) => "promised-unplanned",
            Self::FrozenMoved(..) => "frozen-moved",
        }
    }

    /// The plate it is about.
    #[must_use]
    pub fn plate(&self) -> PlateSeq {
        match *self {
            Self::UnknownPlate(plate)
            | Self::OutOfOrder(plate)
            | Self::NoSuchMaking(plate, _)
            | Self::WrongMaterial(plate, _)
            | Self::TooLarge(plate, _)
            | Self::BeforeRelease(plate, _)
            | Self::StartUnstaffed(plate, _)
            | Self::WrongLength(plate, _)
            | Self::Unattended(plate, _)
            | Self::OutOfUse(plate, _)
            | Self::WrongClearing(plate, _)
            | Self::Overlap(plate, ..)
            | Self::WrongReady(plate, _)
            | Self::WrongArrival(plate, _)
            | Self::BeyondHorizon(plate, _)
            | Self::PromiseBroken(plate, _)
            | Self::PromisedUnplanned(plate)
            | Self::FrozenMoved(plate) => plate,
        }
    }

    /// What is wrong, in words.
    #[must_use]
    pub fn words(&self) -> &'static str {
        match self {
            Self::UnknownPlate(..) => "nobody knows this plate",
            Self::OutOfOrder(..) => "it stands twice in the plan, or out of order",
            Self::NoSuchMaking(..) => "that printer can't make it",
            Self::WrongMaterial(..) => "the printer does not take its material",
            Self::TooLarge(..) => "it is larger than the printer's bed or height",
            Self::BeforeRelease(..) => "it starts before it may",
            Self::StartUnstaffed(..) => "nobody is there to start it",
            Self::WrongLength(..) => "the printer is not kept for its reserved time",
            Self::Unattended(..) => "it runs with nobody there, and that is not allowed",
            Self::OutOfUse(..) => "the printer is out of use then",
            Self::WrongClearing(..) => "nobody can clear it at that time",
            Self::Overlap(..) => "another plate is still on the printer",
            Self::WrongReady(..) => "its box is not ready at that time",
            Self::WrongArrival(..) => "no leg hands it over at that time",
            Self::BeyondHorizon(..) => "it goes on after the calendars end",
            Self::PromiseBroken(..) => "it would come later than promised",
            Self::PromisedUnplanned(..) => "it was promised and has no place in the plan",
            Self::FrozenMoved(..) => "it was running or done and has been moved",
        }
    }
}
