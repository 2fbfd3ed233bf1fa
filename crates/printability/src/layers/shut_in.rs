//! Supports that nobody could take out again: what hangs inside a hollow without a wide enough way
//! in.

use partpledge_sections::Outlines;
use partpledge_sections::outlines::{bounds_mm, to_mm};
use partpledge_units::cast::round_usize;
use partpledge_words::{grouped, said};

use super::Cut;
use crate::finding::{Finding, Severity};
use crate::words::short;

/// An opening must be this wide for pliers to reach in, mm. Common practice, no source.
const WAY_IN_MM: f64 = 5.0;
/// Cells along the longest side; the width of a cell is at most a quarter of the way in where the
/// part is small enough.
const MOST_CELLS: usize = 96;
const FINEST_MM: f64 = 0.8;

/// Something that needs a support: where, and the layer in which it begins.
#[derive(Clone, Copy, Debug)]
pub(super) struct Held {
    pub(super) at_mm: [f64; 2],
    pub(super) z_mm: f64,
}

pub(super) fn finding(cut: &Cut<'_>, hanging: &[Held]) -> Option<Finding> {
    if hanging.is_empty() {
        return None;
    }
    let room = Room::of(cut)?;
    let reached = room.reached();
    let shut: Vec<&Held> = hanging
        .iter()
        .filter(|held| room.air_below(held).is_some_and(|cell| !reached[cell]))
        .collect();
    let first = shut.first()?;
    Some(Finding {
        code: "trapped-support",
        severity: Severity::Warning,
        place_mm: Some(cut.own_mm(first.at_mm, first.z_mm)),
        measured: Some(shut.len() as f64),
        limit: Some(0.0),
        unit: "places",
        why: said!(
            "findings-trapped-support",
            n = grouped(shut.len()),
            wide = short(WAY_IN_MM)
        ),
        what_to_do: said!("findings-trapped-support-do", wide = short(WAY_IN_MM)),
        source: "5 mm: common practice, no source; ways through the air round the part on a grid, \
                 derived here",
    })
}

/// The air round and in the part, in cells.
struct Room {
    low: [f64; 2],
    /// Width of a cell, and its height, mm.
    cell_mm: f64,
    rise_mm: f64,
    low_z: f64,
    size: [usize; 3],
    /// Half the width of a tool in cells; so much free air, and two more, is on every side.
    tool: [usize; 3],
    solid: Vec<bool>,
}

impl Room {
    fn of(cut: &Cut<'_>) -> Option<Self> {
        let boxes = cut.sections.iter().filter_map(|s| bounds_mm(&s.outlines));
        let (low, high) = boxes.reduce(|(low, high), (l, h)| {
            (
                std::array::from_fn(|k| f64::min(low[k], l[k])),
                std::array::from_fn(|k| f64::max(high[k], h[k])),
            )
        })?;
        let (first, last) = (cut.sections.first()?, cut.sections.last()?);
        let tall = last.z_mm - first.z_mm;
        let long = (high[0] - low[0]).max(high[1] - low[1]).max(tall);
        let cell = (long / MOST_CELLS as f64).max(FINEST_MM);
        let step = round_usize((cell * (cut.sections.len() - 1) as f64 / tall.max(1e-9)).floor())
            .unwrap_or(1)
            .max(1);
        let layers: Vec<&Outlines> = cut
            .sections
            .iter()
            .step_by(step)
            .map(|section| &section.outlines)
            .collect();
        let rise = tall * step as f64 / (cut.sections.len() - 1).max(1) as f64;
        let rise = rise.max(FINEST_MM / 16.0);
        let half = |cell: f64| round_usize((WAY_IN_MM / 2.0 / cell).floor()).unwrap_or(0);
        let tool = [half(cell), half(cell), half(rise)];
        let free = tool.map(|cells| cells + 2);
        let cells = |k: usize| round_usize(((high[k] - low[k]) / cell).ceil()).unwrap_or(0);
        let size = [
            cells(0) + 2 * free[0],
            cells(1) + 2 * free[1],
            layers.len() + 2 * free[2],
        ];
        let low: [f64; 2] = std::array::from_fn(|k| low[k] - free[k] as f64 * cell);
        let mut out = Self {
            low,
            cell_mm: cell,
            rise_mm: rise,
            low_z: first.z_mm - free[2] as f64 * rise,
            size,
            tool,
            solid: vec![false; size[0] * size[1] * size[2]],
        };
        for (z, outlines) in layers.into_iter().enumerate() {
            out.fill(z + free[2], outlines);
        }
        Some(out)
    }

