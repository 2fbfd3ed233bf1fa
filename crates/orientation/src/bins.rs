//! The surface gathered by which way it faces: a first look at many ways up, quick on any mesh.

use partpledge_mesh::Mesh;

use crate::columns::next_whole;
use crate::measure::OVERHANG_DEG;
use crate::vector::{Vector, dot, double_area, length, plus, scaled};

/// Cells along each side of the cube that directions are sorted into.
const CELLS: usize = 24;
/// Cells in all.
pub(crate) const CELLS_IN_ALL: usize = 6 * CELLS * CELLS;

/// Surface that faces one way, more or less.
#[derive(Clone, Copy, Debug, Default)]
struct Bin {
    area_mm2: f64,
    /// Sum of area times normal.
    facing: Vector,
    /// Sum of area times normal times middle, row by normal.
    moment: [Vector; 3],
}

/// The gathered surface.
#[derive(Clone, Debug)]
pub(crate) struct Bins(Vec<Bin>);

impl Bins {
    /// Sorts each triangle into one of 6 x 24 x 24 cells by its normal.
    pub(crate) fn of(mesh: &Mesh) -> Self {
        let mut bins = vec![Bin::default(); CELLS_IN_ALL];
        for triangle in &mesh.triangles {
            let corners = triangle.map(|i| mesh.vertices[i as usize]);
            let half = scaled(double_area(corners), 0.5);
            let area = length(half);
            if area <= 0.0 {
                continue;
            }
            let bin = &mut bins[cell(half)];
            let middle = scaled(plus(plus(corners[0], corners[1]), corners[2]), 1.0 / 3.0);
            bin.area_mm2 += area;
            bin.facing = plus(bin.facing, half);
            for (row, part) in bin.moment.iter_mut().zip(half) {
                *row = plus(*row, scaled(middle, part));
            }
        }
        bins.retain(|bin| bin.area_mm2 > 0.0);
        Self(bins)
    }

    /// Overhang in mm² and its straight columns down to the lowest point in mm³, with `up`
    /// upwards. A cell hangs over as a whole or not at all.
    pub(crate) fn overhang(&self, up: Vector, lowest_mm: f64) -> (f64, f64) {
        let steepest = OVERHANG_DEG.to_radians().sin();
        let (mut area, mut column) = (0.0, 0.0);
        for bin in &self.0 {
            let down = -dot(bin.facing, up);
            if down > steepest * bin.area_mm2 {
                area += bin.area_mm2;
                let rows = bin.moment.map(|row| dot(row, up));
                column -= dot(rows, up) + lowest_mm * down;
            }
        }
        (area, column.max(0.0))
    }
}

/// The cell of a direction: the side of a cube that it leaves through, and where.
pub(crate) fn cell(direction: Vector) -> usize {
    let mut k = 0;
    for i in 1..3 {
        if direction[i].abs() > direction[k].abs() {
            k = i;
        }
    }
    let side = 2 * k + usize::from(direction[k] < 0.0);
    let place = |x: f64| {
        let share = f64::midpoint(x / direction[k].abs(), 1.0);
        // The place before the next whole number: `next_whole` is at least 1 inside the range.
        next_whole(share * CELLS as f64).clamp(1, CELLS) - 1
    };
    let (i, j) = ((k + 1) % 3, (k + 2) % 3);
    (side * CELLS + place(direction[i])) * CELLS + place(direction[j])
}

#[cfg(test)]
mod tests {
    use partpledge_mesh::overhang;

    use super::*;
    use crate::directions::all_round;
    use crate::shapes::{ball, cuboid};

    #[test]
    fn flat_faces_are_summed_exactly_as_the_mesh_itself() {
        let mesh = cuboid([3.0, -4.0, 5.0], [10.0, 20.0, 30.0]);
        let bins = Bins::of(&mesh);
        for up in all_round(50) {
            let lowest = mesh
                .vertices
                .iter()
                .map(|&p| dot(p, up))
                .fold(f64::MAX, f64::min);
            let known = overhang(&mesh, up, OVERHANG_DEG, -1.0);
            let (area, column) = bins.overhang(up, lowest);
            assert!(
                (area - known.area_mm2).abs() < 1e-9 && (column - known.column_mm3).abs() < 1e-6
            );
        }
    }

    #[test]
    fn a_round_body_is_summed_within_a_few_percent() {
        let mesh = ball(20.0);
        let bins = Bins::of(&mesh);
        for up in all_round(50) {
            let lowest = mesh
                .vertices
                .iter()
                .map(|&p| dot(p, up))
                .fold(f64::MAX, f64::min);
            let known = overhang(&mesh, up, OVERHANG_DEG, -1.0);
            let (area, column) = bins.overhang(up, lowest);
            assert!(
                (area / known.area_mm2 - 1.0).abs() < 0.1,
                "{area} {known:?}"
            );
            assert!(
                (column / known.column_mm3 - 1.0).abs() < 0.1,
                "{column} {known:?}"
            );
        }
    }
}
