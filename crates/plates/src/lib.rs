//! Outlines and a bed in; layouts out.
//!
//! Parts are laid out by their true outlines, not by boxes, with a clearance kept between parts and a gap to
//! the edge of the bed. The everyday search is greedy: largest part first, turned in steps of 45°
//! and along its least rectangle, each copy at the best spot that is still free, under three ideas
//! of "best"; the run with the fewest plates wins. With trials in its [`Effort`] a strong search with
//! seeded dice goes on from there (`docs/nesting.md`). There is no clock in either: the same input
//! gives the same layouts.
//!
//! A part's outer outline is what counts: nothing is put inside a hole of another part.

mod crowd;
mod engine;
mod jigsaw;
mod nest;
mod pack;
mod place;
mod search;
mod shape;
mod spots;

use partpledge_words::{say, short};

pub use nest::{Nest, Nested};
pub use pack::{layout, pack, pack_within};
pub use place::capacity;
pub use search::{Strip, strip};

/// Units of 1e-4 mm in a millimetre, the grid of all outlines.
pub const UNITS_PER_MM: f64 = 10_000.0;

/// A closed outline on the 1e-4 mm grid: x, y corners, last joined to first.
pub type Outline = Vec<[i64; 2]>;

/// Which turns a part may have on the bed.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Turns {
    /// Any at all.
    #[default]
    Any,
    /// Only these, in degrees counter-clockwise.
    Only(Vec<f64>),
}

/// A part to lay out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Item {
    /// What people call it; errors name it.
    pub name: String,
    /// Its silhouette from above on the 1e-4 mm grid. Outer outlines counter-clockwise; holes
    /// and their direction don't matter, since only the outermost border is used.
    pub outlines: Vec<Outline>,
    /// How many of it.
    pub copies: usize,
    /// Which turns it may have.
    pub turns: Turns,
    /// Its height in mm; counts only where a bed has a [`TallGap`].
    pub height_mm: f64,
}

/// The bed and what must be kept free on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bed {
    /// Usable width (x) and depth (y) in mm.
    pub size_mm: [f64; 2],
    /// Least gap in mm between two parts.
    pub clearance_mm: f64,
    /// Least gap in mm between a part and the edge of the bed; 0 lets parts lie right at it.
    pub edge_mm: f64,
}

/// A wider gap between high parts.
///
/// Parts printed one after the other, lowest first: the carriage passes above what is no higher
/// than `above_mm`, so two parts need the wide gap only when even the lower of them is higher.
/// Derived here.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TallGap {
    /// Room under the carriage in mm.
    pub above_mm: f64,
    /// Gap in mm between two parts that are both higher.
    pub gap_mm: f64,
}

impl TallGap {
    /// The gap that `item` needs to other high parts, if it is one.
    pub(crate) fn of(&self, item: &Item, bed: &Bed) -> Option<f64> {
        (item.height_mm > self.above_mm && self.gap_mm > bed.clearance_mm).then_some(self.gap_mm)
    }
}

/// Beds of one kind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Room {
    /// The bed.
    pub bed: Bed,
    /// How many plates may be filled; any number if `None`.
    pub plates: Option<usize>,
    /// The wider gap between high parts, where the class of printer needs one.
    pub tall: Option<TallGap>,
}

impl Room {
    /// Whether such a bed, with such gaps, can be.
    ///
    /// # Errors
    /// [`LayoutError::BadBed`], [`LayoutError::BadClearance`], [`LayoutError::BadEdge`],
    /// [`LayoutError::BadTallGap`].
    pub fn check(&self) -> Result<(), LayoutError> {
        let Bed {
            size_mm,
            clearance_mm,
            edge_mm,
        } = self.bed;
        if !size_mm.iter().all(|side| *side > 0.0 && *side < 10_000.0) {
            return Err(LayoutError::BadBed { size_mm });
        }
        if !(0.0..1_000.0).contains(&clearance_mm) {
            return Err(LayoutError::BadClearance { clearance_mm });
        }
        if !(0.0..1_000.0).contains(&edge_mm) {
            return Err(LayoutError::BadEdge { edge_mm });
        }
        if let Some(TallGap { above_mm, gap_mm }) = self.tall
            && !(above_mm >= 0.0 && (0.0..1_000.0).contains(&gap_mm))
        {
            return Err(LayoutError::BadTallGap { above_mm, gap_mm });
        }
        Ok(())
    }
}

