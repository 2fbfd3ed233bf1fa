//! One outline advanced side by side, like a front that moves: sides that shrink to nothing drop out.

use clipper2_rust::Path64;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

use crate::offset::{SHARP_COS, Xy, point};

/// Beyond this the corner of two sides is a matter of rounding.
const STRAIGHT_BACK_COS: f64 = -1.0 + 1e-6;

/// Corners that turn more run ahead of their sides by a twentieth or more.
const TIP_COS: f64 = 0.8;

/// The path with all sides moved outward by `by` units; empty when it shrinks away. `None` where sides
/// run into each other so sharply that only a union tells what is left, or where the result is no path
/// that runs round the same way.
///
/// Corners move straight on as time goes; a side gets longer or shorter evenly. Sides that are used up
/// are taken out one after the other, in the order in which it happens, and their neighbours meet there.
/// That one part of the front runs into another is not seen here: the result then crosses itself.
///
/// # Source
/// Edge events of the straight skeleton: Aichholzer et al., A novel type of skeleton for polygons,
/// J. of Universal Computer Science 1 (1995), from memory.
pub(crate) fn advanced(path: &Path64, by: f64) -> Option<Path64> {
    let mut front = Front::new(path, by.signum())?;
    if !front.advance(by.abs())? {
        return Some(Path64::new());
    }
    let out = front.path(by.abs())?;
    let round = |path: &Path64| clipper2_rust::area(path);
    (out.len() > 2 && round(&out) * round(path) > 0.0).then_some(out)
}

/// A side, and the corner that it begins in.
struct Side {
    /// Outward.
    normal: Xy,
    /// Where the corner was at a time, how it moves.
    corner: Xy,
    since: f64,
    speed: Xy,
    before: usize,
    after: usize,
    alive: bool,
    /// How often it was looked at: what the queue says of it earlier no longer counts.
    looked: u32,
}

impl Side {
    fn at(&self, time: f64) -> Xy {
        let gone = time - self.since;
        std::array::from_fn(|k| self.corner[k] + gone * self.speed[k])
    }
}

/// Time at which a side is used up, as bits that sort like the number, its number, its look.
type Event = Reverse<(u64, usize, u32)>;

struct Front {
    sides: Vec<Side>,
    sign: f64,
    left: usize,
    queue: BinaryHeap<Event>,
}

impl Front {
    fn new(path: &Path64, sign: f64) -> Option<Self> {
        let n = path.len();
        let mut sides: Vec<Side> = Vec::with_capacity(n + n / 8);
        let normal = |i: usize| {
            let (a, b) = (path[i], path[(i + 1) % n]);
            let (x, y) = ((b.x - a.x) as f64, (b.y - a.y) as f64);
            let length = (x * x + y * y).sqrt();
            [y / length, -x / length]
        };
        let mut before = normal(n - 1);
        for (i, &corner) in path.iter().enumerate() {
            let normal = normal(i);
            let corner = [corner.x as f64, corner.y as f64];
            let mut put = |normal| {
                sides.push(Side {
                    normal,
                    corner,
                    since: 0.0,
                    speed: [0.0; 2],
                    before: sides.len().wrapping_sub(1),
                    after: sides.len() + 1,
                    alive: true,
                    looked: 0,
                });
            };
            if turn(before, normal, sign)? == Turn::Squared {
                put(away(before, normal)?);
            }
            put(normal);
            before = normal;
        }
        let last = sides.len() - 1;
        sides[0].before = last;
        sides[last].after = 0;
        let mut out = Self {
            left: sides.len(),
            sides,
            sign,
            queue: BinaryHeap::new(),
        };
        for i in 0..=last {
            let (a, b) = (out.sides[out.sides[i].before].normal, out.sides[i].normal);
            out.sides[i].speed = speed(a, b, sign);
        }
        Some(out)
    }

