//! The menu for planning: ways to put the copies on plates, with the time on every printer.

mod layouts;

use std::collections::{BTreeMap, BTreeSet};

use partpledge_catalogue::PrinterClass;
use partpledge_planning::{Ground, Way};
use partpledge_planning_model::{
    Footprint, Making, PlaceIx, Plate, PlateSeq, PrinterIx, Windows, Wish,
};
use partpledge_toolpath::{Estimate, plate_time};
use partpledge_units::cast::ceil_i64;
use partpledge_units::time::{Minute, Minutes};

use crate::error::WorkshopError;
use crate::estimating::{LaidPart, Process, timed};
use crate::session::Session;
pub(crate) use layouts::Layouts;

/// Most plates that a way may have: more than that is a region's work for days, and nobody's promise.
/// Common practice, no source.
pub(crate) const MOST_PLATES: usize = 60;

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

/// Laid out on one class's bed: room used and time taken.
#[derive(Clone, Copy, Debug)]
struct OnClass {
    footprint: Footprint,
    time_s: f64,
}

/// The ways worth asking planning about: as few plates as the roomiest printer allows, one more
/// (a smaller plate loses less when it fails), as many as the smallest printer that takes the
/// part needs, as many as people's hours want: so that each is done while somebody stays, or,
/// where it may run alone, over one night; and as many as make the time that its team needs it by.
/// Each plate may go on every printer that holds it.
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
    counts.extend(menu.in_time(least));
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

/// Fewest plates that an order needs on the roomiest printer that takes it; `None` when none does.
///
/// # Errors
/// [`WorkshopError`] from estimating.
pub(crate) fn fewest(
    session: &Session,
    order: &Order<'_>,
    layouts: &Layouts,
) -> Result<Option<usize>, WorkshopError> {
    let menu = Menu::new(session, order, layouts)?;
    let each = menu.classes.keys().filter_map(|code| menu.fewest(code));
    Ok(each.min())
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
        self.layouts.fewest(self.order.parts, copies, class)
    }

    /// Numbers of plates, from `least` on, with which one fits the time that a printer has: see
    /// [`Menu::limits`].
    fn in_time(&self, least: usize) -> BTreeSet<usize> {
        let most = self.units().min(MOST_PLATES);
        let fits = |code: &str, limit: Minutes, plates: usize| {
            // Room is kept for the spread of times, so a plate must take a bit less. Of several
            // parts the plates differ; the last is the largest of one part.
            let short = |time_s: f64| time_s * KEPT_OVER <= limit.0 as f64 * 60.0;
            let shares = || (0..plates).rev().map(|k| self.share(k, plates));
            // Most are ruled out by their lines alone, and that needs no laying out.
            shares().all(|share| self.least_s(code, &share).is_some_and(short))
                && shares().all(|share| {
                    let found = self.on_class(code, &share);
                    found.is_some_and(|on| short(on.time_s))
                })
        };
        let fewest = |(code, limit): (&String, Minutes)| {
            // More plates are shorter ones.
            let (mut low, mut high) = (least, most);
            if low > high || !fits(code, limit, high) {
                return None;
            }
            while low < high {
                let middle = usize::midpoint(low, high);
                if fits(code, limit, middle) {
                    high = middle;
                } else {
                    low = middle + 1;
                }
            }
            Some(high)
        };
        self.limits().into_iter().filter_map(fewest).collect()
    }

    /// How long a plate may take on a class: the longest visit, or the shortest night where it may
    /// run alone; and what is left until the team needs them.
    fn limits(&self) -> BTreeSet<(&String, Minutes)> {
        let region = &self.session.terrain.region;
        let ground = Ground::new(region);
        let printers = region.printers.iter().zip(&self.session.terrain.classes);
        let mut limits: BTreeSet<(&String, Minutes)> = BTreeSet::new();
        // The most that any host leaves until then.
        let mut needed: BTreeMap<&String, Minutes> = BTreeMap::new();
        for (i, (printer, code)) in printers.enumerate() {
            let takes = printer
                .materials
                .contains(&self.order.process.material.code)
                && self.session.terrain.is_for(PrinterIx(i), self.order.to);
            if !takes || !self.classes.contains_key(code) {
                continue;
            }
            let hours = || region.sites.get(printer.site.0).map(|site| &site.staffed);
            let limit = if printer.unattended {
                hours().and_then(shortest_night)
            } else {
                Some(ground.longest_visit(PrinterIx(i)))
            };
            limits.extend(limit.map(|limit| (code, limit)));
            if let Some(left) = self.until_needed(&ground, PrinterIx(i)) {
                let known = needed.entry(code).or_default();
                *known = left.max(*known);
            }
        }
        limits.extend(needed);
        limits
    }

    /// What is left for printing on a printer until its team needs it.
    fn until_needed(&self, ground: &Ground<'_>, printer: PrinterIx) -> Option<Minutes> {
        let by = self.order.wish.need_by?;
        let release = self.order.release;
        let stand = ground.stand_at(printer, release);
        let open = stand.staffed.as_slice().iter();
        let mut open = open.filter(|window| window.until > release);
        let start = open.next().map(|window| window.from.max(release))?;
        let boxing = ground.region().sites[stand.site.0].boxing;
        let leaves = ground.ready_by(stand.site, self.order.to, by)?;
        Some(leaves - boxing - start).filter(|left| *left > Minutes(0))
    }

    /// A plate takes at least so long on a class: as if all copies lay in one spot.
    fn least_s(&self, code: &str, share: &[usize]) -> Option<f64> {
        let class = self.session.catalogue.class(code)?;
        Some(self.time_s(class, share, 0.0))
    }

    /// Time for so many copies of each part, `hop_mm` apart.
    fn time_s(&self, class: &PrinterClass, share: &[usize], hop_mm: f64) -> f64 {
        let counted: Vec<(&Estimate, u32)> = self.classes[&class.code]
            .iter()
            .zip(share)
            .map(|(estimate, &n)| (estimate, u32::try_from(n).unwrap_or(u32::MAX)))
            .filter(|(_, n)| *n > 0)
            .collect();
        let time = plate_time(&counted, hop_mm, &self.order.process.sheet, class);
        time.print_time_s + time.warmup_s
    }

    fn on_class(&self, code: &str, share: &[usize]) -> Option<OnClass> {
        let class = self.session.catalogue.class(code)?;
        let used_mm = self.layouts.on_one(self.order.parts, share, class)?;
        let laid = self.order.parts.iter().zip(share).filter(|(_, n)| **n > 0);
        let height_mm = laid.map(|(p, _)| p.size_mm[2]).fold(0.0, f64::max);
        let footprint = Footprint([used_mm[0], used_mm[1], height_mm]);
        let copies: usize = share.iter().sum();
        let hop_mm = used_mm[0].hypot(used_mm[1]) / (copies.max(1) as f64).sqrt();
        Some(OnClass {
            footprint,
            time_s: self.time_s(class, share, hop_mm),
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
                    likely: band.likely,
                })
            })
            .collect()
    }
}
