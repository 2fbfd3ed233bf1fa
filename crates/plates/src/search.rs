//! The strong search: parts may overlap for a while and are pushed apart until none does.
//!
//! Beds lie side by side in one plane. Every copy is always wholly on a bed; what remains is that
//! two may overlap. A copy that does is tried at spots all over the beds and near its own, the
//! best of them slide downhill, and each pair that stays stuck weighs more the longer it is (guided
//! local search), so that nothing stays in a dead end. Fewer plates, or a shorter strip, are the same
//! question again with less room.

mod exact;
mod fewer;
mod field;
mod kind;
mod pairs;
mod poles;
mod separate;
mod settle;
mod shake;
mod shrink;
mod strip;
mod team;

use crate::{Item, LayoutError, Placement};
pub(crate) use fewer::fewer;
use kind::Kind;

/// All copies on a strip, from its near left corner.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// Length used along x in mm, with the clearance at both ends.
    pub length_mm: f64,
    /// Where every copy lies.
    pub placements: Vec<Placement>,
}

/// The shortest strip found, `depth_mm` deep (y), that holds all copies of `items`.
///
/// `used` is told how many trials one of the searches has made and says which share of the effort is used up, 1 and more when it
/// is over: counted in trials the result depends on the arguments only. `None` when the effort was
/// over before all copies were apart.
///
/// # Units
/// Outlines on the 1e-4 mm grid; everything else in mm.
/// # Errors
/// [`LayoutError::BadOutline`].
/// # Source
/// Separation by guided local search: see `docs/nesting.md`.
pub fn strip(
    items: &[Item],
    (depth_mm, clearance_mm): (f64, f64),
    seed: u64,
    used: &(dyn Fn(u64) -> f64 + Sync),
) -> Result<Option<Strip>, LayoutError> {
    let kinds = items
        .iter()
        .enumerate()
        .map(|(i, item)| Kind::prepare(i, item, clearance_mm, None))
        .collect::<Result<Vec<_>, _>>()?;
    let effort = team::Effort {
        seed,
        used,
        before: 0,
    };
    let copies: Vec<(usize, usize)> = items
        .iter()
        .enumerate()
        .flat_map(|(i, item)| (0..item.copies).map(move |copy| (i, copy)))
        .collect();
    let by_kind: Vec<usize> = copies.iter().map(|&(item, _)| item).collect();
    Ok(
        strip::shortest(&kinds, &by_kind, (depth_mm, clearance_mm), effort).map(|found| Strip {
            length_mm: found.length_mm,
            placements: copies
                .iter()
                .zip(&found.spots)
                .map(|(&(item, copy), &spot)| {
                    exact::placement(&kinds[item], [0.0; 2], spot, (item, copy))
                })
                .collect(),
        }),
    )
}
