//! All beds in one plane with the copies on them, and what a copy would run into at a spot.

use std::sync::Arc;

use jagua_rs::collision_detection::hazards::collector::BasicHazardCollector;
use jagua_rs::collision_detection::hazards::filter::HazardFilter;
use jagua_rs::collision_detection::hazards::{HazKey, Hazard, HazardEntity};
use jagua_rs::collision_detection::{CDEConfig, CDEngine};
use jagua_rs::geometry::Transformation;
use jagua_rs::geometry::fail_fast::SPSurrogateConfig;
use jagua_rs::geometry::geo_enums::GeoPosition;
use jagua_rs::geometry::geo_traits::TransformableFrom;
use jagua_rs::geometry::primitives::{Rect, SPolygon};
use partpledge_units::cast::to_f32;

use super::kind::{Coat, Kind};
use super::pairs::Pairs;
use super::poles::{Poles, clash};
use super::shrink::LONGER;

/// Plane left free beyond the reach of coats, mm.
const MARGIN_MM: f64 = 10.0;
/// Edges in a square of the engine's tree that are looked at one by one.
const FEW_EDGES: u8 = 16;

/// A bed somewhere in the plane.
#[expect(clippy::struct_field_names, reason = "the unit belongs to each")]
#[derive(Clone, Copy, Debug)]
pub(crate) struct Berth {
    /// Its near left corner, mm.
    pub(crate) corner_mm: [f64; 2],
    /// Its size, mm.
    pub(crate) size_mm: [f64; 2],
    /// Gap to its edge, mm.
    pub(crate) rim_mm: f64,
}

/// Where a copy is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Spot {
    /// Position in the list of berths.
    pub(crate) berth: usize,
    /// Turn in radians.
    pub(crate) turn: f64,
    /// Its middle in the plane, mm.
    pub(crate) at: [f64; 2],
}

/// What a copy can run into.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum Thing {
    Outside,
    Copy { index: usize, high: bool },
}

impl HazardEntity for Thing {
    fn scope(&self) -> GeoPosition {
        match self {
            Self::Outside => GeoPosition::Exterior,
            Self::Copy { .. } => GeoPosition::Interior,
        }
    }

    fn is_dynamic(&self) -> bool {
        matches!(self, Self::Copy { .. })
    }
}

/// A copy does not run into itself, nor into the plane's end; a high one meets other high ones in
/// the engine of wide coats only.
struct Others {
    me: usize,
    skip_high: bool,
}

impl HazardFilter<Thing> for Others {
    fn is_irrelevant(&self, _: HazKey, thing: &Thing) -> bool {
        match *thing {
            Thing::Outside => true,
            Thing::Copy { index, high } => index == self.me || (high && self.skip_high),
        }
    }
}

/// A copy on its spot.
#[derive(Clone, Debug)]
struct Piece {
    kind: usize,
    spot: Spot,
    near: Poles,
    far: Option<Poles>,
}

/// Polygons to move about for trials, one or two a kind, and what they hit.
pub(crate) struct Feeler {
    near: Vec<SPolygon>,
    far: Vec<Option<SPolygon>>,
    hits: BasicHazardCollector<Thing>,
    /// Trials made.
    pub(crate) trials: u64,
}

impl Feeler {
    /// For these kinds.
    pub(crate) fn of(kinds: &[Kind]) -> Self {
        Self {
            near: kinds.iter().map(|kind| kind.near.shape.clone()).collect(),
            far: kinds
                .iter()
                .map(|kind| kind.far.as_ref().map(|far| far.shape.clone()))
                .collect(),
            hits: BasicHazardCollector::new(),
            trials: 0,
        }
    }
}

/// Beds and copies.
#[derive(Clone)]
pub(crate) struct Field<'a> {
    pub(crate) kinds: &'a [Kind],
    pub(crate) berths: Vec<Berth>,
    near: CDEngine<Thing>,
    /// Only when some kind is high.
    far: Option<CDEngine<Thing>>,
    pieces: Vec<Piece>,
}

