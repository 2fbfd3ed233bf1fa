//! Sharp outer corners of a large foot, on a material that shrinks as it cools.

use partpledge_catalogue::Warping;
use partpledge_sections::Outlines;
use partpledge_sections::outlines::to_mm;
use partpledge_words::{grouped, said};

use super::{Cut, middle, reach_mm};
use crate::finding::{Finding, Severity};
use crate::subject::{Plastic, Subject};
use crate::words::short;

/// Corners turning by less than this are blunt enough, degrees: a square corner turns by 90, one
/// cut off at 45 degrees by 45 twice. Common practice, no source.
const SHARP_TURN_DEG: f64 = 75.0;
/// Sides shorter than this pull too little on a corner, mm. Common practice, no source.
const SIDE_MM: f64 = 10.0;
/// A foot longer than this lifts at its corners, mm, by how strongly the material warps. Common
/// practice, no source.
const LONG_FOOT_MM: [(Warping, f64); 2] = [(Warping::Moderate, 120.0), (Warping::High, 60.0)];

/// A corner of the first layer.
struct Corner {
    at_mm: [f64; 2],
    from_middle_mm: f64,
}

pub(super) fn finding(subject: &Subject<'_>, cut: &Cut<'_>) -> Option<Finding> {
    let plastic = subject.plastic?;
    let long_mm = LONG_FOOT_MM
        .iter()
        .find(|(warping, _)| *warping == plastic.warping)?
        .1;
    let foot = cut.sections.first()?;
    let long = reach_mm(&foot.outlines);
    if long <= long_mm {
        return None;
    }
    let corners = sharp_corners(&foot.outlines);
    let worst = corners
        .iter()
        .max_by(|a, b| a.from_middle_mm.total_cmp(&b.from_middle_mm))?;
    Some(said(
        &plastic,
        cut,
        (worst, foot.z_mm),
        corners.len(),
        (long, long_mm),
    ))
}

fn said(
    plastic: &Plastic,
    cut: &Cut<'_>,
    (worst, z_mm): (&Corner, f64),
    corners: usize,
    (long_mm, limit_mm): (f64, f64),
) -> Finding {
    let (long, n) = (short(long_mm), grouped(corners));
    let why = match plastic.warping {
        Warping::High => said!("findings-warping-corner-strongly", long = long, n = n),
        Warping::Low | Warping::Moderate => said!("findings-warping-corner", long = long, n = n),
    };
    Finding {
        code: "warping-corner",
        severity: Severity::Warning,
        place_mm: Some(cut.own_mm(worst.at_mm, z_mm)),
        measured: Some(long_mm),
        limit: Some(limit_mm),
        unit: "mm",
        why,
        what_to_do: said!("findings-warping-corner-do"),
        source: "60 mm for strongly, 120 mm for moderately warping materials, 75 degrees: common \
                 practice, no source",
    }
}

/// Corners of outer outlines that turn sharply outwards between two long sides.
fn sharp_corners(outlines: &Outlines) -> Vec<Corner> {
    let centre = middle(outlines);
    let mut out = Vec::new();
    for path in outlines {
        let n = path.len();
        for i in 0..n {
            let [a, b, c] = [(i + n - 1) % n, i, (i + 1) % n].map(|k| to_mm(path[k]));
            let (u, v) = ([b[0] - a[0], b[1] - a[1]], [c[0] - b[0], c[1] - b[1]]);
            let long = u[0].hypot(u[1]).min(v[0].hypot(v[1])) >= SIDE_MM;
            // Outer outlines run left, so a left turn is an outward corner; holes turn right.
            let cross = u[0] * v[1] - u[1] * v[0];
            let turn = cross.atan2(u[0] * v[0] + u[1] * v[1]).to_degrees();
            if long && turn >= SHARP_TURN_DEG {
                out.push(Corner {
                    at_mm: b,
                    from_middle_mm: (b[0] - centre[0]).hypot(b[1] - centre[1]),
                });
            }
        }
    }
    out
}
