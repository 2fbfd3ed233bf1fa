//! What is printed over air: pieces that start there, shelves and bridges.

use clipper2_rust::{Path64, PointInPolygonResult, Rect64};
use partpledge_sections::outlines::{area_mm2, bounds_mm, offset, to_point};
use partpledge_sections::{Outlines, Section};
use partpledge_words::{grouped, said};
use rayon::prelude::*;

use super::shut_in::{self, Held};
use super::{Cut, common, least, middle, pieces, same, without};
use crate::finding::{Finding, Severity};
use crate::subject::Subject;
use crate::words::short;

/// A shelf that sticks out no more than this hangs together well enough, mm. Common practice, no
/// source.
pub(crate) const SHELF_MM: f64 = 2.0;
/// A bridge held at both ends may span this much, mm. Common practice, no source.
pub(crate) const BRIDGE_MM: f64 = 10.0;
/// Smaller pieces over air are lost in the layer above, in squares of the line width. Common
/// practice, no source.
const NOTICED_LINES: f64 = 4.0;
/// Pieces closer than this touch, mm: the grid and the simplification of outlines.
const TOUCH_MM: f64 = 0.03;
/// Farthest shelf that is measured, mm.
const FARTHEST_MM: f64 = 512.0;

/// Something over air in one layer.
#[derive(Clone, Debug)]
pub(super) struct Hanging {
    z_mm: f64,
    at_mm: [f64; 2],
    /// How far it sticks out, or its span, mm.
    pub(super) out_mm: f64,
    area_mm2: f64,
}

impl Hanging {
    fn of(piece: &Outlines, z_mm: f64, out_mm: f64) -> Self {
        Self {
            z_mm,
            at_mm: middle(piece),
            out_mm,
            area_mm2: area_mm2(piece),
        }
    }
}

/// Pieces over air up to this area are lost in the layer above, mm².
pub(super) fn noticed_mm2(line_width_mm: f64) -> f64 {
    NOTICED_LINES * line_width_mm * line_width_mm
}

#[derive(Default)]
pub(super) struct Seen {
    pub(super) islands: Vec<Hanging>,
    pub(super) shelves: Vec<Hanging>,
    pub(super) bridges: Vec<Hanging>,
}

pub(super) fn findings(subject: &Subject<'_>, cut: &Cut<'_>) -> Vec<Finding> {
    let noticed_mm2 = noticed_mm2(subject.limits.line_width_mm);
    // The layers by themselves, then all together in order: the same on any number of threads.
    let each: Vec<Seen> = cut
        .sections
        .par_windows(2)
        .map(|pair| over(&pair[0].outlines, &pair[1], noticed_mm2))
        .collect();
    let mut seen = Seen::default();
    for layer in each {
        seen.islands.extend(layer.islands);
        seen.shelves.extend(layer.shelves);
        seen.bridges.extend(layer.bridges);
    }
    let hanging = [&seen.islands, &seen.shelves, &seen.bridges];
    let held: Vec<Held> = hanging
        .into_iter()
        .flatten()
        .map(|hanging| Held {
            at_mm: hanging.at_mm,
            z_mm: hanging.z_mm,
        })
        .collect();
    let found = [
        island(cut, &seen),
        shelf(cut, &seen),
        bridge(cut, &seen),
        shut_in::finding(cut, &held),
    ];
    found.into_iter().flatten().collect()
}

/// What of a layer has nothing below.
fn over(below: &Outlines, layer: &Section, noticed_mm2: f64) -> Seen {
    let mut seen = Seen::default();
    if same(below, &layer.outlines) {
        return seen;
    }
    let mut held = Outlines::new();
    for piece in pieces(&layer.outlines) {
        if rests_on(&piece, below) {
            held.extend(piece);
        } else if area_mm2(&piece) > noticed_mm2 {
            seen.islands.push(Hanging::of(&piece, layer.z_mm, 0.0));
        }
    }
    let far = without(&held, &offset(below, SHELF_MM));
    if area_mm2(&far) <= 0.0 {
        return seen;
    }
    for piece in pieces(&without(&held, below)) {
        if area_mm2(&piece) > noticed_mm2 {
            look(&piece, below, layer.z_mm, &mut seen);
        }
    }
    seen
}

