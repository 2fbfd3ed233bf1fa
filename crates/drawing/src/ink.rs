//! Which samples of the picture are ink: outlines, creases and steps in depth.
//!
//! Lines are found between neighbouring samples, not along the edges of the mesh. That needs no
//! joined-up mesh (damaged files draw as well as sound ones), shows where two bodies run into
//! each other, and costs as much as the picture is large, whatever the number of triangles.

use crate::samples::{Facing, Samples};

/// Faces that meet at more than this angle get a line.
const CREASE_DEG: f32 = 25.0;
/// Half the width of a line in pixels.
const HALF_LINE_PX: f32 = 0.65;
/// A step in depth of more than this many pixels gets a line.
const STEP_PX: f32 = 0.75;

/// Lines inside the part are left out where they would fill more than this: six of them through
/// a square of this many pixels. Rough scans and knurls are otherwise nothing but ink.
const CROWD_CELL_PX: usize = 12;
const CROWD_LINES: usize = 6;
/// Where the part fills little of the square it takes less, but never fewer than two lines.
const CROWD_LEAST: usize = 2;
/// Strokes inside the part that are no longer than this say nothing and look like dirt.
const SPECK_PX: usize = 3;

/// For each sample, whether it is ink.
pub(crate) fn inked(samples: &Samples, per_px: u32) -> Vec<bool> {
    let mut marks = Marks::between(samples, per_px);
    marks.thin_out(samples);
    marks.drop_specks();
    marks.stamped()
}

/// What runs between a sample and its neighbour to the right or below.
const CREASE: u8 = 1;
const STEP: u8 = 2;
const OUTLINE: u8 = 4;
/// The kinds of a neighbour below are kept this many bits up.
const BELOW: u8 = 3;
const SEEN: u8 = 64;

/// Lines as marks between samples.
struct Marks {
    width: usize,
    height: usize,
    per_px: u32,
    of: Vec<u8>,
}

impl Marks {
    fn between(samples: &Samples, per_px: u32) -> Self {
        let (width, height) = (samples.width, samples.height);
        let step = STEP_PX * pixels(per_px);
        let mut of = vec![0; width * height];
        for (at, mark) in of.iter_mut().enumerate() {
            if (at + 1) % width > 0 {
                *mark |= parted(samples, at, at + 1, 0, step);
            }
            if at + width < width * height {
                *mark |= parted(samples, at, at + width, 1, step) << BELOW;
            }
        }
        Self {
            width,
            height,
            per_px,
            of,
        }
    }

    /// Leaves out creases and steps where there are too many to be told apart.
    fn thin_out(&mut self, samples: &Samples) {
        let side = CROWD_CELL_PX * self.samples_in_px();
        let inner = (CREASE | STEP) | (CREASE | STEP) << BELOW;
        for (top, left) in (0..self.height)
            .step_by(side)
            .flat_map(|y| (0..self.width).step_by(side).map(move |x| (y, x)))
        {
            let right = (left + side).min(self.width);
            let rows = top..(top + side).min(self.height);
            let row = |y: usize| y * self.width + left..y * self.width + right;
            let cells = || rows.clone().flat_map(row);
            let count = |at: usize| (self.of[at] & inner).count_ones();
            let lines = cells().map(count).sum::<u32>();
            let lines = usize::try_from(lines).unwrap_or(usize::MAX);
            let covered = cells().filter(|&at| samples.depth[at].is_finite()).count();
            if lines > CROWD_LEAST * side && lines * side > CROWD_LINES * covered {
                for at in cells() {
                    self.of[at] &= !inner;
                }
            }
        }
    }

    /// Leaves out short strokes that touch no outline.
    fn drop_specks(&mut self) {
        let longest = SPECK_PX * self.samples_in_px();
        let outline = OUTLINE | OUTLINE << BELOW;
        let mut stroke = Vec::new();
        for start in 0..self.of.len() {
            if self.of[start] == 0 || self.of[start] & SEEN > 0 {
                continue;
            }
            self.follow(start, &mut stroke);
            let extent = |place: fn(usize, usize) -> usize| {
                let places = || stroke.iter().map(|&at| place(at, self.width));
                places().max().unwrap_or(0) - places().min().unwrap_or(0)
            };
            let short =
                extent(|at, width| at % width).max(extent(|at, width| at / width)) < longest;
            if short && stroke.iter().all(|&at| self.of[at] & outline == 0) {
                for &at in &stroke {
                    self.of[at] = 0;
                }
            }
        }
    }

