//! Nothing gets lost between a mesh and its lines: volumes of real parts against what is laid.

use std::process::ExitCode;

use partpledge_catalogue::{Catalogue, ProcessSheet};
use partpledge_sections::outlines::offset;
use partpledge_sections::{Outlines, area_mm2, cut_layers, united_volume_mm3};
use partpledge_toolpath::{LineKind, Paths, paths};

use crate::outside::{Part, parts};

/// Laid at 100 % infill, by the volume of the mesh: how far off a part may be.
const LAID_WITHIN: f64 = 0.02;
/// Layers added up, by the volume of the mesh.
const SUM_WITHIN: f64 = 0.001;
/// Layers of the sums, from coarse to fine, for every part.
const CUTS: [usize; 4] = [50, 100, 200, 400];
/// Where flat faces lie between two layers the sum nears the volume slowly: so many at most.
const MOST_CUTS: usize = 12_800;
/// A part is too thin for lines when more than this share of its layers is narrower than a line.
const THIN_SHARE: f64 = 0.5;
/// Least shares of parts for which each must hold; for 98 of 100 both did when this was set.
const LEAST_LAID: f64 = 0.95;
const LEAST_SUM: f64 = 0.95;

/// What was found of a part.
struct Row {
    file: String,
    /// Share of the area that is narrower than a line.
    thin: f64,
    /// Laid by mesh volume, less 1.
    laid_by_mesh: f64,
    /// Laid by area of the layers times their heights, less 1.
    laid_by_layers: f64,
    /// Added-up layers by mesh volume, less 1, for each of [`CUTS`].
    sums: [f64; CUTS.len()],
    /// The same with as many layers as it took, and how many.
    finest: (f64, usize),
}

/// Prints a line for each part that is off, and how many are not; fails below the floors.
pub(crate) fn run(list: &str) -> ExitCode {
    let catalogue = Catalogue::built_in();
    let Some(sheet) = catalogue.plain_sheet("PLA") else {
        return ExitCode::FAILURE;
    };
    let sheet = ProcessSheet {
        infill_percent: 100.0,
        ..sheet.clone()
    };
    let rows: Result<Vec<Row>, String> =
        parts(list).and_then(|parts| parts.iter().map(|part| row(part, &sheet)).collect());
    match rows {
        Ok(rows) if !rows.is_empty() => judged(&rows),
        Ok(_) => {
            eprintln!("{list} names no part");
            ExitCode::from(2)
        }
        Err(why) => {
            eprintln!("{why}");
            ExitCode::from(2)
        }
    }
}

fn row(part: &Part, sheet: &ProcessSheet) -> Result<Row, String> {
    let told = |e: partpledge_sections::SliceError| format!("{}: {e}", part.file);
    let (first_mm, layer_mm) = (sheet.first_layer_height_mm, sheet.layer_height_mm);
    let cut = cut_layers(&part.mesh, first_mm, layer_mm).map_err(told)?;
    let height = |i: usize| if i == 0 { first_mm } else { layer_mm };
    let over = |area: &dyn Fn(&Outlines) -> f64| -> f64 {
        let each = cut.iter().enumerate();
        each.map(|(i, section)| area(&section.outlines) * height(i))
            .sum()
    };
    let layers = over(&area_mm2);
    let half_mm = sheet.line_width_mm / 2.0;
    let wide = over(&|outlines| area_mm2(&offset(&offset(outlines, -half_mm), half_mm)));
    let laid = part_mm3(&paths(&cut, sheet));
    let sum = |cuts| -> Result<f64, String> {
        let volume = united_volume_mm3(&part.mesh, cuts).map_err(told)?;
        Ok(volume / part.volume_mm3 - 1.0)
    };
    let mut sums = [0.0; CUTS.len()];
    for (into, cuts) in sums.iter_mut().zip(CUTS) {
        *into = sum(cuts)?;
    }
    let mut finest = (sums[CUTS.len() - 1], CUTS[CUTS.len() - 1]);
    while finest.0.abs() > SUM_WITHIN && finest.1 < MOST_CUTS {
        let cuts = finest.1 * 2;
        finest = (sum(cuts)?, cuts);
    }
    Ok(Row {
        file: part.file.clone(),
        thin: 1.0 - wide / layers,
        laid_by_mesh: laid / part.volume_mm3 - 1.0,
        laid_by_layers: laid / layers - 1.0,
        sums,
        finest,
    })
}

