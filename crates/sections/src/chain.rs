//! Segments into loops: along the mesh's edges, and across gaps when the mesh has some.

use clipper2_rust::{Path64, Paths64, Point64};

use crate::crossing::{EdgeKey, Segment};
use crate::outlines::UNITS_PER_MM;

/// Ends of open chains this close are joined, nearest pair first, mm.
const JOIN_MM: f64 = 0.5;

/// A gap up to this is rounding, not a hole in the mesh, in units of 1e-4 mm.
const ROUNDING: f64 = 10.0;

/// Loops, and how many of them had to be closed over a gap.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Loops {
    /// Closed loops, the last point not repeated.
    pub loops: Paths64,
    /// Chains whose ends did not meet: the mesh is open there and the outline is a guess.
    pub open_chains: u32,
}

/// Joins the segments of one plane.
///
/// Every segment is used once. At an edge shared by more than two triangles any pairing gives
/// the same winding, so the first unused one is taken. Chains that end in nothing are joined
/// to the nearest open end within half a millimetre, turned round if need be, and what is left
/// is closed straight.
#[must_use]
pub fn chain(segments: &[Segment]) -> Loops {
    let (loops, open) = along_edges(segments);
    let mut out = Loops {
        loops,
        open_chains: 0,
    };
    if !open.is_empty() {
        across_gaps(&open, &mut out);
    }
    out
}

fn along_edges(segments: &[Segment]) -> (Paths64, Paths64) {
    let mut order: Vec<(EdgeKey, usize)> = segments
        .iter()
        .enumerate()
        .map(|(i, segment)| (segment.from, i))
        .collect();
    order.sort_unstable();
    // For the first entry of each edge: how many of its segments are used up.
    let mut taken = vec![0_usize; order.len()];
    let mut take = |key: EdgeKey, used: &mut [bool]| {
        let first = order.partition_point(|&(from, _)| from < key);
        while let Some(&(from, segment)) = order.get(first + *taken.get(first)?) {
            if from != key {
                return None;
            }
            taken[first] += 1;
            if !std::mem::replace(&mut used[segment], true) {
                return Some(segment);
            }
        }
        None
    };
    let mut used = vec![false; segments.len()];
    let (mut closed, mut open) = (Paths64::new(), Paths64::new());
    for first in 0..segments.len() {
        if std::mem::replace(&mut used[first], true) {
            continue;
        }
        let mut path = vec![segments[first].start];
        let mut last = first;
        loop {
            if segments[last].to == segments[first].from {
                closed.push(without_repeats(path));
                break;
            }
            let Some(next) = take(segments[last].to, &mut used) else {
                path.push(segments[last].end);
                open.push(path);
                break;
            };
            path.push(segments[next].start);
            last = next;
        }
    }
    (closed, open)
}

fn without_repeats(mut path: Path64) -> Path64 {
    path.dedup();
    while path.len() > 1 && path.first() == path.last() {
        path.pop();
    }
    path
}

/// End `2i` is the start of chain `i`, end `2i + 1` its other end.
fn end_point(open: &Paths64, end: usize) -> Point64 {
    let path = &open[end / 2];
    if end.is_multiple_of(2) {
        path[0]
    } else {
        path[path.len() - 1]
    }
}

fn distance(a: Point64, b: Point64) -> f64 {
    ((a.x - b.x) as f64).hypot((a.y - b.y) as f64)
}

fn across_gaps(open: &Paths64, out: &mut Loops) {
    let partner = pair_ends(open);
    let mut used = vec![false; open.len()];
    // Chains with a free end first, so that a row of chains is followed from one end to the other.
    let mut starts: Vec<usize> = (0..2 * open.len())
        .filter(|&end| partner[end].is_none())
        .collect();
    starts.extend((0..open.len()).map(|i| 2 * i));
    for start in starts {
        if !used[start / 2] {
            close_row(open, &partner, start, &mut used, out);
        }
    }
}

/// Follows joined chains from `start` until an end without partner or back to the first.
fn close_row(
    open: &Paths64,
    partner: &[Option<usize>],
    start: usize,
    used: &mut [bool],
    out: &mut Loops,
) {
    let mut path = Path64::new();
    let (mut along_mm, mut against_mm) = (0.0, 0.0);
    let mut gap: f64 = 0.0;
    let mut end = start;
    loop {
        let chain = end / 2;
        used[chain] = true;
        let length: f64 = open[chain]
            .windows(2)
            .map(|pair| distance(pair[0], pair[1]))
            .sum();
        if end.is_multiple_of(2) {
            along_mm += length;
            path.extend(open[chain].iter());
        } else {
            against_mm += length;
            path.extend(open[chain].iter().rev());
        }
        let Some(next) = partner[end ^ 1] else {
            gap = gap.max(
                path.first()
                    .zip(path.last())
                    .map_or(0.0, |(&a, &b)| distance(a, b)),
            );
            break;
        };
        gap = gap.max(distance(end_point(open, end ^ 1), end_point(open, next)));
        if used[next / 2] {
            break;
        }
        end = next;
    }
    if against_mm > along_mm {
        path.reverse();
    }
    out.open_chains += u32::from(gap > ROUNDING);
    out.loops.push(without_repeats(path));
}