    /// Gathers the marks that hang together with `start`, and notes that they were seen.
    fn follow(&mut self, start: usize, stroke: &mut Vec<usize>) {
        stroke.clear();
        stroke.push(start);
        self.of[start] |= SEEN;
        let mut next = 0;
        while let Some(&at) = stroke.get(next) {
            next += 1;
            let (x, y) = (at % self.width, at / self.width);
            for row in y.saturating_sub(1)..(y + 2).min(self.height) {
                for column in x.saturating_sub(1)..(x + 2).min(self.width) {
                    let beside = row * self.width + column;
                    if self.of[beside] != 0 && self.of[beside] & SEEN == 0 {
                        self.of[beside] |= SEEN;
                        stroke.push(beside);
                    }
                }
            }
        }
    }

    /// The samples that the lines cover at their full width.
    fn stamped(&self) -> Vec<bool> {
        let radius = HALF_LINE_PX * pixels(self.per_px);
        let (right, below) = (Stamp::around(1, 0, radius), Stamp::around(0, 1, radius));
        let mut ink = vec![false; self.of.len()];
        let kinds = CREASE | STEP | OUTLINE;
        for (at, mark) in self.of.iter().enumerate() {
            let place = (at % self.width, at / self.width);
            if mark & kinds > 0 {
                right.press(&mut ink, place, (self.width, self.height));
            }
            if mark & kinds << BELOW > 0 {
                below.press(&mut ink, place, (self.width, self.height));
            }
        }
        ink
    }

    fn samples_in_px(&self) -> usize {
        usize::try_from(self.per_px).unwrap_or(1)
    }
}

fn pixels(per_px: u32) -> f32 {
    f32::from(u16::try_from(per_px).unwrap_or(1))
}

/// What runs between two neighbours that lie along `axis` (0 right, 1 down); 0 for nothing.
#[inline]
fn parted(samples: &Samples, a: usize, b: usize, axis: usize, step: f32) -> u8 {
    let (za, zb) = (samples.depth[a], samples.depth[b]);
    if !za.is_finite() || !zb.is_finite() {
        return if za.is_finite() == zb.is_finite() {
            0
        } else {
            OUTLINE
        };
    }
    let (fa, fb) = (samples.facing[a], samples.facing[b]);
    let rise = zb - za;
    if fa == Facing::UNKNOWN || fb == Facing::UNKNOWN {
        return if rise.abs() > 2.0 * step { STEP } else { 0 };
    }
    let sa = fa.slopes()[axis];
    let sb = if fa == fb { sa } else { fb.slopes()[axis] };
    // Where two planes meet between the samples, depth grows by something between their slopes.
    if rise < sa.min(sb) - step || rise > sa.max(sb) + step {
        STEP
    } else if fa != fb && creased(fa, fb) {
        CREASE
    } else {
        0
    }
}

fn creased(a: Facing, b: Facing) -> bool {
    let (a, b) = (a.normal(), b.normal());
    let cosine: f32 = (0..3).map(|k| a[k] * b[k]).sum();
    cosine < CREASE_DEG.to_radians().cos()
}

/// The samples within half a line of the middle between two neighbours, as steps from the first.
struct Stamp(Vec<(isize, isize)>);

impl Stamp {
    fn around(right: i16, down: i16, radius: f32) -> Self {
        let (middle_x, middle_y) = (f32::from(right) / 2.0, f32::from(down) / 2.0);
        let near = |x: i16, y: i16| {
            let (dx, dy) = (f32::from(x) - middle_x, f32::from(y) - middle_y);
            dx * dx + dy * dy <= radius * radius
        };
        let reach = -4..=4_i16;
        let steps = reach
            .clone()
            .flat_map(|y| reach.clone().map(move |x| (x, y)));
        Self(
            steps
                .filter(|&(x, y)| near(x, y))
                .map(|(x, y)| (isize::from(x), isize::from(y)))
                .collect(),
        )
    }

    fn press(&self, ink: &mut [bool], at: (usize, usize), size: (usize, usize)) {
        for &(dx, dy) in &self.0 {
            let x = at.0.checked_add_signed(dx).filter(|&x| x < size.0);
            let y = at.1.checked_add_signed(dy).filter(|&y| y < size.1);
            if let (Some(x), Some(y)) = (x, y) {
                ink[y * size.0 + x] = true;
            }
        }
    }
}