/// How hard to try. Counts, never seconds, so that a result can be repeated.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// Trial spots over the bed for each turn of each part, for the greedy search.
    pub spots: usize,
    /// Trials of the strong search, which tries to get by with fewer plates; 0 for none of it.
    pub trials: u64,
    /// Seed of its dice.
    pub seed: u64,
}

impl Default for Effort {
    /// The greedy search alone: milliseconds for a few copies.
    fn default() -> Self {
        Self {
            spots: 2_000,
            trials: 0,
            seed: 1,
        }
    }
}

impl Effort {
    /// For many parts: some seconds when the greedy search leaves room for fewer plates.
    #[must_use]
    pub fn strong() -> Self {
        Self {
            trials: 600_000,
            ..Self::default()
        }
    }
}

/// One plate of a [`Packed`].
#[derive(Clone, Debug, PartialEq)]
pub struct Plate {
    /// Position in the list of rooms.
    pub room: usize,
    /// What lies where.
    pub layout: Layout,
}

/// Parts on plates of several kinds.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Packed {
    /// The plates, by room.
    pub plates: Vec<Plate>,
    /// Copies for which there is no plate left, by item.
    pub left_out: Vec<usize>,
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
    /// Bed used in mm, from the corner: the box round all parts with the gap to the edge on every side.
    pub used_mm: [f64; 2],
}

/// Why no layout could be made; each variant is one broken rule.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum LayoutError {
    /// A side of the bed is not a positive, finite length below 10 m.
    #[error("{}", say!("errors-bad-bed", width = size_mm[0].to_string(), depth = size_mm[1].to_string()))]
    BadBed {
        /// The size given.
        size_mm: [f64; 2],
    },
    /// The clearance is negative, not finite or 1 m and more.
    #[error("{}", say!("errors-bad-clearance", gap = clearance_mm.to_string()))]
    BadClearance {
        /// The clearance given.
        clearance_mm: f64,
    },
    /// The gap to the edge is negative, not finite or 1 m and more.
    #[error("{}", say!("errors-bad-edge", gap = edge_mm.to_string()))]
    BadEdge {
        /// The gap given.
        edge_mm: f64,
    },
    /// The gap between high parts is not a length below 1 m, or the height is negative or not a number.
    #[error("{}", say!("errors-bad-tall-gap", gap = gap_mm.to_string(), above = above_mm.to_string()))]
    BadTallGap {
        /// Height above which it counts, as given.
        above_mm: f64,
        /// The gap given.
        gap_mm: f64,
    },
    /// An item has no outline that encloses an area, or one farther than 100 m away.
    #[error("{}", say!("errors-bad-outline", name = name))]
    BadOutline {
        /// Position in the list of items.
        item: usize,
        /// Its name.
        name: String,
    },
    /// A part fits the bed in no turn tried.
    #[error("{}", too_large(name, *size_mm, *bed_mm))]
    TooLarge {
        /// Position in the list of items.
        item: usize,
        /// Its name.
        name: String,
        /// Its size in mm as given, not turned.
        size_mm: [f64; 2],
        /// What the bed leaves inside the gap to its edge, in mm.
        bed_mm: [f64; 2],
    },
}

fn too_large(name: &str, size_mm: [f64; 2], bed_mm: [f64; 2]) -> String {
    say!(
        "errors-too-large",
        name = name,
        width = short(size_mm[0], 2),
        depth = short(size_mm[1], 2),
        bed_width = bed_mm[0].to_string(),
        bed_depth = bed_mm[1].to_string()
    )
}

impl LayoutError {
    /// Whether the bed or a gap that was asked for can't be, as against a part that can't be laid
    /// out.
    #[must_use]
    pub fn is_wrong_call(&self) -> bool {
        match self {
            Self::BadBed { .. }
            | Self::BadClearance { .. }
            | Self::BadEdge { .. }
            | Self::BadTallGap { .. } => true,
            Self::BadOutline { .. } | Self::TooLarge { .. } => false,
        }
    }

    /// A stable code for people and programs.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::BadBed { .. } => "bad-bed",
            Self::BadClearance { .. } => "bad-clearance",
            Self::BadEdge { .. } => "bad-edge",
            Self::BadTallGap { .. } => "bad-tall-gap",
            Self::BadOutline { .. } => "bad-outline",
            Self::TooLarge { .. } => "too-large-for-bed",
        }
    }
}
