//! From triangles that only touch to triangles that share corners.

use partpledge_formats::RawMesh;

use crate::Mesh;

/// Grid lines in one mm: corners are welded at 1e-5 mm.
const CELLS_PER_MM: f64 = 1e5;

/// A welded mesh and what was left out of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Welded {
    /// The mesh in mm; every vertex is used by some triangle.
    pub mesh: Mesh,
    /// Triangles left out because two of their corners fell together.
    pub degenerate_dropped: usize,
    /// Triangles left out because an earlier one has the same three corners.
    pub duplicates_dropped: usize,
    /// Middle of the first of those, in mm.
    pub duplicate_place_mm: Option<[f64; 3]>,
}

/// Converts to mm, then joins corners that round to the same point of a 1e-5 mm grid.
///
/// The first position seen in each grid cell is kept, unrounded. Rounding is half to even,
/// like the reference library's (trimesh `merge_vertices(digits_vertex=5)`). A triangle with
/// two equal corners is dropped, and so is one whose three corners an earlier triangle
/// already has, whatever its winding. A sliver of no area but with three different corners
/// is **kept**: such slivers close the seam between edges of unequal division, and dropping
/// them would tear a closed mesh open. trimesh's `nondegenerate_faces` drops those too and
/// then calls 10 of 1,497 real parts open that are closed here; no part becomes closed by it.
/// With only equal corners dropped, trimesh agrees on all 1,497.
///
/// # Units
/// `mm_per_unit` is the size of the file's unit in mm; the mesh is in mm.
///
/// # Source
/// The grid step: of 300 real files called watertight elsewhere, exact welding leaves 27 open,
/// 1e-5 mm none, and 1e-4 mm makes 4 non-manifold (measured for this project).
///
/// ```
/// use partpledge_formats::RawMesh;
/// let raw = RawMesh {
///     vertices: vec![[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 1e-9, 0.0]],
///     triangles: vec![[0, 1, 2], [2, 1, 3], [0, 3, 1]],
/// };
/// let welded = partpledge_mesh::weld(&raw, 1000.0);
/// assert_eq!(welded.mesh.triangles, [[0, 1, 2]]);
/// assert_eq!((welded.degenerate_dropped, welded.duplicates_dropped), (1, 1));
/// ```
#[must_use]
pub fn weld(raw: &RawMesh, mm_per_unit: f64) -> Welded {
    let (points, cell_of) = join_corners(raw, mm_per_unit);
    let joined = raw
        .triangles
        .iter()
        .map(|corners| corners.map(|corner| cell_of[corner as usize]));
    let mut triangles: Vec<[u32; 3]> = joined
        .filter(|[a, b, c]| a != b && b != c && a != c)
        .collect();
    drop(cell_of);
    let degenerate_dropped = raw.triangles.len() - triangles.len();
    let (duplicates_dropped, first_repeat) = drop_repeated(&mut triangles);
    let duplicate_place_mm = first_repeat.map(|triangle| {
        let sum = |k: usize| triangle.iter().map(|&i| points[i as usize][k]).sum::<f64>();
        std::array::from_fn(|k| sum(k) / 3.0)
    });
    Welded {
        mesh: compact(points, triangles),
        degenerate_dropped,
        duplicates_dropped,
        duplicate_place_mm,
    }
}

/// Leaves out triangles with the three corners of an earlier one: how many, and the first of them.
///
/// A table of triangle numbers with open addressing, as for the corners: in a sound mesh most
/// triangles meet a free slot at once.
fn drop_repeated(triangles: &mut Vec<[u32; 3]>) -> (usize, Option<[u32; 3]>) {
    let sorted = |[a, b, c]: [u32; 3]| {
        let (low, high) = (a.min(b), a.max(b));
        [low.min(c), high.min(c).max(low), high.max(c)]
    };
    let mut slots = vec![FREE; (2 * triangles.len()).next_power_of_two()];
    let last = slots.len() - 1;
    let mut repeated: Vec<usize> = Vec::new();
    for (i, &triangle) in triangles.iter().enumerate() {
        let corners = sorted(triangle);
        let mut at = low_half(hash(corners.map(u64::from))) & last;
        while slots[at] != FREE && sorted(triangles[slots[at] as usize]) != corners {
            at = (at + 1) & last;
        }
        if slots[at] == FREE {
            slots[at] = index(i);
        } else {
            repeated.push(i);
        }
    }
    let first = repeated.first().map(|&i| triangles[i]);
    let (mut at, mut next) = (0, repeated.iter().peekable());
    triangles.retain(|_| {
        let keep = next.next_if(|&&i| i == at).is_none();
        at += 1;
        keep
    });
    (repeated.len(), first)
}

