//! What a plan is made on: sites with staffed hours, printers, places and the legs between.

use partpledge_units::time::{Minute, Minutes};

use crate::calendar::Windows;

macro_rules! indices {
    ($($(#[$doc:meta])* $name:ident),+) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
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
    /// Ways from one place to another, for boxes that go over several.
    pub relays: Vec<Relay>,
    /// Last minute that the calendars cover; nothing may start, end or arrive after it.
    pub horizon: Option<Minute>,
}

/// A host school, as far as planning cares.
#[derive(Clone, Debug, Default)]
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
    /// Most plates that its people start in one staffed window; `None` for as many as fit.
    pub starts_a_window: Option<u32>,
    /// Filament on its shelf and on order. A material that is not named is never short.
    pub stock: Vec<Stock>,
}

/// Filament that a site has from some minute on, beside what it had before.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stock {
    /// Material code.
    pub material: String,
    /// There from then on; what lies on the shelf, from the beginning of the calendars.
    pub from: Minute,
    /// How much, less what plates that have been started will still use.
    pub grams: i64,
}

/// Days on which a printer stands somewhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Stay {
    /// Set up from then on...
    pub from: Minute,
    /// ... and packed up then.
    pub until: Minute,
    /// Where.
    pub site: SiteIx,
}

/// A printer, as far as planning cares.
#[derive(Clone, Debug, Default)]
pub struct Printer {
    /// The printer's name, for reasons and messages.
    pub name: String,
    /// Where it stands when it does not travel.
    pub site: SiteIx,
    /// Where it stands when it travels, in order and apart; nothing is printed on the way between.
    /// Empty for a printer that stays at [`Printer::site`].
    pub stays: Vec<Stay>,
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
    /// Staffed minutes that somebody needs, while it stands idle, to change from one material to
    /// another.
    pub change: Minutes,
    /// Material in it before the first plate of the plan; `None` if nobody knows, and then the
    /// first plate needs no change.
    pub loaded: Option<String>,
    /// Mean power while it prints, in watts; 0 if unknown.
    pub watts: u32,
}

impl Printer {
    /// Where it stands at `at`; on the way, where it was last; before its first stay, there.
    #[must_use]
    pub fn site_at(&self, at: Minute) -> SiteIx {
        let begun = self.stays.partition_point(|stay| stay.from <= at);
        let stay = self.stays.get(begun.saturating_sub(1));
        stay.map_or(self.site, |stay| stay.site)
    }
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

impl LegKind {
    /// Its word where it is written down or given to programs: `counter`, `courier`, `meeting`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Counter => "counter",
            Self::Courier => "courier",
            Self::Meeting => "meeting",
        }
    }
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

/// A way from one place to another, for boxes that were left there to go on.
#[derive(Clone, Debug)]
pub struct Relay {
    /// Where a box was left by a leg or another relay.
    pub from: PlaceIx,
    /// Where it is left next, or handed over.
    pub to: PlaceIx,
    /// How it travels.
    pub kind: LegKind,
    /// Time from a box's coming until it can go on.
    pub handling: Minutes,
    /// Departures in order of leaving.
    pub departures: Vec<Departure>,
    /// Chance that a departure does not take a box along; it waits for the next.
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
