//! Repairs: what is mended, what is left, and that mending twice changes nothing.

use partpledge_units::tolerance::close;
use proptest::prelude::*;

use super::*;
use crate::sample::{cuboid, joined, prism, turned_over};

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
