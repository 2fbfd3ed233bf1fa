//! What can be wrong with a plan: one variant a broken rule, carrying where.

use std::fmt;

use partpledge_planning_model::{PlaceIx, PlateSeq, PrinterIx};
use partpledge_units::time::{Minute, Minutes};

macro_rules! violations {
    ($($(#[$doc:meta])* $name:ident {
        $($(#[$field_doc:meta])* $field:ident: $kind:ty),* $(,)?
    } = $code:literal, $words:literal;)+) => {
        /// A broken rule. Times are minutes of UTC.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Violation {
            $($(#[$doc])* $name {
                /// The plate it is about.
                plate: PlateSeq,
                $($(#[$field_doc])* $field: $kind),*
            }),+
        }

        impl Violation {
            /// Every code there is, in the order of the rules.
            pub const CODES: &'static [&'static str] = &[$($code),+];

            /// What each says ([`Self::words`]), in the order of the rules.
            pub const WORDS: &'static [&'static str] = &[$($words),+];

            /// A stable code for programs.
            #[must_use]
            pub fn code(&self) -> &'static str {
                match self { $(Self::$name { .. } => $code),+ }
            }

            /// The plate it is about.
            #[must_use]
            pub fn plate(&self) -> PlateSeq {
                match *self { $(Self::$name { plate, .. } => plate),+ }
            }

            /// What is wrong, in words, without the numbers (the `Display` text has them).
            #[must_use]
            pub fn words(&self) -> &'static str {
                match self { $(Self::$name { .. } => $words),+ }
            }
        }
    };
}

violations! {
    /// The plan has a place for a plate that nobody knows.
    UnknownPlate {} = "unknown-plate", "nobody knows this plate";
    /// A plate has more than one place.
    PlannedTwice {} = "planned-twice", "it has more than one place in the plan";
    /// The places are not in order of plate.
    OutOfOrder {
        /// The plate that stands before it, though its number is higher.
        after: PlateSeq,
    } = "out-of-order", "it stands out of order in the plan";
    /// The plan names a printer that the region does not have, or one at no site.
    NoSuchPrinter {
        /// The printer named.
        printer: PrinterIx,
    } = "no-such-printer", "the region has no such printer";
    /// The printer is not among those that can make the plate.
    NoSuchMaking {
        /// The printer named.
        printer: PrinterIx,
    } = "no-such-making", "that printer can't make it";
    /// The printer does not take the material.
    WrongMaterial {
        /// The printer.
        printer: PrinterIx,
    } = "wrong-material", "the printer does not take its material";
    /// The plate is larger than the printer's room, whichever way round it lies.
    TooLarge {
        /// The printer.
        printer: PrinterIx,
    } = "too-large", "it is larger than the printer's bed or height";
    /// Less time is kept for it than it is estimated to take.
    TooLittleReserved {
        /// The printer.
        printer: PrinterIx,
        /// Time kept.
        reserved: Minutes,
        /// Time estimated.
        nominal: Minutes,
    } = "too-little-reserved", "less time is kept for it than it takes";
    /// It starts before it may.
    BeforeRelease {
        /// When it starts.
        start: Minute,
        /// When it may.
        release: Minute,
    } = "before-release", "it starts before it may";
    /// It starts when nobody is there.
    StartUnstaffed {
        /// The printer.
        printer: PrinterIx,
        /// When it starts.
        start: Minute,
    } = "start-unstaffed", "nobody is there to start it";
    /// The printer is not kept for exactly the reserved time.
    WrongEnd {
        /// When it is said to end.
        end: Minute,
        /// Start plus the reserved time.
        right: Minute,
    } = "wrong-end", "the printer is not kept for its reserved time";
    /// It runs with nobody there on a printer that may not.
    Unattended {
        /// The printer.
        printer: PrinterIx,
        /// First minute with nobody there.
        from: Minute,
    } = "unattended", "it runs with nobody there, and that is not allowed";
    /// It runs while the printer is out of use.
    OutOfUse {
        /// The printer.
        printer: PrinterIx,
        /// First minute out of use.
        from: Minute,
    } = "out-of-use", "the printer is out of use then";
    /// The printer is on its way between two places.
    OnItsWay {
        /// The printer.
        printer: PrinterIx,
    } = "on-its-way", "the printer is on its way then";
    /// It is said to come off at another minute than the first staffed one from its end on.
    WrongCleared {
        /// When it is said to come off.
        cleared: Minute,
        /// When somebody can take it off; none if the calendar ends before.
        right: Option<Minute>,
    } = "wrong-cleared", "nobody clears it at that time";
    /// Two plates share a printer at one time: one starts before the other is off the bed.
    Overlap {
        /// The other plate.
        other: PlateSeq,
        /// The printer.
        printer: PrinterIx,
        /// From when on both are there.
        from: Minute,
    } = "overlap", "another plate is still on the printer";
    /// More plates are started in one staffed window than the site has hands for.
    TooManyStarts {
        /// The printer.
        printer: PrinterIx,
        /// When it starts.
        start: Minute,
        /// How many may be started in that window.
        most: u32,
    } = "too-many-starts", "its site has no hands left to start it then";
    /// Its material differs from that of the plate before, and nobody has time to change it.
    NoTimeToChange {
        /// The plate before it on the printer.
        other: PlateSeq,
        /// The printer.
        printer: PrinterIx,
        /// When it starts.
        start: Minute,
    } = "no-time-to-change", "nobody has time to change the material before it";
    /// The site has too little filament when it starts.
    FilamentShort {
        /// The printer.
        printer: PrinterIx,
        /// When it starts.
        start: Minute,
        /// Grams that all plates started until then take.
        taken_g: i64,
        /// Grams that have come by then.
        there_g: i64,
    } = "filament-short", "its site is short of filament then";
    /// The box is said to be ready at another minute than boxing allows.
    WrongReady {
        /// When it is said to be ready.
        ready: Minute,
        /// When it is; none if the calendar ends before.
        right: Option<Minute>,
    } = "wrong-ready", "its box is not ready at that time";
    /// It is said to be handed over at another minute than the legs allow.
    WrongArrival {
        /// When it is said to be handed over.
        arrives: Minute,
        /// The earliest hand-over of departures not yet gone; none if there are none.
        right: Option<Minute>,
    } = "wrong-arrival", "no leg hands it over at that time";
    /// Something happens after the calendars end.
    BeyondHorizon {
        /// The last thing that happens.
        at: Minute,
        /// Where the calendars end.
        horizon: Minute,
    } = "beyond-horizon", "it goes on after the calendars end";
    /// It would come later than was promised.
    PromiseBroken {
        /// When it would come.
        arrives: Minute,
        /// What was promised.
        promised: Minute,
    } = "promise-broken", "it would come later than promised";
    /// Something on it goes to another place, and nothing goes there before the calendars end.
    NoWayOn {
        /// The place.
        to: PlaceIx,
    } = "no-way-on", "nothing goes in time to where a part of it is to be handed over";
    /// It was promised and has no place.
    PromisedUnplanned {} = "promised-unplanned", "it was promised and has no place in the plan";
    /// It was running or done in the plan before, and has moved or is gone.
    FrozenMoved {} = "frozen-moved", "it was running or done and has been moved";
}

