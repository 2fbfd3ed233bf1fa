//! Two triangles: whether the one goes through the other, by exact signs only.

use robust::{Coord3D, orient3d};

/// A triangle's corners.
pub(super) type Triangle = [[f64; 3]; 3];

/// How two triangles lie to each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Meeting {
    /// They don't meet, only touch, or lie in one plane.
    None,
    /// Their insides meet; a point where they do.
    Cross([f64; 3]),
    /// A side of one lies in the other's plane and runs through its inside.
    Along(Along),
}

/// A side that lies in the other triangle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Along {
    /// Whether the side is one of the second triangle, in the first.
    pub(super) side_of_second: bool,
    /// The corner opposite to the side: 0, 1 or 2 of its triangle.
    pub(super) opposite: usize,
    /// Which side of the other's plane that corner is on.
    pub(super) above: bool,
}

/// Sign of the volume over `a`, `b`, `c` and `d`; exact.
pub(super) fn sign(a: [f64; 3], b: [f64; 3], c: [f64; 3], d: [f64; 3]) -> i8 {
    let point = |[x, y, z]: [f64; 3]| Coord3D { x, y, z };
    let volume = orient3d(point(a), point(b), point(c), point(d));
    i8::from(volume > 0.0) - i8::from(volume < 0.0)
}

/// Which side of a triangle's plane each corner of another is on; a corner of both is in it.
fn sides([a, b, c]: Triangle, other: Triangle, shared: Option<usize>) -> [i8; 3] {
    std::array::from_fn(|k| {
        if shared == Some(k) {
            0
        } else {
            sign(a, b, c, other[k])
        }
    })
}

/// Whether all are on one side, or in the plane with at most one corner off it.
fn stays(sides: [i8; 3]) -> bool {
    !(sides.contains(&1) && sides.contains(&-1))
}

/// How `first` and `second` meet; `shared` says which corner of each is the same one.
///
/// Both must have corners strictly on both sides of the other's plane; then each cuts the line that
/// the planes share in a stretch of some length. The stretches overlap when neither lies wholly
/// before the other. Which of two ends comes first is the sign of one volume: for a corner `p` that
/// is alone on its side, its neighbour `q`, and likewise `r` and `s` of the other triangle, the
/// volume over `p`, `q`, `r`, `s` is the distance of the two ends along the line times a factor
/// whose sign is the same for all four pairs of ends (derived here).
pub(super) fn meeting(first: Triangle, second: Triangle, shared: Option<[usize; 2]>) -> Meeting {
    let of_second = sides(first, second, shared.map(|[_, j]| j));
    if stays(of_second) {
        return along(first, second, of_second, true);
    }
    let of_first = sides(second, first, shared.map(|[i, _]| i));
    if stays(of_first) {
        return along(second, first, of_first, false);
    }
    let (p, q) = (lonely(of_first), lonely(of_second));
    let order = [1, 2].map(|i| {
        [1, 2].map(|j| {
            let (i, j) = ((p + i) % 3, (q + j) % 3);
            if shared == Some([i, j]) {
                0
            } else {
                sign(first[p], first[i], second[q], second[j])
            }
        })
    });
    let order = order.as_flattened();
    if order.contains(&1) && order.contains(&-1) {
        Meeting::Cross(place(first, of_first, second, of_second))
    } else {
        Meeting::None
    }
}

/// The corner that is alone on its side.
fn lonely(sides: [i8; 3]) -> usize {
    let up = sides.iter().filter(|&&side| side > 0).count();
    let sought = if up == 1 { 1 } else { -1 };
    sides.iter().position(|&side| side == sought).unwrap_or(0)
}

/// About the middle of the stretch in which two triangles cross.
fn place(first: Triangle, of_first: [i8; 3], second: Triangle, of_second: [i8; 3]) -> [f64; 3] {
    let [a, b] = stretch(first, of_first, second);
    let [c, d] = stretch(second, of_second, first);
    let line = crate::vector::minus(b, a);
    let mut ends = [a, b, c, d].map(|p| (crate::vector::dot(line, p), p));
    ends.sort_by(|x, y| x.0.total_cmp(&y.0));
    crate::vector::middle(ends[1].1, ends[2].1)
}

/// Where two sides of a triangle pass through the plane of another.
fn stretch(t: Triangle, sides: [i8; 3], plane: Triangle) -> [[f64; 3]; 2] {
    use crate::vector::{dot, double_area, minus};
    let normal = double_area(plane);
    let height = |p: [f64; 3]| dot(normal, minus(p, plane[0]));
    let k = lonely(sides);
    let p = t[k];
    [t[(k + 1) % 3], t[(k + 2) % 3]].map(|q| {
        let (from, to) = (height(p), height(q));
        let gap = from - to;
        // The signs are exact, these heights are not: keep to the side whatever they say.
        let share = if gap.abs() > 0.0 {
            (from / gap).clamp(0.0, 1.0)
        } else {
            0.5
        };
        std::array::from_fn(|k| p[k] + share * (q[k] - p[k]))
    })
}

/// A side of `t` in the plane of `face` and through its inside, when just the third corner is off.
fn along(face: Triangle, t: Triangle, sides: [i8; 3], side_of_second: bool) -> Meeting {
    let flat = sides.iter().filter(|&&side| side == 0).count();
    let Some(opposite) = sides.iter().position(|&side| side != 0) else {
        return Meeting::None;
    };
    if flat != 2 || !runs_inside(face, t, opposite) {
        return Meeting::None;
    }
    Meeting::Along(Along {
        side_of_second,
        opposite,
        above: sides[opposite] > 0,
    })
}

/// Whether a side in the plane of `face` runs through its inside. Two flat convex shapes keep apart
/// only if a line along one of their sides does it; seen from the corner `opposite`, which is off
/// the plane, "left of a line in the plane" is the sign of a volume.
fn runs_inside(face: Triangle, t: Triangle, opposite: usize) -> bool {
    let (eye, p, q) = (t[opposite], t[(opposite + 1) % 3], t[(opposite + 2) % 3]);
    let inward = sign(eye, face[0], face[1], face[2]);
    if inward == 0 {
        return false;
    }
    let kept_out = (0..3).any(|k| {
        let (a, b) = (face[k], face[(k + 1) % 3]);
        sign(eye, a, b, p) != inward && sign(eye, a, b, q) != inward
    });
    let sides = face.map(|corner| sign(eye, p, q, corner));
    !kept_out && sides.contains(&1) && sides.contains(&-1)
}
