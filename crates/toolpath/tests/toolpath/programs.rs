//! Our own lines written as a motion program and timed again take as long as the estimate says,
//! and nothing that is thrown at the reader makes it fall over.
#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use partpledge_catalogue::{Catalogue, PrinterClass, ProcessSheet};
use partpledge_formats::RawMesh;
use partpledge_mesh::weld;
use partpledge_sections::{Section, cut_layers};
use partpledge_testbed::parts;
use partpledge_toolpath::program::{Dialect, RetimeError, Retimed, Retiming, program};
use partpledge_toolpath::{LineKind, Paths, paths, time};
use partpledge_units::tolerance::close;
use proptest::prelude::*;
use rayon::prelude::*;

type Shape = (&'static str, fn() -> RawMesh);

const SHAPES: [Shape; 11] = [
    ("bracket", parts::bracket),
    ("wheel hub", parts::wheel_hub),
    ("gear plate", parts::gear_plate),
    ("hollow ball", parts::hollow_ball),
    ("sensor mount", parts::sensor_mount),
    ("cable clip", parts::cable_clip),
    ("hex spacer", parts::hex_spacer),
    ("axle washer", parts::axle_washer),
    ("motor plate", parts::motor_plate),
    ("bumper corner", parts::bumper_corner),
    ("teaching plate", parts::teaching_plate),
];

fn sections(shape: fn() -> RawMesh, sheet: &ProcessSheet) -> Vec<Section> {
    let mesh = weld(&shape(), 1.0).mesh;
    cut_layers(&mesh, sheet.first_layer_height_mm, sheet.layer_height_mm).unwrap()
}

fn retimed(text: &[u8], class: &PrinterClass, material: &str) -> Result<Retimed, RetimeError> {
    let catalogue = Catalogue::built_in();
    let material = catalogue.material(material).unwrap();
    let mut retiming = Retiming::new(class, material).unwrap();
    for piece in text.chunks(4099) {
        retiming.feed(piece)?;
    }
    retiming.finish()
}

/// Writes, times again, and holds every number against the estimate; the ratio of the times.
fn compare(laid: &Paths, sheet: &ProcessSheet, class: &PrinterClass, dialect: Dialect) -> f64 {
    let catalogue = Catalogue::built_in();
    let material = catalogue.material(&sheet.material).unwrap();
    let estimate = time(laid, sheet, class, material).unwrap();
    let text = program(laid, sheet, class, material, dialect).unwrap();
    let told = retimed(text.as_bytes(), class, &sheet.material).unwrap();
    let near = |got, expected, what| {
        assert!(
            close(got, expected, 0.005, 0.0),
            "{what}: {got} s, not {expected}"
        );
    };
    near(
        told.time_s,
        estimate.print_time_s + estimate.warmup_s,
        "time",
    );
    near(
        told.time_s - told.heating_s - class.levelling_s,
        estimate.print_time_s,
        "printing",
    );
    assert!(
        close(told.filament_mm, estimate.filament_mm, 1e-4, 0.0),
        "filament"
    );
    assert!(
        close(told.laid_filament_mm, estimate.filament_mm, 1e-4, 0.0),
        "laid"
    );
    assert!(close(told.mass_g, estimate.mass_g, 1e-4, 0.0), "mass");
    assert_eq!(
        told.layers,
        estimate.layer_s.iter().filter(|&&s| s > 0.0).count()
    );
    assert_eq!(told.words, [], "every word of ours is read");
    // The way to the first layer, and the one to its first line.
    assert_eq!((told.not_timed, told.cuts, told.checksums_wrong), (2, 0, 0));
    assert_eq!(told.nozzle_c, Some(material.nozzle_c));
    (told.time_s - told.heating_s - class.levelling_s) / estimate.print_time_s
}

#[test]
fn what_we_lay_takes_as_long_written_out_on_every_class_and_sheet() {
    let catalogue = Catalogue::built_in();
    let codes = [
        "pla-plain",
        "pla-coarse",
        "petg-plain",
        "asa-plain",
        "tpu-plain",
    ];
    let pairs: Vec<(Shape, &ProcessSheet)> = SHAPES
        .iter()
        .flat_map(|&shape| codes.map(|code| (shape, catalogue.sheet(code).unwrap())))
        .collect();
    let ratios: Vec<f64> = pairs
        .par_iter()
        .flat_map_iter(|&((name, shape), sheet)| {
            let laid = paths(&sections(shape, sheet), sheet);
            let able = catalogue
                .classes
                .iter()
                .filter(|c| c.takes(&sheet.material));
            able.map(move |class| {
                println!("{name}, {}, {}", sheet.code, class.code);
                compare(&laid, sheet, class, Dialect::Plain)
            })
            .collect::<Vec<_>>()
        })
        .collect();
    // Five classes take PLA on two sheets, four PETG, one ASA, three TPU.
    assert_eq!(ratios.len(), SHAPES.len() * (2 * 5 + 4 + 1 + 3));
    let worst = ratios.iter().map(|r| (r - 1.0).abs()).fold(0.0, f64::max);
    println!("{} programs, worst {worst:e} off", ratios.len());
    assert!(worst < 0.005);
}

#[test]
fn every_dialect_tells_the_same() {
    let catalogue = Catalogue::built_in();
    let (sheet, class) = (
        catalogue.sheet("pla-coarse").unwrap(),
        catalogue.class("swift").unwrap(),
    );
    let laid = paths(&sections(parts::cable_clip, sheet), sheet);
    for dialect in [
        Dialect::Plain,
        Dialect::Inches,
        Dialect::Incremental,
        Dialect::Numbered,
        Dialect::Packed,
    ] {
        let ratio = compare(&laid, sheet, class, dialect);
        assert!(close(ratio, 1.0, 1e-3, 0.0), "{dialect:?}: {ratio}");
    }
}

/// Times of one part with one limit lowered: by name, before and after must not fall.
fn slower(
    class: &PrinterClass,
    sheet: &ProcessSheet,
    limit: usize,
    by: f64,
) -> (PrinterClass, ProcessSheet) {
    let (mut class, mut sheet) = (class.clone(), sheet.clone());
    let lowered = match limit {
        0 => &mut class.accel_mm_s2,
        1 => &mut class.corner_deviation_mm,
        2 => &mut class.max_speed_mm_s,
        3 => &mut class.travel_speed_mm_s,
        4 => &mut class.max_flow_mm3_s,
        5 => &mut sheet.max_flow_mm3_s,
        6 => &mut sheet.wall_speed_mm_s,
        7 => &mut sheet.skin_speed_mm_s,
        8 => &mut sheet.infill_speed_mm_s,
        _ => &mut sheet.first_layer_speed_mm_s,
    };
    *lowered *= by;
    (class, sheet)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn no_estimate_and_no_program_is_faster_with_a_limit_lowered(
        shape in 0..5_usize, class in 0..5_usize, by in 0.05..1.0_f64,
        accel in 300.0..8000.0_f64, flow in 2.0..30.0_f64,
    ) {
        let catalogue = Catalogue::built_in();
        let sheet = ProcessSheet { min_layer_time_s: 0.0, ..catalogue.sheet("pla-coarse").unwrap().clone() };
        let shapes = [parts::cable_clip, parts::hex_spacer, parts::axle_washer, parts::gear_plate, parts::bracket];
        let class = PrinterClass {
            accel_mm_s2: accel, max_flow_mm3_s: flow, ..catalogue.classes[class].clone()
        };
        // The lowest layers and the walls, skins and infill above them are enough, and quick.
        let mut cut = sections(shapes[shape], &sheet);
        cut.truncate(12);
        let laid = paths(&cut, &sheet);
        let material = catalogue.material("PLA").unwrap();
        let full = time(&laid, &sheet, &class, material).unwrap();
        let text = program(&laid, &sheet, &class, material, Dialect::Packed).unwrap();
        let run_s = retimed(text.as_bytes(), &class, "PLA").unwrap().time_s;
        for limit in 0..10 {
            let (slow_class, slow_sheet) = slower(&class, &sheet, limit, by);
            let slow = time(&laid, &slow_sheet, &slow_class, material).unwrap();
            prop_assert!(slow.print_time_s >= full.print_time_s * (1.0 - 1e-12), "limit {limit}");
            for (layer, (a, b)) in full.layer_s.iter().zip(&slow.layer_s).enumerate() {
                prop_assert!(*b >= a * (1.0 - 1e-12), "limit {limit}, layer {layer}");
            }
            // The same program, on a class that can less.
            let slow_run_s = retimed(text.as_bytes(), &slow_class, "PLA").unwrap().time_s;
            prop_assert!(slow_run_s >= run_s * (1.0 - 1e-12), "limit {limit}, program");
        }
        prop_assert!(laid.length_mm(LineKind::Wall) > 0.0);
    }
}

/// A sound program of every word that is carried out.
const SOUND: &str = "%\n(made by hand)\nG21 G90 G17 G94\nM83\nM140 S60\nM104 S210\nM190 S60\n\
    G92 X0 Y0 Z0 E0\nG0 X10 Y10 Z.2 F7200\nG1 X40 E1 F1800\nY40 E1\nG2 X10 Y10 I-15 J-15 E2\n\
    G1 E-1 F2400\nG4 P200\nG0 X20 Y20\nG1 E1\nG20\nG91\nN7 G1 X.5 Y.25 E.01 F60\nG3 X.1 Y.1 J.1\n\
    M204 S800\nG28 X0\nSET_SOMETHING A=1\nT1\nM30\n";

proptest! {
    #[test]
    fn any_bytes_are_timed_or_refused(bytes in prop::collection::vec(any::<u8>(), 0..2000)) {
        check(&bytes);
    }

    #[test]
    fn words_in_any_order_are_timed_or_refused(
        words in prop::collection::vec("[GMTXYZEFIJPSRN*;(/ \n][-+.0-9]{0,6}[ \n]?", 0..200),
    ) {
        check(words.concat().as_bytes());
    }

    #[test]
    fn mangled_programs_are_timed_or_refused(
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>(), 0..3_u8), 1..30),
    ) {
        let mut text = SOUND.as_bytes().to_vec();
        for (place, byte, how) in changes {
            let at = place.index(text.len());
            match how {
                0 => text[at] = byte,
                1 => text.insert(at, byte),
                _ => {
                    let end = (at + usize::from(byte)).min(text.len());
                    let copied = text[at..end].to_vec();
                    text.splice(at..at, copied);
                }
            }
        }
        check(&text);
    }
}

#[test]
fn the_sound_program_is_sound() {
    let catalogue = Catalogue::built_in();
    let told = retimed(
        SOUND.as_bytes(),
        catalogue.class("standard").unwrap(),
        "PLA",
    )
    .unwrap();
    assert_eq!((told.moves, told.not_timed), (9, 0), "{told:?}");
    assert_eq!(told.words.len(), 4, "{:?}", told.words);
}

fn check(bytes: &[u8]) {
    crate::corpus::retime_promise::retime_and_check(bytes);
}
