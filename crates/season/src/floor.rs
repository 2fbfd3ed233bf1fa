//! The floor while it is played: plan, plates, runs, and what happens next.
//!
//! Two regions: the one that people know, by which everything is planned, and the real one, in
//! which visits that nobody makes and departures that are missed are taken out of the calendars.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};

use partpledge_planning::luck::{Luck, MOST_ATTEMPTS, RunEnd, late_start, run};
use partpledge_planning::timeline::{staffed_from, window_from};
use partpledge_planning::{Ground, Occupied, best_slot};
use partpledge_planning_model::{
    Assignment, Making, PlaceIx, Plan, Plate, PlateSeq, PrinterIx, SiteIx,
};
use partpledge_units::cast::round_i64;
use partpledge_units::time::{Minute, Minutes};

/// People look again after this long at a run that should be off by now. Common practice, no source.
const LOOK_AGAIN: Minutes = Minutes(15);

/// Something that happens on the floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Happening {
    /// Somebody clears the bed after that attempt.
    Cleared(PlateSeq, u64),
    /// The plan has a run off the bed at this minute.
    Due(PlateSeq),
    /// The plan has a plate started at this minute.
    Start(PlateSeq),
}

/// What is on a bed.
#[derive(Clone, Copy, Debug)]
struct OnBed {
    plate: PlateSeq,
    start: Minute,
    end: RunEnd,
    /// Stopped because people left.
    cut_off: bool,
}

/// A run that has ended, as people note it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ended {
    /// Which plate.
    pub plate: PlateSeq,
    /// On which printer.
    pub printer: PrinterIx,
    /// Worked out for it, never corrected.
    pub worked_out: Minutes,
    /// When it was started.
    pub start: Minute,
    /// When it was taken off the bed.
    pub cleared: Minute,
    /// Whether somebody saw it stop.
    pub seen: bool,
    /// Whether the copies are good.
    pub good: bool,
    /// Whether it was stopped because people left.
    pub cut_off: bool,
}

/// The floor of a region, played with dice of its own.
///
/// What is going to happen is known to the dice only. The plan, which quotes are made on, says
/// what people can know: a late run is late from the minute it should have been off.
#[derive(Debug)]
pub struct Floor<'a> {
    /// As people know it.
    known: &'a Ground<'a>,
    /// As it is.
    real: &'a Ground<'a>,
    /// Real over worked-out time, by printer; as likely where nothing is said.
    factors: &'a [f64],
    seed: u64,
    /// Present plan.
    pub plan: Plan,
    /// All plates so far, in order of number.
    pub plates: Vec<Plate>,
    attempts: BTreeMap<PlateSeq, u64>,
    /// Hand-over of each plate whose copies came out good.
    pub handed_over: BTreeMap<PlateSeq, Minute>,
    /// The same of all that rode on it, by place.
    came: BTreeMap<(PlateSeq, PlaceIx), Minute>,
    /// What is on each bed.
    on_bed: Vec<Option<OnBed>>,
    /// Runs that have ended, in that order.
    pub ended: Vec<Ended>,
    /// Plates whose time has come while another was on the bed or nobody was there, by printer, in
    /// that order.
    waiting: Vec<Vec<PlateSeq>>,
    queue: BinaryHeap<Reverse<(Minute, u64, Happening)>>,
    sequence: u64,
}

impl<'a> Floor<'a> {
    /// An empty floor on which all is as it is known to be.
    #[must_use]
    pub fn new(ground: &'a Ground<'a>, seed: u64) -> Self {
        Self::real(ground, ground, &[], seed)
    }

