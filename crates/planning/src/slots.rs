//! Where in the plan a plate could go: the earliest feasible slots, in gaps too.

use partpledge_planning_model::{Assignment, Making, Plate, PrinterIx};
use partpledge_units::time::Minute;

use crate::ground::{Ground, Load, Stand};
use crate::hunt::Hunt;
use crate::insert::Taken;
use crate::limits::{Held, Try, held};
use crate::timeline::{blocked_until, staffed_from, window_from};

/// The earliest feasible slots for `plate`, at most `most` on each printer and stay, best first: by
/// hand-over, clearing, end, printer, start.
///
/// A slot starts at a staffed minute not before the plate's release and `not_before`; it lies
/// inside one staffed window unless the printer may run unattended; it does not touch what is
/// occupied or out of use; the printer stays in one place for it; hands, filament and the time to
/// change material suffice, for it and for what comes after it; everything on it can be handed over
/// before the calendars end. The second and later slots on a
/// printer start in later windows.
#[must_use]
pub fn slots(
    ground: &Ground<'_>,
    taken: &impl Taken,
    plate: &Plate,
    not_before: Minute,
    most: usize,
) -> Vec<Assignment> {
    let mut out = Vec::new();
    for making in able(ground, plate) {
        for stand in ground.stands(making.printer) {
            let trial = Trial::new(ground, plate, making, stand, not_before);
            out.extend(trial.slots(taken, most));
        }
    }
    out.sort_by_key(order);
    out
}

/// The best of [`slots`].
#[must_use]
pub fn best_slot(
    ground: &Ground<'_>,
    taken: &impl Taken,
    plate: &Plate,
    not_before: Minute,
) -> Option<Assignment> {
    best_slot_of(ground, taken, (plate, able(ground, plate)), not_before)
}

/// As [`best_slot`], with the makings that can be done at all.
pub(crate) fn best_slot_of<'p>(
    ground: &Ground<'_>,
    taken: &impl Taken,
    (plate, makings): (&Plate, impl Iterator<Item = &'p Making>),
    not_before: Minute,
) -> Option<Assignment> {
    let mut hunt = Hunt::new(ground, plate);
    for making in makings {
        hunt.on(taken, plate, making, not_before);
    }
    hunt.best()
}

/// The best of [`slots`] with one making: the first of each stay is looked at.
pub(crate) fn earliest_on(
    ground: &Ground<'_>,
    taken: &impl Taken,
    plate: &Plate,
    making: &Making,
    not_before: Minute,
) -> Option<Assignment> {
    let mut hunt = Hunt::new(ground, plate);
    hunt.on(taken, plate, making, not_before);
    hunt.best()
}

/// As [`earliest_on`], for a printer that is free from `free` on, where people could change its material
/// before that. What it gives for one minute it gives for every later one until that slot starts.
pub(crate) fn earliest_once_free(
    ground: &Ground<'_>,
    taken: &impl Taken,
    (plate, making): (&Plate, &Making),
    (now, free): (Minute, Minute),
) -> Option<Assignment> {
    let stands = ground.stands(making.printer).iter();
    let found = stands.filter_map(|stand| {
        let trial = Trial::new(ground, plate, making, stand, now);
        trial.earliest(taken, trial.from.max(free), None)
    });
    found.min_by_key(order)
}

/// The makings that can be done at all.
pub(crate) fn able<'p>(ground: &Ground<'_>, plate: &'p Plate) -> impl Iterator<Item = &'p Making> {
    plate
        .makings
        .iter()
        .filter(|making| ground.takes(making, &plate.material))
}

/// The order in which slots are preferred.
pub(crate) fn order(a: &Assignment) -> (Minute, Minute, Minute, PrinterIx, Minute) {
    (a.arrives, a.cleared, a.end, a.printer, a.start)
}

