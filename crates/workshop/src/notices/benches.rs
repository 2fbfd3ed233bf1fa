//! What a bench should know of its day: plates that came or went, programs and spools that are
//! wanting. No event says so by itself; the plan is held against what was told last.

use std::collections::{BTreeMap, BTreeSet};

use partpledge_planning::{Ground, lost_when_left};
use partpledge_planning_model::{Assignment, Plate, SiteIx};
use partpledge_records::{Before, Event, Spot, StepKind};
use partpledge_units::time::Minute;

use super::{News, Says, To};
use crate::books::Books;
use crate::happened::Happened;
use crate::plate_room;
use crate::session::Session;
use crate::spools::advice::{Wanted, advise};

/// A plate that waits to be started.
struct Waiting<'a> {
    plate: &'a Plate,
    place: Assignment,
    site: SiteIx,
    spot: Spot,
}

fn waiting<'a>(session: &Session, books: &'a Books) -> Vec<Waiting<'a>> {
    let terrain = &session.terrain;
    let plates = books.floor.plates.iter().filter_map(|plate| {
        let place = *books.floor.plan.of(plate.seq)?;
        if books.step(plate.seq.0, StepKind::Started).is_some() {
            return None;
        }
        let site = terrain.region.printers[place.printer.0].site_at(place.start);
        let host = terrain.file.hosts.get(site.0)?.school.clone();
        let day = terrain.zone.date(place.start).to_string();
        let spot = Spot { host, day };
        Some(Waiting {
            plate,
            place,
            site,
            spot,
        })
    });
    let mut plates: Vec<_> = plates.collect();
    plates.sort_by_key(|waits| (waits.place.start, waits.plate.seq));
    plates
}

/// What is to be told to each bench, and whose deed it was.
type ByHost = BTreeMap<String, Vec<(Says, Option<String>)>>;

/// What is to be told, and what was told then; `events` are those since.
pub(super) fn news(
    session: &Session,
    books: &Books,
    before: &Before,
    events: &[Event],
) -> (Vec<News>, Before) {
    let now = session.minute();
    let today = session.terrain.zone.date(now).to_string();
    let waits = waiting(session, books);
    let of_today: Vec<&Waiting<'_>> = waits.iter().filter(|w| w.spot.day == today).collect();
    let mut told = ByHost::new();
    for ((host, by), says) in moved(session, books, (before, events), &waits) {
        told.entry(host).or_default().push((says, by));
    }
    let asked = programs(session, books, before, &of_today, &mut told);
    let short = spools(session, before, &of_today, &mut told);
    let stops = stops(session, books, before, &mut told);
    let at = session.now;
    let each = told.into_iter().flat_map(|(host, all)| {
        all.into_iter().map(move |(says, by)| News {
            to: To::Bench(host.clone()),
            at,
            link: match says {
                Says::SpoolShort { .. } => format!("/spools/{host}"),
                _ => format!("/run-sheets/{host}"),
            },
            says,
            by,
        })
    });
    let spot = |waits: &Waiting<'_>| (waits.plate.seq.0, waits.spot.clone());
    let after = Before {
        spots: waits.iter().map(spot).collect(),
        asked,
        short,
        stops,
        late: before.late.clone(),
        undecided: before.undecided.clone(),
    };
    (each.collect(), after)
}

/// Whose deed it was that a plate came or went: whoever did something with that plate last, or all
/// that was done since then.
fn deed_of(events: &[Event], seq: u64) -> Option<String> {
    let named = |event: &&Event| Happened::read(event).plate == Some(seq);
    if let Some(event) = events.iter().rfind(named) {
        return Some(event.actor.clone());
    }
    let (first, rest) = events.split_first()?;
    let one = rest.iter().all(|event| event.actor == first.actor);
    one.then(|| first.actor.clone())
}

