//! The next hours by printer: staffed hours plain, nights hatched, plates as boxes.

use partpledge_planning_model::{PrinterIx, SiteIx, Window};
use partpledge_records::{PlateState, StepKind};
use partpledge_units::time::{Minute, Minutes};
use partpledge_words::say;
use partpledge_workshop::{Books, Session};

/// How a drawing is laid out.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Form {
    /// Hours shown.
    pub(crate) hours: i64,
    /// Width of the hours, and what stands left of them.
    pub(crate) width: f64,
    pub(crate) left: f64,
    /// Height of a printer's row, of the name above it when there is no room beside, of a host's
    /// heading.
    pub(crate) row: f64,
    pub(crate) name: f64,
    pub(crate) host: f64,
    /// A host's hours stand beside its name, or below.
    pub(crate) beside: bool,
}

/// For wide pages.
pub(crate) const WIDE: Form = Form {
    hours: 48,
    width: 942.0,
    left: 178.0,
    row: 33.0,
    name: 0.0,
    host: 36.0,
    beside: true,
};
/// For narrow ones: half the time, names above their rows.
pub(crate) const NARROW: Form = Form {
    hours: 24,
    width: 330.0,
    left: 0.0,
    row: 33.0,
    name: 24.0,
    host: 52.0,
    beside: false,
};
/// Height of a box, and of the head with days and clock times.
const BOX: f64 = 22.0;
const HEAD: f64 = 40.0;
/// The clipped corner of a box.
const CLIP: f64 = 7.0;
/// Width of a figure of a plate's number, about.
const FIGURE: f64 = 8.5;

/// A drawing of hours.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Timeline {
    pub(crate) width: f64,
    pub(crate) height: f64,
    pub(crate) hosts: Vec<HostHead>,
    pub(crate) rows: Vec<Row>,
    pub(crate) marks: Vec<Mark>,
    pub(crate) days: Vec<(f64, String)>,
    pub(crate) now: f64,
    pub(crate) now_text: String,
    pub(crate) bottom: f64,
}

/// A host's heading.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct HostHead {
    pub(crate) y: f64,
    pub(crate) name: String,
    pub(crate) hours_x: f64,
    pub(crate) hours_y: f64,
    pub(crate) hours: String,
}

/// A printer's row.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Row {
    pub(crate) name: String,
    pub(crate) name_y: f64,
    pub(crate) alone: bool,
    pub(crate) base: f64,
    pub(crate) nights: Vec<(f64, f64)>,
    pub(crate) out: Vec<(f64, f64)>,
    pub(crate) top: f64,
    pub(crate) boxes: Vec<PlateBox>,
}

/// A plate on a row.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct PlateBox {
    pub(crate) path: String,
    pub(crate) went: Option<(f64, f64)>,
    pub(crate) risk: bool,
    pub(crate) failed: bool,
    pub(crate) label: String,
    pub(crate) label_x: f64,
    pub(crate) href: String,
}

/// A line at a clock time.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Mark {
    pub(crate) x: f64,
    pub(crate) text: String,
    pub(crate) anchor: &'static str,
    pub(crate) midnight: bool,
}

/// A plate in the table that says the same.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct TableRow {
    pub(crate) host: String,
    pub(crate) printer: String,
    pub(crate) plate: u64,
    pub(crate) what: String,
    pub(crate) from: String,
    pub(crate) until: String,
    pub(crate) state: String,
}

/// Plates whose pledge is at risk.
pub(crate) type AtRisk = std::collections::BTreeSet<u64>;

struct Scale<'a> {
    form: &'a Form,
    from: Minute,
}

impl Scale<'_> {
    fn until(&self) -> Minute {
        self.from + Minutes(self.form.hours * 60)
    }

    fn x(&self, at: Minute) -> f64 {
        let share = (at - self.from).0 as f64 / (self.form.hours * 60) as f64;
        round(self.form.left + self.form.width * share.clamp(0.0, 1.0))
    }

    fn shows(&self, from: Minute, until: Minute) -> bool {
        from < self.until() && until > self.from
    }
}

fn round(x: f64) -> f64 {
    (x * 10.0).round() / 10.0
}

