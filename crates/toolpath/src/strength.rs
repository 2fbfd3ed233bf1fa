//! Which layer parts first: what joins each two layers, and how much load that might carry.
//!
//! Two layers hold each other only where both have material. Walls and skins count in full; sparse
//! lines cross or are shifted against those of the next layer, so of what is filled to a share `s` only `s²` touches. A
//! layer under a pull straight up bears by its area, one under a sideways load at the top by its
//! section modulus over the lever arm.
//!
//! All of it is elastic beam theory on a part that nobody has tested: notches, voids between lines,
//! creep, moisture and age are not in it. The ranges are those of the material, not of the part.

mod bond;
mod section;
mod stiffness;
mod weakest;

pub use bond::{Bond, Build, bonds, joined};
pub use section::{Moments, Section};
pub use stiffness::tip_give_mm_per_n;
pub use weakest::{Bending, Pull, WeakLayers, weakest};

/// What is said wherever a strength is shown.
pub const CAUTION: &str = "We don't know this part's strength. Layers come apart most easily from each other. \
    Test it behind a guard before use.";
