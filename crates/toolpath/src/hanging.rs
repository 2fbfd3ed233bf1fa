//! What of a layer is laid over air: bridges that hold by themselves, and what needs support.

use clipper2_rust::FillRule;
use partpledge_catalogue::ProcessSheet;
use partpledge_sections::outlines::{area_mm2, common, offset, perimeter_mm, to_point, without};
use partpledge_sections::{Outlines, holds, meet, pieces};

use partpledge_units::cast::round_usize;

use crate::bead::no_void_spacing_mm;
use crate::fill::{Hatch, rows};

/// Directions that are tried for a bridge, over half a turn.
const DIRECTIONS: u32 = 12;
/// A piece is a bridge when this share of its lines is held at both ends. Common practice, no
/// source.
const HELD_SHARE: f64 = 0.9;
/// How far past its end a line must find something to lie on, mm.
const HOLD_MM: f64 = 0.05;
/// Rounding of the outlines, mm: what is thinner hangs over nothing.
const ROUNDING_MM: f64 = 0.01;
/// How far round a piece that begins in mid-air support reaches, mm, so that a tip finds some.
/// Common practice, no source.
const ROUND_ISLANDS_MM: f64 = 1.0;
/// Smaller pieces are carried by their neighbours, in squares of the line width. Common practice,
/// no source.
const NOTICED_LINES: f64 = 4.0;

/// What hangs over air in one layer.
#[derive(Clone, Debug, Default)]
pub(crate) struct Hanging {
    /// What needs support below.
    pub(crate) held_up: Outlines,
    /// Pieces that span air between held sides.
    pub(crate) bridges: Vec<Bridge>,
}

/// A piece whose lines reach from one side to the other.
#[derive(Clone, Debug)]
pub(crate) struct Bridge {
    pub(crate) outlines: Outlines,
    /// Which way its lines run, degrees.
    pub(crate) towards_deg: f64,
}

/// What of the layer `i` is not held by those below it.
///
/// A layer may stick out by `height · tan(overhang limit)` on every side; what sticks out farther
/// hangs, from the edge of the layer below on. A hanging piece of which nine lines in ten, in some
/// direction, are held at both ends and no longer than the bridge limit, is a bridge. The rest is
/// held up, but for what sticks out no farther than the shelf limit over as many layers below as
/// a slope at the limit takes to reach it: short ledges, and the first steps of a slope.
///
/// # Source
/// Half a line on the layer below: `checks/physics` (recomputed). Bridges, shelves: derived here.
pub(crate) fn hanging(outlines: &[&Outlines], i: usize, sheet: &ProcessSheet) -> Hanging {
    let mut out = Hanging::default();
    let Some(below) = i.checked_sub(1).map(|i| outlines[i]) else {
        return out;
    };
    let layer = outlines[i];
    let step_mm = sheet.layer_height_mm * sheet.overhang_limit_deg.to_radians().tan();
    let step_mm = step_mm.min(sheet.shelf_limit_mm).max(ROUNDING_MM);
    if below == layer {
        return out;
    }
    let far = cleared(layer, below, step_mm);
    if far.is_empty() {
        return out;
    }
    let air = without(layer, below);
    let near = offset(&far, step_mm + 2.0 * ROUNDING_MM);
    let air = common(&air, &near);
    let noticed_mm2 = NOTICED_LINES * sheet.line_width_mm * sheet.line_width_mm;
    let mut ledges = Outlines::new();
    for piece in pieces(&air) {
        let touching = offset(&piece, 2.0 * ROUNDING_MM);
        if !meet(&touching, below) {
            if area_mm2(&piece) >= noticed_mm2 {
                out.held_up.extend(offset(&piece, ROUND_ISLANDS_MM));
            }
        } else if let Some(towards_deg) = bridge(&piece, below, sheet) {
            out.bridges.push(Bridge {
                outlines: piece,
                towards_deg,
            });
        } else {
            ledges.extend(piece);
        }
    }
    if !ledges.is_empty() {
        let steps = round_usize((sheet.shelf_limit_mm / step_mm).round()).unwrap_or(0);
        let foot = outlines[i.saturating_sub(steps.max(1))];
        let long = cleared(&ledges, foot, sheet.shelf_limit_mm);
        let whole = offset(&long, sheet.shelf_limit_mm);
        out.held_up.extend(common(&ledges, &whole));
    }
    out.held_up = clipper2_rust::union_subjects_64(&out.held_up, FillRule::NonZero);
    out
}

/// What of `a` lies farther than `by_mm` outside `b`.
fn cleared(a: &Outlines, b: &Outlines, by_mm: f64) -> Outlines {
    let far = without(a, &offset(b, by_mm));
    offset(&offset(&far, -ROUNDING_MM), ROUNDING_MM)
}

