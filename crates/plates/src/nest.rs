//! Parts made ready for one kind of bed once, and laid out in many numbers.

use std::collections::BTreeMap;

use crate::place::{Filled, Search, best, covered, prepare};
use crate::spots::Liking;
use crate::{Effort, Item, LayoutError, Room};

/// Parts that are laid out on one kind of bed again and again: whoever shares out copies over plates asks for
/// many numbers of the same parts, and making them ready takes longer than laying a few out.
///
/// The answers are those of [`pack`](crate::pack()) with the greedy search alone, to the bit.
///
/// ```
/// use partpledge_plates::{Bed, Effort, Item, Nest, Room};
/// let square = vec![[0, 0], [300_000, 0], [300_000, 300_000], [0, 300_000]];
/// let item = Item { name: "tile".into(), outlines: vec![square], ..Item::default() };
/// let bed = Bed { size_mm: [100.0, 100.0], clearance_mm: 2.0, edge_mm: 2.0 };
/// let mut nest = Nest::new(&[item], &Room { bed, plates: None, tall: None }, Effort::default()).unwrap();
/// let used = nest.on_one(&[9]).unwrap();
/// assert!(used.iter().all(|mm| (98.0..100.0).contains(mm)));
/// assert_eq!(nest.on_one(&[10]), None);
/// assert_eq!(nest.on_few(&[20]).map(|few| (few.plates, few.on_first)), Some((3, 9)));
/// ```
#[derive(Debug)]
pub struct Nest {
    /// A search under each liking.
    searches: Vec<Search>,
    /// Parts that fit the bed in some turn.
    fits: Vec<bool>,
    room: Room,
    /// How the copies of one part alone fill a bed under each liking, and for how many that was asked.
    alone: BTreeMap<usize, (usize, Vec<Filled>)>,
}

/// Copies on as few plates as the greedy search finds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nested {
    /// So many.
    pub plates: usize,
    /// Copies on the first.
    pub on_first: usize,
    /// Room used on it, mm, as [`Layout::used_mm`](crate::Layout::used_mm).
    pub used_mm: [f64; 2],
}

impl Nest {
    /// Makes parts ready; their `copies` are not looked at.
    ///
    /// # Errors
    /// [`LayoutError`] for a bed, clearance or outline that can't be used. A part that does not fit is no error:
    /// no plate has a copy of it.
    pub fn new(items: &[Item], room: &Room, effort: Effort) -> Result<Self, LayoutError> {
        let shapes = prepare(items, room)?;
        let search = |liking| Search::new(&shapes, &room.bed, effort, liking);
        Ok(Self {
            searches: Liking::ALL.into_iter().map(search).collect(),
            fits: shapes.iter().map(|shape| !shape.turns.is_empty()).collect(),
            room: *room,
            alone: BTreeMap::new(),
        })
    }

    /// The room used when so many copies of each part lie on one plate, mm; `None` when they don't, or there
    /// are none.
    pub fn on_one(&mut self, stock: &[usize]) -> Option<[f64; 2]> {
        self.nothing_too_large(stock).then_some(())?;
        let copies: usize = stock.iter().sum();
        let used: Vec<[f64; 2]> = match only(stock) {
            Some(item) => {
                let alone = self.alone(item, copies);
                let used = alone.iter().filter_map(|filled| filled.used_by(copies));
                used.collect()
            }
            None => {
                let runs = self.searches.iter_mut().map(|search| search.plate(stock));
                runs.filter_map(|filled| filled.used_by(copies)).collect()
            }
        };
        let least = |a: &[f64; 2], b: &[f64; 2]| covered(*a).total_cmp(&covered(*b));
        used.into_iter().min_by(least)
    }

    /// So many copies of each part on as few plates as found; `None` when that can't be, or there are none.
    pub fn on_few(&mut self, stock: &[usize]) -> Option<Nested> {
        self.nothing_too_large(stock).then_some(())?;
        if let Some(item) = only(stock) {
            return self.alone_on_few(item, stock[item]);
        }
        let most = self.room.plates;
        let runs = self.searches.iter_mut();
        let (plates, _) = best(runs.map(|search| search.plates(stock.to_vec(), most)))?;
        let first = plates.first()?;
        Some(Nested {
            plates: plates.len(),
            on_first: first.placements.len(),
            used_mm: first.used_mm,
        })
    }

    fn nothing_too_large(&self, stock: &[usize]) -> bool {
        let mut each = stock.iter().zip(&self.fits);
        each.all(|(&copies, fits)| copies == 0 || *fits)
    }

    /// How at least so many copies of a part fill a bed, or as many as go on it.
    fn alone(&mut self, item: usize, copies: usize) -> &[Filled] {
        let known = self.alone.get(&item);
        if known.is_none_or(|(asked, _)| *asked < copies) {
            let mut stock = vec![0; self.fits.len()];
            stock[item] = copies;
            let runs = self.searches.iter_mut().map(|search| search.plate(&stock));
            let filled: Vec<Filled> = runs.collect();
            // What stopped before stops there whatever is asked.
            let full = filled.iter().all(|one| one.placements.len() < copies);
            let asked = if full { usize::MAX } else { copies };
            self.alone.insert(item, (asked, filled));
        }
        self.alone.get(&item).map_or(&[], |(_, filled)| filled)
    }

    /// Full plates, and what is left over on the last.
    fn alone_on_few(&mut self, item: usize, copies: usize) -> Option<Nested> {
        let most = self.room.plates.unwrap_or(usize::MAX);
        let runs = self.alone(item, copies).iter().filter_map(|filled| {
            let on_first = filled.placements.len().min(copies);
            let plates = copies.div_ceil(on_first.max(1)).min(most);
            let left = copies.saturating_sub(plates * on_first);
            let on_last = copies.min(plates * on_first) - plates.saturating_sub(1) * on_first;
            let last = covered(filled.used_by(on_last)?);
            let used_mm = filled.used_by(on_first)?;
            let nested = Nested {
                plates,
                on_first,
                used_mm,
            };
            Some(((left, plates), last, nested))
        });
        let least = runs.min_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        least.map(|(.., nested)| nested)
    }
}

/// The only part of which there are copies.
fn only(stock: &[usize]) -> Option<usize> {
    let mut some = stock.iter().enumerate().filter(|(_, copies)| **copies > 0);
    let (item, _) = some.next()?;
    some.next().is_none().then_some(item)
}
