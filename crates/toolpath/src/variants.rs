//! Other walls and infill for the same part: what they weigh, take and give.

use partpledge_catalogue::{Material, PrinterClass, ProcessSheet};
use partpledge_sections::outlines::common;
use partpledge_sections::{Outlines, Section};
use rayon::prelude::*;

use crate::bead::no_void_spacing_mm;
use crate::estimate::{Estimate, time};
use crate::layers::{LayerPaths, Paths, paths};
use crate::strength::{Build, tip_give_mm_per_n, weakest};
use crate::walls::walls;

/// A choice of walls and infill worth a word, against the sheet as it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Variant {
    /// Lines round each outline.
    pub walls: u32,
    /// How much of the inside is filled, percent.
    pub infill_percent: f64,
    /// Mass of one copy, g.
    pub mass_g: f64,
    /// Printing time of one copy, s.
    pub print_time_s: f64,
    /// Mass over that of the sheet as it is.
    pub mass_ratio: f64,
    /// Time over that of the sheet as it is.
    pub time_ratio: f64,
    /// Stiffness over that of the sheet as it is, by the model of
    /// [`crate::strength::tip_give_mm_per_n`].
    pub stiffness_ratio: f64,
    /// What the weakest layer might carry of a pull straight up, over that of the sheet as it is:
    /// often less, since less infill touches the next layer.
    pub pull_ratio: f64,
}

/// A gain less than this is not worth a word.
const LEAST_GAIN: f64 = 0.1;

/// Walls are tried up to this many lines.
const MOST_WALLS: u32 = 5;

/// Choices must promise this much on the sampled layers before they are laid.
const PROMISED_MASS_RATIO: f64 = 0.96;

/// Layers looked at before a choice is laid as a whole.
const SAMPLED_LAYERS: usize = 48;

/// Choices laid as a whole at most.
const MOST_LAID: usize = 2;

/// The lightest choice that is a tenth lighter or quicker, not heavier nor slower, and no less stiff nor
/// weaker in bending at the weakest layer; `None` where nothing is worth a word.
///
/// Up to six are looked at on some of the layers, all with more walls and less infill: by the model,
/// stiffness goes with the square of infill and mass with infill itself, so that less wall never pays.
/// Every line of the two that promise most is laid and timed, until one keeps its promise.
/// `load` is as for [`weakest`].
#[must_use]
pub fn lighter(
    cuts: &[Section],
    now: (&Paths, &Estimate),
    process: (&ProcessSheet, &PrinterClass, &Material),
    load: Option<[f64; 3]>,
) -> Option<Variant> {
    let (sheet, class, material) = process;
    let bears = |paths: &Paths, sheet: &ProcessSheet| {
        let build = Build::new(cuts, paths, sheet);
        let weak = weakest(&build, &material.strength, load)?;
        let give = tip_give_mm_per_n(&build, load);
        Some([1.0 / give, weak.bending.load_n[0], weak.pull.load_n[0]])
    };
    let others = promising(cuts, now.0, sheet, load);
    if others.is_empty() {
        return None;
    }
    let asked = bears(now.0, sheet).filter(|all| all.iter().all(|&x| x > 0.0))?;
    others.into_iter().take(MOST_LAID).find_map(|other| {
        let laid = paths(cuts, &other);
        let got = bears(&laid, &other)?;
        let estimate = time(&laid, &other, class, material).ok()?;
        let variant = Variant {
            walls: other.walls,
            infill_percent: other.infill_percent,
            mass_g: estimate.mass_g,
            print_time_s: estimate.print_time_s,
            mass_ratio: estimate.mass_g / now.1.mass_g,
            time_ratio: estimate.print_time_s / now.1.print_time_s,
            stiffness_ratio: got[0] / asked[0],
            pull_ratio: got[2] / asked[2],
        };
        let (mass, time) = (variant.mass_ratio, variant.time_ratio);
        let gains = mass <= 1.0 && time <= 1.0 && mass.min(time) <= 1.0 - LEAST_GAIN;
        (gains && got[0] >= asked[0] && got[1] >= asked[1]).then_some(variant)
    })
}

