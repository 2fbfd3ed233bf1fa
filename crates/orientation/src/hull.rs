//! The convex hull of a part's corners.

use std::collections::VecDeque;

use crate::vector::{Vector, dot, double_area, length, minus, unit};

/// Corners added at most. A ball of a million corners has more on its hull than any bed can tell
/// apart; what is left out then lies outside by a few hundredths of a millimetre.
const MOST_CORNERS: usize = 4000;

/// A triangle of the hull, positions into the points, counter-clockwise seen from outside.
pub(crate) type Face = [usize; 3];

#[derive(Debug)]
struct Facet {
    corners: Face,
    /// Across the edge from `corners[k]` to the next corner.
    beside: [usize; 3],
    normal: Vector,
    reach: f64,
    /// Points beyond it.
    beyond: Vec<usize>,
    gone: bool,
}

impl Facet {
    fn new(points: &[Vector], corners: Face) -> Option<Self> {
        let normal = unit(double_area(corners.map(|i| points[i])))?;
        Some(Self {
            corners,
            beside: [usize::MAX; 3],
            normal,
            reach: dot(points[corners[0]], normal),
            beyond: Vec::new(),
            gone: false,
        })
    }

    fn height(&self, point: Vector) -> f64 {
        dot(point, self.normal) - self.reach
    }
}

/// Triangles of the convex hull; points within `slack` of it may be left out. `None` when all
/// points lie within `slack` of one plane.
///
/// A point that would tear the hull open (rounding on slivers) is left out as well, so the answer
/// is always a closed surface: better a hull that misses a point by a hair than none.
///
/// # Source
/// C. B. Barber, D. P. Dobkin, H. Huhdanpaa, "The quickhull algorithm for convex hulls", ACM
/// Trans. Math. Softw. 22 (1996), p469-483; from memory.
pub(crate) fn hull(points: &[Vector], slack: f64) -> Option<Vec<Face>> {
    let mut work = first_four(points, slack)?;
    let all: Vec<usize> = (0..points.len()).collect();
    work.hand_out(points, &all, &[0, 1, 2, 3], slack);
    let mut waiting: VecDeque<usize> = (0..4).collect();
    let mut added = 0;
    while let Some(at) = waiting.pop_front() {
        if work.facets[at].gone || work.facets[at].beyond.is_empty() || added >= MOST_CORNERS {
            continue;
        }
        let eye = work.farthest(points, at);
        if let Some(fresh) = work.cover(points, at, eye, slack) {
            added += 1;
            waiting.extend(fresh);
        } else {
            work.facets[at].beyond.retain(|&i| i != eye);
            waiting.push_back(at);
        }
    }
    let alive = work.facets.iter().filter(|facet| !facet.gone);
    Some(alive.map(|facet| facet.corners).collect())
}

struct Work {
    facets: Vec<Facet>,
}

/// The largest four-cornered body that is quick to find.
fn first_four(points: &[Vector], slack: f64) -> Option<Work> {
    let by = |of: &dyn Fn(Vector) -> f64| {
        let best = |best: (usize, f64), (i, &point): (usize, &Vector)| {
            let value = of(point);
            if value > best.1 { (i, value) } else { best }
        };
        points.iter().enumerate().fold((0, f64::NEG_INFINITY), best)
    };
    if points.is_empty() {
        return None;
    }
    let ends: Vec<usize> = (0..3)
        .flat_map(|k| [by(&|p| p[k]).0, by(&|p| -p[k]).0])
        .collect();
    let mut pair = (0, 0, 0.0);
    for (n, &a) in ends.iter().enumerate() {
        for &b in &ends[..n] {
            let apart = length(minus(points[a], points[b]));
            if apart > pair.2 {
                pair = (a, b, apart);
            }
        }
    }
    let (a, b, _) = pair;
    let (start, along) = (points[a], unit(minus(points[b], points[a]))?);
    let off = |p: Vector| {
        let from = minus(p, start);
        dot(from, from) - dot(from, along).powi(2)
    };
    let (c, _) = by(&off);
    let normal = unit(double_area([points[a], points[b], points[c]]))?;
    let (d, height) = by(&|p| dot(minus(p, start), normal).abs());
    if height <= slack.max(f64::MIN_POSITIVE) {
        return None;
    }
    let above = dot(minus(points[d], start), normal) > 0.0;
    let (a, b) = if above { (b, a) } else { (a, b) };
    let sides: [Face; 4] = [[a, b, c], [a, d, b], [b, d, c], [c, d, a]];
    let facets: Option<Vec<Facet>> = sides.iter().map(|&s| Facet::new(points, s)).collect();
    let mut work = Work { facets: facets? };
    for i in 0..4 {
        for k in 0..3 {
            let (from, to) = edge(sides[i], k);
            let other = sides
                .iter()
                .position(|&other| (0..3).any(|m| edge(other, m) == (to, from)));
            work.facets[i].beside[k] = other?;
        }
    }
    Some(work)
}

