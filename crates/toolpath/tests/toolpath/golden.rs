//! Every row of the golden files about lines, filament and flow.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use partpledge_catalogue::{Catalogue, FILAMENT_DIAMETER_MM, PrinterClass};
use partpledge_toolpath::program::Retiming;
use partpledge_toolpath::{bead_area_mm2, filament_area_mm2, no_void_spacing_mm};
use partpledge_units::tolerance::close;

/// Rows of a golden file without its comment and heading.
fn rows(text: &str, least: usize) -> Vec<Vec<f64>> {
    let lines = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    let rows: Vec<Vec<f64>> = lines
        .map(|line| line.split(',').map(|cell| cell.parse().unwrap()).collect())
        .collect();
    assert!(rows.len() >= least, "rows are missing");
    rows
}

#[test]
fn every_section_and_spacing_of_a_line() {
    for row in rows(include_str!("../../../../golden/physics/beads.csv"), 9) {
        let area = bead_area_mm2(row[0], row[1]);
        assert!(close(area, row[2], 1e-12, 0.0), "{row:?}: {area}");
        let spacing = no_void_spacing_mm(row[0], row[1]);
        assert!(close(spacing, row[3], 1e-12, 0.0), "{row:?}: {spacing}");
    }
}

#[test]
fn every_length_of_a_kilogram() {
    for row in rows(include_str!("../../../../golden/physics/filament.csv"), 12) {
        let mm3 = 1_000_000.0 / row[0];
        let metres = mm3 / filament_area_mm2(FILAMENT_DIAMETER_MM) / 1000.0;
        assert!(close(metres, row[1], 0.0, 5e-5), "{row:?}: {metres}");
    }
}

#[test]
fn every_flow_and_a_class_that_gives_just_that_flow_runs_just_that_fast() {
    let catalogue = Catalogue::built_in();
    let pla = catalogue.material("PLA").unwrap();
    for row in rows(include_str!("../../../../golden/physics/flow.csv"), 6) {
        let (speed, flow) = (row[2], row[3]);
        let got = bead_area_mm2(row[0], row[1]) * speed;
        assert!(close(got, flow, 1e-12, 0.0), "{row:?}: {got}");
        let filament = got / filament_area_mm2(FILAMENT_DIAMETER_MM);
        assert!(close(filament, row[4], 1e-12, 0.0), "{row:?}: {filament}");
        let hour_g = got * pla.density_g_mm3() * 3600.0;
        assert!(close(hour_g, row[5], 1e-12, 0.0), "{row:?}: {hour_g}");

        let class = PrinterClass {
            max_speed_mm_s: 1000.0,
            max_flow_mm3_s: flow,
            ..catalogue.class("swift").unwrap().clone()
        };
        let mut retiming = Retiming::new(&class, pla).unwrap();
        let line = format!(
            "G92 X0 Y0 Z0 E0\nG1 X200 E{:.9} F60000\n",
            200.0 * filament / speed
        );
        retiming.feed(line.as_bytes()).unwrap();
        let told = retiming.finish().unwrap();
        let expected_s = 200.0 / speed + speed / class.accel_mm_s2;
        assert!(
            close(told.time_s, expected_s, 1e-8, 0.0),
            "{row:?}: {}",
            told.time_s
        );
        assert_eq!(told.slowed, 1);
    }
}