/// The direction in which the piece can be bridged, if there is one: the one with the most lines
/// held, of those the one with the shortest.
fn bridge(piece: &Outlines, below: &Outlines, sheet: &ProcessSheet) -> Option<f64> {
    // A band along a slope is held on one side only, whatever the direction.
    let wide_mm = 2.0 * area_mm2(piece) / perimeter_mm(piece).max(1e-9);
    if wide_mm < sheet.line_width_mm {
        return None;
    }
    let pitch_mm = no_void_spacing_mm(sheet.line_width_mm, sheet.layer_height_mm);
    let grid = Hatch::of_layer(0, pitch_mm.max(0.01));
    let tried = (0..DIRECTIONS).map(|k| {
        let towards_deg = 180.0 * f64::from(k) / f64::from(DIRECTIONS);
        let (held, longest_mm) = held(piece, below, grid.turned_to(towards_deg), sheet);
        (towards_deg, held, longest_mm)
    });
    let best = tried
        .filter(|&(_, held, _)| held >= HELD_SHARE)
        .min_by(|a, b| a.2.total_cmp(&b.2))?;
    Some(best.0)
}

/// Share of the length of the lines that is held at both ends within the bridge limit, and the
/// longest of those lines, mm.
fn held(piece: &Outlines, below: &Outlines, hatch: Hatch, sheet: &ProcessSheet) -> (f64, f64) {
    let [c, s] = hatch.along;
    let (mut all_mm, mut held_mm, mut longest_mm) = (0.0, 0.0, 0.0_f64);
    for [a, b] in rows(piece, hatch) {
        let length_mm = (b[0] - a[0]).hypot(b[1] - a[1]);
        all_mm += length_mm;
        let before = to_point(a[0] - HOLD_MM * c, a[1] - HOLD_MM * s);
        let after = to_point(b[0] + HOLD_MM * c, b[1] + HOLD_MM * s);
        if length_mm <= sheet.bridge_limit_mm && holds(below, before) && holds(below, after) {
            held_mm += length_mm;
            longest_mm = longest_mm.max(length_mm);
        }
    }
    (held_mm / f64::max(all_mm, 1e-9), longest_mm)
}

#[cfg(test)]
mod tests {
    use super::*;
    use partpledge_catalogue::Catalogue;

    fn block(x: [f64; 2], y: [f64; 2]) -> Outlines {
        vec![vec![
            to_point(x[0], y[0]),
            to_point(x[1], y[0]),
            to_point(x[1], y[1]),
            to_point(x[0], y[1]),
        ]]
    }

    fn seen(below: &Outlines, layer: &Outlines) -> Hanging {
        let catalogue = Catalogue::built_in();
        hanging(&[below, layer], 1, catalogue.plain_sheet("PLA").unwrap())
    }

    #[test]
    fn a_ceiling_between_two_posts_is_bridged_the_short_way() {
        let mut posts = block([0.0, 5.0], [0.0, 30.0]);
        posts.extend(block([13.0, 18.0], [0.0, 30.0]));
        let over = seen(&posts, &block([0.0, 18.0], [0.0, 30.0]));
        assert_eq!(over.bridges.len(), 1);
        assert!(over.bridges[0].towards_deg.abs() < 1e-9);
        assert!((area_mm2(&over.bridges[0].outlines) - 240.0).abs() < 0.5);
        assert!(over.held_up.is_empty());
    }

    #[test]
    fn a_ceiling_over_a_closed_pocket_is_bridged_too_and_a_wide_one_is_not() {
        let frame = |room: f64| {
            let mut frame = block([0.0, 40.0], [0.0, room + 10.0]);
            let mut hole = block([5.0, 35.0], [5.0, 5.0 + room]).remove(0);
            hole.reverse();
            frame.push(hole);
            frame
        };
        let lid = |room: f64| block([0.0, 40.0], [0.0, room + 10.0]);
        let narrow = seen(&frame(8.0), &lid(8.0));
        assert_eq!(narrow.bridges.len(), 1);
        assert!((narrow.bridges[0].towards_deg - 90.0).abs() < 1e-9);
        let wide = seen(&frame(20.0), &lid(20.0));
        assert!(wide.bridges.is_empty() && (area_mm2(&wide.held_up) - 600.0).abs() < 1.0);
    }

    #[test]
    fn a_ledge_is_held_up_past_its_limit_and_an_island_always() {
        let foot = block([0.0, 10.0], [0.0, 10.0]);
        let out = |by: f64| seen(&foot, &block([0.0, 10.0 + by], [0.0, 10.0])).held_up;
        assert!(out(1.9).is_empty());
        assert!((area_mm2(&out(5.0)) - 50.0).abs() < 0.1);
        let mut apart = foot.clone();
        apart.extend(block([30.0, 34.0], [0.0, 4.0]));
        // A millimetre more on every side.
        let over = seen(&foot, &apart).held_up;
        assert!((area_mm2(&over) - 36.0).abs() < 0.1);
    }

    #[test]
    fn a_slope_is_held_up_from_where_it_has_reached_the_shelf_limit() {
        // 0.5 mm out over 0.2 mm is 68 degrees from vertical; 2 mm are reached in the fifth step.
        let steps: Vec<Outlines> = (0..30_u8)
            .map(|k| block([0.0, 10.0 + 0.5 * f64::from(k)], [0.0, 10.0]))
            .collect();
        let steps: Vec<&Outlines> = steps.iter().collect();
        let catalogue = Catalogue::built_in();
        let area = |i| area_mm2(&hanging(&steps, i, catalogue.plain_sheet("PLA").unwrap()).held_up);
        assert!(
            area(3) < 0.1 && (area(20) - 5.0).abs() < 0.1,
            "{} {}",
            area(3),
            area(20)
        );
    }
}
