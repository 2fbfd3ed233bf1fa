//! What else happens in a world: other plates come off early or are lost, other teams ask.
//!
//! A reprint does not find the gaps that today's plan has. Until the loss is seen, requests still
//! to come and other reprints have taken some of them, and runs that ended early have left new
//! ones. Without this, fortnights played forward keep up to five points less than was stated when
//! printers are frail and busy.

use std::collections::BTreeMap;

use partpledge_planning_model::{Assignment, Making, Plan, Plate, PlateSeq, PrinterIx};
use partpledge_units::dice::Dice;
use partpledge_units::time::{Minute, Minutes};

use crate::busy::Busy;
use crate::ground::Ground;
use crate::insert::{Occupied, Overlay, Span, Taken};
use crate::luck::{Luck, MOST_ATTEMPTS, RunEnd, run, still_running};
use crate::slots::{able, best_slot_of};

/// What requests come is learned from those of this long before now: a week, with its weekend.
const LEARNED_FROM: Minutes = Minutes(7 * 1_440);
/// The least time to learn from: a burst in the first hour says little about a day.
const LEARNED_FROM_LEAST: Minutes = Minutes(1_440);
/// Set apart from the streams of plates: requests to come have luck of their own.
const OTHER_KEY: u64 = 0x0D15_EA5E_0F0D_D5ED;
/// Requests to come are numbered from here on.
const NUMBERS_TO_COME: u64 = 1 << 62;

/// A plate of the present plan, as it is made where it is planned.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Planned<'a> {
    pub(crate) plate: &'a Plate,
    pub(crate) making: Making,
}

/// The plates of a plan in order of number, and the pace of requests.
#[derive(Debug)]
pub(crate) struct Crowd<'a> {
    planned: Vec<Planned<'a>>,
    /// Asked for in the last week, each with the makings that a printer takes.
    recent: Vec<(&'a Plate, Vec<Making>)>,
    /// Plates asked for in a minute, by hour of the day (UTC): after school is not like the night.
    a_minute: [f64; 24],
}

impl<'a> Crowd<'a> {
    pub(crate) fn of(
        ground: &Ground<'_>,
        plates: impl Iterator<Item = &'a Plate> + Clone,
        plan: &Plan,
        now: Minute,
    ) -> Self {
        let planned = plates.clone().filter_map(|plate| {
            let place = plan.of(plate.seq)?;
            let making = *plate.makings.iter().find(|m| m.printer == place.printer)?;
            Some(Planned { plate, making })
        });
        let mut planned: Vec<Planned<'_>> = planned.collect();
        planned.sort_by_key(|planned| planned.plate.seq);
        let (recent, a_minute) = asked_lately(plates, now);
        let recent = recent
            .into_iter()
            .map(|plate| (plate, able(ground, plate).copied().collect()));
        Self {
            planned,
            recent: recent.collect(),
            a_minute,
        }
    }

    pub(crate) fn planned(&self, seq: PlateSeq) -> Option<&Planned<'a>> {
        let found = self
            .planned
            .binary_search_by_key(&seq, |planned| planned.plate.seq);
        found.ok().map(|i| &self.planned[i])
    }
}

/// Plates asked for in the last week, and how many are asked for in a minute, by hour of the day (UTC).
pub(crate) fn asked_lately<'a>(
    plates: impl Iterator<Item = &'a Plate> + Clone,
    now: Minute,
) -> (Vec<&'a Plate>, [f64; 24]) {
    let since = now - LEARNED_FROM;
    let first = plates.clone().map(|plate| plate.release).min();
    let first = first.unwrap_or(now);
    let recent: Vec<&Plate> = plates.filter(|plate| plate.release >= since).collect();
    let length = (now - first.max(since)).max(LEARNED_FROM_LEAST);
    let mut a_minute = [0.0; 24];
    for plate in &recent {
        // Each counts for the hour it came in, of as many such hours as were looked at.
        a_minute[hour(plate.release)] += 24.0 / length.0 as f64;
    }
    (recent, a_minute)
}

pub(crate) fn hour(at: Minute) -> usize {
    usize::try_from(at.0.rem_euclid(1_440) / 60).unwrap_or(0)
}

/// Throws when the next request comes: a Poisson process whose rate follows the hour, made by
/// thinning (Lewis and Shedler 1979, from memory). `None` when none ever does.
pub(crate) fn next_request(dice: &mut Dice, a_minute: &[f64; 24], after: Minute) -> Option<Minute> {
    let peak = a_minute.iter().copied().fold(0.0, f64::max);
    if peak <= 0.0 {
        return None;
    }
    let mut wait_min = 0.0;
    // Thrown away at most 23 times in 24, on average; the bound is for form's sake.
    for _ in 0..10_000 {
        wait_min -= (1.0 - dice.unit()).ln() / peak;
        let at = after + Minutes::covering_s(wait_min * 60.0);
        if dice.happens(a_minute[hour(at)] / peak) {
            return Some(at);
        }
    }
    None
}

