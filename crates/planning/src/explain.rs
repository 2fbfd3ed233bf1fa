//! Why a plate is here and now: what it waits for on its printer, and why no other printer is earlier.
//!
//! Places come from the planner itself ([`best_slot`]); only the words for a wait are worked out
//! here. A wait that these words don't cover is named [`Why::Rule`], never guessed.

mod keeping;

use partpledge_planning_model::{Assignment, Making, Plan, Plate, PlateSeq, PrinterIx};
use partpledge_units::time::{Minute, Minutes};

use crate::ground::Ground;
use crate::insert::Occupied;
use crate::limits::{Held, Limit, Try, which};
use crate::slots::best_slot;
use crate::timeline::{blocked_until, staffed_from, window_from};

pub use keeping::{Change, Keeping, would_keep};

/// Why a plate can't start during some time on a printer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// Its host has not yet had the time to prepare it.
    NotReleased,
    /// Nobody is there to start it.
    NobodyThere,
    /// It would still run when people leave, and the printer may not run alone.
    NobodyStays,
    /// The printer is out of use.
    OutOfUse,
    /// Another plate is on the printer.
    Taken(PlateSeq),
    /// The printer is free, but not long enough before another plate.
    TooShortBefore(PlateSeq),
    /// Somebody must put another material in first, before it or before the next plate.
    Changing,
    /// The host's people have started as many plates in that window as they can.
    NoHands,
    /// The host is short of filament.
    NoFilament,
    /// The printer is on its way to another host.
    OnItsWay,
    /// It could start, but comes sooner from where the printer travels next.
    SoonerFromNext,
    /// Another rule of the planner.
    Rule,
}

/// A wait `[from, until)` and what it is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Hold {
    /// What for.
    pub why: Why,
    /// Since when.
    pub from: Minute,
    /// Until when.
    pub until: Minute,
}

/// What another printer could do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// It does not take the material.
    NotThisMaterial,
    /// Its bed or height is too small.
    TooSmall,
    /// It is kept for other work.
    ForOthers,
    /// It may not run alone, and nobody stays that long.
    NobodyStaysSoLong {
        /// Time kept for the plate.
        takes: Minutes,
        /// The longest that somebody stays.
        longest: Minutes,
    },
    /// No time is free, or nothing goes to the place, before the calendars end.
    NoSlot,
    /// As things stand it would come earlier there: something has been freed since.
    Earlier(Assignment),
    /// It would come at the very same time.
    SameTime(Assignment),
    /// Even a box that is ready as early as here would be handed over later from there.
    LaterLeg(Assignment),
    /// It would start later; this is the longest wait after the present start.
    StartsLater(Assignment, Hold),
    /// It would take longer to print there.
    TakesLonger(Assignment),
}

/// One of the other printers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Other {
    /// Which.
    pub printer: PrinterIx,
    /// What it could do.
    pub verdict: Verdict,
}

impl Other {
    /// Whether the plate could be made there at all.
    #[must_use]
    pub fn able(&self) -> bool {
        !matches!(
            self.verdict,
            Verdict::NotThisMaterial
                | Verdict::TooSmall
                | Verdict::ForOthers
                | Verdict::NobodyStaysSoLong { .. }
        )
    }
}

/// Why a plate is where it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Explained {
    /// What it waits for on its own printer, in order of time; empty when it starts at once.
    pub holds: Vec<Hold>,
    /// A place on its own printer that has come free and would be earlier.
    pub room: Option<Assignment>,
    /// The other printers, in order of printer.
    pub others: Vec<Other>,
}

/// Explains the places of a plan.
#[derive(Debug)]
pub struct Explainer<'a> {
    ground: &'a Ground<'a>,
    occupied: Occupied,
    now: Minute,
}

