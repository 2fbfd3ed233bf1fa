//! Beds that get shorter, step by step, as long as all copies can still be pushed apart.
//!
//! Starting long and shortening a little each time finds far tighter layouts than starting at the
//! wanted length: every success leaves the next attempt nearly right already.

use partpledge_units::cast::round_usize;

use super::exact::sound;
use super::field::Spot;
use super::separate::{Ended, Patience, Search};
use super::settle::anywhere;
use super::shake::swap_large;

/// First and least step by which beds get shorter, as a share of them; how it grows and shrinks.
const STEPS: [f64; 2] = [0.04, 0.001];
const GROW: f64 = 1.3;
const SHRINK: f64 = 0.5;
/// First and last step while squeezing.
const SQUEEZE_STEPS: [f64; 2] = [0.000_5, 0.000_01];
/// Quick attempts from the best so far, then a patient one from one of those that failed.
const QUICK: Patience = Patience {
    rounds: 40,
    strikes: 1,
};
const PATIENT: Patience = Patience {
    rounds: 100,
    strikes: 2,
};
const SQUEEZE: Patience = Patience {
    rounds: 100,
    strikes: 5,
};
const QUICK_FAILS: usize = 6;
/// Beds may be made longer than at first by this factor: the plane has room for it.
pub(crate) const LONGER: f64 = 1.4;

/// Everything apart on beds of some length.
#[derive(Clone, Debug)]
pub(crate) struct Found {
    /// Length of each bed over its full length.
    pub(crate) scales: Vec<f64>,
    pub(crate) spots: Vec<Spot>,
    /// Trials after which it was found.
    pub(crate) trials: u64,
}

impl Found {
    /// Sum over the beds; less is better.
    pub(crate) fn length(&self) -> f64 {
        self.scales.iter().sum()
    }
}

/// A search on beds that get shorter, one at a time: that one is disturbed is enough.
pub(crate) struct Shrink<'a> {
    pub(crate) search: Search<'a>,
    /// Lengths of the beds at scale 1, mm.
    full_mm: Vec<f64>,
    scales: Vec<f64>,
    step: f64,
    fails: usize,
    failed: Vec<(f32, Vec<Spot>)>,
    pub(crate) best: Option<Found>,
    /// Scale at which to stop, and the longest that beds may be made.
    goal: f64,
    most: f64,
}

impl<'a> Shrink<'a> {
    /// Beds as they are in `search` are at `scale`; to be made as short as `goal`.
    pub(crate) fn new(search: Search<'a>, scale: f64, goal: f64) -> Self {
        let berths = search.field.berths.iter();
        Self {
            full_mm: berths.map(|berth| berth.size_mm[0] / scale).collect(),
            scales: vec![scale; search.field.berths.len()],
            search,
            step: STEPS[0],
            fails: 0,
            failed: Vec::new(),
            best: None,
            goal,
            most: scale * LONGER,
        }
    }

    /// Whether the goal is reached.
    pub(crate) fn done(&self) -> bool {
        self.best
            .as_ref()
            .is_some_and(|best| best.scales.iter().all(|&scale| scale <= self.goal))
    }

    /// Takes over what another search found, if it is better.
    pub(crate) fn adopt(&mut self, found: &Found) {
        if self
            .best
            .as_ref()
            .is_none_or(|best| found.length() < best.length())
        {
            self.best = Some(found.clone());
            (self.fails, self.step) = (0, self.step.min(4.0 * STEPS[1]));
            self.failed.clear();
        }
    }

    /// Goes on until the goal is reached, `enough` of the effort is used, or it is time to pause.
    pub(crate) fn explore(&mut self, enough: f64) {
        if self.best.is_none() {
            self.open(enough);
        }
        while self.best.is_some() && !self.done() && !self.search.over(enough) {
            let patient = self.fails == QUICK_FAILS;
            if patient {
                self.fails = 0;
                self.disturb();
            } else {
                self.back();
                self.shorten(self.step);
            }
            let patience = if patient { PATIENT } else { QUICK };
            match self.search.separate(patience, enough) {
                Ended::Apart if self.note() => {
                    self.failed.clear();
                    (self.fails, self.step) = (0, (self.step * GROW).min(STEPS[0]));
                }
                Ended::Over => return,
                Ended::Apart | Ended::Stuck => self.failed(),
            }
        }
    }

    /// Ever finer steps from the best, until the effort is over or it is time to pause; `from` is the
    /// share of the effort at which this began.
    pub(crate) fn squeeze(&mut self, from: f64) {
        while self.best.is_some() && !self.search.over(1.0) {
            let left = ((1.0 - self.search.used()) / (1.0 - from)).clamp(0.0, 1.0);
            self.back();
            self.shorten(SQUEEZE_STEPS[1] + (SQUEEZE_STEPS[0] - SQUEEZE_STEPS[1]) * left);
            if self.search.separate(SQUEEZE, 1.0) == Ended::Apart {
                self.note();
            }
        }
    }

