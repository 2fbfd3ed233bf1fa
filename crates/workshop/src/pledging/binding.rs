//! The reasons that bind a quote: closed schools, a printer that travels, and when few printers can make
//! it, which room or plastic is short, till when.

use jiff::ToSpan;
use jiff::civil::Time;
use partpledge_catalogue::region::Closure;
use partpledge_planning::{Ground, Occupied, Reason, best_slot, slots};
use partpledge_planning_model::{Assignment, Plate, Printer, SiteIx};
use partpledge_records::Floor;
use partpledge_units::local::{Zone, parse_date};
use partpledge_units::time::{Minute, Minutes};
use partpledge_words::dates::Form;
use partpledge_words::{Said, Value, decimal, said};

use crate::session::Session;
use crate::terrain::Terrain;

/// A shorter wait is not worth a sentence.
const WORTH_SAYING: Minutes = Minutes(60);

/// What is short, and until when: `No bed over 220 mm is free, with somebody there, before Thu 11 Mar
/// 10:00.` Nothing when printers are not short, or one is free within the hour.
pub(super) fn short(
    session: &Session,
    floor: &Floor,
    (plate, reasons): (&Plate, &[Reason]),
) -> Option<(Said, Minute)> {
    let few = |reason: &Reason| matches!(reason, Reason::FewPrinters { .. });
    if !reasons.iter().any(few) {
        return None;
    }
    let terrain = &session.terrain;
    let ground = Ground::new(&terrain.region);
    let occupied = Occupied::by(&ground, &floor.plates, &floor.plan);
    let now = session.minute();
    let first = slots(&ground, &occupied, plate, now, 1);
    let start = first.iter().map(|slot| slot.start).min()?;
    if start - now < WORTH_SAYING {
        return None;
    }
    let at = terrain.zone.moment(start, Form::Short);
    Some((short_of(&ground, plate, &at), start))
}

/// A time in which nobody is there.
struct Shut {
    /// Which of those on record it is.
    which: Which,
    from: Minute,
    until: Minute,
    reason: String,
}

/// Where a closure is written down.
#[derive(Clone, Copy)]
enum Which {
    /// In the region's file, for all schools.
    All(usize),
    /// There too, for one host.
    Own(SiteIx, usize),
    /// Told later.
    Told(usize),
}

/// `Schools are closed from Sat 27 Mar to Mon 29 Mar (spring holiday).` Of what closes all schools between
/// now and its hand-over, or the one where it is made, the longest that holds it up: without that it could
/// be there an hour earlier at least.
pub(super) fn closed(
    session: &Session,
    floor: &Floor,
    (plate, last): (&Plate, &Assignment),
) -> Option<Said> {
    let terrain = &session.terrain;
    let printer = terrain.region.printers.get(last.printer.0)?;
    let here = printer.site_at(last.start);
    let found = shut(session, here);
    let mut between: Vec<Shut> = found
        .into_iter()
        .filter(|one| session.minute() < one.until && one.until <= last.arrives)
        .collect();
    let all = |one: &Shut| matches!(one.which, Which::All(_));
    between.sort_by_key(|one| (!all(one), one.from - one.until));
    let by = there_by(session, floor, (plate, terrain))?;
    let holds_up = |one: &Shut| {
        let open = without(session, one.which)?;
        let then = there_by(session, floor, (plate, &open))?;
        Some(then + WORTH_SAYING <= by)
    };
    let mut between = between.into_iter();
    let one = between.find(|one| holds_up(one) == Some(true))?;
    let (from, last_day) = (one.from, one.until - Minutes(1));
    Some(match one.which {
        Which::All(_) if terrain.zone.date(from) == terrain.zone.date(last_day) => said!(
            "reasons-all-closed-day",
            day = day(&terrain.zone, from),
            reason = one.reason
        ),
        Which::All(_) => said!(
            "reasons-all-closed",
            from = day(&terrain.zone, from),
            to = day(&terrain.zone, last_day),
            reason = one.reason
        ),
        Which::Own(..) | Which::Told(_) => said!(
            "reasons-host-closed",
            host = terrain.region.sites[here.0].name,
            from = terrain.zone.moment(from, Form::Short),
            until = terrain.zone.moment(one.until, Form::Short),
            reason = one.reason
        ),
    })
}

/// All that closes a site.
fn shut(session: &Session, here: SiteIx) -> Vec<Shut> {
    let terrain = &session.terrain;
    let Some(host) = terrain.file.hosts.get(here.0) else {
        return Vec::new();
    };
    let days = |which: Which, closure: &Closure| {
        let (from, until) = whole_days(&terrain.zone, closure)?;
        let reason = closure.reason.clone();
        Some(Shut {
            which,
            from,
            until,
            reason,
        })
    };
    let all = terrain.file.closures.iter().enumerate();
    let all = all.filter_map(|(n, closure)| days(Which::All(n), closure));
    let own = host.closures.iter().enumerate();
    let own = own.filter_map(|(n, closure)| days(Which::Own(here, n), closure));
    let told = terrain.closures.iter().enumerate();
    let told = told.filter(|(_, told)| told.schools.contains(&host.school));
    let told = told.map(|(n, told)| Shut {
        which: Which::Told(n),
        from: told.from,
        until: told.until,
        reason: told.reason.clone(),
    });
    all.chain(own).chain(told).collect()
}

