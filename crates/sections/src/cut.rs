//! Outlines cut where they cross, and the pieces joined anew.

use clipper2_rust::{Path64, Point64};
use partpledge_units::cast::round_i64;

use crate::meeting::{Edge, turn, where_met};
use crate::outlines::Outlines;

/// What lies to the left of both sets of outlines: of each path that is not crossed the whole, if it is
/// `kept`; of the others what is on the left of the other set.
///
/// `None` where it would take exact arithmetic to say: outlines that touch, corners on edges, crossings
/// that fall together when rounded.
///
/// # Source
/// Weiler and Atherton, Hidden surface removal using polygon area sorting, SIGGRAPH (1977), from memory.
/// The signs that decide are exact (whole numbers of 128 bits).
pub(crate) fn left_of_both(
    [a, b]: [&Outlines; 2],
    kept: impl Fn(usize, Point64) -> Option<bool>,
) -> Option<Outlines> {
    let starts = [starts(a), starts(b)];
    let mut crossings: Vec<Crossing> = Vec::new();
    let whole = where_met(a, b, |e, f| {
        let crossing = Crossing::of(e, f);
        crossings.extend(crossing);
        crossing.is_some()
    });
    if !whole {
        return None;
    }
    let mut crossed = [vec![false; a.len()], vec![false; b.len()]];
    let mut out = Outlines::new();
    if !crossings.is_empty() {
        let next = [0, 1].map(|k| order(&crossings, k, &starts[k], &mut crossed[k]));
        let [Some(next_a), Some(next_b)] = next else {
            return None;
        };
        let walk = Walk {
            paths: [a, b],
            starts: &starts,
            next: [next_a, next_b],
            crossings: &crossings,
        };
        out = walk.all()?;
    }
    for (k, paths) in [a, b].into_iter().enumerate() {
        for (path, _) in paths
            .iter()
            .zip(&crossed[k])
            .filter(|(_, crossed)| !**crossed)
        {
            if kept(k, *path.first()?)? {
                out.push(path.clone());
            }
        }
    }
    Some(out)
}

/// Number of the first edge of each path.
fn starts(outlines: &Outlines) -> Vec<usize> {
    let mut start = 0;
    let one = |path: &Path64| {
        let this = start;
        start += path.len();
        this
    };
    outlines.iter().map(one).collect()
}

/// Where an edge of the first set goes through one of the second.
#[derive(Clone, Copy)]
struct Crossing {
    at: Point64,
    /// Number of either edge, and how much of it lies before.
    edge: [usize; 2],
    along: [f64; 2],
    /// Whether the first comes to the left side of the second here.
    enters: bool,
}

impl Crossing {
    /// `None` when they only touch, or the point falls on an end when rounded.
    fn of(e: &Edge, f: &Edge) -> Option<Self> {
        let (e_before, e_after) = (turn(f.a, f.b, e.a), turn(f.a, f.b, e.b));
        let (f_before, f_after) = (turn(e.a, e.b, f.a), turn(e.a, e.b, f.b));
        if e_before == 0 || e_after == 0 || f_before == 0 || f_after == 0 {
            return None;
        }
        let share = |before: i128, after: i128| before as f64 / (before - after) as f64;
        let along = [share(e_before, e_after), share(f_before, f_after)];
        let place = |a: i64, b: i64| round_i64(a as f64 + along[0] * (b - a) as f64);
        let at = Point64::new(place(e.a.x, e.b.x)?, place(e.a.y, e.b.y)?);
        let ends = [e.a, e.b, f.a, f.b];
        (!ends.contains(&at)).then_some(Self {
            at,
            edge: [e.this, f.this],
            along,
            enters: e_after > 0,
        })
    }
}

/// For each crossing the next one along the paths of one set; `None` when crossings fall together or don't
/// go in and out by turns.
fn order(
    crossings: &[Crossing],
    k: usize,
    starts: &[usize],
    crossed: &mut [bool],
) -> Option<Vec<usize>> {
    let path_of =
        |crossing: usize| starts.partition_point(|&start| start <= crossings[crossing].edge[k]) - 1;
    let mut sorted: Vec<usize> = (0..crossings.len()).collect();
    sorted.sort_unstable_by(|&i, &j| {
        let (one, other) = (&crossings[i], &crossings[j]);
        let along = one.along[k].total_cmp(&other.along[k]);
        one.edge[k].cmp(&other.edge[k]).then(along)
    });
    let mut next = vec![0; crossings.len()];
    for of_path in sorted.chunk_by(|&i, &j| path_of(i) == path_of(j)) {
        crossed[path_of(of_path[0])] = true;
        let following = of_path.iter().cycle().skip(1);
        for (&this, &then) in of_path.iter().zip(following) {
            let (one, other) = (&crossings[this], &crossings[then]);
            if one.enters == other.enters || one.at == other.at {
                return None;
            }
            next[this] = then;
        }
    }
    Some(next)
}

/// Both sets, and how crossings follow each other on them.
struct Walk<'a> {
    paths: [&'a Outlines; 2],
    starts: &'a [Vec<usize>; 2],
    next: [Vec<usize>; 2],
    crossings: &'a [Crossing],
}

impl Walk<'_> {
    /// Round each piece: from where the first set enters along it to where it leaves, on along the second.
    fn all(&self) -> Option<Outlines> {
        let mut done = vec![false; self.crossings.len()];
        let mut out = Outlines::new();
        for start in 0..self.crossings.len() {
            if done[start] || !self.crossings[start].enters {
                continue;
            }
            let (mut path, mut here) = (Path64::new(), start);
            while !done[here] {
                done[here] = true;
                for k in [0, 1] {
                    let then = self.next[k][here];
                    self.follow(k, [here, then], &mut path);
                    here = then;
                }
            }
            if here != start {
                return None;
            }
            if path.len() > 2 {
                out.push(path);
            }
        }
        Some(out)
    }

    /// Adds the crossing and the corners up to the next one.
    fn follow(&self, k: usize, [from, to]: [usize; 2], into: &mut Path64) {
        let [from, to] = [from, to].map(|i| &self.crossings[i]);
        into.push(from.at);
        let path_nr = self.starts[k].partition_point(|&start| start <= from.edge[k]) - 1;
        let (start, path) = (self.starts[k][path_nr], &self.paths[k][path_nr]);
        let (first, last) = (from.edge[k] - start, to.edge[k] - start);
        let ahead = last > first || last == first && to.along[k] > from.along[k];
        let steps = if ahead {
            last - first
        } else {
            last + path.len() - first
        };
        into.extend((1..=steps).map(|step| path[(first + step) % path.len()]));
    }
}
