//! What is found, how much it matters, and how it reads.

use partpledge_formats::RawMesh;
use partpledge_mesh::{Facts, Mesh, Repaired, facts, repair};
use partpledge_testbed::shapes::boxes;
use partpledge_units::length::LengthUnit;
use partpledge_units::tolerance::close;

use super::*;
use crate::{Bed, Limits, Severity, UnitJudgement, UnitSource, guess_unit};

fn cuboid(low: [f64; 3], high: [f64; 3]) -> Mesh {
    let RawMesh {
        vertices,
        triangles,
    } = boxes(&[(low, high)]);
    Mesh {
        vertices,
        triangles,
    }
}

fn cube() -> Mesh {
    cuboid([0.0; 3], [20.0; 3])
}

fn together(meshes: &[Mesh]) -> Mesh {
    let mut all = Mesh::default();
    for mesh in meshes {
        let first = u32::try_from(all.vertices.len()).unwrap();
        all.vertices.extend(&mesh.vertices);
        all.triangles
            .extend(mesh.triangles.iter().map(|t| t.map(|i| i + first)));
    }
    all
}

fn beds(sizes: &[[f64; 3]]) -> Vec<Bed> {
    let bed = |(i, &size_mm): (usize, &[f64; 3])| Bed {
        name: format!("Bed {i}"),
        size_mm,
    };
    sizes.iter().enumerate().map(bed).collect()
}

struct Bench {
    mesh: Mesh,
    facts: Facts,
    repaired: Option<Repaired>,
    beds: Vec<Bed>,
    as_it_stands: Option<usize>,
    unit: UnitJudgement,
    united_mm3: Option<f64>,
}

impl Bench {
    fn of(mesh: Mesh) -> Self {
        let facts = facts(&mesh, mesh.triangles.len());
        let repaired = repair(&mesh, &facts);
        let unit = guess_unit([20.0; 3], Some(LengthUnit::Millimetre), 250.0);
        Self {
            mesh,
            facts,
            repaired,
            beds: beds(&[[200.0, 200.0, 180.0]]),
            as_it_stands: None,
            unit,
            united_mm3: None,
        }
    }

    fn findings(&self) -> Vec<Finding> {
        judge(&Subject {
            mesh: self
                .repaired
                .as_ref()
                .map_or(&self.mesh, |repaired| &repaired.mesh),
            facts: &self.facts,
            repaired: self.repaired.as_ref(),
            degenerate_dropped: 0,
            duplicates_dropped: 0,
            duplicate_place_mm: None,
            unit: self.unit,
            limits: Limits::usual(0.45, 0.2),
            plastic: None,
            united_mm3: self.united_mm3,
            beds: &self.beds,
            beds_as_it_stands: self.as_it_stands,
            up: [0.0, 0.0, 1.0],
            cut: None,
        })
    }

    fn only(&self, code: &str) -> Finding {
        let mut findings = self.findings();
        assert_eq!(
            findings.iter().map(|f| f.code).collect::<Vec<_>>(),
            [code],
            "{findings:#?}"
        );
        findings.remove(0)
    }
}

#[test]
fn a_sound_cube_has_no_findings() {
    assert_eq!(Bench::of(cube()).findings(), []);
}

#[test]
fn a_gap_blocks_and_its_place_is_on_the_rim() {
    let mut mesh = cube();
    let gone = mesh.triangles.pop().unwrap();
    let found = Bench::of(mesh).only("open-edges");
    assert_eq!(found.severity, Severity::Blocking);
    assert!(close(found.measured.unwrap(), 3.0, 0.0, 1e-12));
    // The longest open edge is the diagonal of the face x = 20.
    let place = found.place_mm.unwrap();
    assert!(
        place
            .iter()
            .zip([20.0, 10.0, 10.0])
            .all(|(a, b)| close(*a, b, 0.0, 1e-12))
    );
    assert!(
        gone.contains(&7) && found.why.to_string().contains("1 gap with 3 open edges"),
        "{}",
        found.why
    );
}

#[test]
fn a_flipped_triangle_that_we_mended_is_a_note() {
    let mut mesh = cube();
    mesh.triangles[0].swap(1, 2);
    let found = Bench::of(mesh.clone()).only("mixed-facing");
    assert_eq!(found.severity, Severity::Note);
    assert!(
        found
            .why
            .to_string()
            .starts_with("1 triangle faced the other way"),
        "{}",
        found.why
    );
    let unmended = Bench {
        repaired: None,
        ..Bench::of(mesh)
    };
    assert_eq!(unmended.only("mixed-facing").severity, Severity::Blocking);
}

