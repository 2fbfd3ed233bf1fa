//! What is on record about spools, in plain words.

use partpledge_units::ids::SpoolId;
use partpledge_units::time::{EventMs, Minute};

/// A roll of filament as it was received.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Roll {
    /// Code of the host's school.
    pub host: String,
    /// Material code.
    pub material: String,
    /// Colour, in words.
    pub colour: String,
    /// Filament on it when it was received, its reel not counted, g.
    pub net_g: i64,
    /// What the empty reel weighs, g, if somebody knows.
    pub tare_g: Option<i64>,
    /// Who gave it, in the coordinator's words; may be empty.
    pub donor: String,
    /// When it was received.
    pub received_at: EventMs,
}

/// A roll on record. Never changed afterwards; what is done with it are [`Step`]s.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spool {
    /// Its id.
    pub id: SpoolId,
    /// Its number for people within the region: 17 is S-17.
    pub number: i64,
    /// As it was received.
    pub roll: Roll,
}

/// What people do with a spool.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Deed {
    /// It came to another host, whose school's code stands here.
    Moved(String),
    /// Its bag was opened.
    Opened,
    /// It was dried.
    Dried,
    /// It came off the printer.
    TakenOff,
    /// It was put on the printer of that name.
    Loaded(String),
    /// It was used up.
    Emptied,
    /// It left the region, to whom in a few words.
    GivenAway(String),
}

/// Something done with a spool.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// Number of the spool.
    pub spool: i64,
    /// When it was done.
    pub at: EventMs,
    /// What.
    pub deed: Deed,
}

/// What a scale said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reading {
    /// Number of the spool.
    pub spool: i64,
    /// When it was weighed.
    pub at: EventMs,
    /// Filament on it, g.
    pub net_g: i64,
    /// What the scale showed with the reel on it, g, if it was weighed so; less `net_g`, it is what
    /// the reel was taken to weigh.
    pub gross_g: Option<i64>,
}

/// What a run took from a spool.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Use {
    /// Number of the spool.
    pub spool: i64,
    /// Number of the plate.
    pub plate: u64,
    /// Filament taken, purge included, mg.
    pub used_mg: i64,
    /// It ran from this spool since then...
    pub from: EventMs,
    /// ... until then, taking as much every minute.
    pub until: EventMs,
}

/// Spools that somebody has promised for a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Delivery {
    /// Its number within the region.
    pub number: i64,
    /// Code of the host's school.
    pub host: String,
    /// Material code.
    pub material: String,
    /// How many spools.
    pub spools: i64,
    /// Filament on each, g.
    pub net_g: i64,
    /// Can be counted on from then.
    pub due: Minute,
    /// Who promised it, in the coordinator's words; may be empty.
    pub donor: String,
    /// How it ended, if it has.
    pub end: Option<DeliveryEnd>,
}

/// How a delivery ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DeliveryEnd {
    /// It came, and its spools are on record.
    Arrived,
    /// It will not come.
    CalledOff,
}

/// Everything on record about the spools of a region.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Ledger {
    /// Number of the last entry of the log that wrote something in it; 0 when nothing did.
    pub entry: i64,
    /// Spools, in order of number.
    pub spools: Vec<Spool>,
    /// What was done with them, in any order.
    pub steps: Vec<Step>,
    /// What scales said, in any order.
    pub readings: Vec<Reading>,
    /// What runs took, in any order.
    pub uses: Vec<Use>,
    /// What was promised, in order of number.
    pub deliveries: Vec<Delivery>,
}

impl Ledger {
    /// The spool of that number.
    #[must_use]
    pub fn spool(&self, number: i64) -> Option<&Spool> {
        self.spools.iter().find(|spool| spool.number == number)
    }
}
