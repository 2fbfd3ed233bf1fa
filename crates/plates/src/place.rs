//! The search: largest part first, each copy at the best spot still free, plate after plate.

use crate::engine::{Board, Stamp};
use crate::shape::Shape;
use crate::spots::{Liking, Range, spread};
use crate::{Bed, Effort, Item, Layout, LayoutError, Placement};

/// A slide stops at steps below this, in mm.
const FINEST_MM: f64 = 0.01;

/// Lays out all copies of `items` on as few plates of `bed` as a greedy search finds.
///
/// Largest first; each copy goes to the best free spot over all turns, then slides towards the
/// corner. There are three orders of liking; only when the first needs several plates are the
/// others tried. Fewest plates wins, then the least used last plate. Every copy is on exactly one
/// plate; items with no copies are on none. The result depends on nothing but the arguments.
///
/// # Units
/// Outlines on the 1e-4 mm grid; everything else in mm.
/// # Errors
/// [`LayoutError`]: a bed, clearance or outline that can't be used, or a part that fits the bed
/// in no turn, with its name.
/// # Source
/// Bottom-left placing, largest first: common practice in nesting. Derived here: free spots only
/// ever get fewer on a plate, so each list of spots is walked once.
///
/// ```
/// use partpledge_plates::{Bed, Effort, Item, layout};
/// let square = vec![[0, 0], [300_000, 0], [300_000, 300_000], [0, 300_000]];
/// let item = Item { name: "tile".into(), outlines: vec![square], copies: 10 };
/// let bed = Bed { size_mm: [100.0, 100.0], clearance_mm: 2.0 };
/// let plates = layout(&[item], &bed, Effort::default()).unwrap();
/// assert_eq!(plates.iter().map(|plate| plate.placements.len()).collect::<Vec<_>>(), [9, 1]);
/// ```
pub fn layout(items: &[Item], bed: &Bed, effort: Effort) -> Result<Vec<Layout>, LayoutError> {
    let shapes = prepare(items, bed)?;
    let copies: Vec<usize> = items.iter().map(|item| item.copies).collect();
    let best = Liking::ALL
        .into_iter()
        .map(|liking| Search::new(&shapes, bed, effort, liking).plates(copies.clone()))
        .min_by(|a, b| {
            rank(a)
                .0
                .cmp(&rank(b).0)
                .then(rank(a).1.total_cmp(&rank(b).1))
        });
    Ok(best.unwrap_or_default())
}

/// How many copies of `item` one bed takes, counted up to `at_most`; its `copies` are not looked at.
///
/// [`layout`] puts that many copies on one plate, so a caller can rely on the count. Zero
/// when the part does not fit at all: that is an answer here, not an error.
///
/// # Errors
/// [`LayoutError`] for a bed, clearance or outline that can't be used.
///
/// ```
/// use partpledge_plates::{Bed, Effort, Item, capacity};
/// let bar = vec![[0, 0], [900_000, 0], [900_000, 100_000], [0, 100_000]];
/// let item = Item { name: "bar".into(), outlines: vec![bar], copies: 1 };
/// let bed = Bed { size_mm: [100.0, 100.0], clearance_mm: 2.0 };
/// assert_eq!(capacity(&item, &bed, 60, Effort::default()), Ok(8));
/// assert_eq!(capacity(&item, &bed, 3, Effort::default()), Ok(3));
/// ```
pub fn capacity(
    item: &Item,
    bed: &Bed,
    at_most: usize,
    effort: Effort,
) -> Result<usize, LayoutError> {
    let shapes = match prepare(std::slice::from_ref(item), bed) {
        Err(LayoutError::TooLarge { .. }) => return Ok(0),
        other => other?,
    };
    let mut most = 0;
    for liking in Liking::ALL {
        let (placements, _) = Search::new(&shapes, bed, effort, liking).plate(&[at_most]);
        most = most.max(placements.len());
        if most == at_most {
            break;
        }
    }
    Ok(most)
}

