//! The floor while it is played: plan, plates, runs, and what happens next.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};

use partpledge_planning::timeline::{after_staffed, staffed_from};
use partpledge_planning::world::{Luck, MOST_ATTEMPTS, run};
use partpledge_planning::{Ground, Occupied, best_slot};
use partpledge_planning_model::{Assignment, Plan, Plate, PlateSeq};
use partpledge_units::time::Minute;

/// Something that happens on the floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Happening {
    /// Somebody clears the bed; the copies are good or not.
    Cleared(PlateSeq, bool),
    /// A run should be off by now and is not: from here on everybody sees it.
    Overdue(PlateSeq, Minute),
    /// Somebody starts a plate, if its printer is free.
    Start(PlateSeq),
}

/// The floor of a region, played with dice of its own.
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
    /// When each printer is really free, as far as runs have been started.
    busy_until: Vec<Minute>,
    queue: BinaryHeap<Reverse<(Minute, u64, Happening)>>,
    sequence: u64,
}

impl<'a> Floor<'a> {
    /// An empty floor.
    #[must_use]
    pub fn new(ground: &'a Ground<'a>, seed: u64) -> Self {
        Self {
            ground,
            seed,
            plan: Plan::default(),
            plates: Vec::new(),
            attempts: BTreeMap::new(),
            handed_over: BTreeMap::new(),
            busy_until: vec![Minute(i64::MIN); ground.region().printers.len()],
            queue: BinaryHeap::new(),
            sequence: 0,
        }
    }

    /// Adds plates with their places in the plan.
    pub fn give(&mut self, plates: Vec<Plate>, places: &[Assignment]) {
        self.plates.extend(plates);
        for place in places {
            self.plan.put(*place);
            self.push(place.start, Happening::Start(place.plate));
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
                Happening::Overdue(plate, cleared) => self.set_cleared(plate, cleared),
                Happening::Cleared(plate, good) => self.cleared(plate, good, at),
            }
        }
    }

    /// Things at one minute happen in the order in which they were foreseen.
    fn push(&mut self, at: Minute, happening: Happening) {
        self.sequence += 1;
        self.queue.push(Reverse((at, self.sequence, happening)));
    }

    fn start(&mut self, seq: PlateSeq, at: Minute) {
        let Some(&place) = self.plan.of(seq).filter(|place| place.start == at) else {
            return;
        };
        let Ok(i) = self.plates.binary_search_by_key(&seq, |plate| plate.seq) else {
            return;
        };
        let making = self.plates[i]
            .makings
            .iter()
            .find(|m| m.printer == place.printer)
            .copied();
        let Some(making) = making else { return };
        let staffed = &self.ground.site_of(place.printer).staffed;
        let free = self.busy_until[place.printer.0];
        if free > at {
            // The one before is still on the bed: as soon as it is off.
            let Some(start) = staffed_from(staffed, free) else {
                return;
            };
            let end = start + making.reserved;
            let Some(cleared) = staffed_from(staffed, end) else {
                return;
            };
            self.plan.put(Assignment {
                start,
                end,
                cleared,
                ..place
            });
            self.push(start, Happening::Start(seq));
            return;
        }
        let attempt = self.attempts.entry(seq).or_insert(0);
        let luck = Luck::of(self.seed, 0, seq, *attempt);
        *attempt += 1;
        let Some(end) = run(self.ground, &making, at, luck) else {
            return;
        };
        self.busy_until[place.printer.0] = end.cleared;
        self.plan.put(Assignment {
            frozen: true,
            ..place
        });
        if end.cleared > place.cleared {
            self.push(place.cleared, Happening::Overdue(seq, end.cleared));
        }
        self.push(end.cleared, Happening::Cleared(seq, end.good));
    }

    fn set_cleared(&mut self, seq: PlateSeq, cleared: Minute) {
        if let Some(&place) = self.plan.of(seq) {
            self.plan.put(Assignment { cleared, ..place });
        }
    }

    fn cleared(&mut self, seq: PlateSeq, good: bool, at: Minute) {
        self.set_cleared(seq, at);
        let Some(&place) = self.plan.of(seq) else {
            return;
        };
        let Ok(i) = self.plates.binary_search_by_key(&seq, |plate| plate.seq) else {
            return;
        };
        if good {
            let printer = self.ground.printer(place.printer);
            let site = self.ground.site_of(place.printer);
            let ready = after_staffed(&site.staffed, at, site.boxing);
            let arrives =
                ready.and_then(|ready| self.ground.arrival(printer.site, self.plates[i].to, ready));
            self.handed_over
                .extend(arrives.map(|arrives| (seq, arrives)));
            return;
        }
        if self
            .attempts
            .get(&seq)
            .is_some_and(|&tries| tries >= MOST_ATTEMPTS)
        {
            return;
        }
        // The reprint takes the best slot that the present plan leaves, as the quote foresaw.
        let occupied = Occupied::by(self.ground, &self.plan);
        if let Some(again) = best_slot(self.ground, &occupied, &self.plates[i], at) {
            self.plan.put(again);
            self.push(again.start, Happening::Start(seq));
        }
    }
}
