//! Thick blocks that a hollow would make lighter and sooner.

use partpledge_sections::outlines::{area_mm2, offset, perimeter_mm};
use partpledge_sections::{Outlines, Section};
use partpledge_units::cast::round_usize;
use partpledge_words::{Said, decimal, said};
use rayon::prelude::*;

use super::{Cut, common, middle};
use crate::finding::{Finding, Severity};
use crate::subject::Subject;
use crate::words::short;

/// Solid that is left round a hollow, mm. Common practice, no source.
const LEFT_MM: f64 = 4.0;
/// Layers looked at.
const MOST_SAMPLED: usize = 48;
/// Less than this saved is not worth the trouble, g and minutes. Common practice, no source.
const WORTH_G: f64 = 10.0;
const WORTH_MIN: f64 = 30.0;

/// What a hollow of everything deeper than [`LEFT_MM`] would save: the filling of it, less the
/// walls that it needs itself. It is open below, so that it needs no roof but its own slope.
///
/// # Source
/// Derived here: filling is `infill` of the hollow's volume; a wall of as many lines as the sheet
/// has goes round it; minutes are the plastic saved over the flow of the filling.
pub(super) fn finding(subject: &Subject<'_>, cut: &Cut<'_>) -> Option<Finding> {
    let plastic = subject.plastic?;
    // Most parts have less filling in all than is worth a word; they are not looked at closer.
    let filling_g = plastic.infill_share * solid_mm3(cut) * plastic.density_g_mm3;
    if filling_g < WORTH_G {
        return None;
    }
    let hollow = Hollow::of(cut)?;
    let filling_mm3 = plastic.infill_share * hollow.volume_mm3;
    let walls_mm3 = (1.0 - plastic.infill_share) * plastic.walls_mm * hollow.sides_mm2;
    let saved_mm3 = filling_mm3 - walls_mm3;
    let grams = saved_mm3 * plastic.density_g_mm3;
    let minutes = saved_mm3 / plastic.infill_mm3_s.max(1e-9) / 60.0;
    if grams < WORTH_G || minutes < WORTH_MIN {
        return None;
    }
    Some(Finding {
        code: "solid-block",
        severity: Severity::Note,
        place_mm: Some(cut.own_mm(hollow.at_mm, hollow.z_mm)),
        measured: Some(grams),
        limit: Some(WORTH_G),
        unit: "g",
        why: said!(
            "findings-solid-block",
            left = short(LEFT_MM),
            grams = decimal(grams, 0),
            time = hours(minutes)
        ),
        what_to_do: said!("findings-solid-block-do", left = short(LEFT_MM)),
        source: "volume deeper than 4 mm, from the layers, derived here; worth a word from 10 g \
                 and half an hour: common practice, no source",
    })
}

fn hours(minutes: f64) -> Said {
    if minutes < 90.0 {
        said!("findings-minutes", n = decimal(minutes, 0))
    } else {
        said!("findings-hours", n = short((minutes / 6.0).round() / 10.0))
    }
}

/// Everything deeper than [`LEFT_MM`].
struct Hollow {
    volume_mm3: f64,
    sides_mm2: f64,
    at_mm: [f64; 2],
    z_mm: f64,
}

impl Hollow {
    fn of(cut: &Cut<'_>) -> Option<Self> {
        let sections = cut.sections;
        let (first, last) = (sections.first()?, sections.last()?);
        let layer_mm = (last.z_mm - first.z_mm) / (sections.len() - 1).max(1) as f64;
        if layer_mm <= 0.0 {
            return None;
        }
        let step = sections.len().div_ceil(MOST_SAMPLED);
        let rise = layer_mm * step as f64;
        let sampled: Vec<&Section> = sections.iter().step_by(step).collect();
        let deep: Vec<Outlines> = sampled
            .par_iter()
            .map(|section| offset(&section.outlines, -LEFT_MM))
            .collect();
        let above = round_usize(LEFT_MM / rise).unwrap_or(0).max(1);
        let mut out = Self {
            volume_mm3: 0.0,
            sides_mm2: 0.0,
            at_mm: [0.0; 2],
            z_mm: 0.0,
        };
        let (mut largest, mut top) = (0.0, Outlines::new());
        for k in 0..deep.len().saturating_sub(above) {
            let core = common(&deep[k], &deep[k + above]);
            let area = area_mm2(&core);
            out.volume_mm3 += area * rise;
            out.sides_mm2 += perimeter_mm(&core) * rise;
            if area > largest {
                largest = area;
                (out.at_mm, out.z_mm) = (middle(&core), sampled[k].z_mm);
            }
            if area > 0.0 {
                top = core;
            }
        }
        out.volume_mm3 -= roof_mm3(top, rise);
        (largest > 0.0 && out.volume_mm3 > 0.0).then_some(out)
    }
}

/// Volume of the part by its layers, mm³.
fn solid_mm3(cut: &Cut<'_>) -> f64 {
    let (Some(first), Some(last)) = (cut.sections.first(), cut.sections.last()) else {
        return 0.0;
    };
    let layer_mm = (last.z_mm - first.z_mm) / (cut.sections.len() - 1).max(1) as f64;
    let areas = cut
        .sections
        .iter()
        .map(|section| area_mm2(&section.outlines));
    areas.sum::<f64>() * layer_mm
}

/// What a roof that leans in at 45 degrees takes away over this outline, mm³.
fn roof_mm3(top: Outlines, rise_mm: f64) -> f64 {
    let whole = area_mm2(&top);
    let (mut left, mut lost, mut steps) = (top, 0.0, 0);
    while !left.is_empty() && steps < MOST_SAMPLED {
        lost += (whole - area_mm2(&left)) * rise_mm;
        left = offset(&left, -rise_mm);
        steps += 1;
    }
    lost
}
