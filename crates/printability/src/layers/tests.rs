//! Layers drawn by hand, with what a shop teacher would say of each.

use clipper2_rust::{FillRule, Path64};
use partpledge_mesh::{Mesh, facts};
use partpledge_sections::outlines::to_point;
use partpledge_sections::{Outlines, Section};

use super::*;
use crate::{Limits, Subject, guess_unit, judge};

const LAYER: f64 = 0.2;
const UPRIGHT: [f64; 9] = [1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0];

fn rect(x: f64, y: f64, w: f64, d: f64) -> Path64 {
    vec![
        to_point(x, y),
        to_point(x + w, y),
        to_point(x + w, y + d),
        to_point(x, y + d),
    ]
}

fn all(rects: &[Path64]) -> Outlines {
    clipper2_rust::union_subjects_64(&rects.to_vec(), FillRule::NonZero)
}

fn round(x: f64, y: f64, across: f64) -> Path64 {
    let corner = |i: i32| {
        let (sin, cos) = (f64::from(i) * std::f64::consts::TAU / 48.0).sin_cos();
        to_point(x + cos * across / 2.0, y + sin * across / 2.0)
    };
    (0..48).map(corner).collect()
}

/// Layers from the bed up: so many of each.
fn stack(parts: &[(usize, Outlines)]) -> Vec<Section> {
    let each = parts
        .iter()
        .flat_map(|(n, outlines)| std::iter::repeat_n(outlines, *n));
    (0..)
        .zip(each)
        .map(|(i, outlines)| Section {
            z_mm: LAYER * (f64::from(i) + 0.5),
            outlines: outlines.clone(),
            open_chains: 0,
        })
        .collect()
}

/// What is found on layers; the mesh beside them is a plain flat pyramid with nothing to say.
fn found_in(sections: &[Section], rotation: [f64; 9], drop_mm: f64) -> Vec<Finding> {
    let mesh = Mesh {
        vertices: vec![
            [0.0; 3],
            [30.0, 0.0, 0.0],
            [0.0, 30.0, 0.0],
            [1.0, 1.0, 10.0],
        ],
        triangles: vec![[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]],
    };
    let limits = Limits::usual(0.45, LAYER);
    judge(&Subject {
        mesh: &mesh,
        facts: &facts(&mesh, 4),
        repaired: None,
        degenerate_dropped: 0,
        duplicates_dropped: 0,
        unit: guess_unit([30.0, 30.0, 10.0], None, 250.0),
        limits,
        beds: &[],
        up: [0.0, 0.0, 1.0],
        cut: Some(Cut {
            sections,
            rotation,
            drop_mm,
        }),
    })
}

fn found(parts: &[(usize, Outlines)]) -> Vec<Finding> {
    found_in(&stack(parts), UPRIGHT, 0.0)
}

fn codes(found: &[Finding]) -> Vec<&'static str> {
    found.iter().map(|finding| finding.code).collect()
}

fn only(found: &[Finding], code: &str) -> Finding {
    let mut own = found.iter().filter(|finding| finding.code == code);
    let one = own
        .next()
        .unwrap_or_else(|| panic!("{code} among {:?}", codes(found)));
    assert!(own.next().is_none(), "{code} once");
    one.clone()
}

fn near(value: Option<f64>, wanted: f64, by: f64) {
    let value = value.unwrap();
    assert!((value - wanted).abs() <= by, "{value}, not {wanted}");
}

#[test]
fn a_block_and_a_steep_pyramid_have_nothing_to_say() {
    let block = all(&[rect(0.0, 0.0, 20.0, 20.0)]);
    assert_eq!(codes(&found(&[(50, block)])), Vec::<&str>::new());
    // Every layer 0.2 mm farther out on each side: 45 degrees.
    let grows: Vec<(usize, Outlines)> = (0..40)
        .map(|i| {
            let out = f64::from(i) * LAYER;
            (
                1,
                all(&[rect(-out, -out, 20.0 + 2.0 * out, 20.0 + 2.0 * out)]),
            )
        })
        .collect();
    assert_eq!(codes(&found(&grows)), Vec::<&str>::new());
}

#[test]
fn a_ledge_is_measured_and_placed() {
    let stem = all(&[rect(0.0, 0.0, 10.0, 10.0)]);
    for (out, told) in [(1.9, false), (2.2, true), (7.5, true), (40.0, true)] {
        let top = all(&[rect(0.0, 0.0, 10.0 + out, 10.0)]);
        let found = found(&[(20, stem.clone()), (10, top)]);
        assert_eq!(codes(&found).contains(&"overhang"), told, "{out}");
        if told {
            let ledge = only(&found, "overhang");
            near(ledge.measured, out, 0.02 * out + 0.05);
            let [x, y, z] = ledge.place_mm.unwrap();
            assert!((x - (10.0 + out / 2.0)).abs() < 0.1 && (y - 5.0).abs() < 0.1);
            assert!((z - 4.1).abs() < 1e-9, "the first layer of it");
        }
    }
}

