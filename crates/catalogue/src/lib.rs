//! Materials, process sheets and printer classes: data files and their reader.
//!
//! The numbers live in `data/*.toml`, so that a coordinator can change them without a
//! compiler. Reading checks them: an unknown field, a duplicate code, a sheet for a material
//! that is not there or a value out of range is an error with its place, never a surprise later.

pub mod class;
pub mod costs;
pub mod material;
pub mod read;
pub mod region;
mod says;
pub mod sheet;
pub mod strength;

pub use class::{Carriage, PrinterClass};
pub use costs::Costs;
pub use material::{Material, Warping};
pub use read::{Catalogue, CatalogueError};
pub use region::{RegionFile, RegionFileError};
pub use says::{caution_says, class_says, sheet_says};
pub use sheet::{InfillPattern, ProcessSheet};
pub use strength::{Drying, Strength};

/// Diameter in mm of the filament that every printer class here takes.
pub const FILAMENT_DIAMETER_MM: f64 = 1.75;
