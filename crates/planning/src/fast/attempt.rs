//! One attempt at a plate, all its luck at once: what the worlds throw is summed here.

use partpledge_planning_model::{Making, PlaceIx, Site, SiteIx};
use partpledge_units::cast::ceil_i64;
use partpledge_units::time::{Minute, Minutes};

use super::spread::{NEGLIGIBLE, Spread};
use crate::ground::{Ground, Leaving};
use crate::luck::FIRST_LAYERS_SHARE;
use crate::normal;
use crate::timeline::window_from;

/// A standard normal in 13 pieces: mass, and the value in the middle of it. Finer where it decides
/// whether a plan that keeps room for nine runs in ten holds. Derived here.
const NORMAL: [(f64, f64); 13] = [
    (0.250, -1.150_3),
    (0.250, -0.318_6),
    (0.200, 0.253_3),
    (0.100, 0.674_5),
    (0.060, 0.954_2),
    (0.040, 1.174_987),
    (0.030, 1.372_2),
    (0.025, 1.576_1),
    (0.015, 1.780_5),
    (0.010, 1.959_964),
    (0.010, 2.170_1),
    (0.006, 2.457_3),
    (0.004, 2.878_2),
];
/// The same in four pieces, for starts that are unlikely themselves.
const COARSE: [(f64, f64); 4] = [
    (0.5, -0.674_5),
    (0.3, 0.385_3),
    (0.15, 1.150_3),
    (0.05, 1.96),
];
/// Starts less likely than this are followed in coarse pieces.
const UNLIKELY: f64 = 0.05;
/// Where in a run a loss after the first layers is taken to come: its rate is constant.
const LOST_AT: [f64; 2] = [0.25, 0.75];
/// Visits and departures in a row that are followed; what is missed more often comes with the last.
const IN_A_ROW: usize = 3;

/// What may become of an attempt.
#[derive(Clone, Debug, Default)]
pub(crate) struct Attempt {
    /// When its copies are handed over, if they are good.
    pub(crate) handed_over: Spread,
    /// When somebody sees that they are not.
    pub(crate) lost: Spread,
}

/// Whether people and rounds may stay away.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Absence {
    /// With their chances.
    Feared,
    /// All come: for what several plates at one site have in common.
    LeftOut,
}

/// The windows in which somebody may come first, from `at` on, with the chance of each.
pub(crate) fn visits(
    site: &Site,
    at: Minute,
    absence: Absence,
) -> impl Iterator<Item = (Minute, f64)> + '_ {
    let feared = absence == Absence::Feared && site.no_show > 0.0;
    let staffed = site.staffed.as_slice();
    let first = staffed.partition_point(|window| window.until <= at);
    let most = if feared { IN_A_ROW } else { 1 };
    let mut left = 1.0;
    let coming = staffed[first..].iter().take(most).enumerate();
    coming.map(move |(i, window)| {
        let mass = if i + 1 == most {
            left
        } else {
            left * (1.0 - site.no_show)
        };
        left -= mass;
        (window.from.max(at), mass)
    })
}

/// How a run ends that has lasted `over` already: after how long, whether it is good, with the
/// chance of each.
///
/// The rules are those of [`crate::luck::run`].
fn ends(
    ground: &Ground<'_>,
    making: &Making,
    over: Minutes,
    pieces: &[(f64, f64)],
    mut each: impl FnMut(Minutes, bool, f64),
) {
    let printer = ground.printer(making.printer);
    let likely_min = making.likely.0 as f64;
    let length = |min: f64| Minutes(ceil_i64(min).unwrap_or(0).max(1));
    let sigma = printer.time_sigma;
    let over_min = over.0.max(0) as f64;
    // Pieces of what is left of the normal once the shorter runs are out of question.
    let under_way = over_min > 0.0 && sigma > 0.0;
    let left = if under_way {
        normal::above((over_min / likely_min).ln() / sigma)
    } else {
        1.0
    };
    let mut lost_later = 0.0;
    let begins = if under_way {
        1.0
    } else {
        1.0 - printer.start_failure
    };
    for &(mass, value) in pieces {
        let value = if left < 1.0 {
            normal::exceeded(left * normal::above(value))
        } else {
            value
        };
        let full_min = (likely_min * (sigma * value).exp()).max(over_min);
        let survives = (-printer.failures_per_hour * (full_min - over_min) / 60.0).exp();
        each(length(full_min), true, begins * mass * survives);
        lost_later += begins * mass * (1.0 - survives);
    }
    if !under_way && printer.start_failure > NEGLIGIBLE {
        let first_layers = length(likely_min * FIRST_LAYERS_SHARE);
        each(first_layers, false, printer.start_failure);
    }
    if lost_later > NEGLIGIBLE {
        for share in LOST_AT {
            let mass = lost_later / LOST_AT.len() as f64;
            let at_min = over_min + (likely_min - over_min).max(1.0) * share;
            each(length(at_min), false, mass);
        }
    }
}

