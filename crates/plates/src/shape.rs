//! A part made ready for placing: its outer border with half the clearance added, in each turn.
//!
//! Three outlines of a part matter. The *border* is the part itself. The *guard* is the border
//! grown by half the clearance: two guards that don't overlap are two parts with the clearance
//! kept. The *coat* is the guard with fewer corners and a few hundredths of a millimetre more: what
//! the collision engine sees, which works in f32 and likes few corners.

use clipper2_rust::core::{Path64, Paths64, Point64};
use clipper2_rust::{
    ClipperOffset, EndType, FillRule, JoinType, area, ramer_douglas_peucker, union_subjects_64,
};
use partpledge_units::cast::round_i64;

use crate::engine::{Base, Stamp};
use crate::{Bed, Item, LayoutError, Outline, TallGap, Turns, UNITS_PER_MM};

/// Farthest coordinate taken, 100 m: far below what integer products can hold.
const FARTHEST: i64 = 1_000_000_000;
/// How far arcs of the guard may lie inside the true arc, in units (0.01 mm).
const ARC_UNITS: f64 = 100.0;
/// First and last coarseness tried for the coat, in units (0.02 and 0.32 mm).
const COARSENESS: [f64; 2] = [200.0, 3_200.0];
/// Corners that the engine can be asked to look at.
const CORNERS: usize = 120;
/// The same for the strong search (0.05 and 0.2 mm).
const SLIM_COARSENESS: [f64; 2] = [500.0, 2_000.0];
/// Corners that the strong search likes to have at most.
const SLIM_CORNERS: usize = 40;
/// What f32 may lose at the far end of a bed, with room to spare (0.003 mm).
const F32_UNITS: f64 = 30.0;
/// Turns whose borders are nowhere farther apart are tried once: nothing is gained by both.
const ALIKE_MM: f64 = 0.25;
/// Turns closer than this are the same, in degrees.
const SAME_TURN_DEG: f64 = 0.05;

/// A part in one turn, moved so that its border's box starts at the origin.
#[derive(Clone, Debug)]
pub(crate) struct Turned {
    /// The turn in degrees.
    pub(crate) rotation_deg: f64,
    /// Low corner of the turned border's box, before it was moved to the origin, in mm.
    pub(crate) low_mm: [f64; 2],
    /// Size of the turned border's box in mm.
    pub(crate) size_mm: [f64; 2],
    /// With half the usual gap.
    pub(crate) near: Layer,
    /// With half the wide gap, for a part higher than the usual one is for.
    pub(crate) far: Option<Layer>,
}

/// A turned part with half a gap round it.
#[derive(Clone, Debug)]
pub(crate) struct Layer {
    /// What the engine sees, in mm.
    pub(crate) coat: Vec<[f64; 2]>,
    /// The same as the engine takes it.
    pub(crate) stamp: Stamp,
    /// What must not overlap, on the grid.
    pub(crate) guard: Paths64,
}

/// A part ready for placing.
#[derive(Clone, Debug)]
pub(crate) struct Shape {
    /// Every turn in which it fits the bed; none when it fits in no turn.
    pub(crate) turns: Vec<Turned>,
    /// Area inside the coat in mm², for sorting.
    pub(crate) area_mm2: f64,
    /// Size as given, not turned, in mm.
    pub(crate) size_mm: [f64; 2],
}

impl Shape {
    /// Makes `item`, the `index`-th of the list, ready for `bed`; with the wide gap too if it is high.
    pub(crate) fn prepare(
        index: usize,
        item: &Item,
        bed: &Bed,
        tall: Option<&TallGap>,
    ) -> Result<Self, LayoutError> {
        let bad = || LayoutError::BadOutline {
            item: index,
            name: item.name.clone(),
        };
        let cut = Cut::of(&item.outlines).ok_or_else(bad)?;
        let hull = cut.hull();
        let gaps = [
            Some(bed.clearance_mm),
            tall.and_then(|tall| tall.of(item, bed)),
        ];
        let grown = gaps.map(|gap| gap.map(|gap| cut.grown(gap / 2.0).ok_or_else(bad)));
        let [Some(near), far] = grown else {
            return Err(bad());
        };
        let (near, far) = (near?, far.transpose()?);
        let room = bed.size_mm.map(|side| side - 2.0 * bed.edge_mm);
        let fits = |&angle: &f64| {
            let (low, high) = turned_box(&hull, angle.to_radians());
            (0..2).all(|k| (high[k] - low[k]) / UNITS_PER_MM <= room[k] + 1e-6)
        };
        let mut turns: Vec<Turned> = Vec::new();
        for rotation_deg in allowed(&item.turns, &hull, fits) {
            let turned = turned(rotation_deg, &cut.0, &near, far.as_ref());
            if !turns.iter().any(|other| looks_like(other, &turned)) {
                turns.push(turned);
            }
        }
        let (low, high) = turned_box(&hull, 0.0);
        Ok(Self {
            turns,
            area_mm2: area(&near.coat).abs() / (UNITS_PER_MM * UNITS_PER_MM),
            size_mm: [0, 1].map(|k| (high[k] - low[k]) / UNITS_PER_MM),
        })
    }
}

