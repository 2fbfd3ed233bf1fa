//! The collision engine's edge: the only place that speaks f32.
//!
//! The engine is quick but works in f32 and takes edges that lie on each other for disjoint. So it
//! only *proposes*: a spot that it calls free is taken after an exact test of the guards on the
//! integer grid.

use std::sync::Arc;

use clipper2_rust::core::{Path64, Paths64, Point64, Rect64};
use clipper2_rust::{FillRule, area, get_bounds_paths, intersect_64, translate_paths};
use jagua_rs::collision_detection::hazards::filter::NoFilter;
use jagua_rs::collision_detection::hazards::{Hazard, HazardEntity};
use jagua_rs::collision_detection::{CDEConfig, CDEngine};
use jagua_rs::geometry::Transformation;
use jagua_rs::geometry::fail_fast::SPSurrogateConfig;
use jagua_rs::geometry::geo_enums::GeoPosition;
use jagua_rs::geometry::geo_traits::{Transformable, TransformableFrom};
use jagua_rs::geometry::primitives::{Point, Rect, SPolygon};
use partpledge_units::cast::{round_i64, to_f32};

use crate::crowd::{Crowd, feelers};
use crate::shape::{Layer, Turned};
use crate::{Bed, UNITS_PER_MM};

/// Overlap of two guards that rounding to the grid may leave, in square units (1e-6 mm²).
pub(crate) const ROUNDING_UNITS2: f64 = 100.0;

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

/// A coat as the engine takes it, about its middle and not turned: making one is slow, turning it
/// is not.
#[derive(Clone, Debug)]
pub(crate) struct Base {
    shape: SPolygon,
    /// Where its origin lies in the frame of the coat, on the grid.
    pub(crate) middle: Point64,
}

impl Base {
    /// `None` when the engine does not take the coat for a simple polygon.
    pub(crate) fn of(coat: &Path64) -> Option<Self> {
        let ends = |pick: fn(&Point64) -> i64| {
            let values = || coat.iter().map(pick);
            Some(i64::midpoint(values().min()?, values().max()?))
        };
        let middle = Point64::new(ends(|p| p.x)?, ends(|p| p.y)?);
        let mm = |v: i64| to_f32(v as f64 / UNITS_PER_MM);
        let points = coat
            .iter()
            .map(|p| Point(mm(p.x - middle.x), mm(p.y - middle.y)))
            .collect();
        let shape = SPolygon::new(points).ok()?;
        Some(Self { shape, middle })
    }

    /// Turned, with its middle at `at` mm; `coat` is the same in f64.
    pub(crate) fn turned(&self, turn: f64, at: [f64; 2], coat: &[[f64; 2]]) -> Stamp {
        let [x, y] = at.map(to_f32);
        let place = Transformation::empty().rotate_translate(to_f32(turn), (x, y));
        let at_origin = self.shape.transform_clone(&place);
        Stamp {
            moved: at_origin.clone(),
            at_origin,
            feelers: feelers(coat),
        }
    }
}

impl Stamp {
    fn at(&mut self, [x, y]: [f64; 2]) -> &SPolygon {
        let shift = Transformation::from_translation((to_f32(x), to_f32(y)));
        self.moved.transform_from(&self.at_origin, &shift)
    }
}

/// A bed with the parts put down so far; where high parts need a wider gap among themselves, these
/// lie on a board of their own as well.
pub(crate) struct Board {
    near: Level,
    far: Option<Level>,
}

/// Stamps of a part in one turn: with the usual gap, and the wide one if it is high.
#[derive(Clone, Debug)]
pub(crate) struct Stamps {
    near: Stamp,
    far: Option<Stamp>,
}

impl Stamps {
    /// Of a turned part.
    pub(crate) fn of(turned: &Turned) -> Self {
        Self {
            near: turned.near.stamp.clone(),
            far: turned.far.as_ref().map(|far| far.stamp.clone()),
        }
    }
}

impl Board {
    /// An empty bed. `None` if the engine can't make its border.
    pub(crate) fn empty(bed: &Bed, high: bool) -> Option<Self> {
        let far = if high { Some(Level::empty(bed)?) } else { None };
        Some(Self {
            near: Level::empty(bed)?,
            far,
        })
    }

    /// Whether the engine sees room for the part with its origin at `spot`.
    pub(crate) fn seems_free(&self, stamps: &mut Stamps, spot: [f64; 2]) -> bool {
        let near = self.near.seems_free(&mut stamps.near, spot);
        near && match (&self.far, &mut stamps.far) {
            (Some(level), Some(stamp)) => level.seems_free(stamp, spot),
            _ => true,
        }
    }

    /// Puts the part down if the exact test agrees; false, and nothing done, if not.
    pub(crate) fn put(&mut self, turned: &Turned, stamps: &mut Stamps, spot: [f64; 2]) -> bool {
        let far = match (&mut self.far, &turned.far, &mut stamps.far) {
            (Some(level), Some(layer), Some(stamp)) => Some((level, layer, stamp)),
            _ => None,
        };
        if self.near.clashes(&turned.near, spot)
            || far
                .as_ref()
                .is_some_and(|(level, layer, _)| level.clashes(layer, spot))
        {
            return false;
        }
        self.near.put(&turned.near, &mut stamps.near, spot);
        if let Some((level, layer, stamp)) = far {
            level.put(layer, stamp, spot);
        }
        true
    }
}

/// Parts under one gap.
struct Level {
    engine: CDEngine<Obstacle>,
    guards: Vec<(Rect64, Paths64)>,
    crowd: Crowd,
}

impl Level {
    /// An empty bed. The engine's own border lies well outside: the edge is kept by the range of
    /// spots, exactly, not by the coats. `None` if the engine can't make the border.
    fn empty(bed: &Bed) -> Option<Self> {
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

    fn seems_free(&self, stamp: &mut Stamp, spot: [f64; 2]) -> bool {
        !self.crowd.touches(&stamp.feelers, spot)
            && !self.engine.detect_poly_collision(stamp.at(spot), &NoFilter)
    }

    fn clashes(&self, layer: &Layer, spot: [f64; 2]) -> bool {
        let (bounds, guard) = at(layer, spot);
        self.guards.iter().any(|(other_bounds, other)| {
            apart_by(&bounds, other_bounds) < 0 && overlap_units2(&guard, other) > ROUNDING_UNITS2
        })
    }

    fn put(&mut self, layer: &Layer, stamp: &mut Stamp, spot: [f64; 2]) {
        let hazard = Hazard::new(
            Obstacle::Part(self.guards.len()),
            Arc::new(stamp.at(spot).clone()),
        );
        self.engine.register_hazard(hazard);
        self.crowd.fill(&layer.coat, spot);
        self.guards.push(at(layer, spot));
    }
}

/// The guard at a spot, and its box.
fn at(layer: &Layer, spot: [f64; 2]) -> (Rect64, Paths64) {
    let [x, y] = spot.map(|v| round_i64(v * UNITS_PER_MM).unwrap_or(0));
    let guard = translate_paths(&layer.guard, x, y);
    (get_bounds_paths(&guard), guard)
}

/// Gap between two boxes along the axis where it is widest; negative when they overlap.
pub(crate) fn apart_by(a: &Rect64, b: &Rect64) -> i64 {
    let x = (a.left - b.right).max(b.left - a.right);
    let y = (a.top - b.bottom).max(b.top - a.bottom);
    x.max(y)
}

pub(crate) fn overlap_units2(a: &Paths64, b: &Paths64) -> f64 {
    intersect_64(a, b, FillRule::NonZero)
        .iter()
        .map(area)
        .sum::<f64>()
        .abs()
}
