//! Plates without any waste: parts cut from whole beds, put together again edge to edge.
//!
//! Pushing parts apart can't find these: there is no room to push. But where nothing is wasted, the
//! parts themselves say how: in each outward corner of the free room some part must have a corner of
//! its own, one edge along the room's edge. Whatever corner has the fewest such parts is filled
//! first (fewest choices first, Haralick and Elliott 1980, from memory; the rest derived here).

use std::collections::BTreeMap;

use clipper2_rust::core::{Path64, Paths64, Point64};
use clipper2_rust::{FillRule, area, difference_64};
use partpledge_units::cast::{round_i64, round_usize};

use crate::engine::ROUNDING_UNITS2;
use crate::shape::Cut;
use crate::{Item, Layout, LayoutError, Packed, Placement, Plate, Room, Turns, UNITS_PER_MM};

/// Share of the plates' area that may be left over, for what rounding to the grid leaves.
const WASTE: f64 = 1e-7;
/// Copies taken at most: each is a step deeper.
const MOST_COPIES: usize = 1_000;
/// Trials of the strong search that one fit costs, by time (measured: 15 to 40 µs against 2 µs).
const TRIALS_A_FIT: u64 = 10;

/// All copies on the fewest plates that their area allows, if that leaves no waste, no gap is asked
/// for, all turns are quarter turns and it is found in time; and the trials that it took.
///
/// # Errors
/// [`LayoutError::BadOutline`].
pub(crate) fn without_waste(
    items: &[Item],
    rooms: &[Room],
    over: &dyn Fn(u64) -> bool,
) -> Result<(Option<Packed>, u64), LayoutError> {
    let [room] = rooms else {
        return Ok((None, 0));
    };
    let quarters: Option<Vec<Vec<u8>>> = items.iter().map(|item| quarters(&item.turns)).collect();
    let Some(quarters) =
        quarters.filter(|_| room.bed.clearance_mm <= 0.0 && room.bed.edge_mm <= 0.0)
    else {
        return Ok((None, 0));
    };
    let mut borders = Vec::with_capacity(items.len());
    for (i, item) in items.iter().enumerate() {
        let cut = Cut::of(&item.outlines).ok_or_else(|| LayoutError::BadOutline {
            item: i,
            name: item.name.clone(),
        })?;
        borders.push(cut.guard(0.0));
    }
    let Some(mut puzzle) = Puzzle::new(items, room, &borders, &quarters) else {
        return Ok((None, 0));
    };
    let done = puzzle.solve(&vec![puzzle.bed.clone()], over);
    let packed = done.then(|| puzzle.packed(room));
    Ok((packed, puzzle.fits * TRIALS_A_FIT))
}

/// The quarter turns that a part may have; `None` if it may have others.
fn quarters(turns: &Turns) -> Option<Vec<u8>> {
    let Turns::Only(list) = turns else {
        return None;
    };
    let quarter = |turn: &f64| {
        let whole = turn.rem_euclid(360.0) / 90.0;
        let near = whole.round();
        ((whole - near).abs() < 1e-9)
            .then(|| round_usize(near))
            .flatten()
    };
    let mut all = Vec::with_capacity(list.len());
    for turn in list {
        all.push(u8::try_from(quarter(turn)? % 4).ok()?);
    }
    all.sort_unstable();
    all.dedup();
    Some(all)
}

/// A part in one of its turns, about its own origin.
struct Turned {
    item: usize,
    quarter: u8,
    path: Path64,
    area_units2: f64,
}

/// A corner that a turned part has: which, and the way its other edge goes.
#[derive(Clone, Copy)]
struct Corner {
    turned: usize,
    at: usize,
    back: [i64; 2],
}

/// Where a part has been put.
#[derive(Clone, Copy)]
struct Put {
    plate: usize,
    turned: usize,
    shift: [i64; 2],
}

struct Puzzle {
    bed: Path64,
    turned: Vec<Turned>,
    /// Outward corners by the direction of the edge that leaves them, largest parts first.
    corners: BTreeMap<[i64; 2], Vec<Corner>>,
    left: Vec<usize>,
    put: Vec<Put>,
    plate: usize,
    fits: u64,
}

