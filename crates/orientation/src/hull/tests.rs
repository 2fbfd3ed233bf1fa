//! Hulls against geometry that is plain to see.

use partpledge_units::dice::Dice;
use partpledge_units::tolerance::close;

use super::*;

fn volume(points: &[Vector], faces: &[Face]) -> f64 {
    let middle = points[0];
    let six = faces.iter().map(|face| {
        let corners = face.map(|i| minus(points[i], middle));
        dot(corners[0], double_area(corners))
    });
    six.sum::<f64>() / 6.0
}

fn closed(faces: &[Face]) -> bool {
    let mut edges: Vec<(usize, usize)> = faces
        .iter()
        .flat_map(|&face| (0..3).map(move |k| edge(face, k)))
        .collect();
    edges.sort_unstable();
    let twins = edges
        .iter()
        .all(|&(a, b)| edges.binary_search(&(b, a)).is_ok());
    let before = edges.len();
    edges.dedup();
    twins && edges.len() == before
}

fn cloud(seed: u64, many: usize) -> Vec<Vector> {
    let mut dice = Dice::seeded(seed);
    (0..many)
        .map(|_| std::array::from_fn(|_| 100.0 * dice.unit()))
        .collect()
}

#[test]
fn a_cube_with_points_on_its_faces_edges_and_inside_has_twelve_triangles() {
    let mut points = Vec::new();
    for (x, y, z) in (0..125).map(|i| (i % 5, i / 5 % 5, i / 25)) {
        points.push([f64::from(x), f64::from(y), f64::from(z)]);
    }
    let faces = hull(&points, 1e-7).unwrap();
    assert_eq!(faces.len(), 12);
    assert!(closed(&faces) && close(volume(&points, &faces), 64.0, 1e-12, 0.0));
}

#[test]
fn no_point_of_a_cloud_lies_outside_and_the_hull_is_closed() {
    for seed in 0..20 {
        let points = cloud(seed, 400);
        let faces = hull(&points, 1e-7).unwrap();
        assert!(closed(&faces));
        for &face in &faces {
            let facet = Facet::new(&points, face).unwrap();
            assert!(points.iter().all(|&p| facet.height(p) < 1e-6));
        }
    }
}

#[test]
fn flat_and_single_clouds_have_no_hull() {
    assert_eq!(hull(&[], 1e-6), None);
    assert_eq!(hull(&[[1.0; 3]; 9], 1e-6), None);
    let flat: Vec<Vector> = cloud(1, 50).iter().map(|p| [p[0], p[1], 3.0]).collect();
    assert_eq!(hull(&flat, 1e-6), None);
    let line: Vec<Vector> = (0..9).map(|i| [f64::from(i); 3]).collect();
    assert_eq!(hull(&line, 1e-6), None);
}

#[test]
fn points_on_a_ball_within_the_slack_are_left_out() {
    let ball: Vec<Vector> = cloud(4, 20_000)
        .iter()
        .filter_map(|p| unit(minus(*p, [50.0; 3])))
        .map(|p| p.map(|x| 20.0 * x))
        .collect();
    let faces = hull(&ball, 0.1).unwrap();
    assert!(closed(&faces) && faces.len() < 4000, "{}", faces.len());
    let whole = 4.0 / 3.0 * std::f64::consts::PI * 8000.0;
    assert!(close(volume(&ball, &faces), whole, 2e-2, 0.0));
}
