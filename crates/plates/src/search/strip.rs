//! The shortest strip of a fixed depth that holds all copies.

use super::field::{Berth, Field, Spot};
use super::kind::Kind;
use super::settle::anywhere;
use super::shrink::Shrink;
use super::team::{Effort, Team};

/// Part of the effort spent looking far; the rest is squeezing.
const EXPLORE: f64 = 0.8;
/// Area of all coats over that of the first strip.
const FIRST_DENSITY: f64 = 0.55;
/// Spots tried for a copy at first.
const ENTRIES: usize = 1_000;

/// A strip with all copies on it.
#[derive(Clone, Debug)]
pub(crate) struct Found {
    pub(crate) length_mm: f64,
    pub(crate) spots: Vec<Spot>,
}

/// Kinds and copies (by kind) on a strip `depth_mm` deep, with a rim of `rim_mm`. `None` if some part
/// fits in no turn, or the effort ended before all were apart.
pub(crate) fn shortest(
    kinds: &[Kind],
    copies: &[usize],
    (depth_mm, rim_mm): (f64, f64),
    effort: Effort<'_>,
) -> Option<Found> {
    let area: f64 = copies.iter().map(|&k| kinds[k].area_mm2).sum();
    let diameters = copies.iter().map(|&k| f64::from(kinds[k].diameter));
    let longest = diameters.fold(0.0, f64::max);
    let length = (area / depth_mm / FIRST_DENSITY).max(longest) + 2.0 * rim_mm;
    let berth = Berth {
        corner_mm: [0.0; 2],
        size_mm: [length, depth_mm],
        rim_mm,
    };
    let empty = Field::new(kinds, vec![berth], &[])?;
    let mut team = Team::gather(effort, |mut dice, search| {
        let mut placed = Vec::with_capacity(copies.len());
        for &k in copies {
            let spot = (0..ENTRIES).find_map(|_| anywhere(&empty, &mut dice, &kinds[k]))?;
            placed.push((k, spot));
        }
        let field = Field::new(kinds, vec![berth], &placed)?;
        Some(Shrink::new(search(field, dice), 1.0, 0.0))
    })?;
    team.work(EXPLORE, |shrink| shrink.explore(EXPLORE));
    team.work(1.0, |shrink| shrink.squeeze(EXPLORE));
    let best = team.best()?;
    Some(Found {
        length_mm: length * best.length(),
        spots: best.spots,
    })
}
