//! The same copies on fewer plates: a plate is given up, its copies go among the others, and all are
//! pushed apart.

use super::exact::{placement, spot_of};
use super::field::{Berth, Field, Spot};
use super::kind::Kind;
use super::separate::Used;
use super::settle::anywhere;
use super::shrink::{LONGER, Shrink};
use super::team::{Effort, Team};
use crate::jigsaw::without_waste;
use crate::{Item, Layout, LayoutError, Packed, Plate, Room};

/// Beds fuller than this are not tried for.
const FULLEST: f64 = 0.94;
/// Area of coats over that of the beds at first.
const FIRST_DENSITY: f64 = 0.65;
/// Share of the effort for plates without any waste, where they are possible.
const PUZZLING: f64 = 0.5;
/// Spots tried for a copy that has none yet.
const ENTRIES: usize = 100;

/// Tries to place what was left out, then to get by with one plate fewer, again and again.
///
/// # Errors
/// [`LayoutError::BadOutline`].
pub(crate) fn fewer(
    items: &[Item],
    rooms: &[Room],
    seed: u64,
    packed: &mut Packed,
    used: &Used<'_>,
) -> Result<(), LayoutError> {
    let alike = |room: &Room| {
        room.bed.clearance_mm.to_bits() == rooms[0].bed.clearance_mm.to_bits()
            && room.tall == rooms[0].tall
    };
    if !rooms.iter().all(alike) || packed.plates.is_empty() {
        return Ok(());
    }
    let room = rooms[0];
    let kinds = items
        .iter()
        .enumerate()
        .map(|(i, item)| {
            let far = room.tall.and_then(|tall| tall.of(item, &room.bed));
            Kind::prepare(i, item, room.bed.clearance_mm, far)
        })
        .collect::<Result<Vec<_>, _>>()?;
    let half = |trials: u64| used(trials) >= PUZZLING;
    let (whole, mut before) = without_waste(items, rooms, &half)?;
    if let Some(whole) = whole.filter(|whole| whole.plates.len() < packed.plates.len()) {
        *packed = whole;
        return Ok(());
    }
    while let Some(plan) = Plan::next(&kinds, rooms, packed) {
        let effort = Effort { seed, used, before };
        let Some((better, trials)) = plan.carry_out(&kinds, rooms, effort) else {
            break;
        };
        (*packed, before) = (better, trials);
    }
    Ok(())
}

/// Plates that are to hold everything, and the copies: where they lie, or `None` for those that
/// have no plate yet.
struct Plan {
    rooms: Vec<usize>,
    berths: Vec<Berth>,
    copies: Vec<(usize, Option<Spot>)>,
    still_out: Vec<usize>,
}

impl Plan {
    /// The next thing to try: one left-out copy more, or else one plate fewer. `None` when there is
    /// no more to gain, or the plates would have to be fuller than is possible.
    fn next(kinds: &[Kind], rooms: &[Room], packed: &Packed) -> Option<Self> {
        let mut out = packed.left_out.clone();
        let mut plates: Vec<usize> = (0..packed.plates.len()).collect();
        let mut homeless: Vec<usize> = Vec::new();
        let smallest = (0..out.len())
            .filter(|&i| out[i] > 0)
            .min_by(|&a, &b| kinds[a].area_mm2.total_cmp(&kinds[b].area_mm2));
        if let Some(item) = smallest {
            out[item] -= 1;
            homeless.push(item);
        } else {
            let given_up = least(kinds, packed)?;
            plates.retain(|&p| p != given_up);
            let lost = &packed.plates[given_up].layout.placements;
            homeless.extend(lost.iter().map(|p| p.item));
        }
        let numbers: Vec<usize> = plates.iter().map(|&p| packed.plates[p].room).collect();
        let berths = side_by_side(&numbers, rooms, kinds);
        let mut copies: Vec<(usize, Option<Spot>)> = Vec::new();
        for (berth, &p) in plates.iter().enumerate() {
            let corner = berths[berth].corner_mm;
            for placed in &packed.plates[p].layout.placements {
                let spot = spot_of(&kinds[placed.item], berth, corner, placed);
                copies.push((placed.item, Some(spot)));
            }
        }
        copies.extend(homeless.into_iter().map(|item| (item, None)));
        let area: f64 = copies.iter().map(|&(item, _)| kinds[item].area_mm2).sum();
        let gap_mm = rooms[0].bed.clearance_mm;
        (area <= FULLEST * room_mm2(&berths, gap_mm)).then_some(Self {
            rooms: numbers,
            berths,
            copies,
            still_out: out,
        })
    }

