//! Overhang and standing, against worked answers.

use partpledge_units::tolerance::close;

use super::*;
use crate::sample::{cuboid, joined, prism};

const UP: [f64; 3] = [0.0, 0.0, 1.0];

#[test]
fn a_ten_to_one_tower_tips_at_5_7106_degrees() {
    // Source: the project's check sheet, tip-over, recomputed: atan(b / 2h) for b 10, h 50.
    let stands = resting(&cuboid([0.0; 3], [10.0, 10.0, 100.0]), UP, 0.05, true);
    assert!(close(stands.tip_over_deg, 5.7106, 0.0, 5e-5), "{stands:?}");
    assert!(close(stands.contact_area_mm2, 100.0, 1e-12, 0.0));
    assert!(close(stands.height_mm, 100.0, 1e-12, 0.0));
    // b 20: 11.3099 degrees, same source.
    let wide = resting(&cuboid([0.0; 3], [20.0, 20.0, 100.0]), UP, 0.05, true);
    assert!(close(wide.tip_over_deg, 11.3099, 0.0, 5e-5));
}

#[test]
fn a_box_lying_down_is_measured_along_its_own_up() {
    let tower = cuboid([0.0; 3], [10.0, 10.0, 100.0]);
    let lying = resting(&tower, [1.0, 0.0, 0.0], 0.05, true);
    assert!(close(lying.height_mm, 10.0, 1e-12, 0.0));
    assert!(close(lying.contact_area_mm2, 1000.0, 1e-12, 0.0));
}

#[test]
fn a_prism_on_an_edge_does_not_stand() {
    let hexagon = prism(6, 7.0, 10.0);
    assert!(resting(&hexagon, [1.0, 0.0, 0.0], 0.05, true).tip_over_deg < 1e-9);
}

#[test]
fn the_bottom_on_the_bed_is_no_overhang_and_a_raised_one_is() {
    let table = joined(&[
        cuboid([0.0; 3], [2.0, 2.0, 8.0]),
        cuboid([0.0, 0.0, 9.0], [6.0, 6.0, 10.0]),
    ]);
    let hangs = overhang(&table, UP, 45.0, 0.05);
    assert!(close(hangs.area_mm2, 36.0, 1e-12, 0.0));
    assert!(close(hangs.column_mm3, 36.0 * 9.0, 1e-12, 0.0));
    assert!(close(hangs.place_mm.unwrap()[2], 9.0, 1e-12, 0.0));
}

#[test]
fn a_slope_of_exactly_the_limit_passes_and_a_flatter_one_does_not() {
    let slope = |reach: f64| Mesh {
        vertices: vec![[0.0, 0.0, 0.0], [0.0, 1.0, 0.0], [reach, 0.0, 1.0]],
        triangles: vec![[0, 1, 2]],
    };
    assert!(overhang(&slope(1.0), UP, 45.0, 0.05).area_mm2 < 1e-12);
    assert!(overhang(&slope(1.01), UP, 45.0, 0.05).area_mm2 > 0.5);
}
