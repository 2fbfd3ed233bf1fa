//! What is thinner than a line, which gaps close, which holes come out small.

use partpledge_sections::Outlines;
use partpledge_sections::outlines::{area_mm2, offset, perimeter_mm};

use super::{Cut, LASTS_MM, middle, pieces, reach_mm, thickness_mm, without};
use crate::finding::{Finding, Severity};
use crate::subject::Subject;
use crate::words::short;

/// A good wall is this many lines. Common practice, no source.
const GOOD_LINES: f64 = 2.0;
/// Upright holes narrower than this come out small or closed, mm. Common practice, no source.
const SMALL_HOLE_MM: f64 = 2.0;
/// A hole is round when its area fills this share of the circle with its perimeter. Derived here:
/// a square fills 0.785, a hexagon 0.907.
const ROUND: f64 = 0.85;
/// Pieces shorter than this many times their thickness are corners, not walls. Derived here.
const SLENDER: f64 = 2.5;

/// Something thin, followed up through the layers.
#[derive(Clone, Debug)]
struct Trail {
    last: usize,
    at_mm: [f64; 2],
    z_mm: f64,
    height_mm: f64,
    size_mm: f64,
    reach_mm: f64,
}

/// Thin places that go on over some height.
struct Trails {
    rise_mm: f64,
    open: Vec<Trail>,
    lasting: Vec<Trail>,
}

impl Trails {
    fn new(rise_mm: f64) -> Self {
        Self {
            rise_mm,
            open: Vec::new(),
            lasting: Vec::new(),
        }
    }

    /// One more thin place in the `sample`-th layer looked at.
    fn see(&mut self, sample: usize, z_mm: f64, at_mm: [f64; 2], (size_mm, reach_mm): (f64, f64)) {
        let near = |trail: &&mut Trail| {
            let [dx, dy] = [trail.at_mm[0] - at_mm[0], trail.at_mm[1] - at_mm[1]];
            trail.last + 1 == sample && dx.hypot(dy) <= 0.5 * reach_mm.max(trail.reach_mm).max(1.0)
        };
        if let Some(trail) = self.open.iter_mut().find(near) {
            trail.last = sample;
            trail.height_mm += self.rise_mm;
            if size_mm < trail.size_mm {
                (trail.size_mm, trail.at_mm, trail.z_mm) = (size_mm, at_mm, z_mm);
            }
            return;
        }
        self.open.push(Trail {
            last: sample,
            at_mm,
            z_mm,
            height_mm: self.rise_mm,
            size_mm,
            reach_mm,
        });
    }

    /// After a layer: trails that were not seen in it have ended.
    fn close(&mut self, sample: usize) {
        let (ended, open): (Vec<_>, Vec<_>) =
            self.open.drain(..).partition(|trail| trail.last < sample);
        self.open = open;
        self.lasting.extend(
            ended
                .into_iter()
                .filter(|trail| trail.height_mm >= LASTS_MM),
        );
    }

    /// The thinnest of those that last, and how many last.
    fn thinnest(mut self) -> Option<(Trail, usize)> {
        self.close(usize::MAX);
        let many = self.lasting.len();
        let thinnest = self.lasting.into_iter().min_by(|a, b| {
            let lower = a.z_mm.total_cmp(&b.z_mm);
            a.size_mm.total_cmp(&b.size_mm).then(lower)
        })?;
        Some((thinnest, many))
    }
}

pub(super) fn findings(subject: &Subject<'_>, cut: &Cut<'_>) -> Vec<Finding> {
    let line = subject.limits.line_width_mm;
    let (rise, sampled) = cut.sampled();
    let (mut walls, mut gaps) = (Trails::new(rise), Trails::new(rise));
    let mut holes = Trails::new(rise);
    for (sample, (_, section)) in sampled.enumerate() {
        let (outlines, z) = (&section.outlines, section.z_mm);
        for piece in thin_pieces(outlines, GOOD_LINES * line) {
            let size = thickness_mm(&piece, GOOD_LINES * line);
            walls.see(sample, z, middle(&piece), (size, reach_mm(&piece)));
        }
        for piece in narrow_gaps(outlines, line) {
            let size = thickness_mm(&piece, line);
            gaps.see(sample, z, middle(&piece), (size, reach_mm(&piece)));
        }
        for (at, across) in small_holes(outlines) {
            holes.see(sample, z, at, (across, across));
        }
        walls.close(sample);
        gaps.close(sample);
        holes.close(sample);
    }
    let found = [
        wall(cut, walls.thinnest(), line),
        gap(cut, gaps.thinnest(), line),
        hole(cut, holes.thinnest()),
    ];
    found.into_iter().flatten().collect()
}

/// Pieces that a disc as wide as `width_mm` does not reach: morphological opening, what it leaves.
fn thin_pieces(outlines: &Outlines, width_mm: f64) -> Vec<Outlines> {
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
        let area = -area_mm2(&alone);
        let around = perimeter_mm(&alone);
        let round = 4.0 * std::f64::consts::PI * area / (around * around).max(1e-12);
        let across = 2.0 * (area.max(0.0) / std::f64::consts::PI).sqrt();
        let small = area > 0.0 && round > ROUND && across < SMALL_HOLE_MM;
        small.then(|| (middle(&alone), across))
    };
    outlines.iter().filter_map(hole).collect()
}

fn wall(cut: &Cut<'_>, found: Option<(Trail, usize)>, line: f64) -> Option<Finding> {
    let (thinnest, many) = found?;
    let gone = thinnest.size_mm < line - 0.02;
    let more = match many {
        1 => String::new(),
        n => format!(" The same goes for {} more places.", n - 1),
    };
    let why = if gone {
        format!(
            "Here the part is {} mm thin, and the printer lays plastic in lines {} mm wide. A \
             wall thinner than a line is left out, or comes out thicker than you drew it.{more}",
            short(thinnest.size_mm),
            short(line)
        )
    } else {
        format!(
            "Here the part is {} mm thin. The printer lays plastic in lines {} mm wide, so only \
             one fits; a good wall is two lines side by side. One line alone snaps easily.{more}",
            short(thinnest.size_mm),
            short(line)
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
        what_to_do: format!(
            "Make it {} mm or thicker where it has to carry anything.",
            short(GOOD_LINES * line)
        ),
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
        why: format!(
            "This gap is {} mm wide, less than one line of plastic. Both sides will grow \
             together, and what should move will not.",
            short(narrowest.size_mm)
        ),
        what_to_do: format!(
            "Make it at least {} mm wide; for parts that slide or turn, half a millimetre.",
            short(line)
        ),
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
        why: format!(
            "This hole is {} mm across. Round holes that small come out smaller than drawn, or \
             closed.",
            short(smallest.size_mm)
        ),
        what_to_do: "Drill it to size after printing, or draw it a little larger.".to_owned(),
        source: "2 mm: common practice, no source; measured on the layers, derived here",
    })
}
