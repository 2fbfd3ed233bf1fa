//! Where a part's mass is.

use partpledge_mesh::Mesh;

use crate::vector::{Vector, dot, double_area, length, minus, plus, scaled};

/// Centre and spread of a part's volume, or of its surface when it is open.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Mass {
    /// Centre in mm.
    pub(crate) centre: Vector,
    /// Second moments about the centre, `∫ x xᵀ` over the amount, mm².
    pub(crate) spread: [Vector; 3],
}

/// Sums over tetrahedra from the middle of the box (closed), or over triangles (open).
///
/// # Source
/// Second moment of a simplex with corners `p` about the origin: amount / ((n+1)(n+2)) times
/// `Σ p pᵀ + (Σ p)(Σ p)ᵀ`, with n = 3 for a tetrahedron and 2 for a triangle; textbook
/// integrals, derived again here.
pub(crate) fn mass(mesh: &Mesh, solid: bool) -> Mass {
    let Some((low, high)) = mesh.bounds() else {
        return Mass {
            centre: [0.0; 3],
            spread: [[0.0; 3]; 3],
        };
    };
    let middle = scaled(plus(low, high), 0.5);
    let (mut amount, mut moment, mut second) = (0.0, [0.0; 3], [[0.0; 3]; 3]);
    for triangle in &mesh.triangles {
        let corners = triangle.map(|i| minus(mesh.vertices[i as usize], middle));
        let normal = double_area(corners);
        // A tetrahedron's fourth corner is the middle itself and adds nothing to the sums.
        let (share, many) = if solid {
            (dot(corners[0], normal) / 6.0, 4.0)
        } else {
            (length(normal) / 2.0, 3.0)
        };
        let sum = plus(plus(corners[0], corners[1]), corners[2]);
        amount += share;
        for i in 0..3 {
            moment[i] += share * sum[i] / many;
            for j in 0..3 {
                let squares: f64 = corners.iter().map(|p| p[i] * p[j]).sum();
                second[i][j] += share * (squares + sum[i] * sum[j]) / (many * (many + 1.0));
            }
        }
    }
    if amount.abs() < f64::MIN_POSITIVE {
        return Mass {
            centre: middle,
            spread: [[0.0; 3]; 3],
        };
    }
    let centre = scaled(moment, 1.0 / amount);
    let about = |i: usize, j: usize| second[i][j] / amount - centre[i] * centre[j];
    Mass {
        centre: plus(middle, centre),
        spread: std::array::from_fn(|i| std::array::from_fn(|j| about(i, j))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shapes::cuboid;

    #[test]
    fn a_box_has_a_twelfth_of_its_sides_squared() {
        // Handbook: the second moment of a box about its middle is side² / 12.
        let found = mass(&cuboid([5.0, 6.0, 7.0], [10.0, 20.0, 30.0]), true);
        assert!(length(minus(found.centre, [10.0, 16.0, 22.0])) < 1e-9);
        for (i, side) in [10.0_f64, 20.0, 30.0].into_iter().enumerate() {
            assert!((found.spread[i][i] - side * side / 12.0).abs() < 1e-9);
            assert!(found.spread[i][(i + 1) % 3].abs() < 1e-9);
        }
    }

    #[test]
    fn a_flat_sheet_is_weighed_by_its_surface() {
        let mut sheet = cuboid([0.0; 3], [10.0, 20.0, 1.0]);
        sheet.triangles.truncate(2);
        let found = mass(&sheet, false);
        assert!(length(minus(found.centre, [5.0, 10.0, 0.0])) < 1e-9);
        assert!((found.spread[0][0] - 100.0 / 12.0).abs() < 1e-9);
    }
}
