//! Parallel lines that fill a region, gathered into strips that are laid without lifting.

use partpledge_sections::Outlines;
use partpledge_sections::outlines::to_mm;
use partpledge_units::cast::{int_f64, round_i64};

use crate::order::{Entrance, visit};

/// Lines shorter than this are not laid, mm.
const LEAST_LINE_MM: f64 = 0.05;

/// Where the lines of a layer run.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Hatch {
    /// Distance between lines, mm.
    pub(crate) pitch_mm: f64,
    /// Shift of the grid in pitches. Other in every layer, so that over a few layers the
    /// length laid is area / pitch for any shape, however narrow.
    pub(crate) phase: f64,
    /// Which way the lines run: a vector of length 1.
    pub(crate) along: [f64; 2],
}

impl Hatch {
    /// The grid of a layer, 45° in even layers, 135° in odd ones: the golden ratio spreads the
    /// shifts evenly, however many layers.
    pub(crate) fn of_layer(layer: usize, pitch_mm: f64) -> Self {
        let golden = (5.0_f64.sqrt() - 1.0) / 2.0;
        let half = std::f64::consts::FRAC_1_SQRT_2;
        Self {
            pitch_mm,
            phase: (0.5 + layer as f64 * golden).fract(),
            along: [if layer.is_multiple_of(2) { half } else { -half }, half],
        }
    }

    /// The same grid in another direction.
    pub(crate) fn turned_to(self, degrees: f64) -> Self {
        let (sin, cos) = degrees.to_radians().sin_cos();
        Self {
            along: [cos, sin],
            ..self
        }
    }

    /// Along and across the lines.
    fn turned(self, [x, y]: [f64; 2]) -> [f64; 2] {
        let [c, s] = self.along;
        [c * x + s * y, c * y - s * x]
    }

    /// How far across the lines a row lies, mm.
    pub(crate) fn across_mm(self, row: i64) -> f64 {
        (int_f64(row) + self.phase) * self.pitch_mm
    }

    fn ends(self, line: Stroke) -> [[f64; 2]; 2] {
        let v = self.across_mm(line.row);
        [self.placed([line.from, v]), self.placed([line.to, v])]
    }

    /// Back from along and across.
    fn placed(self, [u, v]: [f64; 2]) -> [f64; 2] {
        let [c, s] = self.along;
        [c * u - s * v, s * u + c * v]
    }
}

/// A stretch of one row of the grid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Stroke {
    /// Which row.
    pub(crate) row: i64,
    /// Where it begins along the row, mm.
    pub(crate) from: f64,
    /// Where it ends.
    pub(crate) to: f64,
}

/// Lines in the order in which they are laid; each from its first to its second end.
///
/// `at` is where the head stands before; the nearest strip comes first, then the nearest to
/// its end, and so on.
pub(crate) fn ordered(lines: &[Stroke], hatch: Hatch, at: [f64; 2]) -> Vec<[[f64; 2]; 2]> {
    let strips = strips(lines);
    let ends = |line: Stroke| hatch.ends(line);
    // Way 0 and 1: bottom row first, from its left or right; 2 and 3: top row first.
    let walk = |strip: &[usize], way: usize| -> Vec<[[f64; 2]; 2]> {
        let mut leftward = way % 2 == 1;
        let one = |&line: &usize| {
            let [a, b] = ends(lines[line]);
            leftward = !leftward;
            if leftward { [a, b] } else { [b, a] }
        };
        if way < 2 {
            strip.iter().map(one).collect()
        } else {
            strip.iter().rev().map(one).collect()
        }
    };
    let items: Vec<Vec<Entrance>> = strips
        .iter()
        .map(|strip| {
            (0..4)
                .map(|way| {
                    let (first, last) = if way < 2 {
                        (0, strip.len() - 1)
                    } else {
                        (strip.len() - 1, 0)
                    };
                    let mut into = ends(lines[strip[first]]);
                    let mut out = ends(lines[strip[last]]);
                    if way % 2 == 1 {
                        into.reverse();
                    }
                    // An odd number of lines leaves at the side opposite to where it came in.
                    if (way % 2 == 1) != strip.len().is_multiple_of(2) {
                        out.reverse();
                    }
                    Entrance {
                        into: into[0],
                        out: out[1],
                    }
                })
                .collect()
        })
        .collect();
    visit(&items, at)
        .into_iter()
        .flat_map(|(strip, way)| walk(&strips[strip], way))
        .collect()
}

/// The two ends of each grid line inside a region, row by row.
pub(crate) fn rows(region: &Outlines, hatch: Hatch) -> Vec<[[f64; 2]; 2]> {
    let ends = |line: Stroke| hatch.ends(line);
    clip(region, hatch).into_iter().map(ends).collect()
}

