//! A plate's sheet: plan view, what comes off, traveler label; and the list of plates.

use askama::Template;
use partpledge_records::PlateState;
use partpledge_units::time::Minute;
use partpledge_words::{Said, decimal, say};
use partpledge_workshop::laying_out::letters;
use partpledge_workshop::learning::Takes;
use partpledge_workshop::run_sheet::PlateLine;
use partpledge_workshop::spent::{Ended, Length};
use partpledge_workshop::why::PlateWhy;
use partpledge_workshop::{Session, caution_says, place_says, sheet_says};

use crate::figures::plan::Plan;
use crate::figures::qr::Qr;
use crate::pages::bench::within;
use crate::pages::program::ProgramPart;
use crate::who::Head;
use crate::words;

/// A part in the list of what comes off.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct ComesOff {
    pub(crate) mark: String,
    pub(crate) what: String,
    pub(crate) copies: usize,
    pub(crate) pledged: String,
}

/// A plate's sheet.
#[derive(Template)]
#[template(path = "plate.html")]
pub(crate) struct PlatePage {
    pub(crate) head: Head,
    pub(crate) seq: u64,
    pub(crate) title: String,
    pub(crate) note: String,
    pub(crate) facts: Vec<(String, String)>,
    pub(crate) plan: Option<Plan>,
    pub(crate) no_plan: String,
    pub(crate) rows: Vec<ComesOff>,
    pub(crate) printer: String,
    pub(crate) host: String,
    pub(crate) plastic: String,
    pub(crate) copies: usize,
    /// `1 copy`, `3 copies`.
    pub(crate) count: String,
    pub(crate) to: String,
    pub(crate) qr: Option<Qr>,
    pub(crate) revision: i64,
    pub(crate) cautions: Vec<String>,
    /// For whoever works at its printer, and the coordinator.
    pub(crate) program: Option<ProgramPart>,
    /// Why it is planned where it is; for a plate that can still go elsewhere.
    pub(crate) why: Option<PlateWhy>,
}

/// What a plate's sheet is made of.
pub(crate) struct Sheet<'a> {
    pub(crate) line: &'a PlateLine,
    pub(crate) plan: Result<Plan, String>,
    /// Name of each part on it, number of its request's share, and copies.
    pub(crate) parts: Vec<(String, u64, usize)>,
    pub(crate) address: String,
    pub(crate) revision: i64,
    pub(crate) program: Option<ProgramPart>,
    pub(crate) why: Option<PlateWhy>,
    /// What it took, once it has run.
    pub(crate) ran: Option<Ended>,
}

impl PlatePage {
    /// What is wrong with the program that was just sent.
    fn wrong(&self) -> Option<&str> {
        self.program.as_ref()?.wrong.as_deref()
    }

    /// What the page is called.
    fn name(&self) -> Said {
        crate::say("plates-one-title")
            .with("seq", self.seq)
            .with("host", &self.host)
    }

