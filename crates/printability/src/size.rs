//! Findings about how large the part is: its unit, and the printers it fits.

use partpledge_mesh::fits_any_way_up;
use partpledge_units::length::LengthUnit;
use partpledge_words::{Said, grouped, said, say};

use crate::finding::{Finding, Severity};
use crate::subject::{Bed, Subject};
use crate::unit_guess::{UnitJudgement, UnitSource};
use crate::words::size;

/// A guessed unit less sure than this is a warning. Common practice, no source.
const SURE_ENOUGH: f64 = 0.8;
const PRACTICE: &str = "common practice, no source";

pub(crate) fn findings(subject: &Subject<'_>) -> Vec<Finding> {
    let size_mm = subject.facts.size_mm;
    let found = [
        unit(&subject.unit, size_mm),
        fit(size_mm, subject.beds, subject.beds_as_it_stands),
    ];
    found.into_iter().flatten().collect()
}

fn name(unit: LengthUnit) -> Said {
    say(match unit {
        LengthUnit::Micron => "findings-microns",
        LengthUnit::Millimetre => "findings-millimetres",
        LengthUnit::Centimetre => "findings-centimetres",
        LengthUnit::Inch => "findings-inches",
        LengthUnit::Foot => "findings-feet",
        LengthUnit::Metre => "findings-metres",
    })
}

fn unit(unit: &UnitJudgement, size_mm: [f64; 3]) -> Option<Finding> {
    if unit.source != UnitSource::Guess {
        return None;
    }
    let doubtful = unit.confidence < SURE_ENOUGH;
    if !doubtful && unit.used == LengthUnit::Millimetre {
        return None;
    }
    let (name, size) = (name(unit.used), size(size_mm));
    let (code, severity, why) = if doubtful {
        let why = said!("findings-unit-doubtful", unit = name, size = size);
        ("unit-doubtful", Severity::Warning, why)
    } else {
        let why = said!("findings-unit-guessed", unit = name, size = size);
        ("unit-guessed", Severity::Note, why)
    };
    Some(Finding {
        code,
        severity,
        place_mm: None,
        measured: Some(unit.confidence),
        limit: Some(SURE_ENOUGH),
        unit: "confidence",
        why,
        what_to_do: said!("findings-unit-do"),
        source: PRACTICE,
    })
}

/// By the part's axis-parallel box: any of its axes upright, turned by any angle on the bed. What fits
/// somewhere is counted as it stands, if that is known: it will be printed so.
fn fit(size_mm: [f64; 3], beds: &[Bed], as_it_stands: Option<usize>) -> Option<Finding> {
    let any_way_up = beds
        .iter()
        .filter(|bed| fits_any_way_up(size_mm, bed.size_mm))
        .count();
    let standing = as_it_stands.filter(|_| any_way_up > 0);
    let fitting = standing.unwrap_or(any_way_up);
    if fitting == beds.len() {
        return None;
    }
    // Where it fits no way up; none when it fits everywhere but not as it stands.
    let largest = too_small(size_mm, beds);
    let exceeds = largest.map(|bed| tightest(size_mm, bed.size_mm));
    let (code, severity, why, what_to_do) = if any_way_up == 0 {
        (
            "fits-no-printer",
            Severity::Blocking,
            said!(
                "findings-fits-no-printer",
                size = size(size_mm),
                n = grouped(beds.len()),
                largest = largest?.name,
                room = size(largest?.size_mm)
            ),
            said!("findings-fits-no-printer-do"),
        )
    } else if let Some(largest) = largest {
        (
            "fits-some-printers",
            Severity::Note,
            said!(
                "findings-fits-not-all",
                size = size(size_mm),
                fitting = fitting,
                n = beds.len(),
                bed = largest.name,
                room = size(largest.size_mm)
            ),
            said!("findings-fits-some-printers-do"),
        )
    } else {
        (
            "fits-some-printers",
            Severity::Note,
            said!(
                "findings-fits-some-printers",
                size = size(size_mm),
                fitting = fitting,
                n = beds.len()
            ),
            said!("findings-fits-some-printers-do"),
        )
    };
    Some(Finding {
        code,
        severity,
        place_mm: None,
        measured: exceeds.map(|(length, _)| length),
        limit: exceeds.map(|(_, room)| room),
        unit: "mm",
        why,
        what_to_do,
        source: "geometry of the part's box, derived here",
    })
}

/// The largest bed that a part of that size fits no way up.
#[must_use]
pub fn too_small(size_mm: [f64; 3], beds: &[Bed]) -> Option<&Bed> {
    let short = beds
        .iter()
        .filter(|bed| !fits_any_way_up(size_mm, bed.size_mm));
    short.max_by(|a, b| volume(a).total_cmp(&volume(b)).then(b.name.cmp(&a.name)))
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
