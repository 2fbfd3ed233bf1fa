//! The menu for planning: ways to put the copies on plates, with the time on every printer.

use std::collections::BTreeMap;

use partpledge_planning::Way;
use partpledge_planning_model::{Footprint, Making, PlaceIx, Plate, PlateSeq, PrinterIx};
use partpledge_plates::Effort;
use partpledge_toolpath::{Estimate, plate_time};
use partpledge_units::time::{Minute, Minutes};

use crate::error::WorkshopError;
use crate::estimating::{LaidPart, Process, timed};
use crate::laying_out::{lay_out, room};
use crate::session::Session;

/// Most plates that a way may have.
const MOST_PLATES: usize = 12;

/// What is to be made and where it goes.
#[derive(Clone, Debug)]
pub struct Order<'a> {
    /// The parts of the file.
    pub parts: &'a [LaidPart],
    /// Copies of each.
    pub copies: u32,
    /// Material and sheet.
    pub process: &'a Process,
    /// Where it goes.
    pub to: PlaceIx,
    /// Not to be started before.
    pub release: Minute,
    /// Number of the first new plate.
    pub next_seq: u64,
}

/// Laid out on one class's bed: room used and time taken.
#[derive(Clone, Copy, Debug)]
struct OnClass {
    footprint: Footprint,
    time_s: f64,
}

/// The ways worth asking planning about: as few plates as the roomiest printer allows, one more
/// (a smaller plate loses less when it fails), and as many as the smallest printer that takes the
/// part needs. Each plate may go on every printer that holds it.
///
/// # Errors
/// [`WorkshopError`] from estimating.
pub fn ways(session: &Session, order: &Order<'_>) -> Result<Vec<Way>, WorkshopError> {
    let menu = Menu::new(session, order)?;
    let units = menu.units();
    let mut counts: Vec<usize> = menu
        .classes
        .keys()
        .filter_map(|code| menu.fewest(code))
        .collect();
    counts.sort_unstable();
    counts.dedup();
    let Some(&least) = counts.first() else {
        return Ok(Vec::new());
    };
    counts.retain(|&n| n <= least + 3);
    counts.push(least + 1);
    counts.sort_unstable();
    counts.dedup();
    let mut out = Vec::new();
    for plates in counts.into_iter().filter(|&n| n <= units.min(MOST_PLATES)) {
        if let Some(way) = menu.way(plates) {
            out.push(way);
        }
    }
    Ok(out)
}

/// One plate with so many copies of each part. `None` when they fit on no printer's bed at once.
///
/// # Errors
/// [`WorkshopError`] from estimating.
pub(crate) fn whole_plate(
    session: &Session,
    order: &Order<'_>,
    share: &[usize],
) -> Result<Option<Plate>, WorkshopError> {
    let menu = Menu::new(session, order)?;
    let codes = menu.classes.keys();
    let by_class: BTreeMap<&str, OnClass> = codes
        .filter_map(|code| Some((code.as_str(), menu.on_class(code, share)?)))
        .collect();
    Ok(menu.plate(0, share, &by_class))
}

struct Menu<'a> {
    session: &'a Session,
    order: &'a Order<'a>,
    /// Estimates of every part by class.
    classes: BTreeMap<String, Vec<Estimate>>,
}

impl<'a> Menu<'a> {
    fn new(session: &'a Session, order: &'a Order<'a>) -> Result<Self, WorkshopError> {
        let mut classes = BTreeMap::new();
        for (printer, code) in session
            .terrain
            .region
            .printers
            .iter()
            .zip(&session.terrain.classes)
        {
            let takes = printer.materials.contains(&order.process.material.code);
            let Some(class) = session.catalogue.class(code).filter(|_| takes) else {
                continue;
            };
            if classes.contains_key(code)
                || !order.parts.iter().all(|p| p.size_mm[2] <= class.bed_mm[2])
            {
                continue;
            }
            let estimates = order
                .parts
                .iter()
                .map(|part| timed(part, order.process, class))
                .collect::<Result<Vec<_>, _>>()?;
            classes.insert(code.clone(), estimates);
        }
        Ok(Self {
            session,
            order,
            classes,
        })
    }

    /// How many single copies there are, over all parts.
    fn units(&self) -> usize {
        self.order.parts.len() * self.order.copies as usize
    }

