//! Closed forms and worked examples of handbooks. Scale: one unit of an example is 1 or 10 mm here.

use std::f64::consts::PI;

use partpledge_sections::outlines::to_point;
use partpledge_units::tolerance::close;

use super::*;

fn path(points: &[[f64; 2]]) -> Vec<clipper2_rust::Point64> {
    points.iter().map(|&[x, y]| to_point(x, y)).collect()
}

fn rectangle(low: [f64; 2], size: [f64; 2]) -> Vec<clipper2_rust::Point64> {
    let [x, y] = low;
    let [w, h] = size;
    path(&[[x, y], [x + w, y], [x + w, y + h], [x, y + h]])
}

fn circle(d: f64) -> Vec<clipper2_rust::Point64> {
    let corner = |i: u32| {
        let angle = 2.0 * PI * f64::from(i) / 1440.0;
        [d / 2.0 * angle.cos(), d / 2.0 * angle.sin()]
    };
    path(&(0..1440).map(corner).collect::<Vec<_>>())
}

fn hole(mut path: Vec<clipper2_rust::Point64>) -> Vec<clipper2_rust::Point64> {
    path.reverse();
    path
}

fn joined(parts: &[Vec<clipper2_rust::Point64>]) -> Outlines {
    clipper2_rust::union_subjects_64(&parts.to_vec(), clipper2_rust::FillRule::NonZero)
}

#[test]
fn a_rectangle_far_from_the_origin_is_b_h_cubed_over_12_and_b_h_squared_over_6() {
    let bar = vec![rectangle([700.0, -300.0], [12.0, 30.0])];
    let section = Section::of(&bar).unwrap();
    assert!(close(
        section.about_x_mm4,
        12.0 * 27_000.0 / 12.0,
        1e-9,
        0.0
    ));
    assert!(close(section.about_y_mm4, 30.0 * 1728.0 / 12.0, 1e-9, 0.0));
    assert!(close(section.product_mm4, 0.0, 0.0, 1e-6));
    assert!(close(
        section.modulus_mm3([0.0, 1.0], &bar),
        12.0 * 900.0 / 6.0,
        1e-9,
        0.0
    ));
    assert!(close(section.centroid_mm[0], 706.0, 1e-12, 0.0));
}

#[test]
fn a_circle_is_pi_d_cubed_over_32_whichever_way_it_is_loaded() {
    let rod = vec![circle(20.0)];
    let section = Section::of(&rod).unwrap();
    let want = PI * 8000.0 / 32.0;
    for way in [[1.0, 0.0], [0.6, 0.8], [-0.8, 0.6]] {
        assert!(close(section.modulus_mm3(way, &rod), want, 1e-4, 0.0));
    }
    assert!(close(section.least_modulus_mm3(&rod).0, want, 1e-4, 0.0));
}

#[test]
fn a_tube_of_a_handbook_under_a_load_along_it() {
    // Gere & Goodno, Mechanics of Materials, first example of chapter 1 (from memory): post of
    // 4.5 and 4.0 in under 26 kips, 7790 psi; recomputed. One inch is 10 mm here.
    let tube = vec![circle(45.0), hole(circle(40.0))];
    let section = Section::of(&tube).unwrap();
    assert!(close(
        26_000.0 / (section.area_mm2 / 100.0),
        7790.0,
        5e-4,
        0.0
    ));
    let want = PI * (45.0_f64.powi(4) - 40.0_f64.powi(4)) / (32.0 * 45.0);
    assert!(close(
        section.modulus_mm3([1.0, 0.0], &tube),
        want,
        1e-4,
        0.0
    ));
}

#[test]
fn an_i_section_of_a_handbook() {
    // Hibbeler, Mechanics of Materials, chapter 6 (from memory): flanges 250 x 20, web 300 x 20 mm,
    // I = 301.3e6 mm⁴, 22.5 kN m gives 12.7 MPa; recomputed.
    let beam = joined(&[
        rectangle([-125.0, 150.0], [250.0, 20.0]),
        rectangle([-125.0, -170.0], [250.0, 20.0]),
        rectangle([-10.0, -150.0], [20.0, 300.0]),
    ]);
    let section = Section::of(&beam).unwrap();
    assert!(close(section.about_x_mm4, 301.333_333e6, 1e-8, 0.0));
    let stress = 22.5e6 / section.modulus_mm3([0.0, 1.0], &beam);
    assert!(close(stress, 12.7, 2e-3, 0.0), "{stress}");
}

