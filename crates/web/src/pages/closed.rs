//! Schools closed for a while: what it would do, the button that does it, and what is closed now.

use askama::Template;
use jiff::civil::Time;
use partpledge_records::{KeptClosure, SiteClosure};
use partpledge_units::local::Zone;
use partpledge_units::time::Minute;
use partpledge_words::say;
use partpledge_workshop::closures::{School, open};
use partpledge_workshop::what_if::Answer;
use partpledge_workshop::{Books, Session};

use super::entry::wrong_with;
use super::send::Wrong;
use super::what_if::{Shift, moves, shifts, verdict};
use crate::site::Outcomes;
use crate::who::Head;
use crate::words;

/// A school to choose.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Pick {
    pub(crate) code: String,
    pub(crate) name: String,
    pub(crate) chosen: bool,
}

/// The form as it was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Typed {
    /// Codes of the schools.
    pub(crate) schools: Vec<String>,
    pub(crate) day: String,
    pub(crate) last: String,
    pub(crate) opens: String,
    pub(crate) closes: String,
    pub(crate) reason: String,
}

/// A closure that is not over.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct OpenRow {
    pub(crate) entry: i64,
    pub(crate) when: String,
    pub(crate) what: String,
}

/// What it would do, and the button for it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Shown {
    pub(crate) verdict: String,
    pub(crate) more: Vec<String>,
    pub(crate) shifts: Vec<Shift>,
    pub(crate) moves: Vec<String>,
    /// Where the button leads, and what it sends.
    pub(crate) action: String,
    pub(crate) fields: Vec<(&'static str, String)>,
    pub(crate) button: String,
}

/// The page.
#[derive(Template)]
#[template(path = "closed.html")]
pub(crate) struct ClosedPage {
    pub(crate) head: Head,
    pub(crate) title: String,
    pub(crate) lead: String,
    pub(crate) notice: Option<String>,
    pub(crate) wrong: Vec<Wrong>,
    pub(crate) shown: Option<Shown>,
    pub(crate) open: Vec<OpenRow>,
    pub(crate) hosts: Vec<Pick>,
    pub(crate) others: Vec<Pick>,
    pub(crate) today: String,
    pub(crate) typed: Typed,
    /// Whether the form to close is there; not where one is lifted.
    pub(crate) asks: bool,
}

impl ClosedPage {
    /// The page with nothing shown yet.
    pub(crate) fn new(head: Head, session: &Session, typed: Typed) -> Self {
        let file = &session.terrain.file;
        let hosts = |code: &String| file.hosts.iter().any(|host| host.school == *code);
        let pick = |school: &School| Pick {
            code: school.code.clone(),
            name: school.name.clone(),
            chosen: typed.schools.contains(&school.code),
        };
        let (printing, others): (Vec<_>, Vec<_>) =
            file.schools.iter().partition(|school| hosts(&school.code));
        Self {
            head,
            title: say!("season-close-title"),
            lead: say!("season-close-lead"),
            notice: None,
            wrong: Vec::new(),
            shown: None,
            open: open(session).into_iter().map(|k| row(session, k)).collect(),
            hosts: printing.into_iter().map(pick).collect(),
            others: others.into_iter().map(pick).collect(),
            today: session.terrain.zone.date(session.minute()).to_string(),
            typed,
            asks: true,
        }
    }

    fn wrong_with(&self, field: &str) -> Option<&str> {
        wrong_with(&self.wrong, field)
    }
}

fn row(session: &Session, kept: &KeptClosure) -> OpenRow {
    let closure = &kept.closure;
    OpenRow {
        entry: kept.entry,
        when: words::capital(&when(&session.terrain.zone, closure.from, closure.until)),
        what: format!("{}: {}", named(session, &closure.schools), closure.reason),
    }
}

/// `Wednesday 10 March, all day`, `Wednesday 10 March to Friday 12 March`, or with clock times.
pub(crate) fn when(zone: &Zone, from: Minute, until: Minute) -> String {
    let midnight = |at: Minute| zone.minute(zone.date(at), Time::midnight()) == at;
    let last = Minute(until.0 - 1);
    let one_day = zone.date(from) == zone.date(last);
    let clock = |at: Minute| say!("season-day-time", day = zone.day(at), time = zone.clock(at));
    match (midnight(from) && midnight(until), one_day) {
        (true, true) => say!("season-all-day", day = zone.day(from)),
        (true, false) => say!("season-days", first = zone.day(from), last = zone.day(last)),
        (false, true) if midnight(until) => say!(
            "season-to-day-end",
            day = zone.day(from),
            from = zone.clock(from)
        ),
        (false, true) => say!(
            "season-clocks",
            day = zone.day(from),
            from = zone.clock(from),
            until = zone.clock(until)
        ),
        (false, false) => say!("season-times", from = clock(from), until = clock(until)),
    }
}

