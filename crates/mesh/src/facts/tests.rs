//! Facts against worked answers, and how they change when the mesh is moved or scaled.
//!
//! Expected values: the project's check sheet, mesh goldens, recomputed from closed formulas
//! (box a·b·c; n-gon prism n/2·r²·sin(2π/n)·h; unit corner 1/6 and 3/2 + √3/2).

use partpledge_units::tolerance::close;
use proptest::prelude::*;

use super::ShellRole::{Embedded, Solid, Void};
use super::*;
use crate::sample::{cuboid, joined, moved, prism, ring, turned_over};

fn euler(facts: &Facts, mesh: &Mesh) -> i64 {
    let edges = Edges::of(mesh).iter().count();
    let count = |n: usize| i64::try_from(n).unwrap();
    count(facts.vertices) - count(edges) + count(facts.faces)
}

fn assert_sound(mesh: &Mesh, volume_mm3: f64, area_mm2: f64) {
    let facts = facts(mesh, mesh.triangles.len());
    assert!(facts.watertight);
    assert!(
        close(facts.volume_mm3.unwrap(), volume_mm3, 1e-12, 0.0),
        "{facts:?}"
    );
    assert!(close(facts.area_mm2, area_mm2, 1e-12, 0.0), "{facts:?}");
    assert_eq!(
        (
            facts.open.edges,
            facts.crowded.edges,
            facts.misoriented.edges
        ),
        (0, 0, 0)
    );
    assert_eq!((euler(&facts, mesh), facts.shells.len()), (2, 1));
}

#[test]
fn a_cube_and_a_box_have_their_volume_and_area() {
    assert_sound(&cuboid([0.0; 3], [20.0; 3]), 8000.0, 2400.0);
    assert_sound(&cuboid([0.0; 3], [10.0, 20.0, 30.0]), 6000.0, 2200.0);
}

