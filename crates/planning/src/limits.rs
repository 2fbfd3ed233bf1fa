//! What many plates share: the hands of a site, its filament, and a printer's time to change it.

use partpledge_planning_model::{Assignment, PrinterIx, SiteIx};
use partpledge_units::time::{Minute, Minutes};

use crate::ground::{Filament, Ground, Load, Stand};
use crate::insert::{Occupied, Span, Taken};
use crate::timeline::{after_staffed, window_from};

/// Whether something holds a start back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Held {
    /// Nothing does.
    No,
    /// No start before then is possible where this one was tried.
    Until(Minute),
    /// No later start is possible either.
    Always,
}

/// A start to be judged; the printer is free from `start` until `cleared`, and there.
#[derive(Clone, Copy)]
pub(crate) struct Try<'t, 'a> {
    pub(crate) printer: PrinterIx,
    pub(crate) stand: &'t Stand<'a>,
    pub(crate) load: Load,
    /// People can do something from then on.
    pub(crate) now: Minute,
    pub(crate) start: Minute,
    pub(crate) cleared: Minute,
}

/// What holds a start back, if anything does. What it says is exact: every minute passed over is
/// impossible too.
pub(crate) fn held(ground: &Ground<'_>, taken: &impl Taken, tried: &Try<'_, '_>) -> Held {
    which(ground, taken, tried).map_or(Held::No, |(_, held)| held)
}

/// What plates share.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Limit {
    /// Time to change the material.
    Changing,
    /// Hands to start it.
    Hands,
    /// Filament on the shelf.
    Filament,
}

/// As [`held`], with the rule that holds it back.
pub(crate) fn which(
    ground: &Ground<'_>,
    taken: &impl Taken,
    tried: &Try<'_, '_>,
) -> Option<(Limit, Held)> {
    let changed = changing(ground, taken, tried);
    if changed != Held::No {
        return Some((Limit::Changing, changed));
    }
    let handed = hands(ground, taken, tried);
    if handed != Held::No {
        return Some((Limit::Hands, handed));
    }
    let short = filament(ground, taken, tried);
    (short != Held::No).then_some((Limit::Filament, short))
}

/// Between two plates of different material somebody needs `change` staffed minutes with the
/// printer idle.
fn changing(ground: &Ground<'_>, taken: &dyn Taken, tried: &Try<'_, '_>) -> Held {
    let printer = ground.printer(tried.printer);
    if printer.change <= Minutes(0) {
        return Held::No;
    }
    let [before, after] = taken.beside(tried.printer, tried.start);
    let loaded = printer.loaded.as_deref();
    let (there, idle) = before.map_or_else(
        || (loaded.and_then(|code| ground.filament(code)), tried.now),
        |span| (span.load.filament, span.cleared.max(tried.now)),
    );
    if differ(there, tried.load.filament) {
        match after_staffed(&tried.stand.staffed, idle, printer.change) {
            Some(changed) if changed > tried.start => return Held::Until(changed),
            Some(_) => {}
            None => return Held::Always,
        }
    }
    match after {
        Some(next) if !time_before(ground, tried, printer.change, &next) => {
            Held::Until(next.cleared.max(next.start + Minutes(1)))
        }
        _ => Held::No,
    }
}

/// Whether the next plate's material can be put in once the one tried is off.
fn time_before(ground: &Ground<'_>, tried: &Try<'_, '_>, change: Minutes, next: &Span) -> bool {
    let hours = &ground.stand_at(tried.printer, next.start).staffed;
    !differ(tried.load.filament, next.load.filament)
        || after_staffed(hours, tried.cleared, change).is_some_and(|at| at <= next.start)
}

fn differ(a: Option<Filament>, b: Option<Filament>) -> bool {
    a.zip(b).is_some_and(|(a, b)| a != b)
}

