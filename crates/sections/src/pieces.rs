//! Outlines taken apart into pieces that don't touch each other.

use clipper2_rust::{Path64, Point64, PointInPolygonResult};

use crate::outlines::{Outlines, area_mm2};

/// Each outer outline with its holes, the smallest first.
///
/// ```
/// use partpledge_sections::outlines::to_point;
/// let square = |x: f64, half: f64| vec![
///     to_point(x - half, -half), to_point(x + half, -half), to_point(x + half, half), to_point(x - half, half),
/// ];
/// let mut hole = square(0.0, 2.0);
/// hole.reverse();
/// let pieces = partpledge_sections::pieces(&vec![square(0.0, 5.0), square(20.0, 3.0), hole]);
/// assert_eq!(pieces.iter().map(Vec::len).collect::<Vec<_>>(), [1, 2]);
/// ```
#[must_use]
pub fn pieces(outlines: &Outlines) -> Vec<Outlines> {
    let area = |path: &Path64| area_mm2(&vec![path.clone()]);
    let (outer, holes): (Vec<&Path64>, Vec<&Path64>) =
        outlines.iter().partition(|path| area(path) > 0.0);
    let mut out: Vec<(f64, Outlines)> = outer
        .into_iter()
        .map(|path| (area(path), vec![path.clone()]))
        .collect();
    // A hole belongs to the smallest outer outline that holds it.
    out.sort_by(|a, b| a.0.total_cmp(&b.0));
    for hole in holes {
        let Some(&corner) = hole.first() else {
            continue;
        };
        if let Some((_, piece)) = out.iter_mut().find(|(_, piece)| within(corner, &piece[0])) {
            piece.push(hole.clone());
        }
    }
    out.into_iter().map(|(_, piece)| piece).collect()
}

/// Whether a point lies inside the outlines, not in a hole of them; on an edge counts.
///
/// ```
/// use partpledge_sections::{holds, outlines::to_point};
/// let square = vec![vec![to_point(0.0, 0.0), to_point(2.0, 0.0), to_point(2.0, 2.0), to_point(0.0, 2.0)]];
/// assert!(holds(&square, to_point(1.0, 1.0)) && !holds(&square, to_point(3.0, 1.0)));
/// ```
#[must_use]
pub fn holds(outlines: &Outlines, point: Point64) -> bool {
    let around = outlines.iter().filter(|path| within(point, path));
    !around.count().is_multiple_of(2)
}

fn within(point: Point64, path: &Path64) -> bool {
    clipper2_rust::point_in_polygon(point, path) != PointInPolygonResult::IsOutside
}
