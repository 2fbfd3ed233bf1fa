//! The layer that parts first, pulled straight up or pushed sideways at the top.

use partpledge_catalogue::Strength;

use super::bond::{Bond, Build, bonds};

/// The load is taken to come in over nine tenths of the height, and the foot to be held under a
/// tenth: the tip of a cone carries no load. The same rule as for ways to stand; common practice,
/// no source.
const FREE_SHARE: f64 = 0.1;

/// The weakest layers of a part. Untested: see [`super::CAUTION`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WeakLayers {
    /// Pulled straight up.
    pub pull: Pull,
    /// Pushed sideways at the top.
    pub bending: Bending,
}

/// The layer with the least area joined to the next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pull {
    /// Number of the layer under the joint, 0 on the bed.
    pub layer: usize,
    /// Height of the joint over the bed, mm.
    pub height_mm: f64,
    /// Area that bears, mm².
    pub area_mm2: f64,
    /// What it might carry, least and greatest, N.
    pub load_n: [f64; 2],
}

/// The layer with the least section modulus for its lever arm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bending {
    /// Number of the layer under the joint, 0 on the bed.
    pub layer: usize,
    /// Height of the joint over the bed, mm.
    pub height_mm: f64,
    /// From the joint up to the load, mm.
    pub arm_mm: f64,
    /// Axis it bends about: a unit vector on the bed, square to the load.
    pub axis: [f64; 2],
    /// Section modulus, mm³.
    pub modulus_mm3: f64,
    /// Moment it might carry, least and greatest, N m.
    pub moment_nm: [f64; 2],
    /// Sideways load at the top that makes this moment, N.
    pub load_n: [f64; 2],
    /// Whether the arm is at least as long as the section is deep. If not, layers shear before they
    /// bend and the load says little.
    pub slender: bool,
}

/// The layers that would part first under a pull along z, and under a sideways load at the top of
/// the part; `None` for a part of fewer than three layers.
///
/// `load` is a way the part is pulled in use, in the axes of the standing part; only its sideways
/// part chooses the axis. Without one the worst axis of each layer is taken.
/// # Units
/// mm, N, N m; strength in `MPa` = N/mm².
/// # Source
/// `F = σ A` and `M = σ W`: any text on strength of materials, here Gere & Goodno (from memory).
/// σ is the material's range straight across layers, with its own source.
#[must_use]
pub fn weakest(
    build: &Build<'_>,
    strength: &Strength,
    load: Option<[f64; 3]>,
) -> Option<WeakLayers> {
    let height_mm = build.height_mm();
    let all = bonds(build, load.and_then(sideways));
    // A joint just on a bound belongs to it, however its height was rounded.
    let free_mm = FREE_SHARE * height_mm - 1e-9 * height_mm;
    let free = free_mm..=height_mm - free_mm;
    let inside: Vec<&Bond> = all
        .iter()
        .filter(|bond| free.contains(&bond.height_mm))
        .collect();
    let area = |bond: &Bond| bond.section.map_or(0.0, |section| section.area_mm2);
    let least = inside.iter().min_by(|a, b| area(a).total_cmp(&area(b)))?;
    let per_arm = |bond: &Bond| bond.modulus_mm3 / (height_mm - bond.height_mm);
    let bent = inside
        .iter()
        .min_by(|a, b| per_arm(a).total_cmp(&per_arm(b)))?;
    let across_mpa = strength.across_mpa();
    Some(WeakLayers {
        pull: Pull {
            layer: least.layer,
            height_mm: least.height_mm,
            area_mm2: area(least),
            load_n: across_mpa.map(|mpa| mpa * area(least)),
        },
        bending: Bending {
            layer: bent.layer,
            height_mm: bent.height_mm,
            arm_mm: height_mm - bent.height_mm,
            axis: [-bent.way[1], bent.way[0]].map(|x| x + 0.0),
            modulus_mm3: bent.modulus_mm3,
            moment_nm: across_mpa.map(|mpa| mpa * bent.modulus_mm3 / 1000.0),
            load_n: across_mpa.map(|mpa| mpa * per_arm(bent)),
            // A bar of depth h has W/A = h/6; beam theory asks for arms longer than h (common practice).
            slender: (height_mm - bent.height_mm) * area(bent) >= 6.0 * bent.modulus_mm3,
        },
    })
}

/// The sideways part of a load as a unit vector; `None` for one within a degree of upright.
pub(crate) fn sideways([x, y, z]: [f64; 3]) -> Option<[f64; 2]> {
    let flat = x.hypot(y);
    (flat > 1f64.to_radians().sin() * flat.hypot(z)).then(|| [x / flat, y / flat])
}

#[cfg(test)]
mod tests;
