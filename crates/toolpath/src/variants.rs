//! Other walls and infill for the same part: what they weigh, take and give.

use partpledge_catalogue::{Material, PrinterClass, ProcessSheet};
use partpledge_sections::Section;

use crate::estimate::{Estimate, time};
use crate::layers::{Paths, paths};
use crate::strength::{Build, tip_give_mm_per_n, weakest};

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

/// Choices that are a tenth lighter or quicker, not heavier nor slower, and no less stiff nor weaker
/// in bending at the weakest layer: the lightest, and the quickest if that is another. Every line of each is
/// laid and timed. At most six are tried, all with more walls and less infill: by the model, stiffness
/// goes with the square of infill and mass with infill itself, so that less wall never pays.
///
/// `load` is as for [`weakest`]. Empty where nothing is worth a word.
#[must_use]
pub fn variants(
    cuts: &[Section],
    now: (&Paths, &Estimate),
    process: (&ProcessSheet, &PrinterClass, &Material),
    load: Option<[f64; 3]>,
) -> Vec<Variant> {
    let (sheet, class, material) = process;
    let bears = |paths: &Paths, sheet: &ProcessSheet| {
        let build = Build::new(cuts, paths, sheet);
        let weak = weakest(&build, &material.strength, load)?;
        let give = tip_give_mm_per_n(&build, load);
        Some([1.0 / give, weak.bending.load_n[0], weak.pull.load_n[0]])
    };
    let Some(asked) = bears(now.0, sheet).filter(|all| all.iter().all(|&x| x > 0.0)) else {
        return Vec::new();
    };
    let tried = others(sheet).into_iter().filter_map(|other| {
        let laid = paths(cuts, &other);
        let got = bears(&laid, &other)?;
        if got[0] < asked[0] || got[1] < asked[1] {
            return None;
        }
        let estimate = time(&laid, &other, class, material).ok()?;
        Some(Variant {
            walls: other.walls,
            infill_percent: other.infill_percent,
            mass_g: estimate.mass_g,
            print_time_s: estimate.print_time_s,
            mass_ratio: estimate.mass_g / now.1.mass_g,
            time_ratio: estimate.print_time_s / now.1.print_time_s,
            stiffness_ratio: got[0] / asked[0],
            pull_ratio: got[2] / asked[2],
        })
    });
    let worth = |v: &Variant| {
        let (mass, time) = (v.mass_ratio, v.time_ratio);
        mass <= 1.0 && time <= 1.0 && mass.min(time) <= 1.0 - LEAST_GAIN
    };
    best(&tried.filter(worth).collect::<Vec<_>>())
}

/// The lightest, and the quickest if that is another.
fn best(found: &[Variant]) -> Vec<Variant> {
    let least = |of: fn(&Variant) -> f64| found.iter().min_by(|a, b| of(a).total_cmp(&of(b)));
    let lightest = least(|v| v.mass_ratio);
    let quickest = least(|v| v.time_ratio).filter(|&quick| Some(quick) != lightest);
    lightest.into_iter().chain(quickest).copied().collect()
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