/// Turns to try in which a part fits the bed.
fn allowed(turns: &Turns, hull: &Path64, fits: impl Fn(&f64) -> bool) -> Vec<f64> {
    if let Turns::Only(list) = turns {
        return list
            .iter()
            .map(|turn| turn.rem_euclid(360.0))
            .filter(fits)
            .collect();
    }
    let angles: Vec<f64> = angles(hull).into_iter().filter(&fits).collect();
    if angles.is_empty() {
        // A long part may fit only askew, along the bed's diagonal.
        return (1..180).map(f64::from).filter(fits).collect();
    }
    angles
}

/// A border with half a gap round it, not turned yet.
struct Grown {
    guard: Paths64,
    coat: Path64,
    /// The coat as the engine takes it, about its middle: made once, since it is slow to make.
    base: Base,
}

/// The outermost borders of a part, for the strong search.
pub(crate) struct Cut(Paths64);

impl Cut {
    /// `None` when nothing is enclosed.
    pub(crate) fn of(outlines: &[Outline]) -> Option<Self> {
        border(outlines).map(Self)
    }

    /// Convex hull, counter-clockwise.
    pub(crate) fn hull(&self) -> Path64 {
        hull(self.0.iter().flatten())
    }

    /// `None` when the engine takes neither the coat nor its hull for a simple polygon.
    fn grown(&self, half_mm: f64) -> Option<Grown> {
        let half = half_mm * UNITS_PER_MM;
        let guard = grown(&self.0, half + ARC_UNITS);
        let coat = coat(&self.0, half, COARSENESS, CORNERS)?;
        if let Some(base) = Base::of(&coat) {
            return Some(Grown { guard, coat, base });
        }
        let coat = hull(coat.iter());
        let base = Base::of(&coat)?;
        Some(Grown { guard, coat, base })
    }

    /// What must not overlap: the border grown by `half_mm`.
    pub(crate) fn guard(&self, half_mm: f64) -> Paths64 {
        if half_mm > 0.0 {
            grown(&self.0, half_mm * UNITS_PER_MM + ARC_UNITS)
        } else {
            self.0.clone()
        }
    }

    /// What the engine sees, with fewer corners than the greedy search takes: it looks far more
    /// often. Without a gap there are no arcs, and corners stay as sharp as they are.
    pub(crate) fn slim_coat(&self, half_mm: f64) -> Option<Path64> {
        if half_mm <= 0.0
            && let [border] = self.0.as_slice()
            && border.len() <= CORNERS
        {
            let mut offset = ClipperOffset::new(8.0, ARC_UNITS, false, false);
            offset.add_paths(&self.0, JoinType::Miter, EndType::Polygon);
            let mut out = Paths64::new();
            offset.execute(F32_UNITS, &mut out);
            out.retain(|path| area(path) > 0.0);
            if let [one] = out.as_slice() {
                return Some(one.clone());
            }
        }
        coat(
            &self.0,
            half_mm * UNITS_PER_MM,
            SLIM_COARSENESS,
            SLIM_CORNERS,
        )
    }
}

/// Outermost borders only: united, holes dropped. `None` when nothing is enclosed.
fn border(outlines: &[Outline]) -> Option<Paths64> {
    let far = |p: &[i64; 2]| p.iter().any(|v| !(-FARTHEST..=FARTHEST).contains(v));
    if outlines.iter().flatten().any(far) {
        return None;
    }
    let paths: Paths64 = outlines
        .iter()
        .map(|path| path.iter().map(|&[x, y]| Point64::new(x, y)).collect())
        .collect();
    let united = union_subjects_64(&paths, FillRule::NonZero);
    let mut outer: Paths64 = united.into_iter().filter(|path| area(path) > 0.0).collect();
    // Islands inside a hole of another outline are borders too, but the coat swallows them.
    outer.sort_by(|a, b| area(b).total_cmp(&area(a)));
    (!outer.is_empty()).then_some(outer)
}

fn grown(paths: &Paths64, by: f64) -> Paths64 {
    let mut offset = ClipperOffset::new(2.0, ARC_UNITS, false, false);
    offset.add_paths(paths, JoinType::Round, EndType::Polygon);
    let mut out = Paths64::new();
    offset.execute(by, &mut out);
    out.into_iter().filter(|path| area(path) > 0.0).collect()
}

