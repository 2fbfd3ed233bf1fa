//! What a spool holds: density, temperatures, cautions.

use serde::Deserialize;

use crate::strength::{Drying, Strength};

/// How strongly a material pulls its corners off the bed while it cools.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Warping {
    /// Seldom lifts.
    Low,
    /// Large parts lift.
    Moderate,
    /// Lifts unless the air around it is warm.
    High,
}

/// A filament material.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Material {
    /// Short code used everywhere: `PLA`, `PETG`, `ASA`, `TPU`.
    pub code: String,
    /// Chemical name, for people.
    pub name: String,
    /// Density used for mass, g/cm³.
    pub density_g_cm3: f64,
    /// Least and greatest density seen, g/cm³.
    pub density_range_g_cm3: [f64; 2],
    /// Usual nozzle temperature, °C.
    pub nozzle_c: f64,
    /// Least and greatest nozzle temperature, °C.
    pub nozzle_range_c: [f64; 2],
    /// Usual bed temperature, °C.
    pub bed_c: f64,
    /// Least and greatest bed temperature, °C.
    pub bed_range_c: [f64; 2],
    /// How strongly it warps.
    pub warping: Warping,
    /// Whether it asks for an enclosed printer.
    pub needs_enclosure: bool,
    /// Whether a bench run by students may ask for an adult with it: see the head of the data file.
    pub hot: bool,
    /// What to mind. Each defers to the site's rules and to competent people.
    pub cautions: Vec<String>,
    /// Where the numbers come from, with how far they were verified.
    pub source: String,
    /// What printed pieces bear.
    pub strength: Strength,
    /// How its spools are dried.
    pub drying: Drying,
}

impl Material {
    /// Density in g/mm³, the unit of volumes here.
    ///
    /// ```
    /// let catalogue = partpledge_catalogue::Catalogue::built_in();
    /// let density = catalogue.material("PLA").unwrap().density_g_mm3();
    /// assert!((density - 0.00124).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn density_g_mm3(&self) -> f64 {
        self.density_g_cm3 / 1000.0
    }
}
