//! The words of [`PlateWhy`](super::PlateWhy): made last, from data.

use partpledge_planning::explain::{Change, Explained, Hold, Keeping, Other, Verdict, Why};
use partpledge_planning_model::{Assignment, LegKind, Plate, PrinterIx, SiteIx};
use partpledge_units::time::{Minute, Minutes};

use super::{Missed, PlateWhy};
use crate::session::Session;
use crate::terrain::Terrain;

/// Shorter waits are not worth a sentence.
const WORTH_SAYING: Minutes = Minutes(15);

pub(super) fn why(
    session: &Session,
    (plate, missed): (&Plate, Option<Missed>),
    told: Option<&(&Assignment, Explained)>,
    keeping: &[Keeping],
) -> PlateWhy {
    let terrain = &session.terrain;
    let mut out = PlateWhy::default();
    if let Some((place, told)) = told {
        out.short = short(terrain, place, &told.holds);
        out.here = here(terrain, place, told);
        out.others = others(terrain, &told.others);
        out.student = student(terrain, place, told);
    } else {
        out.here.push("It has no place in the plan.".to_owned());
        out.student
            .push("It has no place in the plan yet.".to_owned());
    }
    if let Some(missed) = missed {
        out.late = Some(late(terrain, plate, missed));
        out.would_keep = keeping.iter().map(|k| keeps(terrain, k)).collect();
        out.student
            .extend(keeping.first().map(|k| asked(terrain, k)));
        if out.would_keep.is_empty() {
            let none = "No single change keeps the promise: we tried other places, other hours and other ways.";
            out.would_keep.push(none.to_owned());
        }
    }
    out
}

/// What was promised, and what comes of it; who it was promised to, where there are several.
fn late(terrain: &Terrain, plate: &Plate, missed: Missed) -> String {
    let at = terrain.zone.short(missed.by);
    let to = if plate.riders.is_empty() {
        String::new()
    } else {
        format!(" at {}", terrain.region.places[missed.to.0].name)
    };
    match missed.arrives {
        None => format!("It was promised for {at}{to} and has no place in the plan."),
        Some(arrives) => {
            let by = length(arrives - missed.by);
            format!("It was promised for {at}{to}. As planned it comes {by} late.")
        }
    }
}

