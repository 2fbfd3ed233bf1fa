//! What a printed material bears, when it softens, how its spool is dried.

use serde::Deserialize;

/// Ranges of strength and stiffness of printed pieces. Never one value: makers, colours, printers
/// and moisture differ, and no piece of the part at hand has been tested.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Strength {
    /// Least and greatest tensile strength along the layers, `MPa`.
    pub in_plane_mpa: [f64; 2],
    /// Strength straight across the layers as a part of that along them, least and greatest.
    pub across_ratio: [f64; 2],
    /// Young's modulus, least and greatest, `GPa`.
    pub young_gpa: [f64; 2],
    /// Glass transition, least and greatest, °C: the part softens there.
    pub glass_transition_c: [f64; 2],
    /// Where the numbers come from, with how far they were verified.
    pub source: String,
}

/// How a spool is dried.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Drying {
    /// Least and greatest temperature, °C.
    pub temperature_c: [f64; 2],
    /// Least and greatest time, h.
    pub hours: [f64; 2],
    /// Days in open air after which it should be dried before it is printed; none when it hardly
    /// takes up water.
    #[serde(default)]
    pub damp_after_days: Option<f64>,
    /// Where the numbers come from, with how far they were verified.
    pub source: String,
}

impl Strength {
    /// Least and greatest tensile strength straight across the layers, `MPa`: the least of both
    /// ranges multiplied, and the greatest of both.
    ///
    /// # Source
    /// Derived here from the two ranges; wider than either, since nothing says that they go together.
    ///
    /// ```
    /// let catalogue = partpledge_catalogue::Catalogue::built_in();
    /// // 45 x 0.45 and 60 x 0.80.
    /// let [low, high] = catalogue.material("PLA").unwrap().strength.across_mpa();
    /// assert!((low - 20.25).abs() < 1e-12 && (high - 48.0).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn across_mpa(&self) -> [f64; 2] {
        std::array::from_fn(|k| self.in_plane_mpa[k] * self.across_ratio[k])
    }
}
