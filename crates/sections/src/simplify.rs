//! Fewer points for the same outline and the same area.

use clipper2_rust::{Path64, Point64};
use partpledge_units::cast::round_i64;

/// Points this close to the line between their neighbours say nothing about the shape, in units of
/// 1e-4 mm: the rounding of points on a straight side. Gone first, so that the corners of a
/// straight-sided part stay where they are, the same in every layer.
const ROUNDING: f64 = 1.0;

type Xy = [f64; 2];

/// A closed path with fewer points, nowhere farther than `tolerance` from the one given, with the same
/// area up to rounding.
///
/// Dropping points alone makes everything round smaller: at 12.5 µm a disc of 10 mm loses 0.1 % of
/// its area, and so much plastic. Here two neighbouring points become one, placed so that the area
/// stays; small deviations first, in laps round the path with growing limits. The deviations of a
/// point's forerunners add up to at most `tolerance`.
///
/// # Units
/// Path and `tolerance` in 1e-4 mm.
/// # Source
/// Kronenfeld et al., Simplification of polylines by segment collapse: minimizing areal displacement
/// while preserving area, Int. J. of Cartography 6 (2020), from memory; the bound is derived here.
#[must_use]
pub(crate) fn simplify(path: &Path64, tolerance: f64) -> Path64 {
    let straight = clipper2_rust::simplify_path(path, ROUNDING, true);
    if straight.len() < 5 {
        return straight;
    }
    let mut ring = Ring::new(&straight);
    ring.collapse_all(tolerance);
    let points = ring.nodes.iter().filter(|node| node.alive);
    let mut out: Path64 = points.filter_map(|node| rounded(node.at)).collect();
    out.dedup();
    out
}

fn rounded([x, y]: Xy) -> Option<Point64> {
    Some(Point64::new(round_i64(x)?, round_i64(y)?))
}

/// Limits of the laps, as parts of the tolerance: nearly as good as always taking the least deviation
/// next, without a queue.
const LIMITS: [f64; 4] = [1.0 / 64.0, 1.0 / 16.0, 1.0 / 4.0, 1.0];

/// A point of the path on its way.
struct Node {
    at: Xy,
    /// How far the path may be here from what it was.
    strayed: f64,
    before: usize,
    after: usize,
    alive: bool,
    /// What [`merge`] said of it and the next, for as long as that holds; infinitely far for never.
    merged: Option<(Xy, f64)>,
}

/// The path as a ring of neighbours.
struct Ring {
    nodes: Vec<Node>,
    left: usize,
    /// A point that is still there.
    start: usize,
}

impl Ring {
    fn new(path: &Path64) -> Self {
        let n = path.len();
        let node = |(i, point): (usize, &Point64)| Node {
            at: [point.x as f64, point.y as f64],
            strayed: 0.0,
            before: (i + n - 1) % n,
            after: (i + 1) % n,
            alive: true,
            merged: None,
        };
        Self {
            nodes: path.iter().enumerate().map(node).collect(),
            left: n,
            start: 0,
        }
    }

    fn collapse_all(&mut self, tolerance: f64) {
        for limit in LIMITS {
            while self.lap(limit * tolerance) {}
        }
    }

    /// Once round; a point just made is passed over, so that deviations don't pile up in one place.
    fn lap(&mut self, limit: f64) -> bool {
        let (mut first, mut any) = (self.start, false);
        let mut to_go = self.left;
        while to_go > 0 && self.left > 4 {
            if self.collapse(first, limit) {
                any = true;
                to_go = to_go.saturating_sub(1);
            }
            first = self.nodes[first].after;
            to_go = to_go.saturating_sub(1);
        }
        self.start = first;
        any
    }

    /// Makes one point of `first` and the next, if the path strays at most by `limit`.
    fn collapse(&mut self, first: usize, limit: f64) -> bool {
        let second = self.nodes[first].after;
        let (before, after) = (self.nodes[first].before, self.nodes[second].after);
        // Most are asked again in later laps, their neighbours unchanged.
        let (at, deviation) = self.nodes[first].merged.unwrap_or_else(|| {
            let four = [before, first, second, after].map(|i| self.nodes[i].at);
            merge(four).unwrap_or(([0.0; 2], f64::INFINITY))
        });
        self.nodes[first].merged = Some((at, deviation));
        let strayed = self.nodes[first].strayed.max(self.nodes[second].strayed) + deviation;
        if strayed > limit {
            return false;
        }
        self.nodes[second].alive = false;
        self.nodes[after].before = first;
        let node = &mut self.nodes[first];
        (node.at, node.strayed, node.after) = (at, strayed, after);
        self.left -= 1;
        for changed in [self.nodes[before].before, before, first, after] {
            self.nodes[changed].merged = None;
        }
        true
    }
}

