//! What a part takes beside time: energy, cost, and what its weakest layer might bear.

use partpledge_catalogue::{Costs, PrinterClass, ProcessSheet};
use partpledge_costing::{Cost, Job, cost, energy_wh};
use partpledge_sections::{Section, cut_layers};
use partpledge_toolpath::strength::{Build, WeakLayers, weakest};
use partpledge_toolpath::{Estimate, Variant, lighter};
use partpledge_units::cast::int_f64;
use partpledge_units::money::Money;
use partpledge_words::{decimal, say, short};

use crate::error::WorkshopError;
use crate::estimating::{LaidPart, Process};
use crate::intake::JudgedPart;

mod one_copy;

pub(crate) use one_copy::weak_part;
pub use one_copy::{OneCopy, WeakPart, one_copies};

/// Behind so many figures there is nothing left of two that count.
const SMALLEST_DIGIT: u8 = 8;

/// What one copy takes and bears.
#[derive(Clone, Debug, PartialEq)]
pub struct Taking {
    /// Electricity, least and greatest, Wh.
    pub energy_wh: [f64; 2],
    /// What it costs, printed alone.
    pub cost: Cost,
    /// Its weakest layers; `None` for fewer than three layers.
    pub weak: Option<WeakLayers>,
    /// Other walls and infill, if worth a word.
    pub lighter: Option<Variant>,
}

/// Energy and cost of one copy or of a plate of them.
///
/// # Errors
/// [`WorkshopError::Cost`].
pub fn priced(
    job: &Job,
    process: &Process,
    class: &PrinterClass,
    costs: &Costs,
) -> Result<([f64; 2], Cost), WorkshopError> {
    let [short_s, long_s] = job.time_s;
    let of = |time_s: f64| energy_wh(class, &process.material, time_s);
    let energy = [of(short_s)[0], of(long_s)[1]];
    Ok((energy, cost(job, class, &process.material, costs)?))
}

/// What one copy takes on a class, and bears under `load`: which way it is pulled in use, in the
/// part's own axes.
///
/// # Errors
/// [`WorkshopError::Cost`], [`WorkshopError::Slice`].
pub fn taking(
    (part, laid, took): (&JudgedPart, &LaidPart, &Estimate),
    process: &Process,
    class: &PrinterClass,
    costs: &Costs,
    load: Option<[f64; 3]>,
) -> Result<Taking, WorkshopError> {
    let job = Job {
        mass_g: took.mass_g,
        time_s: [took.spread.p10_s, took.spread.p90_s].map(|s| s + took.warmup_s),
        copies: 1,
    };
    let (energy_wh, cost) = priced(&job, process, class, costs)?;
    let sheet = &process.sheet;
    let cuts = cuts(part, laid, sheet)?;
    let load = load.map(|way| standing(&laid.standing.rotation, way));
    let build = Build::new(&cuts, &laid.paths, sheet);
    let asked = (sheet, class, &process.material);
    Ok(Taking {
        energy_wh,
        cost,
        weak: weakest(&build, &process.material.strength, load),
        lighter: lighter(&cuts, (&laid.paths, took), asked, load),
    })
}

/// The cuts that the lines were laid in.
fn cuts<'a>(
    part: &'a JudgedPart,
    laid: &LaidPart,
    sheet: &ProcessSheet,
) -> Result<std::borrow::Cow<'a, [Section]>, WorkshopError> {
    if let Some(sections) = &part.sections {
        return Ok(sections.as_slice().into());
    }
    let (first_mm, layer_mm) = (sheet.first_layer_height_mm, sheet.layer_height_mm);
    Ok(cut_layers(&laid.mesh, first_mm, layer_mm)?.into())
}

/// A way in the part's own axes as it is when the part stands.
fn standing(rotation: &[f64; 9], way: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|row| (0..3).map(|k| rotation[3 * row + k] * way[k]).sum())
}

/// A way of the standing part in the part's own axes.
#[must_use]
pub fn own_axes(rotation: &[f64; 9], way: [f64; 3]) -> [f64; 3] {
    std::array::from_fn(|k| {
        (0..3)
            .map(|row| rotation[3 * row + k] * way[row])
            .sum::<f64>()
            + 0.0
    })
}

/// Two numbers as `120 to 480`, or one if they read alike: two digits that count, no more, since
/// these ranges are wide.
///
/// ```
/// use partpledge_workshop::taking::range_in_words;
/// assert_eq!(range_in_words([123.4, 4801.0]), "120 to 4800");
/// assert_eq!(range_in_words([0.0412, 0.0412]), "0.041");
/// assert_eq!(range_in_words([0.0, 3.14]), "0 to 3.1");
/// ```
#[must_use]
pub fn range_in_words([low, high]: [f64; 2]) -> String {
    // Written with two digits and read back: `4.8e3` is 4800.
    let one = |value: f64| {
        let rounded = format!("{value:.1e}").parse().unwrap_or(value);
        let shown: f64 = if rounded.abs() < 1e-6 { 0.0 } else { rounded };
        short(shown, SMALLEST_DIGIT).to_string()
    };
    joined(one(low), &one(high))
}

