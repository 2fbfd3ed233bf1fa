//! A quick guess of the printing time, to compare ways up of one part.

/// How a part is laid, roughly: a skin of full plastic, the rest partly filled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TimeRule {
    /// Height of a layer in mm.
    pub layer_height_mm: f64,
    /// Time that a layer takes however little is in it, s.
    pub per_layer_s: f64,
    /// Plastic laid in a second, mm³.
    pub flow_mm3_s: f64,
    /// Thickness of the skin in mm.
    pub skin_mm: f64,
    /// Share of the inside that is filled.
    pub infill: f64,
    /// Share of a support column that is plastic.
    pub support_fill: f64,
}

impl Default for TimeRule {
    /// Set by hand against this workspace's own `toolpath` times (plain PLA sheet, standard
    /// class): over 50 real files the guess was 1.06 times as long in the middle, 0.73 to 1.38 for
    /// eight in ten. `partpledge-bench ways` prints it anew.
    fn default() -> Self {
        Self {
            layer_height_mm: 0.2,
            per_layer_s: 4.0,
            flow_mm3_s: 5.0,
            skin_mm: 0.9,
            infill: 0.2,
            support_fill: 0.2,
        }
    }
}

impl TimeRule {
    /// Plastic in a part of this volume (mm³) and surface (mm²), in mm³.
    ///
    /// ```
    /// use partpledge_orientation::TimeRule;
    /// // A cube of 100 mm: 54,000 of skin and a fifth of the other 946,000.
    /// let plastic = TimeRule::default().plastic_mm3(1e6, 6e4);
    /// assert!((plastic - 243_200.0).abs() < 1e-6);
    /// ```
    #[must_use]
    pub fn plastic_mm3(&self, volume_mm3: f64, area_mm2: f64) -> f64 {
        let skin = (self.skin_mm * area_mm2).min(volume_mm3);
        skin + self.infill * (volume_mm3 - skin)
    }

    /// Seconds for so much plastic (mm³), standing so high (mm), with so much support (mm³ of
    /// column): `layers · per layer + (plastic + fill · support) / flow`.
    ///
    /// # Source
    /// Derived here; for the numbers see [`TimeRule::default`].
    ///
    /// ```
    /// use partpledge_orientation::TimeRule;
    /// let rule = TimeRule { per_layer_s: 4.0, flow_mm3_s: 5.0, ..TimeRule::default() };
    /// assert!((rule.seconds(1000.0, 20.0, 500.0) - (400.0 + 220.0)).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn seconds(&self, plastic_mm3: f64, height_mm: f64, support_mm3: f64) -> f64 {
        let layers = (height_mm / self.layer_height_mm).ceil();
        let laid = plastic_mm3 + self.support_fill * support_mm3;
        layers * self.per_layer_s + laid / self.flow_mm3_s
    }
}
