//! The floor while it is played: plan, plates, runs, and what happens next.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};

use partpledge_planning::luck::{Luck, MOST_ATTEMPTS, late_start, run};
use partpledge_planning::timeline::staffed_from;
use partpledge_planning::{Ground, Occupied, best_slot};
use partpledge_planning_model::{Assignment, Making, Plan, Plate, PlateSeq, PrinterIx};
use partpledge_units::time::{Minute, Minutes};

/// People look again after this long at a run that should be off by now. Common practice, no source.
const LOOK_AGAIN: Minutes = Minutes(15);

/// Something that happens on the floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Happening {
    /// Somebody clears the bed; the copies are good or not.
    Cleared(PlateSeq, bool),
    /// The plan has a run off the bed at this minute.
    Due(PlateSeq),
    /// The plan has a plate started at this minute.
    Start(PlateSeq),
}

/// The floor of a region, played with dice of its own.
///
/// What is going to happen is known to the dice only. The plan, which quotes are made on, says
/// what people can know: a late run is late from the minute it should have been off.
#[derive(Debug)]
pub struct Floor<'a> {
    ground: &'a Ground<'a>,
    seed: u64,
    /// Present plan.
    pub plan: Plan,
    /// All plates so far, in order of number.
    pub plates: Vec<Plate>,
    attempts: BTreeMap<PlateSeq, u64>,
    /// Hand-over of each plate whose copies came out good.
    pub handed_over: BTreeMap<PlateSeq, Minute>,
    /// What is on each bed.
    on_bed: Vec<Option<PlateSeq>>,
    /// Plates whose time has come while another is still on the bed, by printer, in that order.
    waiting: Vec<Vec<PlateSeq>>,
    queue: BinaryHeap<Reverse<(Minute, u64, Happening)>>,
    sequence: u64,
}

impl<'a> Floor<'a> {
    /// An empty floor.
    #[must_use]
    pub fn new(ground: &'a Ground<'a>, seed: u64) -> Self {
        let printers = ground.region().printers.len();
        Self {
            ground,
            seed,
            plan: Plan::default(),
            plates: Vec::new(),
            attempts: BTreeMap::new(),
            handed_over: BTreeMap::new(),
            on_bed: vec![None; printers],
            waiting: vec![Vec::new(); printers],
            queue: BinaryHeap::new(),
            sequence: 0,
        }
    }

    /// Adds plates with their places in the plan.
    pub fn give(&mut self, plates: Vec<Plate>, places: &[Assignment]) {
        self.plates.extend(plates);
        for place in places {
            self.place(*place);
        }
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
                Happening::Cleared(plate, good) => self.cleared(plate, good, at),
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
        if self.on_bed[place.printer.0].is_some() {
            let waiting = &mut self.waiting[place.printer.0];
            if !waiting.contains(&seq) {
                waiting.push(seq);
            }
            // In the plan it is about to start, as far as anybody knows.
            self.postpone(place, at + LOOK_AGAIN);
            return;
        }
        self.begin(place, at);
    }

    /// Starts a plate on an empty bed.
    fn begin(&mut self, place: Assignment, at: Minute) {
        let Some(making) = self.making(&place) else {
            return;
        };
        let attempt = self.attempts.entry(place.plate).or_insert(0);
        let luck = Luck::of(self.seed, 0, place.plate, *attempt);
        *attempt += 1;
        let Some(end) = run(self.ground, &making, at, luck) else {
            return;
        };
        let Some(place) = self.moved(place, &making, at) else {
            return;
        };
        self.plan.put(Assignment {
            frozen: true,
            ..place
        });
        self.on_bed[place.printer.0] = Some(place.plate);
        self.push(end.cleared, Happening::Cleared(place.plate, end.good));
        self.push(place.cleared, Happening::Due(place.plate));
    }

    /// The same place with another start.
    fn moved(&self, place: Assignment, making: &Making, start: Minute) -> Option<Assignment> {
        let staffed = &self.ground.site_at(place.printer, place.start).staffed;
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
        let staffed = &self.ground.site_at(place.printer, place.start).staffed;
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
        let Some(place) = planned.filter(|place| self.on_bed[place.printer.0] == Some(seq)) else {
            return;
        };
        let staffed = &self.ground.site_at(place.printer, place.start).staffed;
        if let Some(cleared) = staffed_from(staffed, at + LOOK_AGAIN) {
            self.plan.put(Assignment { cleared, ..place });
            self.push(cleared, Happening::Due(seq));
        }
    }

    fn cleared(&mut self, seq: PlateSeq, good: bool, at: Minute) {
        let Some(&place) = self.plan.of(seq) else {
            return;
        };
        self.on_bed[place.printer.0] = None;
        self.plan.put(Assignment {
            cleared: at,
            ..place
        });
        if good {
            self.hand_over(&place, at);
        } else if self.attempts.get(&seq).is_none_or(|&n| n < MOST_ATTEMPTS) {
            // The reprint takes the best slot that the present plan leaves, as the quote foresaw.
            self.again(seq, at);
        }
        self.next(place.printer, at);
    }

    fn hand_over(&mut self, place: &Assignment, at: Minute) {
        let site = self.ground.stand_at(place.printer, place.start).site;
        let ready = self.ground.boxed(place.printer, place.start, at);
        let to = self.plate(place.plate).map(|plate| plate.to);
        let arrives = ready
            .zip(to)
            .and_then(|(ready, to)| self.ground.arrival(site, to, ready));
        self.handed_over
            .extend(arrives.map(|arrives| (place.plate, arrives)));
    }

    /// Gives a plate the best slot that is left from `at` on.
    fn again(&mut self, seq: PlateSeq, at: Minute) {
        let occupied = Occupied::by(self.ground, &self.plates, &self.plan);
        let slot = self
            .plate(seq)
            .and_then(|plate| best_slot(self.ground, &occupied, plate, at));
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
            match making.and_then(|making| late_start(self.ground, &making, at)) {
                Some(start) if start == at => self.begin(place, at),
                _ => {
                    // Out of the way first, so that it may come back to the same printer.
                    let gone = Assignment {
                        start: at,
                        cleared: at,
                        ..place
                    };
                    self.plan.put(gone);
                    self.again(seq, at);
                }
            }
        }
    }
}
