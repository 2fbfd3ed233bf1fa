//! Parts whose best way up is plain to see.

use partpledge_units::tolerance::close;
use proptest::prelude::*;

use super::*;

const BED: [[f64; 3]; 1] = [[200.0, 200.0, 180.0]];

/// A solid with the given outline in x and z, drawn counter-clockwise and fanned from its first
/// point (which must see all others), `depth` thick in y.
fn extruded(outline: &[[f64; 2]], depth: f64) -> Mesh {
    let n = u32::try_from(outline.len()).unwrap();
    let at = |y: f64| outline.iter().map(move |&[x, z]| [x, y, z]);
    let sides = (0..n).flat_map(|i| {
        let j = (i + 1) % n;
        [[i, n + j, j], [i, n + i, n + j]]
    });
    let caps = (1..n - 1).flat_map(|i| [[0, i, i + 1], [n, n + i + 1, n + i]]);
    Mesh {
        vertices: at(0.0).chain(at(depth)).collect(),
        triangles: sides.chain(caps).collect(),
    }
}

fn tower() -> Mesh {
    extruded(
        &[[0.0, 0.0], [10.0, 0.0], [10.0, 100.0], [0.0, 100.0]],
        10.0,
    )
}

/// An L standing on the end of its short leg, its long leg in the air.
fn l_bracket() -> Mesh {
    // Fanned from the inner corner, which sees all others.
    let part = [
        [5.0, 35.0],
        [60.0, 35.0],
        [60.0, 40.0],
        [0.0, 40.0],
        [0.0, 0.0],
        [5.0, 0.0],
    ];
    extruded(&part, 20.0)
}

/// A T: a post with a bar across its top.
fn t_post() -> Mesh {
    // Fanned from the middle of the bar's top, which sees every corner of the T.
    let part = [
        [25.0, 50.0],
        [0.0, 50.0],
        [0.0, 40.0],
        [20.0, 40.0],
        [20.0, 0.0],
        [30.0, 0.0],
        [30.0, 40.0],
        [50.0, 40.0],
        [50.0, 50.0],
    ];
    extruded(&part, 10.0)
}

/// A ball of flat facets.
fn ball(radius: f64) -> Mesh {
    let (rings, around) = (12_u32, 24_u32);
    let mut mesh = Mesh {
        vertices: vec![[0.0, 0.0, -radius]],
        triangles: Vec::new(),
    };
    for ring in 1..rings {
        let tilt = std::f64::consts::PI * f64::from(ring) / f64::from(rings);
        mesh.vertices.extend((0..around).map(|i| {
            let turn = std::f64::consts::TAU * f64::from(i) / f64::from(around);
            [
                radius * tilt.sin() * turn.cos(),
                radius * tilt.sin() * turn.sin(),
                -radius * tilt.cos(),
            ]
        }));
    }
    mesh.vertices.push([0.0, 0.0, radius]);
    let top = u32::try_from(mesh.vertices.len()).unwrap() - 1;
    for i in 0..around {
        let j = (i + 1) % around;
        mesh.triangles.push([0, 1 + j, 1 + i]);
        for ring in 0..rings - 2 {
            let (low, high) = (1 + ring * around, 1 + (ring + 1) * around);
            mesh.triangles
                .extend([[low + i, low + j, high + j], [low + i, high + j, high + i]]);
        }
        let last = 1 + (rings - 2) * around;
        mesh.triangles.push([top, last + i, last + j]);
    }
    mesh
}

fn named<'a>(list: &'a [Choice], name: &str) -> &'a Choice {
    list.iter().find(|choice| choice.name == name).unwrap()
}

#[test]
fn the_test_parts_are_sound() {
    for mesh in [tower(), l_bracket(), t_post(), ball(10.0)] {
        assert!(facts(&mesh, 0).volume_mm3.unwrap() > 0.0);
    }
}

#[test]
fn a_tall_tower_is_laid_down_and_its_tipping_angle_told() {
    let list = choices(&tower(), &BED);
    // Source: the project's check sheet, tip-over, recomputed: 5.7106 degrees.
    assert!(close(
        named(&list, "as sent").tip_over_angle_deg,
        5.7106,
        0.0,
        5e-5
    ));
    assert!(list[0].name.starts_with("lying on its"), "{}", list[0].name);
    assert!(close(list[0].height_mm, 10.0, 1e-9, 0.0));
    assert!(close(list[0].contact_area_mm2, 1000.0, 1e-9, 0.0));
}