impl Violation {
    /// Whether it says that a promise is missed. On the floor that may be the truth and nobody's
    /// fault; all else in a plan is a fault of the plan.
    #[must_use]
    pub fn misses_a_promise(&self) -> bool {
        matches!(
            self,
            Self::PromiseBroken { .. } | Self::PromisedUnplanned { .. }
        )
    }
}

impl fmt::Display for Violation {
    /// One line with the plate, what is wrong and the numbers; printers count from 0 and minutes
    /// are of UTC, since a violation knows neither names nor zones.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "plate {}: {}", self.plate().0, self.words())?;
        match *self {
            Self::UnknownPlate { .. }
            | Self::PlannedTwice { .. }
            | Self::PromisedUnplanned { .. }
            | Self::FrozenMoved { .. } => Ok(()),
            Self::OutOfOrder { after, .. } => write!(f, " (after plate {})", after.0),
            Self::NoSuchPrinter { printer, .. }
            | Self::NoSuchMaking { printer, .. }
            | Self::WrongMaterial { printer, .. }
            | Self::OnItsWay { printer, .. }
            | Self::TooLarge { printer, .. } => write!(f, " (printer {})", printer.0),
            Self::TooLittleReserved {
                reserved, nominal, ..
            } => {
                write!(f, " (kept {reserved}, takes {nominal})")
            }
            Self::BeforeRelease { start, release, .. } => {
                write!(f, " (starts {}, may from {})", start.0, release.0)
            }
            Self::StartUnstaffed {
                printer, start: at, ..
            }
            | Self::Unattended {
                printer, from: at, ..
            }
            | Self::OutOfUse {
                printer, from: at, ..
            } => {
                write!(f, " (printer {}, minute {})", printer.0, at.0)
            }
            Self::WrongEnd { end, right, .. } => said(f, end, Some(right)),
            Self::WrongCleared {
                cleared: at, right, ..
            }
            | Self::WrongReady {
                ready: at, right, ..
            }
            | Self::WrongArrival {
                arrives: at, right, ..
            } => said(f, at, right),
            Self::Overlap {
                other,
                printer,
                from,
                ..
            } => {
                write!(
                    f,
                    " (plate {}, printer {}, from minute {})",
                    other.0, printer.0, from.0
                )
            }
            Self::TooManyStarts { .. }
            | Self::NoTimeToChange { .. }
            | Self::FilamentShort { .. } => self.shared(f),
            Self::BeyondHorizon { at, horizon, .. } => {
                write!(f, " (minute {}, calendars end at {})", at.0, horizon.0)
            }
            Self::PromiseBroken {
                arrives, promised, ..
            } => {
                write!(f, " (minute {}, promised {})", arrives.0, promised.0)
            }
            Self::NoWayOn { to, .. } => write!(f, " (place {})", to.0),
        }
    }
}

fn said(f: &mut fmt::Formatter<'_>, said: Minute, right: Option<Minute>) -> fmt::Result {
    match right {
        Some(right) => write!(f, " (said minute {}, rightly {})", said.0, right.0),
        None => write!(
            f,
            " (said minute {}, but there is no such time left)",
            said.0
        ),
    }
}

impl Violation {
    /// The numbers of rules about what plates share.
    fn shared(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::TooManyStarts {
                printer,
                start,
                most,
                ..
            } => write!(
                f,
                " (printer {}, minute {}, {most} may be started)",
                printer.0, start.0
            ),
            Self::NoTimeToChange {
                other,
                printer,
                start,
                ..
            } => write!(
                f,
                " (plate {}, printer {}, minute {})",
                other.0, printer.0, start.0
            ),
            Self::FilamentShort {
                printer,
                start,
                taken_g,
                there_g,
                ..
            } => write!(
                f,
                " (printer {}, minute {}, takes {taken_g} g of {there_g} g)",
                printer.0, start.0
            ),
            _ => Ok(()),
        }
    }
}