    /// An empty floor that is not quite as people know it: runs fail and last as `real` and
    /// `factors` (real over worked-out time, by printer) say, and its calendars tell who really
    /// comes and what really leaves.
    #[must_use]
    pub fn real(
        known: &'a Ground<'a>,
        real: &'a Ground<'a>,
        factors: &'a [f64],
        seed: u64,
    ) -> Self {
        let printers = known.region().printers.len();
        Self {
            known,
            real,
            factors,
            seed,
            plan: Plan::default(),
            plates: Vec::new(),
            attempts: BTreeMap::new(),
            handed_over: BTreeMap::new(),
            came: BTreeMap::new(),
            on_bed: vec![None; printers],
            ended: Vec::new(),
            waiting: vec![Vec::new(); printers],
            queue: BinaryHeap::new(),
            sequence: 0,
        }
    }

    /// From now on people know the region as that.
    pub fn learn(&mut self, known: &'a Ground<'a>) {
        self.known = known;
    }

    /// Adds plates with their places in the plan.
    pub fn give(&mut self, plates: Vec<Plate>, places: &[Assignment]) {
        self.plates.extend(plates);
        for place in places {
            self.place(*place);
        }
    }

    /// A plate that is planned, with one more request on it; it starts when it was to start.
    pub fn grow(&mut self, plate: Plate, place: Assignment) {
        let found = self.plates.binary_search_by_key(&plate.seq, |p| p.seq);
        if let Ok(i) = found {
            self.plates[i] = plate;
            self.plan.put(place);
        }
    }

    /// When what a plate carries for a place was handed over there.
    #[must_use]
    pub fn came(&self, plate: PlateSeq, to: PlaceIx) -> Option<Minute> {
        self.came.get(&(plate, to)).copied()
    }

    /// Plays everything that happens up to and including `until`.
    pub fn play(&mut self, until: Minute) {
        while let Some(&Reverse((at, _, happening))) = self.queue.peek() {
            if at > until {
                break;
            }
            self.queue.pop();
            match happening {
                Happening::Start(plate) => self.start(plate, at),
                Happening::Due(plate) => self.due(plate, at),
                Happening::Cleared(plate, attempt) => self.cleared(plate, attempt, at),
            }
        }
    }

    /// Things at one minute happen in the order in which they were foreseen.
    fn push(&mut self, at: Minute, happening: Happening) {
        self.sequence += 1;
        self.queue.push(Reverse((at, self.sequence, happening)));
    }

    fn place(&mut self, place: Assignment) {
        self.plan.put(place);
        self.push(place.start, Happening::Start(place.plate));
    }

    fn plate(&self, seq: PlateSeq) -> Option<&Plate> {
        let found = self.plates.binary_search_by_key(&seq, |plate| plate.seq);
        found.ok().map(|i| &self.plates[i])
    }

    fn making(&self, place: &Assignment) -> Option<Making> {
        let makings = &self.plate(place.plate)?.makings;
        makings.iter().find(|m| m.printer == place.printer).copied()
    }

    fn start(&mut self, seq: PlateSeq, at: Minute) {
        let planned = self.plan.of(seq).copied();
        let Some(place) = planned.filter(|place| place.start == at && !place.frozen) else {
            return;
        };
        let p = place.printer.0;
        let there =
            staffed_from(&self.real.site_at(place.printer, place.start).staffed, at) == Some(at);
        if there && self.on_bed[p].is_none() && self.waiting[p].is_empty() {
            self.begin(place, at);
            return;
        }
        if !self.waiting[p].contains(&seq) {
            self.waiting[p].push(seq);
        }
        if there {
            self.next(place.printer, at);
        }
        if self.waiting[p].contains(&seq) {
            // In the plan it is about to start, as far as anybody knows.
            let visit = window_from(&self.known.site_at(place.printer, place.start).staffed, at);
            let over = visit.map_or(at + LOOK_AGAIN, |visit| visit.until);
            self.postpone(place, if there { at + LOOK_AGAIN } else { over });
        }
    }