/// When a plate started at one of these minutes is off the bed, good or not, knowing that it runs if
/// it was started before `now`.
pub(crate) fn cleared(
    ground: &Ground<'_>,
    making: &Making,
    starts: &Spread,
    (now, absence): (Minute, Absence),
    mut each: impl FnMut(Minute, bool, f64),
) {
    let printer = ground.printer(making.printer);
    for (start, begun) in starts.iter().filter(|(_, mass)| *mass > NEGLIGIBLE) {
        let site = ground.site_at(making.printer, start);
        let until = window_from(&site.staffed, start).map_or(start, |window| window.until);
        let pieces = if begun < UNLIKELY {
            &COARSE[..]
        } else {
            &NORMAL[..]
        };
        ends(ground, making, now - start, pieces, |length, good, mass| {
            let mass = mass * begun;
            let stopped = start + length;
            let cut = !printer.unattended && stopped > until;
            if stopped < until {
                each(stopped, good, mass);
                return;
            }
            let stopped = if cut { until } else { stopped };
            for (at, comes) in visits(site, stopped, absence) {
                each(at, good && !cut, mass * comes);
            }
        });
    }
}

/// What becomes of a plate started at one of these minutes.
pub(crate) fn attempt(
    ground: &Ground<'_>,
    making: &Making,
    to: PlaceIx,
    starts: &Spread,
    absence: Absence,
) -> Attempt {
    let begins = starts.iter().next().map_or(Minute(0), |(start, _)| start);
    let site_ix = ground.stand_at(making.printer, begins).site;
    let site = ground.site_at(making.printer, begins);
    let mut off = Spread::default();
    let mut out = Attempt::default();
    let known = (Minute(i64::MIN / 2), absence);
    cleared(ground, making, starts, known, |at, good, mass| {
        if good {
            off.add(at, mass);
        } else {
            out.lost.add(at, mass);
        }
    });
    for (at, mass) in off.iter().filter(|(_, mass)| *mass > NEGLIGIBLE) {
        boxed((site, absence), at, mass, |ready, mass| {
            let way = (site_ix, to);
            arrivals((ground, absence), way, ready, mass, &mut out.handed_over);
        });
    }
    out
}

/// When a box is ready.
fn boxed(
    (site, absence): (&Site, Absence),
    cleared: Minute,
    mass: f64,
    mut each: impl FnMut(Minute, f64),
) {
    let Some(window) = window_from(&site.staffed, cleared) else {
        return;
    };
    let begin = window.from.max(cleared);
    if window.until - begin >= site.boxing {
        each(begin + site.boxing, mass);
        return;
    }
    // The rest in the next visit; boxing is much shorter than any.
    let left = Minutes(site.boxing.0 - (window.until - begin).0);
    for (at, comes) in visits(site, window.until, absence) {
        each(at + left, mass * comes);
    }
}

/// When a box ready at `ready` is handed over.
fn arrivals(
    (ground, absence): (&Ground<'_>, Absence),
    (site, place): (SiteIx, PlaceIx),
    ready: Minute,
    mass: f64,
    out: &mut Spread,
) {
    let missable = ground.missable(site, place);
    let Some(leavings) = missable.filter(|_| absence == Absence::Feared) else {
        if let Some(arrives) = ground.arrival(site, place, ready) {
            out.add(arrives, mass);
        }
        return;
    };
    let first = leavings.partition_point(|leaving| leaving.leaves < ready);
    // Taken in order of leaving: one that leaves later and arrives sooner is rare (a meeting).
    let (mut left, mut behind) = (mass, (0.0, None));
    let mut best = Minute(i64::MAX);
    let mut rest = &leavings[first..];
    for _ in 0..2 * IN_A_ROW {
        let Some(one) = rest.first() else { break };
        // One departure may lead there by itself and over a relay too, the sooner way first.
        let same = rest.partition_point(|leaving| leaving.leaves == one.leaves);
        let (ways, later) = rest.split_at(same);
        rest = later;
        best = one.arrives;
        // Overtaken by one that leaves before this one arrives.
        if later.first().is_some_and(|next| next.arrives < one.arrives) {
            continue;
        }
        // What a relay has left behind tries again from here, but not with that very relay.
        if behind.1 != relay_of(one) {
            left += behind.0;
            behind.0 = 0.0;
        }
        let on_board = left * (1.0 - one.missed);
        left -= on_board;
        behind.0 += by_these(ways, on_board, out);
        behind.1 = ways.last().and_then(relay_of);
        if left + behind.0 < NEGLIGIBLE {
            return;
        }
    }
    if best < Minute(i64::MAX) {
        out.add(best, left + behind.0);
    }
}

/// The relay that a journey changes to, and which of its departures.
fn relay_of(leaving: &Leaving) -> Option<(PlaceIx, Minute)> {
    leaving.change.map(|change| (change.at, change.leaves))
}

/// Hands over what is on its way on one departure; what misses the last relay that it could go with
/// is given back: the worlds take it to wait for the next way from its host, too.
fn by_these(ways: &[Leaving], on_board: f64, out: &mut Spread) -> f64 {
    let mut waits = on_board;
    for way in ways {
        let taken = waits * (1.0 - way.relay_missed());
        out.add(way.arrives, taken);
        waits -= taken;
        if way.change.is_none() {
            return 0.0;
        }
    }
    waits
}
