//! Outlines and a process sheet in; paths, time and mass out.
//!
//! The work is split where the inputs split: [`paths`] depends on the sheet alone, so that five
//! classes of printer are timed on one set of lines; [`time`] depends on the class. Time comes
//! from moving along every line with acceleration, corners and flow limits, never from volume.
//!
//! What is laid over air is bridged where both ends are held, and gets support elsewhere; both
//! count in time and mass.

mod bead;
mod estimate;
mod fill;
mod hanging;
mod layers;
pub mod motion;
mod order;
mod plate;
pub mod program;
mod rows;
mod skins;
pub mod strength;
mod support;
mod variants;
mod walls;

pub use bead::{bead_area_mm2, filament_area_mm2, no_void_spacing_mm};
pub use estimate::{Estimate, EstimateError, Spread, time};
pub use layers::{LayerPaths, Line, LineKind, Paths, paths};
pub use plate::{PlateTime, plate_time};
pub use variants::{Variant, lighter};
