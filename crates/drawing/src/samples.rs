//! The nearest surface under each sample of the picture: its distance and its facing.
//!
//! Everything is in sample units: x right, y down and depth away from the eye, all to one scale,
//! so that slopes are plain ratios.

use partpledge_mesh::Mesh;
use partpledge_units::cast::{round_usize, to_f32};

use crate::projection::{Projection, drawable};

/// A sample this near to a triangle's edge belongs to it, so that neighbours leave no pinholes.
const EDGE_SLACK: f64 = 1e-6;
/// A triangle whose height is below this share of the part's diagonal has no reliable facing:
/// `f32` files place corners to about 1e-7 of it.
const SLIVER_SHARE: f64 = 2e-5;
/// A triangle seen narrower than this may slip between the samples and is traced as well.
const THIN: f64 = 0.75;
/// Traced samples lie this far behind all others, so that they only show where nothing else does.
const BEHIND_ALL: f64 = 1e6;

/// Which way a surface faces, turned to the eye: an octahedral code of 2 x 16 bits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Facing(i16, i16);

impl Facing {
    /// Of a triangle too narrow to tell.
    pub(crate) const UNKNOWN: Self = Self(i16::MIN, i16::MIN);

    /// From a normal in sample axes (right, down, away), of any length and either sense.
    fn of_normal([right, down, away]: [f64; 3]) -> Self {
        // Turned to the eye the last component must be negative.
        let turn = if away > 0.0 { -1.0 } else { 1.0 };
        let total = right.abs() + down.abs() + away.abs();
        let code = |x: f64| {
            let scaled = partpledge_units::cast::round_i64(turn * x / total * 32_000.0);
            scaled.and_then(|i| i16::try_from(i).ok()).unwrap_or(0)
        };
        Self(code(right), code(down))
    }

    /// Rightward, downward and towards the eye, each as a share of their sum.
    fn parts(self) -> [f32; 3] {
        let (right, down) = (f32::from(self.0) / 32_000.0, f32::from(self.1) / 32_000.0);
        [right, down, (1.0 - right.abs() - down.abs()).max(1e-4)]
    }

    /// How depth grows with a step right and a step down.
    pub(crate) fn slopes(self) -> [f32; 2] {
        let [right, down, eye] = self.parts();
        [right / eye, down / eye]
    }

    /// Unit normal: right, down, towards the eye.
    pub(crate) fn normal(self) -> [f32; 3] {
        let parts = self.parts();
        let length = parts.iter().map(|x| x * x).sum::<f32>().sqrt();
        parts.map(|x| x / length)
    }
}

/// The samples of a picture, row by row.
pub(crate) struct Samples {
    pub(crate) width: usize,
    pub(crate) height: usize,
    /// Distance from the eye in samples; infinite where there is nothing.
    pub(crate) depth: Vec<f32>,
    pub(crate) facing: Vec<Facing>,
}

impl Samples {
    /// The mesh seen through `projection`, with `per_px` samples along each side of a pixel.
    pub(crate) fn of(mesh: &Mesh, projection: &Projection, per_px: u32) -> Self {
        let canvas = projection.canvas();
        let side = |px: u32| usize::try_from(px * per_px).unwrap_or(0);
        let (width, height) = (side(canvas.width_px), side(canvas.height_px));
        let mut samples = Self {
            width,
            height,
            depth: vec![f32::INFINITY; width * height],
            facing: vec![Facing::UNKNOWN; width * height],
        };
        let scale = f64::from(per_px);
        let sliver = SLIVER_SHARE * projection.diagonal_px() * scale;
        // Once for each corner, though six triangles share it: most of the work for fine meshes.
        let corners: Vec<[f64; 3]> = mesh
            .vertices
            .iter()
            .map(|&p| projection.project(p).map(|x| x * scale))
            .collect();
        for triangle in drawable(&corners, &mesh.triangles) {
            if samples.slips_through(triangle) {
                continue;
            }
            if let Some(flat) = Flat::of(triangle, sliver) {
                samples.fill(&flat);
            }
        }
        samples.bring_traced_back();
        samples
    }

