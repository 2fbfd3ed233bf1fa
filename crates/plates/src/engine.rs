//! The collision engine's edge: the only place that speaks f32.
//!
//! The engine is quick but works in f32 and takes edges that lie on each other for disjoint. So it
//! only *proposes*: a spot that it calls free is taken after an exact test of the guards on the
//! integer grid.

use std::sync::Arc;

use clipper2_rust::core::{Paths64, Rect64};
use clipper2_rust::{FillRule, area, get_bounds_paths, intersect_64, translate_paths};
use jagua_rs::collision_detection::hazards::filter::NoFilter;
use jagua_rs::collision_detection::hazards::{Hazard, HazardEntity};
use jagua_rs::collision_detection::{CDEConfig, CDEngine};
use jagua_rs::geometry::Transformation;
use jagua_rs::geometry::fail_fast::SPSurrogateConfig;
use jagua_rs::geometry::geo_enums::GeoPosition;
use jagua_rs::geometry::geo_traits::TransformableFrom;
use jagua_rs::geometry::primitives::{Point, Rect, SPolygon};
use partpledge_units::cast::{round_i64, to_f32};

use crate::crowd::{Crowd, feelers};
use crate::shape::Turned;
use crate::{Bed, UNITS_PER_MM};

/// Overlap of two guards that rounding to the grid may leave, in square units (1e-6 mm²).
const ROUNDING_UNITS2: f64 = 100.0;

/// What a trial can run into.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum Obstacle {
    Outside,
    Part(usize),
}

impl HazardEntity for Obstacle {
    fn scope(&self) -> GeoPosition {
        match self {
            Self::Outside => GeoPosition::Exterior,
            Self::Part(_) => GeoPosition::Interior,
        }
    }

    fn is_dynamic(&self) -> bool {
        matches!(self, Self::Part(_))
    }
}

/// A part in one turn, as the engine takes it; with a second polygon to move about.
#[derive(Clone, Debug)]
pub(crate) struct Stamp {
    at_origin: SPolygon,
    moved: SPolygon,
    feelers: Vec<[f64; 2]>,
}

impl Stamp {
    /// `None` when the engine does not take the coat for a simple polygon.
    pub(crate) fn new(coat: &[[f64; 2]]) -> Option<Self> {
        let points = coat
            .iter()
            .map(|&[x, y]| Point(to_f32(x), to_f32(y)))
            .collect();
        let at_origin = SPolygon::new(points).ok()?;
        Some(Self {
            moved: at_origin.clone(),
            at_origin,
            feelers: feelers(coat),
        })
    }

    fn at(&mut self, [x, y]: [f64; 2]) -> &SPolygon {
        let shift = Transformation::from_translation((to_f32(x), to_f32(y)));
        self.moved.transform_from(&self.at_origin, &shift)
    }
}

/// A bed with the parts put down so far.
pub(crate) struct Board {
    engine: CDEngine<Obstacle>,
    guards: Vec<(Rect64, Paths64)>,
    crowd: Crowd,
}

impl Board {
    /// An empty bed. The engine's own border lies well outside: the edge is kept by the range of
    /// spots, exactly, not by the coats. `None` if the engine can't make the border.
    pub(crate) fn empty(bed: &Bed) -> Option<Self> {
        let beyond = to_f32(bed.clearance_mm + 5.0);
        let [w, d] = bed.size_mm.map(to_f32);
        let border = SPolygon::from(Rect::try_new(-beyond, -beyond, w + beyond, d + beyond).ok()?);
        let square = border.bbox().inflate_to_square();
        // A few dozen parts: measured, a shallow tree is twice as quick here as the usual depth.
        let config = CDEConfig {
            quadtree_depth: 3,
            cd_threshold: 64,
            item_surrogate_config: SPSurrogateConfig::none(),
        };
        let outside = Hazard::new(Obstacle::Outside, Arc::new(border));
        Some(Self {
            engine: CDEngine::new(square, vec![outside], config),
            guards: Vec::new(),
            crowd: Crowd::empty(bed.size_mm),
        })
    }

    /// Whether the engine sees room for `stamp` with its origin at `spot`.
    pub(crate) fn seems_free(&self, stamp: &mut Stamp, spot: [f64; 2]) -> bool {
        !self.crowd.touches(&stamp.feelers, spot)
            && !self.engine.detect_poly_collision(stamp.at(spot), &NoFilter)
    }

    /// Puts the part down if the exact test agrees; false, and nothing done, if not.
    pub(crate) fn put(&mut self, turned: &Turned, stamp: &mut Stamp, spot: [f64; 2]) -> bool {
        let [x, y] = spot.map(|v| round_i64(v * UNITS_PER_MM).unwrap_or(0));
        let guard = translate_paths(&turned.guard, x, y);
        let bounds = get_bounds_paths(&guard);
        let clash = self.guards.iter().any(|(other_bounds, other)| {
            apart_by(&bounds, other_bounds) < 0 && overlap_units2(&guard, other) > ROUNDING_UNITS2
        });
        if clash {
            return false;
        }
        let hazard = Hazard::new(
            Obstacle::Part(self.guards.len()),
            Arc::new(stamp.at(spot).clone()),
        );
        self.engine.register_hazard(hazard);
        self.crowd.fill(&turned.coat, spot);
        self.guards.push((bounds, guard));
        true
    }
}

/// Gap between two boxes along the axis where it is widest; negative when they overlap.
fn apart_by(a: &Rect64, b: &Rect64) -> i64 {
    let x = (a.left - b.right).max(b.left - a.right);
    let y = (a.top - b.bottom).max(b.top - a.bottom);
    x.max(y)
}

fn overlap_units2(a: &Paths64, b: &Paths64) -> f64 {
    intersect_64(a, b, FillRule::NonZero)
        .iter()
        .map(area)
        .sum::<f64>()
        .abs()
}