impl<'a> Explainer<'a> {
    /// Ready to explain a plan as it stands now.
    #[must_use]
    pub fn new(ground: &'a Ground<'a>, plates: &[Plate], plan: &Plan, now: Minute) -> Self {
        let occupied = Occupied::by(ground, plates, plan);
        Self {
            ground,
            occupied,
            now,
        }
    }

    /// Why `plate` is at `place`, with everything else where it is.
    ///
    /// `None` for a plate that runs or whose start has passed: nothing of it can be chosen any more.
    #[must_use]
    pub fn explain(&self, plate: &Plate, place: &Assignment) -> Option<Explained> {
        if place.frozen || place.start < self.now {
            return None;
        }
        let mut rest = self.occupied.clone();
        rest.remove(place.printer, plate.seq);
        let printers = (0..self.ground.region().printers.len()).map(PrinterIx);
        let others = printers.filter(|printer| *printer != place.printer);
        let others = others.map(|printer| Other {
            printer,
            verdict: self.verdict(&rest, plate, place, printer),
        });
        let own = making_on(plate, place.printer);
        let free = own.and_then(|own| best_slot(self.ground, &rest, &alone(plate, own), self.now));
        Some(Explained {
            holds: own.map_or_else(Vec::new, |own| self.holds(&rest, plate, own, place.start)),
            room: free.filter(|slot| slot.start < place.start && slot.arrives < place.arrives),
            others: others.collect(),
        })
    }

    fn verdict(
        &self,
        rest: &Occupied,
        plate: &Plate,
        place: &Assignment,
        printer: PrinterIx,
    ) -> Verdict {
        let there = self.ground.printer(printer);
        if !there.materials.contains(&plate.material) {
            return Verdict::NotThisMaterial;
        }
        let able = |making: &&Making| self.ground.takes(making, &plate.material);
        let Some(making) = making_on(plate, printer).filter(able) else {
            let [bed_x, bed_y, bed_z] = there.bed_mm;
            let mut sizes = plate.makings.iter().map(|making| making.footprint.0);
            let lies = |[x, y, z]: [f64; 3]| {
                ((x <= bed_x && y <= bed_y) || (y <= bed_x && x <= bed_y)) && z <= bed_z
            };
            // As it lies elsewhere it has room there, so that is not the reason.
            return if making_on(plate, printer).is_none() && sizes.any(lies) {
                Verdict::ForOthers
            } else {
                Verdict::TooSmall
            };
        };
        let longest = self.ground.longest_visit(printer);
        if !there.unattended && making.reserved > longest {
            return Verdict::NobodyStaysSoLong {
                takes: making.reserved,
                longest,
            };
        }
        let slot = best_slot(self.ground, rest, &alone(plate, making), self.now);
        let Some(slot) = slot else {
            return Verdict::NoSlot;
        };
        match slot.arrives.cmp(&place.arrives) {
            std::cmp::Ordering::Less => Verdict::Earlier(slot),
            std::cmp::Ordering::Equal => Verdict::SameTime(slot),
            std::cmp::Ordering::Greater => {
                let from = self.ground.stand_at(printer, slot.start).site;
                let way = self.ground.arrival(from, plate.to, place.ready);
                if way.is_none_or(|arrives| arrives > place.arrives) {
                    return Verdict::LaterLeg(slot);
                }
                later(place, slot, &self.holds(rest, plate, making, slot.start))
            }
        }
    }

    /// What stands between now and `start` on the making's printer, in order, without a gap.
    fn holds(&self, rest: &Occupied, plate: &Plate, making: &Making, start: Minute) -> Vec<Hold> {
        let mut out: Vec<Hold> = Vec::new();
        let mut at = self.now;
        while at < start {
            let found = if at < plate.release {
                Some((Why::NotReleased, plate.release))
            } else {
                self.step(rest, plate, making, at)
                    .or_else(|| self.next_stay(making.printer, at))
            };
            let (why, until) = found
                .filter(|(_, until)| *until > at)
                .unwrap_or((Why::Rule, start));
            let until = until.min(start);
            match out.last_mut() {
                // The night after an evening that is too short is the same wait.
                Some(last) if last.why == Why::NobodyStays && why == Why::NobodyThere => {
                    last.until = until;
                }
                Some(last) if last.why == why => last.until = until,
                _ => out.push(Hold {
                    why,
                    from: at,
                    until,
                }),
            }
            at = until;
        }
        out
    }

