//! A mesh cut from raw triangles: welded, in millimetres, with facts and safe repairs.
//!
//! The way through: [`weld()`] turns a file's triangles into a [`Mesh`] in mm, [`facts()`] says
//! what it is, [`repair()`] mends what can be mended without guessing, and [`overhang()`] and
//! [`resting()`] measure it for a given way up; [`crossings()`] finds surfaces that run through each
//! other; [`thickness::thicknesses`] measures the solid under the surface.

pub mod crossings;
mod edges;
pub mod facts;
mod fill;
pub mod fit;
pub mod flat;
mod inside;
pub mod mesh;
pub mod rays;
pub mod repair;
#[cfg(test)]
mod sample;
mod shells;
mod sum;
pub mod thickness;
pub mod upright;
pub mod vector;
pub mod weld;

pub use crossings::{Crossings, crossings};
pub use facts::{EdgeTrouble, Facts, Shell, ShellRole, facts};
pub use fit::{fits_any_way_up, fits_standing};
pub use mesh::Mesh;
pub use repair::{RepairStep, Repaired, repair};
pub use upright::{Overhang, Resting, overhang, resting};
pub use weld::{Welded, weld};
