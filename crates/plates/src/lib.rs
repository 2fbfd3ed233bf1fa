//! Outlines and a bed in; layouts out.
//!
//! Parts are laid out by their true outlines, not by boxes, turned in steps of 45° and along
//! their least rectangle, with a clearance kept between parts and to the edge of the bed. The
//! search is a plain greedy one: largest part first, each copy at the best spot that is still
//! free, under three ideas of "best"; the run with the fewest plates wins. There are no dice and
//! no clock in it: the same input gives the same layouts.
//!
//! A part's outer outline is what counts: nothing is put inside a hole of another part.

mod crowd;
mod engine;
mod place;
mod shape;
mod spots;

pub use place::{capacity, layout};

/// Units of 1e-4 mm in a millimetre, the grid of all outlines.
pub const UNITS_PER_MM: f64 = 10_000.0;

/// A closed outline on the 1e-4 mm grid: x, y corners, last joined to first.
pub type Outline = Vec<[i64; 2]>;

/// A part to lay out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Item {
    /// What people call it; errors name it.
    pub name: String,
    /// Its silhouette from above on the 1e-4 mm grid. Outer outlines counter-clockwise; holes
    /// and their direction don't matter, since only the outermost border is used.
    pub outlines: Vec<Outline>,
    /// How many of it.
    pub copies: usize,
}

/// The bed and what must be kept free on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bed {
    /// Usable width (x) and depth (y) in mm.
    pub size_mm: [f64; 2],
    /// Least gap in mm between two parts, and between a part and the edge.
    pub clearance_mm: f64,
}

/// How hard to try. Counts, never seconds, so that a result can be repeated.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// Trial spots over the bed for each turn of each part.
    pub spots: usize,
}

impl Default for Effort {
    fn default() -> Self {
        Self { spots: 2_000 }
    }
}

/// Where one copy lies: its outline turned counter-clockwise about the origin by `rotation_deg`,
/// then moved by (`x_mm`, `y_mm`).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placement {
    /// Position in the list of items.
    pub item: usize,
    /// Which copy of it, from 0, counted over all plates.
    pub copy: usize,
    /// Move along the bed's width in mm, after turning.
    pub x_mm: f64,
    /// Move along the bed's depth in mm, after turning.
    pub y_mm: f64,
    /// Turn in degrees, counter-clockwise seen from above, in `0..360`.
    pub rotation_deg: f64,
}

/// Parts on one bed, whose near left corner is the origin.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// In the order in which they were put down.
    pub placements: Vec<Placement>,
    /// Bed used in mm, from the corner: the box round all parts with the clearance on every side.
    pub used_mm: [f64; 2],
}

/// Why no layout could be made; each variant is one broken rule.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum LayoutError {
    /// A side of the bed is not a positive, finite length below 10 m.
    #[error("a bed of {} x {} mm can't be used", size_mm[0], size_mm[1])]
    BadBed {
        /// The size given.
        size_mm: [f64; 2],
    },
    /// The clearance is negative, not finite or 1 m and more.
    #[error("a clearance of {clearance_mm} mm can't be kept")]
    BadClearance {
        /// The clearance given.
        clearance_mm: f64,
    },
    /// An item has no outline that encloses an area, or one farther than 100 m away.
    #[error("'{name}' has no usable outline")]
    BadOutline {
        /// Position in the list of items.
        item: usize,
        /// Its name.
        name: String,
    },
    /// A part fits the bed in no turn tried.
    #[error("'{name}' ({:.1} x {:.1} mm) does not fit a bed of {} x {} mm", size_mm[0], size_mm[1], bed_mm[0], bed_mm[1])]
    TooLarge {
        /// Position in the list of items.
        item: usize,
        /// Its name.
        name: String,
        /// Its size in mm as given, not turned.
        size_mm: [f64; 2],
        /// What the bed leaves inside its clearance, in mm.
        bed_mm: [f64; 2],
    },
}

impl LayoutError {
    /// A stable code for people and programs.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::BadBed { .. } => "bad-bed",
            Self::BadClearance { .. } => "bad-clearance",
            Self::BadOutline { .. } => "bad-outline",
            Self::TooLarge { .. } => "too-large-for-bed",
        }
    }
}
