//! How much electricity a print takes, by two published models that disagree.

use partpledge_catalogue::{Material, PrinterClass};

/// Average power over rated power.
const SHARE_OF_RATED: f64 = 0.431;

/// Joules in a watt hour.
const J_PER_WH: f64 = 3600.0;

/// Energy in Wh of a print, by its length and the rated power in W: 0.431 of it on average.
///
/// # Source
/// Manford & Budinoff 2024 (verified second hand): 350 W gives 150.9 W on average.
///
/// ```
/// assert!((partpledge_costing::share_of_rated_wh(350.0, 3600.0) - 150.85).abs() < 1e-9);
/// ```
#[must_use]
pub fn share_of_rated_wh(rated_power_w: f64, time_s: f64) -> f64 {
    SHARE_OF_RATED * rated_power_w * time_s / 3600.0
}

/// Energy in Wh of a print, by its length and the temperatures of nozzle and bed in °C; never under 0.
///
/// # Source
/// Hopkins et al. 2021 (verified second hand): `E = -0.056 + 7e-6 Tn t + 89e-6 Tb t` in MJ with t in
/// **minutes** (the page says another unit; only minutes give sane watts). Worked numbers in
/// `golden/operations`. Below about ten minutes the constant outweighs the rest and it says nothing.
///
/// ```
/// assert!((partpledge_costing::temperature_wh(200.0, 60.0, 3600.0) - 96.777_777_8).abs() < 1e-6);
/// ```
#[must_use]
pub fn temperature_wh(nozzle_c: f64, bed_c: f64, time_s: f64) -> f64 {
    let minutes = time_s / 60.0;
    let megajoules = -0.056 + (7e-6 * nozzle_c + 89e-6 * bed_c) * minutes;
    (megajoules * 1e6 / J_PER_WH).max(0.0)
}

/// Least and greatest energy in Wh of a print of that length, warming up included in it: what the two
/// models say for the class and the material.
///
/// A range of models, not a bound: neither was measured on a printer of the class.
///
/// ```
/// let catalogue = partpledge_catalogue::Catalogue::built_in();
/// let (class, pla) = (catalogue.class("standard").unwrap(), catalogue.material("PLA").unwrap());
/// let [low, high] = partpledge_costing::energy_wh(class, pla, 3600.0);
/// // 210/60 °C for an hour, and 0.431 x 350 W.
/// assert!((low - 97.944).abs() < 1e-3 && (high - 150.85).abs() < 1e-9);
/// ```
#[must_use]
pub fn energy_wh(class: &PrinterClass, material: &Material, time_s: f64) -> [f64; 2] {
    let by_power = share_of_rated_wh(class.rated_power_w, time_s);
    let by_heat = temperature_wh(material.nozzle_c, material.bed_c, time_s);
    [by_power.min(by_heat), by_power.max(by_heat)]
}