#[test]
fn a_unit_corner_has_a_sixth() {
    let mesh = Mesh {
        vertices: vec![[0.0; 3], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
        triangles: vec![[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]],
    };
    assert_sound(&mesh, 0.166_666_666_666_666_66, 2.366_025_403_784_438_4);
}

#[test]
fn prisms_have_the_volume_of_their_polygon_not_of_the_circle() {
    let across_flats = 12.7_f64;
    let hexagon = prism(6, across_flats / 3.0_f64.sqrt(), 10.0);
    assert_sound(&hexagon, 1_396.812_373_763_921, 719.303_379_875_279);
    assert_eq!((hexagon.vertices.len(), hexagon.triangles.len()), (14, 24));
    assert_sound(
        &prism(64, 11.0, 7.0),
        2_656.656_571_492_410_4,
        1_242.655_732_883_149_5,
    );
}

#[test]
fn a_missing_triangle_leaves_three_open_edges_and_no_volume() {
    let mut mesh = cuboid([0.0; 3], [20.0; 3]);
    mesh.triangles.pop();
    let facts = facts(&mesh, 11);
    assert_eq!(
        (facts.open.edges, facts.open.runs, euler(&facts, &mesh)),
        (3, 1, 1)
    );
    assert!(close(
        facts.open.longest_run_mm,
        40.0 + 800.0_f64.sqrt(),
        1e-12,
        0.0
    ));
    assert!(close(facts.area_mm2, 2200.0, 1e-12, 0.0));
    assert_eq!((facts.watertight, facts.volume_mm3), (false, None));
    assert_eq!(facts.shells[0].role, ShellRole::Unclear);
}

#[test]
fn a_flipped_triangle_is_found_although_the_volume_about_the_origin_hides_it() {
    let sound = cuboid([0.0; 3], [20.0; 3]);
    let through_origin = sound
        .triangles
        .iter()
        .position(|t| t.iter().all(|&i| sound.vertices[i as usize][0] < 1.0));
    let mesh = turned_over(&sound, through_origin.unwrap());
    let about_origin = mesh.triangles.iter().map(|t| {
        let [a, b, c] = t.map(|i| mesh.vertices[i as usize]);
        dot(a, crate::vector::cross(b, c)) / 6.0
    });
    assert!(
        close(about_origin.sum(), 8000.0, 1e-12, 0.0),
        "the trap is set"
    );
    let facts = facts(&mesh, 12);
    assert_eq!(
        (
            facts.open.edges,
            facts.misoriented.edges,
            euler(&facts, &mesh)
        ),
        (0, 3, 2)
    );
    assert_eq!((facts.watertight, facts.volume_mm3), (false, None));
}

#[test]
fn an_inverted_cube_is_closed_with_a_negative_volume() {
    let mut mesh = cuboid([0.0; 3], [20.0; 3]);
    mesh.triangles.iter_mut().for_each(|t| t.swap(1, 2));
    let facts = facts(&mesh, 12);
    assert!(facts.watertight);
    assert!(close(facts.volume_mm3.unwrap(), -8000.0, 1e-12, 0.0));
    assert_eq!(facts.shells[0].role, ShellRole::InsideOut);
}

#[test]
fn two_cubes_that_share_an_edge_crowd_it() {
    let mesh = joined(&[
        cuboid([0.0; 3], [1.0; 3]),
        cuboid([1.0, 1.0, 0.0], [2.0, 2.0, 1.0]),
    ]);
    let facts = facts(&mesh, 24);
    assert_eq!(
        (facts.crowded.edges, facts.open.edges, facts.shells.len()),
        (1, 0, 1)
    );
    assert_eq!((facts.vertices, facts.watertight), (14, false));
    let place = facts.crowded.place_mm.unwrap();
    assert!((0..3).all(|k| close(place[k], [1.0, 1.0, 0.5][k], 0.0, 1e-12)));
}

#[test]
fn a_hollow_an_embedded_solid_and_a_neighbour_are_told_apart() {
    let mut hollow = cuboid([2.0; 3], [8.0; 3]);
    hollow.triangles.iter_mut().for_each(|t| t.swap(1, 2));
    let pea = cuboid([4.0; 3], [6.0; 3]);
    let mesh = joined(&[
        cuboid([0.0; 3], [10.0; 3]),
        hollow,
        pea,
        cuboid([8.5; 3], [9.5; 3]),
        cuboid([20.0; 3], [30.0; 3]),
    ]);
    let facts = facts(&mesh, 60);
    let roles: Vec<ShellRole> = facts.shells.iter().map(|shell| shell.role).collect();
    assert_eq!(roles, [Solid, Void, Solid, Embedded, Solid]);
    assert!(close(
        facts.volume_mm3.unwrap(),
        1000.0 - 216.0 + 8.0 + 1.0 + 1000.0,
        1e-12,
        0.0
    ));
}

#[test]
fn a_mesh_far_from_the_origin_keeps_its_volume() {
    let far = moved(&prism(64, 11.0, 7.0), [1e6, -1e6, 1e6]);
    let facts = facts(&far, 256);
    assert!(close(
        facts.volume_mm3.unwrap(),
        2_656.656_571_492_410_4,
        1e-9,
        0.0
    ));
}

#[test]
fn no_triangles_are_not_watertight() {
    let facts = facts(&Mesh::default(), 3);
    assert_eq!(
        (facts.triangles, facts.watertight, facts.volume_mm3),
        (3, false, None)
    );
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn twice_the_scale_is_eight_times_the_volume(
        sides in 3_usize..40, radius in 0.5_f64..50.0, height in 0.5_f64..50.0, scale in 0.1_f64..10.0,
    ) {
        let mesh = prism(sides, radius, height);
        let vertices = mesh.vertices.iter().map(|p| p.map(|x| x * scale)).collect();
        let large = Mesh { vertices, triangles: mesh.triangles.clone() };
        let (small, large) = (facts(&mesh, 0), facts(&large, 0));
        prop_assert!(close(
            small.volume_mm3.unwrap() * scale.powi(3), large.volume_mm3.unwrap(), 1e-10, 0.0
        ));
        prop_assert!(close(small.area_mm2 * scale.powi(2), large.area_mm2, 1e-10, 0.0));
    }

    #[test]
    fn turning_and_moving_keep_the_facts(
        angle in 0.0_f64..6.3, by in prop::array::uniform3(-200.0_f64..200.0), drop in 0_usize..24,
    ) {
        let mut mesh = prism(6, 7.0, 10.0);
        mesh.triangles.remove(drop);
        let (sin, cos) = angle.sin_cos();
        let vertices = mesh.vertices.iter().map(|&[x, y, z]| [cos * x - sin * z, y, sin * x + cos * z]);
        let turned = Mesh { vertices: vertices.collect(), triangles: mesh.triangles.clone() };
        let (before, after) = (facts(&mesh, 0), facts(&moved(&turned, by), 0));
        prop_assert!(close(before.area_mm2, after.area_mm2, 1e-10, 0.0));
        prop_assert!(close(before.open.longest_run_mm, after.open.longest_run_mm, 1e-10, 0.0));
        prop_assert_eq!((before.open.edges, before.shells.len()), (after.open.edges, after.shells.len()));
    }

    #[test]
    fn the_order_of_triangles_does_not_matter(shift in 0_usize..24) {
        let mesh = prism(6, 7.0, 10.0);
        let mut shifted = mesh.clone();
        shifted.triangles.rotate_left(shift);
        let (a, b) = (facts(&mesh, 0), facts(&shifted, 0));
        prop_assert!(close(a.volume_mm3.unwrap(), b.volume_mm3.unwrap(), 1e-13, 0.0));
        prop_assert_eq!(a.shells.len(), b.shells.len());
    }
}

#[test]
fn a_mesh_large_enough_for_two_threads_has_its_facts_too() {
    // 80,000 triangles. A polygon of n sides fills sin(t)/t of its circle, t = 2 pi / n, so the
    // tube's section is that much smaller; Pappus goes for the section's middle, and the ring itself
    // is a polygon as well: its arms are straight, which takes sin(t)/t once more (derived here).
    let n = 200;
    let ring = ring(n);
    let facts = facts(&ring, 0);
    assert!(facts.watertight && facts.shells.len() == 1);
    assert_eq!(Edges::of(&ring).iter().count(), 120_000);
    let t = std::f64::consts::TAU / f64::from(n);
    let circles = std::f64::consts::TAU * 22.0 * std::f64::consts::PI * 64.0;
    let shrunk = circles * (t.sin() / t).powi(2);
    let volume = facts.volume_mm3.unwrap();
    assert!((volume / shrunk - 1.0).abs() < 1e-9, "{volume} {shrunk}");
    // One shell of two halves: moving the seam between them changes only the last digits.
    let mut turned = ring.clone();
    turned.triangles.rotate_left(12_345);
    let other = super::facts(&turned, 0);
    assert!((other.area_mm2 / facts.area_mm2 - 1.0).abs() < 1e-14);
}

#[test]
fn a_flaw_is_found_on_either_side_of_the_seam_between_two_threads() {
    let ring = ring(200);
    let corners = ring.vertices.len();
    for missing in [0, 39_999, 40_000, 79_999] {
        let mut holed = ring.clone();
        holed.triangles.remove(missing);
        let facts = facts(&holed, 0);
        assert_eq!((facts.open.edges, facts.open.runs), (3, 1));
        assert_eq!(facts.vertices, corners);
    }
}
