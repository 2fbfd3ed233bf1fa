//! The menu for planning: ways to put the copies on plates, with the time on every printer.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Mutex;

use partpledge_catalogue::PrinterClass;
use partpledge_planning::{Ground, Way};
use partpledge_planning_model::{
    Footprint, Making, PlaceIx, Plate, PlateSeq, PrinterIx, Windows, Wish,
};
use partpledge_plates::Effort;
use partpledge_toolpath::{Estimate, plate_time};
use partpledge_units::cast::ceil_i64;
use partpledge_units::time::{Minute, Minutes};

use crate::error::WorkshopError;
use crate::estimating::{LaidPart, Process, timed};
use crate::laying_out::{lay_out, room};
use crate::session::Session;

/// Most plates that a way may have.
const MOST_PLATES: usize = 12;

/// Nights are at least so long; a shorter gap is a break. Common practice, no source.
const NIGHT: Minutes = Minutes(6 * 60);
/// Time kept for a plate over what it should take, roughly: a tenth. The makings say it exactly.
const KEPT_OVER: f64 = 1.1;

/// The shortest time between two days on which somebody is there.
fn shortest_night(hours: &Windows) -> Option<Minutes> {
    let pairs = hours.as_slice().windows(2);
    let gaps = pairs.map(|pair| pair[1].from - pair[0].until);
    gaps.filter(|gap| *gap >= NIGHT).min()
}

/// What is to be made and where it goes.
#[derive(Clone, Debug)]
pub struct Order<'a> {
    /// The parts of the file.
    pub parts: &'a [&'a LaidPart],
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
    /// What its team wishes, and how often it was served.
    pub wish: Wish,
}

/// How the parts of one file lie on beds, as far as it has been worked out: plates needed, and the
/// room used on the only one. The same for every plastic whose sheet lays the same lines.
#[derive(Debug, Default)]
pub(crate) struct Layouts(Mutex<BTreeMap<Lying, Option<Used>>>);

/// Code of a class, and copies of each part.
type Lying = (String, Vec<usize>);
/// Plates needed, and the room used on the first, mm.
type Used = (usize, [f64; 2]);

impl Layouts {
    fn of(&self, parts: &[&LaidPart], share: &[usize], class: &PrinterClass) -> Option<Used> {
        let key = (class.code.clone(), share.to_vec());
        // What a panic left there is whole: entries are put in at once.
        let lock = || {
            self.0
                .lock()
                .unwrap_or_else(std::sync::PoisonError::into_inner)
        };
        if let Some(known) = lock().get(&key) {
            return *known;
        }
        let parts: Vec<(&LaidPart, usize)> = parts
            .iter()
            .zip(share)
            .map(|(p, &n)| (*p, n))
            .filter(|(_, n)| *n > 0)
            .collect();
        let plates = lay_out(&parts, &room(class), Effort::default()).ok();
        let found = plates.and_then(|plates| Some((plates.len(), plates.first()?.used_mm)));
        lock().insert(key, found);
        found
    }
}

/// Laid out on one class's bed: room used and time taken.
#[derive(Clone, Copy, Debug)]
struct OnClass {
    footprint: Footprint,
    time_s: f64,
}

/// The ways worth asking planning about: as few plates as the roomiest printer allows, one more
/// (a smaller plate loses less when it fails), as many as the smallest printer that takes the
/// part needs, and as many as people's hours want: so that each is done while somebody stays, or,
/// where it may run alone, over one night. Each plate may go on every printer that holds it.
///
/// # Errors
/// [`WorkshopError`] from estimating.
pub fn ways(session: &Session, order: &Order<'_>) -> Result<Vec<Way>, WorkshopError> {
    ways_on(session, order, &Layouts::default())
}

/// As [`ways`], with layouts that may be known from another question about the same laid parts.
pub(crate) fn ways_on(
    session: &Session,
    order: &Order<'_>,
    layouts: &Layouts,
) -> Result<Vec<Way>, WorkshopError> {
    let menu = Menu::new(session, order, layouts)?;
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
    counts.extend(menu.by_hours());
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
    let layouts = Layouts::default();
    let menu = Menu::new(session, order, &layouts)?;
    let codes = menu.classes.keys();
    let by_class: BTreeMap<&str, OnClass> = codes
        .filter_map(|code| Some((code.as_str(), menu.on_class(code, share)?)))
        .collect();
    Ok(menu.plate(0, share, &by_class))
}

