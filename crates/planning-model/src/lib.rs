//! The words of planning: sites, printers, legs, plates, plan. Words only: no search, no checks.
//!
//! Planning does not know meshes, HTTP or SQL. To it a plate is a footprint, a material, how
//! long it takes on each printer that could make it, and where its copies must go. The
//! planner (`planning`) and the checker (`plan-check`) share these words and nothing else,
//! which is why even "the next staffed minute" is worked out twice.
//!
//! All times are minutes of UTC ([`Minute`](partpledge_units::time::Minute)); all lists are indexed by the small integers of
//! [`SiteIx`], [`PrinterIx`], [`PlaceIx`], so that ties break on sequence, never on ids.

pub mod calendar;
pub mod plan;
pub mod region;
pub mod work;

pub use calendar::{Window, Windows, WindowsError};
pub use plan::{Assignment, Plan};
pub use region::{
    Departure, Leg, LegKind, Place, PlaceIx, Printer, PrinterIx, Region, Relay, Site, SiteIx, Stay,
    Stock,
};
pub use work::{Footprint, Making, Plate, PlateSeq, Promise, Rider, Wish};
