//! The coordinator's page: promises at risk, each with a decision; the next 48 hours.

use askama::Template;
use partpledge_planning_model::Assignment;
use partpledge_records::StepKind;
use partpledge_units::time::Minutes;
use partpledge_words::{Said, said, say};
use partpledge_workshop::capacity::{Line, capacity};
use partpledge_workshop::review::waiting::Waiting as In;
use partpledge_workshop::risks::{Cause, Choice, Quiet, Risk};
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

/// A host that has not ticked what was due, with the promises that wait for it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct QuietLine {
    pub(crate) n: usize,
    pub(crate) code: String,
    pub(crate) host: String,
    pub(crate) says: String,
    /// `The four promises`.
    pub(crate) open: String,
    pub(crate) risks: Vec<RiskLine>,
}

/// Risks as they are shown: hosts that several promises wait for first, each with those, then the others.
pub(crate) fn grouped(
    session: &Session,
    found: &[Quiet],
    lines: Vec<RiskLine>,
) -> (Vec<QuietLine>, Vec<RiskLine>) {
    let mut lines: Vec<Option<RiskLine>> = lines.into_iter().map(Some).collect();
    let mut quiet = Vec::new();
    for (i, at) in found.iter().enumerate() {
        let own = at.risks.iter().filter_map(|at| lines.get_mut(*at)?.take());
        let mut own: Vec<RiskLine> = own.collect();
        for (n, line) in own.iter_mut().enumerate() {
            line.n = n + 1;
        }
        quiet.push(quiet_line(session, (i + 1, at), own));
    }
    let mut others: Vec<RiskLine> = lines.into_iter().flatten().collect();
    for (i, line) in others.iter_mut().enumerate() {
        line.n = quiet.len() + i + 1;
    }
    (quiet, others)
}

fn quiet_line(session: &Session, (n, at): (usize, &Quiet), risks: Vec<RiskLine>) -> QuietLine {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let spelled = |n: usize| say!("numbers-spelled", n = n);
    let (plates, promises) = (at.plates.len(), risks.len());
    let day = words::day(zone, at.since, now);
    let since = say!("region-day-at", day = day, clock = zone.clock(at.since));
    let due = said!(
        "region-quiet",
        n = plates,
        count = spelled(plates),
        since = since
    );
    let wait = said!(
        "region-quiet-wait",
        n = promises,
        count = words::capital(&spelled(promises))
    );
    QuietLine {
        n,
        code: at.host.clone(),
        host: at.name.clone(),
        says: say!("region-then", before = due, next = wait),
        open: say!("region-quiet-open", n = promises, count = spelled(promises)),
        risks,
    }
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
    pub(crate) what: String,
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
        table(say!("region-room-plastic"), &counted.materials),
        table(say!("region-room-bed"), &counted.beds),
    ]
}

/// A request that nobody has promised anything about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Waiting {
    pub(crate) number: i64,
    pub(crate) who: String,
    pub(crate) what: String,
}

/// A host that is short of spools.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct ShortHost {
    pub(crate) code: String,
    pub(crate) name: String,
    pub(crate) says: String,
}

/// What waits in the review, kind by kind: `Two parts are held.`
pub(crate) fn decisions(all: In) -> Vec<String> {
    let spelled = words::spelled::<usize>;
    let kinds = [
        (all.held, "region-decide-held"),
        (all.appeals, "region-decide-appeals"),
        (all.reports, "region-decide-reports"),
        (all.boxes, "region-decide-boxes"),
        (all.recalls, "region-decide-recalls"),
    ];
    let there = kinds.into_iter().filter(|(n, _)| *n > 0);
    let says = there.map(|(n, id)| {
        partpledge_words::say(id)
            .with("n", n)
            .with("count", spelled(n))
            .to_string()
    });
    says.collect()
}

/// The coordinator's page.
#[derive(Template)]
#[template(path = "region.html")]
pub(crate) struct RegionPage {
    pub(crate) head: Head,
    pub(crate) title: String,
    pub(crate) lead: String,
    /// Whether there is no printer yet: then it says how to begin.
    pub(crate) begins: bool,
    /// Hosts that several promises at risk wait for.
    pub(crate) quiet: Vec<QuietLine>,
    /// The other promises at risk.
    pub(crate) risks: Vec<RiskLine>,
    pub(crate) waiting: Vec<Waiting>,
    pub(crate) alone: Vec<String>,
    /// What waits in the review, kind by kind, in sentences.
    pub(crate) decisions: Vec<String>,
    /// Hosts that are short of spools: code, name, and of what.
    pub(crate) short: Vec<ShortHost>,
    /// Recalls of which something is still to be checked.
    pub(crate) recalls: Vec<RecallRow>,
    /// Printers that are out of use, each with the code of its bench.
    pub(crate) out: Vec<(String, String)>,
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
    let count = words::spelled(risks);
    say!("region-title", n = risks, count = count)
}