/// Names of schools, or how many of all.
pub(crate) fn named(session: &Session, codes: &[String]) -> String {
    let file = &session.terrain.file;
    let mut schools = file.schools.iter();
    if schools.all(|school| codes.contains(&school.code)) {
        return say!("season-all-schools");
    }
    let name = |code: &String| {
        let school = file.school(code);
        school.map_or_else(|| code.clone(), |school| school.name.clone())
    };
    let names: Vec<String> = codes.iter().map(name).collect();
    match names.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => say!("common-and", before = most.join(", "), last = last),
    }
}

/// What an answer says, for the page; the button is the caller's.
pub(crate) fn shown(
    (session, books): (&Session, &Books),
    now: &Outcomes,
    then: &Answer,
    (action, button): (String, String),
) -> Shown {
    let shifts = shifts(session, books, now, then);
    let runs = books.running().len();
    let mut more = vec![match then.moved.len() {
        0 => say!("season-none-moves"),
        n => {
            let count = say("numbers-spelled").with("n", n).to_string();
            say!("season-plates-move", n = n, count = words::capital(&count))
        }
    }];
    more.extend(stopped(books, then));
    if runs > then.lost.len() {
        let others = if then.lost.is_empty() {
            say!("season-runs-go-on")
        } else {
            say!("season-other-runs-go-on")
        };
        more.push(others);
    }
    Shown {
        verdict: verdict(&shifts),
        more,
        moves: moves(session, books, then),
        shifts,
        action,
        fields: Vec::new(),
        button,
    }
}

/// Runs that would be stopped because nobody is there, each by name.
pub(crate) fn stopped(books: &Books, then: &Answer) -> Vec<String> {
    let lost = then.lost.iter().filter_map(|seq| books.plate(seq.0));
    let says = lost.map(|kept| {
        let (plate, label) = (kept.plate.seq.0, &kept.plate.label);
        say!("season-run-stopped", plate = plate, label = label)
    });
    says.collect()
}

/// The form's fields read as a closure, or what is wrong with each.
pub(crate) fn read(session: &Session, typed: &Typed) -> Result<SiteClosure, Vec<Wrong>> {
    use partpledge_units::local::{parse_clock, parse_date};
    let zone = &session.terrain.zone;
    let mut wrong = Vec::new();
    let mut bad = |field, text: String| wrong.push(Wrong { field, text });
    if typed.schools.is_empty() {
        bad("school", say!("season-choose-schools"));
    }
    if typed.reason.trim().is_empty() {
        bad("reason", say!("season-say-why"));
    }
    let first = parse_date(&typed.day).ok();
    if first.is_none() {
        bad("day", say!("season-give-first"));
    }
    let last = match typed.last.as_str() {
        "" => first,
        text => parse_date(text).ok(),
    };
    if last.is_none() && first.is_some() {
        bad("last", say!("season-give-last"));
    }
    let mut clock = |field, text: &str| match text {
        "" => None,
        text => {
            let read = parse_clock(text).ok();
            if read.is_none() {
                bad(field, say!("season-give-time"));
            }
            read
        }
    };
    let begins = clock("closes", &typed.closes);
    let ends = clock("opens", &typed.opens);
    let (Some(first), Some(last), true) = (first, last, wrong.is_empty()) else {
        return Err(wrong);
    };
    let from = zone.minute(first, begins.unwrap_or(Time::midnight()));
    let until = match ends {
        Some(ends) => zone.minute(last, ends),
        None => zone.minute(last.tomorrow().unwrap_or(last), Time::midnight()),
    };
    if until <= from {
        let text = say!("season-ends-before");
        return Err(vec![Wrong {
            field: "last",
            text,
        }]);
    }
    if until <= session.minute() {
        let text = say!("season-is-over");
        return Err(vec![Wrong { field: "day", text }]);
    }
    Ok(SiteClosure {
        schools: typed.schools.clone(),
        from,
        until,
        reason: typed.reason.clone(),
    })
}