impl Puzzle {
    /// `None` when some part is in several pieces, or the fewest plates would have waste.
    fn new(items: &[Item], room: &Room, borders: &[Paths64], quarters: &[Vec<u8>]) -> Option<Self> {
        let [width, depth] = room.bed.size_mm.map(|side| round_i64(side * UNITS_PER_MM));
        let (width, depth) = (width?, depth?);
        let corners = [(0, 0), (width, 0), (width, depth), (0, depth)];
        let bed: Path64 = corners.map(|(x, y)| Point64::new(x, y)).to_vec();
        let mut turned = Vec::new();
        let mut all = 0.0;
        for (i, border) in borders.iter().enumerate() {
            let [path] = border.as_slice() else {
                return None;
            };
            let area_units2 = area(path);
            all += area_units2 * items[i].copies as f64;
            turned.extend(quarters[i].iter().map(|&quarter| Turned {
                item: i,
                quarter,
                path: path.iter().map(|p| quarter_turn(*p, quarter)).collect(),
                area_units2,
            }));
        }
        let plates = all / area(&bed);
        let whole = plates.round();
        let allowed = room
            .plates
            .is_none_or(|most| round_usize(whole).is_some_and(|n| n <= most));
        let copies: usize = items.iter().map(|item| item.copies).sum();
        let allowed = allowed && copies <= MOST_COPIES;
        (whole >= 1.0 && (whole - plates).abs() < WASTE * whole && allowed).then(|| Self {
            corners: corners_of(&turned),
            bed,
            turned,
            left: items.iter().map(|item| item.copies).collect(),
            put: Vec::new(),
            plate: 0,
            fits: 0,
        })
    }

    /// Fills the free room, then the next plates, until no copy is left. False when that can't be
    /// done from here or it took too long; everything is then as it was.
    fn solve(&mut self, free: &Paths64, over: &dyn Fn(u64) -> bool) -> bool {
        if free.is_empty() {
            if self.left.iter().all(|&copies| copies == 0) {
                return true;
            }
            self.plate += 1;
            let solved = self.solve(&vec![self.bed.clone()], over);
            if !solved {
                self.plate -= 1;
            }
            return solved;
        }
        let (at, choices) = self.tightest(free);
        let mut seen: Vec<Path64> = Vec::new();
        for corner in choices {
            if over(self.fits * TRIALS_A_FIT) {
                return false;
            }
            let turned = &self.turned[corner.turned];
            let own = turned.path[corner.at];
            let shift = [at.x - own.x, at.y - own.y];
            let mut path: Path64 = moved(&turned.path, shift);
            if !inside(&path, &self.bed) {
                continue;
            }
            let first = (0..path.len()).min_by_key(|&i| (path[i].x, path[i].y));
            path.rotate_left(first.unwrap_or(0));
            if seen.contains(&path) {
                continue;
            }
            self.fits += 1;
            let wanted = total(free) - turned.area_units2;
            let rest = without(free, &path);
            seen.push(path);
            if (total(&rest) - wanted).abs() > ROUNDING_UNITS2 {
                continue;
            }
            let item = turned.item;
            self.left[item] -= 1;
            self.put.push(Put {
                plate: self.plate,
                turned: corner.turned,
                shift,
            });
            if self.solve(&rest, over) {
                return true;
            }
            self.put.pop();
            self.left[item] += 1;
        }
        false
    }

    /// The outward corner of the free room that the fewest parts could fill, and which those are.
    fn tightest(&self, free: &Paths64) -> (Point64, Vec<Corner>) {
        let mut best: Option<(usize, Point64, Vec<Corner>)> = None;
        for path in free {
            for (i, &at) in path.iter().enumerate() {
                let (last, next) = neighbours(path, i);
                let (out, back) = (way(at, next), way(at, last));
                let most = best.as_ref().map_or(usize::MAX, |best| best.0);
                if cross(out, back) <= 0 || most == 0 {
                    continue;
                }
                let all = self.corners.get(&reduced(out)).map_or(&[][..], |list| list);
                let fitting = all.iter().filter(|corner| {
                    self.left[self.turned[corner.turned].item] > 0 && cross(corner.back, back) >= 0
                });
                let fitting: Vec<Corner> = fitting.take(most).copied().collect();
                if fitting.len() < most {
                    best = Some((fitting.len(), at, fitting));
                }
            }
        }
        best.map_or((Point64::new(0, 0), Vec::new()), |(_, at, choices)| {
            (at, choices)
        })
    }