/// `41 pledges are open; the other 38 stand at 9 in 10. No file is waiting for a word from us.`
pub(crate) fn lead(open: usize, risks: usize, waiting: usize) -> String {
    let others = open.saturating_sub(risks);
    let pledges = match (risks, others) {
        (_, 0) => said!("region-lead-open", n = open),
        (0, _) => said!("region-lead-all-hold", n = open),
        (_, 1) => said!("region-lead-other-holds", n = open),
        (_, n) => said!("region-lead-others-hold", n = open, others = n),
    };
    let count = words::spelled(waiting);
    let files = match waiting {
        0 => said!("region-lead-none-waits"),
        n => said!("region-lead-waiting", n = n, count = count),
    };
    say!("region-then", before = pledges, next = files)
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
    let (day, clock) = (zone.day(arrival), zone.clock(arrival));
    let because = risk.cause.as_ref().map(|cause| because(session, cause));
    let says = risk_says((day, clock), (arrival < now, risk.outcome.chance), because);
    let now_ten = words::about_in_ten(risk.outcome.chance);
    let likely = risk.outcome.likely;
    RiskLine {
        n,
        number: risk.listed.request.number,
        who: part_of(&risk.listed.part, &risk.listed.request.team),
        says,
        now_ten,
        now_strokes: tally(now_ten),
        now_says: likely.map_or_else(
            || say!("region-likely-unknown"),
            |at| say!("region-likely", by = words::by(zone, at, now)),
        ),
        choice: risk
            .choice
            .as_ref()
            .map(|choice| choice_line(session, books, risk, choice, key)),
    }
}

/// `may miss Thursday 11 March 15:40, because plate 3 failed on Heron today at 13:10.`, or without why.
fn risk_says(
    (day, clock): (String, String),
    (over, chance): (bool, f64),
    because: Option<String>,
) -> String {
    match (because, over, chance < 0.15) {
        (Some(because), true, _) => say!(
            "region-risk-not-reported",
            day = day,
            clock = clock,
            because = because
        ),
        (Some(because), _, true) => say!(
            "region-risk-will-miss",
            day = day,
            clock = clock,
            because = because
        ),
        (Some(because), ..) => say!(
            "region-risk-may-miss",
            day = day,
            clock = clock,
            because = because
        ),
        (None, true, _) => say!("region-risk-not-reported-only", day = day, clock = clock),
        (None, _, true) => say!("region-risk-will-miss-only", day = day, clock = clock),
        (None, ..) => say!("region-risk-may-miss-only", day = day, clock = clock),
    }
}

/// `Newt Works’ gripper bracket`.
pub(crate) fn part_of(part: &str, team: &str) -> String {
    say!("region-part-of", whose = words::whose(team), part = part)
}

/// `because plate 3 failed on Heron today at 13:10`.
pub(crate) fn because(session: &Session, cause: &Cause) -> String {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let because = cause.because(|at| {
        let (day, clock) = (words::day(zone, at, now), zone.clock(at));
        said!("region-day-at", day = day, clock = clock)
    });
    because.to_string()
}

/// `Heron, 13:10`.
pub(crate) fn place(printer: &str, time: &str) -> String {
    say!("region-place", printer = printer, time = time)
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
    let count = words::spelled(others);
    let cost = match others {
        0 => said!("region-choice-nobody"),
        n => said!("region-choice-others", n = n, count = count),
    };
    let on = |at: &Assignment| {
        let name = &session.terrain.region.printers[at.printer.0].name;
        place(name, &words::time(zone, at.start, now))
    };
    let moves = choice.moved.iter().filter_map(|seq| {
        let kept = books.plate(seq.0)?;
        let new = choice.plan.of(*seq)?;
        let old = books.floor.plan.of(*seq);
        Some(say!(
            "region-move",
            plate = seq.0,
            label = kept.plate.label,
            old = old.map_or_else(|| say!("region-no-place"), on),
            new = on(new)
        ))
    });
    let host = session
        .terrain
        .host_at(choice.place.printer, choice.place.start);
    let line = ChoiceLine {
        ten,
        strokes: tally(ten),
        says: say!(
            "region-choice",
            printer = printer,
            host = host,
            time = words::time(zone, choice.place.start, now),
            cost = cost.clone()
        ),
        button: say!("region-choice-button", printer = printer),
        moves: moves.collect(),
        key,
    };
    let stopped = choice
        .stops
        .map(|seq| stopping(session, books, line.clone(), (seq.0, choice), &cost));
    stopped.unwrap_or(line)
}

