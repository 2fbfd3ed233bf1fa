//! A part of which no printer could lay anything: all of it is finer than a line.

use partpledge_sections::Outlines;
use partpledge_sections::outlines::{area_mm2, offset};
use partpledge_words::said;

use super::thin::GOOD_LINES;
use super::{Cut, thickness_mm};
use crate::finding::{Finding, Severity};
use crate::subject::Subject;
use crate::words::short;

/// A place drawn exactly as wide as a line is wide enough, mm.
const ROUNDING_MM: f64 = 0.005;
/// A place narrower than a line still gets some plastic when it is at least this part of one wide,
/// and so many times as large as a line is wide, squared. Derived here, from how lines are laid.
const LEAST_LINES: f64 = 0.5;
const LEAST_SQUARES: f64 = 1.5;

/// Said when no layer has a place that a line would be laid in.
pub(super) fn finding(subject: &Subject<'_>, cut: &Cut<'_>) -> Option<Finding> {
    let line = subject.limits.line_width_mm;
    if cut.sections.iter().any(|layer| lays(&layer.outlines, line)) {
        return None;
    }
    let wide = |layer: &Outlines| thickness_mm(layer, line);
    let layers = cut.sections.iter().map(|layer| &layer.outlines);
    let widest = layers.filter(|layer| !layer.is_empty()).map(wide);
    let widest = widest.fold(0.0, f64::max);
    Some(Finding {
        code: "finer-than-line",
        severity: Severity::Blocking,
        place_mm: None,
        measured: Some(widest),
        limit: Some(line),
        unit: "mm",
        why: said!(
            "findings-finer-than-line",
            line = short(line),
            wide = short(widest)
        ),
        what_to_do: said!(
            "findings-finer-than-line-do",
            thick = short(GOOD_LINES * line)
        ),
        source: "derived here",
    })
}

/// Whether anything would be laid in a layer.
fn lays(outlines: &Outlines, line: f64) -> bool {
    let holds = |wide: f64| !offset(outlines, -wide / 2.0).is_empty();
    !outlines.is_empty()
        && (holds(line - 2.0 * ROUNDING_MM)
            || area_mm2(outlines) > LEAST_SQUARES * line * line && holds(LEAST_LINES * line))
}
