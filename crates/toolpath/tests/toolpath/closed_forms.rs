//! Parts whose lines, volume and mass have closed forms.

use partpledge_catalogue::{Catalogue, ProcessSheet};
use partpledge_mesh::Mesh;
use partpledge_sections::cut_layers;
use partpledge_toolpath::{LineKind, Paths, paths, time};
use partpledge_units::tolerance::close;

/// A prism of `n` sides with the corners on a circle.
fn prism(n: u32, radius_mm: f64, height_mm: f64, turn_deg: f64) -> Mesh {
    let corner = |i: u32, z: f64| {
        let angle = (360.0 * f64::from(i) / f64::from(n) + turn_deg).to_radians();
        [radius_mm * angle.cos(), radius_mm * angle.sin(), z]
    };
    let mut vertices: Vec<[f64; 3]> = (0..n).map(|i| corner(i, 0.0)).collect();
    vertices.extend((0..n).map(|i| corner(i, height_mm)));
    vertices.extend([[0.0; 3], [0.0, 0.0, height_mm]]);
    let (bottom, top) = (2 * n, 2 * n + 1);
    let triangles = (0..n)
        .flat_map(|i| {
            let j = (i + 1) % n;
            [
                [i, j, j + n],
                [i, j + n, i + n],
                [bottom, j, i],
                [top, i + n, j + n],
            ]
        })
        .collect();
    Mesh {
        vertices,
        triangles,
    }
}

fn cube(side_mm: f64) -> Mesh {
    prism(4, side_mm / 2.0_f64.sqrt(), side_mm, 45.0)
}

fn lines(mesh: &Mesh, sheet: &ProcessSheet) -> Paths {
    let cut = cut_layers(mesh, sheet.first_layer_height_mm, sheet.layer_height_mm)
        .expect("these meshes can be cut");
    paths(&cut, sheet)
}

/// The sheet of the worked cube: 0.2 mm layers, 0.45 mm lines, 2 walls, 4 + 4 skins, 20 %.
fn sheet() -> ProcessSheet {
    let mut sheet = Catalogue::built_in()
        .plain_sheet("PLA")
        .expect("the built-in catalogue has PLA")
        .clone();
    sheet.layer_height_mm = 0.2;
    sheet.first_layer_height_mm = 0.2;
    sheet.line_width_mm = 0.45;
    sheet.line_spacing_mm = None;
    (sheet.walls, sheet.top_skins, sheet.bottom_skins) = (2, 4, 4);
    sheet.infill_percent = 20.0;
    // What is laid beside the part has its own closed forms, in `over_air`.
    (sheet.support_percent, sheet.brim_lines) = (0.0, 0);
    sheet
}

#[test]
fn the_worked_cube_of_the_reference_sheet() {
    // checks/CHECKS.md, "The 20 mm cube, in three lines" (recomputed): simple spacing = width.
    let sheet = ProcessSheet {
        line_spacing_mm: Some(0.45),
        ..sheet()
    };
    let laid = lines(&cube(20.0), &sheet);
    assert_eq!(laid.layers.len(), 100);
    for layer in &laid.layers {
        assert!(
            close(layer.length_mm(Some(LineKind::Wall)), 152.8, 1e-4, 0.0),
            "{}",
            layer.length_mm(Some(LineKind::Wall))
        );
    }
    let total: f64 = laid.layers.iter().map(|layer| layer.length_mm(None)).sum();
    assert!(close(total, 34_712.75, 0.02, 0.0), "{total}");
    let catalogue = Catalogue::built_in();
    let pla = catalogue.material("PLA").unwrap();
    let got = time(&laid, &sheet, catalogue.class("standard").unwrap(), pla).unwrap();
    assert!(close(got.mass_g, 3.504_45, 0.02, 0.0), "{}", got.mass_g);
    assert!(
        close(got.filament_mm, 1_174.985, 0.02, 0.0),
        "{}",
        got.filament_mm
    );
    let sum = got.walls_mm + got.skins_mm + got.infill_mm + got.support_mm;
    assert!(close(sum, total, 1e-12, 0.0));
}

