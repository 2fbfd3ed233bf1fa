//! The ways in: one kind of bed or several, the greedy search alone or the strong one after it.

use crate::place::{fill, prepare};
use crate::search::fewer;
use crate::{Bed, Effort, Item, Layout, LayoutError, Packed, Plate, Room};

/// Lays out all copies of `items` on as few plates of `bed` as the effort finds.
///
/// Every copy is on exactly one plate; items with no copies are on none. The result depends on
/// nothing but the arguments, and more trials never give more plates. With the default effort
/// it is the greedy search alone.
///
/// # Units
/// Outlines on the 1e-4 mm grid; everything else in mm.
/// # Errors
/// [`LayoutError`]: a bed, clearance or outline that can't be used, or a part that fits the bed
/// in no turn, with its name.
///
/// ```
/// use partpledge_plates::{Bed, Effort, Item, layout};
/// let square = vec![[0, 0], [300_000, 0], [300_000, 300_000], [0, 300_000]];
/// let item = Item { name: "tile".into(), outlines: vec![square], copies: 10, ..Item::default() };
/// let bed = Bed { size_mm: [100.0, 100.0], clearance_mm: 2.0, edge_mm: 2.0 };
/// let plates = layout(&[item], &bed, Effort::default()).unwrap();
/// assert_eq!(plates.iter().map(|plate| plate.placements.len()).collect::<Vec<_>>(), [9, 1]);
/// ```
pub fn layout(items: &[Item], bed: &Bed, effort: Effort) -> Result<Vec<Layout>, LayoutError> {
    let room = Room {
        bed: *bed,
        plates: None,
        tall: None,
    };
    let packed = pack(items, &[room], effort)?;
    Ok(packed
        .plates
        .into_iter()
        .map(|plate| plate.layout)
        .collect())
}

/// Lays out all copies of `items` on as few plates as the effort finds, over several kinds of beds.
///
/// The largest bed is filled first. What fits no plate that is left is counted in
/// [`Packed::left_out`]; it is as small as found, and only then are the plates fewest. Grouping by
/// material and sheet is the caller's.
///
/// # Units
/// As [`layout`].
/// # Errors
/// [`LayoutError`], as [`layout`]; [`LayoutError::TooLarge`] when a part fits no bed of the list.
///
/// ```
/// use partpledge_plates::{Bed, Effort, Item, Room, pack};
/// let bar = vec![[0, 0], [900_000, 0], [900_000, 100_000], [0, 100_000]];
/// let item = Item { name: "bar".into(), outlines: vec![bar], copies: 20, ..Item::default() };
/// let room = |side: f64, plates| Room {
///     bed: Bed { size_mm: [side, side], clearance_mm: 2.0, edge_mm: 2.0 },
///     plates,
///     tall: None,
/// };
/// let packed = pack(&[item], &[room(100.0, None), room(150.0, Some(1))], Effort::default()).unwrap();
/// let rooms: Vec<usize> = packed.plates.iter().map(|plate| plate.room).collect();
/// assert_eq!((rooms, packed.left_out), (vec![0, 1], vec![0]));
/// ```
pub fn pack(items: &[Item], rooms: &[Room], effort: Effort) -> Result<Packed, LayoutError> {
    let used = |trials: u64| trials as f64 / effort.trials.max(1) as f64;
    pack_within(items, rooms, effort, &used)
}

/// As [`pack`], with an effort that is counted outside: `used` is told how many trials one of the
/// searches has made and says which share of the effort is used up, 1 and more when it is over. Nothing else is
/// taken from it, so more effort only goes on where less would have stopped.
///
/// # Errors
/// As [`pack`].
pub fn pack_within(
    items: &[Item],
    rooms: &[Room],
    effort: Effort,
    used: &(dyn Fn(u64) -> f64 + Sync),
) -> Result<Packed, LayoutError> {
    let shapes = rooms
        .iter()
        .map(|room| prepare(items, room))
        .collect::<Result<Vec<_>, _>>()?;
    for (i, item) in items.iter().enumerate() {
        let sizes = shapes.iter().map(|shapes| &shapes[i]);
        if sizes.clone().all(|shape| shape.turns.is_empty()) {
            return Err(LayoutError::TooLarge {
                item: i,
                name: item.name.clone(),
                size_mm: sizes.map(|shape| shape.size_mm).next().unwrap_or_default(),
                bed_mm: roomiest(rooms),
            });
        }
    }
    let mut left: Vec<usize> = items.iter().map(|item| item.copies).collect();
    let mut plates = Vec::new();
    for room in by_size(rooms) {
        // What fits no other room must not be crowded out.
        let elsewhere = |item: usize| {
            let mut others = (0..rooms.len()).filter(|&other| other != room);
            others.any(|other| !shapes[other][item].turns.is_empty())
        };
        let urgent: Vec<bool> = (0..items.len()).map(|item| !elsewhere(item)).collect();
        let stock = (left.as_slice(), urgent.as_slice());
        let (filled, over) = fill(&shapes[room], &rooms[room], stock, effort);
        plates.extend(filled.into_iter().map(|layout| Plate { room, layout }));
        left = over;
    }
    let mut packed = Packed {
        plates,
        left_out: left,
    };
    if effort.trials > 0 {
        fewer(items, rooms, effort.seed, &mut packed, used)?;
    }
    number(&mut packed);
    Ok(packed)
}

/// Rooms, the largest bed first.
fn by_size(rooms: &[Room]) -> Vec<usize> {
    let area = |i: &usize| rooms[*i].bed.size_mm[0] * rooms[*i].bed.size_mm[1];
    let mut order: Vec<usize> = (0..rooms.len()).collect();
    order.sort_by(|a, b| area(b).total_cmp(&area(a)).then(a.cmp(b)));
    order
}

/// What the largest bed leaves inside the gap to its edge, mm.
fn roomiest(rooms: &[Room]) -> [f64; 2] {
    by_size(rooms).first().map_or([0.0; 2], |&i| {
        let bed = rooms[i].bed;
        bed.size_mm.map(|side| side - 2.0 * bed.edge_mm)
    })
}

/// Numbers the copies of each item over all plates.
fn number(packed: &mut Packed) {
    packed.plates.sort_by_key(|plate| plate.room);
    let mut seen = vec![0_usize; packed.left_out.len()];
    for placement in packed
        .plates
        .iter_mut()
        .flat_map(|plate| &mut plate.layout.placements)
    {
        placement.copy = seen[placement.item];
        seen[placement.item] += 1;
    }
}