struct Menu<'a> {
    session: &'a Session,
    order: &'a Order<'a>,
    layouts: &'a Layouts,
    /// Estimates of every part by class.
    classes: BTreeMap<String, Vec<Estimate>>,
}

impl<'a> Menu<'a> {
    fn new(
        session: &'a Session,
        order: &'a Order<'a>,
        layouts: &'a Layouts,
    ) -> Result<Self, WorkshopError> {
        let mut classes = BTreeMap::new();
        for (i, (printer, code)) in session
            .terrain
            .region
            .printers
            .iter()
            .zip(&session.terrain.classes)
            .enumerate()
        {
            let takes = printer.materials.contains(&order.process.material.code)
                && session.terrain.is_for(PrinterIx(i), order.to);
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
            layouts,
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
        let share = vec![copies; self.order.parts.len()];
        let found = self.layouts.of(self.order.parts, &share, class);
        found.map(|(plates, _)| plates)
    }

    /// Numbers of plates with which one fits a printer's hours: the longest visit, or the shortest
    /// night if it may run alone.
    fn by_hours(&self) -> BTreeSet<usize> {
        let region = &self.session.terrain.region;
        let ground = Ground::new(region);
        let printers = region.printers.iter().zip(&self.session.terrain.classes);
        let mut limits: BTreeSet<(&String, Minutes)> = BTreeSet::new();
        for (i, (printer, code)) in printers.enumerate() {
            let takes = printer
                .materials
                .contains(&self.order.process.material.code)
                && self.session.terrain.is_for(PrinterIx(i), self.order.to);
            let there = takes && self.classes.contains_key(code);
            let hours = || region.sites.get(printer.site.0).map(|site| &site.staffed);
            let limit = if printer.unattended {
                hours().and_then(shortest_night)
            } else {
                Some(ground.longest_visit(PrinterIx(i)))
            };
            limits.extend(limit.filter(|_| there).map(|limit| (code, limit)));
        }
        let fits = |(code, limit): (&String, Minutes)| {
            (1..=self.units().min(MOST_PLATES)).find(|&plates| {
                // Room is kept for the spread of times, so a plate must take a bit less. Of several
                // parts the plates differ; the last is the largest of one part.
                (0..plates).rev().all(|k| {
                    let found = self.on_class(code, &self.share(k, plates));
                    found.is_some_and(|on| on.time_s * KEPT_OVER <= limit.0 as f64 * 60.0)
                })
            })
        };
        limits.into_iter().filter_map(fits).collect()
    }

    fn on_class(&self, code: &str, share: &[usize]) -> Option<OnClass> {
        let class = self.session.catalogue.class(code)?;
        let found = self.layouts.of(self.order.parts, share, class);
        let (_, used_mm) = found.filter(|(plates, _)| *plates == 1)?;
        let laid = self.order.parts.iter().zip(share).filter(|(_, n)| **n > 0);
        let height_mm = laid.map(|(p, _)| p.size_mm[2]).fold(0.0, f64::max);
        let footprint = Footprint([used_mm[0], used_mm[1], height_mm]);
        let counted: Vec<(&Estimate, u32)> = self.classes[code]
            .iter()
            .zip(share)
            .map(|(estimate, &n)| (estimate, u32::try_from(n).unwrap_or(u32::MAX)))
            .filter(|(_, n)| *n > 0)
            .collect();
        let copies: usize = share.iter().sum();
        let hop_mm = used_mm[0].hypot(used_mm[1]) / (copies.max(1) as f64).sqrt();
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
            grams: self.grams(share),
            wish: self.order.wish,
            riders: Vec::new(),
        })
    }

    /// Filament for so many copies of each part, in whole grams, wherever it is printed.
    fn grams(&self, share: &[usize]) -> i64 {
        let on = |estimates: &Vec<Estimate>| -> f64 {
            let each = estimates.iter().zip(share);
            each.map(|(estimate, &n)| estimate.mass_g * n as f64).sum()
        };
        let most = self.classes.values().map(on).fold(0.0, f64::max);
        ceil_i64(most).unwrap_or(i64::MAX)
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
            .filter(|(i, (printer, _))| {
                printer
                    .materials
                    .contains(&self.order.process.material.code)
                    && terrain.is_for(PrinterIx(*i), self.order.to)
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