    /// The sheet of a plate.
    pub(crate) fn new(head: Head, session: &Session, sheet: Sheet<'_>) -> Self {
        let (zone, now) = (&session.terrain.zone, session.minute());
        let line = sheet.line;
        let plastic = line.whole_g().map_or_else(
            || line.material.clone(),
            |grams| format!("{}, {} g", line.material, decimal(grams, 0)),
        );
        let mut facts = Vec::new();
        let note = match (line.state, &line.place) {
            (PlateState::Open, Some(place)) if place.frozen => say!("plates-is-running"),
            (PlateState::Open, Some(_)) => say!("plates-waits"),
            (PlateState::Open, None) => say!("plates-has-no-place"),
            (PlateState::Off, _) => say!("plates-is-off"),
            (PlateState::Lost, _) => say!("plates-failed"),
            (PlateState::Withdrawn, _) => say!("plates-withdrawn"),
        };
        if let Some(place) = &line.place {
            facts.push((say!("plates-start"), words::time(zone, place.start, now)));
            let kept = place.end - place.start;
            facts.push((
                say!("plates-clear-bed"),
                say!(
                    "plates-clear-from",
                    at = words::time(zone, place.cleared, now)
                ),
            ));
            if let Some(Takes::Kept { middle, kept, now }) = line.takes {
                facts.push((say!("plates-takes"), within(middle, kept)));
                facts.extend(now.map(|band| {
                    let known = within(band.middle, band.high);
                    (say!("plates-known-since"), known)
                }));
            }
            facts.push((say!("plates-kept"), kept.to_string()));
        }
        if let Some(run) = sheet.ran {
            facts.extend(took(session, &run));
        }
        facts.push((say!("plates-plastic"), plastic.clone()));
        facts.push((say!("plates-sheet"), sheet_says(&line.sheet)));
        let others = line.others.iter();
        let copies = line.copies + others.map(|other| other.copies).sum::<usize>();
        let (plan, no_plan) = match sheet.plan {
            Ok(plan) => (Some(plan), String::new()),
            Err(why) => (None, why),
        };
        let material = session.catalogue.material(&line.material);
        Self {
            head,
            seq: line.seq,
            title: say!("plates-one-for", seq = line.seq, printer = line.printer),
            note,
            facts,
            plan,
            no_plan,
            rows: comes_off(session, line, sheet.parts),
            printer: line.printer.clone(),
            host: line.host.clone(),
            plastic,
            copies,
            count: words::copies(i64::try_from(copies).unwrap_or(i64::MAX)),
            to: goes_to(line),
            qr: crate::figures::qr::qr(&sheet.address),
            revision: sheet.revision,
            cautions: material.map_or_else(Vec::new, |m| {
                m.cautions.iter().map(|text| caution_says(text)).collect()
            }),
            program: sheet.program,
            why: sheet.why,
        }
    }
}

/// When a plate ran, and how long it took.
fn took(session: &Session, run: &Ended) -> [(String, String); 3] {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let at = |ms| words::time(zone, Minute::at_or_before(ms), now);
    let over = if run.failed {
        say!("plates-failed-at")
    } else {
        say!("plates-off-at")
    };
    let length = run.length.to_string();
    let took = match run.known {
        Length::Told => length,
        Length::AtMost => say!("plates-took-at-most", time = length),
        Length::Expected => say!("plates-took-expected", time = length),
    };
    [
        (say!("plates-start"), at(run.started_at)),
        (over, at(run.ended_at)),
        (say!("plates-took"), took),
    ]
}

/// What comes off a plate, part by part, with what was promised to whom.
fn comes_off(
    session: &Session,
    line: &PlateLine,
    parts: Vec<(String, u64, usize)>,
) -> Vec<ComesOff> {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let pledged =
        |at: Option<Minute>| at.map_or_else(|| "–".to_owned(), |at| words::time(zone, at, now));
    let parts = parts.into_iter().enumerate();
    let rows = parts.map(|(i, (name, share, copies))| {
        let other = line.others.iter().find(|other| other.share == share);
        let (team, promised) = match other {
            Some(other) => (&other.team, other.promised),
            None => (&line.team, line.promised),
        };
        ComesOff {
            mark: letters(i),
            what: format!("{name}, {team}"),
            copies,
            pledged: pledged(promised),
        }
    });
    rows.collect()
}

/// Where a plate's boxes go.
fn goes_to(line: &PlateLine) -> String {
    match line.others.len() {
        0 => place_says(&line.to),
        n => say!("plates-to-more", to = place_says(&line.to), n = n),
    }
}

/// A plate in the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct PlateLineRow {
    pub(crate) seq: u64,
    pub(crate) what: String,
    pub(crate) printer: String,
    pub(crate) from: String,
    pub(crate) until: String,
    pub(crate) state: String,
}

