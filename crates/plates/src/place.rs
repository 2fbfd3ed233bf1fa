//! The search: largest part first, each copy at the best spot still free, plate after plate.

use std::sync::Arc;

use crate::engine::{Board, Stamps};
use crate::shape::Shape;
use crate::spots::{Liking, Range, Spots};
use crate::{Bed, Effort, Item, Layout, LayoutError, Placement, Room};

/// A slide stops at steps below this, in mm.
const FINEST_MM: f64 = 0.01;

/// Parts kept ready from one plate to the next; each has thousands of spots for every turn.
const READY: usize = 12;

/// Fills plates of one room from a stock until nothing more goes on or the room is full; also
/// what is left of the stock. Copies are not numbered yet.
///
/// What is urgent first, then largest first; each copy goes to the best free spot over all turns, then slides towards the
/// corner. There are three orders of liking: what leaves the least wins, then the fewest plates, then
/// the least used last plate.
///
/// # Source
/// Bottom-left placing, largest first: common practice in nesting. Derived here: free spots only
/// ever get fewer on a plate, so each list of spots is walked once.
pub(crate) fn fill(
    shapes: &Arc<[Shape]>,
    room: &Room,
    (stock, urgent): (&[usize], &[bool]),
    effort: Effort,
) -> (Vec<Layout>, Vec<usize>) {
    let runs = Liking::ALL.into_iter().map(|liking| {
        let mut search = Search::new(shapes, &room.bed, effort, liking);
        // Stable: largest first within both.
        search.order.sort_by_key(|&item| !urgent[item]);
        search.plates(stock.to_vec(), room.plates)
    });
    best(runs).unwrap_or_default()
}

/// Of what runs filled, with what they left: the least left, then the fewest plates, then the least used last
/// plate, then the first.
pub(crate) fn best(
    runs: impl Iterator<Item = (Vec<Layout>, Vec<usize>)>,
) -> Option<(Vec<Layout>, Vec<usize>)> {
    let rank = |(plates, left): &(Vec<Layout>, Vec<usize>)| {
        let last = plates.last().map_or(0.0, |plate| covered(plate.used_mm));
        (left.iter().sum::<usize>(), plates.len(), last)
    };
    runs.min_by(|a, b| {
        let (a, b) = (rank(a), rank(b));
        (a.0, a.1).cmp(&(b.0, b.1)).then(a.2.total_cmp(&b.2))
    })
}

/// Area of the room used, mm².
pub(crate) fn covered(used_mm: [f64; 2]) -> f64 {
    used_mm[0] * used_mm[1]
}

/// How many copies of `item` one bed takes, counted up to `at_most`; its `copies` are not looked at.
///
/// [`crate::layout`] puts that many copies on one plate, so a caller can rely on the count. Zero
/// when the part does not fit at all: that is an answer here, not an error.
///
/// # Errors
/// [`LayoutError`] for a bed, clearance or outline that can't be used.
///
/// ```
/// use partpledge_plates::{Bed, Effort, Item, capacity};
/// let bar = vec![[0, 0], [900_000, 0], [900_000, 100_000], [0, 100_000]];
/// let item = Item { name: "bar".into(), outlines: vec![bar], copies: 1, ..Item::default() };
/// let bed = Bed { size_mm: [100.0, 100.0], clearance_mm: 2.0, edge_mm: 2.0 };
/// assert_eq!(capacity(&item, &bed, 60, Effort::default()), Ok(8));
/// assert_eq!(capacity(&item, &bed, 3, Effort::default()), Ok(3));
/// ```
pub fn capacity(
    item: &Item,
    bed: &Bed,
    at_most: usize,
    effort: Effort,
) -> Result<usize, LayoutError> {
    let room = Room {
        bed: *bed,
        plates: Some(1),
        tall: None,
    };
    let shapes = prepare(std::slice::from_ref(item), &room)?;
    let mut most = 0;
    for liking in Liking::ALL {
        let filled = Search::new(&shapes, bed, effort, liking).plate(&[at_most]);
        most = most.max(filled.placements.len());
        if most == at_most {
            break;
        }
    }
    Ok(most)
}

