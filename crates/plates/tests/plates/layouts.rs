//! Layouts judged from outside: by exact polygon tests that share nothing with the search.

use crate::support::verify::verify;
use partpledge_plates::{
    Bed, Effort, Item, LayoutError, Nest, Outline, Room, TallGap, capacity, layout, pack,
};
use proptest::prelude::*;

const BED: Bed = Bed {
    size_mm: [250.0, 210.0],
    clearance_mm: 3.0,
    edge_mm: 3.0,
};

fn mm(points: &[[f64; 2]]) -> Outline {
    points
        .iter()
        .map(|p| p.map(|v| partpledge_units::cast::round_i64(v * 10_000.0).expect("a number")))
        .collect()
}

fn item(name: &str, outline: Outline, copies: usize) -> Item {
    Item {
        name: name.to_owned(),
        outlines: vec![outline],
        copies,
        ..Item::default()
    }
}

fn angle_piece(side: f64, arm: f64) -> Outline {
    mm(&[
        [0.0, 0.0],
        [side, 0.0],
        [side, arm],
        [arm, arm],
        [arm, side],
        [0.0, side],
    ])
}

fn disc(radius: f64, corners: i32) -> Outline {
    let at = |i: i32| (f64::from(i) / f64::from(corners) * std::f64::consts::TAU).sin_cos();
    mm(&(0..corners)
        .map(|i| [radius * at(i).1, radius * at(i).0])
        .collect::<Vec<_>>())
}

/// How many boxes of the outline's size a bed takes in straight rows, the better way round.
fn boxes(outline: &Outline, bed: &Bed) -> usize {
    let side = |k: usize| {
        let values = outline.iter().map(|p| p[k]);
        partpledge_units::cast::int_f64(
            values.clone().max().expect("a corner") - values.min().expect("a corner"),
        ) / 10_000.0
    };
    let along = |part: f64, room: f64| {
        let n = ((room - bed.clearance_mm) / (part + bed.clearance_mm) + 1e-9).floor();
        partpledge_units::cast::round_usize(n).expect("a number")
    };
    let [w, d] = bed.size_mm;
    (along(side(0), w) * along(side(1), d)).max(along(side(1), w) * along(side(0), d))
}

#[test]
fn angle_pieces_interlock_better_than_their_boxes() {
    for (side, arm) in [(30.0, 8.0), (50.0, 10.0), (60.0, 25.0)] {
        let outline = angle_piece(side, arm);
        let by_box = boxes(&outline, &BED);
        let by_outline =
            capacity(&item("angle", outline, 1), &BED, 500, Effort::default()).unwrap();
        println!("angle {side} x {arm}: {by_outline} by outline, {by_box} by box");
        assert!(
            by_outline > by_box,
            "angle {side} x {arm}: {by_outline} by outline, {by_box} by box"
        );
    }
}

#[test]
fn squares_and_discs_are_laid_no_worse_than_in_rows() {
    for (name, outline) in [
        (
            "square 30",
            mm(&[[0.0, 0.0], [30.0, 0.0], [30.0, 30.0], [0.0, 30.0]]),
        ),
        (
            "bar 80 x 12",
            mm(&[[0.0, 0.0], [80.0, 0.0], [80.0, 12.0], [0.0, 12.0]]),
        ),
        ("disc 40", disc(20.0, 90)),
        ("triangle 40", mm(&[[0.0, 0.0], [40.0, 0.0], [0.0, 40.0]])),
    ] {
        let by_box = boxes(&outline, &BED);
        let found = capacity(&item(name, outline, 1), &BED, 500, Effort::default()).unwrap();
        println!("{name}: {found} by outline, {by_box} by box");
        assert!(
            found >= by_box,
            "{name}: {found} by outline, {by_box} by box"
        );
    }
}

