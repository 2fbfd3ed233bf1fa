//! A busy moment of the Wide Fens: 2,500 requests in the season, 300 of them open on 60 printers.

use partpledge_catalogue::{Catalogue, RegionFile};
use partpledge_planning::{Ground, Occupied, Way, best_slot};
use partpledge_planning_model::{
    Footprint, Making, PlaceIx, Plan, Plate, PlateSeq, PrinterIx, Promise, Region, Wish,
};
use partpledge_units::cast::ceil_i64;
use partpledge_units::dice::Dice;
use partpledge_units::local::parse_rfc3339;
use partpledge_units::time::{Minute, Minutes};
use partpledge_workshop::terrain::Terrain;

/// Requests of the season that are over.
pub(crate) const PAST: usize = 2_200;
/// Requests still open.
const OPEN: usize = 300;
/// The season so far, in minutes: ten weeks.
const SEASON_MIN: i64 = 70 * 1_440;
/// The open ones came in the last four days, half a day before now at the latest.
const RUSH_MIN: i64 = 4 * 1_440;
/// What is planned first was started this long before now.
const STARTED_MIN: i64 = 180;

/// Materials, by how often they are asked for.
const MATERIALS: [&str; 10] = [
    "PLA", "PLA", "PLA", "PLA", "PLA", "PETG", "PETG", "PETG", "TPU", "ASA",
];

/// Region, plates and plan at one moment.
pub(crate) struct Scene {
    pub(crate) region: Region,
    /// All plates of the season, in order of number.
    pub(crate) plates: Vec<Plate>,
    /// Which of them each request has, in order of asking; the first [`PAST`] are over.
    pub(crate) requests: Vec<std::ops::Range<usize>>,
    pub(crate) plan: Plan,
    pub(crate) now: Minute,
    pub(crate) next_seq: u64,
}

impl Scene {
    /// The moment that `now` names, under that seed.
    pub(crate) fn at(now: &str, seed: u64) -> Result<Self, String> {
        let now = parse_rfc3339(now).map_err(|error| error.to_string())?;
        let now = Minute::at_or_after(now);
        let catalogue = Catalogue::built_in();
        let file = RegionFile::parse(&partpledge_testbed::wide_fens(), &catalogue);
        let file = file.map_err(|error| error.to_string())?;
        let terrain = Terrain::new(file, &catalogue, now).map_err(|error| error.to_string())?;
        let mut dice = Dice::stream(seed, 1);
        let mut out = Self {
            region: terrain.region,
            plates: Vec::new(),
            requests: Vec::new(),
            plan: Plan::default(),
            now,
            next_seq: 1,
        };
        let mut past: Vec<i64> = (0..PAST)
            .map(|_| dice.between(RUSH_MIN, SEASON_MIN))
            .collect();
        let mut open: Vec<i64> = (0..OPEN).map(|_| dice.between(720, RUSH_MIN)).collect();
        past.sort_unstable_by(|a, b| b.cmp(a));
        open.sort_unstable_by(|a, b| b.cmp(a));
        for ago in past {
            let mut ways = out.ways(now - Minutes(ago), &mut dice);
            let way = ways.swap_remove(0);
            out.next_seq += way.plates.len() as u64;
            let first = out.plates.len();
            out.plates.extend(way.plates);
            out.requests.push(first..out.plates.len());
        }
        out.plan_open(&open, &mut dice);
        Ok(out)
    }

    fn plan_open(&mut self, open: &[i64], dice: &mut Dice) {
        let region = self.region.clone();
        let ground = Ground::new(&region);
        let mut occupied = Occupied::by(&ground, &self.plates, &self.plan);
        for ago in open {
            let mut ways = self.ways(self.now - Minutes(*ago), dice);
            let first = self.plates.len();
            for mut plate in ways.swap_remove(0).plates {
                plate.seq = PlateSeq(self.next_seq);
                let from = self.now - Minutes(STARTED_MIN);
                let Some(slot) = best_slot(&ground, &occupied, &plate, from) else {
                    continue;
                };
                occupied.add(&slot, ground.load(&plate, false));
                self.plan.put(slot);
                // A day of room, as a pledge has for a reprint.
                plate.promise = Some(Promise {
                    arrival: slot.arrives + Minutes(1_440),
                    probability: 0.93,
                });
                self.plates.push(plate);
                self.next_seq += 1;
            }
            self.requests.push(first..self.plates.len());
        }
    }

    /// A request that came at `release`: one to three ways to make it, numbered on.
    ///
    /// Half of all plates take less than three hours, one in ten more than nine: a lognormal spread,
    /// invented.
    pub(crate) fn ways(&self, release: Minute, dice: &mut Dice) -> Vec<Way> {
        let material = MATERIALS[dice.below(MATERIALS.len())];
        let to = PlaceIx(dice.below(self.region.places.len()));
        let whole_min = 180.0 * (0.85 * dice.normal()).exp();
        let whole_min = whole_min.clamp(20.0, 1_500.0);
        let size_mm = [60.0, 110.0, 140.0, 190.0][dice.below(4)];
        let least = if whole_min > 500.0 {
            1 + dice.below(3)
        } else {
            1
        };
        let most = least + dice.below(3);
        let way = |plates: usize| Way {
            label: format!("on {plates} plates"),
            plates: (0..plates)
                .map(|k| Plate {
                    seq: PlateSeq(self.next_seq + k as u64),
                    label: "part".to_owned(),
                    material: material.to_owned(),
                    makings: self.makings(material, size_mm, whole_min / plates as f64),
                    release,
                    to,
                    copies: 1,
                    promise: None,
                    grams: ceil_i64(whole_min / plates as f64 / 6.0).unwrap_or(1),
                    wish: Wish::default(),
                    riders: Vec::new(),
                })
                .collect(),
        };
        (least..=most).map(way).collect()
    }

    fn makings(&self, material: &str, size_mm: f64, minutes: f64) -> Vec<Making> {
        let takes = |printer: usize| {
            let printer = &self.region.printers[printer];
            printer.materials.iter().any(|code| code == material) && printer.bed_mm[0] >= size_mm
        };
        let printers = (0..self.region.printers.len()).filter(|&printer| takes(printer));
        let making = |printer: usize| {
            // Some printers are quicker.
            let speed = 0.85 + 0.1 * (printer % 4) as f64;
            let spread = (1.281_6 * self.region.printers[printer].time_sigma).exp();
            let covering = |min: f64| Minutes(ceil_i64(min).unwrap_or(1));
            Making::new(
                PrinterIx(printer),
                Footprint([size_mm, size_mm, 40.0]),
                covering(minutes * speed),
                covering(minutes * speed * spread),
            )
        };
        printers.map(making).collect()
    }

    /// How many requests and plates there are, and how full the printers are.
    pub(crate) fn told(&self) -> String {
        let busy = self.plan.assignments.iter();
        let last = busy.clone().map(|place| place.cleared).max();
        let hours = last.map_or(0, |last| (last - self.now).0 / 60);
        format!(
            "{} requests, {} plates on record, {} planned on {} printers, the last off in {hours} h",
            PAST + OPEN,
            self.plates.len(),
            busy.len(),
            self.region.printers.len()
        )
    }
}
