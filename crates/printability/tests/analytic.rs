//! Thickness and overhang of shapes whose answer is plain geometry: plates, ramps, cones, arches.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use partpledge_mesh::rays::Rays;
use partpledge_mesh::thickness::thicknesses;
use partpledge_mesh::{Mesh, facts};
use partpledge_printability::{Cut, Finding, Limits, Subject, guess_unit, judge};
use partpledge_sections::cut_layers;
use partpledge_units::length::LengthUnit;

const UPRIGHT: [f64; 9] = [1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0];

/// Findings of a mesh standing on z = 0 as it is; with or without its layers.
fn findings(mesh: &Mesh, layered: bool) -> Vec<Finding> {
    let facts = facts(mesh, mesh.triangles.len());
    assert!(facts.watertight, "{:?}", facts.open);
    let sections = cut_layers(mesh, 0.2, 0.2).unwrap();
    judge(&Subject {
        mesh,
        facts: &facts,
        repaired: None,
        degenerate_dropped: 0,
        duplicates_dropped: 0,
        duplicate_place_mm: None,
        unit: guess_unit([20.0; 3], Some(LengthUnit::Millimetre), 250.0),
        limits: Limits::usual(0.45, 0.2),
        united_mm3: None,
        plastic: None,
        beds: &[],
        beds_as_it_stands: None,
        up: [0.0, 0.0, 1.0],
        cut: layered.then_some(Cut {
            sections: &sections,
            rotation: UPRIGHT,
            drop_mm: 0.0,
        }),
    })
}

fn measured(findings: &[Finding], code: &str) -> Option<f64> {
    findings.iter().find(|f| f.code == code)?.measured
}

/// A closed body between two rings of points that run the same way; ends fanned from the middle.
fn lofted(low: &[[f64; 3]], high: &[[f64; 3]]) -> Mesh {
    let n = u32::try_from(low.len()).unwrap();
    let middle = |ring: &[[f64; 3]]| -> [f64; 3] {
        std::array::from_fn(|k| ring.iter().map(|p| p[k]).sum::<f64>() / f64::from(n))
    };
    let mut vertices: Vec<[f64; 3]> = low.iter().chain(high).copied().collect();
    vertices.extend([middle(low), middle(high)]);
    let triangles = (0..n).flat_map(|i| {
        let j = (i + 1) % n;
        [
            [i, j, n + j],
            [i, n + j, n + i],
            [2 * n, j, i],
            [2 * n + 1, n + i, n + j],
        ]
    });
    Mesh {
        vertices,
        triangles: triangles.collect(),
    }
}

fn ring(sides: u32, radius: f64, z: f64) -> Vec<[f64; 3]> {
    (0..sides)
        .map(|i| {
            let (sin, cos) = (TAU * f64::from(i) / f64::from(sides)).sin_cos();
            [radius * cos, radius * sin, z]
        })
        .collect()
}

fn slab([x, y, z]: [f64; 3]) -> Mesh {
    let low = [[0.0, 0.0, 0.0], [x, 0.0, 0.0], [x, y, 0.0], [0.0, y, 0.0]];
    let high = low.map(|[a, b, _]| [a, b, z]);
    lofted(&low, &high)
}

#[test]
fn standing_plates_are_measured_within_two_in_a_hundred_by_layers_and_by_rays() {
    for thick in [0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.85] {
        let plate = slab([40.0, thick, 20.0]);
        let by_layers = measured(&findings(&plate, true), "thin-wall").unwrap();
        let by_rays = thicknesses(&plate, &Rays::through(&plate), 2_000)
            .into_iter()
            .filter(|t| t.normal[1].abs() > 0.5)
            .map(|t| t.thickness_mm)
            .fold(0.0, f64::max);
        // The layers' grid and bisection: a hundredth of a millimetre at most.
        assert!(
            (by_layers / thick - 1.0).abs() < 0.02,
            "{thick}: {by_layers}"
        );
        assert!((by_rays / thick - 1.0).abs() < 1e-6, "{thick}: {by_rays}");
    }
    for thick in [0.9, 1.2, 2.0, 3.0] {
        assert_eq!(
            measured(&findings(&slab([40.0, thick, 20.0]), true), "thin-wall"),
            None
        );
    }
}

