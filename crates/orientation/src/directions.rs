//! Directions worth trying whatever the part's faces: its own axes, and all round.

use crate::mass::Mass;
use crate::vector::{Vector, unit};

/// Directions tried all round the part, about 14 degrees apart.
pub(crate) const ALL_ROUND: u32 = 200;
/// Two moments of inertia nearer to each other than this share have no axes of their own.
const DISTINCT: f64 = 0.01;

/// `many` directions spread evenly over the sphere.
///
/// # Source
/// Fibonacci lattice: Á. González, "Measurement of areas on a sphere using Fibonacci and
/// latitude-longitude lattices", Math. Geosci. 42 (2010), p49-64; from memory.
pub(crate) fn all_round(many: u32) -> impl Iterator<Item = Vector> {
    let golden = f64::midpoint(1.0, 5.0_f64.sqrt());
    (0..many).map(move |i| {
        let z = 1.0 - (2.0 * f64::from(i) + 1.0) / f64::from(many);
        let flat = (1.0 - z * z).max(0.0).sqrt();
        let turn = std::f64::consts::TAU * (f64::from(i) / golden).fract();
        [flat * turn.cos(), flat * turn.sin(), z]
    })
}

/// The axes that the part balances about, longest direction first; only those that are its own
/// (a ball has none, a round bar one).
pub(crate) fn own_axes(mass: &Mass) -> Vec<(usize, Vector)> {
    let (spread, axes) = eigen(mass.spread);
    let largest = spread[0].abs().max(f64::MIN_POSITIVE);
    let apart = |i: usize, j: usize| (spread[i] - spread[j]).abs() > DISTINCT * largest;
    (0..3)
        .filter(|&i| (0..3).all(|j| j == i || apart(i, j)))
        .filter_map(|i| Some((i, unit(axes[i])?)))
        .collect()
}

/// Values, largest first, and directions of a symmetric matrix.
///
/// Source: Jacobi's rotations, here always ten rounds over the three pairs, which is far past
/// the digits of a double.
fn eigen(matrix: [Vector; 3]) -> (Vector, [Vector; 3]) {
    let mut m = matrix;
    let mut axes = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
    for (i, j) in (0..30).map(|n| [(0, 1), (0, 2), (1, 2)][n % 3]) {
        if m[i][j].abs() < f64::MIN_POSITIVE {
            continue;
        }
        let half = (m[j][j] - m[i][i]) / (2.0 * m[i][j]);
        let tan = half.signum() / (half.abs() + half.hypot(1.0));
        let cos = 1.0 / tan.hypot(1.0);
        let sin = tan * cos;
        for row in &mut m {
            (row[i], row[j]) = (cos * row[i] - sin * row[j], sin * row[i] + cos * row[j]);
        }
        for k in 0..3 {
            (m[i][k], m[j][k]) = (cos * m[i][k] - sin * m[j][k], sin * m[i][k] + cos * m[j][k]);
            (axes[i][k], axes[j][k]) = (
                cos * axes[i][k] - sin * axes[j][k],
                sin * axes[i][k] + cos * axes[j][k],
            );
        }
    }
    let mut order = [0, 1, 2];
    order.sort_by(|&i, &j| m[j][j].total_cmp(&m[i][i]));
    (order.map(|i| m[i][i]), order.map(|i| axes[i]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::vector::{dot, length};

    #[test]
    fn the_lattice_leaves_no_gap_and_has_no_pole() {
        let list: Vec<Vector> = all_round(ALL_ROUND).collect();
        assert!(list.iter().all(|&d| (length(d) - 1.0).abs() < 1e-12));
        let sum = list
            .iter()
            .fold([0.0; 3], |s, d| [s[0] + d[0], s[1] + d[1], s[2] + d[2]]);
        assert!(length(sum) < 1.0, "{sum:?}");
        for probe in all_round(1000) {
            let nearest = list.iter().map(|&d| dot(d, probe)).fold(-1.0, f64::max);
            assert!(nearest.acos().to_degrees() < 12.0, "{probe:?}");
        }
    }

    #[test]
    fn a_known_matrix_has_its_known_axes() {
        // Characteristic polynomial by hand: values 3 and 1 in the plane, 5 across it.
        let (values, axes) = eigen([[2.0, 1.0, 0.0], [1.0, 2.0, 0.0], [0.0, 0.0, 5.0]]);
        for (value, known) in values.iter().zip([5.0, 3.0, 1.0]) {
            assert!((value - known).abs() < 1e-12);
        }
        assert!((axes[0][2].abs() - 1.0).abs() < 1e-12);
        assert!((axes[1][0] - axes[1][1]).abs() < 1e-12);
    }
}
