//! The strong search judged from outside: nothing lost, nothing too close, the same for the same seed,
//! and never worse for more effort.

#![expect(clippy::unwrap_used, reason = "helpers of tests may fail like tests")]

use crate::support::verify::verify;
use partpledge_plates::{
    Bed, Effort, Item, LayoutError, Outline, Packed, Placement, Room, TallGap, Turns, layout, pack,
    strip,
};
use partpledge_units::cast::{int_f64, round_i64};
use proptest::prelude::*;

const BED: Bed = Bed {
    size_mm: [120.0, 100.0],
    clearance_mm: 2.0,
    edge_mm: 2.0,
};

fn effort(trials: u64) -> Effort {
    Effort {
        spots: 300,
        trials,
        seed: 7,
    }
}

fn mm(points: &[[f64; 2]]) -> Outline {
    points
        .iter()
        .map(|p| p.map(|v| round_i64(v * 10_000.0).unwrap()))
        .collect()
}

fn rectangle(width: f64, depth: f64, copies: usize) -> Item {
    Item {
        name: format!("{width} x {depth}"),
        outlines: vec![mm(&[
            [0.0, 0.0],
            [width, 0.0],
            [width, depth],
            [0.0, depth],
        ])],
        copies,
        ..Item::default()
    }
}

fn room(width: f64, depth: f64, plates: Option<usize>) -> Room {
    Room {
        bed: Bed {
            size_mm: [width, depth],
            clearance_mm: 2.0,
            edge_mm: 2.0,
        },
        plates,
        tall: None,
    }
}