/// First position of each occupied grid cell, and the cell of each raw vertex.
fn join_corners(raw: &RawMesh, mm_per_unit: f64) -> (Vec<[f64; 3]>, Vec<u32>) {
    let mut used = vec![false; raw.vertices.len()];
    for &corner in raw.triangles.iter().flatten() {
        used[corner as usize] = true;
    }
    let mut cells = Cells::for_about(raw.triangles.len() / 2);
    let cell_of = raw.vertices.iter().zip(&used).map(|(vertex, &used)| {
        if used {
            cells.of(vertex.map(|x| x * mm_per_unit))
        } else {
            u32::MAX
        }
    });
    let cell_of = cell_of.collect();
    (cells.points, cell_of)
}

/// Grid cells in use, in order of their first point.
///
/// A table with open addressing, eight bytes a slot: a standard map with the cell as its key takes
/// four times the room and twice the time. Nothing in it is random, so runs repeat.
struct Cells {
    points: Vec<[f64; 3]>,
    /// Number of the point, and some bits of its cell's hash; [`FREE`] when there is none.
    slots: Vec<(u32, u32)>,
}

const FREE: u32 = u32::MAX;

impl Cells {
    fn for_about(points: usize) -> Self {
        Self {
            points: Vec::with_capacity(points),
            slots: vec![(FREE, 0); (2 * points).next_power_of_two().max(16)],
        }
    }

    /// The number of a point's cell, which is a new one if nothing was in it.
    fn of(&mut self, point: [f64; 3]) -> u32 {
        if 4 * self.points.len() > 3 * self.slots.len() {
            self.grow();
        }
        let cell = cell(point);
        let hash = hash(cell);
        let (mut at, mark) = (self.first(hash), high_half(hash));
        loop {
            let (number, its_mark) = self.slots[at];
            if number == FREE {
                let number = index(self.points.len());
                self.slots[at] = (number, mark);
                self.points.push(point);
                return number;
            }
            if its_mark == mark && self::cell(self.points[number as usize]) == cell {
                return number;
            }
            at = (at + 1) & (self.slots.len() - 1);
        }
    }

    fn first(&self, hash: u64) -> usize {
        low_half(hash) & (self.slots.len() - 1)
    }

    fn grow(&mut self) {
        self.slots = vec![(FREE, 0); 2 * self.slots.len()];
        for (point, number) in self.points.iter().zip(0_u32..) {
            let hash = hash(cell(*point));
            let mut at = self.first(hash);
            while self.slots[at].0 != FREE {
                at = (at + 1) & (self.slots.len() - 1);
            }
            self.slots[at] = (number, high_half(hash));
        }
    }
}

/// A name for the grid cell of a point: equal for two points just when they round to the same point
/// of the grid.
fn cell(point: [f64; 3]) -> [u64; 3] {
    // Adding 1.5 * 2^52 leaves a whole number, rounded half to even, in the last bits.
    const ROUNDS: f64 = 6_755_399_441_055_744.0;
    const FARTHEST: f64 = 2_251_799_813_685_248.0;
    point.map(|x| {
        let steps = x * CELLS_PER_MM;
        if steps.abs() < FARTHEST {
            (steps + ROUNDS).to_bits()
        } else {
            // Whole already. The sums above have their sign bit clear and exponents near 52, which
            // no turned-over pattern of so large a number has.
            !steps.to_bits()
        }
    })
}