/// The partner of each end: nearest pairs first, each end once. Ties break on position in the
/// list, so the result does not depend on anything else.
fn pair_ends(open: &Paths64) -> Vec<Option<usize>> {
    let reach = JOIN_MM * UNITS_PER_MM;
    let mut ends: Vec<(Point64, usize)> = (0..2 * open.len())
        .map(|end| (end_point(open, end), end))
        .collect();
    ends.sort_unstable_by_key(|&(point, end)| (point.x, point.y, end));
    let mut pairs: Vec<(f64, usize, usize)> = Vec::new();
    for (i, &(a, end_a)) in ends.iter().enumerate() {
        // Thousands of ends in one place would make pairs without end; the nearest few do.
        let near = ends[i + 1..]
            .iter()
            .take(64)
            .take_while(|(b, _)| ((b.x - a.x) as f64) <= reach);
        pairs.extend(
            near.map(|&(b, end_b)| (distance(a, b), end_a.min(end_b), end_a.max(end_b)))
                .filter(|&(gap, ..)| gap <= reach),
        );
    }
    pairs.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then((a.1, a.2).cmp(&(b.1, b.2))));
    let mut partner = vec![None; 2 * open.len()];
    for (gap, a, b) in pairs {
        // A chain shorter than the reach must not be closed on itself unless its ends meet.
        let own = a / 2 == b / 2;
        if partner[a].is_none() && partner[b].is_none() && !(own && gap > ROUNDING) {
            partner[a] = Some(b);
            partner[b] = Some(a);
        }
    }
    partner
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outlines::{area_mm2, to_point};

    fn segment(from: EdgeKey, to: EdgeKey, start: (f64, f64), end: (f64, f64)) -> Segment {
        Segment {
            from,
            to,
            start: to_point(start.0, start.1),
            end: to_point(end.0, end.1),
        }
    }

    const SQUARE: [(f64, f64); 4] = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)];

    fn side(i: u64, j: u64) -> Segment {
        let at = |k: u64| SQUARE[usize::try_from(k).unwrap() % 4];
        segment(i % 4, j % 4, at(i), at(j))
    }

    #[test]
    fn segments_in_any_order_make_one_loop() {
        let found = chain(&[side(2, 3), side(0, 1), side(3, 0), side(1, 2)]);
        assert_eq!((found.loops.len(), found.open_chains), (1, 0));
        assert!((area_mm2(&found.loops) - 100.0).abs() < 1e-9);
    }

    #[test]
    fn a_missing_side_is_closed_straight_and_reported() {
        let found = chain(&[side(2, 3), side(0, 1), side(1, 2)]);
        assert_eq!((found.loops.len(), found.open_chains), (1, 1));
        assert!((area_mm2(&found.loops) - 100.0).abs() < 1e-9);
    }

    #[test]
    fn a_flipped_side_is_turned_round_and_is_no_gap() {
        let flipped = segment(2, 1, SQUARE[2], SQUARE[1]);
        let found = chain(&[side(0, 1), flipped, side(2, 3), side(3, 0)]);
        assert_eq!((found.loops.len(), found.open_chains), (1, 0));
        assert!((area_mm2(&found.loops) - 100.0).abs() < 1e-9);
    }

    #[test]
    fn an_edge_with_four_triangles_loses_no_segment() {
        // Two squares that share the edge with key 0.
        let far = |x: f64, y: f64| (-x, -y);
        let other = [
            segment(0, 11, (0.0, 0.0), far(10.0, 0.0)),
            segment(11, 12, far(10.0, 0.0), far(10.0, 10.0)),
            segment(12, 0, far(10.0, 10.0), (0.0, 0.0)),
        ];
        let mut all = vec![side(0, 1), side(1, 2), side(2, 3), side(3, 0)];
        all.extend(other);
        let found = chain(&all);
        assert_eq!(found.open_chains, 0);
        assert!((area_mm2(&found.loops) - 150.0).abs() < 1e-9);
    }
}