    /// Starts a plate on an empty bed.
    fn begin(&mut self, place: Assignment, at: Minute) {
        let Some(making) = self.making(&place) else {
            return;
        };
        let attempt = self.attempts.entry(place.plate).or_insert(0);
        let luck = Luck::of(self.seed, 0, place.plate, *attempt);
        *attempt += 1;
        let attempt = *attempt;
        let really = self.really(&making);
        let Some(end) = run(self.real, &really, at, luck) else {
            return;
        };
        let Some(place) = self.moved(place, &making, at) else {
            return;
        };
        self.plan.put(Assignment {
            frozen: true,
            ..place
        });
        let printer = self.real.printer(place.printer);
        let visit = window_from(&self.real.site_at(place.printer, place.start).staffed, at);
        let left = visit.is_some_and(|visit| visit.until == end.stopped);
        self.on_bed[place.printer.0] = Some(OnBed {
            plate: place.plate,
            start: at,
            end,
            cut_off: !end.good && !printer.unattended && left,
        });
        self.push(end.cleared, Happening::Cleared(place.plate, attempt));
        self.push(place.cleared, Happening::Due(place.plate));
    }

    /// The making with the time that it is really likely to take.
    pub(crate) fn really(&self, making: &Making) -> Making {
        let Some(factor) = self.factors.get(making.printer.0) else {
            return *making;
        };
        // To the nearest: rounded up, every printer would be half a minute slower than its factor says.
        let likely = round_i64(making.worked_out.0 as f64 * factor);
        Making {
            likely: likely.map_or(making.likely, |min| Minutes(min.max(1))),
            ..*making
        }
    }

    /// The same place with another start.
    fn moved(&self, place: Assignment, making: &Making, start: Minute) -> Option<Assignment> {
        let staffed = &self.known.site_at(place.printer, place.start).staffed;
        let end = start + making.reserved;
        let cleared = staffed_from(staffed, end)?;
        Some(Assignment {
            start,
            end,
            cleared,
            ..place
        })
    }

    fn postpone(&mut self, place: Assignment, from: Minute) {
        let staffed = &self.known.site_at(place.printer, place.start).staffed;
        let start = staffed_from(staffed, from);
        let making = self.making(&place);
        let later = start
            .zip(making)
            .and_then(|(start, making)| self.moved(place, &making, start));
        if let Some(later) = later {
            self.place(later);
        }
    }

    /// A run should be off by now; if it is not, somebody looks again soon.
    fn due(&mut self, seq: PlateSeq, at: Minute) {
        let planned = self.plan.of(seq).copied();
        let Some(place) = planned
            .filter(|place| self.on_bed[place.printer.0].is_some_and(|bed| bed.plate == seq))
        else {
            return;
        };
        let staffed = &self.known.site_at(place.printer, place.start).staffed;
        if let Some(cleared) = staffed_from(staffed, at + LOOK_AGAIN) {
            self.plan.put(Assignment { cleared, ..place });
            self.push(cleared, Happening::Due(seq));
        }
    }

    fn cleared(&mut self, seq: PlateSeq, attempt: u64, at: Minute) {
        let Some(&place) = self.plan.of(seq) else {
            return;
        };
        // A run that was given up when its host was lost is not there any more.
        let here = self.on_bed[place.printer.0].filter(|bed| bed.plate == seq);
        let Some(bed) = here.filter(|_| self.attempts.get(&seq) == Some(&attempt)) else {
            return;
        };
        self.on_bed[place.printer.0] = None;
        self.plan.put(Assignment {
            cleared: at,
            ..place
        });
        self.note(&place, bed, at);
        if bed.end.good {
            self.hand_over(&place, at);
        } else if attempt < MOST_ATTEMPTS {
            // The reprint takes the best slot that the present plan leaves, as the quote foresaw.
            self.again(seq, at);
        }
        self.next(place.printer, at);
    }

    fn note(&mut self, place: &Assignment, bed: OnBed, at: Minute) {
        if let Some(making) = self.making(place) {
            self.ended.push(Ended {
                plate: place.plate,
                printer: place.printer,
                worked_out: making.worked_out,
                start: bed.start,
                cleared: at,
                seen: bed.end.stopped == at,
                good: bed.end.good,
                cut_off: bed.cut_off,
            });
        }
    }