#[test]
fn what_is_held_on_both_sides_is_a_bridge() {
    let legs = |span: f64| all(&[rect(0.0, 0.0, 5.0, 10.0), rect(5.0 + span, 0.0, 5.0, 10.0)]);
    for (span, told) in [(8.0, false), (9.8, false), (10.5, true), (24.0, true)] {
        let deck = all(&[rect(0.0, 0.0, 10.0 + span, 10.0)]);
        let found = found(&[(30, legs(span)), (5, deck)]);
        assert_eq!(codes(&found).contains(&"long-bridge"), told, "{span}");
        assert!(!codes(&found).contains(&"overhang"), "no ledge, {span}");
        if told {
            near(
                only(&found, "long-bridge").measured,
                span,
                0.03 * span + 0.1,
            );
        }
    }
}

#[test]
fn a_piece_that_starts_in_mid_air_is_named() {
    let base = all(&[rect(0.0, 0.0, 20.0, 20.0)]);
    let hook = all(&[rect(0.0, 0.0, 5.0, 20.0), rect(15.0, 5.0, 5.0, 5.0)]);
    let found = found(&[
        (10, all(&[rect(0.0, 0.0, 5.0, 20.0)])),
        (10, hook),
        (10, base),
    ]);
    let piece = only(&found, "starts-in-air");
    near(piece.measured, 2.1, 1e-9);
    assert!(
        piece
            .why
            .starts_with("A piece of the part starts in mid-air,")
    );
    // A hair's breadth from the wall it is one part with it: the outlines are only so exact.
    let touching = all(&[rect(0.0, 0.0, 5.0, 20.0), rect(5.02, 5.0, 5.0, 5.0)]);
    let joined = [(10, all(&[rect(0.0, 0.0, 5.0, 20.0)])), (10, touching)];
    assert!(!codes(&self::found(&joined)).contains(&"starts-in-air"));
}

#[test]
fn walls_are_held_against_two_lines() {
    let fin = |thick: f64| all(&[rect(0.0, 0.0, 20.0, 20.0), rect(20.0, 8.0, 15.0, thick)]);
    for (thick, told, gone) in [
        (0.3, true, true),
        (0.45, true, false),
        (0.7, true, false),
        (0.9, false, false),
        (2.0, false, false),
    ] {
        let found = found(&[(20, fin(thick))]);
        assert_eq!(codes(&found).contains(&"thin-wall"), told, "{thick}");
        if told {
            let wall = only(&found, "thin-wall");
            near(wall.measured, thick, 0.03);
            near(wall.limit, 0.9, 1e-9);
            assert_eq!(wall.why.contains("left out"), gone, "{thick}");
            assert!(wall.place_mm.unwrap()[0] > 20.0);
        }
    }
    // Seen in two layers only it is an edge, not a wall.
    let edge = [
        (20, all(&[rect(0.0, 0.0, 20.0, 20.0)])),
        (2, fin(0.3)),
        (20, all(&[rect(0.0, 0.0, 20.0, 20.0)])),
    ];
    assert!(!codes(&found(&edge)).contains(&"thin-wall"));
}

#[test]
fn gaps_narrower_than_a_line_grow_together() {
    let pair = |gap: f64| {
        all(&[
            rect(0.0, 0.0, 10.0, 20.0),
            rect(10.0 + gap, 0.0, 10.0, 20.0),
        ])
    };
    for (gap, told) in [(0.2, true), (0.4, true), (0.5, false), (3.0, false)] {
        let found = found(&[(20, pair(gap))]);
        assert_eq!(codes(&found).contains(&"narrow-gap"), told, "{gap}");
        if told {
            near(only(&found, "narrow-gap").measured, gap, 0.03);
        }
    }
}

#[test]
fn small_round_holes_are_told_and_square_ones_are_not_round() {
    let with = |hole: Path64| {
        let block = all(&[rect(0.0, 0.0, 20.0, 20.0)]);
        vec![(20, without(&block, &vec![hole]))]
    };
    for (across, told) in [(1.0, true), (1.9, true), (2.1, false), (8.0, false)] {
        let found = found(&with(round(10.0, 10.0, across)));
        assert_eq!(codes(&found).contains(&"small-hole"), told, "{across}");
        if told {
            near(only(&found, "small-hole").measured, across, 0.02);
        }
    }
    let square = found(&with(rect(9.0, 9.0, 1.5, 1.5)));
    assert!(!codes(&square).contains(&"small-hole"));
}

