//! What would happen if: the questions that can be asked, and the page of an answer.

use askama::Template;
use partpledge_records::ListedRequest;
use partpledge_units::time::Minutes;
use partpledge_words::{Said, said, say};
use partpledge_workshop::books::Promised;
use partpledge_workshop::risks::Outcome;
use partpledge_workshop::what_if::{Answer, Question};
use partpledge_workshop::{Books, Session};

use crate::figures::timeline::{TableRow, Timeline};
use crate::pages::region::{part_of, place};
use crate::site::Outcomes;
use crate::who::Head;
use crate::words;

/// A chance that changes by less is the luck of a few hundred plays, not the question's doing: 200
/// plays at 85 % have a standard error of 2.5 points.
const TELLS: f64 = 0.05;

/// What the forms offer.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Asks {
    pub(crate) printers: Vec<String>,
    /// Code and name.
    pub(crate) hosts: Vec<(String, String)>,
    pub(crate) today: String,
    pub(crate) day: String,
    pub(crate) clock: &'static str,
}

impl Asks {
    /// The region's printers and hosts; times start from tomorrow noon.
    pub(crate) fn of(session: &Session) -> Self {
        let (zone, now) = (&session.terrain.zone, session.minute());
        let file = &session.terrain.file;
        let hosts = file.hosts.iter().map(|host| {
            let school = file.school(&host.school);
            let name = school.map_or_else(|| host.school.clone(), |s| s.name.clone());
            (host.school.clone(), name)
        });
        // One that goes to a meeting is the same machine there: it is asked about once, for both.
        let machines = file.printers.iter().filter(|p| p.at_home.is_none());
        Self {
            printers: machines.map(|p| p.name.clone()).collect(),
            hosts: hosts.collect(),
            today: zone.date(now).to_string(),
            day: zone.date(now + Minutes(1_440)).to_string(),
            clock: "12:00",
        }
    }
}

/// How a promise would stand that stands otherwise now; the worst first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Turn {
    Missed,
    AtRisk,
    HoldsAgain,
}

impl Turn {
    const ALL: [Self; 3] = [Self::Missed, Self::AtRisk, Self::HoldsAgain];

    /// `would be missed`, behind the name of what was promised.
    pub(crate) fn says(self) -> String {
        match self {
            Self::Missed => say!("region-if-missed"),
            Self::AtRisk => say!("region-if-at-risk"),
            Self::HoldsAgain => say!("region-if-holds-again"),
        }
    }

    /// The same of so many promises: `two promises would be missed`.
    fn of_promises(self, n: usize, count: &str) -> Said {
        match self {
            Self::Missed => said!("region-if-promises-missed", n = n, count = count),
            Self::AtRisk => said!("region-if-promises-at-risk", n = n, count = count),
            Self::HoldsAgain => said!("region-if-promises-hold", n = n, count = count),
        }
    }

    /// The same of so many more of them: `one would be at risk`.
    fn of_others(self, n: usize, count: &str) -> Said {
        match self {
            Self::Missed => said!("region-if-others-missed", n = n, count = count),
            Self::AtRisk => said!("region-if-others-at-risk", n = n, count = count),
            Self::HoldsAgain => said!("region-if-others-hold", n = n, count = count),
        }
    }
}

/// A promise that would stand otherwise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Shift {
    pub(crate) number: i64,
    pub(crate) who: String,
    pub(crate) what: Turn,
    pub(crate) says: String,
}

/// The page of an answer.
#[derive(Template)]
#[template(path = "what_if.html")]
pub(crate) struct WhatIfPage {
    pub(crate) head: Head,
    pub(crate) title: String,
    pub(crate) wrong: Option<String>,
    pub(crate) told: Option<Told>,
    pub(crate) asks: Asks,
}

/// What would happen.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Told {
    pub(crate) verdict: String,
    pub(crate) more: Vec<String>,
    pub(crate) shifts: Vec<Shift>,
    pub(crate) moves: Vec<String>,
    pub(crate) then: Pictures,
    pub(crate) now: Pictures,
    pub(crate) rows: Vec<TableRow>,
}

/// One state of the next hours, wide and narrow.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Pictures {
    pub(crate) label: String,
    pub(crate) wide: Timeline,
    pub(crate) narrow: Timeline,
}

/// `Heron is out of use until Thursday 11 March, 12:00`.
pub(crate) fn supposed(session: &Session, question: &Question) -> String {
    let zone = &session.terrain.zone;
    let school = |code: &String| {
        let found = session.terrain.file.school(code);
        found.map_or_else(|| code.clone(), |school| school.name.clone())
    };
    let at = |at| {
        said!(
            "region-if-until",
            day = zone.day(at),
            clock = zone.clock(at)
        )
    };
    match question {
        Question::PrinterOut { printer, until } => {
            say!("region-if-out", printer = printer, until = at(*until))
        }
        Question::SiteClosed { host, day } => {
            let noon = day.at(12, 0, 0, 0).time();
            let day = zone.day(zone.minute(*day, noon));
            say!("region-if-closed", school = school(host), day = day)
        }
        Question::OneMore { like, host } => {
            say!("region-if-more", school = school(host), printer = like)
        }
        Question::NobodyAt { host, until } => {
            say!("region-if-away", school = school(host), until = at(*until))
        }
    }
}