#[test]
fn a_t_section_of_a_handbook_is_worst_on_its_far_side() {
    // Beer & Johnston, Mechanics of Materials, sample problem 4.2 (from memory): flange 90 x 20 on
    // a web 30 x 40 mm: centroid 38 mm up, I = 868e3 mm⁴; 3 kN m gives -131.3 MPa at the foot.
    let tee = joined(&[
        rectangle([-45.0, 40.0], [90.0, 20.0]),
        rectangle([-15.0, 0.0], [30.0, 40.0]),
    ]);
    let section = Section::of(&tee).unwrap();
    assert!(close(section.centroid_mm[1], 38.0, 1e-12, 0.0));
    assert!(close(section.about_x_mm4, 868e3, 1e-9, 0.0));
    assert!(close(
        3e6 / section.modulus_mm3([0.0, 1.0], &tee),
        131.3,
        5e-4,
        0.0
    ));
}

#[test]
fn a_z_section_of_a_handbook_has_turned_axes() {
    // Hibbeler, appendix A (from memory): Ix 2.90e9, Iy 5.60e9, Ixy -3.00e9 mm⁴; principal 7.54e9
    // and 0.960e9, turned by 57.1 degrees; recomputed.
    let zed = joined(&[
        rectangle([-300.0, 50.0], [100.0, 300.0]),
        rectangle([-300.0, -50.0], [600.0, 100.0]),
        rectangle([200.0, -350.0], [100.0, 300.0]),
    ]);
    let section = Section::of(&zed).unwrap();
    assert!(close(section.about_x_mm4, 2.90e9, 1e-9, 0.0));
    assert!(close(section.about_y_mm4, 5.60e9, 1e-9, 0.0));
    assert!(close(section.product_mm4, -3.00e9, 1e-9, 0.0));
    let ([most, least], turn_deg) = section.principal();
    assert!(close(most, 7.54e9, 1e-3, 0.0) && close(least, 0.960e9, 1e-3, 0.0));
    assert!(close(turn_deg, 57.1, 1e-3, 0.0), "{turn_deg}");
}

#[test]
fn a_bar_loaded_askew_as_in_a_handbook() {
    // Beer & Johnston, example 4.8 (from memory): 1.5 x 3.5 in, 1600 lb in at 30 degrees to an
    // axis: 452.5 + 609.5 = 1062 psi in a corner; recomputed. One inch is 10 mm here.
    let bar = vec![rectangle([-7.5, -17.5], [15.0, 35.0])];
    let section = Section::of(&bar).unwrap();
    let way = [30.0_f64.to_radians().sin(), 30.0_f64.to_radians().cos()];
    let stress = 1600.0 / (section.modulus_mm3(way, &bar) / 1000.0);
    assert!(close(stress, 1062.0, 5e-4, 0.0), "{stress}");
}

#[test]
fn the_worst_way_of_an_l_is_no_better_than_any_of_360_tried() {
    let ell = joined(&[
        rectangle([0.0, 0.0], [40.0, 6.0]),
        rectangle([0.0, 0.0], [6.0, 25.0]),
    ]);
    let section = Section::of(&ell).unwrap();
    let (least, way) = section.least_modulus_mm3(&ell);
    assert!(close(section.modulus_mm3(way, &ell), least, 1e-9, 0.0));
    let tried = (0..360).map(|deg| {
        let angle = f64::from(deg).to_radians();
        section.modulus_mm3([angle.cos(), angle.sin()], &ell)
    });
    let best_of_tried = tried.fold(f64::MAX, f64::min);
    assert!(
        least <= best_of_tried && best_of_tried < 1.001 * least,
        "{least} {best_of_tried}"
    );
}

#[test]
fn turning_a_section_keeps_its_principal_moments_and_turns_their_axis() {
    let ell = |deg: f64| {
        let (sin, cos) = deg.to_radians().sin_cos();
        let turn = |[x, y]: [f64; 2]| [cos * x - sin * y, sin * x + cos * y];
        let corners = [
            [0.0, 0.0],
            [40.0, 0.0],
            [40.0, 6.0],
            [6.0, 6.0],
            [6.0, 25.0],
            [0.0, 25.0],
        ];
        Section::of(&vec![path(&corners.map(turn))]).unwrap()
    };
    let ([most, least], at) = ell(0.0).principal();
    let ([most_30, least_30], at_30) = ell(30.0).principal();
    assert!(close(most, most_30, 1e-4, 0.0) && close(least, least_30, 1e-4, 0.0));
    assert!(
        close((at_30 - at).rem_euclid(180.0), 30.0, 1e-3, 0.0),
        "{at} {at_30}"
    );
}

#[test]
fn what_is_too_small_bears_nothing() {
    assert_eq!(Section::of(&Outlines::new()), None);
    assert_eq!(
        Section::of(&vec![rectangle([0.0, 0.0], [0.001, 0.001])]),
        None
    );
}
