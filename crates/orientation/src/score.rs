//! One number for a way up, so that ways can be compared.

/// Surfaces leaning more than this from the vertical need support.
///
/// Source: Mazlan et al., J. Adv. Ind. Technol. Appl. 1 (2020), p38-47, abstract read.
pub(crate) const OVERHANG_DEG: f64 = 45.0;
/// Corners within this of the lowest lie on the bed, in mm: a quarter of a usual 0.2 mm layer.
/// Derived here.
pub(crate) const ON_BED_MM: f64 = 0.05;

// The weights are common practice, no source: support first, then height, contact, stability.
const SUPPORT_FILL: f64 = 0.2;
const SCAR_MM: f64 = 0.4;
const HEIGHT_WEIGHT: f64 = 0.25;
const CONTACT_WEIGHT: f64 = 0.2;
const ENOUGH_CONTACT: f64 = 0.1;
const TIP_WEIGHT: f64 = 0.5;
const STEADY_DEG: f64 = 15.0;
const NO_BED: f64 = 1000.0;

/// What a way up is priced by.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Measures {
    pub(crate) overhang_area_mm2: f64,
    pub(crate) column_mm3: f64,
    pub(crate) height_mm: f64,
    pub(crate) contact_area_mm2: f64,
    pub(crate) tip_over_deg: f64,
    /// Footprint of the box in mm².
    pub(crate) box_floor_mm2: f64,
    /// Whether some bed takes it, or no beds are known.
    pub(crate) fits: bool,
}

/// What does not change with the way up.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Part {
    /// Plastic in the part in mm³, roughly.
    pub(crate) solid_mm3: f64,
    /// Diagonal of its box in mm.
    pub(crate) diagonal_mm: f64,
}

/// Lower is better; no unit. See [`crate::choices`] for the formula.
pub(crate) fn score(part: &Part, way: &Measures) -> f64 {
    let support_mm3 = SUPPORT_FILL * way.column_mm3 + SCAR_MM * way.overhang_area_mm2;
    let support = support_mm3 / part.solid_mm3;
    let height = HEIGHT_WEIGHT * way.height_mm / part.diagonal_mm;
    let enough_mm2 = ENOUGH_CONTACT * way.box_floor_mm2;
    let contact = CONTACT_WEIGHT * (1.0 - (way.contact_area_mm2 / enough_mm2).min(1.0));
    let tipping = TIP_WEIGHT * (1.0 - (way.tip_over_deg / STEADY_DEG).min(1.0));
    let homeless = if way.fits { 0.0 } else { NO_BED };
    support + height + contact + tipping + homeless
}