#[test]
fn a_mixed_job_keeps_its_clearance_and_carries_every_copy_once() {
    let items = [
        item("angle", angle_piece(60.0, 12.0), 9),
        item("disc", disc(21.0, 120), 11),
        item(
            "plate",
            mm(&[[0.0, 0.0], [110.0, 0.0], [110.0, 70.0], [0.0, 70.0]]),
            3,
        ),
        item("none", disc(5.0, 20), 0),
    ];
    let plates = layout(&items, &BED, Effort::default()).unwrap();
    verify(&items, &BED, &plates);
    assert!(plates.len() <= 2, "{} plates", plates.len());
    assert_eq!(layout(&items, &BED, Effort::default()).unwrap(), plates);
}

#[test]
fn a_part_as_large_as_the_bed_allows_fits_and_one_a_hair_larger_does_not() {
    let sized = |w: f64, d: f64| item("lid", mm(&[[0.0, 0.0], [w, 0.0], [w, d], [0.0, d]]), 2);
    let plates = layout(&[sized(244.0, 204.0)], &BED, Effort::default()).unwrap();
    verify(&[sized(244.0, 204.0)], &BED, &plates);
    assert_eq!(plates.len(), 2);
    let error = layout(
        &[sized(10.0, 10.0), sized(244.01, 204.0)],
        &BED,
        Effort::default(),
    )
    .unwrap_err();
    assert!(
        matches!(&error, LayoutError::TooLarge { item: 1, name, .. } if name == "lid"),
        "{error}"
    );
    assert_eq!(
        capacity(&sized(244.01, 204.0), &BED, 5, Effort::default()),
        Ok(0)
    );
}

#[test]
fn a_long_part_lies_across_the_bed() {
    let rod = item(
        "rod",
        mm(&[[0.0, 0.0], [290.0, 0.0], [290.0, 10.0], [0.0, 10.0]]),
        1,
    );
    let plates = layout(std::slice::from_ref(&rod), &BED, Effort::default()).unwrap();
    verify(&[rod], &BED, &plates);
}

#[test]
fn a_part_in_two_pieces_with_a_hole_is_kept_whole() {
    let ring = vec![disc(15.0, 60), disc(10.0, 60).into_iter().rev().collect()];
    let far: Outline = disc(6.0, 30)
        .into_iter()
        .map(|[x, y]| [x + 400_000, y])
        .collect();
    let outlines = ring.into_iter().chain([far]).collect();
    let items = [Item {
        name: "pair".to_owned(),
        outlines,
        copies: 7,
        ..Item::default()
    }];
    verify(
        &items,
        &BED,
        &layout(&items, &BED, Effort::default()).unwrap(),
    );
}

#[test]
fn many_plates_of_one_part_are_counted_like_its_capacity() {
    let part = item("angle", angle_piece(50.0, 10.0), 130);
    let one = capacity(&part, &BED, 130, Effort::default()).unwrap();
    let plates = layout(std::slice::from_ref(&part), &BED, Effort::default()).unwrap();
    verify(&[part], &BED, &plates);
    assert_eq!(plates.len(), 130_usize.div_ceil(one));
    let full = item("angle", angle_piece(50.0, 10.0), one);
    assert_eq!(layout(&[full], &BED, Effort::default()).unwrap().len(), 1);
}

#[test]
fn beds_and_clearances_that_cannot_be_are_named() {
    let tile = [item("tile", angle_piece(30.0, 8.0), 1)];
    let code = |size_mm, clearance_mm| {
        layout(
            &tile,
            &Bed {
                size_mm,
                clearance_mm,
                edge_mm: clearance_mm,
            },
            Effort::default(),
        )
        .unwrap_err()
        .code()
    };
    assert_eq!(code([0.0, 200.0], 2.0), "bad-bed");
    assert_eq!(code([f64::NAN, 200.0], 2.0), "bad-bed");
    assert_eq!(code([200.0, 200.0], -1.0), "bad-clearance");
}

#[test]
fn tiny_parts_huge_beds_and_no_clearance_are_laid_out_too() {
    for (side, size_mm, clearance_mm) in [
        (0.01, [180.0, 180.0], 0.0),
        (0.4, [1.0, 1.0], 0.3),
        (900.0, [9_999.0, 5_000.0], 900.0),
        (100.0, [100.0, 100.0], 0.0),
    ] {
        let bed = Bed {
            size_mm,
            clearance_mm,
            edge_mm: clearance_mm,
        };
        let items = [item(
            "square",
            mm(&[[0.0, 0.0], [side, 0.0], [side, side], [0.0, side]]),
            3,
        )];
        verify(
            &items,
            &bed,
            &layout(&items, &bed, Effort::default()).unwrap(),
        );
    }
}

