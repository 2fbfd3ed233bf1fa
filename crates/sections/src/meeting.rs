//! Whether outlines meet: the cheap question before a dear boolean.
//!
//! Most booleans of a part's layers are about outlines that lie wholly inside or beside each other.
//! To find that out takes a tenth of the boolean engine's time, and the answer is then made of whole
//! paths, exactly.

use clipper2_rust::{FillRule, Path64, Point64, PointInPolygonResult, point_in_polygon};

use crate::outlines::Outlines;

/// Checks for each edge beyond which the boolean engine is asked at once: it keeps its edges sorted,
/// this search doesn't.
const CHECKS_AN_EDGE: usize = 400;

/// More paths than this are not compared one by one.
const MOST_PATHS: usize = 2_000;

/// Least and greatest corner of a path.
#[derive(Clone, Copy)]
struct Frame {
    low: [i64; 2],
    high: [i64; 2],
}

impl Frame {
    fn of<'a>(points: impl IntoIterator<Item = &'a Point64>) -> Option<Self> {
        let mut points = points.into_iter();
        let first = points.next()?;
        let mut out = Self::around(*first, *first);
        for p in points {
            out.low = [out.low[0].min(p.x), out.low[1].min(p.y)];
            out.high = [out.high[0].max(p.x), out.high[1].max(p.y)];
        }
        Some(out)
    }

    fn around(a: Point64, b: Point64) -> Self {
        Self {
            low: [a.x.min(b.x), a.y.min(b.y)],
            high: [a.x.max(b.x), a.y.max(b.y)],
        }
    }

    fn meets(&self, other: &Self) -> bool {
        (0..2).all(|k| self.low[k] <= other.high[k] && other.low[k] <= self.high[k])
    }

    fn holds(&self, p: Point64) -> bool {
        self.low[0] <= p.x && p.x <= self.high[0] && self.low[1] <= p.y && p.y <= self.high[1]
    }
}

/// A side of a path.
pub(crate) struct Edge {
    frame: Frame,
    pub(crate) a: Point64,
    pub(crate) b: Point64,
    /// Its own number and that of the edge it runs into.
    pub(crate) this: usize,
    next: usize,
    /// Of the second set of outlines.
    second: bool,
}

impl Edge {
    /// Whether both have a point in common, other than the corner of neighbours.
    fn meets(&self, other: &Self) -> bool {
        let neighbours = self.next == other.this || other.next == self.this;
        if neighbours && self.second == other.second {
            return self.runs_back_along(other);
        }
        let sides =
            |e: &Self, f: &Self| (turn(e.a, e.b, f.a).signum(), turn(e.a, e.b, f.b).signum());
        let ((c, d), (a, b)) = (sides(self, other), sides(other, self));
        // Frames that overlap and no side with both ends: they cross or touch. On one line, overlapping
        // frames are overlapping edges.
        c * d <= 0 && a * b <= 0
    }

    fn runs_back_along(&self, other: &Self) -> bool {
        let (p, q) = (self.along(), other.along());
        p[0] * q[1] == p[1] * q[0] && p[0] * q[0] + p[1] * q[1] < 0
    }

    fn along(&self) -> [i128; 2] {
        [self.b.x - self.a.x, self.b.y - self.a.y].map(i128::from)
    }
}

/// Twice the area of a triangle, left turns positive.
pub(crate) fn turn(a: Point64, b: Point64, c: Point64) -> i128 {
    let [x, y] = [b.x - a.x, b.y - a.y].map(i128::from);
    x * i128::from(c.y - a.y) - y * i128::from(c.x - a.x)
}

/// Adds the sides of all paths that reach into the frame, numbered from `first` on.
fn edges(
    outlines: &Outlines,
    (second, first): (bool, usize),
    frame: Option<&Frame>,
    into: &mut Vec<Edge>,
) {
    let mut base = first;
    for path in outlines {
        let n = path.len();
        for i in 0..n {
            let j = (i + 1) % n;
            let around = Frame::around(path[i], path[j]);
            if frame.is_none_or(|frame| frame.meets(&around)) {
                into.push(Edge {
                    frame: around,
                    a: path[i],
                    b: path[j],
                    this: base + i,
                    next: base + j,
                    second,
                });
            }
        }
        base += n;
    }
}

