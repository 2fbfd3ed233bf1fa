//! The coordinator's page: promises at risk, each with a decision; the next 48 hours.

use askama::Template;
use partpledge_units::time::Minutes;
use partpledge_workshop::capacity::{Line, capacity};
use partpledge_workshop::risks::{Cause, Choice, Risk};
use partpledge_workshop::{Books, Session};

use crate::figures::timeline::{TableRow, Timeline};
use crate::figures::{Stroke, tally};
use crate::pages::machines::MachineLine;
use crate::pages::printers::Printers;
use crate::pages::recalls::RecallRow;
use crate::pages::what_if::Asks;
use crate::who::Head;
use crate::words;

/// A promise at risk.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct RiskLine {
    pub(crate) n: usize,
    pub(crate) number: i64,
    pub(crate) who: String,
    pub(crate) says: String,
    pub(crate) now_ten: i64,
    pub(crate) now_strokes: Vec<Stroke>,
    pub(crate) now_says: String,
    pub(crate) choice: Option<ChoiceLine>,
}

/// What could be done.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ChoiceLine {
    pub(crate) ten: i64,
    pub(crate) strokes: Vec<Stroke>,
    pub(crate) says: String,
    pub(crate) button: String,
    pub(crate) moves: Vec<String>,
    pub(crate) key: String,
}

/// Printer-hours by plastic or by bed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct RoomTable {
    pub(crate) what: &'static str,
    pub(crate) rows: Vec<RoomRow>,
}

/// Hours, rounded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct RoomRow {
    pub(crate) name: String,
    pub(crate) printers: usize,
    pub(crate) staffed: String,
    pub(crate) free: String,
    pub(crate) asked: String,
}

/// Days that printer-hours are counted for.
pub(crate) const ROOM_DAYS: i64 = 7;

/// The printer-hours of the next days, by plastic and by bed.
pub(crate) fn room(session: &Session, books: &Books) -> Vec<RoomTable> {
    let counted = capacity(session, books, ROOM_DAYS);
    let hours = |min: Minutes| format!("{:.0}", min.0 as f64 / 60.0);
    let row = |line: &Line| RoomRow {
        name: line.name.clone(),
        printers: line.printers,
        staffed: hours(line.staffed),
        free: hours(line.free()),
        asked: hours(line.asked),
    };
    let table = |what, lines: &[Line]| RoomTable {
        what,
        rows: lines.iter().map(row).collect(),
    };
    vec![
        table("Plastic", &counted.materials),
        table("Bed", &counted.beds),
    ]
}

/// A request that nobody has promised anything about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Waiting {
    pub(crate) number: i64,
    pub(crate) who: String,
    pub(crate) what: &'static str,
}

/// The coordinator's page.
#[derive(Template)]
#[template(path = "region.html")]
pub(crate) struct RegionPage {
    pub(crate) head: Head,
    pub(crate) title: String,
    pub(crate) lead: String,
    pub(crate) risks: Vec<RiskLine>,
    pub(crate) waiting: Vec<Waiting>,
    /// Recalls of which something is still to be checked.
    pub(crate) recalls: Vec<RecallRow>,
    /// Printers whose agents don't answer well, or that run alone and may not.
    pub(crate) machines: Vec<MachineLine>,
    pub(crate) revision: i64,
    pub(crate) wide: Timeline,
    pub(crate) narrow: Timeline,
    pub(crate) rows: Vec<TableRow>,
    pub(crate) label: String,
    pub(crate) printers: Printers,
    pub(crate) asks: Asks,
    pub(crate) room: Vec<RoomTable>,
    pub(crate) changes: Vec<(String, String)>,
}

/// `Three promises are at risk.`
pub(crate) fn title(risks: usize) -> String {
    match risks {
        0 => "No promise is at risk.".to_owned(),
        1 => "One promise is at risk.".to_owned(),
        n => format!("{} promises are at risk.", words::capital(&words::count(n))),
    }
}

