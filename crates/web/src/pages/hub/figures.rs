//! A hub's figures of a week, and what moved them.

use askama::Template;
use jiff::Span;
use partpledge_hubs::moved::{OfPace, OfWork};
use partpledge_hubs::{Change, Share};
use partpledge_units::cast::round_i64;
use partpledge_units::time::Minutes;
use partpledge_words::{decimal, say};
use partpledge_workshop::Session;
use partpledge_workshop::hub::{Cause, HubFigures, HubWeek};

use crate::who::Head;
use crate::words;

/// One figure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct FigureRow {
    pub(crate) what: String,
    pub(crate) now: String,
    pub(crate) before: String,
    pub(crate) moved: String,
    /// What moved it, the strongest first.
    pub(crate) parts: Vec<(String, String)>,
}

/// The page.
#[derive(Template)]
#[template(path = "hub_figures.html")]
pub(crate) struct FiguresPage {
    pub(crate) head: Head,
    pub(crate) code: String,
    pub(crate) host: String,
    pub(crate) title: String,
    pub(crate) lead: String,
    /// Head of the column of the week.
    pub(crate) column: String,
    pub(crate) rows: Vec<FigureRow>,
    /// Whether anything that moved can be told.
    pub(crate) moved: bool,
    pub(crate) earlier: String,
    pub(crate) later: Option<String>,
}

impl FiguresPage {
    pub(crate) fn new(
        head: Head,
        session: &Session,
        (code, host): (&str, &str),
        figures: &HubFigures,
    ) -> Self {
        let zone = &session.terrain.zone;
        let url = |weeks: i64| {
            let monday = figures.monday.saturating_add(Span::new().days(7 * weeks));
            format!("/hubs/{code}/figures?week={monday}")
        };
        let week = zone.day(figures.now.from);
        let rows = rows(figures);
        Self {
            title: title(&figures.now, figures.so_far),
            column: if figures.so_far {
                say!("hub-this-week")
            } else {
                say!("hub-that-week")
            },
            lead: if figures.so_far {
                say!("hub-figures-lead-so-far", host = host, day = week)
            } else {
                say!("hub-figures-lead", host = host, day = week)
            },
            moved: rows.iter().any(|row| !row.parts.is_empty()),
            rows,
            earlier: url(-1),
            later: (!figures.so_far).then(|| url(1)),
            code: code.to_owned(),
            host: host.to_owned(),
            head,
        }
    }
}

/// The answer, as a heading.
fn title(week: &HubWeek, so_far: bool) -> String {
    match week.on_time.of() {
        0 if so_far => say!("hub-nothing-due-this-week"),
        0 => say!("hub-nothing-due-that-week"),
        of => say!("hub-figures-title", good = week.on_time.good, of = of),
    }
}

fn share<C: Ord>(share: &Share<C>) -> String {
    share.rate().map_or_else(
        || say!("hub-none"),
        |rate| {
            say!(
                "hub-share",
                good = share.good,
                of = share.of(),
                percent = decimal(100.0 * rate, 0)
            )
        },
    )
}

fn minutes(of: Option<f64>) -> String {
    let whole = of.and_then(round_i64);
    whole.map_or_else(|| say!("hub-none"), |min| words::length(Minutes(min)))
}

/// `+13`, `−4`, `0`; a true minus sign.
fn signed(much: f64, decimals: u8) -> String {
    let size = decimal(much.abs(), decimals).to_string();
    let nothing = size.chars().all(|c| matches!(c, '0' | '.' | ','));
    match (nothing, much < 0.0) {
        (true, _) => "0".to_owned(),
        (_, true) => format!("−{size}"),
        (_, false) => format!("+{size}"),
    }
}

fn points(much: f64) -> String {
    let much = signed(100.0 * much, 0);
    let n: i64 = much.trim_start_matches(['+', '−']).parse().unwrap_or(0);
    say!("hub-points", n = n, much = much)
}

fn in_minutes(much: f64) -> String {
    say!("hub-minutes", much = signed(much, 0))
}

fn in_copies(much: f64) -> String {
    say!("hub-copies", much = signed(much, 1))
}

fn moved<C>(
    change: Option<&Change<C>>,
    unit: fn(f64) -> String,
    says: impl Fn(&C) -> String,
) -> (String, Vec<(String, String)>) {
    let Some(change) = change else {
        return (say!("hub-not-told"), Vec::new());
    };
    // What would be said as nothing is not said.
    let parts = change
        .parts
        .iter()
        .filter(|part| unit(part.much) != unit(0.0));
    let parts = parts.map(|part| (says(&part.by), unit(part.much)));
    (unit(change.to - change.from), parts.collect())
}

