//! Layers drawn by hand, with what a shop teacher would say of each.

use clipper2_rust::{FillRule, Path64};
use partpledge_catalogue::Warping;
use partpledge_mesh::{Mesh, facts};
use partpledge_sections::outlines::to_point;
use partpledge_sections::{Outlines, Section};

use super::*;
use crate::{Limits, Plastic, Subject, guess_unit, judge};

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
        duplicate_place_mm: None,
        unit: guess_unit([30.0, 30.0, 10.0], None, 250.0),
        limits,
        plastic: None,
        united_mm3: None,
        beds: &[],
        beds_as_it_stands: None,
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
            .to_string()
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
            assert_eq!(wall.why.to_string().contains("left out"), gone, "{thick}");
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
            let why = text.why.to_string();
            assert!(why.contains("5 strokes"), "{why}");
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

/// What is found on layers of a material that warps.
fn found_in_plastic(parts: &[(usize, Outlines)], plastic: Plastic) -> Vec<Finding> {
    let sections = stack(parts);
    let mesh = Mesh {
        vertices: vec![
            [0.0; 3],
            [30.0, 0.0, 0.0],
            [0.0, 30.0, 0.0],
            [1.0, 1.0, 10.0],
        ],
        triangles: vec![[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]],
    };
    judge(&Subject {
        mesh: &mesh,
        facts: &facts(&mesh, 4),
        repaired: None,
        degenerate_dropped: 0,
        duplicates_dropped: 0,
        duplicate_place_mm: None,
        unit: guess_unit([30.0, 30.0, 10.0], None, 250.0),
        limits: Limits::usual(0.45, LAYER),
        plastic: Some(plastic),
        united_mm3: None,
        beds: &[],
        beds_as_it_stands: None,
        up: [0.0, 0.0, 1.0],
        cut: Some(Cut {
            sections: &sections,
            rotation: UPRIGHT,
            drop_mm: 0.0,
        }),
    })
}

fn plastic(warping: Warping) -> Plastic {
    Plastic {
        warping,
        density_g_mm3: 0.00124,
        infill_share: 0.2,
        infill_mm3_s: 12.0,
        walls_mm: 0.9,
    }
}

#[test]
fn square_corners_of_a_long_foot_lift_only_where_the_plastic_shrinks() {
    let square = |side: f64| all(&[rect(0.0, 0.0, side, 40.0)]);
    let cases = [
        (Warping::High, 100.0, true),
        (Warping::High, 50.0, false),
        (Warping::Moderate, 100.0, false),
        (Warping::Moderate, 150.0, true),
        (Warping::Low, 200.0, false),
    ];
    for (warping, side, told) in cases {
        let found = found_in_plastic(&[(4, square(side))], plastic(warping));
        assert_eq!(
            codes(&found).contains(&"warping-corner"),
            told,
            "{warping:?} {side}"
        );
    }
    let found = found_in_plastic(&[(4, square(100.0))], plastic(Warping::High));
    let corner = only(&found, "warping-corner");
    near(corner.measured, 100.0, 1e-6);
    let [x, y, _] = corner.place_mm.unwrap();
    assert!(
        (x.abs() < 1e-6 || (x - 100.0).abs() < 1e-6) && (y.abs() < 1e-6 || (y - 40.0).abs() < 1e-6)
    );
}

#[test]
fn round_corners_do_not_lift() {
    let rounded = clipper2_rust::inflate_paths_64(
        &all(&[rect(10.0, 10.0, 80.0, 20.0)]),
        100_000.0,
        clipper2_rust::JoinType::Round,
        clipper2_rust::EndType::Polygon,
        2.0,
        100.0,
    );
    let found = found_in_plastic(&[(4, rounded)], plastic(Warping::High));
    assert!(!codes(&found).contains(&"warping-corner"));
}