    /// What keeps the plate from starting at `at`, and until when; `None` when nothing known does.
    fn step(
        &self,
        rest: &Occupied,
        plate: &Plate,
        making: &Making,
        at: Minute,
    ) -> Option<(Why, Minute)> {
        let printer = self.ground.printer(making.printer);
        let stand = self.ground.stand_at(making.printer, at);
        if at < stand.from {
            return Some((Why::OnItsWay, stand.from));
        }
        let Some(window) = window_from(&stand.staffed, at) else {
            let mut later = self.ground.stands(making.printer).iter();
            let next = later.find(|next| next.from > at)?;
            return Some((Why::OnItsWay, next.from));
        };
        if window.from > at {
            return Some((Why::NobodyThere, window.from));
        }
        let end = at + making.reserved;
        if !printer.unattended && end > window.until {
            return Some((Why::NobodyStays, window.until));
        }
        if let Some(free) = blocked_until(&printer.out_of_use, at, end) {
            return Some((Why::OutOfUse, free));
        }
        let cleared = staffed_from(&stand.staffed, end).unwrap_or(stand.until);
        let mut spans = rest.on(making.printer).iter();
        let Some(span) = spans.find(|span| span.start < cleared && at < span.cleared) else {
            return self.shared(
                rest,
                &Try {
                    printer: making.printer,
                    stand,
                    load: self.ground.load(plate, false),
                    now: self.now,
                    start: at,
                    cleared,
                },
            );
        };
        let why = if span.start <= at {
            Why::Taken(span.plate)
        } else {
            Why::TooShortBefore(span.plate)
        };
        Some((why, span.cleared))
    }

    /// The stay after the one at `at`.
    fn next_stay(&self, printer: PrinterIx, at: Minute) -> Option<(Why, Minute)> {
        let mut stands = self.ground.stands(printer).iter();
        let next = stands.find(|stand| stand.from > at)?;
        Some((Why::SoonerFromNext, next.from))
    }

    /// What plates share and there is not enough of.
    fn shared(&self, rest: &Occupied, tried: &Try<'_, '_>) -> Option<(Why, Minute)> {
        if staffed_from(&tried.stand.staffed, tried.start).is_none()
            || tried.cleared >= tried.stand.until
        {
            return Some((Why::OnItsWay, tried.stand.until));
        }
        let (limit, held) = which(self.ground, rest, tried)?;
        let why = match limit {
            Limit::Changing => Why::Changing,
            Limit::Hands => Why::NoHands,
            Limit::Filament => Why::NoFilament,
        };
        match held {
            Held::Until(until) => Some((why, until)),
            Held::Always | Held::No => Some((why, tried.stand.until)),
        }
    }
}

/// Why a slot is ready too late: the longest wait after the place's own start, if it starts later.
fn later(place: &Assignment, slot: Assignment, holds: &[Hold]) -> Verdict {
    let since = |hold: &&Hold| hold.until - hold.from.max(place.start);
    let longest = holds.iter().rev().max_by_key(since);
    match longest.filter(|_| slot.start > place.start) {
        Some(hold) => Verdict::StartsLater(slot, *hold),
        None => Verdict::TakesLonger(slot),
    }
}

/// The making of a plate on a printer.
fn making_on(plate: &Plate, printer: PrinterIx) -> Option<&Making> {
    plate.makings.iter().find(|m| m.printer == printer)
}

/// The plate as if only this printer could make it.
fn alone(plate: &Plate, making: &Making) -> Plate {
    Plate {
        makings: vec![*making],
        ..plate.clone()
    }
}