fn name(terrain: &Terrain, printer: PrinterIx) -> &str {
    &terrain.region.printers[printer.0].name
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

/// `40 minutes`, `3 hours`, `2 days`: for reading, so rounded.
fn length(wait: Minutes) -> String {
    let (n, one, more) = match wait.0 {
        ..90 => (wait.0, "minute", "minutes"),
        90..2_880 => ((wait.0 + 30) / 60, "hour", "hours"),
        _ => ((wait.0 + 720) / 1_440, "day", "days"),
    };
    format!("{n} {}", if n == 1 { one } else { more })
}

/// What a wait is for, without its end.
fn cause(terrain: &Terrain, printer: PrinterIx, hold: &Hold) -> String {
    let host = terrain.host_at(printer, hold.from);
    match hold.why {
        Why::NotReleased => "its host needs time to prepare it".to_owned(),
        Why::NobodyThere => format!("nobody is there at {host}"),
        Why::NobodyStays => {
            "it would still print when people leave, and it may not run alone".to_owned()
        }
        Why::OutOfUse => "it is out of use".to_owned(),
        Why::Taken(plate) => format!("plate {} is on it", plate.0),
        Why::TooShortBefore(plate) => {
            format!("there is not enough time on it before plate {}", plate.0)
        }
        Why::Changing => "another filament must be put into it first".to_owned(),
        Why::NoHands => format!("the people at {host} have no hands left to start it"),
        Why::NoFilament => format!("{host} is short of this filament"),
        Why::OnItsWay => "it is on its way between hosts".to_owned(),
        Why::SoonerFromNext => "it comes sooner from where the printer goes next".to_owned(),
        Why::Rule => "it or its host is busy".to_owned(),
    }
}

/// One line for the bench: what it waits for last.
pub(super) fn short(terrain: &Terrain, place: &Assignment, holds: &[Hold]) -> String {
    let worth = holds
        .iter()
        .rev()
        .find(|h| h.until - h.from >= WORTH_SAYING);
    worth.map_or_else(String::new, |hold| {
        format!("Not earlier: {}.", named(terrain, place.printer, hold))
    })
}

/// The same where the printer has not been named just before.
fn named(terrain: &Terrain, printer: PrinterIx, hold: &Hold) -> String {
    let name = name(terrain, printer);
    match hold.why {
        Why::Taken(plate) => format!("plate {} is on {name}", plate.0),
        Why::TooShortBefore(plate) => {
            format!("{name} has not enough time before plate {}", plate.0)
        }
        Why::NobodyStays => {
            format!("it would still print when people leave, and {name} may not run alone")
        }
        Why::OutOfUse => format!("{name} is out of use"),
        Why::Changing => format!("another filament must be put into {name} first"),
        Why::OnItsWay => format!("{name} is on its way between hosts"),
        Why::SoonerFromNext => format!("it comes sooner from where {name} goes next"),
        Why::Rule => format!("{name} or its host is busy"),
        Why::NotReleased | Why::NobodyThere | Why::NoHands | Why::NoFilament => {
            cause(terrain, printer, hold)
        }
    }
}

fn here(terrain: &Terrain, place: &Assignment, told: &Explained) -> Vec<String> {
    let at = |minute| terrain.zone.short(minute);
    let (able, earlier) = (
        told.others.iter().filter(|other| other.able()).count(),
        told.others
            .iter()
            .any(|o| matches!(o.verdict, Verdict::Earlier(_))),
    );
    let printer = name(terrain, place.printer);
    let mut out = vec![match (able, earlier) {
        (0, _) => format!("Only {printer} can make it."),
        (_, true) => format!("It was put on {printer} when that was the earliest."),
        (1, _) => format!("One other printer could make it, but not earlier than {printer}."),
        (n, _) => format!("{n} other printers could make it, but none earlier than {printer}."),
    }];
    let worth = told
        .holds
        .iter()
        .filter(|h| h.until - h.from >= WORTH_SAYING);
    out.extend(worth.map(|hold| {
        let cause = capital(&named(terrain, place.printer, hold));
        format!("{cause}: until {}.", at(hold.until))
    }));
    if told.holds.is_empty() {
        out.push("It starts as soon as it can.".to_owned());
    }
    if place.cleared - place.end >= WORTH_SAYING {
        let (done, off) = (at(place.end), at(place.cleared));
        out.push(format!(
            "It is done by {done}; people come and take it off at {off}."
        ));
    }
    if place.arrives - place.ready >= WORTH_SAYING {
        let (ready, there) = (at(place.ready), at(place.arrives));
        out.push(format!(
            "Its box is ready {ready}; the next way there arrives {there}."
        ));
    }
    if let Some(room) = told.room {
        let room = at(room.start);
        out.push(format!(
            "Since it was planned, time has come free: it could start {room}."
        ));
    }
    out
}

/// Printers with the same reason stand together; those that can't make it at all come last.
fn others(terrain: &Terrain, others: &[Other]) -> Vec<String> {
    let mut groups: Vec<(String, Vec<&str>)> = Vec::new();
    let able = others.iter().filter(|other| other.able());
    let unable = others.iter().filter(|other| !other.able());
    for other in able.chain(unable) {
        let says = verdict(terrain, other);
        let name = name(terrain, other.printer);
        match groups.iter_mut().find(|(known, _)| *known == says) {
            Some((_, names)) => names.push(name),
            None => groups.push((says, vec![name])),
        }
    }
    let line = |(says, names): &(String, Vec<&str>)| format!("{}: {says}.", listed(names));
    groups.iter().map(line).collect()
}

/// `Heron, Teal and Curlew`.
fn listed(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [only] => (*only).to_owned(),
        [more @ .., last] => format!("{} and {last}", more.join(", ")),
    }
}

fn verdict(terrain: &Terrain, other: &Other) -> String {
    let at = |minute| terrain.zone.short(minute);
    match other.verdict {
        Verdict::NotThisMaterial => "not for this plastic".to_owned(),
        Verdict::TooSmall => "too small for it".to_owned(),
        Verdict::NobodyStaysSoLong { takes, longest } => format!(
            "may not run alone; it takes {}, and people stay {} at most",
            length(takes),
            length(longest)
        ),
        Verdict::NoSlot => "no time free, or no way there".to_owned(),
        Verdict::Earlier(slot) => format!("earlier by now: it would come {}", at(slot.arrives)),
        Verdict::SameTime(_) => "it would come at the same time".to_owned(),
        Verdict::LaterLeg(slot) => {
            format!(
                "the way from there is later; it would come {}",
                at(slot.arrives)
            )
        }
        Verdict::StartsLater(slot, hold) => format!(
            "{} until {}; it would come {}",
            cause(terrain, other.printer, &hold),
            at(hold.until),
            at(slot.arrives)
        ),
        Verdict::TakesLonger(slot) => {
            format!("it takes longer there and would come {}", at(slot.arrives))
        }
    }
}

