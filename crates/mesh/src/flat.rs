//! Hulls of points in a plane.

pub(crate) fn turn(a: [f64; 2], b: [f64; 2], c: [f64; 2]) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

/// The convex hull of points in a plane, counter-clockwise; corners on a straight side are left out.
///
/// # Source
/// Monotone chain: A. M. Andrew, 1979 (from memory).
///
/// ```
/// use partpledge_mesh::flat::convex_hull;
/// let hull = convex_hull(vec![[0.0, 0.0], [2.0, 0.0], [1.0, 0.5], [2.0, 2.0], [0.0, 2.0]]);
/// assert_eq!(hull.len(), 4);
/// ```
#[must_use]
pub fn convex_hull(mut points: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let half = |ordered: &mut dyn Iterator<Item = [f64; 2]>| {
        let mut chain: Vec<[f64; 2]> = Vec::new();
        for point in ordered {
            while let [.., a, b] = chain[..]
                && turn(a, b, point) <= 0.0
            {
                chain.pop();
            }
            chain.push(point);
        }
        chain.pop();
        chain
    };
    let mut hull = half(&mut points.iter().copied());
    hull.extend(half(&mut points.iter().rev().copied()));
    hull
}

/// Distance from a point inside a counter-clockwise hull to its nearest side; 0 outside, and for a
/// hull of fewer than three corners. In the unit of the points.
///
/// ```
/// use partpledge_mesh::flat::distance_inside;
/// let square = [[0.0, 0.0], [4.0, 0.0], [4.0, 4.0], [0.0, 4.0]];
/// assert!((distance_inside(&square, [1.0, 2.0]) - 1.0).abs() < 1e-12);
/// assert!(distance_inside(&square, [5.0, 2.0]) < 1e-12);
/// ```
#[must_use]
pub fn distance_inside(hull: &[[f64; 2]], point: [f64; 2]) -> f64 {
    if hull.len() < 3 {
        return 0.0;
    }
    let sides = hull.iter().zip(hull.iter().cycle().skip(1));
    let distance = |(a, b): (&[f64; 2], &[f64; 2])| {
        turn(*a, *b, point) / (b[0] - a[0]).hypot(b[1] - a[1]).max(f64::MIN_POSITIVE)
    };
    sides.map(distance).fold(f64::INFINITY, f64::min).max(0.0)
}