    /// Copies of each part on plate `k` of `plates`, shared out as evenly as can be.
    fn share(&self, k: usize, plates: usize) -> Vec<usize> {
        let units = self.units();
        let (from, until) = (k * units / plates, (k + 1) * units / plates);
        let copies = self.order.copies as usize;
        let of_part = |i: usize| {
            let (first, last) = (i * copies, (i + 1) * copies);
            until.min(last).saturating_sub(from.max(first))
        };
        (0..self.order.parts.len()).map(of_part).collect()
    }

    /// Fewest plates that a class needs.
    fn fewest(&self, code: &str) -> Option<usize> {
        let class = self.session.catalogue.class(code)?;
        let copies = self.order.copies as usize;
        let parts: Vec<(&LaidPart, usize)> = self.order.parts.iter().map(|p| (p, copies)).collect();
        lay_out(&parts, &room(class), Effort::default())
            .ok()
            .map(|plates| plates.len())
    }

    fn on_class(&self, code: &str, share: &[usize]) -> Option<OnClass> {
        let class = self.session.catalogue.class(code)?;
        let parts: Vec<(&LaidPart, usize)> = self
            .order
            .parts
            .iter()
            .zip(share)
            .map(|(p, &n)| (p, n))
            .filter(|(_, n)| *n > 0)
            .collect();
        let plates = lay_out(&parts, &room(class), Effort::default()).ok()?;
        let [plate] = plates.as_slice() else {
            return None;
        };
        let height_mm = parts.iter().map(|(p, _)| p.size_mm[2]).fold(0.0, f64::max);
        let footprint = Footprint([plate.used_mm[0], plate.used_mm[1], height_mm]);
        let counted: Vec<(&Estimate, u32)> = self.classes[code]
            .iter()
            .zip(share)
            .map(|(estimate, &n)| (estimate, u32::try_from(n).unwrap_or(u32::MAX)))
            .filter(|(_, n)| *n > 0)
            .collect();
        let copies: usize = share.iter().sum();
        let hop_mm = plate.used_mm[0].hypot(plate.used_mm[1]) / (copies.max(1) as f64).sqrt();
        let time = plate_time(&counted, hop_mm, &self.order.process.sheet, class);
        Some(OnClass {
            footprint,
            time_s: time.print_time_s + time.warmup_s,
        })
    }

    fn way(&self, plates: usize) -> Option<Way> {
        let mut known: BTreeMap<Vec<usize>, BTreeMap<&str, OnClass>> = BTreeMap::new();
        let mut out = Vec::with_capacity(plates);
        for k in 0..plates {
            let share = self.share(k, plates);
            let by_class = known.entry(share.clone()).or_insert_with(|| {
                let codes = self.classes.keys();
                codes
                    .filter_map(|code| Some((code.as_str(), self.on_class(code, &share)?)))
                    .collect()
            });
            out.push(self.plate(k as u64, &share, by_class)?);
        }
        let label = match plates {
            1 => "all on one plate".to_owned(),
            n => format!("on {n} plates"),
        };
        Some(Way { label, plates: out })
    }

    fn plate(&self, k: u64, share: &[usize], by_class: &BTreeMap<&str, OnClass>) -> Option<Plate> {
        let makings = self.makings(by_class);
        if makings.is_empty() {
            return None;
        }
        let copies = u32::try_from(share.iter().sum::<usize>()).unwrap_or(u32::MAX);
        Some(Plate {
            seq: PlateSeq(self.order.next_seq + k),
            label: self.label(copies),
            material: self.order.process.material.code.clone(),
            makings,
            release: self.order.release,
            to: self.order.to,
            copies,
            promise: None,
        })
    }

    fn label(&self, copies: u32) -> String {
        let name = self
            .order
            .parts
            .first()
            .map_or("", |part| part.name.as_str());
        format!("{copies} x {name}")
    }

    fn makings(&self, by_class: &BTreeMap<&str, OnClass>) -> Vec<Making> {
        let terrain = &self.session.terrain;
        let printers = terrain
            .region
            .printers
            .iter()
            .zip(&terrain.classes)
            .enumerate();
        printers
            .filter(|(_, (printer, _))| {
                printer
                    .materials
                    .contains(&self.order.process.material.code)
            })
            .filter_map(|(i, (_, code))| {
                let on = by_class.get(code.as_str())?;
                let worked_out = Minutes::covering_s(on.time_s);
                let sheet = &self.order.process.sheet.code;
                let band = terrain.band(PrinterIx(i), sheet, worked_out);
                Some(Making {
                    printer: PrinterIx(i),
                    footprint: on.footprint,
                    worked_out,
                    nominal: band.middle,
                    reserved: band.high,
                    likely: band.middle,
                })
            })
            .collect()
    }
}