/// The plates to be printed or being printed.
#[derive(Template)]
#[template(path = "plates.html")]
pub(crate) struct PlatesPage {
    pub(crate) head: Head,
    pub(crate) title: String,
    pub(crate) rows: Vec<PlateLineRow>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figures::plan::{Copy, Tick};
    use crate::pages::program::Said;
    use crate::pages::samples::{AWKWARD, head, sound};

    fn sample() -> PlatePage {
        PlatePage {
            head: head(),
            seq: 214,
            title: "Plate 214, for Teal".to_owned(),
            note: "It waits to be started.".to_owned(),
            facts: vec![("Start".to_owned(), "Tue 13:10".to_owned())],
            plan: Some(Plan {
                view: "-22 -8 250 240".to_owned(),
                bed: [220.0, 210.0],
                copies: vec![Copy {
                    path: "M1 1L2 1L2 2Z".to_owned(),
                    box_x: 0.0,
                    box_y: 0.0,
                    box_w: 3.0,
                    box_h: 3.0,
                    mark: "A1".to_owned(),
                    x: 1.5,
                    y: 1.5,
                }],
                ticks: vec![Tick {
                    path: "M0 10h-3".to_owned(),
                    number: Some(("50".to_owned(), -8.0, 10.0, "end")),
                }],
            }),
            no_plan: String::new(),
            rows: vec![ComesOff {
                mark: "A".to_owned(),
                what: AWKWARD.to_owned(),
                copies: 2,
                pledged: "Thu 15:40".to_owned(),
            }],
            printer: "Teal".to_owned(),
            host: "Brindlemoor School".to_owned(),
            plastic: "PETG, 212 g".to_owned(),
            copies: 2,
            count: "2 copies".to_owned(),
            to: "Otterquay High, front desk".to_owned(),
            qr: crate::figures::qr::qr("http://localhost:8717/plates/214"),
            revision: 318,
            cautions: vec![AWKWARD.to_owned()],
            program: Some(ProgramPart {
                said: Some(Said {
                    times: "Worked out 3 h 10; your program takes 3 h 42.".to_owned(),
                    more: vec![AWKWARD.to_owned()],
                    summary: "13 words of it were not used".to_owned(),
                    not_used: vec![format!("{AWKWARD}, 13 times")],
                }),
                key: Some("abcdefgh".to_owned()),
                wrong: Some(AWKWARD.to_owned()),
            }),
            why: Some(PlateWhy {
                here: vec![AWKWARD.to_owned()],
                others: vec![AWKWARD.to_owned()],
                late: Some(AWKWARD.to_owned()),
                would_keep: vec![AWKWARD.to_owned()],
                ..PlateWhy::default()
            }),
        }
    }

    #[test]
    fn the_sheet_renders_with_and_without_its_plan() {
        let page = sample();
        let with = page.render().unwrap();
        sound(&with);
        assert!(with.contains("plate-214.3mf") && with.contains("A1"));
        let without = PlatePage {
            plan: None,
            no_plan: AWKWARD.to_owned(),
            qr: None,
            program: None,
            why: None,
            ..sample()
        };
        let without = without.render().unwrap();
        sound(&without);
        assert!(
            !without.contains("plate-214.3mf"),
            "nothing to download, nothing offered"
        );
        assert!(with.contains("Use its time") && !without.contains("Use its time"));
        assert!(with.contains("<title>Error: "), "the title says it too");
    }

    #[test]
    fn the_list_renders_empty_and_full() {
        let row = PlateLineRow {
            seq: 3,
            what: AWKWARD.to_owned(),
            printer: "Teal, Brindlemoor School".to_owned(),
            from: "13:10".to_owned(),
            until: "17:00".to_owned(),
            state: "running".to_owned(),
        };
        for rows in [Vec::new(), vec![row]] {
            let page = PlatesPage {
                head: head(),
                title: "One plate is planned.".to_owned(),
                rows,
            };
            sound(&page.render().unwrap());
        }
    }
}