#[test]
fn places_are_told_in_the_parts_own_axes() {
    let (stem, top) = (
        all(&[rect(0.0, 0.0, 10.0, 10.0)]),
        all(&[rect(0.0, 0.0, 18.0, 10.0)]),
    );
    let sections = stack(&[(20, stem), (10, top)]);
    let upright = only(&found_in(&sections, UPRIGHT, 0.0), "overhang")
        .place_mm
        .unwrap();
    // A quarter turn about x takes own (x, y, z) to standing (x, -z, y), lowered by 3 mm.
    let turned = [1.0, 0.0, 0.0, 0.0, 0.0, -1.0, 0.0, 1.0, 0.0];
    let own = only(&found_in(&sections, turned, 3.0), "overhang")
        .place_mm
        .unwrap();
    let wanted = [upright[0], upright[2] + 3.0, -upright[1]];
    for k in 0..3 {
        assert!((own[k] - wanted[k]).abs() < 1e-9, "{own:?}, not {wanted:?}");
    }
}

#[test]
fn guesses_of_an_open_part_are_not_judged() {
    let mut sections = stack(&[(20, all(&[rect(0.0, 0.0, 20.0, 0.3)]))]);
    sections[3].open_chains = 1;
    assert_eq!(
        codes(&found_in(&sections, UPRIGHT, 0.0)),
        Vec::<&str>::new()
    );
}

#[test]
fn a_thin_upright_pin_is_told_and_a_stout_one_or_a_stud_is_not() {
    let base = all(&[rect(0.0, 0.0, 30.0, 30.0)]);
    for (across, high, told) in [
        (1.5, 30, true),
        (2.4, 40, true),
        (2.6, 40, false),
        (1.5, 8, false),
    ] {
        let pin = all(&[round(10.0, 12.0, across)]);
        let found = found(&[(10, base.clone()), (high, pin)]);
        assert_eq!(
            codes(&found).contains(&"thin-pin"),
            told,
            "{across} x {high}"
        );
        if told {
            let pin = only(&found, "thin-pin");
            near(pin.measured, across, 0.02);
            let [x, y, _] = pin.place_mm.unwrap();
            assert!((x - 10.0).abs() < 0.05 && (y - 12.0).abs() < 0.05);
        }
    }
}

/// Five upright strokes side by side, as of a line of letters.
fn strokes(wide: f64) -> Vec<Path64> {
    (0..5)
        .map(|i| rect(5.0 + 4.0 * f64::from(i), 10.0, wide, 6.0))
        .collect()
}

#[test]
fn fine_raised_lettering_is_told_once_and_not_as_walls() {
    let base = all(&[rect(0.0, 0.0, 30.0, 30.0)]);
    for (wide, told) in [(0.3, true), (0.4, true), (0.6, false), (1.2, false)] {
        let letters = all(&strokes(wide));
        let found = found(&[(10, base.clone()), (4, letters)]);
        assert_eq!(codes(&found).contains(&"fine-text"), told, "{wide}");
        assert!(!codes(&found).contains(&"thin-wall"), "{wide}");
        if told {
            let text = only(&found, "fine-text");
            near(text.measured, wide, 0.02);
            assert!(text.why.contains("5 strokes"), "{}", text.why);
        }
    }
}

#[test]
fn fine_lettering_cut_in_is_told() {
    let plate = rect(0.0, 0.0, 30.0, 30.0);
    let mut cut = vec![plate.clone()];
    cut.extend(strokes(0.3).into_iter().map(|mut path| {
        path.reverse();
        path
    }));
    let cut = clipper2_rust::union_subjects_64(&cut, FillRule::Positive);
    let found = found(&[(10, all(&[plate])), (3, cut)]);
    let text = only(&found, "fine-text");
    near(text.measured, 0.3, 0.02);
    assert!(
        !codes(&found).contains(&"narrow-gap"),
        "{:?}",
        codes(&found)
    );
}

#[test]
fn high_thin_fins_side_by_side_are_walls_and_no_lettering() {
    let base = all(&[rect(0.0, 0.0, 30.0, 30.0)]);
    let found = found(&[(10, base), (30, all(&strokes(0.4)))]);
    assert!(!codes(&found).contains(&"fine-text"));
    near(only(&found, "thin-wall").measured, 0.4, 0.02);
}