/// The grid lines inside a region, by row and then along the row.
pub(crate) fn clip(region: &Outlines, hatch: Hatch) -> Vec<Stroke> {
    let mut crossings: Vec<(i64, f64)> = Vec::new();
    for path in region {
        let turned: Vec<[f64; 2]> = path
            .iter()
            .map(|&point| hatch.turned(to_mm(point)))
            .collect();
        // First row at or above each corner: worked out once for a corner, so that both its
        // edges agree and every row is crossed an even number of times.
        let first_row: Vec<i64> = turned
            .iter()
            .map(|&[_, v]| round_i64((v / hatch.pitch_mm - hatch.phase).ceil()).unwrap_or(0))
            .collect();
        for i in 0..turned.len() {
            let j = (i + 1) % turned.len();
            let ([ua, va], [ub, vb]) = (turned[i], turned[j]);
            for row in first_row[i].min(first_row[j])..first_row[i].max(first_row[j]) {
                let t = ((int_f64(row) + hatch.phase) * hatch.pitch_mm - va) / (vb - va);
                crossings.push((row, ua + t.clamp(0.0, 1.0) * (ub - ua)));
            }
        }
    }
    crossings.sort_unstable_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    crossings
        .chunks_exact(2)
        .map(|pair| Stroke {
            row: pair[0].0,
            from: pair[0].1,
            to: pair[1].1,
        })
        .filter(|line| line.to - line.from >= LEAST_LINE_MM)
        .collect()
}

/// Lines of neighbouring rows that overlap, one to one, make a strip.
fn strips(lines: &[Stroke]) -> Vec<Vec<usize>> {
    let mut strips: Vec<Vec<usize>> = Vec::new();
    // Strip of each line of the row before, left to right.
    let mut before: Vec<(usize, usize)> = Vec::new();
    let mut start = 0;
    for row in lines.chunk_by(|a, b| a.row == b.row) {
        before.retain(|&(line, _)| lines[line].row == row[0].row - 1);
        let mut waiting = before.iter().peekable();
        let mut now = Vec::with_capacity(row.len());
        for (line, this) in (start..).zip(row) {
            while waiting
                .next_if(|&&(other, _)| lines[other].to <= this.from)
                .is_some()
            {}
            let overlapping = waiting.next_if(|&&(other, _)| lines[other].from < this.to);
            let strip = overlapping.map_or(strips.len(), |&(_, strip)| strip);
            if strip == strips.len() {
                strips.push(Vec::new());
            }
            strips[strip].push(line);
            now.push((line, strip));
        }
        start += row.len();
        before = now;
    }
    strips
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fill(region: &Outlines, hatch: Hatch, at: [f64; 2]) -> Vec<[[f64; 2]; 2]> {
        ordered(&clip(region, hatch), hatch, at)
    }

    use partpledge_sections::outlines::to_point;
    use partpledge_units::tolerance::close;

    fn length(lines: &[[[f64; 2]; 2]]) -> f64 {
        lines
            .iter()
            .map(|[a, b]| (b[0] - a[0]).hypot(b[1] - a[1]))
            .sum()
    }

    fn frame(outer: f64, hole: f64) -> Outlines {
        let square = |half: f64| {
            vec![
                to_point(-half, -half),
                to_point(half, -half),
                to_point(half, half),
                to_point(-half, half),
            ]
        };
        let mut inside = square(hole / 2.0);
        inside.reverse();
        vec![square(outer / 2.0), inside]
    }

    #[test]
    fn over_some_layers_the_length_is_area_over_pitch_even_in_a_narrow_frame() {
        for (outer, hole, pitch) in [(18.2, 4.0, 0.45), (18.2, 16.0, 2.25), (7.0, 5.9, 2.25)] {
            let region = frame(outer, hole);
            let layers = 89;
            let total: f64 = (0..layers)
                .map(|layer| length(&fill(&region, Hatch::of_layer(layer, pitch), [0.0, 0.0])))
                .sum();
            let want = (outer * outer - hole * hole) / pitch * layers as f64;
            assert!(
                close(total, want, 0.01, 0.0),
                "{outer} {hole} {pitch}: {total} {want}"
            );
        }
    }

    #[test]
    fn a_square_is_one_strip_whose_lines_alternate() {
        let region = vec![frame(10.0, 1.0).remove(0)];
        let lines = fill(&region, Hatch::of_layer(1, 0.5), [-5.0, 5.0]);
        for pair in lines.windows(2) {
            let hop = (pair[1][0][0] - pair[0][1][0]).hypot(pair[1][0][1] - pair[0][1][1]);
            assert!(hop < 1.0, "{pair:?}");
        }
        assert!(lines.len() > 20);
    }

    #[test]
    fn no_line_is_lost_or_doubled_when_they_are_put_in_order() {
        let region = frame(20.0, 9.0);
        let hatch = Hatch::of_layer(4, 0.7);
        let kept: f64 = clip(&region, hatch)
            .iter()
            .map(|line| line.to - line.from)
            .sum();
        for at in [[0.0, 0.0], [50.0, -3.0], [-9.0, 9.0]] {
            assert!(close(length(&fill(&region, hatch, at)), kept, 1e-9, 0.0));
        }
    }

    #[test]
    fn turning_there_and_back_changes_nothing() {
        let even = Hatch::of_layer(0, 1.0);
        for hatch in [even, Hatch::of_layer(1, 1.0), even.turned_to(20.0)] {
            let [x, y] = hatch.placed(hatch.turned([3.0, -7.5]));
            assert!(close(x, 3.0, 1e-12, 0.0) && close(y, -7.5, 1e-12, 0.0));
        }
    }
}
