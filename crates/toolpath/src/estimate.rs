//! Time and mass of one copy on one class of printer.

use partpledge_catalogue::{FILAMENT_DIAMETER_MM, Material, PrinterClass, ProcessSheet};
use partpledge_words::say;
use rayon::prelude::*;

use crate::bead::filament_area_mm2;
use crate::layers::{LayerPaths, LineKind, Paths};
use crate::motion::{Chain, Limits, Stretch, rest_to_rest_s};

/// Standard normal value that one in ten throws exceeds.
const ONE_IN_TEN: f64 = 1.281_551_565_544_600_4;

/// What one copy takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Estimate {
    /// Seconds along the lines of each layer, from the bed up, before the least layer time.
    pub layer_s: Vec<f64>,
    /// Printing time in s, warming up not included.
    pub print_time_s: f64,
    /// Heating and measuring the bed, s.
    pub warmup_s: f64,
    /// Filament in mm.
    pub filament_mm: f64,
    /// Mass in g.
    pub mass_g: f64,
    /// Length of walls, mm.
    pub walls_mm: f64,
    /// Length of solid skins, mm, bridges included.
    pub skins_mm: f64,
    /// Length of infill, mm.
    pub infill_mm: f64,
    /// Length of support and brim, mm.
    pub support_mm: f64,
    /// Mass of support and brim, g: part of `mass_g`, and taken off afterwards.
    pub support_g: f64,
    /// Length of moves without a line, mm.
    pub travel_mm: f64,
    /// Volume laid, mm³.
    pub extruded_mm3: f64,
    /// Nine in ten to one in ten of the printing time.
    pub spread: Spread,
}

/// Printing time that one run in ten, and nine in ten, stay below.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// Seconds.
    pub p10_s: f64,
    /// Seconds.
    pub p90_s: f64,
}

/// Why there is no estimate.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum EstimateError {
    /// Nothing would be laid: the part is thinner than a line everywhere.
    #[error("{}", say!("errors-nothing-laid", sheet = sheet))]
    NothingLaid {
        /// Code of the sheet.
        sheet: String,
    },
    /// The class does not take the material.
    #[error("{}", say!("errors-material-not-taken", class = class, material = material))]
    MaterialNotTaken {
        /// Code of the class.
        class: String,
        /// Code of the material.
        material: String,
    },
}

impl Spread {
    /// The spread of a time whose logarithm has the standard deviation `sigma`.
    ///
    /// # Source
    /// Lognormal quantiles; sigma is a prior of the printer class (common practice, no source).
    #[must_use]
    pub fn of(time_s: f64, sigma: f64) -> Self {
        let by = (ONE_IN_TEN * sigma).exp();
        Self {
            p10_s: time_s / by,
            p90_s: time_s * by,
        }
    }
}

/// Time, filament and mass of the lines on a printer of that class.
///
/// Speeds are the sheet's, cut down by the class and by how much molten material a second the
/// printer and the filament give; the first layer is slower. Each layer is one movement that looks
/// ahead through corners and short hops; where the filament is pulled back the head stops.
///
/// # Errors
/// [`EstimateError`].
/// # Source
/// Motion: [`crate::motion`]. Volume is length times section; the numbers of the 20 mm cube in
/// `checks/physics` (recomputed) are a test.
pub fn time(
    paths: &Paths,
    sheet: &ProcessSheet,
    class: &PrinterClass,
    material: &Material,
) -> Result<Estimate, EstimateError> {
    if !class.takes(&material.code) {
        let (class, material) = (class.code.clone(), material.code.clone());
        return Err(EstimateError::MaterialNotTaken { class, material });
    }
    let volume_mm3 = paths.volume_mm3();
    if volume_mm3 <= 0.0 {
        return Err(EstimateError::NothingLaid {
            sheet: sheet.code.clone(),
        });
    }
    let layer_s: Vec<f64> = paths
        .layers
        .par_iter()
        .enumerate()
        .map(|(i, layer)| layer_s(layer, i == 0, sheet, class))
        .collect();
    let print_time_s = layer_s
        .iter()
        .map(|&s| {
            if s > 0.0 {
                s.max(sheet.min_layer_time_s) + class.layer_change_s
            } else {
                0.0
            }
        })
        .sum();
    Ok(Estimate {
        layer_s,
        print_time_s,
        warmup_s: class.warmup_s(material),
        filament_mm: volume_mm3 / filament_area_mm2(FILAMENT_DIAMETER_MM),
        mass_g: volume_mm3 * material.density_g_mm3(),
        walls_mm: paths.length_mm(LineKind::Wall),
        skins_mm: paths.length_mm(LineKind::Skin) + paths.length_mm(LineKind::Bridge),
        infill_mm: paths.length_mm(LineKind::Infill),
        support_mm: paths.length_mm(LineKind::Support) + paths.length_mm(LineKind::Brim),
        support_g: paths.taken_off_mm3() * material.density_g_mm3(),
        travel_mm: paths.travel_mm(),
        extruded_mm3: volume_mm3,
        spread: Spread::of(print_time_s, class.time_sigma),
    })
}

/// Speed in mm/s of each kind of line of a layer, with every limit of sheet and class applied.
pub(crate) fn speeds(
    bead_mm2: f64,
    first: bool,
    sheet: &ProcessSheet,
    class: &PrinterClass,
) -> impl Fn(LineKind) -> f64 {
    let flow_mm3_s = class.max_flow_mm3_s.min(sheet.max_flow_mm3_s);
    let most = class.max_speed_mm_s.min(flow_mm3_s / bead_mm2);
    move |kind| {
        let wanted = match kind {
            _ if first => sheet.first_layer_speed_mm_s,
            LineKind::Brim | LineKind::Wall => sheet.wall_speed_mm_s,
            LineKind::Support => sheet.support_speed_mm_s,
            LineKind::Skin => sheet.skin_speed_mm_s,
            LineKind::Bridge => sheet.bridge_speed_mm_s,
            LineKind::Infill => sheet.infill_speed_mm_s,
        };
        wanted.min(most)
    }
}

/// Seconds along the lines of one layer.
fn layer_s(layer: &LayerPaths, first: bool, sheet: &ProcessSheet, class: &PrinterClass) -> f64 {
    let speed = speeds(layer.bead_mm2, first, sheet, class);
    let limits = Limits {
        accel_mm_s2: class.accel_mm_s2,
        corner_deviation_mm: class.corner_deviation_mm,
    };
    let mut chain = Chain::new(limits);
    let travel = |from: [f64; 2], to: [f64; 2]| Stretch {
        by_mm: [to[0] - from[0], to[1] - from[1]],
        speed_mm_s: class.travel_speed_mm_s,
    };
    let entry_s = rest_to_rest_s(layer.entry_mm, class.travel_speed_mm_s, class.accel_mm_s2);
    let mut total = if layer.lines.is_empty() {
        0.0
    } else {
        entry_s.unwrap_or(0.0)
    };
    let mut at: Option<[f64; 2]> = None;
    for line in &layer.lines {
        if line.pull_back {
            total += chain.finish_s() + sheet.pull_back_s;
        }
        if let Some(from) = at {
            chain.push(travel(from, line.points[0]));
        }
        if line.pull_back {
            total += chain.finish_s();
        }
        for step in line.points.windows(2) {
            let by_mm = [step[1][0] - step[0][0], step[1][1] - step[0][1]];
            chain.push(Stretch {
                by_mm,
                speed_mm_s: speed(line.kind),
            });
        }
        at = line.points.last().copied();
    }
    total + chain.finish_s()
}
