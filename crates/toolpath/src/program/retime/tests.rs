//! Each word by itself, with times worked by hand.

use partpledge_catalogue::Catalogue;
use partpledge_units::tolerance::close;

use super::*;
use crate::program::{Heater, ProgramFinding};

/// On the compact class: 1000 mm/s², 60 mm/s laying, 120 mm/s between, 8 mm³/s, bed of 150 mm.
fn retimed(text: &str) -> Result<Retimed, RetimeError> {
    let catalogue = Catalogue::built_in();
    let class = catalogue.class("compact").unwrap();
    let mut retiming = Retiming::new(class, catalogue.material("PLA").unwrap()).unwrap();
    retiming.feed(text.as_bytes())?;
    retiming.finish()
}

fn told(text: &str) -> Retimed {
    retimed(text).unwrap()
}

fn count(told: &Retimed, word: &str) -> u64 {
    let found = told.words.iter().find(|counted| counted.word == word);
    found.map_or(0, |counted| counted.count)
}

#[track_caller]
fn near(got: f64, expected: f64) {
    assert!(close(got, expected, 1e-9, 0.0), "{got}, not {expected}");
}

const ZERO: &str = "G21 G90\nM83\nG92 X0 Y0 Z0 E0\n";

#[test]
fn straight_moves_take_the_worked_times() {
    // checks/physics (recomputed): 10 mm, 100 mm/s, 1000 mm/s²: 0.2 s.
    near(told(&format!("{ZERO}G00 X10 F6000")).time_s, 0.2);
    near(
        told(&format!("{ZERO}G1 X5 F6000")).time_s,
        0.141_421_356_237_309_5,
    );
    // The square loop at 60 mm/s: 1.534055 s, laid or not, and in inches.
    let loop_mm = "G1 X20 E.1 F3600\nY20 E.1\nX0 E.1\nY0 E.1";
    near(
        told(&format!("{ZERO}{loop_mm}")).time_s,
        1.534_055_416_164_492_4,
    );
    let inches = "G20 G91\nG1 X1 F100\nY1\nX-1\nY-1";
    let same = "G91\nG1 X25.4 F2540\nY25.4\nX-25.4\nY-25.4";
    near(
        told(&format!("{ZERO}{inches}")).time_s,
        told(&format!("{ZERO}{same}")).time_s,
    );
}

#[test]
fn the_class_caps_speed_between_lines_and_flow() {
    let travel = told(&format!("{ZERO}G0 X120 F60000"));
    near(travel.time_s, 120.0 / 120.0 + 0.12);
    assert_eq!(travel.slowed, 1);
    // 0.1 mm of filament a mm is 0.2405 mm³ a mm: 33.26 mm/s at 8 mm³/s.
    let v = 8.0 / (0.1 * std::f64::consts::PI * 1.75 * 1.75 / 4.0);
    near(
        told(&format!("{ZERO}G1 X100 E10 F3600")).time_s,
        100.0 / v + v / 1000.0,
    );
}

#[test]
fn the_filament_alone_goes_from_rest_to_rest_and_is_not_laid() {
    let told = told(&format!(
        "{ZERO}G1 X10 E1 F3600\nG1 E-2 F2400\nG0 X20 F7200\nG1 E2 F2400"
    ));
    // 2 mm at 40 mm/s and 1000 mm/s²: 0.05 + 0.04 s, twice.
    near(told.filament_alone_s, 0.18);
    near(told.filament_mm, 1.0);
    near(told.laid_filament_mm, 1.0);
    let pushed = retimed(&format!("{ZERO}G1 E10 F2400")).unwrap();
    let v = 8.0 / (std::f64::consts::PI * 1.75 * 1.75 / 4.0);
    near(pushed.filament_alone_s, 10.0 / v + v / 1000.0);
    assert!(pushed.laid_filament_mm <= 0.0);
}

#[test]
fn absolute_filament_and_presetting_tell_the_same_amount() {
    let relative = told(&format!("{ZERO}G1 X10 E1 F3600\nX20 E1"));
    let absolute = told(&format!("{ZERO}M82\nG1 X10 E1 F3600\nG92 E0\nX20 E1"));
    near(relative.filament_mm, 2.0);
    near(absolute.filament_mm, 2.0);
    near(relative.mass_g, 2.0 * 2.405_281_875 * 0.001_24);
    let by_g90 = told("G90\nG92 X0 Y0 Z0 E0\nG1 X10 E1 F3600\nX20 E2");
    near(by_g90.filament_mm, 2.0);
}

