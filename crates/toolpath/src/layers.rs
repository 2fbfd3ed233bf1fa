//! Every line of every layer, in the order in which it is laid: walls, solid skins, infill.

use partpledge_catalogue::ProcessSheet;
use partpledge_sections::outlines::to_mm;
use partpledge_sections::{Outlines, Section};
use rayon::prelude::*;

use crate::bead::{bead_area_mm2, no_void_spacing_mm};
use crate::fill::{Hatch, fill};
use crate::order::{Entrance, visit};
use crate::skins::{covers, split};
use crate::walls::walls;

/// What a line is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LineKind {
    /// Along the outline, or along the edge of a place too narrow for lines on both sides.
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
    /// Whether the filament is pulled back on the way to it.
    pub pull_back: bool,
}

/// The lines of one layer, in the order in which they are laid.
#[derive(Clone, Debug, PartialEq)]
pub struct LayerPaths {
    /// Height of this layer in mm.
    pub height_mm: f64,
    /// Section of its lines in mm².
    pub bead_mm2: f64,
    /// Its lines.
    pub lines: Vec<Line>,
    /// Where the inside is sparse: a share of it is filled, everything else is solid.
    pub sparse: Outlines,
    /// How far the head moves from the end of the layer below to the first line, mm.
    pub entry_mm: f64,
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

    /// Length of the moves between lines in mm, those from layer to layer included.
    #[must_use]
    pub fn travel_mm(&self) -> f64 {
        self.layers.iter().map(LayerPaths::travel_mm).sum()
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

    /// Length of the moves between its lines in mm, the one from the layer below included.
    #[must_use]
    pub fn travel_mm(&self) -> f64 {
        let between = self.lines.windows(2).filter_map(|pair| {
            let (end, start) = (pair[0].points.last()?, pair[1].points.first()?);
            Some(distance(*end, *start))
        });
        self.entry_mm + between.sum::<f64>()
    }
}

impl Line {
    /// Its length in mm.
    #[must_use]
    pub fn length_mm(&self) -> f64 {
        let steps = self.points.windows(2);
        steps.map(|p| distance(p[0], p[1])).sum()
    }
}

/// Lays out every line of a part that was cut at the middle of each layer, as
/// [`partpledge_sections::cut_layers`] does with the sheet's layer heights.
///
/// Walls follow the outline at half a line's width, further ones at the sheet's spacing; places
/// too narrow for them get a line that fills their area. What is inside the walls is solid where
/// fewer than `top_skins` layers lie above it or fewer than `bottom_skins` below, and sparse
/// elsewhere. Lines turn by 90° from layer to layer. Each layer is laid walls first, the nearest
/// line next. The same sections and sheet give the same lines on any number of threads.
///
/// # Source
/// Concentric walls, solid skins, straight infill: common practice, no source. Spacing that leaves
/// no void, derived here, see [`no_void_spacing_mm`].
#[must_use]
pub fn paths(sections: &[Section], sheet: &ProcessSheet) -> Paths {
    let outlines: Vec<&Outlines> = sections.iter().map(|section| &section.outlines).collect();
    let covers = covers(&outlines, sheet.top_skins, sheet.bottom_skins);
    let mut layers: Vec<LayerPaths> = outlines
        .par_iter()
        .zip(&covers)
        .enumerate()
        .map(|(i, (outlines, cover))| lay(i, outlines, cover.as_ref(), sheet))
        .collect();
    enter_from_below(&mut layers);
    Paths { layers }
}

fn lay(
    i: usize,
    outlines: &Outlines,
    cover: Option<&Outlines>,
    sheet: &ProcessSheet,
) -> LayerPaths {
    let height_mm = if i == 0 {
        sheet.first_layer_height_mm
    } else {
        sheet.layer_height_mm
    };
    let width_mm = sheet.line_width_mm;
    let no_void_mm = no_void_spacing_mm(width_mm, height_mm);
    // The catalogue's reader refuses closer lines; a sheet made by hand must not ask for millions.
    let spacing_mm = sheet.line_spacing_mm.unwrap_or(no_void_mm).max(0.01);
    let mut laying = Laying::new(sheet.pull_back_from_mm);

    let laid = walls(outlines, width_mm, spacing_mm, sheet.walls);
    laying.loops(laid.loops.iter().map(|middles| (middles, 1.0)));
    laying.loops(laid.gaps.iter().map(|gap| (&gap.outlines, gap.share)));

    let (solid, sparse) = split(laid.inner, outlines, cover, width_mm);
    laying.rows(LineKind::Skin, &solid, Hatch::of_layer(i, spacing_mm));
    let share = (sheet.infill_percent / 100.0).min(1.0);
    if share > 0.0 {
        laying.rows(
            LineKind::Infill,
            &sparse,
            Hatch::of_layer(i, spacing_mm / share),
        );
    }
    let bead_mm2 = bead_area_mm2(width_mm, height_mm);
    LayerPaths {
        height_mm,
        bead_mm2,
        lines: laying.lines,
        sparse,
        entry_mm: 0.0,
    }
}

/// A layer being laid, and where the head stands.
struct Laying {
    lines: Vec<Line>,
    at: Option<[f64; 2]>,
    pull_back_from_mm: f64,
}

impl Laying {
    fn new(pull_back_from_mm: f64) -> Self {
        Self {
            lines: Vec::new(),
            at: None,
            pull_back_from_mm,
        }
    }