    /// `None` when the effort is used up first. Also the trials made by then.
    fn carry_out(
        self,
        kinds: &[Kind],
        rooms: &[Room],
        effort: Effort<'_>,
    ) -> Option<(Packed, u64)> {
        // Long enough that it is easy, then back to the true length.
        let area: f64 = self
            .copies
            .iter()
            .map(|&(kind, _)| kinds[kind].area_mm2)
            .sum();
        let scale =
            (area / (FIRST_DENSITY * room_mm2(&self.berths, rooms[0].bed.clearance_mm))).max(1.02);
        let mut long = self.berths.clone();
        for berth in &mut long {
            berth.corner_mm[0] *= scale * LONGER;
            berth.size_mm[0] *= scale;
        }
        let empty = Field::new(kinds, self.berths.clone(), &[])?;
        let mut team = Team::gather(effort, |mut dice, search| {
            let mut placed = Vec::with_capacity(self.copies.len());
            for &(kind, spot) in &self.copies {
                let mut spot = match spot {
                    Some(spot) => spot,
                    None => (0..ENTRIES).find_map(|_| anywhere(&empty, &mut dice, &kinds[kind]))?,
                };
                let moved = long[spot.berth].corner_mm[0] - self.berths[spot.berth].corner_mm[0];
                spot.at[0] += moved;
                placed.push((kind, spot));
            }
            let field = Field::new(kinds, long.clone(), &placed)?;
            Some(Shrink::new(search(field, dice), scale, 1.0))
        })?;
        team.work(1.0, |shrink| shrink.explore(1.0));
        let best = team.best()?;
        if best.scales.iter().any(|&scale| scale > 1.0) {
            return None;
        }
        Some((self.packed(kinds, rooms, &best.spots), best.trials))
    }

    /// The plates as they lie, each moved home to its corner.
    fn packed(&self, kinds: &[Kind], rooms: &[Room], spots: &[Spot]) -> Packed {
        let mut plates = Vec::new();
        for (berth, &room) in self.rooms.iter().enumerate() {
            let here: Vec<(&Kind, usize, Spot)> = self
                .copies
                .iter()
                .zip(spots)
                .filter(|(_, spot)| spot.berth == berth)
                .map(|(&(item, _), &spot)| (&kinds[item], item, spot))
                .collect();
            if here.is_empty() {
                continue;
            }
            let ends = |k: usize, side: usize, pick: fn(f64, f64) -> f64, start: f64| {
                let end = |(kind, _, spot): &(&Kind, usize, Spot)| {
                    let turned = kind.box_mm(spot.turn);
                    spot.at[k] + [turned.0, turned.1][side][k]
                };
                here.iter().map(end).fold(start, pick)
            };
            let rim = rooms[room].bed.edge_mm;
            let low = [0, 1].map(|k| ends(k, 0, f64::min, f64::INFINITY) - rim);
            let high = [0, 1].map(|k| ends(k, 1, f64::max, f64::NEG_INFINITY) + rim);
            let placements = here
                .iter()
                .map(|&(kind, item, spot)| placement(kind, low, spot, (item, 0)))
                .collect();
            let used_mm = [0, 1].map(|k| high[k] - low[k]);
            plates.push(Plate {
                room,
                layout: Layout {
                    placements,
                    used_mm,
                },
            });
        }
        Packed {
            plates,
            left_out: self.still_out.clone(),
        }
    }
}

/// Room for coats: half the gap round every part may reach over the rim.
fn room_mm2(berths: &[Berth], gap_mm: f64) -> f64 {
    let side = |b: &Berth, k: usize| b.size_mm[k] - 2.0 * b.rim_mm + gap_mm;
    let of = |b: &Berth| side(b, 0) * side(b, 1);
    berths.iter().map(of).sum()
}

/// The plate with the least on it; `None` when there is only one.
fn least(kinds: &[Kind], packed: &Packed) -> Option<usize> {
    let area = |p: &usize| -> f64 {
        let placements = &packed.plates[*p].layout.placements;
        placements
            .iter()
            .map(|placed| kinds[placed.item].area_mm2)
            .sum()
    };
    (0..packed.plates.len())
        .filter(|_| packed.plates.len() > 1)
        .min_by(|a, b| area(a).total_cmp(&area(b)))
}

/// Beds in rows, about as many in a row as there are rows: the engine likes squares.
fn side_by_side(numbers: &[usize], rooms: &[Room], kinds: &[Kind]) -> Vec<Berth> {
    // No coat reaches over from one bed to the next.
    let apart = 5.0 + 2.0 * kinds.iter().map(|kind| kind.reach_mm).fold(0.0, f64::max);
    let sizes = || numbers.iter().map(|&room| rooms[room].bed.size_mm);
    let pitch = [0, 1].map(|k| sizes().map(|size| size[k]).fold(0.0, f64::max) + apart);
    let total = pitch[0] * pitch[1] * numbers.len() as f64;
    let mut wide = 1;
    while pitch[0] * (wide as f64) < total.sqrt() {
        wide += 1;
    }
    numbers
        .iter()
        .enumerate()
        .map(|(i, &room)| Berth {
            corner_mm: [(i % wide) as f64 * pitch[0], (i / wide) as f64 * pitch[1]],
            size_mm: rooms[room].bed.size_mm,
            rim_mm: rooms[room].bed.edge_mm,
        })
        .collect()
}
