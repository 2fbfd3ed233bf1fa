//! Upright pins too thin to stay, and lettering too fine to read.

use clipper2_rust::Path64;
use partpledge_sections::Outlines;
use partpledge_sections::outlines::area_mm2;

use super::trails::{Trail, Trails};
use super::{Cut, middle, roundness};
use crate::finding::{Finding, Severity};
use crate::words::{many, short};

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
    let more = match pins.len() {
        1 => String::new(),
        n => format!(" There {} more like it.", many_are(n - 1)),
    };
    Some(Finding {
        code: "thin-pin",
        severity: Severity::Warning,
        place_mm: Some(cut.own_mm(thinnest.at_mm, thinnest.z_mm)),
        measured: Some(thinnest.size_mm),
        limit: Some(THIN_PIN_MM),
        unit: "mm",
        why: format!(
            "This upright pin is {} mm across and at least {} mm high. Its layers are tiny discs \
             that hardly hold on to each other, so it snaps off.{more}",
            short(thinnest.size_mm),
            short(thinnest.height_mm)
        ),
        what_to_do: format!(
            "Make it {} mm across or more and round off its foot, or leave a hole and put in a \
             metal pin or a screw.",
            short(THIN_PIN_MM)
        ),
        source: "2.5 mm: common practice, no source; measured on the layers, derived here",
    })
}

fn many_are(n: usize) -> String {
    if n == 1 {
        "is 1".to_owned()
    } else {
        format!("are {n}")
    }
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
    let (what, fate) = if raised {
        ("raised", "Strokes thinner than a line are left out")
    } else {
        ("cut in", "Gaps narrower than a line close")
    };
    Some(Finding {
        code: "fine-text",
        severity: Severity::Note,
        place_mm: Some(cut.own_mm(thinnest.at_mm, thinnest.z_mm)),
        measured: Some(thinnest.size_mm),
        limit: Some(line_mm),
        unit: "mm",
        why: format!(
            "This looks like lettering, {what}: {}, the thinnest {} mm wide, and a printed line \
             is {} mm. {fate}, so it can’t be read.",
            many(letters.len(), "stroke", "strokes"),
            short(thinnest.size_mm),
            short(line_mm)
        ),
        what_to_do: format!(
            "Use a bold plain typeface with strokes of at least {} mm, or put the words on a \
             sticker.",
            short(2.0 * line_mm)
        ),
        source: "one line: common practice, no source; width by opening or closing of the \
                 layers, derived here",
    })
}