/// Every item ready for a room; those that do not fit it have no turns.
pub(crate) fn prepare(items: &[Item], room: &Room) -> Result<Arc<[Shape]>, LayoutError> {
    room.check()?;
    items
        .iter()
        .enumerate()
        .map(|(i, item)| Shape::prepare(i, item, &room.bed, room.tall.as_ref()))
        .collect()
}

/// A turn of a part with its list of spots.
#[derive(Debug)]
struct Track {
    turn: usize,
    range: Range,
    spots: Spots,
    stamps: Stamps,
    /// First spot not yet found taken on this plate.
    cursor: usize,
    /// Where a slide from there ended.
    slid: Option<[f64; 2]>,
}

#[derive(Debug)]
pub(crate) struct Search {
    shapes: Arc<[Shape]>,
    bed: Bed,
    liking: Liking,
    /// Items, largest first.
    order: Vec<usize>,
    /// All turns, by item; none of an item that is not ready.
    tracks: Vec<Vec<Track>>,
    effort: Effort,
}

/// One bed filled; copies are not numbered yet.
#[derive(Debug)]
pub(crate) struct Filled {
    pub(crate) placements: Vec<Placement>,
    /// The bed used once each of them lay there, in mm.
    used_mm: Vec<[f64; 2]>,
}

impl Filled {
    /// The bed used by the first so many of them.
    pub(crate) fn used_by(&self, copies: usize) -> Option<[f64; 2]> {
        self.used_mm.get(copies.checked_sub(1)?).copied()
    }

    /// The bed used by all of them.
    fn used(&self) -> [f64; 2] {
        self.used_mm.last().copied().unwrap_or_default()
    }
}

impl Search {
    pub(crate) fn new(shapes: &Arc<[Shape]>, bed: &Bed, effort: Effort, liking: Liking) -> Self {
        let mut order: Vec<usize> = (0..shapes.len()).collect();
        order.sort_by(|&a, &b| {
            shapes[b]
                .area_mm2
                .total_cmp(&shapes[a].area_mm2)
                .then(a.cmp(&b))
        });
        Self {
            shapes: Arc::clone(shapes),
            bed: *bed,
            liking,
            order,
            tracks: shapes.iter().map(|_| Vec::new()).collect(),
            effort,
        }
    }

    /// Fills plates from a stock until nothing more goes on or there are as many as may be; also what is
    /// left of the stock.
    pub(crate) fn plates(
        &mut self,
        mut left: Vec<usize>,
        most: Option<usize>,
    ) -> (Vec<Layout>, Vec<usize>) {
        let mut plates = Vec::new();
        let room_for = |plates: &Vec<Layout>| most.is_none_or(|most| plates.len() < most);
        while left.iter().any(|&n| n > 0) && room_for(&plates) {
            let filled = self.plate(&left);
            let used_mm = filled.used();
            let placements = filled.placements;
            if placements.is_empty() {
                // Nothing of what is left fits this room.
                break;
            }
            let mut counts = vec![0_usize; left.len()];
            for placement in &placements {
                counts[placement.item] += 1;
            }
            // The same stock gives the same plate again, so it need not be searched again: what
            // stopped for want of room stops there with any stock, what ran out has none left.
            while room_for(&plates) && left.iter().zip(&counts).all(|(stock, n)| stock >= n) {
                plates.push(Layout {
                    placements: placements.clone(),
                    used_mm,
                });
                for (stock, n) in left.iter_mut().zip(&counts) {
                    *stock -= n;
                }
            }
        }
        (plates, left)
    }