/// For whoever waits for the part: where, what it waits for most, whether others are earlier.
fn student(terrain: &Terrain, place: &Assignment, told: &Explained) -> Vec<String> {
    let at = |minute| terrain.zone.short(minute);
    let (printer, host) = (
        name(terrain, place.printer),
        terrain.host_at(place.printer, place.start),
    );
    let mut out = Vec::new();
    let longest = told.holds.iter().rev().max_by_key(|h| h.until - h.from);
    let start = at(place.start);
    let waits = longest
        .filter(|h| h.until - h.from >= WORTH_SAYING)
        .map(|hold| match hold.why {
            Why::NotReleased => "they first get it ready".to_owned(),
            Why::NobodyThere => "nobody is there before".to_owned(),
            Why::NobodyStays => {
                "it would still be printing when people go home, and the printer may not run alone"
                    .to_owned()
            }
            Why::OutOfUse => "the printer is out of use before".to_owned(),
            Why::Taken(_) | Why::TooShortBefore(_) => {
                "other parts are printed before it".to_owned()
            }
            Why::Changing => "the filament has to be changed first".to_owned(),
            Why::NoHands => "the people there start other parts before".to_owned(),
            Why::NoFilament => "they wait for more filament".to_owned(),
            Why::OnItsWay => "the printer is on its way before".to_owned(),
            Why::SoonerFromNext => "it comes sooner from where the printer goes next".to_owned(),
            Why::Rule => "the printer or its people are busy before".to_owned(),
        });
    out.push(waits.map_or_else(
        || format!("It starts on {printer} at {host}, {start}."),
        |waits| format!("It starts on {printer} at {host}, {start}: {waits}."),
    ));
    if place.arrives - place.ready >= WORTH_SAYING {
        out.push(format!(
            "Then it waits for its way to you, from {}.",
            at(place.ready)
        ));
    }
    let able = told.others.iter().filter(|other| other.able()).count();
    let earlier = told
        .others
        .iter()
        .any(|o| matches!(o.verdict, Verdict::Earlier(_)));
    out.push(match (able, earlier) {
        (0, _) => "No other printer here can make it.".to_owned(),
        (_, true) => "Another printer has come free since; the next plan may use it.".to_owned(),
        _ => "No other printer would have it there earlier.".to_owned(),
    });
    out
}

/// What would have to change, for whoever waits for the part.
fn asked(terrain: &Terrain, keeping: &Keeping) -> String {
    let site = |site: SiteIx| &terrain.region.sites[site.0].name;
    let at = |minute| terrain.zone.short(minute);
    let what = match &keeping.change {
        Change::OtherPlace => "it has to go to another time or printer, which is free".to_owned(),
        Change::MovePlate(_) => {
            "another part has to make room, and would still be in time itself".to_owned()
        }
        Change::LegLater {
            from, leaves, by, ..
        } => format!(
            "the box’s ride from {} on {} has to wait {}",
            site(*from),
            at(*leaves),
            length(*by)
        ),
        Change::HourMore {
            site: at_site,
            hour,
        } => format!(
            "somebody has to be at {} an hour more, from {}",
            site(*at_site),
            at(hour.from)
        ),
        Change::PrinterBack(printer) => format!("{} has to work again", name(terrain, *printer)),
        Change::RunAlone(printer) => format!(
            "{} has to be allowed to run alone, which only its school can decide",
            name(terrain, *printer)
        ),
        Change::MoveSeveral(_) => "several other parts have to change places".to_owned(),
    };
    format!("It is planned later than promised. To keep the promise, {what}.")
}

/// What would be different, and when it would come then.
fn keeps(terrain: &Terrain, keeping: &Keeping) -> String {
    let at = |minute: Minute| terrain.zone.short(minute);
    let slot = &keeping.slot;
    let printer = name(terrain, slot.printer);
    let there = format!("it would come {}", at(slot.arrives));
    match &keeping.change {
        Change::OtherPlace => format!(
            "Move it to {printer} at {}, {}: {there}. No other plate moves.",
            terrain.host_at(slot.printer, slot.start),
            at(slot.start)
        ),
        Change::MovePlate(to) => format!(
            "Move plate {} to {}, {}: then this one goes to {printer}, {}, and {there}. The promise of plate {} is not hurt.",
            to.plate.0,
            name(terrain, to.printer),
            at(to.start),
            at(slot.start),
            to.plate.0
        ),
        Change::LegLater {
            from,
            kind,
            leaves,
            by,
        } => {
            let what = match kind {
                LegKind::Counter => "hand-over",
                LegKind::Courier => "courier round",
                LegKind::Meeting => "box for the meeting",
            };
            let site = &terrain.region.sites[from.0].name;
            format!(
                "If the {what} from {site} on {} waits {}: {there}.",
                at(*leaves),
                length(*by)
            )
        }
        Change::HourMore { site, hour } => format!(
            "If somebody is at {} from {} to {}: {there}.",
            terrain.region.sites[site.0].name,
            at(hour.from),
            terrain.zone.clock(hour.until)
        ),
        Change::PrinterBack(back) => {
            format!(
                "If {} can be used again now: {there}.",
                name(terrain, *back)
            )
        }
        Change::RunAlone(alone) => format!(
            "If {} were allowed to run alone, which only its school can decide: {there}.",
            name(terrain, *alone)
        ),
        Change::MoveSeveral(plates) => {
            let n = plates.len();
            let plates = if n == 1 { "plate moves" } else { "plates move" };
            format!("If {n} other {plates}: {there}. No promise that holds is hurt.")
        }
    }
}
