//! Printer-hours of the next days: with somebody there, taken and free, by plastic and by size of
//! bed, and what is asked for that has not been started.

use std::collections::BTreeMap;

use partpledge_catalogue::class_says;
use partpledge_planning::Ground;
use partpledge_planning_model::{Assignment, Plate, PrinterIx, Window};
use partpledge_records::StepKind;
use partpledge_units::time::{Minute, Minutes};

use crate::books::Books;
use crate::session::Session;

/// One plastic or one kind of bed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// For people.
    pub name: String,
    /// Printers that take it.
    pub printers: usize,
    /// Time with somebody there and the printer in use, over those printers.
    pub staffed: Minutes,
    /// How much of that is taken by plates.
    pub taken: Minutes,
    /// How long the plates print that are asked for and not started. By plastic: all of that
    /// plastic. By bed: those for which a smaller bed will not do.
    pub asked: Minutes,
}

impl Line {
    /// What is left with somebody there.
    #[must_use]
    pub fn free(&self) -> Minutes {
        Minutes(self.staffed.0 - self.taken.0)
    }
}

/// The next days.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Capacity {
    /// From now until then.
    pub until: Minute,
    /// By plastic, in the catalogue's order. A printer that takes two counts in both.
    pub materials: Vec<Line>,
    /// By class of printer, smallest bed first.
    pub beds: Vec<Line>,
}

/// Counts the next `days` days.
///
/// # Source
/// Sums of the calendars and the plan; derived here.
#[must_use]
pub fn capacity(session: &Session, books: &Books, days: i64) -> Capacity {
    let now = session.minute();
    let until = now + Minutes(days * 1_440);
    let region = &session.terrain.region;
    let ground = Ground::new(region);
    let times: Vec<Times> = (0..region.printers.len())
        .map(|p| times(&ground, books, PrinterIx(p), (now, until)))
        .collect();
    let materials = session.catalogue.materials.iter().filter_map(|material| {
        let takes = |p: &usize| {
            let all_season = !session.terrain.is_at_a_meeting(PrinterIx(*p));
            all_season && region.printers[*p].materials.contains(&material.code)
        };
        let asked = waiting(session, books).filter(|plate| plate.material == material.code);
        let asked = asked.map(|plate| takes_min(books, plate)).sum();
        line(
            &material.code,
            (0..times.len()).filter(takes),
            &times,
            asked,
        )
    });
    Capacity {
        until,
        materials: materials.collect(),
        beds: beds(session, books, &times),
    }
}

/// One printer's time.
#[derive(Clone, Copy, Debug, Default)]
struct Times {
    staffed: i64,
    taken: i64,
}

fn line(
    name: &str,
    printers: impl Iterator<Item = usize>,
    times: &[Times],
    asked: i64,
) -> Option<Line> {
    let own: Vec<Times> = printers.map(|p| times[p]).collect();
    (!own.is_empty()).then(|| Line {
        name: name.to_owned(),
        printers: own.len(),
        staffed: Minutes(own.iter().map(|t| t.staffed).sum()),
        taken: Minutes(own.iter().map(|t| t.taken).sum()),
        asked: Minutes(asked),
    })
}

fn overlap(a: Window, from: Minute, until: Minute) -> i64 {
    (a.until.min(until).0 - a.from.max(from).0).max(0)
}

fn times(
    ground: &Ground<'_>,
    books: &Books,
    printer: PrinterIx,
    (now, until): (Minute, Minute),
) -> Times {
    let out_of_use = &ground.printer(printer).out_of_use;
    let stands = ground.stands(printer).iter();
    let staffed = stands.map(|stand| stand.staffed.without(out_of_use));
    let windows: Vec<Window> = staffed.flat_map(|w| w.as_slice().to_vec()).collect();
    let places: Vec<Assignment> = books.floor.plan.on(printer);
    let mut out = Times::default();
    for window in &windows {
        out.staffed += overlap(*window, now, until);
        let (from, end) = (window.from.max(now), window.until.min(until));
        let taken = places.iter().map(|place| {
            let span = Window {
                from: place.start,
                until: place.cleared,
            };
            overlap(span, from, end)
        });
        out.taken += taken.sum::<i64>();
    }
    out
}

/// Plates asked for and not started, but for spares: a bench at a meeting has its own day.
fn waiting<'a>(session: &'a Session, books: &'a Books) -> impl Iterator<Item = &'a Plate> {
    let plates = books.floor.plates.iter();
    let plates = plates.filter(|plate| session.terrain.spares_at(plate.to).is_none());
    plates.filter(|plate| books.step(plate.seq.0, StepKind::Started).is_none())
}

/// How long a plate prints where it is planned, or where it is quickest.
fn takes_min(books: &Books, plate: &Plate) -> i64 {
    let place = books.floor.plan.of(plate.seq);
    let planned = plate
        .makings
        .iter()
        .find(|m| place.is_some_and(|p| p.printer == m.printer));
    let quickest = || plate.makings.iter().min_by_key(|m| m.likely);
    planned.or_else(quickest).map_or(0, |m| m.likely.0)
}

fn beds(session: &Session, books: &Books, times: &[Times]) -> Vec<Line> {
    let terrain = &session.terrain;
    let ground = Ground::new(&terrain.region);
    let mut classes: Vec<_> = terrain
        .classes
        .iter()
        .filter_map(|code| session.catalogue.class(code))
        .collect();
    let area = |bed: [f64; 3]| bed[0] * bed[1];
    classes.sort_by(|a, b| {
        area(a.bed_mm)
            .total_cmp(&area(b.bed_mm))
            .then(a.code.cmp(&b.code))
    });
    classes.dedup_by(|a, b| a.code == b.code);
    let mut asked: BTreeMap<&str, i64> = BTreeMap::new();
    for plate in waiting(session, books) {
        let able = |code: &str| {
            let makings = plate.makings.iter();
            let mut able = makings.filter(|m| ground.takes(m, &plate.material));
            able.any(|m| terrain.classes[m.printer.0] == code)
        };
        if let Some(least) = classes.iter().find(|class| able(&class.code)) {
            *asked.entry(least.code.as_str()).or_default() += takes_min(books, plate);
        }
    }
    let one = |class: &&partpledge_catalogue::PrinterClass| {
        let of_it = |p: &usize| {
            terrain.classes[*p] == class.code && !terrain.is_at_a_meeting(PrinterIx(*p))
        };
        let [x, y, _] = class.bed_mm;
        let name = format!("{}, {x:.0} × {y:.0} mm", class_says(&class.name));
        let asked = asked.get(class.code.as_str()).copied().unwrap_or(0);
        line(&name, (0..times.len()).filter(of_it), times, asked)
    };
    classes.iter().filter_map(one).collect()
}
