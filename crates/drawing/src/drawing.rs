//! The finished picture and what can be asked of it.

use partpledge_mesh::Mesh;

use crate::ink::inked;
use crate::projection::{Canvas, Projection, View};
use crate::samples::{Samples, cell};
use crate::shade::lightness;
use crate::tones::{Light, SEE_THROUGH, Tally, palette, tone};

/// Samples along each side of a pixel, while the picture is of a common size.
const PER_PX: u32 = 3;
/// More samples than this (128 MB) are never held; larger pictures get coarser lines instead.
const MAX_SAMPLES: u64 = 16_777_216;
/// A point this many pixels behind the surface still counts as on it.
const BEHIND_PX: f64 = 2.0;
/// As does one this share of the part's diagonal behind it, for places inside a thin wall.
const BEHIND_SHARE: f64 = 0.01;

/// A picture of a mesh.
#[derive(Clone, Debug)]
pub struct Drawing {
    /// Width in pixels.
    pub width_px: u32,
    /// Height in pixels.
    pub height_px: u32,
    projection: Projection,
    indices: Vec<u8>,
    rgba: Vec<u8>,
    /// The farthest of each pixel's samples, in pixels.
    depth_px: Vec<f32>,
}

/// The mesh in clay and ink on clear ground: light on top, ink lines 1.3 pixels wide on outlines,
/// on creases of more than 25 degrees and on steps in depth. Surfaces look the same from both
/// sides. Triangles with a missing or non-finite corner are left out. The same mesh, view and
/// canvas give the same bytes.
///
/// `None` for a mesh in which nothing is left to draw, or without extent.
///
/// ```
/// use partpledge_drawing::{Canvas, View, draw};
/// use partpledge_mesh::Mesh;
/// let tile = Mesh {
///     vertices: vec![[0.0; 3], [20.0, 0.0, 0.0], [20.0, 20.0, 0.0], [0.0, 20.0, 0.0]],
///     triangles: vec![[0, 1, 2], [0, 2, 3]],
/// };
/// let canvas = Canvas { width_px: 120, height_px: 90, margin_px: 8 };
/// let drawing = draw(&tile, View::default(), canvas).unwrap();
/// assert_eq!(drawing.rgba().len(), 120 * 90 * 4);
/// assert!(!drawing.hidden([10.0, 10.0, 0.0]) && drawing.hidden([10.0, 10.0, -5.0]));
/// ```
#[must_use]
pub fn draw(mesh: &Mesh, view: View, canvas: Canvas) -> Option<Drawing> {
    drawn(mesh, Projection::of(mesh, view, canvas)?)
}

/// As [`draw()`], but only what lies near: the box between two corners (mm) fills the canvas, and
/// what is beside it is cut off.
///
/// ```
/// use partpledge_drawing::{Canvas, View, draw_close};
/// use partpledge_mesh::Mesh;
/// let tile = Mesh {
///     vertices: vec![[0.0; 3], [20.0, 0.0, 0.0], [20.0, 20.0, 0.0], [0.0, 20.0, 0.0]],
///     triangles: vec![[0, 1, 2], [0, 2, 3]],
/// };
/// let canvas = Canvas { width_px: 120, height_px: 90, margin_px: 0 };
/// let near = ([8.0, 8.0, -2.0], [12.0, 12.0, 2.0]);
/// let drawing = draw_close(&tile, View::default(), canvas, near).unwrap();
/// let [x, y] = drawing.place([10.0, 10.0, 0.0]);
/// assert!((x - 60.0).abs() < 1e-9 && (y - 45.0).abs() < 1e-9, "in the middle");
/// ```
#[must_use]
pub fn draw_close(
    mesh: &Mesh,
    view: View,
    canvas: Canvas,
    near_mm: ([f64; 3], [f64; 3]),
) -> Option<Drawing> {
    drawn(mesh, Projection::fitted(near_mm, view, canvas)?)
}

fn drawn(mesh: &Mesh, projection: Projection) -> Option<Drawing> {
    let canvas = projection.canvas();
    let pixels = u64::from(canvas.width_px) * u64::from(canvas.height_px);
    let fits = |per_px: &u32| pixels * u64::from(per_px.pow(2)) <= MAX_SAMPLES;
    let per_px = (1..=PER_PX).rev().find(fits).unwrap_or(1);
    let samples = Samples::of(mesh, &projection, per_px);
    if !samples.depth.iter().any(|depth| depth.is_finite()) {
        return None;
    }
    let ink = inked(&samples, per_px);
    let light = Light::of_elevation(projection.elevation());
    let lights = lightness(&samples, &ink, light, per_px);
    let (indices, depth_px) = gathered(&samples, &ink, &lights, per_px);
    let palette = palette();
    let rgba = indices
        .iter()
        .flat_map(|&i| palette[usize::from(i)])
        .collect();
    Some(Drawing {
        width_px: canvas.width_px,
        height_px: canvas.height_px,
        projection,
        indices,
        rgba,
        depth_px,
    })
}

