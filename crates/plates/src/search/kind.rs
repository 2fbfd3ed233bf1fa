//! A part as the strong search takes it, in a frame whose origin is the middle of its box.

use clipper2_rust::area;
use clipper2_rust::core::{Path64, Paths64};
use jagua_rs::geometry::fail_fast::SPSurrogateConfig;
use jagua_rs::geometry::primitives::{Point, SPolygon};
use partpledge_units::cast::to_f32;

use super::poles::Circles;
use crate::shape::{Cut, hull};
use crate::{Item, LayoutError, Turns, UNITS_PER_MM};

/// A few circles inside are tried by the engine before the outline.
const QUICK: SPSurrogateConfig = SPSurrogateConfig {
    n_pole_limits: [(3, 0.0), (3, 0.0), (3, 0.0)],
    ff_pole_area_ratio: 0.6,
    n_ff_piers: 0,
};

/// A part with half a gap round it.
#[derive(Clone, Debug)]
pub(crate) struct Coat {
    /// What the engine sees.
    pub(crate) shape: SPolygon,
    /// What fills it.
    pub(crate) circles: Circles,
}

/// One kind of part; its copies share it.
#[derive(Clone, Debug)]
pub(crate) struct Kind {
    /// With half the usual gap.
    pub(crate) near: Coat,
    /// With half the wide gap, for a part that is too high for the usual one.
    pub(crate) far: Option<Coat>,
    /// Corners of the bare part's hull in mm.
    pub(crate) hull_mm: Vec<[f64; 2]>,
    /// Where the frame's origin lies in the item's own frame, mm.
    pub(crate) middle_mm: [f64; 2],
    /// Turns it may have.
    pub(crate) turns: Turns,
    /// Longest stretch across it, mm.
    pub(crate) diameter: f32,
    /// Shorter side of its box, mm.
    pub(crate) width_mm: f64,
    /// Fourth root of the hull's area, as the cost of an overlap takes it.
    pub(crate) scale: f32,
    /// How far its coat reaches beyond the bare part at most, mm.
    pub(crate) reach_mm: f64,
    /// Area of the coat in mm².
    pub(crate) area_mm2: f64,
    /// Bare outlines grown by half the gap, in the item's own frame; and by half the wide gap.
    pub(crate) guards: [Option<Paths64>; 2],
}

impl Kind {
    /// Makes `item`, the `index`-th of the list, ready. `far_mm` is the wide gap, for a part that
    /// needs it.
    pub(crate) fn prepare(
        index: usize,
        item: &Item,
        gap_mm: f64,
        far_mm: Option<f64>,
    ) -> Result<Self, LayoutError> {
        let bad = || LayoutError::BadOutline {
            item: index,
            name: item.name.clone(),
        };
        let cut = Cut::of(&item.outlines).ok_or_else(bad)?;
        let hull = cut.hull();
        let bound = |k: usize, pick: fn(f64, f64) -> f64, start: f64| {
            hull.iter()
                .map(|p| [p.x as f64, p.y as f64][k] / UNITS_PER_MM)
                .fold(start, pick)
        };
        let low = [0, 1].map(|k| bound(k, f64::min, f64::INFINITY));
        let high = [0, 1].map(|k| bound(k, f64::max, f64::NEG_INFINITY));
        let middle_mm = [0, 1].map(|k| f64::midpoint(low[k], high[k]));
        let near = coat(&cut, gap_mm, middle_mm).ok_or_else(bad)?;
        let far = far_mm.map(|gap| coat(&cut, gap, middle_mm).ok_or_else(bad));
        let hull_area = area(&hull).abs() / (UNITS_PER_MM * UNITS_PER_MM);
        Ok(Self {
            diameter: near.shape.diameter(),
            width_mm: (high[0] - low[0]).min(high[1] - low[1]),
            scale: to_f32(hull_area.powf(0.25)),
            reach_mm: far_mm.unwrap_or(gap_mm) / 2.0 + 1.0,
            area_mm2: f64::from(near.shape.area()),
            hull_mm: in_frame(&hull, middle_mm),
            guards: [
                Some(cut.guard(gap_mm / 2.0)),
                far_mm.map(|gap| cut.guard(gap / 2.0)),
            ],
            near,
            far: far.transpose()?,
            middle_mm,
            turns: item.turns.clone(),
        })
    }

    /// Box of the bare part turned by `turn` radians, about the frame's origin, mm.
    pub(crate) fn box_mm(&self, turn: f64) -> ([f64; 2], [f64; 2]) {
        let (sin, cos) = turn.sin_cos();
        let start = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
        self.hull_mm.iter().fold(start, |(low, high), &[x, y]| {
            let at = [x * cos - y * sin, x * sin + y * cos];
            (
                [low[0].min(at[0]), low[1].min(at[1])],
                [high[0].max(at[0]), high[1].max(at[1])],
            )
        })
    }
}

fn in_frame(path: &Path64, middle: [f64; 2]) -> Vec<[f64; 2]> {
    let mm = |v: i64| v as f64 / UNITS_PER_MM;
    path.iter()
        .map(|p| [mm(p.x) - middle[0], mm(p.y) - middle[1]])
        .collect()
}

/// The coat as the engine takes it, or its hull where that is no simple polygon to the engine.
fn coat(cut: &Cut, gap_mm: f64, middle: [f64; 2]) -> Option<Coat> {
    let coat = cut.slim_coat(gap_mm / 2.0)?;
    let take = |path: &Path64| -> Option<Coat> {
        let points = in_frame(path, middle)
            .into_iter()
            .map(|[x, y]| Point(to_f32(x), to_f32(y)))
            .collect();
        let mut shape = SPolygon::new(points).ok()?;
        shape.generate_surrogate(QUICK).ok()?;
        let circles = Circles::fill(&shape);
        Some(Coat { shape, circles })
    };
    take(&coat).or_else(|| take(&hull(coat.iter())))
}