/// An edge that the search has come to and not yet passed.
struct Open {
    high_x: i64,
    low_y: i64,
    high_y: i64,
    edge: usize,
}

/// Tells `found` of each two edges that meet and for which `asked` holds, until it says that it has seen
/// enough. Whether it was told of all; not when that would take too long.
///
/// Edges are looked at from left to right, each beside those that reach as far.
fn all_meeting(
    edges: &[Edge],
    asked: impl Fn(&Edge, &Edge) -> bool,
    mut found: impl FnMut(&Edge, &Edge) -> bool,
) -> bool {
    let from_left = |(i, edge): (usize, &Edge)| (edge.frame.low[0], i);
    let mut order: Vec<(i64, usize)> = edges.iter().enumerate().map(from_left).collect();
    order.sort_unstable();
    let mut checks = edges.len() * CHECKS_AN_EDGE;
    let mut open: Vec<Open> = Vec::new();
    for (low_x, i) in order {
        let (edge, [_, low_y]) = (&edges[i], edges[i].frame.low);
        let [high_x, high_y] = edge.frame.high;
        let Some(left) = checks.checked_sub(open.len()) else {
            return false;
        };
        checks = left;
        let mut k = 0;
        while let Some(other) = open.get(k) {
            if other.high_x < low_x {
                open.swap_remove(k);
                continue;
            }
            if other.low_y <= high_y && low_y <= other.high_y {
                let other = &edges[other.edge];
                if asked(edge, other) && edge.meets(other) && !found(edge, other) {
                    return false;
                }
            }
            k += 1;
        }
        open.push(Open {
            high_x,
            low_y,
            high_y,
            edge: i,
        });
    }
    true
}

/// Whether these are clean outlines as they are, so that a union would change nothing: a tenth of its
/// time to find out.
pub(crate) fn keeps_to_itself(outlines: &Outlines) -> bool {
    Surround::of(outlines).is_some_and(|around| each_alone(outlines) && around.nested())
}

/// Whether no path crosses or touches itself or another, as far as that is quickly found out.
fn each_alone(outlines: &Outlines) -> bool {
    let mut all = Vec::with_capacity(outlines.iter().map(Vec::len).sum());
    edges(outlines, (false, 0), None, &mut all);
    all_meeting(&all, |_, _| true, |_, _| false)
}

/// Tells `found` of each edge of `a` that crosses or touches one of `b`, until it says that it has seen
/// enough; edges are numbered from 0 in each set. Whether it was told of all.
pub(crate) fn where_met(
    a: &Outlines,
    b: &Outlines,
    mut found: impl FnMut(&Edge, &Edge) -> bool,
) -> bool {
    let frames = (Frame::of(a.iter().flatten()), Frame::of(b.iter().flatten()));
    let (Some(of_a), Some(of_b)) = frames else {
        return true;
    };
    if !of_a.meets(&of_b) {
        return true;
    }
    let mut all = Vec::new();
    edges(a, (false, 0), Some(&of_b), &mut all);
    edges(b, (true, 0), Some(&of_a), &mut all);
    let told = |e: &Edge, f: &Edge| if e.second { found(f, e) } else { found(e, f) };
    all_meeting(&all, |e, f| e.second != f.second, told)
}

