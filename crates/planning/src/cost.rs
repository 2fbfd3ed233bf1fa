//! What a plan costs: promises first, then what teams need and wait for, then quiet on the floor.

use std::ops::{Add, Sub};

use partpledge_planning_model::{Assignment, PlaceIx, Plate, PrinterIx, Wish};

use partpledge_units::time::Minute;

use crate::ground::Ground;

/// A plate without a place counts as this late against its promise: a year, more than any plan.
pub(crate) const NEVER_MIN: i64 = 525_600;
/// A plate that goes to another printer than before counts as this many minutes of a first part's
/// waiting: people have set out spools for it. Common practice, no source.
pub(crate) const OTHER_PRINTER_MIN: i64 = 240;
/// Waiting is counted in parts of a minute, so that a team's many plates still count for something.
const SHARES: i64 = 60;

/// What a plan costs; smaller is better, compared in this order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(crate) struct Cost {
    /// Promised plates that would nominally come too late or not at all.
    pub(crate) broken: i64,
    /// Minutes by which they come too late.
    pub(crate) late_min: i64,
    /// Plates without a place.
    pub(crate) unplaced: i64,
    /// Weighted minutes after the time by which a team needs it.
    pub(crate) tardy: i64,
    /// Waiting from release to hand-over, a team's first part before another's fifth, and moves
    /// to other printers than before.
    pub(crate) waits: i64,
    /// Minutes from release to hand-over, all alike.
    pub(crate) wait_min: i64,
    /// Energy, in watt-minutes.
    pub(crate) energy: i64,
}

macro_rules! by_field {
    ($trait:ident, $method:ident, $op:tt) => {
        impl $trait for Cost {
            type Output = Self;
            fn $method(self, rhs: Self) -> Self {
                Self {
                    broken: self.broken $op rhs.broken,
                    late_min: self.late_min $op rhs.late_min,
                    unplaced: self.unplaced $op rhs.unplaced,
                    tardy: self.tardy $op rhs.tardy,
                    waits: self.waits $op rhs.waits,
                    wait_min: self.wait_min $op rhs.wait_min,
                    energy: self.energy $op rhs.energy,
                }
            }
        }
    };
}

by_field!(Add, add, +);
by_field!(Sub, sub, -);

impl Cost {
    /// One number for a search that may get worse for a while: a minute late outweighs any wait that
    /// a season has, a broken promise a week of lateness. Derived here.
    pub(crate) fn scalar(self) -> f64 {
        let hard = 10_080 * self.broken + self.late_min + NEVER_MIN * self.unplaced;
        let soft = self.tardy as f64 * 1_000.0 + (self.waits + self.wait_min) as f64;
        hard as f64 * 1e7 + soft + self.energy as f64 * 1e-6
    }
}

/// What one plate costs at a place, or without one; `before` is the printer that it had.
pub(crate) fn cost(
    ground: &Ground<'_>,
    plate: &Plate,
    place: Option<&Assignment>,
    before: Option<PrinterIx>,
) -> Cost {
    let Some(place) = place else {
        let promised = i64::try_from(plate.promises().count()).unwrap_or(i64::MAX);
        return Cost {
            broken: promised,
            late_min: promised * NEVER_MIN,
            unplaced: 1,
            ..Cost::default()
        };
    };
    let moved = before.is_some_and(|before| before != place.printer);
    let (broken, late_min) = late(ground, plate, place);
    let whole = Cost {
        broken,
        late_min,
        waits: i64::from(moved) * OTHER_PRINTER_MIN * SHARES,
        energy: energy(ground, plate, place),
        ..Cost::default()
    };
    let riders = plate.riders.iter();
    let waits = riders.filter_map(|rider| {
        let arrives = there(ground, place, rider.to, plate)?;
        Some(waiting(plate, rider.wish, arrives))
    });
    waits.fold(whole + waiting(plate, plate.wish, place.arrives), Add::add)
}

/// What it costs that a team has to wait until then, and may need it sooner.
fn waiting(plate: &Plate, wish: Wish, arrives: Minute) -> Cost {
    let wait_min = (arrives - plate.release).0;
    let tardy = wish.need_by.map_or(0, |by| (arrives - by).0.max(0));
    Cost {
        tardy: tardy * i64::from(wish.weight),
        waits: wait_min * SHARES / (1 + i64::from(wish.turn)),
        wait_min,
        ..Cost::default()
    }
}

/// How many promises about a plate a place breaks, and by how many minutes in all.
pub(crate) fn late(ground: &Ground<'_>, plate: &Plate, place: &Assignment) -> (i64, i64) {
    let late = each_late(ground, plate, place).filter(|min| *min > 0);
    late.fold((0, 0), |(many, all), min| (many + 1, all + min))
}

/// By how many minutes a place breaks each promise about a plate, 0 for one that it keeps.
pub(crate) fn each_late(
    ground: &Ground<'_>,
    plate: &Plate,
    place: &Assignment,
) -> impl Iterator<Item = i64> {
    plate.promises().map(move |(to, promise)| {
        let late = there(ground, place, to, plate).map(|arrives| (arrives - promise.arrival).0);
        late.map_or(NEVER_MIN, |min| min.max(0))
    })
}

/// Whether a place keeps every promise about a plate.
#[must_use]
pub fn in_time(ground: &Ground<'_>, plate: &Plate, place: &Assignment) -> bool {
    late(ground, plate, place) == (0, 0)
}

/// When what a plate carries for `to` is handed over there.
fn there(ground: &Ground<'_>, place: &Assignment, to: PlaceIx, plate: &Plate) -> Option<Minute> {
    if to == plate.to {
        return Some(place.arrives);
    }
    let site = ground.stand_at(place.printer, place.start).site;
    ground.arrival(site, to, place.ready)
}

fn energy(ground: &Ground<'_>, plate: &Plate, place: &Assignment) -> i64 {
    let watts = i64::from(ground.printer(place.printer).watts);
    let made = plate.makings.iter().find(|m| m.printer == place.printer);
    made.map_or(0, |making| making.likely.0 * watts)
}
