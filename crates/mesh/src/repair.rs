//! Repairs that need no guess: triangles turned to agree, small flat holes closed, shells turned to
//! face outwards.

use std::fmt;

use crate::Mesh;
use crate::edges::{EdgeKind, Edges};
use crate::facts::{Facts, ShellRole, facts};
use crate::fill::{SMALL_MM, fill_small_holes};
use crate::shells::shells;
use crate::vector::{double_area, length};

/// A mended mesh.
#[derive(Clone, Debug, PartialEq)]
pub struct Repaired {
    /// The mesh after mending: the same corners; some triangles turned over, some added.
    pub mesh: Mesh,
    /// Its facts; `triangles` is still the number in the file.
    pub facts: Facts,
    /// What was done, in order; at least one step.
    pub steps: Vec<RepairStep>,
}

/// One kind of mending. `Display` gives a sentence for people.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RepairStep {
    /// Triangles that faced against their neighbours were turned over.
    FacingMadeEqual {
        /// How many triangles were turned.
        triangles: usize,
        /// In how many shells.
        shells: usize,
    },
    /// Small flat holes in the skin were closed.
    SmallHolesFilled {
        /// How many holes.
        holes: usize,
        /// How many triangles were added.
        triangles: usize,
        /// Width of the widest in mm.
        widest_mm: f64,
        /// Middle of the widest in mm.
        place_mm: [f64; 3],
    },
    /// Closed shells that faced inwards were turned to face outwards.
    TurnedOutward {
        /// How many shells were turned.
        shells: usize,
        /// How many triangles they have.
        triangles: usize,
    },
}

impl fmt::Display for RepairStep {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let many = |n: usize, one: &str, more: &str| {
            if n == 1 {
                format!("1 {one}")
            } else {
                format!("{n} {more}")
            }
        };
        match *self {
            Self::FacingMadeEqual { triangles, .. } => write!(
                out,
                "turned {} to face the same way as the others around",
                many(triangles, "triangle", "triangles")
            ),
            Self::SmallHolesFilled { holes, .. } => write!(
                out,
                "closed {} in the skin",
                many(holes, "small flat hole", "small flat holes")
            ),
            Self::TurnedOutward { shells, .. } => {
                write!(
                    out,
                    "turned {} the right side out",
                    many(shells, "closed shell", "closed shells")
                )
            }
        }
    }
}

/// Mends what can be mended without guessing; `None` when there is nothing to do.
///
/// Three things are done. In each shell that has no crowded edge and is not one-sided, the
/// fewer triangles are turned to agree with the more (on a tie, those of less area). Holes in the
/// skin that are flat, at most 5 mm and a tenth of the part wide are closed with the corners of
/// their rim; what belongs in any other gap is for the designer to say. Then closed shells that
/// face the wrong way are turned; the wall of a hollow rightly faces into the hollow and stays.
///
/// `facts` must be those of `mesh`.
///
/// ```
/// use partpledge_mesh::{Mesh, facts, repair};
/// let inside_out = Mesh {
///     vertices: vec![[0.0; 3], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
///     triangles: vec![[0, 1, 2], [0, 3, 1], [0, 2, 3], [1, 3, 2]],
/// };
/// let mended = repair(&inside_out, &facts(&inside_out, 4)).unwrap();
/// assert!(mended.facts.volume_mm3.unwrap() > 0.0);
/// assert_eq!(mended.steps[0].to_string(), "turned 1 closed shell the right side out");
/// ```
#[must_use]
pub fn repair(mesh: &Mesh, facts_before: &Facts) -> Option<Repaired> {
    let mut mended: Option<(Mesh, Facts)> = None;
    let mut steps = Vec::new();
    if facts_before.misoriented.edges > 0
        && let Some((turned, step)) = face_equally(mesh)
    {
        let after = facts(&turned, facts_before.triangles);
        mended = Some((turned, after));
        steps.push(step);
    }
    let known = mended.as_ref().map_or(facts_before, |(_, facts)| facts);
    if known.open.edges > 0
        && let Some((closed, step)) = close_holes(mended.as_ref().map_or(mesh, |(mesh, _)| mesh))
    {
        let after = facts(&closed, facts_before.triangles);
        mended = Some((closed, after));
        steps.push(step);
    }
    let (current, known) = mended
        .as_ref()
        .map_or((mesh, facts_before), |(mesh, facts)| (mesh, facts));
    if let Some((turned, step)) = face_outwards(current, known) {
        let after = facts(&turned, facts_before.triangles);
        mended = Some((turned, after));
        steps.push(step);
    }
    mended.map(|(mesh, facts)| Repaired { mesh, facts, steps })
}

/// Widest hole in the skin that is ever closed, mm.
pub const WIDEST_FILLED_MM: f64 = SMALL_MM;

fn close_holes(mesh: &Mesh) -> Option<(Mesh, RepairStep)> {
    let filled = fill_small_holes(mesh)?;
    let step = RepairStep::SmallHolesFilled {
        holes: filled.holes,
        triangles: filled.triangles,
        widest_mm: filled.widest_mm,
        place_mm: filled.place_mm,
    };
    Some((filled.mesh, step))
}

