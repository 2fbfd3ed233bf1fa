//! Upright sheets of support under what hangs.

use partpledge_catalogue::ProcessSheet;
use partpledge_sections::Outlines;
use partpledge_sections::outlines::{offset, to_point};
use rayon::prelude::*;

use crate::fill::{Hatch, Stroke, clip};
use crate::hanging::Hanging;
use crate::rows::{TOUCH_MM, grown, joined, shared, without};
use crate::skins::count;

/// Support right under the part, and its foot on the bed, has this many times the sheets of the
/// rest. Common practice, no source.
const DENSER: i64 = 3;
/// Shorter lines of support are not laid, mm: they would not stand. Common practice, no source.
const LEAST_MM: f64 = 0.8;

/// Where support is laid in one layer: the lines themselves, for all of it runs along x.
#[derive(Clone, Debug, Default)]
pub(crate) struct Support {
    /// Every third row.
    pub(crate) shaft: Vec<Stroke>,
    /// Every row: under the part, and on the bed.
    pub(crate) dense: Vec<Stroke>,
}

/// The grids of a sheet's support; the rows of every layer lie over each other.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Grid {
    pub(crate) dense: Hatch,
    pub(crate) shaft: Hatch,
}

impl Grid {
    /// `None` when the sheet asks for none.
    pub(crate) fn of(sheet: &ProcessSheet, spacing_mm: f64) -> Option<Self> {
        let share = sheet.support_percent / 100.0;
        let pitch_mm = spacing_mm / (share * DENSER as f64).min(1.0);
        let hatch = |pitch_mm, phase| Hatch {
            pitch_mm,
            phase,
            along: [1.0, 0.0],
        };
        (share > 0.0).then(|| Self {
            dense: hatch(pitch_mm, 0.5),
            // Its rows lie on every third of the dense ones.
            shaft: hatch(DENSER as f64 * pitch_mm, 0.5 / DENSER as f64),
        })
    }

    /// The bed that the foot of the support takes.
    pub(crate) fn foot(&self, support: &Support) -> Outlines {
        let half = self.dense.pitch_mm / 2.0;
        let sheet = |row: &Stroke| {
            let y = self.dense.across_mm(row.row);
            vec![
                to_point(row.from, y - half),
                to_point(row.to, y - half),
                to_point(row.to, y + half),
                to_point(row.from, y + half),
            ]
        };
        support.dense.iter().map(sheet).collect()
    }
}

/// The support of every layer, from what hangs in each.
///
/// Sheets go straight down to the bed, or to the part below them; they keep the sheet's gaps from
/// the part. As they run along x in every layer, each row is worked out on its own line: what hangs
/// there, less the part. Only that goes from layer to layer; all else is done side by side.
///
/// # Source
/// Upright sheets with a gap of a layer: common practice, no source.
pub(crate) fn support(
    outlines: &[&Outlines],
    hanging: &[Hanging],
    grid: Grid,
    sheet: &ProcessSheet,
) -> Vec<Support> {
    let gap = count(sheet.support_gap_layers).min(outlines.len());
    let Some(top) = hanging.iter().rposition(|above| !above.held_up.is_empty()) else {
        return vec![Support::default(); outlines.len()];
    };
    let (asked, part): (Vec<Vec<Stroke>>, Vec<Part>) = (0..=top)
        .into_par_iter()
        .map(|i| {
            let asked = clip(&hanging[i].held_up, grid.dense);
            (asked, Part::of(outlines[i], grid.dense, sheet))
        })
        .unzip();
    let mut columns = vec![Vec::new(); outlines.len()];
    let mut below: Vec<Stroke> = Vec::new();
    for i in (0..top).rev() {
        if let Some(asked) = asked.get(i + 1 + gap) {
            below = joined(&below, asked);
        }
        // What stands on the part ends there.
        below = without(&below, &part[i].beside);
        for under in &part[i.saturating_sub(gap)..i] {
            below = without(&below, &under.rows);
        }
        // Slivers carry nothing, and over a thousand layers would be most of the memory.
        below.retain(|row| row.to - row.from > TOUCH_MM);
        columns[i] = below.iter().copied().filter(stands).collect();
    }
    let roof = count(sheet.support_roof_layers);
    let over = |i: usize| asked.iter().skip(i + 1 + gap).take(roof);
    columns
        .par_iter()
        .enumerate()
        .map(|(i, columns)| laid(i, columns, over(i)))
        .collect()
}

/// The part in one layer, row by row.
struct Part {
    rows: Vec<Stroke>,
    /// With the gap at its sides.
    beside: Vec<Stroke>,
}

impl Part {
    fn of(outlines: &Outlines, hatch: Hatch, sheet: &ProcessSheet) -> Self {
        Self {
            rows: clip(outlines, hatch),
            beside: clip(&offset(outlines, sheet.support_side_gap_mm), hatch),
        }
    }
}

/// Whether a line is long enough to stand.
fn stands(row: &Stroke) -> bool {
    row.to - row.from >= LEAST_MM
}

fn laid<'a>(i: usize, columns: &[Stroke], over: impl Iterator<Item = &'a Vec<Stroke>>) -> Support {
    if i == 0 {
        return Support {
            shaft: Vec::new(),
            dense: columns.to_vec(),
        };
    }
    // The roof reaches a little past what it carries, so that the bands of a slope meet.
    let asked = over.fold(Vec::new(), |all, more| joined(&all, &grown(more, LEAST_MM)));
    let dense = shared(columns, &asked);
    let third = |row: Stroke| Stroke {
        row: row.row.div_euclid(DENSER),
        ..row
    };
    let shaft = without(columns, &dense).into_iter();
    Support {
        shaft: shaft
            .filter(|row| row.row.rem_euclid(DENSER) == 0)
            .map(third)
            .collect(),
        dense,
    }
}
