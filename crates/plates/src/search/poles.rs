//! How deep two parts lie in each other, by circles that fill them.
//!
//! A part is filled with a few dozen circles of its own inside. Two circles count with the depth
//! by which they overlap times the smaller radius; circles that don't touch still count a little,
//! less with distance, so that there is always a way downhill.

use jagua_rs::geometry::primitives::SPolygon;
use partpledge_units::cast::{round_usize, to_f32};

use super::field::Spot;

/// Circles are worked through so many at a time.
const LANES: usize = 8;
/// Depth below which it fades out, as a share of the larger diameter.
const FADE: f32 = 0.01;
/// So many circles are enough once they cover such a share of the part.
const ENOUGH: [(usize, f32); 3] = [(40, 0.0), (16, 0.8), (8, 0.9)];
/// Squares of the grid on which middles are looked for: along the shorter side, and at most.
const GRID: [f32; 2] = [12.0, 48.0];

/// A circle: x and y of its middle, radius.
type Circle = [f32; 3];

/// Circles that fill a polygon, each the largest that the ones before it leave room for.
///
/// # Source
/// Poles of inaccessibility, one after the other, as in Gardeyn, Vanden Berghe and Wauters 2025
/// (from memory); derived here: middles are looked for on a grid and refined.
#[derive(Clone, Debug)]
pub(crate) struct Circles(Vec<Circle>);

impl Circles {
    /// Fills a polygon.
    pub(crate) fn fill(shape: &SPolygon) -> Self {
        let corners: Vec<[f32; 2]> = shape.vertices().iter().map(|p| [p.0, p.1]).collect();
        let pole = shape.poi();
        let mut circles = vec![[pole.center.0, pole.center.1, pole.radius]];
        let ([low, high], cell) = grid_of(&corners);
        let mut points: Vec<Circle> = Vec::new();
        let steps =
            [0, 1].map(|k| round_usize(f64::from((high[k] - low[k]) / cell[k])).unwrap_or(0));
        for i in 0..steps[0] {
            for j in 0..steps[1] {
                let at = [
                    low[0] + (to_f32(i as f64) + 0.5) * cell[0],
                    low[1] + (to_f32(j as f64) + 0.5) * cell[1],
                ];
                let room = room_in(&corners, at);
                if room > 0.0 {
                    points.push([at[0], at[1], room]);
                }
            }
        }
        let mut covered = area(circles[0]) / shape.area();
        while !ENOUGH
            .iter()
            .any(|&(many, share)| circles.len() >= many && covered >= share)
        {
            let last = circles[circles.len() - 1];
            for point in &mut points {
                point[2] = point[2].min(distance([point[0], point[1]], last) - last[2]);
            }
            points.retain(|point| point[2] > 0.0);
            let Some(&best) = points.iter().max_by(|a, b| a[2].total_cmp(&b[2])) else {
                break;
            };
            let circle = refined(&corners, &circles, best, cell);
            covered += area(circle) / shape.area();
            circles.push(circle);
        }
        Self(circles)
    }

    /// The circles where the part is.
    fn at(&self, spot: Spot) -> impl Iterator<Item = Circle> {
        let (sin, cos) = spot.turn.sin_cos();
        let (sin, cos) = (to_f32(sin), to_f32(cos));
        let [to_x, to_y] = spot.at.map(to_f32);
        self.0
            .iter()
            .map(move |&[x, y, r]| [x * cos - y * sin + to_x, x * sin + y * cos + to_y, r])
    }
}

fn area(circle: Circle) -> f32 {
    std::f32::consts::PI * circle[2] * circle[2]
}

fn distance(at: [f32; 2], circle: Circle) -> f32 {
    (at[0] - circle[0]).hypot(at[1] - circle[1])
}

/// Box of the corners, and the squares to look at, longer along the longer side if need be.
fn grid_of(corners: &[[f32; 2]]) -> ([[f32; 2]; 2], [f32; 2]) {
    let bound = |k: usize, pick: fn(f32, f32) -> f32, start: f32| {
        corners.iter().map(|p| p[k]).fold(start, pick)
    };
    let low = [0, 1].map(|k| bound(k, f32::min, f32::INFINITY));
    let high = [0, 1].map(|k| bound(k, f32::max, f32::NEG_INFINITY));
    let side = [0, 1].map(|k| high[k] - low[k]);
    let shorter = side[0].min(side[1]).max(f32::MIN_POSITIVE);
    let cell = side.map(|s| s / (s / shorter * GRID[0]).ceil().clamp(1.0, GRID[1]));
    ([low, high], cell)
}