#[test]
fn a_thick_block_is_told_what_a_hollow_saves() {
    let side = 100.0;
    let block = all(&[rect(0.0, 0.0, side, side)]);
    let found = found_in_plastic(&[(500, block.clone())], plastic(Warping::Low));
    let told = only(&found, "solid-block");
    // By hand: 92 mm square, 96 high, less a hip roof (a pyramid's worth of 46 mm), times 0.2;
    // less four sides 96 high, 0.9 thick, of which 0.2 was filled before.
    let hollow = 92.0_f64.powi(2) * (96.0 - 46.0) + 92.0_f64.powi(2) * 46.0 / 3.0;
    let saved = 0.2 * hollow - 0.8 * 0.9 * 4.0 * 92.0 * 96.0;
    near(told.measured, saved * 0.00124, 0.05 * saved * 0.00124);
    let minutes = saved / 12.0 / 60.0;
    let why = told.why.to_string();
    assert!(minutes > 90.0 && why.contains("hours"), "{why}");
    let small = all(&[rect(0.0, 0.0, 40.0, 40.0)]);
    assert!(
        !codes(&found_in_plastic(&[(200, small)], plastic(Warping::Low))).contains(&"solid-block")
    );
}

/// A box 40 mm square with a hollow 30 mm square under a flat roof, and a hole of this width from
/// the hollow out through one side.
fn hollow_box(way_in: f64) -> Vec<(usize, Outlines)> {
    let outer = rect(0.0, 0.0, 40.0, 40.0);
    let mut inner = rect(5.0, 5.0, 30.0, 30.0);
    inner.reverse();
    let ring = all(&[outer.clone(), inner]);
    let hole = all(&[rect(33.0, 20.0 - way_in / 2.0, 8.0, way_in)]);
    let open = without(&ring, &hole);
    let high = partpledge_units::cast::round_usize(way_in / LAYER).unwrap();
    vec![
        (10, all(std::slice::from_ref(&outer))),
        (high, open),
        (120 - high, ring),
        (10, all(&[outer])),
    ]
}

#[test]
fn supports_in_a_hollow_are_trapped_unless_a_hand_can_reach_in() {
    for (way_in, told) in [(0.0, true), (3.0, true), (12.0, false), (20.0, false)] {
        let found = found(&hollow_box(way_in));
        assert!(codes(&found).contains(&"overhang"), "{:?}", codes(&found));
        assert_eq!(codes(&found).contains(&"trapped-support"), told, "{way_in}");
    }
}

#[test]
fn a_shelf_outside_is_never_trapped() {
    let stem = all(&[rect(0.0, 0.0, 10.0, 10.0)]);
    let top = all(&[rect(0.0, 0.0, 40.0, 10.0)]);
    let found = found(&[(60, stem), (10, top)]);
    assert!(codes(&found).contains(&"overhang") && !codes(&found).contains(&"trapped-support"));
}

#[test]
fn what_hangs_all_round_is_pointed_at_on_the_ring_and_not_in_its_middle() {
    let stem = all(&[round(0.0, 0.0, 20.0)]);
    let flange = all(&[round(0.0, 0.0, 36.0)]);
    let [x, y, _] = only(&found(&[(30, stem), (10, flange)]), "overhang")
        .place_mm
        .unwrap();
    assert!((10.0..=18.0).contains(&x.hypot(y)), "{x} {y}");
}

#[test]
fn a_part_finer_than_a_line_is_blocked_and_one_fine_layer_is_not() {
    let layers = |wide: f64| stack(&[(30, all(&[rect(0.0, 0.0, wide, 0.4)]))]);
    let upright = |sections: &[Section]| found_in(sections, UPRIGHT, 0.0);
    let found = upright(&layers(0.4));
    let fine = found
        .iter()
        .find(|finding| finding.code == "finer-than-line")
        .unwrap();
    assert_eq!(fine.severity, crate::Severity::Blocking);
    assert_eq!(found[0].code, "finer-than-line", "what blocks comes first");
    assert!((fine.measured.unwrap() - 0.4).abs() < 0.01 && fine.limit == Some(0.45));
    let long = |sections: &[Section]| {
        upright(sections)
            .iter()
            .any(|f| f.code == "finer-than-line")
    };
    // A wall as long as this gets a line, thinner than drawn wide; half a line is none.
    assert!(!long(&layers(40.0)));
    let hair = all(&[rect(0.0, 0.0, 40.0, 0.2)]);
    assert!(long(&stack(&[(30, hair.clone())])));
    assert!(!long(&stack(&[
        (30, hair),
        (1, all(&[rect(0.0, 0.0, 0.45, 0.45)]))
    ])));
}