    /// Hosts that print no more from `at` on: what they had goes elsewhere, promises first.
    /// [`Floor::learn`] of it before.
    pub fn lose(&mut self, sites: &[SiteIx], at: Minute) {
        let gone = |place: &Assignment| sites.contains(&self.known.printer(place.printer).site);
        let open = |place: &Assignment| {
            let on_bed = self.on_bed[place.printer.0];
            !place.frozen || on_bed.is_some_and(|bed| bed.plate == place.plate)
        };
        let mut lost = self.plan.assignments.clone();
        lost.retain(|place| gone(place) && open(place));
        lost.sort_by_key(|place| {
            let due = self.plate(place.plate).and_then(Plate::due);
            (due, place.plate)
        });
        for place in &lost {
            let on_bed = &mut self.on_bed[place.printer.0];
            if on_bed.is_some_and(|bed| bed.plate == place.plate) {
                *on_bed = None;
            }
            self.waiting[place.printer.0].clear();
            self.out_of_the_way(place, at);
        }
        for place in &lost {
            self.again(place.plate, at);
        }
    }

    /// Drops from the plan what is done, and what was asked for before `since` and is done.
    pub fn forget(&mut self, now: Minute, since: Minute) {
        let done = &self.handed_over;
        let plan = &mut self.plan.assignments;
        plan.retain(|place| place.cleared > now || !done.contains_key(&place.plate));
        let plan = &self.plan;
        self.plates
            .retain(|plate| plate.release >= since || plan.of(plate.seq).is_some());
    }

    fn hand_over(&mut self, place: &Assignment, at: Minute) {
        let site = self.real.stand_at(place.printer, place.start).site;
        let ready = self.real.boxed(place.printer, place.start, at);
        let Some((ready, plate)) = ready.zip(self.plate(place.plate)) else {
            return;
        };
        let own = plate.to;
        let riders = plate.riders.iter().map(|rider| rider.to);
        let arrives = |to| Some((to, self.real.arrival(site, to, ready)?));
        let came: Vec<(PlaceIx, Minute)> = std::iter::once(own)
            .chain(riders)
            .filter_map(arrives)
            .collect();
        for (to, at) in came {
            self.came.insert((place.plate, to), at);
            if to == own {
                self.handed_over.insert(place.plate, at);
            }
        }
    }

    /// Gives a plate's time back, so that it may come back to the same printer.
    fn out_of_the_way(&mut self, place: &Assignment, at: Minute) {
        self.plan.put(Assignment {
            start: at,
            cleared: at,
            frozen: false,
            ..*place
        });
    }

    /// Gives a plate the best slot that is left from `at` on.
    fn again(&mut self, seq: PlateSeq, at: Minute) {
        let occupied = Occupied::by(self.known, &self.plates, &self.plan);
        let slot = self
            .plate(seq)
            .and_then(|plate| best_slot(self.known, &occupied, plate, at));
        if let Some(slot) = slot {
            self.place(slot);
        }
    }

    /// The bed is empty: what waits for it starts, or goes elsewhere if it can't be done any more.
    fn next(&mut self, printer: PrinterIx, at: Minute) {
        while self.on_bed[printer.0].is_none() && !self.waiting[printer.0].is_empty() {
            let seq = self.waiting[printer.0].remove(0);
            let planned = self.plan.of(seq).copied();
            let Some(place) = planned.filter(|p| p.printer == printer && !p.frozen) else {
                continue;
            };
            let making = self.making(&place);
            match making.and_then(|making| late_start(self.real, &making, at)) {
                Some(start) if start == at => self.begin(place, at),
                _ => {
                    self.out_of_the_way(&place, at);
                    self.again(seq, at);
                }
            }
        }
    }
}
