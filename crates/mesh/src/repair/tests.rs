//! Repairs: what is mended, what is left, and that mending twice changes nothing.

use partpledge_units::tolerance::close;
use proptest::prelude::*;

use super::*;
use crate::sample::{cuboid, fine_cube, joined, lacking, prism, turned_over};

fn mend(mesh: &Mesh) -> Option<Repaired> {
    repair(mesh, &facts(mesh, mesh.triangles.len()))
}

fn inside_out(mut mesh: Mesh) -> Mesh {
    mesh.triangles.iter_mut().for_each(|t| t.swap(1, 2));
    mesh
}

fn volume(mended: &Repaired) -> f64 {
    mended.facts.volume_mm3.unwrap()
}

#[test]
fn a_sound_mesh_needs_nothing() {
    assert_eq!(mend(&cuboid([0.0; 3], [20.0; 3])), None);
}

#[test]
fn one_flipped_triangle_is_turned_back() {
    let mended = mend(&turned_over(&cuboid([0.0; 3], [20.0; 3]), 5)).unwrap();
    assert_eq!(
        mended.steps,
        [RepairStep::FacingMadeEqual {
            triangles: 1,
            shells: 1
        }]
    );
    assert!(mended.facts.watertight && close(volume(&mended), 8000.0, 1e-12, 0.0));
    assert_eq!(mended.facts.triangles, 12);
}

#[test]
fn a_cube_mostly_inside_out_takes_both_steps() {
    let mended = mend(&turned_over(&inside_out(cuboid([0.0; 3], [20.0; 3])), 3)).unwrap();
    let texts: Vec<String> = mended.steps.iter().map(ToString::to_string).collect();
    assert_eq!(
        texts,
        [
            "turned 1 triangle to face the same way as the others around",
            "turned 1 closed shell the right side out"
        ]
    );
    assert!(close(volume(&mended), 8000.0, 1e-12, 0.0));
}

#[test]
fn the_wall_of_a_hollow_stays_as_it_is() {
    let mesh = joined(&[
        cuboid([0.0; 3], [10.0; 3]),
        inside_out(cuboid([2.0; 3], [8.0; 3])),
    ]);
    assert_eq!(mend(&mesh), None);
}

#[test]
fn a_hollow_part_turned_inside_out_as_a_whole_is_turned_as_a_whole() {
    let mesh = joined(&[
        inside_out(cuboid([0.0; 3], [10.0; 3])),
        cuboid([2.0; 3], [8.0; 3]),
    ]);
    let mended = mend(&mesh).unwrap();
    assert_eq!(
        mended.steps,
        [RepairStep::TurnedOutward {
            shells: 2,
            triangles: 24
        }]
    );
    assert!(close(volume(&mended), 1000.0 - 216.0, 1e-12, 0.0));
}

#[test]
fn only_the_shell_that_faces_inwards_is_turned() {
    let mesh = joined(&[
        cuboid([0.0; 3], [10.0; 3]),
        inside_out(cuboid([20.0; 3], [21.0; 3])),
    ]);
    let mended = mend(&mesh).unwrap();
    assert_eq!(
        mended.steps,
        [RepairStep::TurnedOutward {
            shells: 1,
            triangles: 12
        }]
    );
    assert!(close(volume(&mended), 1001.0, 1e-12, 0.0));
}

#[test]
fn a_gap_is_never_filled() {
    let mut mesh = turned_over(&cuboid([0.0; 3], [20.0; 3]), 5);
    mesh.triangles.pop();
    let mended = mend(&mesh).unwrap();
    assert_eq!(
        (mended.facts.open.edges, mended.facts.misoriented.edges),
        (3, 0)
    );
    assert_eq!(mended.mesh.triangles.len(), 11);
}

#[test]
fn a_one_sided_strip_is_left_alone() {
    // Five triangles in a ring with one twist: the smallest one-sided strip.
    let vertices = (0_u32..5)
        .map(|i| [f64::from(i), f64::from(i * i), f64::from(i % 2)])
        .collect();
    let triangles = (0..5).map(|i| [i, (i + 1) % 5, (i + 2) % 5]).collect();
    let mesh = Mesh {
        vertices,
        triangles,
    };
    assert!(facts(&mesh, 5).misoriented.edges > 0);
    assert_eq!(mend(&mesh), None);
}

