//! What joins each two layers.

use std::borrow::Cow;

use partpledge_catalogue::ProcessSheet;
use partpledge_sections::outlines::{self, bounds_mm};
use partpledge_sections::{Outlines, Section as Cut};
use rayon::prelude::*;

use super::section::{Moments, Section, origin_mm};
use crate::layers::{LayerPaths, Paths};

/// A part as it will be built: the cuts, the lines laid in them, and how full the inside is.
#[derive(Clone, Copy, Debug)]
pub struct Build<'a> {
    pub(crate) cuts: &'a [Cut],
    pub(crate) layers: &'a [LayerPaths],
    pub(crate) share: f64,
}

/// What joins a layer to the one on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bond {
    /// Number of the lower layer, 0 on the bed.
    pub layer: usize,
    /// Height of the joint over the bed, mm.
    pub height_mm: f64,
    /// The area that bears; `None` where nothing joins.
    pub section: Option<Section>,
    /// Section modulus for the load asked about, else for the worst way to load it, mm³.
    pub modulus_mm3: f64,
    /// The way of that load, a unit vector.
    pub way: [f64; 2],
}

impl<'a> Build<'a> {
    /// The cuts and lines of one part on one sheet, as [`crate::paths`] made them.
    #[must_use]
    pub fn new(cuts: &'a [Cut], paths: &'a Paths, sheet: &ProcessSheet) -> Self {
        debug_assert_eq!(cuts.len(), paths.layers.len(), "lines of other cuts");
        Self {
            cuts,
            layers: &paths.layers,
            share: (sheet.infill_percent / 100.0).clamp(0.0, 1.0),
        }
    }

    /// Height over the bed of the top of a layer, mm.
    pub(crate) fn top_mm(&self, layer: usize) -> f64 {
        let foot_mm = self.cuts[0].z_mm - self.layers[0].height_mm / 2.0;
        self.cuts[layer].z_mm + self.layers[layer].height_mm / 2.0 - foot_mm
    }

    /// Height of the part as printed, mm.
    pub(crate) fn height_mm(&self) -> f64 {
        self.cuts
            .len()
            .checked_sub(1)
            .map_or(0.0, |last| self.top_mm(last))
    }

    /// Area of what is laid in a layer, mm².
    pub(crate) fn area_mm2(&self, layer: usize) -> f64 {
        self.layer_moments(layer, self.share).0.area_mm2
    }

    /// Moments of one layer, its sparse inside counted by `share`.
    pub(crate) fn layer_moments(&self, layer: usize, share: f64) -> (Moments, [f64; 2]) {
        let outlines = &self.cuts[layer].outlines;
        let origin_mm = origin_mm(outlines);
        let hollow = Moments::of(&self.layers[layer].sparse, origin_mm);
        let whole = Moments::of(outlines, origin_mm);
        (whole.with(&hollow, share - 1.0), origin_mm)
    }
}

/// Where both a layer and the one on it have material.
#[must_use]
pub fn joined<'a>(build: &Build<'a>, layer: usize) -> Cow<'a, Outlines> {
    common(&build.cuts[layer].outlines, &build.cuts[layer + 1].outlines)
}

/// The joint over each layer but the last, from the bed up; `way` is a sideways load asked about.
///
/// The cost grows with the corners of the outlines; layers are worked on side by side.
/// # Source
/// Derived here. With `d` the part of a place that is filled, 1 in walls and skins and `s` in the
/// sparse inside, two layers touch on `d₁ d₂` of it: sparse lines cross those of the next layer, and
/// those that run the same way are shifted by another part of their pitch in every layer.
#[must_use]
pub fn bonds(build: &Build<'_>, way: Option<[f64; 2]>) -> Vec<Bond> {
    (0..build.cuts.len().saturating_sub(1))
        .into_par_iter()
        .map(|layer| bond(build, layer, way))
        .collect()
}

fn bond(build: &Build<'_>, layer: usize, way: Option<[f64; 2]>) -> Bond {
    let both = joined(build, layer);
    let origin_mm = origin_mm(&both);
    let section = bonded(build, layer, &both, origin_mm).section(origin_mm);
    let (modulus_mm3, way) = match (&section, way) {
        (Some(section), Some(way)) => (section.modulus_mm3(way, &both), way),
        (Some(section), None) => section.least_modulus_mm3(&both),
        (None, way) => (0.0, way.unwrap_or([1.0, 0.0])),
    };
    Bond {
        layer,
        height_mm: build.top_mm(layer),
        section,
        modulus_mm3,
        way,
    }
}

/// The integral of `d₁ d₂` where both layers have material: `1 - (1-s)(h₁ + h₂) + (1-s)² h₁ h₂`,
/// h being 1 in the sparse inside of a layer.
fn bonded(build: &Build<'_>, layer: usize, both: &Outlines, origin_mm: [f64; 2]) -> Moments {
    let whole = Moments::of(both, origin_mm);
    let missing = 1.0 - build.share;
    if missing <= 0.0 {
        return whole;
    }
    let (below, above) = (&build.layers[layer].sparse, &build.layers[layer + 1].sparse);
    let [outer_below, outer_above] = [layer, layer + 1].map(|i| &build.cuts[i].outlines);
    let of = |outlines: &Outlines| Moments::of(outlines, origin_mm);
    // On straight-sided parts the sparse inside of one layer lies in the outlines of the next.
    let within = |sparse: &Outlines, own: &Outlines, other: &Outlines| {
        if own == other {
            of(sparse)
        } else {
            of(&common(sparse, other))
        }
    };
    whole
        .with(&within(below, outer_below, outer_above), -missing)
        .with(&within(above, outer_above, outer_below), -missing)
        .with(&of(&common(below, above)), missing * missing)
}

/// What two regions have in common; equal or distant ones cost next to nothing.
fn common<'a>(a: &'a Outlines, b: &'a Outlines) -> Cow<'a, Outlines> {
    if a == b || a.is_empty() {
        return Cow::Borrowed(a);
    }
    if b.is_empty() {
        return Cow::Borrowed(b);
    }
    let apart = match (bounds_mm(a), bounds_mm(b)) {
        (Some((al, ah)), Some((bl, bh))) => (0..2).any(|k| ah[k] < bl[k] || bh[k] < al[k]),
        _ => true,
    };
    if apart {
        return Cow::Owned(Outlines::new());
    }
    Cow::Owned(outlines::common(a, b))
}