#[test]
fn an_inverted_cube_that_we_mended_is_a_note_and_else_blocks() {
    let mut mesh = cube();
    mesh.triangles.iter_mut().for_each(|t| t.swap(1, 2));
    let found = Bench::of(mesh.clone()).only("inside-out");
    assert_eq!(found.severity, Severity::Note);
    assert!(
        found
            .why
            .to_string()
            .contains("1 closed body is turned inside out"),
        "{}",
        found.why
    );
    let unmended = Bench {
        repaired: None,
        ..Bench::of(mesh)
    };
    assert_eq!(unmended.findings()[0].severity, Severity::Blocking);
}

#[test]
fn three_walls_at_one_edge_block() {
    let mut mesh = cube();
    // A fin from the edge between corners 0 and 1 leaves that edge crowded and the fin open.
    mesh.vertices.push([10.0, -5.0, -5.0]);
    mesh.triangles.push([0, 1, 8]);
    let findings = Bench::of(mesh).findings();
    let crowded = findings.iter().find(|f| f.code == "crowded-edges").unwrap();
    assert_eq!(crowded.severity, Severity::Blocking);
    assert!(close(crowded.measured.unwrap(), 1.0, 0.0, 1e-12));
}

#[test]
fn a_hollow_warns_with_its_volume_and_is_not_a_part() {
    let mut hollow = cuboid([5.0; 3], [15.0; 3]);
    hollow.triangles.iter_mut().for_each(|t| t.swap(1, 2));
    let findings = Bench::of(together(&[cube(), hollow])).findings();
    let codes: Vec<_> = findings.iter().map(|f| (f.code, f.severity)).collect();
    // Its roof hangs over, too.
    assert_eq!(
        codes,
        [
            ("enclosed-hollow", Severity::Warning),
            ("overhang", Severity::Warning)
        ]
    );
    assert!(close(findings[0].measured.unwrap(), 1000.0, 1e-9, 0.0));
    assert!(
        findings[0]
            .why
            .to_string()
            .starts_with("The part has 1 closed hollow inside"),
        "{}",
        findings[0].why
    );
    assert!(close(findings[1].measured.unwrap(), 100.0, 1e-9, 0.0));
}

#[test]
fn two_bodies_are_a_note() {
    let two = Bench::of(together(&[cube(), cuboid([30.0, 0.0, 0.0], [40.0; 3])]));
    let found = two.only("several-shells");
    assert_eq!(found.severity, Severity::Note);
    assert!(close(found.measured.unwrap(), 2.0, 0.0, 1e-12));
}

#[test]
fn a_part_that_fits_nowhere_blocks_and_one_that_fits_somewhere_is_told() {
    let long = |length: f64| Bench {
        beds: beds(&[[200.0, 200.0, 180.0], [100.0, 100.0, 100.0]]),
        ..Bench::of(cuboid([0.0; 3], [length, 20.0, 20.0]))
    };
    let nowhere = long(300.0).only("fits-no-printer");
    assert_eq!(nowhere.severity, Severity::Blocking);
    assert!(
        nowhere
            .why
            .to_string()
            .contains("fits none of the 2 printers"),
        "{}",
        nowhere.why
    );
    // 260 mm lie across a bed of 200 x 200: (260 + 20) / √2 = 198.
    let somewhere = long(260.0).only("fits-some-printers");
    assert_eq!(somewhere.severity, Severity::Note);
    assert!(
        somewhere.why.to_string().contains("fits 1 of 2 printers"),
        "{}",
        somewhere.why
    );
    // Measured against the printer that is too small, not against the largest.
    assert!(close(somewhere.measured.unwrap(), 260.0, 0.0, 1e-9));
    assert!(close(somewhere.limit.unwrap(), 100.0, 0.0, 1e-9));
    assert_eq!(long(50.0).findings(), []);
    // It would lie on both, and stands on one of them only.
    let standing = Bench {
        as_it_stands: Some(1),
        ..long(50.0)
    };
    let standing = standing.only("fits-some-printers");
    assert!(standing.why.to_string().contains("fits 1 of 2 printers"));
    assert_eq!((standing.measured, standing.limit), (None, None));
}