    fn at(&self, x: usize, y: usize, z: usize) -> usize {
        (z * self.size[1] + y) * self.size[0] + x
    }

    /// Marks the cells of a layer whose middles are inside, row by row.
    fn fill(&mut self, z: usize, outlines: &Outlines) {
        for y in 0..self.size[1] {
            let line = self.low[1] + (y as f64 + 0.5) * self.cell_mm;
            let mut crossed: Vec<f64> = Vec::new();
            for path in outlines {
                for (a, b) in path.iter().zip(path.iter().cycle().skip(1)) {
                    let ([ax, ay], [bx, by]) = (to_mm(*a), to_mm(*b));
                    if (ay > line) != (by > line) {
                        crossed.push(ax + (line - ay) / (by - ay) * (bx - ax));
                    }
                }
            }
            crossed.sort_by(f64::total_cmp);
            for pair in crossed.chunks_exact(2) {
                for x in 0..self.size[0] {
                    let middle = self.low[0] + (x as f64 + 0.5) * self.cell_mm;
                    if middle > pair[0] && middle < pair[1] {
                        let cell = self.at(x, y, z);
                        self.solid[cell] = true;
                    }
                }
            }
        }
    }

    /// The nearest cell of air under a place that hangs.
    fn air_below(&self, held: &Held) -> Option<usize> {
        let cell = |k: usize| round_usize(((held.at_mm[k] - self.low[k]) / self.cell_mm).floor());
        let z = round_usize(((held.z_mm - self.low_z) / self.rise_mm).floor())?;
        let (x, y) = (cell(0)?, cell(1)?);
        let inside = x < self.size[0] && y < self.size[1];
        (0..z.min(self.size[2]))
            .rev()
            .take(4)
            .filter(|_| inside)
            .map(|z| self.at(x, y, z))
            .find(|&cell| !self.solid[cell])
    }

    /// Cells of air that a tool can touch from outside, from below too: the part is off the bed when
    /// its supports are broken out.
    fn reached(&self) -> Vec<bool> {
        let blocked = self.grown(&self.solid, self.tool);
        let mut tool = vec![false; self.solid.len()];
        // A corner of the room is always free air.
        let mut next = vec![[0, 0, 0]];
        tool[0] = true;
        while let Some(cell) = next.pop() {
            for (k, up) in (0..3).flat_map(|k| [(k, false), (k, true)]) {
                let mut beside = cell;
                beside[k] = match (up, cell[k]) {
                    (true, x) if x + 1 < self.size[k] => x + 1,
                    (false, x) if x > 0 => x - 1,
                    _ => continue,
                };
                let at = self.at(beside[0], beside[1], beside[2]);
                if !blocked[at] && !tool[at] {
                    tool[at] = true;
                    next.push(beside);
                }
            }
        }
        // The tool touches a cell farther all round.
        self.grown(&tool, self.tool.map(|n| n + 1))
    }

    /// What lies within so many cells of a marked one, along each axis.
    fn grown(&self, marked: &[bool], by: [usize; 3]) -> Vec<bool> {
        let mut now = marked.to_vec();
        let strides = [1, self.size[0], self.size[0] * self.size[1]];
        for k in 0..3 {
            let mut out = vec![false; now.len()];
            let (length, stride) = (self.size[k], strides[k]);
            for start in (0..now.len()).filter(|i| (i / stride) % length == 0) {
                // How far the last marked cell lies behind, and the next one ahead.
                let mut reach = usize::MAX;
                for i in 0..length {
                    reach = if now[start + i * stride] {
                        0
                    } else {
                        reach.saturating_add(1)
                    };
                    out[start + i * stride] |= reach <= by[k];
                }
                reach = usize::MAX;
                for i in (0..length).rev() {
                    reach = if now[start + i * stride] {
                        0
                    } else {
                        reach.saturating_add(1)
                    };
                    out[start + i * stride] |= reach <= by[k];
                }
            }
            now = out;
        }
        now
    }
}