/// The other choices that look lighter and no less stiff on the sampled layers, lightest first.
fn promising(
    cuts: &[Section],
    now: &Paths,
    sheet: &ProcessSheet,
    load: Option<[f64; 3]>,
) -> Vec<ProcessSheet> {
    let tried = others(sheet);
    let last = cuts.len().saturating_sub(1);
    if tried.is_empty() || last == 0 {
        return Vec::new();
    }
    let count = cuts.len().min(SAMPLED_LAYERS);
    let sampled: Vec<usize> = (0..count).map(|k| k * last / (count - 1)).collect();
    let few: Vec<Section> = sampled.iter().map(|&i| cuts[i].clone()).collect();
    let own: Vec<LayerPaths> = sampled.iter().map(|&i| now.layers[i].clone()).collect();
    let looks = |layers: Vec<LayerPaths>, sheet: &ProcessSheet| {
        let aside = Outlines::new();
        let paths = Paths { layers, aside };
        let build = Build::new(&few, &paths, sheet);
        let area: f64 = (0..count).map(|i| build.area_mm2(i)).sum();
        (area, tip_give_mm_per_n(&build, load))
    };
    let (area, give) = looks(own.clone(), sheet);
    let mut found: Vec<(f64, ProcessSheet)> = tried
        .into_iter()
        .filter_map(|other| {
            let (other_area, other_give) = looks(with_walls(&few, &own, &other), &other);
            let ratio = other_area / area;
            (ratio <= PROMISED_MASS_RATIO && other_give <= give).then_some((ratio, other))
        })
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found.into_iter().map(|(_, other)| other).collect()
}

/// The layers with other walls: what was sparse and is not wall now stays sparse.
fn with_walls(cuts: &[Section], layers: &[LayerPaths], sheet: &ProcessSheet) -> Vec<LayerPaths> {
    cuts.par_iter()
        .zip(layers)
        .map(|(cut, layer)| {
            let no_void_mm = no_void_spacing_mm(sheet.line_width_mm, layer.height_mm);
            let spacing_mm = sheet.line_spacing_mm.unwrap_or(no_void_mm).max(0.01);
            let laid = walls(&cut.outlines, sheet.line_width_mm, spacing_mm, sheet.walls);
            let sparse = common(&laid.inner, &layer.sparse);
            LayerPaths {
                sparse,
                ..layer.clone()
            }
        })
        .collect()
}

/// One and two walls more, with a quarter, a half and three quarters of the infill, in steps of 5 %
/// and not under 10 %: what lies over the inside needs something to lie on.
fn others(sheet: &ProcessSheet) -> Vec<ProcessSheet> {
    let mut percents: Vec<f64> = [0.25, 0.5, 0.75]
        .map(|part| ((sheet.infill_percent * part / 5.0).floor() * 5.0).max(10.0))
        .into_iter()
        .filter(|&percent| percent < sheet.infill_percent)
        .collect();
    percents.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    let walls = (sheet.walls + 1..=sheet.walls + 2).filter(|&walls| walls <= MOST_WALLS);
    walls
        .flat_map(|walls| {
            percents.iter().map(move |&infill_percent| ProcessSheet {
                walls,
                infill_percent,
                ..sheet.clone()
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use partpledge_catalogue::Catalogue;

    use super::*;

    #[test]
    fn at_most_six_others_are_tried_and_all_have_more_walls_and_less_infill() {
        let plain = Catalogue::built_in().sheets[0].clone();
        for (walls, percent, want) in [
            (2, 20.0, 4),
            (2, 60.0, 6),
            (4, 40.0, 3),
            (2, 10.0, 0),
            (5, 60.0, 0),
        ] {
            let sheet = ProcessSheet {
                walls,
                infill_percent: percent,
                ..plain.clone()
            };
            let tried = others(&sheet);
            assert_eq!(tried.len(), want, "{walls} {percent}");
            assert!(
                tried
                    .iter()
                    .all(|o| o.walls > walls && o.infill_percent < percent)
            );
        }
    }
}