/// A plate's time on a printer as one world knows it.
#[derive(Clone, Copy, Debug)]
struct Use {
    /// Since when it is planned.
    known: Minute,
    span: Span,
    /// When it is really off the bed, which nobody knows before.
    off: Minute,
}

impl Use {
    /// As people see it at `at`: what is off the bed takes no more time.
    fn conflict(&self, at: Minute, from: Minute, until: Minute) -> Option<Minute> {
        let cleared = if self.off <= at {
            self.off.min(self.span.cleared)
        } else {
            self.span.cleared
        };
        (self.known <= at && self.span.start < until && from < cleared).then_some(cleared)
    }

    /// The span as people see it at `at`.
    fn seen(&self, at: Minute) -> Option<Span> {
        (self.known <= at).then_some(Span {
            cleared: if self.off <= at {
                self.off
            } else {
                self.span.cleared
            },
            ..self.span
        })
    }
}

/// One world beside the request, as far as it has been played.
#[derive(Debug)]
pub(crate) struct Background<'a> {
    /// By printer: plates of the plan in order of start, then what came later, as it came.
    uses: Vec<Vec<Use>>,
    /// The same from the moment played to on.
    busy: Busy,
    /// Losses that will be seen: when, which plate, which attempt comes next.
    losses: BTreeMap<(Minute, PlateSeq), (&'a Plate, u64)>,
    dice: Dice,
    /// Next request to come; `None` when none ever does.
    next_request: Option<Minute>,
    /// Its number.
    next_number: u64,
    /// Which world's luck it has.
    world: u64,
    /// Slots found for the request's plates by way (which share numbers), from some minute on.
    found: BTreeMap<(usize, PlateSeq, Minute), Option<Assignment>>,
}

/// What people know at one moment of a world.
struct Known<'a, 'b> {
    background: &'a Background<'b>,
    request: Option<&'a Overlay<'a>>,
    at: Minute,
}

impl Taken for Known<'_, '_> {
    fn conflict(&self, printer: PrinterIx, from: Minute, until: Minute) -> Option<Minute> {
        let uses = self.background.uses[printer.0].iter();
        let conflicts = uses.filter_map(|used| used.conflict(self.at, from, until));
        let own = self
            .request
            .and_then(|own| own.conflict_on_top(printer, from, until));
        conflicts.chain(own).max()
    }

    fn each(&self, printer: PrinterIx, from: Minute, until: Minute, see: &mut dyn FnMut(&Span)) {
        let uses = self.background.uses[printer.0].iter();
        for span in uses.filter_map(|used| used.seen(self.at)) {
            if from <= span.start && span.start < until {
                see(&span);
            }
        }
        if let Some(own) = self.request {
            own.each_on_top(printer, from, until, see);
        }
    }
}

/// What all worlds share.
#[derive(Clone, Copy)]
pub(crate) struct Scene<'a, 'b> {
    pub(crate) ground: &'b Ground<'b>,
    pub(crate) occupied: &'b Occupied,
    pub(crate) crowd: &'b Crowd<'a>,
    pub(crate) now: Minute,
    pub(crate) seed: u64,
}

impl<'a> Background<'a> {
    /// A world in which nothing has happened since now.
    pub(crate) fn new(scene: Scene<'a, '_>, world: u64) -> Self {
        let mut out = Self {
            uses: Vec::new(),
            busy: Busy::new(scene.ground, scene.now),
            losses: BTreeMap::new(),
            dice: Dice::stream(scene.seed ^ OTHER_KEY, world),
            next_request: None,
            next_number: NUMBERS_TO_COME,
            world,
            found: BTreeMap::new(),
        };
        for p in 0..scene.ground.region().printers.len() {
            let printer = PrinterIx(p);
            let spans = scene.occupied.on(printer);
            let spans = &spans[scene.occupied.first_beyond(printer, scene.now)..];
            out.uses.push(Vec::with_capacity(spans.len()));
            for span in spans {
                let used = out.planned(scene, *span);
                out.put(printer, used);
            }
        }
        out.ask_next(scene.crowd, scene.now);
        out
    }

    fn put(&mut self, printer: PrinterIx, used: Use) {
        let kept = (used.span.start, used.span.cleared);
        self.busy.add(printer, kept, used.off);
        self.uses[printer.0].push(used);
    }

