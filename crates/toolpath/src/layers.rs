//! Every line of every layer, in the order in which it is laid.

use clipper2_rust::FillRule;
use partpledge_catalogue::{InfillPattern, ProcessSheet};
use partpledge_sections::outlines::{area_mm2, common, offset, to_mm, without};
use partpledge_sections::{Outlines, Section};
use rayon::prelude::*;

use crate::bead::{bead_area_mm2, no_void_spacing_mm};
use crate::fill::{Hatch, Stroke, clip, ordered};
use crate::hanging::{Bridge, Hanging, hanging};
use crate::order::{Entrance, visit};
use crate::skins::{covers, split};
use crate::support::{Grid, Support, support};
use crate::walls::walls;

/// What a line is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LineKind {
    /// Round the foot of the part, so that it holds on; taken off afterwards.
    Brim,
    /// Under what hangs; taken off afterwards.
    Support,
    /// Along the outline, or along the edge of a place too narrow for lines on both sides.
    Wall,
    /// Solid, under a surface or over one.
    Skin,
    /// Solid, from one held side to another over air.
    Bridge,
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
    /// What support and brim take of the bed, beside the part itself.
    pub aside: Outlines,
}

impl Paths {
    /// Length of all lines of one kind in mm.
    #[must_use]
    pub fn length_mm(&self, kind: LineKind) -> f64 {
        self.layers
            .iter()
            .map(|layer| layer.length_mm(Some(kind)))
            .fold(0.0, |sum, length| sum + length)
    }

    /// Length of the moves between lines in mm, those from layer to layer included.
    #[must_use]
    pub fn travel_mm(&self) -> f64 {
        self.layers.iter().map(LayerPaths::travel_mm).sum()
    }

    /// Volume laid in mm³, support and brim included.
    #[must_use]
    pub fn volume_mm3(&self) -> f64 {
        self.layers
            .iter()
            .map(|layer| layer.length_mm(None) * layer.bead_mm2)
            .sum()
    }