fn edge(face: Face, k: usize) -> (usize, usize) {
    (face[k], face[(k + 1) % 3])
}

impl Work {
    /// Gives each point to the first of the facets that it lies beyond; the rest are inside.
    fn hand_out(&mut self, points: &[Vector], list: &[usize], to: &[usize], slack: f64) {
        for &i in list {
            let beyond = |&f: &usize| self.facets[f].height(points[i]) > slack;
            if let Some(f) = to.iter().copied().find(beyond) {
                self.facets[f].beyond.push(i);
            }
        }
    }

    fn farthest(&self, points: &[Vector], at: usize) -> usize {
        let facet = &self.facets[at];
        let first = (facet.beyond[0], f64::NEG_INFINITY);
        let best = facet.beyond.iter().fold(first, |best, &i| {
            let height = facet.height(points[i]);
            if height > best.1 { (i, height) } else { best }
        });
        best.0
    }

    /// Puts `eye` on the hull in place of the facets that it sees. `None`, and nothing changed,
    /// when what it sees has no single closed rim.
    fn cover(
        &mut self,
        points: &[Vector],
        at: usize,
        eye: usize,
        slack: f64,
    ) -> Option<Vec<usize>> {
        let hair = 1e-3 * slack;
        let mut seen = vec![at];
        let mut next = 0;
        while let Some(&facet) = seen.get(next) {
            next += 1;
            for other in self.facets[facet].beside {
                if !seen.contains(&other) && self.facets[other].height(points[eye]) > hair {
                    seen.push(other);
                }
            }
        }
        let rim = self.rim(&seen)?;
        let mut fresh = Vec::with_capacity(rim.len());
        for &(from, to, _) in &rim {
            fresh.push(Facet::new(points, [from, to, eye])?);
        }
        let start = self.facets.len();
        let many = rim.len();
        for (n, &(from, to, outer)) in rim.iter().enumerate() {
            fresh[n].beside = [outer, start + (n + 1) % many, start + (n + many - 1) % many];
            let other = &mut self.facets[outer];
            if let Some(k) = (0..3).find(|&k| edge(other.corners, k) == (to, from)) {
                other.beside[k] = start + n;
            }
        }
        self.facets.extend(fresh);
        let new: Vec<usize> = (start..start + many).collect();
        for facet in seen {
            self.facets[facet].gone = true;
            let list = std::mem::take(&mut self.facets[facet].beyond);
            self.hand_out(points, &list, &new, slack);
        }
        Some(new)
    }

    /// The edges between the seen facets and the others, end to end, each with the facet outside.
    fn rim(&self, seen: &[usize]) -> Option<Vec<(usize, usize, usize)>> {
        let mut edges: Vec<(usize, usize, usize)> = Vec::new();
        for &facet in seen {
            let Facet {
                corners, beside, ..
            } = &self.facets[facet];
            for (k, &outer) in beside.iter().enumerate() {
                if !seen.contains(&outer) {
                    let (from, to) = edge(*corners, k);
                    edges.push((from, to, outer));
                }
            }
        }
        let mut chain = vec![*edges.first()?];
        while chain.len() < edges.len() {
            let (_, end, _) = chain[chain.len() - 1];
            let mut on = edges.iter().filter(|(from, _, _)| *from == end);
            let step = *on.next()?;
            if on.next().is_some() || step.0 == chain[0].0 {
                return None;
            }
            chain.push(step);
        }
        (chain[chain.len() - 1].1 == chain[0].0).then_some(chain)
    }
}

#[cfg(test)]
mod tests;