fn rank(plates: &[Layout]) -> (usize, f64) {
    (
        plates.len(),
        plates
            .last()
            .map_or(0.0, |plate| plate.used_mm[0] * plate.used_mm[1]),
    )
}

fn prepare(items: &[Item], bed: &Bed) -> Result<Vec<Shape>, LayoutError> {
    if !bed
        .size_mm
        .iter()
        .all(|side| *side > 0.0 && *side < 10_000.0)
    {
        return Err(LayoutError::BadBed {
            size_mm: bed.size_mm,
        });
    }
    if !(0.0..1_000.0).contains(&bed.clearance_mm) {
        return Err(LayoutError::BadClearance {
            clearance_mm: bed.clearance_mm,
        });
    }
    items
        .iter()
        .enumerate()
        .map(|(i, item)| Shape::prepare(i, item, bed))
        .collect()
}

/// A turn of a part with its list of spots.
struct Track {
    item: usize,
    turn: usize,
    range: Range,
    spots: Vec<[f64; 2]>,
    spacing_mm: f64,
    stamp: Stamp,
    /// First spot not yet found taken on this plate.
    cursor: usize,
    /// Where a slide from there ended.
    slid: Option<[f64; 2]>,
}

struct Search<'a> {
    shapes: &'a [Shape],
    bed: &'a Bed,
    liking: Liking,
    /// Items, largest first.
    order: Vec<usize>,
    /// All turns of all items, grouped by item.
    tracks: Vec<Track>,
}

impl<'a> Search<'a> {
    fn new(shapes: &'a [Shape], bed: &'a Bed, effort: Effort, liking: Liking) -> Self {
        let mut order: Vec<usize> = (0..shapes.len()).collect();
        order.sort_by(|&a, &b| {
            shapes[b]
                .area_mm2
                .total_cmp(&shapes[a].area_mm2)
                .then(a.cmp(&b))
        });
        let tracks = shapes
            .iter()
            .enumerate()
            .flat_map(|(item, shape)| (0..shape.turns.len()).map(move |turn| (item, turn)))
            .map(|(item, turn)| track(shapes, bed, effort, liking, item, turn))
            .collect();
        Self {
            shapes,
            bed,
            liking,
            order,
            tracks,
        }
    }

    fn plates(&mut self, mut left: Vec<usize>) -> Vec<Layout> {
        let mut done = vec![0_usize; left.len()];
        let mut plates = Vec::new();
        while left.iter().any(|&n| n > 0) {
            let (placements, used_mm) = self.plate(&left);
            let mut counts = vec![0_usize; left.len()];
            for placement in &placements {
                counts[placement.item] += 1;
            }
            assert!(
                !placements.is_empty(),
                "every shape kept has a turn that fits an empty bed"
            );
            // The same stock gives the same plate again, so it need not be searched again: what
            // stopped for want of room stops there with any stock, what ran out has none left.
            loop {
                let mut plate = Layout {
                    placements: placements.clone(),
                    used_mm,
                };
                for placement in &mut plate.placements {
                    placement.copy = done[placement.item];
                    done[placement.item] += 1;
                }
                plates.push(plate);
                for (stock, n) in left.iter_mut().zip(&counts) {
                    *stock -= n;
                }
                if left.iter().zip(&counts).any(|(stock, n)| stock < n)
                    || left.iter().all(|&n| n == 0)
                {
                    break;
                }
            }
        }
        plates
    }

    /// Fills one bed from `stock`; copies are numbered later. Also the bed used, in mm.
    fn plate(&mut self, stock: &[usize]) -> (Vec<Placement>, [f64; 2]) {
        let mut placements = Vec::new();
        let mut reach: [f64; 2] = [0.0; 2];
        let Some(mut board) = Board::empty(self.bed) else {
            return (placements, reach);
        };
        for track in &mut self.tracks {
            (track.cursor, track.slid) = (0, None);
        }
        for &item in &self.order.clone() {
            for _ in 0..stock[item] {
                let Some((track, spot)) = self.best_spot(&mut board, item) else {
                    break;
                };
                let turned = &self.shapes[item].turns[self.tracks[track].turn];
                reach = [0, 1].map(|k| reach[k].max(spot[k] + turned.size_mm[k]));
                placements.push(Placement {
                    item,
                    copy: 0,
                    x_mm: spot[0] - turned.low_mm[0],
                    y_mm: spot[1] - turned.low_mm[1],
                    rotation_deg: turned.rotation_deg,
                });
            }
        }
        (placements, reach.map(|r| r + self.bed.clearance_mm))
    }

