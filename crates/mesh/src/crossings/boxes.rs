//! Boxes round triangles, boxes round boxes: which triangles are close to which.

use crate::Mesh;

/// Triangles in one lowest box.
const LEAF: usize = 4;

/// A box and what is in it: a stretch of the order, and two boxes inside unless it is a lowest one.
#[derive(Clone, Copy, Debug)]
struct Node {
    low: [f64; 3],
    high: [f64; 3],
    from: usize,
    until: usize,
    /// Positions of the two boxes inside.
    inside: Option<(usize, usize)>,
}

impl Node {
    fn meets(&self, other: &Self) -> bool {
        (0..3).all(|k| self.low[k] <= other.high[k] && other.low[k] <= self.high[k])
    }

    fn many(&self) -> usize {
        self.until - self.from
    }
}

/// A tree of boxes over the triangles of a mesh.
#[derive(Debug)]
pub(super) struct Boxes {
    order: Vec<usize>,
    own: Vec<([f64; 3], [f64; 3])>,
    nodes: Vec<Node>,
}

impl Boxes {
    /// Halves by the middle of the longest side until few are left.
    pub(super) fn of(mesh: &Mesh) -> Self {
        let own: Vec<([f64; 3], [f64; 3])> = mesh
            .triangles
            .iter()
            .map(|triangle| {
                let corners = triangle.map(|i| mesh.vertices[i as usize]);
                let of = |pick: fn(f64, f64) -> f64| {
                    std::array::from_fn(|k| pick(pick(corners[0][k], corners[1][k]), corners[2][k]))
                };
                (of(f64::min), of(f64::max))
            })
            .collect();
        let mut out = Self {
            order: (0..own.len()).collect(),
            own,
            nodes: Vec::new(),
        };
        out.build();
        out
    }

    fn build(&mut self) {
        let all = self.around(0, self.order.len());
        self.nodes.push(all);
        let mut next = vec![0];
        while let Some(at) = next.pop() {
            let node = self.nodes[at];
            if node.many() <= LEAF {
                continue;
            }
            let side = |k: usize| node.high[k] - node.low[k];
            let axis = (0..3)
                .max_by(|&a, &b| side(a).total_cmp(&side(b)))
                .unwrap_or(0);
            let middle = node.from + node.many() / 2;
            let own = &self.own;
            let key = |i: &usize| own[*i].0[axis] + own[*i].1[axis];
            self.order[node.from..node.until].select_nth_unstable_by(node.many() / 2, |a, b| {
                key(a).total_cmp(&key(b)).then(a.cmp(b))
            });
            let (left, right) = (
                self.around(node.from, middle),
                self.around(middle, node.until),
            );
            let first = self.nodes.len();
            self.nodes.extend([left, right]);
            self.nodes[at].inside = Some((first, first + 1));
            next.extend([first, first + 1]);
        }
    }

    fn around(&self, from: usize, until: usize) -> Node {
        let (mut low, mut high) = ([f64::MAX; 3], [f64::MIN; 3]);
        for &i in &self.order[from..until] {
            for k in 0..3 {
                low[k] = low[k].min(self.own[i].0[k]);
                high[k] = high[k].max(self.own[i].1[k]);
            }
        }
        Node {
            low,
            high,
            from,
            until,
            inside: None,
        }
    }

    /// Calls `look` for every pair of triangles whose boxes meet, each pair once, until it says
    /// that it has seen enough.
    pub(super) fn close_pairs(&self, mut look: impl FnMut(usize, usize) -> bool) {
        let mut next = vec![(0, 0)];
        while let Some((a, b)) = next.pop() {
            let (first, second) = (&self.nodes[a], &self.nodes[b]);
            match (first.inside, second.inside) {
                (Some((l, r)), _) if a == b => next.extend([(l, l), (r, r), (l, r)]),
                _ if a != b && !first.meets(second) => {}
                (Some((l, r)), _) if second.inside.is_none() || first.many() >= second.many() => {
                    next.extend([(l, b), (r, b)]);
                }
                (_, Some((l, r))) => next.extend([(a, l), (a, r)]),
                _ => {
                    if !self.leaves(first, second, a == b, &mut look) {
                        return;
                    }
                }
            }
        }
    }

    fn leaves(
        &self,
        first: &Node,
        second: &Node,
        same: bool,
        look: &mut impl FnMut(usize, usize) -> bool,
    ) -> bool {
        for i in first.from..first.until {
            let from = if same { i + 1 } else { second.from };
            for j in from..second.until {
                let (a, b) = (self.order[i], self.order[j]);
                let (x, y) = (&self.own[a], &self.own[b]);
                let meet = (0..3).all(|k| x.0[k] <= y.1[k] && y.0[k] <= x.1[k]);
                if meet && !look(a.min(b), a.max(b)) {
                    return false;
                }
            }
        }
        true
    }
}
