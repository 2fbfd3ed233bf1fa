//! Every line of every layer: walls, solid skins, infill.

use clipper2_rust::FillRule;
use partpledge_catalogue::ProcessSheet;
use partpledge_sections::outlines::{area_mm2, offset, to_mm};
use partpledge_sections::{Outlines, Section};
use rayon::prelude::*;

use crate::bead::{bead_area_mm2, no_void_spacing_mm};
use crate::fill;

/// What a line is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LineKind {
    /// Along the outline.
    Wall,
    /// Solid, under a surface or over one.
    Skin,
    /// Sparse inside.
    Infill,
}

/// One laid line.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What it is for.
    pub kind: LineKind,
    /// Middle of the line in mm; a closed line ends where it begins.
    pub points: Vec<[f64; 2]>,
}

/// The lines of one layer, in no particular order yet.
#[derive(Clone, Debug, PartialEq)]
pub struct LayerPaths {
    /// Height of this layer in mm.
    pub height_mm: f64,
    /// Section of its lines in mm².
    pub bead_mm2: f64,
    /// Its lines.
    pub lines: Vec<Line>,
}

/// All lines of a part on one sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Paths {
    /// From the bed up.
    pub layers: Vec<LayerPaths>,
}

impl Paths {
    /// Length of all lines of one kind in mm.
    #[must_use]
    pub fn length_mm(&self, kind: LineKind) -> f64 {
        self.layers
            .iter()
            .map(|layer| layer.length_mm(Some(kind)))
            .sum()
    }

    /// Volume laid in mm³.
    #[must_use]
    pub fn volume_mm3(&self) -> f64 {
        self.layers
            .iter()
            .map(|layer| layer.length_mm(None) * layer.bead_mm2)
            .sum()
    }
}

impl LayerPaths {
    /// Length of its lines of one kind, or of all, in mm.
    #[must_use]
    pub fn length_mm(&self, kind: Option<LineKind>) -> f64 {
        let wanted = self
            .lines
            .iter()
            .filter(|line| kind.is_none_or(|kind| line.kind == kind));
        wanted.map(Line::length_mm).sum()
    }
}

impl Line {
    /// Its length in mm.
    #[must_use]
    pub fn length_mm(&self) -> f64 {
        let steps = self.points.windows(2);
        steps
            .map(|p| (p[1][0] - p[0][0]).hypot(p[1][1] - p[0][1]))
            .sum()
    }
}

/// Lays out every line of a part that was cut at the middle of each layer.
///
/// Walls follow the outline at half a line's width, further ones at the sheet's spacing. What is
/// inside them is solid where fewer than `top_skins` layers lie above it or fewer than
/// `bottom_skins` below, and sparse elsewhere. Lines turn by 90° from layer to layer. The same
/// sections and sheet give the same lines on any number of threads.
///
/// # Source
/// Concentric walls, solid skins, straight infill: common practice, no source. Spacing that leaves
/// no void, derived here, see [`no_void_spacing_mm`].
#[must_use]
pub fn paths(sections: &[Section], sheet: &ProcessSheet) -> Paths {
    let inner: Vec<Layer> = sections
        .par_iter()
        .enumerate()
        .map(|(i, section)| Layer::walled(i, section, sheet))
        .collect();
    let layers = (0..sections.len())
        .into_par_iter()
        .map(|i| {
            let (skin, sparse) = split(i, sections, &inner[i].inside, sheet);
            inner[i].filled(i, &skin, &sparse, sheet)
        })
        .collect();
    Paths { layers }
}

/// A layer with its walls and what is left inside them.
struct Layer {
    height_mm: f64,
    spacing_mm: f64,
    walls: Vec<Line>,
    inside: Outlines,
}

impl Layer {
    fn walled(i: usize, section: &Section, sheet: &ProcessSheet) -> Self {
        let height_mm = if i == 0 {
            sheet.first_layer_height_mm
        } else {
            sheet.layer_height_mm
        };
        let width = sheet.line_width_mm;
        let spacing_mm = sheet
            .line_spacing_mm
            .unwrap_or_else(|| no_void_spacing_mm(width, height_mm));
        let mut walls = Vec::new();
        for wall in 0..sheet.walls {
            let inset = width / 2.0 + f64::from(wall) * spacing_mm;
            let ring = offset(&section.outlines, -inset);
            if ring.is_empty() {
                break;
            }
            walls.extend(ring.iter().map(|path| {
                let mut points: Vec<[f64; 2]> = path.iter().map(|&p| to_mm(p)).collect();
                points.extend(points.first().copied());
                Line {
                    kind: LineKind::Wall,
                    points,
                }
            }));
        }
        let inset = match sheet.walls {
            0 => 0.0,
            n => width / 2.0 + (f64::from(n) - 0.5) * spacing_mm,
        };
        let inside = if inset > 0.0 {
            offset(&section.outlines, -inset)
        } else {
            section.outlines.clone()
        };
        Self {
            height_mm,
            spacing_mm,
            walls,
            inside,
        }
    }

    fn filled(
        &self,
        i: usize,
        skin: &Outlines,
        sparse: &Outlines,
        sheet: &ProcessSheet,
    ) -> LayerPaths {
        let angle_deg = if i % 2 == 0 { 45.0 } else { 135.0 };
        let mut lines = self.walls.clone();
        let straight = |kind, outlines: &Outlines, spacing_mm: f64| {
            let found = fill::lines(outlines, spacing_mm, angle_deg);
            found.into_iter().map(move |ends| Line {
                kind,
                points: ends.to_vec(),
            })
        };
        lines.extend(straight(LineKind::Skin, skin, self.spacing_mm));
        let share = sheet.infill_percent / 100.0;
        if share > 0.0 {
            lines.extend(straight(
                LineKind::Infill,
                sparse,
                self.spacing_mm / share.min(1.0),
            ));
        }
        let bead_mm2 = bead_area_mm2(sheet.line_width_mm, self.height_mm);
        LayerPaths {
            height_mm: self.height_mm,
            bead_mm2,
            lines,
        }
    }
}

/// What is inside the walls of layer `i`, as solid skin and sparse inside.
fn split(
    i: usize,
    sections: &[Section],
    inside: &Outlines,
    sheet: &ProcessSheet,
) -> (Outlines, Outlines) {
    let below = i.checked_sub(sheet.bottom_skins as usize);
    let above = i + sheet.top_skins as usize;
    let (Some(first), true) = (below, above < sections.len()) else {
        return (inside.clone(), Outlines::new());
    };
    // Where every neighbour has material; equal neighbours, the common case, cost nothing.
    let own = &sections[i].outlines;
    let mut cover: Option<Outlines> = None;
    let mut last = own;
    for neighbour in (first..=above).filter(|&j| j != i) {
        let next = &sections[neighbour].outlines;
        if next == own || next == last {
            continue;
        }
        last = next;
        let so_far = cover.as_ref().unwrap_or(inside);
        cover = Some(clipper2_rust::intersect_64(so_far, next, FillRule::NonZero));
    }
    let Some(cover) = cover else {
        return (Outlines::new(), inside.clone());
    };
    let bare = clipper2_rust::difference_64(inside, &cover, FillRule::NonZero);
    // Slivers narrower than a line can't be laid as skin; they stay with the inside.
    let width = sheet.line_width_mm;
    let skin = offset(&offset(&bare, -width / 4.0), width / 4.0);
    if area_mm2(&skin) < width * width {
        return (Outlines::new(), inside.clone());
    }
    let sparse = clipper2_rust::difference_64(inside, &skin, FillRule::NonZero);
    (skin, sparse)
}
