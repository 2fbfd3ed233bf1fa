//! The order in which a layer's lines are laid: nearest next, walls before what they hold.

use crate::layers::{Line, LineKind};

/// Above this many lines of a kind the order of the rows is good enough and searching is not.
const MOST_SEARCHED: usize = 400;

/// The lines of a layer in laying order, each as the points to run through.
pub(crate) fn ordered(lines: &[Line]) -> Vec<(LineKind, Vec<[f64; 2]>)> {
    let mut at: Option<[f64; 2]> = None;
    let mut out = Vec::with_capacity(lines.len());
    for kind in [LineKind::Wall, LineKind::Skin, LineKind::Infill] {
        let mut left: Vec<&Line> = lines
            .iter()
            .filter(|line| line.kind == kind && line.points.len() > 1)
            .collect();
        let search = left.len() <= MOST_SEARCHED;
        while !left.is_empty() {
            let (next, start) = match at {
                Some(from) if search => nearest(&left, from),
                _ => (0, 0),
            };
            let line = if search {
                left.remove(next)
            } else {
                return rest(out, &left, kind, lines);
            };
            let points = run_from(line, start);
            at = points.last().copied();
            out.push((kind, points));
        }
    }
    out
}

/// Too many lines to search: rows in the order in which they were filled, then the other kinds.
fn rest(
    mut out: Vec<(LineKind, Vec<[f64; 2]>)>,
    left: &[&Line],
    kind: LineKind,
    lines: &[Line],
) -> Vec<(LineKind, Vec<[f64; 2]>)> {
    out.extend(left.iter().map(|line| (kind, line.points.clone())));
    for later in [LineKind::Skin, LineKind::Infill]
        .into_iter()
        .filter(|&later| later > kind)
    {
        let these = lines
            .iter()
            .filter(|line| line.kind == later && line.points.len() > 1);
        out.extend(these.map(|line| (later, line.points.clone())));
    }
    out
}

/// Which line is nearest, and at which of its points to begin.
fn nearest(left: &[&Line], from: [f64; 2]) -> (usize, usize) {
    let mut best = (f64::INFINITY, 0, 0);
    for (i, line) in left.iter().enumerate() {
        let last = line.points.len() - 1;
        let starts = if closed(line) { 0..=last - 1 } else { 0..=last };
        for start in starts.filter(|&s| closed(line) || s == 0 || s == last) {
            let p = line.points[start];
            let far = (p[0] - from[0]).powi(2) + (p[1] - from[1]).powi(2);
            if far < best.0 {
                best = (far, i, start);
            }
        }
    }
    (best.1, best.2)
}

fn closed(line: &Line) -> bool {
    line.kind == LineKind::Wall
}

fn run_from(line: &Line, start: usize) -> Vec<[f64; 2]> {
    let points = &line.points;
    if closed(line) {
        let body = &points[..points.len() - 1];
        let mut out = Vec::with_capacity(points.len());
        out.extend_from_slice(&body[start..]);
        out.extend_from_slice(&body[..=start]);
        return out;
    }
    if start == 0 {
        points.clone()
    } else {
        points.iter().rev().copied().collect()
    }
}
