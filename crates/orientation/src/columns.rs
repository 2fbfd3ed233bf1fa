//! Where support would stand: straight rays up through the part, on a grid.

use crate::vector::Vector;

/// Rays along the longer side of the part's box, at most.
const RAYS: f64 = 96.0;
/// Rays are never closer than this, mm: half a usual line. Derived here.
const CLOSEST_MM: f64 = 0.2;
/// Places where a ray meets a surface, at most; a mesh with more gets fewer rays.
const MOST_MEETINGS: f64 = 600_000.0;
/// Rays start off the middle of their cell, so that they seldom run along an edge of the part.
const OFF_MIDDLE: [f64; 2] = [0.012_37, 0.007_91];
/// Two surfaces at one height are one, mm.
const SAME_HEIGHT_MM: f64 = 1e-6;
/// Heights at which the section is measured.
const SECTIONS: usize = 40;
/// The lowest and the highest tenth are left out: a part may begin and end in a point.
const ENDS: f64 = 0.1;

/// What the rays have seen.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Columns {
    /// Of the straight columns from overhangs down to the bed, the share that is free air, 0 to 1.
    pub(crate) free: f64,
    /// Of the overhang seen, the share under which the support stands on the part itself.
    pub(crate) on_part: f64,
    /// Smallest section between a tenth and nine tenths of the height, mm²; `None` for an open
    /// mesh, or when not asked for.
    pub(crate) least_section_mm2: Option<f64>,
}

/// A place where a ray meets a triangle.
#[derive(Clone, Copy)]
struct Meeting {
    ray: usize,
    z: f64,
    /// Which way the surface faces, and whether it has to be supported.
    kind: Kind,
}

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    Up,
    Down,
    Hanging,
}

struct Grid {
    low: [f64; 2],
    step: f64,
    /// Cells in a millimetre.
    a_mm: f64,
    wide: usize,
    deep: usize,
}

/// Sends rays up through triangles that stand on z = 0, `hanging` telling which need support;
/// `low` and `size` are their box, `seen` the area of all their shadows in mm². The least section is only measured when asked for.
///
/// In a closed mesh a surface counts only where it is on the outside of everything: where solids
/// run through each other nothing hangs inside.
pub(crate) fn columns(
    corners: &[Vector],
    triangles: &[[u32; 3]],
    hanging: &[bool],
    [low, size_mm]: [Vector; 2],
    seen_mm2: f64,
    [closed, sections]: [bool; 2],
) -> Columns {
    let at = |t: &[u32; 3]| t.map(|i| corners[i as usize]);
    let low = [low[0], low[1]];
    let step = (size_mm[0].max(size_mm[1]) / RAYS)
        .max((seen_mm2 / MOST_MEETINGS).sqrt())
        .max(CLOSEST_MM);
    let count = |k: usize| next_whole(size_mm[k] / step).max(1);
    let grid = Grid {
        low,
        step,
        a_mm: 1.0 / step,
        wide: count(0),
        deep: count(1),
    };
    // Only rays that meet an overhang tell of support; sections need all of them.
    let mut asked = vec![sections; grid.wide * grid.deep];
    let marked = triangles.iter().zip(hanging).filter(|(_, hangs)| **hangs);
    for (triangle, _) in marked {
        grid.meet(at(triangle), |ray, _| asked[ray] = true);
    }
    let mut meetings: Vec<Meeting> = Vec::new();
    for (triangle, &hangs) in triangles.iter().zip(hanging) {
        let corners = at(triangle);
        let kind = match (flat_area(corners) > 0.0, hangs) {
            (true, _) => Kind::Up,
            (false, true) => Kind::Hanging,
            (false, false) => Kind::Down,
        };
        grid.meet(corners, |ray, z| {
            if asked[ray] {
                meetings.push(Meeting { ray, z, kind });
            }
        });
    }
    meetings.sort_unstable_by(|a, b| {
        a.ray
            .cmp(&b.ray)
            .then(a.z.total_cmp(&b.z))
            .then(a.kind.cmp(&b.kind))
    });
    tally(&meetings, step * step, size_mm[2], [closed, sections])
}

/// The least whole number not below `x`, 0 for less; much quicker than `ceil`, which is a call on
/// common machines, and asked for millions of times.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "saturation is what is wanted: lines before the first are the first"
)]
pub(crate) fn next_whole(x: f64) -> usize {
    let whole = x as usize;
    whole + usize::from((whole as f64) < x)
}

/// Area of the shadow, positive when the triangle faces up.
fn flat_area([a, b, c]: [Vector; 3]) -> f64 {
    ((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])) / 2.0
}

