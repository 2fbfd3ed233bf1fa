//! Worked numbers of the reference sheet, and what must hold for any chain.

use partpledge_units::tolerance::close;
use proptest::prelude::*;

use super::*;

#[test]
fn worked_numbers_of_the_reference_sheet() {
    // checks/physics_worked.json, "trapezoid" (recomputed): L, v, a, entering, leaving, seconds.
    for (length, v, a, enter, leave, seconds) in [
        (100.0, 100.0, 1000.0, 0.0, 0.0, 1.1),
        (10.0, 100.0, 1000.0, 0.0, 0.0, 0.2),
        (5.0, 100.0, 1000.0, 0.0, 0.0, 0.141_421_356_237_309_5),
        (20.0, 60.0, 500.0, 10.0, 5.0, 0.425_416_666_666_666_67),
        (1.0, 50.0, 1000.0, 0.0, 0.0, 0.063_245_553_203_367_58),
        (200.0, 150.0, 3000.0, 20.0, 20.0, 1.370_888_888_888_888_8),
        (40.0, 100.0, 1000.0, 0.0, 0.0, 0.5),
    ] {
        let got = stretch_s(length, [enter, leave], v, a);
        assert!(
            close(got, seconds, 1e-12, 0.0),
            "{length} mm: {got} s, not {seconds}"
        );
    }
    // "junction" (recomputed): acceleration, deviation, turn in degrees, speed.
    for (a, d, turn, speed) in [
        (1000.0, 0.02, 5.0_f64, 144.890_628_739_538_2),
        (1000.0, 0.02, 45.0, 15.580_161_221_594_652),
        (1000.0, 0.02, 135.0, 3.521_120_288_833_584),
        (1000.0, 0.05, 90.0, 10.986_841_134_678_098),
        (3000.0, 0.02, 120.0, 7.745_966_692_414_833),
    ] {
        let got = corner_speed_mm_s(turn.to_radians().cos(), a, d);
        assert!(
            close(got, speed, 1e-9, 0.0),
            "{turn} degrees: {got} mm/s, not {speed}"
        );
    }
}

/// Lines of a golden file without its comment and heading.
fn golden(text: &str) -> Vec<Vec<f64>> {
    let lines = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    lines
        .map(|line| line.split(',').map(|cell| cell.parse().unwrap()).collect())
        .collect()
}

#[test]
fn every_trapezoid_and_corner_of_the_golden_files() {
    let trapezoids = golden(include_str!("../../../../golden/physics/trapezoids.csv"));
    let corners = golden(include_str!("../../../../golden/physics/corners.csv"));
    assert!(trapezoids.len() >= 7 && corners.len() >= 20);
    for row in trapezoids {
        let got = stretch_s(row[0], [row[3], row[4]], row[1], row[2]);
        assert!(close(got, row[5], 1e-12, 0.0), "{row:?}: {got}");
    }
    for row in corners {
        let got = corner_speed_mm_s(row[2].to_radians().cos(), row[0], row[1]);
        assert!(close(got, row[3], 1e-9, 1e-6), "{row:?}: {got}");
    }
}

#[test]
fn a_circle_cut_finely_is_no_faster_than_the_circle() {
    // Radius 2 mm at 500 mm/s²: no faster than sqrt(a r) = 31.6 mm/s all the way round.
    let limits = Limits {
        accel_mm_s2: 500.0,
        corner_deviation_mm: 0.05,
    };
    let circle: Vec<[f64; 2]> = (0..=720)
        .map(|k| (f64::from(k) * std::f64::consts::TAU / 720.0).sin_cos())
        .map(|(sin, cos)| [2.0 * cos, 2.0 * sin])
        .collect();
    let round_s = std::f64::consts::TAU * 2.0 / (500.0_f64 * 2.0).sqrt();
    assert!(polyline_s(&circle, 200.0, limits).unwrap() > round_s);
}

#[test]
fn a_straight_path_in_pieces_takes_as_long_as_in_one() {
    let limits = Limits {
        accel_mm_s2: 1000.0,
        corner_deviation_mm: 0.02,
    };
    let pieces: Vec<[f64; 2]> = (0..=50)
        .map(|k| [f64::from(k), 2.0 * f64::from(k)])
        .collect();
    let whole = rest_to_rest_s(50.0 * 5.0_f64.sqrt(), 80.0, 1000.0).unwrap();
    assert!(close(
        polyline_s(&pieces, 80.0, limits).unwrap(),
        whole,
        1e-9,
        0.0
    ));
}

