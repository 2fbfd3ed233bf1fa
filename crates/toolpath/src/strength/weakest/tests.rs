//! Parts whose weakest layer has a closed form.

use partpledge_catalogue::{Catalogue, ProcessSheet};
use partpledge_mesh::Mesh;
use partpledge_sections::{Section as Cut, area_mm2, cut_layers};
use partpledge_units::tolerance::close;

use super::super::bond::joined;
use super::*;
use crate::layers::{Paths, paths};

/// Rectangles at rising heights, joined by straight sides: low corner and size of each.
fn tower(floors: &[(f64, [f64; 2], [f64; 2])]) -> Mesh {
    let corners = |&(z, [x, y], [w, h]): &(f64, [f64; 2], [f64; 2])| {
        [[x, y, z], [x + w, y, z], [x + w, y + h, z], [x, y + h, z]]
    };
    let vertices: Vec<[f64; 3]> = floors.iter().flat_map(corners).collect();
    let mut triangles = vec![[0, 2, 1], [0, 3, 2]];
    let top = u32::try_from(vertices.len()).unwrap() - 4;
    for low in (0..top).step_by(4) {
        for k in 0..4 {
            let (a, b) = (low + k, low + (k + 1) % 4);
            triangles.extend([[a, b, b + 4], [a, b + 4, a + 4]]);
        }
    }
    triangles.extend([[top, top + 1, top + 2], [top, top + 2, top + 3]]);
    Mesh {
        vertices,
        triangles,
    }
}

fn sheet(infill_percent: f64) -> ProcessSheet {
    let plain = Catalogue::built_in().plain_sheet("PLA").unwrap().clone();
    ProcessSheet {
        infill_percent,
        ..plain
    }
}

fn built(mesh: &Mesh, sheet: &ProcessSheet) -> (Vec<Cut>, Paths) {
    let cuts = cut_layers(mesh, sheet.first_layer_height_mm, sheet.layer_height_mm).unwrap();
    let laid = paths(&cuts, sheet);
    (cuts, laid)
}

fn weak(mesh: &Mesh, sheet: &ProcessSheet, load: Option<[f64; 3]>) -> WeakLayers {
    let (cuts, laid) = built(mesh, sheet);
    let pla = Catalogue::built_in()
        .material("PLA")
        .unwrap()
        .strength
        .clone();
    weakest(&Build::new(&cuts, &laid, sheet), &pla, load).unwrap()
}

fn post() -> Mesh {
    tower(&[
        (0.0, [0.0; 2], [20.0, 30.0]),
        (40.0, [0.0; 2], [20.0, 30.0]),
    ])
}

#[test]
fn a_solid_post_bears_its_area_times_the_range_across_layers() {
    let found = weak(&post(), &sheet(100.0), None).pull;
    assert!(close(found.area_mm2, 600.0, 1e-6, 0.0));
    // PLA: 45 x 0.45 and 60 x 0.80 MPa.
    assert!(close(found.load_n[0], 20.25 * 600.0, 1e-6, 0.0));
    assert!(close(found.load_n[1], 48.0 * 600.0, 1e-6, 0.0));
}

#[test]
fn a_solid_post_pushed_sideways_parts_at_its_foot_where_the_arm_is_longest() {
    let found = weak(&post(), &sheet(100.0), Some([3.0, 0.0, 1.0])).bending;
    let modulus = 30.0 * 400.0 / 6.0;
    assert!(close(found.modulus_mm3, modulus, 1e-6, 0.0));
    assert!(close(found.arm_mm, 36.0, 1e-9, 0.0) && close(found.height_mm, 4.0, 1e-9, 0.0));
    assert!(close(
        found.moment_nm[0],
        20.25 * modulus / 1000.0,
        1e-6,
        0.0
    ));
    assert!(close(
        found.load_n[0] * 36.0,
        found.moment_nm[0] * 1000.0,
        1e-9,
        0.0
    ));
    assert!(
        close(found.axis[1].abs(), 1.0, 1e-12, 0.0),
        "{:?}",
        found.axis
    );
    // Without a load the worst way counts: towards a corner.
    let corner = 1.0 / (6.0 / (30.0 * 400.0_f64)).hypot(6.0 / (20.0 * 900.0));
    let any = weak(&post(), &sheet(100.0), None).bending;
    assert!(
        close(any.modulus_mm3, corner, 1e-6, 0.0),
        "{}",
        any.modulus_mm3
    );
    // A load straight up has no sideways part.
    assert_eq!(
        weak(&post(), &sheet(100.0), Some([0.0, 0.0, 2.0])).bending,
        any
    );
}