/// The day that the form begins with: tomorrow.
pub(crate) fn tomorrow(session: &Session) -> String {
    // Not a day of 24 hours on: where the clock changes that may be the day after, or today still.
    let today = session.terrain.zone.date(session.minute());
    today.tomorrow().unwrap_or(today).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::samples::{AWKWARD, head, sound};

    fn page(shown: Option<Shown>, asks: bool) -> ClosedPage {
        let pick = |chosen| Pick {
            code: "brindlemoor".to_owned(),
            name: AWKWARD.to_owned(),
            chosen,
        };
        ClosedPage {
            head: head(),
            title: AWKWARD.to_owned(),
            lead: AWKWARD.to_owned(),
            notice: Some("It was not done.".to_owned()),
            wrong: vec![Wrong {
                field: "day",
                text: AWKWARD.to_owned(),
            }],
            shown,
            open: vec![OpenRow {
                entry: 7,
                when: AWKWARD.to_owned(),
                what: AWKWARD.to_owned(),
            }],
            hosts: vec![pick(true), pick(false)],
            others: vec![pick(false)],
            today: "2027-03-09".to_owned(),
            typed: Typed {
                reason: AWKWARD.to_owned(),
                ..Typed::default()
            },
            asks,
        }
    }

    #[test]
    fn the_page_renders_asked_unasked_and_for_lifting() {
        let shown = Shown {
            verdict: AWKWARD.to_owned(),
            more: vec![AWKWARD.to_owned()],
            shifts: Vec::new(),
            moves: vec![AWKWARD.to_owned()],
            action: "/region/closed".to_owned(),
            fields: vec![("reason", AWKWARD.to_owned())],
            button: AWKWARD.to_owned(),
        };
        for (shown, asks) in [
            (None, true),
            (Some(shown.clone()), true),
            (Some(shown), false),
        ] {
            let deeds = usize::from(shown.is_some());
            let made = page(shown, asks).render().unwrap();
            sound(&made);
            let above = made.split("<footer").next().unwrap();
            let posts = above.matches("method=\"post\"").count();
            assert_eq!(posts, deeds, "only the button that was asked for writes");
        }
    }

    async fn at(time: &str) -> (tempfile::TempDir, Session) {
        let dir = tempfile::tempdir().unwrap();
        let now = partpledge_units::local::parse_rfc3339(time).unwrap();
        let region = partpledge_testbed::ambrel_valley();
        let session = Session::open(&dir.path().join("data"), region, now).await;
        (dir, session.unwrap())
    }

    #[tokio::test]
    async fn tomorrow_is_the_next_day_also_when_the_clock_changes() {
        for (time, next) in [
            ("2027-03-09T10:00:00+01:00", "2027-03-10"),
            ("2027-03-27T23:30:00+01:00", "2027-03-28"),
            ("2027-10-31T00:30:00+02:00", "2027-11-01"),
        ] {
            let (_dir, session) = at(time).await;
            assert_eq!(tomorrow(&session), next, "{time}");
        }
    }

    #[tokio::test]
    async fn all_schools_are_all_that_there_are_and_not_as_many() {
        let (_dir, session) = at("2027-03-09T10:00:00+01:00").await;
        let schools = session.terrain.file.schools.iter();
        let mut codes: Vec<String> = schools.map(|school| school.code.clone()).collect();
        assert_eq!(named(&session, &codes), "all schools");
        codes.push("closed-last-year".to_owned());
        assert_eq!(named(&session, &codes), "all schools");
        codes.remove(0);
        let said = named(&session, &codes);
        assert!(
            said.contains("Wexmere Academy and closed-last-year"),
            "{said}"
        );
    }

    #[test]
    fn times_are_said_as_people_say_them() {
        let zone = Zone::named("Europe/Berlin").unwrap();
        let at = |day: &str, clock: &str| {
            let date = partpledge_units::local::parse_date(day).unwrap();
            zone.minute(date, partpledge_units::local::parse_clock(clock).unwrap())
        };
        let said = [
            ("2027-03-10", "00:00", "2027-03-11", "00:00"),
            ("2027-03-10", "00:00", "2027-03-13", "00:00"),
            ("2027-03-10", "12:00", "2027-03-10", "15:30"),
            ("2027-03-10", "12:00", "2027-03-11", "00:00"),
            ("2027-03-10", "12:00", "2027-03-11", "08:00"),
        ]
        .map(|(d1, c1, d2, c2)| when(&zone, at(d1, c1), at(d2, c2)));
        assert_eq!(
            said,
            [
                "Wednesday 10 March, all day",
                "Wednesday 10 March to Friday 12 March",
                "Wednesday 10 March, 12:00 to 15:30",
                "Wednesday 10 March, 12:00 to the end of the day",
                "Wednesday 10 March, 12:00 to Thursday 11 March, 08:00",
            ]
        );
    }
}
