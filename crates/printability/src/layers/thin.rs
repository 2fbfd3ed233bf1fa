//! What is thinner than a line, which gaps close, which holes come out small.

use partpledge_sections::outlines::{area_mm2, offset};
use partpledge_sections::{Outlines, Section};
use partpledge_words::said;
use rayon::prelude::*;

use super::trails::{Trail, Trails, thinnest};
use super::{
    Cut, LASTS_MM, middle, pieces, pins, reach_mm, roundness, same, thickness_mm, without,
};
use crate::finding::{Finding, Severity};
use crate::subject::Subject;
use crate::words::short;

/// A good wall is this many lines. Common practice, no source.
pub(super) const GOOD_LINES: f64 = 2.0;
/// Upright holes narrower than this come out small or closed, mm. Common practice, no source.
const SMALL_HOLE_MM: f64 = 2.0;
/// A hole is round when its area fills this share of the circle with its perimeter. Derived here:
/// a square fills 0.785, a hexagon 0.907.
const ROUND: f64 = 0.85;
/// Pieces shorter than this many times their thickness are corners, not walls. Derived here.
const SLENDER: f64 = 2.5;

/// What is seen in one layer: middle, width and reach of each.
struct Seen {
    walls: Vec<([f64; 2], (f64, f64))>,
    gaps: Vec<([f64; 2], (f64, f64))>,
    holes: Vec<([f64; 2], (f64, f64))>,
    pins: Vec<([f64; 2], (f64, f64))>,
}

impl Seen {
    fn of(outlines: &Outlines, line_mm: f64) -> Self {
        let sized = |most_mm: f64| {
            move |piece: Outlines| {
                let size = thickness_mm(&piece, most_mm);
                (middle(&piece), (size, reach_mm(&piece)))
            }
        };
        let round = |(at, across)| (at, (across, across));
        let good = GOOD_LINES * line_mm;
        let walls = thin_pieces(outlines, good).into_iter().map(sized(good));
        let gaps = narrow_gaps(outlines, line_mm)
            .into_iter()
            .map(sized(line_mm));
        Self {
            walls: walls.collect(),
            gaps: gaps.collect(),
            holes: small_holes(outlines).into_iter().map(round).collect(),
            pins: pins::thin_rounds(outlines).into_iter().map(round).collect(),
        }
    }
}

pub(super) fn findings(subject: &Subject<'_>, cut: &Cut<'_>) -> Vec<Finding> {
    let line = subject.limits.line_width_mm;
    let (rise, sampled) = cut.sampled();
    // Lettering is lower than what else lasts; it may be no more than a layer or two.
    let low = rise.min(LASTS_MM);
    let (mut walls, mut gaps) = (Trails::new(rise, low), Trails::new(rise, low));
    let (mut holes, mut upright) = (Trails::new(rise, LASTS_MM), Trails::new(rise, LASTS_MM));
    // Layers that are the same as the one before are looked at once.
    let runs: Vec<&[&Section]> = sampled
        .chunk_by(|a, b| same(&a.outlines, &b.outlines))
        .collect();
    let seen: Vec<(&[&Section], Seen)> = runs
        .into_par_iter()
        .map(|run| (run, Seen::of(&run[0].outlines, line)))
        .collect();
    let each = seen
        .iter()
        .flat_map(|(run, seen)| run.iter().map(move |section| (section.z_mm, seen)));
    for (sample, (z, seen)) in each.enumerate() {
        let lists = [&seen.walls, &seen.gaps, &seen.holes, &seen.pins];
        let trails = [&mut walls, &mut gaps, &mut holes, &mut upright];
        for (list, trails) in lists.into_iter().zip(trails) {
            for &(at, size) in list {
                trails.see(sample, z, at, size);
            }
            trails.close(sample);
        }
    }
    let (mut walls, mut gaps) = (walls.ended(), gaps.ended());
    let mut raised = pins::lettering(&mut walls);
    let mut sunk = pins::lettering(&mut gaps);
    raised.retain(|stroke| stroke.size_mm < line - 0.02);
    sunk.retain(|stroke| stroke.size_mm < line - 0.02);
    let lasts = |trail: &Trail| trail.height_mm >= LASTS_MM - 1e-9;
    walls.retain(lasts);
    gaps.retain(lasts);
    let found = [
        wall(cut, thinnest(walls), line),
        gap(cut, thinnest(gaps), line),
        hole(cut, thinnest(holes.ended())),
        pins::pin(cut, upright),
        pins::text(cut, &raised, true, line),
        pins::text(cut, &sunk, false, line),
    ];
    let mut found: Vec<Finding> = found.into_iter().flatten().collect();
    found.dedup_by_key(|finding| finding.code);
    found
}

