//! The last word: an exact test on the integer grid that all copies are apart.

use clipper2_rust::core::{Paths64, Point64, Rect64};
use clipper2_rust::get_bounds_paths;
use partpledge_units::cast::round_i64;

use super::field::{Field, Spot};
use super::kind::Kind;
use crate::engine::{ROUNDING_UNITS2, apart_by, overlap_units2};
use crate::{Placement, UNITS_PER_MM};

/// Whether no two guards overlap by more than rounding may leave.
pub(crate) fn sound(field: &Field<'_>) -> bool {
    let placed: Vec<[Option<(Rect64, Paths64)>; 2]> = (0..field.many())
        .map(|i| {
            let (kind, spot) = (field.kind_of(i), field.spot(i));
            [0, 1].map(|k| {
                let guard = turned(kind, spot, kind.guards[k].as_ref()?);
                Some((get_bounds_paths(&guard), guard))
            })
        })
        .collect();
    for (i, mine) in placed.iter().enumerate() {
        for other in &placed[..i] {
            let pair = match (&mine[1], &other[1]) {
                (Some(a), Some(b)) => Some((a, b)),
                _ => mine[0].as_ref().zip(other[0].as_ref()),
            };
            let clash = pair.is_some_and(|(a, b)| {
                apart_by(&a.0, &b.0) < 0 && overlap_units2(&a.1, &b.1) > ROUNDING_UNITS2
            });
            if clash {
                return false;
            }
        }
    }
    true
}

/// Where a copy (item, number) lies, as told to callers: about the item's own origin, from its
/// bed's corner.
pub(crate) fn placement(
    kind: &Kind,
    corner_mm: [f64; 2],
    spot: Spot,
    (item, copy): (usize, usize),
) -> Placement {
    let [x, y] = moved(kind, spot);
    Placement {
        item,
        copy,
        x_mm: x - corner_mm[0],
        y_mm: y - corner_mm[1],
        rotation_deg: degrees(spot),
    }
}

/// The spot of a placement on a berth.
pub(crate) fn spot_of(kind: &Kind, berth: usize, corner_mm: [f64; 2], placed: &Placement) -> Spot {
    let turn = placed.rotation_deg.to_radians();
    let (sin, cos) = turn.sin_cos();
    let [x, y] = kind.middle_mm;
    Spot {
        berth,
        turn,
        at: [
            corner_mm[0] + placed.x_mm + x * cos - y * sin,
            corner_mm[1] + placed.y_mm + x * sin + y * cos,
        ],
    }
}

fn degrees(spot: Spot) -> f64 {
    let turn = spot.turn.to_degrees().rem_euclid(360.0);
    // A hair below zero comes out as 360 itself.
    if turn >= 360.0 { 0.0 } else { turn }
}

/// The move after turning about the item's own origin.
fn moved(kind: &Kind, spot: Spot) -> [f64; 2] {
    let (sin, cos) = degrees(spot).to_radians().sin_cos();
    let [x, y] = kind.middle_mm;
    [
        spot.at[0] - (x * cos - y * sin),
        spot.at[1] - (x * sin + y * cos),
    ]
}

fn turned(kind: &Kind, spot: Spot, guard: &Paths64) -> Paths64 {
    let (sin, cos) = degrees(spot).to_radians().sin_cos();
    let to = moved(kind, spot);
    let on_grid = |p: &Point64| {
        let (x, y) = (p.x as f64, p.y as f64);
        let [x, y] = [
            x * cos - y * sin + to[0] * UNITS_PER_MM,
            x * sin + y * cos + to[1] * UNITS_PER_MM,
        ]
        .map(|v| round_i64(v).unwrap_or(0));
        Point64::new(x, y)
    };
    guard
        .iter()
        .map(|path| path.iter().map(on_grid).collect())
        .collect()
}