/// Whether two sets of outlines have any point in common, their edges included.
///
/// ```
/// use partpledge_sections::{meet, outlines::to_point};
/// let square = |x: f64, half: f64| vec![vec![
///     to_point(x - half, -half), to_point(x + half, -half), to_point(x + half, half), to_point(x - half, half),
/// ]];
/// assert!(meet(&square(0.0, 5.0), &square(1.0, 1.0)) && meet(&square(0.0, 1.0), &square(1.5, 1.0)));
/// assert!(!meet(&square(0.0, 1.0), &square(2.5, 1.0)));
/// ```
#[must_use]
pub fn meet(a: &Outlines, b: &Outlines) -> bool {
    let mut found = false;
    let whole = where_met(a, b, |_, _| {
        found = true;
        false
    });
    if !whole && !found {
        return !clipper2_rust::intersect_64(a, b, FillRule::NonZero).is_empty();
    }
    found || any_within(a, b) || any_within(b, a)
}

fn any_within(paths: &Outlines, room: &Outlines) -> bool {
    let mut corners = paths.iter().filter_map(|path| path.first());
    corners.any(|&corner| crate::holds(room, corner))
}

/// Paths that are asked for many points whether they lie inside.
pub(crate) struct Surround<'a> {
    paths: Vec<(Frame, i32, &'a Path64)>,
}

impl<'a> Surround<'a> {
    /// `None` for too many paths to ask one by one.
    pub(crate) fn of(outlines: &'a Outlines) -> Option<Self> {
        if outlines.len() > MOST_PATHS {
            return None;
        }
        let one = |path: &'a Path64| {
            let left = clipper2_rust::area(path) > 0.0;
            Some((Frame::of(path)?, if left { 1 } else { -1 }, path))
        };
        let paths = outlines.iter().map(one).collect::<Option<_>>()?;
        Some(Self { paths })
    }

    /// Whether outer ones lie in nothing and holes in one outer one, as outlines should.
    pub(crate) fn nested(&self) -> bool {
        let in_place = |(i, (_, sign, path)): (usize, &(Frame, i32, &Path64))| {
            let depth = path.first().and_then(|&corner| self.times(corner, Some(i)));
            depth == Some(i32::from(*sign < 0))
        };
        self.paths.iter().enumerate().all(in_place)
    }

    /// How often they run round a point, but for the path numbered `but`; `None` for one on an edge.
    pub(crate) fn times(&self, point: Point64, but: Option<usize>) -> Option<i32> {
        let mut times = 0;
        for (i, (frame, sign, path)) in self.paths.iter().enumerate() {
            if Some(i) == but || !frame.holds(point) {
                continue;
            }
            match point_in_polygon(point, path) {
                PointInPolygonResult::IsInside => times += sign,
                PointInPolygonResult::IsOutside => {}
                PointInPolygonResult::IsOn => return None,
            }
        }
        Some(times)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outlines::to_point;

    fn block([x, y]: [f64; 2], [w, h]: [f64; 2]) -> Path64 {
        vec![
            to_point(x, y),
            to_point(x + w, y),
            to_point(x + w, y + h),
            to_point(x, y + h),
        ]
    }

    #[test]
    fn bars_too_many_to_compare_one_by_one_are_still_told_apart() {
        // Two thousand long bars over each other: every edge is beside every other.
        let bars = |shift: f64| -> Outlines {
            let bar = |i: i32| block([0.0, f64::from(i) + shift], [5_000.0, 0.4]);
            (0..1_000).map(bar).collect()
        };
        assert!(!where_met(&bars(0.0), &bars(0.5), |_, _| true));
        assert!(!meet(&bars(0.0), &bars(0.5)));
        assert!(meet(&bars(0.0), &bars(0.3)));
    }

    #[test]
    fn touching_is_meeting_and_lying_inside_too() {
        let one = |path: Path64| vec![path];
        let square = one(block([0.0, 0.0], [4.0, 4.0]));
        assert!(meet(&square, &one(block([4.0, 1.0], [1.0, 1.0]))));
        assert!(meet(&square, &one(block([1.0, 1.0], [1.0, 1.0]))));
        assert!(!meet(&square, &one(block([4.1, 1.0], [1.0, 1.0]))));
        assert!(each_alone(&square) && !each_alone(&vec![square[0].clone(), square[0].clone()]));
    }
}
