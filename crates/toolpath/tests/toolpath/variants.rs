//! What other walls and infill change: the model against closed forms, the offers against their rules.

#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use partpledge_catalogue::{Catalogue, ProcessSheet};
use partpledge_mesh::Mesh;
use partpledge_sections::{Section, cut_layers};
use partpledge_toolpath::strength::{Build, tip_give_mm_per_n};
use partpledge_toolpath::{Paths, Variant, lighter, paths, time};
use partpledge_units::tolerance::close;

fn block([x, y, z]: [f64; 3]) -> Mesh {
    let corner = |i: usize| {
        [i & 1, i >> 1 & 1, i >> 2]
            .map(|bit| bit as f64)
            .into_iter()
            .zip([x, y, z])
            .map(|(bit, size)| bit * size)
            .collect::<Vec<f64>>()
            .try_into()
            .unwrap()
    };
    let triangles = vec![
        [0, 2, 1],
        [1, 2, 3],
        [4, 5, 6],
        [5, 7, 6],
        [0, 1, 4],
        [1, 5, 4],
        [2, 6, 3],
        [3, 6, 7],
        [0, 4, 2],
        [2, 4, 6],
        [1, 3, 5],
        [3, 7, 5],
    ];
    Mesh {
        vertices: (0..8).map(corner).collect(),
        triangles,
    }
}

fn sheet(walls: u32, infill_percent: f64) -> ProcessSheet {
    let plain = Catalogue::built_in().plain_sheet("PLA").unwrap().clone();
    ProcessSheet {
        walls,
        infill_percent,
        ..plain
    }
}

fn laid(size_mm: [f64; 3], sheet: &ProcessSheet) -> (Vec<Section>, Paths) {
    let cuts = cut_layers(
        &block(size_mm),
        sheet.first_layer_height_mm,
        sheet.layer_height_mm,
    )
    .unwrap();
    let lines = paths(&cuts, sheet);
    (cuts, lines)
}

fn give(size_mm: [f64; 3], sheet: &ProcessSheet, load: Option<[f64; 3]>) -> f64 {
    let (cuts, lines) = laid(size_mm, sheet);
    tip_give_mm_per_n(&Build::new(&cuts, &lines, sheet), load)
}

fn offer(size_mm: [f64; 3], sheet: &ProcessSheet) -> Option<Variant> {
    let catalogue = Catalogue::built_in();
    let (class, pla) = (
        catalogue.class("standard").unwrap(),
        catalogue.material("PLA").unwrap(),
    );
    let (cuts, lines) = laid(size_mm, sheet);
    let now = time(&lines, sheet, class, pla).unwrap();
    lighter(&cuts, (&lines, &now), (sheet, class, pla), None)
}

#[test]
fn a_solid_post_gives_as_a_cantilever_does() {
    // δ = F L³ / 3 E I with L = 90 mm (the lowest tenth is held), E = 1 GPa, I = 10 x 8³ / 12.
    // Cantilever: appendix of any handbook, here Roark's Formulas, table of beams (from memory).
    let got = give([10.0, 8.0, 100.0], &sheet(2, 100.0), None);
    let want = 90.0_f64.powi(3) / (3.0 * 1000.0 * 10.0 * 512.0 / 12.0);
    assert!(close(got, want, 1e-4, 0.0), "{got} {want}");
    let along_x = give([10.0, 8.0, 100.0], &sheet(2, 100.0), Some([-1.0, 0.0, 0.0]));
    assert!(close(along_x / got, 0.64, 1e-4, 0.0), "{along_x}");
}

#[test]
fn infill_counts_by_the_square_of_its_share() {
    let size_mm = [40.0, 40.0, 60.0];
    let at = |percent: f64| 1.0 / give(size_mm, &sheet(2, percent), None);
    let (none, fifth, half) = (at(0.0), at(20.0), at(50.0));
    // Skins at the top hardly bend, so the stiffness of the inside is what it adds.
    assert!(
        close((half - none) / (fifth - none), 6.25, 0.02, 0.0),
        "{none} {fifth} {half}"
    );
}

#[test]
fn more_walls_and_less_infill_are_offered_for_a_thick_part_and_keep_what_they_say() {
    let asked = sheet(2, 40.0);
    let offer = offer([40.0, 40.0, 30.0], &asked).unwrap();
    let catalogue = Catalogue::built_in();
    let (class, pla) = (
        catalogue.class("standard").unwrap(),
        catalogue.material("PLA").unwrap(),
    );
    let (_, lines) = laid([40.0, 40.0, 30.0], &asked);
    let now = time(&lines, &asked, class, pla).unwrap();
    let other = sheet(offer.walls, offer.infill_percent);
    let (_, lines) = laid([40.0, 40.0, 30.0], &other);
    let then = time(&lines, &other, class, pla).unwrap();
    assert!(close(
        offer.mass_ratio,
        then.mass_g / now.mass_g,
        1e-12,
        0.0
    ));
    assert!(offer.mass_ratio.min(offer.time_ratio) <= 0.9, "{offer:?}");
    assert!(
        offer.mass_ratio <= 1.0 && offer.time_ratio <= 1.0,
        "{offer:?}"
    );
    let by = give([40.0, 40.0, 30.0], &asked, None) / give([40.0, 40.0, 30.0], &other, None);
    assert!(
        close(offer.stiffness_ratio, by, 1e-12, 0.0) && by >= 1.0,
        "{offer:?}"
    );
}

#[test]
fn nothing_is_offered_for_a_thin_part_that_is_all_wall() {
    assert_eq!(offer([40.0, 1.6, 30.0], &sheet(2, 40.0)), None);
    assert_eq!(offer([40.0, 40.0, 0.8], &sheet(2, 40.0)), None);
}