#[test]
fn a_shell_with_a_crowded_edge_is_left_alone() {
    let mut mesh = joined(&[
        cuboid([0.0; 3], [1.0; 3]),
        cuboid([1.0, 1.0, 0.0], [2.0, 2.0, 1.0]),
    ]);
    mesh.triangles[0].swap(1, 2);
    assert_eq!(mend(&mesh), None);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_flips_of_a_closed_prism_are_undone(
        sides in 3_usize..20, flips in prop::collection::vec(any::<bool>(), 80),
    ) {
        let sound = prism(sides, 5.0, 8.0);
        let mut mesh = sound.clone();
        for (triangle, &flip) in mesh.triangles.iter_mut().zip(&flips) {
            if flip {
                triangle.swap(1, 2);
            }
        }
        let mended = mend(&mesh).map_or(mesh, |mended| mended.mesh);
        let (ours, truth) = (facts(&mended, 0), facts(&sound, 0));
        prop_assert!(close(ours.volume_mm3.unwrap(), truth.volume_mm3.unwrap(), 1e-12, 0.0));
        prop_assert_eq!(mend(&mended), None);
    }
}

fn near(point: [f64; 3], other: [f64; 3], by: f64) -> bool {
    (0..3).all(|k| (point[k] - other[k]).abs() <= by)
}

#[test]
fn a_small_flat_hole_is_closed_where_it_was() {
    let whole = fine_cube(40.0, 20);
    let torn = lacking(&whole, |p| near(p, [21.0, 19.0, 40.0], 0.9));
    let mended = mend(&torn).unwrap();
    let [
        RepairStep::SmallHolesFilled {
            holes: 1,
            widest_mm,
            place_mm,
            ..
        },
    ] = mended.steps[..]
    else {
        panic!("{:?}", mended.steps)
    };
    assert!(widest_mm > 2.0 && widest_mm <= 5.0 && near(place_mm, [21.0, 19.0, 40.0], 0.01));
    assert!(mended.facts.watertight && close(volume(&mended), 64_000.0, 1e-12, 0.0));
    assert!(close(mended.facts.area_mm2, 9_600.0, 1e-12, 0.0));
}

#[test]
fn several_holes_are_closed_and_a_wide_one_stays() {
    let whole = fine_cube(80.0, 40);
    let torn = lacking(&whole, |p| {
        near(p, [80.0, 21.0, 21.0], 0.9)
            || near(p, [41.0, 0.0, 61.0], 0.9)
            || near(p, [40.0, 40.0, 80.0], 9.0)
    });
    let mended = mend(&torn).unwrap();
    assert!(matches!(
        mended.steps[..],
        [RepairStep::SmallHolesFilled { holes: 2, .. }]
    ));
    assert!(!mended.facts.watertight && mended.facts.open.runs == 1);
    let place = mended.facts.open.place_mm.unwrap();
    assert!(place[2] > 79.9, "the wide one is told: {place:?}");
}

#[test]
fn a_hole_round_a_corner_is_not_flat_and_stays() {
    let torn = lacking(&fine_cube(40.0, 20), |p| near(p, [40.0, 40.0, 40.0], 1.9));
    assert!(mend(&torn).is_none());
}

#[test]
fn a_sheet_and_a_cup_are_no_skins_with_a_hole() {
    let sheet = lacking(&fine_cube(4.0, 2), |p| p[2] > 1e-9);
    assert!(mend(&sheet).is_none());
    let cup = lacking(&fine_cube(4.0, 2), |p| p[2] > 4.0 - 1e-9);
    assert!(mend(&cup).is_none());
}

#[test]
fn holes_that_meet_in_a_corner_are_left_alone() {
    let torn = lacking(&fine_cube(40.0, 20), |p| {
        near(p, [19.0, 19.0, 40.0], 0.9) || near(p, [21.0, 21.0, 40.0], 0.9)
    });
    assert!(mend(&torn).is_none());
}

proptest! {
    #[test]
    fn whatever_small_flat_hole_is_torn_it_closes_to_the_same_solid(
        x in 4.0..36.0_f64, y in 4.0..36.0_f64, w in 0.7..1.6_f64, h in 0.7..1.6_f64
    ) {
        let whole = fine_cube(40.0, 20);
        let gone = |p: [f64; 3]| p[0] > 39.9 && (p[1] - x).abs() < w && (p[2] - y).abs() < h;
        let torn = lacking(&whole, gone);
        prop_assume!(torn.triangles.len() < whole.triangles.len());
        let Some(mended) = mend(&torn) else {
            // Two triangles that only share a corner: which rim is which is a guess.
            return Ok(());
        };
        prop_assert!(mended.facts.watertight);
        prop_assert!(close(volume(&mended), 64_000.0, 1e-12, 0.0));
        prop_assert!(mend(&mended.mesh).is_none(), "mending twice changes nothing");
    }
}