/// The drawing for a form. It begins at the full hour before now.
pub(crate) fn timeline(
    session: &Session,
    books: &Books,
    at_risk: &AtRisk,
    form: &Form,
) -> Timeline {
    let now = session.minute();
    let scale = Scale {
        form,
        from: Minute(now.0.div_euclid(60) * 60),
    };
    let region = &session.terrain.region;
    let mut out = Timeline {
        width: form.left + form.width,
        now: scale.x(now),
        now_text: say!(
            "region-timeline-now",
            clock = session.terrain.zone.clock(now)
        ),
        ..Timeline::default()
    };
    let mut y = HEAD;
    for (s, site) in region.sites.iter().enumerate() {
        // A bench at a meeting is there on its day.
        let elsewhen = session.terrain.prints_spares(SiteIx(s));
        let mut windows = site.staffed.as_slice().iter();
        if elsewhen && !windows.any(|w| scale.shows(w.from, w.until)) {
            continue;
        }
        y += form.host;
        out.hosts.push(HostHead {
            y: if form.beside { y - 12.0 } else { y - 24.0 },
            name: site.name.clone(),
            hours_x: form.left,
            hours_y: if form.beside { y - 12.0 } else { y - 7.0 },
            hours: hours(session, site.staffed.as_slice(), &scale),
        });
        let here = region.printers.iter().enumerate();
        for (p, printer) in here.filter(|(_, printer)| printer.site_at(scale.from).0 == s) {
            y += form.name;
            let row = row(session, books, at_risk, &scale, PrinterIx(p), printer, y);
            out.rows.push(row);
            y += form.row;
        }
    }
    out.bottom = y + 13.0;
    out.height = out.bottom + 24.0;
    clock(session, &scale, &mut out);
    out
}

/// `people there Thu 08:15–17:30; Fri 09:00–13:00`: every day shown on which somebody is.
fn hours(session: &Session, staffed: &[Window], scale: &Scale<'_>) -> String {
    let zone = &session.terrain.zone;
    let mut days: Vec<(jiff::civil::Date, Vec<String>)> = Vec::new();
    let shown = staffed.iter().filter(|w| scale.shows(w.from, w.until));
    for window in shown {
        let text = format!("{}–{}", zone.clock(window.from), zone.clock(window.until));
        let date = zone.date(window.from);
        match days.last_mut().filter(|(day, _)| *day == date) {
            Some((_, seen)) => seen.push(text),
            None => days.push((date, vec![text])),
        }
    }
    let each = days.iter().map(|(date, seen)| {
        let day = zone.weekday(zone.minute(*date, jiff::civil::Time::midnight()));
        say!("dates-day-time", day = day, time = seen.join(", "))
    });
    let says = each.collect::<Vec<_>>().join("; ");
    if says.is_empty() {
        say!("region-timeline-nobody")
    } else if scale.form.beside {
        say!("region-timeline-staffed", hours = says)
    } else {
        says
    }
}

fn row(
    session: &Session,
    books: &Books,
    at_risk: &AtRisk,
    scale: &Scale<'_>,
    ix: PrinterIx,
    printer: &partpledge_planning_model::Printer,
    y: f64,
) -> Row {
    let staffed = session.terrain.region.sites[printer.site_at(scale.from).0]
        .staffed
        .as_slice();
    let mut nights = Vec::new();
    let mut from = scale.from;
    let shown = staffed.iter().filter(|w| scale.shows(w.from, w.until));
    for window in shown {
        nights.push((from, window.from));
        from = window.until;
    }
    nights.push((from, scale.until()));
    let span = |(from, until): (Minute, Minute)| {
        let x = scale.x(from);
        (x, round(scale.x(until) - x))
    };
    let wide = |(_, width): &(f64, f64)| *width > 0.5;
    let out = printer.out_of_use.as_slice().iter();
    let out = out.map(|w| span((w.from, w.until))).filter(wide);
    let mut boxes = past(session, books, scale, &printer.name, y);
    let planned = books.floor.plan.on(ix);
    let shown = planned.iter().filter(|p| scale.shows(p.start, p.end));
    boxes.extend(shown.map(|place| {
        let kept = books.plate(place.plate.0);
        let went = kept
            .is_some_and(|kept| books.runs(kept))
            .then(|| session.minute());
        let risk = at_risk.contains(&place.plate.0);
        plate_box(
            scale,
            y,
            place.plate.0,
            (place.start, place.end),
            went,
            risk,
        )
    }));
    Row {
        name: printer.name.clone(),
        name_y: if scale.form.beside { y + 16.0 } else { y - 7.0 },
        alone: printer.unattended,
        base: y + 25.5,
        nights: nights.into_iter().map(span).filter(wide).collect(),
        out: out.collect(),
        top: y,
        boxes,
    }
}