    /// Volume that is taken off again in mm³: support and brim.
    #[must_use]
    pub fn taken_off_mm3(&self) -> f64 {
        let off = |layer: &LayerPaths| {
            let [brim, support] = [LineKind::Brim, LineKind::Support].map(Some);
            (layer.length_mm(brim) + layer.length_mm(support)) * layer.bead_mm2
        };
        // Not `sum`: of nothing that is -0.
        self.layers.iter().map(off).fold(0.0, |sum, off| sum + off)
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
        wanted
            .map(Line::length_mm)
            .fold(0.0, |sum, length| sum + length)
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
/// elsewhere. Where that spans air between held sides its lines run from side to side; other
/// hanging places get columns of support. Lines turn by 90° from layer to layer. Each layer is
/// laid brim and support first, then walls, the nearest line next. The same sections and sheet
/// give the same lines on any number of threads.
///
/// # Source
/// Concentric walls, solid skins, straight infill, straight columns: common practice, no source.
/// Spacing that leaves no void, derived here, see [`no_void_spacing_mm`].
#[must_use]
pub fn paths(sections: &[Section], sheet: &ProcessSheet) -> Paths {
    let outlines: Vec<&Outlines> = sections.iter().map(|section| &section.outlines).collect();
    let hanging: Vec<Hanging> = (0..outlines.len())
        .into_par_iter()
        .map(|i| hanging(&outlines, i, sheet))
        .collect();
    let grid = Grid::of(sheet, spacing_mm(sheet, sheet.layer_height_mm));
    let (covers, support) = rayon::join(
        || covers(&outlines, sheet.top_skins, sheet.bottom_skins),
        || grid.map(|grid| support(&outlines, &hanging, grid, sheet)),
    );
    let support = |i: usize| {
        support
            .as_ref()
            .zip(grid)
            .map(|(list, grid)| (&list[i], grid))
    };
    let mut layers: Vec<LayerPaths> = (0..outlines.len())
        .into_par_iter()
        .map(|i| {
            let around = Around {
                cover: covers[i].as_ref(),
                bridges: &hanging[i].bridges,
                support: support(i),
            };
            lay(i, outlines[i], &around, sheet)
        })
        .collect();
    enter_from_below(&mut layers);
    let aside = outlines
        .first()
        .map(|foot| aside(foot, support(0), sheet))
        .unwrap_or_default();
    Paths { layers, aside }
}

/// What the neighbours of a layer ask of it.
struct Around<'a> {
    cover: Option<&'a Outlines>,
    bridges: &'a [Bridge],
    support: Option<(&'a Support, Grid)>,
}

fn lay(i: usize, outlines: &Outlines, around: &Around<'_>, sheet: &ProcessSheet) -> LayerPaths {
    let height_mm = if i == 0 {
        sheet.first_layer_height_mm
    } else {
        sheet.layer_height_mm
    };
    let width_mm = sheet.line_width_mm;
    let spacing_mm = spacing_mm(sheet, height_mm);
    let mut laying = Laying::new(sheet.pull_back_from_mm);
    if i == 0 {
        laying.brim(outlines, sheet, spacing_mm);
    }
    if let Some((support, grid)) = around.support {
        laying.known(LineKind::Support, &support.dense, grid.dense);
        laying.known(LineKind::Support, &support.shaft, grid.shaft);
    }

    let laid = walls(outlines, width_mm, spacing_mm, sheet.walls);
    let whole = laid.loops.iter().map(|middles| (middles, 1.0));
    laying.loops(LineKind::Wall, whole);
    let gaps = laid.gaps.iter().map(|gap| (&gap.outlines, gap.share));
    laying.loops(LineKind::Wall, gaps);

    let (mut solid, mut sparse) = split(laid.inner, outlines, around.cover, width_mm);
    let inside = [&mut solid, &mut sparse];
    laying.bridges(around.bridges, inside, width_mm, spacing_mm);
    laying.rows(LineKind::Skin, &solid, Hatch::of_layer(i, spacing_mm));
    laying.infill(i, &sparse, sheet, spacing_mm);
    LayerPaths {
        height_mm,
        bead_mm2: bead_area_mm2(width_mm, height_mm),
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

    /// Loops round the foot, the farthest first, so that the part is laid against them.
    fn brim(&mut self, foot: &Outlines, sheet: &ProcessSheet, spacing_mm: f64) {
        let outer: Outlines = foot
            .iter()
            .filter(|path| clipper2_rust::area(path) > 0.0)
            .cloned()
            .collect();
        for line in (0..sheet.brim_lines).rev() {
            let loops = offset(&outer, (f64::from(line) + 0.5) * spacing_mm);
            self.loops(LineKind::Brim, std::iter::once((&loops, 1.0)));
        }
    }

    /// Lays the bridges, and takes their place out of what is to be solid and sparse.
    fn bridges(
        &mut self,
        bridges: &[Bridge],
        [solid, sparse]: [&mut Outlines; 2],
        width_mm: f64,
        spacing_mm: f64,
    ) {
        for bridge in bridges {
            // Its lines reach a line's width onto what holds them.
            let reach = offset(&bridge.outlines, width_mm);
            let mut span = common(solid, &reach);
            if area_mm2(&span) <= width_mm * width_mm {
                continue;
            }
            let held = common(sparse, &reach);
            span = clipper2_rust::union_64(&span, &held, FillRule::NonZero);
            let hatch = Hatch::of_layer(0, spacing_mm).turned_to(bridge.towards_deg);
            self.rows(LineKind::Bridge, &span, hatch);
            for region in [&mut *solid, &mut *sparse] {
                *region = without(region, &reach);
            }
        }
    }

    /// Fills a region sparsely, in the sheet's pattern.
    fn infill(&mut self, i: usize, sparse: &Outlines, sheet: &ProcessSheet, spacing_mm: f64) {
        let share = (sheet.infill_percent / 100.0).min(1.0);
        if share <= 0.0 {
            return;
        }
        let hatch = Hatch::of_layer(i, spacing_mm / share);
        match sheet.infill_pattern {
            InfillPattern::Crossed => self.rows(LineKind::Infill, sparse, hatch),
            // Lines that cross in one layer would lie on each other where the inside is solid.
            InfillPattern::ThreeWay if share > 0.5 => self.rows(LineKind::Infill, sparse, hatch),
            InfillPattern::ThreeWay => {
                for towards_deg in [0.0, 60.0, 120.0] {
                    let third = Hatch {
                        pitch_mm: 3.0 * hatch.pitch_mm,
                        ..hatch.turned_to(towards_deg)
                    };
                    self.rows(LineKind::Infill, sparse, third);
                }
            }
        }
    }

    /// Lays closed loops, each for a share of its length, nearest first.
    fn loops<'a>(&mut self, kind: LineKind, groups: impl Iterator<Item = (&'a Outlines, f64)>) {
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
            self.line(kind, points, self.pull_back_from_mm);
        }
    }

    /// Fills a region with rows of lines.
    fn rows(&mut self, kind: LineKind, region: &Outlines, hatch: Hatch) {
        self.known(kind, &clip(region, hatch), hatch);
    }

    /// Lays lines of a grid.
    fn known(&mut self, kind: LineKind, rows: &[Stroke], hatch: Hatch) {
        // Hops from row to row of one filling keep the filament where it is, however sparse.
        let hop_mm = self.pull_back_from_mm.max(2.5 * hatch.pitch_mm);
        for ends in ordered(rows, hatch, self.at.unwrap_or_default()) {
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

/// Distance of neighbouring lines in layers of that height.
fn spacing_mm(sheet: &ProcessSheet, height_mm: f64) -> f64 {
    let no_void_mm = no_void_spacing_mm(sheet.line_width_mm, height_mm);
    // The catalogue's reader refuses closer lines; a sheet made by hand must not ask for millions.
    sheet.line_spacing_mm.unwrap_or(no_void_mm).max(0.01)
}

/// The bed under support and brim.
fn aside(foot: &Outlines, support: Option<(&Support, Grid)>, sheet: &ProcessSheet) -> Outlines {
    let spacing_mm = spacing_mm(sheet, sheet.first_layer_height_mm);
    let mut out = match sheet.brim_lines {
        0 => Outlines::new(),
        lines => offset(foot, f64::from(lines) * spacing_mm),
    };
    out.extend(
        support
            .into_iter()
            .flat_map(|(support, grid)| grid.foot(support)),
    );
    clipper2_rust::union_subjects_64(&out, FillRule::NonZero)
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