#[test]
fn a_box_and_a_cylinder_without_voids_weigh_volume_times_density() {
    let sheet = ProcessSheet {
        infill_percent: 100.0,
        ..sheet()
    };
    let cylinder = prism(128, 15.0, 25.0, 0.0);
    let round = 128.0 / 2.0 * 225.0 * (360.0_f64 / 128.0).to_radians().sin() * 25.0;
    for (mesh, volume) in [
        (cube(20.0), 8_000.0),
        (cylinder, round),
        (cube(60.0), 216_000.0),
    ] {
        let laid = lines(&mesh, &sheet).volume_mm3();
        assert!(
            close(laid, volume, 0.02, 0.0),
            "{laid} mm³ laid for {volume} mm³"
        );
    }
}

#[test]
fn thin_bars_are_neither_laid_twice_nor_left_open() {
    // A bar 80 mm long, 20 mm high and as thick as a few lines: whatever does not fit between two
    // loops is filled, and no loop lies on itself. Lost are slivers under a tenth of a line and,
    // where walls leave nothing inside, the rounded sides of the outer lines.
    let sheet = ProcessSheet {
        infill_percent: 100.0,
        ..sheet()
    };
    for thick_mm in [0.6, 0.8, 1.0, 1.3, 1.6, 2.0, 2.4, 3.0] {
        let mut bar = cube(20.0);
        for vertex in &mut bar.vertices {
            vertex[0] *= thick_mm / 20.0;
            vertex[1] *= 80.0 / 20.0;
        }
        let laid = lines(&bar, &sheet).volume_mm3();
        let room = thick_mm * 80.0 * 20.0;
        assert!(
            close(laid, room, 0.06, 0.0),
            "{thick_mm} mm: {laid} mm³ laid in {room} mm³"
        );
    }
}

#[test]
fn sparse_hops_keep_the_filament_and_travel_is_counted() {
    let laid = lines(&cube(20.0), &sheet());
    let middle = &laid.layers[50].lines;
    let infill: Vec<_> = middle
        .iter()
        .filter(|line| line.kind == LineKind::Infill)
        .collect();
    assert!(infill.len() > 5 && infill[1..].iter().all(|line| !line.pull_back));
    let straight = laid.layers[50].travel_mm();
    assert!(
        straight > 0.0 && straight < laid.layers[50].length_mm(None),
        "{straight}"
    );
}

/// One wall and nothing else.
fn one_wall() -> ProcessSheet {
    ProcessSheet {
        walls: 1,
        top_skins: 0,
        bottom_skins: 0,
        infill_percent: 0.0,
        ..sheet()
    }
}

fn grams(laid: &Paths, sheet: &ProcessSheet) -> f64 {
    let catalogue = Catalogue::built_in();
    let pla = catalogue
        .material("PLA")
        .expect("the built-in catalogue has PLA");
    let class = catalogue
        .class("standard")
        .expect("it has a standard class");
    time(laid, sheet, class, pla)
        .expect("something is laid")
        .mass_g
}

/// Grams of so many mm³ of PLA at 1.24 g/cm³, the catalogue's density.
fn grams_of(volume_mm3: f64) -> f64 {
    volume_mm3 * 1.24e-3
}

/// Section of a 0.45 x 0.2 mm line: 0.2 x 0.25 + pi/4 x 0.2² = 0.0814159 mm².
const BEAD_MM2: f64 = 0.081_415_926_5;

#[test]
fn a_single_wall_box_is_its_outline_times_its_layers() {
    // The middle of the wall is a square of side 20 - 0.45 in each of 100 layers: 4 x 19.55 x 100
    // = 7,820 mm, 7,820 x 0.0814159 = 636.67 mm³, 0.78947 g.
    let laid = lines(&cube(20.0), &one_wall());
    let expected = 4.0 * (20.0 - 0.45) * 100.0;
    let got = laid.length_mm(LineKind::Wall);
    assert!(close(got, expected, 1e-4, 0.0), "{got} {expected}");
    assert!(laid.length_mm(LineKind::Skin) + laid.length_mm(LineKind::Infill) <= 0.0);
    let mass = grams(&laid, &one_wall());
    assert!(
        close(mass, grams_of(expected * BEAD_MM2), 0.01, 0.0),
        "{mass}"
    );
}

