//! What others will have taken until a loss is seen, foreseen once for many quotes.
//!
//! As in `background`: requests still to come and reprints take slots. Here a few futures are played
//! beside the present plan and kept, since they change little from one request to the next.

use std::collections::BTreeMap;
use std::sync::Arc;

use partpledge_planning_model::{Assignment, Plan, Plate, PlateSeq, PrinterIx};
use partpledge_units::dice::Dice;
use partpledge_units::time::Minute;

use super::lines::Lines;
use crate::background::asked_lately;
use crate::ground::Ground;
use crate::insert::Occupied;
use crate::luck::{Luck, MOST_ATTEMPTS, run, still_running};

/// How many futures: the chance of a loss is small, and this only blurs what follows it.
pub(super) const FUTURES: usize = 2;
/// Requests to come are numbered from here on.
const NUMBERS_TO_COME: u64 = 1 << 62;

/// A few futures of everybody else, played as far as was asked.
///
/// It stays good while the plan only changes a little: make a new one when the day or what is
/// believed of the printers has changed. What it foresaw for the time that has passed since is not
/// used any more; the plan itself tells that.
#[derive(Debug)]
pub struct Foresight {
    /// Asked for lately, each with the makings that a printer takes.
    recent: Vec<Arc<Plate>>,
    a_minute: [f64; 24],
    futures: Vec<Future>,
    seed: u64,
}

/// A plate put into one future.
#[derive(Clone, Copy, Debug)]
struct Extra {
    printer: PrinterIx,
    known: Minute,
    start: Minute,
    cleared: Minute,
}

#[derive(Debug)]
struct Future {
    number: u64,
    /// As they came.
    extras: Vec<Extra>,
    /// Losses that will be seen: when, which plate, which attempt comes next.
    losses: BTreeMap<(Minute, PlateSeq), (Arc<Plate>, u64)>,
    dice: Dice,
    next_request: Option<Minute>,
    next_number: u64,
}

impl Foresight {
    /// Futures in which nothing has happened since `now`. `plates` are those planned or asked for
    /// lately, as for [`quote`](crate::quote()).
    #[must_use]
    pub fn new(ground: &Ground<'_>, plates: &[Plate], plan: &Plan, now: Minute, seed: u64) -> Self {
        let (recent, a_minute) = asked_lately(plates.iter(), now);
        let mut out = Self {
            recent: (recent.into_iter())
                .map(|plate| Arc::new(able(ground, plate)))
                .collect(),
            a_minute,
            futures: Vec::new(),
            seed,
        };
        for number in 0..FUTURES as u64 {
            let mut future = Future {
                number,
                extras: Vec::new(),
                losses: BTreeMap::new(),
                dice: Dice::stream(seed, number),
                next_request: None,
                next_number: NUMBERS_TO_COME,
            };
            for plate in plates {
                if let Some(place) = plan.of(plate.seq) {
                    future.lost_as_planned(ground, plate, place, now, seed);
                }
            }
            future.ask_next(&out.a_minute, now);
            out.futures.push(future);
        }
        out
    }

    /// The futures on top of the present plan. What was foreseen for the time before `now` is past.
    pub(crate) fn onto<'f>(
        &'f mut self,
        ground: &'f Ground<'f>,
        occupied: &Occupied,
        now: Minute,
    ) -> Foreseen<'f> {
        let present = |future: &Future| {
            let mut lines = Lines::of(ground, occupied, now);
            for extra in future.extras.iter().filter(|extra| extra.known > now) {
                lines.add(extra.printer, extra.known, (extra.start, extra.cleared));
            }
            lines
        };
        Foreseen {
            ground,
            lines: self.futures.iter().map(present).collect(),
            now,
            foresight: self,
        }
    }
}

/// A plate with the makings that a printer takes.
pub(super) fn able(ground: &Ground<'_>, plate: &Plate) -> Plate {
    let mut out = plate.clone();
    out.makings
        .retain(|making| ground.takes(making, &plate.material));
    out
}