/// Distance from a point inside to the nearest edge; negative outside.
fn room_in(corners: &[[f32; 2]], [x, y]: [f32; 2]) -> f32 {
    let (mut inside, mut least) = (false, f32::INFINITY);
    for (i, a) in corners.iter().enumerate() {
        let b = corners[(i + 1) % corners.len()];
        let (along, off) = ([b[0] - a[0], b[1] - a[1]], [x - a[0], y - a[1]]);
        let square = along[0] * along[0] + along[1] * along[1];
        let t = ((off[0] * along[0] + off[1] * along[1]) / square.max(f32::MIN_POSITIVE))
            .clamp(0.0, 1.0);
        let (dx, dy) = (off[0] - t * along[0], off[1] - t * along[1]);
        least = least.min(dx * dx + dy * dy);
        if (a[1] > y) != (b[1] > y) && x < a[0] + along[0] * (y - a[1]) / along[1] {
            inside = !inside;
        }
    }
    if inside { least.sqrt() } else { -least.sqrt() }
}

/// The best middle near a point of the grid.
fn refined(corners: &[[f32; 2]], circles: &[Circle], from: Circle, cell: [f32; 2]) -> Circle {
    let room = |at: [f32; 2]| {
        let others = circles
            .iter()
            .map(|&circle| distance(at, circle) - circle[2]);
        others.fold(room_in(corners, at), f32::min)
    };
    let mut best = from;
    let mut step = cell.map(|side| side / 2.0);
    for _ in 0..5 {
        let [x, y, _] = best;
        for (dx, dy) in [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)] {
            let at = [x + dx * step[0], y + dy * step[1]];
            let found = room(at);
            if found > best[2] {
                best = [at[0], at[1], found];
            }
        }
        step = step.map(|side| side * 0.6);
    }
    best
}

/// Circles of a part on its spot, by coordinate, filled up to whole lanes with circles of no size.
#[derive(Clone, Debug, Default)]
pub(crate) struct Poles(Vec<[[f32; LANES]; 3]>);

impl Poles {
    /// The circles where the part is.
    pub(crate) fn of(circles: &Circles, spot: Spot) -> Self {
        let placed: Vec<Circle> = circles.at(spot).collect();
        let lane = |chunk: &[Circle]| {
            let mut lane = [[0.0; LANES]; 3];
            for (i, circle) in chunk.iter().enumerate() {
                for k in 0..3 {
                    lane[k][i] = circle[k];
                }
            }
            lane
        };
        Self(placed.chunks(LANES).map(lane).collect())
    }
}

/// What it costs that a part with `circles` at `spot` and one with these poles touch, in mm²:
/// `diameter` is the larger of theirs, `scale` the product of their scales.
///
/// # Source
/// Depth by circles inside, fading out when apart: Gardeyn, Vanden Berghe and Wauters, An
/// open-source heuristic to reboot 2D nesting research (2025), from memory; the root makes it
/// grow like a depth.
pub(crate) fn clash(
    poles: &Poles,
    circles: &Circles,
    spot: Spot,
    diameter: f32,
    scale: f32,
) -> f32 {
    let fade = FADE * diameter;
    let fade2 = fade * fade;
    let mut sums = [0.0_f32; LANES];
    for [cx, cy, cr] in circles.at(spot) {
        for [x, y, r] in &poles.0 {
            for k in 0..LANES {
                let (dx, dy) = (x[k] - cx, y[k] - cy);
                let depth = r[k] + cr - (dx * dx + dy * dy).sqrt();
                // Both meet with the same value and slope at `fade`.
                let far = fade2 / (2.0 * fade - depth.min(fade));
                sums[k] += depth.max(far) * r[k].min(cr);
            }
        }
    }
    let depth = sums.iter().sum::<f32>() * std::f32::consts::PI;
    (depth + fade2).sqrt() * scale
}