    /// Fills one bed from `stock`. Of one item the first copies lie where they lie with any stock.
    pub(crate) fn plate(&mut self, stock: &[usize]) -> Filled {
        let mut filled = Filled {
            placements: Vec::new(),
            used_mm: Vec::new(),
        };
        let mut reach: [f64; 2] = [0.0; 2];
        let high = self
            .shapes
            .iter()
            .flat_map(|shape| &shape.turns)
            .any(|turn| turn.far.is_some());
        let Some(mut board) = Board::empty(&self.bed, high) else {
            return filled;
        };
        self.make_ready(stock);
        for &item in &self.order.clone() {
            for _ in 0..stock[item] {
                let Some((track, spot)) = self.best_spot(&mut board, item) else {
                    break;
                };
                let turned = &self.shapes[item].turns[self.tracks[item][track].turn];
                reach = [0, 1].map(|k| reach[k].max(spot[k] + turned.size_mm[k]));
                filled.used_mm.push(reach.map(|r| r + self.bed.edge_mm));
                filled.placements.push(Placement {
                    item,
                    copy: 0,
                    x_mm: spot[0] - turned.low_mm[0],
                    y_mm: spot[1] - turned.low_mm[1],
                    rotation_deg: turned.rotation_deg,
                });
            }
        }
        filled
    }

    /// Every item that there are copies of, with no spot taken yet.
    fn make_ready(&mut self, stock: &[usize]) {
        let ready = self.tracks.iter().filter(|tracks| !tracks.is_empty());
        let crowded = ready.count() > READY;
        for (item, &copies) in stock.iter().enumerate() {
            if copies == 0 {
                if crowded {
                    self.tracks[item].clear();
                }
                continue;
            }
            if self.tracks[item].is_empty() {
                let turns = 0..self.shapes[item].turns.len();
                self.tracks[item] = turns.map(|turn| self.track(item, turn)).collect();
            }
            for track in &mut self.tracks[item] {
                (track.cursor, track.slid) = (0, None);
            }
        }
    }

    /// Puts one copy of `item` at the best spot over all its turns; `None` if there is no room.
    fn best_spot(&mut self, board: &mut Board, item: usize) -> Option<(usize, [f64; 2])> {
        loop {
            let mut best: Option<([f64; 2], usize, [f64; 2])> = None;
            for (i, track) in self.tracks[item].iter_mut().enumerate() {
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
            let track = &mut self.tracks[item][i];
            if board.put(
                &self.shapes[item].turns[track.turn],
                &mut track.stamps,
                spot,
            ) {
                return Some((i, spot));
            }
            // The exact test disagrees with the engine: this spot is not free after all.
            track.cursor += 1;
            track.slid = None;
        }
    }

    fn track(&self, item: usize, turn: usize) -> Track {
        let (bed, turned) = (&self.bed, &self.shapes[item].turns[turn]);
        let low_mm = [bed.edge_mm; 2];
        let high = |k: usize| (bed.size_mm[k] - bed.edge_mm - turned.size_mm[k]).max(low_mm[k]);
        let range = Range {
            low_mm,
            high_mm: [0, 1].map(high),
        };
        Track {
            turn,
            range,
            spots: Spots::over(range, turned.size_mm, self.effort.spots, self.liking),
            stamps: Stamps::of(turned),
            cursor: 0,
            slid: None,
        }
    }
}

/// The best spot of a track, slid home. What was free may have been taken since, but nothing has
/// become free, so a spot once taken is never looked at again and a slide that still holds is kept.
fn slid_spot(board: &Board, track: &mut Track, liking: Liking) -> Option<[f64; 2]> {
    if let Some(spot) = track.slid
        && board.seems_free(&mut track.stamps, spot)
    {
        return Some(spot);
    }
    track.slid = None;
    while let Some(spot) = track.spots.at(track.cursor) {
        if board.seems_free(&mut track.stamps, spot) {
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
            let mut step = track.spots.spacing_mm;
            while step > FINEST_MM {
                let mut trial = spot;
                trial[axis] = (spot[axis] - step).max(track.range.low_mm[axis]);
                let moves = trial[axis] < spot[axis];
                if moves && board.seems_free(&mut track.stamps, trial) {
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
