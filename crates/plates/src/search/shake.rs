//! Getting out of a dead end: two large copies change places, with what lies on them.

use super::field::Spot;
use super::separate::Search;

/// Copies whose hulls make up this share of all, largest first, are the large ones.
const LARGE: f64 = 0.6;

/// Swaps two large copies of different kinds; small ones whose middle lies in a swapped box go along.
pub(crate) fn swap_large(search: &mut Search<'_>) {
    let field = &search.field;
    let mut order: Vec<usize> = (0..field.many()).collect();
    order.sort_by(|&a, &b| {
        let area = |i: usize| field.kind_of(i).area_mm2;
        area(b).total_cmp(&area(a)).then(a.cmp(&b))
    });
    let all: f64 = order.iter().map(|&i| field.kind_of(i).area_mm2).sum();
    let mut sum = 0.0;
    let large: Vec<usize> = order
        .iter()
        .copied()
        .take_while(|&i| {
            let take = sum < LARGE * all;
            sum += field.kind_of(i).area_mm2;
            take
        })
        .collect();
    for _ in 0..20 {
        let [a, b] = [0, 1].map(|_| large[search.dice.below(large.len())]);
        if a != b && (field.kind_index(a) != field.kind_index(b) || large.len() < 3) {
            exchange(search, a, b);
            return;
        }
    }
}

fn exchange(search: &mut Search<'_>, a: usize, b: usize) {
    let mut spots = search.field.spots();
    let [at_a, at_b] = [spots[a], spots[b]];
    for (i, spot) in spots.iter_mut().enumerate() {
        let to = if i == a {
            Some((at_a, at_b))
        } else if i == b {
            Some((at_b, at_a))
        } else if lies_on(search, i, a) {
            Some((at_a, at_b))
        } else if lies_on(search, i, b) {
            Some((at_b, at_a))
        } else {
            None
        };
        if let Some((from, to)) = to {
            let moved = [0, 1].map(|k| spot.at[k] + to.at[k] - from.at[k]);
            if let Some(fits) = fitted(
                search,
                i,
                Spot {
                    berth: to.berth,
                    at: moved,
                    ..*spot
                },
            ) {
                *spot = fits;
            }
        }
    }
    search.put_all(&spots);
}

/// Whether the middle of the smaller copy `i` lies in the box of `large`.
fn lies_on(search: &Search<'_>, i: usize, large: usize) -> bool {
    let field = &search.field;
    let (spot, over) = (field.spot(i), field.spot(large));
    let (low, high) = field.kind_of(large).box_mm(over.turn);
    spot.berth == over.berth
        && field.kind_of(i).area_mm2 < 0.5 * field.kind_of(large).area_mm2
        && (0..2).all(|k| (over.at[k] + low[k]..over.at[k] + high[k]).contains(&spot.at[k]))
}

/// The spot, moved back onto its bed.
fn fitted(search: &Search<'_>, i: usize, spot: Spot) -> Option<Spot> {
    let [low, high] = search
        .field
        .range(search.field.kind_of(i), spot.berth, spot.turn)?;
    Some(Spot {
        at: [0, 1].map(|k| spot.at[k].clamp(low[k], high[k])),
        ..spot
    })
}
