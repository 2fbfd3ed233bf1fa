//! Findings about how large the part is: its unit, and the printers it fits.

use partpledge_mesh::fits_any_way_up;
use partpledge_units::length::LengthUnit;

use crate::finding::{Finding, Severity};
use crate::subject::{Bed, Subject};
use crate::unit_guess::{UnitJudgement, UnitSource};
use crate::words::{many, size};

/// A guessed unit less sure than this is a warning. Common practice, no source.
const SURE_ENOUGH: f64 = 0.8;
const PRACTICE: &str = "common practice, no source";

pub(crate) fn findings(subject: &Subject<'_>) -> Vec<Finding> {
    let size_mm = subject.facts.size_mm;
    let found = [unit(&subject.unit, size_mm), fit(size_mm, subject.beds)];
    found.into_iter().flatten().collect()
}

fn name(unit: LengthUnit) -> &'static str {
    match unit {
        LengthUnit::Micron => "microns",
        LengthUnit::Millimetre => "millimetres",
        LengthUnit::Centimetre => "centimetres",
        LengthUnit::Inch => "inches",
        LengthUnit::Foot => "feet",
        LengthUnit::Metre => "metres",
    }
}

fn unit(unit: &UnitJudgement, size_mm: [f64; 3]) -> Option<Finding> {
    if unit.source != UnitSource::Guess {
        return None;
    }
    let doubtful = unit.confidence < SURE_ENOUGH;
    if !doubtful && unit.used == LengthUnit::Millimetre {
        return None;
    }
    let (code, severity) = if doubtful {
        ("unit-doubtful", Severity::Warning)
    } else {
        ("unit-guessed", Severity::Note)
    };
    let sureness = if doubtful { "We are not sure. " } else { "" };
    Some(Finding {
        code,
        severity,
        place_mm: None,
        measured: Some(unit.confidence),
        limit: Some(SURE_ENOUGH),
        unit: "confidence",
        why: format!(
            "The file does not say in what unit it is drawn. By its size and its round numbers we took {}, which makes \
             the part {}. {sureness}A wrong unit gives a part of the wrong size.",
            name(unit.used),
            size(size_mm)
        ),
        what_to_do:
            "Check the size above against your drawing. If it is wrong, say which unit the \
                     file is in, or export a 3MF file, which carries its unit."
                .to_owned(),
        source: PRACTICE,
    })
}

/// By the part's axis-parallel box: any of its axes upright, turned by any angle on the bed.
fn fit(size_mm: [f64; 3], beds: &[Bed]) -> Option<Finding> {
    let fitting = beds
        .iter()
        .filter(|bed| fits_any_way_up(size_mm, bed.size_mm))
        .count();
    if fitting == beds.len() {
        return None;
    }
    let largest = beds
        .iter()
        .max_by(|a, b| volume(a).total_cmp(&volume(b)).then(b.name.cmp(&a.name)))?;
    let (length, room) = tightest(size_mm, largest.size_mm);
    let (code, severity, why, what_to_do) = if fitting == 0 {
        (
            "fits-no-printer",
            Severity::Blocking,
            format!(
                "The part measures {}. It fits none of the {}, whichever side is down and however \
                 it is turned on the bed. The largest, {}, has room for {}.",
                size(size_mm),
                many(beds.len(), "printer", "printers"),
                largest.name,
                size(largest.size_mm)
            ),
            "Check the unit first. If the size is right, split the part into pieces that are \
             joined with screws or pegs, or make it smaller.",
        )
    } else {
        (
            "fits-some-printers",
            Severity::Note,
            format!(
                "The part measures {} and fits {fitting} of {} printers.",
                size(size_mm),
                beds.len()
            ),
            "Nothing. A smaller part, or one split in two, could be printed sooner.",
        )
    };
    Some(Finding {
        code,
        severity,
        place_mm: None,
        measured: Some(length),
        limit: Some(room),
        unit: "mm",
        why,
        what_to_do: what_to_do.to_owned(),
        source: "geometry of the part's box, derived here",
    })
}

/// Of the sizes in order of length, the one that most exceeds its room (or comes nearest to it).
fn tightest(mut size_mm: [f64; 3], mut room_mm: [f64; 3]) -> (f64, f64) {
    size_mm.sort_by(f64::total_cmp);
    room_mm.sort_by(f64::total_cmp);
    let pairs = size_mm.into_iter().zip(room_mm);
    pairs
        .max_by(|a, b| (a.0 - a.1).total_cmp(&(b.0 - b.1)))
        .expect("three pairs")
}

fn volume(bed: &Bed) -> f64 {
    bed.size_mm.iter().product()
}