/// One simple polygon round the part: the grown border with few corners, or the convex hull of it
/// when the part is in several pieces.
fn coat(border: &Paths64, half: f64, coarseness: [f64; 2], corners: usize) -> Option<Path64> {
    let mut coarse = coarseness[0];
    loop {
        // Dropping corners moves an edge by up to `coarse`, so that much is added first.
        let paths = grown(border, half + ARC_UNITS + coarse + F32_UNITS);
        let path = match paths.as_slice() {
            [] => return None,
            [one] => one.clone(),
            several => hull(several.iter().flatten()),
        };
        let slim = ramer_douglas_peucker(&path, coarse);
        let checked = union_subjects_64(&vec![slim.clone()], FillRule::NonZero);
        let simple = checked.len() == 1 && slim.len() >= 3;
        if simple && (slim.len() <= corners || coarse >= coarseness[1]) {
            return Some(checked.into_iter().next().unwrap_or(slim));
        }
        if coarse >= coarseness[1] {
            return Some(hull(path.iter()));
        }
        coarse *= 2.0;
    }
}

/// Convex hull, counter-clockwise (Andrew's monotone chain).
pub(crate) fn hull<'a>(points: impl Iterator<Item = &'a Point64>) -> Path64 {
    let mut sorted: Vec<(i64, i64)> = points.map(|p| (p.x, p.y)).collect();
    sorted.sort_unstable();
    sorted.dedup();
    let mut chain = half_hull(sorted.iter());
    let mut back = half_hull(sorted.iter().rev());
    chain.pop();
    back.pop();
    chain.extend(back);
    chain.into_iter().map(|(x, y)| Point64::new(x, y)).collect()
}

fn half_hull<'a>(points: impl Iterator<Item = &'a (i64, i64)>) -> Vec<(i64, i64)> {
    let mut chain: Vec<(i64, i64)> = Vec::new();
    for &p in points {
        while let [.., a, b] = chain.as_slice() {
            let cross = i128::from(b.0 - a.0) * i128::from(p.1 - a.1)
                - i128::from(b.1 - a.1) * i128::from(p.0 - a.0);
            if cross > 0 {
                break;
            }
            chain.pop();
        }
        chain.push(p);
    }
    chain
}

/// Steps of 45°, and the four turns that lay the least rectangle round the part along the bed.
fn angles(hull: &Path64) -> Vec<f64> {
    let mut list: Vec<f64> = (0..8).map(|step| f64::from(step) * 45.0).collect();
    if let Some(angle) = least_rectangle_deg(hull) {
        for quarter in 0..4 {
            let turn = (angle + f64::from(quarter) * 90.0).rem_euclid(360.0);
            let new = list.iter().all(|&other| {
                let gap = (turn - other).abs();
                gap.min(360.0 - gap) > SAME_TURN_DEG
            });
            if new {
                list.push(turn);
            }
        }
    }
    list
}

/// The turn that lays the rectangle of least area round a convex `hull` along the axes. One of its
/// sides lies on an edge of the hull (Freeman and Shapira 1975, from memory).
fn least_rectangle_deg(hull: &Path64) -> Option<f64> {
    let mut best: Option<(f64, f64)> = None;
    for (i, from) in hull.iter().enumerate() {
        let to = hull[(i + 1) % hull.len()];
        let angle = -((to.y - from.y) as f64).atan2((to.x - from.x) as f64);
        let (low, high) = turned_box(hull, angle);
        let box_area = (high[0] - low[0]) * (high[1] - low[1]);
        if best.is_none_or(|(least, _)| box_area < least * (1.0 - 1e-9)) {
            best = Some((box_area, angle.to_degrees()));
        }
    }
    best.map(|(_, angle)| angle)
}

fn turned_box(path: &Path64, angle_rad: f64) -> ([f64; 2], [f64; 2]) {
    let (sin, cos) = angle_rad.sin_cos();
    let start = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    path.iter().fold(start, |(low, high), p| {
        let [x, y] = turn([p.x as f64, p.y as f64], sin, cos);
        (
            [low[0].min(x), low[1].min(y)],
            [high[0].max(x), high[1].max(y)],
        )
    })
}

fn turn([x, y]: [f64; 2], sin: f64, cos: f64) -> [f64; 2] {
    [x * cos - y * sin, x * sin + y * cos]
}

fn turned(rotation_deg: f64, border: &Paths64, near: &Grown, far: Option<&Grown>) -> Turned {
    let all: Path64 = border.iter().flatten().copied().collect();
    let (low, high) = turned_box(&all, rotation_deg.to_radians());
    Turned {
        rotation_deg,
        low_mm: low.map(|v| v / UNITS_PER_MM),
        size_mm: [0, 1].map(|k| (high[k] - low[k]) / UNITS_PER_MM),
        near: layer(rotation_deg, low, near),
        far: far.map(|far| layer(rotation_deg, low, far)),
    }
}