/// `41 pledges are open; the other 38 stand at 9 in 10. No file is waiting for a word from us.`
pub(crate) fn lead(open: usize, risks: usize, waiting: usize) -> String {
    let many = |n: usize| i64::try_from(n).unwrap_or(i64::MAX);
    let pledges = words::many(many(open), "pledge is open", "pledges are open");
    let others = open.saturating_sub(risks);
    let hold = match (risks, others) {
        (_, 0) => String::new(),
        (0, 1) => ", and it holds".to_owned(),
        (0, _) => ", and all hold".to_owned(),
        (_, 1) => "; the other one holds".to_owned(),
        (_, n) => format!("; the other {n} hold"),
    };
    let files = match waiting {
        0 => "No file is waiting for a word from us.".to_owned(),
        n => format!(
            "{} without a promise.",
            words::capital(&words::spelled(n, "part stands", "parts stand"))
        ),
    };
    format!("{pledges}{hold}. {files}")
}

/// A risk in a sentence, with its decision.
pub(crate) fn risk_line(
    session: &Session,
    books: &Books,
    (n, risk): (usize, &Risk<'_>),
    key: String,
) -> RiskLine {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let arrival = risk.promised.pledge.arrival;
    let verb = if arrival < now {
        "has not been reported at its place by"
    } else if risk.outcome.chance < 0.15 {
        "will miss"
    } else {
        "may miss"
    };
    let because = because(session, &risk.cause);
    let now_ten = words::about_in_ten(risk.outcome.chance);
    let likely = risk.outcome.likely.map_or_else(
        || "It can’t be said when it would come.".to_owned(),
        |at| format!("It would come {}.", words::by(zone, at, now)),
    );
    RiskLine {
        n,
        number: risk.listed.request.number,
        who: words::of(&risk.listed.request.team, &risk.listed.part),
        says: format!(
            "{verb} {} {}, because {because}.",
            zone.day(arrival),
            zone.clock(arrival)
        ),
        now_ten,
        now_strokes: tally(now_ten),
        now_says: format!("as things stand. {likely}"),
        choice: risk
            .choice
            .as_ref()
            .map(|choice| choice_line(session, books, risk, choice, key)),
    }
}

fn because(session: &Session, cause: &Cause) -> String {
    let (zone, now) = (&session.terrain.zone, session.minute());
    cause.because(|at| format!("{} at {}", words::day(zone, at, now), zone.clock(at)))
}

fn choice_line(
    session: &Session,
    books: &Books,
    risk: &Risk<'_>,
    choice: &Choice,
    key: String,
) -> ChoiceLine {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let printer = &session.terrain.region.printers[choice.place.printer.0].name;
    let ten = words::about_in_ten(choice.chance);
    let own = |seq: u64| {
        let kept = books.plate(seq);
        let on_it = kept.map_or_else(Vec::new, |kept| books.company(kept));
        on_it
            .iter()
            .any(|row| row.request == risk.listed.request.id)
    };
    let others = choice.moved.iter().filter(|seq| !own(seq.0)).count();
    let cost = match others {
        0 => "Nobody else’s plate moves.".to_owned(),
        n => {
            let many = words::spelled(n, "other plate moves", "other plates move");
            format!(
                "{} and every promise that holds still holds.",
                words::capital(&many)
            )
        }
    };
    let moves = choice.moved.iter().filter_map(|seq| {
        let kept = books.plate(seq.0)?;
        let new = choice.plan.of(*seq)?;
        let name = &session.terrain.region.printers[new.printer.0].name;
        let old = books.floor.plan.of(*seq).map_or_else(
            || "no place".to_owned(),
            |old| {
                let name = &session.terrain.region.printers[old.printer.0].name;
                format!("{name}, {}", words::time(zone, old.start, now))
            },
        );
        Some(format!(
            "Plate {} ({}): from {old} to {name}, {}",
            seq.0,
            kept.plate.label,
            words::time(zone, new.start, now)
        ))
    });
    ChoiceLine {
        ten,
        strokes: tally(ten),
        says: format!(
            "if it is made on {printer} at {}, {}. {cost}",
            session
                .terrain
                .host_at(choice.place.printer, choice.place.start),
            words::time(zone, choice.place.start, now)
        ),
        button: format!("Move it to {printer}"),
        moves: moves.collect(),
        key,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figures::timeline::{HostHead, Mark, PlateBox, Row};
    use crate::pages::samples::{AWKWARD, head, sound};

    fn drawing() -> Timeline {
        Timeline {
            width: 1120.0,
            height: 200.0,
            hosts: vec![HostHead {
                y: 64.0,
                name: AWKWARD.to_owned(),
                hours_x: 178.0,
                hours_y: 64.0,
                hours: "08:15–17:30".to_owned(),
            }],
            rows: vec![Row {
                name: "Heron".to_owned(),
                name_y: 94.0,
                alone: true,
                base: 100.0,
                nights: vec![(285.9, 289.5)],
                out: vec![(600.0, 50.0)],
                top: 76.0,
                boxes: vec![PlateBox {
                    path: "M1 1h10z".to_owned(),
                    went: Some((1.0, 5.0)),
                    risk: true,
                    failed: false,
                    label: "218".to_owned(),
                    label_x: 7.0,
                    href: "/plates/218".to_owned(),
                }],
            }],
            marks: vec![Mark {
                x: 178.0,
                text: "12:00".to_owned(),
                anchor: "start",
                midnight: false,
            }],
            days: vec![(178.0, "Tuesday 9 March".to_owned())],
            now: 191.1,
            now_text: "now, 12:40".to_owned(),
            bottom: 150.0,
        }
    }

    #[test]
    fn the_page_renders_calm_and_troubled() {
        let risk = RiskLine {
            n: 1,
            number: 7,
            who: AWKWARD.to_owned(),
            says: AWKWARD.to_owned(),
            now_ten: 2,
            now_strokes: tally(2),
            now_says: AWKWARD.to_owned(),
            choice: Some(ChoiceLine {
                ten: 9,
                strokes: tally(9),
                says: AWKWARD.to_owned(),
                button: "Move it to Curlew".to_owned(),
                moves: vec![AWKWARD.to_owned()],
                key: "k".to_owned(),
            }),
        };
        let row = TableRow {
            host: "Brindlemoor School".to_owned(),
            printer: "Heron".to_owned(),
            plate: 218,
            what: AWKWARD.to_owned(),
            from: "13:10".to_owned(),
            until: "17:00".to_owned(),
            state: "at risk",
        };
        for (risks, rows) in [(Vec::new(), Vec::new()), (vec![risk], vec![row])] {
            let printers = if rows.is_empty() {
                Printers::default
            } else {
                crate::pages::printers::sample
            };
            let page = RegionPage {
                head: head(),
                title: title(risks.len()),
                lead: lead(41, risks.len(), 0),
                risks,
                waiting: vec![Waiting {
                    number: 3,
                    who: AWKWARD.to_owned(),
                    what: "needs change",
                }],
                recalls: vec![RecallRow {
                    entry: 9,
                    what: AWKWARD.to_owned(),
                    counts: AWKWARD.to_owned(),
                }],
                machines: vec![crate::pages::machines::sample()],
                revision: 4,
                wide: drawing(),
                narrow: drawing(),
                rows,
                label: "The next hours for one printer.".to_owned(),
                printers: printers(),
                asks: Asks::default(),
                room: vec![RoomTable {
                    what: "Plastic",
                    rows: vec![RoomRow {
                        name: AWKWARD.to_owned(),
                        printers: 2,
                        staffed: "52".to_owned(),
                        free: "40".to_owned(),
                        asked: "12".to_owned(),
                    }],
                }],
                changes: vec![("12:40".to_owned(), AWKWARD.to_owned())],
            };
            sound(&page.render().unwrap());
        }
    }

    #[test]
    fn the_heading_counts_in_words() {
        assert_eq!(title(3), "Three promises are at risk.");
        assert_eq!(title(1), "One promise is at risk.");
        assert_eq!(
            lead(41, 3, 0),
            "41 pledges are open; the other 38 hold. No file is waiting for a word from us."
        );
        assert_eq!(
            lead(0, 0, 1),
            "0 pledges are open. One part stands without a promise."
        );
    }
}
