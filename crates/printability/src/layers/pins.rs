//! Upright pins too thin to stay, and lettering too fine to read.

use clipper2_rust::Path64;
use partpledge_sections::Outlines;
use partpledge_sections::outlines::area_mm2;
use partpledge_words::{grouped, said};

use super::trails::{Trail, Trails};
use super::{Cut, middle, roundness};
use crate::finding::{Finding, Severity};
use crate::words::short;

/// Upright pins thinner than this snap off by hand, mm. Common practice, no source.
const THIN_PIN_MM: f64 = 2.5;
/// A pin is at least this many times as high as it is thick; less is a stud. Derived here.
const PIN_SLENDER: f64 = 1.5;
/// This much of the circle with its rim's length: rounder than a square. Derived here.
const ROUND: f64 = 0.7;
/// Lettering rises or sinks at most this much, mm. Common practice, no source.
pub(super) const LETTER_HIGH_MM: f64 = 2.0;
/// Fewer strokes than this that start together are no lettering. Derived here.
const FEWEST_STROKES: usize = 4;
/// Strokes of one line of lettering are at most this far from the next, mm. Derived here.
const STROKES_APART_MM: f64 = 12.0;

/// Middle and width of every piece of a layer that is round and thin.
pub(super) fn thin_rounds(outlines: &Outlines) -> Vec<([f64; 2], f64)> {
    let one = |path: &Path64| {
        let alone = vec![path.clone()];
        let (round, across) = roundness(&alone, area_mm2(&alone))?;
        (round > ROUND && across < THIN_PIN_MM).then(|| (middle(&alone), across))
    };
    outlines.iter().filter_map(one).collect()
}

/// The thinnest pin.
pub(super) fn pin(cut: &Cut<'_>, trails: Trails) -> Option<Finding> {
    let pins: Vec<Trail> = trails
        .ended()
        .into_iter()
        .filter(|trail| trail.height_mm >= PIN_SLENDER * trail.size_mm)
        .collect();
    let thinnest = pins.iter().min_by(|a, b| {
        a.size_mm
            .total_cmp(&b.size_mm)
            .then(a.z_mm.total_cmp(&b.z_mm))
    })?;
    Some(Finding {
        code: "thin-pin",
        severity: Severity::Warning,
        place_mm: Some(cut.own_mm(thinnest.at_mm, thinnest.z_mm)),
        measured: Some(thinnest.size_mm),
        limit: Some(THIN_PIN_MM),
        unit: "mm",
        why: said!(
            "findings-thin-pin",
            thick = short(thinnest.size_mm),
            high = short(thinnest.height_mm),
            more = pins.len() - 1
        ),
        what_to_do: said!("findings-thin-pin-do", thick = short(THIN_PIN_MM)),
        source: "2.5 mm: common practice, no source; measured on the layers, derived here",
    })
}

/// Takes low thin strokes that start together out of the trails of walls (or gaps), as lettering:
/// the strokes, thinnest first; none when there is no lettering.
pub(super) fn lettering(trails: &mut Vec<Trail>) -> Vec<Trail> {
    let (low, rest): (Vec<Trail>, Vec<Trail>) = trails
        .drain(..)
        .partition(|trail| trail.height_mm <= LETTER_HIGH_MM);
    *trails = rest;
    let mut groups: Vec<Vec<Trail>> = Vec::new();
    for stroke in low {
        let near = |other: &Trail| {
            let [dx, dy] = [
                other.at_mm[0] - stroke.at_mm[0],
                other.at_mm[1] - stroke.at_mm[1],
            ];
            other.first == stroke.first && dx.hypot(dy) <= STROKES_APART_MM
        };
        // One stroke may join two groups.
        let (close, apart): (Vec<_>, Vec<_>) =
            groups.into_iter().partition(|group| group.iter().any(near));
        groups = apart;
        let mut joined: Vec<Trail> = close.into_iter().flatten().collect();
        joined.push(stroke);
        groups.push(joined);
    }
    let mut letters = Vec::new();
    for group in groups {
        if group.len() >= FEWEST_STROKES {
            letters.extend(group);
        } else {
            trails.extend(group);
        }
    }
    letters.sort_by(|a, b| {
        let first = |t: &Trail| (t.z_mm, t.at_mm[0], t.at_mm[1]);
        let (p, q) = (first(a), first(b));
        a.size_mm
            .total_cmp(&b.size_mm)
            .then(p.0.total_cmp(&q.0))
            .then(p.1.total_cmp(&q.1))
            .then(p.2.total_cmp(&q.2))
    });
    letters
}

/// What is said of lettering whose thinnest stroke is too thin; `raised` or cut in.
pub(super) fn text(
    cut: &Cut<'_>,
    letters: &[Trail],
    raised: bool,
    line_mm: f64,
) -> Option<Finding> {
    let thinnest = letters.first()?;
    let (n, thin) = (grouped(letters.len()), short(thinnest.size_mm));
    let line = short(line_mm);
    let why = if raised {
        said!("findings-fine-text-raised", n = n, thin = thin, line = line)
    } else {
        said!("findings-fine-text-cut-in", n = n, thin = thin, line = line)
    };
    Some(Finding {
        code: "fine-text",
        severity: Severity::Note,
        place_mm: Some(cut.own_mm(thinnest.at_mm, thinnest.z_mm)),
        measured: Some(thinnest.size_mm),
        limit: Some(line_mm),
        unit: "mm",
        why,
        what_to_do: said!("findings-fine-text-do", wide = short(2.0 * line_mm)),
        source: "one line: common practice, no source; width by opening or closing of the \
                 layers, derived here",
    })
}
