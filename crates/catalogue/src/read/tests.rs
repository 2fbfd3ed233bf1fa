//! What the reader takes and refuses.

use super::*;

const FILES: [&str; 3] = [
    include_str!("../../data/materials.toml"),
    include_str!("../../data/sheets.toml"),
    include_str!("../../data/printer-classes.toml"),
];

fn with(file: usize, from: &str, to: &str) -> Result<Catalogue, CatalogueError> {
    assert!(
        FILES[file].contains(from),
        "the test edits text that is no longer there: {from}"
    );
    let edited = FILES[file].replacen(from, to, 1);
    let mut files = FILES;
    files[file] = &edited;
    Catalogue::parse(files[0], files[1], files[2])
}

#[test]
fn the_built_in_files_hold_four_materials_and_five_classes() {
    let catalogue = Catalogue::built_in();
    let materials: Vec<&str> = catalogue
        .materials
        .iter()
        .map(|m| m.code.as_str())
        .collect();
    assert_eq!(materials, ["PLA", "PETG", "ASA", "TPU"]);
    let classes: Vec<&str> = catalogue.classes.iter().map(|c| c.code.as_str()).collect();
    assert_eq!(classes, ["compact", "standard", "swift", "roomy", "warm"]);
}

#[test]
fn a_class_may_say_what_room_its_carriage_needs() {
    let said = "[[class]]\ncarriage = { above_mm = 60, gap_mm = 35 }";
    let catalogue = with(2, "[[class]]", said).unwrap();
    let carriage = catalogue.classes[0].carriage.unwrap();
    assert!((carriage.above_mm - 60.0).abs() < 1e-9 && (carriage.gap_mm - 35.0).abs() < 1e-9);
    assert!(
        catalogue.classes[1..]
            .iter()
            .all(|class| class.carriage.is_none())
    );
    let absurd = "[[class]]\ncarriage = { above_mm = -1, gap_mm = 35 }";
    assert!(with(2, "[[class]]", absurd).is_err());
}

#[test]
fn every_material_has_a_plain_sheet_and_a_class_that_gets_hot_enough() {
    let catalogue = Catalogue::built_in();
    for material in &catalogue.materials {
        assert!(
            catalogue.plain_sheet(&material.code).is_some(),
            "{}",
            material.code
        );
        let mut takers = catalogue
            .classes
            .iter()
            .filter(|c| c.takes(&material.code))
            .peekable();
        assert!(takers.peek().is_some(), "{}", material.code);
        for class in takers {
            let reached =
                class.nozzle_max_c >= material.nozzle_c && class.bed_max_c >= material.bed_c;
            assert!(reached, "{} on {}", material.code, class.code);
            assert!(
                class.enclosed || !material.needs_enclosure,
                "{} on {}",
                material.code,
                class.code
            );
        }
    }
}

#[test]
fn every_sheet_keeps_to_the_shop_rules_for_its_nozzle() {
    // Layer 0.25-0.75 x bore, line 1.0-1.25 x bore: design_rules.csv, common practice, no source.
    let catalogue = Catalogue::built_in();
    for class in &catalogue.classes {
        for sheet in &catalogue.sheets {
            let layer = sheet.layer_height_mm / class.nozzle_bore_mm;
            let line = sheet.line_width_mm / class.nozzle_bore_mm;
            assert!((0.25..=0.75).contains(&layer), "{} {layer}", sheet.code);
            assert!((1.0..=1.2501).contains(&line), "{} {line}", sheet.code);
            // Half a line on the layer below, atan(w / 2h): recomputed in the reference sheet.
            let reach_deg = (sheet.line_width_mm / (2.0 * sheet.layer_height_mm))
                .atan()
                .to_degrees();
            assert!(
                sheet.overhang_limit_deg <= reach_deg,
                "{} {reach_deg}",
                sheet.code
            );
        }
    }
}

#[test]
fn cautions_defer_and_never_vouch() {
    for material in Catalogue::built_in().materials {
        assert!(!material.cautions.is_empty() && !material.source.is_empty());
        for caution in material.cautions {
            let lower = caution.to_lowercase();
            for word in ["safe", "approved", "certified", "fireproof"] {
                assert!(!lower.contains(word), "{caution}");
            }
        }
    }
}

#[test]
fn each_broken_rule_is_named() {
    let code = |result: Result<Catalogue, CatalogueError>| result.unwrap_err().code();
    assert_eq!(code(with(0, "name =", "nmae =")), "catalogue-syntax");
    assert_eq!(
        code(with(0, "code = \"PETG\"", "code = \"PLA\"")),
        "catalogue-duplicate"
    );
    assert_eq!(
        code(with(1, "material = \"PLA\"", "material = \"XYZ\"")),
        "catalogue-unknown-material"
    );
    assert_eq!(
        code(with(2, "\"PLA\", \"TPU\"", "\"WAX\"")),
        "catalogue-unknown-material"
    );
    assert_eq!(
        code(Catalogue::parse("", FILES[1], FILES[2])),
        "catalogue-empty"
    );
    let error = with(1, "line_width_mm = 0.45", "line_width_mm = 0.1").unwrap_err();
    assert!(
        matches!(
            error,
            CatalogueError::OutOfRange {
                field: "line_width_mm",
                low: 0.2,
                ..
            }
        ),
        "{error}"
    );
    assert_eq!(
        code(with(2, "accel_mm_s2 = 1000.0", "accel_mm_s2 = nan")),
        "catalogue-out-of-range"
    );
}

#[test]
fn strength_and_drying_are_ranges_that_rise_and_never_soften_the_spool() {
    let code = |result: Result<Catalogue, CatalogueError>| result.unwrap_err().code();
    let turned = with(
        0,
        "in_plane_mpa = [45.0, 60.0]",
        "in_plane_mpa = [60.0, 45.0]",
    );
    assert_eq!(code(turned), "catalogue-out-of-range");
    let more_across = with(
        0,
        "across_ratio = [0.45, 0.80]",
        "across_ratio = [0.45, 1.2]",
    );
    assert_eq!(code(more_across), "catalogue-out-of-range");
    // A published guide prints PETG 80 °C, at its glass transition (CHECKS.md, trap c).
    let hot = with(
        0,
        "temperature_c = [60.0, 65.0]",
        "temperature_c = [60.0, 80.0]",
    );
    assert!(
        matches!(
            hot,
            Err(CatalogueError::OutOfRange { field: "drying.temperature_c[1]", high, .. }) if high < 70.0
        ),
        "{hot:?}"
    );
    for material in Catalogue::built_in().materials {
        let [low, high] = material.strength.across_mpa();
        assert!(0.0 < low && low < high && high < material.strength.in_plane_mpa[1]);
        let source = &material.strength.source;
        assert!(
            source.contains("verified") || source.contains("memory"),
            "{source}"
        );
    }
}