    /// `Some(false)` when nothing is left at that time.
    fn advance(&mut self, until: f64) -> Option<bool> {
        for side in 0..self.sides.len() {
            self.look(side, 0.0, until);
        }
        while let Some(Reverse((time, side, looked))) = self.queue.pop() {
            if !self.sides[side].alive || self.sides[side].looked != looked {
                continue;
            }
            let time = f64::from_bits(time);
            if self.left <= 3 {
                return Some(false);
            }
            let (before, after) = (self.sides[side].before, self.sides[side].after);
            if self.tip(side) || self.tip(after) {
                return None;
            }
            let at = self.sides[after].at(time);
            self.sides[side].alive = false;
            self.left -= 1;
            self.sides[before].after = after;
            let (a, b) = (self.sides[before].normal, self.sides[after].normal);
            if turn(a, b, self.sign)? == Turn::Squared {
                return None;
            }
            let next = &mut self.sides[after];
            next.before = before;
            (next.corner, next.since) = (at, time);
            next.speed = speed(a, b, self.sign);
            self.look(before, time, until);
            self.look(after, time, until);
        }
        Some(true)
    }

    /// Whether a side begins in a corner that runs ahead of its sides: swallowed by a neighbour, it would
    /// come out again farther on.
    fn tip(&self, side: usize) -> bool {
        let (a, b) = (
            self.sides[self.sides[side].before].normal,
            self.sides[side].normal,
        );
        let (sin, cos) = (a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1]);
        sin * self.sign > 0.0 && cos < TIP_COS
    }

    /// Puts into the queue when a side will be used up, if it will.
    fn look(&mut self, side: usize, now: f64, until: f64) {
        let (this, next) = (&self.sides[side], &self.sides[self.sides[side].after]);
        let along = [-this.normal[1], this.normal[0]];
        let (from, to) = (this.at(now), next.at(now));
        let dot = |v: Xy| v[0] * along[0] + v[1] * along[1];
        let length = dot([to[0] - from[0], to[1] - from[1]]).max(0.0);
        let growing = dot([next.speed[0] - this.speed[0], next.speed[1] - this.speed[1]]);
        self.sides[side].looked += 1;
        let time = now - length / growing;
        if growing < 0.0 && time <= until {
            let looked = self.sides[side].looked;
            self.queue.push(Reverse((time.to_bits(), side, looked)));
        }
    }

    fn path(&self, time: f64) -> Option<Path64> {
        let mut out = Path64::with_capacity(self.left);
        let alive = self.sides.iter().filter(|side| side.alive);
        for side in alive {
            let at = point(side.at(time))?;
            if out.last() != Some(&at) {
                out.push(at);
            }
        }
        while out.len() > 1 && out.first() == out.last() {
            out.pop();
        }
        Some(out)
    }
}

/// What becomes of a corner.
#[derive(PartialEq)]
enum Turn {
    /// Its sides are drawn out or cut off to where they cross.
    Crossing,
    /// A side more keeps it from running far out.
    Squared,
}

/// `None` where sides run straight into each other.
fn turn(a: Xy, b: Xy, sign: f64) -> Option<Turn> {
    let (sin, cos) = (a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1]);
    if cos < STRAIGHT_BACK_COS {
        None
    } else if cos > SHARP_COS || sin * sign < 0.0 {
        // Sides that run into each other are used up before they could reach far.
        Some(Turn::Crossing)
    } else {
        Some(Turn::Squared)
    }
}

/// Halfway between two normals; `None` for opposite ones.
fn away(a: Xy, b: Xy) -> Option<Xy> {
    let sum = [a[0] + b[0], a[1] + b[1]];
    let length = sum[0].hypot(sum[1]);
    (length > 1e-6).then(|| sum.map(|v| v / length))
}

/// How a corner moves while its sides move by one.
fn speed(a: Xy, b: Xy, sign: f64) -> Xy {
    let cos = a[0] * b[0] + a[1] * b[1];
    [a[0] + b[0], a[1] + b[1]].map(|v| sign * v / (1.0 + cos))
}