    /// Whether a triangle misses every sample and lies before or behind something that does not:
    /// nearly all of a fine mesh, so this is asked before anything is worked out.
    fn slips_through(&self, [a, b, c]: [[f64; 3]; 3]) -> bool {
        let range = |k: usize| (a[k].min(b[k]).min(c[k]), a[k].max(b[k]).max(c[k]));
        let ((left, right), (top, bottom)) = (range(0), range(1));
        if right - left >= 1.0 || bottom - top >= 1.0 {
            return false;
        }
        let columns = (cell(left, self.width), cell(right, self.width));
        let rows = (cell(top, self.height), cell(bottom, self.height));
        let ((Some(x0), Some(x1)), (Some(y0), Some(y1))) = (columns, rows) else {
            return false;
        };
        let spans = |low: f64, high: f64, cell: usize| {
            let centre = cell as f64 + 0.5;
            low <= centre + EDGE_SLACK && high >= centre - EDGE_SLACK
        };
        let sampled = (spans(left, right, x0) || spans(left, right, x1))
            && (spans(top, bottom, y0) || spans(top, bottom, y1));
        let covered =
            |x: usize, y: usize| f64::from(self.depth[y * self.width + x]) < BEHIND_ALL / 2.0;
        // These are all the cells that tracing could mark.
        !sampled && covered(x0, y0) && covered(x1, y0) && covered(x0, y1) && covered(x1, y1)
    }

    fn bring_traced_back(&mut self) {
        let behind = to_f32(BEHIND_ALL);
        for depth in &mut self.depth {
            if depth.is_finite() && *depth > behind / 2.0 {
                *depth -= behind;
            }
        }
    }

    fn fill(&mut self, flat: &Flat) {
        if flat.seen_height > EDGE_SLACK {
            let (low, high) = flat.range(1);
            if let Some((first, last)) = centres(low, high, self.height) {
                for row in first..=last {
                    self.fill_row(flat, row);
                }
            }
        }
        if flat.seen_height < THIN {
            self.trace(flat);
        }
    }

    fn fill_row(&mut self, flat: &Flat, row: usize) {
        let y = row as f64 + 0.5;
        let (low, high) = flat.crossing(y);
        let Some((first, last)) = centres(low, high, self.width) else {
            return;
        };
        let [x0, y0, z0] = flat.corners[0];
        let z_at_row = z0 + flat.slopes[1] * (y - y0) + flat.slopes[0] * (0.5 - x0);
        let (nearest, farthest) = flat.range(2);
        let cells = row * self.width + first..=row * self.width + last;
        let depths = self.depth[cells.clone()].iter_mut();
        for ((depth, facing), x) in depths.zip(&mut self.facing[cells]).zip(first..) {
            let z = z_at_row + flat.slopes[0] * x as f64;
            // The plane of a triangle seen nearly on edge runs far beyond its corners.
            let z = to_f32(z.max(nearest).min(farthest));
            if z < *depth {
                (*depth, *facing) = (z, flat.facing);
            }
        }
    }

    /// Marks the samples along the longest side.
    fn trace(&mut self, flat: &Flat) {
        let (from, to) = flat.longest_side();
        let steps = round_usize(seen_length(from, to).ceil()).unwrap_or(0);
        let steps = steps.min(2 * (self.width + self.height)).max(1);
        for step in 0..steps {
            let t = (step as f64 + 0.5) / steps as f64;
            let [x, y, z]: [f64; 3] = std::array::from_fn(|k| from[k] + t * (to[k] - from[k]));
            let (Some(column), Some(row)) = (cell(x, self.width), cell(y, self.height)) else {
                continue;
            };
            let at = row * self.width + column;
            let z = to_f32(z + BEHIND_ALL);
            if z < self.depth[at] {
                (self.depth[at], self.facing[at]) = (z, flat.facing);
            }
        }
    }
}

