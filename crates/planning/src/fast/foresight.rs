//! What others will have taken until a loss is seen, foreseen once for many quotes.
//!
//! As in `background`: requests still to come and reprints take slots. Here a few futures are played
//! beside the present plan and kept, since they change little from one request to the next.

use std::collections::BTreeMap;

use partpledge_planning_model::{Making, Plan, Plate, PlateSeq, PrinterIx};
use partpledge_units::dice::Dice;
use partpledge_units::time::Minute;

use crate::background::Crowd;
use crate::ground::{Ground, Load};
use crate::insert::{Occupied, Span, Taken};
use crate::luck::{Luck, MOST_ATTEMPTS, run, still_running};
use crate::slots::best_slot;

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
    recent: Vec<Plate>,
    a_minute: [f64; 24],
    futures: Vec<Future>,
    seed: u64,
}

/// A plate put into one future.
#[derive(Clone, Copy, Debug)]
struct Extra {
    known: Minute,
    span: Span,
}

#[derive(Debug)]
struct Future {
    number: u64,
    /// By printer, as they came.
    extras: Vec<Vec<Extra>>,
    /// Losses that will be seen: when, which plate, which attempt comes next.
    losses: BTreeMap<(Minute, PlateSeq), (Plate, u64)>,
    dice: Dice,
    next_request: Option<Minute>,
    next_number: u64,
}

/// The present plan and what one future adds to it, as people know it at one moment.
pub(crate) struct Foreseen<'a> {
    occupied: &'a Occupied,
    extras: &'a [Vec<Extra>],
    /// Now: what was foreseen for before is past.
    now: Minute,
    at: Minute,
}

impl Taken for Foreseen<'_> {
    fn conflict(&self, printer: PrinterIx, from: Minute, until: Minute) -> Option<Minute> {
        let below = self.occupied.conflict(printer, from, until);
        below.or_else(|| {
            let extras = self.extras[printer.0].iter();
            let known = extras.filter(|extra| extra.known > self.now && extra.known <= self.at);
            known
                .map(|extra| extra.span)
                .find(|span| span.start < until && from < span.cleared)
                .map(|span| span.cleared)
        })
    }

    // What is foreseen makes printers as full as they will be; it is not planned to the minute.
    fn counts(&self) -> bool {
        false
    }

    fn each(&self, _: PrinterIx, _: Minute, _: Minute, _: &mut dyn FnMut(&Span)) {}
}

impl Foresight {
    /// Futures in which nothing has happened since `now`. `plates` are those planned or asked for
    /// lately, as for [`quote`](crate::quote()).
    #[must_use]
    pub fn new(ground: &Ground<'_>, plates: &[Plate], plan: &Plan, now: Minute, seed: u64) -> Self {
        let crowd = Crowd::of(ground, plates, plan, now);
        let mut out = Self {
            recent: crowd.recent().cloned().collect(),
            a_minute: crowd.a_minute(),
            futures: Vec::new(),
            seed,
        };
        for number in 0..FUTURES as u64 {
            let mut future = Future {
                number,
                extras: vec![Vec::new(); ground.region().printers.len()],
                losses: BTreeMap::new(),
                dice: Dice::stream(seed, number),
                next_request: None,
                next_number: NUMBERS_TO_COME,
            };
            for planned in crowd.all_planned() {
                if let Some(place) = plan.of(planned.plate.seq) {
                    let span = Span::of(place, Load::default());
                    future.lost_as_planned(ground, &planned.making, planned.plate, span, now, seed);
                }
            }
            future.ask_next(&out.a_minute, now);
            out.futures.push(future);
        }
        out
    }

    /// What one future has taken, as people know it at `at`, played until then.
    pub(crate) fn at<'s>(
        &'s mut self,
        ground: &Ground<'_>,
        occupied: &'s Occupied,
        (now, at): (Minute, Minute),
        future: usize,
    ) -> Foreseen<'s> {
        let known = &mut self.futures[future];
        known.play(
            ground,
            occupied,
            (&self.recent, &self.a_minute),
            (now, at),
            self.seed,
        );
        Foreseen {
            occupied,
            extras: &known.extras,
            now,
            at,
        }
    }
}

impl Future {
    /// Notes when a planned plate's loss would be seen.
    fn lost_as_planned(
        &mut self,
        ground: &Ground<'_>,
        making: &Making,
        plate: &Plate,
        span: Span,
        now: Minute,
        seed: u64,
    ) {
        let end = if span.start <= now {
            still_running(
                ground,
                making,
                span.start,
                now,
                plate.seq,
                (seed, self.number),
            )
        } else {
            let luck = Luck::of(seed, self.number, plate.seq, 0);
            run(ground, making, span.start, luck)
        };
        if let Some(end) = end.filter(|end| !end.good) {
            let key = (end.cleared, plate.seq);
            self.losses.insert(key, (plate.clone(), 1));
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
        occupied: &Occupied,
        (recent, a_minute): (&[Plate], &[f64; 24]),
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
                        self.take(
                            ground,
                            occupied,
                            &plate,
                            (now, key.0),
                            (key.1, attempt, seed),
                        );
                    }
                }
                (_, Some(at)) => {
                    let number = PlateSeq(self.next_number);
                    self.next_number += 1;
                    if let Some(plate) = recent.get(self.dice.below(recent.len())) {
                        self.take(ground, occupied, plate, (now, at), (number, 0, seed));
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
        occupied: &Occupied,
        plate: &Plate,
        (now, at): (Minute, Minute),
        (seq, attempt, seed): (PlateSeq, u64, u64),
    ) {
        let extras = &self.extras;
        let known = Foreseen {
            occupied,
            extras,
            now,
            at,
        };
        let Some(slot) = best_slot(ground, &known, plate, at) else {
            return;
        };
        let span = Span {
            plate: seq,
            ..Span::of(&slot, Load::default())
        };
        self.extras[slot.printer.0].push(Extra { known: at, span });
        let making = plate.makings.iter().find(|m| m.printer == slot.printer);
        let luck = Luck::of(seed, self.number, seq, attempt);
        let end = making.and_then(|making| run(ground, making, slot.start, luck));
        if let Some(end) = end.filter(|end| !end.good && attempt + 1 < MOST_ATTEMPTS) {
            let key = (end.cleared, seq);
            self.losses.insert(key, (plate.clone(), attempt + 1));
        }
    }
}