/// Volume of the lines that become part of the part: no support, no brim.
fn part_mm3(laid: &Paths) -> f64 {
    let kinds = [LineKind::Wall, LineKind::Skin, LineKind::Infill];
    let length_mm = |kind| {
        let layers = laid.layers.iter();
        layers
            .map(|layer| layer.length_mm(Some(kind)) * layer.bead_mm2)
            .sum::<f64>()
    };
    kinds.map(length_mm).iter().sum()
}

impl Row {
    fn laid(&self) -> bool {
        self.laid_by_mesh.abs() <= LAID_WITHIN
    }

    fn summed(&self) -> bool {
        self.finest.0.abs() <= SUM_WITHIN
    }

    fn thin(&self) -> bool {
        self.thin > THIN_SHARE
    }

    /// Why it is off, as far as numbers tell.
    fn cause(&self) -> &'static str {
        if self.thin() {
            "too thin for lines in most places"
        } else if !self.summed() {
            "its layers have another volume than its mesh: bodies overlap, or slits are closed"
        } else if self.laid_by_layers.abs() <= LAID_WITHIN {
            "laid as its layers say: whole layers are higher or lower than the part"
        } else {
            "more or less is laid than its layers hold"
        }
    }
}

fn judged(rows: &[Row]) -> ExitCode {
    let (thin, fit): (Vec<&Row>, Vec<&Row>) = rows.iter().partition(|row| row.thin());
    for row in rows.iter().filter(|row| !row.laid() || !row.summed()) {
        println!(
            "  laid {:+.2} %, by its layers {:+.2} %; {} layers add up to {:+.3} %: {}: {}",
            100.0 * row.laid_by_mesh,
            100.0 * row.laid_by_layers,
            row.finest.1,
            100.0 * row.finest.0,
            row.cause(),
            row.file
        );
    }
    let share = |rows: &[&Row], holds: fn(&Row) -> bool| {
        let held = rows.iter().filter(|row| holds(row)).count();
        (held, held as f64 / rows.len().max(1) as f64)
    };
    let (laid, laid_share) = share(&fit, Row::laid);
    println!(
        "laid at 100 % infill: {laid} of {} parts within 2 % of the mesh; {} more are too thin for lines",
        fit.len(),
        thin.len()
    );
    let (summed, sum_share) = share(&rows.iter().collect::<Vec<_>>(), Row::summed);
    println!(
        "layers added up: {summed} of {} parts within 0.1 % of the mesh",
        rows.len()
    );
    order(rows);
    if laid_share < LEAST_LAID || sum_share < LEAST_SUM {
        println!("asked for: {LEAST_LAID} and {LEAST_SUM} of the parts");
        return ExitCode::FAILURE;
    }
    ExitCode::SUCCESS
}

/// Says how fast the sums near the volume: 2 for slopes, 1 for flat faces between two layers.
fn order(rows: &[Row]) {
    let middle = |i: usize| {
        let mut gaps: Vec<f64> = rows.iter().map(|row| row.sums[i].abs()).collect();
        gaps.sort_by(f64::total_cmp);
        gaps[gaps.len() / 2]
    };
    let gaps: Vec<f64> = (0..CUTS.len()).map(middle).collect();
    let said: Vec<String> = CUTS
        .iter()
        .zip(&gaps)
        .map(|(cuts, gap)| format!("{:.4} % at {cuts}", 100.0 * gap))
        .collect();
    let (first, last) = (gaps[0], gaps[CUTS.len() - 1]);
    let finer = CUTS[CUTS.len() - 1] as f64 / CUTS[0] as f64;
    println!(
        "  middle gap {}: order {:.1}",
        said.join(", "),
        (first / last).ln() / finer.ln()
    );
}