impl Grid {
    /// Calls with each ray that meets the triangle and the height there, row by row.
    fn meet(&self, corners: [Vector; 3], mut found: impl FnMut(usize, f64)) {
        let [a, b, c] = corners;
        let least = |k: usize| a[k].min(b[k]).min(c[k]);
        let most = |k: usize| a[k].max(b[k]).max(c[k]);
        // Most triangles of a fine mesh lie between the rays.
        let rows = self.lines(1, least(1), most(1), self.deep);
        if rows.is_empty() || self.lines(0, least(0), most(0), self.wide).is_empty() {
            return;
        }
        let area = flat_area(corners);
        if area.abs() < 1e-12 {
            return;
        }
        // The plane's height at x, y, from its first corner.
        let [u, v] = [b, c].map(|p| [p[0] - a[0], p[1] - a[1], p[2] - a[2]]);
        let slope_x = (u[2] * v[1] - v[2] * u[1]) / (2.0 * area);
        let slope_y = (u[0] * v[2] - v[0] * u[2]) / (2.0 * area);
        for row in rows {
            let y = self.place(1, row);
            let Some((from, to)) = span(corners, y) else {
                continue;
            };
            for column in self.lines(0, from, to, self.wide) {
                let x = self.place(0, column);
                let z = a[2] + slope_x * (x - a[0]) + slope_y * (y - a[1]);
                found(row * self.wide + column, z);
            }
        }
    }

    fn place(&self, k: usize, line: usize) -> f64 {
        self.low[k] + (line as f64 + 0.5 + OFF_MIDDLE[k]) * self.step
    }

    /// The grid lines within `[from, to)`.
    fn lines(&self, k: usize, from: f64, to: f64, many: usize) -> std::ops::Range<usize> {
        let line = |x: f64| {
            let line = (x - self.low[k]) * self.a_mm - 0.5 - OFF_MIDDLE[k];
            next_whole(line).min(many)
        };
        line(from)..line(to)
    }
}

/// Where the line at `y` enters and leaves the triangle's shadow.
fn span(corners: [Vector; 3], y: f64) -> Option<(f64, f64)> {
    let mut found = [f64::INFINITY, f64::NEG_INFINITY];
    for k in 0..3 {
        // Ends in a fixed order, so that neighbours agree to the last digit.
        let (mut p, mut q) = (corners[k], corners[(k + 1) % 3]);
        if (q[1], q[0]) < (p[1], p[0]) {
            (p, q) = (q, p);
        }
        if p[1] <= y && y < q[1] {
            let x = p[0] + (q[0] - p[0]) * ((y - p[1]) / (q[1] - p[1]));
            found = [found[0].min(x), found[1].max(x)];
        }
    }
    (found[0] < found[1]).then_some((found[0], found[1]))
}

fn tally(
    meetings: &[Meeting],
    cell_mm2: f64,
    height_mm: f64,
    [closed, sections]: [bool; 2],
) -> Columns {
    let (mut straight, mut free) = (0.0, 0.0);
    let (mut hung, mut landed) = (0_u32, 0_u32);
    let mut starts = [0_i64; SECTIONS + 1];
    for ray in meetings.chunk_by(|a, b| a.ray == b.ray) {
        let (mut inside, mut below, mut last) = (0_i32, 0.0, (f64::NEG_INFINITY, Kind::Up));
        for meeting in ray {
            let outside = !closed || inside <= 0;
            // The same surface met twice, along an edge.
            let again = meeting.z - last.0 < SAME_HEIGHT_MM && meeting.kind == last.1;
            if meeting.kind == Kind::Hanging && !again {
                straight += meeting.z.max(0.0);
                if outside {
                    free += (meeting.z - below).max(0.0);
                    hung += 1;
                    landed += u32::from(below > 0.0);
                }
            }
            let was = inside;
            inside += if meeting.kind == Kind::Up { -1 } else { 1 };
            if was <= 0 && inside > 0 {
                starts[level(meeting.z, height_mm)] += 1;
            } else if was > 0 && inside <= 0 {
                starts[level(meeting.z, height_mm)] -= 1;
            }
            below = meeting.z.max(0.0);
            last = (meeting.z, meeting.kind);
        }
    }
    let mut cells = 0;
    let filled = starts[..SECTIONS].iter().map(|change| {
        cells += change;
        cells
    });
    let least = filled.min().unwrap_or(0).max(0);
    Columns {
        free: if straight > 0.0 {
            (free / straight).clamp(0.0, 1.0)
        } else {
            1.0
        },
        on_part: if hung > 0 {
            f64::from(landed) / f64::from(hung)
        } else {
            0.0
        },
        least_section_mm2: (closed && sections)
            .then(|| partpledge_units::cast::int_f64(least) * cell_mm2),
    }
}

/// The first of the measured heights that is not below `z`; the one past the last when all are.
fn level(z: f64, height_mm: f64) -> usize {
    let share = z / height_mm.max(f64::MIN_POSITIVE);
    let place = (share - ENDS) / (1.0 - 2.0 * ENDS) * SECTIONS as f64 - 0.5;
    next_whole(place).min(SECTIONS)
}

#[cfg(test)]
mod tests;