#[test]
fn a_hanging_bracket_is_put_on_a_side_without_overhang() {
    let list = choices(&l_bracket(), &BED);
    let sent = named(&list, "as sent");
    assert!(close(sent.overhang_area_mm2, 55.0 * 20.0, 1e-9, 0.0));
    assert!(list[0].overhang_area_mm2 < 1e-9 && list[0].name != "as sent");
    assert_eq!(list[0].reasons[0], "no overhang to support");
    assert_eq!(sent.reasons[0], "1100 mm² of overhang");
}

#[test]
fn a_t_is_turned_off_its_foot() {
    let list = choices(&t_post(), &BED);
    assert!(close(
        named(&list, "as sent").overhang_area_mm2,
        400.0,
        1e-9,
        0.0
    ));
    assert!(list[0].overhang_area_mm2 < 1e-9);
    assert!(named(&list, "upside down").overhang_area_mm2 < 1e-9);
}

#[test]
fn a_ball_stays_as_it_was_sent() {
    let list = choices(&ball(10.0), &BED);
    assert!(list[0].score <= named(&list, "as sent").score);
    assert!(named(&list, "as sent").tip_over_angle_deg < 10.0);
}

#[test]
fn a_slanted_block_is_put_on_its_largest_flat_face() {
    let (sin, cos) = 20.0_f64.to_radians().sin_cos();
    let turn = |[x, z]: [f64; 2]| [cos * x - sin * z, sin * x + cos * z];
    let outline = [[0.0, 0.0], [60.0, 0.0], [60.0, 12.0], [0.0, 12.0]].map(turn);
    let list = choices(&extruded(&outline, 30.0), &BED);
    assert!(list[0].name.contains("flat face"), "{}", list[0].name);
    assert!(close(list[0].height_mm, 12.0, 1e-6, 0.0));
    assert!(close(list[0].contact_area_mm2, 1800.0, 1e-6, 0.0));
}

#[test]
fn a_part_too_tall_as_sent_is_laid_where_it_fits() {
    let list = choices(&tower(), &[[150.0, 150.0, 90.0]]);
    assert_eq!(
        (list[0].fits_beds, named(&list, "as sent").fits_beds),
        (1, 0)
    );
    assert_eq!(
        named(&list, "as sent").reasons.last().unwrap(),
        "fits 0 of 1 beds"
    );
}

#[test]
fn every_rotation_gives_the_height_it_promises() {
    for mesh in [tower(), l_bracket(), ball(10.0)] {
        for choice in choices(&mesh, &BED) {
            let (low, high) = mesh.turned(&choice.rotation).bounds().unwrap();
            assert!(
                close(high[2] - low[2], choice.height_mm, 1e-9, 1e-9),
                "{choice:?}"
            );
        }
    }
}

#[test]
fn no_two_choices_are_the_same_way_up_and_names_differ() {
    for mesh in [tower(), l_bracket(), ball(10.0)] {
        let list = choices(&mesh, &BED);
        for (i, a) in list.iter().enumerate() {
            for b in &list[..i] {
                assert!(dot(up(&a.rotation), up(&b.rotation)) <= SAME_WAY);
                assert_ne!(a.name, b.name);
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_recommended_way_is_never_worse_than_as_sent(
        corners in prop::collection::vec(prop::array::uniform3(-50.0_f64..50.0), 4..12),
        faces in prop::collection::vec(prop::array::uniform3(0_usize..1000), 1..24),
    ) {
        let pick = |i: usize| u32::try_from(i % corners.len()).unwrap();
        let triangles = faces.iter().map(|face| face.map(pick)).collect();
        let list = choices(&Mesh { vertices: corners, triangles }, &BED);
        let sent = named(&list, "as sent");
        prop_assert!(list[0].score <= sent.score);
        prop_assert!(list.iter().all(|choice| choice.score.is_finite()));
    }
}