/// Pieces that a disc as wide as `width_mm` does not reach: morphological opening, what it leaves.
pub(super) fn thin_pieces(outlines: &Outlines, width_mm: f64) -> Vec<Outlines> {
    // A hundredth less: a wall drawn exactly as wide as the lines is wide enough.
    let r = width_mm / 2.0 - 0.01;
    let opened = offset(&offset(outlines, -r), r + 0.005);
    let mut thin = pieces(&without(outlines, &opened));
    thin.retain(|piece| walls_like(piece, width_mm));
    thin
}

/// Gaps that close: closing fills them.
fn narrow_gaps(outlines: &Outlines, width_mm: f64) -> Vec<Outlines> {
    let r = width_mm / 2.0 - 0.01;
    let closed = offset(&offset(outlines, r), -r - 0.005);
    let mut gaps = pieces(&without(&closed, outlines));
    gaps.retain(|piece| walls_like(piece, width_mm));
    gaps
}

/// A long thin piece, as against the corner that rounding leaves.
fn walls_like(piece: &Outlines, width_mm: f64) -> bool {
    let area = area_mm2(piece);
    reach_mm(piece) > SLENDER * width_mm && area > 0.25 * width_mm * width_mm
}

/// Middle and width of every round hole that is small.
fn small_holes(outlines: &Outlines) -> Vec<([f64; 2], f64)> {
    let hole = |path: &clipper2_rust::Path64| {
        let alone = vec![path.clone()];
        let (round, across) = roundness(&alone, -area_mm2(&alone))?;
        let small = round > ROUND && across < SMALL_HOLE_MM;
        small.then(|| (middle(&alone), across))
    };
    outlines.iter().filter_map(hole).collect()
}

fn wall(cut: &Cut<'_>, found: Option<(Trail, usize)>, line: f64) -> Option<Finding> {
    let (thinnest, many) = found?;
    let gone = thinnest.size_mm < line - 0.02;
    let (thick, drawn, more) = (short(thinnest.size_mm), short(line), many - 1);
    let why = if gone {
        said!(
            "findings-thin-wall-gone",
            thick = thick,
            line = drawn,
            more = more
        )
    } else {
        said!(
            "findings-thin-wall",
            thick = thick,
            line = drawn,
            more = more
        )
    };
    Some(Finding {
        code: "thin-wall",
        severity: Severity::Warning,
        place_mm: Some(cut.own_mm(thinnest.at_mm, thinnest.z_mm)),
        measured: Some(thinnest.size_mm),
        limit: Some(GOOD_LINES * line),
        unit: "mm",
        why,
        what_to_do: said!("findings-thin-wall-do", thick = short(GOOD_LINES * line)),
        source: "two lines: common practice, no source; thickness by opening of the layers, \
                 derived here",
    })
}

fn gap(cut: &Cut<'_>, found: Option<(Trail, usize)>, line: f64) -> Option<Finding> {
    let (narrowest, _) = found?;
    Some(Finding {
        code: "narrow-gap",
        severity: Severity::Warning,
        place_mm: Some(cut.own_mm(narrowest.at_mm, narrowest.z_mm)),
        measured: Some(narrowest.size_mm),
        limit: Some(line),
        unit: "mm",
        why: said!("findings-narrow-gap", wide = short(narrowest.size_mm)),
        what_to_do: said!("findings-narrow-gap-do", wide = short(line)),
        source: "one line: common practice, no source; width by closing of the layers, derived \
                 here",
    })
}

fn hole(cut: &Cut<'_>, found: Option<(Trail, usize)>) -> Option<Finding> {
    let (smallest, _) = found?;
    Some(Finding {
        code: "small-hole",
        severity: Severity::Note,
        place_mm: Some(cut.own_mm(smallest.at_mm, smallest.z_mm)),
        measured: Some(smallest.size_mm),
        limit: Some(SMALL_HOLE_MM),
        unit: "mm",
        why: said!("findings-small-hole", wide = short(smallest.size_mm)),
        what_to_do: said!("findings-small-hole-do"),
        source: "2 mm: common practice, no source; measured on the layers, derived here",
    })
}
