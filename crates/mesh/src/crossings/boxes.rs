//! Boxes round triangles, boxes round boxes: which triangles are close to which.
//!
//! The tree is a perfect one, so that every branch knows where its nodes lie before they are made:
//! two threads can build it, and each node is 32 bytes. Boxes are in f32, rounded outward.

use std::thread;

use partpledge_units::cast::to_f32;

use crate::Mesh;

/// Most triangles in one lowest box.
const LEAF: usize = 8;
/// A branch with fewer triangles than this is not worth a thread.
const WORTH_A_THREAD: usize = 20_000;

/// Least and greatest corner; holds every point that the f64 box holds.
#[derive(Clone, Copy, Debug)]
struct Bounds {
    low: [f32; 3],
    high: [f32; 3],
}

impl Bounds {
    fn of(mesh: &Mesh, triangle: u32) -> Self {
        let [a, b, c] = mesh.triangles[triangle as usize].map(|i| mesh.vertices[i as usize]);
        let low = std::array::from_fn(|k| below(a[k].min(b[k]).min(c[k])));
        let high = std::array::from_fn(|k| -below(-a[k].max(b[k]).max(c[k])));
        Self { low, high }
    }

    fn around(self, other: Self) -> Self {
        Self {
            low: std::array::from_fn(|k| self.low[k].min(other.low[k])),
            high: std::array::from_fn(|k| self.high[k].max(other.high[k])),
        }
    }

    fn meets(&self, other: &Self) -> bool {
        (0..3).all(|k| self.low[k] <= other.high[k] && other.low[k] <= self.high[k])
    }
}

/// The greatest f32 not above `x`.
fn below(x: f64) -> f32 {
    let near = to_f32(x);
    if f64::from(near) > x {
        near.next_down()
    } else {
        near
    }
}

/// A box and the stretch of the order that is in it.
#[derive(Clone, Copy, Debug)]
struct Node {
    bounds: Bounds,
    from: u32,
    until: u32,
}

/// Middle and number of a triangle, moved about while the tree is built.
type Entry = ([f32; 3], u32);

/// A branch of the tree: its first node, and how many levels there are below it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Branch {
    node: usize,
    levels: u32,
}

impl Branch {
    /// The two branches below; the left one's nodes follow at once, then the right one's.
    fn halves(self) -> [Self; 2] {
        let levels = self.levels - 1;
        [self.node + 1, self.node + nodes_in(self.levels - 1) + 1].map(|node| Self { node, levels })
    }
}

fn nodes_in(levels: u32) -> usize {
    (2 << levels) - 1
}

/// A tree of boxes over the triangles of a mesh.
#[derive(Debug)]
pub(super) struct Boxes {
    order: Vec<u32>,
    /// Box of each triangle, in the tree's order.
    own: Vec<Bounds>,
    nodes: Vec<Node>,
    levels: u32,
}

impl Boxes {
    /// Halves by the middle of the longest side until few are left.
    pub(super) fn of(mesh: &Mesh) -> Self {
        let middle = |i: u32| {
            let [a, b, c] = mesh.triangles[i as usize].map(|i| mesh.vertices[i as usize]);
            let at = std::array::from_fn(|k| to_f32(a[k] + b[k] + c[k]));
            (at, i)
        };
        let mut entries: Vec<Entry> = (0_u32..).take(mesh.triangles.len()).map(middle).collect();
        let mut levels = 0;
        while entries.len() > LEAF << levels {
            levels += 1;
        }
        let empty = Node {
            bounds: Bounds {
                low: [f32::INFINITY; 3],
                high: [f32::NEG_INFINITY; 3],
            },
            from: 0,
            until: 0,
        };
        let mut nodes = vec![empty; nodes_in(levels)];
        arrange(&mut entries, 0, &mut nodes, levels);
        let order: Vec<u32> = entries.into_iter().map(|(_, i)| i).collect();
        let own: Vec<Bounds> = order.iter().map(|&i| Bounds::of(mesh, i)).collect();
        enclose(&own, &mut nodes, levels);
        Self {
            order,
            own,
            nodes,
            levels,
        }
    }

    /// All pairs of branches to look at, cut into pieces: each pair of triangles with boxes that
    /// meet is in one of them.
    pub(super) fn pieces(&self, at_least: usize) -> Vec<[Branch; 2]> {
        let all = Branch {
            node: 0,
            levels: self.levels,
        };
        let mut pieces = vec![[all, all]];
        while pieces.len() < at_least && pieces.iter().any(|[a, b]| a.levels + b.levels > 0) {
            let mut finer = Vec::with_capacity(3 * pieces.len());
            for [a, b] in pieces {
                self.below(a, b, &mut finer);
            }
            pieces = finer;
        }
        pieces
    }