fn face_outwards(mesh: &Mesh, facts: &Facts) -> Option<(Mesh, RepairStep)> {
    let wrong = |i: u32| facts.shells[i as usize].role == ShellRole::InsideOut;
    let count = facts.shells_that_are(ShellRole::InsideOut).count();
    if count == 0 {
        return None;
    }
    let (labels, _) = shells(mesh, &Edges::of(mesh));
    let turn: Vec<bool> = labels.into_iter().map(wrong).collect();
    let (turned, triangles) = turn_over(mesh, &turn);
    Some((
        turned,
        RepairStep::TurnedOutward {
            shells: count,
            triangles,
        },
    ))
}

fn face_equally(mesh: &Mesh) -> Option<(Mesh, RepairStep)> {
    let edges = Edges::of(mesh);
    let (labels, count) = shells(mesh, &edges);
    let mut hopeless = vec![false; count];
    let mut facing = Facing::new(mesh.triangles.len());
    for edge in edges.iter() {
        let kind = edge.kind();
        let mut sides = edge.sides();
        let (Some(a), b) = (sides.next(), sides.next()) else {
            continue;
        };
        let shell = labels[a.triangle()] as usize;
        if kind == EdgeKind::Crowded {
            hopeless[shell] = true;
        } else if let Some(b) = b {
            let agrees = facing.join(a.triangle(), b.triangle(), kind == EdgeKind::Misoriented);
            hopeless[shell] |= !agrees;
        }
    }
    let against: Vec<bool> = (0..labels.len())
        .map(|face| facing.against_first(face))
        .collect();
    let turn_first = fewer_side(mesh, &labels, &against, count);
    let turn: Vec<bool> = labels
        .iter()
        .zip(&against)
        .map(|(&shell, &against)| {
            !hopeless[shell as usize] && against != turn_first[shell as usize]
        })
        .collect();
    let mut touched: Vec<u32> = labels
        .iter()
        .zip(&turn)
        .filter(|&(_, &turn)| turn)
        .map(|(&shell, _)| shell)
        .collect();
    touched.dedup();
    touched.sort_unstable();
    touched.dedup();
    let (turned, triangles) = turn_over(mesh, &turn);
    let step = RepairStep::FacingMadeEqual {
        triangles,
        shells: touched.len(),
    };
    (triangles > 0).then_some((turned, step))
}

/// For each shell whether the triangles that agree with its first one are the ones to turn:
/// the fewer, or on a tie those of less area.
fn fewer_side(mesh: &Mesh, labels: &[u32], against: &[bool], count: usize) -> Vec<bool> {
    let mut sides = vec![[(0_usize, 0.0_f64); 2]; count];
    for ((triangle, &shell), &against) in mesh.triangles.iter().zip(labels).zip(against) {
        let side = &mut sides[shell as usize][usize::from(against)];
        side.0 += 1;
        side.1 += length(double_area(triangle.map(|i| mesh.vertices[i as usize])));
    }
    sides
        .iter()
        .map(|[with, against]| {
            with.0
                .cmp(&against.0)
                .then(with.1.total_cmp(&against.1))
                .is_lt()
        })
        .collect()
}

fn turn_over(mesh: &Mesh, turn: &[bool]) -> (Mesh, usize) {
    let triangles = mesh.triangles.iter().zip(turn);
    let triangles = triangles.map(|(&[a, b, c], &turn)| if turn { [a, c, b] } else { [a, b, c] });
    let turned = Mesh {
        vertices: mesh.vertices.clone(),
        triangles: triangles.collect(),
    };
    (turned, turn.iter().filter(|&&turn| turn).count())
}

/// Triangles joined into sets, each knowing whether it faces against the set's first one.
struct Facing {
    above: Vec<u32>,
    against_above: Vec<bool>,
}

impl Facing {
    fn new(count: usize) -> Self {
        Self {
            above: (0_u32..).take(count).collect(),
            against_above: vec![false; count],
        }
    }

    fn root(&mut self, mut i: usize) -> (usize, bool) {
        let mut against = false;
        while self.above[i] as usize != i {
            let parent = self.above[i] as usize;
            self.against_above[i] ^= self.against_above[parent];
            self.above[i] = self.above[parent];
            against ^= self.against_above[i];
            i = self.above[i] as usize;
        }
        (i, against)
    }

    /// Joins two triangles that face against each other or not; `false` if what is already
    /// known says otherwise, as on a one-sided surface.
    fn join(&mut self, a: usize, b: usize, opposed: bool) -> bool {
        let ((a, against_a), (b, against_b)) = (self.root(a), self.root(b));
        let relation = against_a ^ against_b ^ opposed;
        if a == b {
            return !relation;
        }
        let (first, later) = (a.min(b), a.max(b));
        self.above[later] = self.above[first];
        self.against_above[later] = relation;
        true
    }

    fn against_first(&mut self, face: usize) -> bool {
        self.root(face).1
    }
}

#[cfg(test)]
mod tests;
