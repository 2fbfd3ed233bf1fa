//! The best spot for one copy among all others: throws all over the beds and near by, then downhill.

use partpledge_units::dice::Dice;

use super::field::{Feeler, Field, Spot};
use super::kind::Kind;
use crate::Turns;

/// Throws all over the beds, and near where the copy is.
const THROWS: [usize; 2] = [50, 25];
/// The best so many go downhill.
const KEPT: usize = 3;
/// First and last step of the way down, as a share of a part's width: for the kept throws, then for
/// the best of them.
const STEPS: [[f64; 2]; 2] = [[0.25, 0.02], [0.01, 0.001]];
/// The same for turning, degrees.
const TURNS_DEG: [[f64; 2]; 2] = [[8.0, 1.0], [1.0, 0.05]];
/// Spread of turns near by, degrees.
const NEAR_DEG: f64 = 15.0;

/// Tries to lower the weighted loss of copy `i`. Gives the best spot seen and its cost, which may be
/// the one where it is.
pub(crate) fn settle(
    field: &Field<'_>,
    feeler: &mut Feeler,
    dice: &mut Dice,
    (i, weights): (usize, &[f32]),
    now: f32,
) -> (Spot, f32) {
    let here = field.spot(i);
    let mut kept: Vec<(f32, Spot)> = vec![(now, here)];
    let width = field.kind_of(i).width_mm;
    for n in 0..THROWS[0] + THROWS[1] {
        let thrown = if n < THROWS[1] {
            near(field, dice, i, here)
        } else {
            anywhere(field, dice, field.kind_of(i))
        };
        let Some(spot) = thrown else { continue };
        let bound = if kept.len() < KEPT {
            f32::INFINITY
        } else {
            kept.last().map_or(f32::INFINITY, |worst| worst.0)
        };
        let cost = field.cost(feeler, i, spot, weights, bound);
        if cost < bound {
            keep(&mut kept, cost, spot, KEPT, width);
        }
    }
    for thrown in &mut kept {
        *thrown = downhill(field, feeler, dice, (i, weights), *thrown, 0);
    }
    let best = kept
        .into_iter()
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .unwrap_or((now, here));
    let (cost, spot) = downhill(field, feeler, dice, (i, weights), best, 1);
    (spot, cost)
}

/// Keeps the list short, best first, and no two of it at nearly the same spot.
fn keep(kept: &mut Vec<(f32, Spot)>, cost: f32, spot: Spot, most: usize, width: f64) {
    let alike = |other: &Spot| {
        other.berth == spot.berth
            && (other.turn - spot.turn).abs() < 0.02
            && (0..2).all(|k| (other.at[k] - spot.at[k]).abs() < 0.05 * width)
    };
    if let Some(at) = kept.iter().position(|(_, other)| alike(other)) {
        if kept[at].0 <= cost {
            return;
        }
        kept.remove(at);
    }
    let at = kept.partition_point(|(other, _)| *other <= cost);
    kept.insert(at, (cost, spot));
    kept.truncate(most);
}

fn within(dice: &mut Dice, [low, high]: [[f64; 2]; 2]) -> [f64; 2] {
    [0, 1].map(|k| low[k] + dice.unit() * (high[k] - low[k]))
}

/// A turn that the part may have.
pub(crate) fn any_turn(dice: &mut Dice, turns: &Turns) -> f64 {
    match turns {
        Turns::Any => dice.unit() * std::f64::consts::TAU,
        Turns::Only(list) => list
            .get(dice.below(list.len()))
            .map_or(0.0, |turn| turn.to_radians()),
    }
}

/// A spot anywhere on the beds; `None` if the turn thrown does not fit the bed thrown.
pub(crate) fn anywhere(field: &Field<'_>, dice: &mut Dice, kind: &Kind) -> Option<Spot> {
    let berth = dice.below(field.berths.len());
    let turn = any_turn(dice, &kind.turns);
    let range = field.range(kind, berth, turn)?;
    let at = within(dice, range);
    Some(Spot { berth, turn, at })
}

fn near(field: &Field<'_>, dice: &mut Dice, i: usize, here: Spot) -> Option<Spot> {
    let kind = field.kind_of(i);
    let turn = match &kind.turns {
        Turns::Any => here.turn + dice.normal() * NEAR_DEG.to_radians(),
        Turns::Only(_) => any_turn(dice, &kind.turns),
    };
    let [least, most] = field.range(kind, here.berth, turn)?;
    let (low, high) = kind.box_mm(turn);
    let low = [0, 1].map(|k| (here.at[k] + low[k]).clamp(least[k], most[k]));
    let high = [0, 1].map(|k| (here.at[k] + high[k]).clamp(least[k], most[k]));
    Some(Spot {
        berth: here.berth,
        turn,
        at: within(dice, [low, high]),
    })
}

/// Ways to step from a spot.
const WAYS: [[f64; 2]; 4] = [[1.0, 0.0], [0.0, 1.0], [1.0, 1.0], [1.0, -1.0]];

/// Steps along axes, diagonals and turns, longer after a gain and shorter after none.
fn downhill(
    field: &Field<'_>,
    feeler: &mut Feeler,
    dice: &mut Dice,
    (i, weights): (usize, &[f32]),
    from: (f32, Spot),
    stage: usize,
) -> (f32, Spot) {
    let kind = field.kind_of(i);
    let (mut cost, mut spot) = from;
    let [first, last] = STEPS[stage].map(|share| share * kind.width_mm);
    let [turn_first, turn_last] = TURNS_DEG[stage].map(f64::to_radians);
    let mut steps = [first, first];
    let mut turn_step = if kind.turns == Turns::Any {
        turn_first
    } else {
        0.0
    };
    while cost > 0.0 && (steps[0] > last || steps[1] > last || turn_step > turn_last) {
        let turning = turn_step > turn_last && dice.below(3) == 0;
        let way = if turning {
            [0.0; 2]
        } else {
            WAYS[dice.below(4)]
        };
        let mut gained = false;
        for sign in [1.0, -1.0] {
            let turn = if turning {
                spot.turn + sign * turn_step
            } else {
                spot.turn
            };
            let Some([least, most]) = field.range(kind, spot.berth, turn) else {
                continue;
            };
            let at =
                [0, 1].map(|k| (spot.at[k] + sign * way[k] * steps[k]).clamp(least[k], most[k]));
            let trial = Spot {
                berth: spot.berth,
                turn,
                at,
            };
            if trial == spot {
                continue;
            }
            let found = field.cost(feeler, i, trial, weights, cost);
            if found < cost {
                (cost, spot, gained) = (found, trial, true);
                break;
            }
        }
        let grow = if gained { 1.1 } else { 0.5 };
        if turning {
            turn_step *= grow;
        } else {
            for k in 0..2 {
                if way[k].abs() > 0.0 {
                    steps[k] *= grow;
                }
            }
        }
    }
    (cost, spot)
}
