//! A mesh cut into closed outlines at given heights.
//!
//! Cutting follows the mesh's own edges, so that neighbouring triangles meet in the same point
//! and nothing has to be matched by distance unless the mesh is broken. Outlines are whole
//! numbers of 1e-4 mm: booleans and offsets on them are exact and the same on every machine.

mod booleans;
pub mod chain;
pub mod crossing;
mod cut;
mod front;
pub mod heights;
mod meeting;
mod offset;
pub mod outlines;
mod pieces;
pub mod silhouette;
mod simplify;
pub mod slice;
pub mod volume;

pub use heights::{HeightsError, heights};
pub use meeting::meet;
pub use outlines::{Outlines, UNITS_PER_MM, area_mm2};
pub use pieces::{holds, pieces};
pub use silhouette::silhouette;
pub use slice::{Section, SliceError, cut_layers, slice};
pub use volume::united_volume_mm3;
