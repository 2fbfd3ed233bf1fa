//! Judges layouts by exact polygon tests; imports the words of the crate and none of its search.

use clipper2_rust::core::{Path64, Paths64, Point64};
use clipper2_rust::{
    ClipperOffset, EndType, FillRule, JoinType, area, intersect_64, union_subjects_64,
};
use partpledge_plates::{Bed, Item, Layout, Placement};
use partpledge_units::cast::{int_f64, round_i64};

/// What is forgiven in mm: rounding to the grid after turning.
const TOLERANCE_MM: f64 = 0.001;

/// Fails unless every copy is there once, inside the bed, and apart from all others by the
/// clearance.
pub(crate) fn verify(items: &[Item], bed: &Bed, plates: &[Layout]) {
    every_copy_once(items, plates);
    for plate in plates {
        let placed: Vec<Paths64> = plate.placements.iter().map(|p| put(items, p)).collect();
        for (paths, placement) in placed.iter().zip(&plate.placements) {
            inside(paths, bed, plate, placement);
        }
        // Grown by half the clearance with square corners drawn outside the true arc would be too
        // strict; arcs here lie inside it by 0.1 um.
        let grown: Vec<Paths64> = placed
            .iter()
            .map(|paths| grow(paths, bed.clearance_mm / 2.0 - TOLERANCE_MM))
            .collect();
        for i in 0..grown.len() {
            for j in 0..i {
                let shared = intersect_64(&grown[i], &grown[j], FillRule::NonZero);
                let overlap = shared.iter().map(area).sum::<f64>();
                assert!(
                    overlap.abs() < 1.0,
                    "{:?} and {:?} are too close",
                    plate.placements[i],
                    plate.placements[j]
                );
            }
        }
    }
}

fn every_copy_once(items: &[Item], plates: &[Layout]) {
    let mut seen: Vec<(usize, usize)> = plates
        .iter()
        .flat_map(|plate| &plate.placements)
        .map(|p| (p.item, p.copy))
        .collect();
    seen.sort_unstable();
    let wanted: Vec<(usize, usize)> = items
        .iter()
        .enumerate()
        .flat_map(|(i, item)| (0..item.copies).map(move |copy| (i, copy)))
        .collect();
    assert_eq!(seen, wanted);
}

fn put(items: &[Item], placement: &Placement) -> Paths64 {
    let (sin, cos) = placement.rotation_deg.to_radians().sin_cos();
    let corner = |&[x, y]: &[i64; 2]| {
        let (x, y) = (int_f64(x) / 1e4, int_f64(y) / 1e4);
        let on_grid = |v: f64| round_i64(v * 1e4).expect("a number");
        Point64::new(
            on_grid(x * cos - y * sin + placement.x_mm),
            on_grid(x * sin + y * cos + placement.y_mm),
        )
    };
    let paths: Paths64 = items[placement.item]
        .outlines
        .iter()
        .map(|path| path.iter().map(corner).collect::<Path64>())
        .collect();
    union_subjects_64(&paths, FillRule::NonZero)
}

fn grow(paths: &Paths64, by_mm: f64) -> Paths64 {
    let mut offset = ClipperOffset::new(2.0, 1.0, false, false);
    offset.add_paths(paths, JoinType::Round, EndType::Polygon);
    let mut out = Paths64::new();
    offset.execute(by_mm * 1e4, &mut out);
    out
}

fn inside(paths: &Paths64, bed: &Bed, plate: &Layout, placement: &Placement) {
    for p in paths.iter().flatten() {
        let at = [int_f64(p.x) / 1e4, int_f64(p.y) / 1e4];
        for k in 0..2 {
            let low = bed.edge_mm - TOLERANCE_MM;
            let high = bed.size_mm[k].min(plate.used_mm[k]) - bed.edge_mm + TOLERANCE_MM;
            assert!(
                (low..=high).contains(&at[k]),
                "{placement:?} has a corner at {at:?}"
            );
        }
    }
}