/// Plates that failed within the hours shown.
fn past(
    session: &Session,
    books: &Books,
    scale: &Scale<'_>,
    printer: &str,
    y: f64,
) -> Vec<PlateBox> {
    let failed = books
        .floor
        .steps
        .iter()
        .filter(|step| step.kind == StepKind::Failed && step.printer == printer);
    let shown = failed.filter_map(|step| {
        let start = books.step(step.plate, StepKind::Started)?;
        let (from, until) = (
            Minute::at_or_before(start.at),
            Minute::at_or_before(step.at),
        );
        scale
            .shows(from, until)
            .then_some((step.plate, from, until))
    });
    let _ = session;
    shown
        .map(|(seq, from, until)| {
            let (x, end) = (scale.x(from), scale.x(until).max(scale.x(from) + 12.0));
            let top = y + 2.0;
            let path = format!("M{x} {top}H{end}l-3 5 5 6-6 6 3 5H{x}");
            PlateBox {
                path,
                went: None,
                risk: false,
                failed: true,
                label: String::new(),
                label_x: x + 5.0,
                href: format!("/plates/{seq}"),
            }
        })
        .collect()
}

fn plate_box(
    scale: &Scale<'_>,
    y: f64,
    seq: u64,
    (start, end): (Minute, Minute),
    went: Option<Minute>,
    risk: bool,
) -> PlateBox {
    let (x, right) = (scale.x(start), scale.x(end));
    let width = (right - x).max(9.0);
    let (flat, top) = (round(width - CLIP), y + 2.0);
    let down = BOX - CLIP;
    let went = went.map(|now| (x + 0.8, round((scale.x(now) - x - 0.8).max(0.0))));
    let words = seq.to_string();
    let room = words.len() as f64 * FIGURE + 10.0;
    PlateBox {
        path: format!("M{x} {top}h{flat}l{CLIP} {CLIP}v{down}h-{width}z"),
        went,
        risk,
        failed: false,
        label: if width >= room { words } else { String::new() },
        label_x: x + 6.0,
        href: format!("/plates/{seq}"),
    }
}

/// Lines every six hours, days above.
fn clock(session: &Session, scale: &Scale<'_>, out: &mut Timeline) {
    let zone = &session.terrain.zone;
    let (first, last) = (scale.from, scale.until());
    out.days.push((scale.form.left, zone.day(first)));
    let mut at = first;
    while at <= last {
        let text = zone.clock(at);
        let six = matches!(text.as_str(), "00:00" | "06:00" | "12:00" | "18:00");
        let x = scale.x(at);
        if six {
            let near_end = x > out.width - 24.0;
            let near_start = x < scale.form.left + 24.0;
            out.marks.push(Mark {
                x,
                anchor: match (near_start, near_end) {
                    (true, _) => "start",
                    (_, true) => "end",
                    _ => "middle",
                },
                midnight: text == "00:00",
                text,
            });
            // The day's name needs room before the next and before the end.
            if zone.clock(at) == "00:00" && x < out.width - 90.0 {
                if out.days.len() == 1 && x < scale.form.left + 130.0 {
                    out.days.clear();
                }
                out.days.push((x + 4.0, zone.day(at)));
            }
        }
        at = at + Minutes(60);
    }
}

/// The table that says the same, by host, printer and time.
pub(crate) fn table(session: &Session, books: &Books, at_risk: &AtRisk) -> Vec<TableRow> {
    let region = &session.terrain.region;
    let zone = &session.terrain.zone;
    let now = session.minute();
    let until = now + Minutes(WIDE.hours * 60);
    let mut places: Vec<_> = books.floor.plan.assignments.iter().collect();
    places.retain(|place| place.start < until);
    places.sort_by_key(|place| {
        let site = region.printers[place.printer.0].site_at(place.start);
        (site, place.printer, place.start)
    });
    let row = |place: &&partpledge_planning_model::Assignment| {
        let kept = books.plate(place.plate.0)?;
        let runs = books.runs(kept);
        Some(TableRow {
            host: session
                .terrain
                .host_at(place.printer, place.start)
                .to_owned(),
            printer: region.printers[place.printer.0].name.clone(),
            plate: place.plate.0,
            what: kept.plate.label.clone(),
            from: crate::words::time(zone, place.start, now),
            until: crate::words::time(zone, place.end, now),
            state: match (at_risk.contains(&place.plate.0), runs) {
                (true, true) => say!("region-state-running-risk"),
                (true, false) => say!("region-state-risk"),
                (false, true) => say!("region-state-running"),
                _ if kept.state != PlateState::Open => say!("region-state-over"),
                _ => say!("region-state-planned"),
            },
        })
    };
    places.iter().filter_map(row).collect()
}
