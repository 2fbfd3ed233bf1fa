//! Beds cut to pieces are put together again without waste, judged from outside.

use crate::support::verify::verify;
use partpledge_plates::{Bed, Effort, Item, Outline, Turns, layout};
use proptest::prelude::*;

const BED: Bed = Bed {
    size_mm: [100.0, 80.0],
    clearance_mm: 0.0,
    edge_mm: 0.0,
};
const UNITS: i64 = 10_000;

/// A bed cut from a point inside to points on its rim, in whole mm: `hub`, and where the cuts end,
/// along each side from its first corner. Corners of the bed are ends of cuts too.
fn fan(hub: [i64; 2], ends: [i64; 4]) -> Vec<Outline> {
    let corners = [[0, 0], [100, 0], [100, 80], [0, 80]];
    let along = [[1, 0], [0, 1], [-1, 0], [0, -1]];
    let rim: Vec<[i64; 2]> = (0..4)
        .flat_map(|side| {
            let step = |k: usize| corners[side][k] + along[side][k] * ends[side];
            [corners[side], [step(0), step(1)]]
        })
        .collect();
    (0..8)
        .map(|i| {
            [hub, rim[i], rim[(i + 1) % 8]]
                .map(|p| p.map(|v| v * UNITS))
                .to_vec()
        })
        .collect()
}

fn fans() -> impl Strategy<Value = Vec<Outline>> {
    let ends = (10..90_i64, 10..70_i64, 10..90_i64, 10..70_i64);
    let one = ((10..90_i64, 10..70_i64), ends)
        .prop_map(|((x, y), (a, b, c, d))| fan([x, y], [a, b, c, d]));
    prop::collection::vec(one, 1..4).prop_map(|beds| beds.concat())
}

/// The pieces turned by quarters, moved and in any order: nothing tells where they were.
fn shaken(pieces: Vec<Outline>, shake: &[(u8, i64, usize)], turns: &[f64]) -> Vec<Item> {
    let mut items: Vec<(usize, Item)> = Vec::new();
    for (i, mut outline) in pieces.into_iter().enumerate() {
        let (quarters, far, order) = shake[i % shake.len()];
        for point in &mut outline {
            for _ in 0..quarters {
                *point = [-point[1], point[0]];
            }
            *point = [point[0] + far, point[1] - 2 * far];
        }
        let item = Item {
            name: format!("piece {i}"),
            outlines: vec![outline],
            copies: 1,
            turns: Turns::Only(turns.to_vec()),
            height_mm: 0.0,
        };
        items.push((order, item));
    }
    items.sort_by_key(|(order, _)| *order);
    items.into_iter().map(|(_, item)| item).collect()
}

const STRONG: Effort = Effort {
    spots: 200,
    trials: 400_000,
    seed: 1,
};

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn beds_cut_to_pieces_are_put_together_again(
        pieces in fans(),
        shake in prop::collection::vec((0..4_u8, -500_000..500_000_i64, any::<usize>()), 24),
    ) {
        let beds = pieces.len() / 8;
        let items = shaken(pieces, &shake, &[0.0, 90.0, 180.0, 270.0]);
        let plates = layout(&items, &BED, STRONG).expect("all pieces fit the bed");
        verify(&items, &BED, &plates);
        prop_assert_eq!(plates.len(), beds);
    }
}

#[test]
fn pieces_that_fill_a_bed_by_area_alone_are_still_laid_out() {
    // A slab as wide as the bed and half as deep, and two triangles that make no such slab.
    let slab = vec![[0, 0], [100, 0], [100, 40], [0, 40]];
    let flat = vec![[0, 0], [100, 0], [50, 40]];
    let steep = vec![[0, 0], [50, 0], [25, 80]];
    let item = |outline: Outline| Item {
        name: "piece".into(),
        outlines: vec![outline.iter().map(|p| p.map(|v| v * UNITS)).collect()],
        copies: 1,
        turns: Turns::Only(vec![0.0, 180.0]),
        height_mm: 0.0,
    };
    let items = [slab, flat, steep].map(item);
    let effort = Effort {
        trials: 5_000,
        ..STRONG
    };
    let plates = layout(&items, &BED, effort).expect("each piece fits the bed");
    verify(&items, &BED, &plates);
    assert!(plates.len() > 1, "{} plates", plates.len());
}
