//! How light each sample is: by its facing, evened out over the facets of curved surfaces.

use crate::samples::{Facing, Samples};
use crate::tones::{LIGHTEST, Light};

/// Lightness is averaged this far to each side, never across a line. Flat faces stay as they
/// are; the facets of a ball become bands instead of saw teeth.
const EVEN_PX: usize = 8;
/// A surface whose facing is unknown.
const UNKNOWN: u8 = u8::MAX;
/// Ink or clear ground, where a surface ends.
const END: u8 = u8::MAX - 1;

/// The lightness of each sample, 0 to [`LIGHTEST`]; meaningless under ink and clear ground.
pub(crate) fn lightness(samples: &Samples, ink: &[bool], light: Light, per_px: u32) -> Vec<u8> {
    let reach = EVEN_PX * usize::try_from(per_px).unwrap_or(1);
    let mut last = (Facing::UNKNOWN, UNKNOWN);
    let mut of = |facing: Facing| {
        if facing != last.0 {
            let known = facing != Facing::UNKNOWN;
            last = (facing, if known { light.on(facing) } else { UNKNOWN });
        }
        last.1
    };
    let surfaces = samples.depth.iter().zip(&samples.facing).zip(ink);
    let mut lights: Vec<u8> = surfaces
        .map(|((depth, &facing), &ink)| {
            if ink || !depth.is_finite() {
                END
            } else {
                of(facing)
            }
        })
        .collect();
    let (width, height) = (samples.width, samples.height);
    let mut line = Line::default();
    for row in 0..height {
        line.even_out(&mut lights, (row * width..).take(width), reach);
    }
    for column in 0..width {
        let cells = (column..).step_by(width).take(height);
        line.even_out(&mut lights, cells, reach);
    }
    for light in &mut lights {
        if *light > LIGHTEST {
            *light = LIGHTEST / 2;
        }
    }
    lights
}

/// Room for one stretch of surface along a row or a column.
#[derive(Default)]
struct Line {
    cells: Vec<usize>,
    /// Sum and number of the known lights before each cell, and after the last.
    sums: Vec<(u32, u32)>,
}

impl Line {
    fn even_out(&mut self, lights: &mut [u8], cells: impl Iterator<Item = usize>, reach: usize) {
        for at in cells {
            if lights[at] != END {
                self.cells.push(at);
            } else if !self.cells.is_empty() {
                self.finish(lights, reach);
            }
        }
        self.finish(lights, reach);
    }

    /// Gives each cell of the stretch the mean of those within reach, and forgets the stretch.
    fn finish(&mut self, lights: &mut [u8], reach: usize) {
        let (mut sum, mut level) = ((0, 0), true);
        self.sums.clear();
        self.sums.push(sum);
        for &at in &self.cells {
            if lights[at] != UNKNOWN {
                sum = (sum.0 + u32::from(lights[at]), sum.1 + 1);
            }
            self.sums.push(sum);
            level &= lights[at] == lights[self.cells[0]];
        }
        if level {
            self.cells.clear();
            return;
        }
        for (i, &at) in self.cells.iter().enumerate() {
            let from = self.sums[i.saturating_sub(reach)];
            let to = self.sums[(i + reach + 1).min(self.cells.len())];
            let (light, count) = (to.0 - from.0, to.1 - from.1);
            if let Some(mean) = (light + count / 2).checked_div(count) {
                lights[at] = u8::try_from(mean).unwrap_or(UNKNOWN);
            }
        }
        self.cells.clear();
    }
}