/// A triangle ready to be filled.
struct Flat {
    corners: [[f64; 3]; 3],
    facing: Facing,
    /// How depth grows with x and with y.
    slopes: [f64; 2],
    /// Its least height as seen.
    seen_height: f64,
}

impl Flat {
    /// `None` for a triangle without area. Below the height `sliver` its facing is unknown.
    fn of(corners: [[f64; 3]; 3], sliver: f64) -> Option<Self> {
        let [a, b, c] = corners;
        let [u, v] = [b, c].map(|p| std::array::from_fn::<f64, 3, _>(|k| p[k] - a[k]));
        let normal = [
            u[1] * v[2] - u[2] * v[1],
            u[2] * v[0] - u[0] * v[2],
            u[0] * v[1] - u[1] * v[0],
        ];
        let sides = [(a, b), (b, c), (c, a)];
        let square = |(p, q): ([f64; 3], [f64; 3]), k: usize| (q[k] - p[k]).powi(2);
        let seen = sides.map(|side| square(side, 0) + square(side, 1));
        let full = std::array::from_fn::<f64, 3, _>(|i| seen[i] + square(sides[i], 2));
        let longest = |squares: [f64; 3]| squares.into_iter().fold(0.0, f64::max).sqrt();
        let double_area = normal.iter().map(|x| x * x).sum::<f64>().sqrt();
        let height = double_area / longest(full);
        let seen_height = normal[2].abs() / longest(seen).max(f64::MIN_POSITIVE);
        // Written so that NaN is left out too.
        (height > 1e-6 * sliver).then(|| Self {
            corners,
            facing: if height > sliver {
                Facing::of_normal(normal)
            } else {
                Facing::UNKNOWN
            },
            slopes: [-normal[0] / normal[2], -normal[1] / normal[2]],
            seen_height,
        })
    }

    fn range(&self, axis: usize) -> (f64, f64) {
        let [a, b, c] = self.corners.map(|p| p[axis]);
        (a.min(b).min(c), a.max(b).max(c))
    }

    /// From where to where a row crosses it; an empty range if it does not.
    fn crossing(&self, y: f64) -> (f64, f64) {
        let [a, b, c] = self.corners;
        let mut range = (f64::INFINITY, f64::NEG_INFINITY);
        for (p, q) in [(a, b), (b, c), (c, a)] {
            let (p, q) = if p[1] <= q[1] { (p, q) } else { (q, p) };
            if y < p[1] - EDGE_SLACK || y > q[1] + EDGE_SLACK {
                continue;
            }
            let rise = (q[1] - p[1]).max(f64::MIN_POSITIVE);
            let t = ((y - p[1]) / rise).clamp(0.0, 1.0);
            let x = p[0] + t * (q[0] - p[0]);
            range = (range.0.min(x), range.1.max(x));
        }
        range
    }

    fn longest_side(&self) -> ([f64; 3], [f64; 3]) {
        let [a, b, c] = self.corners;
        let longer = |s: ([f64; 3], [f64; 3]), t: ([f64; 3], [f64; 3])| {
            if seen_length(t.0, t.1) > seen_length(s.0, s.1) {
                t
            } else {
                s
            }
        };
        longer(longer((a, b), (b, c)), (c, a))
    }
}

fn seen_length(a: [f64; 3], b: [f64; 3]) -> f64 {
    ((a[0] - b[0]).powi(2) + (a[1] - b[1]).powi(2)).sqrt()
}

/// The first and the last of `count` cells whose centres lie within a range.
fn centres(low: f64, high: f64, count: usize) -> Option<(usize, usize)> {
    let first = (low - 0.5 - EDGE_SLACK).ceil().max(0.0);
    let last = (high - 0.5 + EDGE_SLACK).floor().min(count as f64 - 1.0);
    (first <= last).then(|| Some((round_usize(first)?, round_usize(last)?)))?
}

/// The cell that holds `x`, if there is one.
pub(crate) fn cell(x: f64, count: usize) -> Option<usize> {
    let inside = x >= 0.0 && x < count as f64;
    // Halves round up, so this is the whole part.
    round_usize(x - 0.5).filter(|_| inside)
}