/// A star-shaped outline: corners at rising angles, at any distance; concave as a rule.
fn star() -> impl Strategy<Value = Outline> {
    prop::collection::vec(4.0..40.0_f64, 3..14).prop_map(|reach| {
        let n = reach.len() as f64;
        let corner = |(i, r): (usize, f64)| {
            let (sin, cos) = (i as f64 / n * std::f64::consts::TAU).sin_cos();
            [r * cos, r * sin]
        };
        mm(&reach
            .into_iter()
            .enumerate()
            .map(corner)
            .collect::<Vec<_>>())
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn random_concave_parts_keep_their_clearance(
        parts in prop::collection::vec((star(), 1..6_usize), 1..5),
        clearance_mm in 0.0..6.0_f64,
    ) {
        let bed = Bed { size_mm: [180.0, 160.0], clearance_mm, edge_mm: clearance_mm };
        let items: Vec<Item> = parts
            .into_iter()
            .enumerate()
            .map(|(i, (outline, copies))| item(&format!("star {i}"), outline, copies))
            .collect();
        let plates = layout(&items, &bed, Effort { spots: 900, ..Effort::default() }).unwrap();
        verify(&items, &bed, &plates);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4))]

    /// Asked for one number after the other, more and fewer, parts lie as if each were asked for alone.
    #[test]
    fn parts_made_ready_once_lie_as_if_each_number_were_laid_out_anew(
        outlines in prop::collection::vec(star(), 1..4),
        asked in prop::collection::vec(prop::collection::vec(0..16_usize, 3), 5),
        tall in any::<bool>(),
    ) {
        let bed = Bed { size_mm: [140.0, 120.0], clearance_mm: 2.0, edge_mm: 2.0 };
        let tall = tall.then_some(TallGap { above_mm: 20.0, gap_mm: 9.0 });
        let room = Room { bed, plates: None, tall };
        let effort = Effort { spots: 150, ..Effort::default() };
        let of = |copies: &[usize]| -> Vec<Item> {
            let each = outlines.iter().zip(copies).zip([10.0, 30.0, 40.0]);
            each.map(|((outline, &copies), height_mm)| Item {
                height_mm,
                ..item("star", outline.clone(), copies)
            })
            .collect()
        };
        let mut nest = Nest::new(&of(&[1; 3]), &room, effort).unwrap();
        for copies in &asked {
            let copies = &copies[..outlines.len()];
            let plates = pack(&of(copies), &[room], effort).unwrap().plates;
            let first = plates.first().map(|plate| &plate.layout);
            let one = first.filter(|_| plates.len() == 1).map(|first| first.used_mm);
            prop_assert_eq!(nest.on_one(copies), one, "{:?}", copies);
            let few = nest.on_few(copies);
            prop_assert_eq!(
                few.map(|few| (few.plates, few.on_first, few.used_mm)),
                first.map(|first| (plates.len(), first.placements.len(), first.used_mm)),
                "{:?}", copies
            );
        }
    }
}

#[test]
fn without_a_gap_to_the_edge_parts_lie_right_at_it() {
    let side = [[0.0, 0.0], [100.0, 0.0], [100.0, 100.0], [0.0, 100.0]];
    let tiles = [item("tile", mm(&side), 4)];
    let plates = |edge_mm| {
        let bed = Bed {
            size_mm: [204.0, 204.0],
            clearance_mm: 3.0,
            edge_mm,
        };
        let plates = layout(&tiles, &bed, Effort::default());
        plates.inspect(|plates| verify(&tiles, &bed, plates))
    };
    assert_eq!(plates(0.0).expect("it fits").len(), 1);
    assert_eq!(plates(3.0).expect("one fits a plate").len(), 4);
    assert_eq!(plates(-1.0).unwrap_err().code(), "bad-edge");
}
