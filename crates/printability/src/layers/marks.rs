//! What is to be pointed at on the drawing of one layer: thin places, and plastic over air.

use partpledge_sections::Outlines;
use partpledge_sections::outlines::area_mm2;

use super::air::{Seen, look, noticed_mm2, rests_on};
use super::thin::{GOOD_LINES, thin_pieces};
use super::{pieces, thickness_mm, without};

/// Why a place of a layer is marked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Why {
    /// Thinner than two lines: how thick, mm.
    Thin(f64),
    /// Nothing at all lies below.
    StartsInAir,
    /// It sticks out over air: how far, mm.
    SticksOut(f64),
    /// It hangs between two sides: how far apart, mm.
    Spans(f64),
}

/// A marked place of a layer.
#[derive(Clone, Debug, PartialEq)]
pub struct Marked {
    /// Why.
    pub why: Why,
    /// The place itself.
    pub outlines: Outlines,
}

/// The places of a layer that the findings would be about, by the same limits: what is thinner than
/// two lines, and what lies over air of the layer `below` (none for the layer on the bed). Largest
/// first.
///
/// ```
/// use partpledge_printability::layers::{Why, marks};
/// use partpledge_sections::outlines::to_point;
/// let bar = |x: f64, w: f64| vec![vec![
///     to_point(x, 0.0), to_point(x + w, 0.0), to_point(x + w, 10.0), to_point(x, 10.0),
/// ]];
/// let found = marks(Some(&bar(0.0, 5.0)), &bar(0.0, 9.0), 0.4);
/// assert!(matches!(found[..], [ref one] if matches!(one.why, Why::SticksOut(mm) if (mm - 4.0).abs() < 0.1)));
/// ```
#[must_use]
pub fn marks(below: Option<&Outlines>, layer: &Outlines, line_width_mm: f64) -> Vec<Marked> {
    let width = GOOD_LINES * line_width_mm;
    let thin = thin_pieces(layer, width)
        .into_iter()
        .map(|outlines| Marked {
            why: Why::Thin(thickness_mm(&outlines, width)),
            outlines,
        });
    let mut found: Vec<Marked> = thin.collect();
    if let Some(below) = below {
        let air = pieces(&without(layer, below)).into_iter();
        found.extend(air.filter_map(|piece| over_air(piece, below, line_width_mm)));
    }
    found.sort_by(|a, b| area_mm2(&b.outlines).total_cmp(&area_mm2(&a.outlines)));
    found
}

fn over_air(outlines: Outlines, below: &Outlines, line_width_mm: f64) -> Option<Marked> {
    if area_mm2(&outlines) <= noticed_mm2(line_width_mm) {
        return None;
    }
    let mut seen = Seen::default();
    if !rests_on(&outlines, below) {
        let why = Why::StartsInAir;
        return Some(Marked { why, outlines });
    }
    look(&outlines, below, 0.0, &mut seen);
    let why = match (&seen.shelves[..], &seen.bridges[..]) {
        ([shelf, ..], _) => Why::SticksOut(shelf.out_mm),
        (_, [bridge, ..]) => Why::Spans(bridge.out_mm),
        _ => return None,
    };
    Some(Marked { why, outlines })
}

#[cfg(test)]
mod tests {
    use partpledge_sections::outlines::to_point;

    use super::*;

    fn bars(list: &[[f64; 4]]) -> Outlines {
        let bar = |&[x, y, w, d]: &[f64; 4]| {
            vec![
                to_point(x, y),
                to_point(x + w, y),
                to_point(x + w, y + d),
                to_point(x, y + d),
            ]
        };
        list.iter().map(bar).collect()
    }

    #[test]
    fn a_thin_fin_an_island_and_a_bridge_are_told_apart() {
        let below = bars(&[[0.0, 0.0, 5.0, 10.0], [25.0, 0.0, 5.0, 10.0]]);
        let layer = bars(&[[0.0, 0.0, 30.0, 10.0], [40.0, 0.0, 0.5, 30.0]]);
        let found = marks(Some(&below), &layer, 0.4);
        let said: Vec<Why> = found.iter().map(|one| one.why).collect();
        assert!(
            matches!(said[..], [Why::Spans(mm), Why::Thin(thin), Why::StartsInAir]
                if (mm - 20.0).abs() < 0.3 && (thin - 0.5).abs() < 0.02),
            "{said:?}"
        );
    }

    #[test]
    fn the_layer_on_the_bed_hangs_nowhere_and_a_sound_one_has_no_marks() {
        let plate = bars(&[[0.0, 0.0, 30.0, 20.0]]);
        assert_eq!(marks(None, &plate, 0.4), Vec::new());
        assert_eq!(marks(Some(&plate), &plate, 0.4), Vec::new());
    }
}