#[test]
fn what_is_measured_against_the_room_is_what_does_not_fit() {
    let bench = Bench {
        beds: beds(&[[400.0, 300.0, 300.0]]),
        ..Bench::of(cuboid([0.0; 3], [390.0, 390.0, 200.0]))
    };
    let found = bench.only("fits-no-printer");
    assert!(close(found.measured.unwrap(), 390.0, 0.0, 1e-9));
    assert!(close(found.limit.unwrap(), 300.0, 0.0, 1e-9));
}

#[test]
fn a_doubtful_unit_warns_and_a_sure_one_other_than_mm_is_a_note() {
    let with = |unit| Bench {
        unit,
        ..Bench::of(cube())
    };
    let doubtful = with(guess_unit([2.5, 1.0, 1.0], None, 250.0)).only("unit-doubtful");
    assert_eq!(doubtful.severity, Severity::Warning);
    let why = doubtful.why.to_string();
    assert!(why.contains("inches"), "{why}");
    let metres = with(guess_unit([0.02; 3], None, 250.0)).only("unit-guessed");
    assert_eq!(metres.severity, Severity::Note);
    let said = guess_unit([2.5, 1.0, 1.0], None, 250.0).overruled(LengthUnit::Inch);
    assert_eq!(said.source, UnitSource::Option);
    assert_eq!(with(said).findings(), []);
}

#[test]
fn a_shelf_warns_with_its_area_and_the_limit_of_the_sheet() {
    let post = cuboid([0.0; 3], [5.0, 5.0, 10.0]);
    let shelf = cuboid([0.0, 0.0, 11.0], [30.0, 10.0, 13.0]);
    let findings = Bench::of(together(&[post, shelf])).findings();
    let found = findings.iter().find(|f| f.code == "overhang").unwrap();
    assert!(close(found.measured.unwrap(), 300.0, 1e-9, 0.0));
    assert!(
        found.what_to_do.to_string().contains("45 degrees"),
        "{}",
        found.what_to_do
    );
}

#[test]
fn the_worst_come_first_and_every_finding_says_what_to_do() {
    let mut open = cuboid([30.0, 0.0, 5.0], [900.0, 10.0, 10.0]);
    open.triangles.pop();
    let bench = Bench {
        unit: guess_unit([900.0, 1.0, 1.0], None, 250.0),
        ..Bench::of(together(&[cube(), open]))
    };
    let findings = bench.findings();
    assert!(findings.is_sorted_by_key(|f| f.severity));
    assert!(findings.len() >= 5, "{findings:#?}");
    for finding in &findings {
        let (why, what_to_do) = (finding.why.to_string(), finding.what_to_do.to_string());
        assert!(!why.is_empty() && !what_to_do.is_empty());
        assert!(!finding.source.is_empty());
        let text = format!("{why} {what_to_do}").to_lowercase();
        for word in ["safe", "approved", "certified"] {
            assert!(!text.contains(word), "{text}");
        }
    }
}

#[test]
fn a_slim_tower_tips_over_and_a_low_one_does_not() {
    // Static balance: half the width over half the height, atan(5 / 50) = 5.7106 degrees.
    let tower = |high| Bench::of(cuboid([0.0; 3], [10.0, 10.0, high]));
    let tips = tower(100.0).only("tips-over");
    assert!((tips.measured.unwrap() - 5.7106).abs() < 1e-4);
    assert_eq!(tower(80.0).findings(), [], "atan(5 / 40) = 7.125 degrees");
    let low = cuboid([0.0; 3], [1.0, 1.0, 14.0]);
    assert_eq!(Bench::of(low).findings(), [], "too low to be pushed over");
}

#[test]
fn four_thin_legs_are_a_small_foot() {
    let leg = |x: f64, y: f64| cuboid([x, y, 0.0], [x + 1.0, y + 1.0, 40.0]);
    let table = together(&[
        leg(0.0, 0.0),
        leg(29.0, 0.0),
        leg(0.0, 29.0),
        leg(29.0, 29.0),
    ]);
    let found = Bench::of(table).findings();
    let foot = found
        .iter()
        .find(|finding| finding.code == "small-foot")
        .unwrap();
    assert_eq!(foot.measured, Some(4.0), "one square millimetre a leg");
    assert_eq!(foot.limit, Some(25.0), "(40 / 8) squared");
    assert!(
        found.iter().all(|finding| finding.code != "tips-over"),
        "they stand wide apart"
    );
}