fn hash(cell: [u64; 3]) -> u64 {
    let mixed = cell.iter().fold(0_u64, |state, word| {
        (state.rotate_left(23) ^ word).wrapping_mul(0x9e37_79b9_7f4a_7c15)
    });
    // The last step of SplitMix64 (Steele et al. 2014, from memory): every bit of the state
    // reaches every bit of the result.
    let x = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let x = (x ^ (x >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    x ^ (x >> 31)
}

fn low_half(hash: u64) -> usize {
    usize::try_from(hash & 0xffff_ffff).unwrap_or_default()
}

fn high_half(hash: u64) -> u32 {
    u32::try_from(hash >> 32).unwrap_or_default()
}

/// Leaves out the points that no triangle uses, keeping their order.
fn compact(points: Vec<[f64; 3]>, mut triangles: Vec<[u32; 3]>) -> Mesh {
    let mut new_of = vec![u32::MAX; points.len()];
    for &corner in triangles.iter().flatten() {
        new_of[corner as usize] = 0;
    }
    if new_of.iter().all(|&new| new == 0) {
        return Mesh {
            vertices: points,
            triangles,
        };
    }
    let mut vertices = Vec::with_capacity(points.len());
    for (point, new) in points.iter().zip(&mut new_of) {
        if *new == 0 {
            *new = index(vertices.len());
            vertices.push(*point);
        }
    }
    for corner in triangles.iter_mut().flatten() {
        *corner = new_of[*corner as usize];
    }
    Mesh {
        vertices,
        triangles,
    }
}

fn index(i: usize) -> u32 {
    u32::try_from(i).expect("a raw mesh indexes its corners with u32, so there are no more")
}

#[cfg(test)]
mod tests {
    use std::collections::{BTreeMap, BTreeSet};

    use partpledge_units::dice::Dice;

    use super::*;

    fn soup(corners: &[[[f64; 3]; 3]]) -> RawMesh {
        let vertices: Vec<[f64; 3]> = corners.iter().flatten().copied().collect();
        let count = u32::try_from(corners.len()).unwrap();
        RawMesh {
            vertices,
            triangles: (0..count).map(|i| [3 * i, 3 * i + 1, 3 * i + 2]).collect(),
        }
    }

    const FLAT: [[f64; 3]; 3] = [[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]];

    #[test]
    fn the_unit_is_applied_before_the_grid() {
        let near = [[4e-6, 0.0, 0.0], [1.0, 1.0, 0.0], [1.0, 0.0, 0.0]];
        assert_eq!(weld(&soup(&[FLAT, near]), 1.0).mesh.vertices.len(), 4);
        assert_eq!(weld(&soup(&[FLAT, near]), 25.4).mesh.vertices.len(), 5);
    }

    #[test]
    fn the_first_position_in_a_cell_is_kept() {
        let near = [[4e-6, 0.0, 0.0], [1.0, 1.0, 0.0], [1.0, 0.0, 0.0]];
        let first = weld(&soup(&[near, FLAT]), 1.0).mesh.vertices[0];
        assert!((first[0] - 4e-6).abs() < 1e-18);
    }

    #[test]
    fn the_same_corners_in_the_other_winding_are_a_duplicate() {
        let welded = weld(&soup(&[FLAT, [FLAT[2], FLAT[1], FLAT[0]]]), 1.0);
        assert_eq!(welded.mesh.triangles, [[0, 1, 2]]);
        assert_eq!(welded.duplicates_dropped, 1);
        let place = welded.duplicate_place_mm.unwrap();
        assert!((place[0] - 1.0 / 3.0).abs() < 1e-12 && place[2].abs() < 1e-12);
    }

    #[test]
    fn a_sliver_with_three_different_corners_stays() {
        let sliver = [[0.0, 0.0, 0.0], [0.5, 0.0, 0.0], [1.0, 0.0, 0.0]];
        let welded = weld(&soup(&[sliver]), 1.0);
        assert_eq!(
            (welded.mesh.triangles.len(), welded.degenerate_dropped),
            (1, 0)
        );
    }

    #[test]
    fn corners_that_only_dropped_triangles_use_are_gone() {
        let needle = [[9.0, 9.0, 9.0], [9.0, 9.0, 9.0], [8.0, 8.0, 8.0]];
        let welded = weld(&soup(&[needle, FLAT]), 1.0);
        assert_eq!(
            (welded.mesh.vertices.len(), welded.degenerate_dropped),
            (3, 1)
        );
    }

    #[test]
    fn welding_is_what_a_plain_map_of_rounded_corners_gives() {
        let mut dice = Dice::seeded(3);
        // A thousand cells, most corners near a border between two, some far away.
        let mut corner = || {
            std::array::from_fn(|_| {
                let far = if dice.happens(0.02) { 1e11 } else { 0.0 };
                far + 1e-5 * (dice.between(-5, 5) as f64 + 0.5) + 1e-7 * (dice.unit() - 0.5)
            })
        };
        let triangles: Vec<_> = (0..5_000).map(|_| [corner(), corner(), corner()]).collect();
        let raw = soup(&triangles);
        let mut cells = BTreeMap::new();
        for &p in &raw.vertices {
            let cell = p.map(|x| ((x * 1e5).round_ties_even() + 0.0).to_bits());
            cells.entry(cell).or_insert(p);
        }
        let welded = weld(&raw, 1.0);
        assert_eq!(welded.mesh.vertices.len(), cells.len());
        assert!(welded.mesh.vertices.iter().all(|p| {
            cells
                .values()
                .any(|q| p.map(f64::to_bits) == q.map(f64::to_bits))
        }));
    }

    #[test]
    fn every_repeat_is_dropped_and_the_first_stays_where_it_was() {
        let mut dice = Dice::seeded(4);
        let mut corner = || dice.between(0, 8) as f64;
        let triangles: Vec<_> = (0..4_000)
            .map(|_| std::array::from_fn(|_| [corner(), corner(), 0.0]))
            .collect();
        let mut seen = BTreeSet::new();
        let (mut firsts, mut repeats, mut needles) = (Vec::new(), 0, 0);
        for triangle in &triangles {
            let mut sorted = triangle.map(|[x, y, _]: [f64; 3]| (10.0 * x + y).to_bits());
            sorted.sort_unstable();
            if sorted[0] == sorted[1] || sorted[1] == sorted[2] {
                needles += 1;
            } else if seen.insert(sorted) {
                firsts.push(*triangle);
            } else {
                repeats += 1;
            }
        }
        let welded = weld(&soup(&triangles), 1.0);
        assert!(repeats > 100);
        assert_eq!(
            (welded.duplicates_dropped, welded.degenerate_dropped),
            (repeats, needles)
        );
        let kept = welded.mesh.triangles.iter();
        let kept: Vec<_> = kept
            .map(|t| t.map(|i| welded.mesh.vertices[i as usize]))
            .collect();
        assert_eq!(kept, firsts);
    }
}
