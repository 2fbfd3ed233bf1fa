//! The quick walk against the mesh's own measures, and hand geometry.

use partpledge_mesh::{overhang, resting};
use partpledge_units::tolerance::close;

use super::*;
use crate::choice::prepared_for_tests;
use crate::directions::all_round;
use crate::rotation::{AS_SENT, bring_down, up};
use crate::shapes::{ball, cuboid, table, together, turned_on_a_lathe};

#[test]
fn every_way_up_measures_as_the_mesh_crate_does() {
    let cone = turned_on_a_lathe(&[[20.0, 0.0], [0.0, 50.0]], 48);
    for (mesh, closed) in [
        (cone, true),
        (ball(12.0), true),
        (cuboid([1.0; 3], [9.0, 8.0, 7.0]), true),
    ] {
        let part = prepared_for_tests(&mesh);
        for way in all_round(40) {
            let rotation = bring_down(way);
            let found = measure(&part, &rotation, &[], false);
            let hangs = overhang(&mesh, up(&rotation), OVERHANG_DEG, ON_BED_MM);
            let stands = resting(&mesh, up(&rotation), ON_BED_MM, closed);
            assert!(close(found.overhang_area_mm2, hangs.area_mm2, 1e-9, 1e-9));
            assert!(found.support_mm3 <= hangs.column_mm3 * (1.0 + 1e-9));
            assert!(close(found.height_mm, stands.height_mm, 1e-9, 1e-9));
            assert!(close(
                found.contact_area_mm2,
                stands.contact_area_mm2,
                1e-9,
                1e-9
            ));
            assert!(close(found.tip_over_deg, stands.tip_over_deg, 1e-6, 1e-6));
        }
    }
}

#[test]
fn a_cone_on_its_tip_hangs_as_geometry_says() {
    // Slope from the vertical: atan(30/20) = 56 degrees. 64 sides; polygon formulas.
    let cone = turned_on_a_lathe(&[[0.0, 0.0], [30.0, 20.0]], 64);
    let part = prepared_for_tests(&cone);
    let found = measure(&part, &AS_SENT, &[], false);
    let half = std::f64::consts::PI / 64.0;
    let shadow = 64.0 * 900.0 * half.sin() * half.cos();
    // Under a cone: two thirds of the prism under its rim.
    assert!(
        close(found.support_mm3, shadow * 20.0 * 2.0 / 3.0, 1e-9, 0.0),
        "{found:?}"
    );
    assert!(found.contact_area_mm2 < 1e-9 && found.tip_over_deg < 1e-9);
    let turned = measure(&part, &bring_down([0.0, 0.0, 1.0]), &[], false);
    assert!(turned.overhang_area_mm2 < 1e-9 && turned.support_mm3 < 1e-9);
    assert!(close(turned.contact_area_mm2, shadow, 1e-9, 0.0));
    // 33.7 degrees steep: a little too steep to show steps.
    assert!(turned.stepped_area_mm2 < 1e-9);
}

#[test]
fn an_arch_needs_support_only_under_its_span() {
    // Two piers of 10 and a lintel across 40 between them, 20 deep, 30 high.
    let arch = together(&[
        cuboid([0.0; 3], [10.0, 20.0, 31.0]),
        cuboid([50.0, 0.0, 0.0], [10.0, 20.0, 31.0]),
        cuboid([0.0, 0.0, 30.0], [60.0, 20.0, 10.0]),
    ]);
    let found = measure(&prepared_for_tests(&arch), &AS_SENT, &[], false);
    // The lintel's underside within the piers is seen as inside, to a ray's width at each pier.
    assert!(
        close(found.support_mm3, 40.0 * 20.0 * 30.0, 0.03, 0.0),
        "{found:?}"
    );
}

#[test]
fn a_shallow_ramp_shows_its_steps() {
    let mut ramp = cuboid([0.0; 3], [60.0, 20.0, 20.0]);
    for vertex in &mut ramp.vertices {
        if vertex[2] > 1.0 && vertex[0] > 1.0 {
            vertex[2] = 10.0;
        }
    }
    let found = measure(&prepared_for_tests(&ramp), &AS_SENT, &[], false);
    assert!(close(
        found.stepped_area_mm2,
        60.0_f64.hypot(10.0) * 20.0,
        1e-9,
        0.0
    ));
}

#[test]
fn a_table_upside_down_needs_no_support_and_its_feet_carry_it() {
    let table = table();
    let part = prepared_for_tests(&table);
    let found = measure(&part, &AS_SENT, &[], false);
    // Four feet on a point each, 60 x 40 apart: the middle is 20 from the nearest side.
    let above = part.mass.centre[2];
    assert!(
        close(
            found.tip_over_deg,
            (20.0 / above).atan().to_degrees(),
            0.05,
            0.0
        ),
        "{found:?}"
    );
    assert!(found.support_mm3 > 0.9 * (80.0 * 60.0 - 4.0 * 78.0) * 40.0);
    let turned = measure(&part, &bring_down([0.0, 0.0, 1.0]), &[], false);
    assert!(turned.support_mm3 < 1.0 && turned.contact_area_mm2 > 4799.0);
}