    /// Lays closed loops, each for a share of its length, nearest first.
    fn loops<'a>(&mut self, groups: impl Iterator<Item = (&'a Outlines, f64)>) {
        let all: Vec<(Vec<[f64; 2]>, f64)> = groups
            .flat_map(|(outlines, share)| outlines.iter().map(move |path| (path, share)))
            .map(|(path, share)| (path.iter().map(|&point| to_mm(point)).collect(), share))
            .collect();
        let entrances: Vec<Vec<Entrance>> = all
            .iter()
            .map(|(path, _)| {
                vec![Entrance {
                    into: path[0],
                    out: path[0],
                }]
            })
            .collect();
        let at = self
            .at
            .or_else(|| all.first().map(|(path, _)| path[0]))
            .unwrap_or_default();
        for (item, _) in visit(&entrances, at) {
            let (path, share) = &all[item];
            let mut points = path.clone();
            let seam = nearest(&points, self.at.unwrap_or(at));
            points.rotate_left(seam);
            points.push(points[0]);
            shorten(&mut points, *share);
            self.line(LineKind::Wall, points, self.pull_back_from_mm);
        }
    }

    /// Fills a region with rows of lines.
    fn rows(&mut self, kind: LineKind, region: &Outlines, hatch: Hatch) {
        // Hops from row to row of one filling keep the filament where it is, however sparse.
        let hop_mm = self.pull_back_from_mm.max(2.5 * hatch.pitch_mm);
        for ends in fill(region, hatch, self.at.unwrap_or_default()) {
            self.line(kind, ends.to_vec(), hop_mm);
        }
    }

    fn line(&mut self, kind: LineKind, points: Vec<[f64; 2]>, pull_back_from_mm: f64) {
        let hop_mm = self.at.map_or(0.0, |at| distance(at, points[0]));
        self.at = points.last().copied();
        self.lines.push(Line {
            kind,
            points,
            pull_back: hop_mm > pull_back_from_mm,
        });
    }
}

fn distance(a: [f64; 2], b: [f64; 2]) -> f64 {
    (b[0] - a[0]).hypot(b[1] - a[1])
}

fn nearest(path: &[[f64; 2]], at: [f64; 2]) -> usize {
    let gaps = path.iter().map(|&point| distance(at, point)).enumerate();
    gaps.min_by(|a, b| a.1.total_cmp(&b.1))
        .map_or(0, |(i, _)| i)
}

/// Cuts a path off after a share of its length.
fn shorten(path: &mut Vec<[f64; 2]>, share: f64) {
    if share >= 1.0 {
        return;
    }
    let whole: f64 = path.windows(2).map(|pair| distance(pair[0], pair[1])).sum();
    let mut left_mm = whole * share;
    for i in 1..path.len() {
        let step = distance(path[i - 1], path[i]);
        if step >= left_mm {
            let t = if step > 0.0 { left_mm / step } else { 0.0 };
            path[i] = std::array::from_fn(|k| path[i - 1][k] + t * (path[i][k] - path[i - 1][k]));
            path.truncate(i + 1);
            return;
        }
        left_mm -= step;
    }
}

fn enter_from_below(layers: &mut [LayerPaths]) {
    let mut at: Option<[f64; 2]> = None;
    for layer in layers {
        let first = layer.lines.first().and_then(|line| line.points.first());
        if let (Some(at), Some(&first)) = (at, first) {
            layer.entry_mm = distance(at, first);
        }
        at = layer
            .lines
            .last()
            .and_then(|line| line.points.last())
            .copied()
            .or(at);
    }
}

#[cfg(test)]
mod tests {
    use partpledge_units::tolerance::close;

    use super::*;

    #[test]
    fn a_path_is_cut_off_at_its_share() {
        let mut path = vec![[0.0, 0.0], [10.0, 0.0], [10.0, 10.0]];
        shorten(&mut path, 0.75);
        assert_eq!(path.len(), 3);
        assert!(close(path[2][1], 5.0, 1e-12, 0.0));
        shorten(&mut path, 1.0);
        assert_eq!(path.len(), 3);
    }
}
