//! Cuts of a part: flat ones as the layers are, upright ones through a place, and how far it is
//! across at a place of them.

use partpledge_mesh::Mesh;
use partpledge_sections::outlines::to_mm;
use partpledge_sections::{Outlines, slice};

use super::ink::Scale;

/// Sides of outlines that are looked at for one measurement; the nearest ones.
const MOST_SIDES: usize = 3_000;
/// Two sides face each other when their normals differ from opposite by less than this cosine.
const FACING: f64 = -0.85;
/// A cut never lies exactly in a face, mm.
const BESIDE_MM: f64 = 1e-3;

/// What is cut at a height, mm; `None` where there is nothing or the skin is open.
pub(super) fn flat(mesh: &Mesh, z_mm: f64) -> Option<Outlines> {
    let section = slice(mesh, &[z_mm]).ok()?.pop()?;
    (section.open_chains == 0 && !section.outlines.is_empty()).then_some(section.outlines)
}

/// An upright cut through a point of the standing part: x runs along the cut from that point, y is
/// the height above the bed. The cut's direction is given in degrees from the x axis.
pub(super) fn upright(mesh: &Mesh, [px, py, _]: [f64; 3], turn_deg: f64) -> Option<Outlines> {
    let (sin, cos) = turn_deg.to_radians().sin_cos();
    let stood = |&[x, y, z]: &[f64; 3]| {
        let (x, y) = (x - px, y - py);
        [x * cos + y * sin, z, x * sin - y * cos]
    };
    let turned = Mesh {
        vertices: mesh.vertices.iter().map(stood).collect(),
        triangles: mesh.triangles.clone(),
    };
    flat(&turned, BESIDE_MM)
}

/// Where there is material along a level line, from left to right, mm.
pub(super) fn runs(outlines: &Outlines, y_mm: f64) -> Vec<[f64; 2]> {
    let mut crossings: Vec<f64> = sides(outlines)
        .filter(|[a, b]| (a[1] > y_mm) != (b[1] > y_mm))
        .map(|[a, b]| a[0] + (y_mm - a[1]) / (b[1] - a[1]) * (b[0] - a[0]))
        .collect();
    crossings.sort_by(f64::total_cmp);
    crossings
        .chunks_exact(2)
        .map(|pair| [pair[0], pair[1]])
        .collect()
}

fn sides(outlines: &Outlines) -> impl Iterator<Item = [[f64; 2]; 2]> {
    let ends = |path: &clipper2_rust::Path64| {
        let next = path.iter().cycle().skip(1);
        let pairs = path.iter().zip(next).map(|(a, b)| [to_mm(*a), to_mm(*b)]);
        pairs.collect::<Vec<_>>()
    };
    outlines.iter().flat_map(ends)
}

/// What is measured across: plastic, or the air between plastic.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Across {
    Plastic,
    Air,
}

/// The stretch between two facing sides that is as long as was measured and lies nearest to a
/// place. `None` when nothing near is that long within a twentieth and 0.05 mm.
pub(super) fn across(
    outlines: &Outlines,
    place_mm: [f64; 2],
    measured_mm: f64,
    what: Across,
) -> Option<[[f64; 2]; 2]> {
    let away = |p: [f64; 2]| (p[0] - place_mm[0]).hypot(p[1] - place_mm[1]);
    let mut near: Vec<[[f64; 2]; 2]> = sides(outlines).collect();
    let distance = |side: &[[f64; 2]; 2]| away(nearest(side, place_mm));
    near.sort_by(|a, b| distance(a).total_cmp(&distance(b)));
    near.truncate(MOST_SIDES);
    let slack = 0.05 + 0.05 * measured_mm;
    let mut best: Option<(f64, [[f64; 2]; 2])> = None;
    for side in near.iter().take(MOST_SIDES / 4) {
        let starts = [
            nearest(side, place_mm),
            part_way(side, 0.25),
            part_way(side, 0.5),
            part_way(side, 0.75),
        ];
        for from in starts {
            let Some(to) = opposite(&near, side, from, what) else {
                continue;
            };
            let long = (to[0] - from[0]).hypot(to[1] - from[1]);
            let middle = [f64::midpoint(from[0], to[0]), f64::midpoint(from[1], to[1])];
            let far = away(middle);
            if (long - measured_mm).abs() <= slack
                && best.is_none_or(|(least, _)| far < least - 1e-9)
            {
                best = Some((far, [from, to]));
            }
        }
    }
    best.map(|(_, stretch)| stretch)
}