#[test]
fn a_single_wall_round_a_polygon_is_the_polygon_half_a_line_further_in() {
    // A regular n-gon of circumradius R has the inradius R cos(pi/n). Its sides moved in by w/2 make
    // an n-gon of inradius R cos(pi/n) - w/2, whose perimeter is 2 n tan(pi/n) times that.
    for n in [3_u32, 6, 17, 128] {
        let (radius, height) = (12.0, 8.0);
        let half = std::f64::consts::PI / f64::from(n);
        let round = 2.0 * f64::from(n) * half.tan() * (radius * half.cos() - 0.225);
        let laid = lines(&prism(n, radius, height, 7.0), &one_wall());
        let (got, want) = (laid.length_mm(LineKind::Wall), round * height / 0.2);
        assert!(close(got, want, 0.01, 0.0), "{n}: {got} {want}");
        let mass = grams(&laid, &one_wall());
        assert!(
            close(mass, grams_of(want * BEAD_MM2), 0.01, 0.0),
            "{n}: {mass}"
        );
    }
}

#[test]
fn solid_blocks_and_cylinders_have_their_volume_length_and_mass() {
    // Without voids every line fills its spacing: length = volume / section, mass = volume x density.
    // Block 40 x 30 x 12 mm: 14,400 mm³, 17.856 g, 176,870 mm of line. Cylinder as a 96-gon of R = 14:
    // n/2 R² sin(2 pi/n) = 615.310 mm² a layer (a circle would have 615.752), times 16 mm.
    let sheet = ProcessSheet {
        infill_percent: 100.0,
        ..sheet()
    };
    let mut block = cube(1.0);
    for corner in &mut block.vertices {
        *corner = [corner[0] * 40.0, corner[1] * 30.0, corner[2] * 12.0];
    }
    let polygon = 48.0 * 14.0 * 14.0 * (std::f64::consts::TAU / 96.0).sin();
    assert!(close(polygon, 615.312, 1e-5, 0.0), "{polygon}");
    for (mesh, volume) in [
        (block, 14_400.0),
        (prism(96, 14.0, 16.0, 0.0), polygon * 16.0),
    ] {
        let laid = lines(&mesh, &sheet);
        let length: f64 = laid.layers.iter().map(|layer| layer.length_mm(None)).sum();
        assert!(
            close(length, volume / BEAD_MM2, 0.01, 0.0),
            "{length} {}",
            volume / BEAD_MM2
        );
        let mass = grams(&laid, &sheet);
        assert!(close(mass, grams_of(volume), 0.01, 0.0), "{mass} {volume}");
    }
}

/// A ball of `n` meridians and `n / 2` bands, standing on z = `sink_mm`; facing inwards if asked.
fn ball(n: u32, radius_mm: f64, sink_mm: f64, inwards: bool) -> Mesh {
    let bands = n / 2;
    let mut mesh = Mesh::default();
    for band in 0..=bands {
        for k in 0..n {
            let (up, round) = (
                std::f64::consts::PI * f64::from(band) / f64::from(bands),
                std::f64::consts::TAU * f64::from(k) / f64::from(n),
            );
            mesh.vertices.push([
                radius_mm * up.sin() * round.cos(),
                radius_mm * up.sin() * round.sin(),
                sink_mm + radius_mm * (1.0 - up.cos()),
            ]);
        }
    }
    for band in 0..bands {
        for k in 0..n {
            let (a, b) = (band * n + k, band * n + (k + 1) % n);
            mesh.triangles.extend([[a, b, b + n], [a, b + n, a + n]]);
        }
    }
    if inwards {
        mesh.triangles.iter_mut().for_each(|t| t.swap(1, 2));
    }
    mesh
}

/// Volume of a ball of flat bands and meridians: each ring is a regular n-gon of circumradius r, so of
/// area n/2 r² sin(2 pi/n), and the section of a band between two heights is the n-gon in between,
/// because its corners run straight: a truncated pyramid, h/3 (A + sqrt(A B) + B).
fn ball_mm3(n: u32, radius_mm: f64) -> f64 {
    let bands = n / 2;
    let ring = |band: u32| {
        let up = std::f64::consts::PI * f64::from(band) / f64::from(bands);
        let polygon = f64::from(n) / 2.0 * (std::f64::consts::TAU / f64::from(n)).sin();
        (
            polygon * (radius_mm * up.sin()).powi(2),
            -radius_mm * up.cos(),
        )
    };
    let bands = (0..bands).map(|band| (ring(band), ring(band + 1)));
    bands
        .map(|((a, low), (b, high))| (high - low) / 3.0 * (a + (a * b).sqrt() + b))
        .sum()
}