/// Palette place and farthest depth of each pixel.
fn gathered(samples: &Samples, ink: &[bool], lights: &[u8], per_px: u32) -> (Vec<u8>, Vec<f32>) {
    let side = usize::try_from(per_px).unwrap_or(1);
    let unit = f32::from(u16::try_from(per_px).unwrap_or(1));
    let (columns, rows) = (samples.width / side, samples.height / side);
    let mut indices = Vec::with_capacity(columns * rows);
    let mut depth_px = Vec::with_capacity(columns * rows);
    for (row, column) in (0..rows).flat_map(|y| (0..columns).map(move |x| (y, x))) {
        let mut tally = Tally::default();
        let mut farthest = f32::NEG_INFINITY;
        for y in row * side..(row + 1) * side {
            for at in (y * samples.width + column * side..).take(side) {
                farthest = farthest.max(samples.depth[at]);
                if ink[at] {
                    tally.ink += 1;
                } else if samples.depth[at].is_finite() {
                    tally.clay += 1;
                    tally.tones += u16::from(tone(lights[at]));
                } else {
                    tally.clear += 1;
                }
            }
        }
        indices.push(tally.index());
        depth_px.push(farthest / unit);
    }
    (indices, depth_px)
}

impl Drawing {
    /// The picture as a PNG file with a palette (ISO/IEC 15948), about 10 kB for 720 x 620.
    ///
    /// # Panics
    /// Never in practice: writing to memory cannot fail and the picture is never empty.
    #[must_use]
    pub fn png(&self) -> Vec<u8> {
        let palette = palette();
        let mut bytes = Vec::new();
        let mut encoder = png::Encoder::new(&mut bytes, self.width_px, self.height_px);
        encoder.set_color(png::ColorType::Indexed);
        encoder.set_depth(png::BitDepth::Eight);
        encoder.set_compression(png::Compression::High);
        encoder.set_filter(png::Filter::NoFilter);
        let colours: Vec<u8> = palette.iter().flat_map(|&[r, g, b, _]| [r, g, b]).collect();
        encoder.set_palette(colours);
        let covers: Vec<u8> = palette.iter().take(SEE_THROUGH).map(|c| c[3]).collect();
        encoder.set_trns(covers);
        let mut writer = encoder
            .write_header()
            .expect("memory takes every byte, and a drawing has at least one pixel");
        writer
            .write_image_data(&self.indices)
            .expect("a drawing holds exactly width x height indices");
        drop(writer);
        bytes
    }

    /// Red, green, blue and cover of each pixel, row by row from the upper left.
    #[must_use]
    pub fn rgba(&self) -> &[u8] {
        &self.rgba
    }

    /// Where a point of the part (mm) falls: pixels, x right and y down; it may lie outside.
    #[must_use]
    pub fn place(&self, point_mm: [f64; 3]) -> [f64; 2] {
        self.projection.place(point_mm)
    }

    /// Whether something of the part is in front of a point (mm): by more than 2 pixels and
    /// more than 1 % of the part's diagonal, so that places in a thin wall count as seen. A point
    /// beside the part or the picture is not hidden.
    #[must_use]
    pub fn hidden(&self, point_mm: [f64; 3]) -> bool {
        is_hidden(&self.projection, &self.depth_px, point_mm)
    }

    /// Pixels for a millimetre that lies across the line of sight.
    #[must_use]
    pub fn scale_px_per_mm(&self) -> f64 {
        self.projection.scale_px_per_mm()
    }

    /// How points are placed, for whoever draws over the picture.
    #[must_use]
    pub fn projection(&self) -> &Projection {
        &self.projection
    }

    /// The least box that holds everything drawn, in whole pixels: left, top, right, bottom, the
    /// last two just outside. A round part leaves much of its canvas free; this is what to crop.
    #[must_use]
    pub fn filled_px(&self) -> [u32; 4] {
        let pixels = (0..self.height_px).flat_map(|y| (0..self.width_px).map(move |x| (x, y)));
        let filled = pixels.zip(&self.indices).filter(|&(_, &index)| index > 0);
        let start = [self.width_px, self.height_px, 0, 0];
        filled.fold(start, |[left, top, right, bottom], ((x, y), _)| {
            [left.min(x), top.min(y), right.max(x + 1), bottom.max(y + 1)]
        })
    }
}

/// Whether a surface lies clearly before a point, given each pixel's depth.
pub(crate) fn is_hidden(projection: &Projection, depth_px: &[f32], point_mm: [f64; 3]) -> bool {
    let canvas = projection.canvas();
    let side = |px: u32| usize::try_from(px).unwrap_or(0);
    let [x, y, z] = projection.project(point_mm);
    let (width, height) = (side(canvas.width_px), side(canvas.height_px));
    let (Some(column), Some(row)) = (cell(x, width), cell(y, height)) else {
        return false;
    };
    let behind = z - f64::from(depth_px[row * width + column]);
    behind > BEHIND_PX.max(BEHIND_SHARE * projection.diagonal_px())
}