/// One point E for the two in the middle of A, B, C, D, so that the area stays and E lies on the
/// line AB or CD; and how far old and new are apart.
fn merge([a, b, c, d]: [Xy; 4]) -> Option<(Xy, f64)> {
    let along = minus(d, a);
    if along[0].hypot(along[1]) < 1.0 {
        return None;
    }
    // Twice the area of ABCD, and of the triangles that B and C make with AD.
    let twice = cross(minus(b, a), minus(c, a)) + cross(minus(c, a), along);
    let (of_b, of_c) = (cross(minus(b, a), along), cross(minus(c, a), along));
    let on_ab = if of_b * of_c > 0.0 {
        of_b.abs() > of_c.abs()
    } else {
        twice * of_b > 0.0
    };
    let (from, to, height) = if on_ab { (a, b, of_b) } else { (d, c, of_c) };
    if height == 0.0 {
        return None;
    }
    let at = plus(from, minus(to, from), twice / height);
    let new = [a, at, d];
    let old = [a, b, c, d];
    let deviation = gap(b, &new).max(gap(c, &new)).max(gap(at, &old));
    deviation.is_finite().then_some((at, deviation))
}

/// Distance from a point to a polyline.
fn gap(point: Xy, line: &[Xy]) -> f64 {
    let to_segment = |ends: &[Xy]| {
        let along = minus(ends[1], ends[0]);
        let square = along[0] * along[0] + along[1] * along[1];
        let from = minus(point, ends[0]);
        let t = if square > 0.0 {
            ((from[0] * along[0] + from[1] * along[1]) / square).clamp(0.0, 1.0)
        } else {
            0.0
        };
        let [x, y] = minus(point, plus(ends[0], along, t));
        x * x + y * y
    };
    let squares = line.windows(2).map(to_segment);
    squares.fold(f64::INFINITY, f64::min).sqrt()
}

fn minus(a: Xy, b: Xy) -> Xy {
    [a[0] - b[0], a[1] - b[1]]
}

fn plus(a: Xy, by: Xy, times: f64) -> Xy {
    [a[0] + times * by[0], a[1] + times * by[1]]
}

fn cross(a: Xy, b: Xy) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outlines::{area_mm2, to_point};
    use proptest::prelude::*;

    fn disc(radius_mm: f64, corners: u32, wobble_mm: f64) -> Path64 {
        (0..corners)
            .map(|i| {
                let angle = std::f64::consts::TAU * f64::from(i) / f64::from(corners);
                let radius = radius_mm + wobble_mm * (7.0 * angle).sin();
                to_point(radius * angle.cos(), radius * angle.sin())
            })
            .collect()
    }

    #[test]
    fn a_fine_disc_keeps_its_area_and_few_of_its_points() {
        let fine = disc(10.0, 2_000, 0.0);
        let coarse = simplify(&fine, 125.0);
        let ratio = area_mm2(&vec![coarse.clone()]) / area_mm2(&vec![fine]);
        assert!((ratio - 1.0).abs() < 1e-5, "{ratio}");
        assert!(coarse.len() < 100, "{}", coarse.len());
    }

    #[test]
    fn the_corners_of_a_square_stay_wherever_points_lie_on_its_sides() {
        let corners = [(0.0, 0.0), (10.0, 1.0), (9.0, 11.0), (-1.0, 10.0)];
        let want: Path64 = corners.iter().map(|&(x, y)| to_point(x, y)).collect();
        for t in [0.1, 0.31, 0.5, 0.77] {
            let path: Path64 = (0..4)
                .flat_map(|i| {
                    let ((ax, ay), (bx, by)) = (corners[i], corners[(i + 1) % 4]);
                    [
                        to_point(ax, ay),
                        to_point(ax + t * (bx - ax), ay + t * (by - ay)),
                    ]
                })
                .collect();
            assert_eq!(simplify(&path, 125.0), want);
        }
    }

    proptest! {
        #[test]
        fn area_stays_and_no_point_strays_beyond_the_tolerance(
            radius in 0.5_f64..40.0, corners in 5_u32..600, wobble in 0.0_f64..0.4,
        ) {
            let fine = disc(radius, corners, wobble * radius);
            let coarse = simplify(&fine, 125.0);
            let (old, new) = (area_mm2(&vec![fine.clone()]), area_mm2(&vec![coarse.clone()]));
            prop_assert!((new / old - 1.0).abs() < 2e-5 + 5e-5 / radius, "{} {}", old, new);
            let at = |path: &Path64| -> Vec<Xy> {
                path.iter().chain(path.first()).map(|p| [p.x as f64, p.y as f64]).collect()
            };
            let (old, new) = (at(&fine), at(&coarse));
            for &point in &old {
                prop_assert!(gap(point, &new) <= 125.0 + 3.0, "{}", gap(point, &new));
            }
            for &point in &new {
                prop_assert!(gap(point, &old) <= 125.0 + 3.0, "{}", gap(point, &old));
            }
        }
    }
}
