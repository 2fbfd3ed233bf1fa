//! The laid line: its section, and how close lines lie.

use std::f64::consts::PI;

/// Section of a laid line in mm²: a rectangle with round ends (stadium).
///
/// # Units
/// `width_mm` at least `height_mm`, both in mm.
/// # Source
/// Geometry; `checks/physics`: 0.45 x 0.20 gives 0.081416 mm² (recomputed).
///
/// ```
/// let area = partpledge_toolpath::bead_area_mm2(0.45, 0.20);
/// assert!((area - 0.081_415_926_535_9).abs() < 1e-12);
/// ```
#[must_use]
pub fn bead_area_mm2(width_mm: f64, height_mm: f64) -> f64 {
    height_mm * (width_mm - height_mm) + PI * height_mm * height_mm / 4.0
}

/// Distance in mm between neighbouring lines that leaves no void: section over height.
///
/// # Source
/// Derived here: `w - h(1 - pi/4)`; 0.45 x 0.20 gives 0.407080 (recomputed).
///
/// ```
/// assert!((partpledge_toolpath::no_void_spacing_mm(0.45, 0.2) - 0.407_079_632_679).abs() < 1e-11);
/// ```
#[must_use]
pub fn no_void_spacing_mm(width_mm: f64, height_mm: f64) -> f64 {
    width_mm - height_mm * (1.0 - PI / 4.0)
}

/// Section of a filament in mm².
///
/// # Source
/// Geometry; 1 kg of PLA (1.24 g/cm³) of 1.75 mm is 335.284 m (recomputed).
///
/// ```
/// let metres = 1_000_000.0 / 1.24 / partpledge_toolpath::filament_area_mm2(1.75) / 1000.0;
/// assert!((metres - 335.284).abs() < 5e-4);
/// ```
#[must_use]
pub fn filament_area_mm2(diameter_mm: f64) -> f64 {
    PI * diameter_mm * diameter_mm / 4.0
}