    /// A plate of the present plan, run as planned.
    fn planned(&mut self, scene: Scene<'a, '_>, span: Span) -> Use {
        let mut used = Use {
            known: scene.now,
            span,
            off: span.cleared,
        };
        let Some(planned) = scene
            .crowd
            .planned(span.plate)
            .filter(|_| span.cleared > scene.now)
        else {
            return used;
        };
        let (making, plate) = (&planned.making, planned.plate);
        let end = if span.start <= scene.now {
            let luck = (scene.seed, self.world);
            still_running(
                scene.ground,
                making,
                span.start,
                scene.now,
                span.plate,
                luck,
            )
        } else {
            run(
                scene.ground,
                making,
                span.start,
                Luck::of(scene.seed, self.world, span.plate, 0),
            )
        };
        self.ends(&mut used, end, plate, 1);
        used
    }

    /// Notes how a run ends.
    fn ends(&mut self, used: &mut Use, end: Option<RunEnd>, plate: &'a Plate, attempt: u64) {
        let Some(end) = end else { return };
        used.off = end.cleared;
        if !end.good && attempt < MOST_ATTEMPTS {
            self.losses
                .insert((end.cleared, used.span.plate), (plate, attempt));
        }
    }

    fn ask_next(&mut self, crowd: &Crowd<'_>, after: Minute) {
        self.next_request = next_request(&mut self.dice, &crowd.a_minute, after);
    }

    /// Plays on up to and including `until`, in order of time.
    fn play(&mut self, scene: Scene<'a, '_>, until: Minute) {
        loop {
            let loss = self.losses.first_key_value().map(|(&key, _)| key);
            let loss = loss.filter(|(at, _)| *at <= until);
            let request = self.next_request.filter(|at| *at <= until);
            match (loss, request) {
                (Some(key), _) if request.is_none_or(|next| key.0 <= next) => {
                    if let Some((plate, attempt)) = self.losses.remove(&key) {
                        let makings: Vec<Making> = able(scene.ground, plate).copied().collect();
                        self.take(scene, (plate, &makings), key, attempt);
                    }
                }
                (_, Some(at)) => {
                    let recent = &scene.crowd.recent;
                    let many = i64::try_from(recent.len()).unwrap_or(i64::MAX);
                    let pick = usize::try_from(self.dice.between(0, many)).unwrap_or(0);
                    let number = PlateSeq(self.next_number);
                    self.next_number += 1;
                    if let Some((plate, makings)) = recent.get(pick) {
                        self.take(scene, (plate, makings), (at, number), 0);
                    }
                    self.ask_next(scene.crowd, at);
                }
                _ => return,
            }
        }
    }

    /// Takes the best slot from `at` on, and runs it.
    fn take(
        &mut self,
        scene: Scene<'a, '_>,
        (plate, makings): (&'a Plate, &[Making]),
        (at, seq): (Minute, PlateSeq),
        attempt: u64,
    ) {
        let found = self.busy.best_slot(scene.ground, plate, makings, at);
        #[cfg(test)]
        assert!(
            scene.ground.limited()
                || found == {
                    let known = Known {
                        background: self,
                        request: None,
                        at,
                    };
                    crate::slots::best_slot(scene.ground, &known, plate, at)
                }
        );
        let Some(slot) = found else {
            return;
        };
        let mut used = Use {
            known: at,
            span: Span {
                plate: seq,
                ..Span::of(&slot, scene.ground.load(plate, false))
            },
            off: slot.cleared,
        };
        if let Some(making) = plate.makings.iter().find(|m| m.printer == slot.printer) {
            let luck = Luck::of(scene.seed, self.world, seq, attempt);
            let end = run(scene.ground, making, slot.start, luck);
            self.ends(&mut used, end, plate, attempt + 1);
        }
        self.put(slot.printer, used);
    }

    /// The best slot for a plate of the request from `at` on, as far as people know at `at`.
    ///
    /// Candidates often lose the plate at the same minute (all hosts open at eight); what was
    /// found without the request's own slots is kept for them. `makings` are those that a printer takes.
    pub(crate) fn slot_at(
        &mut self,
        scene: Scene<'a, '_>,
        request: &Overlay<'_>,
        (way, plate, makings): (usize, &Plate, &[Making]),
        at: Minute,
    ) -> Option<Assignment> {
        self.play(scene, at);
        let mut known = Known {
            background: self,
            request: None,
            at,
        };
        let kept = self.found.get(&(way, plate.seq, at)).copied();
        let alone =
            kept.unwrap_or_else(|| best_slot_of(scene.ground, &known, (plate, makings.iter()), at));
        let found = match alone {
            Some(slot)
                if request
                    .conflict_on_top(slot.printer, slot.start, slot.cleared)
                    .is_some() =>
            {
                known.request = Some(request);
                // Where it was best the next one is good too, and a good first find rules most others out.
                let first = makings.iter().position(|m| m.printer == slot.printer);
                let (before, rest) = makings.split_at(first.unwrap_or(0));
                let makings = rest.iter().chain(before);
                best_slot_of(scene.ground, &known, (plate, makings), at)
            }
            _ => alone,
        };
        self.found.insert((way, plate.seq, at), alone);
        found
    }
}

#[cfg(test)]
mod tests;
