//! Polygons of OBJ files into triangles, concave ones too.

/// Point tests allowed for one file: about a second of work. Without it, a few megabytes of combs
/// with thousands of teeth would keep a server busy for days.
const MOST_TESTS: u64 = 300_000_000;

/// The file's faces ask for more work than [`MOST_TESTS`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct TooMuchWork;

/// Divides polygons, counting the work over the whole file.
#[derive(Clone, Debug, Default)]
pub(crate) struct Triangulator {
    tests: u64,
}

/// A polygon being cut down: a ring of the corners that are left.
struct Ring {
    flat: Vec<[f64; 2]>,
    before: Vec<usize>,
    after: Vec<usize>,
    left: usize,
}

impl Triangulator {
    /// Triangles of a polygon given by its corner positions, as positions in that list.
    ///
    /// Where every triangle of a fan faces the same way, the fan is taken. Otherwise ears are
    /// cut in the plane that the polygon's area vector (Newell) faces; corners on a straight
    /// edge become slivers without area, so that neighbours still meet corner to corner. What
    /// is left of a polygon that crosses itself becomes a fan, so that no edge is lost.
    ///
    /// # Source
    /// Ear clipping: Meisters, American Mathematical Monthly 82 (1975), two ears theorem (from
    /// memory).
    pub(crate) fn divide(&mut self, corners: &[[f64; 3]]) -> Result<Vec<[usize; 3]>, TooMuchWork> {
        let n = corners.len();
        let mut out = Vec::with_capacity(n.saturating_sub(2));
        let flat = if n > 3 { flatten(corners) } else { Vec::new() };
        if n <= 3 || (1..n - 1).all(|i| turn(flat[0], flat[i], flat[i + 1]) > 0.0) {
            out.extend((1..n.saturating_sub(1)).map(|i| [0, i, i + 1]));
            return Ok(out);
        }
        let mut ring = Ring::new(flat);
        let (mut at, mut in_vain) = (0, 0);
        while ring.left > 3 {
            if self.tests > MOST_TESTS {
                return Err(TooMuchWork);
            }
            if ring.is_ear(at, &mut self.tests) {
                at = ring.cut(at, &mut out);
                in_vain = 0;
                continue;
            }
            at = ring.after[at];
            in_vain += 1;
            if in_vain < ring.left {
                continue;
            }
            in_vain = 0;
            match ring.straight(at) {
                Some(corner) => at = ring.cut(corner, &mut out),
                None => break,
            }
        }
        while ring.left > 2 {
            at = ring.cut(ring.after[at], &mut out);
        }
        Ok(out)
    }
}

impl Ring {
    fn new(flat: Vec<[f64; 2]>) -> Self {
        let n = flat.len();
        let before = (0..n).map(|i| (i + n - 1) % n).collect();
        let after = (0..n).map(|i| (i + 1) % n).collect();
        Self {
            flat,
            before,
            after,
            left: n,
        }
    }

    fn corners(&self, i: usize) -> [[f64; 2]; 3] {
        [self.before[i], i, self.after[i]].map(|k| self.flat[k])
    }

    /// Cuts corner `i` off and gives the corner before it, where the cut began.
    fn cut(&mut self, i: usize, out: &mut Vec<[usize; 3]>) -> usize {
        let (before, after) = (self.before[i], self.after[i]);
        out.push([before, i, after]);
        self.after[before] = after;
        self.before[after] = before;
        self.left -= 1;
        before
    }

    /// A corner that bulges outwards, with no other corner in the triangle that it cuts off.
    fn is_ear(&self, i: usize, tests: &mut u64) -> bool {
        let [a, b, c] = self.corners(i);
        *tests += 1;
        if turn(a, b, c) <= 0.0 {
            return false;
        }
        let last = self.before[i];
        let mut k = self.after[self.after[i]];
        while k != last {
            *tests += 1;
            let p = self.flat[k];
            let inside = turn(a, b, p) >= 0.0 && turn(b, c, p) >= 0.0 && turn(c, a, p) >= 0.0;
            // A corner visited twice (a slit to a hole) does not stand in its own way.
            if inside && ![a, b, c].iter().any(|&corner| same(corner, p)) {
                return false;
            }
            k = self.after[k];
        }
        true
    }

    /// A corner in the middle of a straight edge or of a spike, counted from `from`.
    fn straight(&self, from: usize) -> Option<usize> {
        let ring = std::iter::successors(Some(from), |&i| Some(self.after[i])).take(self.left);
        ring.into_iter().find(|&i| {
            let [a, b, c] = self.corners(i);
            let area = turn(a, b, c);
            area.abs() <= 0.0
        })
    }
}

