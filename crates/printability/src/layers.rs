//! Findings read off the layers as they would be printed: what starts in mid-air, what sticks out
//! over air, what is thinner than a line, which gaps close, which holes are small.

mod air;
mod core;
mod fine;
mod marks;
mod pins;
mod shut_in;
mod thin;
mod trails;
mod warp;

pub use marks::{Marked, Why, marks};

use clipper2_rust::Point64;
use partpledge_sections::outlines::{bounds_mm, common, offset, perimeter_mm, to_mm, without};
use partpledge_sections::{Outlines, Section, pieces};

use crate::finding::Finding;
use crate::subject::Subject;

/// Most corners of outlines looked at for what is thin; of finer parts only every so many-th layer
/// is looked at. Keeps the whole of it under a second.
const MOST_CORNERS: usize = 100_000;
/// Nor are layers looked at closer than this many to a part.
const MOST_SAMPLED: usize = 800;
/// What goes on over less height than this is seen in one layer only and prints well enough, mm.
/// Common practice, no source.
const LASTS_MM: f64 = 0.6;

pub(crate) fn findings(subject: &Subject<'_>) -> Vec<Finding> {
    let Some(cut) = &subject.cut else {
        return Vec::new();
    };
    if cut.sections.iter().any(|section| section.open_chains > 0) {
        // Outlines of an open part are guesses; it is told that it is open.
        return Vec::new();
    }
    if let Some(fine) = fine::finding(subject, cut) {
        // Nothing else matters of what would not be there.
        return vec![fine];
    }
    let mut found = air::findings(subject, cut);
    found.extend(thin::findings(subject, cut));
    found.extend(warp::finding(subject, cut));
    found.extend(core::finding(subject, cut));
    found
}

/// Whether a finding is about plastic over air.
pub(crate) fn over_air(code: &str) -> bool {
    matches!(code, "overhang" | "starts-in-air" | "long-bridge")
}

/// A part cut at every layer, standing as it would be printed.
#[derive(Clone, Copy, Debug)]
pub struct Cut<'a> {
    /// The layers, from the bed up.
    pub sections: &'a [Section],
    /// How the part was turned to stand, row-major.
    pub rotation: [f64; 9],
    /// By how much it was lowered after turning, mm.
    pub drop_mm: f64,
}

impl Cut<'_> {
    /// A point of a layer in the part's own mm.
    fn own_mm(&self, [x, y]: [f64; 2], z: f64) -> [f64; 3] {
        let (r, p) = (&self.rotation, [x, y, z + self.drop_mm]);
        // The inverse of a rotation is its transpose.
        std::array::from_fn(|k| r[k] * p[0] + r[3 + k] * p[1] + r[6 + k] * p[2])
    }

    /// Every layer, or evenly chosen ones of many, with the height that one stands for, mm.
    fn sampled(&self) -> (f64, Vec<&Section>) {
        let outlines = self.sections.iter().flat_map(|section| &section.outlines);
        let corners: usize = outlines.map(Vec::len).sum();
        let step = corners
            .div_ceil(MOST_CORNERS)
            .max(self.sections.len().div_ceil(MOST_SAMPLED))
            .max(1);
        let rise = match self.sections {
            [first, .., last] => {
                (last.z_mm - first.z_mm) / (self.sections.len() - 1) as f64 * step as f64
            }
            _ => 0.0,
        };
        (rise, self.sections.iter().step_by(step).collect())
    }
}

/// Whether two layers have the same outlines, but for rounding: most layers of upright parts have.
fn same(a: &Outlines, b: &Outlines) -> bool {
    const ROUNDING: i64 = 3;
    a.len() == b.len()
        && a.iter().zip(b).all(|(a, b)| {
            let near = |(p, q): (&Point64, &Point64)| {
                (p.x - q.x).abs() <= ROUNDING && (p.y - q.y).abs() <= ROUNDING
            };
            a.len() == b.len() && a.iter().zip(b).all(near)
        })
}

/// How round an outline of this area is, 1 for a circle, and how wide the circle of its area is,
/// mm; `None` for one that runs the other way.
fn roundness(alone: &Outlines, area_mm2: f64) -> Option<(f64, f64)> {
    let around = perimeter_mm(alone);
    let round = 4.0 * std::f64::consts::PI * area_mm2 / (around * around).max(1e-12);
    let across = 2.0 * (area_mm2.max(0.0) / std::f64::consts::PI).sqrt();
    (area_mm2 > 0.0).then_some((round, across))
}

/// A point of a piece, mm: its middle if that is in it; of a ring or a hook, the middle of its
/// widest stretch on the level of its middle, the right one of two alike.
fn middle(piece: &Outlines) -> [f64; 2] {
    let [x, y] = centroid(piece);
    let mut crossed: Vec<f64> = Vec::new();
    for path in piece {
        for (a, b) in path.iter().zip(path.iter().cycle().skip(1)) {
            let ([ax, ay], [bx, by]) = (to_mm(*a), to_mm(*b));
            if (ay > y) != (by > y) {
                crossed.push(ax + (y - ay) / (by - ay) * (bx - ax));
            }
        }
    }
    crossed.sort_by(f64::total_cmp);
    let stretches = || crossed.chunks_exact(2).map(|pair| (pair[0], pair[1]));
    if stretches().any(|(from, until)| from <= x && x <= until) {
        return [x, y];
    }
    let widest = stretches().map(|(from, until)| until - from);
    let widest = widest.fold(0.0, f64::max);
    let alike = |(from, until): &(f64, f64)| until - from >= 0.95 * widest;
    let right = stretches().rfind(alike);
    right.map_or([x, y], |(from, until)| [f64::midpoint(from, until), y])
}

/// Middle of the area inside a piece's outer outline, mm.
fn centroid(piece: &Outlines) -> [f64; 2] {
    let outer = piece.first().map_or(&[][..], Vec::as_slice);
    let (mut sum, mut x, mut y) = (0.0, 0.0, 0.0);
    for (a, b) in outer.iter().zip(outer.iter().cycle().skip(1)) {
        let ([ax, ay], [bx, by]) = (to_mm(*a), to_mm(*b));
        let cross = ax * by - bx * ay;
        sum += cross;
        x += (ax + bx) * cross;
        y += (ay + by) * cross;
    }
    if sum.abs() < 1e-12 {
        return outer.first().map_or([0.0; 2], |p| to_mm(*p));
    }
    [x / (3.0 * sum), y / (3.0 * sum)]
}

/// Longer side of the box round a piece, mm.
fn reach_mm(piece: &Outlines) -> f64 {
    bounds_mm(piece).map_or(0.0, |(low, high)| (high[0] - low[0]).max(high[1] - low[1]))
}

/// The least `x` between `low` and `high` for which `fits` holds, to a hundredth of the stretch.
/// `fits` must hold from some point on.
fn least(low: f64, high: f64, fits: impl Fn(f64) -> bool) -> f64 {
    let (mut low, mut high) = (low, high);
    for _ in 0..7 {
        let mid = f64::midpoint(low, high);
        if fits(mid) {
            high = mid;
        } else {
            low = mid;
        }
    }
    high
}

/// How thick a piece is at its thickest, mm: twice the offset inwards that just empties it.
fn thickness_mm(piece: &Outlines, most_mm: f64) -> f64 {
    least(0.0, most_mm, |t| offset(piece, -t / 2.0).is_empty())
}

#[cfg(test)]
mod tests;