impl<'a> Field<'a> {
    /// Copies by kind at their spots. `None` if the plane can't be made.
    pub(crate) fn new(
        kinds: &'a [Kind],
        berths: Vec<Berth>,
        copies: &[(usize, Spot)],
    ) -> Option<Self> {
        let reach = kinds.iter().map(|kind| kind.reach_mm).fold(0.0, f64::max);
        let plane = plane(&berths, reach + MARGIN_MM)?;
        let middling =
            kinds.iter().map(|k| f64::from(k.diameter)).sum::<f64>() / kinds.len().max(1) as f64;
        let engine = || engine(plane, middling);
        let far = kinds.iter().any(|kind| kind.far.is_some()).then(engine);
        let mut field = Self {
            kinds,
            berths,
            near: engine(),
            far,
            pieces: Vec::with_capacity(copies.len()),
        };
        for &(kind, spot) in copies {
            let index = field.pieces.len();
            field.pieces.push(Piece {
                kind,
                spot,
                near: Poles::default(),
                far: None,
            });
            field.register(index);
        }
        Some(field)
    }

    /// How many copies there are.
    pub(crate) fn many(&self) -> usize {
        self.pieces.len()
    }

    /// The kind of a copy.
    pub(crate) fn kind_of(&self, i: usize) -> &'a Kind {
        &self.kinds[self.pieces[i].kind]
    }

    /// The kind's number of a copy.
    pub(crate) fn kind_index(&self, i: usize) -> usize {
        self.pieces[i].kind
    }

    /// Where a copy is.
    pub(crate) fn spot(&self, i: usize) -> Spot {
        self.pieces[i].spot
    }

    /// Where all copies are.
    pub(crate) fn spots(&self) -> Vec<Spot> {
        self.pieces.iter().map(|piece| piece.spot).collect()
    }

    /// Puts a copy elsewhere.
    pub(crate) fn put(&mut self, i: usize, spot: Spot) {
        let thing = self.thing(i);
        self.near.deregister_hazard_by_entity(thing);
        if let (Some(far), true) = (&mut self.far, self.kinds[self.pieces[i].kind].far.is_some()) {
            far.deregister_hazard_by_entity(thing);
        }
        self.pieces[i].spot = spot;
        self.register(i);
    }

    /// Puts all copies where they were.
    pub(crate) fn put_all(&mut self, spots: &[Spot]) {
        for (i, &spot) in spots.iter().enumerate() {
            if self.pieces[i].spot != spot {
                self.put(i, spot);
            }
        }
    }

    /// Where a kind's middle may lie on a berth when turned so; `None` when it does not fit.
    pub(crate) fn range(&self, kind: &Kind, berth: usize, turn: f64) -> Option<[[f64; 2]; 2]> {
        let Berth {
            corner_mm,
            size_mm,
            rim_mm,
        } = self.berths[berth];
        let (low, high) = kind.box_mm(turn);
        let least = [0, 1].map(|k| corner_mm[k] + rim_mm - low[k]);
        let most = [0, 1].map(|k| corner_mm[k] + size_mm[k] - rim_mm - high[k]);
        // What just fits has a range of nothing, give or take rounding.
        (0..2)
            .all(|k| most[k] >= least[k] - 1e-6)
            .then(|| [least, [0, 1].map(|k| most[k].max(least[k]))])
    }

    /// Weighted loss of copy `i` at `spot`; anything above `bound` is as bad as infinite.
    pub(crate) fn cost(
        &self,
        feeler: &mut Feeler,
        i: usize,
        spot: Spot,
        weights: &[f32],
        bound: f32,
    ) -> f32 {
        feeler.trials += 1;
        let mut sum = 0.0;
        let over = self.feel(feeler, i, spot, |j, loss| {
            sum += loss * weights[j];
            sum > bound
        });
        if over { f32::INFINITY } else { sum }
    }

    /// Works out the losses of copy `i` where it is.
    pub(crate) fn note(&self, feeler: &mut Feeler, pairs: &mut Pairs, i: usize) {
        pairs.clear(i);
        let _ = self.feel(feeler, i, self.pieces[i].spot, |j, loss| {
            pairs.set(i, j, loss);
            false
        });
    }

    /// Tells of each copy that `i` would run into at `spot`, until `stop` says so.
    fn feel(
        &self,
        feeler: &mut Feeler,
        i: usize,
        spot: Spot,
        mut stop: impl FnMut(usize, f32) -> bool,
    ) -> bool {
        let number = self.pieces[i].kind;
        let kind = &self.kinds[number];
        let place = transformation(spot);
        let mut look = |engine: &CDEngine<Thing>,
                        moved: &SPolygon,
                        coat: &Coat,
                        others: &Others| {
            let far = !others.skip_high && kind.far.is_some();
            feeler.hits.clear();
            let mut hit = |thing: Thing| {
                let Thing::Copy { index, .. } = thing else {
                    return false;
                };
                let other = &self.pieces[index];
                let poles = if far {
                    other.far.as_ref()
                } else {
                    Some(&other.near)
                };
                let Some(poles) = poles else { return false };
                let theirs = &self.kinds[other.kind];
                let diameter = kind.diameter.max(theirs.diameter);
                let scale = kind.scale * theirs.scale;
                stop(index, clash(poles, &coat.circles, spot, diameter, scale))
            };
            engine.collect_surrogate_collisions_until(moved, others, &mut feeler.hits, &mut hit)
                || engine.collect_poly_collisions_until(moved, others, &mut feeler.hits, &mut hit)
        };
        let high = kind.far.is_some();
        let moved = feeler.near[number].transform_from(&kind.near.shape, &place);
        let others = Others {
            me: i,
            skip_high: high,
        };
        if look(&self.near, moved, &kind.near, &others) {
            return true;
        }
        match (&self.far, &kind.far, &mut feeler.far[number]) {
            (Some(engine), Some(far), Some(moved)) => {
                let moved = moved.transform_from(&far.shape, &place);
                let others = Others {
                    me: i,
                    skip_high: false,
                };
                look(engine, moved, far, &others)
            }
            _ => false,
        }
    }

    fn thing(&self, i: usize) -> Thing {
        Thing::Copy {
            index: i,
            high: self.kinds[self.pieces[i].kind].far.is_some(),
        }
    }

    fn register(&mut self, i: usize) {
        let thing = self.thing(i);
        let piece = &mut self.pieces[i];
        let kind = &self.kinds[piece.kind];
        let place = transformation(piece.spot);
        let moved = |shape: &SPolygon| {
            let mut moved = shape.clone();
            moved.transform_from(shape, &place);
            moved
        };
        let near = moved(&kind.near.shape);
        piece.near = Poles::of(&kind.near.circles, piece.spot);
        self.near
            .register_hazard(Hazard::new(thing, Arc::new(near)));
        if let (Some(engine), Some(far)) = (&mut self.far, &kind.far) {
            piece.far = Some(Poles::of(&far.circles, piece.spot));
            engine.register_hazard(Hazard::new(thing, Arc::new(moved(&far.shape))));
        }
    }
}