/// The present plan and what the futures add to it.
pub(crate) struct Foreseen<'f> {
    ground: &'f Ground<'f>,
    foresight: &'f mut Foresight,
    lines: Vec<Lines>,
    now: Minute,
}

impl Foreseen<'_> {
    /// What one future has taken, played up to and including `at`.
    pub(crate) fn until(&mut self, at: Minute, future: usize) -> &Lines {
        let lines = &mut self.lines[future];
        let Foresight {
            recent,
            a_minute,
            futures,
            seed,
        } = &mut *self.foresight;
        let asked = (recent.as_slice(), &*a_minute);
        futures[future].play(self.ground, lines, asked, (self.now, at), *seed);
        lines
    }
}

impl Future {
    /// Notes when a planned plate's loss would be seen.
    fn lost_as_planned(
        &mut self,
        ground: &Ground<'_>,
        plate: &Plate,
        place: &Assignment,
        now: Minute,
        seed: u64,
    ) {
        let made = plate.makings.iter().find(|m| m.printer == place.printer);
        let Some(making) = made else { return };
        let start = place.start;
        let end = if start <= now {
            let luck = (seed, self.number);
            still_running(ground, making, start, now, plate.seq, luck)
        } else {
            let luck = Luck::of(seed, self.number, plate.seq, 0);
            run(ground, making, start, luck)
        };
        if let Some(end) = end.filter(|end| !end.good) {
            let key = (end.cleared, plate.seq);
            self.losses.insert(key, (Arc::new(able(ground, plate)), 1));
        }
    }

    /// Throws when the next request comes, as in `background`.
    fn ask_next(&mut self, a_minute: &[f64; 24], after: Minute) {
        self.next_request = crate::background::next_request(&mut self.dice, a_minute, after);
    }

    /// Plays on up to and including `until`, in order of time.
    fn play(
        &mut self,
        ground: &Ground<'_>,
        lines: &mut Lines,
        (recent, a_minute): (&[Arc<Plate>], &[f64; 24]),
        (now, until): (Minute, Minute),
        seed: u64,
    ) {
        loop {
            let loss = self.losses.first_key_value().map(|(&key, _)| key);
            let loss = loss.filter(|(at, _)| *at <= until);
            let request = self.next_request.filter(|at| *at <= until);
            match (loss, request) {
                (Some(key), _) if request.is_none_or(|next| key.0 <= next) => {
                    if let Some((plate, attempt)) = self.losses.remove(&key) {
                        let luck = (key.1, attempt, seed);
                        self.take(ground, lines, &plate, (now, key.0), luck);
                    }
                }
                (_, Some(at)) => {
                    let number = PlateSeq(self.next_number);
                    self.next_number += 1;
                    if let Some(plate) = recent.get(self.dice.below(recent.len())) {
                        self.take(ground, lines, plate, (now, at), (number, 0, seed));
                    }
                    self.ask_next(a_minute, at);
                }
                _ => return,
            }
        }
    }

    /// Takes the best slot from `at` on, and runs it.
    fn take(
        &mut self,
        ground: &Ground<'_>,
        lines: &mut Lines,
        plate: &Arc<Plate>,
        (now, at): (Minute, Minute),
        (seq, attempt, seed): (PlateSeq, u64, u64),
    ) {
        let Some(slot) = lines.at(at).best_slot(ground, plate) else {
            return;
        };
        let Assignment {
            printer,
            start,
            cleared,
            ..
        } = slot;
        self.extras.push(Extra {
            printer,
            known: at,
            start,
            cleared,
        });
        if at > now {
            lines.add(printer, at, (start, cleared));
        }
        let making = plate.makings.iter().find(|m| m.printer == printer);
        let luck = Luck::of(seed, self.number, seq, attempt);
        let end = making.and_then(|making| run(ground, making, start, luck));
        if let Some(end) = end.filter(|end| !end.good && attempt + 1 < MOST_ATTEMPTS) {
            let key = (end.cleared, seq);
            self.losses.insert(key, (plate.clone(), attempt + 1));
        }
    }
}
