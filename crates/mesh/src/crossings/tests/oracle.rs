//! Whether triangles cross, by fractions: slow, plain, and nothing in common with the kernel.
//!
//! The triangle is cut by the other's plane, the cut is clipped to the other triangle, and the middle
//! of what is left must be strictly inside both.

use std::cmp::Ordering;

pub(super) type Point = [i64; 3];

/// A fraction with a denominator above zero, in lowest terms.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Ratio(i128, i128);

impl Ratio {
    fn new(over: i128, under: i128) -> Self {
        let (mut a, mut b) = (over.abs(), under.abs());
        while b != 0 {
            (a, b) = (b, a % b);
        }
        let by = a.max(1) * under.signum();
        Self(over / by, under / by)
    }

    fn whole(n: i128) -> Self {
        Self(n, 1)
    }

    fn plus(self, other: Self) -> Self {
        Self::new(self.0 * other.1 + other.0 * self.1, self.1 * other.1)
    }

    fn times(self, other: Self) -> Self {
        Self::new(self.0 * other.0, self.1 * other.1)
    }

    fn minus(self, other: Self) -> Self {
        self.plus(Self(-other.0, other.1))
    }

    fn over(self, other: Self) -> Self {
        Self::new(self.0 * other.1, self.1 * other.0)
    }

    fn sign(self) -> i128 {
        self.0.signum()
    }

    fn order(self, other: Self) -> Ordering {
        self.minus(other).sign().cmp(&0)
    }
}

type Exact = [Ratio; 3];

fn exact(p: Point) -> Exact {
    p.map(|x| Ratio::whole(i128::from(x)))
}

fn minus(a: Exact, b: Exact) -> Exact {
    std::array::from_fn(|k| a[k].minus(b[k]))
}

fn dot(a: Exact, b: Exact) -> Ratio {
    let each = (0..3).map(|k| a[k].times(b[k]));
    each.fold(Ratio::whole(0), Ratio::plus)
}

fn cross(a: Exact, b: Exact) -> Exact {
    let part = |i: usize, j: usize| a[i].times(b[j]).minus(a[j].times(b[i]));
    [part(1, 2), part(2, 0), part(0, 1)]
}

fn toward(a: Exact, b: Exact, share: Ratio) -> Exact {
    std::array::from_fn(|k| a[k].plus(share.times(b[k].minus(a[k]))))
}

fn normal(t: &[Exact; 3]) -> Exact {
    cross(minus(t[1], t[0]), minus(t[2], t[0]))
}

/// How far inside side `k` a point in the plane of `t` is; positive inside.
fn inside_of(t: &[Exact; 3], k: usize, p: Exact) -> Ratio {
    let inward = cross(normal(t), minus(t[(k + 1) % 3], t[k]));
    dot(inward, minus(p, t[k]))
}

fn strictly_inside(t: &[Exact; 3], p: Exact) -> bool {
    (0..3).all(|k| inside_of(t, k, p).sign() > 0)
}

/// The middle of the part of a segment in the plane of `t` that is in `t`, if that part has length.
fn middle_within(t: &[Exact; 3], [p, q]: [Exact; 2]) -> Option<Exact> {
    let (mut from, mut to) = (Ratio::whole(0), Ratio::whole(1));
    for k in 0..3 {
        let (at_p, at_q) = (inside_of(t, k, p), inside_of(t, k, q));
        match (at_p.sign() >= 0, at_q.sign() >= 0) {
            (true, true) => {}
            (false, false) => return None,
            (enters, _) => {
                let share = at_p.over(at_p.minus(at_q));
                if enters {
                    // It starts inside and leaves.
                    to = if share.order(to).is_lt() { share } else { to };
                } else {
                    from = if share.order(from).is_gt() {
                        share
                    } else {
                        from
                    };
                }
            }
        }
    }
    let half = from.plus(to).over(Ratio::whole(2));
    from.order(to).is_lt().then(|| toward(p, q, half))
}

/// Where a triangle passes the plane of another: two points, if it does so along a line.
fn cut(t: &[Exact; 3], plane: &[Exact; 3]) -> Option<[Exact; 2]> {
    let heights = t.map(|p| dot(normal(plane), minus(p, plane[0])));
    let mut points = Vec::new();
    for i in 0..3 {
        let j = (i + 1) % 3;
        if heights[i].sign() == 0 {
            points.push(t[i]);
        }
        if heights[i].sign() * heights[j].sign() < 0 {
            let share = heights[i].over(heights[i].minus(heights[j]));
            points.push(toward(t[i], t[j], share));
        }
    }
    (points.len() == 2 && points[0] != points[1]).then(|| [points[0], points[1]])
}

/// Whether the insides of two triangles meet, when they don't lie in one plane.
pub(super) fn insides_meet(a: [Point; 3], b: [Point; 3]) -> bool {
    let (a, b) = (a.map(exact), b.map(exact));
    if [a, b]
        .iter()
        .any(|t| normal(t).iter().all(|x| x.sign() == 0))
    {
        return false;
    }
    let middle = cut(&a, &b).and_then(|segment| middle_within(&b, segment));
    middle.is_some_and(|p| strictly_inside(&a, p) && strictly_inside(&b, p))
}

/// Whether a side runs through the inside of a face, with its two wings on either side of it.
pub(super) fn passes_along(face: [Point; 3], side: [Point; 2], wings: [Point; 2]) -> bool {
    let (face, side) = (face.map(exact), side.map(exact));
    let height = |p: Exact| dot(normal(&face), minus(p, face[0])).sign();
    let [left, right] = wings.map(|p| height(exact(p)));
    if side.iter().any(|&p| height(p) != 0) || left * right >= 0 {
        return false;
    }
    middle_within(&face, side).is_some_and(|p| strictly_inside(&face, p))
}
