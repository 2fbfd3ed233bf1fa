//! Work to be planned: plates, how long each takes where, and what was promised about it.

use partpledge_units::time::{Minute, Minutes};

use crate::region::{PlaceIx, PrinterIx};

/// Order in which plates were asked for; breaks every tie.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PlateSeq(pub u64);

/// Bounding size of a laid-out plate in mm: x, y on the bed, z high, clearance to the edge included.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Footprint(pub [f64; 3]);

/// Parts laid out together, to be printed in one go.
#[derive(Clone, Debug, PartialEq)]
pub struct Plate {
    /// Sequence number, unique in the region.
    pub seq: PlateSeq,
    /// What it carries, for reasons and messages.
    pub label: String,
    /// Material code.
    pub material: String,
    /// Printers that could make it, in order of printer.
    pub makings: Vec<Making>,
    /// Not to be started before.
    pub release: Minute,
    /// Where its copies go.
    pub to: PlaceIx,
    /// How many copies it carries.
    pub copies: u32,
    /// What was promised about it, if anything yet.
    pub promise: Option<Promise>,
    /// Filament it takes.
    pub grams: i64,
    /// What its team wishes, and how often it has been served.
    pub wish: Wish,
    /// Copies of other requests that lie on it too.
    pub riders: Vec<Rider>,
}

impl Plate {
    /// Everything that was promised about it: where to, and what; its own request first.
    pub fn promises(&self) -> impl Iterator<Item = (PlaceIx, Promise)> {
        let own = self.promise.map(|promise| (self.to, promise));
        let riders = self.riders.iter();
        own.into_iter()
            .chain(riders.filter_map(|rider| Some((rider.to, rider.promise?))))
    }

    /// The earliest hand-over promised about it; what it is urgent by.
    #[must_use]
    pub fn due(&self) -> Option<Minute> {
        self.promises().map(|(_, promise)| promise.arrival).min()
    }

    /// The plate as one of its riders sees it: going to the rider's place, with what was promised
    /// and is wished there.
    #[must_use]
    pub fn seen_by(&self, rider: &Rider) -> Self {
        Self {
            to: rider.to,
            copies: rider.copies,
            promise: rider.promise,
            wish: rider.wish,
            riders: Vec::new(),
            ..self.clone()
        }
    }
}

/// Copies of another request on the same plate: they are printed with it, and go their own way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rider {
    /// Where they go.
    pub to: PlaceIx,
    /// How many they are.
    pub copies: u32,
    /// What was promised about them.
    pub promise: Option<Promise>,
    /// What their team wishes, and how often it has been served.
    pub wish: Wish,
}

/// What counts beside promises when somebody must wait.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wish {
    /// The team needs it by then.
    pub need_by: Option<Minute>,
    /// How much an hour late counts against an hour of others; at least 1.
    pub weight: u32,
    /// How many requests its team was given before this one in the season. Waiting counts for
    /// `1 / (1 + turn)`: a team's first part goes before another's fifth.
    pub turn: u32,
}

impl Default for Wish {
    fn default() -> Self {
        Self {
            need_by: None,
            weight: 1,
            turn: 0,
        }
    }
}

/// One way to make a plate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Making {
    /// On this printer.
    pub printer: PrinterIx,
    /// Laid out in this size there.
    pub footprint: Footprint,
    /// Worked out from the lines, warming up included, rounded up; never corrected.
    pub worked_out: Minutes,
    /// Time that it was expected to take when the plate was made up: worked out, and corrected by
    /// what the printer had really done until then.
    pub nominal: Minutes,
    /// Time kept free for it on the printer: at least `nominal`, so that the next plate is
    /// seldom late by the spread of this one.
    pub reserved: Minutes,
    /// Time that it is expected to take as far as is known now. Forecasts use it; what is kept
    /// and promised stays as it was.
    pub likely: Minutes,
}

impl Making {
    /// A way to make a plate as it was worked out, nothing learned.
    #[must_use]
    pub fn new(
        printer: PrinterIx,
        footprint: Footprint,
        nominal: Minutes,
        reserved: Minutes,
    ) -> Self {
        Self {
            printer,
            footprint,
            worked_out: nominal,
            nominal,
            reserved,
            likely: nominal,
        }
    }
}

/// A pledge as planning sees it: the team holds the part by `arrival`, with this chance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Promise {
    /// Latest hand-over that keeps it.
    pub arrival: Minute,
    /// Chance stated when it was given, of this very arrival.
    pub probability: f64,
}