    /// Puts one copy of `item` at the best spot over all its turns; `None` if there is no room.
    fn best_spot(&mut self, board: &mut Board, item: usize) -> Option<(usize, [f64; 2])> {
        loop {
            let mut best: Option<([f64; 2], usize, [f64; 2])> = None;
            for (i, track) in self
                .tracks
                .iter_mut()
                .enumerate()
                .filter(|(_, track)| track.item == item)
            {
                let Some(spot) = slid_spot(board, track, self.liking) else {
                    continue;
                };
                let size = self.shapes[item].turns[track.turn].size_mm;
                let keys = self.liking.keys([spot[0] + size[0], spot[1] + size[1]]);
                if best.is_none_or(|(other, ..)| keys < other) {
                    best = Some((keys, i, spot));
                }
            }
            let (_, i, spot) = best?;
            let track = &mut self.tracks[i];
            if board.put(&self.shapes[item].turns[track.turn], &mut track.stamp, spot) {
                return Some((i, spot));
            }
            // The exact test disagrees with the engine: this spot is not free after all.
            track.cursor += 1;
            track.slid = None;
        }
    }
}

fn track(
    shapes: &[Shape],
    bed: &Bed,
    effort: Effort,
    liking: Liking,
    item: usize,
    turn: usize,
) -> Track {
    let turned = &shapes[item].turns[turn];
    let low_mm = [bed.clearance_mm; 2];
    let high_mm =
        [0, 1].map(|k| (bed.size_mm[k] - bed.clearance_mm - turned.size_mm[k]).max(low_mm[k]));
    let range = Range { low_mm, high_mm };
    let (spots, spacing_mm) = spread(&range, turned.size_mm, effort.spots, liking);
    Track {
        item,
        turn,
        range,
        spots,
        spacing_mm,
        stamp: turned.stamp.clone(),
        cursor: 0,
        slid: None,
    }
}

/// The best spot of a track, slid home. What was free may have been taken since, but nothing has
/// become free, so a spot once taken is never looked at again and a slide that still holds is kept.
fn slid_spot(board: &Board, track: &mut Track, liking: Liking) -> Option<[f64; 2]> {
    if let Some(spot) = track.slid
        && board.seems_free(&mut track.stamp, spot)
    {
        return Some(spot);
    }
    track.slid = None;
    while let Some(&spot) = track.spots.get(track.cursor) {
        if board.seems_free(&mut track.stamp, spot) {
            track.slid = Some(slide(board, track, spot, liking));
            break;
        }
        track.cursor += 1;
    }
    track.slid
}

/// Moves a part from a free spot towards the corner, along one axis after the other.
fn slide(board: &Board, track: &mut Track, from: [f64; 2], liking: Liking) -> [f64; 2] {
    let axes = if liking == Liking::Left {
        [0, 1]
    } else {
        [1, 0]
    };
    let mut spot = from;
    for _ in 0..4 {
        let before = spot;
        for axis in axes {
            let mut step = track.spacing_mm;
            while step > FINEST_MM {
                let mut trial = spot;
                trial[axis] = (spot[axis] - step).max(track.range.low_mm[axis]);
                let moves = trial[axis] < spot[axis];
                if moves && board.seems_free(&mut track.stamp, trial) {
                    spot = trial;
                } else {
                    step /= 2.0;
                }
            }
        }
        if (before[0] - spot[0]) + (before[1] - spot[1]) < FINEST_MM {
            break;
        }
    }
    spot
}