/// A force in newtons. Not what weighs as much: of a straight pull over a whole section that is a number
/// like a person's weight, and nobody should think that the part bears one.
///
/// ```
/// use partpledge_workshop::taking::force_in_words;
/// assert_eq!(force_in_words([120.0, 480.0]), "120 to 480 N");
/// ```
#[must_use]
pub fn force_in_words(force_n: [f64; 2]) -> String {
    say!("part-force", force = range_in_words(force_n))
}

/// Two amounts as `3.20 to 3.65 EUR`.
#[must_use]
pub fn money_in_words([low, high]: [Money; 2], costs: &Costs) -> String {
    let decimals = costs.rates.decimals;
    // Cents are whole: the nearest double has all of them.
    let amount = |money: Money| {
        decimal(
            int_f64(money.minor) / 10_f64.powi(decimals.into()),
            decimals,
        )
        .to_string()
    };
    say!(
        "part-money",
        amount = joined(amount(low), &amount(high)),
        currency = high.currency.to_string()
    )
}

fn joined(low: String, high: &str) -> String {
    if low == high {
        low
    } else {
        say!("part-range", low = low, high = high)
    }
}

/// What might be gained: `3 walls and 10 % inside instead of 2 and 20 %: 22 % lighter, ...`.
#[must_use]
pub fn lighter_in_words(variant: &Variant, sheet: &ProcessSheet) -> String {
    let less = |ratio: f64, word: &str| {
        let percent = (100.0 * (1.0 - ratio)).round();
        (percent >= 1.0).then(|| format!("{percent} % {word}"))
    };
    let stiffer = (100.0 * (variant.stiffness_ratio - 1.0)).round();
    let mut gains: Vec<String> = [
        less(variant.mass_ratio, "lighter"),
        less(variant.time_ratio, "quicker"),
    ]
    .into_iter()
    .flatten()
    .collect();
    gains.push(if stiffer >= 1.0 {
        format!("{stiffer} % stiffer sideways by our model")
    } else {
        "as stiff sideways by our model".to_owned()
    });
    gains.extend(less(variant.pull_ratio, "weaker when pulled straight up"));
    format!(
        "{} walls and {} % inside instead of {} and {} %: {}.",
        variant.walls,
        variant.infill_percent,
        sheet.walls,
        sheet.infill_percent,
        gains.join(", ")
    )
}

/// What the weakest layers might bear, in two sentences without the caution.
#[must_use]
pub fn weak_in_words(weak: &WeakLayers) -> [String; 2] {
    let (pull, bending) = (&weak.pull, &weak.bending);
    if pull.load_n[1] < 1e-3 {
        let nothing = say!(
            "part-weak-nowhere",
            layer = pull.layer + 1,
            up = decimal(pull.height_mm, 1)
        );
        return [nothing, String::new()];
    }
    let up = say!(
        "part-weak-pull",
        layer = pull.layer + 1,
        up = decimal(pull.height_mm, 1),
        force = force_in_words(pull.load_n)
    );
    if !bending.slender {
        return [up, say!("part-weak-squat")];
    }
    let aside = say!(
        "part-weak-push",
        layer = bending.layer + 1,
        up = decimal(bending.height_mm, 1),
        force = force_in_words(bending.load_n)
    );
    [up, aside]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_way_turned_to_stand_and_back_is_the_same_way() {
        // Lying on its left side: a quarter turn, and one that is no side.
        let (sin, cos) = 0.4_f64.sin_cos();
        for rotation in [
            [0.0, 0.0, -1.0, 0.0, 1.0, 0.0, 1.0, 0.0, 0.0],
            [cos, -sin, 0.0, sin, cos, 0.0, 0.0, 0.0, 1.0],
        ] {
            let way = own_axes(&rotation, standing(&rotation, [0.3, -2.0, 5.0]));
            let gap = way.iter().zip([0.3, -2.0, 5.0]).map(|(a, b)| (a - b).abs());
            assert!(gap.fold(0.0, f64::max) < 1e-12, "{way:?}");
        }
    }

    #[test]
    fn what_is_gained_is_said_with_what_is_lost() {
        let sheet = partpledge_catalogue::Catalogue::built_in().sheets[0].clone();
        let variant = Variant {
            walls: 3,
            infill_percent: 10.0,
            mass_g: 8.0,
            print_time_s: 99.7,
            mass_ratio: 0.784,
            time_ratio: 0.997,
            stiffness_ratio: 1.004,
            pull_ratio: 0.95,
        };
        assert_eq!(
            lighter_in_words(&variant, &sheet),
            "3 walls and 10 % inside instead of 2 and 20 %: 22 % lighter, as stiff sideways by our model, 5 % weaker when pulled straight up."
        );
    }
}
