//! Classes of printer, described by their limits and by nothing else.

use serde::Deserialize;

use crate::material::Material;

/// Temperature of the room that heating starts from, °C. Common practice, no source.
pub const ROOM_C: f64 = 20.0;

/// What a carriage needs where the parts of a plate are made one after the other.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Carriage {
    /// Room under it, mm: it passes over a finished part that is no higher.
    pub above_mm: f64,
    /// Gap between two parts that are both higher, mm.
    pub gap_mm: f64,
}

/// Printers that share the same limits.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PrinterClass {
    /// Short code: `compact`, `standard`, `swift`, `roomy`, `warm`.
    pub code: String,
    /// In words.
    pub name: String,
    /// Usable room over the bed in mm: x, y, z.
    pub bed_mm: [f64; 3],
    /// Bore of the nozzle, mm.
    pub nozzle_bore_mm: f64,
    /// Acceleration along a path, mm/s².
    pub accel_mm_s2: f64,
    /// How far the head may cut a corner, mm: sets the speed it keeps there.
    pub corner_deviation_mm: f64,
    /// Greatest speed while laying a line, mm/s.
    pub max_speed_mm_s: f64,
    /// Speed between lines, mm/s.
    pub travel_speed_mm_s: f64,
    /// Most molten material a second, mm³/s.
    pub max_flow_mm3_s: f64,
    /// Time to step up to the next layer, s.
    pub layer_change_s: f64,
    /// How fast the nozzle warms, °C/s.
    pub nozzle_heat_c_per_s: f64,
    /// How fast the bed warms, °C/s.
    pub bed_heat_c_per_s: f64,
    /// Hottest the nozzle may be set, °C.
    pub nozzle_max_c: f64,
    /// Hottest the bed may be set, °C.
    pub bed_max_c: f64,
    /// Homing and measuring the bed before each plate, s.
    pub levelling_s: f64,
    /// Whether a closed housing keeps the air around the part warm.
    pub enclosed: bool,
    /// Power on its rating plate, W.
    pub rated_power_w: f64,
    /// Minutes that somebody needs to put another material in, with the printer idle.
    pub change_min: i64,
    /// Spread of the real over the estimated time: standard deviation of its logarithm.
    pub time_sigma: f64,
    /// Set only for printers that make the parts of a plate one after the other.
    #[serde(default)]
    pub carriage: Option<Carriage>,
    /// Codes of the materials it takes.
    pub materials: Vec<String>,
}

impl PrinterClass {
    /// Whether this class takes the material with that code.
    #[must_use]
    pub fn takes(&self, material_code: &str) -> bool {
        self.materials.iter().any(|code| code == material_code)
    }

    /// Seconds from a cold start to the first line: nozzle and bed warm side by side, then the
    /// bed is measured.
    ///
    /// # Source
    /// Constant heating rates are a simplification; common practice, no source.
    ///
    /// ```
    /// let catalogue = partpledge_catalogue::Catalogue::built_in();
    /// let pla = catalogue.material("PLA").unwrap();
    /// // Bed: (60 - 20) / 0.35 = 114.3 s, slower than the nozzle; levelling 90 s.
    /// let warmup_s = catalogue.class("standard").unwrap().warmup_s(pla);
    /// assert!((warmup_s - 204.2857).abs() < 1e-3);
    /// ```
    #[must_use]
    pub fn warmup_s(&self, material: &Material) -> f64 {
        let nozzle_s = (material.nozzle_c - ROOM_C).max(0.0) / self.nozzle_heat_c_per_s;
        let bed_s = (material.bed_c - ROOM_C).max(0.0) / self.bed_heat_c_per_s;
        nozzle_s.max(bed_s) + self.levelling_s
    }

    /// Whether a part of that size stands in the room over the bed as it is, or turned by 90°.
    ///
    /// ```
    /// let catalogue = partpledge_catalogue::Catalogue::built_in();
    /// let standard = catalogue.class("standard").unwrap();
    /// assert!(standard.holds([205.0, 215.0, 10.0]));
    /// assert!(!standard.holds([215.0, 215.0, 10.0]));
    /// ```
    #[must_use]
    pub fn holds(&self, size_mm: [f64; 3]) -> bool {
        let [bed_x, bed_y, bed_z] = self.bed_mm;
        let [x, y, z] = size_mm;
        z <= bed_z && ((x <= bed_x && y <= bed_y) || (y <= bed_x && x <= bed_y))
    }
}
