//! What is printed over air: pieces that start there, shelves and bridges.

use partpledge_sections::Outlines;
use partpledge_sections::outlines::{area_mm2, offset};

use super::shut_in::{self, Held};
use super::{Cut, common, least, middle, pieces, without};
use crate::finding::{Finding, Severity};
use crate::subject::Subject;
use crate::words::{many, short};

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
struct Hanging {
    z_mm: f64,
    at_mm: [f64; 2],
    /// How far it sticks out, or half of its span, mm.
    out_mm: f64,
    area_mm2: f64,
}

#[derive(Default)]
struct Seen {
    islands: Vec<Hanging>,
    shelves: Vec<Hanging>,
    bridges: Vec<Hanging>,
}

pub(super) fn findings(subject: &Subject<'_>, cut: &Cut<'_>) -> Vec<Finding> {
    let line = subject.limits.line_width_mm;
    let noticed_mm2 = NOTICED_LINES * line * line;
    let mut seen = Seen::default();
    for pair in cut.sections.windows(2) {
        let (below, layer) = (&pair[0].outlines, &pair[1].outlines);
        let air = without(layer, below);
        for piece in pieces(&air) {
            let area = area_mm2(&piece);
            if area > noticed_mm2 {
                look(&piece, area, below, pair[1].z_mm, &mut seen);
            }
        }
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

fn look(piece: &Outlines, area_mm2: f64, below: &Outlines, z_mm: f64, seen: &mut Seen) {
    let hanging = |out_mm| Hanging {
        z_mm,
        at_mm: middle(piece),
        out_mm,
        area_mm2,
    };
    let held = common(&offset(piece, TOUCH_MM), below);
    if held.is_empty() {
        seen.islands.push(hanging(0.0));
        return;
    }
    let covered = |out: f64| without(piece, &offset(below, out)).is_empty();
    if covered(SHELF_MM) {
        return;
    }
    let mut high = 2.0 * SHELF_MM;
    while high < FARTHEST_MM && !covered(high) {
        high *= 2.0;
    }
    let out_mm = least(high / 2.0, high, covered);
    // Held along two edges or more that don't meet: it hangs between them like a rope.
    if pieces(&held).len() >= 2 {
        if 2.0 * out_mm > BRIDGE_MM {
            seen.bridges.push(hanging(2.0 * out_mm));
        }
    } else {
        seen.shelves.push(hanging(out_mm));
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
        why: format!(
            "{} with nothing below: the largest begins {} mm above the bed. The first line of \
             plastic there has nothing to lie on and falls down.",
            starts(seen.islands.len()),
            short(worst.z_mm)
        ),
        what_to_do: "Turn the part so that this side lies on the bed, join it to the rest lower \
                     down, or slope the underside so that it grows out of the part."
            .to_owned(),
        source: "geometry of the layers, derived here",
    })
}

fn starts(count: usize) -> String {
    if count == 1 {
        "A piece of the part starts in mid-air,".to_owned()
    } else {
        format!(
            "{} of the part start in mid-air,",
            many(count, "piece", "pieces")
        )
    }
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
        why: format!(
            "This ledge sticks out {} mm with nothing under it. Plastic can’t be laid on air: \
             without a support below, it sags and the underside gets rough.",
            short(worst.out_mm)
        ),
        what_to_do: "Nothing, if a rough underside does not matter and somebody may break a \
                     support off. Otherwise put a 45 degree slope under the ledge, or turn the \
                     part over."
            .to_owned(),
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
        why: format!(
            "Here the plastic has to span {} mm between two sides with nothing below. Lines that \
             long hang through before they are hard.",
            short(worst.out_mm)
        ),
        what_to_do: format!(
            "Make the opening at most {} mm wide, give it a pointed or round top, or turn the \
             part so that the opening lies on its side.",
            short(BRIDGE_MM)
        ),
        source: "10 mm: common practice, no source; measured on the layers, derived here",
    })
}

fn worst(list: &[Hanging], by: fn(&Hanging) -> f64) -> Option<&Hanging> {
    list.iter().max_by(|a, b| {
        let first_wins = b.z_mm.total_cmp(&a.z_mm);
        by(a).total_cmp(&by(b)).then(first_wins)
    })
}
