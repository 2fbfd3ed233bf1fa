//! What a mesh is: counted, measured, and where it is broken.

use std::ops::Range;
use std::thread;

use crate::Mesh;
use crate::edges::{EdgeKind, Edges, Side};
use crate::inside::enclosing_shells;
use crate::shells::{Groups, shells_seeing};
use crate::sum::Sum;
use crate::vector::{dot, double_area, length, middle, minus};

/// The facts of a mesh, all in mm.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Facts {
    /// Triangles as the file has them, before welding.
    pub triangles: usize,
    /// Triangles left after welding.
    pub faces: usize,
    /// Corners after welding, those in use.
    pub vertices: usize,
    /// Pieces connected by edge.
    pub shells: Vec<Shell>,
    /// Whether every edge is shared by exactly two triangles that run it in opposite
    /// directions.
    pub watertight: bool,
    /// Enclosed volume in mm³: `None` unless watertight, negative if the mesh is inside out.
    pub volume_mm3: Option<f64>,
    /// Surface in mm².
    pub area_mm2: f64,
    /// Extent along x, y and z in mm.
    pub size_mm: [f64; 3],
    /// Least corner of the axis-parallel box in mm.
    pub low_mm: [f64; 3],
    /// Edges with one triangle only.
    pub open: EdgeTrouble,
    /// Edges with more than two triangles.
    pub crowded: EdgeTrouble,
    /// Edges whose two triangles run them the same way.
    pub misoriented: EdgeTrouble,
}

/// Edges of one bad kind.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct EdgeTrouble {
    /// How many edges.
    pub edges: usize,
    /// How many separate runs of edges that touch at their ends.
    pub runs: usize,
    /// Total edge length of the longest run in mm.
    pub longest_run_mm: f64,
    /// Middle of the longest edge of that run, in mm; `None` when there is no such edge.
    pub place_mm: Option<[f64; 3]>,
}

/// One piece of the mesh, connected by edge.
#[derive(Clone, Debug, PartialEq)]
pub struct Shell {
    /// How many triangles it has.
    pub faces: usize,
    /// What it is among the others.
    pub role: ShellRole,
    /// Signed volume in mm³; `None` unless the shell is watertight by itself.
    pub volume_mm3: Option<f64>,
    /// Surface in mm².
    pub area_mm2: f64,
    /// Least corner of its box in mm.
    pub low_mm: [f64; 3],
    /// Greatest corner of its box in mm.
    pub high_mm: [f64; 3],
    /// A point on it: the middle of its largest triangle, in mm.
    pub place_mm: [f64; 3],
}

/// What a shell is among the others.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ShellRole {
    /// Open, crowded or of mixed winding: it encloses nothing certain.
    Unclear,
    /// A solid that no other encloses.
    Solid,
    /// A solid that lies wholly inside another.
    Embedded,
    /// The wall of a hollow: inside a solid, and rightly facing into the hollow.
    Void,
    /// Closed, but facing the wrong way.
    InsideOut,
}

/// Counts and measures a welded mesh.
///
/// # Units
/// `triangles_read` is the number of triangles in the file; all results in mm.
///
/// # Source
/// Volume: sum of signed tetrahedra (divergence theorem) about the middle of the bounding box,
/// so that a part far from the origin keeps its digits. Compensated sums throughout.
/// Hollow or inside out: a shell that faces inwards is a hollow if the closed shells around
/// it, taken outwards, enclose it at least once (a ray through them; derived here).
///
/// ```
/// use partpledge_mesh::{Mesh, facts};
/// let corner = Mesh {
///     vertices: vec![[0.0; 3], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
///     triangles: vec![[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]],
/// };
/// let facts = facts(&corner, 4);
/// assert!(facts.watertight && facts.shells.len() == 1);
/// assert!((facts.volume_mm3.unwrap() - 1.0 / 6.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn facts(mesh: &Mesh, triangles_read: usize) -> Facts {
    let Some((low, high)) = mesh.bounds() else {
        return Facts {
            triangles: triangles_read,
            ..Facts::default()
        };
    };
    let edges = Edges::of(mesh);
    let mut troubles = Troubles::default();
    let mut marks = Vec::new();
    let (labels, count) = shells_seeing(mesh, &edges, |edge| {
        let kind = edge.kind();
        if kind != EdgeKind::Sound {
            troubles.of(kind).push((edge.low, edge.high));
            marks.extend(edge.sides().next().map(Side::triangle));
        }
    });
    drop(edges);
    let mut unclear = vec![false; count];
    for triangle in marks {
        unclear[labels[triangle] as usize] = true;
    }
    let centre = middle(low, high);
    let mut list = measure_shells(mesh, &labels, &unclear, centre);
    give_roles(mesh, &labels, &mut list);
    let volumes: Option<Vec<f64>> = list.iter().map(|shell| shell.volume_mm3).collect();
    let volume_mm3 = volumes.map(|parts| Sum::of(parts.into_iter()));
    Facts {
        triangles: triangles_read,
        faces: mesh.triangles.len(),
        vertices: mesh.vertices.len(),
        watertight: volume_mm3.is_some(),
        volume_mm3,
        area_mm2: Sum::of(list.iter().map(|shell| shell.area_mm2)),
        size_mm: minus(high, low),
        low_mm: low,
        open: trouble(mesh, &troubles.open),
        crowded: trouble(mesh, &troubles.crowded),
        misoriented: trouble(mesh, &troubles.misoriented),
        shells: list,
    }
}

