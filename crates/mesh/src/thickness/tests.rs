//! Thickness against shapes whose thickness is plain geometry.

use super::*;
use crate::sample::{cuboid, fine_cube, joined, lacking, prism};

fn measured(mesh: &Mesh, count: usize) -> Vec<Thickness> {
    thicknesses(mesh, &Rays::through(mesh), count)
}

/// The largest share by which a measured thickness is off.
fn worst(found: &[Thickness], wanted: impl Fn(&Thickness) -> f64) -> f64 {
    assert!(!found.is_empty());
    let off = |t: &Thickness| (t.thickness_mm / wanted(t) - 1.0).abs();
    found.iter().map(off).fold(0.0, f64::max)
}

#[test]
fn plates_from_a_third_to_three_millimetres_are_as_thick_as_drawn() {
    for thick in [0.3, 0.45, 0.6, 0.9, 1.2, 2.0, 3.0] {
        let plate = cuboid([0.0; 3], [60.0, 40.0, thick]);
        let flat: Vec<Thickness> = measured(&plate, 2_000)
            .into_iter()
            .filter(|t| t.normal[2].abs() > 0.5)
            .collect();
        assert!(worst(&flat, |_| thick) < 1e-9, "{thick}");
        assert!(flat.iter().all(|t| t.facing > 1.0 - 1e-12));
    }
}

#[test]
fn a_wedge_gets_thicker_by_its_slope() {
    for angle_deg in [2.0_f64, 5.0, 10.0, 20.0, 30.0] {
        let rise = angle_deg.to_radians().tan();
        // A ramp from an edge at x = 0, 50 mm long and 30 wide.
        let (l, w, h) = (50.0, 30.0, 50.0 * rise);
        let ramp = Mesh {
            vertices: vec![
                [0.0, 0.0, 0.0],
                [l, 0.0, 0.0],
                [l, 0.0, h],
                [0.0, w, 0.0],
                [l, w, 0.0],
                [l, w, h],
            ],
            triangles: vec![
                [0, 1, 2],
                [3, 5, 4],
                [0, 4, 1],
                [0, 3, 4],
                [1, 4, 5],
                [1, 5, 2],
                [0, 2, 5],
                [0, 5, 3],
            ],
        };
        let floor: Vec<Thickness> = measured(&ramp, 3_000)
            .into_iter()
            .filter(|t| t.normal[2] < -0.5)
            .collect();
        assert!(
            worst(&floor, |t| t.place_mm[0] * rise) < 1e-6,
            "{angle_deg}"
        );
        let cosine = angle_deg.to_radians().cos();
        assert!(floor.iter().all(|t| (t.facing - cosine).abs() < 1e-9));
    }
}

#[test]
fn a_tube_is_as_thick_as_its_wall_but_for_its_corners() {
    // 96 sides: the inner polygon is cos(pi/96) of the circle, within 0.06 %.
    let (outer, inner) = (prism(96, 12.0, 20.0), prism(96, 10.8, 20.0));
    let open = |mesh: &Mesh| lacking(mesh, |p| p[2] < 1e-9 || p[2] > 20.0 - 1e-9);
    let mut hole = open(&inner);
    hole.triangles.iter_mut().for_each(|t| t.swap(1, 2));
    // Rays from the walls never see the missing ends.
    let tube = joined(&[open(&outer), hole]);
    let walls = measured(&tube, 4_000);
    assert!(walls.len() > 3_900);
    assert!(worst(&walls, |_| 1.2) < 0.02);
}

#[test]
fn where_bodies_overlap_the_ray_goes_through_both() {
    let both = joined(&[
        cuboid([0.0; 3], [20.0, 20.0, 6.0]),
        cuboid([0.0, 0.0, 4.0], [20.0, 20.0, 10.0]),
    ]);
    let top: Vec<Thickness> = measured(&both, 2_000)
        .into_iter()
        .filter(|t| t.place_mm[2] > 9.9 && t.normal[2] > 0.5)
        .collect();
    assert!(worst(&top, |_| 10.0) < 1e-9);
}

#[test]
fn rays_along_the_seams_of_a_grid_miss_nothing() {
    let cube = fine_cube(10.0, 10);
    let rays = Rays::through(&cube);
    for i in 0..=20 {
        for j in 0..=20 {
            let (x, y) = (f64::from(i) / 2.0, f64::from(j) / 2.0);
            let hit = rays.first_hit([x, y, -5.0], [0.0, 0.0, 1.0], 0.0).unwrap();
            assert!((hit.distance_mm - 5.0).abs() < 1e-9, "{x} {y}");
        }
    }
}

#[test]
fn the_tree_finds_what_trying_every_triangle_finds() {
    let mesh = joined(&[
        prism(17, 9.0, 14.0),
        cuboid([3.0, -4.0, 2.0], [15.0, 8.0, 9.0]),
    ]);
    let rays = Rays::through(&mesh);
    let each: Vec<Mesh> = (0..mesh.triangles.len())
        .map(|face| Mesh {
            vertices: mesh.vertices.clone(),
            triangles: vec![mesh.triangles[face]],
        })
        .collect();
    for i in 0..400 {
        let a = f64::from(i) * 0.377;
        let from = [30.0 * a.cos(), 30.0 * a.sin(), 10.0 * (1.3 * a).sin() + 5.0];
        let to = [
            3.0 * (2.1 * a).sin(),
            3.0 * (0.7 * a).cos(),
            6.0 + 3.0 * (3.1 * a).cos(),
        ];
        let way: [f64; 3] = std::array::from_fn(|k| to[k] - from[k]);
        let size = length(way);
        let along = way.map(|x| x / size);
        let slow = each
            .iter()
            .filter_map(|one| Rays::through(one).first_hit(from, along, 0.0))
            .map(|hit| hit.distance_mm)
            .fold(f64::INFINITY, f64::min);
        let fast = rays.first_hit(from, along, 0.0);
        assert!((fast.unwrap().distance_mm - slow).abs() < 1e-12, "{i}");
    }
}

#[test]
fn an_open_sheet_and_no_mesh_at_all_have_no_thickness() {
    let sheet = lacking(&fine_cube(4.0, 2), |p| p[2] > 1e-9);
    assert!(measured(&sheet, 50).is_empty());
    assert!(measured(&Mesh::default(), 50).is_empty());
}