/// Promises that would stand otherwise than now, worst first.
pub(crate) fn shifts(
    session: &Session,
    books: &Books,
    now: &Outcomes,
    then: &Answer,
) -> Vec<Shift> {
    let late = |listed: &ListedRequest| {
        let mut plates = books.plates_of(listed.request.id);
        plates.any(|kept| then.newly_late.contains(&kept.on()))
    };
    let one = |(listed, promised): (&ListedRequest, &Promised)| {
        let (was, is) = (
            now.get(&listed.request.id)?,
            then.outcomes.get(&listed.request.id)?,
        );
        let moved = is.chance - was.chance;
        let what = match (was.at_risk(), is.at_risk(), late(listed)) {
            (_, _, true) => Turn::Missed,
            (false, true, _) if moved <= -TELLS => Turn::AtRisk,
            (true, false, _) if moved >= TELLS => Turn::HoldsAgain,
            _ => return None,
        };
        Some(shift(session, (listed, promised), what, (was, is)))
    };
    let mut all: Vec<Shift> = books.open_pledges().into_iter().filter_map(one).collect();
    all.sort_by_key(|shift| (shift.what, shift.number));
    all
}

fn shift(
    session: &Session,
    (listed, promised): (&ListedRequest, &Promised),
    what: Turn,
    (was, is): (&Outcome, &Outcome),
) -> Shift {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let says = said!(
        "region-if-shift",
        promised = words::by(zone, promised.pledge.arrival, now),
        now = words::about_in_ten(was.chance),
        then = words::about_in_ten(is.chance)
    );
    let likely = is
        .likely
        .map(|at| said!("region-likely", by = words::by(zone, at, now)));
    Shift {
        number: listed.request.number,
        who: part_of(&listed.part, &listed.request.team),
        what,
        says: match likely {
            Some(likely) => say!("region-then", before = says, next = likely),
            None => says.to_string(),
        },
    }
}

/// `Two promises would be missed and one would be at risk.`
pub(crate) fn verdict(shifts: &[Shift]) -> String {
    let mut out: Vec<Said> = Vec::new();
    for what in Turn::ALL {
        let n = shifts.iter().filter(|shift| shift.what == what).count();
        let count = say!("numbers-spelled", n = n);
        match (n, out.is_empty()) {
            (0, _) => {}
            (n, true) => out.push(what.of_promises(n, &words::capital(&count))),
            (n, false) => out.push(what.of_others(n, &count)),
        }
    }
    match out.as_slice() {
        [] => say!("region-if-same"),
        [one] => say!("region-if-verdict", one = one),
        [one, other] => say!("region-if-verdict-two", one = one, other = other),
        [one, other, third, ..] => say!(
            "region-if-verdict-three",
            one = one,
            other = other,
            third = third
        ),
    }
}

/// Plates that would have another place, in order of number.
pub(crate) fn moves(session: &Session, books: &Books, then: &Answer) -> Vec<String> {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let at = |terrain: &partpledge_workshop::terrain::Terrain,
              on: &partpledge_planning_model::Assignment| {
        let name = &terrain.region.printers[on.printer.0].name;
        place(name, &words::time(zone, on.start, now))
    };
    let line = |seq: &partpledge_planning_model::PlateSeq| {
        let kept = books.plate(seq.0)?;
        let old = books.floor.plan.of(*seq);
        let old = old.map_or_else(|| say!("region-no-place"), |p| at(&session.terrain, p));
        let new = then.books.floor.plan.of(*seq);
        let new = new.map_or_else(|| say!("region-no-place"), |p| at(&then.session.terrain, p));
        let (plate, label) = (seq.0, &kept.plate.label);
        Some(if then.lost.contains(seq) {
            say!(
                "region-move-again",
                plate = plate,
                label = label,
                old = old,
                new = new
            )
        } else {
            say!(
                "region-move",
                plate = plate,
                label = label,
                old = old,
                new = new
            )
        })
    };
    then.moved.iter().filter_map(line).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    fn asks() -> Asks {
        Asks {
            printers: vec![AWKWARD.to_owned()],
            hosts: vec![("brindlemoor".to_owned(), AWKWARD.to_owned())],
            today: "2027-03-09".to_owned(),
            day: "2027-03-10".to_owned(),
            clock: "12:00",
        }
    }

    fn shift(what: Turn) -> Shift {
        Shift {
            number: 7,
            who: AWKWARD.to_owned(),
            what,
            says: AWKWARD.to_owned(),
        }
    }

    #[test]
    fn the_page_renders_asked_unasked_and_wrong() {
        let pictures = || Pictures {
            label: AWKWARD.to_owned(),
            wide: Timeline::default(),
            narrow: Timeline::default(),
        };
        let told = Told {
            verdict: AWKWARD.to_owned(),
            more: vec![AWKWARD.to_owned()],
            shifts: vec![shift(Turn::Missed)],
            moves: vec![AWKWARD.to_owned()],
            then: pictures(),
            now: pictures(),
            rows: Vec::new(),
        };
        for (told, wrong) in [
            (Some(told), None),
            (None, Some(AWKWARD.to_owned())),
            (None, None),
        ] {
            let asked = told.is_some();
            let page = WhatIfPage {
                head: head(),
                title: AWKWARD.to_owned(),
                wrong,
                told,
                asks: asks(),
            };
            let made = page.render().unwrap();
            sound(&made);
            assert!(made.contains("Nothing is stored"), "{asked}");
            assert_eq!(
                made.matches("method=\"get\"").count(),
                4,
                "asking changes nothing"
            );
            let above = made.split("<footer").next();
            assert!(above.is_some_and(|main| !main.contains("method=\"post\"")));
        }
    }

    #[test]
    fn the_verdict_counts_each_kind_once() {
        assert_eq!(verdict(&[]), "Every promise would stand as it does now.");
        let all = [
            shift(Turn::Missed),
            shift(Turn::Missed),
            shift(Turn::AtRisk),
        ];
        assert_eq!(
            verdict(&all),
            "Two promises would be missed and one would be at risk."
        );
        assert_eq!(verdict(&all[2..]), "One promise would be at risk.");
    }
}