#[test]
fn leaning_plates_are_as_thick_to_the_layers_as_the_lean_makes_them() {
    for lean_deg in [10.0_f64, 25.0, 40.0] {
        let lean = lean_deg.to_radians();
        let (thick, high) = (0.5, 20.0);
        let flat = thick / lean.cos();
        let low = [
            [0.0, 0.0, 0.0],
            [40.0, 0.0, 0.0],
            [40.0, flat, 0.0],
            [0.0, flat, 0.0],
        ];
        let up = low.map(|[x, y, _]| [x, y + high * lean.tan(), high]);
        let plate = lofted(&low, &up);
        let by_layers = measured(&findings(&plate, true), "thin-wall").unwrap();
        let by_rays = thicknesses(&plate, &Rays::through(&plate), 2_000)
            .into_iter()
            .filter(|t| t.normal[1].abs() > 0.5)
            .map(|t| t.thickness_mm)
            .fold(0.0, f64::max);
        assert!(
            (by_layers / flat - 1.0).abs() < 0.02,
            "{lean_deg}: {by_layers}"
        );
        assert!(
            (by_rays / thick - 1.0).abs() < 0.02,
            "{lean_deg}: {by_rays}"
        );
        // What one measures and what the other does are the same wall.
        assert!((by_layers * lean.cos() / by_rays - 1.0).abs() < 0.03);
    }
}

/// A frustum that stands on its small end and widens by this angle from upright.
fn flare(angle_deg: f64) -> (Mesh, f64) {
    let (foot, high) = (12.0, 20.0);
    let top = foot + high * angle_deg.to_radians().tan();
    let slant = (top - foot).hypot(high);
    (
        lofted(&ring(256, foot, 0.0), &ring(256, top, high)),
        PI * (foot + top) * slant,
    )
}

#[test]
fn cones_hang_over_from_45_degrees_on_and_by_the_area_of_their_side() {
    for angle in [30.0, 40.0, 44.0] {
        let (cone, _) = flare(angle);
        assert_eq!(
            measured(&findings(&cone, false), "overhang"),
            None,
            "{angle}"
        );
    }
    for angle in [46.0, 50.0, 60.0, 70.0] {
        let (cone, side) = flare(angle);
        let area = measured(&findings(&cone, false), "overhang").unwrap();
        assert!(
            (area / side - 1.0).abs() < 0.02,
            "{angle}: {area} of {side}"
        );
    }
}

/// A block 40 mm wide and 30 high with a round tunnel of this radius through its foot.
fn arch(radius: f64, sides: u32, long: f64) -> Mesh {
    let (half, high) = (20.0, 30.0);
    let mut profile = vec![[-half, 0.0], [-radius, 0.0]];
    profile.extend((1..sides).map(|i| {
        let (sin, cos) = (PI - PI * f64::from(i) / f64::from(sides)).sin_cos();
        [radius * cos, radius * sin]
    }));
    profile.extend([[radius, 0.0], [half, 0.0], [half, high], [-half, high]]);
    let n = u32::try_from(profile.len()).unwrap();
    let at = |y: f64| profile.iter().map(move |&[x, z]| [x, y, z]);
    let vertices: Vec<[f64; 3]> = at(0.0).chain(at(long)).collect();
    let mut triangles: Vec<[u32; 3]> = (0..n)
        .flat_map(|i| {
            let j = (i + 1) % n;
            [[i, n + j, j], [i, n + i, n + j]]
        })
        .collect();
    // Ends: the two halves of the arch as fans from the upper corners, and the roof between.
    let (left, right) = (n - 1, n - 2);
    let crown = 1 + sides / 2;
    let mut end: Vec<[u32; 3]> = vec![[left, 0, 1]];
    end.extend((1..crown).map(|i| [left, i, i + 1]));
    end.push([left, crown, right]);
    end.extend((crown..=sides).map(|i| [right, i, i + 1]));
    end.push([right, sides + 1, sides + 2]);
    triangles.extend(end.iter().copied());
    triangles.extend(end.iter().map(|&[a, b, c]| [n + a, n + c, n + b]));
    Mesh {
        vertices,
        triangles,
    }
}

#[test]
fn a_round_arch_hangs_over_where_it_is_within_45_degrees_of_its_crown() {
    for radius in [6.0, 10.0, 15.0] {
        let mesh = arch(radius, 180, 25.0);
        let mesh = if facts(&mesh, mesh.triangles.len())
            .volume_mm3
            .is_some_and(|v| v < 0.0)
        {
            Mesh {
                triangles: mesh.triangles.iter().map(|&[a, b, c]| [a, c, b]).collect(),
                ..mesh
            }
        } else {
            mesh
        };
        let area = measured(&findings(&mesh, false), "overhang").unwrap();
        // A quarter of the circle, 25 mm long. A degree more or less is 2 in 90 of it.
        let wanted = radius * FRAC_PI_2 * 25.0;
        assert!(
            (area / wanted - 1.0).abs() < 2.0 / 90.0,
            "{radius}: {area} of {wanted}"
        );
    }
}