/// A star-shaped outline: corners at rising angles, at any distance; concave as a rule.
fn star() -> impl Strategy<Value = Outline> {
    prop::collection::vec(4.0..30.0_f64, 3..12).prop_map(|reach| {
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

fn stars() -> impl Strategy<Value = Vec<Item>> {
    let part = (star(), 1..5_usize, any::<bool>());
    prop::collection::vec(part, 2..6).prop_map(|parts| {
        let item = |(i, (outline, copies, free)): (usize, (Outline, usize, bool))| Item {
            name: format!("star {i}"),
            outlines: vec![outline],
            copies,
            turns: if free {
                Turns::Any
            } else {
                Turns::Only(vec![0.0, 180.0])
            },
            height_mm: 0.0,
        };
        parts.into_iter().enumerate().map(item).collect()
    })
}

/// Copies by item over all plates.
fn counts(packed: &Packed, items: usize) -> Vec<usize> {
    let mut counts = vec![0; items];
    for placed in packed
        .plates
        .iter()
        .flat_map(|plate| &plate.layout.placements)
    {
        counts[placed.item] += 1;
    }
    counts
}

/// Corners of the first outline of an item where it lies, mm.
fn corners(items: &[Item], placed: &Placement) -> Vec<[f64; 2]> {
    let (sin, cos) = placed.rotation_deg.to_radians().sin_cos();
    items[placed.item].outlines[0]
        .iter()
        .map(|p| {
            let [x, y] = p.map(|v| int_f64(v) / 10_000.0);
            [
                x * cos - y * sin + placed.x_mm,
                x * sin + y * cos + placed.y_mm,
            ]
        })
        .collect()
}

fn gap(a: &[[f64; 2]], b: &[[f64; 2]]) -> f64 {
    let to_edge = |p: &[f64; 2], from: &[f64; 2], to: &[f64; 2]| {
        let along = [to[0] - from[0], to[1] - from[1]];
        let off = [p[0] - from[0], p[1] - from[1]];
        let square = along[0] * along[0] + along[1] * along[1];
        let t = ((off[0] * along[0] + off[1] * along[1]) / square).clamp(0.0, 1.0);
        (off[0] - t * along[0]).hypot(off[1] - t * along[1])
    };
    let one_way = |a: &[[f64; 2]], b: &[[f64; 2]]| {
        let edges = (0..b.len()).map(|i| (b[i], b[(i + 1) % b.len()]));
        edges
            .flat_map(|(from, to)| a.iter().map(move |p| to_edge(p, &from, &to)))
            .fold(f64::INFINITY, f64::min)
    };
    one_way(a, b).min(one_way(b, a))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn every_copy_is_there_once_apart_and_inside_and_more_effort_is_never_worse(
        items in stars(),
        edge_mm in prop::sample::select(vec![0.0, 2.0]),
    ) {
        let bed = Bed { edge_mm, ..BED };
        let mut fewest = usize::MAX;
        for trials in [0, 5_000, 40_000] {
            let plates = layout(&items, &bed, effort(trials)).unwrap();
            verify(&items, &bed, &plates);
            prop_assert!(plates.len() <= fewest, "{} plates after {fewest}", plates.len());
            fewest = plates.len();
        }
    }

    #[test]
    fn only_allowed_turns_are_used(items in stars()) {
        for plate in layout(&items, &BED, effort(20_000)).unwrap() {
            for placed in plate.placements {
                if let Turns::Only(list) = &items[placed.item].turns {
                    let near = |turn: &f64| (turn - placed.rotation_deg).abs() < 1e-9;
                    prop_assert!(list.iter().any(near), "{placed:?}");
                }
            }
        }
    }
}

/// Angle pieces and what may lie in their corners.
fn angles() -> Vec<Item> {
    let angle = mm(&[
        [0.0, 0.0],
        [60.0, 0.0],
        [60.0, 14.0],
        [14.0, 14.0],
        [14.0, 60.0],
        [0.0, 60.0],
    ]);
    vec![
        Item {
            name: "angle".to_owned(),
            outlines: vec![angle],
            copies: 9,
            ..Item::default()
        },
        rectangle(43.0, 41.0, 5),
        rectangle(20.0, 17.0, 9),
    ]
}

#[test]
fn the_same_seed_gives_the_same_bytes() {
    let items = angles();
    let once = layout(&items, &BED, effort(60_000)).unwrap();
    let again = layout(&items, &BED, effort(60_000)).unwrap();
    assert_eq!(format!("{once:?}"), format!("{again:?}"));
}

#[test]
fn a_strip_holds_every_copy_inside_its_length() {
    let items = angles();
    let used = |trials: u64| trials as f64 / 60_000.0;
    let found = strip(&items, (100.0, 2.0), 3, &used).unwrap().unwrap();
    let bed = Bed {
        size_mm: [found.length_mm, 100.0],
        clearance_mm: 2.0,
        edge_mm: 2.0,
    };
    let plate = partpledge_plates::Layout {
        placements: found.placements,
        used_mm: bed.size_mm,
    };
    verify(&items, &bed, &[plate]);
    // Bare areas: 9 x 1484, 5 x 1763 and 9 x 340 mm².
    assert!(
        found.length_mm < 25_231.0 / 100.0 / 0.6,
        "{} mm",
        found.length_mm
    );
}

#[test]
fn several_beds_are_filled_and_what_has_no_plate_is_told() {
    let items = [rectangle(90.0, 40.0, 9), rectangle(140.0, 20.0, 2)];
    let rooms = [room(100.0, 100.0, Some(2)), room(160.0, 60.0, Some(1))];
    let packed = pack(&items, &rooms, effort(20_000)).unwrap();
    let placed = counts(&packed, 2);
    for plate in &packed.plates {
        let bed = rooms[plate.room].bed;
        assert!((0..2).all(|k| plate.layout.used_mm[k] <= bed.size_mm[k] + 1e-6));
    }
    for (i, item) in items.iter().enumerate() {
        assert_eq!(placed[i] + packed.left_out[i], item.copies);
    }
    let of_room = |room: usize| {
        packed
            .plates
            .iter()
            .filter(|plate| plate.room == room)
            .count()
    };
    assert_eq!((of_room(0), of_room(1)), (2, 1));
    // Two of the square bed's plates hold two bars each; the long bed has the two long ones.
    assert_eq!(placed, [4, 2]);
    let error = pack(&[rectangle(170.0, 20.0, 1)], &rooms, effort(0)).unwrap_err();
    assert!(
        matches!(error, LayoutError::TooLarge { item: 0, .. }),
        "{error}"
    );
}

#[test]
fn only_pairs_of_high_parts_keep_the_wide_gap() {
    let high = |copies| Item {
        height_mm: 60.0,
        ..rectangle(30.0, 30.0, copies)
    };
    let low = |copies| Item {
        height_mm: 20.0,
        ..rectangle(25.0, 25.0, copies)
    };
    let tall = Some(TallGap {
        above_mm: 40.0,
        gap_mm: 20.0,
    });
    for trials in [0, 30_000] {
        let items = [high(6), low(12)];
        let rooms = [Room {
            tall,
            ..room(120.0, 120.0, None)
        }];
        let packed = pack(&items, &rooms, effort(trials)).unwrap();
        assert_eq!(counts(&packed, 2), [6, 12]);
        let mut least = [f64::INFINITY; 2];
        for plate in &packed.plates {
            let placed = &plate.layout.placements;
            for (i, a) in placed.iter().enumerate() {
                for b in &placed[..i] {
                    let both = a.item == 0 && b.item == 0;
                    let apart = gap(&corners(&items, a), &corners(&items, b));
                    assert!(
                        apart > if both { 19.999 } else { 1.999 },
                        "{apart} mm: {a:?} {b:?}"
                    );
                    least[usize::from(both)] = least[usize::from(both)].min(apart);
                }
            }
        }
        // The wide gap is not kept where it need not be.
        assert!(least[0] < 4.0, "{least:?}");
    }
    let without = pack(&[high(9)], &[room(120.0, 120.0, None)], effort(0)).unwrap();
    assert_eq!(without.plates.len(), 1);
    let bad = Some(TallGap {
        above_mm: 40.0,
        gap_mm: f64::NAN,
    });
    let rooms = [Room {
        tall: bad,
        ..room(120.0, 120.0, None)
    }];
    assert_eq!(
        pack(&[high(1)], &rooms, effort(0)).unwrap_err().code(),
        "bad-tall-gap"
    );
}

/// Ragged parts of all sizes by seeded dice.
fn ragged(seed: u64) -> Vec<Item> {
    let mut dice = partpledge_units::dice::Dice::seeded(seed);
    let part = |i: i32| {
        let size = 8.0 + 22.0 * dice.unit();
        let corner = |k: i32| {
            let (sin, cos) = (f64::from(k) / 7.0 * std::f64::consts::TAU).sin_cos();
            let reach = size * (0.35 + 0.65 * dice.unit());
            [reach * cos, reach * sin]
        };
        Item {
            name: format!("ragged {i}"),
            outlines: vec![mm(&(0..7).map(corner).collect::<Vec<_>>())],
            copies: 6,
            ..Item::default()
        }
    };
    (0..14).map(part).collect()
}

#[test]
fn the_strong_search_gets_by_with_fewer_plates() {
    let items = ragged(1);
    let greedy = layout(&items, &BED, effort(0)).unwrap();
    let strong = layout(&items, &BED, effort(200_000)).unwrap();
    verify(&items, &BED, &strong);
    println!("{} plates, then {}", greedy.len(), strong.len());
    assert!(strong.len() < greedy.len(), "{} plates", greedy.len());
}