    /// Apart on the first beds, lengthened until that works or the plane has no more room.
    fn open(&mut self, enough: f64) {
        while !self.search.over(enough) {
            match self.search.separate(PATIENT, enough) {
                Ended::Apart if self.note() => return,
                Ended::Over => return,
                Ended::Apart | Ended::Stuck => {
                    let longer = self.scales.iter().map(|scale| (scale * 1.1).min(self.most));
                    self.set_scales(longer.collect());
                    swap_large(&mut self.search);
                }
            }
        }
    }

    fn failed(&mut self) {
        if self.step > STEPS[1] {
            self.step = (self.step * SHRINK).max(STEPS[1]);
        } else {
            self.fails += 1;
        }
        let loss = self.search.pairs.total();
        let at = self.failed.partition_point(|(other, _)| *other <= loss);
        self.failed.insert(at, (loss, self.search.field.spots()));
    }

    /// One of the layouts that came closest, with two large copies swapped.
    fn disturb(&mut self) {
        let pick = (self.search.dice.normal().abs() / 4.0).min(0.999) * self.failed.len() as f64;
        if let Some((_, spots)) = self.failed.get(round_usize(pick.floor()).unwrap_or(0)) {
            self.search.put_all(&spots.clone());
            swap_large(&mut self.search);
        }
    }

    /// Keeps what is there as the best, if an exact test agrees that all are apart.
    fn note(&mut self) -> bool {
        let field = &self.search.field;
        if !sound(field) {
            return false;
        }
        let mut scales = vec![self.goal; self.scales.len()];
        for i in 0..field.many() {
            let spot = field.spot(i);
            let berth = field.berths[spot.berth];
            let end = spot.at[0] + field.kind_of(i).box_mm(spot.turn).1[0] - berth.corner_mm[0];
            let scale = (end + berth.rim_mm) / self.full_mm[spot.berth];
            scales[spot.berth] = scales[spot.berth].max(scale);
        }
        for (scale, &now) in scales.iter_mut().zip(&self.scales) {
            *scale = scale.min(now);
        }
        self.best = Some(Found {
            scales: scales.clone(),
            spots: field.spots(),
            trials: self.search.trials(),
        });
        self.set_scales(scales);
        true
    }

    /// Back to the best.
    fn back(&mut self) {
        if let Some(best) = self.best.clone() {
            self.set_scales(best.scales);
            self.search.put_all(&best.spots);
        }
    }

    fn set_scales(&mut self, scales: Vec<f64>) {
        self.scales = scales;
        let lengths = self.full_mm.iter().zip(&self.scales);
        for (berth, (full, scale)) in self.search.field.berths.iter_mut().zip(lengths) {
            berth.size_mm[0] = full * scale;
        }
    }

    /// Makes one bed shorter by a share of it: what is beyond a line moves towards the start.
    fn shorten(&mut self, share: f64) {
        let open: Vec<usize> = (0..self.scales.len())
            .filter(|&b| self.scales[b] > self.goal)
            .collect();
        let Some(&short) = open.get(self.search.dice.below(open.len())) else {
            return;
        };
        let mut scales = self.scales.clone();
        scales[short] = (scales[short] * (1.0 - share)).max(self.goal);
        let less = self.full_mm[short] * (self.scales[short] - scales[short]);
        let berth = self.search.field.berths[short];
        let line = berth.corner_mm[0] + self.search.dice.unit() * berth.size_mm[0];
        self.set_scales(scales);
        let mut spots = self.search.field.spots();
        for (i, spot) in spots.iter_mut().enumerate() {
            if spot.berth == short {
                if spot.at[0] > line {
                    spot.at[0] -= less;
                }
                *spot = self.on_bed(i, *spot);
            }
        }
        self.search.put_all(&spots);
    }

    /// The spot moved back onto its bed; another one if the turn does not fit there any more.
    fn on_bed(&mut self, i: usize, spot: Spot) -> Spot {
        let kind = self.search.field.kind_of(i);
        if let Some([low, high]) = self.search.field.range(kind, spot.berth, spot.turn) {
            let at = [0, 1].map(|k| spot.at[k].clamp(low[k], high[k]));
            return Spot { at, ..spot };
        }
        let field = &self.search.field;
        let dice = &mut self.search.dice;
        (0..1_000)
            .find_map(|_| anywhere(field, dice, kind))
            .unwrap_or(spot)
    }
}
