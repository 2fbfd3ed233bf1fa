//! The words of [`PlateWhy`](super::PlateWhy): made last, from data.

use partpledge_planning::explain::{Change, Explained, Hold, Keeping, Other, Verdict, Why};
use partpledge_planning_model::{Assignment, Plate, PrinterIx, SiteIx};
use partpledge_units::time::{Minute, Minutes};
use partpledge_words::say;

use super::{Missed, PlateWhy};
use crate::session::Session;
use crate::terrain::{Terrain, place_says};

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
        out.here.push(say!("why-no-place"));
        out.student.push(say!("why-no-place-yet"));
    }
    if let Some(missed) = missed {
        out.late = Some(late(terrain, plate, missed));
        out.would_keep = keeping.iter().map(|k| keeps(terrain, k)).collect();
        out.student
            .extend(keeping.first().map(|k| asked(terrain, k)));
        if out.would_keep.is_empty() {
            out.would_keep.push(say!("why-no-single-change"));
        }
    }
    out
}

/// What was promised, and what comes of it; who it was promised to, where there are several.
fn late(terrain: &Terrain, plate: &Plate, missed: Missed) -> String {
    let at = terrain.zone.short(missed.by);
    let place = place_says(&terrain.region.places[missed.to.0].name);
    let by = missed.arrives.map(|arrives| length(arrives - missed.by));
    match (plate.riders.is_empty(), by) {
        (true, None) => say!("why-late-nowhere", at = at),
        (false, None) => say!("why-late-nowhere-at", at = at, place = place),
        (true, Some(by)) => say!("why-late", at = at, by = by),
        (false, Some(by)) => say!("why-late-at", at = at, place = place, by = by),
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
    match wait.0 {
        ..90 => say!("numbers-minutes", n = wait.0),
        90..2_880 => say!("numbers-hours", n = (wait.0 + 30) / 60),
        _ => say!("numbers-days", n = (wait.0 + 720) / 1_440),
    }
}

/// What a wait is for, without its end.
fn cause(terrain: &Terrain, printer: PrinterIx, hold: &Hold) -> String {
    let host = terrain.host_at(printer, hold.from);
    match hold.why {
        Why::NotReleased => say!("why-cause-not-released"),
        Why::NobodyThere => say!("why-cause-nobody", host = host),
        Why::NobodyStays => say!("why-cause-nobody-stays"),
        Why::OutOfUse => say!("why-cause-out"),
        Why::Taken(plate) => say!("why-cause-taken", plate = plate.0),
        Why::TooShortBefore(plate) => say!("why-cause-too-short", plate = plate.0),
        Why::Changing => say!("why-cause-changing"),
        Why::NoHands => say!("why-cause-no-hands", host = host),
        Why::NoFilament => say!("why-cause-no-filament", host = host),
        Why::OnItsWay => say!("why-cause-on-its-way"),
        Why::SoonerFromNext => say!("why-cause-sooner"),
        Why::Rule => say!("why-cause-rule"),
    }
}

/// One line for the bench: what it waits for last.
pub(super) fn short(terrain: &Terrain, place: &Assignment, holds: &[Hold]) -> String {
    let worth = holds
        .iter()
        .rev()
        .find(|h| h.until - h.from >= WORTH_SAYING);
    worth.map_or_else(String::new, |hold| {
        let cause = named(terrain, place.printer, hold);
        say!("why-not-earlier", cause = cause)
    })
}

/// The same where the printer has not been named just before.
fn named(terrain: &Terrain, printer: PrinterIx, hold: &Hold) -> String {
    let name = name(terrain, printer);
    match hold.why {
        Why::Taken(plate) => say!("why-named-taken", plate = plate.0, printer = name),
        Why::TooShortBefore(plate) => {
            say!("why-named-too-short", printer = name, plate = plate.0)
        }
        Why::NobodyStays => say!("why-named-nobody-stays", printer = name),
        Why::OutOfUse => say!("why-named-out", printer = name),
        Why::Changing => say!("why-named-changing", printer = name),
        Why::OnItsWay => say!("why-named-on-its-way", printer = name),
        Why::SoonerFromNext => say!("why-named-sooner", printer = name),
        Why::Rule => say!("why-named-rule", printer = name),
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
        (0, _) => say!("why-only", printer = printer),
        (_, true) => say!("why-was-earliest", printer = printer),
        (n, false) => say!("why-others-not-earlier", n = n, printer = printer),
    }];
    let worth = told
        .holds
        .iter()
        .filter(|h| h.until - h.from >= WORTH_SAYING);
    out.extend(worth.map(|hold| {
        let cause = capital(&named(terrain, place.printer, hold));
        say!("why-until", cause = cause, at = at(hold.until))
    }));
    if told.holds.is_empty() {
        out.push(say!("why-as-soon-as-it-can"));
    }
    if place.cleared - place.end >= WORTH_SAYING {
        let (done, off) = (at(place.end), at(place.cleared));
        out.push(say!("why-taken-off", done = done, off = off));
    }
    if place.arrives - place.ready >= WORTH_SAYING {
        let (ready, there) = (at(place.ready), at(place.arrives));
        out.push(say!("why-box-waits", ready = ready, there = there));
    }
    if let Some(room) = told.room {
        out.push(say!("why-came-free", at = at(room.start)));
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
        [more @ .., last] => say!("common-and", before = more.join(", "), last = *last),
    }
}