/// The same for a run that is stopped for it and made again.
fn stopping(
    session: &Session,
    books: &Books,
    mut line: ChoiceLine,
    (plate, choice): (u64, &Choice),
    cost: &Said,
) -> ChoiceLine {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let (on, start) = (choice.place.printer, choice.place.start);
    let printer = &session.terrain.region.printers[on.0].name;
    let step = books.step(plate, StepKind::Started);
    let running = step.map_or("", |step| step.printer.as_str());
    line.says = say!(
        "region-choice-stop",
        plate = plate,
        running = running,
        printer = printer,
        host = session.terrain.host_at(on, start),
        time = words::time(zone, start, now),
        cost = cost.clone()
    );
    line.button = say!(
        "region-choice-stop-button",
        plate = plate,
        printer = printer
    );
    let says = say!("region-move-stop", plate = plate, running = running);
    line.moves.insert(0, says);
    line
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

    fn recall() -> RecallRow {
        RecallRow {
            entry: 9,
            what: AWKWARD.to_owned(),
            counts: AWKWARD.to_owned(),
        }
    }

    /// A host that two promises wait for.
    fn waits(risk: &RiskLine) -> QuietLine {
        QuietLine {
            n: 1,
            code: "dunmarrow".to_owned(),
            host: AWKWARD.to_owned(),
            says: AWKWARD.to_owned(),
            open: "The two promises".to_owned(),
            risks: vec![
                RiskLine {
                    number: 41,
                    ..risk.clone()
                },
                RiskLine {
                    number: 42,
                    choice: None,
                    ..risk.clone()
                },
            ],
        }
    }

    fn a_risk() -> RiskLine {
        RiskLine {
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
        }
    }

    #[test]
    fn the_page_renders_calm_and_troubled() {
        let row = TableRow {
            host: "Brindlemoor School".to_owned(),
            printer: "Heron".to_owned(),
            plate: 218,
            what: AWKWARD.to_owned(),
            from: "13:10".to_owned(),
            until: "17:00".to_owned(),
            state: "at risk".to_owned(),
        };
        let quiet = waits(&a_risk());
        for (risks, rows) in [(Vec::new(), Vec::new()), (vec![a_risk()], vec![row])] {
            let printers = if rows.is_empty() {
                Printers::default
            } else {
                crate::pages::printers::sample
            };
            let page = RegionPage {
                head: head(),
                title: title(risks.len()),
                lead: lead(41, risks.len(), 0),
                begins: risks.is_empty(),
                quiet: risks.iter().map(|_| quiet.clone()).collect(),
                risks,
                waiting: vec![Waiting {
                    number: 3,
                    who: AWKWARD.to_owned(),
                    what: "needs change".to_owned(),
                }],
                alone: vec![AWKWARD.to_owned()],
                decisions: decisions(In {
                    held: 2,
                    boxes: 1,
                    ..In::default()
                }),
                short: vec![ShortHost {
                    code: "brindlemoor".to_owned(),
                    name: AWKWARD.to_owned(),
                    says: AWKWARD.to_owned(),
                }],
                recalls: vec![recall()],
                out: vec![("dunmarrow".to_owned(), AWKWARD.to_owned())],
                machines: vec![crate::pages::machines::sample()],
                revision: 4,
                wide: drawing(),
                narrow: drawing(),
                rows,
                label: "The next hours for one printer.".to_owned(),
                printers: printers(),
                asks: Asks::default(),
                room: vec![RoomTable {
                    what: "Plastic".to_owned(),
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
            let made = page.render().unwrap();
            sound(&made);
            assert!(made.contains("Two parts are held for your review."));
            assert!(made.contains("One box is said to be wrong.") && !made.contains("second look"));
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
