//! One number for a way up, so that ways can be compared.

use crate::measure::{Measures, Part};

// The weights are common practice, no source: support first, then height, contact, stability,
// then how it looks and how many printers can make it.
const SUPPORT_FILL: f64 = 0.2;
const SCAR_MM: f64 = 0.4;
const HEIGHT_WEIGHT: f64 = 0.25;
const CONTACT_WEIGHT: f64 = 0.2;
/// Share of its outline's shadow that is contact enough.
pub(crate) const ENOUGH_CONTACT: f64 = 0.1;
const TIP_WEIGHT: f64 = 0.5;
/// Leaning so far without falling over is steady enough, degrees.
pub(crate) const STEADY_DEG: f64 = 15.0;
const STEPPED_WEIGHT: f64 = 0.1;
const BEDS_WEIGHT: f64 = 0.1;
const LOAD_WEIGHT: f64 = 0.5;
const NO_BED: f64 = 1000.0;

/// Lower is better; no unit. See [`crate::choices`] for the formula. `across` is the sine of the
/// angle between load and layers, 0 without a load.
pub(crate) fn score(part: &Part<'_>, way: &Measures, beds: usize, across: f64) -> f64 {
    let support = support_share(part, way.support_mm3, way.overhang_area_mm2);
    let height = height_share(part, way.height_mm);
    let contact = CONTACT_WEIGHT * (1.0 - contact_share(way));
    let tipping = TIP_WEIGHT * (1.0 - (way.tip_over_deg / STEADY_DEG).min(1.0));
    let stepped = STEPPED_WEIGHT * way.stepped_area_mm2 / part.area_mm2;
    let homes = match (beds, way.beds.any_turn) {
        (0, _) => 0.0,
        (_, 0) => NO_BED,
        (all, some) => BEDS_WEIGHT * (1.0 - some as f64 / all as f64),
    };
    support + height + contact + tipping + stepped + homes + LOAD_WEIGHT * across
}

/// Bed contact as a share of what is enough, 0 to 1.
pub(crate) fn contact_share(way: &Measures) -> f64 {
    (way.contact_area_mm2 / (ENOUGH_CONTACT * way.shadow_mm2)).min(1.0)
}

/// What support costs, by its columns and the area that hangs.
pub(crate) fn support_share(part: &Part<'_>, support_mm3: f64, overhang_area_mm2: f64) -> f64 {
    (SUPPORT_FILL * support_mm3 + SCAR_MM * overhang_area_mm2) / part.solid_mm3
}

/// What height costs.
pub(crate) fn height_share(part: &Part<'_>, height_mm: f64) -> f64 {
    HEIGHT_WEIGHT * height_mm / part.longest_mm
}