/// Plates that are on a bench for today and were not, or were and are not, by bench and by whose
/// deed that was. One that was started is no news.
fn moved(
    session: &Session,
    books: &Books,
    (before, events): (&Before, &[Event]),
    waits: &[Waiting<'_>],
) -> BTreeMap<(String, Option<String>), Says> {
    type Changes = (Vec<(u64, String, Minute)>, Vec<(u64, Option<Minute>)>);
    let today = session.terrain.zone.date(session.minute()).to_string();
    let mut by_host: BTreeMap<(String, Option<String>), Changes> = BTreeMap::new();
    for new in waits.iter().filter(|waits| waits.spot.day == today) {
        let seq = new.plate.seq.0;
        if before.spots.get(&seq) != Some(&new.spot) {
            let printer = printer_of(session, new).to_owned();
            let which = (new.spot.host.clone(), deed_of(events, seq));
            let (on, _) = by_host.entry(which).or_default();
            on.push((seq, printer, new.place.start));
        }
    }
    for (&seq, old) in before.spots.iter().filter(|(_, old)| old.day == today) {
        let now = waits.iter().find(|waits| waits.plate.seq.0 == seq);
        let stays = now.is_some_and(|now| now.spot == *old);
        if stays || books.step(seq, StepKind::Started).is_some() {
            continue;
        }
        let which = (old.host.clone(), deed_of(events, seq));
        let (_, off) = by_host.entry(which).or_default();
        off.push((seq, now.map(|now| now.place.start)));
    }
    let says = by_host.into_iter();
    says.map(|(which, (on, off))| (which, Says::Bench { on, off }))
        .collect()
}

fn printer_of<'a>(session: &'a Session, waits: &Waiting<'_>) -> &'a str {
    &session.terrain.region.printers[waits.place.printer.0].name
}

/// Plates of today without a program, once each, at benches that have given us programs before: to
/// others it is no want. Plates that were asked about.
fn programs(
    session: &Session,
    books: &Books,
    before: &Before,
    of_today: &[&Waiting<'_>],
    told: &mut ByHost,
) -> BTreeSet<u64> {
    let (terrain, now) = (&session.terrain, session.minute());
    let have: BTreeSet<u64> = books.floor.programs.iter().map(|one| one.plate).collect();
    let givers: BTreeSet<SiteIx> = have
        .iter()
        .filter_map(|plate| plate_room::printer_of(session, books, books.plate(*plate)?))
        .filter_map(|name| terrain.printer_of(&name))
        .map(|printer| terrain.region.printers[printer.0].site_at(now))
        .collect();
    let wanted = of_today
        .iter()
        .filter(|waits| givers.contains(&waits.site) && !have.contains(&waits.plate.seq.0));
    let (mut asked, mut new) = (BTreeSet::new(), BTreeMap::<String, Vec<_>>::new());
    for waits in wanted {
        let seq = waits.plate.seq.0;
        asked.insert(seq);
        if !before.asked.contains(&seq) {
            let of_host = new.entry(waits.spot.host.clone()).or_default();
            of_host.push((seq, waits.place.start));
        }
    }
    for (host, plates) in new {
        let says = Says::ProgramsWanted { plates };
        told.entry(host).or_default().push((says, None));
    }
    asked
}

/// Runs that won't be done when people leave and may not go on alone, once each; nobody is there to read it
/// after that. Those that were told.
fn stops(session: &Session, books: &Books, before: &Before, told: &mut ByHost) -> BTreeSet<u64> {
    let (terrain, now) = (&session.terrain, session.minute());
    let ground = Ground::new(&terrain.region);
    let mut stops = BTreeSet::new();
    for run in books.runs_now(terrain) {
        let at = lost_when_left(&ground, run.making, run.start);
        let Some(at) = at.filter(|at| now < *at) else {
            continue;
        };
        let seq = run.plate.seq.0;
        stops.insert(seq);
        let printer = &terrain.region.printers[run.printer.0];
        let host = terrain.file.hosts.get(printer.site_at(run.start).0);
        if let Some(host) = host.filter(|_| !before.stops.contains(&seq)) {
            let says = Says::StopBy {
                plate: seq,
                printer: printer.name.clone(),
                at,
            };
            told.entry(host.school.clone())
                .or_default()
                .push((says, None));
        }
    }
    stops
}

/// Plates of today for which no spool suffices, once each, where somebody counts spools. Plates
/// that were told.
fn spools(
    session: &Session,
    before: &Before,
    of_today: &[&Waiting<'_>],
    told: &mut ByHost,
) -> BTreeSet<u64> {
    let hosts: BTreeSet<&String> = of_today.iter().map(|waits| &waits.spot.host).collect();
    let mut short = BTreeSet::new();
    for host in hosts {
        let here = || of_today.iter().filter(|waits| waits.spot.host == *host);
        let wanted: Vec<Wanted<'_>> = here()
            .map(|waits| Wanted {
                plate: waits.plate.seq.0,
                material: &waits.plate.material,
                printer: printer_of(session, waits),
                plate_g: waits.plate.grams as f64,
            })
            .collect();
        let advice = advise(session, host, &wanted);
        for waits in here() {
            let seq = waits.plate.seq.0;
            let Some(found) = advice.get(&seq) else {
                continue;
            };
            if found.choices.iter().any(|choice| choice.suffices) {
                continue;
            }
            short.insert(seq);
            if before.short.contains(&seq) {
                continue;
            }
            let left = found.choices.iter().map(|choice| choice.left_g);
            let says = Says::SpoolShort {
                plate: seq,
                start: waits.place.start,
                material: waits.plate.material.clone(),
                needed_g: found.needed_g,
                most_g: left.reduce(f64::max),
            };
            told.entry(host.clone()).or_default().push((says, None));
        }
    }
    short
}
