//! The reasons that bind a quote: closed schools, a printer that travels, and when few printers can make
//! it, which room or plastic is short, till when.

use jiff::ToSpan;
use jiff::civil::Time;
use partpledge_catalogue::region::Closure;
use partpledge_planning::{Ground, Occupied, Reason, slots};
use partpledge_planning_model::{Assignment, Plate, Printer};
use partpledge_records::Floor;
use partpledge_units::local::{Zone, parse_date};
use partpledge_units::time::{Minute, Minutes};
use partpledge_words::dates::Form;
use partpledge_words::{Said, Value, decimal, said};

use crate::session::Session;

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

/// `Schools are closed from Sat 27 Mar to Mon 29 Mar (spring holiday).` Of what closes all schools between
/// now and its hand-over, or the one where it is made before its start.
pub(super) fn closed(session: &Session, last: &Assignment) -> Option<Said> {
    let terrain = &session.terrain;
    let (now, start) = (session.minute(), last.start);
    let here = terrain.region.printers.get(last.printer.0)?.site_at(start);
    let host = terrain.file.hosts.get(here.0)?;
    let before = |closure: &Closure, by: Minute| {
        let (from, to) = whole_days(&terrain.zone, closure)?;
        (now < to && to <= by).then(|| (from, to, closure.reason.clone()))
    };
    let all = terrain.file.closures.iter();
    let all = all.filter_map(|closure| before(closure, last.arrives));
    let longest = |found: &(Minute, Minute, String)| found.1 - found.0;
    if let Some((from, to, reason)) = all.max_by_key(longest) {
        return Some(said!(
            "reasons-all-closed",
            from = day(&terrain.zone, from),
            to = day(&terrain.zone, to - Minutes(1)),
            reason = reason
        ));
    }
    let own = host.closures.iter();
    let own = own.filter_map(|closure| before(closure, start));
    let told = terrain.closures.iter().filter_map(|told| {
        let between = now < told.until && told.until <= start;
        let found = (told.from, told.until, told.reason.clone());
        (between && told.schools.contains(&host.school)).then_some(found)
    });
    let (from, until, reason) = own.chain(told).max_by_key(longest)?;
    Some(said!(
        "reasons-host-closed",
        host = terrain.region.sites[here.0].name,
        from = terrain.zone.moment(from, Form::Short),
        until = terrain.zone.moment(until, Form::Short),
        reason = reason
    ))
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