fn verdict(terrain: &Terrain, other: &Other) -> String {
    let at = |minute| terrain.zone.short(minute);
    match other.verdict {
        Verdict::NotThisMaterial => say!("why-verdict-material"),
        Verdict::TooSmall => say!("why-verdict-small"),
        Verdict::ForOthers
            if terrain.prints_spares(terrain.region.printers[other.printer.0].site) =>
        {
            say!("why-verdict-spares")
        }
        Verdict::ForOthers => say!("why-verdict-for-others"),
        Verdict::NobodyStaysSoLong { takes, longest } => {
            // Rounded, a little too long may read as just long enough.
            let exact = length(takes) == length(longest);
            let says = |wait: Minutes| {
                if exact {
                    wait.to_string()
                } else {
                    length(wait)
                }
            };
            say!(
                "why-verdict-nobody-stays",
                takes = says(takes),
                longest = says(longest)
            )
        }
        Verdict::NoSlot => say!("why-verdict-no-slot"),
        Verdict::Earlier(slot) => say!("why-verdict-earlier", at = at(slot.arrives)),
        Verdict::SameTime(_) => say!("why-verdict-same"),
        Verdict::LaterLeg(slot) => say!("why-verdict-later-leg", at = at(slot.arrives)),
        Verdict::StartsLater(slot, hold) => say!(
            "why-verdict-starts-later",
            cause = cause(terrain, other.printer, &hold),
            until = at(hold.until),
            at = at(slot.arrives)
        ),
        Verdict::TakesLonger(slot) => say!("why-verdict-longer", at = at(slot.arrives)),
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
            Why::NotReleased => say!("why-waits-ready"),
            Why::NobodyThere => say!("why-waits-nobody"),
            Why::NobodyStays => say!("why-waits-nobody-stays"),
            Why::OutOfUse => say!("why-waits-out"),
            Why::Taken(_) | Why::TooShortBefore(_) => say!("why-waits-others"),
            Why::Changing => say!("why-waits-changing"),
            Why::NoHands => say!("why-waits-no-hands"),
            Why::NoFilament => say!("why-waits-filament"),
            Why::OnItsWay => say!("why-waits-on-its-way"),
            Why::SoonerFromNext => say!("why-cause-sooner"),
            Why::Rule => say!("why-waits-rule"),
        });
    out.push(match waits {
        None => say!("why-starts", printer = printer, host = host, at = start),
        Some(waits) => say!(
            "why-starts-because",
            printer = printer,
            host = host,
            at = start,
            because = waits
        ),
    });
    if place.arrives - place.ready >= WORTH_SAYING {
        out.push(say!("why-then-waits", at = at(place.ready)));
    }
    let able = told.others.iter().filter(|other| other.able()).count();
    let earlier = told
        .others
        .iter()
        .any(|o| matches!(o.verdict, Verdict::Earlier(_)));
    out.push(match (able, earlier) {
        (0, _) => say!("why-no-other-can"),
        (_, true) => say!("why-other-came-free"),
        _ => say!("why-none-earlier"),
    });
    out
}

/// What would have to change, for whoever waits for the part.
fn asked(terrain: &Terrain, keeping: &Keeping) -> String {
    let site = |site: SiteIx| &terrain.region.sites[site.0].name;
    let at = |minute| terrain.zone.short(minute);
    match &keeping.change {
        Change::OtherPlace => say!("why-asked-other-place"),
        Change::MovePlate(_) => say!("why-asked-make-room"),
        Change::LegLater {
            from, leaves, by, ..
        } => say!(
            "why-asked-ride-waits",
            from = site(*from),
            at = at(*leaves),
            by = length(*by)
        ),
        Change::HourMore {
            site: at_site,
            hour,
        } => say!(
            "why-asked-hour-more",
            place = site(*at_site),
            at = at(hour.from)
        ),
        Change::PrinterBack(printer) => {
            say!("why-asked-printer-back", printer = name(terrain, *printer))
        }
        Change::RunAlone(printer) => {
            say!("why-asked-run-alone", printer = name(terrain, *printer))
        }
        Change::MoveSeveral(_) => say!("why-asked-several"),
    }
}

/// What would be different, and when it would come then.
fn keeps(terrain: &Terrain, keeping: &Keeping) -> String {
    let at = |minute: Minute| terrain.zone.short(minute);
    let slot = &keeping.slot;
    let printer = name(terrain, slot.printer);
    let comes = at(slot.arrives);
    match &keeping.change {
        Change::OtherPlace => say!(
            "why-keeps-other-place",
            printer = printer,
            host = terrain.host_at(slot.printer, slot.start),
            at = at(slot.start),
            comes = comes
        ),
        Change::MovePlate(to) => say!(
            "why-keeps-move-plate",
            plate = to.plate.0,
            to = name(terrain, to.printer),
            then = at(to.start),
            printer = printer,
            at = at(slot.start),
            comes = comes
        ),
        Change::LegLater {
            from,
            kind,
            leaves,
            by,
        } => {
            say!(
                "why-keeps-leg-waits",
                kind = kind.word(),
                from = terrain.region.sites[from.0].name,
                at = at(*leaves),
                by = length(*by),
                comes = comes
            )
        }
        Change::HourMore { site, hour } => say!(
            "why-keeps-hour-more",
            place = terrain.region.sites[site.0].name,
            from = at(hour.from),
            until = terrain.zone.clock(hour.until),
            comes = comes
        ),
        Change::PrinterBack(back) => say!(
            "why-keeps-printer-back",
            printer = name(terrain, *back),
            comes = comes
        ),
        Change::RunAlone(alone) => say!(
            "why-keeps-run-alone",
            printer = name(terrain, *alone),
            comes = comes
        ),
        Change::MoveSeveral(plates) => {
            say!("why-keeps-several", n = plates.len(), comes = comes)
        }
    }
}