fn of_pace(by: &OfPace<String>, plates: &str) -> String {
    match by {
        OfPace::Hours => say!("hub-pace-hours"),
        OfPace::Closed(reason) => say!("hub-pace-closed", reason = reason),
        OfPace::Plates => plates.to_owned(),
    }
}

fn of_work(by: OfWork) -> String {
    match by {
        OfWork::Printing => say!("hub-work-printing"),
        OfWork::Checking => say!("hub-work-checking"),
        OfWork::Waiting => say!("hub-work-waiting"),
    }
}

fn rows(figures: &HubFigures) -> Vec<FigureRow> {
    let (now, before) = (&figures.now, &figures.before);
    let row = |what, (is, was): (String, String), (moved, parts)| FigureRow {
        what,
        now: is,
        before: was,
        moved,
        parts,
    };
    let copies = |week: &HubWeek| say!("hub-copies", much = decimal(week.work.all(), 1));
    let (asked, done) = (say!("hub-pace-asked"), say!("hub-pace-done"));
    vec![
        row(
            say!("hub-figure-on-time"),
            (share(&now.on_time), share(&before.on_time)),
            moved(figures.on_time.as_ref(), points, Cause::words),
        ),
        row(
            say!("hub-figure-first-pass"),
            (share(&now.first_pass), share(&before.first_pass)),
            moved(figures.first_pass.as_ref(), points, Cause::words),
        ),
        row(
            say!("hub-figure-takt"),
            (
                minutes(now.pace.takt_min()),
                minutes(before.pace.takt_min()),
            ),
            moved(figures.takt.as_ref(), in_minutes, |by| of_pace(by, &asked)),
        ),
        row(
            say!("hub-figure-cycle"),
            (
                minutes(now.pace.cycle_min()),
                minutes(before.pace.cycle_min()),
            ),
            moved(figures.cycle.as_ref(), in_minutes, |by| of_pace(by, &done)),
        ),
        row(
            say!("hub-figure-work"),
            (copies(now), copies(before)),
            moved(Some(&figures.work), in_copies, |by| of_work(*by)),
        ),
        row(
            say!("hub-figure-through"),
            (minutes(now.through_min), minutes(before.through_min)),
            (String::new(), Vec::new()),
        ),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    #[test]
    fn figures_render_with_and_without_what_moved_them() {
        let row = |parts: usize| FigureRow {
            what: "On time in full".to_owned(),
            now: "8 of 10 (80 %)".to_owned(),
            before: AWKWARD.to_owned(),
            moved: "+13 points".to_owned(),
            parts: vec![(AWKWARD.to_owned(), "+13 points".to_owned()); parts],
        };
        for later in [None, Some("/hubs/x/figures?week=2027-03-08".to_owned())] {
            let page = FiguresPage {
                head: head(),
                code: "otterquay".to_owned(),
                host: AWKWARD.to_owned(),
                title: AWKWARD.to_owned(),
                lead: AWKWARD.to_owned(),
                column: "That week".to_owned(),
                moved: later.is_some(),
                rows: vec![row(0), row(2)],
                earlier: "/hubs/x/figures?week=2027-02-22".to_owned(),
                later,
            };
            sound(&page.render().unwrap());
        }
    }

    #[test]
    fn changes_are_said_with_a_sign_and_nothing_as_nothing() {
        assert_eq!(points(0.133), "+13 points");
        assert_eq!(points(-0.05), "−5 points");
        assert_eq!(points(-0.000_01), "0 points");
        assert_eq!([points(0.01), points(-0.01)], ["+1 point", "−1 point"]);
        assert_eq!(in_copies(0.04), "0 copies");
        assert_eq!(in_copies(-1.25), "−1.2 copies");
        let part = |by, much| partpledge_hubs::Part { by, much };
        let change = Change {
            from: 1.0,
            to: 3.04,
            parts: vec![part(OfWork::Waiting, 2.0), part(OfWork::Printing, 0.04)],
        };
        let (all, parts) = moved(Some(&change), in_copies, |by| of_work(*by));
        let waiting = "Boxed, waiting for its team".to_owned();
        assert_eq!(all, "+2.0 copies");
        assert_eq!(parts, [(waiting, "+2.0 copies".to_owned())]);
    }
}