#[test]
fn bad_limits_are_named() {
    assert_eq!(
        rest_to_rest_s(-1.0, 1.0, 1.0),
        Err(MoveTimeError::BadLength(-1.0))
    );
    assert_eq!(
        rest_to_rest_s(1.0, 0.0, 1.0),
        Err(MoveTimeError::BadLimit(0.0))
    );
    assert!(rest_to_rest_s(f64::NAN, 1.0, 1.0).is_err());
    let limits = Limits {
        accel_mm_s2: 1.0,
        corner_deviation_mm: -0.1,
    };
    assert_eq!(
        polyline_s(&[], 1.0, limits),
        Err(MoveTimeError::BadLimit(-0.1))
    );
    assert!(
        polyline_s(
            &[[f64::NAN, 0.0]],
            1.0,
            Limits {
                corner_deviation_mm: 0.0,
                ..limits
            }
        )
        .is_err()
    );
}

fn chains() -> impl Strategy<Value = Vec<Stretch>> {
    let stretch =
        ((-30.0..30.0_f64), (-30.0..30.0_f64), (5.0..200.0_f64)).prop_map(|(x, y, speed_mm_s)| {
            Stretch {
                by_mm: [x, y],
                speed_mm_s,
            }
        });
    prop::collection::vec(stretch, 1..40)
}

proptest! {
    #[test]
    fn time_never_falls_when_a_limit_is_lowered(
        chain in chains(), accel in 200.0..5000.0_f64, d in 0.005..0.1_f64, by in 0.2..1.0_f64,
    ) {
        let limits = Limits { accel_mm_s2: accel, corner_deviation_mm: d };
        let full = chain_s(&chain, limits);
        let slower: Vec<_> =
            chain.iter().map(|s| Stretch { speed_mm_s: s.speed_mm_s * by, ..*s }).collect();
        let slack = full * (1.0 - 1e-9);
        prop_assert!(chain_s(&slower, limits) >= slack);
        let lazy = Limits { accel_mm_s2: accel * by, ..limits };
        prop_assert!(chain_s(&chain, lazy) >= slack);
        let strict = Limits { corner_deviation_mm: d * by, ..limits };
        prop_assert!(chain_s(&chain, strict) >= slack);
    }

    #[test]
    fn time_never_falls_when_one_stretch_alone_is_slowed(
        chain in chains(), short in 0.001..1.0_f64, which in any::<prop::sample::Index>(),
        accel in 200.0..5000.0_f64, by in 0.05..1.0_f64,
    ) {
        let limits = Limits { accel_mm_s2: accel, corner_deviation_mm: 0.02 };
        // Long stretches, and such as are shorter than one braking way.
        for scale in [1.0, short, 0.01 * short] {
            let full: Vec<Stretch> =
                chain.iter().map(|s| Stretch { by_mm: s.by_mm.map(|c| c * scale), ..*s }).collect();
            let mut slow = full.clone();
            slow[which.index(full.len())].speed_mm_s *= by;
            prop_assert!(chain_s(&slow, limits) >= chain_s(&full, limits) * (1.0 - 1e-9));
        }
    }

    #[test]
    fn a_chain_is_never_slower_than_stopping_at_every_corner(
        chain in chains(), accel in 200.0..5000.0_f64,
    ) {
        let limits = Limits { accel_mm_s2: accel, corner_deviation_mm: 0.02 };
        let stopping: f64 = chain
            .iter()
            .map(|s| rest_to_rest_s(s.by_mm[0].hypot(s.by_mm[1]), s.speed_mm_s, accel).unwrap())
            .sum();
        let cruising: f64 =
            chain.iter().map(|s| s.by_mm[0].hypot(s.by_mm[1]) / s.speed_mm_s).sum();
        let got = chain_s(&chain, limits);
        prop_assert!(got <= stopping * (1.0 + 1e-9));
        prop_assert!(got >= cruising * (1.0 - 1e-9));
    }
}
