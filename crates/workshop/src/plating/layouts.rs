//! How the parts of one file lie on beds, worked out once for all that is asked about them.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use partpledge_catalogue::PrinterClass;
use partpledge_plates::{Effort, Item, Nest};
use partpledge_sections::outlines::area_mm2;
use partpledge_units::cast::ceil_i64;

use crate::estimating::LaidPart;
use crate::laying_out::{item, room};

/// How the parts of one file lie on beds, as far as it has been worked out. The same for every plastic whose
/// sheet lays the same lines.
#[derive(Debug, Default)]
pub(crate) struct Layouts(Mutex<BTreeMap<String, Arc<Mutex<OnBed>>>>);

/// The same on the bed of one class.
#[derive(Debug)]
struct OnBed {
    /// `None` when an outline can't be used.
    nest: Option<Nest>,
    /// By copies of each part: the room used on the only plate, mm; `None` when one does not do.
    on_one: BTreeMap<Vec<usize>, Option<[f64; 2]>>,
    /// Fewest plates for so many copies of each of them all.
    fewest: BTreeMap<usize, Option<usize>>,
}

impl Layouts {
    /// The room used when these all lie on one plate; `None` when they don't.
    pub(super) fn on_one(
        &self,
        parts: &[&LaidPart],
        share: &[usize],
        class: &PrinterClass,
    ) -> Option<[f64; 2]> {
        // Most that is asked for is far too much for one plate, and that needs no laying out.
        if covered_mm2(parts, share) > class.bed_mm[0] * class.bed_mm[1] {
            return None;
        }
        let bed = self.bed(parts, class);
        let mut bed = locked(&bed);
        if let Some(known) = bed.on_one.get(share) {
            return *known;
        }
        let found = bed.nest.as_mut().and_then(|nest| nest.on_one(share));
        bed.on_one.insert(share.to_vec(), found);
        found
    }

    /// Fewest plates for so many copies of each part. Of a single part one plate is filled, and all
    /// others are like it.
    pub(super) fn fewest(
        &self,
        parts: &[&LaidPart],
        copies: usize,
        class: &PrinterClass,
    ) -> Option<usize> {
        let bed = self.bed(parts, class);
        let mut bed = locked(&bed);
        if let Some(known) = bed.fewest.get(&copies) {
            return *known;
        }
        let nest = bed.nest.as_mut();
        let found = nest.and_then(|nest| fewest(nest, parts, copies, class));
        bed.fewest.insert(copies, found);
        found
    }

    fn bed(&self, parts: &[&LaidPart], class: &PrinterClass) -> Arc<Mutex<OnBed>> {
        let mut beds = locked(&self.0);
        let bed = beds.entry(class.code.clone()).or_insert_with(|| {
            let items: Vec<Item> = parts.iter().map(|part| item(part, 0)).collect();
            Arc::new(Mutex::new(OnBed {
                nest: Nest::new(&items, &room(class), Effort::default()).ok(),
                on_one: BTreeMap::new(),
                fewest: BTreeMap::new(),
            }))
        });
        Arc::clone(bed)
    }
}

fn fewest(
    nest: &mut Nest,
    parts: &[&LaidPart],
    copies: usize,
    class: &PrinterClass,
) -> Option<usize> {
    let [only] = parts else {
        let few = nest.on_few(&vec![copies; parts.len()]);
        return few.map(|few| few.plates);
    };
    let bed_mm2 = class.bed_mm[0] * class.bed_mm[1];
    let fills = bed_mm2 / covered_mm2(&[only], &[1]).max(1.0);
    let fills = ceil_i64(fills).and_then(|n| usize::try_from(n).ok());
    let some = fills.unwrap_or(copies).clamp(1, copies.max(1));
    let few = nest.on_few(&[some])?;
    let on_first = if few.plates <= 1 { some } else { few.on_first };
    Some(copies.div_ceil(on_first.max(1)))
}

// What a panic left there is whole: entries are put in at once.
fn locked<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}

/// What so many copies cover of a bed, mm²: less than they take.
fn covered_mm2(parts: &[&LaidPart], share: &[usize]) -> f64 {
    let each = parts.iter().zip(share);
    each.map(|(part, &n)| area_mm2(&part.shadow) * n as f64)
        .sum()
}