    fn packed(&self, room: &Room) -> Packed {
        let plate = |number: usize| {
            let here = self.put.iter().filter(|put| put.plate == number);
            let placements = here.map(|put| {
                let turned = &self.turned[put.turned];
                let [x_mm, y_mm] = put.shift.map(|v| v as f64 / UNITS_PER_MM);
                Placement {
                    item: turned.item,
                    copy: 0,
                    x_mm,
                    y_mm,
                    rotation_deg: 90.0 * f64::from(turned.quarter),
                }
            });
            Plate {
                room: 0,
                layout: Layout {
                    placements: placements.collect(),
                    used_mm: room.bed.size_mm,
                },
            }
        };
        Packed {
            plates: (0..=self.plate).map(plate).collect(),
            left_out: vec![0; self.left.len()],
        }
    }
}

fn corners_of(turned: &[Turned]) -> BTreeMap<[i64; 2], Vec<Corner>> {
    let mut order: Vec<usize> = (0..turned.len()).collect();
    order.sort_by(|&a, &b| turned[b].area_units2.total_cmp(&turned[a].area_units2));
    let mut corners: BTreeMap<[i64; 2], Vec<Corner>> = BTreeMap::new();
    for number in order {
        let path = &turned[number].path;
        for (at, &point) in path.iter().enumerate() {
            let (last, next) = neighbours(path, at);
            let (out, back) = (way(point, next), way(point, last));
            if cross(out, back) > 0 {
                corners.entry(reduced(out)).or_default().push(Corner {
                    turned: number,
                    at,
                    back,
                });
            }
        }
    }
    corners
}

/// What is left of the free room; specks that rounding leaves are none.
fn without(free: &Paths64, path: &Path64) -> Paths64 {
    let mut rest = difference_64(free, &vec![path.clone()], FillRule::NonZero);
    rest.retain(|path| area(path).abs() > ROUNDING_UNITS2);
    rest
}

fn total(paths: &Paths64) -> f64 {
    paths.iter().map(area).sum()
}

fn neighbours(path: &Path64, i: usize) -> (Point64, Point64) {
    let n = path.len();
    (path[(i + n - 1) % n], path[(i + 1) % n])
}

fn way(from: Point64, to: Point64) -> [i64; 2] {
    [to.x - from.x, to.y - from.y]
}

fn cross(a: [i64; 2], b: [i64; 2]) -> i128 {
    i128::from(a[0]) * i128::from(b[1]) - i128::from(a[1]) * i128::from(b[0])
}

/// The shortest step on the grid in the same direction.
fn reduced([x, y]: [i64; 2]) -> [i64; 2] {
    let (mut a, mut b) = (x.abs(), y.abs());
    while b != 0 {
        (a, b) = (b, a % b);
    }
    [x / a.max(1), y / a.max(1)]
}

fn quarter_turn(p: Point64, quarter: u8) -> Point64 {
    match quarter {
        0 => p,
        1 => Point64::new(-p.y, p.x),
        2 => Point64::new(-p.x, -p.y),
        _ => Point64::new(p.y, -p.x),
    }
}

fn moved(path: &Path64, [x, y]: [i64; 2]) -> Path64 {
    path.iter()
        .map(|p| Point64::new(p.x + x, p.y + y))
        .collect()
}

/// Whether all corners lie on the bed.
fn inside(path: &Path64, bed: &Path64) -> bool {
    let (low, high) = (bed[0], bed[2]);
    path.iter()
        .all(|p| (low.x..=high.x).contains(&p.x) && (low.y..=high.y).contains(&p.y))
}