fn part_way([a, b]: &[[f64; 2]; 2], t: f64) -> [f64; 2] {
    std::array::from_fn(|k| a[k] + t * (b[k] - a[k]))
}

/// The point of a side nearest to a place, a little off its ends so that corners are not met.
fn nearest(side: &[[f64; 2]; 2], [x, y]: [f64; 2]) -> [f64; 2] {
    let [a, b] = side;
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let t = ((x - a[0]) * dx + (y - a[1]) * dy) / (dx * dx + dy * dy).max(1e-12);
    part_way(side, t.clamp(0.02, 0.98))
}

/// Into the plastic from a side: outlines have it on their left.
fn inward([a, b]: &[[f64; 2]; 2]) -> [f64; 2] {
    let long = (b[0] - a[0]).hypot(b[1] - a[1]).max(1e-12);
    [(a[1] - b[1]) / long, (b[0] - a[0]) / long]
}

/// Where a straight look from a side first meets a side that faces it.
fn opposite(
    sides: &[[[f64; 2]; 2]],
    own: &[[f64; 2]; 2],
    from: [f64; 2],
    what: Across,
) -> Option<[f64; 2]> {
    let normal = inward(own);
    let look = match what {
        Across::Plastic => normal,
        Across::Air => [-normal[0], -normal[1]],
    };
    let mut first: Option<(f64, &[[f64; 2]; 2])> = None;
    for side in sides {
        let [a, b] = side;
        let (ex, ey) = (b[0] - a[0], b[1] - a[1]);
        let turn = look[0] * ey - look[1] * ex;
        if turn.abs() < 1e-12 {
            continue;
        }
        let (wx, wy) = (a[0] - from[0], a[1] - from[1]);
        let far = (wx * ey - wy * ex) / turn;
        let along = (wx * look[1] - wy * look[0]) / turn;
        let ahead = far > 1e-4 && (0.0..=1.0).contains(&along);
        if ahead && first.is_none_or(|(least, _)| far < least) {
            first = Some((far, side));
        }
    }
    let (far, side) = first?;
    let other = inward(side);
    let facing = other[0] * normal[0] + other[1] * normal[1];
    (facing < FACING).then(|| [from[0] + far * look[0], from[1] + far * look[1]])
}

/// Outlines as a path of px; those outside a box of px are left out, points nearer than a tenth of
/// a px as well.
pub(super) fn path(
    outlines: &Outlines,
    scale: &Scale,
    [left, top, right, bottom]: [f64; 4],
) -> String {
    let mut path = String::new();
    for outline in outlines {
        let px: Vec<[f64; 2]> = outline.iter().map(|&p| scale.place(to_mm(p))).collect();
        let beside = px.iter().all(|p| p[0] < left)
            || px.iter().all(|p| p[0] > right)
            || px.iter().all(|p| p[1] < top)
            || px.iter().all(|p| p[1] > bottom);
        if beside {
            continue;
        }
        let mut last = [f64::MAX; 2];
        for p in px {
            if (p[0] - last[0]).abs().max((p[1] - last[1]).abs()) < 0.1 {
                continue;
            }
            let letter = if last[0] < f64::MAX { 'L' } else { 'M' };
            path.push_str(&format!("{letter}{:.1} {:.1}", p[0], p[1]));
            last = p;
        }
        path.push('Z');
    }
    path
}