fn layer(rotation_deg: f64, low: [f64; 2], grown: &Grown) -> Layer {
    let (sin, cos) = rotation_deg.to_radians().sin_cos();
    let moved = |p: &Point64| {
        let [x, y] = turn([p.x as f64, p.y as f64], sin, cos);
        [x - low[0], y - low[1]]
    };
    let on_grid = |p: &Point64| {
        let [x, y] = moved(p).map(|v| round_i64(v).unwrap_or(0));
        Point64::new(x, y)
    };
    let coat: Vec<[f64; 2]> = grown
        .coat
        .iter()
        .map(|p| moved(p).map(|v| v / UNITS_PER_MM))
        .collect();
    let guard = grown.guard.iter();
    Layer {
        stamp: grown.base.turned(
            rotation_deg.to_radians(),
            moved(&grown.base.middle).map(|v| v / UNITS_PER_MM),
            &coat,
        ),
        coat,
        guard: guard
            .map(|path| path.iter().map(on_grid).collect())
            .collect(),
    }
}

/// Whether two turns look the same on the bed, as those of a square or a disc do: no corner of one
/// is farther than [`ALIKE_MM`] from the border of the other.
fn looks_like(a: &Turned, b: &Turned) -> bool {
    let sizes = (0..2).all(|k| (a.size_mm[k] - b.size_mm[k]).abs() < ALIKE_MM);
    let near = |p: &[f64; 2], path: &[[f64; 2]]| {
        (0..path.len()).any(|i| distance(*p, path[i], path[(i + 1) % path.len()]) < ALIKE_MM)
    };
    let (a, b) = (&a.near.coat, &b.near.coat);
    sizes && a.iter().all(|p| near(p, b)) && b.iter().all(|p| near(p, a))
}

/// From `p` to the nearest point of the edge `a`-`b`.
fn distance(p: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    let [along, off] = [[b[0] - a[0], b[1] - a[1]], [p[0] - a[0], p[1] - a[1]]];
    let square = along[0] * along[0] + along[1] * along[1];
    let t = if square > 0.0 {
        (off[0] * along[0] + off[1] * along[1]) / square
    } else {
        0.0
    };
    let t = t.clamp(0.0, 1.0);
    (off[0] - t * along[0]).hypot(off[1] - t * along[1])
}

#[cfg(test)]
mod tests {
    use super::*;
    use partpledge_units::tolerance::close;

    fn item(outline: &[[i64; 2]]) -> Item {
        Item {
            name: "part".to_owned(),
            outlines: vec![outline.to_vec()],
            copies: 1,
            ..Item::default()
        }
    }

    const BED: Bed = Bed {
        size_mm: [200.0, 200.0],
        clearance_mm: 2.0,
        edge_mm: 2.0,
    };

    #[test]
    fn a_square_has_two_turns_and_a_rectangle_four() {
        let square = item(&[[0, 0], [300_000, 0], [300_000, 300_000], [0, 300_000]]);
        assert_eq!(
            Shape::prepare(0, &square, &BED, None).unwrap().turns.len(),
            2
        );
        let rectangle = item(&[[0, 0], [300_000, 0], [300_000, 100_000], [0, 100_000]]);
        assert_eq!(
            Shape::prepare(0, &rectangle, &BED, None)
                .unwrap()
                .turns
                .len(),
            4
        );
    }

    #[test]
    fn the_least_rectangle_of_a_tilted_bar_lies_along_it() {
        // A 40 x 10 bar turned by atan(3/4): corners on whole millimetres.
        let bar = item(&[
            [0, 0],
            [320_000, 240_000],
            [260_000, 320_000],
            [-60_000, 80_000],
        ]);
        let shape = Shape::prepare(0, &bar, &BED, None).unwrap();
        let least = shape
            .turns
            .iter()
            .map(|t| t.size_mm[0] * t.size_mm[1])
            .fold(f64::INFINITY, f64::min);
        assert!(close(least, 400.0, 1e-6, 0.0), "{least}");
    }

    #[test]
    fn an_outline_without_area_is_refused() {
        let line = item(&[[0, 0], [10, 0], [20, 0]]);
        let error = Shape::prepare(3, &line, &BED, None).unwrap_err();
        assert_eq!(
            error,
            LayoutError::BadOutline {
                item: 3,
                name: "part".to_owned()
            }
        );
        let far = item(&[[0, 0], [i64::MAX, 0], [0, 9]]);
        assert_eq!(
            Shape::prepare(0, &far, &BED, None).unwrap_err().code(),
            "bad-outline"
        );
    }
}