/// The polygon seen along the axis that its area vector is nearest to, counter-clockwise.
fn flatten(corners: &[[f64; 3]]) -> Vec<[f64; 2]> {
    // Measured from the first corner, so that a part far from the origin loses no digits.
    let near = corners
        .iter()
        .map(|p| std::array::from_fn(|k| p[k] - corners[0][k]));
    let near: Vec<[f64; 3]> = near.collect();
    let mut normal = [0.0; 3];
    for (i, p) in near.iter().enumerate() {
        let q = near[(i + 1) % near.len()];
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
    near.iter().map(|p| [p[u], p[v] * flip]).collect()
}

/// Twice the area of a, b, c; positive when they turn left.
fn turn(a: [f64; 2], b: [f64; 2], c: [f64; 2]) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

fn same(a: [f64; 2], b: [f64; 2]) -> bool {
    a.map(f64::to_bits) == b.map(f64::to_bits)
}

#[cfg(test)]
mod tests {
    use super::*;
    use partpledge_units::tolerance::close;

    fn solid(flat: &[[f64; 2]]) -> Vec<[f64; 3]> {
        flat.iter().map(|p| [p[0], p[1], 5.0]).collect()
    }

    fn shoelace(flat: &[[f64; 2]]) -> f64 {
        (0..flat.len())
            .map(|i| turn([0.0; 2], flat[i], flat[(i + 1) % flat.len()]) / 2.0)
            .sum()
    }

    /// Every triangle faces the polygon's way, and together they have its area: no overlap.
    fn check(flat: &[[f64; 2]]) {
        let triangles = Triangulator::default().divide(&solid(flat)).unwrap();
        assert_eq!(triangles.len(), flat.len() - 2);
        let areas: Vec<f64> = triangles
            .iter()
            .map(|t| turn(flat[t[0]], flat[t[1]], flat[t[2]]) / 2.0)
            .collect();
        assert!(areas.iter().all(|&area| area >= 0.0), "{flat:?}: {areas:?}");
        let sum: f64 = areas.iter().sum();
        assert!(close(sum, shoelace(flat), 1e-12, 0.0), "{flat:?}: {sum}");
    }

    #[test]
    fn concave_polygons_keep_their_area_and_no_triangle_turns_over() {
        check(&[[0.0, 0.0], [4.0, -3.0], [1.0, 0.0], [4.0, 3.0]]);
        check(&[
            [0.0, 0.0],
            [6.0, 0.0],
            [6.0, 6.0],
            [4.0, 6.0],
            [4.0, 2.0],
            [2.0, 2.0],
            [2.0, 6.0],
            [0.0, 6.0],
        ]);
        // A comb of 200 teeth.
        let mut comb = vec![[0.0, -1.0]];
        comb.extend((0..400).map(|i| [f64::from(400 - i), if i % 2 == 0 { 0.0 } else { 9.0 }]));
        comb.reverse();
        if shoelace(&comb) < 0.0 {
            comb.reverse();
        }
        check(&comb);
    }

    #[test]
    fn corners_on_straight_edges_and_slits_to_holes_are_divided() {
        check(&[
            [0.0, 0.0],
            [1.0, 0.0],
            [2.0, 0.0],
            [2.0, 2.0],
            [1.0, 2.0],
            [0.0, 2.0],
            [0.0, 1.0],
        ]);
        // A square with a square hole, joined by a slit that is walked twice.
        check(&[
            [0.0, 0.0],
            [6.0, 0.0],
            [6.0, 6.0],
            [0.0, 6.0],
            [0.0, 0.0],
            [2.0, 2.0],
            [2.0, 4.0],
            [4.0, 4.0],
            [4.0, 2.0],
            [2.0, 2.0],
        ]);
    }

    #[test]
    fn a_polygon_seen_from_any_side_keeps_its_winding() {
        let arrow = [[0.0, 0.0], [4.0, -3.0], [1.0, 0.0], [4.0, 3.0]];
        for axis in 0..3 {
            for back in [false, true] {
                let mut corners: Vec<[f64; 3]> = arrow
                    .iter()
                    .map(|p| {
                        let mut q = [1e4; 3];
                        q[(axis + 1) % 3] += p[0];
                        q[(axis + 2) % 3] += p[1];
                        q
                    })
                    .collect();
                if back {
                    corners.reverse();
                }
                let sum: f64 = Triangulator::default()
                    .divide(&corners)
                    .unwrap()
                    .iter()
                    .map(|t| {
                        let flat =
                            t.map(|i| [corners[i][(axis + 1) % 3], corners[i][(axis + 2) % 3]]);
                        turn(flat[0], flat[1], flat[2]) / 2.0
                    })
                    .sum();
                assert!(
                    close(sum, if back { -3.0 } else { 3.0 }, 1e-9, 0.0),
                    "{axis} {back} {sum}"
                );
            }
        }
    }

    #[test]
    fn a_polygon_without_area_or_crossing_itself_still_gives_its_triangles() {
        let line: Vec<[f64; 2]> = (0..6).map(|i| [f64::from(i), 0.0]).collect();
        let star = [
            [0.0, 3.0],
            [-2.0, -3.0],
            [3.0, 1.0],
            [-3.0, 1.0],
            [2.0, -3.0],
        ];
        let bow = [[0.0, 0.0], [2.0, 2.0], [2.0, 0.0], [0.0, 2.0]];
        for flat in [&line[..], &star, &bow] {
            let found = Triangulator::default().divide(&solid(flat)).unwrap();
            assert_eq!(found.len(), flat.len() - 2);
            assert!(
                found
                    .iter()
                    .all(|t| t[0] != t[1] && t[1] != t[2] && t[0] != t[2])
            );
        }
    }

    #[test]
    fn a_file_of_hopeless_faces_is_given_up() {
        let mut triangulator = Triangulator {
            tests: MOST_TESTS - 2,
        };
        let arrow = [[0.0, 0.0], [4.0, -3.0], [1.0, 0.0], [4.0, 3.0]];
        assert!(triangulator.divide(&solid(&arrow)).is_ok());
        assert_eq!(
            triangulator.divide(&solid(&[arrow, arrow].concat())),
            Err(TooMuchWork)
        );
    }
}