impl Facts {
    /// Shells of one role, in order.
    pub fn shells_that_are(&self, role: ShellRole) -> impl Iterator<Item = &Shell> + '_ {
        self.shells.iter().filter(move |shell| shell.role == role)
    }
}

/// The edges of each bad kind, as pairs of corners; what [`Facts`] counts.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BadEdges {
    /// With one triangle only.
    pub open: Vec<(u32, u32)>,
    /// With more than two.
    pub crowded: Vec<(u32, u32)>,
    /// Whose two triangles run them the same way.
    pub misoriented: Vec<(u32, u32)>,
}

/// Finds the bad edges of a welded mesh, to be drawn.
///
/// ```
/// use partpledge_mesh::{Mesh, facts::bad_edges};
/// let lone = Mesh {
///     vertices: vec![[0.0; 3], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]],
///     triangles: vec![[0, 1, 2]],
/// };
/// assert_eq!(bad_edges(&lone).open, [(0, 1), (0, 2), (1, 2)]);
/// ```
#[must_use]
pub fn bad_edges(mesh: &Mesh) -> BadEdges {
    let mut found = BadEdges::default();
    for edge in Edges::of(mesh).iter() {
        let list = match edge.kind() {
            EdgeKind::Sound => continue,
            EdgeKind::Open => &mut found.open,
            EdgeKind::Crowded => &mut found.crowded,
            EdgeKind::Misoriented => &mut found.misoriented,
        };
        list.push((edge.low, edge.high));
    }
    found
}

#[derive(Default)]
struct Troubles {
    open: Vec<(u32, u32)>,
    crowded: Vec<(u32, u32)>,
    misoriented: Vec<(u32, u32)>,
}

impl Troubles {
    fn of(&mut self, kind: EdgeKind) -> &mut Vec<(u32, u32)> {
        match kind {
            EdgeKind::Open => &mut self.open,
            EdgeKind::Crowded => &mut self.crowded,
            EdgeKind::Misoriented | EdgeKind::Sound => &mut self.misoriented,
        }
    }
}

/// Groups bad edges into runs and finds the longest.
fn trouble(mesh: &Mesh, edges: &[(u32, u32)]) -> EdgeTrouble {
    if edges.is_empty() {
        return EdgeTrouble::default();
    }
    let mut corners: Vec<u32> = edges.iter().flat_map(|&(a, b)| [a, b]).collect();
    corners.sort_unstable();
    corners.dedup();
    let local = |corner: u32| corners.partition_point(|&c| c < corner);
    let mut groups = Groups::new(corners.len());
    for &(a, b) in edges {
        groups.join_at(local(a), local(b));
    }
    let (labels, runs) = groups.labels();
    let mut lengths = vec![(0.0_f64, 0.0_f64, [0.0; 3]); runs];
    for &(a, b) in edges {
        let (from, to) = (mesh.vertices[a as usize], mesh.vertices[b as usize]);
        let edge_mm = length(minus(to, from));
        let (total, longest, place) = &mut lengths[labels[local(a)] as usize];
        *total += edge_mm;
        if edge_mm > *longest {
            (*longest, *place) = (edge_mm, middle(from, to));
        }
    }
    let first = lengths[0];
    let (longest_run_mm, _, place) = lengths
        .into_iter()
        .fold(first, |best, run| if run.0 > best.0 { run } else { best });
    EdgeTrouble {
        edges: edges.len(),
        runs,
        longest_run_mm,
        place_mm: Some(place),
    }
}

/// With more triangles the measuring is done in two halves, whatever the machine: the order in
/// which sums are added up must not depend on it.
const IN_HALVES: usize = 50_000;