/// The region as if one closure of it had never been.
fn without(session: &Session, which: Which) -> Option<Terrain> {
    let own = &session.terrain;
    let (mut file, mut told) = (own.file.clone(), own.closures.clone());
    match which {
        Which::All(n) => drop(file.closures.remove(n)),
        Which::Own(site, n) => drop(file.hosts.get_mut(site.0)?.closures.remove(n)),
        Which::Told(n) => drop(told.remove(n)),
    }
    let now = session.minute();
    let until = own.region.horizon.unwrap_or(now);
    let mut open = Terrain::covering(file, &session.catalogue, now, until).ok()?;
    open.shut(&told);
    open.take_out(&session.outages);
    open.stocked_like(own);
    Some(open)
}

/// When a plate could be there on that ground, beside all that is planned.
fn there_by(
    session: &Session,
    floor: &Floor,
    (plate, terrain): (&Plate, &Terrain),
) -> Option<Minute> {
    let ground = Ground::new(&terrain.region);
    let occupied = Occupied::by(&ground, &floor.plates, &floor.plan);
    best_slot(&ground, &occupied, plate, session.minute()).map(|slot| slot.arrives)
}

/// `Rail travels: it is at Dunmarrow Technical from Mon 29 Mar on.` Of a printer that is elsewhere, or on
/// its way, until it can make this.
pub(super) fn travels(session: &Session, last: &Assignment) -> Option<Said> {
    let terrain = &session.terrain;
    let printer = terrain.region.printers.get(last.printer.0)?;
    let mut stays = printer.stays.iter();
    let stay = stays.find(|stay| stay.from <= last.start && last.start < stay.until)?;
    (stay.from > session.minute()).then(|| {
        said!(
            "reasons-travels",
            printer = printer.name,
            host = terrain.region.sites[stay.site.0].name,
            from = day(&terrain.zone, stay.from)
        )
    })
}

/// Until when the calendars go, and what closes most of that time: why nothing is free at all.
pub(super) fn no_slot(session: &Session) -> Option<Said> {
    let terrain = &session.terrain;
    let (now, end) = (session.minute(), terrain.region.horizon?);
    let until = day(&terrain.zone, end);
    let shut = |closure: &Closure| {
        let (from, to) = whole_days(&terrain.zone, closure)?;
        let closed = to.min(end) - from.max(now);
        let most = 2 * closed.0 > (end - now).0;
        most.then(|| (from, to, closure.reason.clone()))
    };
    let shut = terrain.file.closures.iter().find_map(shut);
    Some(match shut {
        Some((from, to, reason)) => said!(
            "errors-no-slot-closed",
            from = day(&terrain.zone, from),
            to = day(&terrain.zone, to - Minutes(1)),
            reason = reason,
            until = until
        ),
        None => said!("errors-no-slot-until", until = until),
    })
}

/// From the first midnight of a closure to the one after its last day.
fn whole_days(zone: &Zone, closure: &Closure) -> Option<(Minute, Minute)> {
    let (from, to) = (
        parse_date(&closure.from).ok()?,
        parse_date(&closure.to).ok()?,
    );
    let after = to.checked_add(1.day()).unwrap_or(to);
    let midnight = |date| zone.minute(date, Time::midnight());
    Some((midnight(from), midnight(after)))
}

fn day(zone: &Zone, at: Minute) -> Value {
    zone.moment(at, Form::Day)
}

/// What is short before `at`: room on the bed, height, or the plastic.
fn short_of(ground: &Ground<'_>, plate: &Plate, at: &Value) -> Said {
    let makes = |printer: &Printer| {
        let mut makings = plate
            .makings
            .iter()
            .filter(|m| ground.takes(m, &plate.material));
        makings.any(|m| std::ptr::eq(ground.printer(m.printer), printer))
    };
    let takes = |p: &&Printer| p.materials.contains(&plate.material);
    let printers = || ground.region().printers.iter();
    let (able, small): (Vec<&Printer>, Vec<&Printer>) =
        printers().filter(takes).partition(|p| makes(p));
    let longest = |p: &&Printer| p.bed_mm[0].max(p.bed_mm[1]);
    let too_short = small.iter().map(longest).fold(0.0, f64::max);
    let others = || printers().filter(|p| !takes(p));
    if small.is_empty() {
        said!("reasons-no-plastic", material = plate.material, at = at)
    } else if able.iter().all(|p| longest(p) > too_short) {
        let mm = decimal(too_short, 0);
        if others().any(|p| longest(&p) > too_short) {
            let material = plate.material.as_str();
            said!("reasons-no-bed-of", mm = mm, material = material, at = at)
        } else {
            said!("reasons-no-bed", mm = mm, at = at)
        }
    } else {
        said!("reasons-no-room", at = at)
    }
}
