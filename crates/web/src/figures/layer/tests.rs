//! The drawing of a known part is right: a plate of 40 x 20 x 4 mm with a round hole of 10 mm.

use partpledge_mesh::Mesh;

use super::*;

/// Sides of the hole: its area is that of the polygon, `n/2 r² sin(2π/n)`.
const SIDES: u32 = 120;

/// The plate from z = 0 to 4, the hole's middle at (10, 10), as walls, floor and lid: each quarter of
/// the hole's rim is fanned from the plate's nearest corner.
fn plate_with_hole() -> Mesh {
    let corners = [[40.0, 20.0], [0.0, 20.0], [0.0, 0.0], [40.0, 0.0]];
    let rim = (0..SIDES).map(|i| {
        let (s, c) = (std::f64::consts::TAU * f64::from(i) / f64::from(SIDES)).sin_cos();
        [10.0 + 5.0 * c, 10.0 + 5.0 * s]
    });
    let flat: Vec<[f64; 2]> = corners.into_iter().chain(rim).collect();
    let n = u32::try_from(flat.len()).unwrap();
    let mut mesh = Mesh::default();
    for z in [0.0, 4.0] {
        mesh.vertices.extend(flat.iter().map(|&[x, y]| [x, y, z]));
    }
    let mut lid: Vec<[u32; 3]> = Vec::new();
    let hole = |i: u32| 4 + i % SIDES;
    for i in 0..SIDES {
        let corner = i / (SIDES / 4);
        lid.push([corner, hole(i + 1), hole(i)]);
        if (i + 1) % (SIDES / 4) == 0 {
            lid.push([corner, (corner + 1) % 4, hole(i + 1)]);
        }
    }
    for &[a, b, c] in &lid {
        mesh.triangles.push([a + n, b + n, c + n]);
        mesh.triangles.push([a, c, b]);
    }
    let outer = (0..4).map(|i| (i, (i + 1) % 4));
    let inner = (0..SIDES).map(|i| (hole(i + 1), hole(i)));
    for (a, b) in outer.chain(inner) {
        mesh.triangles.extend([[a, b, b + n], [a, b + n, a + n]]);
    }
    mesh
}

fn plate() -> ShownPart {
    ShownPart::new("plate".to_owned(), plate_with_hole(), [0.2, 0.2, 0.4])
}

/// Corners of each ring of a path, px.
fn rings_of(path: &str) -> Vec<Vec<[f64; 2]>> {
    let ring = |text: &str| {
        let corner = |at: &str| {
            let (x, y) = at.split_once(' ').unwrap();
            [x.parse().unwrap(), y.parse().unwrap()]
        };
        text.split(['M', 'L'])
            .filter(|at| !at.is_empty())
            .map(corner)
            .collect()
    };
    path.split('z')
        .filter(|text| !text.is_empty())
        .map(ring)
        .collect()
}

/// Twice the signed area by the shoelace formula, halved.
fn area(ring: &[[f64; 2]]) -> f64 {
    let ends = ring.iter().zip(ring.iter().cycle().skip(1));
    ends.map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum::<f64>() / 2.0
}

#[test]
fn the_outline_of_a_plate_with_a_hole_has_its_box_and_area() {
    let part = plate();
    let layer = part.layer(10).unwrap();
    let drawn = layer_drawing(&part, &layer);
    let rings = rings_of(&drawn.path);
    assert_eq!(rings.len(), 2, "one outline and one hole");
    let mm = |px: f64| px / drawn.px_per_mm;
    let all: Vec<[f64; 2]> = rings.iter().flatten().copied().collect();
    let span = |k: usize| {
        let along = || all.iter().map(|p| p[k]);
        mm(along().fold(f64::MIN, f64::max) - along().fold(f64::MAX, f64::min))
    };
    assert!((span(0) - 40.0).abs() < 0.01 && (span(1) - 20.0).abs() < 0.01);
    let signed: f64 = rings.iter().map(|ring| area(ring)).sum();
    let n = f64::from(SIDES);
    let hole = n / 2.0 * 25.0 * (std::f64::consts::TAU / n).sin();
    let found = mm(mm(signed.abs()));
    assert!((found - (800.0 - hole)).abs() < 0.5, "{found} mm²");
    assert!(
        (layer.area_mm2 - (800.0 - hole)).abs() < 0.2,
        "{}",
        layer.area_mm2
    );
    assert!(drawn.marks.is_empty());
}

#[test]
fn the_front_of_the_bed_is_below_and_the_left_on_the_left() {
    let part = plate();
    let drawn = layer_drawing(&part, &part.layer(1).unwrap());
    let rings = rings_of(&drawn.path);
    let hole = rings
        .iter()
        .min_by(|a, b| area(a).abs().total_cmp(&area(b).abs()));
    let xs: Vec<f64> = hole.unwrap().iter().map(|p| p[0]).collect();
    let middle = xs.iter().sum::<f64>() / xs.len() as f64;
    // 10 of 40 mm from the left.
    assert!((middle - (WIDTH / 2.0 - 10.0 * drawn.px_per_mm)).abs() < 2.0);
    assert!(drawn.shadow.starts_with('M') && drawn.height > ROOM[1] / 2.0);
}

#[test]
fn the_scale_bar_is_a_round_length_and_true() {
    let part = plate();
    let drawn = layer_drawing(&part, &part.layer(1).unwrap());
    let (left, right, _, says) = &drawn.bar;
    assert_eq!(says, "20 mm");
    assert!(((right - left) / drawn.px_per_mm - 20.0).abs() < 1e-9);
}

#[test]
fn the_height_mark_stands_where_the_layer_is() {
    let part = plate();
    let drawn = height_drawing(&part, 3.0);
    let rings = rings_of(&drawn.path);
    let top = rings
        .iter()
        .flatten()
        .map(|p| p[1])
        .fold(f64::MAX, f64::min);
    let share = (drawn.bed_y - drawn.y) / (drawn.bed_y - top);
    assert!((share - 0.75).abs() < 0.02, "{share}");
}

#[test]
fn words_at_one_height_stand_apart() {
    let mark = |y: f64| MarkDrawn {
        thin: true,
        path: String::new(),
        says: ["thin".to_owned(), "0.4 mm".to_owned()],
        x: 0.0,
        y,
        anchor: "start",
        to_x: 0.0,
        to_y: y,
    };
    let mut marks: Vec<MarkDrawn> = [250.0, 249.0, 251.0].map(mark).into();
    spread(&mut marks, 30.0, 320.0);
    marks.sort_by(|a, b| a.y.total_cmp(&b.y));
    assert!(
        marks
            .windows(2)
            .all(|pair| pair[1].y - pair[0].y >= APART - 1e-9)
    );
    assert!(marks.iter().all(|m| m.y <= 320.0));
}