#[test]
fn dwells_and_heaters_wait() {
    let dwells = told(&format!("{ZERO}G4 P1500\nG04 S2\nG0 X10 F6000"));
    near(dwells.dwell_s, 3.5);
    near(dwells.time_s, 3.7);
    // Bed: (60 - 20) / 0.25 = 160 s; the nozzle, (210 - 20) / 1.6 = 118.75 s, warms meanwhile.
    let warm = told(&format!(
        "{ZERO}M140 S60\nM104 S210\nM190 S60\nM109 S210\nG0 X10 F6000"
    ));
    near(warm.heating_s, 160.0);
    assert_eq!((warm.nozzle_c, warm.bed_c), (Some(210.0), Some(60.0)));
}

#[test]
fn arcs_take_their_length_and_never_more_than_their_acceleration() {
    // A full round of radius 2 mm at 1000 mm/s²: not faster than sqrt(a r) = 44.7 mm/s.
    let round = told(&format!("{ZERO}G3 X0 Y0 I2 E.2 F3600"));
    let way = std::f64::consts::TAU * 2.0;
    assert!(round.time_s > way / 44.73 && round.time_s < way / 44.73 + 0.1);
    near(round.laid.unwrap().size_mm()[0], 4.0);
    // A large one at 20 mm/s: its length over its speed and one start and stop.
    let large = told(&format!("{ZERO}G2 X20 Y20 I20 J0 F1200"));
    near(large.time_s, 10.0 * std::f64::consts::PI / 20.0 + 0.02);
    let inches = told(&format!("{ZERO}G20 G91\nG2 X1 Y1 I1 F60"));
    near(
        inches.time_s,
        25.4 * std::f64::consts::FRAC_PI_2 / 25.4 + 0.0254,
    );
    let other = told(&format!("{ZERO}G18\nG2 X20 Y20 I20 J0 F1200\nG1 X0 Y0"));
    assert_eq!((other.not_timed, count(&other, "arc not timed")), (1, 1));
}

#[test]
fn layers_are_heights_at_which_something_is_laid() {
    let told = told(&format!(
        "{ZERO}G1 Z.2 F600\nG1 X10 E.3\nG0 Z.6\nG0 Z.4\nG1 X0 E.3\nG1 X10 E.3\nG1 X20 Z.5 E.3"
    ));
    assert_eq!(told.layers, 2);
    assert!(told.climbing_mm > 10.0 && told.climbing_mm < 10.1);
    let laid = told.laid.unwrap();
    near(laid.high_mm[0], 20.0);
    near(laid.low_mm[2], 0.2);
}

#[test]
fn strange_words_are_counted_and_never_used() {
    let told = told(&format!(
        "{ZERO}M204 S9000\nM106 S255\nM106 X99\nSET_LIMIT V=5\nT1\nG28\nG1 X10 F600\nG1 X20 A5\nM117 X5 done"
    ));
    for (word, times) in [
        ("M204", 1),
        ("M106", 2),
        ("SET_LIMIT", 1),
        ("T1", 1),
        ("G28", 1),
    ] {
        assert_eq!(count(&told, word), times, "{word}");
    }
    assert_eq!((count(&told, "A"), count(&told, "M117")), (1, 1));
    // Behind G28 nobody knows where the head is: the move after it has no length.
    assert_eq!((told.not_timed, told.moves), (1, 1));
    near(told.time_s, 1.0 + 0.01);
}

#[test]
fn a_program_beyond_the_bed_or_too_hot_is_told() {
    let told = told(&format!(
        "{ZERO}M104 S260\nM140 S90\nG1 X160 E5 F3600\nG0 Y-3"
    ));
    let codes: Vec<_> = told.findings.iter().map(ProgramFinding::code).collect();
    let expected = [
        "larger-than-bed",
        "outside-bed",
        "outside-bed",
        "nozzle-too-hot",
        "bed-too-hot",
    ];
    assert_eq!(codes, expected);
    let hot = ProgramFinding::TooHot {
        heater: Heater::Nozzle,
        asked_c: 260.0,
        limit_c: 245.0,
    };
    assert!(told.findings.contains(&hot));
}

#[test]
fn what_is_no_program_is_refused() {
    assert_eq!(retimed("PK\0\0"), Err(RetimeError::Binary { at_byte: 2 }));
    for text in [
        "",
        "facet normal 0 0 1\nvertex 1 2 3",
        "v 1 2 3\nf 1 2 3",
        "G1",
        "M104 S200",
        "G4 S5",
    ] {
        assert!(
            matches!(retimed(text), Err(RetimeError::NoMotion { .. })),
            "{text}"
        );
    }
    let inverse = retimed("G93\nG1 X1 F1");
    assert!(matches!(
        inverse,
        Err(RetimeError::FeedMode { line: 1, .. })
    ));
}

#[test]
fn nothing_behind_the_end_counts_and_wrong_checksums_are_counted() {
    let told = told(&format!("{ZERO}N1 G1 X10 F600*77\nM30\nG1 X100\nM999"));
    assert_eq!((told.moves, told.checksums_wrong), (1, 1));
    assert!(told.words.is_empty());
}