/// A plate tried on a printer while it stands in one place.
#[derive(Clone, Copy)]
pub(crate) struct Trial<'t, 'a> {
    ground: &'t Ground<'a>,
    plate: &'t Plate,
    making: &'t Making,
    stand: &'t Stand<'a>,
    load: Load,
    /// People can do something from then on.
    now: Minute,
    /// It may start from then on.
    pub(crate) from: Minute,
}

impl<'t, 'a> Trial<'t, 'a> {
    pub(crate) fn new(
        ground: &'t Ground<'a>,
        plate: &'t Plate,
        making: &'t Making,
        stand: &'t Stand<'a>,
        now: Minute,
    ) -> Self {
        let load = ground.load(plate, false);
        Self::loaded((ground, load), (plate, making), stand, now)
    }

    /// As [`Trial::new`], knowing what the plate puts on a printer.
    pub(crate) fn loaded(
        (ground, load): (&'t Ground<'a>, Load),
        (plate, making): (&'t Plate, &'t Making),
        stand: &'t Stand<'a>,
        now: Minute,
    ) -> Self {
        Self {
            ground,
            plate,
            making,
            stand,
            load,
            now,
            from: plate.release.max(now),
        }
    }

    fn slots(&self, taken: &impl Taken, most: usize) -> Vec<Assignment> {
        let mut out = Vec::with_capacity(most);
        let mut from = self.from;
        while out.len() < most {
            let Some(found) = self.earliest(taken, from, None) else {
                break;
            };
            out.push(found);
            let Some(window) = window_from(&self.stand.staffed, found.start) else {
                break;
            };
            from = window.until;
        }
        out
    }

    /// The earliest feasible slot that starts at `from` or later and is off the bed by `latest`.
    pub(crate) fn earliest(
        &self,
        taken: &impl Taken,
        from: Minute,
        latest: Option<Minute>,
    ) -> Option<Assignment> {
        let (ground, making) = (self.ground, self.making);
        let printer = ground.printer(making.printer);
        let staffed = &*self.stand.staffed;
        if !printer.unattended && making.reserved > ground.longest_visit(making.printer) {
            return None;
        }
        let mut at = from;
        loop {
            let window = window_from(staffed, at)?;
            let start = window.from.max(at);
            let end = start + making.reserved;
            if !ground.within(end) || latest.is_some_and(|latest| end > latest) {
                return None;
            }
            if !printer.unattended && end > window.until {
                at = window.until;
                continue;
            }
            if let Some(free) = blocked_until(&printer.out_of_use, start, end) {
                at = free;
                continue;
            }
            let cleared = if end < window.until {
                end
            } else {
                staffed_from(staffed, end)?
            };
            if latest.is_some_and(|latest| cleared > latest) {
                return None;
            }
            if let Some(free) = taken.conflict(making.printer, start, cleared) {
                at = free;
                continue;
            }
            match self.held(taken, start, cleared) {
                Held::No => return self.assigned(start, end, cleared),
                Held::Until(later) => at = later,
                Held::Always => return None,
            }
        }
    }

    fn held(&self, taken: &impl Taken, start: Minute, cleared: Minute) -> Held {
        if !self.ground.limited() || !taken.counts() {
            return Held::No;
        }
        held(
            self.ground,
            taken,
            &Try {
                printer: self.making.printer,
                stand: self.stand,
                load: self.load,
                now: self.now,
                start,
                cleared,
            },
        )
    }

    fn assigned(&self, start: Minute, end: Minute, cleared: Minute) -> Option<Assignment> {
        let (ground, printer) = (self.ground, self.making.printer);
        let ready = ground.boxed(printer, start, cleared)?;
        let handed_over = |to| {
            let arrives = ground.arrival(self.stand.site, to, ready);
            arrives.filter(|&at| ground.within(at))
        };
        let arrives = handed_over(self.plate.to)?;
        let riders = &mut self.plate.riders.iter();
        riders
            .all(|rider| handed_over(rider.to).is_some())
            .then_some(Assignment {
                plate: self.plate.seq,
                printer,
                start,
                end,
                cleared,
                ready,
                arrives,
                frozen: false,
            })
    }
}