#[test]
fn bodies_that_overlap_are_told_and_are_no_hindrance() {
    let both = together(&[
        cuboid([0.0; 3], [20.0; 3]),
        cuboid([8.0, 8.0, 5.0], [28.0, 12.0, 15.0]),
    ]);
    let found = Bench::of(both).findings();
    let crossing = found
        .iter()
        .find(|finding| finding.code == "self-crossing")
        .unwrap();
    assert_eq!(crossing.severity, Severity::Note);
    assert!(crossing.measured.unwrap() >= 4.0, "four sides go in");
    let [x, ..] = crossing.place_mm.unwrap();
    assert!((x - 20.0).abs() < 1e-9, "where the bar goes in");
}

#[test]
fn a_small_hole_that_was_closed_is_told_with_before_and_after() {
    // A lid of four triangles over a 40 mm cube, with a triangle of 3 mm missing in its middle.
    let mut mesh = cuboid([0.0; 3], [40.0; 3]);
    mesh.triangles
        .retain(|t| t.iter().any(|&i| mesh.vertices[i as usize][2] < 39.0));
    let rim: Vec<u32> = [[0, 0], [1, 0], [1, 1], [0, 1]]
        .iter()
        .map(|&[x, y]| {
            let at = mesh.vertices.iter().position(|p| {
                let at = [40.0 * f64::from(x), 40.0 * f64::from(y), 40.0];
                (0..3).all(|k| (p[k] - at[k]).abs() < 1e-9)
            });
            u32::try_from(at.unwrap()).unwrap()
        })
        .collect();
    let first = u32::try_from(mesh.vertices.len()).unwrap();
    mesh.vertices
        .extend([[18.0, 19.0, 40.0], [21.0, 19.0, 40.0], [19.5, 22.0, 40.0]]);
    let [a, b, c, d] = [rim[0], rim[1], rim[2], rim[3]];
    let [p, q, r] = [first, first + 1, first + 2];
    mesh.triangles.extend([
        [a, b, p],
        [b, q, p],
        [b, c, q],
        [c, r, q],
        [c, d, r],
        [d, p, r],
        [d, a, p],
    ]);
    let found = Bench::of(mesh).only("small-hole-filled");
    assert_eq!(found.severity, Severity::Note);
    assert!((found.measured.unwrap() - 18.0_f64.sqrt()).abs() < 1e-9);
    assert!(
        found
            .why
            .to_string()
            .contains("3 open edges before, none now"),
        "{}",
        found.why
    );
    let place = found.place_mm.unwrap();
    assert!((place[0] - 19.5).abs() < 1e-9 && (place[2] - 40.0).abs() < 1e-9);
}

#[test]
fn a_floor_of_one_or_two_layers_is_told_and_one_of_three_is_not() {
    for (thick, told) in [
        (0.2, true),
        (0.4, true),
        (0.55, true),
        (0.6, false),
        (1.0, false),
    ] {
        let found = Bench::of(cuboid([0.0; 3], [60.0, 40.0, thick])).findings();
        let floor = found.iter().find(|finding| finding.code == "thin-floor");
        assert_eq!(floor.is_some(), told, "{thick}");
        if let Some(floor) = floor {
            assert!((floor.measured.unwrap() / thick - 1.0).abs() < 0.02);
        }
    }
    // The same plate on edge is a wall, which the layers look after.
    let wall = Bench::of(cuboid([0.0; 3], [60.0, 0.4, 40.0])).findings();
    assert!(wall.iter().all(|finding| finding.code != "thin-floor"));
}

#[test]
fn a_ramp_that_thins_out_to_its_edge_is_no_thin_floor() {
    let (l, w, h) = (60.0, 40.0, 30.0);
    let ramp = Mesh {
        vertices: vec![
            [0.0; 3],
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
    let found = Bench::of(ramp).findings();
    assert!(
        found.iter().all(|finding| finding.code != "thin-floor"),
        "{found:?}"
    );
}

#[test]
fn bodies_that_overlap_are_counted_once() {
    let both = together(&[cube(), cuboid([10.0, 0.0, 0.0], [30.0, 20.0, 20.0])]);
    let mut bench = Bench::of(both);
    assert!(
        bench
            .findings()
            .iter()
            .all(|f| f.code != "overlapping-shells")
    );
    bench.united_mm3 = Some(12_000.0);
    let found = bench.findings();
    let overlap = found
        .iter()
        .find(|f| f.code == "overlapping-shells")
        .unwrap();
    assert!((overlap.measured.unwrap() - 4_000.0).abs() < 1e-6);
    let why = overlap.why.to_string();
    assert!(why.contains("16000 mm³") && why.contains("12000 mm³"));
}
