//! What a plan is made on: sites with staffed hours, printers, places and the legs between.

use partpledge_units::time::{Minute, Minutes};

use crate::calendar::Windows;

macro_rules! indices {
    ($($(#[$doc:meta])* $name:ident),+) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub usize);
    )+};
}

indices! {
    /// Position of a host's site in [`Region::sites`].
    SiteIx,
    /// Position of a printer in [`Region::printers`].
    PrinterIx,
    /// Position of a hand-over place in [`Region::places`].
    PlaceIx
}

/// Everything that stays put while a plan is made.
#[derive(Clone, Debug, Default)]
pub struct Region {
    /// Hosts.
    pub sites: Vec<Site>,
    /// Printers, each at one site.
    pub printers: Vec<Printer>,
    /// Where boxes are handed over.
    pub places: Vec<Place>,
    /// Ways from a site to a place; several may join the same two.
    pub legs: Vec<Leg>,
    /// Last minute that the calendars cover; nothing may start, end or arrive after it.
    pub horizon: Option<Minute>,
}

/// A host school, as far as planning cares.
#[derive(Clone, Debug)]
pub struct Site {
    /// The school's name, for reasons and messages.
    pub name: String,
    /// When somebody is there to start a plate and to clear a bed; closures already taken out.
    pub staffed: Windows,
    /// Staffed minutes between a plate coming off the bed and its box being ready to leave.
    pub boxing: Minutes,
    /// Chance that nobody comes in a staffed window, each window by itself; 0 when somebody always
    /// does. Nothing is started, cleared or boxed in a window in which nobody comes.
    pub no_show: f64,
}

/// A printer, as far as planning cares.
#[derive(Clone, Debug)]
pub struct Printer {
    /// The printer's name, for reasons and messages.
    pub name: String,
    /// Where it stands.
    pub site: SiteIx,
    /// Usable bed and height in mm: x, y, z.
    pub bed_mm: [f64; 3],
    /// Codes of the materials it may print.
    pub materials: Vec<String>,
    /// Whether the site's owner has allowed it to run with nobody there. Off unless they have.
    pub unattended: bool,
    /// When it can't be used at all.
    pub out_of_use: Windows,
    /// Chance that a plate is lost in its first layers.
    pub start_failure: f64,
    /// Further losses for each hour of printing (constant hazard).
    pub failures_per_hour: f64,
    /// Spread of the real over the estimated time: standard deviation of its logarithm.
    pub time_sigma: f64,
}

/// Where a team holds its part in its hands.
#[derive(Clone, Debug)]
pub struct Place {
    /// Such as "Brindlemoor School, front desk".
    pub name: String,
}

/// How a box travels.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LegKind {
    /// The team is at the host's own school: over the counter.
    Counter,
    /// A courier round with a timetable.
    Courier,
    /// Handed over when the league meets.
    Meeting,
}

/// A way from a site to a place, with its timetable.
#[derive(Clone, Debug)]
pub struct Leg {
    /// Where the box leaves.
    pub from: SiteIx,
    /// Where it is handed over.
    pub to: PlaceIx,
    /// How it travels.
    pub kind: LegKind,
    /// Departures in order of leaving.
    pub departures: Vec<Departure>,
    /// Chance that a departure does not take the site's boxes along, each by itself; they wait for
    /// the next. 0 when none is ever missed.
    pub missed: f64,
}

/// One departure of a leg: a box ready by `leaves` is handed over at `arrives`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Departure {
    /// Last minute at which a ready box is taken along.
    pub leaves: Minute,
    /// When the team can hold the part.
    pub arrives: Minute,
}