#[test]
fn sparse_lines_touch_on_the_square_of_their_share() {
    let sheet = sheet(20.0);
    let (cuts, laid) = built(&post(), &sheet);
    let hollow = area_mm2(&laid.layers[100].sparse);
    let want = 600.0 - (1.0 - 0.04) * hollow;
    let build = Build::new(&cuts, &laid, &sheet);
    let got = bonds(&build, None)[100].section.unwrap().area_mm2;
    assert!(close(got, want, 1e-9, 0.0) && want < 300.0, "{got} {want}");
    // Skin on sparse: the share itself. Layer 3 is the last of the four lower skins.
    let on_skin = bonds(&build, None)[3].section.unwrap().area_mm2;
    assert!(close(on_skin, 600.0 - 0.8 * hollow, 1e-3, 0.0), "{on_skin}");
}

#[test]
fn area_by_the_section_times_height_is_the_volume_of_the_lines() {
    for infill in [0.0, 15.0, 40.0, 100.0] {
        let sheet = sheet(infill);
        let (cuts, laid) = built(&post(), &sheet);
        let build = Build::new(&cuts, &laid, &sheet);
        let by_section: f64 = (0..cuts.len())
            .map(|i| build.area_mm2(i) * laid.layers[i].height_mm)
            .sum();
        let gap = by_section / laid.volume_mm3() - 1.0;
        assert!(gap.abs() < 0.01, "{infill} %: {gap}");
    }
}

#[test]
fn a_waist_is_found_where_it_is() {
    let waist = tower(&[
        (0.0, [0.0; 2], [20.0, 20.0]),
        (15.0, [6.0, 6.0], [8.0, 8.0]),
        (40.0, [0.0; 2], [20.0, 20.0]),
    ]);
    let found = weak(&waist, &sheet(100.0), None).pull;
    assert!((found.height_mm - 15.0).abs() <= 0.2, "{found:?}");
    assert!((64.0..66.0).contains(&found.area_mm2), "{found:?}");
}

#[test]
fn a_leaning_post_holds_only_where_its_layers_overlap() {
    // It leans 20 mm over 20 mm of height: each layer of 0.2 mm moves on by 0.2 mm.
    let lean = tower(&[
        (0.0, [0.0; 2], [10.0, 10.0]),
        (20.0, [20.0, 0.0], [10.0, 10.0]),
    ]);
    let sheet = sheet(100.0);
    let (cuts, laid) = built(&lean, &sheet);
    let build = Build::new(&cuts, &laid, &sheet);
    let plain = area_mm2(&cuts[50].outlines);
    let bonded = bonds(&build, None)[50].section.unwrap().area_mm2;
    assert!(
        close(plain, 100.0, 1e-3, 0.0) && close(bonded, 98.0, 1e-3, 0.0),
        "{plain} {bonded}"
    );
    assert!(close(area_mm2(&joined(&build, 50)), bonded, 1e-9, 0.0));
}

#[test]
fn layers_that_miss_each_other_hold_nothing() {
    // It leans so far that a wall of 1 mm steps over its own width.
    let stairs = tower(&[
        (0.0, [0.0; 2], [1.0, 10.0]),
        (20.0, [150.0, 0.0], [1.0, 10.0]),
    ]);
    let found = weak(&stairs, &sheet(100.0), None);
    assert!(
        found.pull.area_mm2 < 1e-9 && found.bending.modulus_mm3 < 1e-9,
        "{found:?}"
    );
}

#[test]
fn twice_the_size_bears_four_times_the_pull_and_eight_times_the_moment() {
    let big = tower(&[
        (0.0, [0.0; 2], [40.0, 60.0]),
        (80.0, [0.0; 2], [40.0, 60.0]),
    ]);
    let (one, two) = (
        weak(&post(), &sheet(100.0), None),
        weak(&big, &sheet(100.0), None),
    );
    assert!(close(
        two.pull.load_n[1] / one.pull.load_n[1],
        4.0,
        1e-9,
        0.0
    ));
    assert!(close(
        two.bending.moment_nm[1] / one.bending.moment_nm[1],
        8.0,
        1e-9,
        0.0
    ));
}

#[test]
fn a_post_is_slender_and_a_plate_is_not() {
    assert!(weak(&post(), &sheet(100.0), None).bending.slender);
    let plate = tower(&[(0.0, [0.0; 2], [30.0, 30.0]), (6.0, [0.0; 2], [30.0, 30.0])]);
    assert!(!weak(&plate, &sheet(100.0), None).bending.slender);
}
