//! Polygons of OBJ files into triangles, concave ones too.

/// Triangles of a polygon given by its corner positions, as positions in that list.
///
/// Ears are cut in the plane that the polygon's area vector (Newell) faces. A polygon that
/// crosses itself or has no area falls back to a fan, so that no face is lost.
///
/// # Source
/// Ear clipping: Meisters, American Mathematical Monthly 82 (1975), two ears theorem (from memory).
pub(crate) fn triangulate(corners: &[[f64; 3]]) -> Vec<[usize; 3]> {
    let n = corners.len();
    let fan = || (1..n.saturating_sub(1)).map(|i| [0, i, i + 1]).collect();
    if n <= 3 {
        return fan();
    }
    let flat = flatten(corners);
    let mut left: Vec<usize> = (0..n).collect();
    let mut out = Vec::with_capacity(n - 2);
    while left.len() > 3 {
        let Some(ear) = (0..left.len()).find(|&i| is_ear(&flat, &left, i)) else {
            return fan();
        };
        let k = left.len();
        out.push([left[(ear + k - 1) % k], left[ear], left[(ear + 1) % k]]);
        left.remove(ear);
    }
    out.push([left[0], left[1], left[2]]);
    out
}

/// The polygon seen along its area vector, counter-clockwise.
fn flatten(corners: &[[f64; 3]]) -> Vec<[f64; 2]> {
    let mut normal = [0.0; 3];
    for (i, p) in corners.iter().enumerate() {
        let q = corners[(i + 1) % corners.len()];
        for (k, sum) in normal.iter_mut().enumerate() {
            let (a, b) = ((k + 1) % 3, (k + 2) % 3);
            *sum += (p[a] - q[a]) * (p[b] + q[b]);
        }
    }
    let main = (0..3)
        .max_by(|&a, &b| normal[a].abs().total_cmp(&normal[b].abs()))
        .unwrap_or(2);
    let (u, v) = ((main + 1) % 3, (main + 2) % 3);
    let flip = if normal[main] < 0.0 { -1.0 } else { 1.0 };
    corners.iter().map(|p| [p[u], p[v] * flip]).collect()
}

fn turn(a: [f64; 2], b: [f64; 2], c: [f64; 2]) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

fn is_ear(flat: &[[f64; 2]], left: &[usize], i: usize) -> bool {
    let k = left.len();
    let (before, at, after) = (left[(i + k - 1) % k], left[i], left[(i + 1) % k]);
    let (a, b, c) = (flat[before], flat[at], flat[after]);
    if turn(a, b, c) <= 0.0 {
        return false;
    }
    left.iter()
        .filter(|&&j| j != before && j != at && j != after)
        .all(|&j| {
            let p = flat[j];
            turn(a, b, p) < 0.0 || turn(b, c, p) < 0.0 || turn(c, a, p) < 0.0
        })
}

#[cfg(test)]
mod tests {
    use super::*;
    use partpledge_units::tolerance::close;

    fn area(corners: &[[f64; 3]]) -> f64 {
        let flat: Vec<[f64; 2]> = corners.iter().map(|p| [p[0], p[1]]).collect();
        triangulate(corners)
            .iter()
            .map(|t| turn(flat[t[0]], flat[t[1]], flat[t[2]]) / 2.0)
            .sum()
    }

    #[test]
    fn a_concave_polygon_keeps_its_area_and_no_triangle_turns_over() {
        let arrow = [
            [0.0, 0.0, 0.0],
            [4.0, -3.0, 0.0],
            [1.0, 0.0, 0.0],
            [4.0, 3.0, 0.0],
        ];
        assert!(close(area(&arrow), 3.0, 1e-12, 0.0), "{}", area(&arrow));
        for t in triangulate(&arrow) {
            let [a, b, c] = t.map(|i| [arrow[i][0], arrow[i][1]]);
            assert!(turn(a, b, c) > 0.0);
        }
    }

    #[test]
    fn a_polygon_without_area_still_gives_its_triangles() {
        let line = [[0.0; 3], [1.0, 0.0, 0.0], [2.0, 0.0, 0.0], [3.0, 0.0, 0.0]];
        assert_eq!(triangulate(&line).len(), 2);
    }
}
