//! What would happen if: the questions that can be asked, and the page of an answer.

use askama::Template;
use partpledge_records::ListedRequest;
use partpledge_units::time::Minutes;
use partpledge_workshop::books::Promised;
use partpledge_workshop::risks::Outcome;
use partpledge_workshop::what_if::{Answer, Question};
use partpledge_workshop::{Books, Session};

use crate::figures::timeline::{TableRow, Timeline};
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
        Self {
            printers: file.printers.iter().map(|p| p.name.clone()).collect(),
            hosts: hosts.collect(),
            today: zone.date(now).to_string(),
            day: zone.date(now + Minutes(1_440)).to_string(),
            clock: "12:00",
        }
    }
}

/// A promise that would stand otherwise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Shift {
    pub(crate) number: i64,
    pub(crate) who: String,
    /// `would be missed`, `would be at risk` or `would hold again`.
    pub(crate) what: &'static str,
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
    let at = |at| format!("{}, {}", zone.day(at), zone.clock(at));
    match question {
        Question::PrinterOut { printer, until } => {
            format!("{printer} is out of use until {}", at(*until))
        }
        Question::SiteClosed { host, day } => {
            let noon = day.at(12, 0, 0, 0).time();
            format!(
                "{} is closed on {}",
                school(host),
                zone.day(zone.minute(*day, noon))
            )
        }
        Question::OneMore { like, host } => {
            format!("{} has one more printer like {like}", school(host))
        }
        Question::NobodyAt { host, until } => {
            format!(
                "nobody is at the bench of {} until {}",
                school(host),
                at(*until)
            )
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
        let (rank, what) = match (was.at_risk(), is.at_risk(), late(listed)) {
            (_, _, true) => (0, "would be missed"),
            (false, true, _) if moved <= -TELLS => (1, "would be at risk"),
            (true, false, _) if moved >= TELLS => (2, "would hold again"),
            _ => return None,
        };
        Some((rank, shift(session, (listed, promised), what, (was, is))))
    };
    let mut all: Vec<(u8, Shift)> = books.open_pledges().into_iter().filter_map(one).collect();
    all.sort_by_key(|(rank, shift)| (*rank, shift.number));
    all.into_iter().map(|(_, shift)| shift).collect()
}

fn shift(
    session: &Session,
    (listed, promised): (&ListedRequest, &Promised),
    what: &'static str,
    (was, is): (&Outcome, &Outcome),
) -> Shift {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let likely = is.likely.map_or_else(String::new, |at| {
        format!(" It would come {}.", words::by(zone, at, now))
    });
    Shift {
        number: listed.request.number,
        who: words::of(&listed.request.team, &listed.part),
        what,
        says: format!(
            "Promised {}. Now {} in 10, then {} in 10.{likely}",
            words::by(zone, promised.pledge.arrival, now),
            words::about_in_ten(was.chance),
            words::about_in_ten(is.chance)
        ),
    }
}

/// `Two promises would be missed and one would be at risk.`
pub(crate) fn verdict(shifts: &[Shift]) -> String {
    let many = |what: &str| shifts.iter().filter(|shift| shift.what == what).count();
    let said = |n: usize, what: &str, first: bool| match (n, first) {
        (0, _) => None,
        (n, true) => Some(format!(
            "{} {what}",
            words::spelled(n, "promise", "promises")
        )),
        (n, false) => Some(format!("{} {what}", words::count(n))),
    };
    let mut out: Vec<String> = Vec::new();
    for what in ["would be missed", "would be at risk", "would hold again"] {
        out.extend(said(many(what), what, out.is_empty()));
    }
    match out.len() {
        0 => "Every promise would stand as it does now.".to_owned(),
        1 => format!("{}.", words::capital(&out[0])),
        _ => {
            let last = out.pop().unwrap_or_default();
            format!("{} and {last}.", words::capital(&out.join(", ")))
        }
    }
}

/// Plates that would have another place, in order of number.
pub(crate) fn moves(session: &Session, books: &Books, then: &Answer) -> Vec<String> {
    let (zone, now) = (&session.terrain.zone, session.minute());
    let at = |terrain: &partpledge_workshop::terrain::Terrain,
              place: &partpledge_planning_model::Assignment| {
        let name = &terrain.region.printers[place.printer.0].name;
        format!("{name}, {}", words::time(zone, place.start, now))
    };
    let line = |seq: &partpledge_planning_model::PlateSeq| {
        let kept = books.plate(seq.0)?;
        let old = books.floor.plan.of(*seq);
        let old = old.map_or_else(|| "no place".to_owned(), |p| at(&session.terrain, p));
        let new = then.books.floor.plan.of(*seq);
        let new = new.map_or_else(|| "no place".to_owned(), |p| at(&then.session.terrain, p));
        let again = if then.lost.contains(seq) {
            "runs now and would be made again"
        } else {
            "from"
        };
        let label = &kept.plate.label;
        Some(format!("Plate {} ({label}): {again} {old} to {new}", seq.0))
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

    fn shift(what: &'static str) -> Shift {
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
            shifts: vec![shift("would be missed")],
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
            shift("would be missed"),
            shift("would be missed"),
            shift("would be at risk"),
        ];
        assert_eq!(
            verdict(&all),
            "Two promises would be missed and one would be at risk."
        );
        assert_eq!(verdict(&all[2..]), "One promise would be at risk.");
    }
}
