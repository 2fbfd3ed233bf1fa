//! Straight lines clipped to a region, real line by real line.

use partpledge_sections::Outlines;
use partpledge_sections::outlines::to_mm;
use partpledge_units::cast::round_i64;

/// Segments shorter than this are not laid, mm.
const SHORTEST_MM: f64 = 0.05;

/// Lines at `spacing_mm` and `angle_deg` inside the outlines, in rows that run to and fro.
///
/// Rows lie on one grid for all layers, so that sparse lines of every second layer stand on each
/// other. Inside is decided by even-odd crossings, which is exact for clean outlines.
pub(crate) fn lines(outlines: &Outlines, spacing_mm: f64, angle_deg: f64) -> Vec<[[f64; 2]; 2]> {
    let (sin, cos) = angle_deg.to_radians().sin_cos();
    let along = |[x, y]: [f64; 2]| [x * cos + y * sin, y * cos - x * sin];
    let back = |[u, v]: [f64; 2]| [u * cos - v * sin, u * sin + v * cos];
    let crossings = crossings(outlines, spacing_mm, along);
    let mut out = Vec::with_capacity(crossings.len() / 2);
    let mut i = 0;
    while i < crossings.len() {
        let row = crossings[i].0;
        let end = i + crossings[i..].partition_point(|&(other, _)| other == row);
        let v = (row as f64 + 0.5) * spacing_mm;
        let first = out.len();
        for pair in crossings[i..end].chunks_exact(2) {
            if pair[1].1 - pair[0].1 >= SHORTEST_MM {
                out.push([back([pair[0].1, v]), back([pair[1].1, v])]);
            }
        }
        if row.rem_euclid(2) == 1 {
            out[first..].reverse();
            out[first..].iter_mut().for_each(|line| line.swap(0, 1));
        }
        i = end;
    }
    out
}

/// Where rows cross the outlines: (row, position along it), sorted.
fn crossings(
    outlines: &Outlines,
    spacing_mm: f64,
    along: impl Fn([f64; 2]) -> [f64; 2],
) -> Vec<(i64, f64)> {
    let mut found: Vec<(i64, f64)> = Vec::new();
    for path in outlines {
        let turned: Vec<[f64; 2]> = path.iter().map(|&p| along(to_mm(p))).collect();
        for (i, &a) in turned.iter().enumerate() {
            let b = turned[(i + 1) % turned.len()];
            let (low, high) = if a[1] <= b[1] { (a, b) } else { (b, a) };
            // Rows with low <= v < high: a corner on a row is crossed once, not twice.
            let first = round_i64((low[1] / spacing_mm - 0.5).ceil()).unwrap_or(0);
            let end = round_i64((high[1] / spacing_mm - 0.5).ceil()).unwrap_or(0);
            for row in first..end {
                let v = (row as f64 + 0.5) * spacing_mm;
                let t = (v - low[1]) / (high[1] - low[1]);
                found.push((row, low[0] + t * (high[0] - low[0])));
            }
        }
    }
    found.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    found
}

#[cfg(test)]
mod tests {
    use partpledge_sections::outlines::to_point;
    use partpledge_units::tolerance::close;

    use super::*;

    fn square(low: f64, high: f64) -> Vec<clipper2_rust::Point64> {
        [(low, low), (high, low), (high, high), (low, high)]
            .map(|(x, y)| to_point(x, y))
            .to_vec()
    }

    fn length(lines: &[[[f64; 2]; 2]]) -> f64 {
        lines
            .iter()
            .map(|[a, b]| (b[0] - a[0]).hypot(b[1] - a[1]))
            .sum()
    }

    #[test]
    fn the_length_of_the_lines_is_area_over_spacing_at_any_angle() {
        let mut ring = vec![square(0.0, 30.0)];
        ring.push(square(10.0, 20.0).into_iter().rev().collect());
        for angle in [0.0, 45.0, 90.0, 135.0, 17.0] {
            let got = length(&lines(&ring, 0.4, angle));
            assert!(
                close(got, 800.0 / 0.4, 0.005, 0.0),
                "{angle} degrees: {got}"
            );
        }
    }

    #[test]
    fn no_line_runs_over_a_hole() {
        let mut ring = vec![square(0.0, 30.0)];
        ring.push(square(10.0, 20.0).into_iter().rev().collect());
        for [a, b] in lines(&ring, 1.0, 0.0) {
            let over = a[1] > 10.0 && a[1] < 20.0 && a[0].min(b[0]) < 10.0 && a[0].max(b[0]) > 20.0;
            assert!(!over, "{a:?} {b:?}");
        }
    }
}