    /// What is to be looked at below a pair of branches; itself, if both are lowest ones.
    fn below(&self, a: Branch, b: Branch, out: &mut Vec<[Branch; 2]>) {
        if a.node == b.node && a.levels > 0 {
            let [l, r] = a.halves();
            out.extend([[l, l], [r, r], [l, r]]);
        } else if !self.nodes[a.node].bounds.meets(&self.nodes[b.node].bounds) {
        } else if a.levels > 0 && a.levels >= b.levels {
            out.extend(a.halves().map(|half| [half, b]));
        } else if b.levels > 0 {
            out.extend(b.halves().map(|half| [a, half]));
        } else {
            out.push([a, b]);
        }
    }

    /// Calls `look` for every pair of triangles in a piece whose boxes meet, each pair once, until
    /// it says that it has seen enough.
    pub(super) fn close_pairs(
        &self,
        piece: [Branch; 2],
        mut look: impl FnMut(usize, usize) -> bool,
    ) {
        let mut next = vec![piece];
        while let Some([a, b]) = next.pop() {
            if a.levels + b.levels > 0 {
                self.below(a, b, &mut next);
            } else if !self.leaves(a.node, b.node, &mut look) {
                return;
            }
        }
    }

    fn leaves(&self, a: usize, b: usize, look: &mut impl FnMut(usize, usize) -> bool) -> bool {
        let (first, second) = (&self.nodes[a], &self.nodes[b]);
        if !first.bounds.meets(&second.bounds) {
            return true;
        }
        for i in first.from..first.until {
            let mine = &self.own[i as usize];
            if !mine.meets(&second.bounds) {
                continue;
            }
            let from = if a == b { i + 1 } else { second.from };
            for j in from..second.until {
                if mine.meets(&self.own[j as usize]) {
                    let pair = [i, j].map(|i| self.order[i as usize] as usize);
                    if !look(pair[0].min(pair[1]), pair[0].max(pair[1])) {
                        return false;
                    }
                }
            }
        }
        true
    }
}

/// Brings the entries into the tree's order and says which stretch is in which node.
fn arrange(entries: &mut [Entry], from: u32, nodes: &mut [Node], levels: u32) {
    let until = from + count(entries.len());
    (nodes[0].from, nodes[0].until) = (from, until);
    if levels == 0 {
        return;
    }
    let (mut low, mut high) = ([f32::INFINITY; 3], [f32::NEG_INFINITY; 3]);
    for (at, _) in entries.iter() {
        for k in 0..3 {
            low[k] = low[k].min(at[k]);
            high[k] = high[k].max(at[k]);
        }
    }
    let side = |k: &usize| high[*k] - low[*k];
    let axis = (0..3).max_by(|a, b| side(a).total_cmp(&side(b)));
    let axis = axis.unwrap_or(0);
    let half = entries.len() / 2;
    if half > 0 {
        entries.select_nth_unstable_by(half, |a, b| {
            a.0[axis].total_cmp(&b.0[axis]).then(a.1.cmp(&b.1))
        });
    }
    let (left, right) = entries.split_at_mut(half);
    let (left_nodes, right_nodes) = nodes[1..].split_at_mut(nodes_in(levels - 1));
    let middle = from + count(left.len());
    if left.len() < WORTH_A_THREAD {
        arrange(left, from, left_nodes, levels - 1);
        arrange(right, middle, right_nodes, levels - 1);
    } else {
        thread::scope(|scope| {
            scope.spawn(|| arrange(left, from, left_nodes, levels - 1));
            arrange(right, middle, right_nodes, levels - 1);
        });
    }
}

/// Boxes of the nodes from the lowest upward.
fn enclose(own: &[Bounds], nodes: &mut [Node], levels: u32) -> Bounds {
    let bounds = if levels == 0 {
        let inside = &own[nodes[0].from as usize..nodes[0].until as usize];
        inside
            .iter()
            .fold(nodes[0].bounds, |all, &one| all.around(one))
    } else {
        let (left, right) = nodes[1..].split_at_mut(nodes_in(levels - 1));
        enclose(own, left, levels - 1).around(enclose(own, right, levels - 1))
    };
    nodes[0].bounds = bounds;
    bounds
}

fn count(many: usize) -> u32 {
    u32::try_from(many).expect("triangles are numbered in u32")
}