/// People start only so many plates in one staffed window.
fn hands(ground: &Ground<'_>, taken: &dyn Taken, tried: &Try<'_, '_>) -> Held {
    let site = &ground.region().sites[tried.stand.site.0];
    let Some(most) = site.starts_a_window else {
        return Held::No;
    };
    let Some(window) = window_from(&site.staffed, tried.start) else {
        return Held::Always;
    };
    let mut starts = 0_u32;
    each_at(ground, taken, tried.stand.site, window.until, &mut |span| {
        starts += u32::from(span.start >= window.from);
    });
    if starts < most {
        Held::No
    } else {
        Held::Until(window.until)
    }
}

/// Plates take filament when they are started; at no moment more than came by then.
fn filament(ground: &Ground<'_>, taken: &dyn Taken, tried: &Try<'_, '_>) -> Held {
    let stock = &ground.region().sites[tried.stand.site.0].stock;
    let mine = tried.load.filament;
    let comes = |code: &str| ground.filament(code) == mine;
    if mine.is_none() || !stock.iter().any(|item| comes(&item.material)) {
        return Held::No;
    }
    let there = |at: Minute| -> i64 {
        let come = stock
            .iter()
            .filter(|item| comes(&item.material) && item.from <= at);
        come.map(|item| item.grams).sum()
    };
    let mut used: Vec<(Minute, i64)> = vec![(tried.start, tried.load.grams)];
    each_at(
        ground,
        taken,
        tried.stand.site,
        Minute(i64::MAX),
        &mut |span| {
            if span.load.filament == mine {
                used.push((span.start, span.load.grams));
            }
        },
    );
    used.sort_unstable();
    let (mut sum, mut short_at) = (0, None);
    for (i, &(start, grams)) in used.iter().enumerate() {
        sum += grams;
        let last_then = used.get(i + 1).is_none_or(|next| next.0 > start);
        if start >= tried.start && last_then && sum > there(start) {
            short_at = Some(start);
        }
    }
    let Some(short_at) = short_at else {
        return Held::No;
    };
    // Use only grows, so it stays short until more comes.
    let more = stock
        .iter()
        .filter(|item| comes(&item.material) && item.from > short_at);
    let next = more.map(|item| item.from).min();
    next.map_or(Held::Always, Held::Until)
}

/// Shows each plate started at a site before `until`.
fn each_at(
    ground: &Ground<'_>,
    taken: &dyn Taken,
    site: SiteIx,
    until: Minute,
    see: &mut dyn FnMut(&Span),
) {
    for &printer in ground.at_site(site) {
        for stand in ground.stands(printer).iter().filter(|s| s.site == site) {
            let until = stand.until.min(until);
            taken.each(printer, stand.from, until, see);
        }
    }
}

/// Whether a place can be kept beside those that start before it. A change that a first plate needs
/// may be under way already, and is not asked for.
pub(crate) fn stands(
    ground: &Ground<'_>,
    taken: &Occupied,
    place: &Assignment,
    load: Load,
) -> bool {
    let stand = ground.stand_at(place.printer, place.start);
    let there = stand.from <= place.start && place.cleared <= stand.until;
    let tried = Try {
        printer: place.printer,
        stand,
        load,
        now: Minute(i64::MIN / 2),
        start: place.start,
        cleared: place.cleared,
    };
    there && (!ground.limited() || held(ground, taken, &tried) == Held::No)
}

/// Whether the plate that is started on the printer at `at` or next after it still finds its
/// material in time, once something before it is gone. What runs already does.
pub(crate) fn fits_between(
    ground: &Ground<'_>,
    taken: &impl Taken,
    printer: PrinterIx,
    at: Minute,
    now: Minute,
) -> bool {
    let change = ground.printer(printer).change;
    if change <= Minutes(0) {
        return true;
    }
    let [before, after] = taken.beside(printer, at);
    let Some(next) = after else { return true };
    let loaded = ground.printer(printer).loaded.as_deref();
    let there = before.map_or_else(
        || loaded.and_then(|code| ground.filament(code)),
        |span| span.load.filament,
    );
    let idle = before.map_or(now, |span| span.cleared.max(now));
    let hours = &ground.stand_at(printer, next.start).staffed;
    !differ(there, next.load.filament)
        || after_staffed(hours, idle, change).is_some_and(|changed| changed <= next.start)
}