/// Volume, area, box and a place of each shell; roles still only clear or unclear.
fn measure_shells(mesh: &Mesh, labels: &[u32], unclear: &[bool], centre: [f64; 3]) -> Vec<Shell> {
    let measured = |range: Range<usize>| measure(mesh, labels, range, unclear.len(), centre);
    let many = mesh.triangles.len();
    let half = if many < IN_HALVES { many } else { many / 2 };
    let (mut list, rest) = thread::scope(|scope| {
        let rest = (half < many).then(|| scope.spawn(|| measured(half..many)));
        let list = measured(0..half);
        let rest = rest.map(|thread| thread.join().expect("measuring does not panic"));
        (list, rest)
    });
    for (one, more) in list.iter_mut().zip(rest.unwrap_or_default()) {
        one.join(&more);
    }
    let shells = list.into_iter().zip(unclear);
    shells.map(|(one, &unclear)| one.shell(unclear)).collect()
}

/// A shell while it is measured.
#[derive(Clone)]
struct Measured {
    faces: usize,
    volume: Sum,
    area: Sum,
    largest_mm2: f64,
    place_mm: [f64; 3],
    low_mm: [f64; 3],
    high_mm: [f64; 3],
}

impl Measured {
    fn nothing() -> Self {
        Self {
            faces: 0,
            volume: Sum::default(),
            area: Sum::default(),
            largest_mm2: -1.0,
            place_mm: [0.0; 3],
            low_mm: [f64::INFINITY; 3],
            high_mm: [f64::NEG_INFINITY; 3],
        }
    }

    fn take(&mut self, corners: [[f64; 3]; 3], centre: [f64; 3]) {
        let normal = double_area(corners);
        let face_area = length(normal) / 2.0;
        self.faces += 1;
        self.volume
            .add(dot(minus(corners[0], centre), normal) / 6.0);
        self.area.add(face_area);
        for corner in corners {
            self.low_mm = std::array::from_fn(|k| self.low_mm[k].min(corner[k]));
            self.high_mm = std::array::from_fn(|k| self.high_mm[k].max(corner[k]));
        }
        if face_area > self.largest_mm2 {
            self.largest_mm2 = face_area;
            self.place_mm =
                std::array::from_fn(|k| (corners[0][k] + corners[1][k] + corners[2][k]) / 3.0);
        }
    }

    fn join(&mut self, later: &Self) {
        self.faces += later.faces;
        self.volume.join(later.volume);
        self.area.join(later.area);
        for k in 0..3 {
            self.low_mm[k] = self.low_mm[k].min(later.low_mm[k]);
            self.high_mm[k] = self.high_mm[k].max(later.high_mm[k]);
        }
        if later.largest_mm2 > self.largest_mm2 {
            (self.largest_mm2, self.place_mm) = (later.largest_mm2, later.place_mm);
        }
    }

    fn shell(self, unclear: bool) -> Shell {
        Shell {
            faces: self.faces,
            role: if unclear {
                ShellRole::Unclear
            } else {
                ShellRole::Solid
            },
            volume_mm3: (!unclear).then(|| self.volume.value()),
            area_mm2: self.area.value(),
            low_mm: self.low_mm,
            high_mm: self.high_mm,
            place_mm: self.place_mm,
        }
    }
}

fn measure(
    mesh: &Mesh,
    labels: &[u32],
    range: Range<usize>,
    shells: usize,
    centre: [f64; 3],
) -> Vec<Measured> {
    let mut list = vec![Measured::nothing(); shells];
    for (triangle, &label) in mesh.triangles[range.clone()].iter().zip(&labels[range]) {
        let corners = triangle.map(|i| mesh.vertices[i as usize]);
        list[label as usize].take(corners, centre);
    }
    list
}

/// Decides which closed shells are solids, hollows or inside out.
fn give_roles(mesh: &Mesh, labels: &[u32], list: &mut [Shell]) {
    let around = enclosing_shells(mesh, labels, list);
    let mut order: Vec<usize> = (0..list.len())
        .filter(|&i| list[i].volume_mm3.is_some())
        .collect();
    order.sort_by_key(|&i| (around[i].len(), i));
    // Sign of each shell once the wrong ones have been turned, and whether it was turned.
    let mut sign = vec![0_i64; list.len()];
    let mut turned = vec![false; list.len()];
    for i in order {
        let negative = list[i].volume_mm3.is_some_and(|volume| volume < 0.0);
        // A nest whose outermost shell faces inwards was turned inside out as a whole.
        let nest_turned = around[i].iter().any(|&j| around[j].is_empty() && turned[j]);
        let still_negative = negative != nest_turned;
        let winding: i64 = around[i].iter().map(|&j| sign[j]).sum();
        let wrong = still_negative && winding <= 0;
        turned[i] = nest_turned != wrong;
        let faces_in = still_negative && !wrong;
        sign[i] = if faces_in { -1 } else { 1 };
        list[i].role = match (turned[i], faces_in, winding > 0) {
            (true, ..) => ShellRole::InsideOut,
            (_, true, _) => ShellRole::Void,
            (_, _, true) => ShellRole::Embedded,
            _ => ShellRole::Solid,
        };
    }
}

#[cfg(test)]
mod tests;