fn transformation(spot: Spot) -> Transformation {
    let [x, y] = spot.at.map(to_f32);
    Transformation::empty().rotate_translate(to_f32(spot.turn), (x, y))
}

/// A rectangle round all berths, made longer as they may be, well away from any coat.
fn plane(berths: &[Berth], margin_mm: f64) -> Option<Rect> {
    let far = |k: usize| {
        let longer = [LONGER, 1.0][k];
        let ends = berths
            .iter()
            .map(|b| b.corner_mm[k] + b.size_mm[k] * longer);
        to_f32(ends.fold(0.0, f64::max) + margin_mm)
    };
    let before = to_f32(-margin_mm);
    Rect::try_new(before, before, far(0), far(1)).ok()
}

fn engine(plane: Rect, part_mm: f64) -> CDEngine<Thing> {
    let square = plane.inflate_to_square();
    let side = f64::from(square.x_max - square.x_min);
    // Squares at the bottom of the tree about as large as a part is long.
    let mut depth = 2;
    while depth < 8 && side / f64::from(1_u32 << depth) > part_mm * 0.5 {
        depth += 1;
    }
    let config = CDEConfig {
        quadtree_depth: depth,
        cd_threshold: FEW_EDGES,
        item_surrogate_config: SPSurrogateConfig::none(),
    };
    let outside = Hazard::new(Thing::Outside, Arc::new(SPolygon::from(plane)));
    CDEngine::new(square, vec![outside], config)
}