/// Whether a piece of a layer lies on the layer below at all.
pub(super) fn rests_on(piece: &Outlines, below: &Outlines) -> bool {
    // A corner of one inside the other settles most cases without a boolean.
    let within = |point, outlines: &Outlines| {
        let inside = |path: &&Path64| {
            clipper2_rust::point_in_polygon(point, path) == PointInPolygonResult::IsInside
        };
        outlines.iter().filter(inside).count() % 2 == 1
    };
    let corner = |outlines: &Outlines| outlines.first().and_then(|path| path.first()).copied();
    corner(piece).is_some_and(|point| within(point, below))
        || corner(below).is_some_and(|point| within(point, piece))
        || !common(&offset(piece, TOUCH_MM), &beside(below, piece, TOUCH_MM)).is_empty()
}

/// The outlines within `by_mm` of the box round a piece: what lies farther off has no say.
fn beside(outlines: &Outlines, piece: &Outlines, by_mm: f64) -> Outlines {
    let Some((low, high)) = bounds_mm(piece) else {
        return Outlines::new();
    };
    let room = by_mm + SHELF_MM;
    let (low, high) = (
        to_point(low[0] - room, low[1] - room),
        to_point(high[0] + room, high[1] + room),
    );
    let window = Rect64::new(low.x, low.y, high.x, high.y);
    clipper2_rust::rect_clip_64(&window, outlines)
}

/// A piece over air that touches what is below: a shelf or a bridge, if it is a long one.
pub(super) fn look(piece: &Outlines, below: &Outlines, z_mm: f64, seen: &mut Seen) {
    let covered = |out: f64| without(piece, &offset(&beside(below, piece, out), out)).is_empty();
    if covered(SHELF_MM) {
        return;
    }
    let mut high = 2.0 * SHELF_MM;
    while high < FARTHEST_MM && !covered(high) {
        high *= 2.0;
    }
    let out_mm = least(high / 2.0, high, covered);
    // Held along two edges or more that don't meet: it hangs between them like a rope.
    let held = common(&offset(piece, TOUCH_MM), &beside(below, piece, TOUCH_MM));
    if pieces(&held).len() >= 2 {
        if 2.0 * out_mm > BRIDGE_MM {
            seen.bridges.push(Hanging::of(piece, z_mm, 2.0 * out_mm));
        }
    } else {
        seen.shelves.push(Hanging::of(piece, z_mm, out_mm));
    }
}

fn island(cut: &Cut<'_>, seen: &Seen) -> Option<Finding> {
    let worst = worst(&seen.islands, |hanging| hanging.area_mm2)?;
    Some(Finding {
        code: "starts-in-air",
        severity: Severity::Warning,
        place_mm: Some(cut.own_mm(worst.at_mm, worst.z_mm)),
        measured: Some(worst.z_mm),
        limit: Some(0.0),
        unit: "mm",
        why: said!(
            "findings-starts-in-air",
            n = grouped(seen.islands.len()),
            high = short(worst.z_mm)
        ),
        what_to_do: said!("findings-starts-in-air-do"),
        source: "geometry of the layers, derived here",
    })
}

fn shelf(cut: &Cut<'_>, seen: &Seen) -> Option<Finding> {
    let worst = worst(&seen.shelves, |hanging| hanging.out_mm)?;
    Some(Finding {
        code: "overhang",
        severity: Severity::Warning,
        place_mm: Some(cut.own_mm(worst.at_mm, worst.z_mm)),
        measured: Some(worst.out_mm),
        limit: Some(SHELF_MM),
        unit: "mm",
        why: said!("findings-overhang", out = short(worst.out_mm)),
        what_to_do: said!("findings-overhang-do"),
        source: "2 mm: common practice, no source; measured on the layers, derived here",
    })
}

fn bridge(cut: &Cut<'_>, seen: &Seen) -> Option<Finding> {
    let worst = worst(&seen.bridges, |hanging| hanging.out_mm)?;
    Some(Finding {
        code: "long-bridge",
        severity: Severity::Warning,
        place_mm: Some(cut.own_mm(worst.at_mm, worst.z_mm)),
        measured: Some(worst.out_mm),
        limit: Some(BRIDGE_MM),
        unit: "mm",
        why: said!("findings-long-bridge", long = short(worst.out_mm)),
        what_to_do: said!("findings-long-bridge-do", wide = short(BRIDGE_MM)),
        source: "10 mm: common practice, no source; measured on the layers, derived here",
    })
}

fn worst(list: &[Hanging], by: fn(&Hanging) -> f64) -> Option<&Hanging> {
    list.iter().max_by(|a, b| {
        let first_wins = b.z_mm.total_cmp(&a.z_mm);
        by(a).total_cmp(&by(b)).then(first_wins)
    })
}