#[test]
fn a_hollow_ball_weighs_the_shell() {
    // Radii 20 and 14 mm, 96 meridians: two balls of flat bands. True balls would give
    // 4/3 pi (20³ - 14³) = 22,016 mm³.
    let sheet = ProcessSheet {
        infill_percent: 100.0,
        ..sheet()
    };
    let mut mesh = ball(96, 20.0, 0.0, false);
    let hollow = ball(96, 14.0, 6.0, true);
    let shift = u32::try_from(mesh.vertices.len()).unwrap();
    mesh.vertices.extend(hollow.vertices);
    mesh.triangles
        .extend(hollow.triangles.iter().map(|t| t.map(|i| i + shift)));
    let volume = ball_mm3(96, 20.0) - ball_mm3(96, 14.0);
    assert!(close(volume, 22_016.0, 0.005, 0.0), "{volume}");
    let cut = cut_layers(&mesh, 0.2, 0.2).unwrap();
    let layers: f64 = cut
        .iter()
        .map(|section| partpledge_sections::area_mm2(&section.outlines) * 0.2)
        .sum();
    assert!(close(layers, volume, 1e-3, 0.0), "{layers} {volume}");
    let laid = lines(&mesh, &sheet);
    let length: f64 = laid.layers.iter().map(|layer| layer.length_mm(None)).sum();
    assert!(
        close(length, volume / BEAD_MM2, 0.01, 0.0),
        "{length} {}",
        volume / BEAD_MM2
    );
    let mass = grams(&laid, &sheet);
    assert!(close(mass, grams_of(volume), 0.01, 0.0), "{mass}");
}

#[test]
fn a_step_gets_its_skin_where_it_is_bare() {
    // A broad slab with a narrow tower: the slab's top four layers are skin around the tower.
    let mut mesh = prism(4, 30.0 / 2.0_f64.sqrt(), 4.0, 45.0);
    let mut tower = prism(4, 10.0 / 2.0_f64.sqrt(), 12.0, 45.0);
    let shift = u32::try_from(mesh.vertices.len()).unwrap();
    mesh.vertices.append(&mut tower.vertices);
    mesh.triangles
        .extend(tower.triangles.iter().map(|t| t.map(|i| i + shift)));
    let laid = lines(&mesh, &sheet());
    let skin = |i: usize| laid.layers[i].length_mm(Some(LineKind::Skin));
    assert!(
        skin(10) < 1.0,
        "inside the slab nothing is bare: {}",
        skin(10)
    );
    let bare = (30.0 - 4.0 * 0.41) * (30.0 - 4.0 * 0.41) - 100.0;
    assert!(
        close(skin(17), bare / 0.407, 0.04, 0.0),
        "{} {}",
        skin(17),
        bare / 0.407
    );
    assert!(skin(30) < 1.0, "half way up the tower: {}", skin(30));
}

#[test]
fn twice_the_height_takes_twice_the_lines_and_faster_classes_take_less_time() {
    let (low, high) = (prism(6, 10.0, 10.0, 0.0), prism(6, 10.0, 20.0, 0.0));
    let sheet = ProcessSheet {
        infill_percent: 100.0,
        ..sheet()
    };
    let ratio = lines(&high, &sheet).volume_mm3() / lines(&low, &sheet).volume_mm3();
    assert!(close(ratio, 2.0, 1e-3, 0.0), "{ratio}");
    let catalogue = Catalogue::built_in();
    let pla = catalogue.material("PLA").unwrap();
    let on = |class: &str| {
        time(
            &lines(&high, &sheet),
            &sheet,
            catalogue.class(class).unwrap(),
            pla,
        )
        .unwrap()
    };
    assert!(on("swift").print_time_s < on("standard").print_time_s);
    assert!(close(on("swift").mass_g, on("standard").mass_g, 1e-12, 0.0));
    let TimeOrder { p10, mid, p90 } = TimeOrder::of(&on("swift"));
    assert!(p10 < mid && mid < p90);
}

struct TimeOrder {
    p10: f64,
    mid: f64,
    p90: f64,
}

impl TimeOrder {
    fn of(estimate: &partpledge_toolpath::Estimate) -> Self {
        let spread = estimate.spread;
        Self {
            p10: spread.p10_s,
            mid: estimate.print_time_s,
            p90: spread.p90_s,
        }
    }
}
