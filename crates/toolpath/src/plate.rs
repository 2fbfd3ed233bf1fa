//! Several copies on one bed: they share the warming up, and each layer is laid for all of them.

use partpledge_catalogue::{PrinterClass, ProcessSheet};

use crate::estimate::{Estimate, Spread};
use crate::motion::rest_to_rest_s;

/// What a plate takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlateTime {
    /// Printing time in s, warming up not included.
    pub print_time_s: f64,
    /// Heating and measuring the bed, s.
    pub warmup_s: f64,
    /// Nine in ten to one in ten of the printing time.
    pub spread: Spread,
}

/// Time for copies laid out together, `hop_mm` apart.
///
/// Layer by layer: the lines of every copy that is still that high, a hop with the filament pulled
/// back between copies, and the least layer time for the whole layer, not for each copy.
///
/// ```
/// # use partpledge_toolpath::{Estimate, Spread, plate_time};
/// let catalogue = partpledge_catalogue::Catalogue::built_in();
/// let (sheet, class) = (catalogue.plain_sheet("PLA").unwrap(), catalogue.class("standard").unwrap());
/// let pin = Estimate {
///     layer_s: vec![1.0; 50], print_time_s: 0.0, warmup_s: 200.0, filament_mm: 1.0, mass_g: 1.0,
///     walls_mm: 1.0, skins_mm: 0.0, infill_mm: 0.0, support_mm: 0.0, support_g: 0.0,
///     travel_mm: 0.0, extruded_mm3: 1.0, spread: Spread::of(1.0, 0.06),
/// };
/// // Small pins wait for their layers to set: five together take hardly longer than one.
/// let one = plate_time(&[(&pin, 1)], 50.0, sheet, class);
/// let five = plate_time(&[(&pin, 5)], 50.0, sheet, class);
/// assert!(five.print_time_s < 2.0 * one.print_time_s);
/// ```
#[must_use]
pub fn plate_time(
    items: &[(&Estimate, u32)],
    hop_mm: f64,
    sheet: &ProcessSheet,
    class: &PrinterClass,
) -> PlateTime {
    let hop_s = rest_to_rest_s(hop_mm.max(0.0), class.travel_speed_mm_s, class.accel_mm_s2)
        .unwrap_or(0.0)
        + sheet.pull_back_s;
    let layers = items
        .iter()
        .map(|(estimate, _)| estimate.layer_s.len())
        .max()
        .unwrap_or(0);
    let mut print_time_s = 0.0;
    for layer in 0..layers {
        let mut copies = 0.0;
        let mut lines_s = 0.0;
        for (estimate, count) in items {
            if let Some(&s) = estimate.layer_s.get(layer).filter(|&&s| s > 0.0) {
                copies += f64::from(*count);
                lines_s += f64::from(*count) * s;
            }
        }
        if copies > 0.0 {
            let between_s = (copies - 1.0) * hop_s;
            print_time_s +=
                (lines_s + between_s).max(sheet.min_layer_time_s) + class.layer_change_s;
        }
    }
    let warmup_s = items
        .iter()
        .map(|(estimate, _)| estimate.warmup_s)
        .fold(0.0, f64::max);
    PlateTime {
        print_time_s,
        warmup_s,
        spread: Spread::of(print_time_s, class.time_sigma),
    }
}
