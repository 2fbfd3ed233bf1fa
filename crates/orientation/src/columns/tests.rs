//! Rays through parts whose air can be worked out by hand.

use super::*;
use crate::shapes::{cuboid, together};
use partpledge_mesh::Mesh;

fn seen(mesh: &Mesh, closed: bool) -> Columns {
    let (low, high) = mesh.bounds().unwrap();
    let size = std::array::from_fn(|k| high[k] - low[k]);
    let hanging: Vec<bool> = mesh
        .triangles
        .iter()
        .map(|t| {
            let corners = t.map(|i| mesh.vertices[i as usize]);
            flat_area(corners) < 0.0 && corners.iter().any(|p| p[2] > 0.05)
        })
        .collect();
    let corners = |t: &[u32; 3]| t.map(|i| mesh.vertices[i as usize]);
    let seen_mm2 = mesh
        .triangles
        .iter()
        .map(|t| flat_area(corners(t)).abs())
        .sum();
    columns(
        &mesh.vertices,
        &mesh.triangles,
        &hanging,
        [low, size],
        seen_mm2,
        [closed, true],
    )
}

#[test]
fn under_a_shelf_over_nothing_all_is_free() {
    let shelf = together(&[
        cuboid([0.0; 3], [10.0, 10.0, 40.0]),
        cuboid([9.0, 0.0, 35.0], [31.0, 10.0, 5.0]),
    ]);
    let found = seen(&shelf, true);
    assert!((found.free - 30.0 / 31.0).abs() < 0.02, "{found:?}");
    assert!(found.on_part.abs() < 1e-12);
}

#[test]
fn support_ends_on_the_part_below_it() {
    // A floor and a roof of 50 x 20, 20 apart, joined by a wall of 10 that runs into both by 1.
    let c = together(&[
        cuboid([0.0; 3], [50.0, 20.0, 10.0]),
        cuboid([0.0, 0.0, 9.0], [10.0, 20.0, 22.0]),
        cuboid([0.0, 0.0, 30.0], [50.0, 20.0, 10.0]),
    ]);
    let found = seen(&c, true);
    // Straight down: the roof's 50 x 30 and the wall's foot of 10 x 9; free: 40 x 20.
    assert!((found.free - 800.0 / 1590.0).abs() < 0.01, "{found:?}");
    assert!((found.on_part - 1.0).abs() < 1e-12);
}

#[test]
fn the_least_section_is_the_waist() {
    let waist = together(&[
        cuboid([0.0; 3], [30.0, 20.0, 12.0]),
        cuboid([10.0, 5.0, 11.0], [10.0, 10.0, 12.0]),
        cuboid([0.0, 0.0, 22.0], [30.0, 20.0, 12.0]),
    ]);
    let found = seen(&waist, true).least_section_mm2.unwrap();
    assert!((found - 100.0).abs() < 8.0, "{found}");
    assert_eq!(seen(&waist, false).least_section_mm2, None);
}

#[test]
fn rays_see_a_whole_cube_once_however_it_is_cut_up() {
    let cube = cuboid([3.0, -7.0, 0.0], [20.0, 20.0, 20.0]);
    let found = seen(&cube, true);
    assert!(
        (found.least_section_mm2.unwrap() - 400.0).abs() < 1e-6,
        "{found:?}"
    );
    assert!((found.free - 1.0).abs() < 1e-12);
}

#[test]
fn a_thousand_crossed_sheets_stay_within_bounds() {
    let one = cuboid([0.0; 3], [200.0, 200.0, 0.5]);
    let pile: Vec<Mesh> = (0..1000)
        .map(|i| {
            let mut sheet = one.clone();
            for vertex in &mut sheet.vertices {
                vertex[2] += 0.1 * f64::from(i);
            }
            sheet
        })
        .collect();
    let found = seen(&together(&pile), true);
    assert!(found.free < 0.01, "{found:?}");
}
